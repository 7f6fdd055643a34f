"""Documents as one page of HTML that needs nothing else: for a printer, and for a phone.

No script, no font, no picture comes from anywhere, and a Content-Security-Policy forbids it; the one style sheet is
allowed by its hash. Names reach the page as text only: everything is escaped, and control and direction characters are
taken out.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from importlib.resources import files
from typing import TYPE_CHECKING
from unicodedata import combining

from raworder.document import Block, Cell, Chart, Column, Document, Holds, Labels, Points, Table
from raworder.rendering.charts import WIDTH, drawing
from raworder.rendering.clean import cut_off, lines, one_line
from raworder.rendering.label_sheets import label_rules, sheets_of
from raworder.rendering.templated import environment, policy, style_sheet
from raworder.rendering.values import NUMBER_AND_UNIT, NUMBERS, blocks_for_people, for_people

if TYPE_CHECKING:
    from markupsafe import Markup

MARKED = re.compile(r"`([^`]+)`")
"""A word of a paper that is quoted from another."""

LONG_WORD = re.compile(r"\S{19,}")
LINE_OF_WORD = 12
"""A word so long may be broken every so many signs, so that no name makes a table wider than its paper."""

LONGEST_FOOT = 80
"""So many signs stand at the foot of a printed page at most."""

BREAK = "\ue000"
"""A private character that stands for a place to break until all is escaped; a name with one may be broken there."""


@dataclass(frozen=True, slots=True)
class Section:
    """One document on the page: `name` is its anchor and the name of its printed pages."""

    name: str
    document: Document
    blocks: tuple[Block, ...]

    @property
    def labels(self) -> dict[str, Labels]:
        """The labels on it, by what their printed pages are called; with any, paper holds them and nothing else."""
        found = enumerate(block for block in self.blocks if isinstance(block, Labels))
        return {f"{self.name}-labels-{place}": block for place, block in found}

    @property
    def classes(self) -> str:
        """How it looks as a whole."""
        size = "large" if self.document.at_arms_length else "plain"
        return f"{size} labelled" if self.labels else size


def html(documents: Sequence[Document]) -> str:
    """One page with a section for every document, each on printed pages of its own; the first gives it its title."""
    sections = tuple(_section(place, document) for place, document in enumerate(documents, start=1))
    style = _style(sections)
    templates = environment()
    templates.filters |= {"clean": one_line, "said": said, "number": number, "lines": lines}
    templates.globals |= {
        "kind": lambda block: type(block).__name__.lower(),
        "drawing": drawing,
        "sheets_of": sheets_of,
        "people": for_people,
        "shown": shown_cells,
        "look": look,
        "captions": captions,
    }
    title = documents[0].title if documents else "raworder"
    told = {"title": title, "style": style_sheet(style), "policy": policy(style), "width": WIDTH}
    return templates.get_template("page.html.j2").render(sections=sections, **told)


def _section(place: int, document: Document) -> Section:
    """A document with the blocks that are shown."""
    return Section(f"paper-{place}", document, blocks_for_people(document))


def said(text: str) -> "Markup":
    """A sentence of a paper: escaped, with the words that it quotes set apart."""
    from markupsafe import Markup, escape

    broken = NUMBER_AND_UNIT.sub("\u00a0", LONG_WORD.sub(_breakable, one_line(text)))
    marked = MARKED.sub(r"<i>\1</i>", str(escape(broken)))
    return Markup(marked.replace(BREAK, "<wbr>"))  # noqa: S704 - escaped before


def _breakable(word: re.Match[str]) -> str:
    """A very long word with places at which it may be broken, none of them before an accent."""
    pieces = re.findall(f".{{1,{LINE_OF_WORD}}}", word[0])
    return "".join(piece if combining(piece[0]) else f"{BREAK}{piece}" for piece in pieces).removeprefix(BREAK)


def number(value: Fraction | int) -> str:
    """A length in a drawing, to a hundredth of a unit.

    >>> number(Fraction(2, 3)), number(Fraction(4))
    ('0.67', '4')
    """
    hundredths = round(value * 100)
    whole, rest = divmod(abs(hundredths), 100)
    sign = "-" if hundredths < 0 else ""
    return f"{sign}{whole}.{rest:02d}".rstrip("0").rstrip(".") if rest else f"{sign}{whole}"


def look(column: Column) -> str:
    """The class of a column's cells: numbers to the right, room to write wide, days unbroken."""
    if column.holds in NUMBERS:
        return "number"
    return {Holds.BLANK: "blank", Holds.DAY: "day"}.get(column.holds, "text")


def shown_cells(document: Document, columns: Sequence[Column], row: Sequence[Cell]) -> list[tuple[Column, str]]:
    """What people see of a row, with each cell's column."""
    pairs = zip(columns, row, strict=True)
    return [(column, one_line(for_people(document, column.holds, value))) for column, value in pairs if column.shown]


def captions(section: Section) -> dict[int, str]:
    """What each table is called, by its place: its title, or what stands over it."""
    over, found = section.document.title, {}
    for place, block in enumerate(section.blocks):
        if isinstance(block, Points):
            over = block.title or over
        elif isinstance(block, Table):
            found[place] = block.title or over
        elif isinstance(block, Chart):
            over = block.title
    return found


def _style(sections: Sequence[Section]) -> str:
    """The style sheet, with a footer for the printed pages of every section."""
    sheet = (files("raworder.rendering") / "templates" / "page.css").read_text(encoding="utf-8")
    return "\n" + sheet + "".join(rule for section in sections for rule in _rules(section, sections[0].document.title))


def _rules(section: Section, title: str) -> Iterator[str]:
    """The pages of a section, and what stands at their foot."""
    about = section.document.title if section.document.title == title else f"{section.document.title} - {title}"
    yield from (label_rules(block, name) for name, block in section.labels.items())
    yield f"#{section.name} {{ page: {section.name}; }}\n"
    foot = css_text(cut_off(about, LONGEST_FOOT))
    yield f'@page {section.name} {{ @bottom-left {{ content: "{foot}"; }} }}\n'


def css_text(text: str) -> str:
    r"""The text for a quoted string of CSS: all but plain letters and digits as their code points.

    >>> css_text('a"b')
    'a\\22 b'
    """
    return "".join(
        one if one.isascii() and (one.isalnum() or one == " ") else f"\\{ord(one):x} " for one in one_line(text)
    )
