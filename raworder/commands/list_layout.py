"""The questions of `start --from` about the list itself: how its file is read, and which column is which."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from raworder.commands.interview import Dialogue, Question

if TYPE_CHECKING:
    from raworder.reading.foreign_lists import Columns
    from raworder.reading.list_tables import ForeignList
    from raworder.trade.supplier_list import ListLayout, SupplierList

MOST_SHOWN = 60
"""Characters of a cell that are shown at most."""


@dataclass(frozen=True, slots=True)
class ListOptions:
    """What options say about a list: headings by field, what prices are for, our cuts by the list's names or codes."""

    columns: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    matches: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    price_per: str = ""
    pack_unit: str = ""
    decimal: str = ""
    separator: str = ""
    encoding: str = ""
    sheet: str = ""
    names: Path | None = None


@dataclass(frozen=True, slots=True)
class LayoutInterview:
    """Finds out how a list is read: as options say, as its names file says, by its headings, or as a person answers.

    `is_known` is whether there is a names file: then only what it leaves open is asked.
    """

    options: ListOptions
    talk: Dialogue
    is_known: bool

    def over(self, layout: "ListLayout") -> "ListLayout":
        """The layout of the names file, with what options say instead."""
        headings = {name: heading for name, heading in self.options.columns.items() if heading}
        kept = {name: heading for name, heading in layout.columns.items() if name not in self.options.columns}
        return replace(
            layout,
            columns={**kept, **headings},
            price_per=self.options.price_per or layout.price_per,
            pack_unit=self.options.pack_unit or layout.pack_unit,
            decimal=self.options.decimal or layout.decimal,
            separator=self.options.separator or layout.separator,
            encoding=self.options.encoding or layout.encoding,
            sheet=self.options.sheet or layout.sheet,
        )

    def table(self, path: Path, layout: "ListLayout") -> "tuple[ForeignList, ListLayout]":
        """The list's table and how its file is read; what the file leaves open a person in a terminal is asked."""
        from raworder.reading.files import plain_file
        from raworder.reading.list_tables import read_foreign_list
        from raworder.reading.located import text_at
        from raworder.reading.notes import Notes
        from raworder.trade.units import UnitError

        while True:
            notes = Notes()
            file = plain_file(path)
            if self.options.sheet:
                file = replace(file, sheet=text_at(self.options.sheet, file.place))
            if table := read_foreign_list(file, notes, layout):
                return table, layout
            first = notes.all()[0]
            if first.slug == "unknown-sheet" and not self.options.sheet:
                layout = replace(layout, sheet="")
                continue
            option, question, choices = _file_question(first.slug, first.message, path.name)
            question = question if self.talk.is_put(question) else replace(question, default=None)
            if not option or getattr(layout, option):
                raise UnitError(f"{path.name}, line {first.place.line}: {first.message}", first.help, first.slug)
            answer = self.talk.ask(question, partial(_read_choice, choices=choices))
            said: dict[str, Any] = {option: answer}
            layout = replace(layout, **said)

    def columns(self, table: "ForeignList", layout: "ListLayout") -> "Columns":
        """Which column holds what, and what the cells leave unsaid."""
        from raworder.reading import foreign_lists as lists
        from raworder.reading.named_lists import basis_column_of, complete_columns, price_basis_of

        by_field = {**lists.find_own_columns(table), **self._given_columns(table, layout)}
        without = [name for name, heading in self.options.columns.items() if not heading]
        gone = [name for name in layout.columns if name not in by_field]
        if gone:
            self._ask_columns(table, by_field, [name for name in _COLUMNS if name not in gone])
            layout = _without_what_was_said_of(gone, layout)
        elif not self.is_known and not {"cut", "price"} <= set(lists.find_own_columns(table)):
            self._ask_columns(table, by_field, without)
        for name in [name for name in ("cut", "price") if name not in by_field]:
            _ask_column(self.talk, table, name, by_field)
        by_field = {name: place for name, place in by_field.items() if name not in without}
        if not (layout.decimal or lists.list_decimal_mark(table, by_field)):
            layout = replace(layout, decimal=_ask_choice(self.talk, "Decimal mark", "--decimal", (".", ",")))
        per = None if layout.price_per or "per" in without else basis_column_of(table, layout, by_field)
        if per is not None:
            by_field["per"] = per
        elif not price_basis_of(table, layout, by_field) and lists.has_bare_prices(table, by_field):
            layout = replace(layout, price_per=self._price_basis(table.headings[by_field["price"]]))
        heading = table.headings[by_field["pack"]] if "pack" in by_field else ""
        if not (layout.pack_unit or lists.heading_unit(heading)) and lists.has_bare_packs(table, by_field):
            layout = replace(layout, pack_unit=self._pack_unit(heading))
        return complete_columns(table, layout, by_field, without)

    def confirm_packs(self, listed: "SupplierList") -> None:
        """Show how cases and catch weights are read, once for each list; UnitError where a person says no."""
        from raworder.reading.answers import yes_or_no
        from raworder.rendering.clean import one_line
        from raworder.trade.units import UnitError

        packs = [row.pack for row in listed.rows if row.pack and row.pack.is_in_our_words]
        lines = tuple(dict.fromkeys(f"  {one_line(pack.written)}: {pack.told}" for pack in packs))
        question = Question("Are they read right?", "yes", of_list=True)
        if self.is_known or not packs or not self.talk.is_put(question):
            return
        more = (f"  and {len(lines) - MOST_PACKS} more",) if len(lines) > MOST_PACKS else ()
        self.talk.say("\n".join(("\nPacks of this list, in our words:", *lines[:MOST_PACKS], *more, "")))
        if not self.talk.ask(question, yes_or_no):
            raise UnitError("the packs of this list mean something else", "write its offers under `cuts` yourself")

    def _ask_columns(self, table: "ForeignList", by_field: dict[str, int], without: Sequence[str]) -> None:
        """Ask for each column that is still open, with what its heading proposes."""
        self.talk.say(_overview(table) if self.talk.is_put(_OF_LIST) else "")
        proposed = table.proposed_columns()
        for word in _COLUMNS:
            if word not in by_field and word not in without:
                _ask_column(self.talk, table, word, by_field, proposed.get(word))

    def _given_columns(self, table: "ForeignList", layout: "ListLayout") -> Mapping[str, int]:
        from raworder.reading.names import join_in_backticks
        from raworder.trade.units import UnitError

        places: dict[str, int] = {}
        help_ = f"its columns are {join_in_backticks(table.headings, 'and')}"
        for name, heading in layout.columns.items():
            place = table.column(heading)
            is_asked = name in _COLUMNS and name not in self.options.columns and self.talk.is_put(_OF_LIST)
            if place is None and not is_asked:
                raise UnitError(f"the list has not one column `{heading}`", help_)
            places |= {} if place is None else {name: place}
        for name, heading in self.options.columns.items():
            if not heading and name in {"cut", "price"}:
                raise UnitError(f"`{name}` needs a column", help_)
        return places

    def _price_basis(self, heading: str) -> str:
        from raworder.reading.foreign_lists import BASES

        words = f"What is a price under `{heading}` for, where it does not say"
        return _ask_choice(self.talk, words, "--price-per", BASES)

    def _pack_unit(self, heading: str) -> str:
        from raworder.reading.foreign_lists import WEIGHTS

        return _ask_choice(self.talk, f"Unit of weight under `{heading}`", "--pack-unit", WEIGHTS)


