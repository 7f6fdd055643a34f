"""Documents as one page of HTML that needs nothing else: for a printer, and for a phone.

No script, no font, no picture comes from anywhere, and a Content-Security-Policy forbids it; the one style sheet is
allowed by its hash. Names reach the page as text only: everything is escaped, and control and direction characters are
taken out.
"""

import hashlib
import re
from base64 import b64encode
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from importlib.resources import files
from typing import TYPE_CHECKING
from unicodedata import combining

from raworder.document import Block, Cell, Chart, Column, Document, Holds, Labels, Points, Table
from raworder.rendering.charts import WIDTH, drawing
from raworder.rendering.clean import cut_off, lines, one_line
from raworder.rendering.values import NUMBER_AND_UNIT, blocks_for_people, for_people

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

NUMBERS = frozenset({Holds.COUNT, Holds.GRAMS, Holds.MONEY, Holds.SHARE, Holds.AMOUNT})
"""What is read as a number."""

MARKED = re.compile(r"`([^`]+)`")
"""A word of a paper that is quoted from another."""


LONG_WORD = re.compile(r"\S{19,}")
LINE_OF_WORD = 12
"""A word so long may be broken every so many signs, so that no name makes a table wider than its paper."""

LONGEST_FOOT = 80
"""So many signs stand at the foot of a printed page at most."""

BREAK = "\ue000"
"""A private character that stands for a place to break until all is escaped; names hold none, see `one_line`."""


@dataclass(frozen=True, slots=True)
class Section:
    """One document on the page: `name` is its anchor and the name of its printed pages."""

    name: str
    document: Document
    blocks: tuple[Block, ...]


def html(documents: Sequence[Document]) -> str:
    """One page with a section for every document, each on printed pages of its own; the first gives it its title."""
    sections = tuple(_section(place, document) for place, document in enumerate(documents, start=1))
    style = _style(sections)
    environment = _environment()
    page = environment.get_template("page.html.j2")
    title = documents[0].title if documents else "raworder"
    return page.render(sections=sections, title=title, style=_safe(style), policy=_policy(style), width=WIDTH)


def _section(place: int, document: Document) -> Section:
    """A document with the blocks that are shown; what is printed as labels is not shown as a table too."""
    blocks = blocks_for_people(document)
    as_labels = {block.in_words for block in blocks if isinstance(block, Labels)}
    shown = (block for block in blocks if not (isinstance(block, Table) and block.key in as_labels))
    return Section(f"paper-{place}", document, tuple(shown))


def _environment() -> "Environment":
    """Templates in which everything is escaped and nothing may be missing."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("raworder.rendering"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters |= {"clean": one_line, "said": said, "number": number, "lines": lines}
    environment.globals |= {
        "kind": lambda block: type(block).__name__.lower(),
        "drawing": drawing,
        "people": for_people,
        "shown": shown_cells,
        "look": look,
        "captions": captions,
    }
    return environment


def _safe(text: str) -> "Markup":
    """Text of our own that is markup already."""
    from markupsafe import Markup

    return Markup(text)  # noqa: S704 - our own style sheet, in which titles are escaped for CSS


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


def _policy(style: str) -> str:
    """What the page may load: its own style sheet and nothing else."""
    digest = b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
