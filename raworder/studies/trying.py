"""Trying: a demand alone, or several together, given way by the least that opens a plan; proved by planning with it."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import partial
from itertools import islice
from time import monotonic

from raworder.plan import NoPlan, Plan, Unfilled, Unsolved
from raworder.portioning.bagged import Unbagged, bagged
from raworder.solving.bags import TimeIsUpError, bag_solver
from raworder.solving.demands import OF_BAGS, Demand, Level, altered, demands_of, free_level, without
from raworder.solving.least_missed import Missed, is_possible, least_missed
from raworder.solving.search import Impossible
from raworder.solving.soft import NOT_SOFT
from raworder.solving.solver import Settings
from raworder.studies.loosenings import FURTHER, Loosening, applied, levels, nearest, rungs
from raworder.trade import Scenario
from raworder.workflow import AtFaultError, Withheld, plan_batch

FOR_SOME = 2
"""So many steps are tried for some of the dogs that a rule binds, before it gives way for all of them."""

Left = Callable[[], Settings]
"""The settings with the time that is left by then."""


@dataclass(frozen=True, slots=True)
class Opened:
    """Changes with which there is a plan, what its order costs, and whether that is proved to be the least."""

    changes: tuple[Loosening, ...]
    total: Decimal
    proved: bool


@dataclass(frozen=True, slots=True)
class Tried:
    """What came of trying a demand, or several: whether an order is possible without, and what opens a plan.

    `helps` is None where the time limit came first; `in_time` is false where it came before a whole plan was made.
    """

    demands: tuple[Demand, ...]
    helps: bool | None
    opened: Opened | None = None
    in_time: bool = True


def from_now(settings: Settings) -> Left:
    """The settings, their time running from now on."""
    return partial(settings.left_since, monotonic())


def tried(scenario: Scenario, demand: Demand, settings: Settings) -> Tried:
    """The least change of one demand that opens a plan, if one does."""
    left = from_now(settings)
    try:
        return _tried_hard(scenario, demand, left) if demand.rule in NOT_SOFT else _tried_soft(scenario, demand, left)
    except TimeIsUpError:
        return Tried((demand,), None)


def _tried_soft(scenario: Scenario, demand: Demand, left: Left) -> Tried:
    """The least change of a demand that can be missed by a little."""
    missed = least_missed(scenario, (demand,), left())
    if isinstance(missed, Impossible | Unsolved):
        return Tried((demand,), None if isinstance(missed, Unsolved) else False)
    if not missed.by[0] and demand.rule != "budget":
        return Tried((demand,), helps=True)  # only rounding to the minor unit stands in the way
    ways = [(change,) for change in _ways(scenario, demand, missed)]
    return _planned_with(scenario, demand, ways, left)


def _planned_with(scenario: Scenario, demand: Demand, ways: Iterable[tuple[Loosening, ...]], left: Left) -> Tried:
    """What comes of planning with the ways that one demand, without which an order is possible, may give way."""
    try:
        opened = first_opened(scenario, ways, left) or _within_its_price(scenario, demand, left)
    except TimeIsUpError:
        return Tried((demand,), True, in_time=False)
    return Tried((demand,), True, opened)


def _ways(scenario: Scenario, demand: Demand, missed: Missed) -> Iterator[Loosening]:
    """The least change for those dogs alone that it is missed for, then for all that it binds, and a little further."""
    least = missed.by[0], missed.muscle[0], missed.bound
    if missed.dogs and missed.dogs != demand.dogs:
        yield from islice(rungs(scenario, replace(demand, dogs=missed.dogs), *least), FOR_SOME)
    yield from rungs(scenario, demand, *least)


def tried_for_bags(scenario: Scenario, unfilled: Unfilled, demand: Demand, settings: Settings) -> Tried:
    """The least change of one rule of bags, or of the budget, with which the bags can be filled."""
    left = from_now(settings)
    try:
        if demand.rule == "budget":
            opened = _within_its_price(scenario, demand, left)
            return Tried((demand,), opened is not None, opened)
        found = levels(scenario, demand)
        place = nearest(found, lambda level: fills(altered(scenario, demand, level), unfilled, left))
        if place is None:
            return Tried((demand,), helps=False)
        ways = [(Loosening(demand, level),) for level in _a_little_further(found, place)]
        return Tried((demand,), True, first_opened(scenario, ways, left))
    except TimeIsUpError:
        return Tried((demand,), None)


def fills(scenario: Scenario, unfilled: Unfilled, left: Left) -> bool:
    """Whether the bags of the dogs that have none can be filled by the rules of this scenario."""
    solve = bag_solver(left(), monotonic())
    return not isinstance(bagged(scenario, unfilled.plan, unfilled.fed_alike, solve, unfilled.dogs), Unbagged)


def can_fill(scenario: Scenario, unfilled: Unfilled, settings: Settings) -> bool | None:
    """Whether the bags can be filled by the rules of this scenario; None where the time limit came first."""
    try:
        return fills(scenario, unfilled, from_now(settings))
    except TimeIsUpError:
        return None


def tried_together(scenario: Scenario, hard: Sequence[Demand], settings: Settings) -> Tried:
    """The fewest demands that must give way together, and the least of each; those of `hard` may be left out whole."""
    try:
        return _tried_together(scenario, hard, from_now(settings))
    except TimeIsUpError:
        return Tried((), None)


def _tried_together(scenario: Scenario, hard: Sequence[Demand], left: Left) -> Tried:
    """The demands that are missed where as few are as can be, with those of `hard` that must be left out too."""
    soft = [demand for demand in demands_of(scenario) if demand.rule not in NOT_SOFT]
    missed = least_missed(without(scenario, hard), soft, left())
    if isinstance(missed, Impossible | Unsolved):
        return Tried((), None if isinstance(missed, Unsolved) else False)
    given = [one for one in zip(soft, missed.by, missed.muscle, strict=True) if one[1] > Fraction(1, 10**6)]
    needed = _needed(scenario, [demand for demand, _, _ in given], hard, left)
    cut = tuple(Loosening(demand, free_level(scenario, demand)) for demand in needed)
    ladders = [list(rungs(scenario, *one)) for one in given]
    ways = [
        (*(ladder[min(rung, len(ladder) - 1)] for ladder in ladders if ladder), *cut)
        for rung in range(max((len(ladder) for ladder in ladders), default=1))
    ]
    demands = (*(demand for demand, _, _ in given), *needed)
    opened = first_opened(scenario, ways, left) or _with_bags(scenario, ways[0], left)
    return Tried(demands, True, opened)


def _with_bags(scenario: Scenario, way: tuple[Loosening, ...], left: Left) -> Opened | None:
    """The changes with rules of bags that must give way too, where only bags stand in the way then."""
    changed = applied(scenario, way)
    answer = planned(changed, left())
    if not isinstance(answer, NoPlan) or answer.unfilled is None:
        return None
    opened = tried_together_for_bags(changed, answer.unfilled, left()).opened
    return None if opened is None else replace(opened, changes=(*way, *opened.changes))


def tried_together_for_bags(scenario: Scenario, unfilled: Unfilled, settings: Settings) -> Tried:
    """Rules of bags none of which can be kept while the others give way, each with the least that is enough."""
    left = from_now(settings)
    demands = demands_of_bags(scenario, unfilled)
    try:
        if not fills(without(scenario, demands), unfilled, left):
            return Tried((), helps=False)
        changes = [Loosening(demand, free_level(scenario, demand)) for demand in demands]
        for change in tuple(changes):
            fewer = [one for one in changes if one is not change]
            if fills(applied(scenario, fewer), unfilled, left):
                changes = fewer
        for place in range(len(changes)):
            changes[place] = _least_beside(scenario, unfilled, changes, place, left)
        opened = first_opened(scenario, [tuple(changes)], left)
    except TimeIsUpError:
        return Tried((), None)
    return Tried(tuple(one.demand for one in changes), True, opened)


def demands_of_bags(scenario: Scenario, unfilled: Unfilled) -> tuple[Demand, ...]:
    """The rules of bags that may give way; of whole pieces only those that a dog without bags is fed."""
    fed = {one.cut for one in unfilled.plan.portions if one.dog in unfilled.dogs}
    found = (demand for demand in demands_of(scenario) if demand.rule in OF_BAGS)
    return tuple(demand for demand in found if demand.rule != "whole_pieces" or demand.about in fed)


def first_opened(scenario: Scenario, ways: Iterable[tuple[Loosening, ...]], left: Left) -> Opened | None:
    """The first of several ways that gives a plan, whole and audited; TimeIsUpError where one was not solved."""
    for way in ways:
        answer = planned(applied(scenario, way), left())
        if isinstance(answer, Unsolved):
            raise TimeIsUpError
        if isinstance(answer, Plan):
            return Opened(way, answer.total, answer.proof.proved)
    return None


def planned(scenario: Scenario, settings: Settings) -> Plan | NoPlan | Unsolved:
    """What the whole workflow says; AtFaultError where the audit is against it."""
    answer = plan_batch(scenario, settings)
    if isinstance(answer, Withheld):
        raise AtFaultError.of(answer.breaches)
    return answer


def _within_its_price(scenario: Scenario, demand: Demand, left: Left) -> Opened | None:
    """A budget of just what the plan costs that is made without one; for other demands nothing."""
    if demand.rule != "budget":
        return None
    answer = planned(without(scenario, (demand,)), left())
    if not isinstance(answer, Plan):
        return None
    return first_opened(scenario, [(Loosening(demand, answer.total),)], left)


def _tried_hard(scenario: Scenario, demand: Demand, left: Left) -> Tried:
    """The least change of a demand that holds or does not, found by trying its levels."""
    helps = is_possible(without(scenario, (demand,)), left())
    if not helps:
        return Tried((demand,), helps)
    found = levels(scenario, demand)
    place = nearest(found, lambda level: is_possible(altered(scenario, demand, level), left()) is not False)
    ways = [(Loosening(demand, level),) for level in _a_little_further(found, place)] if place is not None else []
    return _planned_with(scenario, demand, ways, left)


def _a_little_further(found: Sequence[Level], place: int) -> Iterator[Level]:
    """The level at that place and some after it."""
    return iter(found[place : place + len(FURTHER)])


def _needed(scenario: Scenario, given: Sequence[Demand], hard: Sequence[Demand], left: Left) -> tuple[Demand, ...]:
    """Those of the demands left out whole without which an order is not possible, beside others that give way."""
    needed = list(hard)
    for demand in hard:
        fewer = [one for one in needed if one is not demand]
        possible = is_possible(without(scenario, (*given, *fewer)), left())
        if possible is None:
            raise TimeIsUpError
        needed = fewer if possible else needed
    return tuple(needed)


def _least_beside(
    scenario: Scenario, unfilled: Unfilled, changes: Sequence[Loosening], place: int, left: Left
) -> Loosening:
    """One of several changes at the least that is enough beside the others."""
    demand = changes[place].demand
    others = applied(scenario, (*changes[:place], *changes[place + 1 :]))
    found = levels(scenario, demand)
    least = nearest(found, lambda level: fills(altered(others, demand, level), unfilled, left))
    return changes[place] if least is None else Loosening(demand, found[least])