MOST_PACKS = 12
"""How many packs are shown in our words at most."""


def _file_question(slug: str, message: str, name: str) -> tuple[str, Question, tuple[str, ...]]:
    """The option that settles how a file is read, with its question and choices; empty where none does."""
    from raworder.reading.names import join_in_backticks

    sheets = tuple(message.split("`")[1::2]) if slug == "sheet-in-doubt" else ()
    encodings = ("cp1252", "latin-1")
    known: dict[str, tuple[str, str, tuple[str, ...], str | None]] = {
        "unreadable-text": ("encoding", f"{name} is not UTF-8 text; its encoding", encodings, encodings[0]),
        "separator-in-doubt": ("separator", f"What stands between the cells of {name}", (",", ";", "tab"), None),
        "sheet-in-doubt": ("sheet", f"The sheet of {name}", sheets, None),
    }
    option, words, choices, default = known.get(slug, ("", "", (), None))
    said = f"{words}, {join_in_backticks(choices)}" if choices else ""
    return option, Question(said, default, f"--{option}", of_list=True), choices


_OF_LIST = Question("", of_list=True)
"""Any question about a list."""

_COLUMNS: Mapping[str, str] = MappingProxyType(
    {
        "cut": "Column with the name of what is sold",
        "price": "Column with the price",
        "pack": "Column with the weight of a pack (Enter: none, all is sold by weight)",
        "code": "Column with the supplier's code (Enter: none)",
    }
)
"""The question for each field that a column may hold; cut and price are needed."""


