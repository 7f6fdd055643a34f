"""Names files: what a person has confirmed about a supplier's lists, read with places, and found again on a list.

An item is known by its code, then by its name, and only where the name that was confirmed still stands beside the code:
suppliers use a code again for something else.
"""

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, ClassVar

from pydantic import Field, ValidationError

from raworder.reading.fields import Day, Name, YesNo
from raworder.reading.files import file_text
from raworder.reading.foreign_lists import BASES, WEIGHTS
from raworder.reading.form import DecimalMark, Encoding, Separator
from raworder.reading.form_fields import Form, note_problems, one_of
from raworder.reading.list_words import FILLERS, plain_words
from raworder.reading.located import locate
from raworder.reading.names import fold_name
from raworder.reading.notes import Notes
from raworder.reading.suggestions import name_meaning
from raworder.trade.findings import Place
from raworder.trade.supplier_list import ListLayout, ListRow, Match, NamedItem, SupplierNames

ENDING = ".names.yaml"
"""How the name of a names file ends."""


_WORD = re.compile(r"[^\W_]+")


class ColumnsForm(Form):
    """Which column of the list holds what, by its heading; one under two headings has both: `Preis je kg`."""

    noun: ClassVar[str] = "`columns`"
    cut: Name | None = Field(None, description="The name of what is sold.")
    code: Name | None = Field(None, description="The supplier's code.")
    count: Name | None = Field(None, description="How many packs a case has, where `pack` is one of them.")
    pack: Name | None = Field(None, description="What is bought as one.")
    price: Name | None = Field(None, description="The price.")
    per: Name | None = Field(None, description="What the price is for, where a column of its own says it.")
    second_price: Name | None = Field(None, description="The same price for something else, to check it against.")
    sold: Name | None = Field(None, description="Whether it is sold now.")
    group: Name | None = Field(None, description="The group that it belongs to.")


class NotForDogsForm(Form):
    """What no dog gets: whole groups of the list, and every name with one of these words."""

    noun: ClassVar[str] = "`not_for_dogs`"
    groups: tuple[Name, ...] = Field((), description="Groups of the list.")
    words: tuple[Name, ...] = Field((), description="Whole words in names.")


class ItemForm(Form):
    """An item of the list: a cut of ours, or not for dogs."""

    noun: ClassVar[str] = "an item"
    name: Name = Field(description="What the list calls it.")
    code: Name | None = Field(None, description="The supplier's code for it.")
    cut: Name | None = Field(None, description="The cut of ours that it is.")
    not_for_dogs: YesNo = Field(default=False, description="`yes` for what is never bought for dogs.")
    confirmed: Day | None = Field(None, description="The day on which somebody said so.")


class NamesForm(Form):
    """How a supplier's lists are read, and what its items are."""

    noun: ClassVar[str] = "a names file"
    supplier: Name | None = Field(None, description="Who sells.")
    encoding: Encoding | None = Field(None, description="Of a text file.")
    separator: Separator | None = Field(None, description="Between the cells of a text.")
    decimal: DecimalMark | None = Field(None, description="The decimal mark.")
    sheet: Name | None = Field(None, description="The sheet of a workbook.")
    columns: ColumnsForm | None = None
    price_per: Annotated[str, one_of(*BASES)] | None = Field(None, description="What a price is for.")
    second_price_per: Annotated[str, one_of(*BASES)] | None = Field(None, description="The same of the second price.")
    pack_unit: Annotated[str, one_of(*WEIGHTS)] | None = Field(None, description="The unit of packs without one.")
    sold_words: tuple[Name, ...] = Field((), description="What the column `sold` says of what is sold.")
    not_sold_words: tuple[Name, ...] = Field((), description="What it says of what is not.")
    not_for_dogs: NotForDogsForm | None = None
    items: tuple[ItemForm, ...] = Field((), description="What each item is.")


def read_names_file(path: Path, notes: Notes, named_at: Place | None = None) -> SupplierNames | None:
    """What a names file holds; None with the reasons noted, those about the file itself at `named_at`."""
    text = file_text(path, named_at or Place(path.as_posix(), 1, 1), notes)
    return None if text is None else read_names_text(text, path, notes)


def read_names_text(text: str, path: Path, notes: Notes) -> SupplierNames | None:
    """What the text of a names file holds; None with the reasons noted."""
    notes.remember(path.as_posix(), text)
    root = locate(text, path.as_posix(), notes, "a names file", "supplier: Northfold")
    if root is None:
        return None
    try:
        form = NamesForm.model_validate(root)
    except ValidationError as error:
        note_problems(error, root, NamesForm, notes)
        return None
    items = tuple(_item(item) for item in form.items if _says_one_thing(item, notes))
    if _note_contradictions(form.items, notes) or len(items) < len(form.items):
        return None
    never = form.not_for_dogs or NotForDogsForm()
    return SupplierNames(str(form.supplier or ""), _layout(form), items, tuple(never.groups), tuple(never.words))


