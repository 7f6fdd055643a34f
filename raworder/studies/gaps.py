"""Gaps: what it costs to meet each bound of a profile that a plan's food misses, by solving again with it as a rule."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from raworder.document import Document
from raworder.dogs import Dog
from raworder.nourishment import Beside, Nourished, Standing
from raworder.nutrients import Bound, NutrientLimit, RatioLimit
from raworder.plan import Plan
from raworder.solving.search import HANDIEST, Start, Wanted
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.gaps_paper import Answers, Filled, Gap, gaps_paper
from raworder.studies.orders import Order, order_before_sharing, start_of
from raworder.trade import Scenario
from raworder.workflow import with_nourishment

TOGETHER = "together"
"""The key of the question what all gaps cost that can be filled one by one."""


def gaps(scenario: Scenario, base: Plan, ask: Ask) -> Document:
    """Every bound that is missed, dogs with the same bound together: what the cheapest order that meets it costs.

    Then all of them that can be met, together. What is not known enough, or is destroyed in the food whatever is added,
    is told and not asked.
    """
    plan = with_nourishment(scenario, base)
    off = gaps_of(plan.nourished, (Standing.BELOW, Standing.ABOVE))
    lost = tuple(gap for gap in off if destroyers_of(gap, plan.nourished))
    missed = {str(place): gap for place, gap in enumerate(gap for gap in off if gap not in lost)}
    start = start_of(base)
    found = ask([_task(key, scenario, (gap,), start, ask.settings) for key, gap in missed.items()])
    filled = [Filled(missed[key], order) for key, order in found.items()]
    able = tuple(one.gap for one in filled if isinstance(one.order, Plan))
    if len(able) > 1:
        found |= ask([_task(TOGETHER, scenario, able, start, ask.settings)])
    unknown = gaps_of(plan.nourished, (Standing.UNKNOWN,))
    destroyed = tuple((gap, destroyers_of(gap, plan.nourished)) for gap in lost)
    return gaps_paper(scenario, plan, Answers(filled, found.get(TOGETHER), able, unknown, len(missed), destroyed))


def gaps_of(nourished: Iterable[Nourished], standings: Sequence[Standing]) -> tuple[Gap, ...]:
    """The bounds that stand so, each once with the dogs that it is about, in the order of the first of them."""
    found: dict[tuple[str, Bound], list[tuple[str, Beside]]] = {}
    for one in nourished:
        for each in one.beside:
            if each.standing in standings:
                found.setdefault((one.profile, each.bound), []).append((one.dog, each))
    return tuple(
        Gap(profile, bound, tuple(dog for dog, _ in dogs), tuple(each.given for _, each in dogs))
        for (profile, bound), dogs in found.items()
    )


def destroyers_of(gap: Gap, nourished: Iterable[Nourished]) -> tuple[str, ...]:
    """The cuts in the food of its dogs that destroy what a gap is about, each once."""
    limit = gap.bound.limit
    keys = {limit.nutrient} if isinstance(limit, NutrientLimit) else {limit.over, limit.under}
    lines = (line for one in nourished if one.dog in gap.dogs for line in one.lines if line.nutrient in keys)
    return tuple(dict.fromkeys(cut for line in lines for cut in line.destroyed_by))


def with_bounds(scenario: Scenario, asked: Iterable[Gap]) -> Scenario:
    """The scenario in which these bounds are rules for the dogs that miss them."""
    more: dict[str, list[Bound]] = {}
    for gap in asked:
        for dog in gap.dogs:
            more.setdefault(dog, []).append(gap.bound)
    dogs = (_with_limits(dog, more.get(dog.name, ())) for dog in scenario.dogs)
    return replace(scenario, dogs=tuple(dogs))


def order_that_meets(
    scenario: Scenario, asked: tuple[Gap, ...], start: Start, settings: Settings, wanted: Wanted = HANDIEST
) -> Order:
    """The cheapest order that meets these bounds too, audited; or that there is none, or none was found in time."""
    return order_before_sharing(with_bounds(scenario, asked), settings, replace(wanted, start=start))


def _task(key: str, scenario: Scenario, asked: tuple[Gap, ...], start: Start, settings: Settings) -> Task[Order]:
    return Task(key, order_that_meets, (scenario, asked, start, settings))


def _with_limits(dog: Dog, bounds: Iterable[Bound]) -> Dog:
    """The dog with bounds as rules beside its own; where both are about the same, both hold."""
    nutrients = {one.key: one for one in dog.nutrient_limits}
    ratios = {one.key: one for one in dog.ratio_limits}
    for bound in bounds:
        if isinstance(bound.limit, NutrientLimit):
            nutrients[bound.limit.key] = _both(nutrients, bound.limit)
        else:
            ratios[bound.limit.key] = _both(ratios, bound.limit)
    return replace(dog, nutrient_limits=tuple(nutrients.values()), ratio_limits=tuple(ratios.values()))


Limit = TypeVar("Limit", NutrientLimit, RatioLimit)


def _both(known: Mapping[str, Limit], limit: Limit) -> Limit:
    """The limit within the one that is known of the same, if any."""
    own = known.get(limit.key, limit)
    lows = [one for one in (own.low, limit.low) if one is not None]
    highs = [one for one in (own.high, limit.high) if one is not None]
    return replace(limit, low=max(lows, default=None), high=min(highs, default=None))
