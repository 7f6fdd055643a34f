"""Sums of nutrients and energy over dogs and cuts, in whole numbers: exact, and always the same."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog, Goal
from raworder.trade.nutrients import (
    CALCIUM_TO_PHOSPHORUS_OF_BONE,
    DESTROYED_BY,
    NUTRIENTS,
    RESTING,
    RICHEST_KCAL_PER_G,
    WEIGHT_LOSS,
    Analysis,
    EnergyLine,
    NeedRow,
    Trust,
)
from raworder.trade.plan import Dose, Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario
from raworder.trade.units import metabolic_kg

IntArray = NDArray[np.int64]

SCALE = 10**6
"""The parts of a unit in which amounts are counted."""

NUTRIENT_KEYS = tuple(nutrient.key for nutrient in NUTRIENTS)


@dataclass(frozen=True, slots=True)
class FoodSums:
    """What the food of one dog over the batch is known to hold, supplements included.

    `amounts` are by nutrient key in the nutrient's unit, `known_g` the grams of food whose value is known. `bone` is
    how much of the calcium and phosphorus is an estimate for bone. `borrowed` are nutrients of which some comes from
    another table, `destroyers` the cuts fed that destroy a nutrient, by its key.
    """

    grams: int
    amounts: Mapping[str, Fraction]
    known_g: Mapping[str, int]
    bone: Mapping[str, Fraction]
    borrowed: frozenset[str]
    destroyers: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def coverage(self, key: str) -> Fraction:
        """The share of the food's weight for which the nutrient is known."""
        return Fraction(self.known_g[key], self.grams) if self.grams else Fraction(0)


def food_sums_by_dog(scenario: Scenario, plan: Plan) -> Mapping[str, FoodSums]:
    """What the food of each dog that is fed holds, by the dog's name."""
    dogs = [dog.name for dog in scenario.dogs]
    cuts = {cut.name: cut for cut in scenario.cuts}
    fed_g = _fed_grams(dogs, list(cuts), plan)
    values, known = _nutrient_table([cut.analysis for cut in cuts.values()])
    # whole numbers, not floats: matrix products of floats differ from machine to machine
    _check_overflow(fed_g, values)
    sums, known_g = fed_g @ values, fed_g @ known
    bone = fed_g @ np.array([_to_millionths(cut.analysis.bone_calcium_mg) for cut in cuts.values()], dtype=np.int64)
    supplements = _supplement_amounts(scenario, plan)
    return {
        name: FoodSums(
            grams=int(fed_g[row].sum()),
            amounts=_amounts_eaten(sums[row], supplements.get(name, {})),
            known_g={key: int(grams) for key, grams in zip(NUTRIENT_KEYS, known_g[row], strict=True)},
            bone=_bone_estimate(Fraction(int(bone[row]), 100 * SCALE)),
            borrowed=frozenset(
                key for cut, fed in zip(cuts.values(), fed_g[row], strict=True) if fed for key in cut.analysis.borrowed
            ),
            destroyers=_destroyers([cut for cut, fed in zip(cuts.values(), fed_g[row], strict=True) if fed]),
        )
        for row, name in enumerate(dogs)
        if fed_g[row].any()
    }


def add_other_food(dog: Dog, eaten: FoodSums) -> FoodSums:
    """What all food of a dog holds, with what it eats beside the plan.

    Where no analysis of that was given, it counts as food with the plan's energy in a gram, of which no more is known.
    """
    other, energy = dog.other_food, eaten.amounts["energy"]
    kcal = other.with_plan(energy) - energy + other.kcal * (dog.days - 1)  # its own energy is for each day
    if not kcal:
        return eaten
    known = other.analysis.values or (("energy", Fraction(0)),)
    grams = half_up(other.daily_g * dog.days or kcal * eaten.known_g["energy"] / (energy or 1))
    held = {key: amount * grams / 100 for key, amount in known} | {"energy": kcal}
    return replace(
        eaten,
        grams=eaten.grams + grams,
        amounts={key: amount + held.get(key, 0) for key, amount in eaten.amounts.items()},
        known_g={key: known_g + (grams if key in held else 0) for key, known_g in eaten.known_g.items()},
    )


def _destroyers(fed: Sequence[Cut]) -> Mapping[str, tuple[str, ...]]:
    """The cuts fed that destroy a nutrient, by its key: any amount counts, as nobody knows how little is enough."""
    destroyers = {key: tuple(cut.name for cut in fed if key in cut.destroys) for key in DESTROYED_BY}
    return {key: names for key, names in destroyers.items() if names}


