"""What a dog eats a day, in grams or in energy, from the ration, weights and amounts in its entry."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate, pairwise
from math import floor
from typing import Protocol

from raworder.reading.form import AllDogsForm, DogForm
from raworder.reading.given import Given
from raworder.reading.quantities import Ration
from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import USUAL_RATION, Cap, EnergyRation, Target, VetAmount
from raworder.trade.findings import Place
from raworder.trade.nutrients import RICHEST_KCAL_PER_G
from raworder.trade.rounding import half_up, round_as_it_adds_up, split_evenly
from raworder.trade.units import grams_text, metabolic_kg, share_text

LIKELY_WEIGHT_G = (Fraction(500), Fraction(120_000))
"""The likely weights of a dog; a weight outside them is warned about. Source: common practice, no source."""

FARTHEST_TIMES = 2
"""An ideal weight more than this many times heavier or lighter is warned about. Source: common practice, no source."""


def note_weights(form: DogForm, common: AllDogsForm | None, given: Given) -> None:
    """Note every weight and goal that is unlikely or makes no sense, each where it is written."""
    _note_unlikely_weights(form, given)
    _note_ideal_weight(form, given)
    _note_adult_weight(form, common, given)
    _note_goal(form, common, given)


def is_likely(weight_g: Fraction) -> bool:
    """Whether the weight is a likely one for a dog."""
    low, high = LIKELY_WEIGHT_G
    return low <= weight_g <= high


def _are_far_apart(weight_g: Fraction, ideal_g: Fraction) -> bool:
    return not weight_g / FARTHEST_TIMES <= ideal_g <= weight_g * FARTHEST_TIMES


def _note_unlikely_weights(form: DogForm, given: Given) -> None:
    for field in ("weight", "weight_by_end", "ideal_weight", "adult_weight"):
        grams = getattr(form, field)
        if grams is not None and not is_likely(grams):
            weight = grams_text(half_up(grams), given.weight_unit)
            message = f"{weight} is an unlikely weight for a dog"
            given.notes.add("unlikely-weight", message, form.at(field), "check the number and its unit")


def _note_ideal_weight(form: DogForm, given: Given) -> None:
    """Warn about an ideal weight that does not count or is far off; refuse one on the wrong side of the weight."""
    ideal, place = form.ideal_weight, form.at("ideal_weight")
    if ideal is None:
        return
    if form.goal == "keep":
        help_ = "add `goal: lose` or `goal: gain`, or take it out"
        given.notes.add("unused-value", "`ideal_weight` does not count while the goal is keep", place, help_)
    elif form.weight is not None and (ideal < form.weight) != (form.goal == "lose"):
        message = f"`{form.name}` is to {form.goal} weight, but its ideal weight says otherwise"
        given.notes.add("goal-against-weight", message, place, "check the goal and both weights")
    elif form.weight is not None and is_likely(form.weight) and is_likely(ideal) and _are_far_apart(form.weight, ideal):
        message = f"the ideal weight of `{form.name}` is far from its weight"
        given.notes.add("weights-far-apart", message, place, "check both weights and their units")


def _note_adult_weight(form: DogForm, common: AllDogsForm | None, given: Given) -> None:
    """Warn about an adult weight of a grown dog, and one below a puppy's weight."""
    adult, place = form.adult_weight, form.at("adult_weight")
    if adult is None:
        return
    ration = form.ration or (common.ration if common else None)
    if not form.puppy and not (ration and ration.of_adult_weight):
        message = f"`{form.name}` is no puppy, so its adult weight does not count"
        given.notes.add("unused-value", message, place, "add `puppy: yes`, or take it out")
    elif form.puppy and form.weight is not None and adult < form.weight:
        message = f"the puppy `{form.name}` weighs more than it will when grown"
        given.notes.add("weights-far-apart", message, place, "check both weights and their units")


