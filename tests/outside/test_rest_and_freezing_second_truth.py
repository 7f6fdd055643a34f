"""Energy at rest and freezing first by a second model, written apart: the same feasibility and the same exact cost.

**Source:** scipy.optimize.milp on the matrices of `tests/outside/matrices.py`, which reckons what a dog needs from its
weight and how long food has been frozen from its days, with the published figures that stand there.
"""

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from random import Random

import pytest

from raworder.trade.bags import Portioning
from raworder.trade.cuts import Part
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.drawn import drawn, seeds
from tests.outside.invented_rest import resting_and_frozen
from tests.outside.matrices import is_ready, least_cost
from tests.outside.test_milp_second_truth import CENT, agree

EACH, SEEN = 25, 60


@drawn(blocks=2)
def test_both_models_agree_on_energy_at_rest_and_on_freezing_first(block: int) -> None:
    """600 of them, seeds 0 to 299 and 1000 to 1299, were run by hand when this was written, and all agreed."""
    costs = [agree(resting_and_frozen(Random(seed)), seed) for seed in seeds(block, EACH)]
    assert sum(cost is not None for cost in costs) >= EACH // 6


def without_rest(scenario: Scenario) -> Scenario:
    """The scenario in which no dog is asked for energy at rest."""
    return replace(scenario, dogs=tuple(replace(dog, resting_share=Fraction(0)) for dog in scenario.dogs))


def costs_more(one: float | None, other: float | None) -> bool:
    """Whether there is no order, or a dearer one, where the other is to be had."""
    return other is not None and (one is None or one > other + CENT)


@pytest.mark.slow
def test_both_rules_bind_in_a_good_part_of_them() -> None:
    many = [resting_and_frozen(Random(seed)) for seed in range(SEEN)]
    costs = [least_cost(one) for one in many]
    at_rest = [least_cost(without_rest(one)) for one in many]
    frozen = [least_cost(replace(one, hold_days=None)) for one in many]
    assert sum(map(costs_more, costs, at_rest)) >= SEEN // 6
    assert sum(map(costs_more, costs, frozen)) >= SEEN // 6
    assert not any(costs_more(loose, cost) for loose, cost in zip([*at_rest, *frozen], costs * 2, strict=True))


@pytest.mark.slow
def test_they_hold_everything_that_the_two_rules_are_about() -> None:
    many = [resting_and_frozen(Random(seed)) for seed in range(300)]
    dogs = [dog for scenario in many for dog in scenario.dogs if dog.resting_kcal]
    food = [(scenario, one) for scenario in many for one in (*scenario.offers, *scenario.on_hand)]
    assert sum(dog.goal == "lose" for dog in dogs) > 30
    assert sum(bool(dog.other_food.kcal) for dog in dogs) > 30
    assert sum(dog.other_food.as_much for dog in dogs) > 20
    assert sum(bool(dog.treats_kcal) for dog in dogs) > 20
    assert sum(dog.free_grams for dog in dogs) > 30
    assert sum(not dog.resting_share for dog in dogs) > 10
    assert sum(cut.kcal_per_g is None for scenario in many for cut in scenario.cuts) > 100
    assert sum(not is_ready(*one) for one in food) > 200
    assert sum(scenario.hold_days is None for scenario in many) > 20
    assert sum(lot.frozen_on is None for scenario in many for lot in scenario.on_hand) > 100


def test_no_piece_is_made_of_two_rests_that_come_frozen_where_fresh_ones_are_there_too() -> None:
    """Two packs of 500 g hold four ribs of 110 g each, and nine are needed: the ninth would be of the fresh ones."""
    rib = b.with_raw_pork(b.a_cut("pork rib", parts={Part.MUSCLE: "7/10", Part.BONE: "3/10"}, piece_g=110))
    packs = [
        b.an_offer("pork rib", supplier=name, pack_g=500, price=2, available=1, frozen_days=20)
        for name in (b.HOLLOW_LANE, b.FENWICK)
    ]
    scenario = b.a_scenario(
        days=7,
        # 14 % of 2 kg are 280 g of bone, and a rib has 33 g
        dogs=[b.a_dog(days=7, batch_g=2_000, daily_g="2000/7", targets=[b.a_target(low="14/100", high="20/100")])],
        cuts=(rib, b.TRIM),
        offers=[*packs, b.an_offer_by_weight("beef trim")],
        on_hand=[b.on_hand("pork rib", 330)],
        portioning=Portioning(most_a_day=()),
    )
    assert agree(scenario, "ribs") is None
    known = replace(scenario, on_hand=(replace(scenario.on_hand[0], frozen_on=b.STARTS - timedelta(21)),))
    # eleven are there with the three on hand, 1210 g, and all are fed: two packs at 2.00, and 790 g of trim
    assert agree(known, "ribs of a known day") == pytest.approx(4 + 0.790 * 6.2, abs=1e-6)
