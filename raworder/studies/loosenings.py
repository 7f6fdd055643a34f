"""Loosenings: a demand at another level, as a person would write it; the least that is enough, and a little further."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor
from typing import TypeVar

from raworder.solving.demands import (
    MOST_OF_ONE,
    MOST_POINTS,
    SPECIES,
    Demand,
    End,
    Level,
    altered,
    free_level,
    muscle_moved,
)
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.scenario import Scenario

Item = TypeVar("Item")

SHARE_STEP = Fraction(1, 1000)
"""Shares are written to a tenth of a percent."""

DAY_STEP = Fraction(1, 100)
"""The most of a day's food is written to a percent."""

WEIGHT_STEP_G = 10
"""Room, and what is sold by weight, is written in so many grams."""

FURTHER = (0, 1, 2, 5, 10)
"""So many steps beyond the least that the model shows are tried, until a whole plan is made with it."""

ALL_THE_WAY = int(MOST_POINTS / SHARE_STEP)
"""So many steps take a share as far as it may go."""

MOST_BONE_A_DAY = Fraction(1, 2)
"""Of a day's food no more than that is ever proposed to be bone. Source: common practice, no source."""

OF_NUTRIENTS = frozenset({"nutrient", "nutrient_ratio"})
"""The rules on nutrients: how far they give way is nobody's to say but a veterinarian's."""

NEARLY = Fraction(1, 1000)
"""Of a step: less is the solver's tolerance."""


@dataclass(frozen=True, slots=True)
class Loosening:
    """A demand at another level, and by how much muscle's range is widened along with it."""

    demand: Demand
    level: Level
    muscle: Fraction = Fraction(0)


def applied(scenario: Scenario, changes: Iterable[Loosening]) -> Scenario:
    """The scenario with these changes; those of muscle's own range must come first."""
    for change in changes:
        scenario = altered(scenario, change.demand, change.level)
        if change.muscle:
            scenario = muscle_moved(scenario, change.demand, change.muscle)
    return scenario


def rungs(
    scenario: Scenario, demand: Demand, missed: Fraction, along: Fraction, bound: Fraction | None = None
) -> Iterator[Loosening]:
    """The least change that makes up for what must be missed at least, and is missed, then changes a little further."""
    steps = FURTHER if furthest_share(demand) is None else (*FURTHER, ALL_THE_WAY)
    found = [_loosening(scenario, demand, missed, along, further) for further in steps]
    if bound is not None:
        found.insert(0, _loosening(scenario, demand, bound, along, 0))
    yield from (change for change in dict.fromkeys(found) if change.level != demand.level)


def levels(scenario: Scenario, demand: Demand) -> Sequence[Level]:
    """All levels of a rule of bags beyond the one it stands at that may be proposed, the nearest first."""
    step_g, furthest = scenario.portioning.scale_step_g, furthest_share(demand)
    if demand.rule in OF_NUTRIENTS:
        return [*_nutrient_levels(demand), None]
    if demand.rule == "least_portion":
        return range(int(demand.level or 0) - step_g, 0, -step_g)
    if furthest is None:
        return [free_level(scenario, demand)]
    step = _step(scenario, demand)
    first = Fraction(demand.level or 0) // step + 1
    return [step * number for number in range(first, floor(furthest / step) + 1)]


def furthest_share(demand: Demand) -> Fraction | None:
    """How far a demand for a share may move at most; None for what is no share."""
    share = demand.rule in {"cap", "part_share", "week_share", "day_most"} or demand.about == MOST_OF_ONE
    if not share:
        return None
    if demand.rule == "day_most" and demand.about == Subject(Measure.PART, Part.BONE):
        return MOST_BONE_A_DAY
    asked = Fraction(demand.level or 0)
    return max(asked - MOST_POINTS, Fraction(0)) if _falls(demand) else min(asked + MOST_POINTS, Fraction(1))


def as_far_as_may_be(scenario: Scenario, demand: Demand) -> Loosening:
    """A share moved as far as it may be, muscle's range as it is."""
    return _loosening(scenario, demand, MOST_POINTS, Fraction(0), 0)


def goes_too_far(scenario: Scenario, changes: Iterable[Loosening]) -> bool:
    """Whether the changes together move an end of any range, as muscle's may be by several, by too much."""
    before = [target for dog in scenario.dogs for target in dog.targets]
    after = [target for dog in applied(scenario, changes).dogs for target in dog.targets]
    return any(
        abs(now.low - was.low) > MOST_POINTS or abs(now.high - was.high) > MOST_POINTS
        for was, now in zip(before, after, strict=True)
    )


