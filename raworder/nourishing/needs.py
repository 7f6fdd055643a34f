"""The energy a day that is published for a dog, before anything is planned, and the ration that follows from it."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil
from types import MappingProxyType

from raworder.trade.dogs import Dog, Goal, OtherFood, least_resting_kcal
from raworder.trade.nutrients import WEIGHT_LOSS, NeedRow
from raworder.trade.units import amount_text, metabolic_kg

PUPPY_SOURCE = "NRC 2006 as told by WikiVet, Calculated Energy Requirements"
"""The source of the formula for puppies."""

LOW, ACTIVE = "fediaf_low", "fediaf_moderate_high_impact"
GROWTH = (
    (Fraction(50, 100), "fediaf_puppy_to_50pct"),
    (Fraction(80, 100), "fediaf_puppy_50_80pct"),
    (Fraction(1), "fediaf_puppy_80_100pct"),
)
"""The row of the table of needs for a puppy of up to that share of its adult weight."""

PUBLISHERS: Mapping[str, str] = MappingProxyType({"fediaf": "FEDIAF", "aaha": "AAHA 2021", "nrc": "NRC 2006"})
"""Who published a row of the table of needs, by the first word of its key."""


@dataclass(frozen=True, slots=True)
class Body:
    """What the published need of a healthy dog depends on; without `ideal_weight_g` it is to keep its weight.

    `activity` is a word of the table of needs, and counts for grown dogs that are not to lose weight.
    """

    weight_g: int
    goal: Goal = Goal.KEEP
    ideal_weight_g: int | None = None
    puppy: bool = False
    adult_weight_g: int | None = None
    activity: str = ""

    @property
    def counted_g(self) -> int:
        """The weight from which the need is worked out."""
        return self.ideal_weight_g or self.weight_g


@dataclass(frozen=True, slots=True)
class PublishedNeed:
    """The least and the most kcal a day published for dogs like one, and in `applies` for which dogs that is.

    `rows` of the table say so, and a formula where it has a source; `least_from` is the figure of the least in words.
    """

    low: Fraction
    high: Fraction
    rows: tuple[NeedRow, ...]
    applies: str
    least_from: str
    formula_source: str = ""


def body_of(dog: Dog) -> Body:
    """What the published need of a dog of a scenario depends on."""
    return Body(dog.weight_g, dog.goal, dog.ideal_weight_g, dog.puppy, dog.adult_weight_g, dog.activity)


def published_need(body: Body, needs: Mapping[str, NeedRow]) -> PublishedNeed | None:
    """The energy a day published for a healthy dog; None where no weight is known, or none that it is to reach.

    With an activity, the range goes from that row's figure to that of the next livelier row. The rows are by their key.
    """
    aimless = body.goal is Goal.LOSE and not body.ideal_weight_g
    if aimless or not body.counted_g or LOW not in needs:
        return None
    if body.puppy:
        return _puppy_need(body, needs)
    metabolic = metabolic_kg(Fraction(body.counted_g))
    if body.goal is Goal.LOSE:
        row = needs[WEIGHT_LOSS]
        high = (row.high + row.spread) * metabolic
        return PublishedNeed(row.low * metabolic, high, (row,), row.applies, _row_words(row))
    rows, applies = _grown_rows(body, needs)
    high = max(rows[0].high, rows[-1].low) * metabolic
    applies = f"{applies}, of the ideal weight" if body.ideal_weight_g else applies
    return PublishedNeed(rows[0].low * metabolic, high, rows, applies, _row_words(rows[0]))


def _grown_rows(body: Body, needs: Mapping[str, NeedRow]) -> tuple[tuple[NeedRow, ...], str]:
    """The rows for a grown dog, that of its least first, and the dogs that they are for in words."""
    if not body.activity:
        return (needs[LOW], needs[ACTIVE]), "low activity to moderate high-impact activity"
    least = next(row.low for row in needs.values() if row.activity == body.activity)
    mine, *livelier = (row for row in needs.values() if row.activity and row.low >= least)
    rows = (mine, *(row for row in livelier[:1] if row.low > mine.high))
    return rows, " to ".join(row.applies for row in rows)


def _puppy_need(body: Body, needs: Mapping[str, NeedRow]) -> PublishedNeed:
    """A puppy's need: from the table's figure to the formula, or the whole table if its adult weight is unknown."""
    metabolic = metabolic_kg(Fraction(body.counted_g))
    if not body.adult_weight_g:
        rows = tuple(sorted((needs[key] for _, key in GROWTH), key=lambda row: row.low))
        words = _row_words(rows[0])
        applies = "puppies up to their adult weight"
        return PublishedNeed(rows[0].low * metabolic, rows[-1].high * metabolic, rows, applies, words)
    grown = Fraction(body.counted_g, body.adult_weight_g)
    row = needs[next((key for most, key in GROWTH if grown <= most), GROWTH[-1][1])]
    of_row, of_formula = row.low * metabolic, puppy_kcal(body.counted_g, body.adult_weight_g)
    words = _row_words(row) if of_row <= of_formula else "formula for puppies, NRC 2006"
    applies = f"puppies, {row.applies}, and a formula"
    return PublishedNeed(min(of_row, of_formula), max(of_row, of_formula), (row,), applies, words, PUPPY_SOURCE)


def _row_words(row: NeedRow) -> str:
    """The figure of a row, for which dogs it is, and who published it."""
    publisher = PUBLISHERS[row.key.partition("_")[0]]
    return f"{amount_text(row.low)} kcal x kg^0.75, {row.applies}, {publisher}"


def puppy_kcal(weight_g: int, adult_g: int) -> Fraction:
    """A puppy's energy a day: 130 W^0.75 x 3.2 x (e^(-0.87 W/Wm) - 0.1).

    Source: NRC 2006 as told by WikiVet, Calculated Energy Requirements.
    """
    grown = Fraction(weight_g, adult_g)
    exponent = Decimal(-87 * grown.numerator) / Decimal(100 * grown.denominator)
    # decimal arithmetic, as a float's exp may differ in its last digit from machine to machine
    factor = Fraction(exponent.exp()) - Fraction(1, 10)
    return 130 * metabolic_kg(Fraction(weight_g)) * Fraction(32, 10) * factor


STEP_KCAL = 5
"""A proposed ration is a multiple of this, rounded up: nobody weighs finer. Source: our own choice."""

TYPICAL_KCAL_PER_G: Mapping[str, tuple[Fraction, Fraction]] = MappingProxyType(
    {"prey model": (Fraction(14, 10), Fraction(18, 10)), "BARF": (Fraction(13, 10), Fraction(17, 10))}
)
"""The energy of typical food by its pattern, from a lean mixture to a fat one.

