"""What a dog eats a day, from what its owner or its veterinarian says."""

from dataclasses import dataclass, replace
from fractions import Fraction

from raworder.dogs import USUAL_RATION
from raworder.findings import Place
from raworder.reading.form import AllDogsForm, DogForm
from raworder.reading.given import Given
from raworder.reading.quantities import Ration
from raworder.reading.weights import is_likely
from raworder.units import grams_text, half_up, share_text

LARGEST_DAILY_G, LARGEST_SHARE = Fraction(15_000), Fraction(50, 100)
"""More than this a day, or than such a share of the dog's weight, is refused: no dog eats it. A dog of 120 kg, the
heaviest that is likely, eats 12 kg at 10 %; a puppy eats up to a quarter of its weight. Source: common practice, no
source."""

STEEP = Fraction(30, 100)
"""A ration that changes by more than this within a batch is doubted. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Daily:
    """Grams a day, exact, and in words how they came about.

    `by_end` is set where they change: `grams` are then those of the first day of the batch, `by_end` of the last.
    """

    grams: Fraction
    says: str
    by_end: Fraction | None = None


def stated_ration(form: DogForm, common: AllDogsForm | None) -> Ration | None:
    """The dog's own ration, or that of all dogs."""
    return form.ration or (common.ration if common else None)


def daily_ration(form: DogForm, common: AllDogsForm | None, given: Given) -> Daily | None:
    """What a dog in nobody's care eats a day, treats taken off; None with the reason noted."""
    ration = stated_ration(form, common)
    if ration is None:
        if "all_dogs" not in given.lost:
            help_ = "add `ration: 2.5 %` or grams a day"
            given.notes.add("missing-field", f"`{form.name}` has no `ration`", form.at("name"), help_)
        return None
    first = _stated(ration, form, ration_place(form), given)
    before_treats = None if first is None else _with_change(first, ration, form, given)
    return None if before_treats is None else _less_treats(before_treats, form, given)


def note_absurd_ration(daily_g: Fraction, place: Place, given: Given, weight_g: Fraction | None = None) -> bool:
    """Whether so much a day is more than any dog eats, or any of that weight; it is noted."""
    share = daily_g / weight_g if weight_g else Fraction(0)
    if daily_g <= LARGEST_DAILY_G and share <= LARGEST_SHARE:
        return False
    too_much = grams_text(int(LARGEST_DAILY_G), "kg") if daily_g > LARGEST_DAILY_G else "half the dog's weight"
    message = f"this comes to more than {too_much} a day"
    given.notes.add("absurd-amount", message, place, "check the numbers and their units")
    return True


def _stated(ration: Ration, form: DogForm, place: Place, given: Given) -> Daily | None:
    """What a ration that stands there comes to; None where that cannot be told, or no dog eats so much."""
    counts = _of_grams(ration, form, given) if ration.grams else _of_weight(ration, form, place, given)
    if counts is None:
        return None
    daily, own_g = counts
    if note_absurd_ration(daily.grams, place, given, own_g):
        return None
    if own_g:
        _note_unusual(daily.grams / own_g, form, place, given)
    return daily


def _with_change(first: Daily, ration: Ration, form: DogForm, given: Given) -> Daily | None:
    """The ration with what it comes to on the last day of the batch, where it changes until then."""
    field = "weight_by_end" if form.weight_by_end is not None else "ration_by_end"
    if not form.says(field):
        return first
    if form.weight_by_end is not None and form.ration_by_end is not None:
        message = "`ration_by_end` and `weight_by_end` both say what is eaten by the end"
        given.notes.add("two-ways", message, form.key_at(field), "keep one of the two")
        return None
    if given.batch.days == 1 and "batch" not in given.lost:
        message = f"`{field}` does not count in a batch of one day"
        given.notes.add("unused-value", message, form.key_at(field), "take it out")
        return first
    last = (_by_weight if form.weight_by_end else _by_ration)(first, ration, form, given)
    return None if last is None else _changed(first, last, form.at(field), form, given)


def _by_ration(first: Daily, ration: Ration, form: DogForm, given: Given) -> Daily | None:
    """The last day's ration as given, a share of it being of the same weight as that of the first day."""
    last = form.ration_by_end
    if last is None:
        return first
    if last.in_energy:
        note_mixed("ration_by_end", form, given)
        return None
    of_adult_weight = last.share is not None and (last.of_adult_weight or ration.of_adult_weight)
    return _stated(replace(last, of_adult_weight=of_adult_weight), form, form.at("ration_by_end"), given)


