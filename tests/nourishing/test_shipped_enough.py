"""Every shipped example feeds every healthy dog enough energy. **Source:** the published needs of `data/energy.csv`.

All names, prices and figures of the examples are invented.
"""

from fractions import Fraction

import pytest

from raworder.solving.solver import Settings
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch, with_nourishment
from tests.planned import EVERY_PLAN, LARGEST, answer_of, scenario_of

ENOUGH = Fraction(95, 100)
"""The share of the published least that an example must reach. Source: our own choice."""


def assert_all_are_fed_enough(scenario: Scenario, plan: Plan) -> None:
    """That each healthy dog gets enough, and that its need is known at all."""
    lines = {food.dog: food.energy for food in with_nourishment(scenario, plan).nourished}
    for dog in scenario.dogs:
        if dog.care is None:
            line = lines[dog.name]
            assert line is not None, dog.name
            assert line.is_known, dog.name
            assert line.of_need >= ENOUGH, (dog.name, float(line.of_need))


@pytest.mark.parametrize("name", EVERY_PLAN)
def test_every_dog_of_an_example_is_fed_enough(name: str) -> None:
    plan = answer_of(name)
    assert isinstance(plan, Plan)
    assert_all_are_fed_enough(scenario_of(name), plan)


@pytest.mark.slow
def test_every_dog_of_the_rescue_is_fed_enough() -> None:
    plan = order_batch(scenario_of(LARGEST), Settings())
    assert isinstance(plan, Plan)
    assert_all_are_fed_enough(scenario_of(LARGEST), plan)
