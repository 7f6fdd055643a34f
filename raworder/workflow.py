"""The whole way of one batch, on one screen: a checked Scenario in, an audited Plan or the reasons for none out."""

from dataclasses import dataclass
from time import monotonic

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
    began = monotonic()
    allocation = cheapest(scenario, settings)
    if isinstance(allocation, Impossible):
        return why_not(scenario, settings.left_since(began))
    if isinstance(allocation, Unsolved):
        return allocation
    plan = finished_plan(scenario, allocation)
    if scenario.budget is not None and plan.total > scenario.budget:
        return why_not(
            scenario, settings.left_since(began)
        )  # lines rounded up: the cheapest order is dearer than the budget after all
    breaches = audit(scenario, plan)
    return Withheld(breaches) if breaches else plan
