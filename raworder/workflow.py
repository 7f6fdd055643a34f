"""The whole way of one batch, on one screen: a checked Scenario in, an audited Plan out, or that there is none."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from time import monotonic

from raworder.as_fed import as_fed, with_grams
from raworder.auditing.checks import audit
from raworder.nourishing.nourished import nourished
from raworder.plan import Allocation, Breach, NoPlan, Plan, Proof, Unfilled, Unsolved
from raworder.portioning.bagged import Bagged, Unbagged, bagged
from raworder.portioning.finished import finished_plan
from raworder.solving.bags import TimeIsUpError, bag_solver
from raworder.solving.cheapest import cheapest, fed_g
from raworder.solving.narrowed import PARTS_OFF, narrowed
from raworder.solving.search import HANDIEST, Impossible, Wanted
from raworder.solving.solver import Settings
from raworder.trade import Scenario

ALTERED = "the cheapest order cannot be spread over bags, and this one was found by asking for less uneven amounts"
"""Why a plan is not proved to be the cheapest that can be portioned."""


@dataclass(frozen=True, slots=True)
class Withheld:
    """A plan that our own audit found at fault; it is not shown."""

    breaches: tuple[Breach, ...]


Answer = Plan | NoPlan | Unsolved | Withheld


class AtFaultError(Exception):
    """Our own audit found a breach in a plan; nothing of it must be shown."""

    @classmethod
    def of(cls, breaches: Iterable[Breach]) -> "AtFaultError":
        """Such an error that tells the breaches, one on a line."""
        return cls("".join(f"\n  {one.rule}: {one.subject}: {one.says}" for one in breaches))


def plan_batch(scenario: Scenario, settings: Settings) -> Answer:
    """The cheapest plan, proved and audited; or that there is none, and the order where only its bags fail."""
    began = monotonic()
    found = _ordered(scenario, settings, HANDIEST)
    if not isinstance(found, _Ordered):
        return found
    try:
        filled = _with_bags(scenario, found, settings, began)
    except TimeIsUpError:
        return Unsolved("the time limit came while the bags were filled")
    if isinstance(filled, NoPlan):
        return filled
    answer = _audited(scenario, filled)
    return with_nourishment(scenario, answer) if isinstance(answer, Plan) else answer


def with_nourishment(scenario: Scenario, plan: Plan) -> Plan:
    """The plan with what its food holds, as far as that is known."""
    return replace(plan, nourished=nourished(as_fed(scenario, plan), plan))


def order_batch(scenario: Scenario, settings: Settings, wanted: Wanted = HANDIEST) -> Answer:
    """The cheapest plan without its bags, or the best by another aim; audited by every rule but those of bags."""
    found = _ordered(scenario, settings, wanted)
    return _audited(scenario, found.plan) if isinstance(found, _Ordered) else found


@dataclass(frozen=True, slots=True)
class _Ordered:
    """A plan without bags, with the dogs that are fed alike."""

    plan: Plan
    fed_alike: tuple[tuple[str, ...], ...]


def _ordered(scenario: Scenario, settings: Settings, wanted: Wanted) -> _Ordered | NoPlan | Unsolved:
    """The plan of the order that is best by what is wanted, finished to the gram and the minor unit."""
    found = cheapest(scenario, settings, wanted)
    if isinstance(found, Impossible):
        return NoPlan()
    if isinstance(found, Unsolved):
        return found
    plan = finished_plan(with_grams(scenario, fed_g(found)), found)
    if _exceeds_budget(scenario, plan):
        return NoPlan()  # lines rounded up: the cheapest order is dearer than the budget after all
    return _Ordered(plan, found.fed_alike)


def _audited(scenario: Scenario, plan: Plan) -> Plan | Withheld:
    """The plan, if no judge has anything against it."""
    breaches = audit(as_fed(scenario, plan), plan)
    return Withheld(breaches) if breaches else plan


def _with_bags(scenario: Scenario, ordered: _Ordered, settings: Settings, began: float) -> Plan | NoPlan:
    """The plan with its bags; where its amounts cannot be spread over them, one with others; or that there are none."""
    solve = bag_solver(settings, began)
    plan = ordered.plan
    found = bagged(as_fed(scenario, plan), plan, ordered.fed_alike, solve)
    if isinstance(found, Bagged):
        return _filled(plan, found)
    for other in _others(scenario, found, settings, began):
        fed = with_grams(scenario, fed_g(other))
        altered = finished_plan(fed, other)
        refilled = bagged(fed, altered, other.fed_alike, solve)
        if isinstance(refilled, Bagged) and not _exceeds_budget(scenario, altered):
            proof = Proof(proved=False, bound=plan.proof.bound, solver=plan.proof.solver, why=ALTERED)
            return _filled(replace(altered, proof=proof), refilled)
    return NoPlan(Unfilled(plan, ordered.fed_alike, found.dogs))


def _exceeds_budget(scenario: Scenario, plan: Plan) -> bool:
    """Whether the printed total is above the budget; the model allows what rounding can take off."""
    return scenario.budget is not None and plan.total > scenario.budget


def _filled(plan: Plan, found: Bagged) -> Plan:
    """The plan with the bags that were found."""
    return replace(plan, bags=found.bags, mixes=found.mixes, stations=found.stations, least_kinds=found.least_kinds)


def _others(scenario: Scenario, unfilled: Unbagged, settings: Settings, began: float) -> Iterator[Allocation]:
    """Allocations with less uneven amounts for the dogs whose bags cannot be filled."""
    for part_off in PARTS_OFF:
        other = cheapest(narrowed(scenario, unfilled.dogs, part_off), settings.left_since(began))
        if isinstance(other, Allocation):
            yield other
