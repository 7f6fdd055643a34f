"""What is asked about a price list whose columns and names are not ours: nothing is matched unless a person says so."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeVar

from raworder.dialogue import Dialogue, Question
from raworder.interview import checked

if TYPE_CHECKING:
    from raworder.reading.answers import Known
    from raworder.reading.foreign_lists import ForeignList
    from raworder.reading.list_offers import Columns, RowOffer
    from raworder.rendering.scenario_text import Draft, OwnCutDraft

Thing = TypeVar("Thing")

OWN, REST = "own", "rest"
"""What is typed to describe a cut of one's own, and to leave out all names that follow."""

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
        from raworder.reading.foreign_lists import reads_as_ours
        from raworder.rendering.scenario_text import SupplierDraft

        if reads_as_ours(list_path, self.path.parent, draft.currency, self.known.catalogue):
            inside = list_path.resolve().relative_to(self.path.parent.resolve())
            return replace(draft, suppliers=(*draft.suppliers, SupplierDraft(name, price_list=inside.as_posix())))
        table = self._table(talk, list_path)
        columns = self._columns(talk, table)
        return _Matching(self, talk, replace(draft)).draft(name, table, columns)

    def _table(self, talk: Dialogue, path: Path) -> "ForeignList":
        """The list's table; in a terminal it is asked how to read it where the file does not tell."""
        from raworder.reading.answers import one_word_of
        from raworder.reading.foreign_lists import read_foreign_list
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
            question = Question(f"{words}, {' or '.join(choices)}", None, f"--{what}", of_list=True)
            said[what] = talk.ask(question, partial(one_word_of, choices=choices))

    def _columns(self, talk: Dialogue, table: "ForeignList") -> "Columns":
        """Which column is which: by our own headings, by options, or as a person says."""
        from raworder.reading.list_offers import Columns, bare_packs, mark_of, own_columns

        by_field = {**own_columns(table), **self._columns_said(table)}
        none = [one for one, heading in self.said.columns.items() if not heading]
        if not {"cut", "price"} <= set(by_field):
            talk.say(_overview(table))
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

    question = Question(f"{words}, {' or '.join(choices)}", default, option, of_list=True)
    return talk.ask(question, lambda text: one_word_of(text, choices))


class _Matching:
    """The names of one list on their way to cuts of ours; what a person does not confirm is left out."""

    def __init__(self, interview: ListInterview, talk: Dialogue, draft: "Draft") -> None:
        from raworder.reading.names import folded

        self.interview, self.talk, self.before = interview, talk, draft
        self.known = interview.known
        self.folded: Callable[[str], str] = folded
        self.found = {folded(theirs): ours for theirs, ours in interview.said.matches.items()}
        self.rest_left_out = False

    def draft(self, name: str, table: "ForeignList", columns: "Columns") -> "Draft":
        """The draft with a supplier of that name and its offers, in the order of the list."""
        from raworder.reading.list_offers import renamed, row_offers
        from raworder.rendering.scenario_text import OfferDraft, SupplierDraft, UnreadRow

        rows = tuple(row_offers(table, columns, self.before.currency))
        self._matches_stand_in_the_list(rows)
        supplier = SupplierDraft(name)
        for one in rows:
            if one.why:
                supplier = replace(supplier, unread=(*supplier.unread, UnreadRow(one.line, one.row.raw, one.why)))
                continue
            cut = self._cut(one)
            offer = OfferDraft(cut, tuple(renamed(one, cut).items()), one.line)
            supplier = replace(supplier, offers=(*supplier.offers, offer))
        return replace(self.before, suppliers=(*self.before.suppliers, supplier))

    def _matches_stand_in_the_list(self, rows: "Sequence[RowOffer]") -> None:
        from raworder.reading.names import did_you_mean
        from raworder.units import UnitError

        names = {self.folded(one.name) for one in rows}
        for theirs in self.interview.said.matches:
            if self.folded(theirs) not in names:
                raise UnitError(f"the list names nothing `{theirs}`", did_you_mean(theirs, names, "check the name"))

    def _cut(self, one: "RowOffer") -> str:
        """The cut that a row is about: of that very name, or confirmed; nothing where neither."""
        if self.known.catalogue.find(one.name):
            return one.name
        theirs = self.folded(one.name)
        if theirs not in self.found:
            self.found[theirs] = "" if self.rest_left_out else self._confirmed(one)
        return self.found[theirs]

    def _confirmed(self, one: "RowOffer") -> str:
        from raworder.reading.foreign_lists import suggestions

        alike = suggestions(one.name, self.known.catalogue)
        self.talk.say(_name_shown(one, alike) if self.talk.asked(_WHICH) else "")
        said = self.talk.ask(_WHICH, lambda text: self._said(text, alike))
        if said == OWN:
            own = _own_cut(self.talk, self.before, one.name, self.interview)
            self.before = replace(self.before, own_cuts=(*self.before.own_cuts, own))
            return own.cut
        self.rest_left_out = said == REST
        return "" if said == REST else said

    def _said(self, text: str, alike: Sequence[str]) -> str:
        """The cut that a number or a name stands for; a name must be one of ours to the letter."""
        from raworder.units import UnitError

        if text.casefold() in {"", OWN, REST}:
            return text.casefold()
        if text.isascii() and text.isdigit():
            if not 1 <= int(text[:4]) <= len(alike):
                raise UnitError(
                    f"`{text}` stands for none of them", "type one of the numbers, or Enter to leave it out"
                )
            return alike[int(text) - 1]
        return self.known.cut(text)


_WHICH = Question("Number, name of a cut, `own`, `rest` or Enter", "", "--match", of_list=True)


def _name_shown(one: "RowOffer", alike: Sequence[str]) -> str:
    """A name of the list with what looks like it."""
    from raworder.rendering.clean import one_line

    offered = ", ".join(one.fields.values())
    lines = [f"  {place}  {name}" for place, name in enumerate(alike, 1)]
    none = "" if alike else "  no cut of ours has a name like it"
    return (
        "\n".join(
            (f"\nLine {one.line}: {one_line(one.name)} ({one_line(offered)}) is no cut of ours:", *lines, none)
        ).rstrip()
        + "\n"
    )


def _own_cut(talk: Dialogue, draft: "Draft", name: str, interview: ListInterview) -> "OwnCutDraft":
    """A cut of the person's own, described so that a scenario with it can be read."""
    from raworder.reading.answers import NAME, SHARE, answered, parts
    from raworder.rendering.scenario_text import OwnCutDraft

    def asked(words: str, read: Callable[[str], Thing], default: str | None = None) -> Thing:
        return talk.ask(Question(words, default, of_list=True), read)

    species = asked(
        "Its species, such as beef; several with commas",
        lambda text: tuple(answered(each, NAME) for each in text.split(",") if each.strip()),
    )
    kind = asked(
        "Its kind, such as neck, heart or mince (Enter: not said)",
        lambda text: answered(text, NAME) if text else "",
        "",
    )
    made = asked("Its parts as bought, such as muscle, liver, or muscle 88 %, bone 12 %", parts)

    def whole(text: str) -> "OwnCutDraft":
        own = OwnCutDraft(name, species, made, kind, answered(text, SHARE) if text else "")
        checked(replace(draft, own_cuts=(*draft.own_cuts, own)), interview.path)
        return own

    return asked("Its share of fat, such as 12 % (Enter: not known)", whole, "")
