"""Each wish for a nicer order asks for what it says: small cases by hand, the sums beside them. All invented.

**Source:** arithmetic; sums stand beside the numbers.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from raworder.solving.nicer import MOST_CUTS, NICER_GOALS, least_counted_share, nicer_goal
from raworder.solving.search import Solved, search, units_bought
from raworder.solving.solver import Settings
from raworder.trade.cuts import Part
from raworder.trade.scenario import Scenario, Variety
from tests import builders as b

LAMB = replace(b.TRIM, name="lamb trim", species=b.LIVER.species)
PORK = b.a_cut("pork trim", species="pork")


def bought(scenario: Scenario, key: str) -> dict[str, float]:
    """Units by the offers' keys of the nicest order, which must be proved."""
    solved = search(scenario, Settings(), nicer_goal(scenario, key))
    assert isinstance(solved, Solved)
    assert solved.outcomes["handy"].ending == "optimal"
    units = {one.key: units_bought(solved.problem, one, solved.found) for one in solved.problem.offers}
    return {key: count for key, count in units.items() if count}


def test_fewest_stops_buys_all_at_one_supplier() -> None:
    """10 % liver at Fenwick's for 1.00, or at the butcher's for 2.00: a stop fewer costs 1.00 more."""
    dog = b.a_dog(days=7, targets=[b.a_target(Part.LIVER, "1/10", "1/10")])
    offers = [
        b.an_offer(key="trim"),
        b.an_offer("lamb liver", key="cheap", supplier=b.FENWICK, price=1),
        b.an_offer("lamb liver", key="near", price=2),
    ]
    scenario = b.a_scenario(days=7, dogs=[dog], cuts=(b.TRIM, b.LIVER), offers=offers)
    assert bought(scenario, "stops") == {"trim": 4, "near": 1}
    assert bought(replace(scenario, budget=b.euros("10.70")), "stops") == {"trim": 4, "cheap": 1}  # 9.60 + 1.00


@pytest.mark.parametrize(("pack_g", "wanted"), [(100, {"large", "larger"}), (125, {"small"})])
def test_the_compromise_weighs_a_stop_against_packs(pack_g: int, wanted: set[str]) -> None:
    """3.5 kg: 35 packs at one stop are 30 + 35 + 2 = 67 minutes, two packs at two stops 60 + 2 + 4 = 66, and 28 packs
    at one stop 60. The one cut that is bought and fed counts alike in all."""
    offers = [
        b.an_offer(key="small", pack_g=pack_g, price="0.10"),
        b.an_offer(key="large", pack_g=2_000, price=9, available=1, supplier=b.FENWICK),
        b.an_offer(key="larger", pack_g=1_500, price=9, available=1, supplier=b.TIDEWELL),
    ]
    assert set(bought(b.a_scenario(days=7, offers=offers), "compromise")) == wanted


def test_the_compromise_counts_lines_stations_and_leftovers_and_a_species_as_worth_some() -> None:
    """As `Figures.bother` counts it: a stop 30, a station 4, a cut 3, a line 2, 4 packs, 500 g 2.5, a species -5."""
    scenario = b.a_scenario(days=7, offers=[b.an_offer(key="large")])
    solved = search(scenario, Settings(), nicer_goal(scenario, "compromise"))
    assert isinstance(solved, Solved)
    assert solved.outcomes["compromise"].value == pytest.approx(30 + 4 + 3 + 2 + 4 + 2.5 - 5)


def test_among_equally_nice_orders_the_compromise_is_the_cheapest() -> None:
    offers = [b.an_offer(key="dear", price=3), b.an_offer(key="cheap", price=2, supplier=b.FENWICK)]
    assert bought(b.a_scenario(days=7, offers=offers), "compromise") == {"cheap": 4}


def test_least_left_over_buys_the_packs_that_fit() -> None:
    """3.5 kg: four packs of 1 kg at 2.40 leave 500 g, five of 700 g at 2.50 nothing."""
    offers = [b.an_offer(key="large"), b.an_offer(key="fitting", pack_g=700, price="2.50")]
    scenario = b.a_scenario(days=7, offers=offers)
    assert bought(scenario, "left_over") == {"fitting": 5}
    assert bought(replace(scenario, budget=b.euros("9.65")), "left_over") == {"large": 4}


def test_fewest_packs_and_lines_counts_both_and_no_pack_of_what_is_cut_to_weight() -> None:
    """One line of four packs is 5, one pack of 4 kg with its line 2, and so much by weight a line without a pack: 1."""
    offers = [b.an_offer(key="small"), b.an_offer(key="large", pack_g=4_000, price=11)]
    scenario = b.a_scenario(days=7, offers=offers)
    assert bought(scenario, "packs_and_lines") == {"large": 1}
    by_weight = b.an_offer_by_weight(key="counter", unit_g=50, price_per_kg=6, breaks_g={2_000: 5})
    assert bought(replace(scenario, offers=(*offers, by_weight)), "packs_and_lines") == {"counter": 70}


