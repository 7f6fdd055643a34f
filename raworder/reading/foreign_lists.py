"""Price lists with columns that are not ours: their table, what its headings say outright, and their offers.

Nothing is matched by likeness: a person says which column holds what, and which name is which cut.
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from raworder.reading.answers import NAME, PACK, PRICE, check_answer
from raworder.reading.catalogue import Catalogue
from raworder.reading.cell_tables import (
    SEPARATORS,
    Cell,
    Record,
    decimal_mark,
    open_table,
    rows_of_csv,
    use_decimal_point,
)
from raworder.reading.characters import note_forbidden
from raworder.reading.currencies import MoneySigns, money_signs, read_currency
from raworder.reading.files import NamedFile
from raworder.reading.form import PriceListForm
from raworder.reading.located import Entries, text_at
from raworder.reading.names import closest, fold_name
from raworder.reading.notes import Notes
from raworder.reading.price_lists import COLUMNS, NUMBERS, read_price_list
from raworder.reading.workbooks import Sheet, SheetCell, format_text, sheet_cell_text
from raworder.trade.findings import Finding, Place
from raworder.trade.units import Currency, UnitError

WEIGHTS = ("g", "kg", "oz", "lb")
BASES = ("pack", "kg", "100 g", "lb", "oz")
"""What a price can be for."""

_IN_HEADING = re.compile(r"(?<![^\W_])(kg|g|oz|lb)(?![^\W_])")
_PER_HEADING = re.compile(r"(?:/|\bper |\bje |\bpro )\s*(100 g|kg|lb|oz|pack)\b")

NAMED_FIELDS = ("cut", "pack", "price", "code")
"""The fields of an offer that a person can name a column for."""

_PER = re.compile(r"\s*(?:/|\bper\b)\s*(?=(?:100 g|kg|lb|oz|pack)$)")
_BARE = re.compile(r"[0-9][0-9.,]*")
_WITH_UNIT = re.compile(r"(?P<number>[0-9][0-9.,]*)\s*(?P<unit>[A-Za-z]+)")


@dataclass(frozen=True, slots=True)
class ForeignList:
    """The headings of a list and the rows below them; rows with another number of cells are in `odd`."""

    file: str
    headings: tuple[str, ...]
    rows: tuple[Record, ...]
    odd: tuple[Record, ...] = ()
    unread: tuple[Finding, ...] = ()
    """The findings about cells that lie too far out to be read."""

    def column(self, heading: str) -> int | None:
        """The place of the only column with that heading, in upper or lower case; None if there is none or several."""
        places = [place for place, name in enumerate(self.headings) if fold_name(name) == fold_name(heading)]
        return places[0] if len(places) == 1 else None

    def example(self, column: int) -> str:
        """The text of the first filled cell of a column."""
        return next((row.cells[column].value.strip() for row in self.rows if row.cells[column].value.strip()), "")

    def cells(self, column: int) -> tuple[Cell, ...]:
        """All cells of a column."""
        return tuple(row.cells[column] for row in self.rows)


def read_foreign_list(path: Path, notes: Notes, separator: str = "", encoding: str = "") -> ForeignList | None:
    """The table in a file; None with the reasons noted. Its headings are the first row with several filled cells."""
    top = Place(path.as_posix(), 1, 1)
    rows = _rows(path, top, notes, separator, encoding)
    if rows is None:
        return None
    head = next((place for place, record in enumerate(rows) if _count_filled(record) > 1), None)
    if head is None or not rows[head + 1 :]:
        notes.add("no-rows", "the list has no row below a row of headings", top, "check what separates its cells")
        return None
    width, below = len(rows[head].cells), rows[head + 1 :]
    return ForeignList(
        path.as_posix(),
        tuple(cell.value.strip() for cell in rows[head].cells),
        tuple(row for row in below if len(row.cells) == width),
        tuple(row for row in below if len(row.cells) != width),
        tuple(finding for finding in notes.all() if finding.slug == "cells-not-read"),
    )


def _rows(path: Path, top: Place, notes: Notes, separator: str, encoding: str) -> list[Record] | None:
    """The rows of the file that are not blank; None with the reason noted."""
    content = open_table(NamedFile(path, top, path.name, encoding=encoding), notes)
    if isinstance(content, Sheet):
        return _sheet_rows(content, notes)
    if content is None or note_forbidden(content, path.as_posix(), notes):
        return None
    delimiter = separator.replace("tab", "\t") or _guess_separator(content)
    if not delimiter:
        notes.add("separator-in-doubt", "what separates the columns cannot be told", top, "state it with `--separator`")
        return None
    return rows_of_csv(content, path.as_posix(), delimiter, notes)


def _sheet_rows(sheet: Sheet, notes: Notes) -> list[Record] | None:
    """The rows of a workbook's sheet, all as wide as the widest; None where a cell of it cannot be read."""
    width = max((max(row) for row in sheet.rows.values()), default=0)
    signs = money_signs()
    rows = [_sheet_row(sheet, number, width, signs, notes) for number in sorted(sheet.rows)]
    return None if notes.refuse else rows


