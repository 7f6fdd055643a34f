"""Workbooks: one sheet of an XLSX file as rows of cells, each as the text that a CSV file would hold.

A file that is damaged, locked or too large becomes a finding, never an exception.
"""

import re
import warnings
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import date, time, timedelta
from decimal import Decimal
from io import BytesIO
from typing import TYPE_CHECKING, Any

from raworder.reading.characters import describe_forbidden
from raworder.reading.files import NamedFile, file_bytes
from raworder.reading.located import Text
from raworder.reading.names import fold_name, join_in_backticks, nearest
from raworder.reading.notes import Notes
from raworder.trade.findings import Place

if TYPE_CHECKING:
    import openpyxl  # type: ignore[import-untyped]  # it ships no types

ENDINGS, OLD_ENDING = (".xlsx", ".xlsm"), ".xls"
"""The endings of names of workbooks, and of the old kind of workbook."""

MOST_UNPACKED_BYTES = 50 * 1024 * 1024
"""The most bytes of a workbook once it is unpacked."""

MOST_TAGS, MOST_CELLS, MOST_MERGES = 500_000, 150_000, 10_000
"""The most tags, cells and merged ranges in one part of a workbook: each takes far more room in memory than in the
file, and a cell, even an empty one, 8 us each of the two times that the library reads the sheet."""

CELL = re.compile(rb"<(?:\w{1,9}:)?c[\s/>]")
"""The start of a cell."""

MERGE = re.compile(rb"<(?:\w{1,9}:)?mergeCell[\s/>]")
"""The start of a merged range."""

FORMULAS = re.compile(rb"<(?:\w{1,9}:)?f[\s/>]")
"""The start of a formula; a sheet without any is read once."""

LONG_TAG, MOST_COMMENTS = re.compile(rb"<[^<>]{10000}|<!--(?!(?s:.){0,10000}?-->)"), 100
"""A tag or comment longer than any program writes, over which an XML reader goes again and again until it ends; and
the most comments of a part."""

MOST_ROWS, MOST_COLUMNS, MOST_BLANK_ROWS, LAST_ROW = 6_000, 100, 50, 20_000
"""How far a sheet is read: it ends after this many blank rows, cells beyond these columns are ignored, and a sheet that
goes on beyond the last row is not read at all. A row takes 800 us until it is a checked offer."""

COMPOUND = bytes.fromhex("d0cf11e0a1b11ae1")
"""The start of a compound file: an old workbook, or a newer one with a password. Source: MS-CFB 2.2, from memory, not
looked up."""

LOCKED = "EncryptedPackage".encode("utf-16-le")
"""The name of the stream that holds a workbook with a password. Source: MS-OFFCRYPTO 2.3.4, from memory, not looked
up."""

NUMBER, FORMULA, FORMULA_TEXT = "n", "f", "str"
"""The library's kinds of cells: numbers, formulas, and formulas whose value is text, which may be empty."""

CHART_SHEETS = re.compile(r"(?:^|/)chartsheets/")
"""The folder of sheets that are charts. Source: how spreadsheet programs name parts, from memory, not looked up."""

_MERGED = re.compile(rb"""<(?:\w+:)?mergeCell\s[^<>]*?ref=["']([A-Z]{1,3})([0-9]{1,7}):([A-Z]{1,3})([0-9]{1,7})["']""")
_FILLED_CELL = re.compile(
    rb"""<(?:\w+:)?c\s(?:[^<>]*?\s)?r=["']([A-Z]{1,3})([0-9]{1,7})["'][^<>/]*>\s*"""
    rb"""<(?:(?:\w+:)?(?:is|f)\b|(?:\w+:)?v>[^<\s])"""
)
"""A cell that holds a value, a text or a formula, with its column and row."""

DIGITS, DECIMALS = 15, 9
"""Significant digits that a spreadsheet keeps (source: Excel's specifications, from memory, not looked up),
and the decimals that we read: without what binary arithmetic leaves behind (2.4000000000000004)."""

