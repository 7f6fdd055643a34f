"""Price lists in workbooks: every row of a sheet as a form of an offer, every cell by its row, column and name."""

from collections.abc import Mapping
from pathlib import Path

from raworder.findings import Place
from raworder.reading.csv_cells import Cell
from raworder.reading.currency_signs import money_signs
from raworder.reading.form import PriceListForm
from raworder.reading.names import folded
from raworder.reading.notes import Notes
from raworder.reading.price_rows import UNREAD, PriceList, Row, RowReader, are_columns, column_names, price_list
from raworder.reading.sheets import Sheet, letters, shown_beside, text_of
from raworder.reading.workbooks import read_sheet
from raworder.units import Currency

MOST_MERGED = 1000
"""So many ranges of merged cells are told of; it is one remedy for all."""

POINT = "."
"""The decimal mark of what is written as text; a number has none until it is read."""


def read_price_sheet(path: Path, form: PriceListForm, currency: Currency, notes: Notes) -> PriceList:
    """The offers of a price list in a workbook."""
    sheet = read_sheet(path, form, notes)
    return UNREAD if sheet is None else _Reader(sheet, currency, notes).price_list()


class _Reader:
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
