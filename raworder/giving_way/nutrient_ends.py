"""How the rules on nutrients give way: either end of a limit or a ratio; how far is for a veterinarian to say."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil, floor
from typing import TypeVar

from raworder.giving_way.demand import Changes, End, Level, Looser, OfDogs
from raworder.giving_way.yaml_text import Limit, end_text, limits_text, percent_text
from raworder.reporting.words import dogs_text
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import NutrientLimit, RatioLimit
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.trade.units import share_text

AnyLimit = TypeVar("AnyLimit", NutrientLimit, RatioLimit)

LIMIT_PART = Fraction(1, 20)
"""The step in the study of what one more is worth: a twentieth of what is asked."""


class NutrientEnd(OfDogs):
    """One end of a limit on a nutrient, or on the ratio of two; asks for nothing where its level is None."""

    level: Fraction | None
    about: Limit
    end: End
    field = "nutrients"
    worth_place = 4

    @property
    def rule(self) -> str:
        """The rule on nutrients, or on ratios."""
        return "nutrient" if isinstance(self.about, NutrientLimit) else "nutrient_ratio"

    @classmethod
    def all_of(cls, scenario: Scenario) -> Iterator["NutrientEnd"]:
        """Every end of every limit of the dogs that eat anything; of calcium for growing dogs apart."""
        bound: dict[tuple[bool, Fraction, Limit, End], list[str]] = {}
        for dog in scenario.dogs:
            limits: tuple[Limit, ...] = (*dog.nutrient_limits, *dog.ratio_limits)
            for limit in limits if dog.batch_g else ():
                grows = dog.puppy and _is_calcium(limit)
                for end, amount in ((End.LOW, limit.low), (End.HIGH, limit.high)):
                    if amount is not None:
                        bound.setdefault((grows, amount, limit, end), []).append(dog.name)
        for (grows, amount, limit, end), dogs in bound.items():
            yield (CalciumToGrow if grows else cls)(amount, limit, end, tuple(dogs))

    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with that end at another level, or none; a dog without such a limit gets it."""
        amount = None if level is None else Fraction(level)
        dogs = (self._move_end(dog, amount) if dog.name in self.dogs else dog for dog in scenario.dogs)
        return replace(scenario, dogs=tuple(dogs))

    def _move_end(self, dog: Dog, level: Fraction | None) -> Dog:
        if isinstance(self.about, NutrientLimit):
            return replace(dog, nutrient_limits=_move_end_of(dog.nutrient_limits, self.about, self.end, level))
        return replace(dog, ratio_limits=_move_end_of(dog.ratio_limits, self.about, self.end, level))

    def step(self, _: Scenario) -> Fraction:
        """A round step that is small beside what is asked."""
        return _fine_step(self.level or Fraction(0))

    def nearest_level(self, _: Scenario, level: Fraction) -> Level:
        """The amount as it is."""
        return level

    def levels(self, scenario: Scenario) -> Sequence[Level]:
        """Step by step down to zero, or up to twice what is asked; last None, which asks for nothing."""
        asked, step = self.level or Fraction(0), self.step(scenario)
        if self.is_minimum:
            return [*(count * step for count in range(ceil(asked / step) - 1, 0, -1)), None]
        return [*(count * step for count in range(floor(asked / step) + 1, floor(2 * asked / step) + 1)), None]

    def asks(self, _: Scenario, level: Level) -> str:
        """The least or the most of the nutrient or ratio."""
        amount = None if level is None else Fraction(level)
        return end_text(self.about, amount, is_most=self.end is End.HIGH)

    def difference_text(self, _: Scenario, level: Level) -> str:
        """The difference as a percentage of what was asked."""
        if level is None:
            return "all of it"
        part = abs(self.difference(level)) / (self.level or 1)
        word = "more" if self.difference(level) > 0 else "less"
        return f"{percent_text(Fraction(round(part * 1000), 1000))} {word}"

    def instead_text(self, scenario: Scenario, level: Level) -> str:
        """What is asked instead, and how much less that is; not how much where nothing was asked before."""
        return self._text_at(scenario, level) if self.level is None else super().instead_text(scenario, level)

    def yaml_entry_for(self, scenario: Scenario, dog: Dog, _: Changes, *, is_shared: bool) -> str:
        """All limits of the dog, and `none` for limits of `all_dogs` that it has not."""
        key = f"{self.field} "
        common = [name.removeprefix(key) for name, _ in scenario.places if name.startswith(key)]
        return limits_text((*dog.nutrient_limits, *dog.ratio_limits), () if is_shared else common)

    @classmethod
    def one_step_looser(cls, scenario: Scenario, _base: Plan) -> Iterator[Looser]:
        """A minimum lowered, or a maximum raised, by a twentieth; not of calcium for growing dogs."""
        for limited in cls.all_of(scenario):
            if isinstance(limited, CalciumToGrow):
                continue
            asked, is_most = limited.level or Fraction(0), limited.end is End.HIGH
            loose = limited.set_level(scenario, asked * (1 + LIMIT_PART if is_most else 1 - LIMIT_PART))
            limit = f"{limited.asks(scenario, asked)} for {dogs_text(limited.dogs)}"
            step = f"{share_text(LIMIT_PART, 0)} {'more' if is_most else 'less'} of that"
            yield Looser(limited.rule, limit, step, loose, is_near=True)


class CalciumToGrow(NutrientEnd):
    """A limit on the calcium of growing dogs: it clashes like any other rule, but never gives way."""

    @property
    def key(self) -> str:
        """Other than that of the same limit of grown dogs."""
        return f"{super().key} to grow"

    def levels(self, _: Scenario) -> Sequence[Level]:
        """None."""
        return []


def _is_calcium(limit: Limit) -> bool:
    """Whether the limit is on calcium, or on a ratio with it."""
    keys = {limit.nutrient} if isinstance(limit, NutrientLimit) else {limit.over, limit.under}
    return "calcium" in keys


def _move_end_of(
    limits: tuple[AnyLimit, ...], limit: AnyLimit, end: End, level: Fraction | None
) -> tuple[AnyLimit, ...]:
    """The limits with one end of one of them at another level; a limit that is not among them is added."""
    with_limit: list[AnyLimit] = list(limits)
    if all(other.key != limit.key for other in limits):
        with_limit.append(replace(limit, low=None, high=None))
    moved: list[AnyLimit] = [_set_end(other, end, level) if other.key == limit.key else other for other in with_limit]
    return tuple(other for other in moved if other.low is not None or other.high is not None)


def _set_end(limit: AnyLimit, end: End, level: Fraction | None) -> AnyLimit:
    # A least of nothing asks for nothing; a most of nothing forbids all of it.
    return replace(limit, low=level or None) if end is End.LOW else replace(limit, high=level)


def _fine_step(amount: Fraction) -> Fraction:
    """The power of ten that goes 100 to 1000 times into an amount: 0.1 for 15, 0.001 for 0.125."""
    step = Fraction(1)
    while amount and amount < 100 * step:
        step /= 10
    while amount >= 1000 * step:
        step *= 10
    return step
