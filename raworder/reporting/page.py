"""The page of a batch: every paper that a person holds, in the order of the work, each on a sheet of its own."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from raworder.reporting.bag_labels import bag_labels
from raworder.reporting.cautions import NOTICE
from raworder.reporting.order import bill_lines, freezer_blocks, is_bought, order_of
from raworder.reporting.papers import MAKERS
from raworder.reporting.ration_sheet import ration_sheet
from raworder.reporting.summary import summary
from raworder.reporting.thawing import FreezeFirst, first_frozen
from raworder.reporting.words import of_its_batch, paper
from raworder.trade.document import Block, Cell, Column, Document, Holds, Labels, Paragraph, Points, Table
from raworder.trade.fingerprint import batch_number
from raworder.trade.outputs import ON_PAGE, PAPERS
from raworder.trade.plan import Bill, Plan
from raworder.trade.scenario import YOUR_LIST, Scenario
from raworder.trade.units import day_text

COLD = (
    "Buy raw food last, in a cool box: at most 2 hours out of the refrigerator, 1 hour above 32 C (90 F).",
    "Out of the cold at ____ : ____, back in the cold at ____ : ____",
    "Take nothing that is warm, leaks or smells off, and keep it apart from food for people.",
    "Keep the receipt: with it the bags are planned for what was really bought.",
)
COLD_SOURCES = ('two hours: US extension sheet "Safe thawing practices", which repeats USDA; publisher not verified',)

MISSING = (
    "One line missing at a time, all else bought as planned; the extra cost is that of the whole order. Who eats "
    "what changes with it, so plan again from the receipt before bags are filled. For a dog that must not eat "
    "something, or that a veterinarian feeds, replace nothing by what is not named here."
)

GOT, PAID = Column("got", "Got", Holds.BLANK), Column("paid", "Paid", Holds.BLANK)
"""What is written by hand in the shop."""

MOST_RATION_SHEETS = 20
"""Of more dogs than this the page leaves the ration sheets out: each is a sheet of paper by itself."""


Beside = Mapping[str, Document]
"""What other questions answered, by the key of the paper."""


def page_papers(scenario: Scenario, plan: Plan, beside: Beside) -> tuple[Document, ...]:
    """All papers of a plan with its bags; `beside` holds by key what other questions answered.

    `what_instead` is the card for the shop, `settle` who pays what, `prices_to_ask` what to haggle for. Ration sheets
    are left out where dogs are many.
    """
    about_bags = {paper.key for paper in PAPERS if paper.is_about_bags}
    return tuple(
        of_its_batch(scenario, document) if key in about_bags else document
        for key in ON_PAGE
        for document in _laid_out(key, scenario, plan, beside)
    )


def _laid_out(key: str, scenario: Scenario, plan: Plan, beside: Beside) -> Iterable[Document]:
    """A paper as it stands on the page: as many sheets as it takes there, none where there is nothing to say."""
    if key in beside:
        return (beside[key],)
    if key in ONLY_HERE:
        return ONLY_HERE[key](scenario, plan, beside)
    made = MAKERS[key](scenario, plan) if key in MAKERS else None  # what was not asked beside is not there
    return () if made is None else (made,)


def _summary(scenario: Scenario, plan: Plan, _: Beside) -> Iterator[Document]:
    """What it costs, with the notice that the whole page needs."""
    first = summary(scenario, plan)
    yield replace(first, blocks=(*first.blocks, Paragraph(NOTICE)))


def _orders(scenario: Scenario, plan: Plan, beside: Beside) -> Iterator[Document]:
    """A sheet for each shop where something is still to buy."""
    to_buy = (bill for bill in plan.bills if not is_bought(scenario, plan, bill))
    return (shop_order(scenario, plan, bill, beside.get("what_instead")) for bill in to_buy)


def shop_order(scenario: Scenario, plan: Plan, bill: Bill, card: Document | None = None) -> Document:
    """What one supplier is asked for, with room for what was really got and paid, and what to take instead."""
    title = "Order" if bill.supplier == YOUR_LIST else f"Order: {bill.supplier}"
    return replace(
        paper(scenario, "shopping_list", title, _shop_blocks(scenario, plan, bill, card)), at_arms_length=True
    )


def _shop_blocks(scenario: Scenario, plan: Plan, bill: Bill, card: Document | None) -> Iterator[Block]:
    """The lines to tick, what to mind, and the card."""
    days = f"{scenario.batch.starts} to {scenario.batch.ends}"
    filled_on = day_text(scenario.portioned_on)
    yield Paragraph(f"Batch {batch_number(scenario)}, fed {days}. The bags are filled on {filled_on}.")
    yield _with_room(order_of(scenario, plan, bill))
    cuts = dict.fromkeys(offer.cut for _, offer in bill_lines(scenario, plan, bill))
    frozen = [(name, first) for name in cuts for first in first_frozen(scenario.cut(name))]
    if frozen:
        yield Points("freeze_first", "Ask for it frozen", *_frozen_first(frozen))
    yield Points("cold", "Cold on the way", COLD, COLD_SOURCES)
    for block in card.blocks if card else ():
        if isinstance(block, Table) and block.shown and block.title == bill.supplier:
            yield replace(block, title="If something is missing", note=MISSING)


def _with_room(order: Table) -> Table:
    """The order with what is to be bought first in bold, and room for what was really got and paid."""

    def laid_out(row: tuple[Cell, ...]) -> tuple[Cell, ...]:
        """A row with the item first, and two empty cells at its end."""
        to_buy, item, *rest = row
        return (item, to_buy, *rest, None, None)

    to_buy, item, *others = order.columns
    rows, totals = tuple(map(laid_out, order.rows)), tuple(map(laid_out, order.totals))
    return replace(order, title="To buy", columns=(item, to_buy, *others, GOT, PAID), rows=rows, totals=totals)


def _frozen_first(cuts: Iterable[tuple[str, FreezeFirst]]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What must be frozen before it is fed, and how long, with the sources."""
    told = tuple(cuts)
    items = (
        f"{name}: before it is fed it must have been frozen {first.how_cold} for {first.days} days. Ask whether it "
        "has, and take it frozen if so."
        for name, first in told
    )
    return tuple(items), tuple(dict.fromkeys(first.source for _, first in told))


