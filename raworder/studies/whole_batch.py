"""The whole batch for spreadsheets: order, portions, bags, shares, costs, who pays what, then all about the bags."""

from collections.abc import Sequence

from raworder.as_fed import as_fed
from raworder.document import Document
from raworder.plan import Plan
from raworder.reporting.papers import bag_papers
from raworder.studies.settling import settle
from raworder.trade import Scenario


def whole_batch(scenario: Scenario, plan: Plan, documents: Sequence[Document]) -> tuple[Document, ...]:
    """The papers of a plan with who pays what and the papers of its bags; the list of bags follows the portions."""
    fed = as_fed(scenario, plan)
    about_bags = bag_papers(fed, plan)
    bags = [one for one in about_bags if one.key == "bag_list"]
    rest = [one for one in about_bags if one.key != "bag_list"]
    after = next((at for at, one in enumerate(documents, 1) if one.key == "portioning_list"), len(documents))
    return (*documents[:after], *bags, *documents[after:], settle(fed, plan), *rest)
