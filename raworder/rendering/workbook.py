"""Tables as a workbook to read, print and reckon with: numbers are numbers, days are days, text is never run."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from io import BytesIO
from itertools import count
from types import MappingProxyType
from typing import TYPE_CHECKING

from raworder.rendering.clean import cut_off, one_line
from raworder.rendering.spreadsheets import TableGroup, group_tables
from raworder.rendering.values import NUMBERS, for_people, for_programs
from raworder.trade.document import Cell, Column, Document, Holds
from raworder.trade.outputs import PAPERS
from raworder.trade.units import amount_text, day_text

if TYPE_CHECKING:
    import xlsxwriter  # type: ignore[import-untyped]  # it ships no types


Value = int | Decimal | date | str
"""What a cell of a workbook holds; an empty text is an empty cell."""

LONGEST_TEXT = 32_767
"""Characters that a cell may have. Source: Excel's specifications, from memory, not looked up."""

CUT = "..."
DAY_FORMAT = "[$-809]ddd d mmm yyyy"
"""A day as people read it, with its names in British English. Source: ECMA-376, part 1, numFmt, from memory, not looked
up."""


def cell_value(document: Document, holds: Holds, cell: Cell) -> Value:
    """The value that a CSV file holds there, as a number or day where it is one; text without a quote before it."""
    match holds, cell:
        case Holds.COUNT | Holds.GRAMS | Holds.ABOUT_GRAMS, int():
            return cell
        case Holds.DAY | Holds.DATE, date():
            return cell
        case (Holds.MONEY, int() | Decimal()) | (Holds.SHARE | Holds.AMOUNT, int() | Fraction()):
            return Decimal(for_programs(document, holds, cell))
        case _:
            text = one_line(for_programs(document, holds, cell))
            return text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - len(CUT)] + CUT


def number_format(document: Document, holds: Holds, value: Value) -> str:
    """The number format for a value; empty for text."""
    if isinstance(value, str):
        return ""
    match holds:
        case Holds.MONEY:
            return _decimals(document.money_digits)
        case Holds.SHARE:
            return "0.00%"
        case Holds.AMOUNT if isinstance(value, Decimal):
            return _decimals(len(amount_text(Fraction(value)).partition(".")[2]))
        case Holds.DAY | Holds.DATE:
            return DAY_FORMAT
        case _:
            return _decimals(0)


def shown_text(document: Document, holds: Holds, value: Value) -> str:
    """Roughly what a spreadsheet shows for the value, to find how wide its column must be."""
    if holds in {Holds.SHARE, Holds.AMOUNT} and isinstance(value, Decimal):
        return for_people(document, holds, Fraction(value))
    return f"{day_text(value)} {value.year}" if isinstance(value, date) else str(value)


def headings(group: TableGroup) -> tuple[str, ...]:
    """The heading of each column, each different, with the unit of its numbers."""
    so_far: list[str] = []
    for column in group.columns:
        heading = _with_unit(_without_currency(column, group.document), column, group.document)
        so_far.append(_with_unit(_key_in_words(column), column, group.document) if heading in so_far else heading)
    return tuple(so_far)


def _decimals(digits: int) -> str:
    """The format of a number with this many decimals."""
    return f"0.{'0' * digits}" if digits else "0"


def _without_currency(column: Column, document: Document) -> str:
    """The heading without the currency that papers write into it; the key in words where nothing is left."""
    bare = one_line(column.heading)
    if column.holds is Holds.MONEY:
        bare = " ".join(re.sub(rf"\(?\b{re.escape(document.currency)}\b\)?", " ", bare).split())
    return f"{bare[:1].upper()}{bare[1:]}" or _key_in_words(column)


def _key_in_words(column: Column) -> str:
    """The key of a column as words: `bag_count` is `Bag count`."""
    return column.key.removesuffix("_g").removesuffix("_share").replace("_", " ").capitalize()


def _with_unit(heading: str, column: Column, document: Document) -> str:
    """The heading with the unit of its numbers behind a comma."""
    units = {Holds.GRAMS: "g", Holds.ABOUT_GRAMS: "g", Holds.MONEY: document.currency, Holds.SHARE: "%"}
    return f"{heading}, {units[column.holds]}" if column.holds in units else heading


