"""Price lists, CSV or workbook: row by row as forms of offers, every cell with its place."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from raworder.reading.csv_cells import BrokenCsvError, Cell, Record, decimal_mark, money_signs, records, with_point
from raworder.reading.files import file_text, note_strange
from raworder.reading.form import OfferForm, PriceListForm
from raworder.reading.form_fields import note_problems
from raworder.reading.located import Entries, Items, Node, text_at
from raworder.reading.names import did_you_mean, folded, listed
from raworder.reading.notes import Notes, Sought
from raworder.reading.workbooks import Sheet, is_workbook, letters, read_sheet, shown_beside, text_of
from raworder.trade.findings import Place
from raworder.trade.units import Currency

COLUMNS = tuple(field.alias or name for name, field in OfferForm.model_fields.items() if name != "analysis")
"""The fields of an offer that one cell can hold."""

NUMBERS = frozenset(
    {"pack", "up_to", "price", "step", "available", "most_per_order", "bone", "fat", "piece", "price_breaks"}
)
"""Columns that hold numbers."""

REQUIRED = ("cut", "price")

MOST_BAD_ROWS = 2_000
"""After so many rows in error a list is not read further: each may have a mistake in every cell."""

Row = Mapping[str, Cell]


@dataclass(frozen=True, slots=True)
class PriceList:
    """The rows that can be read, and the folded names of the cuts in those that cannot."""

    offers: tuple[OfferForm, ...] = ()
    lost_names: frozenset[str] = frozenset()
    whole: bool = True


UNREAD = PriceList(whole=False)


def column_names(header: Sequence[Cell], notes: Notes, if_missing: str) -> tuple[str, ...]:
    """The columns that a header names, what is wrong with them noted; `if_missing` is the remedy for one that lacks."""
    names = tuple(folded(cell.value) for cell in header)
    if not set(names) & set(COLUMNS):
        help_ = "begin with a header, such as `cut`, `pack` and `price`"
        notes.add("missing-column", "the first row names no column", header[0].place, help_)
        return names
    first, known = {name: at for at, name in reversed([*enumerate(names)])}, f"the columns are {listed(COLUMNS, 'and')}"
    for at, (name, cell) in enumerate(zip(names, header, strict=True)):
        if first[name] < at:
            notes.add("repeated-column", f"the column `{name}` stands twice", cell.place, "keep one of the two")
        elif name not in COLUMNS:
            meant = Sought(partial(did_you_mean, name, COLUMNS, known), known)
            notes.add("unknown-column", f"a price list has no column `{cell.value.strip()}`", cell.place, meant)
    for name in REQUIRED:
        if name not in names:
            notes.add("missing-column", f"the price list has no column `{name}`", header[0].place, if_missing)
    return names


def are_columns(names: Sequence[str]) -> bool:
    """Whether rows can be read under these names."""
    return set(REQUIRED) <= set(names) <= set(COLUMNS) and len(set(names)) == len(names)


def price_list(named: Sequence[Row], reader: "RowReader", *, whole: bool) -> PriceList:
    """The offers of the rows, less the rows in error."""
    forms = tuple(_offers(named, reader))
    lost = frozenset(folded(row["cut"].value) for row, form in zip(named, forms, strict=True) if form is None)
    offers = tuple(form for form in forms if form is not None)
    return PriceList(offers, lost, whole=whole and len(offers) == len(named))


def _offers(named: Sequence[Row], reader: "RowReader") -> Iterator[OfferForm | None]:
    """The offer of each row, None where it is in error; after the most rows in error none is read."""
    bad = 0
    for row in named:
        form = reader.offer(row) if bad <= MOST_BAD_ROWS else None
        bad += form is None
        if form is None and bad == MOST_BAD_ROWS + 1:
            message = f"{MOST_BAD_ROWS} rows above have mistakes; those below this one are not read"
            place = next(iter(row.values())).place
            reader.notes.add("too-large", message, place, "mend the first ones, and check the list again")
        yield form


@dataclass(frozen=True, slots=True)
class RowReader:
    """How the rows of one list are read."""

    decimal_mark: str
    currency: Currency
    notes: Notes

    def offer(self, row: Row) -> OfferForm | None:
        """The offer of a row, or None with the reasons noted."""
        from pydantic import ValidationError

        values = {name: self._value(name, cell) for name, cell in row.items() if cell.value.strip()}
        entries = Entries(next(iter(row.values())).place)
        for name, value in values.items():
            if value is None:
                return None
            entries.put(text_at(name, row[name].place), value)
        try:
            return OfferForm.model_validate(entries, context=self.currency)
        except ValidationError as error:
            note_problems(error, entries, OfferForm, self.notes)
            return None

    def _value(self, name: str, cell: Cell) -> Node | None:
        text = with_point(cell, self.decimal_mark, self.notes) if name in NUMBERS else cell.value
        if text is None:
            return None
        return self._breaks(text, cell.place) if name == "price_breaks" else _text(text, cell.place)

    def _breaks(self, cell: str, place: Place) -> Items | None:
        """Price breaks from `5: 2.20; 10: 2.00`."""
        pairs = [part.partition(":") for part in cell.split(";")]
        for from_, colon, _ in pairs:
            if not colon:
                message = f"`{from_.strip()}` is not a price break"
                self.notes.add("bad-value", message, place, "write `from: price`, such as `5: 2.20; 10: 2.00`")
                return None
        return Items(place, [_break(from_, price, place) for from_, _, price in pairs])


def _break(from_: str, price: str, place: Place) -> Entries:
    fields = (("from", from_), ("price", price))
    return Entries(place, [(text_at(name, place), _text(value, place)) for name, value in fields])


def _text(value: str, place: Place) -> Node:
    """A cell's text, which never says by itself that there is no value: `NA` and `null` are words like others."""
    return text_at(value.strip(), place, plain=False)


