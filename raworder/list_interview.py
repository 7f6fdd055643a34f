"""What is asked about a price list whose columns are not ours: which is which, a person says."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from raworder.dialogue import Dialogue, Question
from raworder.matching import Matching

if TYPE_CHECKING:
    from raworder.draft import Draft
    from raworder.reading.answers import Known
    from raworder.reading.foreign_lists import ForeignList
    from raworder.reading.list_offers import Columns

MOST_SHOWN = 60
"""A cell is shown with no more characters than that."""


@dataclass(frozen=True, slots=True)
class ListSaid:
    """What options have said of a list: headings by field, what prices are for, and cuts by names of the list."""

    columns: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    matches: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    price_per: str = ""
    pack_unit: str = ""
    decimal: str = ""
    separator: str = ""
    encoding: str = ""


@dataclass(frozen=True, slots=True)
class ListInterview:
    """How a list becomes a supplier of a draft: what was said of it, where the scenario is to be, what can be named."""

    said: ListSaid
    path: Path
    known: "Known"

    def __call__(self, talk: Dialogue, draft: "Draft", name: str, list_path: Path) -> "Draft":
        """The draft with the list's supplier, and the own cuts that were described for it."""
        from raworder.draft import SupplierDraft
        from raworder.reading.foreign_lists import reads_as_ours

        if reads_as_ours(list_path, self.path.parent, draft.currency, self.known.catalogue):
            inside = list_path.resolve().relative_to(self.path.parent.resolve())
            return replace(draft, suppliers=(*draft.suppliers, SupplierDraft(name, price_list=inside.as_posix())))
        table = self._table(talk, list_path)
        columns = self._columns(talk, table)
        matching = Matching(self.said.matches, self.known, self.path, talk, draft)
        return matching.draft(name, table, columns)

    def _table(self, talk: Dialogue, path: Path) -> "ForeignList":
        """The list's table; in a terminal it is asked how to read it where the file does not tell."""
        from raworder.reading.answers import one_word_of
        from raworder.reading.foreign_lists import read_foreign_list
        from raworder.reading.names import listed
        from raworder.reading.notes import Notes
        from raworder.units import UnitError

        said = {"separator": self.said.separator, "encoding": self.said.encoding}
        asked: dict[str, tuple[str, str, tuple[str, ...]]] = {
            "unreadable-text": ("encoding", f"{path.name} is not UTF-8 text; its encoding", ("cp1252", "latin-1")),
            "separator-in-doubt": ("separator", f"What stands between the cells of {path.name}", (",", ";", "tab")),
        }
        while True:
            notes = Notes()
            if table := read_foreign_list(path, notes, **said):
                return table
            first = notes.all()[0]
            what, words, choices = asked.get(first.slug, ("", "", ()))
            if not what or said[what]:
                raise UnitError(f"{path.name}, line {first.place.line}: {first.message}", first.help, first.slug)
            question = Question(f"{words}, {listed(choices)}", None, f"--{what}", of_list=True)
            said[what] = talk.ask(question, partial(one_word_of, choices=choices))

    def _columns(self, talk: Dialogue, table: "ForeignList") -> "Columns":
        """Which column is which: by our own headings, by options, or as a person says."""
        from raworder.reading.list_offers import Columns, bare_packs, mark_of, own_columns

        own = own_columns(table)
        by_field = {**own, **self._columns_said(table)}
        none = [one for one, heading in self.said.columns.items() if not heading]
        if not {"cut", "price"} <= set(own):
            talk.say(_overview(table) if talk.asked(_OF_LIST) else "")
            for one, words in _COLUMNS.items():
                if one not in by_field and one not in none:
                    _ask_column(talk, table, one, words, by_field)
        by_field = {one: place for one, place in by_field.items() if one not in none}
        decimal = (
            self.said.decimal or mark_of(table, by_field) or _chosen(talk, "Decimal mark", "--decimal", (".", ","))
        )
        columns = Columns(by_field, self._price_for(talk, table, by_field), "", decimal)
        if not bare_packs(table, by_field):
            return columns
        return replace(columns, pack_unit=self._pack_unit(talk, table.headings[by_field["pack"]]))

    def _columns_said(self, table: "ForeignList") -> Mapping[str, int]:
        from raworder.reading.names import listed
        from raworder.units import UnitError

        found: dict[str, int] = {}
        for one, heading in self.said.columns.items():
            if not heading and one in {"cut", "price"}:
                raise UnitError(f"`{one}` needs a column", f"its columns are {listed(table.headings, 'and')}")
            place = table.column(heading) if heading else -1
            if place is None:
                raise UnitError(
                    f"the list has not one column `{heading}`", f"its columns are {listed(table.headings, 'and')}"
                )
            found |= {one: place} if heading else {}
        return found

    def _price_for(self, talk: Dialogue, table: "ForeignList", by_field: Mapping[str, int]) -> str:
        """What the list's prices are for, where they do not say it themselves; in our own columns that is a pack."""
        from raworder.reading.foreign_lists import BASES, basis_in
        from raworder.reading.list_offers import bare_prices

        heading = table.headings[by_field["price"]]
        if self.said.price_per or not bare_prices(table, by_field):
            return self.said.price_per or "pack"
        if heading.casefold() == "price" and "cut" in map(str.casefold, table.headings):
            return "pack"
        return _chosen(talk, f"What is a price under `{heading}` for", "--price-per", BASES, basis_in(heading) or None)

    def _pack_unit(self, talk: Dialogue, heading: str) -> str:
        from raworder.reading.foreign_lists import WEIGHTS, unit_in

        said = self.said.pack_unit or unit_in(heading)
        return said or _chosen(talk, f"Unit of weight under `{heading}`", "--pack-unit", WEIGHTS)


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
"""What is asked for each field that a column may hold; the first two must be there."""


