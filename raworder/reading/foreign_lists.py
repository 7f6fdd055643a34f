"""Price lists whose columns are not ours: their table, what its headings say outright, and the offers of its rows.

Nothing is matched by likeness: which column is which, and which name is which cut, a person says.
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from raworder.reading.answers import NAME, PACK, PRICE, check_answer
from raworder.reading.catalogue import Catalogue
from raworder.reading.cell_tables import SEPARATORS, Cell, Record, decimal_mark, open_table, rows_of_csv, with_point
from raworder.reading.characters import note_forbidden
from raworder.reading.files import NamedFile
from raworder.reading.form import PriceListForm
from raworder.reading.located import Entries, text_at
from raworder.reading.names import closest, fold_name
from raworder.reading.notes import Notes
from raworder.reading.price_lists import COLUMNS, NUMBERS, read_price_list
from raworder.reading.reference import MoneySigns, money_signs, read_currency
from raworder.reading.workbooks import Found, Sheet, shown_beside, text_of
from raworder.trade.findings import Finding, Place
from raworder.trade.units import Currency, UnitError

WEIGHTS = ("g", "kg", "oz", "lb")
BASES = ("pack", "kg", "100 g", "lb", "oz")
"""What a price may be for."""

_IN_HEADING = re.compile(r"(?<![^\W_])(kg|g|oz|lb)(?![^\W_])")
_PER_HEADING = re.compile(r"(?:/|\bper |\bje |\bpro )\s*(100 g|kg|lb|oz|pack)\b")

TOLD = ("cut", "pack", "price", "code")
"""The fields of an offer that a column of a foreign list can be said to hold."""

_PER = re.compile(r"\s*(?:/|\bper\b)\s*(?=(?:100 g|kg|lb|oz|pack)$)")
_BARE = re.compile(r"[0-9][0-9.,]*")
_WITH_UNIT = re.compile(r"(?P<number>[0-9][0-9.,]*)\s*(?P<unit>[A-Za-z]+)")


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
        found = [place for place, name in enumerate(self.headings) if fold_name(name) == fold_name(heading)]
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
    head = next((place for place, record in enumerate(found) if _filled(record) > 1), None)
    if head is None or not found[head + 1 :]:
        notes.add("no-rows", "the list has no row below a row of headings", top, "check what separates its cells")
        return None
    width, below = len(found[head].cells), found[head + 1 :]
    return ForeignList(
        path.as_posix(),
        tuple(cell.value.strip() for cell in found[head].cells),
        tuple(row for row in below if len(row.cells) == width),
        tuple(row for row in below if len(row.cells) != width),
        tuple(finding for finding in notes.all() if finding.slug == "cells-not-read"),
    )


def _rows(path: Path, top: Place, notes: Notes, separator: str, encoding: str) -> list[Record] | None:
    """The rows of the file that say something, or None with the reason noted."""
    content = open_table(NamedFile(path, top, path.name, encoding=encoding), notes)
    if isinstance(content, Sheet):
        return _sheet_rows(content, notes)
    if content is None or note_forbidden(content, path.as_posix(), notes):
        return None
    separates = separator.replace("tab", "\t") or _separator(content)
    if not separates:
        notes.add("separator-in-doubt", "what separates the columns cannot be told", top, "state it with `--separator`")
        return None
    return rows_of_csv(content, path.as_posix(), separates, notes)


def _sheet_rows(sheet: Sheet, notes: Notes) -> list[Record] | None:
    """The rows of a workbook's sheet, all as wide as the widest; None where a cell of it cannot be read."""
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


def reads_as_ours(path: Path, folder: Path, currency: str, catalogue: Catalogue) -> bool:
    """Whether a scenario in the folder can name the list as it is: every row is read, and every cut is known."""
    place = Place("", 1, 1)
    try:
        inside = path.resolve().relative_to(folder.resolve())
    except ValueError:
        return False
    entries = Entries(place, [(text_at("file", place), text_at(inside.as_posix(), place))])
    notes = Notes()
    found = read_price_list(PriceListForm.model_validate(entries), folder, read_currency(currency), notes)
    return found.whole and not notes.refuse and all(catalogue.find(offer.cut) for offer in found.offers)


def unit_in(heading: str) -> str:
    """The one unit of weight that a heading says, if it says one.

    >>> unit_in("Gewicht (kg)"), unit_in("Gebinde"), unit_in("weight_g")
    ('kg', '', 'g')
    """
    found = set(_IN_HEADING.findall(fold_name(heading)))
    return found.pop() if len(found) == 1 else ""


def basis_in(heading: str) -> str:
    """What a heading says that its prices are for, if it says so.

    >>> basis_in("Preis/kg"), basis_in("Price per 100 g"), basis_in("Preis")
    ('kg', '100 g', '')
    """
    found = _PER_HEADING.search(fold_name(heading))
    return found[1] if found else ""


