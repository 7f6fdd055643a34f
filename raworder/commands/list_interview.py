"""The questions of `start --from`: which column of a price list is which, and which of its names are cuts of ours."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeVar

from raworder.commands.interview import Dialogue, Question, check_draft

if TYPE_CHECKING:
    from raworder.reading.answers import KnownNames
    from raworder.reading.foreign_lists import Columns, ForeignList, RowOffer
    from raworder.trade.draft import Draft, OwnCutDraft


Thing = TypeVar("Thing")

OWN, REST = "own", "rest"
"""What is typed to describe a cut of one's own, and to leave out all names that follow."""

HOW = """
Names that are no cuts of ours: type the number or the name of the cut that one stands for, `own` to describe a cut of
your own, Enter to leave it out, or `rest` to leave out all that follow. What is left out is kept as a comment.
"""


class Matching:
    """The names of one list on their way to cuts of ours; what a person does not confirm is left out."""

    def __init__(
        self, said: Mapping[str, str], known: "KnownNames", path: Path, talk: Dialogue, draft: "Draft"
    ) -> None:
        from raworder.reading.names import fold_name

        self.said, self.known, self.path, self.talk, self.before = said, known, path, talk, draft
        self.folded: Callable[[str], str] = fold_name
        self.found = {fold_name(theirs): ours for theirs, ours in said.items()}
        self.rest_left_out = self.told_how = False

    def draft(self, name: str, table: "ForeignList", columns: "Columns") -> "Draft":
        """The draft with a supplier of that name and its offers, in the order of the list."""
        from raworder.reading.foreign_lists import renamed, row_offers
        from raworder.trade.draft import OfferDraft, SupplierDraft, UnreadRow

        rows = tuple(row_offers(table, columns, self.before.currency))
        self._matches_stand_in_the_list(rows)
        supplier = SupplierDraft(name)
        for row in rows:
            if row.why:
                supplier = replace(supplier, unread=(*supplier.unread, UnreadRow(row.line, row.row.raw, row.why)))
                continue
            cut = self._cut(row)
            offer = OfferDraft(cut, tuple(renamed(row, cut).items()), row.line)
            supplier = replace(supplier, offers=(*supplier.offers, offer))
        lost = tuple(UnreadRow(finding.place.line, finding.place.cell, finding.message) for finding in table.unread)
        supplier = replace(supplier, unread=(*supplier.unread, *lost))
        return replace(self.before, suppliers=(*self.before.suppliers, supplier))

    def _matches_stand_in_the_list(self, rows: "Sequence[RowOffer]") -> None:
        from raworder.reading.names import did_you_mean
        from raworder.trade.units import UnitError

        names = {self.folded(offer.name) for offer in rows}
        for theirs in self.said:
            if self.folded(theirs) not in names:
                raise UnitError(f"the list names nothing `{theirs}`", did_you_mean(theirs, names, "check the name"))

    def _cut(self, offer: "RowOffer") -> str:
        """The cut that a row is about: of that very name, or confirmed; nothing where neither."""
        if self.known.catalogue.find(offer.name):
            return offer.name
        theirs = self.folded(offer.name)
        if theirs not in self.found:
            self.found[theirs] = "" if self.rest_left_out else self._confirmed(offer)
        return self.found[theirs]

    def _confirmed(self, offer: "RowOffer") -> str:
        from raworder.reading.foreign_lists import suggestions

        alike = suggestions(offer.name, self.known.catalogue)
        if self.talk.asked(_WHICH):
            self.talk.say(("" if self.told_how else HOW) + _name_shown(offer, alike))
            self.told_how = True
        said = self.talk.ask(_WHICH, lambda text: self._meant(text, alike))
        if said == OWN:
            own = _own_cut(self.talk, self.before, offer.name, self.path)
            self.before = replace(self.before, own_cuts=(*self.before.own_cuts, own))
            return own.cut
        self.rest_left_out = said == REST
        return "" if said == REST else said

    def _meant(self, text: str, alike: Sequence[str]) -> str:
        """The cut that a number or a name stands for; a name must be one of ours to the letter."""
        from raworder.trade.units import UnitError

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


def _name_shown(offer: "RowOffer", alike: Sequence[str]) -> str:
    """A name of the list with what looks like it."""
    from raworder.rendering.clean import one_line

    offered = ", ".join(offer.fields.values())
    lines = [f"  {place}  {name}" for place, name in enumerate(alike, 1)]
    none = "" if alike else "  no cut of ours has a name like it"
    return (
        "\n".join(
            (f"\nLine {offer.line}: {one_line(offer.name)} ({one_line(offered)}) is no cut of ours:", *lines, none)
        ).rstrip()
        + "\n"
    )


