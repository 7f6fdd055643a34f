"""Why bags cannot be filled: one rule of bags alone, several together, money for other amounts.

Real orders whose bags cannot be filled are few, so a filler stands in that fills only under rules that a test names.
**Source:** the study's own promises; all names and figures are invented.
"""

from collections.abc import Callable
from fractions import Fraction

import pytest

from raworder.giving_way import smallest_change
from raworder.giving_way.remedies import remedy_text
from raworder.solving.solver import Settings, TimeIsUpError
from raworder.studies.asking import Ask
from raworder.studies.reasons import Asking, Why, explain_no_plan, reasons
from raworder.trade.bags import Portioning
from raworder.trade.plan import NoPlan, OrderWithoutBags, Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch
from tests import builders as b
from tests.studies.telling import told

Fills = Callable[[Portioning], bool]


def unfilled(scenario: Scenario) -> OrderWithoutBags:
    """As if the bags of Maple could not be filled with the cheapest order."""
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    return OrderWithoutBags(plan, (("Maple",),), ("Maple",))


def why_with(scenario: Scenario, fills: Fills, monkeypatch: pytest.MonkeyPatch) -> Why:
    """What is found where bags can be filled only under such rules."""

    def planned(asked: Scenario, settings: Settings) -> object:
        answer = plan_batch(asked, settings)
        return answer if fills(asked.portioning) else NoPlan(unfilled(scenario))

    monkeypatch.setattr(smallest_change, "can_fill_bags", lambda asked, *_: fills(asked.portioning))
    monkeypatch.setattr(smallest_change, "plan_batch", planned)
    return explain_no_plan(scenario, NoPlan(unfilled(scenario)), Asking(Ask(), scenario))


def remedies(scenario: Scenario, why: Why) -> list[str]:
    """What is to be written for one change alone."""
    return [remedy_text(scenario, one.opened.changes[0]) for one in why.menu if one.opened]


@pytest.mark.slow
@pytest.mark.parametrize("allowance", [6, 13, 27, 55])
def test_the_least_allowance_that_is_enough_is_told(allowance: int, monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = b.a_scenario()
    why = why_with(scenario, lambda rules: rules.week_allowance >= Fraction(allowance, 1000), monkeypatch)
    assert remedies(scenario, why) == [f"portioning: {{week_allowance: {allowance // 10}.{allowance % 10} %}}"]
    assert [demand.rule for demand in why.clash] == ["week_share"]


@pytest.mark.slow
def test_rules_that_only_give_way_together_are_told_together_with_the_least_of_each(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    scenario = b.a_scenario()
    why = why_with(
        scenario,
        lambda rules: rules.week_allowance >= Fraction(2, 100) and rules.least_portion_g < 10,
        monkeypatch,
    )
    assert remedies(scenario, why) == []
    assert why.together is not None
    assert why.together.opened is not None
    assert [remedy_text(scenario, one) for one in why.together.opened.changes] == [
        "portioning: {least_portion: 5 g}",
        "portioning: {week_allowance: 2 %}",
    ]
    assert len(why.clash) == 1  # either of them alone is in the way of filling bags


@pytest.mark.slow
def test_where_nothing_fills_the_bags_nothing_is_proposed(monkeypatch: pytest.MonkeyPatch) -> None:
    why = why_with(b.a_scenario(), lambda _: False, monkeypatch)
    assert why.together is None
    assert not any(one.opened for one in why.menu)


def test_time_that_is_up_while_bags_are_filled_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = b.a_scenario()

    def fills(*_: object) -> bool:
        raise TimeIsUpError

    monkeypatch.setattr(smallest_change, "can_fill_bags", fills)
    paper = told(reasons(scenario, Ask(), NoPlan(unfilled(scenario))))
    assert "no way fills the bags of Maple" in paper
    assert "Time ran out before everything was tried" in paper
