"""Substitutes: what to buy for each line of the order if the shop has none of it, as a card for the shop."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from math import ceil
from time import monotonic

from raworder.reporting.nutrition_words import packs_text
from raworder.reporting.order import item_text
from raworder.reporting.words import group_alike, join_names, paper, price_text, subject_text, units_text
from raworder.solving.constraints import AtLeastThese, Units
from raworder.solving.missing import least_missing
from raworder.solving.search import SearchGoal
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.orders import nearness_text, order_before_sharing
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.trade.plan import NoPlan, OrderLine, Plan
from raworder.trade.purchase import Missed
from raworder.trade.rulebook import ROUNDING_G
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import about_grams_text, grams_text

TOO_LITTLE = "no substitute on these lists: there is too little else that the dogs may eat"
FORBIDDEN = "no substitute on these lists: {limits} in the way"
"""Why there is no substitute, where no range is missed."""

FEW_THINGS = 3
"""The most different things to buy for one line, as nobody gathers more in a cold store; more only where needed."""


@dataclass(frozen=True, slots=True)
class Repair:
    """What is bought beyond the plan instead of a missing line, and what the whole order costs then.

    `total` is None where no order keeps the rules; then `missed` are the ranges that must be missed, by the fewest
    grams in all, or `why` gives another reason. `packs` are all the packs of supplements that are bought. No
    repair is cheaper by more than `off`.
    """

    instead: Units = ()
    total: Decimal | None = None
    proved: bool = True
    missed: tuple[Missed, ...] = ()
    why: str = ""
    packs: Units = ()
    trips: Decimal = Decimal(0)
    off: Decimal = Decimal(0)


MORE_BY_ENERGY = 10
"""Where grams are free, a dog is taken to eat at most this many times the least food that holds its energy."""


def repair(scenario: Scenario, planned: Units, gone: tuple[str, ...], settings: Settings) -> Repair:
    """The cheapest order without the offers in `gone`, but for what is `planned` of them, as a repair of the plan.

    It buys at most FEW_THINGS different things instead, unless it takes more.
    """
    began, left = monotonic(), _without_offers(scenario, dict(planned), gone)
    order = order_before_sharing(left, settings, SearchGoal(also=AtLeastThese(planned, FEW_THINGS)), handy=False)
    if isinstance(order, NoPlan):
        order = order_before_sharing(
            left, settings.left_since(began), SearchGoal(also=AtLeastThese(planned)), handy=False
        )
    if isinstance(order, Plan):
        packs = tuple((line.offer, line.units) for line in order.supplement_lines)
        return Repair(
            tuple(_units_beyond_plan(scenario, order, dict(planned))),
            order.total,
            order.proof.is_enough(order.counted),
            packs=packs,
            trips=order.trips,
            off=order.proof.most_off(order.counted),
        )
    if isinstance(order, NoPlan):
        return _find_least_missed(scenario, dict(planned), gone, settings.left_since(began))
    return Repair(proved=False, why=f"no answer: {order.why}")


def _without_offers(scenario: Scenario, planned: Mapping[str, int], gone: Collection[str]) -> Scenario:
    """The scenario with some offers gone, and without the budget.

    Planned amounts cut to the gram were rounded up, so the room gets a gram more for each.
    """
    to_be_had = (offer for offer in scenario.offers if offer.key in planned or offer.key not in gone)
    offers = tuple(_limit_to_planned(offer, planned, gone) for offer in to_be_had)
    room_g = None if scenario.room_g is None else scenario.room_g + ROUNDING_G * len(planned)
    return replace(scenario, offers=offers, budget=None, room_g=room_g)


def _limit_to_planned(offer: Offer, planned: Mapping[str, int], gone: Collection[str]) -> Offer:
    """The offer; where it is gone, with no more of it than planned."""
    return replace(offer, available=planned[offer.key]) if offer.key in gone else offer


def _units_beyond_plan(scenario: Scenario, order: Plan, planned: Mapping[str, int]) -> Iterator[tuple[str, int]]:
    """What an order buys beyond the plan; a gram more of what is cut to the gram is rounding."""
    offers = {offer.key: offer for offer in scenario.offers}
    for line in order.lines:
        more = line.units - planned.get(line.offer, 0)
        is_rounding = line.offer in planned and offers[line.offer].to_the_gram and more <= ROUNDING_G
        if more > 0 and not is_rounding:
            yield line.offer, more


def _find_least_missed(
    scenario: Scenario, planned: Mapping[str, int], gone: Collection[str], settings: Settings
) -> Repair:
    """The ranges missed even with all else on the lists; or why else there is no repair."""
    left = _buy_everything(_without_offers(scenario, planned, gone))
    missed = least_missing(left, settings)
    if missed:
        return Repair(missed=missed)
    return Repair(
        why=_limits_text(scenario) if missed is not None else _prescribed_text(scenario, left, gone) or TOO_LITTLE
    )


def _limits_text(scenario: Scenario) -> str:
    """That one of the scenario's limits is in the way; it is not known which."""
    limits = {
        "a minimum order": any(supplier.minimum_order for supplier in scenario.suppliers),
        "the room": scenario.room_g is not None,
        "the number of suppliers": scenario.most_suppliers is not None,
        "the number of cuts": scenario.most_cuts is not None,
        "the least that is sold by weight": any(offer.has_least for offer in scenario.offers),
        "what is whole in packs and pieces": True,
    }
    possible = [limit for limit, is_set in limits.items() if is_set]
    return FORBIDDEN.format(limits=f"{' or '.join(possible)} is")


