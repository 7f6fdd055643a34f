"""One batch from start to end: a checked Scenario in, an audited Plan out, or that there is none."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from time import monotonic

from raworder.auditing.checks import audit
from raworder.auditing.facts_audit import audit_facts
from raworder.nourishing.nourishment import assess_nutrition
from raworder.portioning.bag_filling import AllBags, NoBags, fill_all_bags
from raworder.portioning.bearing import share_bills
from raworder.portioning.finishing import finish_plan
from raworder.portioning.keeping import keep_cold
from raworder.solving.bags_in_order import BagsInOrder
from raworder.solving.cheapest import NARROWING_STEPS, cheapest, narrow_ranges
from raworder.solving.search import CHEAPEST_HANDIEST, OFFER_SMALLER_PIECES, Impossible, SearchGoal
from raworder.solving.solver import BagSolver, Settings, TimeIsUpError
from raworder.trade.as_fed import as_fed
from raworder.trade.bags import Working
from raworder.trade.batch_facts import BatchFacts
from raworder.trade.plan import Allocation, NoPlan, OrderWithoutBags, Plan, PlanWithheldError, Proof, Unsolved
from raworder.trade.scenario import Scenario

ALTERED = "no way was found to pack the cheapest order, and this one was found by asking for less uneven amounts"
"""Why a plan is not proved to be the cheapest that can be portioned."""

ALTERED_IN_TIME = f"{ALTERED}; the time limit came before it was known whether a cheaper one can be packed"
"""The same where more time might have shown it."""

PART_FOR_ORDER = 2 / 3
"""The part of a time limit that searching for an order may take; the rest is for filling its bags."""

PART_UNTIL_FOUND = 0.8
"""The part it may take while it has found none; an order found later would leave no time for its bags."""

PART_FOR_OTHERS = 1 / 2
"""The part of the remaining time for a plan with altered amounts; the rest is for the cheapest with bags."""


Answer = Plan | NoPlan | Unsolved


def plan_batch(scenario: Scenario, settings: Settings) -> Answer:
    """The cheapest plan, proved and audited; NoPlan is proved over order and bags together.

    PlanWithheldError where a judge has anything against the plan.
    """
    found = _plan_with_bags(scenario, settings, monotonic())
    return complete(scenario, found) if isinstance(found, Plan) else found


def complete(scenario: Scenario, plan: Plan) -> Plan:
    """The plan with all that follows from it; PlanWithheldError where a judge has anything against either."""
    whole = with_facts(scenario, audited(scenario, plan))
    if breaches := audit_facts(whole):
        raise PlanWithheldError(breaches)
    return whole


def with_facts(scenario: Scenario, plan: Plan) -> Plan:
    """The plan with all that follows from it: what its food holds, how it is kept cold, who bears what of the bills."""
    return replace(with_nourishment(scenario, plan), worked_out=facts_of(scenario, plan))


def facts_of(scenario: Scenario, plan: Plan) -> BatchFacts:
    """How the food of a plan is kept cold, and who bears what of its bills, with the scenario as it is fed."""
    fed = as_fed(scenario, plan)
    return BatchFacts(fed, keep_cold(fed, plan), share_bills(fed, plan))


def with_nourishment(scenario: Scenario, plan: Plan) -> Plan:
    """The plan with what its food holds, as far as that is known, beside the rules as they were asked for."""
    return replace(plan, nourished=assess_nutrition(as_fed(scenario.as_asked, plan), plan))


def order_batch(scenario: Scenario, settings: Settings, wanted: SearchGoal = CHEAPEST_HANDIEST) -> Answer:
    """The cheapest plan without bags, or the best by other aims; audited by every rule except those on bags.

    PlanWithheldError where a judge has anything against it.
    """
    found = _find_order(scenario, settings, wanted)
    return audited(scenario, found.plan) if isinstance(found, _Ordered) else found


def audited(scenario: Scenario, plan: Plan) -> Plan:
    """The plan, if no judge has anything against it; else PlanWithheldError."""
    if breaches := audit(as_fed(scenario, plan), plan):
        raise PlanWithheldError(breaches)
    return plan


@dataclass(frozen=True, slots=True)
class _Ordered:
    """A plan without bags, with the dogs that are fed alike, and who eats what before amounts were made whole."""

    plan: Plan
    fed_alike: tuple[tuple[str, ...], ...]
    eaten_ug: Mapping[tuple[str, str], int] | None = None


def _find_order(scenario: Scenario, settings: Settings, wanted: SearchGoal) -> _Ordered | NoPlan | Unsolved:
    """The plan of the best order for these aims, finished to the gram and the minor unit, without bags."""
    found = cheapest(scenario, settings, wanted)
    if isinstance(found, Impossible):
        return NoPlan()
    if isinstance(found, Unsolved):
        return found
    plan = finish_plan(scenario, found)
    if _exceeds_budget(scenario, plan):  # lines rounded up: the order found is dearer than the budget after all
        least = plan.proof.least_bill
        trips = sum((supplier.trip for supplier in scenario.suppliers), Decimal(0))  # counted in it, but not paid
        is_least = least is not None and scenario.budget is not None and least - trips > scenario.budget
        return NoPlan() if is_least else Unsolved(_explain_above_budget(scenario, plan))
    return _Ordered(plan, found.fed_alike, found.eaten_ug)


class _TriedBags:
    """Fills the bags of allocations while an order is searched for, and remembers the last."""

    def __init__(self, scenario: Scenario, settings: Settings, began: float) -> None:
        self._scenario, self._settings, self._began = scenario, settings, began
        self._last: tuple[Allocation, AllBags | NoBags] | None = None

    def unfilled(self, allocation: Allocation) -> tuple[str, ...]:
        """The dogs whose bags cannot be filled; none where the time for bags is over."""
        order = _Ordered(finish_plan(self._scenario, allocation), allocation.fed_alike)
        try:
            found = _fill_bags(self._scenario, order, self._settings, self._began)
        except TimeIsUpError:
            return ()
        self._last = allocation, found
        return found.dogs if isinstance(found, NoBags) else ()

    def of(self, order: _Ordered) -> AllBags | NoBags:
        """The bags of an order, or the dogs whose bags cannot be filled; TimeIsUpError where time is over."""
        if self._last is not None and self._last[0].eaten_ug == order.eaten_ug:
            return self._last[1]
        return _fill_bags(self._scenario, order, self._settings, self._began)


def _plan_with_bags(scenario: Scenario, settings: Settings, began: float) -> Plan | NoPlan | Unsolved:
    """The cheapest order with its bags; another order if those bags cannot be filled."""
    tried = _TriedBags(scenario, settings, began)
    wanted = replace(CHEAPEST_HANDIEST, unfilled=tried.unfilled)
    ordered = _find_order(scenario, _settings_for_order(settings.left_since(began)), wanted)
    if not isinstance(ordered, _Ordered):
        return ordered
    try:
        found = tried.of(ordered)
    except TimeIsUpError:
        return _explain_out_of_time(scenario, ordered.plan)
    if isinstance(found, AllBags):
        return _add_bags(ordered.plan, found)
    unfilled = OrderWithoutBags(ordered.plan, ordered.fed_alike, found.dogs)
    if not scenario.proved_to_the_cent and not settings.prove:
        near = _plan_other_amounts(scenario, unfilled, settings, began)
        if near is not None:  # the bound holds for every order, so it says how near this one is
            return replace(near, proof=ordered.plan.proof)
    return _plan_other_order(scenario, unfilled, settings, began)


def _plan_other_order(
    scenario: Scenario, unfilled: OrderWithoutBags, settings: Settings, began: float
) -> Plan | NoPlan | Unsolved:
    """A plan by another order if the cheapest one's bags cannot be filled: the cheapest with bags, or an altered one.

    With a time limit, a plan with altered amounts is made first, so that there is one whenever the time runs out.
    """
    at_hand = None
    if settings.time_limit_s is not None:
        part_s = settings.left_since(began).time_limit_s or 0.0
        some = replace(settings, time_limit_s=part_s * PART_FOR_OTHERS)
        at_hand = _plan_other_amounts(scenario, unfilled, some, monotonic())
    known = _search_with_bags(scenario, unfilled, settings, began)
    if isinstance(known.answer, Plan) and (at_hand is None or known.answer.counted <= at_hand.counted):
        return known.answer
    if at_hand is None and isinstance(known.answer, NoPlan):
        return known.answer
    if at_hand is None and settings.time_limit_s is None:
        at_hand = _plan_other_amounts(scenario, unfilled, settings, began)
    if at_hand is None:
        return _explain_out_of_time(scenario, unfilled.plan) if known.time_was_up else _explain_not_filled(unfilled)
    why = ALTERED_IN_TIME if known.time_was_up else ALTERED
    return replace(at_hand, proof=replace(known.proof, proved=False, why=why).with_total(at_hand.counted))


@dataclass(frozen=True, slots=True)
class _Known:
    """The result of searching with bags in the order: an answer, if any, and the best proof so far."""

    answer: Plan | NoPlan | None
    proof: Proof
    time_was_up: bool = False


def _search_with_bags(scenario: Scenario, unfilled: OrderWithoutBags, settings: Settings, began: float) -> _Known:
    """The cheapest order whose bags can be filled, if the cheapest of all has bags that cannot.

    The model of an order only counts pieces against what bags hold. If that was not enough, every bag of the dogs in
    question is put into the model, and the order is searched for again.
    """
    # Each model is looser than the truth and tighter than the one before: its bound passes on to the next, and if one
    # has no solution, there is no plan. So the proof is over order and bags together.
    ordered, dogs, in_order = _Ordered(unfilled.plan, unfilled.fed_alike), unfilled.dogs, BagsInOrder()
    while True:
        proof, more = ordered.plan.proof, in_order.with_bags_of(_dogs_fed_alone(scenario, ordered, dogs))
        if more == in_order:
            return _Known(None, proof)
        in_order, wanted = more, replace(CHEAPEST_HANDIEST, also=more, known_bound=float(proof.bound))
        again = _find_order(scenario, _settings_for_order(settings.left_since(began)), wanted)
        if isinstance(again, NoPlan):
            return _Known(NoPlan(unfilled), proof)
        if isinstance(again, Unsolved):
            return _Known(None, proof, settings.time_limit_s is not None)
        try:
            found = _fill_bags(scenario, again, settings, began)
        except TimeIsUpError:
            return _Known(None, again.plan.proof, time_was_up=True)
        if isinstance(found, AllBags):
            return _Known(_add_bags(again.plan, found), again.plan.proof)
        ordered, dogs = again, found.dogs


def _fill_bags(scenario: Scenario, ordered: _Ordered, settings: Settings, began: float) -> AllBags | NoBags:
    """The bags of an order, or the dogs whose bags could not be filled."""
    return fill_all_bags(scenario, ordered.plan, ordered.fed_alike, BagSolver(settings, began))


def _settings_for_order(settings: Settings) -> Settings:
    """The settings for an order; the rest of the remaining time is for its bags."""
    if settings.time_limit_s is None:
        return settings
    left_s = settings.time_limit_s
    return replace(settings, time_limit_s=left_s * PART_FOR_ORDER, until_found_s=left_s * PART_UNTIL_FOUND)


def _dogs_fed_alone(scenario: Scenario, ordered: _Ordered, dogs: Iterable[str]) -> frozenset[str]:
    """The dogs among these that are each alone in a group, so that their bags can be part of the order's model.

    From a tub every bag gets the same mixture, which a linear row cannot express.
    """
    if scenario.portioning.working is Working.TUB:
        return frozenset()
    return frozenset(names[0] for names in ordered.fed_alike if len(names) == 1) & frozenset(dogs)


def _plan_other_amounts(
    scenario: Scenario, unfilled: OrderWithoutBags, settings: Settings, began: float
) -> Plan | None:
    """A plan with bags by an order with narrower ranges, or None; its proof does not cover all orders."""
    for part_off in NARROWING_STEPS:
        closer = narrow_ranges(scenario, unfilled.dogs, part_off)
        other = cheapest(closer, _settings_for_order(settings.left_since(began)))
        if not isinstance(other, Allocation):
            continue
        altered = finish_plan(scenario, other)
        try:
            found = fill_all_bags(scenario, altered, other.fed_alike, BagSolver(settings, began))
        except TimeIsUpError:
            return None
        if isinstance(found, AllBags) and not _exceeds_budget(scenario, altered):
            return _add_bags(altered, found)
    return None


def _explain_not_filled(unfilled: OrderWithoutBags) -> Unsolved:
    """The answer when an order was found, but no way to fill its bags."""
    return Unsolved(
        f"the food can be bought, but no way was found to fill the bags of {', '.join(unfilled.dogs)}; tried were the "
        "cheapest order and others with less uneven amounts",
        OFFER_SMALLER_PIECES,
    )


def _explain_out_of_time(scenario: Scenario, plan: Plan) -> Unsolved:
    """The answer when an order was found, but time ran out before its bags were filled."""
    return Unsolved(
        f"the food can be bought for {scenario.currency.text(plan.total)}, but the time limit came before all bags "
        "were filled",
        "Give it more time.",
    )


def _explain_above_budget(scenario: Scenario, plan: Plan) -> str:
    """The reason when the best order found is above the budget, and cheaper ones may exist."""
    return f"the best order found comes to {scenario.currency.text(plan.total)}, which is above the budget"


def _exceeds_budget(scenario: Scenario, plan: Plan) -> bool:
    """Whether the printed total is above the budget; the model allows for what rounding can save."""
    return scenario.budget is not None and plan.total > scenario.budget


def _add_bags(plan: Plan, found: AllBags) -> Plan:
    """The plan with its bags, mixes and stations."""
    return replace(plan, bags=found.bags, mixes=found.mixes, stations=found.stations, least_kinds=found.least_kinds)
