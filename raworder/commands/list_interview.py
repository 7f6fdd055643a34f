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
"""Typed to describe a cut of one's own, and to leave out all names that follow."""

HOW_TO_MATCH = """
Names that are no cuts of ours: type the number or the name of the cut that one stands for, `own` to describe a cut of
your own, Enter to leave it out, or `rest` to leave out all that follow. What is left out is kept as a comment.
"""


class Matching:
    """Matches the names of one list with our cuts.

    A name is ours if it is equal or a person says so: likeness only orders the suggestions, and what nobody confirms is
    left out and kept as a comment.
    """

    def __init__(
        self, given: Mapping[str, str], known: "KnownNames", path: Path, talk: Dialogue, draft: "Draft"
    ) -> None:
        from raworder.reading.names import fold_name

        self.given, self.known, self.path, self.talk, self.so_far = given, known, path, talk, draft
        self.fold: Callable[[str], str] = fold_name
        self.matches = {fold_name(theirs): ours for theirs, ours in given.items()}
        self.rest_left_out = self.how_is_shown = False

    def draft(self, name: str, table: "ForeignList", columns: "Columns") -> "Draft":
        """The draft with a supplier of that name and its offers in the order of the list."""
        from raworder.reading.foreign_lists import offer_fields, row_offers
        from raworder.trade.draft import OfferDraft, SupplierDraft, UnreadRow

        rows = tuple(row_offers(table, columns, self.so_far.currency))
        self._check_matches(rows)
        supplier = SupplierDraft(name)
        for row in rows:
            if row.why:
                supplier = replace(supplier, unread=(*supplier.unread, UnreadRow(row.line, row.row.raw, row.why)))
                continue
            cut = self._match_cut(row)
            offer = OfferDraft(cut, tuple(offer_fields(row, cut).items()), row.line)
            supplier = replace(supplier, offers=(*supplier.offers, offer))
        unread = tuple(UnreadRow(finding.place.line, finding.place.cell, finding.message) for finding in table.unread)
        supplier = replace(supplier, unread=(*supplier.unread, *unread))
        return replace(self.so_far, suppliers=(*self.so_far.suppliers, supplier))

    def _check_matches(self, rows: "Sequence[RowOffer]") -> None:
        from raworder.reading.names import did_you_mean
        from raworder.trade.units import UnitError

        names = {self.fold(offer.name) for offer in rows}
        for theirs in self.given:
            if self.fold(theirs) not in names:
                raise UnitError(f"the list names nothing `{theirs}`", did_you_mean(theirs, names, "check the name"))

    def _match_cut(self, offer: "RowOffer") -> str:
        """The cut that a row offers: of that very name, or confirmed by a person; else empty."""
        if self.known.catalogue.find(offer.name):
            return offer.name
        theirs = self.fold(offer.name)
        if theirs not in self.matches:
            self.matches[theirs] = "" if self.rest_left_out else self._ask_match(offer)
        return self.matches[theirs]

    def _ask_match(self, offer: "RowOffer") -> str:
        from raworder.reading.foreign_lists import suggestions

        alike = suggestions(offer.name, self.known.catalogue)
        if self.talk.is_put(_WHICH):
            self.talk.say(("" if self.how_is_shown else HOW_TO_MATCH) + _describe_name(offer, alike))
            self.how_is_shown = True
        answer = self.talk.ask(_WHICH, lambda text: self._read_match(text, alike))
        if answer == OWN:
            own = _ask_own_cut(self.talk, self.so_far, offer.name, self.path)
            self.so_far = replace(self.so_far, own_cuts=(*self.so_far.own_cuts, own))
            return own.cut
        self.rest_left_out = answer == REST
        return "" if answer == REST else answer

    def _read_match(self, text: str, alike: Sequence[str]) -> str:
        """The cut for a typed number or name, or one of the words `own`, `rest` and nothing; UnitError for all else."""
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


