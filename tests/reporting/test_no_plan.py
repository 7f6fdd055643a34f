"""No plan: the reasons in the person's numbers."""

from raworder.document import Paragraph, Points, Table
from raworder.plan import NoPlan, Reason, Unsolved
from raworder.reporting.no_plan import no_plan, unsolved
from raworder.rulebook import rule_of
from tests import builders as b

BUDGET = Reason("budget", "the order costs at most 60.00 EUR", "the cheapest order costs 83.90 EUR")


def test_reasons_are_a_table_with_what_changes_without_each() -> None:
    blocks = no_plan(b.a_scenario(), NoPlan((BUDGET,))).blocks
    (table,) = [block for block in blocks if isinstance(block, Table)]
    assert table.rows == (("budget", BUDGET.demand, BUDGET.without_it),)


def test_the_rules_named_are_quoted_from_the_rulebook_once() -> None:
    blocks = no_plan(b.a_scenario(), NoPlan((BUDGET, BUDGET))).blocks
    (points,) = [block for block in blocks if isinstance(block, Points)]
    assert points.items == (f"budget: {rule_of('budget').says}",)


def test_no_single_reason_is_said_plainly() -> None:
    (only,) = no_plan(b.a_scenario(), NoPlan(())).blocks
    assert isinstance(only, Paragraph)
    assert "Leaving out any single rule does not help" in only.text


def test_giving_up_is_not_called_no_plan() -> None:
    document = unsolved(b.a_scenario(), Unsolved("the time limit came first"))
    assert document.key == "unsolved"
    assert document.title.startswith("No answer")
    (only,) = document.blocks
    assert isinstance(only, Paragraph)
    assert "the time limit came first" in only.text
