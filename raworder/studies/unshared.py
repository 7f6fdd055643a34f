"""Orders for many dogs without their sharing: whole pieces are not shared out, which takes longer than the search."""

from dataclasses import replace

from raworder.auditing.checks import audit
from raworder.plan import NoPlan
from raworder.portioning.finished import finished_plan
from raworder.solving.search import COST, Impossible, Solved, Wanted, allocation_of, search
from raworder.solving.solver import Settings
from raworder.studies.orders import Order, order_of
from raworder.trade import Scenario
from raworder.workflow import AtFaultError


def order_for_many(scenario: Scenario, settings: Settings, wanted: Wanted) -> Order:
    """The order that is best by what is wanted, audited; for many dogs before sharing, and any of those that cost it.

    Every rule is kept but that of whole pieces, which needs the sharing.
    """
    if not scenario.many_dogs:
        return order_of(scenario, settings, wanted)
    until_cost = wanted.aims[: wanted.aims.index(COST) + 1]
    found = search(scenario, settings, Wanted(until_cost, wanted.also), whole=False)
    if not isinstance(found, Solved):
        return NoPlan() if isinstance(found, Impossible) else found
    plan = finished_plan(scenario, replace(allocation_of(found, settings), fed_alike=()))
    if scenario.budget is not None and plan.total > scenario.budget:
        return NoPlan()  # lines rounded up
    breaches = audit(scenario, plan)
    if breaches:
        raise AtFaultError("".join(f"\n  {one.rule}: {one.subject}: {one.says}" for one in breaches))
    return plan
