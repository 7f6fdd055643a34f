"""Food that is dangerous to dogs, and mixes that hide what is in them: checks of a whole scenario."""

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial

from raworder.cuts import GROUND, Measure, Part
from raworder.reading.facts import Facts
from raworder.reading.form import OwnCutForm
from raworder.reading.names import folded
from raworder.reading.reference import COOKED_BONE, says_cooked
from raworder.reading.text import Text


def _nothing_toxic(facts: Facts) -> None:
    for name in _named(facts):
        facts.given.note_toxic(name)


def _named(facts: Facts) -> Iterator[Text]:
    """Everything in the scenario that names food."""
    for _, line in facts.lines:
        yield line.cut
        if line.item is not None:
            yield line.item
    for own in facts.form.own_cuts:
        yield from (own.cut, *own.species, *own.made_of)
        if own.kind is not None:
            yield own.kind
    yield from (lot.cut for lot in facts.form.on_hand)
    for dog in facts.form.dogs:
        yield from dog.vet_amounts
    if facts.form.portioning is not None:
        yield from facts.form.portioning.divided


def _no_cooked_bone(facts: Facts) -> None:
    """Refuse what is called cooked and holds bone, or is called bone."""
    given = facts.given
    row = given.toxic(COOKED_BONE)
    for name, bone in _with_bone(facts):
        cooked = given.memory.once(("cooked", str(name)), partial(says_cooked, name))
        if row and bone and cooked and not given.toxic(name):
            given.refuse_as(row, name, "take it out; if it is raw, leave that word out of its name")


def _with_bone(facts: Facts) -> Iterator[tuple[Text, bool]]:
    """Every name of a cut with whether that holds bone."""
    for _, line in facts.lines:
        bone = _bone_share(line.cut, line.bone, facts) > 0
        yield from ((name, bone) for name in (line.cut, line.item) if name is not None)
    for lot in facts.form.on_hand:
        yield lot.cut, _bone_share(lot.cut, lot.bone, facts) > 0
    for own in facts.form.own_cuts:
        yield own.cut, _bone_share(own.cut, None, facts) > 0


def _bone_share(name: str, stated: Fraction | None, facts: Facts) -> Fraction:
    """The share of bone in a cut: as stated, else as the table or the own cut has it."""
    cut = facts.given.catalogue.find(name)
    if stated is not None or cut is None:
        return stated or Fraction(0)
    return max(one.part_share(Part.BONE) for one in (cut, *cut.ingredients))


def _mixes_tell_what_is_in_them(facts: Facts) -> None:
    """Doubt each mix that does not say what it is made of, where a dog is kept from a kind or a cut."""
    if not _some_kind_or_cut_counts(facts):
        return
    for own in facts.form.own_cuts:
        if _is_mix(own) and not own.made_of:
            message = f"`{own.cut}` does not say what it is made of, so caps and exclusions cannot look into it"
            facts.note("unseen-ingredients", message, own.at("cut"), "add `made_of: [...]`")


def _is_mix(own: OwnCutForm) -> bool:
    """Whether it is ground, of several species, or of several parts beside bone."""
    ground = own.kind is not None and folded(own.kind) == GROUND
    return ground or len(own.species) > 1 or len(set(own.parts) - {Part.BONE}) > 1


def _some_kind_or_cut_counts(facts: Facts) -> bool:
    """Whether the file keeps any dog from a kind or a cut, or limits one; the default caps are not in the file."""
    words, forms = facts.given.words, (*facts.form.dogs, *filter(None, [facts.form.all_dogs]))
    avoided = [subject for form in forms for word in form.avoid for subject in words.avoided(word)]
    caps = [form.caps for form in forms] + ([facts.form.portioning.most_a_day] if facts.form.portioning else [])
    capped = [words.capped(word) for written in caps for word, most in written.items() if most is not None]
    return any(subject.measure in {Measure.KIND, Measure.CUT} for subject in (*avoided, *capped) if subject)


DANGERS: tuple[Callable[[Facts], None], ...] = (_nothing_toxic, _no_cooked_bone, _mixes_tell_what_is_in_them)
