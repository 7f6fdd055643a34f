"""Suppliers' own lists: which column is which, and what each row says in our terms.

Nothing is matched by likeness: a person says which column holds what, and which name is which cut.
"""

import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType

from raworder.reading.answers import NOWHERE, printable
from raworder.reading.catalogue import Catalogue
from raworder.reading.cell_tables import Cell, Record, use_decimal_point
from raworder.reading.currencies import money_signs, read_currency
from raworder.reading.fields import read_name
from raworder.reading.form import PriceListForm
from raworder.reading.list_tables import ForeignList
from raworder.reading.list_words import (
    HEADINGS,
    SOLD_HEADINGS,
    SOLD_OUT_HEADINGS,
    TICKS,
    heading_key,
    likely_decimal_mark,
    word_key,
)
from raworder.reading.located import Entries, text_at
from raworder.reading.names import fold_name
from raworder.reading.notes import Notes
from raworder.reading.pack_words import read_pack_words
from raworder.reading.price_lists import COLUMNS, NUMBERS, read_price_list
from raworder.reading.price_words import (
    Money,
    NotSoldNow,
    PriceWords,
    SoldColumn,
    check_two_prices,
    heading_basis,
    one_price,
    read_basis,
    read_price_words,
    says_sold_out,
)
from raworder.trade.findings import Place
from raworder.trade.supplier_list import ListedPack, ListRow, Standing
from raworder.trade.units import UnitError

WEIGHTS = ("g", "kg", "oz", "lb")
BASES = ("pack", "kg", "100 g", "lb", "oz")
"""What a price can be for."""

_IN_HEADING = re.compile(r"(?<![^\W_])(kg|g|oz|lb)(?![^\W_])")
_BARE = re.compile(r"[0-9][0-9.,]*")

NAMED_FIELDS = ("cut", "count", "pack", "price", "per", "second_price", "code", "sold", "group")
"""What a person can name a column for."""

PRICES = ("price", "second_price")


@dataclass(frozen=True, slots=True)
class Columns:
    """The column for each field of ours, and what the cells in them leave unsaid.

    `price_for` and `second_price_for` are what prices are for, `pack_unit` the unit of packs without one; the words
    are those of the column that says what is sold now.
    """

    by_field: Mapping[str, int]
    price_for: str = "pack"
    pack_unit: str = ""
    decimal: str = "."
    second_price_for: str = "pack"
    sold_words: Sequence[str] = ()
    not_sold_words: Sequence[str] = ()


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


def find_own_columns(table: ForeignList) -> Mapping[str, int]:
    """The columns whose headings are the names of our fields."""
    places = {name: table.column(name) for name in COLUMNS}
    return {name: place for name, place in places.items() if place is not None}


def find_checks(table: ForeignList, by_field: Mapping[str, int]) -> Mapping[str, int]:
    """Columns that may be used unasked, as they can only take rows out, and that for how many packs a case has.

    The others are the one that says what is sold now, and that with the price for something else than `price` has.
    """
    free = [place for place in range(len(table.headings)) if place not in by_field.values()]
    keys = {place: heading_key(table.headings[place]) for place in free}
    sold = [place for place in free if keys[place] in SOLD_HEADINGS | SOLD_OUT_HEADINGS]
    sold = sold or [place for place in free if keys[place] == "status"]
    mine = heading_basis(table.headings[by_field["price"]]) if "price" in by_field else ""
    other = [place for place in free if mine and heading_basis(table.headings[place]) not in {"", mine}]
    count = table.count_columns()
    counts = count[:1] if count[1:] == (by_field.get("pack"),) else ()
    found = {"sold": sold, "second_price": other if len(other) == 1 else [], "count": counts}
    return {name: places[0] for name, places in found.items() if places and name not in by_field}


def find_basis_column(table: ForeignList, by_field: Mapping[str, int]) -> int | None:
    """The column in which the list itself says for each price what it is for; None where it has none."""
    for place, heading in enumerate(table.headings):
        if place not in by_field.values() and heading_key(heading) in HEADINGS["per"]:
            texts = [cell.value for cell in table.cells(place) if cell.value.strip()]
            with suppress(UnitError):
                if [read_basis(text) for text in texts]:
                    return place
    return None


