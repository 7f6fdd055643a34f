"""Nourishment: what a dog's food holds as far as it is known, beside what is published; never a diagnosis.

Amounts are exact, in the unit of the nutrient. Coverage is the share of the fed weight whose value is known.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from raworder.nutrients import Bound, NutrientLimit, RatioLimit, Trust
from raworder.units import half_up

ENOUGH_KNOWN = Fraction(90, 100)
"""Of less than this share of the food is a value known: then nothing is said about a bound. Source: our own choice."""


class Standing(StrEnum):
    """Where an amount stands beside a bound."""

    MEETS = "meets it"
    BELOW = "below"
    ABOVE = "above"
    UNKNOWN = "not enough known"


@dataclass(frozen=True, slots=True)
class Beside:
    """One bound of a profile beside what is fed: `given` for what the bound is for, and as a share of it."""

    bound: Bound
    given: Fraction
    of_bound: Fraction
    standing: Standing


@dataclass(frozen=True, slots=True)
class NutrientLine:
    """One nutrient: what is known to be in a day's food and in 1000 kcal of it, and of how much food it is known.

    `least_day` and `most_day` differ from `day` where an estimate for bone is in it. `borrowed` tells that some of it
    is from another table than the rest. `per_mcal` is None where energy is not known. `destroyed_by` are cuts fed that
    destroy it, so that of what the tables know anything may be left, or nothing.
    """

    nutrient: str
    day: Fraction
    per_mcal: Fraction | None
    coverage: Fraction
    least_day: Fraction
    most_day: Fraction
    borrowed: bool = False
    beside: tuple[Beside, ...] = ()
    destroyed_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RatioLine:
    """How many times as much of one nutrient as of another is fed; None where there is none of the other.

    `least` and `most` are the ratio at either end of the estimate for bone.
    """

    over: str
    under: str
    ratio: Fraction | None
    least: Fraction | None
    most: Fraction | None
    coverage: Fraction
    beside: tuple[Beside, ...] = ()


@dataclass(frozen=True, slots=True)
class RuleLine:
    """A rule of the scenario on a nutrient or a ratio, one for each of its ends; `beside` is None where none is told.

    `coverage` is of what the rule is about; `destroyed_by` as in a line of a nutrient.
    """

    bound: Bound
    coverage: Fraction
    beside: Beside | None
    destroyed_by: tuple[str, ...] = ()
    spans: bool = False

    @property
    def limit(self) -> NutrientLimit | RatioLimit:
        """What the rule is about."""
        return self.bound.limit


@dataclass(frozen=True, slots=True)
class EnergyLine:
    """What a dog's food gives a day on average, beside what dogs of its weight need; all in kcal a day.

    `day` counts `treats`, which are known where the ration is in energy. It is what is known; food of unknown energy
    brings it to `most_day` at most.
    `low` and `high` are the ends of the published range that `applies`, `measured` and `spread` the mean of measured
    needs and its standard deviation.
    """

    day: Fraction
    treats: Fraction
    coverage: Fraction
    resting: Fraction
    low: Fraction
    high: Fraction
    applies: str
    measured: Fraction
    spread: Fraction
    trust: Trust
    sources: tuple[str, ...]
    most_day: Fraction

    @property
    def is_known(self) -> bool:
        """Whether of enough of the food the energy is known to call what is known what is fed."""
        return self.coverage >= ENOUGH_KNOWN

    @property
    def standing(self) -> Standing:
        """Where it stands beside the published range, as it is printed; what is not known is given its benefit."""
        if half_up(self.day) > half_up(self.high):
            return Standing.ABOVE
        if half_up(self.day if self.is_known else self.most_day) < half_up(self.low):
            return Standing.BELOW
        return Standing.MEETS if self.is_known else Standing.UNKNOWN


@dataclass(frozen=True, slots=True)
class Minded:
    """Something to ask a veterinarian about: the number, its limit, and where the limit is from. No diagnosis.

    `says` is a clause about this dog, `advice` is the same for every dog with the same key.
    """

    key: str
    heading: str
    says: str
    advice: str
    sources: tuple[str, ...]
    trust: Trust


@dataclass(frozen=True, slots=True)
class Nourished:
    """What one dog's food holds. A dog in a veterinarian's care has no energy need, no bound and nothing to mind."""

    dog: str
    profile: str
    lines: tuple[NutrientLine, ...]
    ratios: tuple[RatioLine, ...] = ()
    energy: EnergyLine | None = None
    minded: tuple[Minded, ...] = ()
    rules: tuple[RuleLine, ...] = ()

    @property
    def beside(self) -> tuple[Beside, ...]:
        """All bounds of the profile beside what is fed."""
        of_ratios = (each for line in self.ratios for each in line.beside)
        return (*(each for line in self.lines for each in line.beside), *of_ratios)

    def line(self, nutrient: str) -> NutrientLine:
        """The line of that nutrient; StopIteration where it is not told."""
        return next(one for one in self.lines if one.nutrient == nutrient)
