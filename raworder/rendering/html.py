"""Documents as one page of HTML that needs nothing else, charts as plain shapes: for a printer, and for a phone."""

import hashlib
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import chain
from typing import TYPE_CHECKING
from unicodedata import combining

from raworder.rendering.clean import cut_off, lines, one_line
from raworder.rendering.label_sheets import LaidOut, label_cards, label_rules, lay_out_labels
from raworder.rendering.templated import as_it_is, environment, policy, template_text
from raworder.rendering.values import GRIDS, NUMBER_AND_UNIT, NUMBERS, blocks_for_people, for_people
from raworder.trade.document import (
    Block,
    Cell,
    Chart,
    ChartKind,
    Column,
    Document,
    Holds,
    Labels,
    Mark,
    Number,
    Paragraph,
    Points,
    Table,
)
from raworder.trade.outputs import HELD

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup


WIDTH = 360
ROOM_FOR_VALUE = 80
LONGEST_LABEL = 38
"""Characters of a label in a chart; a longer one is cut off, as the table beside it has it in full."""

COLUMNS_TOP, COLUMNS_BASE, EVERY_DAY = 34, 150, 16
"""The top and bottom of the columns, and up to how many columns each has its day under it."""


@dataclass(frozen=True, slots=True)
class Shape:
    """One thing to draw, with its class as `look`; a text has an anchor, a box or line a size, a diamond its middle."""

    kind: str
    look: str
    x: Fraction
    y: Fraction
    width: Fraction = Fraction(0)
    height: Fraction = Fraction(0)
    text: str = ""
    anchor: str = "start"


@dataclass(frozen=True, slots=True)
class Drawing:
    """The shapes of a chart and how high they reach."""

    height: int
    shapes: tuple[Shape, ...]


def draw_chart(document: Document, chart: Chart) -> Drawing:
    """The chart in shapes."""
    if chart.drawn is ChartKind.DAYS:
        return Drawing(COLUMNS_BASE + 38, tuple(_columns(document, chart)))
    rows = (_range(document, chart, mark, place * RANGE_HIGH) for place, mark in enumerate(chart.marks))
    return Drawing(RANGE_HIGH * len(chart.marks), tuple(chain.from_iterable(rows)))


RANGE_HIGH = 56
"""The height of a row with a range."""


def _range(document: Document, chart: Chart, mark: Mark, top: int) -> Iterator[Shape]:
    """A band from low to high on a scale of its own, and a diamond at the value."""
    yield from _heading(document, chart, mark, top)
    low, high = Fraction(mark.low or 0), Fraction(mark.high or 0)
    beside = (high - low) / 2 or high / 4 or Fraction(1)
    least, most = max(low - beside, Fraction(0)), high + beside
    # Each range has its own scale: beside 76 to 84 % of muscle, 4 to 6 % of liver could not be seen.
    x = _scale(least, most)
    y = Fraction(top)
    yield Shape("line", "axis", Fraction(0), y + 27, width=Fraction(WIDTH))
    yield Shape("box", "band", x(low), y + 21, x(high) - x(low), Fraction(12))
    ends = [(low, "end" if low else "start"), (high, "start")] if low < high else [(high, "middle")]
    for end, anchor in ends:
        yield Shape("text", "small", x(end), y + 46, text=_short(document, chart, end), anchor=anchor)
    yield Shape("diamond", "mark", x(Fraction(mark.value)), y + 27)


def _heading(document: Document, chart: Chart, mark: Mark, top: int) -> Iterator[Shape]:
    """The label at the left end of a row and its value at the right."""
    value = for_people(document, chart.holds, mark.value)
    label = cut_off(mark.label, LONGEST_LABEL - max(0, len(value) - 8))
    yield Shape("text", "label", Fraction(0), Fraction(top + 14), text=label)
    yield Shape("text", "value", Fraction(WIDTH), Fraction(top + 14), text=value, anchor="end")


