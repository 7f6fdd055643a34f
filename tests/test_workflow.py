"""The whole way of one batch where bags cannot be filled at once: other amounts, a time limit, a budget.

All names, prices and figures are invented. **Source:** the rules of the house; no outside source.
"""

import pickle
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random
from typing import Any

import pytest

from raworder import workflow
from raworder.portioning.bag_filling import NoBags, fill_all_bags
from raworder.reading.scenario_file import read_scenario
from raworder.reporting.summary import proof_text
from raworder.solving.solver import Settings, TimeIsUpError
from raworder.studies.orders import order_before_sharing
from raworder.trade.plan import Breach, NoPlan, Plan, PlanWithheldError, Unsolved
from raworder.trade.scenario import Scenario
from raworder.workflow import ALTERED, ALTERED_IN_TIME, order_batch, plan_batch
from tests.outside.order_and_bags import small_dogs_with_large_pieces

SMALLEST = Path(__file__).resolve().parents[1] / "scenarios" / "smallest.yaml"


def the_smallest(budget_over: int | None = None) -> tuple[Scenario, Plan]:
    """The smallest scenario and its plan; its budget so many minor units above that, if it is to have one."""
    scenario = read_scenario(SMALLEST).scenario
    assert scenario is not None
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    if budget_over is not None:
        scenario = replace(scenario, budget=plan.total + budget_over * scenario.currency.minor)
    return scenario, plan


def failing(times: int, dogs: tuple[str, ...] = ("Maple",)) -> Callable[..., Any]:
    """A filler of bags that fails so many times for these dogs."""
    left = [times]

    def fill(*arguments: Any) -> Any:
        left[0] -= 1
        return NoBags(dogs) if left[0] >= 0 else fill_all_bags(*arguments)

    return fill


