"""The paper of prices to ask for: what is not bought and would be below a price, what is bought and would be left."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from raworder.document import Block, Cell, Chart, Column, Document, Holds, Paragraph, Points, Table
from raworder.reporting.charts import prices_chart
from raworder.reporting.summary import what_is_rounded
from raworder.reporting.words import counted, paper, price_text, units_text
from raworder.trade import Offer, PriceStep, Scenario, Supplier

ONE_AT_A_TIME = (
    "Each price holds one at a time, with all else as listed: as soon as one changes, ask again before you rely on "
    "another. It is one price for any amount, in place of the price breaks, and before sales tax."
)
AT_LIST_PRICE = (
    "Minimum orders and free delivery count the offer at its list price, here as if only what is paid for it were "
    "negotiated."
)
FROM_HERE = (
    "At the price to ask for, and below, the cheapest order buys it; at any higher price an order without it costs no "
    "more."
)
UP_TO_HERE = "From the price at which it is left, and above, an order without it costs less."
NOT_BOUGHT = "Not bought: bought from this price down"
BOUGHT = "Bought: left from this price up"
BY_BUDGET = "no order fits the budget"
BY_OTHERS = "an order without it costs less"
BEFORE_ROUNDING = (
    "Where no order fits the budget then, the price is reckoned before lines are rounded, and may be off by what "
    "rounding comes to."
)
TO_THE_CENT = (
    "Prices are reckoned before lines and taxes are rounded. Where orders with it and without it are within such a "
    "rounding, the bill that is printed decides which is bought."
)
NOT_PROVED = "not proved"
"""Beside a price that the time limit left open."""


@dataclass(frozen=True, slots=True)
class Entering:
    """An offer not bought: the highest listed price at which it is, None if at none, and how much of it then."""

    offer: Offer
    listed: Decimal | None
    units: Fraction
    proved: bool

    @property
    def fall_share(self) -> Fraction:
        """By which share of the list price it has to fall."""
        now = Fraction(self.offer.steps[0].listed)
        return (now - Fraction(self.listed or 0)) / now if now else Fraction(0)


@dataclass(frozen=True, slots=True)
class Leaving:
    """An offer bought at a price step, and the lowest listed price at which it is not, None if at none."""

    offer: Offer
    units: int
    step: PriceStep
    listed: Decimal | None
    by_budget: bool
    proved: bool

    @property
    def rise_share(self) -> Fraction:
        """By which share of the price paid it can rise."""
        now = Fraction(self.step.listed)
        return (Fraction(self.listed or 0) - now) / now if now else Fraction(0)


def prices_paper(scenario: Scenario, entered: Sequence[Entering], left: Sequence[Leaving], open_: int) -> Document:
    """The prices, of each supplier the nearest first; `open_` are so many offers without an answer."""
    return paper(scenario, "prices_to_ask", "Prices to ask for", _blocks(scenario, entered, left, open_))


def _blocks(scenario: Scenario, entered: Sequence[Entering], left: Sequence[Leaving], open_: int) -> Iterator[Block]:
    """The two tables, what no price brings about, and how far the figures hold."""
    buys = sorted(
        (one for one in entered if one.listed is not None),
        key=lambda one: (one.offer.supplier, one.fall_share, one.offer.key),
    )
    leaves = sorted(
        (one for one in left if one.listed is not None),
        key=lambda one: (one.offer.supplier, one.rise_share, one.offer.key),
    )
    if buys:
        yield _chart("Prices to ask for", [(one.offer, one.offer.steps[0], one.listed) for one in buys], "bought")
        yield _entering(scenario, buys)
    yield from _points("never_bought", "Not even as a gift", scenario, (one for one in entered if one.listed is None))
    if leaves:
        yield _chart("Prices up to which to buy", [(one.offer, one.step, one.listed) for one in leaves], "left")
        yield _leaving(scenario, leaves)
    kept = (one for one in left if one.listed is None)
    yield from _points("always_bought", "Bought at any price: no order without it", scenario, kept)
    if buys or leaves:
        yield Paragraph(ONE_AT_A_TIME)
    if any(map(_has_threshold, scenario.suppliers)):
        yield Paragraph(AT_LIST_PRICE)
    if (buys or leaves) and any(what_is_rounded(scenario)):
        yield Paragraph(TO_THE_CENT)
    if open_:
        yield Paragraph(f"This is not all: {counted(open_, 'offer')} could not be answered in time.")


def _chart(title: str, priced: Sequence[tuple[Offer, PriceStep, Decimal | None]], verb: str) -> Chart:
    """The prices of offers as listed, and at which the answer changes."""
    told = [(f"{offer.item}, {offer.supplier}".removesuffix(", "), step.listed, at) for offer, step, at in priced]
    return prices_chart(title, [(label, listed, at) for label, listed, at in told if at is not None], verb)


def _entering(scenario: Scenario, rows: Sequence[Entering]) -> Table:
    """What is not bought, and the price that would change it."""
    code = scenario.currency.code
    columns = (
        Column("supplier", "Supplier"),
        Column("item", "Item"),
        Column("listed", f"Listed {code}", Holds.MONEY),
        Column("price_for", "For"),
        Column("asked", f"Ask for {code}", Holds.MONEY),
        Column("fall_share", "Less by", Holds.SHARE),
        Column("then_bought", "Then bought"),
        Column("doubt", "Doubt", shown=any(not one.proved for one in rows)),
        Column("offer", "Offer", shown=False),
    )
    cells = tuple(_entering_row(scenario, one) for one in rows)
    return Table("not_bought", NOT_BOUGHT, columns, cells, note=FROM_HERE)


def _entering_row(scenario: Scenario, one: Entering) -> tuple[Cell, ...]:
    """An offer that is not bought."""
    step = one.offer.steps[0]
    then = units_text(one.offer, ceil(one.units), scenario.weight_unit)
    what = (one.offer.supplier, one.offer.item, step.listed, _basis(scenario, one.offer, step))
    return (*what, one.listed, one.fall_share, then, "" if one.proved else NOT_PROVED, one.offer.key)


def _leaving(scenario: Scenario, rows: Sequence[Leaving]) -> Table:
    """What is bought, and the price that would change it."""
    code = scenario.currency.code
    by_budget = any(one.by_budget for one in rows)
    columns = (
        Column("supplier", "Supplier"),
        Column("item", "Item"),
        Column("bought", "Bought"),
        Column("listed", f"Pays {code}", Holds.MONEY),
        Column("price_for", "For"),
        Column("leaves_at", f"Left at {code}", Holds.MONEY),
        Column("rise_share", "More by", Holds.SHARE),
        Column("because", "Because then", shown=by_budget),
        Column("doubt", "Doubt", shown=any(not one.proved for one in rows)),
        Column("offer", "Offer", shown=False),
    )
    cells = tuple(_leaving_row(scenario, one) for one in rows)
    return Table("bought", BOUGHT, columns, cells, note=BEFORE_ROUNDING if by_budget else UP_TO_HERE)


def _leaving_row(scenario: Scenario, one: Leaving) -> tuple[Cell, ...]:
    """An offer that is bought."""
    bought = units_text(one.offer, one.units, scenario.weight_unit)
    what = (one.offer.supplier, one.offer.item, bought, one.step.listed, _basis(scenario, one.offer, one.step))
    because = BY_BUDGET if one.by_budget else BY_OTHERS
    return (*what, one.listed, one.rise_share, because, "" if one.proved else NOT_PROVED, one.offer.key)


def _points(key: str, title: str, scenario: Scenario, told: Iterable[Entering | Leaving]) -> Iterator[Block]:
    """Offers that no price changes anything about."""
    offers = sorted((one.offer for one in told), key=lambda offer: (offer.supplier, offer.item, offer.key))
    if offers:
        items = (
            f"{offer.supplier}: {offer.item}, {price_text(offer, offer.steps[0], scenario.weight_unit)}"
            for offer in offers
        )
        yield Points(key, title, tuple(items))


def _basis(scenario: Scenario, offer: Offer, step: PriceStep) -> str:
    """What a listed price is for: `kg`, or `pack of 1 kg`."""
    pack = units_text(offer, 1, scenario.weight_unit).removeprefix("1 ")
    return pack if step.per == "pack" else step.per.removeprefix("per ")


def _has_threshold(supplier: Supplier) -> bool:
    """Whether what a supplier charges depends on the goods ordered."""
    return bool(supplier.minimum_order) or supplier.free_delivery_from is not None
