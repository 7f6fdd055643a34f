"""Our own price lists: a CSV file or a sheet, row by row as forms of offers, every cell with its place."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from raworder.reading.cell_tables import (
    Cell,
    cell_text,
    decimal_mark,
    is_complete,
    likely_separators,
    note_strange_columns,
    open_table,
    read_row,
    rows_of_csv,
    use_decimal_point,
)
from raworder.reading.characters import note_forbidden
from raworder.reading.currencies import money_signs
from raworder.reading.files import NamedFile
from raworder.reading.form import OfferForm, PriceListForm
from raworder.reading.located import Entries, Items, Node, Text, text_at
from raworder.reading.names import fold_name
from raworder.reading.notes import Notes
from raworder.reading.workbooks import Sheet, format_text, is_workbook, letters, sheet_cell_text
from raworder.trade.findings import Place
from raworder.trade.units import Currency

COLUMNS = tuple(field.alias or name for name, field in OfferForm.model_fields.items() if name != "analysis")
"""The fields of an offer that one cell can hold."""

NUMBERS = frozenset(
    {"pack", "up_to", "price", "step", "least", "available", "most_per_order", "bone", "fat", "piece", "price_breaks"}
)
"""Columns that hold numbers."""

REQUIRED = ("cut", "price")

MOST_ROWS = 12_000
"""How many rows of a list are read; each takes about 300 us until it is an offer that has been checked."""

MOST_BAD_ROWS = 2_000
"""After this many rows in error no more are read, as each may have a mistake in every cell."""

MOST_MERGED = 1000
"""Ranges of merged cells that are noted at most; the remedy is the same for all."""

POINT = "."
"""The decimal mark of text in a workbook; a number there has none until it is written out."""

HEAD_FIRST = "begin with a header, such as `cut,pack,price`"

Row = Mapping[str, Cell]


@dataclass(frozen=True, slots=True)
class PriceList:
    """The offers that could be read, the folded names of cuts in rows that could not, and the list's own day."""

    offers: tuple[OfferForm, ...] = ()
    lost_names: frozenset[str] = frozenset()
    whole: bool = True
    day: date | None = None


UNREAD = PriceList(whole=False)


@dataclass(frozen=True, slots=True)
class _Table:
    """The rows of a list by column, with their decimal mark; `lost` are cuts in rows that cannot be read."""

    rows: Sequence[Row]
    decimal_mark: str
    whole: bool
    lost: frozenset[str] = frozenset()


def read_price_list(
    form: PriceListForm, folder: Path, currency: Currency, notes: Notes, instead: Path | None = None
) -> PriceList:
    """The offers of a price list that a scenario names; it must lie in the scenario's folder or below.

    `instead` is the file that is read in its place, wherever it lies.
    """
    path = instead or path_inside(form, "file", folder, notes)
    refuse_useless_fields(form, notes)
    file = NamedFile(path, form.at("file"), form.file, form.sheet, form.encoding or "") if path else None
    content = open_table(file, notes) if file else None
    if file is None or content is None:
        return UNREAD
    if isinstance(content, Sheet):
        table = _SheetReader(content, currency, notes).table()
    else:
        table = _TextReader(content, file.path.as_posix(), form, notes).table()
    return UNREAD if table is None else _price_list(table, currency, notes)


def refuse_useless_fields(form: PriceListForm, notes: Notes) -> None:
    """Refuse fields that mean nothing for a file of this kind."""
    in_workbook = is_workbook(form.file)
    kind, strange = ("an XLSX", ("separator", "decimal", "encoding")) if in_workbook else ("a CSV", ("sheet",))
    for field in strange:
        if form.says(field):
            notes.add("not-for-this-file", f"{kind} file has no `{field}`", form.key_at(field), "take it out")


def path_inside(form: PriceListForm, field: str, folder: Path, notes: Notes) -> Path | None:
    """The path that a field names; None, and noted, where it leads out of the folder."""
    name = str(getattr(form, field))
    path = folder / name
    try:
        inside = path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):
        inside = False
    if not inside:
        message = f"`{name}` is outside the scenario's folder"
        notes.add("price-list-outside", message, form.at(field), "put the list beside the scenario or below it")
    return path if inside else None