def _sheet_row(sheet: Sheet, number: int, width: int, signs: MoneySigns, notes: Notes) -> Record:
    """One row of a sheet with its cells as text."""
    places = [sheet.place(number, column) for column in range(1, width + 1)]
    row = [sheet.rows[number].get(column) for column in range(1, width + 1)]
    texts = [
        "" if cell is None else _cell_with_money(cell, place, signs, notes)
        for cell, place in zip(row, places, strict=True)
    ]
    cells = tuple(Cell(text, place) for text, place in zip(texts, places, strict=True))
    return Record(cells, "; ".join(texts))


def _cell_with_money(cell: SheetCell, place: Place, signs: MoneySigns, notes: Notes) -> str:
    """The text of a cell, with the currency sign that its format shows."""
    return f"{sheet_cell_text(cell, place, notes) or ''} {signs.money_in(format_text(cell.shown_as))}".strip()


def reads_as_ours(path: Path, folder: Path, currency: str, catalogue: Catalogue) -> bool:
    """Whether a scenario in the folder can name the list as it is: all rows are read and all cuts known."""
    place = Place("", 1, 1)
    try:
        inside = path.resolve().relative_to(folder.resolve())
    except ValueError:
        return False
    entries = Entries(place, [(text_at("file", place), text_at(inside.as_posix(), place))])
    notes = Notes()
    price_list = read_price_list(PriceListForm.model_validate(entries), folder, read_currency(currency), notes)
    return price_list.whole and not notes.refuse and all(catalogue.find(offer.cut) for offer in price_list.offers)


def heading_unit(heading: str) -> str:
    """The unit of weight in a heading; empty where there is none or several.

    >>> heading_unit("Gewicht (kg)"), heading_unit("Gebinde"), heading_unit("weight_g")
    ('kg', '', 'g')
    """
    units = set(_IN_HEADING.findall(fold_name(heading)))
    return units.pop() if len(units) == 1 else ""


def heading_basis(heading: str) -> str:
    """What a heading says its prices are for; empty where it does not say.

    >>> heading_basis("Preis/kg"), heading_basis("Price per 100 g"), heading_basis("Preis")
    ('kg', '100 g', '')
    """
    match = _PER_HEADING.search(fold_name(heading))
    return match[1] if match else ""


