"""What a paper says, as one text."""

from raworder.rendering.markdown import markdown
from raworder.trade.document import Document


def told(paper: Document) -> str:
    """The paper as Markdown."""
    return markdown([paper])