def _columns(document: Document, chart: Chart) -> Iterator[Shape]:
    """A column for each day, the limit as a line across, and the highest value as a number."""
    most = max(
        (Fraction(number) for number in (*(mark.value for mark in chart.marks), chart.limit or 0)), default=Fraction(0)
    )
    y = _heights(most or Fraction(1))
    step = Fraction(WIDTH, max(len(chart.marks), 1))
    for place, mark in enumerate(chart.marks):
        top = y(Fraction(mark.value))
        yield Shape("box", "bar", step * place + step / 8, top, step * Fraction(3, 4), COLUMNS_BASE - top)
        if len(chart.marks) <= EVERY_DAY or place % 7 == 0:
            middle = step * place + step / 2
            yield Shape("text", "small", middle, Fraction(COLUMNS_BASE + 14), text=_day_number(mark), anchor="middle")
    yield Shape("line", "axis", Fraction(0), Fraction(COLUMNS_BASE), width=Fraction(WIDTH))
    yield from _end_days(chart)
    yield from _highest_value(document, chart, step, y)
    if chart.limit is not None:
        limit_text = cut_off(f"{chart.limit_says} {for_people(document, chart.holds, chart.limit)}", LONGEST_LABEL)
        limit_y = y(Fraction(chart.limit))
        yield Shape("line", "limit", Fraction(0), limit_y, width=Fraction(WIDTH))
        yield Shape("text", "small", Fraction(WIDTH), limit_y - 4, text=limit_text, anchor="end")


def _day_number(mark: Mark) -> str:
    """The number in the label of a day: `6` of `Sat 6 Feb`."""
    number = re.search(r"\d+", mark.label)
    return number[0] if number else ""


def _end_days(chart: Chart) -> Iterator[Shape]:
    """The first and the last day, written in full under the ends."""
    if chart.marks:
        under = Fraction(COLUMNS_BASE + 32)
        yield Shape("text", "small", Fraction(0), under, text=cut_off(chart.marks[0].label, LONGEST_LABEL))
        yield Shape("text", "small", Fraction(WIDTH), under, text=cut_off(chart.marks[-1].label, 20), anchor="end")


def _highest_value(
    document: Document, chart: Chart, step: Fraction, y: Callable[[Fraction], Fraction]
) -> Iterator[Shape]:
    """The number over the highest column, kept inside the drawing."""
    if not chart.marks:
        return
    place = max(range(len(chart.marks)), key=lambda number: (chart.marks[number].value, -number))
    value = chart.marks[place].value
    middle = step * place + step / 2
    anchor = "start" if middle < ROOM_FOR_VALUE else "end" if middle > WIDTH - ROOM_FOR_VALUE else "middle"
    x = {"start": step * place, "middle": middle, "end": step * (place + 1)}[anchor]
    yield Shape(
        "text", "value", x, y(Fraction(value)) - 4, text=for_people(document, chart.holds, value), anchor=anchor
    )


def _scale(least: Fraction, most: Fraction) -> Callable[[Fraction], Fraction]:
    """A function from a value to its place across the drawing; a value off the scale lies at its end."""
    return lambda value: WIDTH * (min(max(value, least), most) - least) / (most - least)


def _heights(most: Fraction) -> Callable[[Fraction], Fraction]:
    """A function from a value to the top of its column, measured from above."""
    return lambda value: COLUMNS_BASE - (COLUMNS_BASE - COLUMNS_TOP) * value / most


def _short(document: Document, chart: Chart, value: Number) -> str:
    """A value without a decimal zero."""
    text = for_people(document, chart.holds, value)
    return text.replace(".0 %", " %") if chart.holds is Holds.SHARE else text


MARKED = re.compile(r"`([^`]+)`")
"""A word in backticks."""

LEADING_NUMBER = re.compile(r"^(\d[\d.]*(?:, \d+)*(?: and \d+)?)")
"""The number, or the numbers, at the beginning of a cell."""