def column_width(heading: str, shown: Sequence[str], least: int, by_heading: int, most: int) -> int:
    """The width of a column in characters: that of its widest cell, but from `least` to `most`.

    No word of the heading is broken, and the heading alone widens the column to `by_heading` at most.
    """
    from rich.cells import cell_len

    words = max((cell_len(word) for word in heading.split()), default=0)
    for_heading = max(words, min(cell_len(heading), by_heading))
    return min(max(least, for_heading, *map(cell_len, shown)), most)


def line_count(text: str, wide: int) -> int:
    """How many lines a text takes in a column, broken between words, or within a word wider than the column."""
    from rich.cells import cell_len

    lines, used = 1, 0
    for word in map(cell_len, text.split()):
        if used and used + 1 + word > wide:
            lines, used = lines + 1, 0
        used += word + (1 if used else 0)
        lines, used = lines + (used - 1) // wide, (used - 1) % wide + 1
    return lines


NAMES: Mapping[tuple[str, str], str] = MappingProxyType(
    {(paper.key, table): name for paper in PAPERS for table, name in paper.sheets}
)
"""Names of sheets by document and table; all others have their table's key."""

LONGEST_NAME = 31
"""Characters that a sheet's name may have. Source: Excel's specifications, from memory, not looked up."""

NARROWEST, BY_HEADING, BESIDE = 4, 13, 2
"""Width of a column in characters: at least, at most by its heading alone, and the space beside it."""

WIDEST = (44, 32, 24)
"""The most characters of a column: wide, or narrower where a sheet has many."""

LINE_POINTS = 13
"""The height of a line in points."""

A4, LETTER = 9, 1
"""Numbers of paper sizes in a workbook. Source: ECMA-376, part 1, pageSetup, from memory, not looked up."""

PAPER_INCHES: Mapping[int, tuple[Fraction, Fraction]] = MappingProxyType(
    {A4: (Fraction(827, 100), Fraction(1169, 100)), LETTER: (Fraction(17, 2), Fraction(11))}
)
"""Width and height of the papers. Source: ISO 216 and ANSI/ASME Y14.1, from memory, not looked up."""

MARGIN, BELOW_HEADER, ABOVE_FOOTER = Decimal("0.4"), Decimal("0.9"), Decimal("0.7")
"""Inches left free at the edges of a page."""

TYPE = MappingProxyType({"font_name": "Arial", "font_size": 10})
"""The type of all cells. It is named, as where the usual one is not installed another makes columns wider."""

LAYOUTS = ((False, 100), (False, 90), (True, 100), (True, 85))
"""How a sheet may be printed: whether across the paper, and at how many percent. 85 % of 10 points are 8.5."""

LONGEST_TITLE = 100
"""Characters of a title on a printed page, at most. A header may have 255, and each of these may stand there twice."""

HAIR = "#BBBBBB"
"""The colour of the lines below rows."""

DOG, UNIT = "dog", "unit"
"""Keys of columns that a page does not show, as the dog stands in a heading there and the unit beside each figure."""

SUM = "sum"
"""Marks a row of sums that has no name in its first column."""

MADE = datetime(2000, 1, 1, tzinfo=UTC)
"""The creation time that every workbook states, so that the same tables give the same bytes."""


def workbook(documents: Sequence[Document]) -> bytes:
    """A workbook with a sheet for every CSV file, in the same order; what people read comes first, and sums below.

    Columns for programs alone are hidden. Every text is written as text, so that none of it is run; no sheet is called
    by a name that a person gave.
    """
    import xlsxwriter

    out = BytesIO()
    as_text = dict.fromkeys(("strings_to_formulas", "strings_to_urls", "strings_to_numbers"), False)
    options = {"in_memory": True, "default_format_properties": dict(TYPE), **as_text}
    with xlsxwriter.Workbook(out, options) as book:
        book.set_properties({"created": MADE})
        formats, tables = _Formats(book), group_tables(documents)
        for name, group in zip(sheet_names(tables), tables, strict=True):
            _Sheet(book.add_worksheet(name), group, formats).fill(documents[0].title)
        if not tables:
            book.add_worksheet("no tables").write_string(0, 0, "There are no tables in these papers.")
    return out.getvalue()


def sheet_names(tables: Sequence[TableGroup]) -> tuple[str, ...]:
    """A short name for each sheet, all different."""
    names: list[str] = []
    for table in tables:
        document, key = table.document.key.replace("_", " "), table.key.replace("_", " ")
        first = NAMES.get((table.document.key, table.key), key)
        names.append(next(name for name in _possible_names(first, f"{document} {key}") if name not in names))
    return tuple(names)


