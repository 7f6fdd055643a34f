"""What a paper says, as one text."""

from raworder.document import Document
from raworder.rendering.markdown import markdown


def told(paper: Document) -> str:
    """The paper as Markdown."""
    return markdown([paper])
