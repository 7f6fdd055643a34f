"""The page of a batch: every paper that a person holds, in the order of the work, each on a sheet of its own."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from raworder.reporting.bag_book import MANY, BagBook, bag_book
from raworder.reporting.bag_labels import bag_labels
from raworder.reporting.bag_list import bag_list
from raworder.reporting.balanced_weeks import weeks
from raworder.reporting.cautions import NOTICE, cautions
from raworder.reporting.costs import costs
from raworder.reporting.counter_sheet import batch_cards, counter_sheet
from raworder.reporting.feeding_sheet import feeding_sheet
from raworder.reporting.freezing import freezing
from raworder.reporting.order import bill_lines, freezer_blocks, is_bought, order_by_hand
from raworder.reporting.portions import portioning_list
from raworder.reporting.ration_sheet import ration_sheet
from raworder.reporting.shares import shares
from raworder.reporting.summary import summary
from raworder.reporting.thaw_plan import thaw_plan
from raworder.reporting.words import of_its_batch, paper
from raworder.trade.batch_facts import FREEZE_FIRST, FreezeFirst, freeze_first_keys
from raworder.trade.document import Block, Document, Labels, Paragraph, Points, Table
from raworder.trade.fingerprint import batch_number
from raworder.trade.plan import Bill, Plan
from raworder.trade.scenario import YOUR_LIST, FedScenario, Scenario
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


def page_papers(plan: Plan, beside: Mapping[str, Document]) -> tuple[Document, ...]:
    """All papers of a plan with its bags; `beside` holds by key what other questions answered.

    `what_instead` is the card for the shop, `settle` who pays what, `prices_to_ask` what to haggle for. Ration sheets
    are left out where dogs are many.
    """
    return tuple(_papers(plan.facts.scenario, plan, beside))


def _papers(scenario: FedScenario, plan: Plan, beside: Mapping[str, Document]) -> Iterator[Document]:
    """From what it costs, over the shop and the counter, to what it was all for."""
    first = summary(scenario, plan)
    yield replace(first, blocks=(*first.blocks, Paragraph(NOTICE)))
    to_buy = (bill for bill in plan.bills if not is_bought(scenario, plan, bill))
    yield from (shop_order(scenario, plan, bill, beside.get("what_instead")) for bill in to_buy)
    yield from _freezer(scenario, plan)
    at_home = (counter_sheet, batch_cards, bag_list, _labels, feeding_sheet, thaw_plan, freezing, weeks)
    book = bag_book(plan)
    yield from (of_its_batch(scenario, made) for make in at_home if (made := make(book)) is not None)
    yield from (portioning_list(scenario, plan), shares(scenario, plan), costs(scenario, plan))
    yield from (beside[key] for key in ("settle", "prices_to_ask") if key in beside)
    if len(scenario.dogs) <= MANY:
        yield from _ration_sheets(scenario, plan)
    yield cautions(scenario, plan)


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
    yield order_by_hand(scenario, plan, bill)
    cuts = dict.fromkeys(offer.cut for _, offer in bill_lines(scenario, plan, bill))
    frozen = [
        (name, first) for name in cuts for first in map(FREEZE_FIRST.__getitem__, freeze_first_keys(scenario.cut(name)))
    ]
    if frozen:
        yield Points("freeze_first", "Ask for it frozen", *_frozen_first(frozen))
    yield Points("cold", "Cold on the way", COLD, COLD_SOURCES)
    for block in card.blocks if card else ():
        if isinstance(block, Table) and block.shown and block.title == bill.supplier:
            yield replace(block, title="If something is missing", note=MISSING)


def _frozen_first(cuts: Iterable[tuple[str, FreezeFirst]]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What must be frozen before it is fed, and how long, with the sources."""
    told = tuple(cuts)
    items = (
        f"{name}: before it is fed it must have been frozen {first.how_cold} for {first.days} days. Ask whether it "
        "has, and take it frozen if so."
        for name, first in told
    )
    return tuple(items), tuple(dict.fromkeys(first.source for _, first in told))


def _labels(book: BagBook) -> Document:
    """The labels; with outlines to cut along where the scenario names no sheet of labels, so that paper must do."""
    made = bag_labels(book)
    framed = (
        replace(block, frames=not book.scenario.labels) if isinstance(block, Labels) else block for block in made.blocks
    )
    return replace(made, blocks=tuple(framed))


def _freezer(scenario: Scenario, plan: Plan) -> Iterator[Document]:
    """What the freezer gives and gets back, where there is any."""
    blocks = tuple(freezer_blocks(scenario, plan))
    if blocks:
        yield paper(scenario, "freezer", "From the freezer, and back", blocks)


def _ration_sheets(scenario: FedScenario, plan: Plan) -> Iterator[Document]:
    """A sheet for the veterinarian of each dog."""
    for food in plan.nourished:
        yield replace(ration_sheet(scenario, replace(plan, nourished=(food,))), title=f"Ration sheet: {food.dog}")