LONG_WORD = re.compile(r"\S{19,}")
LINE_OF_WORD = 12
"""The characters after which a long word may be broken, so that no name makes a table wider than its paper."""

LONGEST_FOOT = 80
"""Characters at the foot of a printed page, at most."""

BREAK = "\ue000"
"""A private character for a place where a word may break, until all is escaped and it becomes `<wbr>`."""


MOST_LARGE = 5
"""Columns of a grid that fit on upright paper in large letters."""

MOST_UPRIGHT = 9
"""Columns of a grid that fit on upright paper; a table with more is printed across."""


@dataclass(frozen=True)
class Section:
    """One document on the page; `name` is its anchor and names its printed pages."""

    name: str
    document: Document
    blocks: tuple[Block, ...]

    @property
    def is_held(self) -> bool:
        """Whether people hold it; else it stands behind the fold."""
        return self.document.key in HELD

    @property
    def is_wide(self) -> bool:
        """Whether it is printed across the paper."""
        tables = (block for block in self.blocks if isinstance(block, Table))
        return any(sum(column.holds in GRIDS for column in table.columns) > MOST_UPRIGHT for table in tables)

    @cached_property
    def labels(self) -> dict[str, LaidOut]:
        """Its labels by the names of their printed pages; where there are any, only they are printed of the section."""
        numbered = enumerate(block for block in self.blocks if isinstance(block, Labels))
        return {f"{self.name}-labels-{place}": lay_out_labels(block) for place, block in numbered}

    @property
    def classes(self) -> str:
        """The classes of its element."""
        size = "large" if self.document.at_arms_length else "plain"
        key = self.document.key.replace("_", "-")
        return f"{size} {key}{' wide' if self.is_wide else ''}{' labelled' if self.labels else ''}"


def html(documents: Sequence[Document]) -> str:
    """One page with a section for every document, each on printed pages of its own; the first gives it its title.

    What people hold comes first. All else stands behind a fold, unless there is nothing else.
    """
    sections = tuple(_section(place, document) for place, document in enumerate(documents, start=1))
    held = tuple(section for section in sections if section.is_held) or sections
    figures = tuple(section for section in sections if section not in held)
    style, script = _style(sections), template_text("page.js")
    title = documents[0].title if documents else "raworder"
    page = (
        _templates()
        .get_template("page.html.j2")
        .render(
            {"title": title, "style": as_it_is(style), "script": as_it_is(script), "policy": policy(style, script)},
            held=held,
            figures=figures,
            width=WIDTH,
            contents_name=PAGE_NAME,
        )
    )
    # What was ticked belongs to this content: another plan begins without ticks.
    return page.replace(PAGE_NAME, hashlib.sha256(page.encode()).hexdigest()[:16])


def _templates() -> "Environment":
    """The templates with all that they ask of this module."""
    templates = environment()
    templates.filters |= {
        "clean": one_line,
        "said": sentence_html,
        "number": length_text,
        "lines": lines,
        "grid": grid_html,
    }
    templates.globals |= {
        "kind": lambda block: type(block).__name__.lower(),
        "drawing": draw_chart,
        "people": for_people,
        "shown": shown_cells,
        "look": cell_class,
        "ticks": split_ticks,
        "packed": is_packed,
        "captions": table_names,
    }
    return templates


PAGE_NAME = "\ue001"
"""A private character for the name under which a browser keeps the ticks of a page, until its content is known."""


def _section(place: int, document: Document) -> Section:
    """A document with the blocks that are shown."""
    return Section(f"paper-{place}", document, blocks_for_people(document))


def sentence_html(text: str) -> "Markup":
    """A sentence as HTML: escaped, with words in backticks set apart."""
    from markupsafe import Markup, escape

    broken = NUMBER_AND_UNIT.sub("\u00a0", LONG_WORD.sub(_add_breaks, one_line(text)))
    marked = MARKED.sub(r"<i>\1</i>", str(escape(broken)))
    return Markup(marked.replace(BREAK, "<wbr>"))  # noqa: S704 - escaped before