def _fed_grams(dogs: Sequence[str], cuts: Sequence[str], plan: Plan) -> IntArray:
    """Grams over the batch, dogs by cuts."""
    fed_g = np.zeros((len(dogs), len(cuts)), dtype=np.int64)
    row, column = {name: n for n, name in enumerate(dogs)}, {name: n for n, name in enumerate(cuts)}
    for portion in plan.portions:
        fed_g[row[portion.dog], column[portion.cut]] += portion.batch_g
    return fed_g


def _nutrient_table(analyses: Sequence[Analysis]) -> tuple[IntArray, IntArray]:
    """The amounts in 100 g, foods by nutrients, and a table of the same shape with 1 where they are known."""
    values = np.zeros((len(analyses), len(NUTRIENT_KEYS)), dtype=np.int64)
    known = np.zeros_like(values)
    column = {key: n for n, key in enumerate(NUTRIENT_KEYS)}
    for row, analysis in enumerate(analyses):
        for key, amount in analysis.values:
            values[row, column[key]], known[row, column[key]] = _to_millionths(amount), 1
    return values, known


def _to_millionths(amount: Fraction) -> int:
    return half_up(amount * SCALE)


def _check_overflow(fed_g: IntArray, values: IntArray) -> None:
    """Raise OverflowError where a sum could exceed 64 bits, as numpy would wrap around without a word."""
    largest = int(values.max(initial=0)) * int(fed_g.sum(axis=1).max(initial=0))
    if largest > np.iinfo(np.int64).max:
        raise OverflowError("the sums of nutrients are too large to be counted")


def _supplement_amounts(scenario: Scenario, plan: Plan) -> Mapping[str, Mapping[str, Fraction]]:
    """What supplements add over the batch, by dog and nutrient; they are no part of the weight that coverage is of."""
    analyses = {supplement.name: supplement.analysis for supplement in scenario.supplements}
    days = {dog.name: dog.days for dog in scenario.dogs}
    added: dict[str, dict[str, Fraction]] = {}
    for dose in plan.doses:
        for key, amount in _dose_amounts(dose, analyses[dose.supplement], days[dose.dog]):
            of_dog = added.setdefault(dose.dog, {})
            of_dog[key] = of_dog.get(key, Fraction(0)) + amount
    return added


def _dose_amounts(dose: Dose, analysis: Analysis, days: int) -> Iterable[tuple[str, Fraction]]:
    return ((key, amount * dose.steps_a_day * days) for key, amount in analysis.values)


def _amounts_eaten(sums: IntArray, supplements: Mapping[str, Fraction]) -> Mapping[str, Fraction]:
    """One dog's row of the sums in the nutrients' units, plus what supplements add."""
    return {
        key: Fraction(int(counted), 100 * SCALE) + supplements.get(key, Fraction(0))
        for key, counted in zip(NUTRIENT_KEYS, sums, strict=True)
    }


def _bone_estimate(calcium_mg: Fraction) -> Mapping[str, Fraction]:
    """The calcium and the phosphorus that are estimated for bone."""
    return {"calcium": calcium_mg, "phosphorus": calcium_mg / CALCIUM_TO_PHOSPHORUS_OF_BONE}


PUPPY_SOURCE = "NRC 2006 as told by WikiVet, Calculated Energy Requirements"
"""The source of the formula for puppies."""

LOW, ACTIVE, MEASURED = "fediaf_low", "fediaf_moderate_high_impact", "meta_analysis_mean"
GROWTH = (
    (Fraction(50, 100), "fediaf_puppy_to_50pct"),
    (Fraction(80, 100), "fediaf_puppy_50_80pct"),
    (Fraction(1), "fediaf_puppy_80_100pct"),
)
"""The row of the table of needs for a puppy of up to that share of its adult weight."""


def resting_kcal(weight_g: int, per_metabolic_kg: Fraction = Fraction(70)) -> Fraction:
    """Resting energy a day: 70 kcal for each kilogram to the power 0.75.

    Source: Small Animal Clinical Nutrition 5th ed. (2010) Table 5-2, read in a second-hand copy.
    """
    return per_metabolic_kg * metabolic_kg(Fraction(weight_g))


def puppy_kcal(weight_g: int, adult_g: int) -> Fraction:
    """A puppy's energy a day: 130 W^0.75 x 3.2 x (e^(-0.87 W/Wm) - 0.1).

    Source: NRC 2006 as told by WikiVet, Calculated Energy Requirements.
    """
    grown = Fraction(weight_g, adult_g)
    exponent = Decimal(-87 * grown.numerator) / Decimal(100 * grown.denominator)
    # decimal arithmetic, as a float's exp may differ in its last digit from machine to machine
    factor = Fraction(exponent.exp()) - Fraction(1, 10)
    return 130 * metabolic_kg(Fraction(weight_g)) * Fraction(32, 10) * factor