def _column_names(header: Sequence[Cell], notes: Notes, if_missing: str) -> tuple[str, ...] | None:
    """The columns that a header names; None, and noted, where rows cannot be read under them.

    `if_missing` is the remedy for a column that is missing.
    """
    names = tuple(fold_name(cell.value) for cell in header)
    if not set(names) & set(COLUMNS):
        help_ = "begin with a header, such as `cut`, `pack` and `price`"
        notes.add("missing-column", "the first row names no column", header[0].place, help_)
        return None
    is_strange = note_strange_columns(header, COLUMNS, "price list", notes)
    missing = [name for name in REQUIRED if name not in names]
    for name in missing:
        notes.add("missing-column", f"the price list has no column `{name}`", header[0].place, if_missing)
    return None if is_strange or missing else names


class _TextReader:
    """Turns a list in CSV into rows."""

    def __init__(self, text: str, file: str, form: PriceListForm, notes: Notes) -> None:
        self.text, self.file, self.form, self.notes = text, file, form, notes

    def table(self) -> _Table | None:
        """The complete rows; None, and noted, where the list cannot be read as a table."""
        if note_forbidden(self.text, self.file, self.notes) or not (separator := self._separator()):
            return None
        records = rows_of_csv(self.text, self.file, separator, self.notes)
        if records is None:
            return None
        if not records:
            self._add("empty-file", "the price list says nothing", Place(self.file, 1, 1), HEAD_FIRST)
            return None
        header, *below = records
        if len(below) > MOST_ROWS:
            place, help_ = below[MOST_ROWS].cells[0].place, "take out what no dog is to be fed"
            self._add("too-large", f"the list has more than {MOST_ROWS} rows", place, help_)
            return None
        names = _column_names(header.cells, self.notes, "add it, and check what separates the columns")
        whole = [row.cells for row in below if is_complete(row, len(header.cells), self.notes)]
        if not below:
            place, help_ = header.cells[0].place, "add a row for each offer"
            self._add("no-rows", "the list has a header and no rows", place, help_)
        return self._name_columns(names, whole, len(below)) if names and whole else None

    def _name_columns(self, names: Sequence[str], rows: Sequence[Sequence[Cell]], row_count: int) -> _Table | None:
        """The rows under the names of their columns; None, and noted, where their decimal mark is in doubt."""
        by_column = [dict(zip(names, row, strict=True)) for row in rows]
        numbers = [cell for row in by_column for name, cell in row.items() if name in NUMBERS]
        mark = self.form.decimal or decimal_mark(numbers, self.notes)
        return None if mark is None else _Table(by_column, mark, len(rows) == row_count)

    def _separator(self) -> str | None:
        """The separator: as stated, else the one that cuts the header into most columns; None with the reason noted."""
        top, likely = Place(self.file, 1, 1), likely_separators(self.text)
        if not likely:
            self._add("empty-file", "the price list is empty", top, HEAD_FIRST)
            return None
        if self.form.separator:
            return self.form.separator.replace("tab", "\t")
        if len(likely) > 1:
            help_ = 'state it: `price_list: {file: ..., separator: ";"}`'
            self._add("separator-in-doubt", "what separates the columns cannot be told", top, help_)
            return None
        return likely[0]

    def _add(self, slug: str, message: str, place: Place, remedy: str) -> None:
        self.notes.add(slug, message, place, remedy)


