"""The unknowns: names that no two share and every solver takes, and bounds that are tight but cut nothing off.

**Source:** arithmetic; sums stand beside the numbers.
"""

import re
from collections import Counter
from fractions import Fraction

import pytest

from raworder.solving.cheapest import cheapest
from raworder.solving.problem import most_units, pose_unknowns, row_name
from raworder.solving.solver import Settings, SolverName
from raworder.trade.plan import Allocation
from raworder.trade.scenario import Offer, Scenario, Variety
from tests import builders as b

CLASHING = ("beef heart", "beef_heart", "Beef  Heart!", "bœuf", "b uf", "β", "犬", "...", "Größe", "größe")


def clashing() -> Scenario:
    cuts = [b.a_cut(name) for name in CLASHING]
    dogs = [
        b.a_dog(name, targets=[b.a_target(b.Part.MUSCLE, f"{n}/100", 1)]) for n, name in enumerate(("Bo", "bo", "Bó"))
    ]
    return b.a_scenario(dogs=dogs, cuts=cuts, variety=Variety(1, Fraction(1, 10), Fraction(1)))


def test_names_that_look_alike_give_unknowns_of_their_own() -> None:
    problem = pose_unknowns(clashing())
    unknowns = [
        *problem.eat_kg.values(), *problem.left_kg.values(), *problem.buy.values(), *problem.use.values(),
        *problem.pay.values(), *problem.chosen.values(),
    ]  # fmt: skip
    names = Counter(variable.name for variable in unknowns)
    assert max(names.values()) == 1
    assert all(re.fullmatch(r"[a-z0-9_]+", name) for name in names)


@pytest.mark.parametrize("solver", SolverName)
def test_names_that_look_alike_are_solved(solver: SolverName) -> None:
    """Three dogs of 7 kg each at 2.40 per kg."""
    found = cheapest(clashing(), Settings(solver))
    assert isinstance(found, Allocation)
    assert float(found.proof.bound) == pytest.approx(21 * 2.40, abs=2e-4)
    assert {cut for _, cut in found.eaten_ug} <= set(CLASHING)


def test_a_name_is_made_of_plain_letters_digits_and_underscores() -> None:
    assert row_name("eat", "Größe", "beef heart") == "eat_gr_sse_beef_heart"
    assert row_name("犬", "") == "x_x"


def most(offer: Offer, **scenario: object) -> int:
    whole = b.a_scenario(offers=[offer], **scenario)  # type: ignore[arg-type]  # tests pass what the builder takes
    return most_units(pose_unknowns(whole), offer)


def test_no_more_packs_than_all_can_eat() -> None:
    """7000 g in packs of 1000 g; in packs of 900 g the eighth is opened."""
    assert most(b.an_offer()) == 7
    assert most(b.an_offer(pack_g=900)) == 8


def test_no_more_packs_than_there_are() -> None:
    assert most(b.an_offer(available=3)) == 3


def test_packs_enough_to_reach_a_minimum_order_or_free_delivery() -> None:
    """30.01 at 2.40 a pack are 13 packs, of which 7 can be eaten; 40.80 are exactly 17."""
    assert most(b.an_offer(), suppliers=[b.a_supplier(minimum_order="30.01")]) == 13
    assert most(b.an_offer(), suppliers=[b.a_supplier(free_delivery_from="40.80", delivery=5)]) == 17


def test_packs_enough_to_reach_a_threshold_at_the_lowest_price() -> None:
    """From 4 packs on they cost 1.50: 30 is reached with 20."""
    offer = b.an_offer(breaks={4: "1.50"})
    assert most(offer, suppliers=[b.a_supplier(minimum_order=30)]) == 20


def test_packs_enough_to_reach_the_last_price_step() -> None:
    assert most(b.an_offer(breaks={4: "2.20", 12: "1.10"})) == 12


def test_a_thing_that_costs_nothing_has_a_bound_too() -> None:
    assert most(b.an_offer(price=0), suppliers=[b.a_supplier(minimum_order=30)]) == 7


def test_what_can_be_eaten_of_a_cut_keeps_its_fraction_of_a_gram() -> None:
    """9 % bone of 2331 g at 0.4 is 524.475 g of neck; a pack of 524 g is not enough."""
    dog = b.a_dog(daily_g=333, days=7, targets=[b.a_target(low="9/100", high="9/100")])
    offers = [b.an_offer("chicken neck", pack_g=524), b.an_offer("beef trim")]
    scenario = b.a_scenario(days=7, dogs=[dog], cuts=(b.NECK, b.TRIM), offers=offers)
    assert pose_unknowns(scenario).usable_g["chicken neck"] >= Fraction(524475, 1000)
    assert most_units(pose_unknowns(scenario), offers[0]) == 2


def test_a_cap_and_an_exclusion_lower_what_can_be_eaten() -> None:
    """Heart at most 10 % of 7000 g; a dog that must not eat beef eats none."""
    capped = b.a_dog(caps=[b.a_cap()])
    excluded = b.a_dog("Juniper", avoid=[b.a_subject(b.Measure.SPECIES, "beef")])
    scenario = b.a_scenario(dogs=[capped, excluded], cuts=(b.HEART, b.NECK))
    assert pose_unknowns(scenario).usable_g["beef heart"] == 700


def test_a_species_of_no_share_in_a_mix_does_not_bound_it() -> None:
    """None above half: beef is half of the mix, pork is in name only, so 7000 g of the mix can be eaten."""
    mix = b.a_cut("mix", species={"beef": "1/2", "lamb": "1/2", "pork": 0}, kind="mince")
    scenario = b.a_scenario(cuts=[mix], variety=Variety(most_share=Fraction(1, 2)))
    assert pose_unknowns(scenario).usable_g["mix"] == 7_000
    assert isinstance(cheapest(scenario, Settings()), Allocation)


def test_what_is_sold_to_the_gram_is_counted_in_kilograms() -> None:
    scenario = b.a_scenario(offers=[b.an_offer_by_weight(key="trim")])
    assert pose_unknowns(scenario).buy["trim", 0].upBound == 7


def test_the_order_of_the_file_does_not_change_the_names() -> None:
    scenario = clashing()
    turned = b.a_scenario(
        dogs=scenario.dogs[::-1], cuts=scenario.cuts[::-1], offers=scenario.offers[::-1], variety=scenario.variety
    )
    one, other = pose_unknowns(scenario), pose_unknowns(turned)
    assert {key: variable.name for key, variable in one.eat_kg.items()} == {
        key: variable.name for key, variable in other.eat_kg.items()
    }
    assert {key: variable.name for key, variable in one.buy.items()} == {
        key: variable.name for key, variable in other.buy.items()
    }
