"""The orders that studies ask for, each audited before a number of it is printed, and why there is none."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from time import monotonic

from raworder.portioning.finishing import finish_plan
from raworder.reporting.words import dogs_text, subject_text
from raworder.solving.cheapest import LIMITS_OF_PROOF
from raworder.solving.compared import is_best_by, is_near_enough, order_to_compare
from raworder.solving.missing import least_missing
from raworder.solving.search import (
    CHEAPEST_HANDIEST,
    COST,
    HANDINESS,
    STABLE_PICK,
    Impossible,
    SearchGoal,
    Solved,
    Start,
    allocation_of,
    search,
)
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.plain_facts import there_g
from raworder.trade.cuts import Measure, Part
from raworder.trade.document import Fact, Facts, Holds
from raworder.trade.dogs import Dog
from raworder.trade.plan import Allocation, NoPlan, Plan, Unsolved
from raworder.trade.purchase import Missed
from raworder.trade.scenario import Scenario
from raworder.trade.units import about_grams_text
from raworder.workflow import audited, order_batch

Order = Plan | NoPlan | Unsolved

WISH_NOT_PROVED = "the search for a better order ended after so many branches"
"""Why an order that is near the cheapest of its kind may not be the best by what was wished for."""


def order_before_sharing(
    scenario: Scenario, settings: Settings, wanted: SearchGoal = CHEAPEST_HANDIEST, *, handy: bool = True
) -> Order:
    """The cheapest order, audited; where dogs are many, before whole pieces are shared out, which may take long.

    Every rule but those on whole pieces and least portions is kept then. Without `handy` any order of the least cost
    will do. With more dogs than are proved to the cent it is near the cheapest, unless `settings` ask for a proof.
    """
    if not scenario.solved_by_groups:
        return order_batch(scenario, settings, wanted)
    if is_near_enough(scenario, settings):
        result = order_to_compare(scenario, settings, wanted)
    else:
        aims = wanted.aims if handy else tuple(aim for aim in wanted.aims if aim not in {HANDINESS, STABLE_PICK})
        result = search(scenario, settings, replace(wanted, aims=aims), whole=False)
    if not isinstance(result, Solved):
        return NoPlan() if isinstance(result, Impossible) else result
    plan = audited_plan(replace(scenario, budget=None), allocation_of(result, settings))
    if result.near_is_enough and wanted.aims[0] != COST and not is_best_by(result, wanted.aims[0]):
        plan = replace(plan, proof=replace(plan.proof, why=WISH_NOT_PROVED))
    # The search knows costs before lines are rounded, so the printed total can be just above the budget.
    exceeds_budget = scenario.budget is not None and plan.total > scenario.budget
    return NoPlan() if exceeds_budget else plan


def cost_now_facts(scenario: Scenario, plan: Plan) -> Facts:
    """The line that says what the order costs as things stand; it counts trips, and says so where there are any."""
    label = f"The order now{', trips counted' if scenario.has_trips else ''}"
    return Facts("cost_now", (Fact("cost_now", label, plan.counted, Holds.MONEY),))


def start_of(order: Plan) -> Start:
    """What an order buys, as a start for another search."""
    return tuple((line.offer, line.units) for line in order.lines)


def audited_plan(scenario: Scenario, allocation: Allocation) -> Plan:
    """The finished, audited plan of an allocation; where dogs are many, before whole pieces are shared out."""
    unshared = replace(allocation, fed_alike=()) if scenario.solved_by_groups else allocation
    return audited(scenario, finish_plan(scenario, unshared))


PIECES_ASIDE = (
    "With so many dogs, orders are compared before whole pieces are shared out; that can make one a little dearer."
)
"""Said where orders are compared in that way."""


NEARLY = (
    "Each order costs at most {off} more than the cheapest of its kind; where two may cost the same, no difference is "
    "shown."
)
"""Said once of all orders on a page that are only near the cheapest."""


def nearness(scenario: Scenario, orders: Iterable[Order | None]) -> Iterator[str]:
    """How far the costs of orders that are only near the cheapest can be off; nothing where all are proved."""
    off = [order.proof.most_off(order.counted) for order in orders if isinstance(order, Plan)]
    return nearness_text(scenario, off)


def nearness_text(scenario: Scenario, off: Iterable[Decimal]) -> Iterator[str]:
    """The same for orders of which it is known how far each is off at most."""
    most = max(off, default=Decimal(0))
    if most:
        yield NEARLY.format(off=scenario.currency.text(scenario.currency.rounded_up(most)))


SOMETHING = "no order follows all your rules"
"""Said where neither the lists nor the least missed ranges show what stands in the way."""


@dataclass(frozen=True, slots=True)
class Lack:
    """What dogs cannot be given as they must: there is none of it, or it is `off_g` too little or too much."""

    says: str
    dogs: tuple[str, ...]
    off_g: int = 0


@dataclass(frozen=True, slots=True)
class FoundOrder:
    """The cheapest order, whatever the budget; where there is none, what is lacking as far as that is known."""

    order: Order
    lacks: tuple[Lack, ...] = ()


def find_orders(
    scenarios: Mapping[str, Scenario], ask: Ask, *, handy: bool = True, start: Start = ()
) -> dict[str, FoundOrder]:
    """The cheapest order for every scenario, by key. Equal scenarios are solved once, hopeless ones not at all.

    Where only costs are printed, orders need not be the `handy` ones. An order to `start` from saves time.
    Keys are missing only after an interrupt.
    """
    known = {
        scenario: FoundOrder(NoPlan(), lacks)
        for scenario in scenarios.values()
        if (lacks := tuple(lacks_on_lists(scenario)))
    }
    # The first key of equal scenarios asks for all of them, in the order of the keys.
    first = {scenario: key for key, scenario in reversed(list(scenarios.items())) if scenario not in known}
    answers = ask(
        [
            Task(key, find_order, (scenario, ask.settings, handy, start))
            for scenario, key in reversed(list(first.items()))
        ]
    )
    known |= {scenario: answers[key] for scenario, key in first.items() if key in answers}
    return {key: known[scenario] for key, scenario in scenarios.items() if scenario in known}


def find_order(scenario: Scenario, settings: Settings, handy: bool = True, start: Start = ()) -> FoundOrder:
    """The cheapest order whatever the budget; where there is none, the ranges missed by as little as possible."""
    began = monotonic()
    unlimited = replace(scenario, budget=None)
    order = order_before_sharing(unlimited, settings, SearchGoal(start=start), handy=handy)
    if not isinstance(order, NoPlan):
        return FoundOrder(order)
    if scenario.room_g is not None:
        roomy = order_before_sharing(replace(unlimited, room_g=None), settings.left_since(began), handy=False)
        if isinstance(roomy, Plan):
            return FoundOrder(order, (Lack("too little room", _names(scenario)),))
    divided = _divide_all_cuts(unlimited) if scenario.solved_by_groups else unlimited
    missed = least_missing(divided, settings.left_since(began)) or ()
    return FoundOrder(order, tuple(_merge_missed(missed)))


def comparable_base(scenario: Scenario, base: Plan, ask: Ask) -> Plan:
    """The base order; where sharing out pieces could make it dearer, the one found without, as others are."""
    if not scenario.solved_by_groups or (set(base.remarks) <= LIMITS_OF_PROOF and not base.proof.near_is_enough):
        return base
    answer = find_orders({"base": scenario}, ask, start=start_of(base)).get("base")
    return answer.order if answer and isinstance(answer.order, Plan) else base


def _divide_all_cuts(scenario: Scenario) -> Scenario:
    """The scenario in which every cut may be divided, down to a gram."""
    all_cuts = frozenset(cut.name for cut in scenario.cuts)
    return replace(scenario, portioning=replace(scenario.portioning, divided=all_cuts, least_portion_g=1))


def lacks_on_lists(scenario: Scenario) -> Iterator[Lack]:
    """What arithmetic on the lists and the stock shows to be lacking, without solving."""
    stock_g = {cut.name: there_g(scenario, cut.name) for cut in scenario.cuts}
    for part in Part:
        dogs = tuple(dog.name for dog in scenario.dogs if _lacks_part(dog, part, scenario, stock_g))
        if dogs:
            yield Lack(f"no {part}", dogs)
    yield from _lacks_in_care(scenario, stock_g)
    yield from _lacks_in_all(scenario, stock_g)


def lacks_text(scenario: Scenario, lacks: Iterable[Lack]) -> str:
    """What is lacking, for the middle of a sentence: `no liver for Maple; too little bone for all dogs, by 120 g`."""
    return "; ".join(_lack_text(scenario, lack) for lack in lacks) or SOMETHING


def _lack_text(scenario: Scenario, lack: Lack) -> str:
    """One lack with its dogs, and the grams for the dog that is furthest off."""
    by = f", by {about_grams_text(lack.off_g, scenario.weight_unit)}" if lack.off_g else ""
    return f"{lack.says} for {dogs_text(lack.dogs, _names(scenario))}{by}"


def _lacks_part(dog: Dog, part: Part, scenario: Scenario, stock_g: Mapping[str, int | None]) -> bool:
    """Whether the dog must get some of the part, but nothing available that it may eat has any."""
    if not dog.batch_g or not any(target.part == part and target.low > 0 for target in dog.targets):
        return False
    holding = (cut for cut in scenario.cuts if cut.part_share(part) and stock_g[cut.name] != 0)
    return all(dog.goes_without(cut) for cut in holding)


def _lacks_in_all(scenario: Scenario, stock_g: Mapping[str, int | None]) -> Iterator[Lack]:
    """Too little food, or too little room, as all that is eaten is kept frozen first."""
    need_g = sum(dog.batch_g for dog in scenario.dogs)
    if not any(grams is None for grams in stock_g.values()):
        short_g = need_g - sum(grams or 0 for grams in stock_g.values())
        if short_g > 0:
            yield Lack("too little food", _names(scenario), short_g)
    if scenario.room_g is not None and scenario.room_g < need_g:
        yield Lack("too little room", _names(scenario), need_g - scenario.room_g)


def _names(scenario: Scenario) -> tuple[str, ...]:
    return tuple(dog.name for dog in scenario.dogs)


def _lacks_in_care(scenario: Scenario, stock_g: Mapping[str, int | None]) -> Iterator[Lack]:
    """Cuts of which a veterinarian prescribed more than there is."""
    given_g: dict[str, int] = {}
    for vet_amount in (amount for dog in scenario.dogs for amount in dog.vet_amounts):
        given_g[vet_amount.cut] = given_g.get(vet_amount.cut, 0) + vet_amount.batch_g
    for cut, grams in given_g.items():
        there = stock_g.get(cut, 0)
        if there is not None and there < grams:
            dogs = tuple(
                dog.name for dog in scenario.dogs if any(vet_amount.cut == cut for vet_amount in dog.vet_amounts)
            )
            yield Lack(f"too little {cut}" if there else f"no {cut}", dogs, grams - there if there else 0)


def _merge_missed(missed: Iterable[Missed]) -> Iterator[Lack]:
    """One lack for all dogs that miss the same range, with the grams of the dog that is furthest off."""
    merged: dict[str, list[Missed]] = {}
    for miss in missed:
        what = miss.subject.word if miss.subject.measure is Measure.PART else subject_text(miss.subject)
        merged.setdefault(f"too {'little' if miss.share < miss.low else 'much'} {what}", []).append(miss)
    for says, misses in merged.items():
        yield Lack(says, tuple(miss.dog for miss in misses), max(miss.off_g for miss in misses))