Source: our own choice of mixtures, worked out from the tables of cuts and foods: 28 % chicken neck, 10 % beef heart,
5 % beef liver, 5 % beef kidney, in BARF 7 % carrot and 3 % blueberry, and the rest beef, stewing cubes or trim.
"""

MOST_KCAL_PER_G = Fraction(15, 100) * 9 + Fraction(20, 100) * 4
"""The energy of food with as much fat as the usual cap allows (15 %) and 20 % of protein, more than such food has.

Source: 9 and 4 kcal a gram, FEDIAF 2018 Annex 1, 2.2.1 b; the share of protein is our own choice.
"""


@dataclass(frozen=True, slots=True)
class Proposal:
    """A ration in whole kcal a day, and the published need that it meets with what the dog eats beside it."""

    kcal: int
    need: PublishedNeed

    def typical_g(self, pattern: str) -> tuple[int, int]:
        """The grams that this is of typical food in that pattern, of fat food and of lean, to the next 10 g."""
        lean, fat = TYPICAL_KCAL_PER_G[pattern]
        return ceil(self.kcal / fat / 10) * 10, ceil(self.kcal / lean / 10) * 10


def propose_ration(body: Body, other: OtherFood, needs: Mapping[str, NeedRow]) -> Proposal | None:
    """The least published for the dog less its other food, never less than the rule on resting energy asks.

    None where nothing is published for it. Where other food covers the need, nothing is left to propose: 0 kcal.
    """
    need = published_need(body, needs)
    if need is None:
        return None
    least = max(need.low, least_due_kcal(body, OtherFood(), needs))
    return Proposal(ceil(other.due_from_plan(least) / STEP_KCAL) * STEP_KCAL, need)


def least_due_kcal(body: Body, other: OtherFood, needs: Mapping[str, NeedRow]) -> Fraction:
    """The energy a day that the plan must give for the rule on resting energy; 0 where no weight is known for it."""
    ideal = Fraction(body.ideal_weight_g) if body.ideal_weight_g else None
    resting = least_resting_kcal(needs, body.goal, Fraction(body.weight_g) or None, ideal)
    return other.due_from_plan(resting or Fraction(0))
