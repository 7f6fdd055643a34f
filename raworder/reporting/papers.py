"""All papers of one plan, in the order in which a person needs them."""

from raworder.reporting.bag_book import bag_book
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
from raworder.trade.plan import Plan

PAPERS = (summary, shopping_list, portioning_list, shares, costs, cautions)
"""Each makes one paper; what is needed in the shop comes first."""


BAG_PAPERS = (counter_sheet, bag_list, batch_cards, feeding_sheet, weeks, thaw_plan, freezing)
"""Each makes one paper about the bags of a plan, or none where there is nothing to say; in order of use."""


def bag_papers(plan: Plan) -> tuple[Document, ...]:
    """Every paper about the plan's bags."""
    book = bag_book(plan)
    made = (paper(book) for paper in BAG_PAPERS)
    return tuple(of_its_batch(book.scenario, document) for document in made if document is not None)


def papers(plan: Plan) -> tuple[Document, ...]:
    """Every paper of the plan."""
    return tuple(paper(plan.facts.scenario, plan) for paper in PAPERS)
