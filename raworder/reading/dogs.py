"""Dogs: each entry of the file, with what holds for all of them, as a Dog of the trade."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

from raworder.cuts import Cut, Subject
from raworder.dogs import Cap, Care, Dog, EnergyRation, Target
from raworder.nutrients import NutrientLimit, RatioLimit
from raworder.reading.caps import capped, note_unknown_word
from raworder.reading.day_rations import days_in_care_g, days_of_batch_g, mean_g
from raworder.reading.energy_rations import DailyEnergy, daily_energy, day_kcal, least_day_g
from raworder.reading.form import AllDogsForm, DogForm, TargetsForm
from raworder.reading.given import Given
from raworder.reading.limits import Limits, dog_limits
from raworder.reading.names import folded, listed, nearest
from raworder.reading.notes import Sought
from raworder.reading.patterns import DEFAULT_CAPS, FREE, PATTERNS, targets
from raworder.reading.rations import Daily, daily_ration, note_absurd_ration, stated_ration
from raworder.reading.vet import vet_amounts
from raworder.reading.weights import note_weights
from raworder.units import half_up, share_text

if TYPE_CHECKING:
    from raworder.findings import Place

GROWN, SMALL_PUPPY, LARGE_PUPPY = "AAFCO adult maintenance", "AAFCO growth and reproduction", "AAFCO large-size growth"
"""What a dog's food is shown beside where the scenario names no profile."""

LARGE_ADULT_G = 31_800
"""From this adult weight on a puppy is of large size: 70 lb (31.8 kg), as the profile says."""


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
    fed = _fed_days(form, kennel.given)
    dog = _in_care(form, fed, kennel) if form.care else _healthy(form, fed, kennel)
    if dog is not None and fed and dog.batch_g == 0:
        message = f"what `{form.name}` eats comes to less than a gram"
        kennel.given.notes.add("zero-amount", message, form.at("name"), "check its weight and its ration")
    return dog if fed else None


def _healthy(form: DogForm, fed: Sequence[int], kennel: Kennel) -> Dog | None:
    given, common = kennel.given, kennel.common
    if form.vet_amounts:
        help_ = "add `care: ...`, or give a `ration` instead"
        given.notes.add(
            "amounts-without-care", "`vet_amounts` are for a dog in care", form.key_at("vet_amounts"), help_
        )
        return None
    ranges, caps, avoid = _targets(form, common, given), _caps(form, common, given), _all_avoided(form, kennel)
    limits = dog_limits(form, common, given.notes)
    ration = stated_ration(form, common)
    by_energy = ration is not None and ration.in_energy
    energy = daily_energy(ration, form, given) if ration is not None and by_energy else None
    daily = Daily(Fraction(0), energy.says if energy else "") if by_energy else daily_ration(form, common, given)
    profile = _profile(form, common, given)
    if daily is None or ranges is None or (by_energy and energy is None):
        return None
    named, asked = ranges
    plain = replace(_fed(form, daily, fed, kennel), caps=caps, avoid=avoid, profile=profile)
    dog = _with_limits(replace(plain, targets=asked, targets_named=named), limits)
    return dog if energy is None else _by_energy(dog, energy, fed, kennel)


def _with_limits(dog: Dog, limits: Limits) -> Dog:
    """The dog with its rules on nutrients."""
    return replace(
        dog,
        nutrient_limits=tuple(one for one in limits if isinstance(one, NutrientLimit)),
        ratio_limits=tuple(one for one in limits if isinstance(one, RatioLimit)),
    )


def _by_energy(dog: Dog, daily: DailyEnergy, fed: Sequence[int], kennel: Kennel) -> Dog:
    """The dog with its ration in energy, and the least grams that can hold it."""
    energy = EnergyRation(day_kcal(daily, fed, kennel.given.batch.days), treats_kcal=daily.treats)
    day_g = least_day_g(dog, energy, kennel.cuts)
    daily_g = Fraction(sum(day_g), len(fed)) if fed else Fraction(0)
    return replace(dog, energy=energy, day_g=day_g, batch_g=sum(day_g), daily_g=daily_g)


def _profile(form: DogForm, common: AllDogsForm | None, given: Given) -> str:
    """The name of the profile that the dog's food is shown beside."""
    said = form.profile or (common.profile if common else None)
    if said is None:
        adult_g = form.adult_weight if form.puppy else None
        large = adult_g is not None and adult_g >= LARGE_ADULT_G
        return (LARGE_PUPPY if large else SMALL_PUPPY) if form.puppy else GROWN
    known = {folded(one.name): one.name for one in given.profiles}
    if folded(said) not in known and "profiles" not in given.lost:
        help_ = Sought(partial(_meant, said, known), f"write {listed(known.values())}")
        given.notes.add("unknown-profile", f"no profile is called `{said}`", said.place, help_)
    return known.get(folded(said), "")


