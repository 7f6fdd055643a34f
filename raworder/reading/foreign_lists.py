"""Price lists whose columns are not ours: their table as it stands, and what its headings say outright.

Nothing is matched by likeness: which column is which, and which name is which cut, a person says.
"""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from raworder.findings import Finding, Place
from raworder.reading.catalogue import Catalogue
from raworder.reading.characters import note_strange
from raworder.reading.csv_cells import BrokenCsvError, Cell, Record, records
from raworder.reading.currencies import read_currency
from raworder.reading.currency_signs import MoneySigns, money_signs
from raworder.reading.files import file_text
from raworder.reading.form import PriceListForm
from raworder.reading.names import closest, folded
from raworder.reading.notes import Notes
from raworder.reading.price_lists import SEPARATORS, read_price_list
from raworder.reading.sheets import Found, Sheet, shown_beside, text_of
from raworder.reading.text import Entries, Text, text_at
from raworder.reading.workbooks import is_workbook, read_sheet

WEIGHTS = ("g", "kg", "oz", "lb")
BASES = ("pack", "kg", "100 g", "lb", "oz")
"""What a price may be for."""

_IN_HEADING = re.compile(r"(?<![^\W_])(kg|g|oz|lb)(?![^\W_])")
_PER_HEADING = re.compile(r"(?:/|\bper |\bje |\bpro )\s*(100 g|kg|lb|oz|pack)\b")


@dataclass(frozen=True, slots=True)
class ForeignList:
    """The headings of a list and the rows below them; rows of another width are among `odd`."""

    file: str
    headings: tuple[str, ...]
    rows: tuple[Record, ...]
    odd: tuple[Record, ...] = ()
    unread: tuple[Finding, ...] = ()
    """What was told of cells that lie too far off to be read."""

    def column(self, heading: str) -> int | None:
        """The one column of that heading, whatever its case."""
        found = [place for place, one in enumerate(self.headings) if folded(one) == folded(heading)]
        return found[0] if len(found) == 1 else None

    def example(self, column: int) -> str:
        """The first cell of a column that says something."""
        return next((row.cells[column].value.strip() for row in self.rows if row.cells[column].value.strip()), "")

    def cells(self, column: int) -> tuple[Cell, ...]:
        """All cells of a column."""
        return tuple(row.cells[column] for row in self.rows)


def read_foreign_list(path: Path, notes: Notes, separator: str = "", encoding: str = "") -> ForeignList | None:
    """The table in a file, or None with the reasons noted; the first row of several cells heads it."""
    top = Place(path.as_posix(), 1, 1)
    found = _rows(path, top, notes, separator, encoding)
    if found is None:
        return None
    head = next((place for place, one in enumerate(found) if _filled(one) > 1), None)
    if head is None or not found[head + 1 :]:
        notes.add("no-rows", "the list has no row below a row of headings", top, "check what separates its cells")
        return None
    width, below = len(found[head].cells), found[head + 1 :]
    return ForeignList(
        path.as_posix(),
        tuple(cell.value.strip() for cell in found[head].cells),
        tuple(row for row in below if len(row.cells) == width),
        tuple(row for row in below if len(row.cells) != width),
        tuple(one for one in notes.all() if one.slug == "cells-not-read"),
    )


def _rows(path: Path, top: Place, notes: Notes, separator: str, encoding: str) -> list[Record] | None:
    """The rows of the file that say something, or None with the reason noted."""
    if is_workbook(path.name):
        return _sheet_rows(path, top, notes)
    text = file_text(path, top, notes, encoding)
    if text is None or note_strange(text, path.as_posix(), notes):
        return None
    notes.remember(path.as_posix(), text)
    try:
        return [one for one in _records(text, path, separator, notes) if not one.blank]
    except BrokenCsvError:
        return None