MOST_MERGED = 1000
"""So many ranges of merged cells are told of; it is one remedy for all."""

POINT = "."
"""The decimal mark of what is written as text; a number has none until it is read."""


def read_price_sheet(path: Path, form: PriceListForm, currency: Currency, notes: Notes) -> PriceList:
    """The offers of a price list in a workbook."""
    sheet = read_sheet(path, form, notes)
    return UNREAD if sheet is None else _SheetReader(sheet, currency, notes).price_list()


class _SheetReader:
    """One sheet on its way to forms."""

    def __init__(self, sheet: Sheet, currency: Currency, notes: Notes) -> None:
        self.sheet, self.currency, self.notes, self.signs = sheet, currency, notes, money_signs()

    def price_list(self) -> PriceList:
        """The offers, less the rows in error; nothing where the sheet cannot be read as a table."""
        if not self.sheet.rows:
            self._add(
                "empty-file", "the sheet is empty", self.sheet.place(1, 1), "begin with `cut`, `pack` and `price`"
            )
            return UNREAD
        top, *below = sorted(self.sheet.rows)
        self._note_merged(top, [top, *below][-1])
        columns = self._columns(top)
        if not below:
            self._add("no-rows", "the sheet has a header and no rows", self._start(top), "add a row for each offer")
        if columns is None or not below:
            return UNREAD
        read = [self._row(number, columns) for number in below]
        whole = [row for row, sound in read if sound]
        lost = frozenset(folded(row["cut"].value) for row, sound in read if not sound)
        found = price_list(whole, RowReader(POINT, self.currency, self.notes), whole=len(whole) == len(read))
        return PriceList(found.offers, found.lost_names | lost, found.whole)

    def _columns(self, top: int) -> Mapping[int, str] | None:
        """The columns that the header names, by number; None where it cannot be read under."""
        cells = {column: self._cell(top, column) for column in sorted(self.sheet.rows[top])}
        if None in cells.values():
            return None
        names = column_names([cell for cell in cells.values() if cell], self.notes, "add it to the first row")
        return dict(zip(cells, names, strict=True)) if are_columns(names) else None

    def _row(self, number: int, columns: Mapping[int, str]) -> tuple[Row, bool]:
        """The row's cells by column, and whether all of them can be read; what stands under no heading is told."""
        for column in [column for column in self.sheet.rows[number] if column not in columns]:
            message = f"nothing in the header names column {letters(column)}"
            help_ = "name the column in the first row, or clear the cell"
            self._add("wrong-cell-count", message, self.sheet.place(number, column), help_)
        cells = {name: self._cell(number, column, name) for column, name in columns.items()}
        blank = Cell("", self._start(number))
        row = {name: cell or blank for name, cell in cells.items()}
        return row, None not in cells.values()

    def _cell(self, row: int, column: int, name: str = "") -> Cell | None:
        """The cell with its place; None, and noted, where it says nothing that can be read."""
        place, found = self.sheet.place(row, column), self.sheet.rows[row].get(column)
        shown, code = shown_beside(found.shown_as) if found else "", self.currency.code
        if name == "price" and (other := self.signs.other_money(shown, code)):
            message = f"this price is shown in `{other}`, and the scenario's currency is {code}"
            self._add("other-currency", message, place, f"write it in {code}, and show it so or as a mere number")
            return None
        text = "" if found is None else text_of(found, place, self.notes)
        return None if text is None else Cell(text, place)

    def _note_merged(self, top: int, last: int) -> None:
        """Refuse cells that were made one: what is said of the first does not stand in the others."""
        for one in self.sheet.merged[:MOST_MERGED]:
            if one.row <= last and one.last_row >= top:
                message = f"cells to {letters(one.last_column)}{one.last_row} were merged into this one"
                place = self.sheet.place(one.row, one.column)
                self._add("merged-cells", message, place, "split them, and write in each what is meant")

    def _start(self, row: int) -> Place:
        """The first cell of the row that says something."""
        return self.sheet.place(row, min(self.sheet.rows[row]))

    def _add(self, slug: str, message: str, place: Place, remedy: str) -> None:
        self.notes.add(slug, message, place, remedy)


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
    return _CsvReader(text, file, form, currency, notes).price_list()


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


class _CsvReader:
    """One price list on its way from text to forms."""

    def __init__(self, text: str, file: str, form: PriceListForm, currency: Currency, notes: Notes) -> None:
        self.text, self.file, self.form = text, file, form
        self.currency, self.notes = currency, notes

    def price_list(self) -> PriceList:
        """The offers, less the rows in error; nothing where the list cannot be read as a table."""
        if note_strange(self.text, self.file, self.notes) or not (separator := self._separator()):
            return UNREAD
        try:
            all_records = [
                record for record in records(self.text, self.file, separator, self.notes) if not record.blank
            ]
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
        rows = [record for record in all_records[1:] if self._complete(record, len(names))]
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
