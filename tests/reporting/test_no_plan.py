"""No answer: giving up is not called no plan."""

from raworder.reporting.summary import unsolved_paper
from raworder.trade.document import Paragraph
from raworder.trade.plan import Unsolved
from tests import builders as b


def test_giving_up_is_not_called_no_plan() -> None:
    document = unsolved_paper(b.a_scenario(), Unsolved("the time limit came first"))
    assert document.key == "unsolved"
    assert document.title.startswith("No answer")
    (only,) = document.blocks
    assert isinstance(only, Paragraph)
    assert only.text == (
        "No plan was found, but there may be one: the time limit came first. Give it more time, or fewer offers."
    )