def _layout(form: NamesForm) -> ListLayout:
    columns = {field: getattr(form.columns, field) for field in ColumnsForm.model_fields} if form.columns else {}
    return ListLayout(
        encoding=form.encoding or "",
        separator=form.separator or "",
        decimal=form.decimal or "",
        sheet=form.sheet or "",
        columns=MappingProxyType({field: heading for field, heading in columns.items() if heading}),
        price_per=form.price_per or "",
        second_price_per=form.second_price_per or "",
        pack_unit=form.pack_unit or "",
        sold_words=tuple(form.sold_words),
        not_sold_words=tuple(form.not_sold_words),
    )


def _item(form: ItemForm) -> NamedItem:
    place = form.at("cut" if form.cut else "name")
    return NamedItem(str(form.name), str(form.code or ""), str(form.cut or ""), form.confirmed, place)


def _says_one_thing(form: ItemForm, notes: Notes) -> bool:
    """Whether an item is a cut or not for dogs; if it is neither or both, that is noted."""
    if bool(form.cut) is not form.not_for_dogs:
        return True
    said = "both a cut and not for dogs" if form.cut else "neither a cut nor not for dogs"
    notes.add("cut-or-not", f"`{form.name}` is {said}", form.at("name"), "write `cut: ...` or `not_for_dogs: yes`")
    return False


def _note_contradictions(items: Sequence[ItemForm], notes: Notes) -> bool:
    """Whether items are written twice and not as the same; each is noted."""
    first: dict[tuple[str, frozenset[str]], ItemForm] = {}
    found = False
    for item in items:
        before = first.setdefault((fold_name(item.code or ""), name_key(item.name)), item)
        if fold_name(before.cut or "") != fold_name(item.cut or ""):
            where = f"first written at {before.place.line}:{before.place.column}"
            message = f"`{item.name}` is written twice, and not as the same"
            notes.add("named-twice", message, item.at("name"), "keep the one that is right", where)
            found = True
    return found


def name_key(name: str) -> frozenset[str]:
    """The words and numbers of a name, whatever their order, without those that change nothing about what it is.

    >>> name_key("Rinderherz, TK") == name_key("RINDERHERZ"), name_key("BF TRIM 85/15") == name_key("BF TRIM 50/50")
    (True, False)
    """
    words = frozenset(_WORD.findall(plain_words(name)))
    return words - FILLERS or words


class NameBook:
    """What a names file says of names and codes, and which names are cuts of ours by themselves."""

    def __init__(self, names: SupplierNames, cut_names: Collection[str]) -> None:
        self.names, self.cut_names = names, cut_names
        self.by_code: dict[str, list[NamedItem]] = {}
        self.by_name: dict[str, list[NamedItem]] = {}
        for item in names.items:
            self.by_name.setdefault(fold_name(item.name), []).append(item)
            if item.code:
                self.by_code.setdefault(fold_name(item.code), []).append(item)
        self.no_groups = frozenset(map(fold_name, names.no_groups))
        self.no_words = frozenset(map(plain_words, names.no_words))

    def matched(self, row: ListRow) -> ListRow:
        """The row with what is known of its name."""
        of_code = self.by_code.get(fold_name(row.code), []) if row.code else []
        for item in of_code:
            if name_key(item.name) == name_key(row.name):
                return _as(row, item)
        of_name = self.by_name.get(fold_name(row.name), [])
        if not of_code and len({fold_name(item.cut) for item in of_name}) == 1:
            return _as(row, of_name[-1])
        if fold_name(row.name) in self.cut_names:
            return replace(row, match=Match.CUT, cut=row.name)
        if of_code:
            return replace(row, match=Match.RENAMED, known_as=of_code[-1].name, confirmed_at=of_code[-1].place)
        if fold_name(row.group) in self.no_groups or self._has_no_word(row.name):
            return replace(row, match=Match.NOT_FOR_DOGS)
        return row

    def _has_no_word(self, name: str) -> bool:
        """Whether a word that is never for dogs stands in the name, by itself or within another."""
        if not self.no_words:
            return False
        said = " ".join(("", *_WORD.findall(plain_words(name)), ""))
        inside = plain_words(name_meaning(name).not_for_dogs)
        return inside in self.no_words or any(f" {word} " in said for word in self.no_words)

    def gone(self, rows: Sequence[ListRow]) -> Iterator[NamedItem]:
        """The cuts that were confirmed and that no row has any more, by code or name."""
        codes, names = {fold_name(row.code) for row in rows} - {""}, {fold_name(row.name) for row in rows}
        nameless = fold_name(" ".join(row.raw for row in rows if not row.name))
        for item in self.names.items:
            name = fold_name(item.name)
            if item.for_dogs and fold_name(item.code) not in codes and name not in names and name not in nameless:
                yield item


def _as(row: ListRow, item: NamedItem) -> ListRow:
    match = Match.CUT if item.for_dogs else Match.NOT_FOR_DOGS
    return replace(row, match=match, cut=item.cut, confirmed_at=item.place)
