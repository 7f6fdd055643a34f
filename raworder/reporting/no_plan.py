"""No plan: which rules stand in the way, and what changes when one of them gives way."""

from collections.abc import Iterator

from raworder.document import Block, Column, Document, Paragraph, Points, Table
from raworder.plan import NoPlan, Unsolved
from raworder.reporting.words import paper
from raworder.rulebook import rule_of
from raworder.trade import Scenario

NONE_ALONE = (
    "Leaving out any single rule does not help: several stand in the way together, or there is too little that a dog "
    "may eat. Offer more cuts, or widen a target range and raise a cap, the room or the budget at the same time."
)
EACH_ALONE = (
    "No order meets all the rules together. Each rule below stands in the way: without it alone, there is a plan. "
    "That tells what clashes, not what is good to feed: ask a veterinarian before you widen a range or raise a cap."
)


def no_plan(scenario: Scenario, reasons: NoPlan) -> Document:
    """Why nothing can be ordered."""
    return paper(scenario, "no_plan", f"No plan: {scenario.title}", _blocks(reasons))


def unsolved(scenario: Scenario, why: Unsolved) -> Document:
    """That there is neither a plan nor a proof that there is none."""
    text = f"The search ended without a plan, and without a proof that there is none: {why.why}."
    advice = "Give it more time, or fewer offers. This says nothing about whether the rules can be met."
    return paper(scenario, "unsolved", f"No answer: {scenario.title}", (Paragraph(f"{text} {advice}"),))


def _blocks(no_plan: NoPlan) -> Iterator[Block]:
    """What plain arithmetic shows, then the reasons, or that no single one is enough."""
    reasons = no_plan.reasons
    none = NONE_ALONE if no_plan.tried_all else ""
    yield Paragraph(EACH_ALONE if reasons else f"No order meets all the rules together. {none}".rstrip())
    if not no_plan.tried_all:
        yield Paragraph("The time limit came before every rule could be tried; there may be more in the way.")
    if no_plan.facts:
        yield Points("facts", "What the lists show", no_plan.facts)
    if not reasons:
        return
    columns = (Column("rule", "Rule"), Column("demand", "Demands here"), Column("without_it", "Without it"))
    yield Table("reasons", "In the way", columns, tuple((one.rule, one.demand, one.without_it) for one in reasons))
    keys = dict.fromkeys(one.rule for one in reasons)
    yield Points("rules", "The rules named", tuple(f"{key}: {rule_of(key).says}" for key in keys))
