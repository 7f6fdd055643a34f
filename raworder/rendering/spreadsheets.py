"""Tables as CSV files and as a workbook: plain numbers, and no text that a spreadsheet would run."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from io import BytesIO
from itertools import count
from types import MappingProxyType
from typing import TYPE_CHECKING

from raworder.rendering.clean import one_line
from raworder.rendering.values import NUMBERS, blocks_for_programs, for_people, for_programs
from raworder.trade.document import Cell, Column, Document, Holds, Table
from raworder.trade.outputs import PAPERS
from raworder.trade.units import amount_text

if TYPE_CHECKING:
    import xlsxwriter  # type: ignore[import-untyped]  # it ships no types


FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")  # noqa: RUF001 - the wide forms are meant
"""Text that begins like this may be run as a formula. Source: OWASP, CSV injection, from memory, not looked up."""

GUARD = "'"
"""Put before such text, so that a spreadsheet does not run it."""


def csv_files(documents: Sequence[Document]) -> tuple[tuple[str, bytes], ...]:
    """Name and content of a CSV file for every table: RFC 4180 in UTF-8 with a byte order mark.

    Tables of one document with the same key share a file. Totals are left out, as a program can add up the rows. Grams
    are whole numbers, money has the currency's decimals, shares are decimal fractions, days are year-month-day.
    """
    return tuple(
        (f"{group.document.key}-{group.key}.csv".replace("_", "-"), _csv_content(group))
        for group in group_tables(documents)
    )


@dataclass(frozen=True, slots=True)
class TableGroup:
    """The tables of one document with the same key, which make one file or sheet."""

    document: Document
    key: str
    tables: tuple[Table, ...]

    @property
    def columns(self) -> tuple[Column, ...]:
        """The columns that all of them have."""
        return self.tables[0].columns

    @property
    def rows(self) -> tuple[tuple[Cell, ...], ...]:
        """The rows of all of them."""
        return tuple(row for table in self.tables for row in table.rows)


def group_tables(documents: Sequence[Document]) -> tuple[TableGroup, ...]:
    """The tables that programs and spreadsheets read, in order."""
    return tuple(
        TableGroup(document, key, tuple(tables)) for document in documents for key, tables in _by_key(document).items()
    )


def guard_formula(text: str) -> str:
    """The text on one line, with a quote before it where a spreadsheet would run it."""
    clean = one_line(text)
    return GUARD + clean if clean.startswith(FORMULA_STARTS) else clean


def _by_key(document: Document) -> dict[str, list[Table]]:
    """The tables of a document by their key, in order."""
    tables: dict[str, list[Table]] = {}
    for block in blocks_for_programs(document):
        if isinstance(block, Table):
            tables.setdefault(block.key, []).append(block)
    return tables


def _csv_content(group: TableGroup) -> bytes:
    """The CSV file: the rows of all its tables under one line of keys."""
    import pandas as pd

    rows = [tuple(_cells(group.document, group.columns, row)) for row in group.rows]
    table = pd.DataFrame(rows, columns=[column.key for column in group.columns], dtype=object)
    return table.to_csv(index=False, lineterminator="\r\n").encode("utf-8-sig")


def _cells(document: Document, columns: Sequence[Column], row: tuple[Cell, ...]) -> Iterator[str]:
    """One row; only text is guarded, as numbers are written by us."""
    for column, value in zip(columns, row, strict=True):
        text = for_programs(document, column.holds, value)
        # CSV has no text cells, so only a quote keeps a spreadsheet from running text as a formula.
        yield guard_formula(text) if column.holds is Holds.TEXT else text


Value = int | Decimal | date | str
"""What a cell of a workbook holds; an empty text is an empty cell."""

LONGEST_TEXT = 32_767
"""Characters that a cell may have. Source: Excel's specifications, from memory, not looked up."""

CUT = "..."
DAY_FORMAT = "yyyy-mm-dd"


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
    return str(value)


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

NARROWEST, BY_HEADING, WIDEST, BESIDE = 4, 13, 44, 2
"""Width of a column in characters: at least, at most by its heading alone, at most, and the space beside it."""

LINE_POINTS = 15
"""The height of a line in points."""

MARGIN, ABOVE_FOOTER = Decimal("0.4"), Decimal("0.7")
"""Inches left free at the edges of a page."""

A4, LETTER = 9, 1
"""Numbers of paper sizes in a workbook. Source: ECMA-376, part 1, pageSetup, from memory, not looked up."""

