"""Rows of a foreign price list as fields of offers, once a person has said which column is which."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from raworder.reading.answers import NAME, PACK, PRICE, answered
from raworder.reading.csv_cells import Cell, Record
from raworder.reading.currencies import read_currency
from raworder.reading.currency_signs import MoneySigns, money_signs
from raworder.reading.decimals import decimal_mark, with_point
from raworder.reading.foreign_lists import WEIGHTS, ForeignList
from raworder.reading.names import folded
from raworder.reading.notes import Notes
from raworder.reading.price_rows import COLUMNS, NUMBERS
from raworder.units import Currency, UnitError

TOLD = ("cut", "pack", "price", "code")
"""The fields of an offer that a column of a foreign list can be said to hold."""

_PER = re.compile(r"\s*(?:/|\bper\b)\s*(?=(?:100 g|kg|lb|oz|pack)$)")
_BARE = re.compile(r"[0-9][0-9.,]*")
_WITH_UNIT = re.compile(r"(?P<number>[0-9][0-9.,]*)\s*(?P<unit>[A-Za-z]+)")


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
    return any(one and not _PER.search(folded(one)) for one in said)


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
    name = answered(said.pop("cut", ""), NAME)
    pack = _pack(said.pop("pack", ""), columns)
    price = _price(said.pop("price", ""), columns, money)
    if not pack and " per " not in price:
        raise UnitError("its price is for a pack, and what a pack weighs is not said", "")
    for one in ("item", "code"):
        if one in said:
            said[one] = answered(said[one], NAME)
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
        return answered(f"{said} {columns.pack_unit}", PACK)
    if (match := _WITH_UNIT.fullmatch(said)) and match["unit"].lower() in WEIGHTS:
        said = f"{match['number']} {match['unit'].lower()}"
    return answered(said, PACK)


def _price(said: str, columns: Columns, money: _Money) -> str:
    """The price with what it is for, without signs and code of the scenario's currency; others are refused."""
    plain = money.signs.without_own_money(said, money.currency.code)
    amount = _PER.sub(" per ", " ".join(plain.split())).strip()
    if amount and " per " not in amount and columns.price_for != "pack":
        amount = f"{amount} per {columns.price_for}"
    return answered(amount.removesuffix(" per pack"), PRICE, money.currency)


def renamed(offer: RowOffer, cut: str) -> Mapping[str, str]:
    """The fields of the offer as one of that cut, with the list's own name of it where that is another."""
    item = {} if folded(offer.name) == folded(cut) or "item" in offer.fields else {"item": offer.name}
    return {**item, **offer.fields}