def _without_what_was_said_of(gone: Sequence[str], layout: "ListLayout") -> "ListLayout":
    """The layout without what need not be true of the columns in the place of those that are gone."""
    unsaid: dict[str, Any] = {_SAID_OF[name]: "" for name in gone if name in _SAID_OF}
    return replace(layout, **unsaid)


_SAID_OF: Mapping[str, str] = MappingProxyType({"price": "price_per", "pack": "pack_unit"})
"""What a names file says of a column beside its heading."""

NONE = "none"
"""Typed where no column holds what is asked for, and a heading is proposed."""


def _ask_column(
    talk: Dialogue, table: "ForeignList", name: str, by_field: dict[str, int], proposed: int | None = None
) -> None:
    """Ask which column holds a field, and keep the answer; a script must name the pack's, but not the code's.

    What a heading proposes is taken by Enter; a script is never given it.
    """
    words = _COLUMNS[name]
    question = Question(words, "" if name in {"pack", "code"} else None, f"--column {name}=HEADING", of_list=True)
    if proposed is not None and talk.is_put(question):
        plain, bracket, _ = words.partition(" (")
        hint = f" (`{NONE}` if there is none)" if bracket else ""
        question = replace(question, words=plain + hint, default=table.headings[proposed])
    if name == "pack" and not talk.is_put(question):
        question = replace(question, default=None, option="--column pack=HEADING (or `pack=` where there is none)")
    place = talk.ask(question, lambda text: _read_column(text, table))
    if place is not None:
        by_field[name] = place


def _read_column(text: str, table: "ForeignList") -> int | None:
    """The place of a column by its number, from 1, or its heading; None for no answer."""
    from raworder.trade.units import UnitError

    if text.casefold() == NONE and table.column(text) is None:
        return None
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0
    place = number - 1 if 1 <= number <= len(table.headings) else table.column(text)
    if text and place is None:
        raise UnitError(f"`{text}` is no column", f"type a number from 1 to {len(table.headings)}, or the heading")
    return place if text else None


def _overview(table: "ForeignList") -> str:
    """The headings, numbered, each with an example from below it."""
    from raworder.rendering.clean import one_line

    width = min(max(map(len, table.headings)), MOST_SHOWN)
    examples = [one_line(table.example(place))[:MOST_SHOWN] for place in range(len(table.headings))]
    numbered = enumerate(zip(table.headings, examples, strict=True), 1)
    lines = [f"  {number}  {one_line(heading):{width}}  {example}".rstrip() for number, (heading, example) in numbered]
    return "\n".join((f"\nThe columns of {Path(table.file).name}, each with an example:", *lines, ""))


def _read_choice(text: str, choices: Sequence[str]) -> str:
    from raworder.reading.answers import read_choice

    return read_choice(text, choices)


def _ask_choice(talk: Dialogue, words: str, option: str, choices: Sequence[str]) -> str:
    """Ask for one of a few words about a list."""
    from raworder.reading.answers import read_choice
    from raworder.reading.names import join_in_backticks

    question = Question(f"{words}, {join_in_backticks(choices)}", None, option, of_list=True)
    return talk.ask(question, lambda text: read_choice(text, choices))
