"""No answer: that there is neither a plan nor a proof that there is none."""

from raworder.document import Document, Paragraph
from raworder.plan import Unsolved
from raworder.reporting.words import paper
from raworder.trade import Scenario


def unsolved(scenario: Scenario, why: Unsolved) -> Document:
    """That there is neither a plan nor a proof that there is none."""
    text = f"The search ended without a plan, and without a proof that there is none: {why.why}."
    open_still = "This says nothing about whether the rules can be met."
    return paper(
        scenario, "unsolved", f"No answer: {scenario.title}", (Paragraph(f"{text} {why.advice} {open_still}"),)
    )
