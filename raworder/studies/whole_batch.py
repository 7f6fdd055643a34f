"""The whole batch for spreadsheets: order, portions, bags, shares, costs, who pays what, then all about the bags."""

from collections.abc import Sequence

from raworder.reporting.papers import bag_papers
from raworder.studies.settling import settle_bills
from raworder.trade.document import Document
from raworder.trade.outputs import IN_SPREADSHEETS
from raworder.trade.plan import Plan


def whole_batch(plan: Plan, documents: Sequence[Document]) -> tuple[Document, ...]:
    """The papers of a plan with who pays what and the papers of its bags, in the order of `IN_SPREADSHEETS`."""
    made = {document.key: document for document in (*documents, settle_bills(plan), *bag_papers(plan))}
    return tuple(made[key] for key in IN_SPREADSHEETS if key in made)