PER_CENT = Decimal(100)

_MONEY = re.compile(r"\[\$([^\]-]*)(?:-[^\]]*)?\]")
"""A currency in a number format: its sign or code, and a language. Source: ECMA-376, part 1, 18.8.31, from memory,
not looked up."""

_AS_TEXT = re.compile(r'"([^"]*)"|\\(.)|\[[^\]]*\]|_.|\*.')
"""Text in a number format: shown as it is, in the first two groups, or else not shown at all."""

_NOT_SHOWN = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]|_.|\*.')
"""Parts of a number format in which a percent sign means nothing: text, colour, space and filling."""


@dataclass(frozen=True, slots=True)
class SheetCell:
    """A cell: value, letter of its kind, number format, and whether it is a formula without a saved value."""

    value: object
    kind: str = "n"
    shown_as: str = ""
    lost_formula: bool = False


@dataclass(frozen=True, slots=True, order=True)
class Merged:
    """A range of merged cells: its corners by row and column."""

    row: int
    column: int
    last_row: int
    last_column: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: its filled cells by row and column from 1; `named` is its name where there are several sheets."""

    file: str
    named: str
    rows: Mapping[int, Mapping[int, SheetCell]]
    merged: tuple[Merged, ...]

    def place(self, row: int, column: int) -> Place:
        """The place of a cell, for findings."""
        cell = f"{letters(column)}{row}"
        return Place(self.file, row, column, cell=f"{cell} of sheet `{self.named}`" if self.named else cell)


def is_workbook(file: str) -> bool:
    """Whether the file is a workbook by its name, also one of the old kind.

    >>> is_workbook("lists/north.XLSX"), is_workbook("lists/north.csv")
    (True, False)
    """
    return file.lower().endswith((*ENDINGS, OLD_ENDING))


def read_sheet(file: NamedFile, notes: Notes) -> Sheet | None:
    """The sheet of a workbook that is asked for; None with the reason noted."""
    data = file_bytes(file.path, file.place, notes)
    if data is None or not _is_readable(data, file, notes):
        return None
    _demand_safe_xml()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what the library leaves out of a workbook is nothing to a price list
            return _Workbook(drop_chart_sheets(data), file, notes).sheet()
    except Exception:  # a damaged workbook can fail anywhere in the library, in any way
        _note_broken(file, notes)
        return None


def sheet_names(file: NamedFile) -> tuple[str, ...]:
    """The names of a workbook's sheets that are not hidden; none where it cannot be opened."""
    notes = Notes()
    data = file_bytes(file.path, file.place, notes)
    if data is None or not _is_readable(data, file, notes):
        return ()
    _demand_safe_xml()
    # a damaged workbook can fail anywhere in the library, and is told of when it is read
    with suppress(Exception), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return _Workbook(drop_chart_sheets(data), file, notes).names()
    return ()


def _demand_safe_xml() -> None:
    """Make sure that the library reads XML with defusedxml, as workbooks come from strangers."""
    from openpyxl.xml import DEFUSEDXML  # type: ignore[import-untyped]  # it ships no types

    if not DEFUSEDXML:
        raise AssertionError("openpyxl does not use defusedxml; install it, or unset OPENPYXL_DEFUSEDXML")


def _is_readable(data: bytes, file: NamedFile, notes: Notes) -> bool:
    """Whether the file is a workbook that can be opened, and not too large once unpacked; if not, it is noted."""
    place, name = file.place, file.path.name
    if data.startswith(COMPOUND) and LOCKED in data:
        notes.add("locked-workbook", f"`{name}` is locked with a password", place, "save a copy without a password")
    elif data.startswith(COMPOUND) or name.lower().endswith(OLD_ENDING):
        notes.add("old-workbook", f"`{name}` is a workbook of an old kind", place, "save it as XLSX")
    elif (is_small := _is_small(data)) is None:
        _note_broken(file, notes)
    elif not is_small:
        size = f"{MOST_UNPACKED_BYTES // 1024**2} MiB unpacked, {MOST_CELLS} cells and {MOST_MERGES} merged ranges"
        message = f"`{name}` holds more than is read: at most {size}"
        notes.add("workbook-too-large", message, place, "save a copy with the price list alone")
    else:
        return True
    return False


