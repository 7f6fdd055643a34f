"""What a dog eats a day, in grams or in energy, from what its owner or its veterinarian says."""

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
"""Outside these a dog's weight is doubted. Source: common practice, no source."""

FARTHEST_TIMES = 2
"""An ideal weight so many times the weight, or so small a part, is doubted. Source: common practice, no source."""


def note_weights(form: DogForm, common: AllDogsForm | None, given: Given) -> None:
    """Note every weight and goal that is doubtful or makes no sense, each where it is written."""
    _note_unlikely(form, given)
    _note_ideal_weight(form, given)
    _note_adult_weight(form, common, given)
    _note_goal(form, common, given)


def is_likely(weight_g: Fraction) -> bool:
    """Whether a dog may weigh so much."""
    low, high = LIKELY_WEIGHT_G
    return low <= weight_g <= high


def _are_far_apart(weight_g: Fraction, ideal_g: Fraction) -> bool:
    return not weight_g / FARTHEST_TIMES <= ideal_g <= weight_g * FARTHEST_TIMES


def _note_unlikely(form: DogForm, given: Given) -> None:
    for field in ("weight", "weight_by_end", "ideal_weight", "adult_weight"):
        grams = getattr(form, field)
        if grams is not None and not is_likely(grams):
            weight = grams_text(half_up(grams), given.weight_unit)
            message = f"{weight} is an unlikely weight for a dog"
            given.notes.add("unlikely-weight", message, form.at(field), "check the number and its unit")


def _note_ideal_weight(form: DogForm, given: Given) -> None:
    """Doubt an ideal weight that is not wanted or far off, and refuse one on the wrong side of the weight."""
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
    """Doubt an adult weight of a grown dog, and one below the weight of a puppy."""
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
    """Refuse that a puppy is to lose weight, and doubt a goal that grams make count for nothing."""
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


def days_of_batch_g(daily: Daily, fed: Sequence[int], days: int) -> tuple[int, ...]:
    """Whole grams of each day of the batch, 0 on days that are not fed.

    What is given up to any day is the whole grams in the rations up to it, so a need of just one pack in pounds is not
    a part of a gram more.
    """
    if daily.by_end is None:
        over, under = daily.grams.as_integer_ratio()
        so_far_g = [over * count // under for count in range(len(fed) + 1)]
        counts = accumulate((day in fed for day in range(days)), initial=0)
        return tuple(so_far_g[after] - so_far_g[before] for before, after in pairwise(counts))
    exact_g = _exact_g(daily, days)
    return round_as_it_adds_up(exact_g[day] if day in fed else Fraction(0) for day in range(days))


def mean_g(daily: Daily, fed: Sequence[int], days: int) -> Fraction:
    """What is eaten on a fed day on average, exact."""
    if daily.by_end is None:
        return daily.grams
    exact_g = _exact_g(daily, days)
    return sum((exact_g[day] for day in fed), Fraction(0)) / len(fed) if fed else daily.grams


def days_in_care_g(amounts: Sequence[VetAmount], fed: Sequence[int], days: int) -> tuple[int, ...]:
    """Whole grams of each day of the batch, every amount spread evenly over the days that are fed."""
    day_g = dict.fromkeys(range(days), 0)
    for amount in amounts:
        for day, grams in zip(fed, split_evenly(amount.batch_g, len(fed)) if fed else (), strict=True):
            day_g[day] += grams
    return tuple(day_g.values())


def _exact_g(daily: Daily, days: int) -> tuple[Fraction, ...]:
    """The ration of each day: from the first day's to the last day's in equal steps."""
    step_g = (daily.by_end - daily.grams) / (days - 1) if daily.by_end is not None and days > 1 else Fraction(0)
    return tuple(daily.grams + step_g * day for day in range(days))


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


class Asks(Protocol):
    """What is asked of a dog's food: the dog itself, or its rules before it is built."""

    @property
    def targets(self) -> tuple[Target, ...]:
        """A range for every part."""

    @property
    def caps(self) -> tuple[Cap, ...]:
        """The most of things."""

    def avoids(self, cut: Cut) -> bool:
        """Whether the cut must not be eaten."""


def daily_energy(ration: Ration, form: DogForm, given: Given) -> DailyEnergy | None:
    """What a ration in energy comes to; None with the reason noted."""
    treats = form.treats.kcal if form.treats else Fraction(0)
    if treats is None:
        note_mixed("treats", form, given)
        return None
    first, last = _stated_energy(ration, form, given), _last(ration, form, given)
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


def least_day_g(rules: Asks, energy: EnergyRation, cuts: Iterable[Cut]) -> tuple[int, ...]:
    """The least whole grams of each day that can hold its energy."""
    density = densest_kcal_per_g(rules, cuts)
    return tuple(floor(kcal / density) for kcal in energy.day_kcal)


def densest_kcal_per_g(rules: Asks, cuts: Iterable[Cut]) -> Fraction:
    """More energy a gram than any mixture within the targets and caps gives.

    The densest cuts go in first, each as much of the whole as its ranges and caps allow.
    """
    eaten = [(cut.kcal_per_g, cut) for cut in cuts if cut.kcal_per_g and not rules.avoids(cut)]
    room, total = Fraction(1), Fraction(0)
    for kcal, cut in sorted(eaten, key=lambda pair: (-pair[0], pair[1].name)):
        share = min(_most_share(rules, cut), room)
        room, total = room - share, total + share * kcal
    return total or RICHEST_KCAL_PER_G


def _most_share(rules: Asks, cut: Cut) -> Fraction:
    """The most of all food that a cut may be."""
    limits = [(cut.part_share(Part(target.part)), target.high) for target in rules.targets]
    limits += [(cap.subject.share_in(cut), cap.most) for cap in rules.caps]
    return min([Fraction(1), *(most / share for share, most in limits if share)])


def _stated_energy(
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
        return _stated_energy(form.ration_by_end, form, given)
    if form.weight_by_end is None:
        return _stated_energy(ration, form, given)
    if ration.kcal is not None or form.goal != "keep":
        message = "`weight_by_end` does not count while the ration is not for what the dog weighs"
        help_ = "give the ration as `110 kcal/kg^0.75`, or take it out"
        given.notes.add("unused-value", message, form.key_at("weight_by_end"), help_)
        return _stated_energy(ration, form, given)
    return _stated_energy(ration, form, given, form.weight_by_end)


def _is_absurd(kcal: Fraction, form: DogForm, given: Given) -> bool:
    """Whether it is more than any dog eats, or less than a kilocalorie; it is noted."""
    if 1 <= kcal <= LARGEST_DAILY_KCAL:
        return False
    message = f"this comes to {half_up(kcal)} kcal a day"
    given.notes.add("absurd-amount", message, ration_place(form), "check the numbers and their units")
    return True
