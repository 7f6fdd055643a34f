"""The whole batch for spreadsheets: order, portions, bags, shares, costs, who pays what, then all about the bags."""

from collections.abc import Sequence

from raworder.reporting.papers import bag_papers
from raworder.studies.settling import settle_bills
from raworder.trade.document import Document
from raworder.trade.plan import Plan


def whole_batch(plan: Plan, documents: Sequence[Document]) -> tuple[Document, ...]:
    """The papers of a plan with who pays what and the papers of its bags; the list of bags follows the portions."""
    about_bags = bag_papers(plan)
    bags = [document for document in about_bags if document.key == "bag_list"]
    rest = [document for document in about_bags if document.key != "bag_list"]
    after = next((at for at, document in enumerate(documents, 1) if document.key == "portioning_list"), len(documents))
    return (*documents[:after], *bags, *documents[after:], settle_bills(plan), *rest)