def _note_broken(file: NamedFile, notes: Notes) -> None:
    message = f"`{file.path.name}` is no XLSX workbook, or it is damaged"
    notes.add("broken-workbook", message, file.place, "open it in a spreadsheet program and save it as XLSX")


def _is_small(data: bytes) -> bool | None:
    """Whether the workbook is small enough to be read; None where it is damaged."""
    try:
        with zipfile.ZipFile(BytesIO(data)) as archive:
            parts = archive.infolist()
            if sum(part.file_size for part in parts) > MOST_UNPACKED_BYTES:
                return False
            return not any(_is_crowded(archive.read(part)) for part in parts)
    except Exception:  # a damaged archive can fail in any way
        return None


def _is_crowded(xml: bytes) -> bool:
    """Whether a part holds more than we read, or a tag so long that reading it would take for ever."""
    if xml.count(b"<") > MOST_TAGS or xml.count(b"<!--") > MOST_COMMENTS or LONG_TAG.search(xml):
        return True
    return any(
        sum(1 for _ in begins.finditer(xml)) > most for begins, most in ((CELL, MOST_CELLS), (MERGE, MOST_MERGES))
    )


class _Workbook:
    """Reads the sheet that is asked for from a workbook that can be opened."""

    def __init__(self, data: bytes, file: NamedFile, notes: Notes) -> None:
        self.data, self.file, self.notes = data, file, notes

    def sheet(self) -> Sheet | None:
        """The sheet with its saved values.

        A sheet with formulas is read twice, as a formula without a saved value would look like a blank cell.
        """
        with closing(self._open_workbook(data_only=True)) as saved:
            value = self._choose_sheet(saved.worksheets)
            if value is None:
                return None
            xml = read_part(self.data, value._worksheet_path)  # noqa: SLF001 - there is no other way to it
            rows = (
                self._with_formulas(value) if FORMULAS.search(xml) else self._rows((row, row) for row in _cells(value))
            )
            named = value.title if len(saved.worksheets) > 1 else ""
            if rows is None:
                return None
            sheet = Sheet(self.file.path.as_posix(), named, rows, merged_cells(xml))
            self._warn_of_unread(sheet, xml)
            return sheet

    def names(self) -> tuple[str, ...]:
        """The names of the sheets that are not hidden."""
        with closing(self._open_workbook(data_only=True)) as saved:
            return tuple(sheet.title for sheet in saved.worksheets if sheet.sheet_state == "visible")

    def _with_formulas(self, saved: Any) -> dict[int, dict[int, SheetCell]] | None:
        """The rows of a sheet with formulas, read for values and for formulas side by side."""
        with closing(self._open_workbook(data_only=False)) as written:
            return self._rows(zip(_cells(saved), _cells(written[saved.title]), strict=True))

    def _open_workbook(self, *, data_only: bool) -> "openpyxl.Workbook":
        import openpyxl

        return openpyxl.load_workbook(BytesIO(self.data), read_only=True, data_only=data_only, keep_links=False)

    def _choose_sheet(self, sheets: Any) -> Any:
        """The sheet that is named, else the only one that is not hidden; None, and noted, where that leaves it open."""
        if self.file.sheet is not None:
            return self._find_sheet(self.file.sheet, {fold_name(sheet.title): sheet for sheet in sheets})
        shown = [sheet for sheet in sheets if sheet.sheet_state == "visible"] or sheets
        if len(shown) == 1:
            return shown[0]
        names = join_in_backticks([sheet.title for sheet in shown], "and") if shown else "none"
        help_ = f"state it: `price_list: {{file: {self.file.written}, sheet: ...}}`"
        self.notes.add("sheet-in-doubt", f"the workbook's sheets are {names}", self.file.place, help_)
        return None

    def _find_sheet(self, name: Text, sheets: Mapping[str, Any]) -> Any:
        """The sheet of that name, in upper or lower case; None, and noted, where there is none."""
        if fold_name(name) not in sheets:
            close = nearest(name, sheets)
            names = join_in_backticks([sheet.title for sheet in sheets.values()], "and") if sheets else "none"
            help_ = f"did you mean `{sheets[close].title}`?" if close else f"the workbook's sheets are {names}"
            self.notes.add("unknown-sheet", f"the workbook has no sheet `{name}`", name.place, help_)
        return sheets.get(fold_name(name))

    def _rows(self, pairs: Iterable[tuple[Any, Any]]) -> dict[int, dict[int, SheetCell]] | None:
        """The rows that are not blank, from pairs of values and formulas; None, and noted, where there are too many."""
        rows: dict[int, dict[int, SheetCell]] = {}
        last = 0
        for number, (values, formulas) in enumerate(pairs, 1):
            if number - last > MOST_BLANK_ROWS:
                break
            if len(rows) > MOST_ROWS or number > LAST_ROW:
                message = f"the sheet has more than {MOST_ROWS} rows, or goes on beyond row {LAST_ROW}"
                help_ = "save a copy with the price list alone, or save it as CSV, of which more is read"
                self.notes.add("workbook-too-large", message, self.file.place, help_)
                return None
            if row := dict(_row(values, formulas)):
                rows[number], last = row, number
        return rows

    def _warn_of_unread(self, sheet: Sheet, xml: bytes) -> None:
        """Warn of the first filled cell beyond the last row, and the first beyond the last column, that we read."""
        end = max(sheet.rows, default=0) + MOST_BLANK_ROWS
        cells = sorted(filled_cells(xml))
        below = next((cell for cell in cells if cell[0] > end), None)
        beside = next((cell for cell in cells if cell[0] <= end and cell[1] > MOST_COLUMNS), None)
        if below:
            message = f"this and all below is not read: {MOST_BLANK_ROWS} rows above it are blank"
            self.notes.add("cells-not-read", message, sheet.place(*below), "take the blank rows out, or clear the cell")
        if beside:
            message = f"this is not read: it is beyond the {MOST_COLUMNS}th column"
            self.notes.add("cells-not-read", message, sheet.place(*beside), "move it to the left, or clear the cell")


