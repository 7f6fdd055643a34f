"""Amounts that a veterinarian gave, looked up among the cuts that can be fed."""

from collections.abc import Sequence
from math import floor

from raworder.cuts import Cut, Subject
from raworder.dogs import VetAmount
from raworder.reading.form import DogForm
from raworder.reading.given import Given
from raworder.reading.names import folded, listed
from raworder.reading.offers import note_unknown_cut
from raworder.reading.text import Text
from raworder.reading.variants import called


def vet_amounts(
    form: DogForm, days: int, avoid: Sequence[Subject], cuts: Sequence[Cut], given: Given
) -> tuple[VetAmount, ...] | None:
    """Grams over the dog's days of every cut, or None with the reasons noted."""
    if not form.vet_amounts:
        if "vet_amounts" not in form.model_fields_set:
            help_ = "add `vet_amounts: {...}` with what the veterinarian gave; none are computed"
            message = f"`{form.name}` is in care and has no `vet_amounts`"
            given.notes.add("missing-field", message, form.at("care"), help_)
        else:
            given.notes.add(
                "empty-list", "`vet_amounts` has no entry", form.at("vet_amounts"), "write at least one cut"
            )
        return None
    found = [(_fed(name, cuts, given), name, grams) for name, grams in form.vet_amounts.items()]
    for cut, name, _ in found:
        _note_avoided(cut, name, avoid, given)
    _note_passed_over([name for _, name, _ in found], cuts, given)
    if any(cut is None for cut, _, _ in found):
        return None
    _note_twice(found, given)
    return tuple(VetAmount(cut.name, floor(grams * days)) for cut, _, grams in found if cut)


def _fed(name: Text, cuts: Sequence[Cut], given: Given) -> Cut | None:
    """The one cut of that name that is sold or on hand, or the one variant of it."""
    exact, described = called(name, cuts, given.catalogue)
    among = exact or described
    if len(among) == 1:
        return among[0]
    if among:
        message = f"`{name}` is sold in more than one kind"
        help_ = f"say which: {listed(cut.name for cut in among)}"
        given.notes.add("ambiguous-cut", message, name.place, help_)
    elif given.catalogue.find(name) is None:
        note_unknown_cut(name, name.place, given)
    elif not given.was_lost(name) and not given.lost & {"cuts", "suppliers", "on_hand"}:
        message = f"nobody sells `{name}` and none is on hand"
        given.notes.add("vet-amount-not-sold", message, name.place, "add an offer of it, or what is on hand")
    return None


def _note_passed_over(names: Sequence[Text], cuts: Sequence[Cut], given: Given) -> None:
    """Note each name that the plain cut answers to while offers describe others of it, of which none is used then."""
    used = {folded(name) for name in names}
    for name in names:
        exact, described = called(name, cuts, given.catalogue)
        others = [cut.name for cut in described if folded(cut.name) not in used]
        if exact and others:
            message = f"`{name}` is taken as the plain cut, so offers of {listed(others, 'and')} are not used for it"
            help_ = f"if the veterinarian means that one, name it so: `'{others[0]}': ...`"
            given.notes.add("offer-passed-over", message, name.place, help_)


def _note_avoided(cut: Cut | None, name: Text, avoid: Sequence[Subject], given: Given) -> None:
    if cut is not None and any(subject.touches(cut) for subject in avoid):
        message = f"`{name}` is among what the dog must not eat"
        given.notes.add("vet-amount-avoided", message, name.place, "ask the veterinarian, or take it out of `avoid`")


def _note_twice(found: Sequence[tuple[Cut | None, Text, object]], given: Given) -> None:
    seen: set[str] = set()
    for cut, name, _ in found:
        if cut is not None and cut.name in seen:
            message = f"`{name}` names a cut that has an amount already"
            given.notes.add("repeated-amount", message, name.place, "write one amount for each cut")
        seen |= {cut.name} if cut else set()