def _meant(said: str, known: Mapping[str, str]) -> str:
    """What to write in place of a profile that nobody knows."""
    close = nearest(said, known)
    return f"did you mean `{known[close]}`?" if close else f"write {listed(known.values())}"


def _in_care(form: DogForm, fed: Sequence[int], kennel: Kennel) -> Dog | None:
    """A dog whose veterinarian gives the amounts: none are computed; of what is common it takes `avoid` and `meals`."""
    _note_own_amounts(form, kennel.given)
    avoid = _all_avoided(form, kennel)
    amounts = vet_amounts(form, len(fed), avoid, kennel.cuts, kennel.given)
    daily = Daily(sum(form.vet_amounts.values(), Fraction(0)), "as the veterinarian gave it")
    if amounts is None or note_absurd_ration(daily.grams, form.key_at("vet_amounts"), kennel.given, form.weight):
        return None
    return replace(
        _fed(form, daily, fed, kennel),
        batch_g=sum(amount.batch_g for amount in amounts),
        day_g=days_in_care_g(amounts, fed, kennel.given.batch.days),
        avoid=avoid,
        care=Care(form.care or ""),
        vet_amounts=amounts,
    )


def _fed(form: DogForm, daily: Daily, fed: Sequence[int], kennel: Kennel) -> Dog:
    """The dog with what it eats, before anything is said about what that is made of."""
    day_g = days_of_batch_g(daily, fed, kennel.given.batch.days)
    return Dog(
        name=str(form.name),
        weight_g=half_up(form.weight or Fraction(0)),
        daily_g=mean_g(daily, fed, kennel.given.batch.days),
        days=len(fed),
        batch_g=sum(day_g),
        ration_says=daily.says,
        day_g=day_g,
        owner=str(form.owner or ""),
        kennel=str(form.kennel or ""),
        meals=form.meals or (kennel.common.meals if kennel.common else None) or 1,
        puppy=form.puppy,
        activity=form.activity or (kennel.common.activity if kennel.common else None) or "",
        adult_weight_g=half_up(form.adult_weight) if form.adult_weight else None,
        ideal_weight_g=half_up(form.ideal_weight) if form.ideal_weight and form.goal != "keep" else None,
        used_to_fat=form.used_to_fat,
        place=form.at("name"),
    )


def _fed_days(form: DogForm, given: Given) -> tuple[int, ...]:
    """The days of the batch, counted from 0, on which the dog is there."""
    if not form.away:
        return tuple(range(given.batch.days))
    days = tuple(given.batch.each_day())
    fed = tuple(place for place, day in enumerate(days) if not any(span.holds(day) for span in form.away))
    if "batch" in given.lost:
        return fed or (0,)
    for index, span in enumerate(form.away):
        if not any(span.holds(day) for day in days):
            message = f"`{form.name}` is away outside the batch"
            help_ = f"the batch is {given.batch.starts} to {given.batch.ends}"
            given.notes.add("away-outside-batch", message, form.entry_at("away", index), help_)
    if not fed:
        message = f"`{form.name}` is away for the whole batch and is left out"
        given.notes.add("away-throughout", message, form.at("away"), "take the dog or the days out")
    return fed


def _targets(form: DogForm, common: AllDogsForm | None, given: Given) -> tuple[str, tuple[Target, ...]] | None:
    """The targets' name and a range for every part."""
    asked = form.targets or (common.targets if common else None)
    if asked is None:
        if "all_dogs" not in given.lost:
            help_ = "add `targets: prey model`, `targets: BARF` or own ranges"
            given.notes.add("missing-field", f"`{form.name}` has no `targets`", form.at("name"), help_)
        return None
    own = asked.ranges()
    if asked.pattern and not own:
        return asked.pattern, given.memory.once(
            ("targets", asked.pattern), lambda: targets(PATTERNS[asked.pattern or ""])
        )
    start = PATTERNS[asked.pattern] if asked.pattern else FREE
    made = targets({**start, **{part: (range_.low, range_.high) for part, range_ in own.items()}})
    if not _can_add_up(asked, made, given):
        return None
    return "own", made


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
        most |= capped(written, given)
    return tuple(Cap(subject, share) for subject, share in most.items() if share is not None)


def _all_avoided(form: DogForm, kennel: Kennel) -> tuple[Subject, ...]:
    """What no dog may eat, then what this one may not."""
    subjects: dict[Subject, None] = {}
    for word in (*(kennel.common.avoid if kennel.common else ()), *form.avoid):
        found = kennel.given.words.avoided(word)
        subjects |= dict.fromkeys(found)
        if not found:
            note_unknown_word(word, kennel.given)
    return tuple(subjects)


def _note_own_amounts(form: DogForm, given: Given) -> None:
    for field in (
        "ration",
        "ration_by_end",
        "weight_by_end",
        "targets",
        "caps",
        "treats",
        "goal",
        "nutrients",
        "profile",
    ):
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
