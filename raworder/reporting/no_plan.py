"""No answer: that there is neither a plan nor a proof that there is none."""

from raworder.reporting.words import paper
from raworder.trade.document import Document, Paragraph
from raworder.trade.plan import Unsolved
from raworder.trade.scenario import Scenario


def unsolved(scenario: Scenario, why: Unsolved) -> Document:
    """That there is neither a plan nor a proof that there is none."""
    text = f"No plan was found, but there may be one: {why.why}. {why.advice}"
    return paper(scenario, "unsolved", f"No answer: {scenario.title}", (Paragraph(text),))
