"""A supplier's own list read with its names file: the same rows for whoever asks, with no question."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from raworder.reading.catalogue import reference_catalogue
from raworder.reading.cell_tables import cell_text, read_row
from raworder.reading.currencies import money_signs
from raworder.reading.files import NamedFile
from raworder.reading.foreign_lists import (
    NAMED_FIELDS,
    PRICES,
    Columns,
    find_basis_column,
    find_checks,
    find_own_columns,
    has_bare_packs,
    has_bare_prices,
    heading_unit,
    list_decimal_mark,
    list_rows,
    offer_fields,
)
from raworder.reading.form import OfferForm, PriceListForm
from raworder.reading.list_tables import ForeignList, read_foreign_list
from raworder.reading.located import Node, Text, text_at
from raworder.reading.names import join_in_backticks
from raworder.reading.names_files import NameBook, read_names_file
from raworder.reading.notes import Notes
from raworder.reading.price_lists import UNREAD, PriceList, path_inside, refuse_useless_fields
from raworder.reading.price_words import heading_basis
from raworder.reading.reference import read_cuts
from raworder.trade.findings import Place
from raworder.trade.supplier_list import ListLayout, ListRow, Match, Standing, SupplierList, SupplierNames
from raworder.trade.units import Currency


def read_supplier_list(
    file: NamedFile,
    names: SupplierNames,
    currency: str,
    notes: Notes,
    cut_names: Collection[str] | None = None,
) -> SupplierList | None:
    """The rows of a supplier's list, each with what its names file says of it; None with the reasons noted.

    Nobody is asked: what the file leaves open about the layout is an error, and what nobody confirmed is `Match.NEW`.
    `cut_names` are the names, folded, that are cuts of ours by themselves: those of the reference table if not given.
    Findings about the file itself are told where it is named; `plain_file(path)` is one that nobody named in a file.
    """
    table = read_foreign_list(file, notes, names.layout)
    if table is None:
        return None
    columns = columns_of(table, names.layout, notes)
    if columns is None:
        return None
    known = reference_catalogue(read_cuts()).by_name if cut_names is None else cut_names
    return matched_list(table, columns, names, currency, known)


def matched_list(
    table: ForeignList, columns: Columns, names: SupplierNames, currency: str, cut_names: Collection[str]
) -> SupplierList:
    """The rows of a table, each with what the names say of it."""
    book = NameBook(names, cut_names)
    rows = tuple(book.matched(row) if row.name else row for row in list_rows(table, columns, currency))
    layout = layout_of(table, columns, names.layout)
    gone = tuple(book.gone(rows))
    return SupplierList(table.file, rows, table.day, names.supplier, gone, layout, table.unread)


def list_currencies(file: NamedFile, layout: ListLayout, notes: Notes) -> frozenset[str]:
    """The currencies that all money signs by a list's prices can mean, by their codes; none where it shows none."""
    table = read_foreign_list(file, notes, layout)
    if table is None:
        return frozenset()
    headings = [layout.columns[field] for field in PRICES if field in layout.columns]
    places = [place for heading in headings if (place := table.column(heading)) is not None]
    texts = [text for place in places for text in (table.headings[place], *(c.value for c in table.cells(place)))]
    signs = money_signs()
    # a cell of many has the same sign as the others, so that each is looked at once
    return signs.codes_in(" ".join({signs.money_in(text) for text in texts}))


def columns_of(table: ForeignList, layout: ListLayout, notes: Notes) -> Columns | None:
    """How the list is read; None, and noted, where the layout leaves open what no list says by itself."""
    by_field = dict(find_own_columns(table))
    for field, heading in layout.columns.items():
        place = table.column(heading)
        if place is None:
            help_ = f"its columns are {join_in_backticks(table.headings, 'and')}"
            where = heading.place if isinstance(heading, Text) else Place(table.file, 1, 1)
            notes.add("column-not-on-list", f"the list has not one column `{heading}`", where, help_)
            return None
        by_field[field] = place
    open_ = list(_open_points(table, layout, by_field))
    for what, field in open_:
        help_ = f"write `{field}` in its names file, or let `raworder start --from` ask"
        notes.add("list-not-described", f"nothing says {what}", Place(table.file, 1, 1), help_)
    return None if open_ else complete_columns(table, layout, by_field)