def _sheet_rows(path: Path, top: Place, notes: Notes) -> list[Record] | None:
    """The rows of a workbook's sheet, all as wide as the widest; None where a cell of it cannot be read."""
    sheet = read_sheet(path, PriceListForm.model_validate(Entries(top, [_file(path.name, top)])), notes)
    if sheet is None:
        return None
    width = max((max(row) for row in sheet.rows.values()), default=0)
    signs = money_signs()
    rows = [_sheet_row(sheet, number, width, signs, notes) for number in sorted(sheet.rows)]
    return None if notes.refuse else rows


def _sheet_row(sheet: Sheet, number: int, width: int, signs: MoneySigns, notes: Notes) -> Record:
    """One row of a sheet with its cells as text."""
    places = [sheet.place(number, column) for column in range(1, width + 1)]
    found = [sheet.rows[number].get(column) for column in range(1, width + 1)]
    texts = ["" if one is None else _shown(one, place, signs, notes) for one, place in zip(found, places, strict=True)]
    cells = tuple(Cell(text, place) for text, place in zip(texts, places, strict=True))
    return Record(cells, "; ".join(texts))


def _shown(found: Found, place: Place, signs: MoneySigns, notes: Notes) -> str:
    """What a cell says, with the money in which it is shown."""
    return f"{text_of(found, place, notes) or ''} {signs.money_in(shown_beside(found.shown_as))}".strip()


def _file(name: str, place: Place) -> tuple[Text, Text]:
    """The field of a price list that names its file."""
    return text_at("file", place), text_at(name, place)


def reads_as_ours(path: Path, folder: Path, currency: str, catalogue: Catalogue) -> bool:
    """Whether a scenario in the folder can name the list as it is: every row is read, and every cut is known."""
    place = Place("", 1, 1)
    try:
        inside = path.resolve().relative_to(folder.resolve())
    except ValueError:
        return False
    entries = Entries(place, [_file(inside.as_posix(), place)])
    notes = Notes()
    found = read_price_list(PriceListForm.model_validate(entries), folder, read_currency(currency), notes)
    return found.whole and not notes.refuse and all(catalogue.find(one.cut) for one in found.offers)


def unit_in(heading: str) -> str:
    """The one unit of weight that a heading says, if it says one.

    >>> unit_in("Gewicht (kg)"), unit_in("Gebinde"), unit_in("weight_g")
    ('kg', '', 'g')
    """
    found = set(_IN_HEADING.findall(folded(heading)))
    return found.pop() if len(found) == 1 else ""


def basis_in(heading: str) -> str:
    """What a heading says that its prices are for, if it says so.

    >>> basis_in("Preis/kg"), basis_in("Price per 100 g"), basis_in("Preis")
    ('kg', '100 g', '')
    """
    found = _PER_HEADING.search(folded(heading))
    return found[1] if found else ""


def suggestions(name: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Up to three cuts of ours whose names look like it."""
    return closest(name, catalogue.by_name)


def _filled(record: Record) -> int:
    return sum(bool(cell.value.strip()) for cell in record.cells)


def _records(text: str, path: Path, separator: str, notes: Notes) -> tuple[Record, ...]:
    """The records, cut where it was said, or where the first rows are cut into most cells."""
    found = separator.replace("tab", "\t") or _separator(text)
    if not found:
        message = "what separates the columns cannot be told"
        notes.add("separator-in-doubt", message, Place(path.as_posix(), 1, 1), "state it with `--separator`")
        raise BrokenCsvError
    return tuple(records(text, path.as_posix(), found, notes))


def _separator(text: str) -> str:
    """What cuts most lines into the same number of cells, outside quotes; nothing where two do alike."""
    lines = [re.sub(r'"[^"]*"', "", line) for line in text.split("\n") if line.strip()]
    even = {one: _evenly_cut(lines, one) for one in SEPARATORS}
    most = [one for one in SEPARATORS if even[one] == max(even.values()) > (0, 0)]
    return most[0] if len(most) == 1 else ""


def _evenly_cut(lines: Sequence[str], separator: str) -> tuple[int, int]:
    """In how many lines the separator stands equally often, and how often."""
    counts = Counter(line.count(separator) for line in lines if separator in line)
    return max(((lines_, often) for often, lines_ in counts.items()), default=(0, 0))
