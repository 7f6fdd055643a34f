"""Workbooks as rows of cells: one sheet of an XLSX file, and what is no such file told and never raised."""

import re
import warnings
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from raworder.reading.files import file_bytes
from raworder.reading.form import PriceListForm
from raworder.reading.names import folded, listed, nearest
from raworder.reading.notes import Notes
from raworder.reading.sheet_xml import merged_cells, part, saying_cells, without_chart_sheets
from raworder.reading.sheets import Found, Sheet

if TYPE_CHECKING:
    import openpyxl  # type: ignore[import-untyped]  # it ships no types

ENDINGS, OLD_ENDING = (".xlsx", ".xlsm"), ".xls"
"""How the names of workbooks end, and of those that older programs wrote."""

MOST_UNPACKED_BYTES = 50 * 1024 * 1024
"""The most that a workbook may hold once it is unpacked."""

MOST_TAGS, MOST_CELLS, MOST_MERGES = 500_000, 150_000, 10_000
"""The most tags, cells and merged ranges that one of its parts may hold: each takes far more room in memory than in
the file, and a cell, even an empty one, 8 us each time that the library reads the sheet, which is twice."""

CELL = re.compile(rb"<(?:\w{1,9}:)?c[\s/>]")
"""How a cell begins."""

MERGE = re.compile(rb"<(?:\w{1,9}:)?mergeCell[\s/>]")
"""How a merged range begins."""

FORMULAS = re.compile(rb"<(?:\w{1,9}:)?f[\s/>]")
"""How a formula begins; without any, nothing need be read twice."""

LONG_TAG, MOST_COMMENTS = re.compile(rb"<[^<>]{10000}|<!--(?!(?s:.){0,10000}?-->)"), 100
"""A tag or a comment longer than any program writes: an XML reader goes over it again and again until it ends."""

MOST_ROWS, MOST_COLUMNS, MOST_BLANK_ROWS, LAST_ROW = 6_000, 100, 50, 20_000
"""How far a sheet is read: it ends after so many blank rows, cells beyond these columns are not seen, and rows that go
on beyond the last one are not read at all. A row takes 800 us until it is an offer that has been checked."""

COMPOUND = bytes.fromhex("d0cf11e0a1b11ae1")
"""How a compound file begins: an old workbook, or a newer one under a password. Source: MS-CFB 2.2, from memory, not
looked up."""

LOCKED = "EncryptedPackage".encode("utf-16-le")
"""The name of the stream that holds a workbook under a password. Source: MS-OFFCRYPTO 2.3.4, from memory, not looked
up."""

NUMBER, FORMULA, FORMULA_TEXT = "n", "f", "str"
"""Kinds of cells as the library tells them: numbers, formulas, and formulas that say nothing but are text."""


def is_workbook(file: str) -> bool:
    """Whether the file's name is that of a workbook, of an old one too.

    >>> is_workbook("lists/north.XLSX"), is_workbook("lists/north.csv")
    (True, False)
    """
    return file.lower().endswith((*ENDINGS, OLD_ENDING))


def read_sheet(path: Path, form: PriceListForm, notes: Notes) -> Sheet | None:
    """The sheet of a workbook that a price list names, or None with the reason in the notes."""
    data = file_bytes(path, form.at("file"), notes)
    if data is None or not _can_be_opened(data, form, notes):
        return None
    _demand_safe_xml()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what the library leaves out of a workbook is nothing to a price list
            return _Opened(without_chart_sheets(data), path.as_posix(), form, notes).sheet()
    except Exception:  # a damaged workbook can fail anywhere in the library, in any way
        _note_broken(form, notes)
        return None


def _demand_safe_xml() -> None:
    """Make sure that the library reads XML from strangers with care."""
    from openpyxl.xml import DEFUSEDXML  # type: ignore[import-untyped]  # it ships no types

    if not DEFUSEDXML:
        raise AssertionError("openpyxl does not use defusedxml; install it, or unset OPENPYXL_DEFUSEDXML")


def _can_be_opened(data: bytes, form: PriceListForm, notes: Notes) -> bool:
    """Whether the file is a workbook by its outside, and one that is not too large once it is unpacked."""
    place, name = form.at("file"), Path(form.file).name
    if data.startswith(COMPOUND) and LOCKED in data:
        notes.add("locked-workbook", f"`{name}` is locked with a password", place, "save a copy without a password")
    elif data.startswith(COMPOUND) or name.lower().endswith(OLD_ENDING):
        notes.add("old-workbook", f"`{name}` is a workbook of an old kind", place, "save it as XLSX")
    elif (is_small := _is_small(data)) is None:
        _note_broken(form, notes)
    elif not is_small:
        size = f"{MOST_UNPACKED_BYTES // 1024**2} MiB unpacked, {MOST_CELLS} cells and {MOST_MERGES} merged ranges"
        message = f"`{name}` holds more than is read: at most {size}"
        notes.add("workbook-too-large", message, place, "save a copy with the price list alone")
    else:
        return True
    return False


def _note_broken(form: PriceListForm, notes: Notes) -> None:
    message = f"`{Path(form.file).name}` is no XLSX workbook, or it is damaged"
    notes.add("broken-workbook", message, form.at("file"), "open it in a spreadsheet program and save it as XLSX")


def _is_small(data: bytes) -> bool | None:
    """Whether the workbook is small enough to be read; None where it is too damaged to tell."""
    try:
        with zipfile.ZipFile(BytesIO(data)) as archive:
            parts = archive.infolist()
            if sum(one.file_size for one in parts) > MOST_UNPACKED_BYTES:
                return False
            return not any(_is_crowded(archive.read(one)) for one in parts)
    except Exception:  # a damaged archive can fail in any way
        return None