def _note_goal(form: DogForm, common: AllDogsForm | None, given: Given) -> None:
    """Refuse that a puppy is to lose weight; warn about a goal that does not count beside a ration in grams."""
    if form.goal == "keep" or form.care:
        return
    ration = form.ration or (common.ration if common else None)
    if form.puppy and form.goal == "lose":
        message = f"`{form.name}` is a puppy and is to lose weight"
        help_ = "take the goal out, and ask a veterinarian what the puppy needs"
        given.notes.add("puppy-to-lose", message, form.at("goal"), help_)
    elif ration is not None and ration.grams:
        message = f"`goal: {form.goal}` does not count while the ration is in grams"
        given.notes.add("unused-value", message, form.at("goal"), "give the ration in percent, or take the goal out")


LARGEST_DAILY_G, LARGEST_SHARE = Fraction(15_000), Fraction(50, 100)
"""More than this a day, or than this share of the dog's weight, is refused: no dog eats that. A dog of 120 kg, the
heaviest that is likely, eats 12 kg at 10 %; a puppy eats up to a quarter of its weight. Source: common practice, no
source."""

STEEP = Fraction(30, 100)
"""A ration that changes by more than this within a batch is warned about. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Daily:
    """Exact grams a day, and in words where they come from.

    Where they change, `grams` are those of the first day of the batch and `by_end` those of the last.
    """

    grams: Fraction
    says: str
    by_end: Fraction | None = None


def stated_ration(form: DogForm, common: AllDogsForm | None) -> Ration | None:
    """The dog's own ration, or that of all dogs."""
    return form.ration or (common.ration if common else None)


def daily_ration(form: DogForm, common: AllDogsForm | None, given: Given) -> Daily | None:
    """What a healthy dog eats a day, less treats; None with the reason noted."""
    ration = stated_ration(form, common)
    if ration is None:
        if "all_dogs" not in given.lost:
            help_ = "add `ration: 2.5 %` or grams a day"
            given.notes.add("missing-field", f"`{form.name}` has no `ration`", form.at("name"), help_)
        return None
    first = _written_ration(ration, form, ration_place(form), given)
    before_treats = None if first is None else _add_change(first, ration, form, given)
    return None if before_treats is None else _subtract_treats(before_treats, form, given)


def note_absurd_ration(daily_g: Fraction, place: Place, given: Given, weight_g: Fraction | None = None) -> bool:
    """Whether a day's food is more than any dog, or any of that weight, can eat; if so it is noted."""
    share = daily_g / weight_g if weight_g else Fraction(0)
    if daily_g <= LARGEST_DAILY_G and share <= LARGEST_SHARE:
        return False
    too_much = grams_text(int(LARGEST_DAILY_G), "kg") if daily_g > LARGEST_DAILY_G else "half the dog's weight"
    message = f"this comes to more than {too_much} a day"
    given.notes.add("absurd-amount", message, place, "check the numbers and their units")
    return True


def _written_ration(ration: Ration, form: DogForm, place: Place, given: Given) -> Daily | None:
    """What a written ration comes to a day; None, and noted, where that is unknown or more than a dog can eat."""
    amount_and_weight = (
        _ration_in_grams(ration, form, given) if ration.grams else _ration_by_weight(ration, form, place, given)
    )
    if amount_and_weight is None:
        return None
    daily, own_g = amount_and_weight
    if note_absurd_ration(daily.grams, place, given, own_g):
        return None
    if own_g:
        _note_unusual_share(daily.grams / own_g, form, place, given)
    return daily


def _add_change(first: Daily, ration: Ration, form: DogForm, given: Given) -> Daily | None:
    """The ration with its amount on the last day of the batch, if it changes; None with the reason noted."""
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
    last = (_last_by_weight if form.weight_by_end else _last_by_ration)(first, ration, form, given)
    return None if last is None else _combine_change(first, last, form.at(field), form, given)


def _last_by_ration(first: Daily, ration: Ration, form: DogForm, given: Given) -> Daily | None:
    """The last day's ration as written; a share is of the same weight as on the first day."""
    last = form.ration_by_end
    if last is None:
        return first
    if last.in_energy:
        note_mixed("ration_by_end", form, given)
        return None
    of_adult_weight = last.share is not None and (last.of_adult_weight or ration.of_adult_weight)
    return _written_ration(replace(last, of_adult_weight=of_adult_weight), form, form.at("ration_by_end"), given)


