"""Rows of a price list as forms of offers: cells as if they stood in a scenario, each with its place."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from raworder.findings import Place
from raworder.reading.csv_cells import Cell
from raworder.reading.decimals import with_point
from raworder.reading.form import OfferForm
from raworder.reading.names import did_you_mean, folded, listed
from raworder.reading.notes import Notes, Sought
from raworder.reading.problems import note_problems
from raworder.reading.text import Entries, Items, Node, text_at
from raworder.units import Currency

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
        pairs = [one.partition(":") for one in cell.split(";")]
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
