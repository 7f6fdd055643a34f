"""Reasons of invented scenarios: whatever is proposed gives a plan, and a clash is one, and no larger than it must be.

**Source:** the study's own promises; scenarios are invented by Hypothesis, each made impossible by money or by room.
"""

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from raworder.giving_way.family import apply_changes
from raworder.solving.solver import Settings
from raworder.trade.plan import NoPlan, Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch
from tests.drawn import examples
from tests.properties.strategies import scenarios
from tests.studies.giving_way import STEPS, a_step_less, has_order, looked_into, only


def narrowed(scenario: Scenario, what: str) -> Scenario:
    """The scenario as it is, or with a tenth less money or room than its cheapest order takes."""
    answer = plan_batch(scenario, Settings())
    if what == "nothing" or not isinstance(answer, Plan):
        return scenario
    if what == "money":
        return replace(scenario, budget=scenario.currency.rounded(answer.total * 9 / 10))
    return replace(scenario, room_g=sum(dog.batch_g for dog in scenario.dogs) * 9 // 10)


@pytest.mark.slow
@examples(4)
@given(scenarios(), st.sampled_from(["nothing", "money", "room"]))
def test_what_is_proposed_gives_a_plan_and_a_step_less_does_not(scenario: Scenario, what: str) -> None:
    scenario = narrowed(scenario, what)
    assume(plan_batch(scenario, Settings()) == NoPlan())
    why = looked_into(scenario)
    for one in (*why.menu, why.together):
        if one and one.opened:
            plan = plan_batch(apply_changes(scenario, one.opened.changes), Settings())
            assert isinstance(plan, Plan)
            assert plan.total == one.opened.total
    for one in why.menu:
        if one.opened and one.demands[0].rule in STEPS:
            less = plan_batch(apply_changes(scenario, [a_step_less(one.opened.changes[0])]), Settings())
            assert isinstance(less, NoPlan), one


@pytest.mark.slow
@examples(4)
@given(scenarios(), st.sampled_from(["nothing", "money", "room"]))
def test_without_any_one_of_the_rules_that_clash_the_others_can_be_met(scenario: Scenario, what: str) -> None:
    scenario = narrowed(scenario, what)
    assume(plan_batch(scenario, Settings()) == NoPlan())
    clashing = looked_into(scenario).clash
    assert not clashing or not has_order(only(scenario, clashing))
    for demand in clashing:
        assert has_order(only(scenario, [one for one in clashing if one is not demand]))
