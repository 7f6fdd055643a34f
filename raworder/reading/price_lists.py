"""Price lists: CSV files row by row as forms of offers, every cell with its line and column; workbooks beside them."""

import re
from collections.abc import Sequence
from pathlib import Path

from raworder.findings import Place
from raworder.reading.characters import note_strange
from raworder.reading.csv_cells import BrokenCsvError, Cell, Record, records
from raworder.reading.decimals import decimal_mark
from raworder.reading.files import file_text
from raworder.reading.form import PriceListForm
from raworder.reading.notes import Notes
from raworder.reading.price_rows import NUMBERS, UNREAD, PriceList, RowReader, are_columns, column_names, price_list
from raworder.reading.price_sheets import read_price_sheet
from raworder.reading.workbooks import is_workbook
from raworder.units import Currency

SEPARATORS = (",", ";", "\t")

MOST_ROWS = 12_000
"""How many rows of a list are read; each takes about 300 us until it is an offer that has been checked."""

HEAD_FIRST = "begin with a header, such as `cut,pack,price`"


def read_price_list(form: PriceListForm, folder: Path, currency: Currency, notes: Notes) -> PriceList:
    """The offers of a price list named in a scenario; it lies in the scenario's folder or below."""
    path = _inside(form, folder, notes)
    in_workbook = is_workbook(form.file)
    _refuse_strange_fields(form, notes, in_workbook=in_workbook)
    if path and in_workbook:
        return read_price_sheet(path, form, currency, notes)
    text = file_text(path, form.at("file"), notes, form.encoding or "") if path else None
    if path is None or text is None:
        return UNREAD
    file = path.as_posix()
    notes.remember(file, text)
    return _Reader(text, file, form, currency, notes).price_list()


def _refuse_strange_fields(form: PriceListForm, notes: Notes, *, in_workbook: bool) -> None:
    """Refuse what says nothing of a file of this kind."""
    kind, strange = ("an XLSX", ("separator", "decimal", "encoding")) if in_workbook else ("a CSV", ("sheet",))
    for field in strange:
        if form.says(field):
            notes.add("not-for-this-file", f"{kind} file has no `{field}`", form.key_at(field), "take it out")


def _inside(form: PriceListForm, folder: Path, notes: Notes) -> Path | None:
    """The list's path, if it does not lead out of the folder."""
    path = folder / form.file
    try:
        inside = path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):
        inside = False
    if not inside:
        message = f"`{form.file}` is outside the scenario's folder"
        notes.add("price-list-outside", message, form.at("file"), "put the list beside the scenario or below it")
    return path if inside else None


class _Reader:
    """One price list on its way from text to forms."""

    def __init__(self, text: str, file: str, form: PriceListForm, currency: Currency, notes: Notes) -> None:
        self.text, self.file, self.form = text, file, form
        self.currency, self.notes = currency, notes

    def price_list(self) -> PriceList:
        """The offers, less the rows in error; nothing where the list cannot be read as a table."""
        if note_strange(self.text, self.file, self.notes) or not (separator := self._separator()):
            return UNREAD
        try:
            all_records = [one for one in records(self.text, self.file, separator, self.notes) if not one.blank]
        except BrokenCsvError:
            return UNREAD
        if not all_records:
            self._add("empty-file", "the price list says nothing", Place(self.file, 1, 1), HEAD_FIRST)
            return UNREAD
        if len(all_records) > MOST_ROWS + 1:
            place, help_ = all_records[MOST_ROWS + 1].cells[0].place, "take out what no dog is to be fed"
            self._add("too-large", f"the list has more than {MOST_ROWS} rows", place, help_)
            return UNREAD
        names = column_names(all_records[0].cells, self.notes, "add it, and check what separates the columns")
        rows = [one for one in all_records[1:] if self._complete(one, len(names))]
        if not all_records[1:]:
            self._add(
                "no-rows",
                "the list has a header and no rows",
                all_records[0].cells[0].place,
                "add a row for each offer",
            )
        if not rows or not are_columns(names):
            return UNREAD
        return self._offers(names, [row.cells for row in rows], whole=len(rows) == len(all_records) - 1)

    def _separator(self) -> str | None:
        """What stands between cells: as stated, or what cuts the header into most columns."""
        top = Place(self.file, 1, 1)
        header = next((line for line in self.text.split("\n") if line.strip()), "")
        if not header:
            self._add("empty-file", "the price list is empty", top, HEAD_FIRST)
            return None
        if self.form.separator:
            return self.form.separator.replace("tab", "\t")
        outside_quotes = re.sub(r'"[^"]*"', "", header)
        counts = {separator: outside_quotes.count(separator) for separator in SEPARATORS}
        most = [separator for separator in SEPARATORS if counts[separator] == max(counts.values())]
        if len(most) > 1:
            help_ = 'state it: `price_list: {file: ..., separator: ";"}`'
            self._add("separator-in-doubt", "what separates the columns cannot be told", top, help_)
            return None
        return most[0]

    def _complete(self, record: Record, width: int) -> bool:
        if len(record.cells) == width:
            return True
        extra = record.cells[min(width, len(record.cells) - 1)]
        message = f"this row has {len(record.cells)} cells and the header {width}"
        self._add(
            "wrong-cell-count", message, extra.place, "give each column one cell; put cells with a separator in quotes"
        )
        return False

    def _offers(self, names: Sequence[str], rows: Sequence[Sequence[Cell]], *, whole: bool) -> PriceList:
        named = [dict(zip(names, row, strict=True)) for row in rows]
        numbers = [cell for row in named for name, cell in row.items() if name in NUMBERS]
        mark = self.form.decimal or decimal_mark(numbers, self.notes)
        if mark is None:
            return UNREAD
        return price_list(named, RowReader(mark, self.currency, self.notes), whole=whole)

    def _add(self, slug: str, message: str, place: Place, remedy: str) -> None:
        self.notes.add(slug, message, place, remedy)
