"""Every paper of a plan and of its bags, and the page of a batch: in the order of the work."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from types import MappingProxyType

from raworder.reporting.bag_book import BagBook, bag_book
from raworder.reporting.bag_labels import bag_labels
from raworder.reporting.bag_list import bag_list
from raworder.reporting.balanced_weeks import weeks
from raworder.reporting.cautions import asked_at, cautions, numbered_cautions, only_about
from raworder.reporting.costs import costs
from raworder.reporting.counter_sheet import batch_cards, counter_sheet
from raworder.reporting.feeding_sheet import feeding_sheet
from raworder.reporting.first_look import first_look
from raworder.reporting.freezing import freezing
from raworder.reporting.order import bill_lines, freezer_blocks, is_bought, order_by_hand, shopping_list
from raworder.reporting.portions import portioning_list
from raworder.reporting.ration_sheet import ration_sheet
from raworder.reporting.shares import shares
from raworder.reporting.summary import summary
from raworder.reporting.thaw_plan import thaw_plan
from raworder.reporting.words import paper, with_batch_number
from raworder.trade.cuts import FREEZE_FIRST, FreezeFirst, freeze_first_keys
from raworder.trade.document import Block, Document, Labels, Paragraph, Points, Table
from raworder.trade.fingerprint import batch_number
from raworder.trade.outputs import ON_PAGE, PAPERS, printed_by
from raworder.trade.plan import Bill, Plan
from raworder.trade.scenario import YOUR_LIST, CautionPlace, FedScenario, Scenario
from raworder.trade.units import day_text

ORDER_PAPERS: Mapping[str, Callable[[FedScenario, Plan], Document]] = MappingProxyType(
    {
        "first_look": first_look,
        "summary": summary,
        "shopping_list": shopping_list,
        "portioning_list": portioning_list,
        "shares": shares,
        "costs": costs,
        "cautions": cautions,
    }
)
"""The function that writes each paper about an order, by the key of the paper in `outputs.PAPERS`."""

BAG_PAPERS: Mapping[str, Callable[[BagBook], Document | None]] = MappingProxyType(
    {
        "counter_sheet": counter_sheet,
        "bag_list": bag_list,
        "batch_cards": batch_cards,
        "feeding_sheet": feeding_sheet,
        "weeks": weeks,
        "thaw_plan": thaw_plan,
        "freezing": freezing,
    }
)
"""The function that writes each paper about bags; it returns None where there is nothing to say."""


def papers(plan: Plan) -> tuple[Document, ...]:
    """Every paper about the order of the plan."""
    return tuple(ORDER_PAPERS[key](plan.facts.scenario, plan) for key in printed_by("plan"))


FOR_ALL_BAGS = frozenset({"counter_sheet", "batch_cards", "feeding_sheet", "freezing"})
"""The papers for those who fill, freeze and feed the bags of all dogs."""


def bag_papers(plan: Plan, dogs: Collection[str] = ()) -> tuple[Document, ...]:
    """Every paper about the plan's bags; with `dogs`, those about their bags alone, for who did not fill them."""
    book = bag_book(plan).of_dogs(dogs) if dogs else bag_book(plan)
    keys = (key for key in printed_by("portion") if not (dogs and key in FOR_ALL_BAGS))
    documents = (BAG_PAPERS[key](book) for key in keys)
    return tuple(with_batch_number(book.scenario, document) for document in documents if document is not None)


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


MOST_RATION_SHEETS = 20
"""With more dogs than this the page leaves the ration sheets out, as each fills a sheet of paper."""


StudyPapers = Mapping[str, Document]
"""Papers of studies that were asked for along with the plan, by key."""


def page_papers(plan: Plan, studies: StudyPapers) -> tuple[Document, ...]:
    """All papers of a plan with its bags, in the order of the work.

    In `studies`, `what_instead` is the card for the shop, `settle` says who pays what, and `prices_to_ask` what to
    haggle for. Ration sheets are left out where there are many dogs.
    """
    book = bag_book(plan)
    about_bags = {paper.key for paper in PAPERS if paper.is_about_bags}
    return tuple(
        with_batch_number(book.scenario, document) if key in about_bags else document
        for key in ON_PAGE
        for document in _sheets(key, book, studies)
    )


