"""All papers of one plan, in the order in which a person needs them."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from raworder.reporting.bag_book import BagBook, bag_book
from raworder.reporting.bag_list import bag_list
from raworder.reporting.balanced_weeks import weeks
from raworder.reporting.cautions import cautions
from raworder.reporting.costs import costs
from raworder.reporting.counter_sheet import batch_cards, counter_sheet
from raworder.reporting.feeding_sheet import feeding_sheet
from raworder.reporting.freezing import freezing
from raworder.reporting.order import shopping_list
from raworder.reporting.portions import portioning_list
from raworder.reporting.shares import shares
from raworder.reporting.summary import summary
from raworder.reporting.thaw_plan import thaw_plan
from raworder.reporting.words import of_its_batch
from raworder.trade.document import Document
from raworder.trade.outputs import printed_by
from raworder.trade.plan import Plan
from raworder.trade.scenario import FedScenario

ORDER_PAPERS: Mapping[str, Callable[[FedScenario, Plan], Document]] = MappingProxyType(
    {
        "summary": summary,
        "shopping_list": shopping_list,
        "portioning_list": portioning_list,
        "shares": shares,
        "costs": costs,
        "cautions": cautions,
    }
)
"""What makes each paper about an order, by its key in `outputs.PAPERS`."""

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
"""What makes each paper about bags, or none where there is nothing to say."""


def papers(plan: Plan) -> tuple[Document, ...]:
    """Every paper about the order of the plan."""
    return tuple(ORDER_PAPERS[key](plan.facts.scenario, plan) for key in printed_by("plan"))


def bag_papers(plan: Plan) -> tuple[Document, ...]:
    """Every paper about the plan's bags."""
    book = bag_book(plan)
    made = (BAG_PAPERS[key](book) for key in printed_by("portion"))
    return tuple(of_its_batch(book.scenario, document) for document in made if document is not None)