def list_decimal_mark(table: ForeignList, by_field: Mapping[str, int]) -> str:
    """The decimal mark of the list by all its numbers; empty where they leave it open."""
    places = [place for name, place in by_field.items() if name in NUMBERS or name in PRICES]
    return likely_decimal_mark(cell.value for place in places for cell in table.cells(place) if not cell.number)


def has_bare_packs(table: ForeignList, by_field: Mapping[str, int]) -> bool:
    """Whether any pack is a number without a unit."""
    return "pack" in by_field and any(_BARE.fullmatch(cell.value.strip()) for cell in table.cells(by_field["pack"]))


def has_bare_prices(table: ForeignList, by_field: Mapping[str, int], price: str = "price") -> bool:
    """Whether any price does not say what it is for."""
    texts = (cell.value for cell in table.cells(by_field[price]) if re.search("[0-9]", cell.value))
    return any(
        not re.search(r"(?i)(?:/|\bper\b|\bje\b|\bpro\b)\s*(?:[^\W\d_]|#|100)|(?:kg|lb|oz)\b", text) for text in texts
    )


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads the rows of one list."""

    columns: Columns
    money: Money
    sold: SoldColumn | None

    def row(self, record: Record, group: str) -> ListRow:
        """What a row says; one that cannot be read, or is not sold now, says why."""
        cells = {name: record.cells[place] for name, place in self.columns.by_field.items()}
        places = MappingProxyType({name: cell.place for name, cell in cells.items()})
        plain = ListRow(
            "",
            record.cells[0].place,
            group=" ".join(cells["group"].value.split()) if "group" in cells else group,
            raw=record.raw,
            places=places,
        )
        try:
            plain = replace(plain, name=_name(_text(cells.get("cut"))), place=cells["cut"].place)
            if code := _text(cells.get("code")):
                plain = replace(plain, code=_name(code))
            return self._offer(plain, cells, record)
        except UnitError as error:
            return replace(plain, standing=Standing.UNREAD, why=str(error), pack=self._pack_if_clear(cells))

    def _demand_no_note(self, record: Record) -> None:
        """Raise NotSoldNow where the name or a note on the row says that it is sold out."""
        of_column = self.columns.by_field.get("sold")
        for place, cell in enumerate(record.cells):
            if place != of_column and says_sold_out(cell.value):
                raise NotSoldNow(f"the row says `{' '.join(cell.value.split())}`")

    def _offer(self, row: ListRow, cells: Mapping[str, Cell], record: Record) -> ListRow:
        """The row with pack and price; of what is not sold now, as far as they can be read."""
        try:
            if self.sold is not None:
                self.sold.demand_sold(_text(cells.get("sold")))
            self._demand_no_note(record)
            return self._terms(row, cells)
        except NotSoldNow as says:
            row = replace(row, pack=self._pack_if_clear(cells))
            with suppress(UnitError, NotSoldNow):
                row = self._terms(row, cells)
            return replace(row, standing=Standing.NOT_NOW, why=str(says))

    def _terms(self, row: ListRow, cells: Mapping[str, Cell]) -> ListRow:
        """The row with pack and price; NotSoldNow where a word stands for the price."""
        words = self._price_words(cells)
        pack, per = self._pack(cells)
        price = self._one_price(words, pack, per, cells)
        if pack and pack.about and price.basis == "pack":
            pack = replace(pack, about=False, at_one_price=True)
        more = {name: _cell_text(name, cell, self.columns) for name, cell in cells.items() if name not in NAMED_FIELDS}
        filled = {name: text for name, text in more.items() if text}
        return replace(row, pack=pack, price=price.amount, basis=price.basis, more=MappingProxyType(filled))

    def _pack_if_clear(self, cells: Mapping[str, Cell]) -> ListedPack | None:
        """The pack of a row that is not offered, where it can be read."""
        with suppress(UnitError):
            return self._pack(cells)[0]
        return None

    def _pack(self, cells: Mapping[str, Cell]) -> tuple[ListedPack | None, str]:
        """The pack, and the unit by which it is sold where that stands in its place."""
        text = _text(cells.get("pack"))
        if not text:
            return None, ""
        said = read_pack_words(text, "." if cells["pack"].number else self.columns.decimal, self.columns.pack_unit)
        return said.pack and _counted(said.pack, _text(cells.get("count"))), said.per

    def _price_words(self, cells: Mapping[str, Cell]) -> Mapping[str, PriceWords]:
        """The prices that the row states; NotSoldNow where only words stand in their place."""
        found: dict[str, PriceWords] = {}
        words: list[NotSoldNow] = []
        for name in PRICES:
            if text := _text(cells.get(name)):
                try:
                    decimal = "." if cells[name].number else self.columns.decimal
                    found[name] = read_price_words(text, decimal, self.money)
                except NotSoldNow as says:
                    words.append(says)
        if words and not found:
            raise words[0]
        if not found:
            raise UnitError("it has no price", "")
        return found

    def _one_price(
        self, words: Mapping[str, PriceWords], pack: ListedPack | None, per: str, cells: Mapping[str, Cell]
    ) -> PriceWords:
        """The one price of a row; UnitError where two do not agree, or none can be counted with."""
        beside = _text(cells.get("per"))
        usual = {
            "price": (read_basis(beside) if beside else per) or self.columns.price_for,
            "second_price": self.columns.second_price_for,
        }
        prices: list[PriceWords] = []
        errors: list[UnitError] = []
        for name, said in words.items():
            try:
                prices.append(one_price(said, usual[name], pack, _text(cells[name])))
            except UnitError as error:
                errors.append(error)
        if not prices:
            raise errors[0]
        if len(prices) > 1:
            check_two_prices(prices[0], prices[1], pack, self.money.currency)
        return prices[0]


def _counted(pack: ListedPack, text: str) -> ListedPack:
    """The case of as many packs as the column for that says."""
    if text in {"", "1"}:
        return pack
    if not re.fullmatch("[1-9][0-9]{0,2}", text):
        raise UnitError(f"`{text}` counts no packs", "")
    return replace(pack, counts=(int(text), *pack.counts), written=f"{text} x {pack.written}")


def list_rows(table: ForeignList, columns: Columns, currency: str) -> tuple[ListRow, ...]:
    """What each row of the list says, in its order; rows with too many cells at the end."""
    heading = table.headings[columns.by_field["sold"]] if "sold" in columns.by_field else ""
    sold = None
    if heading:
        said = {word_key(cell.value) for cell in table.cells(columns.by_field["sold"])} - {""}
        sold = SoldColumn(heading, bool(said) and said <= TICKS, columns.sold_words, columns.not_sold_words)
    reader = _Reader(columns, Money(read_currency(currency), money_signs()), sold)
    groups = table.groups or ("",) * len(table.rows)
    rows = [reader.row(record, group) for record, group in zip(table.rows, groups, strict=True)]
    rows += [
        ListRow(
            "",
            record.cells[0].place,
            raw=record.raw,
            standing=Standing.UNREAD,
            why=f"it has {len(record.cells)} cells and the headings {len(table.headings)}",
        )
        for record in table.odd
    ]
    return tuple(rows)


def _name(text: str) -> str:
    """The text as a name; UnitError for one that no scenario may hold."""
    return str(read_name(text_at(printable(text), NOWHERE, plain=False)))


def _text(cell: Cell | None) -> str:
    """The text of a cell with single spaces; UnitError where it cannot be read."""
    if cell is not None and cell.unread:
        raise UnitError(cell.unread, "")
    return " ".join(cell.value.split()) if cell else ""


def _cell_text(name: str, cell: Cell, columns: Columns) -> str:
    """The text of the cell, a number with a point as its decimal mark; UnitError where that is unclear."""
    notes = Notes()
    text = use_decimal_point(cell, columns.decimal, notes) if name in NUMBERS and not cell.number else _text(cell)
    if text is None:
        raise UnitError(notes.all()[0].message, "")
    return _name(text) if name == "item" and text.strip() else " ".join(text.split())


def offer_fields(row: ListRow, cut: str) -> Mapping[str, str]:
    """The fields of the offer for our cut, with the list's own name as `item` where it differs."""
    fields = {} if fold_name(row.name) == fold_name(cut) or "item" in row.more else {"item": row.name}
    if row.pack:
        fields["pack"] = row.pack.weight
        fields |= {"up_to": row.pack.heaviest} if row.pack.heaviest else {}
    if row.price is not None:
        fields["price"] = f"{row.price}" if row.basis == "pack" else f"{row.price} per {row.basis}"
    return fields | ({"code": row.code} if row.code else {}) | dict(row.more)
