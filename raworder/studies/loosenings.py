"""Loosenings: a demand at another level, as a person would write it; the least that is enough, and a little further."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from raworder.solving.demands import SPECIES, Demand, End, Level, altered, free_level, muscle_moved
from raworder.trade import Scenario

SHARE_STEP = Fraction(1, 1000)
"""Shares are written to a tenth of a percent."""

DAY_STEP = Fraction(1, 100)
"""The most of a day's food is written to a percent."""

WEIGHT_STEP_G = 10
"""Room, and what is sold by weight, is written in so many grams."""

FURTHER = (0, 1, 2, 5, 10)
"""So many steps beyond the least that the model shows are tried, until a whole plan is made with it."""

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
    found = [_loosening(scenario, demand, missed, along, further) for further in FURTHER]
    if bound is not None:
        found.insert(0, _loosening(scenario, demand, bound, along, 0))
    yield from (change for change in dict.fromkeys(found) if change.level != demand.level)


def levels(scenario: Scenario, demand: Demand) -> Sequence[Level]:
    """All levels of a rule of bags beyond the one it stands at, the nearest first."""
    step_g = scenario.portioning.scale_step_g
    match demand.rule:
        case "least_portion":
            return range(int(demand.level or 0) - step_g, 0, -step_g)
        case "week_share" | "day_most":
            step = SHARE_STEP if demand.rule == "week_share" else DAY_STEP
            first = Fraction(demand.level or 0) // step + 1
            return [step * number for number in range(first, int(1 / step) + 1)]
        case _:
            return [free_level(scenario, demand)]


def nearest(found: Sequence[Level], is_enough: Callable[[Level], bool]) -> int | None:
    """The place of the first level that is enough, where all after one that is enough are too; None where none is."""
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
    step, asked = _step(scenario, demand), Fraction(demand.level or 0)
    if _falls(demand):
        count = -ceil((missed - asked) / step - NEARLY) - further
    else:
        count = ceil((asked + missed) / step - NEARLY) + further
    muscle = ceil(along / SHARE_STEP - NEARLY)
    moved = (muscle + further) * SHARE_STEP if muscle else Fraction(0)
    return Loosening(demand, _level(scenario, demand, count * step), moved)


def _falls(demand: Demand) -> bool:
    """Whether the demand asks for less at a lower level."""
    return demand.end is End.LOW or demand.rule == "minimum_order" or demand.about == SPECIES


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
        case "cap" | "part_share":
            return SHARE_STEP
        case _:
            return Fraction(1) if isinstance(demand.level, int) else SHARE_STEP


def _level(scenario: Scenario, demand: Demand, level: Fraction) -> Level:
    """The level in the demand's own measure, inside what can be asked for."""
    if isinstance(demand.level, Decimal):
        return max(scenario.currency.rounded(level), Decimal(0))
    if isinstance(demand.level, int):
        return max(int(level), 1)
    return min(max(level, Fraction(0)), Fraction(1))