MADE = datetime(2000, 1, 1, tzinfo=UTC)
"""The creation time that every workbook states, so that the same tables give the same bytes."""


def workbook(documents: Sequence[Document]) -> bytes:
    """A workbook with a sheet for every CSV file, in the same order, with the same columns and rows.

    Every text is written as text, so that none of it is run; no sheet is called by a name that a person gave.
    """
    import xlsxwriter

    out = BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with xlsxwriter.Workbook(out, options) as book:
        book.set_properties({"created": MADE})
        formats, tables = _Formats(book), group_tables(documents)
        for name, group in zip(sheet_names(tables), tables, strict=True):
            _Sheet(book.add_worksheet(name), group, formats).fill()
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


class _Formats:
    """The formats of one workbook, each made once."""

    def __init__(self, book: "xlsxwriter.Workbook") -> None:
        self._book = book
        self._made: dict[tuple[str, bool, bool], xlsxwriter.format.Format] = {}

    def of(self, shown_as: str, *, right: bool, heading: bool = False) -> "xlsxwriter.format.Format":
        """The format of a heading, or of a cell shown as `shown_as`; text is set in a little."""
        key = (shown_as, right, heading)
        if key not in self._made:
            side = {"align": "right"} if right else {"align": "left", "indent": 1}
            look = {"bold": True, "bottom": 1} if heading else {"num_format": shown_as or "General"}
            self._made[key] = self._book.add_format(
                {"valign": "top", "text_wrap": not right or heading, **side, **look}
            )
        return self._made[key]


class _Sheet:
    """Fills one sheet of a workbook."""

    def __init__(self, sheet: "xlsxwriter.worksheet.Worksheet", group: TableGroup, formats: _Formats) -> None:
        self.sheet, self.group, self.formats = sheet, group, formats
        self.lines = [1] * (len(group.rows) + 1)

    def fill(self) -> None:
        """Write headings and rows, and set how the sheet is printed."""
        document, rows = self.group.document, self.group.rows
        for place, (column, heading) in enumerate(zip(self.group.columns, headings(self.group), strict=True)):
            values = [cell_value(document, column.holds, row[place]) for row in rows]
            shown = [shown_text(document, column.holds, value) for value in values]
            wide = column_width(heading, shown, NARROWEST, BY_HEADING, WIDEST)
            right = column.holds in NUMBERS
            self.sheet.set_column(place, place, wide + BESIDE)
            self._write(0, place, heading, self.formats.of("", right=right, heading=True))
            for row_number, value in enumerate(values, 1):
                shown_as = number_format(document, column.holds, value)
                self._write(row_number, place, value, self.formats.of(shown_as, right=right and bool(shown_as)))
            self.lines = [
                max(so_far, line_count(name, wide + 1))
                for so_far, name in zip(self.lines, [heading, *shown], strict=True)
            ]
        self._lay_out(len(rows), len(self.group.columns) - 1, LETTER if document.weight_unit == "lb" else A4)

    def _write(self, row: int, column: int, value: Value, cell_format: "xlsxwriter.format.Format") -> None:
        """Write one cell; an empty text leaves it empty."""
        if isinstance(value, str):
            if value.startswith("<r>") and value.endswith("</r>"):  # XlsxWriter would take that for markup of its own
                self.sheet.write_rich_string(row, column, value[:1], cell_format, value[1:], cell_format)
            elif value:
                # No quote before it as in CSV: a cell written as text is never run, and the quote would be seen.
                self.sheet.write_string(row, column, value, cell_format)
        elif isinstance(value, date):
            self.sheet.write_datetime(row, column, value, cell_format)
        else:
            self.sheet.write_number(row, column, value, cell_format)

    def _lay_out(self, last_row: int, last_column: int, paper: int) -> None:
        """Keep the headings in sight and on every page; fit all columns on one landscape page."""
        for row, lines in enumerate(self.lines):
            if lines > 1:
                self.sheet.set_row(row, lines * LINE_POINTS)
        self.sheet.freeze_panes(1, 0)
        self.sheet.repeat_rows(0)
        self.sheet.print_area(0, 0, last_row, last_column)
        self.sheet.set_landscape()
        self.sheet.set_paper(paper)
        self.sheet.set_margins(MARGIN, MARGIN, MARGIN, ABOVE_FOOTER)
        self.sheet.fit_to_pages(1, 0)
        self.sheet.hide_gridlines(0)
        self.sheet.set_footer("&L&A&R&P / &N")