def _describe_name(offer: "RowOffer", alike: Sequence[str]) -> str:
    """A name of the list with its offer, and our cuts with similar names, numbered."""
    from raworder.rendering.clean import one_line

    fields = ", ".join(offer.fields.values())
    lines = [f"  {place}  {name}" for place, name in enumerate(alike, 1)]
    no_match = "" if alike else "  no cut of ours has a name like it"
    return (
        "\n".join(
            (f"\nLine {offer.line}: {one_line(offer.name)} ({one_line(fields)}) is no cut of ours:", *lines, no_match)
        ).rstrip()
        + "\n"
    )


def _ask_own_cut(talk: Dialogue, draft: "Draft", name: str, path: Path) -> "OwnCutDraft":
    """Ask for a cut of the person's own until the reader accepts a scenario with it."""
    from raworder.reading.answers import NAME, SHARE, check_answer, read_parts
    from raworder.trade.draft import OwnCutDraft

    def ask(words: str, read: Callable[[str], Thing], default: str | None = None) -> Thing:
        """The answer to a question about this list, read."""
        return talk.ask(Question(words, default, of_list=True), read)

    species = ask(
        "Its species, such as beef; several with commas",
        lambda text: tuple(check_answer(word, NAME) for word in text.split(",") if word.strip()),
    )
    kind = ask(
        "Its kind, such as neck, heart or mince (Enter: not said)",
        lambda text: check_answer(text, NAME) if text else "",
        "",
    )
    parts = ask("Its parts as bought, such as muscle, liver, or muscle 88 %, bone 12 %", read_parts)

    def with_fat(text: str) -> "OwnCutDraft":
        """The cut with its share of fat."""
        fat = check_answer(text, SHARE) if text else ""
        return _check_own_cut(draft, OwnCutDraft(name, species, parts, kind, fat), path)

    return _ask_energy(talk, draft, ask("Its share of fat, such as 12 % (Enter: not known)", with_fat, ""), path)


def _ask_energy(talk: Dialogue, draft: "Draft", own: "OwnCutDraft", path: Path) -> "OwnCutDraft":
    """The cut with its energy, which is estimated where its fat is known."""
    from raworder.reading.answers import estimate_energy, read_energy

    def with_energy(text: str) -> "OwnCutDraft":
        """The cut with that energy."""
        return _check_own_cut(draft, replace(own, energy=read_energy(text) if text else ""), path)

    estimate = estimate_energy(own.parts, own.fat)
    otherwise = "estimated from its fat" if estimate else "Enter: not known, and dogs fed by kcal get none of it"
    words = f"The energy of 100 g of it, as its label says ({otherwise})"
    return talk.ask(Question(words, estimate, of_list=True), with_energy)


def _check_own_cut(draft: "Draft", own: "OwnCutDraft", path: Path) -> "OwnCutDraft":
    """The cut, once the reader accepts a scenario with it."""
    check_draft(replace(draft, own_cuts=(*draft.own_cuts, own)), path)
    return own


MOST_SHOWN = 60
"""Characters of a cell that are shown at most."""


@dataclass(frozen=True, slots=True)
class ListOptions:
    """What options say about a list: headings by field, what prices are for, our cuts by the list's names."""

    columns: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    matches: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    price_per: str = ""
    pack_unit: str = ""
    decimal: str = ""
    separator: str = ""
    encoding: str = ""


