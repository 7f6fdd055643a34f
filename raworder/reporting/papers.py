"""All papers of one plan, in the order in which a person needs them."""

from raworder.document import Document
from raworder.plan import Plan
from raworder.reporting.cautions import cautions
from raworder.reporting.costs import costs
from raworder.reporting.order import shopping_list
from raworder.reporting.portions import portioning_list
from raworder.reporting.shares import shares
from raworder.reporting.summary import summary
from raworder.trade import Scenario

PAPERS = (summary, shopping_list, portioning_list, shares, costs, cautions)
"""Each makes one paper; what is needed in the shop comes first."""


def papers(scenario: Scenario, plan: Plan) -> tuple[Document, ...]:
    """Every paper of the plan."""
    return tuple(paper(scenario, plan) for paper in PAPERS)