def _cells(sheet: Any) -> Iterator[Any]:
    """The rows of a sheet from the first, whatever size the sheet states."""
    sheet.reset_dimensions()
    return iter(sheet.iter_rows(max_col=MOST_COLUMNS))


def _row(values: Any, formulas: Any) -> Iterator[tuple[int, SheetCell]]:
    """The filled cells of a row, by column."""
    for column, (cell, written) in enumerate(zip(values, formulas, strict=True), 1):
        value = cell.value
        if value is None and written.data_type == FORMULA and cell.data_type != FORMULA_TEXT:
            yield column, SheetCell(None, lost_formula=True)
        elif value is not None and str(value).strip():
            yield column, SheetCell(value, cell.data_type, cell.number_format if cell.data_type == NUMBER else "")


def letters(column: int) -> str:
    """The letters that a spreadsheet names a column by.

    >>> letters(1), letters(26), letters(27), letters(702), letters(703)
    ('A', 'Z', 'AA', 'ZZ', 'AAA')
    """
    name = ""
    while column:
        column, letter = divmod(column - 1, 26)
        name = chr(ord("A") + letter) + name
    return name


def sheet_cell_text(cell: SheetCell, place: Place, notes: Notes) -> str | None:
    """The text of a cell, as a CSV file with decimal points would hold it; None with the reason noted.

    A number is rounded to 15 digits, without what binary arithmetic leaves behind; 0.28 shown as a percentage is
    `28 %`.
    """
    value = cell.value
    if refusal := _refuse_cell(cell):
        notes.add(refusal[0], refusal[1], place, refusal[2])
        return None
    if not isinstance(value, str):
        return _number(value, cell.shown_as)
    if strange := describe_forbidden(value):
        notes.add("control-character", strange, place, "take it out")
        return None
    return value


