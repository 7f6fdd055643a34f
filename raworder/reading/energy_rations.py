"""Rations in energy: kcal of every day of the batch, and the least grams that can hold them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from raworder.cuts import Cut, Part
from raworder.dogs import Dog, EnergyRation
from raworder.nutrients import RICHEST_KCAL_PER_G
from raworder.reading.form import DogForm
from raworder.reading.given import Given
from raworder.reading.quantities import Ration
from raworder.reading.rations import note_large_treats, note_mixed, own_weight, ration_place
from raworder.units import grams_text, half_up, metabolic_kg

USUAL_KCAL = (Fraction(70), Fraction(300))
"""Energy a day for each kilogram to the power 0.75 is doubted outside these. Source: the lower end is resting energy,
Small Animal Clinical Nutrition 5th ed. (2010) Table 5-2; the upper end is common practice, no source.
"""

LARGEST_DAILY_KCAL = 20_000
"""More than this a day is refused: no dog eats it. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class DailyEnergy:
    """Energy a day on the first and on the last day of the batch, treats taken off, and in words how it came about."""

    kcal: Fraction
    by_end: Fraction
    treats: Fraction
    says: str


def daily_energy(ration: Ration, form: DogForm, given: Given) -> DailyEnergy | None:
    """What a ration in energy comes to; None with the reason noted."""
    treats = form.treats.kcal if form.treats else Fraction(0)
    if treats is None:
        note_mixed("treats", form, given)
        return None
    first, last = _stated(ration, form, given), _last(ration, form, given)
    if first is None or last is None or _is_absurd(max(first[0], last[0]), form, given):
        return None
    if treats >= min(first[0], last[0]):
        note_large_treats(form, given)
        return None
    less = f", less {half_up(treats)} kcal of treats" if treats else ""
    changes = f", changing to {half_up(last[0])} kcal on the last day" if first[0] != last[0] else ""
    return DailyEnergy(first[0] - treats, last[0] - treats, treats, f"{first[1]}{changes}{less}")


def day_kcal(daily: DailyEnergy, fed: Sequence[int], days: int) -> tuple[Fraction, ...]:
    """Energy of each day of the batch, in equal steps; none on days that are not fed."""
    step = (daily.by_end - daily.kcal) / (days - 1) if days > 1 else Fraction(0)
    return tuple(daily.kcal + step * day if day in fed else Fraction(0) for day in range(days))


def least_day_g(dog: Dog, energy: EnergyRation, cuts: Iterable[Cut]) -> tuple[int, ...]:
    """The least whole grams of each day that can hold its energy."""
    density = densest_kcal_per_g(dog, cuts)
    return tuple(floor(kcal / density) for kcal in energy.day_kcal)


def densest_kcal_per_g(dog: Dog, cuts: Iterable[Cut]) -> Fraction:
    """More energy a gram than any mixture within the dog's targets and caps gives.

    The densest cuts go in first, each as much of the whole as its ranges and caps allow.
    """
    eaten = [(cut.kcal_per_g, cut) for cut in cuts if cut.kcal_per_g and not dog.avoids(cut)]
    room, total = Fraction(1), Fraction(0)
    for kcal, cut in sorted(eaten, key=lambda one: (-one[0], one[1].name)):
        share = min(_most_share(dog, cut), room)
        room, total = room - share, total + share * kcal
    return total or RICHEST_KCAL_PER_G


def _most_share(dog: Dog, cut: Cut) -> Fraction:
    """The most of all its food that a cut may be for a dog."""
    limits = [(cut.part_share(Part(one.part)), one.high) for one in dog.targets]
    limits += [(one.subject.share_in(cut), one.most) for one in dog.caps]
    return min([Fraction(1), *(most / share for share, most in limits if share)])


def _stated(
    ration: Ration, form: DogForm, given: Given, weight_g: Fraction | None = None
) -> tuple[Fraction, str] | None:
    """Energy a day and its words, for the weight that counts or another one."""
    if ration.kcal is not None:
        return ration.kcal, f"{half_up(ration.kcal)} kcal a day as given"
    if ration.kcal_per_metabolic_kg is None:
        note_mixed("ration_by_end", form, given)
        return None
    counts = own_weight(form, given) if weight_g is None else (weight_g, "")
    if counts is None:
        return None
    grams, of = counts
    low, high = USUAL_KCAL
    if not low <= ration.kcal_per_metabolic_kg <= high:
        message = f"`{form.name}` gets `{ration.written}`"
        help_ = "95 to 130 is usual for grown dogs; check the number, and ask a veterinarian if it is meant"
        given.notes.add("unusual-energy", message, ration_place(form), help_)
    kcal = ration.kcal_per_metabolic_kg * metabolic_kg(grams)
    weight = f"{of} {grams_text(half_up(grams), given.weight_unit)}".strip()
    return kcal, f"{ration.written} of {weight}, {half_up(kcal)} kcal a day"


def _last(ration: Ration, form: DogForm, given: Given) -> tuple[Fraction, str] | None:
    """What is eaten on the last day of the batch."""
    if form.weight_by_end is not None and form.ration_by_end is not None:
        message = "`ration_by_end` and `weight_by_end` both say what is eaten by the end"
        given.notes.add("two-ways", message, form.key_at("weight_by_end"), "keep one of the two")
        return None
    if form.ration_by_end is not None:
        return _stated(form.ration_by_end, form, given)
    if form.weight_by_end is None:
        return _stated(ration, form, given)
    if ration.kcal is not None or form.goal != "keep":
        message = "`weight_by_end` does not count while the ration is not for what the dog weighs"
        help_ = "give the ration as `110 kcal/kg^0.75`, or take it out"
        given.notes.add("unused-value", message, form.key_at("weight_by_end"), help_)
        return _stated(ration, form, given)
    return _stated(ration, form, given, form.weight_by_end)


def _is_absurd(kcal: Fraction, form: DogForm, given: Given) -> bool:
    """Whether it is more than any dog eats, or less than a kilocalorie; it is noted."""
    if 1 <= kcal <= LARGEST_DAILY_KCAL:
        return False
    message = f"this comes to {half_up(kcal)} kcal a day"
    given.notes.add("absurd-amount", message, ration_place(form), "check the numbers and their units")
    return True