def energy_line(dog: Dog, eaten: FoodSums, needs: Mapping[str, NeedRow]) -> EnergyLine | None:
    """Energy fed a day, compared with the published need; None for a dog in care, or of no known weight to reach."""
    aimless = dog.goal is Goal.LOSE and not dog.ideal_weight_g
    if dog.care is not None or aimless or not dog.need_weight_g or not dog.days or LOW not in needs:
        return None
    low, high, rows = _need_range(dog, needs)
    treats = dog.energy.treats_kcal if dog.energy else Fraction(0)
    metabolic, measured = metabolic_kg(Fraction(dog.need_weight_g)), needs[MEASURED]
    trust = Trust.MEMORY if any(row.trust is Trust.MEMORY for row in rows) else Trust.SEEN
    from_plan = eaten.amounts["energy"] / dog.days + treats
    day = dog.other_food.with_plan(from_plan)
    return EnergyLine(
        day=day,
        treats=treats,
        coverage=eaten.coverage("energy"),
        resting=resting_kcal(dog.need_weight_g, needs[RESTING].low),
        low=low,
        high=high,
        applies=_range_words(dog, rows),
        measured=measured.low * metabolic,
        spread=measured.spread * metabolic,
        trust=trust,
        sources=tuple(
            dict.fromkeys((*(row.source for row in (needs[RESTING], *rows, measured)), *_formula_sources(dog)))
        ),
        most_day=day + RICHEST_KCAL_PER_G * (eaten.grams - eaten.known_g["energy"]) / dog.days,
        other=day - from_plan,
    )


def _need_range(dog: Dog, needs: Mapping[str, NeedRow]) -> tuple[Fraction, Fraction, tuple[NeedRow, ...]]:
    """The least and the most kcal a day that dogs like this one need, and the rows of the table that say so.

    With an activity, the range goes from that row's figure to that of the next livelier row.
    """
    metabolic = metabolic_kg(Fraction(dog.need_weight_g))
    if dog.puppy:
        return _puppy_range(dog, needs, metabolic)
    if dog.goal is Goal.LOSE:
        row = needs[WEIGHT_LOSS]
        return row.low * metabolic, (row.high + row.spread) * metabolic, (row,)
    if dog.activity:
        mine, *livelier = (row for row in needs.values() if row.activity and row.low >= _activity_row(dog, needs).low)
        rows = (mine, *(row for row in livelier[:1] if row.low > mine.high))
        return mine.low * metabolic, max(mine.high, rows[-1].low) * metabolic, rows
    rows = (needs[LOW], needs[ACTIVE])
    return rows[0].low * metabolic, rows[1].high * metabolic, rows


def _activity_row(dog: Dog, needs: Mapping[str, NeedRow]) -> NeedRow:
    """The row for the dog's activity."""
    return next(row for row in needs.values() if row.activity == dog.activity)


def _puppy_range(
    dog: Dog, needs: Mapping[str, NeedRow], metabolic: Fraction
) -> tuple[Fraction, Fraction, tuple[NeedRow, ...]]:
    """A puppy's range: from the table's figure to the formula, or the whole table if its adult weight is unknown."""
    if not dog.adult_weight_g:
        rows = tuple(needs[key] for _, key in GROWTH)
        return min(row.low for row in rows) * metabolic, max(row.high for row in rows) * metabolic, rows
    grown = Fraction(dog.need_weight_g, dog.adult_weight_g)
    row = needs[next((key for most, key in GROWTH if grown <= most), GROWTH[-1][1])]
    ends = sorted((row.low * metabolic, puppy_kcal(dog.need_weight_g, dog.adult_weight_g)))
    return ends[0], ends[1], (row,)


def _formula_sources(dog: Dog) -> tuple[str, ...]:
    """The source of the formula for puppies, where the dog's range uses it."""
    return (PUPPY_SOURCE,) if dog.puppy and dog.adult_weight_g else ()


def _range_words(dog: Dog, rows: tuple[NeedRow, ...]) -> str:
    """The dogs that the range is for, in words."""
    if dog.goal is Goal.LOSE:
        return rows[0].applies
    if not dog.puppy and not dog.activity:
        return "low activity to moderate high-impact activity"
    if not dog.puppy:
        return " to ".join(row.applies for row in rows)
    return f"puppies, {rows[0].applies}, and a formula" if len(rows) == 1 else "puppies up to their adult weight"
