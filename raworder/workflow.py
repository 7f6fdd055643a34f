"""The whole way of one batch, on one screen: a checked Scenario in, an audited Plan or the reasons for none out."""

from dataclasses import dataclass, replace
from time import monotonic

from raworder.auditing.checks import audit
from raworder.plan import Allocation, Breach, NoPlan, Plan, Unsolved
from raworder.portioning.bagged import Unbagged, bagged
from raworder.portioning.finished import finished_plan
from raworder.portioning.why_not_filled import why_not_filled
from raworder.solving.bags import solve_bags
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
    filled = _with_bags(scenario, plan, allocation)
    if isinstance(filled, Unbagged):
        return why_not_filled(scenario, plan, allocation.fed_alike, filled, solve_bags)
    breaches = audit(scenario, filled)
    return Withheld(breaches) if breaches else filled


def _with_bags(scenario: Scenario, plan: Plan, allocation: Allocation) -> Plan | Unbagged:
    """The plan with its bags, mixes and working order."""
    found = bagged(scenario, plan, allocation.fed_alike, solve_bags)
    if isinstance(found, Unbagged):
        return found
    return replace(plan, bags=found.bags, mixes=found.mixes, stations=found.stations, least_kinds=found.least_kinds)