def _own_cut(talk: Dialogue, draft: "Draft", name: str, path: Path) -> "OwnCutDraft":
    """A cut of the person's own, described so that a scenario with it can be read."""
    from raworder.reading.answers import NAME, SHARE, check_answer, read_parts
    from raworder.trade.draft import OwnCutDraft

    def asked(words: str, read: Callable[[str], Thing], default: str | None = None) -> Thing:
        """The answer to a question about a list, read."""
        return talk.ask(Question(words, default, of_list=True), read)

    species = asked(
        "Its species, such as beef; several with commas",
        lambda text: tuple(check_answer(each, NAME) for each in text.split(",") if each.strip()),
    )
    kind = asked(
        "Its kind, such as neck, heart or mince (Enter: not said)",
        lambda text: check_answer(text, NAME) if text else "",
        "",
    )
    made = asked("Its parts as bought, such as muscle, liver, or muscle 88 %, bone 12 %", read_parts)

    def whole(text: str) -> "OwnCutDraft":
        """The cut with its share of fat, if the scenario can be read with it."""
        own = OwnCutDraft(name, species, made, kind, check_answer(text, SHARE) if text else "")
        check_draft(replace(draft, own_cuts=(*draft.own_cuts, own)), path)
        return own

    return asked("Its share of fat, such as 12 % (Enter: not known)", whole, "")


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
    known: "KnownNames"

    def __call__(self, talk: Dialogue, draft: "Draft", name: str, list_path: Path) -> "Draft":
        """The draft with the list's supplier, and the own cuts that were described for it."""
        from raworder.reading.foreign_lists import reads_as_ours
        from raworder.trade.draft import SupplierDraft

        if reads_as_ours(list_path, self.path.parent, draft.currency, self.known.catalogue):
            inside = list_path.resolve().relative_to(self.path.parent.resolve())
            return replace(draft, suppliers=(*draft.suppliers, SupplierDraft(name, price_list=inside.as_posix())))
        table = self._table(talk, list_path)
        columns = self._columns(talk, table)
        matching = Matching(self.said.matches, self.known, self.path, talk, draft)
        return matching.draft(name, table, columns)

    def _table(self, talk: Dialogue, path: Path) -> "ForeignList":
        """The list's table; in a terminal it is asked how to read it where the file does not tell."""
        from raworder.reading.answers import read_choice
        from raworder.reading.foreign_lists import read_foreign_list
        from raworder.reading.names import join_in_backticks
        from raworder.reading.notes import Notes
        from raworder.trade.units import UnitError

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
            question = Question(f"{words}, {join_in_backticks(choices)}", None, f"--{what}", of_list=True)
            said[what] = talk.ask(question, partial(read_choice, choices=choices))

    def _columns(self, talk: Dialogue, table: "ForeignList") -> "Columns":
        """Which column is which: by our own headings, by options, or as a person says."""
        from raworder.reading.foreign_lists import Columns, bare_packs, mark_of, own_columns

        own = own_columns(table)
        by_field = {**own, **self._columns_said(table)}
        none = [name for name, heading in self.said.columns.items() if not heading]
        if not {"cut", "price"} <= set(own):
            talk.say(_overview(table) if talk.asked(_OF_LIST) else "")
            for word, words in _COLUMNS.items():
                if word not in by_field and word not in none:
                    _ask_column(talk, table, word, words, by_field)
        by_field = {name: place for name, place in by_field.items() if name not in none}
        decimal = (
            self.said.decimal or mark_of(table, by_field) or _chosen(talk, "Decimal mark", "--decimal", (".", ","))
        )
        columns = Columns(by_field, self._price_for(talk, table, by_field), "", decimal)
        if not bare_packs(table, by_field):
            return columns
        return replace(columns, pack_unit=self._pack_unit(talk, table.headings[by_field["pack"]]))

    def _columns_said(self, table: "ForeignList") -> Mapping[str, int]:
        from raworder.reading.names import join_in_backticks
        from raworder.trade.units import UnitError

        found: dict[str, int] = {}
        for name, heading in self.said.columns.items():
            if not heading and name in {"cut", "price"}:
                raise UnitError(
                    f"`{name}` needs a column", f"its columns are {join_in_backticks(table.headings, 'and')}"
                )
            place = table.column(heading) if heading else -1
            if place is None:
                raise UnitError(
                    f"the list has not one column `{heading}`",
                    f"its columns are {join_in_backticks(table.headings, 'and')}",
                )
            found |= {name: place} if heading else {}
        return found

    def _price_for(self, talk: Dialogue, table: "ForeignList", by_field: Mapping[str, int]) -> str:
        """What the list's prices are for, where they do not say it themselves; in our own columns that is a pack."""
        from raworder.reading.foreign_lists import BASES, bare_prices, basis_in

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


def _ask_column(talk: Dialogue, table: "ForeignList", name: str, words: str, by_field: dict[str, int]) -> None:
    """Ask which column holds a field, and keep the answer; a script must say what a pack is, and needs no code."""
    question = Question(words, "" if name in {"pack", "code"} else None, f"--column {name}=HEADING", of_list=True)
    if name == "pack" and not talk.asked(question):
        question = replace(question, default=None, option="--column pack=HEADING (or `pack=` where there is none)")
    place = talk.ask(question, lambda text: _place(text, table))
    if place is not None:
        by_field[name] = place


def _place(text: str, table: "ForeignList") -> int | None:
    """A column by its number or its heading; nothing where nothing is said."""
    from raworder.trade.units import UnitError

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
    from raworder.reading.answers import read_choice
    from raworder.reading.names import join_in_backticks

    question = Question(f"{words}, {join_in_backticks(choices)}", default, option, of_list=True)
    return talk.ask(question, lambda text: read_choice(text, choices))
