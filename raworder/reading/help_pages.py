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
"""The form of a page about a finding."""

PAGE = re.compile(
    r"# (?P<name>[a-z]+(?:-[a-z]+)*)\n\n"
    r"Severity: (?P<severity>error|warning)\n\n"
    r"(?P<says>\S[^\n]*(?:\n\S[^\n]*)*)\n\n"
    r"Wrong:\n\n```\n(?P<wrong>[^`].*?)\n```\n\n"
    r"Right:\n\n```\n(?P<right>[^`].*?)\n```\n",
    re.DOTALL,
)


class BadPageError(Exception):
    """A page about a finding does not have its form: our mistake, not the user's."""


@dataclass(frozen=True, slots=True)
class Slug:
    """A kind of finding: its severity, a paragraph about it, a wrong and a right example."""

    name: str
    severity: Severity
    says: str
    wrong: str
    right: str


@cache
def read_slugs() -> Mapping[str, Slug]:
    """Every kind of finding that reading can give, by name."""
    pages = sorted((shipped_folder("help") / "findings").glob("*.md"))
    return MappingProxyType({page.stem: read_slug(page) for page in pages})


def read_slug(page: Path) -> Slug:
    """The finding that a page is about; BadPageError where the page is not like `SHAPE` or its name differs."""
    match = PAGE.fullmatch(page.read_text(encoding="utf-8"))
    if match is None:
        raise BadPageError(f"{page} is not written as all pages about findings are:\n\n{SHAPE}")
    if match["name"] != page.stem:
        raise BadPageError(f"{page} is about `{match['name']}`, so its name must be {match['name']}.md")
    says = match["says"].replace("\n", " ")  # line breaks in a paragraph mean nothing
    return Slug(page.stem, Severity(match["severity"]), says, match["wrong"], match["right"])


TOPICS = (
    "begin", "scenario", "lists", "shop", "counter", "months", "papers", "questions", "nutrients", "many",
    "rules", "findings", "cautions",
)  # fmt: skip
"""The names of the topics, in the order in which a beginner needs them."""

MakeBlocks = Callable[[str], Sequence[Block]]
"""Makes the blocks that take the place of a comment with that word."""

FENCE = "```"
COMMENT = re.compile(r"<!-- (\w+) -->")
LINK = re.compile(r"\[([^\]]+)\]\([^)]+\)")
ITEM = re.compile(r"^- ", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Topic:
    """One topic: `name` is what a person types, `says` is a sentence about it."""

    name: str
    title: str
    says: str
    blocks: tuple[Block, ...]


def read_topic(name: str, make: MakeBlocks) -> Topic:
    """The topic of that name; `make` gives the blocks in place of comments."""
    return parse_topic(name, (shipped_folder("help") / f"{name}.md").read_text(encoding="utf-8"), make)


def parse_topic(name: str, text: str, make: MakeBlocks) -> Topic:
    """The topic in a Markdown text."""
    head, _, body = text.partition("\n\n")
    blocks = tuple(_blocks(body, make))
    first = blocks[0]
    assert isinstance(first, Paragraph), f"{name} does not begin with a sentence"
    return Topic(name, _plain_words(head.removeprefix("# ")), first.text, blocks)


def _blocks(text: str, make: MakeBlocks) -> Iterator[Block]:
    """The blocks, each titled with the heading right before it."""
    title = ""
    for chunk in _split_chunks(text):
        comment = COMMENT.fullmatch(chunk)
        if chunk.startswith("#"):
            title = _plain_words(chunk.lstrip("# "))
            continue
        if comment:
            yield from make(comment[1])
        else:
            yield replace(_block(chunk), title=title)
        title = ""


def _split_chunks(text: str) -> Iterator[str]:
    """The parts between empty lines; an empty line inside a fence does not count."""
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
    """One block, of the kind that its first characters show."""
    lines = chunk.split("\n")
    if chunk.startswith(FENCE):
        return Verbatim("", "\n".join(lines[1:-1]))
    if chunk.startswith("- "):
        return Points("", "", tuple(_plain_words(item) for item in ITEM.split(chunk)[1:]))
    if chunk.startswith("|"):
        return _table(lines)
    return Paragraph(_plain_words(chunk))


def _table(lines: Sequence[str]) -> Table:
    """A table; the second line, which only draws the rule under the headings, is dropped."""
    head, _, *rows = ([_plain_words(cell) for cell in line.strip("| ").split(" | ")] for line in lines)
    columns = tuple(Column(f"column_{place}", heading) for place, heading in enumerate(head, start=1))
    return Table("", "", columns, tuple(tuple(row) for row in rows))


def _plain_words(text: str) -> str:
    """The text on one line, with links and bold words as plain words.

    >>> _plain_words("Read **this** in [the guide](guide.md).")
    'Read this in the guide.'
    """
    return " ".join(LINK.sub(r"\1", text).replace("**", "").split())