def _open_points(table: ForeignList, layout: ListLayout, by_field: Mapping[str, int]) -> Iterator[tuple[str, str]]:
    """What neither the layout nor the list says, with the field of the names file that says it."""
    missing = [field for field in ("cut", "price") if field not in by_field]
    yield from ((f"which column of this list holds the {field}", f"columns: {{{field}: ...}}") for field in missing)
    if missing:
        return
    if not (layout.decimal or list_decimal_mark(table, by_field)):
        yield "what the decimal mark of this list is", 'decimal: ","'
    has_basis = price_basis_of(table, layout, by_field) or basis_column_of(table, layout, by_field) is not None
    if not has_basis and has_bare_prices(table, by_field):
        yield f"what a price under `{table.headings[by_field['price']]}` is for", "price_per: pack"
    unit = layout.pack_unit or ("pack" in by_field and heading_unit(table.headings[by_field["pack"]]))
    if not unit and has_bare_packs(table, by_field):
        yield f"the unit of weights under `{table.headings[by_field['pack']]}`", "pack_unit: kg"


def price_basis_of(table: ForeignList, layout: ListLayout, by_field: Mapping[str, int]) -> str:
    """What a price is for that does not say, by the layout or the heading; empty where neither says."""
    heading = table.headings[by_field["price"]]
    is_ours = heading.casefold() == "price" and "cut" in map(str.casefold, table.headings)
    return layout.price_per or heading_basis(heading) or ("pack" if is_ours else "")


def basis_column_of(table: ForeignList, layout: ListLayout, by_field: Mapping[str, int]) -> int | None:
    """The column that says what each price is for; None where the layout or the heading says it, or nothing does."""
    if "per" in by_field:
        return by_field["per"]
    return None if price_basis_of(table, layout, by_field) else find_basis_column(table, by_field)


def complete_columns(
    table: ForeignList, layout: ListLayout, by_field: Mapping[str, int], without: Collection[str] = ()
) -> Columns:
    """The columns with all that layout and headings say, and those that can only take rows out, but for `without`."""
    checks = {field: place for field, place in find_checks(table, by_field).items() if field not in without}
    per = basis_column_of(table, layout, by_field) if "per" not in without else None
    named = {**by_field, **checks, **({} if per is None else {"per": per})}
    headings = {field: table.headings[place] for field, place in named.items()}
    return Columns(
        named,
        price_basis_of(table, layout, named) or "pack",
        layout.pack_unit or heading_unit(headings.get("pack", "")),
        layout.decimal or list_decimal_mark(table, named) or ".",
        layout.second_price_per or heading_basis(headings.get("second_price", "")) or "pack",
        layout.sold_words,
        layout.not_sold_words,
    )


def _shows_decimal_mark(table: ForeignList, by_field: Mapping[str, int]) -> bool:
    """Whether any pack or price is written with a mark: whole numbers say nothing of the next list's."""
    cells = (cell for field in ("pack", "price") if field in by_field for cell in table.cells(by_field[field]))
    return any(not cell.number and re.search("[0-9][.,][0-9]", cell.value) for cell in cells)


def layout_of(table: ForeignList, columns: Columns, layout: ListLayout) -> ListLayout:
    """The layout of the list with all that has been found out about it, but for what its headings say themselves."""
    headings = {field: table.headings[place] for field, place in columns.by_field.items() if field in NAMED_FIELDS}
    says_price = "per" in columns.by_field or heading_basis(headings["price"])
    says_unit = heading_unit(headings.get("pack", ""))
    return replace(
        layout,
        decimal=columns.decimal if _shows_decimal_mark(table, columns.by_field) else layout.decimal,
        columns=headings,
        price_per=layout.price_per if says_price or not has_bare_prices(table, columns.by_field) else columns.price_for,
        second_price_per="" if heading_basis(headings.get("second_price", "")) else layout.second_price_per,
        pack_unit=columns.pack_unit if not says_unit and has_bare_packs(table, columns.by_field) else layout.pack_unit,
    )


def read_named_list(  # noqa: PLR0913, PLR0917 - what a list is read with
    form: PriceListForm,
    folder: Path,
    currency: Currency,
    cut_names: Collection[str],
    notes: Notes,
    instead: Path | None = None,
) -> PriceList:
    """The offers of a list that a scenario names with its names file; what is left out of it is noted by kind.

    `instead` is the file that is read in its place, wherever it lies.
    """
    refuse_useless_fields(form, notes)
    path = instead or path_inside(form, "file", folder, notes)
    names_path = path_inside(form, "names", folder, notes)
    names = read_names_file(names_path, notes, form.at("names")) if names_path else None
    if path is None or names is None:
        return UNREAD
    said = {field: getattr(form, field) for field in ("separator", "decimal", "encoding") if form.says(field)}
    file = NamedFile(path, form.at("file"), form.file, form.sheet if form.says("sheet") else None)
    names = replace(names, layout=replace(names.layout, **said))
    found = read_supplier_list(file, names, currency.code, notes, cut_names)
    if found is None:
        return UNREAD
    offers, found = _offer_forms(found, currency)
    note_left_out(found, notes)
    return PriceList(offers, day=found.day)


