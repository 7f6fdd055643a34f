"""Receipts as files: the lines of what was bought, from YAML or CSV, each field with its place."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, ClassVar

from pydantic import Field, ValidationError

from raworder.reading.cell_tables import (
    NUMBER,
    Cell,
    Record,
    cell_text,
    is_complete,
    likely_separators,
    note_strange_columns,
    read_row,
    rows_of_csv,
    use_decimal_point,
)
from raworder.reading.characters import note_forbidden
from raworder.reading.fields import LARGEST_AMOUNT_G, Money, Name, weight_reader
from raworder.reading.form_fields import Form, TextField, count_from, note_problems
from raworder.reading.located import Entries, Items, Text, locate, text_at
from raworder.reading.names import fold_name
from raworder.reading.notes import Notes
from raworder.trade.findings import Place
from raworder.trade.units import Currency, read_grams

MOST_PACKS = 999_999
"""The most packs that a line can be about."""

NUMBERS = frozenset({"packs", "weight", "paid"})
"""Columns that hold numbers."""

REQUIRED = ("supplier", "cut")


def read_weighed(text: Text) -> Fraction:
    """What something weighed, which may be nothing."""
    return weight_reader(LARGEST_AMOUNT_G)(text) if read_grams(text) else Fraction(0)


Weight = Annotated[Fraction, TextField(read_weighed, {"type": "string"})]


class BoughtForm(Form):
    """One line of a receipt."""

    noun: ClassVar[str] = "a line of a receipt"
    supplier: Name = Field(description="Who sold it.")
    cut: Name = Field(description="The cut, by its name in the scenario.")
    item: Name | None = Field(None, description="What the supplier calls it, where several offers of the cut fit.")
    code: Name | None = Field(None, description="The supplier's code for it, where several offers of the cut fit.")
    packs: Annotated[int, count_from(0, MOST_PACKS)] | None = Field(None, description="How many packs; 0 for none.")
    weight: Weight | None = Field(None, description="What it weighs; of packs all together, where they were weighed.")
    paid: Money | None = Field(None, description="What was paid for it before sales tax; as on the list if not said.")


class ReceiptForm(Form):
    """What was bought, and what its delivery cost."""

    noun: ClassVar[str] = "a receipt"
    bought: tuple[BoughtForm, ...] = Field(description="What was bought, line by line.")
    delivery: dict[Name, Money] = Field({}, description="What each supplier charged for bringing it.")


COLUMNS = tuple(BoughtForm.model_fields)


@dataclass(frozen=True, slots=True)
class Lines:
    """What a receipt says, as far as it can be read; suppliers by the names as written."""

    bought: tuple[BoughtForm, ...] = ()
    delivery: tuple[tuple[Text, Decimal], ...] = ()


UNREAD = Lines()


def lines_of_yaml(text: str, file: str, currency: Currency, notes: Notes) -> Lines:
    """The lines of a receipt in YAML, less those in error, which are noted."""
    first = re.search(r"^[^\S\n]*([^#\s].*)", text, re.MULTILINE)
    if first is None:
        notes.add("empty-file", "the file says nothing", Place(file, 1, 1), "begin with `bought:`")
        return UNREAD
    if re.match(r"-\s|\[", first[1]):
        line, column = text.count("\n", 0, first.start(1)) + 1, first.start(1) - first.start() + 1
        message = "a receipt is a mapping of fields"
        notes.add("wrong-shape", message, Place(file, line, column), "write `bought:` above the list")
        return UNREAD
    root = locate(text, file, notes)
    return UNREAD if root is None else _lines_in(root, currency, notes)


def _lines_in(root: Entries, currency: Currency, notes: Notes) -> Lines:
    """The lines in a tree; where something is in error, each line by itself."""
    try:
        form = ReceiptForm.model_validate(root, context=currency)
    except ValidationError as error:
        note_problems(error, root, ReceiptForm, notes)
        nodes = root.get("bought")
        return Lines(tuple(_lines_without_errors(nodes, currency))) if isinstance(nodes, Items) else UNREAD
    return Lines(form.bought, tuple((name, paid) for name, paid in form.delivery.items() if isinstance(name, Text)))


def _lines_without_errors(nodes: Items, currency: Currency) -> Iterator[BoughtForm]:
    """The lines without an error."""
    for node in nodes:
        try:
            yield BoughtForm.model_validate(node, context=currency)
        except ValidationError:
            continue


def lines_of_csv(text: str, file: str, currency: Currency, notes: Notes) -> Lines:
    """The lines of a receipt in CSV, less the rows in error, which are noted."""
    return Lines(tuple(_Sheet(text, file, currency, notes).bought()))


@dataclass(frozen=True, slots=True)
class _Sheet:
    """One CSV file on its way from text to forms; a spreadsheet may have changed its separator and decimal mark."""

    text: str
    file: str
    currency: Currency
    notes: Notes

    def bought(self) -> Iterator[BoughtForm]:
        """The rows as forms."""
        likely = likely_separators(self.text)  # a comma first, where others cut the header alike
        if note_forbidden(self.text, self.file, self.notes) and likely:
            return
        found = rows_of_csv(self.text, self.file, likely[0], self.notes) if likely else []
        if not found:
            if found is not None:
                help_ = f"begin with the header `{','.join(COLUMNS)}`"
                self.notes.add("empty-file", "the file says nothing", Place(self.file, 1, 1), help_)
            return
        header, *rows = found
        names = self._header(header)
        if names is not None:
            if not rows:
                help_ = "write a row for all that was bought; `0` packs for what there was none of"
                self.notes.add("no-rows", "the receipt has a header and no rows", header.cells[0].place, help_)
            whole = [row for row in rows if is_complete(row, len(names), self.notes)]
            yield from self._forms(names, whole, likely[0])

    def _header(self, header: Record) -> tuple[str, ...] | None:
        """The names of the columns, if they can be used."""
        names = tuple(fold_name(cell.value) for cell in header.cells)
        missing = [name for name in REQUIRED if name not in names]
        for name in missing:
            help_ = f"begin with the header `{','.join(COLUMNS)}`"
            self.notes.add("missing-column", f"the receipt has no column `{name}`", header.cells[0].place, help_)
        is_strange = note_strange_columns(header.cells, COLUMNS, "receipt", self.notes)
        return None if missing or is_strange else names

    def _forms(self, names: Sequence[str], rows: Sequence[Record], separator: str) -> Iterator[BoughtForm]:
        """The rows as forms, those in error noted; a decimal comma can only be where no comma stands between cells."""
        named = [dict(zip(names, row.cells, strict=True)) for row in rows]
        numbers = [cell.value for row in named for name, cell in row.items() if name in NUMBERS]
        comma = separator != "," and any("," in number for text in numbers for number in NUMBER.findall(text))
        for row in named:
            fields = self._fields(row, "," if comma else ".")
            start = next(iter(row.values())).place
            form = read_row(BoughtForm, start, fields, self.currency, self.notes) if fields is not None else None
            if form is not None:
                yield form

    def _fields(self, row: dict[str, Cell], mark: str) -> list[tuple[Text, Text]] | None:
        """The cells that say something, by column; None at the first number with the wrong mark."""
        fields = []
        for name, cell in row.items():
            if cell.value.strip():
                text = use_decimal_point(cell, mark, self.notes) if name in NUMBERS else cell.value
                if text is None:
                    return None
                fields.append((text_at(name, cell.place), cell_text(text, cell.place)))
        return fields
