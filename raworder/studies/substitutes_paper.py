"""The card of what to buy instead, in words: short, by supplier, in the order of the shopping list."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from raworder.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.plan import OrderLine, Plan
from raworder.receipt import Missed
from raworder.reporting.books import alike
from raworder.reporting.given_beside import packs_text
from raworder.reporting.order import item_text
from raworder.reporting.words import dogs_text, paper, price_text, subject_text, units_text
from raworder.studies.repairs import Repair
from raworder.trade import Scenario
from raworder.units import grams_text

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
"""What programs read: a row for everything that is bought instead."""

HOW = (
    "One line missing at a time, all else bought as planned. Each first choice is the cheapest that keeps every rule, "
    "of three things at most if any three do; the second is the cheapest without anything of the first. The difference "
    "in cost is that of the whole order, against the shopping list. Where there is no substitute, the list shows what "
    "would be missed if all else on the lists could be had."
)
AFTERWARDS = (
    "Who eats what changes with it: keep the receipt, and plan again from it before bags are filled. Do not replace "
    "anything by what is not listed here for a dog that must not eat something, or that a veterinarian feeds."
)
NOT_SHARED = (
    "With so many dogs whole pieces were not shared out among them here; that is done when the receipt is planned, and "
    "rarely asks for more."
)


@dataclass(frozen=True, slots=True)
class Choices:
    """A line of the order with its first and second choice; None where it was not asked, or not answered."""

    line: OrderLine
    first: Repair | None
    second: Repair | None


def what_instead(scenario: Scenario, base: Plan, choices: tuple[Choices, ...]) -> Document:
    """The card."""
    return paper(scenario, "what_instead", "What to buy instead", _blocks(scenario, base, choices))


def _blocks(scenario: Scenario, base: Plan, choices: tuple[Choices, ...]) -> Iterator[Block]:
    """How to read it, then a table for each supplier."""
    if not choices:
        yield Paragraph("Nothing is to be bought, so nothing can be missing in the shop.")
        return
    yield Paragraph(HOW)
    for bill in base.bills:
        there = [one for one in choices if scenario.offer(one.line.offer).supplier == bill.supplier]
        if there:
            rows = tuple(row for one in there for row in _rows(scenario, base, one))
            yield Table("what_instead", bill.supplier, _columns(scenario), rows)
    yield Table("what_instead_lines", "", LINES, tuple(_lines(scenario, choices)), shown=False)
    yield Paragraph(AFTERWARDS)
    if scenario.many_dogs:
        yield Paragraph(NOT_SHARED)


def _columns(scenario: Scenario) -> tuple[Column, ...]:
    """What people read, then what only programs need."""
    return (
        Column("none_of", "If they have none of"),
        Column("instead", "Take instead"),
        Column("costs_more", f"{scenario.currency.code} more", Holds.MONEY),
        Column("choice", "Choice", shown=False),
        Column("supplier", "Supplier", shown=False),
        Column("cut", "Cut", shown=False),
        Column("units", "Units", Holds.COUNT, shown=False),
    )


def _rows(scenario: Scenario, base: Plan, one: Choices) -> Iterator[tuple[Cell, ...]]:
    """A row for the first choice and, where there is one or should be, a row for the second."""
    offer = scenario.offer(one.line.offer)
    known = (offer.supplier, offer.cut, one.line.units)
    none_of = f"{item_text(offer)}, {units_text(offer, one.line.units, scenario.weight_unit)}"
    yield (none_of, *_told(scenario, base, one, one.first), "first", *known)
    if one.first is not None and one.first.instead:
        instead, more = _told(scenario, base, one, one.second)
        yield ("", f"or: {instead}", more, "second", *known)


def _lines(scenario: Scenario, choices: tuple[Choices, ...]) -> Iterator[tuple[Cell, ...]]:
    """Everything that is bought instead, for programs."""
    for one in choices:
        missing = scenario.offer(one.line.offer)
        for choice, found in (("first", one.first), ("second", one.second)):
            for key, units in found.instead if found else ():
                offer = scenario.offer(key)
                told = (offer.supplier, offer.cut, offer.item, offer.code, units, offer.grams(units))
                yield (missing.supplier, missing.cut, choice, *told)


def _told(scenario: Scenario, base: Plan, one: Choices, repair: Repair | None) -> tuple[str, Decimal | None]:
    """A choice in words, with what it costs more."""
    if repair is None:
        return "not worked out", None
    if repair.total is None:
        return _without(scenario, repair), None
    supplier = scenario.offer(one.line.offer).supplier
    food = (_instead(scenario, base, supplier, *units) for units in repair.instead)
    says = "; ".join((*food, *_packs(scenario, base, supplier, repair)))
    remarks = "".join(f" ({remark})" for remark in _remarks(scenario, repair))
    return f"{says or 'nothing: all rules are kept without it'}{remarks}", repair.total - base.total


def _instead(scenario: Scenario, base: Plan, supplier: str, key: str, more: int) -> str:
    """One thing to buy: how much of what, at which price, and where if elsewhere."""
    offer = scenario.offer(key)
    planned = sum(line.units for line in base.lines if line.offer == key)
    price = price_text(offer, offer.step_for(planned + more), scenario.weight_unit)
    again = " more" if planned else ""
    where = "" if offer.supplier == supplier else f", at {offer.supplier}"
    return f"{item_text(offer)}, {units_text(offer, more, scenario.weight_unit)}{again}, {price}{where}"


def _packs(scenario: Scenario, base: Plan, supplier: str, repair: Repair) -> Iterator[str]:
    """Packs of supplements of which more or fewer are bought than planned."""
    planned, bought = {line.offer: line.units for line in base.supplement_lines}, dict(repair.packs)
    for offer in scenario.supplement_offers:
        more = bought.get(offer.key, 0) - planned.get(offer.key, 0)
        if more:
            which = " fewer" if more < 0 else " more" if offer.key in planned else ""
            where = "" if offer.supplier == supplier else f", at {offer.supplier}"
            yield f"{packs_text(scenario, offer, abs(more))} of {offer.supplement}{which}{where}"


def _remarks(scenario: Scenario, repair: Repair) -> Iterator[str]:
    """What is to be said of a choice."""
    if scenario.budget is not None and repair.total is not None and repair.total > scenario.budget:
        yield f"{scenario.currency.text(repair.total - scenario.budget)} over the budget"
    if not repair.proved:
        yield "not proved to be the cheapest"


def _without(scenario: Scenario, repair: Repair) -> str:
    """What is missed where nothing on the lists makes up for it."""
    if not repair.missed:
        return repair.why
    by_subject = alike(repair.missed, lambda missed: (missed.subject, missed.share < missed.low))
    return f"no substitute on these lists: {'; '.join(_missed(scenario, each) for each in by_subject)}"


def _missed(scenario: Scenario, each: tuple[Missed, ...]) -> str:
    """One range that is missed, over all dogs that miss it."""
    off = grams_text(sum(one.off_g for one in each), scenario.weight_unit)
    dogs = dogs_text(one.dog for one in each)
    way = "too little" if each[0].share < each[0].low else "too much"
    return f"{subject_text(each[0].subject)} {off} {way} for {dogs}"