def grid_html(text: str) -> "Markup":
    """The text of a cell of a grid, with the number that it begins with set apart."""
    from markupsafe import Markup

    return Markup(LEADING_NUMBER.sub(r"<b>\1</b>", str(sentence_html(text))))  # noqa: S704 - escaped before


def is_packed(table: Table) -> bool:
    """Whether a table has so many columns alike that they are set smaller, to stay on their paper."""
    return sum(column.holds in GRIDS for column in table.columns) > MOST_LARGE


def split_ticks(text: str) -> list[str]:
    """The parts of a cell that are ticked one by one."""
    return [part for part in text.split("; ") if part]


def _add_breaks(word: re.Match[str]) -> str:
    """A very long word with places where it may break, none of them before an accent."""
    pieces = re.findall(f".{{1,{LINE_OF_WORD}}}", word[0])
    return "".join(piece if combining(piece[0]) else f"{BREAK}{piece}" for piece in pieces).removeprefix(BREAK)


def length_text(value: Fraction | int) -> str:
    """A length in a drawing, to a hundredth of a unit.

    >>> length_text(Fraction(2, 3)), length_text(Fraction(4))
    ('0.67', '4')
    """
    hundredths = round(value * 100)
    whole, rest = divmod(abs(hundredths), 100)
    sign = "-" if hundredths < 0 else ""
    return f"{sign}{whole}.{rest:02d}".rstrip("0").rstrip(".") if rest else f"{sign}{whole}"


def cell_class(column: Column) -> str:
    """The class of a column's cells: numbers, room to write, days, or text."""
    if column.holds in NUMBERS:
        return "number"
    looks = {Holds.BLANK: "blank", Holds.DAY: "day", Holds.DATE: "day", Holds.GRID: "grid", Holds.TICKS: "ticks"}
    return looks.get(column.holds, "text")


def shown_cells(document: Document, columns: Sequence[Column], row: Sequence[Cell]) -> list[tuple[Column, str]]:
    """The cells of a row that people see, each with its column."""
    pairs = zip(columns, row, strict=True)
    return [(column, one_line(for_people(document, column.holds, value))) for column, value in pairs if column.shown]


def table_names(section: Section) -> dict[int, str]:
    """The name of each table by its place among the blocks: its title, else the nearest title above."""
    heading, names = section.document.title, {}
    for place, block in enumerate(section.blocks):
        if isinstance(block, Points | Paragraph):
            heading = block.title or heading
        elif isinstance(block, Table):
            names[place] = block.title or heading
        elif isinstance(block, Chart):
            heading = block.title
    return names


def _style(sections: Sequence[Section]) -> str:
    """The style sheet, with a footer for the printed pages of every section."""
    rules = (rule for section in sections for rule in _page_rules(section, sections[0].document.title))
    return "".join(("\n", template_text("page.css"), label_cards(), *rules))


def _page_rules(section: Section, title: str) -> Iterator[str]:
    """The rules for the printed pages of a section, with the text at their foot."""
    foot_text = section.document.title if section.document.title == title else f"{section.document.title} - {title}"
    yield from (label_rules(block, name) for name, block in section.labels.items())
    yield f"#{section.name} {{ page: {section.name}; }}\n"
    quoted = css_text(cut_off(foot_text, LONGEST_FOOT))
    across = " size: landscape;" if section.is_wide else ""
    yield f'@page {section.name} {{{across} @bottom-left {{ content: "{quoted}"; }} }}\n'


def css_text(text: str) -> str:
    r"""The text for a quoted string in CSS: all but ASCII letters, digits and spaces as code points.

    >>> css_text('a"b')
    'a\\22 b'
    """
    return "".join(
        letter if letter.isascii() and (letter.isalnum() or letter == " ") else f"\\{ord(letter):x} "
        for letter in one_line(text)
    )
