"""The questions of `start --from` about names: which of those on a list are cuts of ours."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from raworder.commands.bulk_questions import LEFT, BulkAnswers, ask_in_bulk
from raworder.commands.interview import Dialogue, Question, check_draft
from raworder.commands.list_layout import LayoutInterview, ListOptions

if TYPE_CHECKING:
    from raworder.reading.answers import KnownNames
    from raworder.trade.draft import Draft, OwnCutDraft, SupplierDraft
    from raworder.trade.supplier_list import ListRow, NamedItem, SupplierList, SupplierNames


Thing = TypeVar("Thing")

OWN, REST, NO = "own", "rest", "no"
"""Typed to describe a cut of one's own, to leave out all names that follow, and for what is never for dogs."""

HOW_TO_MATCH = """
Names that are no cuts of ours: type the number or the name of the cut that one stands for, `own` to describe a cut of
your own, `no` if it is never for dogs, Enter to leave it open, or `rest` to leave all that follow open. The names file
keeps what you say, so that next month's list asks only about what is new.
"""


class Matching:
    """Matches the names of one list with our cuts.

    A name is ours if it is equal or a person says so: likeness only orders the suggestions, and what nobody confirms is
    left out. `confirmed` is what was said, for the names file.
    """

    def __init__(
        self, given: Mapping[str, str], known: "KnownNames", path: Path, talk: Dialogue, draft: "Draft"
    ) -> None:
        from raworder.reading.names import fold_name

        self.given, self.known, self.path, self.talk, self.so_far = given, known, path, talk, draft
        self.fold: Callable[[str], str] = fold_name
        self.matches = {fold_name(theirs): ours for theirs, ours in given.items()}
        self.rest_left_out = self.how_is_shown = False
        self.confirmed: list[NamedItem] = []
        self.bulk, self.passed_over = BulkAnswers(), frozenset[str]()

    def supplier(self, name: str, listed: "SupplierList") -> "SupplierDraft":
        """The supplier of that name with the offers of the list, in its order; what is not for dogs is passed over."""
        from raworder.reading.foreign_lists import offer_fields
        from raworder.trade.draft import OfferDraft, SupplierDraft, UnreadRow
        from raworder.trade.supplier_list import Match

        self._warn_of_matches(listed.rows)
        self._ask_about_many(listed.rows)
        offers, unread = [], []
        for row in listed.rows:
            if row.match is Match.NOT_FOR_DOGS:
                continue
            if not row.sold_now:
                unread.append(UnreadRow(row.line, row.raw, row.why))
                self._confirm(row, "" if row.cut else self._given(row))
                continue
            cut = self._match_cut(row)
            if cut != NO:
                offers.append(OfferDraft(cut, tuple(offer_fields(row, cut).items()), row.line))
        far = (UnreadRow(finding.place.line, finding.place.cell, finding.message) for finding in listed.unread)
        return SupplierDraft(name, tuple(offers), (*unread, *far))

    def names_after(self, before: "SupplierNames") -> "SupplierNames":
        """The names file with what was said added to it."""
        return replace(
            before,
            items=(*before.items, *self.confirmed),
            no_groups=(*before.no_groups, *self.bulk.no_groups),
            no_words=(*before.no_words, *self.bulk.no_words),
        )

    def _warn_of_matches(self, rows: "Sequence[ListRow]") -> None:
        """Warn of matches by option that name nothing on this list, or what was confirmed as something else."""
        from raworder.reading.names import did_you_mean

        cuts = {self.fold(text): row.cut for row in rows for text in (row.name, row.code) if text}
        for theirs, ours in self.given.items():
            before = cuts.get(self.fold(theirs))
            if before is None:
                help_ = did_you_mean(theirs, cuts, "it changes nothing here")
                self.talk.warn(f"warning: the list has nothing called `{theirs}` (--match): {help_}\n")
            elif before and self.fold(before) != self.fold(ours):
                self.talk.warn(f"warning: `{theirs}` stays {before} (--match): change that in the names file\n")

    def _ask_about_many(self, rows: "Sequence[ListRow]") -> None:
        """Ask about the new items of a long list in bulk, and then one by one about those that may be cuts of ours."""
        from raworder.reading.answers import yes_or_no
        from raworder.reading.likely_items import sort_items

        is_open = [row for row in rows if row.sold_now and not row.cut and not self._given(row)]
        self.bulk = ask_in_bulk(self.talk, sort_items(is_open, self.known.catalogue), self.known.catalogue)
        if self.bulk.to_ask is None:
            return
        self.passed_over = frozenset(self.fold(item.row.name) for item in self.bulk.passed_over)
        self.matches |= dict.fromkeys((*self.passed_over, *(self.fold(item.row.name) for item in self.bulk.never)), NO)
        names = [self.fold(item.row.name) for item in self.bulk.to_ask]
        for place, item in enumerate(self.bulk.to_ask, 1):
            self.matches[names[place - 1]] = self._ask_match(item.row, len(names) - place)
            if self.rest_left_out:
                never = self.talk.ask(LEFT, yes_or_no)
                self.matches |= dict.fromkeys(names[place - 1 :], NO if never else "")
                break
        self.rest_left_out = True

    def _match_cut(self, row: "ListRow") -> str:
        """The cut that a row offers: of that very name, or confirmed by a person; else empty, or NO."""
        if row.cut:
            return row.cut
        cut = self._given(row)
        theirs = self.fold(row.name)
        if not cut and theirs not in self.matches:
            self.matches[theirs] = "" if self.rest_left_out else self._ask_match(row)
        cut = cut or self.matches[theirs]
        self._confirm(row, cut)
        return cut

    def _given(self, row: "ListRow") -> str:
        """The cut that was said of a row's code or name before; empty where nothing was."""
        said = (self.matches.get(self.fold(text), "") for text in (row.code, row.name) if text)
        return next((cut for cut in said if cut), "")

    def _confirm(self, row: "ListRow", cut: str) -> None:
        """Keep for the names file what a person said of a row, with the day, but for what is passed over in bulk."""
        from raworder.trade.supplier_list import NamedItem

        if cut and self.fold(row.name) not in self.passed_over:
            today = datetime.now().astimezone().date()
            self.confirmed.append(NamedItem(row.name, row.code, "" if cut == NO else cut, today))

    def _ask_match(self, offer: "ListRow", more: int = 0) -> str:
        """The cut that a person says it is, or one of the words typed instead; `more` items follow."""
        from raworder.reading.suggestions import suggest_cuts

        if not self.talk.is_put(_WHICH):
            return ""
        alike, follow = suggest_cuts(offer.name, self.known.catalogue), f"  ({more:,} more)\n" if more else ""
        self.talk.say(("" if self.how_is_shown else HOW_TO_MATCH) + _describe_name(offer, alike) + follow)
        self.how_is_shown = True
        answer = self.talk.ask(_WHICH, lambda text: self._read_match(text, alike))
        if answer == OWN:
            own = _ask_own_cut(self.talk, self.so_far, offer.name, self.path)
            self.so_far = replace(self.so_far, own_cuts=(*self.so_far.own_cuts, own))
            return own.cut
        self.rest_left_out = answer == REST
        return "" if answer == REST else answer

    def _read_match(self, text: str, alike: Sequence[str]) -> str:
        """The cut for a typed number or name, or one of the words typed instead; UnitError for all else."""
        from raworder.trade.units import UnitError

        if text.casefold() in {"", OWN, REST, NO}:
            return text.casefold()
        if text.isascii() and text.isdigit():
            if not 1 <= int(text[:4]) <= len(alike):
                raise UnitError(
                    f"`{text}` stands for none of them", "type one of the numbers, or Enter to leave it out"
                )
            return alike[int(text) - 1]
        return self.known.cut(text)


