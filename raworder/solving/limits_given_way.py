"""Rules on nutrients that give way: each end of a limit once for all dogs that it binds, and a scenario without it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeVar

from raworder.trade.dogs import Dog
from raworder.trade.nutrients import NutrientLimit, RatioLimit
from raworder.trade.scenario import Scenario

Limit = NutrientLimit | RatioLimit
AnyLimit = TypeVar("AnyLimit", NutrientLimit, RatioLimit)


@dataclass(frozen=True, slots=True)
class LimitEnd:
    """One end of a limit: `low` or `high`, what it asks, and the dogs that it binds."""

    limit: Limit
    end: str
    asked: Fraction
    dogs: tuple[str, ...]

    @property
    def rule(self) -> str:
        """The key of its rule."""
        return "nutrient" if isinstance(self.limit, NutrientLimit) else "nutrient_ratio"


def limit_ends(scenario: Scenario) -> Iterator[LimitEnd]:
    """Every end of a limit, once for all dogs that have it."""
    bound: dict[tuple[Limit, str, Fraction], list[str]] = {}
    for dog in scenario.dogs:
        limits: tuple[Limit, ...] = (*dog.nutrient_limits, *dog.ratio_limits)
        for limit in limits if dog.batch_g else ():
            for end, asked in (("low", limit.low), ("high", limit.high)):
                if asked is not None:
                    bound.setdefault((limit, end, asked), []).append(dog.name)
    yield from (LimitEnd(limit, end, asked, tuple(dogs)) for (limit, end, asked), dogs in bound.items())


def with_limit(
    scenario: Scenario, limit: Limit, dogs: tuple[str, ...], level: Fraction | None, *, is_most: bool
) -> Scenario:
    """The scenario in which one end of a limit of some dogs stands elsewhere, or asks for nothing.

    A dog without such a limit gets it.
    """
    return replace(
        scenario,
        dogs=tuple(_with(dog, limit, level, is_most=is_most) if dog.name in dogs else dog for dog in scenario.dogs),
    )


def _with(dog: Dog, limit: Limit, level: Fraction | None, *, is_most: bool) -> Dog:
    if isinstance(limit, NutrientLimit):
        nutrients = _with_end(dog.nutrient_limits, limit, level, is_most=is_most)
        return replace(dog, nutrient_limits=nutrients)
    return replace(dog, ratio_limits=_with_end(dog.ratio_limits, limit, level, is_most=is_most))


def _with_end(
    limits: tuple[AnyLimit, ...], limit: AnyLimit, level: Fraction | None, *, is_most: bool
) -> tuple[AnyLimit, ...]:
    """The limits with one end of one of them elsewhere, which is added where it is none of them."""
    there: list[AnyLimit] = list(limits)
    if all(one.key != limit.key for one in limits):
        there.append(replace(limit, low=None, high=None))
    moved: list[AnyLimit] = [_moved(one, level, is_most=is_most) if one.key == limit.key else one for one in there]
    return tuple(one for one in moved if _asks(one))


def _moved(limit: AnyLimit, level: Fraction | None, *, is_most: bool) -> AnyLimit:
    return replace(limit, high=level) if is_most else replace(limit, low=level or None)


def _asks(limit: Limit) -> bool:
    return limit.low is not None or limit.high is not None