class _SheetReader:
    """Turns a list in a workbook into rows."""

    def __init__(self, sheet: Sheet, currency: Currency, notes: Notes) -> None:
        self.sheet, self.currency, self.notes, self.signs = sheet, currency, notes, money_signs()

    def table(self) -> _Table | None:
        """The rows that can be read; None, and noted, where the sheet cannot be read as a table."""
        if not self.sheet.rows:
            self._add(
                "empty-file", "the sheet is empty", self.sheet.place(1, 1), "begin with `cut`, `pack` and `price`"
            )
            return None
        top, *below = sorted(self.sheet.rows)
        self._note_merged(top, [top, *below][-1])
        columns = self._columns(top)
        if not below:
            self._add("no-rows", "the sheet has a header and no rows", self._start(top), "add a row for each offer")
        if columns is None or not below:
            return None
        read = [self._row(number, columns) for number in below]
        whole = [row for row, sound in read if sound]
        lost = frozenset(fold_name(row["cut"].value) for row, sound in read if not sound)
        return _Table(whole, POINT, len(whole) == len(read), lost)

    def _columns(self, top: int) -> Mapping[int, str] | None:
        """The columns that the header names, by number; None where rows cannot be read under it."""
        cells = {column: self._cell(top, column) for column in sorted(self.sheet.rows[top])}
        if None in cells.values():
            return None
        names = _column_names([cell for cell in cells.values() if cell], self.notes, "add it to the first row")
        return dict(zip(cells, names, strict=True)) if names else None

    def _row(self, number: int, columns: Mapping[int, str]) -> tuple[Row, bool]:
        """The cells of a row by column, and whether all could be read; cells under no heading are noted."""
        for column in [column for column in self.sheet.rows[number] if column not in columns]:
            message = f"nothing in the header names column {letters(column)}"
            help_ = "name the column in the first row, or clear the cell"
            self._add("wrong-cell-count", message, self.sheet.place(number, column), help_)
        cells = {name: self._cell(number, column, name) for column, name in columns.items()}
        blank = Cell("", self._start(number))
        row = {name: cell or blank for name, cell in cells.items()}
        return row, None not in cells.values()

    def _cell(self, row: int, column: int, name: str = "") -> Cell | None:
        """The cell with its place; None, and noted, where it cannot be read."""
        place, cell = self.sheet.place(row, column), self.sheet.rows[row].get(column)
        shown, code = format_text(cell.shown_as) if cell else "", self.currency.code
        if name == "price" and (other := self.signs.other_money(shown, code)):
            message = f"this price is shown in `{other}`, and the scenario's currency is {code}"
            self._add("other-currency", message, place, f"write it in {code}, and show it so or as a mere number")
            return None
        text = "" if cell is None else sheet_cell_text(cell, place, self.notes)
        return None if text is None else Cell(text, place)

    def _note_merged(self, top: int, last: int) -> None:
        """Refuse merged cells, as only the first of them holds the value."""
        for cells in self.sheet.merged[:MOST_MERGED]:
            if cells.row <= last and cells.last_row >= top:
                message = f"cells to {letters(cells.last_column)}{cells.last_row} were merged into this one"
                place = self.sheet.place(cells.row, cells.column)
                self._add("merged-cells", message, place, "split them, and write in each what is meant")

    def _start(self, row: int) -> Place:
        """The place of the first filled cell of a row."""
        return self.sheet.place(row, min(self.sheet.rows[row]))

    def _add(self, slug: str, message: str, place: Place, remedy: str) -> None:
        self.notes.add(slug, message, place, remedy)


def _price_list(table: _Table, currency: Currency, notes: Notes) -> PriceList:
    """The offers of the rows that are not in error."""
    forms = tuple(_offers(table.rows, _RowReader(table.decimal_mark, currency, notes)))
    lost = {fold_name(row["cut"].value) for row, form in zip(table.rows, forms, strict=True) if form is None}
    offers = tuple(form for form in forms if form is not None)
    return PriceList(offers, table.lost | lost, whole=table.whole and len(offers) == len(forms))


def _offers(rows: Sequence[Row], reader: "_RowReader") -> Iterator[OfferForm | None]:
    """The offer of each row, None for one in error; after `MOST_BAD_ROWS` in error no more rows are read."""
    bad = 0
    for row in rows:
        form = reader.offer(row) if bad <= MOST_BAD_ROWS else None
        bad += form is None
        if form is None and bad == MOST_BAD_ROWS + 1:
            message = f"{MOST_BAD_ROWS} rows above have mistakes; those below this one are not read"
            place = next(iter(row.values())).place
            reader.notes.add("too-large", message, place, "mend the first ones, and check the list again")
        yield form


@dataclass(frozen=True, slots=True)
class _RowReader:
    """Reads the rows of one list."""

    decimal_mark: str
    currency: Currency
    notes: Notes

    def offer(self, row: Row) -> OfferForm | None:
        """The offer of a row, or None with the reasons noted."""
        fields: list[tuple[Text, Node]] = []
        is_sound = True
        for name, cell in row.items():
            if cell.value.strip():
                value = self._value(name, cell)
                is_sound = is_sound and value is not None
                fields += [(text_at(name, cell.place), value)] if value is not None else []
        start = next(iter(row.values())).place
        return read_row(OfferForm, start, fields, self.currency, self.notes) if is_sound else None

    def _value(self, name: str, cell: Cell) -> Node | None:
        text = use_decimal_point(cell, self.decimal_mark, self.notes) if name in NUMBERS else cell.value
        if text is None:
            return None
        return self._breaks(text, cell.place) if name == "price_breaks" else cell_text(text, cell.place)

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
    return Entries(place, [(text_at(name, place), cell_text(value, place)) for name, value in fields])
