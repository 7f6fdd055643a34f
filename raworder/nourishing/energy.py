"""Energy: what a dog's food gives, compared with published needs of dogs of its weight."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from raworder.nourishing.sums import Eaten
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import RICHEST_KCAL_PER_G, EnergyLine, NeedRow, Trust
from raworder.trade.units import metabolic_kg

LINEAR_KG = (2, 45)
"""The weights between which resting energy may be worked out as 30 x kg + 70.

Source: Small Animal Clinical Nutrition 5th ed. (2010) Table 5-2, read in a second-hand copy.
"""

PUPPY_SOURCE = "NRC 2006 as told by WikiVet, Calculated Energy Requirements"
"""The source of the formula for puppies."""

RESTING, LOW, ACTIVE, MEASURED = "rer_exponential", "fediaf_low", "fediaf_moderate_high_impact", "meta_analysis_mean"
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


def linear_resting_kcal(weight_g: int) -> Fraction | None:
    """Resting energy a day by 30 x kg + 70; None for weights for which that does not hold."""
    kg = Fraction(weight_g, 1000)
    return 30 * kg + 70 if LINEAR_KG[0] <= kg <= LINEAR_KG[1] else None


def puppy_kcal(weight_g: int, adult_g: int) -> Fraction:
    """A puppy's energy a day: 130 W^0.75 x 3.2 x (e^(-0.87 W/Wm) - 0.1).

    Source: NRC 2006 as told by WikiVet, Calculated Energy Requirements.
    """
    grown = Fraction(weight_g, adult_g)
    exponent = Decimal(-87 * grown.numerator) / Decimal(100 * grown.denominator)
    # decimal arithmetic, as a float's exp may differ in its last digit from machine to machine
    factor = Fraction(exponent.exp()) - Fraction(1, 10)
    return 130 * metabolic_kg(Fraction(weight_g)) * Fraction(32, 10) * factor


def energy_line(dog: Dog, eaten: Eaten, needs: Mapping[str, NeedRow]) -> EnergyLine | None:
    """Energy fed a day, compared with the published need; None for a dog of unknown weight or in care."""
    if dog.care is not None or not dog.need_weight_g or not dog.days or LOW not in needs:
        return None
    low, high, rows = _need_range(dog, needs)
    treats = dog.energy.treats_kcal if dog.energy else Fraction(0)
    metabolic, measured = metabolic_kg(Fraction(dog.need_weight_g)), needs[MEASURED]
    trust = Trust.MEMORY if any(row.trust is Trust.MEMORY for row in rows) else Trust.SEEN
    day = eaten.amounts["energy"] / dog.days + treats
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
    )


def _need_range(dog: Dog, needs: Mapping[str, NeedRow]) -> tuple[Fraction, Fraction, tuple[NeedRow, ...]]:
    """The least and the most kcal a day that dogs like this one need, and the rows of the table that say so.

    With an activity, the range goes from that row's figure to that of the next livelier row.
    """
    metabolic = metabolic_kg(Fraction(dog.need_weight_g))
    if dog.puppy:
        return _puppy_range(dog, needs, metabolic)
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
    if not dog.puppy and not dog.activity:
        return "low activity to moderate high-impact activity"
    if not dog.puppy:
        return " to ".join(row.applies for row in rows)
    return f"puppies, {rows[0].applies}, and a formula" if len(rows) == 1 else "puppies up to their adult weight"