def _last_by_weight(first: Daily, ration: Ration, form: DogForm, given: Given) -> Daily | None:
    """The last day's ration as the same share of the dog's weight by then."""
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


def _combine_change(first: Daily, last: Daily, place: Place, form: DogForm, given: Given) -> Daily:
    change = abs(last.grams - first.grams) / first.grams
    if change > STEEP:
        message = f"the ration of `{form.name}` changes by {share_text(change)} within the batch"
        given.notes.add("steep-ration", message, place, "check the numbers, and change it in smaller steps")
    if not change:
        return first
    way = "rising" if last.grams > first.grams else "falling"
    says = f"{first.says}, {way} to {last.says.removesuffix(' as given')} on the last day"
    return replace(first, says=says, by_end=last.grams)


def _ration_in_grams(ration: Ration, form: DogForm, given: Given) -> tuple[Daily, Fraction | None]:
    """A ration in grams, and the weight that it is judged by."""
    grams = ration.grams or Fraction(0)
    return Daily(grams, f"{grams_text(half_up(grams), given.weight_unit)} as given"), form.weight


def _ration_by_weight(
    ration: Ration, form: DogForm, place: Place, given: Given
) -> tuple[Daily, Fraction | None] | None:
    """A ration as a share of a weight, and the weight that it is judged by; None with the reason noted.

    The share is of the ideal weight while the dog is to lose or gain, of a puppy's adult weight where the ration says
    so, else of the dog's own.
    """
    weight_and_name = _adult_weight(form, place, given) if ration.of_adult_weight else own_weight(form, given)
    if weight_and_name is None or ration.share is None:
        return None
    grams, weight_name = weight_and_name
    judged_by = (
        form.weight if form.weight is not None and is_likely(form.weight) and not ration.of_adult_weight else grams
    )
    percent = ration.written.partition(" of ")[0]
    says = f"{percent} of {weight_name} {grams_text(half_up(grams), given.weight_unit)}".replace("  ", " ")
    return Daily(grams * ration.share, says), judged_by


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
    """The weight that a share is of, and its name: the ideal one if weight is to change; None with the reason noted."""
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


def _subtract_treats(daily: Daily, form: DogForm, given: Given) -> Daily | None:
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
    """Note that the treats leave nothing of the ration."""
    message = "the treats are as much as the whole ration"
    given.notes.add("treats-too-large", message, form.at("treats"), "check both amounts")


def note_mixed(field: str, form: DogForm, given: Given) -> None:
    """Note that a field is in energy where the ration is by weight, or the other way round."""
    message = f"`{field}` and the ration are not both in energy or both by weight"
    given.notes.add("energy-and-weight", message, form.at(field), "write both in kcal, or both by weight")


def ration_place(form: DogForm) -> Place:
    """The place of the dog's own ration, else of its name."""
    return form.at("ration" if form.says("ration") else "name")


def _note_unusual_share(share: Fraction, form: DogForm, place: Place, given: Given) -> None:
    """Warn where a day's food, with treats, is an unusual share of the dog's own or a puppy's adult weight."""
    low, high = USUAL_RATION
    if not low <= share <= high:
        message = f"`{form.name}` gets {share_text(share)} of its weight a day"
        help_ = "2 to 3 % is usual; check the number, and ask a veterinarian if it is meant"
        given.notes.add("unusual-ration", message, place, help_)