def _sheets(key: str, book: BagBook, studies: StudyPapers) -> Iterable[Document]:
    """The sheets that one paper takes on the page; none where there is nothing to say."""
    if key in studies:
        return (studies[key],)
    if key in PAGE_ONLY_PAPERS:
        return PAGE_ONLY_PAPERS[key](book, studies)
    if key in ORDER_PAPERS:
        return (ORDER_PAPERS[key](book.scenario, book.plan),)
    document = BAG_PAPERS[key](book) if key in BAG_PAPERS else None  # the key of a study that nobody asked for
    return () if document is None else (document,)


def _order_sheets(book: BagBook, studies: StudyPapers) -> Iterator[Document]:
    """A sheet for each shop where something is still to buy."""
    scenario, plan = book.scenario, book.plan
    to_buy = (bill for bill in plan.bills if not is_bought(scenario, plan, bill))
    return (shop_order(scenario, plan, bill, studies.get("what_instead")) for bill in to_buy)


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
        yield Points("freeze_first", "Ask for it frozen", *_freezing_demands(scenario, frozen))
    yield from asked_at([CautionPlace.SHOP], only_about(cuts, numbered_cautions(scenario, plan)))
    yield Points("cold", "Cold on the way", COLD, COLD_SOURCES)
    # The card has a table for each supplier, titled with its name.
    for block in card.blocks if card else ():
        if isinstance(block, Table) and block.shown and block.title == bill.supplier:
            yield replace(block, title="If something is missing", note=MISSING)


def _freezing_demands(
    scenario: Scenario, cuts: Sequence[tuple[str, FreezeFirst]]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What must be frozen before it is fed, and how long, with the sources; when to buy it where it is held first."""
    ask = "Ask whether it has, and take it frozen if so."
    if scenario.hold_days:
        buy_by = day_text(scenario.portioned_on - timedelta(days=scenario.hold_days))
        ask = f"Buy it by {buy_by}, and keep it frozen for {scenario.hold_days} days before its bags are filled."
    items = (
        f"{name}: before it is fed it must have been frozen {first.how_cold} for {first.days} days. {ask}"
        for name, first in cuts
    )
    return tuple(items), tuple(dict.fromkeys(first.source for _, first in cuts))


def _labels(book: BagBook, _: StudyPapers) -> Iterator[Document]:
    """The labels, with outlines to cut along on plain paper where the scenario names no sheet of labels."""
    document = bag_labels(book)
    blocks = (
        replace(block, frames=not book.scenario.labels) if isinstance(block, Labels) else block
        for block in document.blocks
    )
    yield replace(document, blocks=tuple(blocks))


def _freezer(book: BagBook, _: StudyPapers) -> Iterator[Document]:
    """What comes out of the freezer and what goes back, where there is any."""
    blocks = tuple(freezer_blocks(book.scenario, book.plan))
    if blocks:
        yield paper(book.scenario, "freezer", "From the freezer, and back", blocks)


def _ration_sheets(book: BagBook, _: StudyPapers) -> Iterator[Document]:
    """A sheet for the veterinarian of each dog, where dogs are few."""
    for food in book.plan.nourished if len(book.scenario.dogs) <= MOST_RATION_SHEETS else ():
        sheet = ration_sheet(book.scenario, replace(book.plan, nourished=(food,)))
        yield replace(sheet, title=f"Ration sheet: {food.dog}")


PAGE_ONLY_PAPERS: Mapping[str, Callable[[BagBook, StudyPapers], Iterable[Document]]] = MappingProxyType(
    {
        "shopping_list": _order_sheets,
        "freezer": _freezer,
        "labels": _labels,
        "ration_sheet": _ration_sheets,
    }
)
"""The functions that write the papers which look different on the page or appear only there."""
