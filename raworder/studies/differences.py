"""Differences between two orders: what the second costs more, and what it buys otherwise."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from raworder.document import Cell, Column, Holds
from raworder.plan import NoPlan, Plan, Unsolved
from raworder.reporting.given_beside import packs_text
from raworder.reporting.words import units_text
from raworder.studies.found import Found, lacks_text
from raworder.studies.price_lists import pack_of, packs_bought
from raworder.trade import Offer, Scenario


@dataclass(frozen=True, slots=True)
class Moved:
    """A line of an order of which another order buys more, less, none or some for the first time."""

    offer: Offer
    before: int
    after: int

    @property
    def says(self) -> str:
        """How it moved, in a word."""
        return _how_moved(self.before, self.after)


def _how_moved(before: int, after: int) -> str:
    if not before:
        return "new"
    if not after:
        return "gone"
    return "more" if after > before else "less"


def bought_units(order: Plan) -> dict[str, int]:
    """Units bought by the offers' keys."""
    return {line.offer: line.units for line in order.lines}


def moved(offers: Mapping[str, Offer], before: Mapping[str, int], after: Mapping[str, int]) -> Iterator[Moved]:
    """The lines that differ, in the order of the offers."""
    for key, offer in offers.items():
        if before.get(key, 0) != after.get(key, 0):
            yield Moved(offer, before.get(key, 0), after.get(key, 0))


def moved_columns(of: str) -> tuple[Column, ...]:
    """The columns of what moved; the first, for programs, tells of which answer."""
    return (
        Column(of, of.replace("_", " ").capitalize(), shown=False),
        Column("moved", "In the order"),
        Column("cut", "Cut"),
        Column("supplier", "Supplier"),
        Column("to_buy_before", "Before"),
        Column("to_buy_after", "After"),
        Column("units_before", "Units before", Holds.COUNT, shown=False),
        Column("units_after", "Units after", Holds.COUNT, shown=False),
    )


def moved_row(of: str, one: Moved, weight_unit: str) -> tuple[Cell, ...]:
    """One line that moved, in shop units."""
    before, after = (units_text(one.offer, units, weight_unit) if units else None for units in (one.before, one.after))
    return (of, one.says, one.offer.cut, one.offer.supplier, before, after, one.before, one.after)


def supplement_rows(of: str, first: tuple[Scenario, Plan], second: tuple[Scenario, Plan]) -> Iterator[tuple[Cell, ...]]:
    """The lines of supplements that differ between two orders, each of its scenario, under the same columns."""
    before, after = packs_bought(*first), packs_bought(*second)
    offers = {pack_of(one): (each, one) for each, _ in (second, first) for one in each.supplement_offers}
    for pack in dict.fromkeys((*before, *after)):
        counts, told = (before.get(pack, 0), after.get(pack, 0)), offers[pack]
        if counts[0] != counts[1]:
            texts = (packs_text(*told, units) if units else None for units in counts)
            yield (of, _how_moved(*counts), told[1].supplement, told[1].supplier, *texts, *counts)


def cost_columns(scenario: Scenario) -> tuple[Column, ...]:
    """What an answer costs, in all and a dog-day, what it costs more, and what there is to say of it."""
    code = scenario.currency.code
    return (
        Column("cost", f"Cost {code}", Holds.MONEY),
        Column("cost_per_dog_day", f"A dog-day {code}", Holds.MONEY),
        Column("difference", f"More {code}", Holds.MONEY),
        Column("remark", "Remark"),
    )


def cost_cells(scenario: Scenario, base: Plan | None, found: Found) -> tuple[Cell, ...]:
    """The cells of those columns; no money where there is no plan."""
    order = found.order
    if isinstance(order, Plan):
        difference = None if base is None else costs_more(scenario, base, order)
        return (order.total, per_dog_day(scenario, order), difference, remark(scenario, found))
    return (None, None, None, remark(scenario, found))


def costs_more(scenario: Scenario, first: Plan, second: Plan) -> Decimal:
    """What the second order costs more than the first; nothing where their exact costs are equal but for rounding."""
    apart = abs(first.proof.bound - second.proof.bound)
    if first.proof.proved and second.proof.proved and apart <= scenario.currency.minor / 2:
        return Decimal(0)
    return second.total - first.total


def per_dog_day(scenario: Scenario, order: Plan) -> Decimal:
    """What one dog costs on one day."""
    return scenario.currency.rounded(Fraction(order.total) / scenario.dog_days)


def remark(scenario: Scenario, found: Found) -> str:
    """That there is no plan and why, that it is not proved, or that it is above the budget."""
    match found.order:
        case NoPlan():
            return f"no plan: {lacks_text(scenario, found.lacks)}"
        case Unsolved(why):
            return f"no answer: {why}"
        case order:
            return "; ".join(_remarks(scenario, order))


def _remarks(scenario: Scenario, order: Plan) -> Iterator[str]:
    """What is to be said of an order."""
    if scenario.budget is not None and order.total > scenario.budget:
        yield f"above the budget of {scenario.currency.text(scenario.budget)}"
    if not order.proof.proved:
        yield "not proved"
