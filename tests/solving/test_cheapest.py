"""The cheapest order: the same on every run, with either solver, and honest about what was proved.

**Source:** arithmetic; sums stand beside the numbers.
"""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from raworder.solving.cheapest import cheapest
from raworder.solving.objective import cost_gap
from raworder.solving.search import Impossible, build
from raworder.solving.solver import Settings, SolverName
from raworder.trade.bags import Portioning, Working
from raworder.trade.plan import Allocation, Unsolved
from raworder.trade.scenario import PriceStep, Scenario
from tests import builders as b


def allocation(scenario: Scenario, solver: SolverName = SolverName.HIGHS) -> Allocation:
    found = cheapest(scenario, Settings(solver))
    assert isinstance(found, Allocation)
    return found


def bought(found: Allocation) -> dict[str, int]:
    return {key: amount // 10**6 for key, amount in found.bought_millionths.items()}


def test_two_runs_give_equal_allocations() -> None:
    assert allocation(b.SMALL) == allocation(b.SMALL)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(5))
def test_shuffled_input_gives_an_equal_allocation(seed: int) -> None:
    random, small = Random(seed), b.SMALL
    shuffled = replace(
        small,
        dogs=tuple(random.sample(small.dogs, len(small.dogs))),
        cuts=tuple(random.sample(small.cuts, len(small.cuts))),
        offers=tuple(random.sample(small.offers, len(small.offers))),
        suppliers=tuple(random.sample(small.suppliers, len(small.suppliers))),
        on_hand=tuple(random.sample(small.on_hand, len(small.on_hand))),
    )
    one, other = allocation(small), allocation(shuffled)
    assert dict(one.bought_millionths) == dict(other.bought_millionths)
    assert dict(one.eaten_ug) == dict(other.eaten_ug)
    assert one.proof == other.proof


@pytest.mark.slow
def test_both_solvers_find_the_same_order_at_the_same_cost() -> None:
    highs, cbc = allocation(b.SMALL), allocation(b.SMALL, SolverName.CBC)
    assert highs.proof.bound == pytest.approx(cbc.proof.bound, abs=Decimal("0.0001"))
    assert (highs.proof.solver, cbc.proof.solver) == ("highs", "cbc")
    assert bought(highs).keys() == bought(cbc).keys()


def test_every_dog_eats_its_batch_to_the_microgram() -> None:
    found = allocation(b.SMALL)
    for dog in b.SMALL.dogs:
        assert sum(ug for (name, _), ug in found.eaten_ug.items() if name == dog.name) == dog.batch_g * 10**6


def test_of_two_equally_cheap_orders_the_one_with_less_left_over_is_taken() -> None:
    """7 kg: two packs of 4 kg or two of 3.5 kg, 14.00 each."""
    offers = [
        b.an_offer(pack_g=4_000, price=14, key="four"),
        b.an_offer(pack_g=3_500, price=14, key="less"),
    ]
    assert bought(allocation(b.a_scenario(offers=offers))) == {"less": 2}


def test_of_two_equally_cheap_orders_the_one_with_fewer_suppliers_is_taken() -> None:
    cuts = (b.TRIM, b.HEART)
    caps = [b.a_cap(most="1/2"), b.a_cap(b.Measure.CUT, "beef trim", "1/2")]
    offers = [b.an_offer(cut.name, supplier=name, pack_g=500) for cut in cuts for name in (b.HOLLOW_LANE, b.FENWICK)]
    found = allocation(b.a_scenario(dogs=[b.a_dog(daily_g=100, days=10, caps=caps)], cuts=cuts, offers=offers))
    assert len({key.partition(":")[0] for key in bought(found)}) == 1


def test_buying_a_pack_more_than_is_fed_can_be_the_cheapest() -> None:
    """7 kg at 3.00 are 21.00; ten packs at 2.00 are 20.00."""
    found = allocation(b.a_scenario(offers=[b.an_offer(price=3, breaks={10: 2}, key="trim")]))
    assert bought(found) == {"trim": 10}
    assert found.proof.bound == Decimal(20)


def test_a_supplier_without_offers_is_no_trouble() -> None:
    """7 packs at 2.40."""
    suppliers = [b.a_supplier(), b.a_supplier(b.FENWICK)]
    assert allocation(b.a_scenario(suppliers=suppliers)).proof.bound == Decimal("16.80")


def test_all_on_hand_and_nothing_bought_costs_nothing() -> None:
    found = allocation(b.a_scenario(on_hand=[b.on_hand(grams=7_000)]))
    assert dict(found.bought_millionths) == {}
    assert found.proof.bound == 0


def test_no_dog_fed_in_this_batch_costs_nothing() -> None:
    found = allocation(b.a_scenario(dogs=[b.a_dog(batch_g=0)]))
    assert dict(found.bought_millionths) == {}


def three_frames_and_trim(lots_g: Iterable[int] = (), packs_g: Iterable[int] = (), sold: int = 10) -> Scenario:
    """750 g of chicken frame, in pieces of 250 g, and 2750 g of trim, which is on hand; packs at 1.00 from anybody."""
    frame = b.a_cut("chicken frame", kind="frame", parts={b.Part.MUSCLE: "1/2", b.Part.BONE: "1/2"}, piece_g=250)
    bone = b.a_target(low="375/3500", high="375/3500")
    names = (b.HOLLOW_LANE, b.FENWICK)
    return b.a_scenario(
        dogs=[b.a_dog(days=7, targets=[bone])],
        days=7,
        cuts=(frame, b.TRIM),
        on_hand=[b.on_hand("beef trim", 2_750), *(b.on_hand("chicken frame", grams) for grams in lots_g)],
        offers=[
            b.an_offer("chicken frame", supplier=name, pack_g=grams, price=1, key=name, available=sold)
            for name, grams in zip(names, packs_g, strict=False)
        ],
    )