def _prescribed_text(scenario: Scenario, left: Scenario, gone: Collection[str]) -> str:
    """That there is too little of what a veterinarian prescribed a dog; empty where that is not so."""
    sold = {offer.cut for offer in left.offers}
    cuts = dict.fromkeys(scenario.offer(key).cut for key in gone)
    needs = [
        f"{dog.name} must get {grams_text(vet_amount.batch_g, scenario.weight_unit)} of {vet_amount.cut}"
        for dog in scenario.dogs
        for vet_amount in dog.vet_amounts
        if vet_amount.cut in cuts
        and vet_amount.cut not in sold
        and scenario.on_hand_g(vet_amount.cut) < vet_amount.batch_g
    ]
    return f"ask the veterinarian, who said that {join_names(needs)}" if needs else ""


def _buy_everything(scenario: Scenario) -> Scenario:
    """The scenario with everything on the lists bought, as much as there is or can be eaten, without limits."""
    fed_g = sum(dog.batch_g * (MORE_BY_ENERGY if dog.free_grams else 1) for dog in scenario.dogs)
    return replace(
        scenario,
        offers=tuple(
            replace(offer, bought=ceil(fed_g / offer.unit_g) if offer.available is None else offer.available)
            for offer in scenario.offers
        ),
        suppliers=tuple(replace(supplier, minimum_order=Decimal(0)) for supplier in scenario.suppliers),
        room_g=None,
        most_suppliers=None,
        most_cuts=None,
    )


LINES = (
    Column("none_of_supplier", "If not at"),
    Column("none_of_cut", "If none of"),
    Column("choice", "Choice"),
    Column("supplier", "Supplier"),
    Column("cut", "Cut"),
    Column("item_name", "Supplier's name for it"),
    Column("code", "Code"),
    Column("units", "Units", Holds.COUNT),
    Column("weight_g", "Weight", Holds.GRAMS),
)
"""The columns of the hidden table for programs: a row for everything that is bought instead."""

HOW = (
    "If one line is missing, and all else is bought as planned, take the first: the cheapest that keeps every rule. If "
    "they have not got that either, take what stands after `or`. The last column is what the whole order then costs "
    "more. Where there is no substitute, it says what the dogs would miss most."
)
AFTERWARDS = (
    "Keep the receipt, and plan again with it before you fill bags: who eats what changes. For a dog that must not eat "
    "something, or that a veterinarian feeds, take nothing that is not on this card."
)
NOT_SHARED = (
    "With so many dogs whole pieces were not shared out among them here; that is done when the receipt is planned, and "
    "rarely asks for more."
)


@dataclass(frozen=True, slots=True)
class Choices:
    """A line of the order with its first and second choice; None where that was not asked or not answered."""

    line: OrderLine
    first: Repair | None
    second: Repair | None