@pytest.mark.slow
def test_where_bags_cannot_be_filled_they_are_put_into_the_order_and_that_is_proved(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    scenario, before = the_smallest()
    monkeypatch.setattr(workflow, "fill_all_bags", failing(1))
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    assert plan.bags
    assert (plan.total, plan.proof.proved, plan.proof.why) == (before.total, True, "")


@pytest.mark.slow
def test_bags_of_a_dog_fed_by_energy_are_put_into_the_order_too(monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = read_scenario(SMALLEST.with_name("vet_visit.yaml")).scenario
    assert scenario is not None
    assert any(dog.free_grams for dog in scenario.dogs)
    before = plan_batch(scenario, Settings())
    assert isinstance(before, Plan)
    names = tuple(dog.name for dog in scenario.dogs)
    monkeypatch.setattr(workflow, "fill_all_bags", failing(2, names))
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    assert (plan.total, plan.proof.proved) == (before.total, True)


@pytest.mark.slow
def test_where_that_does_not_help_other_amounts_are_found_and_not_called_proved(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The bags are put into the order with and without least portions; then amounts less uneven are tried."""
    scenario, before = the_smallest()
    monkeypatch.setattr(workflow, "fill_all_bags", failing(3))
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    assert plan.portions != before.portions
    assert plan.total > before.total
    assert (plan.proof.proved, plan.proof.bound, plan.proof.why) == (False, before.proof.bound, ALTERED)
    assert proof_text(scenario, plan).startswith(f"Not proved to be the cheapest: {ALTERED}.")


@pytest.mark.slow
def test_where_no_amounts_help_it_is_not_said_that_there_is_no_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """A filler that fails proves nothing."""
    scenario, _ = the_smallest()
    monkeypatch.setattr(workflow, "fill_all_bags", failing(99))
    answer = plan_batch(scenario, Settings())
    assert isinstance(answer, Unsolved)
    assert "no way was found to fill the bags of Maple" in answer.why
    assert "minced bone" in answer.advice


@pytest.mark.slow
def test_there_is_no_plan_where_order_and_bags_together_are_proved_impossible() -> None:
    """Of a food that can be bought, but whose pieces leave no bag room enough for what else must be in it."""
    scenario = small_dogs_with_large_pieces(Random(102))
    assert isinstance(order_batch(scenario, Settings()), Plan)
    answer = plan_batch(scenario, Settings())
    assert isinstance(answer, NoPlan)
    assert answer.unfilled is not None
    assert set(answer.unfilled.dogs) <= {dog.name for dog in scenario.dogs}


@pytest.mark.slow
@pytest.mark.parametrize(("budget_over", "kind"), [(0, Unsolved), (500, Plan)])
def test_other_amounts_are_not_bought_above_the_budget(
    monkeypatch: pytest.MonkeyPatch, budget_over: int, kind: type
) -> None:
    scenario, _ = the_smallest(budget_over)
    real = workflow.narrow_ranges
    monkeypatch.setattr(workflow, "fill_all_bags", failing(3))
    # as if the model's budget, which allows what rounding can take off, had let a dearer order through
    monkeypatch.setattr(workflow, "narrow_ranges", lambda one, *more: real(replace(one, budget=None), *more))
    assert isinstance(plan_batch(scenario, Settings()), kind)


@pytest.mark.slow
def test_a_time_limit_holds_while_bags_are_filled(monkeypatch: pytest.MonkeyPatch) -> None:
    scenario, _ = the_smallest()

    def slow(*arguments: Any) -> Any:
        return fill_all_bags(*arguments[:3], workflow.BagSolver(Settings(time_limit_s=1), -1e9))

    monkeypatch.setattr(workflow, "fill_all_bags", slow)
    answer = plan_batch(scenario, Settings(time_limit_s=60))
    assert isinstance(answer, Unsolved)
    assert answer.why == "the food can be bought for 37.87 EUR, but the time limit came before all bags were filled"
    assert answer.advice == "Give it more time."


@pytest.mark.slow
def test_a_plan_found_before_the_time_limit_is_shown_whatever_the_limit_strikes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The bags of the cheapest order are not found, those of altered amounts are; then time is up."""
    scenario, before = the_smallest()
    real, told = workflow.narrow_ranges, []

    def fill(*arguments: Any) -> Any:
        told.append("bags")
        if len(told) == 1:
            return NoBags(("Maple",))
        if told[-2] != "altered":
            raise TimeIsUpError
        return fill_all_bags(*arguments)

    def narrowed(*arguments: Any) -> Scenario:
        told.append("altered")
        return real(*arguments)

    monkeypatch.setattr(workflow, "fill_all_bags", fill)
    monkeypatch.setattr(workflow, "narrow_ranges", narrowed)
    plan = plan_batch(scenario, Settings(time_limit_s=60))
    assert isinstance(plan, Plan)
    assert plan.bags
    assert plan.total > before.total
    assert (plan.proof.proved, plan.proof.bound, plan.proof.why) == (False, before.proof.bound, ALTERED_IN_TIME)
    assert told == ["bags", "altered", "bags", "bags"]


@pytest.mark.slow
def test_the_cheaper_of_two_plans_made_in_time_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    """Bags fail once: altered amounts give a plan, and bags in the order a cheaper one, which is proved."""
    scenario, before = the_smallest()
    monkeypatch.setattr(workflow, "fill_all_bags", failing(1))
    plan = plan_batch(scenario, Settings(time_limit_s=60))
    assert isinstance(plan, Plan)
    assert (plan.total, plan.proof.proved, plan.proof.why) == (before.total, True, "")


@pytest.mark.parametrize("way", [plan_batch, order_batch, order_before_sharing])
def test_a_plan_at_fault_is_withheld_in_one_way_that_other_processes_understand(
    way: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    scenario, _ = the_smallest()
    breaches = (Breach("cap", "Maple", "more heart than the cap allows"),)
    monkeypatch.setattr(workflow, "audit", lambda *_: breaches)
    with pytest.raises(PlanWithheldError) as withheld:
        way(scenario, Settings())
    sent = pickle.loads(pickle.dumps(withheld.value))
    assert (type(sent), sent.breaches, str(sent)) == (PlanWithheldError, breaches, str(withheld.value))
    assert str(sent) == "\n  cap: Maple: more heart than the cap allows"