def _possible_names(short: str, long: str) -> Iterator[str]:
    """Both names cut to the length allowed, then the longer one with a number."""
    yield short[:LONGEST_NAME]
    yield long[:LONGEST_NAME]
    yield from (f"{long[: LONGEST_NAME - 4]} {number}" for number in count(2))


def sheet_title(group: TableGroup) -> str:
    """The title of the paper, and that of the table where it has one of its own."""
    table = group.tables[0].title if len(group.tables) == 1 else ""
    return ": ".join(dict.fromkeys(filter(None, (one_line(group.document.title), one_line(table)))))


def seen_columns(group: TableGroup) -> tuple[int, ...]:
    """The places of the columns that people read: first what headings tell on a page, then what is shown there."""
    hidden = [place for place, column in enumerate(group.columns) if not column.shown]
    told = [place for place in hidden if group.columns[place].key == DOG or _is_in_titles(group, place)]
    return (*told, *(place for place, column in enumerate(group.columns) if column.shown or column.key == UNIT))


def column_order(group: TableGroup) -> tuple[int, ...]:
    """The places of all columns as they stand on the sheet: those that people read, then those for programs alone."""
    seen = seen_columns(group)
    return (*seen, *(place for place in range(len(group.columns)) if place not in seen))


def _is_in_titles(group: TableGroup, place: int) -> bool:
    """Whether the title of every table tells what stands in a column."""
    told = [(re.escape(str(row[place])), table.title) for table in group.tables for row in table.rows]
    return (
        len(group.tables) > 1 and bool(told) and all(re.search(rf"(?<!\w){cell}(?!\w)", title) for cell, title in told)
    )