def _by_weight(first: Daily, ration: Ration, form: DogForm, given: Given) -> Daily | None:
    """The last day's ration as the same share of what the dog weighs by then."""
    last_g, place = form.weight_by_end, form.at("weight_by_end")
    if last_g is None or ration.share is None or ration.of_adult_weight or form.goal != "keep":
        message = "`weight_by_end` does not count while the ration is no share of what the dog weighs"
        help_ = "give the ration as a share of its weight, or take it out"
        given.notes.add("unused-value", message, form.key_at("weight_by_end"), help_)
        return first
    if form.puppy and last_g < (form.weight or last_g):
        help_ = "check both weights, and ask a veterinarian what the puppy needs"
        given.notes.add("puppy-to-lose", f"`{form.name}` is a puppy and is to weigh less by the end", place, help_)
        return None
    daily = Daily(last_g * ration.share, f"{ration.written} of {grams_text(half_up(last_g), given.weight_unit)}")
    return None if note_absurd_ration(daily.grams, place, given) else daily


def _changed(first: Daily, last: Daily, place: Place, form: DogForm, given: Given) -> Daily:
    change = abs(last.grams - first.grams) / first.grams
    if change > STEEP:
        message = f"the ration of `{form.name}` changes by {share_text(change)} within the batch"
        given.notes.add("steep-ration", message, place, "check the numbers, and change it in smaller steps")
    if not change:
        return first
    way = "rising" if last.grams > first.grams else "falling"
    says = f"{first.says}, {way} to {last.says.removesuffix(' as given')} on the last day"
    return replace(first, says=says, by_end=last.grams)


def _of_grams(ration: Ration, form: DogForm, given: Given) -> tuple[Daily, Fraction | None]:
    """So many grams, and the weight that they are judged by."""
    grams = ration.grams or Fraction(0)
    return Daily(grams, f"{grams_text(half_up(grams), given.weight_unit)} as given"), form.weight


def _of_weight(ration: Ration, form: DogForm, place: Place, given: Given) -> tuple[Daily, Fraction | None] | None:
    """A share of the weight that counts: the ideal one when losing or gaining, a puppy's adult one when asked for.

    With it the weight that it is judged by.
    """
    counts = _adult_weight(form, place, given) if ration.of_adult_weight else own_weight(form, given)
    if counts is None or ration.share is None:
        return None
    grams, of = counts
    own = form.weight if form.weight is not None and is_likely(form.weight) and not ration.of_adult_weight else grams
    percent = ration.written.partition(" of ")[0]
    says = f"{percent} of {of} {grams_text(half_up(grams), given.weight_unit)}".replace("  ", " ")
    return Daily(grams * ration.share, says), own


def _adult_weight(form: DogForm, place: Place, given: Given) -> tuple[Fraction, str] | None:
    if not form.puppy:
        message = f"`{form.name}` is no puppy, so its adult weight does not count"
        given.notes.add("not-a-puppy", message, place, "add `puppy: yes`, or take `of adult weight` out")
        return None
    if form.adult_weight is None:
        given.notes.add("missing-field", f"`{form.name}` has no `adult_weight`", place, "add `adult_weight: ...`")
        return None
    return form.adult_weight, "adult weight"


def own_weight(form: DogForm, given: Given) -> tuple[Fraction, str] | None:
    """The weight that counts, the ideal one where it is to change, and its name; None with the reason noted."""
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
    treats_g = form.treats.grams
    if treats_g is None:
        note_mixed("treats", form, given)
        return None
    least_g = daily.grams if daily.by_end is None else min(daily.grams, daily.by_end)
    if treats_g >= least_g:
        note_large_treats(form, given)
        return None
    treats = grams_text(half_up(treats_g), given.weight_unit)
    by_end = None if daily.by_end is None else daily.by_end - treats_g
    return Daily(daily.grams - treats_g, f"{daily.says}, less {treats} of treats", by_end)


def note_large_treats(form: DogForm, given: Given) -> None:
    """Note that treats leave nothing of the ration."""
    message = "the treats are as much as the whole ration"
    given.notes.add("treats-too-large", message, form.at("treats"), "check both amounts")


def note_mixed(field: str, form: DogForm, given: Given) -> None:
    """Note that a field is in energy where the ration is by weight, or the other way round."""
    message = f"`{field}` and the ration are not both in energy or both by weight"
    given.notes.add("energy-and-weight", message, form.at(field), "write both in kcal, or both by weight")


def ration_place(form: DogForm) -> Place:
    """Where the dog's own ration stands, else where its name does."""
    return form.at("ration" if form.says("ration") else "name")


def _note_unusual(share: Fraction, form: DogForm, place: Place, given: Given) -> None:
    """Doubt a day's food, treats among it, as a share of the dog's own weight, or of a puppy's adult weight."""
    low, high = USUAL_RATION
    if not low <= share <= high:
        message = f"`{form.name}` gets {share_text(share)} of its weight a day"
        help_ = "2 to 3 % is usual; check the number, and ask a veterinarian if it is meant"
        given.notes.add("unusual-ration", message, place, help_)