def _labels(scenario: Scenario, plan: Plan, _: Beside) -> Iterator[Document]:
    """The labels; with outlines to cut along where the scenario names no sheet of labels, so that paper must do."""
    made = bag_labels(scenario, plan)
    framed = (
        replace(block, frames=not scenario.labels) if isinstance(block, Labels) else block for block in made.blocks
    )
    yield replace(made, blocks=tuple(framed))


def _freezer(scenario: Scenario, plan: Plan, _: Beside) -> Iterator[Document]:
    """What the freezer gives and gets back, where there is any."""
    blocks = tuple(freezer_blocks(scenario, plan))
    if blocks:
        yield paper(scenario, "freezer", "From the freezer, and back", blocks)


def _ration_sheets(scenario: Scenario, plan: Plan, _: Beside) -> Iterator[Document]:
    """A sheet for the veterinarian of each dog, where dogs are few."""
    for food in plan.nourished if len(scenario.dogs) <= MOST_RATION_SHEETS else ():
        yield replace(ration_sheet(scenario, replace(plan, nourished=(food,))), title=f"Ration sheet: {food.dog}")


ONLY_HERE: Mapping[str, Callable[[Scenario, Plan, Beside], Iterable[Document]]] = MappingProxyType(
    {
        "summary": _summary,
        "shopping_list": _orders,
        "freezer": _freezer,
        "labels": _labels,
        "ration_sheet": _ration_sheets,
    }
)
"""What makes the papers that look otherwise on the page than where they are printed, or are nowhere else."""