def substitutes_card(scenario: Scenario, base: Plan, choices: tuple[Choices, ...]) -> Document:
    """The card."""
    return paper(scenario, "what_instead", "What to buy instead", _blocks(scenario, base, choices))


def _blocks(scenario: Scenario, base: Plan, choices: tuple[Choices, ...]) -> Iterator[Block]:
    """How to read the card, then a table for each supplier."""
    if not choices:
        yield Paragraph("Nothing is to be bought, so nothing can be missing in the shop.")
        return
    yield Paragraph(HOW)
    for bill in base.bills:
        here = [line for line in choices if scenario.offer(line.line.offer).supplier == bill.supplier]
        if here:
            rows = tuple(row for line in here for row in _rows(scenario, base, line))
            yield Table("what_instead", bill.supplier, _columns(scenario), rows)
    yield Table("what_instead_lines", "", LINES, tuple(_choice_rows(scenario, choices)), shown=False)
    yield Paragraph(AFTERWARDS)
    if scenario.solved_by_groups:
        repairs = (repair for line in choices for repair in (line.first, line.second) if repair)
        yield Paragraph(" ".join((NOT_SHARED, *nearness_text(scenario, (repair.off for repair in repairs)))))


def _columns(scenario: Scenario) -> tuple[Column, ...]:
    """The columns that people read, then hidden ones for programs."""
    return (
        Column("none_of", "If they have none of"),
        Column("instead", "Take instead"),
        Column("costs_more", f"{scenario.currency.code} more", Holds.MONEY),
        Column("choice", "Choice", shown=False),
        Column("supplier", "Supplier", shown=False),
        Column("cut", "Cut", shown=False),
        Column("units", "Units", Holds.COUNT, shown=False),
    )


def _rows(scenario: Scenario, base: Plan, choices: Choices) -> Iterator[tuple[Cell, ...]]:
    """A row for the first choice and one for the second, if the first buys anything and there is another."""
    offer = scenario.offer(choices.line.offer)
    known = (offer.supplier, offer.cut, choices.line.units)
    none_of = f"{item_text(offer)}, {units_text(offer, choices.line.units, scenario.weight_unit)}"
    yield (none_of, *_choice_text(scenario, base, choices, choices.first), "first", *known)
    is_known = choices.second is None or choices.second.total is not None
    if choices.first is not None and choices.first.instead and is_known:
        instead, more = _choice_text(scenario, base, choices, choices.second)
        yield ("", f"or {instead}", more, "second", *known)


def _choice_rows(scenario: Scenario, choices: tuple[Choices, ...]) -> Iterator[tuple[Cell, ...]]:
    """Everything that is bought instead, for programs."""
    for line in choices:
        missing = scenario.offer(line.line.offer)
        for choice, found in (("first", line.first), ("second", line.second)):
            for key, units in found.instead if found else ():
                offer = scenario.offer(key)
                bought = (offer.supplier, offer.cut, offer.item, offer.code, units, offer.grams(units))
                yield (missing.supplier, missing.cut, choice, *bought)


def _choice_text(scenario: Scenario, base: Plan, choices: Choices, repair: Repair | None) -> tuple[str, Decimal | None]:
    """A choice in words, and how much more it costs."""
    if repair is None:
        return "not worked out", None
    if repair.total is None:
        return _missing_text(scenario, repair), None
    supplier = scenario.offer(choices.line.offer).supplier
    food = (_purchase_text(scenario, base, supplier, *units) for units in repair.instead)
    says = "; ".join((*food, *_pack_texts(scenario, base, supplier, repair)))
    remarks = "".join(f" ({remark})" for remark in _remarks(scenario, repair))
    return f"{says or 'nothing: all rules are kept without it'}{remarks}", repair.total + repair.trips - base.counted


def _purchase_text(scenario: Scenario, base: Plan, supplier: str, key: str, more: int) -> str:
    """One thing to buy: how much of what, at which price, and where if elsewhere."""
    offer = scenario.offer(key)
    planned = sum(line.units for line in base.lines if line.offer == key)
    price = price_text(offer, offer.step_for(planned + more), scenario.weight_unit)
    again = " more" if planned else ""
    where = "" if offer.supplier == supplier else f", at {offer.supplier}"
    return f"{item_text(offer)}, {units_text(offer, more, scenario.weight_unit)}{again}, {price}{where}"


