"""The whole way of one batch, on one screen: a checked Scenario in, an audited Plan or the reasons for none out."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from time import monotonic

from raworder.auditing.checks import audit
from raworder.plan import Allocation, Breach, NoPlan, Plan, Proof, Unsolved
from raworder.portioning.bagged import Bagged, Unbagged, bagged
from raworder.portioning.filled import Solve
from raworder.portioning.finished import finished_plan
from raworder.portioning.why_not_filled import why_not_filled
from raworder.solving.bags import TimeIsUpError, bag_solver
from raworder.solving.cheapest import Impossible, cheapest
from raworder.solving.narrowed import PARTS_OFF, narrowed
from raworder.solving.solver import Settings
from raworder.solving.why import why_not
from raworder.trade import Scenario

ALTERED = "the cheapest order cannot be spread over bags, and this one was found by asking for less uneven amounts"
"""Why a plan is not proved to be the cheapest that can be portioned."""


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
    if _exceeds_budget(scenario, finished_plan(scenario, allocation)):
        return why_not(
            scenario, settings.left_since(began)
        )  # lines rounded up: the cheapest order is dearer than the budget after all
    try:
        filled = _with_bags(scenario, allocation, settings, began)
    except TimeIsUpError:
        return Unsolved("the time limit came while the bags were filled")
    if isinstance(filled, NoPlan):
        return filled
    breaches = audit(scenario, filled)
    return Withheld(breaches) if breaches else filled


def _with_bags(scenario: Scenario, allocation: Allocation, settings: Settings, began: float) -> Plan | NoPlan:
    """The plan with its bags; where its amounts cannot be spread over them, one with others; or what is in the way."""
    solve = bag_solver(settings, began)
    plan, found = _bagged(scenario, allocation, solve)
    if isinstance(found, Bagged):
        return _filled(plan, found)
    for other in _others(scenario, found, settings, began):
        altered, refilled = _bagged(scenario, other, solve)
        if isinstance(refilled, Bagged) and not _exceeds_budget(scenario, altered):
            proof = Proof(proved=False, bound=plan.proof.bound, solver=plan.proof.solver, why=ALTERED)
            return _filled(replace(altered, proof=proof), refilled)
    return why_not_filled(scenario, plan, allocation.fed_alike, found, solve)


def _exceeds_budget(scenario: Scenario, plan: Plan) -> bool:
    """Whether the printed total is above the budget; the model allows what rounding can take off."""
    return scenario.budget is not None and plan.total > scenario.budget


def _filled(plan: Plan, found: Bagged) -> Plan:
    """The plan with the bags that were found."""
    return replace(plan, bags=found.bags, mixes=found.mixes, stations=found.stations, least_kinds=found.least_kinds)


def _bagged(scenario: Scenario, allocation: Allocation, solve: Solve) -> tuple[Plan, Bagged | Unbagged]:
    """The finished plan of an allocation, and its bags."""
    plan = finished_plan(scenario, allocation)
    return plan, bagged(scenario, plan, allocation.fed_alike, solve)


def _others(scenario: Scenario, unfilled: Unbagged, settings: Settings, began: float) -> Iterator[Allocation]:
    """Allocations with less uneven amounts for the dogs whose bags cannot be filled."""
    for part_off in PARTS_OFF:
        other = cheapest(narrowed(scenario, unfilled.dogs, part_off), settings.left_since(began))
        if isinstance(other, Allocation):
            yield other