def suggestions(name: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Up to three of our cuts with similar names."""
    return closest(name, catalogue.by_name)


def _count_filled(record: Record) -> int:
    return sum(bool(cell.value.strip()) for cell in record.cells)


def _guess_separator(text: str) -> str:
    """The separator that cuts most lines into the same number of cells, outside quotes; empty where two do equally."""
    lines = [re.sub(r'"[^"]*"', "", line) for line in text.split("\n") if line.strip()]
    even = {separator: _most_even(lines, separator) for separator in SEPARATORS}
    most = [separator for separator in SEPARATORS if even[separator] == max(even.values()) > (0, 0)]
    return most[0] if len(most) == 1 else ""


def _most_even(lines: Sequence[str], separator: str) -> tuple[int, int]:
    """The largest number of lines in which the separator occurs equally often, and how often it does."""
    counts = Counter(line.count(separator) for line in lines if separator in line)
    return max(((how_many, often) for often, how_many in counts.items()), default=(0, 0))


@dataclass(frozen=True, slots=True)
class Columns:
    """The column for each field of ours, what a price is for, the unit of packs without one, and the decimal mark."""

    by_field: Mapping[str, int]
    price_for: str = "pack"
    pack_unit: str = ""
    decimal: str = "."


@dataclass(frozen=True, slots=True)
class _Money:
    """The scenario's currency, and the signs of all currencies."""

    currency: Currency
    signs: MoneySigns


@dataclass(frozen=True, slots=True)
class RowOffer:
    """What a row offers, under the list's own name, or why the row cannot be read."""

    row: Record
    name: str = ""
    fields: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    why: str = ""

    @property
    def line(self) -> int:
        """Its line in the list."""
        return self.row.cells[0].place.line


def find_own_columns(table: ForeignList) -> Mapping[str, int]:
    """The columns whose headings are the names of our fields."""
    places = {name: table.column(name) for name in COLUMNS}
    return {name: place for name, place in places.items() if place is not None}


def list_decimal_mark(table: ForeignList, by_field: Mapping[str, int]) -> str:
    """The decimal mark of the list; empty where its numbers leave it open."""
    cells = [cell for name, place in by_field.items() if name in NUMBERS for cell in table.cells(place)]
    return decimal_mark(cells, Notes()) or ""


def has_bare_packs(table: ForeignList, by_field: Mapping[str, int]) -> bool:
    """Whether any pack is a number without a unit."""
    return "pack" in by_field and any(_BARE.fullmatch(cell.value.strip()) for cell in table.cells(by_field["pack"]))


def has_bare_prices(table: ForeignList, by_field: Mapping[str, int]) -> bool:
    """Whether any price does not say what it is for."""
    texts = (cell.value.strip() for cell in table.cells(by_field["price"]))
    return any(name and not _PER.search(fold_name(name)) for name in texts)


def row_offers(table: ForeignList, columns: Columns, currency: str) -> Iterator[RowOffer]:
    """What each row offers, in the order of the list."""
    money = _Money(read_currency(currency), money_signs())
    for row in table.rows:
        try:
            yield _read_offer(row, columns, money)
        except UnitError as error:
            yield RowOffer(row, why=str(error))
    for row in table.odd:
        yield RowOffer(row, why=f"it has {len(row.cells)} cells and the headings {len(table.headings)}")


def _read_offer(row: Record, columns: Columns, money: _Money) -> RowOffer:
    cells = {name: row.cells[place] for name, place in columns.by_field.items()}
    texts = {name: _cell_text(name, cell, columns) for name, cell in cells.items() if cell.value.strip()}
    name = check_answer(texts.pop("cut", ""), NAME)
    pack = _read_pack(texts.pop("pack", ""), columns)
    price = _read_price(texts.pop("price", ""), columns, money)
    if not pack and " per " not in price:
        raise UnitError("its price is for a pack, and what a pack weighs is not said", "")
    for number in ("item", "code"):
        if number in texts:
            texts[number] = check_answer(texts[number], NAME)
    first = {"pack": pack, "price": price} if pack else {"price": price}
    return RowOffer(row, name, {**first, **texts})


def _cell_text(name: str, cell: Cell, columns: Columns) -> str:
    """The text of the cell, a number with a point as its decimal mark; UnitError where that is unclear."""
    notes = Notes()
    text = use_decimal_point(cell, columns.decimal, notes) if name in NUMBERS else cell.value
    if text is None:
        raise UnitError(notes.all()[0].message, "")
    return " ".join(text.split())


def _read_pack(text: str, columns: Columns) -> str:
    """The weight of a pack; a unit may be in capitals, and a bare number gets the unit of the list."""
    if not text:
        return ""
    if _BARE.fullmatch(text):
        return check_answer(f"{text} {columns.pack_unit}", PACK)
    if (match := _WITH_UNIT.fullmatch(text)) and match["unit"].lower() in WEIGHTS:
        text = f"{match['number']} {match['unit'].lower()}"
    return check_answer(text, PACK)


def _read_price(text: str, columns: Columns, money: _Money) -> str:
    """The price with what it is for, without the signs of the scenario's currency; UnitError for any other currency."""
    plain = money.signs.without_own_money(text, money.currency.code)
    amount = _PER.sub(" per ", " ".join(plain.split())).strip()
    if amount and " per " not in amount and columns.price_for != "pack":
        amount = f"{amount} per {columns.price_for}"
    return check_answer(amount.removesuffix(" per pack"), PRICE, money.currency)


def offer_fields(offer: RowOffer, cut: str) -> Mapping[str, str]:
    """The fields of the offer for our cut, with the list's own name as `item` where it differs."""
    item = {} if fold_name(offer.name) == fold_name(cut) or "item" in offer.fields else {"item": offer.name}
    return {**item, **offer.fields}
