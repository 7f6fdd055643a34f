"""Dogs: each entry of the file, with what holds for all of them, as a Dog of the trade."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

from raworder.cuts import Cut, Measure, Subject
from raworder.reading.form import AllDogsForm, DogForm, TargetsForm
from raworder.reading.given import Given
from raworder.reading.names import did_you_mean, folded
from raworder.reading.patterns import DEFAULT_CAPS, FREE, PATTERNS, targets
from raworder.reading.rations import Daily, daily_ration, note_absurd_ration
from raworder.reading.text import Text
from raworder.reading.vet import vet_amounts
from raworder.reading.weights import note_weights
from raworder.trade import Cap, Care, Dog, Target
from raworder.units import evenly, half_up, share_text

if TYPE_CHECKING:
    from raworder.findings import Place


@dataclass(frozen=True, slots=True)
class Kennel:
    """What all dogs share: the common fields, and the cuts that can be fed."""

    common: AllDogsForm | None
    cuts: tuple[Cut, ...]
    given: Given


def dogs(forms: Sequence[DogForm], kennel: Kennel) -> tuple[Dog, ...]:
    """The dogs that are fed at all in the batch, in the order of the file."""
    _note_repeated(forms, kennel.given)
    made = [_dog(form, kennel) for form in forms]
    return tuple(dog for dog in made if dog is not None)


def _dog(form: DogForm, kennel: Kennel) -> Dog | None:
    note_weights(form, kennel.common, kennel.given)
    days = _days(form, kennel.given)
    dog = _in_care(form, days, kennel) if form.care else _healthy(form, days, kennel)
    if dog is not None and days and dog.batch_g == 0:
        message = f"what `{form.name}` eats comes to less than a gram"
        kennel.given.notes.add("zero-amount", message, form.at("name"), "check its weight and its ration")
    return dog if days else None


def _healthy(form: DogForm, days: int, kennel: Kennel) -> Dog | None:
    given, common = kennel.given, kennel.common
    if form.vet_amounts:
        help_ = "add `care: ...`, or give a `ration` instead"
        given.notes.add(
            "amounts-without-care", "`vet_amounts` are for a dog in care", form.key_at("vet_amounts"), help_
        )
        return None
    daily = daily_ration(form, common, given)
    ranges = _targets(form, common, given)
    caps = _caps(form, common, given)
    avoid = _all_avoided(form, kennel)
    if daily is None or ranges is None:
        return None
    named, asked = ranges
    return replace(_fed(form, daily, days), targets=asked, targets_named=named, caps=caps, avoid=avoid)


def _in_care(form: DogForm, days: int, kennel: Kennel) -> Dog | None:
    """A dog whose veterinarian gives the amounts: nothing is computed, and of what is common it only avoids."""
    _note_own_amounts(form, kennel.given)
    avoid = _all_avoided(form, kennel)
    amounts = vet_amounts(form, days, avoid, kennel.cuts, kennel.given)
    daily = Daily(sum(form.vet_amounts.values(), Fraction(0)), "as the veterinarian gave it")
    if amounts is None or note_absurd_ration(daily.grams, form.key_at("vet_amounts"), kennel.given):
        return None
    return replace(
        _fed(form, daily, days),
        batch_g=sum(amount.batch_g for amount in amounts),
        avoid=avoid,
        care=Care(form.care or ""),
        vet_amounts=amounts,
    )


def _fed(form: DogForm, daily: Daily, days: int) -> Dog:
    """The dog with what it eats, before anything is said about what that is made of."""
    return Dog(
        name=str(form.name),
        weight_g=half_up(form.weight or Fraction(0)),
        daily_g=daily.grams,
        days=days,
        batch_g=floor(daily.grams * days),  # a need of just one pack in pounds is not a part of a gram more
        ration_says=daily.says,
        day_g=evenly(floor(daily.grams * days), days),
        owner=str(form.owner or ""),
        puppy=form.puppy,
        place=form.at("name"),
    )


def _days(form: DogForm, given: Given) -> int:
    """The days of the batch on which the dog is there."""
    fed = [day for day in given.batch.each_day() if not any(span.holds(day) for span in form.away)]
    if "batch" in given.lost:
        return len(fed) or 1
    for index, span in enumerate(form.away):
        if not any(span.holds(day) for day in given.batch.each_day()):
            message = f"`{form.name}` is away outside the batch"
            help_ = f"the batch is {given.batch.starts} to {given.batch.ends}"
            given.notes.add("away-outside-batch", message, form.entry_at("away", index), help_)
    if not fed:
        message = f"`{form.name}` is away for the whole batch and is left out"
        given.notes.add("away-throughout", message, form.at("away"), "take the dog or the days out")
    return len(fed)


def _targets(form: DogForm, common: AllDogsForm | None, given: Given) -> tuple[str, tuple[Target, ...]] | None:
    """The targets' name and a range for every part."""
    asked = form.targets or (common.targets if common else None)
    if asked is None:
        if "all_dogs" not in given.lost:
            help_ = "add `targets: prey model`, `targets: BARF` or own ranges"
            given.notes.add("missing-field", f"`{form.name}` has no `targets`", form.at("name"), help_)
        return None
    own = asked.ranges()
    start = PATTERNS[asked.pattern] if asked.pattern else FREE
    made = targets({**start, **{part: (range_.low, range_.high) for part, range_ in own.items()}})
    if not _can_add_up(asked, made, given):
        return None
    return asked.pattern if asked.pattern and not own else "own", made