def suggestions(name: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Up to three cuts of ours whose names look like it."""
    return closest(name, catalogue.by_name)


def _filled(record: Record) -> int:
    return sum(bool(cell.value.strip()) for cell in record.cells)


def _separator(text: str) -> str:
    """What cuts most lines into the same number of cells, outside quotes; nothing where two do alike."""
    lines = [re.sub(r'"[^"]*"', "", line) for line in text.split("\n") if line.strip()]
    even = {separator: _evenly_cut(lines, separator) for separator in SEPARATORS}
    most = [separator for separator in SEPARATORS if even[separator] == max(even.values()) > (0, 0)]
    return most[0] if len(most) == 1 else ""


def _evenly_cut(lines: Sequence[str], separator: str) -> tuple[int, int]:
    """In how many lines the separator stands equally often, and how often."""
    counts = Counter(line.count(separator) for line in lines if separator in line)
    return max(((lines_, often) for often, lines_ in counts.items()), default=(0, 0))


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column is which by field of ours, what a price is for, and the unit of packs that say none."""

    by_field: Mapping[str, int]
    price_for: str = "pack"
    pack_unit: str = ""
    decimal: str = "."


@dataclass(frozen=True, slots=True)
class _Money:
    """The scenario's currency, and the signs of all."""

    currency: Currency
    signs: MoneySigns


@dataclass(frozen=True, slots=True)
class RowOffer:
    """What a row offers under the list's own name of it, or why it cannot be read."""

    row: Record
    name: str = ""
    fields: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    why: str = ""

    @property
    def line(self) -> int:
        """Its line in the list."""
        return self.row.cells[0].place.line


def own_columns(table: ForeignList) -> Mapping[str, int]:
    """The columns that are headed by the very name of a field of ours."""
    found = {name: table.column(name) for name in COLUMNS}
    return {name: place for name, place in found.items() if place is not None}


def mark_of(table: ForeignList, by_field: Mapping[str, int]) -> str:
    """The list's decimal mark; nothing where its numbers do not tell."""
    cells = [cell for name, place in by_field.items() if name in NUMBERS for cell in table.cells(place)]
    return decimal_mark(cells, Notes()) or ""


def bare_packs(table: ForeignList, by_field: Mapping[str, int]) -> bool:
    """Whether some pack is a number without a unit."""
    return "pack" in by_field and any(_BARE.fullmatch(cell.value.strip()) for cell in table.cells(by_field["pack"]))


def bare_prices(table: ForeignList, by_field: Mapping[str, int]) -> bool:
    """Whether some price does not say what it is for."""
    said = (cell.value.strip() for cell in table.cells(by_field["price"]))
    return any(name and not _PER.search(fold_name(name)) for name in said)


def row_offers(table: ForeignList, columns: Columns, currency: str) -> Iterator[RowOffer]:
    """What each row offers, in the order of the list."""
    money = _Money(read_currency(currency), money_signs())
    for row in table.rows:
        try:
            yield _offer(row, columns, money)
        except UnitError as error:
            yield RowOffer(row, why=str(error))
    for row in table.odd:
        yield RowOffer(row, why=f"it has {len(row.cells)} cells and the headings {len(table.headings)}")


def _offer(row: Record, columns: Columns, money: _Money) -> RowOffer:
    cells = {name: row.cells[place] for name, place in columns.by_field.items()}
    said = {name: _text(name, cell, columns) for name, cell in cells.items() if cell.value.strip()}
    name = check_answer(said.pop("cut", ""), NAME)
    pack = _pack(said.pop("pack", ""), columns)
    price = _price(said.pop("price", ""), columns, money)
    if not pack and " per " not in price:
        raise UnitError("its price is for a pack, and what a pack weighs is not said", "")
    for number in ("item", "code"):
        if number in said:
            said[number] = check_answer(said[number], NAME)
    first = {"pack": pack, "price": price} if pack else {"price": price}
    return RowOffer(row, name, {**first, **said})


def _text(name: str, cell: Cell, columns: Columns) -> str:
    """The cell with a point for its decimal mark where it holds a number."""
    notes = Notes()
    text = with_point(cell, columns.decimal, notes) if name in NUMBERS else cell.value
    if text is None:
        raise UnitError(notes.all()[0].message, "")
    return " ".join(text.split())


def _pack(said: str, columns: Columns) -> str:
    """The weight of a pack; a unit in capitals is that unit, and a bare number has the unit that was told."""
    if not said:
        return ""
    if _BARE.fullmatch(said):
        return check_answer(f"{said} {columns.pack_unit}", PACK)
    if (match := _WITH_UNIT.fullmatch(said)) and match["unit"].lower() in WEIGHTS:
        said = f"{match['number']} {match['unit'].lower()}"
    return check_answer(said, PACK)


def _price(said: str, columns: Columns, money: _Money) -> str:
    """The price with what it is for, without signs and code of the scenario's currency; others are refused."""
    plain = money.signs.without_own_money(said, money.currency.code)
    amount = _PER.sub(" per ", " ".join(plain.split())).strip()
    if amount and " per " not in amount and columns.price_for != "pack":
        amount = f"{amount} per {columns.price_for}"
    return check_answer(amount.removesuffix(" per pack"), PRICE, money.currency)


def renamed(offer: RowOffer, cut: str) -> Mapping[str, str]:
    """The fields of the offer as one of that cut, with the list's own name of it where that is another."""
    item = {} if fold_name(offer.name) == fold_name(cut) or "item" in offer.fields else {"item": offer.name}
    return {**item, **offer.fields}