def _is_crowded(xml: bytes) -> bool:
    """Whether a part holds more tags or cells than are read, or a tag so long that reading it takes for ever."""
    if xml.count(b"<") > MOST_TAGS or xml.count(b"<!--") > MOST_COMMENTS or LONG_TAG.search(xml):
        return True
    return any(
        sum(1 for _ in begins.finditer(xml)) > most for begins, most in ((CELL, MOST_CELLS), (MERGE, MOST_MERGES))
    )


class _Opened:
    """A workbook that can be opened, and the one sheet of it that is wanted."""

    def __init__(self, data: bytes, file: str, form: PriceListForm, notes: Notes) -> None:
        self.data, self.file, self.form, self.notes = data, file, form, notes

    def sheet(self) -> Sheet | None:
        """The cells of the sheet as they were saved; which of them are formulas is told by reading it once more."""
        with closing(self._book(data_only=True)) as saved:
            one = self._chosen(saved.worksheets)
            if one is None:
                return None
            xml = part(self.data, one._worksheet_path)  # noqa: SLF001 - there is no other way to it
            rows = self._with_formulas(one) if FORMULAS.search(xml) else self._rows((row, row) for row in _cells(one))
            named = one.title if len(saved.worksheets) > 1 else ""
            if rows is None:
                return None
            sheet = Sheet(self.file, named, rows, merged_cells(xml))
            self._tell_unread(sheet, xml)
            return sheet

    def _with_formulas(self, saved: Any) -> dict[int, dict[int, Found]] | None:
        """The rows of a sheet that has formulas, beside what is written in their cells."""
        with closing(self._book(data_only=False)) as written:
            return self._rows(zip(_cells(saved), _cells(written[saved.title]), strict=True))

    def _book(self, *, data_only: bool) -> "openpyxl.Workbook":
        import openpyxl

        return openpyxl.load_workbook(BytesIO(self.data), read_only=True, data_only=data_only, keep_links=False)

    def _chosen(self, sheets: Any) -> Any:
        """The sheet that is named, or the only one that is not hidden; None, and noted, where it cannot be told."""
        if self.form.sheet is not None:
            return self._called(self.form.sheet, {folded(one.title): one for one in sheets})
        shown = [one for one in sheets if one.sheet_state == "visible"] or sheets
        if len(shown) == 1:
            return shown[0]
        names = listed([one.title for one in shown], "and") if shown else "none"
        help_ = f"state it: `price_list: {{file: {self.form.file}, sheet: ...}}`"
        self.notes.add("sheet-in-doubt", f"the workbook's sheets are {names}", self.form.at("file"), help_)
        return None

    def _called(self, name: str, sheets: Mapping[str, Any]) -> Any:
        """The sheet of that name, whatever its capitals."""
        if folded(name) not in sheets:
            close = nearest(name, sheets)
            names = listed([one.title for one in sheets.values()], "and") if sheets else "none"
            help_ = f"did you mean `{sheets[close].title}`?" if close else f"the workbook's sheets are {names}"
            self.notes.add("unknown-sheet", f"the workbook has no sheet `{name}`", self.form.at("sheet"), help_)
        return sheets.get(folded(name))

    def _rows(self, pairs: Iterable[tuple[Any, Any]]) -> dict[int, dict[int, Found]] | None:
        """The rows that say something, of values beside formulas; None, and noted, where there are too many."""
        rows: dict[int, dict[int, Found]] = {}
        last = 0
        for number, (values, formulas) in enumerate(pairs, 1):
            if number - last > MOST_BLANK_ROWS:
                break
            if len(rows) > MOST_ROWS or number > LAST_ROW:
                message = f"the sheet has more than {MOST_ROWS} rows, or goes on beyond row {LAST_ROW}"
                help_ = "save a copy with the price list alone, or save it as CSV, of which more is read"
                self.notes.add("workbook-too-large", message, self.form.at("file"), help_)
                return None
            if row := dict(_row(values, formulas)):
                rows[number], last = row, number
        return rows

    def _tell_unread(self, sheet: Sheet, xml: bytes) -> None:
        """Warn of what stands beyond the last row or column that is read: of the first cell each."""
        end = max(sheet.rows, default=0) + MOST_BLANK_ROWS
        cells = sorted(saying_cells(xml))
        below = next((one for one in cells if one[0] > end), None)
        beside = next((one for one in cells if one[0] <= end and one[1] > MOST_COLUMNS), None)
        if below:
            message = f"this and all below is not read: {MOST_BLANK_ROWS} rows above it are blank"
            self.notes.add("cells-not-read", message, sheet.place(*below), "take the blank rows out, or clear the cell")
        if beside:
            message = f"this is not read: it is beyond the {MOST_COLUMNS}th column"
            self.notes.add("cells-not-read", message, sheet.place(*beside), "move it to the left, or clear the cell")


def _cells(sheet: Any) -> Iterator[Any]:
    """The rows of a sheet from its first on, whatever it says of its own size."""
    sheet.reset_dimensions()
    return iter(sheet.iter_rows(max_col=MOST_COLUMNS))


def _row(values: Any, formulas: Any) -> Iterator[tuple[int, Found]]:
    """The cells of a row that say something, by column."""
    for column, (cell, written) in enumerate(zip(values, formulas, strict=True), 1):
        value = cell.value
        if value is None and written.data_type == FORMULA and cell.data_type != FORMULA_TEXT:
            yield column, Found(None, lost_formula=True)
        elif value is not None and str(value).strip():
            yield column, Found(value, cell.data_type, cell.number_format if cell.data_type == NUMBER else "")
