"""The topics of the help: Markdown files that are shipped, read into blocks that every rendering can show.

A topic holds a title, a first sentence that says what it is about, and then headings, paragraphs, lists, tables and
fenced code, each with an empty line before it. A comment of one word, such as `<!-- fields -->`, stands for blocks that
are made when the topic is shown.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from raworder.reading.reference import shipped_folder
from raworder.trade.document import Block, Column, Paragraph, Points, Table, Verbatim

TOPICS = (
    "begin", "scenario", "lists", "shop", "counter", "papers", "questions", "nutrients", "many", "rules", "findings",
    "cautions",
)  # fmt: skip
"""The topics by name, in the order in which a beginner needs them."""

MakeBlocks = Callable[[str], Sequence[Block]]
"""What stands in place of a comment of that word."""

FENCE = "```"
COMMENT = re.compile(r"<!-- (\w+) -->")
LINK = re.compile(r"\[([^\]]+)\]\([^)]+\)")
ITEM = re.compile(r"^- ", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Topic:
    """One topic: `name` is what a person types, `says` tells in a sentence what it is about."""

    name: str
    title: str
    says: str
    blocks: tuple[Block, ...]


def read_topic(name: str, make: MakeBlocks) -> Topic:
    """The topic of that name, with blocks made by `make` where the file asks for them."""
    return topic_of(name, (shipped_folder("help") / f"{name}.md").read_text(encoding="utf-8"), make)


def topic_of(name: str, text: str, make: MakeBlocks) -> Topic:
    """The topic that a text in Markdown holds."""
    head, _, body = text.partition("\n\n")
    blocks = tuple(_blocks(body, make))
    first = blocks[0]
    assert isinstance(first, Paragraph), f"{name} does not begin with a sentence"
    return Topic(name, _words(head.removeprefix("# ")), first.text, blocks)


def _blocks(text: str, make: MakeBlocks) -> Iterator[Block]:
    """The blocks, each under the heading that stands right before it."""
    title = ""
    for chunk in _chunks(text):
        comment = COMMENT.fullmatch(chunk)
        if chunk.startswith("#"):
            title = _words(chunk.lstrip("# "))
            continue
        if comment:
            yield from make(comment[1])
        else:
            yield replace(_block(chunk), title=title)
        title = ""


def _chunks(text: str) -> Iterator[str]:
    """The parts between empty lines; an empty line inside a fence parts nothing."""
    lines: list[str] = []
    fenced = False
    for line in (*text.split("\n"), ""):
        fenced ^= line.startswith(FENCE)
        if line or fenced:
            lines.append(line)
        elif lines:
            yield "\n".join(lines)
            lines = []


def _block(chunk: str) -> Paragraph | Points | Table | Verbatim:
    """One block, told by how its first line begins."""
    lines = chunk.split("\n")
    if chunk.startswith(FENCE):
        return Verbatim("", "\n".join(lines[1:-1]))
    if chunk.startswith("- "):
        return Points("", "", tuple(_words(item) for item in ITEM.split(chunk)[1:]))
    if chunk.startswith("|"):
        return _table(lines)
    return Paragraph(_words(chunk))


def _table(lines: Sequence[str]) -> Table:
    """The rows of a table under its heads; the line between them only draws."""
    head, _, *rows = ([_words(cell) for cell in line.strip("| ").split(" | ")] for line in lines)
    columns = tuple(Column(f"column_{place}", heading) for place, heading in enumerate(head, start=1))
    return Table("", "", columns, tuple(tuple(row) for row in rows))


def _words(text: str) -> str:
    """The text on one line; of a link its words, of what is bold the plain words.

    >>> _words("Read **this** in [the guide](guide.md).")
    'Read this in the guide.'
    """
    return " ".join(LINK.sub(r"\1", text).replace("**", "").split())
