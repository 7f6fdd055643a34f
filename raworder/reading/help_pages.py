"""The shipped help: a page for each topic and for each finding, read from `raworder/help`."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from types import MappingProxyType

from raworder.reading.reference import shipped_folder
from raworder.trade.document import Block, Column, Paragraph, Points, Table, Verbatim
from raworder.trade.findings import Severity

SHAPE = """\
# the-slug

Severity: error or warning

A paragraph that says what is wrong.

Wrong:

```
a piece of a scenario or a price list
```

Right:

```
the same, mended
```
"""
"""How a page is written."""

PAGE = re.compile(
    r"# (?P<name>[a-z]+(?:-[a-z]+)*)\n\n"
    r"Severity: (?P<severity>error|warning)\n\n"
    r"(?P<says>\S[^\n]*(?:\n\S[^\n]*)*)\n\n"
    r"Wrong:\n\n```\n(?P<wrong>[^`].*?)\n```\n\n"
    r"Right:\n\n```\n(?P<right>[^`].*?)\n```\n",
    re.DOTALL,
)


class BadPageError(Exception):
    """A page about a finding is not written as it must be: a fault of ours, not of the user."""


@dataclass(frozen=True, slots=True)
class Slug:
    """What is bad, by name: how much it matters, a paragraph about it, a wrong and a right example."""

    name: str
    severity: Severity
    says: str
    wrong: str
    right: str


@cache
def read_slugs() -> Mapping[str, Slug]:
    """Every slug that a reading can give, by its name."""
    pages = sorted((shipped_folder("help") / "findings").glob("*.md"))
    return MappingProxyType({page.stem: read_slug(page) for page in pages})


def read_slug(page: Path) -> Slug:
    """What a page says; BadPageError where it is not written as `SHAPE`, or named otherwise than its slug."""
    written = PAGE.fullmatch(page.read_text(encoding="utf-8"))
    if written is None:
        raise BadPageError(f"{page} is not written as all pages about findings are:\n\n{SHAPE}")
    if written["name"] != page.stem:
        raise BadPageError(f"{page} is about `{written['name']}`, so its name must be {written['name']}.md")
    says = written["says"].replace("\n", " ")  # lines are broken where they are full, which says nothing
    return Slug(page.stem, Severity(written["severity"]), says, written["wrong"], written["right"])


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
