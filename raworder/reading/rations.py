"""What a dog eats a day, from what its owner or its veterinarian says."""

from dataclasses import dataclass
from fractions import Fraction

from raworder.reading.form import AllDogsForm, DogForm
from raworder.reading.given import Given
from raworder.reading.quantities import Ration
from raworder.units import grams_text, half_up, share_text

LIKELY_WEIGHT_G = (Fraction(500), Fraction(120_000))
"""Outside these a dog's weight is doubted. Source: common practice, no source."""

USUAL_SHARE = (Fraction(1, 100), Fraction(10, 100))
"""Outside these a daily share of the weight is doubted; 2 to 3 % is usual. Source: common practice, no source."""


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
    return _less_treats(before_treats, form, given) if before_treats else None


def note_unlikely_weights(form: DogForm, given: Given) -> None:
    """Doubt weights that no dog has, each where it is written."""
    low, high = LIKELY_WEIGHT_G
    for field in ("weight", "ideal_weight", "adult_weight"):
        grams = getattr(form, field)
        if grams is not None and not low <= grams <= high:
            weight = grams_text(half_up(grams), given.weight_unit)
            message = f"{weight} is an unlikely weight for a dog"
            given.notes.add("unlikely-weight", message, form.at(field), "check the number and its unit")


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
    _note_unusual(ration.share, form, given)
    grams, of = counts
    percent = ration.written.partition(" of ")[0]
    return Daily(
        grams * ration.share, f"{percent} of {of} {grams_text(half_up(grams), given.weight_unit)}".replace("  ", " ")
    )


def _adult_weight(form: DogForm, given: Given) -> tuple[Fraction, str] | None:
    place = form.at("ration") if form.says("ration") else form.at("name")
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


def _note_unusual(share: Fraction, form: DogForm, given: Given) -> None:
    low, high = USUAL_SHARE
    if not low <= share <= high:
        place = form.at("ration") if form.says("ration") else form.at("name")
        message = f"`{form.name}` gets {share_text(share)} of its weight a day"
        help_ = "2 to 3 % is usual; check the number, and ask a veterinarian if it is meant"
        given.notes.add("unusual-ration", message, place, help_)
