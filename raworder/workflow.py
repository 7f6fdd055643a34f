"""The whole way of one batch, on one screen: a checked Scenario in, an audited Plan or the reasons for none out."""

from dataclasses import dataclass

from raworder.auditing.checks import audit
from raworder.plan import Breach, NoPlan, Plan, Unsolved
from raworder.portioning.finished import finished_plan
from raworder.solving.cheapest import Impossible, cheapest
from raworder.solving.solver import Settings
from raworder.solving.why import why_not
from raworder.trade import Scenario


@dataclass(frozen=True, slots=True)
class Withheld:
    """A plan that our own audit found at fault; it is not shown."""

    breaches: tuple[Breach, ...]


Answer = Plan | NoPlan | Unsolved | Withheld


def plan_batch(scenario: Scenario, settings: Settings) -> Answer:
    """The cheapest plan, proved and audited; or the rules in the way; or why there is neither."""
    allocation = cheapest(scenario, settings)
    if isinstance(allocation, Impossible):
        return why_not(scenario, settings)
    if isinstance(allocation, Unsolved):
        return allocation
    plan = finished_plan(scenario, allocation)
    breaches = audit(scenario, plan)
    return Withheld(breaches) if breaches else plan
