"""Sums of nutrients and energy over dogs and cuts, in whole numbers: exact, and always the same."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from raworder.nourishing.needs import body_of, published_need
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import (
    DESTROYED_BY,
    NUTRIENTS,
    RESTING,
    RICHEST_KCAL_PER_G,
    Analysis,
    BoneEstimate,
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
    how much of them is an estimate for bone, as it is counted, at least and at most. `borrowed` are nutrients of which
    some comes from another table, `destroyers` the cuts fed that destroy a nutrient, by its key.
    """

    grams: int
    amounts: Mapping[str, Fraction]
    known_g: Mapping[str, int]
    bone: Mapping[str, BoneEstimate]
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
    estimates = _bone_table([cut.analysis for cut in cuts.values()])
    _check_overflow(fed_g, values, estimates)
    sums, known_g, bone = fed_g @ values, fed_g @ known, fed_g @ estimates
    supplements = _supplement_amounts(scenario, plan)
    return {
        name: FoodSums(
            grams=int(fed_g[row].sum()),
            amounts=_amounts_eaten(sums[row], supplements.get(name, {})),
            known_g={key: int(grams) for key, grams in zip(NUTRIENT_KEYS, known_g[row], strict=True)},
            bone=_bone_eaten(bone[row]),
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
    other, energy, energy_known_g = dog.other_food, eaten.amounts["energy"], eaten.known_g["energy"]
    from_plan = energy / dog.days + dog.treats_kcal
    kcal = (other.with_plan(from_plan) - from_plan) * dog.days
    if not kcal:
        return eaten
    known = other.analysis.values or (("energy", Fraction(0)),)
    grams = half_up(other.daily_g * dog.days or kcal * energy_known_g / (energy or 1))
    # as much again as what is not known of the plan's energy is not known either
    unknown_g = eaten.grams - energy_known_g if other.as_much else 0
    held = {key: amount * grams / 100 for key, amount in known} | {"energy": kcal}
    return replace(
        eaten,
        grams=eaten.grams + grams + unknown_g,
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


BONE_KEYS = ("calcium", "phosphorus")
"""The nutrients that are estimated for bone."""


def _bone_table(analyses: Sequence[Analysis]) -> IntArray:
    """What is estimated for the bone in 100 g, foods by nutrients, each as it is counted, at least and at most."""
    table = np.zeros((len(analyses), 3 * len(BONE_KEYS)), dtype=np.int64)
    for row, analysis in enumerate(analyses):
        for estimate in analysis.estimates:
            first = 3 * BONE_KEYS.index(estimate.nutrient)
            ends = (estimate.amount, estimate.least, estimate.most)
            table[row, first : first + 3] = [_to_millionths(amount) for amount in ends]
    return table


def _bone_eaten(sums: IntArray) -> Mapping[str, BoneEstimate]:
    """One dog's row of the sums for bone, by nutrient."""
    amounts = [Fraction(int(counted), 100 * SCALE) for counted in sums]
    return {key: BoneEstimate(key, *amounts[3 * place : 3 * place + 3]) for place, key in enumerate(BONE_KEYS)}


def _check_overflow(fed_g: IntArray, *tables: IntArray) -> None:
    """Raise OverflowError where a sum could exceed 64 bits, as numpy would wrap around without a word."""
    largest = max(int(table.max(initial=0)) for table in tables) * int(fed_g.sum(axis=1).max(initial=0))
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


MEASURED = "meta_analysis_mean"
"""The row of the table of needs for the mean of measured needs."""


def resting_kcal(weight_g: int, per_metabolic_kg: Fraction = Fraction(70)) -> Fraction:
    """Resting energy a day: 70 kcal for each kilogram to the power 0.75.

    Source: Small Animal Clinical Nutrition 5th ed. (2010) Table 5-2, read in a second-hand copy.
    """
    return per_metabolic_kg * metabolic_kg(Fraction(weight_g))


def energy_line(dog: Dog, eaten: FoodSums, needs: Mapping[str, NeedRow]) -> EnergyLine | None:
    """Energy fed a day, compared with the published need; None for a dog in care, or of no known weight to reach."""
    need = published_need(body_of(dog), needs)
    if dog.care is not None or need is None or not dog.days:
        return None
    treats = dog.treats_kcal
    metabolic, measured = metabolic_kg(Fraction(dog.need_weight_g)), needs[MEASURED]
    rows = (needs[RESTING], *need.rows, measured)
    trust = Trust.MEMORY if any(row.trust is Trust.MEMORY for row in need.rows) else Trust.SEEN
    from_plan = eaten.amounts["energy"] / dog.days + treats
    unknown = RICHEST_KCAL_PER_G * (eaten.grams - eaten.known_g["energy"]) / dog.days
    day = dog.other_food.with_plan(from_plan)
    return EnergyLine(
        day=day,
        treats=dog.treats_kcal,
        coverage=eaten.coverage("energy"),
        resting=resting_kcal(dog.need_weight_g, needs[RESTING].low),
        low=need.low,
        high=need.high,
        applies=need.applies,
        measured=measured.low * metabolic,
        spread=measured.spread * metabolic,
        trust=trust,
        sources=tuple(dict.fromkeys(filter(None, (*(row.source for row in rows), need.formula_source)))),
        most_day=dog.other_food.with_plan(from_plan + unknown),
        other=day - from_plan,
    )
