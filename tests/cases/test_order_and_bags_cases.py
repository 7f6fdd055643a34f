"""Scenarios in which order and bags once did not agree: a false "no plan", plans altered for their bags, none in time.

All of them are invented. **Source:** the rules of the house; the costs named were found by several solvers.
"""

from decimal import Decimal
from pathlib import Path

import pytest

from raworder.reading.scenario_file import read_scenario
from raworder.solving.solver import Settings
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import Answer, plan_batch
from tests.builders import without_rules_on_energy_and_freezing
from tests.drawn import few

CASES = Path(__file__).resolve().parent
ENOUGH_S = 25
"""Seconds in which the scenario of five dogs once had no plan, though the solver had one after two."""


def scenario_of(case: str) -> Scenario:
    """The scenario of a case."""
    scenario = read_scenario(CASES / f"{case}.yaml").scenario
    assert scenario is not None
    return without_rules_on_energy_and_freezing(scenario)


def plan_of(answer: Answer) -> Plan:
    """The answer, which must be a plan with bags."""
    assert isinstance(answer, Plan), answer
    assert answer.bags
    return answer


@pytest.mark.slow
def test_a_scenario_has_a_plan_where_a_stricter_one_has() -> None:
    """A dog of 225 g a day can be fed a herring of 150 g a day; it was told that there is no plan at all."""
    looser = plan_of(plan_batch(scenario_of("herring_in_small_bags"), Settings()))
    stricter = plan_of(plan_batch(scenario_of("herring_in_small_bags_stricter"), Settings()))
    assert looser.proof.proved
    assert stricter.proof.proved
    assert looser.total <= stricter.total


WITH_BAGS = (("altered_for_bags", "195.59", "198.85"), ("not_proved_but_equal", "39.99", "40.00"))


@few("known", WITH_BAGS, 1)
def test_what_bags_hold_in_the_model_makes_a_proof(known: tuple[str, str, str]) -> None:
    """The order alone costs no less than the one, the plan with altered amounts cost the other and was not proved."""
    case, at_least, at_most = known
    plan = plan_of(plan_batch(scenario_of(case), Settings()))
    assert plan.proof.proved
    assert Decimal(at_least) <= plan.total <= Decimal(at_most)


@pytest.mark.slow
def test_the_best_found_in_time_is_shown_with_its_distance_from_the_bound() -> None:
    plan = plan_of(plan_batch(scenario_of("five_dogs_and_four_suppliers"), Settings(time_limit_s=ENOUGH_S)))
    assert plan.total >= plan.proof.bound >= Decimal(215)
    assert plan.total <= Decimal(222)
