"""The paper of nicer orders for nearly the same money: their figures side by side, then what changes for each."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from raworder.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.plan import Plan
from raworder.reporting.words import listed, paper
from raworder.solving.nicer import counts_from
from raworder.studies.differences import bought_units, costs_more, moved, moved_columns, moved_row, supplement_rows
from raworder.studies.figures import Figures, figures_of
from raworder.studies.orders import Order
from raworder.trade import Scenario
from raworder.units import share_text

NOT_SHARED = (
    "With so many dogs whole pieces were not shared out among them here: what an order costs is exact, but a dog may "
    "miss its ranges by what pieces demand, and rarely an order cannot be shared at all."
)

WISHES: Mapping[str, str] = MappingProxyType(
    {
        "species": "most species",
        "left_over": "least left over",
        "packs_and_lines": "fewest packs and lines",
        "stops": "fewest stops",
        "weighed": "fewest cuts to weigh",
    }
)
"""What is wished for, by its key, in words."""


@dataclass(frozen=True, slots=True)
class Nicer:
    """What was asked and found: orders up to the `limit`, a share above the cheapest, by the key of the wish.

    `best` are the wishes that the cheapest order grants as well as can be; an answer that was not given is None.
    """

    within: Fraction
    limit: Decimal
    best: tuple[str, ...]
    found: Mapping[str, Order | None]


def nicer_orders(scenario: Scenario, base: Plan, nicer: Nicer) -> Document:
    """The paper: all figures side by side, the wishes that are granted already, what changes for the others."""
    orders = {key: order for key, order in nicer.found.items() if isinstance(order, Plan)}
    better = {key: order for key, order in orders.items() if _is_better(scenario, base, key, order)}
    granted = {key for key, order in orders.items() if order.proof.proved and key not in better} | set(nicer.best)
    answered = [key for key, order in nicer.found.items() if order is not None]
    blocks = (
        Paragraph(_limit_text(scenario, base, nicer)),
        _side_by_side(scenario, base, better),
        *_wishes_left(
            [key for key in WISHES if key in granted], [key for key in answered if key not in {*better, *granted}]
        ),
        *_changes(scenario, base, better),
        *_not_shared(scenario),
    )
    return paper(scenario, "same_money", "Same money, nicer", blocks)


def _is_better(scenario: Scenario, base: Plan, key: str, order: Plan) -> bool:
    """Whether an order grants a wish better than the cheapest does."""
    return figures_of(scenario, order).better_is_more(key) > figures_of(scenario, base).better_is_more(key)


def _limit_text(scenario: Scenario, base: Plan, nicer: Nicer) -> str:
    """What was searched."""
    money = scenario.currency
    budget = ", which is the budget" if nicer.limit == scenario.budget else f", {share_text(nicer.within)} more"
    return (
        f"The cheapest order costs {money.text(base.total)}. Orders for at most {money.text(nicer.limit)}{budget}, "
        "were searched for one wish at a time; of those that grant it best the cheapest is shown."
    )


def _side_by_side(scenario: Scenario, base: Plan, better: Mapping[str, Plan]) -> Table:
    """The cheapest order and the nicer ones with all their figures."""
    rows = [
        _row("cheapest", scenario, base, base),
        *(_row(_name(key, one), scenario, base, one) for key, one in better.items()),
    ]
    return Table("same_money", "", _columns(scenario), tuple(rows), note=_note(scenario))


def _name(key: str, order: Plan) -> str:
    """The wish, and that it was not proved to be granted best where that is so."""
    return WISHES[key] + ("" if order.proof.proved else ", not proved")


def _columns(scenario: Scenario) -> tuple[Column, ...]:
    """Money, then the figures."""
    code = scenario.currency.code
    return (
        Column("order", "Order"),
        Column("total", f"To pay {code}", Holds.MONEY),
        Column("costs_more", f"More {code}", Holds.MONEY),
        Column("species", "Species", Holds.COUNT),
        Column("cuts", "Cuts", Holds.COUNT),
        Column("left_g", "Left over", Holds.GRAMS),
        Column("packs", "Packs", Holds.COUNT),
        Column("lines", "Lines", Holds.COUNT),
        Column("stops", "Stops", Holds.COUNT),
        Column("weighed", "To weigh", Holds.COUNT),
    )


def _row(name: str, scenario: Scenario, base: Plan, order: Plan) -> tuple[Cell, ...]:
    """One order."""
    one: Figures = figures_of(scenario, order)
    figures = (one.species, one.cuts, one.left_g, one.packs, one.lines, one.stops, one.weighed)
    return (name, order.total, costs_more(scenario, base, order), *figures)


def _note(scenario: Scenario) -> str:
    """What the figures count."""
    return (
        f"A species or a cut counts from {share_text(counts_from(scenario))} of all that is fed. What is left over was "
        "on hand or is bought, and not fed. Packs leave out what is cut to weight; to weigh are the cuts that are fed, "
        "but not in whole pieces."
    )


def _wishes_left(granted: Sequence[str], unproved: Sequence[str]) -> Iterator[Paragraph]:
    """The wishes that have no row."""
    if granted:
        names = listed([WISHES[key] for key in granted])
        yield Paragraph(f"The cheapest order is as good as any within the limit by: {names}.")
    if unproved:
        names = listed([WISHES[key] for key in unproved])
        yield Paragraph(f"Nothing better was found, but it is not proved that there is nothing, by: {names}.")


def _not_shared(scenario: Scenario) -> Iterator[Paragraph]:
    """What was not done where dogs are many."""
    if scenario.many_dogs:
        yield Paragraph(NOT_SHARED)


def _changes(scenario: Scenario, base: Plan, better: Mapping[str, Plan]) -> Iterator[Block]:
    """What each of the nicer orders buys otherwise than the cheapest."""
    offers = {offer.key: offer for offer in scenario.offers}
    for key, order in better.items():
        lines = moved(offers, bought_units(base), bought_units(order))
        rows = (
            *(moved_row(key, one, scenario.weight_unit) for one in lines),
            *supplement_rows(key, (scenario, base), (scenario, order)),
        )
        more = scenario.currency.text(costs_more(scenario, base, order))
        title = f"{WISHES[key].capitalize()}: {more} more"
        yield Table("same_money_changes", title, moved_columns("wish"), rows)