def test_a_line_with_price_steps_is_one_line() -> None:
    """Two packs and two lines, 4, against four packs of one stepped line, 5, or two of it, 3."""
    two = [
        b.an_offer(key="a", pack_g=2_000, price=9, available=1),
        b.an_offer(key="b", pack_g=1_500, available=1, price=9),
    ]
    for pack_g, wanted in ((1_000, {"a": 1, "b": 1}), (1_750, {"stepped": 2})):
        stepped = b.an_offer(key="stepped", pack_g=pack_g, breaks={2: "2.20"})
        assert bought(b.a_scenario(days=7, offers=[*two, stepped]), "packs_and_lines") == wanted


@pytest.mark.parametrize(("share", "kinds"), [("1/3", 3), ("2/5", 2)])
def test_most_species_counts_a_species_only_from_its_share(share: str, kinds: int) -> None:
    """With a third each there is room for three species, with two fifths for two."""
    offers = [
        b.an_offer(pack_g=500),
        b.an_offer("lamb trim", pack_g=500, price=3),
        b.an_offer("pork trim", pack_g=500, price=4),
    ]
    scenario = b.a_scenario(days=6, cuts=(b.TRIM, LAMB, PORK), offers=offers)
    scenario = replace(scenario, variety=Variety(least_species=1, least_share=Fraction(share)))
    assert least_counted_share(scenario) == Fraction(share)
    assert len(bought(scenario, "species")) == kinds


def test_a_scrap_of_a_species_does_not_count() -> None:
    """50 g of 3.5 kg are 1.4 %, under the 5 % from which a species counts, so they are not bought for that."""
    offers = [b.an_offer(), b.an_offer("lamb trim", pack_g=50, price=1, available=1)]
    scenario = b.a_scenario(days=7, cuts=(b.TRIM, LAMB), offers=offers)
    assert [*bought(scenario, "species")] == [offers[0].key]
    enough = replace(offers[1], available=4)  # 200 g, 5.7 %
    assert [*bought(replace(scenario, offers=(offers[0], enough)), "species")] == [enough.key, offers[0].key][::-1]


def test_of_the_orders_with_most_species_the_one_with_most_cuts_is_meant_where_dogs_are_few() -> None:
    """Trim alone is the cheapest; heart is beef too, dearer, and one cut more."""
    offers = [b.an_offer(pack_g=500), b.an_offer("beef heart", pack_g=500, price=3)]
    scenario = b.a_scenario(days=7, cuts=(b.TRIM, b.HEART), offers=offers)
    assert len(bought(scenario, "species")) == 2
    many = replace(scenario, dogs=tuple(b.a_dog(f"dog {n}", days=7) for n in range(9)))
    assert MOST_CUTS in nicer_goal(scenario, "species").aims
    assert MOST_CUTS not in nicer_goal(many, "species").aims


def test_fewest_cuts_to_weigh_prefers_pieces_and_one_mince() -> None:
    """Trim and liver are two cuts to weigh, a mince that holds both is one; necks come in pieces and are none."""
    dog = b.a_dog(days=6, targets=[b.a_target(Part.LIVER, "1/20", "1/10")])
    mixed = b.a_cut("whole mince", kind="mince", parts={Part.MUSCLE: "19/20", Part.LIVER: "1/20"})
    offers = [b.an_offer(), b.an_offer("lamb liver", pack_g=500), b.an_offer("whole mince", price=5)]
    scenario = b.a_scenario(days=6, dogs=[dog], cuts=(b.TRIM, b.LIVER, mixed), offers=offers)
    assert bought(scenario, "weighed") == {offers[2].key: 3}
    with_necks = [b.an_offer(), b.an_offer("chicken neck", price=9)]
    # 2400 g of necks, and the rest is trim or liver: every bag is topped up with something weighed, one cut does
    dog = b.a_dog(days=6, targets=[b.a_target(Part.BONE, "32/100", "2/5")])
    pieces = b.a_scenario(days=6, dogs=[dog], cuts=(b.TRIM, b.NECK, b.LIVER), offers=[*with_necks, offers[1]])
    assert bought(pieces, "weighed").keys() == {with_necks[1].key, offers[1].key}


@pytest.mark.parametrize("key", [*NICER_GOALS])
def test_every_wish_can_be_asked_of_the_small_scenario(key: str) -> None:
    assert bought(b.SMALL, key)