def days_of_batch_g(daily: Daily, fed: Sequence[int], days: int) -> tuple[int, ...]:
    """Whole grams of each day of the batch, 0 on days that are not fed.

    The sum up to any day is rounded down, as ten pounds of need and a pack of ten pounds must meet: half a gram more
    would buy a second pack.
    """
    if daily.by_end is None:
        over, under = daily.grams.as_integer_ratio()
        so_far_g = [over * count // under for count in range(len(fed) + 1)]
        counts = accumulate((day in fed for day in range(days)), initial=0)
        return tuple(so_far_g[after] - so_far_g[before] for before, after in pairwise(counts))
    exact_g = _exact_g(daily, days)
    return round_as_it_adds_up(exact_g[day] if day in fed else Fraction(0) for day in range(days))


def mean_g(daily: Daily, fed: Sequence[int], days: int) -> Fraction:
    """The exact average of grams on a fed day."""
    if daily.by_end is None:
        return daily.grams
    exact_g = _exact_g(daily, days)
    return sum((exact_g[day] for day in fed), Fraction(0)) / len(fed) if fed else daily.grams


def days_in_care_g(amounts: Sequence[VetAmount], fed: Sequence[int], days: int) -> tuple[int, ...]:
    """Whole grams of each day of the batch, each of the veterinarian's amounts spread evenly over the fed days."""
    day_g = dict.fromkeys(range(days), 0)
    for amount in amounts:
        for day, grams in zip(fed, split_evenly(amount.batch_g, len(fed)) if fed else (), strict=True):
            day_g[day] += grams
    return tuple(day_g.values())


def _exact_g(daily: Daily, days: int) -> tuple[Fraction, ...]:
    """The exact grams of each day, in equal steps from the first day's to the last day's."""
    step_g = (daily.by_end - daily.grams) / (days - 1) if daily.by_end is not None and days > 1 else Fraction(0)
    return tuple(daily.grams + step_g * day for day in range(days))


USUAL_KCAL = (Fraction(70), Fraction(300))
"""Usual energy a day for each kilogram to the power 0.75; outside these it is warned about.

Source: the lower end is resting energy, Small Animal Clinical Nutrition 5th ed. (2010) Table 5-2; the upper end is
common practice, no source.
"""

LARGEST_DAILY_KCAL = 20_000
"""More energy a day than this is refused: no dog eats it. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class DailyEnergy:
    """Energy on the first and last day of the batch, less treats, and in words where it comes from."""

    kcal: Fraction
    by_end: Fraction
    treats: Fraction
    says: str


class FoodRules(Protocol):
    """The rules for a dog's food: a dog has them, and so have its rules before the dog is built."""

    @property
    def targets(self) -> tuple[Target, ...]:
        """A range for every part."""

    @property
    def caps(self) -> tuple[Cap, ...]:
        """The caps on subjects."""

    def avoids(self, cut: Cut) -> bool:
        """Whether the cut must not be eaten."""


def daily_energy(ration: Ration, form: DogForm, given: Given) -> DailyEnergy | None:
    """What a ration in energy comes to a day, less treats; None with the reason noted."""
    treats = form.treats.kcal if form.treats else Fraction(0)
    if treats is None:
        note_mixed("treats", form, given)
        return None
    first, last = _written_energy(ration, form, given), _last_energy(ration, form, given)
    if first is None or last is None or _is_absurd(max(first[0], last[0]), form, given):
        return None
    if treats >= min(first[0], last[0]):
        note_large_treats(form, given)
        return None
    less = f", less {half_up(treats)} kcal of treats" if treats else ""
    changes = f", changing to {half_up(last[0])} kcal on the last day" if first[0] != last[0] else ""
    return DailyEnergy(first[0] - treats, last[0] - treats, treats, f"{first[1]}{changes}{less}")


def day_kcal(daily: DailyEnergy, fed: Sequence[int], days: int) -> tuple[Fraction, ...]:
    """Energy of each day of the batch, in equal steps; 0 on days that are not fed."""
    step = (daily.by_end - daily.kcal) / (days - 1) if days > 1 else Fraction(0)
    return tuple(daily.kcal + step * day if day in fed else Fraction(0) for day in range(days))


def least_day_g(rules: FoodRules, energy: EnergyRation, cuts: Iterable[Cut]) -> tuple[int, ...]:
    """The least whole grams of each day that can hold its energy."""
    return day_g_of(energy, densest_kcal_per_g(rules, cuts))


def day_g_of(energy: EnergyRation, kcal_per_g: Fraction) -> tuple[int, ...]:
    """The whole grams of each day that hold its energy with so much in a gram, rounded down."""
    return tuple(floor(kcal / kcal_per_g) for kcal in energy.day_kcal)


def densest_kcal_per_g(rules: FoodRules, cuts: Iterable[Cut]) -> Fraction:
    """An upper bound on the energy a gram of any mixture within the targets and caps.

    The densest cuts go in first, each up to its own limits; limits on several cuts together are ignored, so the real
    food is never denser.
    """
    eaten = [(cut.kcal_per_g, cut) for cut in cuts if cut.kcal_per_g and not rules.avoids(cut)]
    room, total = Fraction(1), Fraction(0)
    for kcal, cut in sorted(eaten, key=lambda pair: (-pair[0], pair[1].name)):
        share = min(_most_share(rules, cut), room)
        room, total = room - share, total + share * kcal
    return total or RICHEST_KCAL_PER_G


def _most_share(rules: FoodRules, cut: Cut) -> Fraction:
    """The largest share of all food that a cut alone may be, by its targets and caps."""
    limits = [(cut.part_share(Part(target.part)), target.high) for target in rules.targets]
    limits += [(cap.subject.share_in(cut), cap.most) for cap in rules.caps]
    return min([Fraction(1), *(most / share for share, most in limits if share)])


def _written_energy(
    ration: Ration, form: DogForm, given: Given, weight_g: Fraction | None = None
) -> tuple[Fraction, str] | None:
    """Energy a day and in words where it comes from, for the dog's weight or another; None with the reason noted."""
    if ration.kcal is not None:
        return ration.kcal, f"{half_up(ration.kcal)} kcal a day as given"
    if ration.kcal_per_metabolic_kg is None:
        note_mixed("ration_by_end", form, given)
        return None
    weight_and_name = own_weight(form, given) if weight_g is None else (weight_g, "")
    if weight_and_name is None:
        return None
    grams, weight_name = weight_and_name
    low, high = USUAL_KCAL
    if not low <= ration.kcal_per_metabolic_kg <= high:
        message = f"`{form.name}` gets `{ration.written}`"
        help_ = "95 to 130 is usual for grown dogs; check the number, and ask a veterinarian if it is meant"
        given.notes.add("unusual-energy", message, ration_place(form), help_)
    kcal = ration.kcal_per_metabolic_kg * metabolic_kg(grams)
    weight = f"{weight_name} {grams_text(half_up(grams), given.weight_unit)}".strip()
    return kcal, f"{ration.written} of {weight}, {half_up(kcal)} kcal a day"


def _last_energy(ration: Ration, form: DogForm, given: Given) -> tuple[Fraction, str] | None:
    """Energy on the last day of the batch and in words where it comes from; None with the reason noted."""
    if form.weight_by_end is not None and form.ration_by_end is not None:
        message = "`ration_by_end` and `weight_by_end` both say what is eaten by the end"
        given.notes.add("two-ways", message, form.key_at("weight_by_end"), "keep one of the two")
        return None
    if form.ration_by_end is not None:
        return _written_energy(form.ration_by_end, form, given)
    if form.weight_by_end is None:
        return _written_energy(ration, form, given)
    if ration.kcal is not None or form.goal != "keep":
        message = "`weight_by_end` does not count while the ration is not for what the dog weighs"
        help_ = "give the ration as `110 kcal/kg^0.75`, or take it out"
        given.notes.add("unused-value", message, form.key_at("weight_by_end"), help_)
        return _written_energy(ration, form, given)
    return _written_energy(ration, form, given, form.weight_by_end)


def _is_absurd(kcal: Fraction, form: DogForm, given: Given) -> bool:
    """Whether the energy is more than any dog eats, or less than a kilocalorie; if so it is noted."""
    if 1 <= kcal <= LARGEST_DAILY_KCAL:
        return False
    message = f"this comes to {half_up(kcal)} kcal a day"
    given.notes.add("absurd-amount", message, ration_place(form), "check the numbers and their units")
    return True
