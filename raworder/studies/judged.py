"""Judged: an allocation that answers a question, finished and audited before a number of it is told."""

from dataclasses import replace

from raworder.auditing.books import opened
from raworder.auditing.buying import bill, delivery, minimum_order, pack_count, price_break, room, supplier_count
from raworder.auditing.checks import audit
from raworder.plan import Allocation, Breach, Plan
from raworder.portioning.finished import finished_plan
from raworder.trade import Scenario
from raworder.workflow import AtFaultError

BUYING = (pack_count, price_break, supplier_count, delivery, minimum_order, bill, room)
"""The judges of an order whose pieces are not shared out: those of what is bought, but for the budget."""


def judged(scenario: Scenario, allocation: Allocation) -> Plan:
    """The plan of an allocation; AtFaultError where a judge has anything against it.

    Where dogs are many, pieces are not shared out, and what is bought is judged alone.
    """
    if scenario.many_dogs:
        plan = finished_plan(_all_divided(scenario), allocation)
        breaches = _buying(scenario, plan)
    else:
        plan = finished_plan(scenario, allocation)
        breaches = audit(scenario, plan)
    if breaches:
        raise AtFaultError("".join(f"\n  {one.rule}: {one.subject}: {one.says}" for one in breaches))
    return plan


def _buying(scenario: Scenario, plan: Plan) -> tuple[Breach, ...]:
    """What judges of buying have against a plan."""
    books = opened(scenario, plan)
    return tuple(breach for judge in BUYING for breach in judge(books))


def _all_divided(scenario: Scenario) -> Scenario:
    """The scenario in which nothing is fed in whole pieces, as an allocation has it whose pieces are not shared out."""
    divided = frozenset(cut.name for cut in scenario.cuts)
    return replace(scenario, portioning=replace(scenario.portioning, divided=divided))
