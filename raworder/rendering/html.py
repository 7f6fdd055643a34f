"""Documents as one page of HTML that needs nothing else: for a printer, and for a phone."""

from collections.abc import Sequence

from raworder.document import Document


def html(documents: Sequence[Document]) -> str:
    """One page."""
    raise NotImplementedError(len(documents))