def _ask_column(talk: Dialogue, table: "ForeignList", one: str, words: str, by_field: dict[str, int]) -> None:
    """Ask which column holds a field, and keep the answer; a script must say what a pack is, and needs no code."""
    question = Question(words, "" if one in {"pack", "code"} else None, f"--column {one}=HEADING", of_list=True)
    if one == "pack" and not talk.asked(question):
        question = replace(question, default=None, option="--column pack=HEADING (or `pack=` where there is none)")
    place = talk.ask(question, lambda text: _place(text, table))
    if place is not None:
        by_field[one] = place


def _place(text: str, table: "ForeignList") -> int | None:
    """A column by its number or its heading; nothing where nothing is said."""
    from raworder.units import UnitError

    number = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0
    found = number - 1 if 1 <= number <= len(table.headings) else table.column(text)
    if text and found is None:
        raise UnitError(f"`{text}` is no column", f"type a number from 1 to {len(table.headings)}, or the heading")
    return found if text else None


def _overview(table: "ForeignList") -> str:
    """The headings, numbered, each with an example from below it."""
    from raworder.rendering.clean import one_line

    width = min(max(map(len, table.headings)), MOST_SHOWN)
    examples = [one_line(table.example(place))[:MOST_SHOWN] for place in range(len(table.headings))]
    numbered = enumerate(zip(table.headings, examples, strict=True), 1)
    lines = [f"  {number}  {one_line(heading):{width}}  {example}".rstrip() for number, (heading, example) in numbered]
    return "\n".join((f"\nThe columns of {Path(table.file).name}, each with an example:", *lines, ""))


def _chosen(talk: Dialogue, words: str, option: str, choices: Sequence[str], default: str | None = None) -> str:
    """One of a few words about a list."""
    from raworder.reading.answers import one_word_of
    from raworder.reading.names import listed

    question = Question(f"{words}, {listed(choices)}", default, option, of_list=True)
    return talk.ask(question, lambda text: one_word_of(text, choices))
