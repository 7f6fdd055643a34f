"""What is asked about the names on a price list that are no cuts of ours: none is matched unless a person says so."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from raworder.dialogue import Dialogue, Question
from raworder.interview import checked

if TYPE_CHECKING:
    from raworder.draft import Draft, OwnCutDraft
    from raworder.reading.answers import Known
    from raworder.reading.foreign_lists import ForeignList
    from raworder.reading.list_offers import Columns, RowOffer

Thing = TypeVar("Thing")

OWN, REST = "own", "rest"
"""What is typed to describe a cut of one's own, and to leave out all names that follow."""

HOW = """
Names that are no cuts of ours: type the number or the name of the cut that one stands for, `own` to describe a cut of
your own, Enter to leave it out, or `rest` to leave out all that follow. What is left out is kept as a comment.
"""


class Matching:
    """The names of one list on their way to cuts of ours; what a person does not confirm is left out."""

    def __init__(self, said: Mapping[str, str], known: "Known", path: Path, talk: Dialogue, draft: "Draft") -> None:
        from raworder.reading.names import folded

        self.said, self.known, self.path, self.talk, self.before = said, known, path, talk, draft
        self.folded: Callable[[str], str] = folded
        self.found = {folded(theirs): ours for theirs, ours in said.items()}
        self.rest_left_out = self.told_how = False

    def draft(self, name: str, table: "ForeignList", columns: "Columns") -> "Draft":
        """The draft with a supplier of that name and its offers, in the order of the list."""
        from raworder.draft import OfferDraft, SupplierDraft, UnreadRow
        from raworder.reading.list_offers import renamed, row_offers

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
        lost = tuple(UnreadRow(one.place.line, one.place.cell, one.message) for one in table.unread)
        supplier = replace(supplier, unread=(*supplier.unread, *lost))
        return replace(self.before, suppliers=(*self.before.suppliers, supplier))

    def _matches_stand_in_the_list(self, rows: "Sequence[RowOffer]") -> None:
        from raworder.reading.names import did_you_mean
        from raworder.units import UnitError

        names = {self.folded(one.name) for one in rows}
        for theirs in self.said:
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
        if self.talk.asked(_WHICH):
            self.talk.say(("" if self.told_how else HOW) + _name_shown(one, alike))
            self.told_how = True
        said = self.talk.ask(_WHICH, lambda text: self._meant(text, alike))
        if said == OWN:
            own = _own_cut(self.talk, self.before, one.name, self.path)
            self.before = replace(self.before, own_cuts=(*self.before.own_cuts, own))
            return own.cut
        self.rest_left_out = said == REST
        return "" if said == REST else said

    def _meant(self, text: str, alike: Sequence[str]) -> str:
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


def _own_cut(talk: Dialogue, draft: "Draft", name: str, path: Path) -> "OwnCutDraft":
    """A cut of the person's own, described so that a scenario with it can be read."""
    from raworder.draft import OwnCutDraft
    from raworder.reading.answers import NAME, SHARE, answered, parts

    def asked(words: str, read: Callable[[str], Thing], default: str | None = None) -> Thing:
        """The answer to a question about a list, read."""
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
        """The cut with its share of fat, if the scenario can be read with it."""
        own = OwnCutDraft(name, species, made, kind, answered(text, SHARE) if text else "")
        checked(replace(draft, own_cuts=(*draft.own_cuts, own)), path)
        return own

    return asked("Its share of fat, such as 12 % (Enter: not known)", whole, "")