@dataclass(frozen=True, slots=True)
class ListInterview:
    """Makes a supplier of a draft from a list, with what options say, where the scenario is saved, and known names."""

    options: ListOptions
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
        matching = Matching(self.options.matches, self.known, self.path, talk, draft)
        return matching.draft(name, table, columns)

    def _table(self, talk: Dialogue, path: Path) -> "ForeignList":
        """The list's table; where the file leaves open how to read it, a person in a terminal is asked."""
        from raworder.reading.answers import read_choice
        from raworder.reading.foreign_lists import read_foreign_list
        from raworder.reading.names import join_in_backticks
        from raworder.reading.notes import Notes
        from raworder.trade.units import UnitError

        settings = {"separator": self.options.separator, "encoding": self.options.encoding}
        questions: dict[str, tuple[str, str, tuple[str, ...]]] = {
            "unreadable-text": ("encoding", f"{path.name} is not UTF-8 text; its encoding", ("cp1252", "latin-1")),
            "separator-in-doubt": ("separator", f"What stands between the cells of {path.name}", (",", ";", "tab")),
        }
        while True:
            notes = Notes()
            if table := read_foreign_list(path, notes, **settings):
                return table
            first = notes.all()[0]
            option, words, choices = questions.get(first.slug, ("", "", ()))
            if not option or settings[option]:
                raise UnitError(f"{path.name}, line {first.place.line}: {first.message}", first.help, first.slug)
            question = Question(f"{words}, {join_in_backticks(choices)}", None, f"--{option}", of_list=True)
            settings[option] = talk.ask(question, partial(read_choice, choices=choices))

    def _columns(self, talk: Dialogue, table: "ForeignList") -> "Columns":
        """Which column holds what: by our own headings, by options, or as a person answers."""
        from raworder.reading.foreign_lists import Columns, find_own_columns, has_bare_packs, list_decimal_mark

        our_columns = find_own_columns(table)
        by_field = {**our_columns, **self._given_columns(table)}
        left_out = [name for name, heading in self.options.columns.items() if not heading]
        if not {"cut", "price"} <= set(our_columns):
            talk.say(_overview(table) if talk.is_put(_OF_LIST) else "")
            for word, words in _COLUMNS.items():
                if word not in by_field and word not in left_out:
                    _ask_column(talk, table, word, words, by_field)
        by_field = {name: place for name, place in by_field.items() if name not in left_out}
        decimal = (
            self.options.decimal
            or list_decimal_mark(table, by_field)
            or _ask_choice(talk, "Decimal mark", "--decimal", (".", ","))
        )
        columns = Columns(by_field, self._price_basis(talk, table, by_field), "", decimal)
        if not has_bare_packs(table, by_field):
            return columns
        return replace(columns, pack_unit=self._pack_unit(talk, table.headings[by_field["pack"]]))

    def _given_columns(self, table: "ForeignList") -> Mapping[str, int]:
        from raworder.reading.names import join_in_backticks
        from raworder.trade.units import UnitError

        places: dict[str, int] = {}
        for name, heading in self.options.columns.items():
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
            places |= {name: place} if heading else {}
        return places

    def _price_basis(self, talk: Dialogue, table: "ForeignList", by_field: Mapping[str, int]) -> str:
        """What a price that names no unit is for; a pack, if the headings are our own."""
        from raworder.reading.foreign_lists import BASES, has_bare_prices, heading_basis

        heading = table.headings[by_field["price"]]
        if self.options.price_per or not has_bare_prices(table, by_field):
            return self.options.price_per or "pack"
        if heading.casefold() == "price" and "cut" in map(str.casefold, table.headings):
            return "pack"
        return _ask_choice(
            talk, f"What is a price under `{heading}` for", "--price-per", BASES, heading_basis(heading) or None
        )

    def _pack_unit(self, talk: Dialogue, heading: str) -> str:
        from raworder.reading.foreign_lists import WEIGHTS, heading_unit

        unit = self.options.pack_unit or heading_unit(heading)
        return unit or _ask_choice(talk, f"Unit of weight under `{heading}`", "--pack-unit", WEIGHTS)


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


def _ask_column(talk: Dialogue, table: "ForeignList", name: str, words: str, by_field: dict[str, int]) -> None:
    """Ask which column holds a field, and keep the answer; a script must name the pack's, but not the code's."""
    question = Question(words, "" if name in {"pack", "code"} else None, f"--column {name}=HEADING", of_list=True)
    if name == "pack" and not talk.is_put(question):
        question = replace(question, default=None, option="--column pack=HEADING (or `pack=` where there is none)")
    place = talk.ask(question, lambda text: _read_column(text, table))
    if place is not None:
        by_field[name] = place


def _read_column(text: str, table: "ForeignList") -> int | None:
    """The place of a column by its number, from 1, or its heading; None for no answer."""
    from raworder.trade.units import UnitError

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


def _ask_choice(talk: Dialogue, words: str, option: str, choices: Sequence[str], default: str | None = None) -> str:
    """Ask for one of a few words about a list."""
    from raworder.reading.answers import read_choice
    from raworder.reading.names import join_in_backticks

    question = Question(f"{words}, {join_in_backticks(choices)}", default, option, of_list=True)
    return talk.ask(question, lambda text: read_choice(text, choices))