def _can_add_up(form: TargetsForm, made: tuple[Target, ...], given: Given) -> bool:
    upside_down = [one for one in made if one.low > one.high]
    for one in upside_down:
        message = f"the range of {one.part} ends below where it begins"
        given.notes.add("range-reversed", message, form.at(one.part), "write the lower share first")
    low, high = sum((one.low for one in made), Fraction(0)), sum((one.high for one in made), Fraction(0))
    if not upside_down and not low <= 1 <= high:
        what = f"at least {share_text(low)}" if low > 1 else f"at most {share_text(high)}"
        message = f"the targets add up to {what}"
        given.notes.add("targets-not-whole", message, form.place, "widen a range so that 100 % can be reached")
    return not upside_down and low <= 1 <= high


def _caps(form: DogForm, common: AllDogsForm | None, given: Given) -> tuple[Cap, ...]:
    """The default caps, those of all dogs and the dog's own; the later says it where two are about the same."""
    most: dict[Subject, Fraction | None] = {cap.subject: cap.most for cap in DEFAULT_CAPS}
    for written in (common.caps if common else {}, form.caps):
        most |= _capped(written, given)
    return tuple(Cap(subject, share) for subject, share in most.items() if share is not None)


def _capped(written: Mapping[Text, Fraction | None], given: Given) -> dict[Subject, Fraction | None]:
    subjects = {word: given.words.capped(word) for word in written}
    for word, subject in subjects.items():
        if subject is not None and list(subjects.values()).count(subject) > 1:
            message = f"`{word}` is capped under another name too"
            given.notes.add("two-ways", message, word.place, "keep one of the two")
        elif subject is None and given.words.is_group(word):
            message = f"`{word}` is a group, and a cap is about one thing"
            help_ = "cap `bone`" if folded(word) == Measure.WHOLE_BONE else "cap each species of it by itself"
            given.notes.add("unknown-word", message, word.place, help_)
        elif subject is None:
            note_unknown_word(word, given)
    return {subject: written[word] for word, subject in subjects.items() if subject is not None}


def _all_avoided(form: DogForm, kennel: Kennel) -> tuple[Subject, ...]:
    """What no dog may eat, then what this one may not."""
    subjects: dict[Subject, None] = {}
    for word in (*(kennel.common.avoid if kennel.common else ()), *form.avoid):
        found = kennel.given.words.avoided(word)
        subjects |= dict.fromkeys(found)
        if not found:
            note_unknown_word(word, kennel.given)
    return tuple(subjects)


def note_unknown_word(word: Text, given: Given) -> None:
    """Note that nobody knows the word, unless it was lost to an error before."""
    if given.was_lost(word):
        return
    if given.toxic(word):
        message = f"`{word}` is toxic to dogs and refused anywhere"
        given.notes.add("needless-word", message, word.place, "take it out")
        return
    help_ = did_you_mean(
        word, given.words.known(), "name a part, a species, a kind or a cut; `raworder cuts` lists them"
    )
    given.notes.add("unknown-word", f"nothing is called `{word}`", word.place, help_)


def _note_own_amounts(form: DogForm, given: Given) -> None:
    for field in ("ration", "targets", "caps", "treats", "goal"):
        if form.says(field):
            message = f"`{field}` is not read for a dog in care"
            help_ = "take it out; `vet_amounts` says what the dog gets"
            given.notes.add("care-with-own-amounts", message, form.key_at(field), help_)


def _note_repeated(forms: Sequence[DogForm], given: Given) -> None:
    first: dict[str, Place] = {}
    for form in forms:
        place = first.setdefault(folded(form.name), form.at("name"))
        if place != form.at("name"):
            where = f"first named at {place.line}:{place.column}"
            given.notes.add(
                "repeated-dog", f"two dogs are called `{form.name}`", form.at("name"), "tell them apart", where
            )
