"""What is to be copied, bare: the verbatim texts of a document, without a frame or an indent around them."""

from raworder.document import Document, Paragraph, Verbatim
from raworder.rendering.clean import lines, one_line
from raworder.rendering.values import blocks_for_people


def plain(document: Document) -> str:
    """The verbatim texts, each under its title where there are several, then what else is said in paragraphs."""
    blocks = blocks_for_people(document)
    texts = [(one_line(one.title), "\n".join(lines(one.text))) for one in blocks if isinstance(one, Verbatim)]
    titled = [f"== {title} ==\n{text}" if len(texts) > 1 else text for title, text in texts]
    told = [one_line(one.text) for one in blocks if isinstance(one, Paragraph)]
    return "".join(f"{one}\n" for one in ("\n\n".join([*titled, *told]),) if one)
