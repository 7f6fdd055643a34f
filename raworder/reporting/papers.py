"""All papers of one plan, in the order in which a person needs them."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

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
from raworder.trade.scenario import Scenario

MakePaper = Callable[[Scenario, Plan], Document | None]
"""What makes a paper of a plan, or none where there is nothing to say."""

MAKERS: Mapping[str, MakePaper] = MappingProxyType(
    {
        "summary": summary,
        "shopping_list": shopping_list,
        "portioning_list": portioning_list,
        "shares": shares,
        "costs": costs,
        "cautions": cautions,
        "counter_sheet": counter_sheet,
        "bag_list": bag_list,
        "batch_cards": batch_cards,
        "feeding_sheet": feeding_sheet,
        "weeks": weeks,
        "thaw_plan": thaw_plan,
        "freezing": freezing,
    }
)
"""What makes each paper that `plan` or `portion` prints, by its key in `outputs.PAPERS`."""


def papers(scenario: Scenario, plan: Plan) -> tuple[Document, ...]:
    """Every paper of the plan."""
    return _printed_by("plan", scenario, plan)


def bag_papers(scenario: Scenario, plan: Plan) -> tuple[Document, ...]:
    """Every paper about the plan's bags."""
    return tuple(of_its_batch(scenario, document) for document in _printed_by("portion", scenario, plan))


def _printed_by(command: str, scenario: Scenario, plan: Plan) -> tuple[Document, ...]:
    """The papers that a command prints, without those that have nothing to say."""
    made = (MAKERS[key](scenario, plan) for key in printed_by(command))
    return tuple(document for document in made if document is not None)