def format_text(number_format: str) -> str:
    r"""The text that a number format shows, with the signs for its digits left in.

    >>> format_text(r"#,##0.00\ [$USD]"), format_text('[$€-407]0;[Red]"- "0')
    ('#,##0.00  USD ', ' € 0;- 0')
    """
    plain = _MONEY.sub(lambda match: f'" {match[1]} "', number_format)
    return _AS_TEXT.sub(lambda match: match[1] or match[2] or "", plain)


def _refuse_cell(cell: SheetCell) -> tuple[str, str, str] | None:
    """Slug, message and remedy for a cell that no price list can hold; None for any other."""
    if cell.lost_formula:
        help_ = "open the workbook in a spreadsheet program and save it, or write the value itself"
        return "formula-without-value", "this formula has no value that was saved with it", help_
    if cell.kind == "e":
        return (
            "error-in-cell",
            f"`{cell.value}` is an error and no value",
            "mend the formula, or write the value itself",
        )
    match cell.value:
        case bool():
            value = str(cell.value).upper()
            return (
                "strange-cell",
                f"`{value}` is a truth value",
                "write `yes` or `no` as text, or the number that is meant",
            )
        case date() | time() | timedelta():
            return "strange-cell", f"`{cell.value}` is a day or a time", "write it as text or as a number"
    return None


def _number(value: object, shown_as: str) -> str:
    """A number in digits, as the spreadsheet shows it; a percentage with its sign."""
    exact = Decimal(str(value)) if isinstance(value, int) else Decimal(format(value, f".{DIGITS}g"))
    percent = "%" in _NOT_SHOWN.sub("", shown_as)
    return f"{_digits(exact * PER_CENT)} %" if percent else _digits(exact)


def _digits(number: Decimal) -> str:
    """The number without an exponent and without zeros at the end."""
    text = f"{number:f}"
    if len(text.partition(".")[2]) > DECIMALS:
        text = f"{number:.{DECIMALS}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def drop_chart_sheets(data: bytes) -> bytes:
    """The workbook without sheets that are charts, on which the library fails; missing sheets it passes over."""
    with zipfile.ZipFile(BytesIO(data)) as archive:
        if not any(CHART_SHEETS.search(name) for name in archive.namelist()):
            return data
        out = BytesIO()
        with zipfile.ZipFile(out, "w") as rest:
            for word in archive.namelist():
                if not CHART_SHEETS.search(word):
                    rest.writestr(word, archive.read(word))
    return out.getvalue()


def read_part(data: bytes, name: str) -> bytes:
    """One part of the archive."""
    with zipfile.ZipFile(BytesIO(data)) as archive:
        return archive.read(name)


def merged_cells(xml: bytes) -> tuple[Merged, ...]:
    """The ranges of merged cells in a sheet."""
    matches = (match.groups() for match in _MERGED.finditer(xml))
    corners = {(int(row), _column_number(left), int(last), _column_number(right)) for left, row, right, last in matches}
    return tuple(Merged(*item) for item in sorted(corners))


def filled_cells(xml: bytes) -> Iterator[tuple[int, int]]:
    """Row and column of each filled cell of a sheet, in the order of the file."""
    return ((int(match[2]), _column_number(match[1])) for match in _FILLED_CELL.finditer(xml))


def _column_number(name: bytes) -> int:
    """The number of a column from its letters."""
    number = 0
    for letter in name:
        number = number * 26 + letter - ord("A") + 1
    return number