def muscle_alone(scenario: Scenario, change: Loosening) -> Loosening | None:
    """What a change moves along of muscle's range, as a change of muscle's own; None where that is not just one."""
    demand = change.demand
    dogs = [dog for dog in scenario.dogs if dog.name in demand.dogs]
    ranges = {target for dog in dogs for target in dog.targets if target.part is Part.MUSCLE}
    if not change.muscle or len(ranges) != 1:
        return None
    (muscle,) = ranges
    falls = demand.other_end is End.LOW
    asked = muscle.low if falls else muscle.high
    level = max(asked - change.muscle, Fraction(0)) if falls else min(asked + change.muscle, Fraction(1))
    return Loosening(Demand("part_share", asked, muscle, demand.other_end, demand.dogs), level)


def is_alike(loosening: Loosening, other: Loosening) -> bool:
    """Whether two changes are about the same end of the same range or rule, for whichever dogs."""
    return (loosening.demand.rule, loosening.demand.about, loosening.demand.end) == (
        other.demand.rule,
        other.demand.about,
        other.demand.end,
    )


def lesser(scenario: Scenario, change: Loosening) -> range:
    """How many steps, counted from zero, each level has that lies between what is asked and the change's."""
    demand = change.demand
    if demand.rule == "whole_pieces":
        return range(0)
    step = _step(scenario, demand)
    asked, level = Fraction(demand.level or 0) / step, Fraction(change.level or 0) / step
    return range(ceil(asked) - 1, floor(level), -1) if _falls(demand) else range(floor(asked) + 1, ceil(level))


def at_step(scenario: Scenario, demand: Demand, count: int) -> Level:
    """The level that has so many steps, counted from zero."""
    return _level(scenario, demand, count * _step(scenario, demand))


def nearest(found: Sequence[Item], is_enough: Callable[[Item], bool]) -> int | None:
    """The place of the first that is enough, where all after one that is enough are too; None where none is."""
    if not found:
        return None
    low, step = -1, 1
    while low + step < len(found) and not is_enough(found[low + step]):
        low, step = low + step, step * 2
    high = min(low + step, len(found) - 1)
    if high == len(found) - 1 and not is_enough(found[high]):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(found[middle]) else (middle, high)
    return high


def _loosening(scenario: Scenario, demand: Demand, missed: Fraction, along: Fraction, further: int) -> Loosening:
    """The change by so many steps more than what is missed; muscle moves along only where it has to."""
    step, asked, furthest = _step(scenario, demand), Fraction(demand.level or 0), furthest_share(demand)
    if _falls(demand):
        count = floor((asked - missed) / step + NEARLY) - further
        count = count if furthest is None else max(count, ceil(furthest / step))
    else:
        count = ceil((asked + missed) / step - NEARLY) + further
        count = count if furthest is None else min(count, floor(furthest / step))
    muscle = ceil(along / SHARE_STEP - NEARLY)
    moved = min((muscle + further) * SHARE_STEP, MOST_POINTS) if muscle else Fraction(0)
    return Loosening(demand, _level(scenario, demand, count * step), moved)


def _nutrient_levels(demand: Demand) -> Iterator[Fraction]:
    """Levels of a rule on a nutrient: down to nothing, or up to twice what is asked."""
    asked = Fraction(demand.level or 0)
    step = _fine(asked)
    if _falls(demand):
        yield from (count * step for count in range(ceil(asked / step) - 1, 0, -1))
    else:
        yield from (count * step for count in range(floor(asked / step) + 1, floor(2 * asked / step) + 1))


def _fine(amount: Fraction) -> Fraction:
    """A round step of which an amount has a hundred to a thousand: 0.1 for 15, 0.001 for 0.125."""
    step = Fraction(1)
    while amount and amount < 100 * step:
        step /= 10
    while amount >= 1000 * step:
        step *= 10
    return step


def _falls(demand: Demand) -> bool:
    """Whether the demand asks for less at a lower level."""
    return demand.end is End.LOW or demand.rule in {"minimum_order", "least_portion"} or demand.about == SPECIES


def _step(scenario: Scenario, demand: Demand) -> Fraction:
    """In what steps a person writes it."""
    match demand.rule:
        case "budget" | "minimum_order":
            return Fraction(scenario.currency.minor)
        case "room":
            return Fraction(WEIGHT_STEP_G)
        case "pack_count":
            offer = scenario.offer(str(demand.about))
            return Fraction(ceil(WEIGHT_STEP_G / offer.unit_g) if offer.by_weight else 1)
        case "day_most" | "nutrient" | "nutrient_ratio":
            return DAY_STEP if demand.rule == "day_most" else _fine(Fraction(demand.level or 0))
        case "least_portion":
            return Fraction(scenario.portioning.scale_step_g)
        case _:
            return Fraction(1) if isinstance(demand.level, int) else SHARE_STEP


def _level(scenario: Scenario, demand: Demand, level: Fraction) -> Level:
    """The level in the demand's own measure, inside what can be asked for."""
    if isinstance(demand.level, Decimal):
        return max(scenario.currency.rounded(level), Decimal(0))
    if isinstance(demand.level, int):
        return max(int(level), 1)
    if demand.rule in OF_NUTRIENTS:
        return level
    return min(max(level, Fraction(0)), Fraction(1))
