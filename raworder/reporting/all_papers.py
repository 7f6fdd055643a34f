"""Every paper of a plan and of its bags, and the page of a batch: in the order of the work."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from raworder.reporting.bag_book import BagBook, bag_book
from raworder.reporting.bag_labels import labels_of_page
from raworder.reporting.bag_list import bag_list
from raworder.reporting.balanced_weeks import weeks
from raworder.reporting.cautions import cautions
from raworder.reporting.costs import costs
from raworder.reporting.counter_sheet import batch_cards, counter_sheet
from raworder.reporting.first_look import cover, first_look
from raworder.reporting.freezing import freezing
from raworder.reporting.fridge_door import fridge_door
from raworder.reporting.kennels import kennel_pages, kennels
from raworder.reporting.kitchen import kitchen
from raworder.reporting.order import freezer_blocks, shopping_list
from raworder.reporting.portions import portioning_list
from raworder.reporting.ration_sheet import ration_sheet
from raworder.reporting.shares import shares
from raworder.reporting.shop_page import shop_pages
from raworder.reporting.summary import summary
from raworder.reporting.thaw_plan import thaw_plan
from raworder.reporting.words import paper, with_batch_number
from raworder.trade.document import Document
from raworder.trade.outputs import ON_PAGE, PAPERS, printed_by
from raworder.trade.plan import Plan
from raworder.trade.scenario import FedScenario

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
        "kitchen": kitchen,
        "fridge_door": fridge_door,
        "kennels": kennels,
        "counter_sheet": counter_sheet,
        "bag_list": bag_list,
        "batch_cards": batch_cards,
        "weeks": weeks,
        "thaw_plan": thaw_plan,
        "freezing": freezing,
    }
)
"""The function that writes each paper about bags; it returns None where there is nothing to say."""


def papers(plan: Plan) -> tuple[Document, ...]:
    """Every paper about the order of the plan."""
    return tuple(ORDER_PAPERS[key](plan.facts.scenario, plan) for key in printed_by("plan"))


FOR_ALL_BAGS = frozenset({"counter_sheet", "batch_cards", "kennels", "freezing"})
"""The papers for those who fill, freeze and feed the bags of all dogs."""


def bag_papers(plan: Plan, dogs: Collection[str] = ()) -> tuple[Document, ...]:
    """Every paper about the plan's bags; with `dogs`, those about their bags alone, for who did not fill them."""
    book = bag_book(plan).of_dogs(dogs) if dogs else bag_book(plan)
    keys = (key for key in printed_by("portion") if not (dogs and key in FOR_ALL_BAGS))
    documents = (BAG_PAPERS[key](book) for key in keys)
    return tuple(with_batch_number(book.scenario, document) for document in documents if document is not None)


MOST_RATION_SHEETS = 20
"""With more dogs than this the page leaves the ration sheets out, as each fills a sheet of paper."""


StudyPapers = Mapping[str, Sequence[Document]]
"""Papers of studies that were asked for along with the plan, by key."""


def page_papers(plan: Plan, studies: StudyPapers) -> tuple[Document, ...]:
    """All papers of a plan with its bags, in the order of the work.

    In `studies`, `what_instead` is the card for the shop, `settle` says who pays what, `household` are the pages of the
    owners, and `prices_to_ask` is what to haggle for. Ration sheets are left out where there are many dogs.
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
        return studies[key]
    if key in PAGE_ONLY_PAPERS:
        return PAGE_ONLY_PAPERS[key](book, studies)
    if key in ORDER_PAPERS:
        return (ORDER_PAPERS[key](book.scenario, book.plan),)
    document = BAG_PAPERS[key](book) if key in BAG_PAPERS else None  # the key of a study that nobody asked for
    return () if document is None else (document,)


def _cover(book: BagBook, _: StudyPapers) -> Iterable[Document]:
    """Price and where, what is wrong, what next."""
    return (cover(book.scenario, book.plan),)


def _shop_pages(book: BagBook, studies: StudyPapers) -> Iterator[Document]:
    """A page for each shop where something is still to buy."""
    return shop_pages(book.scenario, book.plan, next(iter(studies.get("what_instead", ())), None))


def _labels(book: BagBook, _: StudyPapers) -> Iterator[Document]:
    """The labels, as cards on a screen and as sheets on paper."""
    yield labels_of_page(book)


def _freezer(book: BagBook, _: StudyPapers) -> Iterator[Document]:
    """What comes out of the freezer and what goes back, where there is any."""
    blocks = tuple(freezer_blocks(book.scenario, book.plan))
    if blocks:
        yield paper(book.scenario, "freezer", "From the freezer, and back", blocks)


def _kennels(book: BagBook, _: StudyPapers) -> Iterable[Document]:
    """A page for each kennel, where dogs are many."""
    return kennel_pages(book)


def _ration_sheets(book: BagBook, _: StudyPapers) -> Iterator[Document]:
    """A sheet for the veterinarian of each dog, where dogs are few."""
    for food in book.plan.nourished if len(book.scenario.dogs) <= MOST_RATION_SHEETS else ():
        sheet = ration_sheet(book.scenario, replace(book.plan, nourished=(food,)))
        yield replace(sheet, title=f"Ration sheet: {food.dog}")


PAGE_ONLY_PAPERS: Mapping[str, Callable[[BagBook, StudyPapers], Iterable[Document]]] = MappingProxyType(
    {
        "first_look": _cover,
        "shopping_list": _shop_pages,
        "freezer": _freezer,
        "kennels": _kennels,
        "labels": _labels,
        "ration_sheet": _ration_sheets,
    }
)
"""The functions that write the papers which look different on the page or appear only there."""