@pytest.mark.parametrize(("lots_g", "packs"), [([375, 375], 1), ([370, 380], 1), ([500, 250], 0), ([751], 0), ([], 2)])
def test_two_rests_of_lots_make_no_piece(lots_g: list[int], packs: int) -> None:
    """Three frames are needed; each lot gives those that it holds. What is bought of one offer is counted together."""
    assert bought(allocation(three_frames_and_trim(lots_g, [400]))) == ({b.HOLLOW_LANE: packs} if packs else {})


def test_two_rests_of_what_two_sell_make_no_piece() -> None:
    """A pack of 400 g and one of 350 g hold two frames, not three; two packs of either hold three and two."""
    assert bought(allocation(three_frames_and_trim(packs_g=[400, 350]))) == {b.HOLLOW_LANE: 2}
    assert isinstance(cheapest(three_frames_and_trim(packs_g=[400, 350], sold=1), Settings()), Impossible)


@pytest.mark.parametrize("solver", SolverName)
def test_no_bone_on_the_lists_is_impossible(solver: SolverName) -> None:
    scenario = b.a_scenario(dogs=[b.a_dog(targets=[b.a_target()])])
    assert isinstance(cheapest(scenario, Settings(solver)), Impossible)


@pytest.mark.parametrize("solver", SolverName)
def test_what_only_whole_packs_make_impossible_is_impossible(solver: SolverName) -> None:
    """7 kg from packs of 2 kg need four, 8 kg; there is room for 7.5 kg; in fractions of a pack it would fit."""
    scenario = b.a_scenario(offers=[b.an_offer(pack_g=2_000)], room_g=7_500)
    assert isinstance(cheapest(scenario, Settings(solver)), Impossible)


def test_a_rule_left_out_is_not_in_the_model() -> None:
    assert "room" in {one.name for one in build(b.SMALL).lp.constraints()}
    assert "room" not in {one.name for one in build(replace(b.SMALL, room_g=None)).lp.constraints()}


@pytest.mark.slow
def test_a_minimum_order_that_whole_units_do_not_hit_to_the_cent_is_proved_in_seconds() -> None:
    """Steps of 45.359237 g at prices per kg reach 32.00 in countless ways, each a millionth above it.

    What is billed is paid: lines that round up win nothing, and the least is the minimum itself.
    """
    step_g = Fraction(45359237, 10**6)
    prices = {"beef trim": "4.89", "lamb breast": "3.26", "pork shoulder": "6.19", "chicken liver": "5.88"}
    cuts = [b.a_cut(name) for name in prices]
    offers = [
        replace(
            b.an_offer_by_weight(name),
            unit_g=step_g,
            steps=(PriceStep(1, Fraction(price) * step_g / 1000, Decimal(price), "kg"),),
        )
        for name, price in prices.items()
    ]
    scenario = b.a_scenario(
        dogs=[b.a_dog(daily_g=300)], cuts=cuts, offers=offers, suppliers=[b.a_supplier(minimum_order=32)]
    )
    found = cheapest(scenario, Settings(time_limit_s=30))
    assert isinstance(found, Allocation)
    assert found.proof.proved
    assert float(found.proof.bound) == pytest.approx(32, abs=2e-4)


def test_where_pieces_were_left_out_it_is_not_said_that_no_order_is_possible() -> None:
    """Fed from a tub, a dog gets four pieces a batch or none; by itself it could be fed one rib of 400 g in 1500 g."""
    rib = b.a_cut(
        "pork rib", species="pork", kind="rib", parts={b.Part.BONE: "3/10", b.Part.MUSCLE: "7/10"}, piece_g=400
    )
    dogs = [b.a_dog(name, days=3, targets=[b.a_target()]) for name in ("Maple", "Pip")]
    tub = Portioning(working=Working.TUB)
    scenario = b.a_scenario(days=3, dogs=dogs, cuts=(rib, b.TRIM), portioning=tub)
    answer = cheapest(scenario, Settings())
    assert isinstance(answer, Unsolved)
    assert "larger pieces were left out" in answer.why
    too_large = replace(rib, piece_g=600)  # no bag of 500 g takes it
    without = replace(scenario, cuts=(too_large, b.TRIM))
    assert isinstance(cheapest(without, Settings()), Impossible)


def test_where_no_order_costs_a_part_of_a_cent_a_bound_within_one_is_a_proof() -> None:
    packs, by_weight = b.a_scenario(), b.a_scenario(offers=[b.an_offer_by_weight()])
    assert cost_gap(build(packs)) == pytest.approx(0.0098)
    assert cost_gap(build(by_weight)) == pytest.approx(0.0001)
    taxed = b.a_scenario(suppliers=[b.a_supplier(sales_tax="1/20")])
    assert cost_gap(build(taxed)) == pytest.approx(0.0001)
    found = cheapest(packs, Settings())
    assert isinstance(found, Allocation)
    assert found.proof.bound == Decimal("16.80")  # seven packs at 2.40, in whole cents