_WHICH = Question("Number, name of a cut, `own`, `no`, `rest` or Enter", "", "--match", of_list=True)


def _describe_name(offer: "ListRow", alike: Sequence[str]) -> str:
    """A name of the list with its offer, and our cuts with similar names, numbered."""
    from raworder.reading.foreign_lists import offer_fields
    from raworder.rendering.clean import one_line

    pack, price = offer.pack, offer_fields(offer, offer.name).get("price", "")
    fields = ", ".join(filter(None, (pack.told if pack else "", price, f"code {offer.code}" if offer.code else "")))
    lines = [f"  {place}  {name}" for place, name in enumerate(alike, 1)]
    was = f"has the code of `{one_line(offer.known_as)}`; what is it now" if offer.known_as else ""
    what = was or "is no cut of ours"
    no_match = "" if alike else "  no cut of ours has a name like it"
    return (
        "\n".join(
            (f"\nLine {offer.line}: {one_line(offer.name)} ({one_line(fields)}) {what}:", *lines, no_match)
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
        names_path = self.options.names or names_path_of(list_path, self.path)
        before = read_names(names_path)
        listed = self._listed(talk, draft, list_path, before)
        matching = Matching(self.options.matches, self.known, self.path, talk, draft)
        supplier = matching.supplier(name, listed)
        after = matching.names_after(replace(before, supplier=name, layout=listed.layout))
        if after.items or not {"cut", "price"} <= set(map(str.casefold, listed.layout.columns.values())):
            supplier = replace(supplier, list_file=list_path.as_posix(), names_file=names_path.as_posix(), names=after)
        return replace(matching.so_far, suppliers=(*matching.so_far.suppliers, supplier))

    def _listed(self, talk: Dialogue, draft: "Draft", path: Path, names: "SupplierNames") -> "SupplierList":
        """The rows of the list, with what its names file says of them."""
        from raworder.reading.named_lists import matched_list
        from raworder.reading.names import fold_name

        about = LayoutInterview(self.options, talk, bool(names.layout.columns))
        table, layout = about.table(path, about.over(names.layout))
        columns = about.columns(table, layout)
        cut_names = {*self.known.catalogue.by_name, *(fold_name(own.cut) for own in draft.own_cuts)}
        listed = matched_list(table, columns, replace(names, layout=layout), draft.currency, cut_names)
        about.confirm_packs(listed)
        return listed


def names_path_of(list_path: Path, scenario: Path) -> Path:
    """The names file of a list where no option names one: `huber.csv` has `huber.names.yaml`.

    It lies beside the list, or beside the scenario where the list lies elsewhere.
    """
    from raworder.reading.names_files import ENDING

    name, folder = f"{list_path.stem}{ENDING}", scenario.parent
    return list_path.with_name(name) if list_path.resolve().is_relative_to(folder.resolve()) else folder / name


def read_names(path: Path) -> "SupplierNames":
    """What the names file holds, nothing where there is none; UnitError with the first thing wrong in it."""
    from raworder.reading.names_files import read_names_file
    from raworder.reading.notes import Notes
    from raworder.trade.supplier_list import SupplierNames
    from raworder.trade.units import UnitError

    if not path.exists():
        return SupplierNames()
    notes = Notes()
    names = read_names_file(path, notes)
    for finding in notes.all():
        if finding.refuses:
            raise UnitError(f"{finding.place.told}: {finding.message}", finding.help, finding.slug)
    return names or SupplierNames()
