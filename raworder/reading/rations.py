"""What a dog eats a day, from what its owner or its veterinarian says."""

from dataclasses import dataclass
from fractions import Fraction

from raworder.findings import Place
from raworder.reading.form import AllDogsForm, DogForm
from raworder.reading.given import Given
from raworder.reading.quantities import Ration
from raworder.reading.weights import is_likely
from raworder.trade import USUAL_RATION
from raworder.units import grams_text, half_up, share_text

LARGEST_DAILY_G = Fraction(50_000)
"""More than this a day is refused: no dog eats it. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Daily:
    """Grams a day, exact, and in words how they came about."""

    grams: Fraction
    says: str


def daily_ration(form: DogForm, common: AllDogsForm | None, given: Given) -> Daily | None:
    """The daily ration of a dog in nobody's care, treats taken off; None with the reason noted."""
    ration = form.ration or (common.ration if common else None)
    if ration is None:
        if "all_dogs" not in given.lost:
            help_ = "add `ration: 2.5 %` or grams a day"
            given.notes.add("missing-field", f"`{form.name}` has no `ration`", form.at("name"), help_)
        return None
    before_treats = _of_grams(ration, form, given) if ration.grams else _of_weight(ration, form, given)
    if before_treats is None or note_absurd_ration(before_treats.grams, _ration_place(form), given):
        return None
    return _less_treats(before_treats, form, given)


def note_absurd_ration(daily_g: Fraction, place: Place, given: Given) -> bool:
    """Whether so much a day is more than any dog eats; it is noted."""
    if daily_g <= LARGEST_DAILY_G:
        return False
    message = f"this comes to more than {grams_text(int(LARGEST_DAILY_G), 'kg')} a day"
    given.notes.add("absurd-amount", message, place, "check the numbers and their units")
    return True


def _of_grams(ration: Ration, form: DogForm, given: Given) -> Daily | None:
    grams = ration.grams or Fraction(0)
    if form.weight:
        _note_unusual(grams / form.weight, form, given)
    return Daily(grams, f"{grams_text(half_up(grams), given.weight_unit)} as given")


def _of_weight(ration: Ration, form: DogForm, given: Given) -> Daily | None:
    """A share of the weight that counts: the ideal one when losing or gaining, a puppy's adult one when asked for."""
    counts = _adult_weight(form, given) if ration.of_adult_weight else _own_weight(form, given)
    if counts is None or ration.share is None:
        return None
    grams, of = counts
    own = form.weight if form.weight is not None and is_likely(form.weight) and not ration.of_adult_weight else grams
    _note_unusual(grams * ration.share / own, form, given)
    percent = ration.written.partition(" of ")[0]
    return Daily(
        grams * ration.share, f"{percent} of {of} {grams_text(half_up(grams), given.weight_unit)}".replace("  ", " ")
    )


def _adult_weight(form: DogForm, given: Given) -> tuple[Fraction, str] | None:
    place = _ration_place(form)
    if not form.puppy:
        message = f"`{form.name}` is no puppy, so its adult weight does not count"
        given.notes.add("not-a-puppy", message, place, "add `puppy: yes`, or take `of adult weight` out")
        return None
    if form.adult_weight is None:
        given.notes.add("missing-field", f"`{form.name}` has no `adult_weight`", place, "add `adult_weight: ...`")
        return None
    return form.adult_weight, "adult weight"


def _own_weight(form: DogForm, given: Given) -> tuple[Fraction, str] | None:
    if form.goal == "keep":
        if form.weight is None:
            help_ = "add `weight: ...`, or give the ration in grams"
            given.notes.add("missing-field", f"`{form.name}` has no `weight`", form.at("name"), help_)
            return None
        return form.weight, ""
    if form.ideal_weight is None:
        message = f"`{form.name}` is to {form.goal} weight but has no `ideal_weight`"
        given.notes.add("missing-field", message, form.at("goal"), "add `ideal_weight: ...`; the ration counts on it")
        return None
    return form.ideal_weight, "ideal weight"


def _less_treats(daily: Daily, form: DogForm, given: Given) -> Daily | None:
    if form.treats is None:
        return daily
    if form.treats >= daily.grams:
        message = "the treats are as much as the whole ration"
        given.notes.add("treats-too-large", message, form.at("treats"), "check both amounts")
        return None
    treats = grams_text(half_up(form.treats), given.weight_unit)
    return Daily(daily.grams - form.treats, f"{daily.says}, less {treats} of treats")


def _ration_place(form: DogForm) -> Place:
    """Where the dog's own ration stands, else where its name does."""
    return form.at("ration" if form.says("ration") else "name")


def _note_unusual(share: Fraction, form: DogForm, given: Given) -> None:
    """Doubt a day's food, treats among it, as a share of the dog's own weight, or of a puppy's adult weight."""
    low, high = USUAL_RATION
    if not low <= share <= high:
        message = f"`{form.name}` gets {share_text(share)} of its weight a day"
        help_ = "2 to 3 % is usual; check the number, and ask a veterinarian if it is meant"
        given.notes.add("unusual-ration", message, _ration_place(form), help_)
