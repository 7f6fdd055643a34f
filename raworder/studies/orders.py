"""Orders as answers: what every study asks for, audited before a number of it is told."""

from raworder.plan import NoPlan, Plan, Unsolved
from raworder.solving.search import HANDIEST, Wanted
from raworder.solving.solver import Settings
from raworder.trade import Scenario
from raworder.workflow import AtFaultError, Withheld, order_batch

Order = Plan | NoPlan | Unsolved


def order_of(scenario: Scenario, settings: Settings, wanted: Wanted = HANDIEST) -> Order:
    """The cheapest order, or the best by another aim, without bags; AtFaultError where the audit is against it."""
    found = order_batch(scenario, settings, wanted)
    if isinstance(found, Withheld):
        raise AtFaultError("".join(f"\n  {one.rule}: {one.subject}: {one.says}" for one in found.breaches))
    return found
