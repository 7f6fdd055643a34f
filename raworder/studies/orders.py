"""Orders as answers: what every study asks for, audited before a number of it is told."""

from dataclasses import replace

from raworder.as_fed import with_grams
from raworder.auditing.checks import audit
from raworder.plan import Allocation, NoPlan, Plan, Unsolved
from raworder.portioning.finished import finished_plan
from raworder.solving.cheapest import fed_g
from raworder.solving.search import HANDIEST, HANDY, PICKED, Impossible, Solved, Start, Wanted, allocation_of, search
from raworder.solving.solver import Settings
from raworder.trade import Scenario
from raworder.workflow import AtFaultError, Withheld, order_batch

Order = Plan | NoPlan | Unsolved


def order_of(scenario: Scenario, settings: Settings, wanted: Wanted = HANDIEST) -> Order:
    """The cheapest order, or the best by another aim, without bags; AtFaultError where the audit is against it."""
    found = order_batch(scenario, settings, wanted)
    if isinstance(found, Withheld):
        raise AtFaultError.of(found.breaches)
    return found


def order_before_sharing(
    scenario: Scenario, settings: Settings, wanted: Wanted = HANDIEST, *, handy: bool = True
) -> Order:
    """The same, but where dogs are many before whole pieces are shared out, which may take longer than the search.

    Every rule is kept then but those of whole pieces and least portions. Any of the orders of the least cost will do
    then where it need not be the `handy` one.
    """
    if not scenario.many_dogs:
        return order_of(scenario, settings, wanted)
    aims = wanted.aims if handy else tuple(aim for aim in wanted.aims if aim not in {HANDY, PICKED})
    found = search(scenario, settings, replace(wanted, aims=aims), whole=False)
    if not isinstance(found, Solved):
        return NoPlan() if isinstance(found, Impossible) else found
    plan = judged(replace(scenario, budget=None), allocation_of(found, settings))
    exceeds_budget = scenario.budget is not None and plan.total > scenario.budget
    return NoPlan() if exceeds_budget else plan  # the lines were rounded up


def start_of(order: Plan) -> Start:
    """What an order buys, for a search of orders among which it may be."""
    return tuple((line.offer, line.units) for line in order.lines)


def judged(scenario: Scenario, allocation: Allocation) -> Plan:
    """The finished plan of an allocation, its pieces not shared out where dogs are many.

    AtFaultError where a judge has anything against it.
    """
    unshared = replace(allocation, fed_alike=()) if scenario.many_dogs else allocation
    fed = with_grams(scenario, fed_g(unshared))
    plan = finished_plan(fed, unshared)
    breaches = audit(fed, plan)
    if breaches:
        raise AtFaultError.of(breaches)
    return plan
