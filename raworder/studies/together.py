"""Together: where no single demand is enough, the fewest that must give way together, each by as little as can be."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, islice, zip_longest

from raworder.solving.demands import Demand, altered, demands_of
from raworder.solving.least_missed import Missed, least_missed
from raworder.solving.search import Impossible
from raworder.solving.soft import NOT_SOFT
from raworder.solving.solver import Settings, TimeIsUpError
from raworder.studies.loosenings import Loosening, applied, levels, nearest, rungs
from raworder.studies.trying import (
    Left,
    Opened,
    Tried,
    at_least,
    demands_of_bags,
    fills,
    first_opened,
    from_now,
    planned,
)
from raworder.trade.plan import NoPlan, Unfilled, Unsolved
from raworder.trade.scenario import Scenario

MOST_SETS, MOST_SETS_OF_MANY = 32, 1
"""So many sets of rules that hold or do not are asked for at most, beside that of all; the second for many dogs."""

A_MISS = Fraction(1, 10**6)
"""Less than that is the solver's tolerance."""


def sets_of(demands: Sequence[Demand], by_groups: bool) -> tuple[tuple[tuple[Demand, ...], ...], int]:
    """Sets of demands, the smallest first, none too; all of them up to the size that is told, and last the largest."""
    most = MOST_SETS_OF_MANY if by_groups else MOST_SETS
    found: list[tuple[Demand, ...]] = [()]
    for size in range(1, len(demands) + 1):
        more = list(islice(combinations(demands, size), most + 1))
        if len(found) + len(more) > most:
            return (*found, tuple(demands)), size - 1
        found += more
    return tuple(found), len(demands)


def missed_beside(scenario: Scenario, left_out: Sequence[Demand], settings: Settings) -> Missed | Impossible | Unsolved:
    """By how much each demand that can be missed is, where as few are as can be, and these give way all they may."""
    return least_missed(applied(scenario, _all_the_way(scenario, left_out)), _soft(scenario), settings)


def tried_together(scenario: Scenario, left_out: Sequence[Demand], settings: Settings) -> Tried:
    """The fewest demands that must give way beside some that do or do not hold, and the least of each."""
    try:
        return _tried_together(scenario, left_out, from_now(settings))
    except TimeIsUpError:
        return Tried((), None)


def _tried_together(scenario: Scenario, left_out: Sequence[Demand], left: Left) -> Tried:
    """The demands that are missed where as few are as can be; then what is needed of all that gives way.

    It is tried for the dogs concerned alone before it is for all that the demands bind.
    """
    missed = missed_beside(scenario, left_out, left())
    if isinstance(missed, Impossible | Unsolved):
        return Tried((), None if isinstance(missed, Unsolved) else False)
    for_all = list(_ways(scenario, _soft(scenario), missed, left_out))
    ways = [*_for_those_concerned(scenario, missed, left_out, left), *for_all]
    opened = first_opened(scenario, ways, left) or _with_bags(scenario, for_all[0], left)
    return at_least(scenario, tuple(loosening.demand for loosening in for_all[0]), opened, left)


def _for_those_concerned(
    scenario: Scenario, missed: Missed, left_out: Sequence[Demand], left: Left
) -> Iterator[tuple[Loosening, ...]]:
    """The ways in which demands give way for those dogs alone that they are missed for; none where that is for all."""
    told = zip(_soft(scenario), missed.by, missed.dogs_of, strict=True)
    given = [(demand, replace(demand, dogs=dogs) if dogs else demand) for demand, by, dogs in told if by > A_MISS]
    if all(demand == own for demand, own in given):
        return
    demands = [own for _, own in given]
    again = least_missed(applied(scenario, _all_the_way(scenario, left_out)), demands, left())
    if isinstance(again, Missed):
        yield from _ways(scenario, demands, again, left_out)


def _soft(scenario: Scenario) -> list[Demand]:
    return [demand for demand in demands_of(scenario) if demand.rule not in NOT_SOFT]


def _all_the_way(scenario: Scenario, demands: Sequence[Demand]) -> Iterator[Loosening]:
    """Rules of bags as far as they may give way."""
    for demand in demands:
        for level in levels(scenario, demand)[-1:]:
            yield Loosening(demand, level)


def _ways(
    scenario: Scenario, demands: Sequence[Demand], missed: Missed, left_out: Sequence[Demand]
) -> Iterator[tuple[Loosening, ...]]:
    """All that is missed made up for, then a little more of each, with what is left out."""
    given = [item for item in zip(demands, missed.by, missed.muscle, strict=True) if item[1] > A_MISS]
    ladders = [ladder for ladder in (list(rungs(scenario, *item)) for item in given) if ladder]
    cut = tuple(_all_the_way(scenario, left_out))
    tops = tuple(ladder[-1] for ladder in ladders)
    for steps in zip_longest(*ladders) if ladders else [()]:
        yield (*(step or top for step, top in zip(steps, tops, strict=True)), *cut)


def _with_bags(scenario: Scenario, way: tuple[Loosening, ...], left: Left) -> Opened | None:
    """The changes with rules of bags that must give way too, where only bags stand in the way then."""
    changed = applied(scenario, way)
    answer = planned(changed, left())
    if not isinstance(answer, NoPlan) or answer.unfilled is None:
        return None
    changes = _for_bags(changed, answer.unfilled, left)
    return None if changes is None else first_opened(scenario, [(*way, *changes)], left)


def tried_together_for_bags(scenario: Scenario, unfilled: Unfilled, settings: Settings) -> Tried:
    """Rules of bags none of which can be kept while the others give way, each with the least that is enough."""
    left = from_now(settings)
    try:
        changes = _for_bags(scenario, unfilled, left)
        if changes is None:
            return Tried((), helps=False)
        demands = tuple(loosening.demand for loosening in changes)
        return at_least(scenario, demands, first_opened(scenario, [changes], left), left)
    except TimeIsUpError:
        return Tried((), None)


def _for_bags(scenario: Scenario, unfilled: Unfilled, left: Left) -> tuple[Loosening, ...] | None:
    """The rules of bags that must give way for bags to be filled with the order that there is; None where none help."""
    changes = list(_all_the_way(scenario, demands_of_bags(scenario, unfilled)))
    if not (changes and fills(applied(scenario, changes), unfilled, left)):
        return None
    for change in tuple(changes):
        fewer = [loosening for loosening in changes if loosening is not change]
        if fills(applied(scenario, fewer), unfilled, left):
            changes = fewer
    for place in range(len(changes)):
        changes[place] = _least_beside(scenario, unfilled, changes, place, left)
    return tuple(changes)


def _least_beside(
    scenario: Scenario, unfilled: Unfilled, changes: Sequence[Loosening], place: int, left: Left
) -> Loosening:
    """One of several changes at the least that is enough beside the others."""
    demand = changes[place].demand
    others = applied(scenario, (*changes[:place], *changes[place + 1 :]))
    found = levels(scenario, demand)
    least = nearest(found, lambda level: fills(altered(others, demand, level), unfilled, left))
    return changes[place] if least is None else Loosening(demand, found[least])
