"""Many dogs: an order found without counting pieces is shared out in whole ones, or pieces are counted in the order.

**Source:** arithmetic; sums stand beside the numbers.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from raworder.solving.cheapest import cheapest
from raworder.solving.groups import groups_of
from raworder.solving.search import Impossible, build
from raworder.solving.sharing import fix_purchases, misses_by_pieces_only
from raworder.solving.solver import Settings
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Part
from raworder.trade.dogs import EnergyRation, Target
from raworder.trade.plan import MILLION, Allocation, Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch
from tests import builders as b

NINE = range(9)


def nine_dogs(low: str, high: str, *, portioning: Portioning | None = None) -> Scenario:
    """63 kg for nine dogs: necks at 5.00 and trim at 2.00 per kg, both cut to the gram."""
    targets = [b.a_target(low=low, high=high)]
    offers = [b.an_offer_by_weight("chicken neck", price_per_kg=5), b.an_offer_by_weight("beef trim", price_per_kg=2)]
    return b.a_scenario(
        dogs=[b.a_dog(f"dog {number}", targets=targets) for number in NINE],
        cuts=(b.NECK, b.TRIM),
        offers=offers,
        portioning=portioning,
    )


def allocation(scenario: Scenario) -> Allocation:
    found = cheapest(scenario, Settings())
    assert isinstance(found, Allocation)
    return found


def eaten_g(found: Allocation, cut: str) -> Fraction:
    return sum((Fraction(amount, MILLION) for (_, one), amount in found.eaten_ug.items() if one == cut), Fraction(0))


@pytest.mark.slow
def test_an_order_that_can_be_shared_out_in_whole_pieces_costs_no_more_than_one_of_divided_ones() -> None:
    """8 % of 63 kg are 5040 g of bone: 12.6 kg or 210 necks, 63.00, and 50.4 kg of trim, 100.80."""
    scenario = nine_dogs("8/100", "12/100")
    found = allocation(scenario)
    assert float(found.proof.bound) == pytest.approx(163.80, abs=2e-4)
    assert found.remarks == ()
    assert found.fed_alike == (tuple(f"dog {number}" for number in NINE),)
    assert round(eaten_g(found, "chicken neck")) == 12_600
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    # 210 necks for nine dogs: 23 each and three more
    assert sorted(plan.eaten_g(f"dog {number}", "chicken neck") // 60 for number in NINE) == [23] * 6 + [24] * 3


def test_an_order_that_cannot_be_shared_out_is_found_again_in_whole_pieces_and_that_is_told() -> None:
    """10 % are 15.75 kg of neck, 262.5 pieces: 78.75 and 94.50 for trim. 263 pieces, 15.78 kg, are 78.90 and 94.44.

    With 262, trim would be 30 g short. 263 x 24 g of bone are 10.019 %, and 10.02 % are allowed.
    """
    found = allocation(nine_dogs("10/100", "1002/10000"))
    assert float(found.proof.bound) == pytest.approx(173.34, abs=2e-4)
    (remark,) = found.remarks
    assert "An order for 173.25 EUR would do if pieces could be divided" in remark
    assert round(eaten_g(found, "chicken neck")) == 263 * 60


def test_the_remark_stands_on_the_plan() -> None:
    scenario = nine_dogs("10/100", "1002/10000")
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    assert plan.remarks == allocation(scenario).remarks


def test_where_pieces_may_be_divided_nothing_is_told() -> None:
    found = allocation(nine_dogs("10/100", "1002/10000", portioning=Portioning(divided=frozenset({"chicken neck"}))))
    assert float(found.proof.bound) == pytest.approx(173.25, abs=2e-4)
    assert found.remarks == ()


def test_what_no_whole_number_of_pieces_meets_is_impossible_for_many_dogs_too() -> None:
    """262.5 necks exactly."""
    assert isinstance(cheapest(nine_dogs("10/100", "10/100"), Settings()), Impossible)


def test_eight_dogs_are_planned_piece_by_piece() -> None:
    """Each needs 560 g of bone, 23.3 necks, so 24; together they would do with 187."""
    nine = nine_dogs("8/100", "12/100")
    eight = b.a_scenario(dogs=nine.dogs[:8], cuts=nine.cuts, offers=nine.offers)
    assert round(eaten_g(allocation(eight), "chicken neck")) == 8 * 24 * 60


def test_a_group_may_miss_its_range_by_half_a_piece_and_no_more() -> None:
    """10 to 12 % of 63 kg are 6300 g of bone at least; half a neck for trim changes 12 g."""
    problem = build(nine_dogs("10/100", "12/100"))
    (group,) = problem.groups
    for bone_g, holds in ((6_300, True), (6_288.1, True), (6_287.9, False), (7_571.9, True), (7_572.1, False)):
        neck_kg = bone_g / 0.4 / 1000
        found = {
            problem.eat_kg[group.name, "chicken neck"].name: neck_kg,
            problem.eat_kg[group.name, "beef trim"].name: 63 - neck_kg,
        }
        assert misses_by_pieces_only(problem, found) is holds


def test_a_group_may_miss_energy_at_rest_by_half_a_piece_and_no_more() -> None:
    """1.2 kcal a gram are asked, of trim of 2 and of necks of which it is known that they hold none.

    Half a neck, 30 g, for trim changes 60 kcal, and whole grams up to 1.2 kcal for each of nine dogs. Of n grams of
    neck 0.8 x (63000 - n) - 1.2 x n are 50400 - 2 x n kcal, and at least -70.8 will do: n is 25235.4 at most.
    """
    cuts = (b.with_energy(b.NECK, 0), b.with_energy(b.TRIM, 200))
    problem = build(b.a_scenario(dogs=[b.a_dog(f"dog {number}", resting_kcal=600) for number in NINE], cuts=cuts))
    (group,) = problem.groups
    for neck_kg, holds in ((25.235, True), (25.236, False)):
        eaten_kg = {"chicken neck": neck_kg, "beef trim": 63 - neck_kg}
        found = {problem.eat_kg[group.name, cut].name: kg for cut, kg in eaten_kg.items()}
        assert misses_by_pieces_only(problem, found) is holds


def test_dogs_fed_by_energy_share_an_order_of_which_just_enough_was_bought() -> None:
    """A pack of 990 g is sixteen necks and a rest of 30 g, and no more trim was bought to make up for its grams."""
    energy = EnergyRation((Fraction(500),) * 14)
    dogs = [replace(b.a_dog(f"Dog {number}", targets=()), energy=energy) for number in range(9)]
    cuts = (b.with_energy(b.NECK, 100), b.with_energy(b.TRIM, 200))
    offers = [
        b.an_offer(b.NECK.name, pack_g=990, price="0.50", available=1),
        b.an_offer_by_weight(b.TRIM.name, price_per_kg=6),
    ]
    found = allocation(b.a_scenario(dogs=dogs, cuts=cuts, offers=offers))
    assert round(eaten_g(found, b.NECK.name)) == 16 * 60
    assert not any("if pieces could be divided" in remark for remark in found.remarks)


def test_half_a_piece_is_in_exchange_for_what_differs_most_from_it() -> None:
    """40 to 60 % of 63 kg are 25200 g of bone at least.

    A rib of 90 g is all bone, a neck of 60 g two fifths and a back of 80 g a fifth: half of each, times how far it is
    from what differs most, are 45 x 0.8 + 30 x 0.6 + 40 x 0.8 = 86 g.
    """
    rib = b.a_cut("rib", parts={Part.BONE: 1}, piece_g=90)
    back = b.a_cut("back", parts={Part.MUSCLE: "4/5", Part.BONE: "1/5"}, piece_g=80)
    targets = [b.a_target(low="40/100", high="60/100")]
    dogs = [b.a_dog(f"dog {number}", targets=targets) for number in NINE]
    cuts = (b.NECK, rib, back)
    problem = build(b.a_scenario(dogs=dogs, cuts=cuts, offers=[b.an_offer_by_weight(cut.name) for cut in cuts]))
    (group,) = problem.groups
    for bone_g, holds in ((25_114.1, True), (25_113.9, False)):
        rib_kg = (bone_g / 1000 - 0.4 * 10 - 0.2 * 53) / 0.8
        eaten_kg = {"chicken neck": 10, "rib": rib_kg, "back": 53 - rib_kg}
        found = {problem.eat_kg[group.name, cut].name: kg for cut, kg in eaten_kg.items()}
        assert misses_by_pieces_only(problem, found) is holds


def test_what_was_bought_is_fixed() -> None:
    scenario = b.a_scenario(offers=[b.an_offer(key="pack"), b.an_offer_by_weight(key="weight")])
    problem = build(scenario)
    pack, weight = problem.buy["pack", 0], problem.buy["weight", 0]
    fix_purchases(problem, {pack.name: 2.9999999, weight.name: 4.0000001})
    assert (pack.lowBound, pack.upBound) == (3, 3)
    assert weight.lowBound == pytest.approx(4.0000001, abs=2e-6)
    assert weight.lowBound < weight.upBound


def test_groups_of_many_dogs_have_one_range_each() -> None:
    other = Target(b.Part.BONE, Fraction(9, 100), Fraction(11, 100))
    dogs = [b.a_dog(f"dog {number}", targets=[other] if number % 2 else [b.a_target()]) for number in NINE]
    assert len(groups_of(b.a_scenario(dogs=dogs, cuts=(b.NECK, b.TRIM)))) == 2
