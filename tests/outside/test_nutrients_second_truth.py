"""Rations in energy, rules on nutrients and supplements by a second model: the same cost, or that there is none.

**Source:** scipy.optimize.milp on the matrices of `tests/outside/matrices.py`, written apart from the solving floor.
"""

from dataclasses import replace
from fractions import Fraction
from random import Random

import pytest

from raworder.solving.solver import Settings
from raworder.trade.plan import NoPlan, Plan, Unsolved
from raworder.workflow import order_batch
from tests.drawn import drawn, seeds
from tests.outside.invented_nutrients import with_nutrients
from tests.outside.matrices import least_cost
from tests.outside.test_milp_second_truth import agree

EACH, SEEN = 25, 150


@drawn(blocks=2)
def test_both_models_agree_where_something_is_asked_of_nutrients(block: int) -> None:
    costs = [agree(with_nutrients(Random(seed)), seed) for seed in seeds(block, EACH)]
    assert any(cost is not None for cost in costs)


@drawn()
def test_every_order_passes_the_audit(block: int) -> None:
    for seed in seeds(block, 12):
        assert isinstance(order_batch(with_nutrients(Random(seed)), Settings()), Plan | NoPlan | Unsolved), seed


def test_the_random_scenarios_hold_everything_the_rules_are_about() -> None:
    many = [with_nutrients(Random(seed)) for seed in range(SEEN)]
    dogs = [dog for scenario in many for dog in scenario.dogs]
    assert sum(dog.free_grams for dog in dogs) > 50
    assert sum(bool(dog.nutrient_limits) for dog in dogs) > 100
    assert sum(bool(dog.ratio_limits) for dog in dogs) > 30
    assert sum(bool(scenario.supplement_offers) for scenario in many) > 50
    assert sum(scenario.variety.least_species > 0 and any(d.free_grams for d in scenario.dogs) for scenario in many) > 5


@pytest.mark.slow
def test_rules_and_supplements_change_what_orders_cost() -> None:
    dearer = 0
    for seed in range(20):
        scenario = with_nutrients(Random(seed))
        plain = replace(
            scenario, dogs=tuple(replace(dog, nutrient_limits=(), ratio_limits=()) for dog in scenario.dogs)
        )
        with_rules, without = least_cost(scenario), least_cost(plain)
        if without is not None:
            dearer += with_rules is None or Fraction(with_rules) > Fraction(without) + Fraction(1, 100)
    assert dearer > 3