def _pack_texts(scenario: Scenario, base: Plan, supplier: str, repair: Repair) -> Iterator[str]:
    """Packs of supplements of which more or fewer are bought than planned."""
    planned, bought = {line.offer: line.units for line in base.supplement_lines}, dict(repair.packs)
    for offer in scenario.supplement_offers:
        more = bought.get(offer.key, 0) - planned.get(offer.key, 0)
        if more:
            which = " fewer" if more < 0 else " more" if offer.key in planned else ""
            where = "" if offer.supplier == supplier else f", at {offer.supplier}"
            yield f"{packs_text(scenario, offer, abs(more))} of {offer.supplement}{which}{where}"


def _remarks(scenario: Scenario, repair: Repair) -> Iterator[str]:
    """That a choice is over the budget, or not proved."""
    if scenario.budget is not None and repair.total is not None and repair.total > scenario.budget:
        yield f"{scenario.currency.text(repair.total - scenario.budget)} over the budget"
    if not repair.proved:
        yield "not proved to be the cheapest"


def _missing_text(scenario: Scenario, repair: Repair) -> str:
    """The ranges missed, or the reason, where there is no substitute."""
    if not repair.missed:
        return repair.why
    by_subject = group_alike(repair.missed, lambda missed: (missed.subject, missed.share < missed.low))
    texts = [_missed_text(scenario, misses) for misses in sorted(by_subject, key=_worst_first)[:MOST_MISSED]]
    return f"no substitute on these lists: {' and '.join(texts)}"


MOST_MISSED = 2
"""So many things that would be missed are said; what there is too little of first."""


def _worst_first(misses: tuple[Missed, ...]) -> tuple[bool, int]:
    """What there is too little of first, then the most grams."""
    return misses[0].share >= misses[0].low, -sum(miss.off_g for miss in misses)


def _missed_text(scenario: Scenario, misses: tuple[Missed, ...]) -> str:
    """One range that is missed, over all dogs that miss it."""
    off = about_grams_text(sum(miss.off_g for miss in misses), scenario.weight_unit)
    way = "short" if misses[0].share < misses[0].low else "too much"
    return f"{subject_text(misses[0].subject)} would be {off} {way}"


def substitutes(scenario: Scenario, base: Plan, ask: Ask) -> Document:
    """The card: a first and a second choice for every line, or what is missed without it.

    Asks in two rounds: for an order without each line, then for one without the first choice as well.
    """
    lines = _lines_to_buy(scenario, base)
    first = ask([_repair_task(scenario, base, line, (), ask) for line in lines])
    second = ask(
        [
            _repair_task(scenario, base, line, _keys_bought(first[line.offer]), ask)
            for line in lines
            if _buys_something(first, line)
        ]
    )
    choices = tuple(Choices(line, first.get(line.offer), second.get(line.offer)) for line in lines)
    return substitutes_card(scenario, base, choices)


def _lines_to_buy(scenario: Scenario, base: Plan) -> tuple[OrderLine, ...]:
    """The lines that are still to be bought."""
    offers = {offer.key: offer for offer in scenario.offers}
    return tuple(line for line in base.lines if offers[line.offer].bought is None)


def _repair_task(scenario: Scenario, base: Plan, line: OrderLine, gone: tuple[str, ...], ask: Ask) -> Task[Repair]:
    """The question what to buy without a line, and without more of the offers in `gone`."""
    planned = tuple((other.offer, other.units) for other in base.lines if other != line)
    return Task(line.offer, repair, (scenario, planned, (line.offer, *gone), ask.settings))


def _keys_bought(first: Repair) -> tuple[str, ...]:
    """What the first choice buys."""
    return tuple(key for key, _ in first.instead)


def _buys_something(first: Mapping[str, Repair], line: OrderLine) -> bool:
    """Whether the first choice is known and buys something, which the shop may not have either."""
    found = first.get(line.offer)
    return found is not None and bool(found.instead)