class Look(StrEnum):
    """How a line looks: a heading, a row, the first row of the sums of a table, or another."""

    HEADING = "heading"
    ROW = "row"
    FIRST_SUM = "first sum"
    SUM = "sum"


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a sheet below its heading, with its cells in the order of the sheet."""

    look: Look
    cells: tuple[Cell, ...]


def sheet_lines(group: TableGroup) -> Iterator[Line]:
    """The rows of every table with its sums below, each with a name in the first column."""
    order = column_order(group)
    for table in group.tables:
        rows = [tuple(row[place] for place in order) for row in table.rows]
        name = f"{rows[0][0]}: {SUM}" if rows and _is_in_titles(group, order[0]) else SUM
        yield from (Line(Look.ROW, row) for row in rows)
        for number, row in enumerate(table.totals):
            first, *others = (row[place] for place in order)
            yield Line(Look.SUM if number else Look.FIRST_SUM, (name if first is None else first, *others))


@dataclass(frozen=True, slots=True)
class Layout:
    """How a sheet is printed: at most so many characters a column, across the paper or not, at how many percent.

    A sheet that `breaks` is too wide for any page: its columns go on on the next, with the first one repeated.
    """

    most: int
    landscape: bool
    percent: int
    breaks: bool = False


def choose_layout(widths: Sequence[int], paper: int) -> Layout:
    """The layout for columns that would be so wide: upright where they fit, in letters that can be read."""
    for most in WIDEST:
        inches = sum(column_inches(min(wide, most)) for wide in widths)
        for landscape, percent in LAYOUTS:
            if inches * percent / 100 <= PAPER_INCHES[paper][landscape] - 2 * Fraction(MARGIN):
                return Layout(most, landscape, percent)
    return Layout(WIDEST[0], *LAYOUTS[-1], breaks=True)


def column_inches(wide: int) -> Fraction:
    """The width of a column of so many characters, in inches.

    Source: XlsxWriter's documentation has 7 pixels a character and 5 beside it, from memory, not looked up; LibreOffice
    was seen to take nearly 7.5.
    """
    return Fraction(15 * (wide + BESIDE) + 10, 2 * 96)


def header_text(title: str) -> str:
    """A title for the header or footer of a printed page, cut where it is long, with nothing in it that is a code."""
    # XlsxWriter takes an escaped `&G` or `&[Picture]` for a picture, so something invisible stands in between.
    return re.sub(r"&(?=G|\[)", "&\N{WORD JOINER}", cut_off(one_line(title), LONGEST_TITLE).replace("&", "&&"))


class _Formats:
    """The formats of one workbook, each made once."""

    def __init__(self, book: "xlsxwriter.Workbook") -> None:
        self._book = book
        self._made: dict[tuple[str, bool, Look], xlsxwriter.format.Format] = {}

    def of(self, shown_as: str, look: Look, *, right: bool) -> "xlsxwriter.format.Format":
        """The format of a cell shown as `shown_as`; text is set in a little, and sums stand below a rule."""
        key = (shown_as, right, look)
        if key not in self._made:
            side = {"align": "right"} if right else {"align": "left", "indent": 1}
            rule = {Look.HEADING: {"bottom": 2}, Look.FIRST_SUM: {"top": 1}}.get(
                look, {"bottom": 1, "bottom_color": HAIR}
            )
            wrap = {"valign": "top", "text_wrap": not right or look is Look.HEADING}
            shown = {"bold": look is not Look.ROW, "num_format": shown_as or "General"}
            self._made[key] = self._book.add_format({**TYPE, **wrap, **side, **rule, **shown})
        return self._made[key]


class _Sheet:
    """Fills one sheet of a workbook."""

    def __init__(self, sheet: "xlsxwriter.worksheet.Worksheet", group: TableGroup, formats: _Formats) -> None:
        self.sheet, self.group, self.formats = sheet, group, formats
        self.lines = tuple(sheet_lines(group))
        self.paper = LETTER if group.document.weight_unit == "lb" else A4

    def fill(self, batch: str) -> None:
        """Write headings and rows, and set how the sheet is printed, with the title of the batch at the foot."""
        order, names = column_order(self.group), headings(self.group)
        columns = [(self.group.columns[place], names[place]) for place in order]
        shown = [self._write_column(place, column, name) for place, (column, name) in enumerate(columns)]
        widths = [column_width(texts[0], texts[1:], NARROWEST, BY_HEADING, WIDEST[0]) for texts in shown]
        seen = len(seen_columns(self.group))
        layout = choose_layout(widths[:seen], self.paper)
        for place, wide in enumerate(widths):
            hidden = {} if place < seen else {"hidden": True}
            self.sheet.set_column(place, place, min(wide, layout.most) + BESIDE, None, hidden)
        for row in range(len(self.lines) + 1):
            lines = (
                line_count(texts[row], min(wide, layout.most) + 1)
                for texts, wide in zip(shown[:seen], widths, strict=False)
            )
            if (most := max(lines, default=1)) > 1:
                self.sheet.set_row(row, most * LINE_POINTS)
        self.sheet.print_area(0, 0, len(self.lines), max(seen, 1) - 1)
        self._lay_out(layout, batch)

    def _write_column(self, place: int, column: Column, heading: str) -> list[str]:
        """Write a column; the texts that stand in it, its heading first."""
        document, right = self.group.document, column.holds in NUMBERS
        self._write(0, place, heading, self.formats.of("", Look.HEADING, right=right))
        texts = [heading]
        for row, line in enumerate(self.lines, 1):
            value = cell_value(document, column.holds, line.cells[place])
            shown_as = number_format(document, column.holds, value)
            self._write(row, place, value, self.formats.of(shown_as, line.look, right=right and bool(shown_as)))
            texts.append(shown_text(document, column.holds, value))
        return texts

    def _write(self, row: int, column: int, value: Value, cell_format: "xlsxwriter.format.Format") -> None:
        """Write one cell; an empty text leaves it empty, but for the line below it."""
        if isinstance(value, str):
            if value.startswith("<r>") and value.endswith("</r>"):  # XlsxWriter would take that for markup of its own
                self.sheet.write_rich_string(row, column, value[:1], cell_format, value[1:], cell_format)
            elif value:
                # No quote before it as in CSV: a cell written as text is never run, and the quote would be seen.
                self.sheet.write_string(row, column, value, cell_format)
            else:
                self.sheet.write_blank(row, column, None, cell_format)
        elif isinstance(value, date):
            self.sheet.write_datetime(row, column, value, cell_format)
        else:
            self.sheet.write_number(row, column, value, cell_format)

    def _lay_out(self, layout: Layout, batch: str) -> None:
        """Keep the headings in sight and on every page, with a title above and the batch at the foot."""
        self.sheet.freeze_panes(1, 0)
        self.sheet.repeat_rows(0)
        if layout.breaks:
            self.sheet.repeat_columns(0)
        if layout.landscape:
            self.sheet.set_landscape()
        self.sheet.set_paper(self.paper)
        self.sheet.set_print_scale(layout.percent)
        self.sheet.set_margins(MARGIN, MARGIN, BELOW_HEADER, ABOVE_FOOTER)
        self.sheet.set_header(f"&L&14&B{header_text(sheet_title(self.group))}")
        self.sheet.set_footer(f"&L{header_text(batch)}&R&A, &P / &N")