def _offer_forms(found: SupplierList, currency: Currency) -> tuple[tuple[OfferForm, ...], SupplierList]:
    """The offers of the list as forms, and the list, in which a row that is no offer after all is not read."""
    forms: list[OfferForm] = []
    rows: list[ListRow] = []
    for row in found.rows:
        notes = Notes()
        if row.offered and (form := _offer_form(row, currency, notes)):
            forms.append(form)
        rows.append(replace(row, standing=Standing.UNREAD, why=notes.all()[0].message) if notes.refuse else row)
    return tuple(forms), replace(found, rows=tuple(rows))


def _offer_form(row: ListRow, currency: Currency, notes: Notes) -> OfferForm | None:
    """The offer of a row, each field at its cell; the cut where somebody confirmed it."""
    texts = {"cut": row.cut, **offer_fields(row, row.cut)}
    places = {**row.places, "cut": row.confirmed_at or row.place}
    fields: list[tuple[Text, Node]] = []
    for name, text in texts.items():
        place = places.get("pack" if name == "up_to" else name, row.place)
        fields.append((text_at(name, place), cell_text(text, place)))
    return read_row(OfferForm, row.place, fields, currency, notes)


MOST_NAMED, MOST_REASONS = 10, 3
"""How many rows a finding names, and of how many it says why; the rest are counted."""


def note_left_out(found: SupplierList, notes: Notes) -> None:
    """Warn of what the list has that is not offered, and of what it no longer has: one finding for each kind."""
    for slug, rows, what, words, help_ in _left_out(found.rows):
        if rows:
            notes.add(slug, f"{_count(len(rows), 'item')} {what}: {_some(words)}", rows[0].place, help_)
    if found.gone:
        words = [f"`{item.name}`, {item.cut}" for item in found.gone]
        message = f"{_count(len(found.gone), 'item')} of the names file no longer on the list: {_some(words)}"
        place = found.gone[0].place or Place(found.file, 1, 1)
        notes.add("gone-from-list", message, place, "ask whether it comes back; the names file may keep it")


def _left_out(rows: Sequence[ListRow]) -> Iterator[tuple[str, Sequence[ListRow], str, Sequence[str], str]]:
    """The kinds of rows that are not offered: slug, the rows, what they are, each in words, and the remedy."""
    unread = [row for row in rows if row.standing is Standing.UNREAD and row.match is not Match.NOT_FOR_DOGS]
    unread.sort(key=lambda row: row.match is not Match.CUT)  # those that somebody waits for first
    remedy = "ask the supplier, or write them as offers under `cuts`; others under `not_for_dogs` in the names file"
    yield "rows-not-read", unread, "cannot be read", _with_reasons(unread), remedy
    unsold = [row for row in rows if row.standing is Standing.NOT_NOW and row.match is Match.CUT]
    words = [f"`{row.name}`, {row.cut}" for row in unsold]
    yield "not-sold-now", unsold, "not sold now", words, "plan without, or ask when it is there again"
    renamed = [row for row in rows if row.match is Match.RENAMED and row.sold_now]
    words = [f"`{row.name}`, was `{row.known_as}`" for row in renamed]
    remedy = "confirm what it is now in the names file: a line of its own with `code`, `name` and `cut`"
    yield "code-reused", renamed, "with the code of something else", words, remedy
    new = [row for row in rows if row.match is Match.NEW and row.sold_now]
    remedy = "say which cut it is, or `not_for_dogs: yes`, in the names file, or let `raworder start --from` ask"
    yield "new-on-list", new, "that you have not named yet", [f"`{row.name}`" for row in new], remedy


def _with_reasons(rows: Sequence[ListRow]) -> list[str]:
    """The rows that cannot be read, the first few with the reason."""
    names = [f"`{row.name or row.raw}`" for row in rows]
    return [
        f"{name} ({row.why})" if place < MOST_REASONS else name
        for place, (name, row) in enumerate(zip(names, rows, strict=True))
    ]


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'s' * (number != 1)}"


def _some(words: Sequence[str]) -> str:
    """The first few, and how many more there are."""
    more = f"; and {len(words) - MOST_NAMED} more" if len(words) > MOST_NAMED else ""
    return "; ".join(words[:MOST_NAMED]) + more
