"""Topics of the help: read as Markdown is read elsewhere, and no word of a file is lost.

**Source:** CommonMark with tables, through the reference library markdown-it-py.
"""

import re
from collections.abc import Iterator

import pytest
from markdown_it import MarkdownIt
from markdown_it.token import Token

from raworder.reading.help_pages import TOPICS, parse_topic, read_topic
from raworder.reading.reference import shipped_folder
from raworder.trade.document import Block, Column, Paragraph, Points, Table, Verbatim

MOST_SIGNS = 68
"""So many are left beside the names of topics on a terminal of 80 columns."""

SHORT = """# A title

What it
is about.

## Under a heading

- one,
  with more
- **two** of [these](there.md)

| A | B |
|---|---|
| a | b |

```sh
first

second
```

<!-- made -->
"""


def test_a_topic_is_its_title_its_first_sentence_and_blocks_under_their_headings() -> None:
    topic = parse_topic("short", SHORT, lambda word: (Paragraph(f"here is what is {word}"),))
    assert (topic.name, topic.title, topic.says) == ("short", "A title", "What it is about.")
    assert topic.blocks == (
        Paragraph("What it is about."),
        Points("", "Under a heading", ("one, with more", "two of these")),
        Table("", "", (Column("column_1", "A"), Column("column_2", "B")), (("a", "b"),)),
        Verbatim("", "first\n\nsecond"),
        Paragraph("here is what is made"),
    )


def test_the_topics_are_the_files_that_are_shipped() -> None:
    assert sorted(TOPICS) == sorted(path.stem for path in shipped_folder("help").glob("*.md"))


@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_is_read_as_markdown_is(name: str) -> None:
    text = (shipped_folder("help") / f"{name}.md").read_text(encoding="utf-8")
    tokens = MarkdownIt("commonmark").enable("table").parse(text)
    topic = read_topic(name, lambda word: (Paragraph(f"<!-- {word} -->"),))
    ours = [topic.title, *(piece for block in topic.blocks for piece in pieces(block))]
    assert ours == list(pieces_elsewhere(tokens))


@pytest.mark.parametrize("name", TOPICS)
def test_every_heading_of_a_topic_stands_over_something(name: str) -> None:
    text = (shipped_folder("help") / f"{name}.md").read_text(encoding="utf-8")
    assert re.search(r"^#.*\n\n(#|<!--)", text, re.MULTILINE) is None


@pytest.mark.parametrize("name", TOPICS)
def test_what_a_topic_is_about_fits_a_line_of_the_list(name: str) -> None:
    assert len(read_topic(name, lambda _: ()).says) <= MOST_SIGNS


def pieces(block: Block) -> Iterator[str]:
    """The words of a block, heading first."""
    match block:
        case Paragraph():
            yield from filter(None, (block.title, block.text))
        case Points():
            yield from filter(None, (block.title, *block.items))
        case Table():
            rows = ([column.heading for column in block.columns], *block.rows)
            yield from filter(None, (block.title, *(str(cell) for row in rows for cell in row)))
        case Verbatim():
            yield from filter(None, (block.title, block.text))


def pieces_elsewhere(tokens: list[Token]) -> Iterator[str]:
    """The words of Markdown, as the reference library reads it."""
    for token in tokens:
        if token.type == "inline":
            yield " ".join("".join(map(words, token.children or ())).split())
        elif token.type in {"fence", "html_block"}:
            yield token.content.rstrip("\n")


def words(token: Token) -> str:
    """The words of a piece of a line; code keeps its marks, as ours does."""
    if token.type == "softbreak":
        return " "
    return f"`{token.content}`" if token.type == "code_inline" else token.content
