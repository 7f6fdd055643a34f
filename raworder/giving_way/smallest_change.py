"""The smallest change that opens a plan: of one demand, or of the fewest together; proved by planning with it.

A change that the model, or a search level by level, shows to be enough is tried by making a whole plan. Then it is
reduced until one step less opens no plan.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import partial
from itertools import combinations, islice, zip_longest
from math import ceil
from time import monotonic
from typing import TypeVar

from raworder.giving_way.demand import FURTHER, MOST_POINTS, SHARE_STEP, Demand, Level, Loosening, SoftDemand
from raworder.giving_way.family import apply_changes, demands_of
from raworder.giving_way.least_missed import LeastMisses, find_least_misses, is_possible
from raworder.giving_way.ranges_and_caps import goes_too_far, muscle_alone
from raworder.portioning.bag_filling import NoBags, fill_all_bags
from raworder.solving.search import Impossible
from raworder.solving.solver import BagSolver, Settings, TimeIsUpError
from raworder.trade.plan import NoPlan, OrderWithoutBags, Plan, Unsolved
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch

Item = TypeVar("Item")

TRIES_FOR_SOME = 2
"""Where dogs are many, the steps tried for some dogs that a rule binds before it gives way for all of them."""

MOST_PLANS, MOST_PLANS_OF_MANY = 150, 6
"""The most plans made to find out how much less is still enough; the second where dogs are many."""

MOST_SETS, MOST_SETS_OF_MANY = 32, 1
"""The most sets of demands asked about, beside the set of all of them; the second where dogs are many."""

LEAST_MISS = Fraction(1, 10**6)
"""A smaller miss is put down to the solver's tolerance."""

Left = Callable[[], Settings]
"""Gives the settings with the time that is left when it is called."""


@dataclass(frozen=True, slots=True)
class Opening:
    """Changes with which there is a plan, its cost, and whether that is proved; `given` says what dogs get beside."""

    changes: tuple[Loosening, ...]
    total: Decimal
    proved: bool
    given: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Trial:
    """The result of trying one demand or several: whether leaving them out helps, and changes that open a plan.

    `helps` is None where the time limit came first; `in_time` is false where it came before a whole plan was made.
    `is_least` is false where fewer or smaller changes might open a plan too.
    """

    demands: tuple[Demand, ...]
    helps: bool | None
    opened: Opening | None = None
    in_time: bool = True
    is_least: bool = True


def settings_from_now(settings: Settings) -> Left:
    """The settings with their time limit running from now on."""
    return partial(settings.left_since, monotonic())


def try_demand(scenario: Scenario, demand: Demand, settings: Settings) -> Trial:
    """The least change of one demand that opens a plan, if one does."""
    left = settings_from_now(settings)
    try:
        if isinstance(demand, SoftDemand):
            return _try_soft(scenario, demand, left)
        return _try_hard(scenario, demand, left)
    except TimeIsUpError:
        return Trial((demand,), None)


def _try_soft(scenario: Scenario, demand: SoftDemand, left: Left) -> Trial:
    """The least change of a demand that the model can miss."""
    missed = find_least_misses(scenario, (demand,), left())
    if isinstance(missed, Impossible | Unsolved):
        return Trial((demand,), None if isinstance(missed, Unsolved) else False)
    if not missed.by[0] and not demand.limits_cost and demand.furthest is None:
        return Trial((demand,), helps=True)  # only rounding to the minor unit stands in the way
    ways = [(change,) for change in _ways_of_one(scenario, demand, missed)]
    return _plan_with(scenario, demand, ways, left)


def _plan_with(scenario: Scenario, demand: Demand, ways: Iterable[tuple[Loosening, ...]], left: Left) -> Trial:
    """The result of planning with several ways for one demand to give way; without it an order is possible."""
    try:
        opened = find_opening(scenario, ways, left) or _budget_at_cost(scenario, demand, left)
    except TimeIsUpError:
        return Trial((demand,), True, in_time=False)
    return reduce_to_least(scenario, (demand,), opened, left)


def reduce_to_least(scenario: Scenario, demands: tuple[Demand, ...], opened: Opening | None, left: Left) -> Trial:
    """The opening reduced until one step less opens no plan; or that these demands open none."""
    if opened is None:
        return Trial(demands, True)
    least, is_least = tighten(scenario, opened, left)
    if len(demands) > 1:
        return Trial(tuple(loosening.demand for loosening in least.changes), True, least, is_least=is_least)
    # Where moving muscle along is enough by itself, that is a change of muscle's own rule, which is tried by itself.
    is_other = least.changes[0].demand.about != demands[0].about
    return Trial(demands, True, None if is_other else least, is_least=is_least)


def _ways_of_one(scenario: Scenario, demand: SoftDemand, missed: LeastMisses) -> Iterator[Loosening]:
    """Changes for only the dogs that miss it, then for all that it binds; each the least, then a little further."""
    least = missed.by[0], missed.muscle[0], missed.bound
    if missed.dogs and missed.dogs != demand.dogs:
        for_some = replace(demand, dogs=missed.dogs).loosenings(scenario, *least)
        yield from islice(for_some, TRIES_FOR_SOME if scenario.solved_by_groups else None)
    yield from demand.loosenings(scenario, *least)


def try_for_bags(scenario: Scenario, unfilled: OrderWithoutBags, demand: Demand, settings: Settings) -> Trial:
    """The least change of one rule of bags, or of the budget, with which bags can be filled."""
    left = settings_from_now(settings)
    try:
        if demand.limits_cost:
            opened = _budget_at_cost(scenario, demand, left)
            return Trial((demand,), False) if opened is None else reduce_to_least(scenario, (demand,), opened, left)
        levels = demand.levels(scenario)
        place = find_first_enough(
            levels, lambda level: can_fill_bags(demand.set_level(scenario, level), unfilled, left)
        )
        if place is not None:
            ways = [(Loosening(demand, level),) for level in _a_little_further(levels, place)]
            return reduce_to_least(scenario, (demand,), find_opening(scenario, ways, left), left)
        # At its last level another order may be possible, whose bags can be filled.
        opened = find_opening(scenario, [(Loosening(demand, levels[-1]),)] if levels else [], left)
        return Trial((demand,), helps=False) if opened is None else reduce_to_least(scenario, (demand,), opened, left)
    except TimeIsUpError:
        return Trial((demand,), None)


def can_fill_bags(scenario: Scenario, unfilled: OrderWithoutBags, left: Left) -> bool:
    """Whether this scenario's rules let the bags be filled of the dogs that have none."""
    solve = BagSolver(left(), monotonic())
    return not isinstance(fill_all_bags(scenario, unfilled.plan, unfilled.fed_alike, solve, unfilled.dogs), NoBags)


def has_plan(scenario: Scenario, settings: Settings) -> bool | None:
    """Whether there is a plan, bags and all; None where the time limit came first."""
    answer = plan_batch(scenario, settings)
    return None if isinstance(answer, Unsolved) else isinstance(answer, Plan)


def demands_of_bags(scenario: Scenario, unfilled: OrderWithoutBags) -> tuple[Demand, ...]:
    """The rules of bags that may give way; whole pieces only of cuts that a dog without bags is fed."""
    fed = {portion.cut for portion in unfilled.plan.portions if portion.dog in unfilled.dogs}
    return tuple(demand for demand in demands_of(scenario) if demand.concerns_bags(fed))


def find_opening(scenario: Scenario, ways: Iterable[tuple[Loosening, ...]], left: Left) -> Opening | None:
    """The first of several ways with which a whole, audited plan is made; TimeIsUpError where one was not solved."""
    for way in ways:
        changed = apply_changes(scenario, way)
        if goes_too_far(scenario, changed):
            continue
        answer = plan_batch(changed, left())
        if isinstance(answer, Unsolved):
            raise TimeIsUpError
        if isinstance(answer, Plan):
            return Opening(way, answer.total, answer.proof.proved)
    return None


def _budget_at_cost(scenario: Scenario, demand: Demand, left: Left) -> Opening | None:
    """For the budget: a budget of what the plan made without one costs; None for other demands."""
    if not demand.limits_cost:
        return None
    answer = plan_batch(demand.drop_from(scenario), left())
    if not isinstance(answer, Plan):
        return None
    return find_opening(scenario, [(Loosening(demand, answer.total),)], left)


def _try_hard(scenario: Scenario, demand: Demand, left: Left) -> Trial:
    """The least change of a demand that the model cannot miss, found by trying its levels."""
    helps = is_possible(demand.drop_from(scenario), left())
    if not helps:
        return Trial((demand,), helps)
    ways = (
        way
        for tried in dict.fromkeys((_for_fewest_dogs(scenario, demand, left), demand))
        for way in _level_ways(scenario, tried, left)
    )
    return _plan_with(scenario, demand, ways, left)


def _level_ways(scenario: Scenario, demand: Demand, left: Left) -> Iterator[tuple[Loosening, ...]]:
    """The nearest level at which an order may be possible, and some levels beyond it."""
    levels = demand.levels(scenario)
    place = find_first_enough(levels, lambda level: is_possible(demand.set_level(scenario, level), left()) is not False)
    if place is not None:
        yield from ((Loosening(demand, level),) for level in _a_little_further(levels, place))


def _for_fewest_dogs(scenario: Scenario, demand: Demand, left: Left) -> Demand:
    """The demand for as few dogs as it must give way for; for all that it binds where dogs are many."""
    dogs = demand.dogs
    for name in demand.dogs if len(demand.dogs) > 1 and not scenario.solved_by_groups else ():
        fewer = tuple(other for other in dogs if other != name)
        if fewer and is_possible(replace(demand, dogs=fewer).drop_from(scenario), left()):
            dogs = fewer
    return replace(demand, dogs=dogs)


def _a_little_further(levels: Sequence[Level], place: int) -> Iterator[Level]:
    """The level at that place and some after it."""
    return iter(levels[place : place + len(FURTHER)])


def tighten(scenario: Scenario, opened: Opening, left: Left) -> tuple[Opening, bool]:
    """The opening with only the changes that are needed, each as small as it can be; and whether time was enough."""
    tightening = _Tightening(scenario, opened, left)
    try:
        tightening.leave_out()
        tightening.lessen()
    except TimeIsUpError:
        return tightening.best, False
    return tightening.best, True


def find_first_enough(items: Sequence[Item], is_enough: Callable[[Item], bool]) -> int | None:
    """The place of the first item that is enough, if all after it are enough too; None where none is."""
    # Each question can be a whole solve, so steps are doubled from the near end and then halved.
    if not items:
        return None
    low, step = -1, 1
    while low + step < len(items) and not is_enough(items[low + step]):
        low, step = low + step, step * 2
    high = min(low + step, len(items) - 1)
    if high == len(items) - 1 and not is_enough(items[high]):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(items[middle]) else (middle, high)
    return high


def _is_alike(loosening: Loosening, other: Loosening) -> bool:
    """Whether two changes are of the same end of the same rule, for whichever dogs."""
    return replace(loosening.demand, level=None, dogs=()) == replace(other.demand, level=None, dogs=())


class _Tightening:
    """Reduces changes that open a plan to the `best`; the last first, as dogs feel those most."""

    def __init__(self, scenario: Scenario, opened: Opening, left: Left) -> None:
        self.best = opened
        self._scenario, self._left = scenario, left
        self._plans_left = MOST_PLANS_OF_MANY if scenario.solved_by_groups else MOST_PLANS

    def leave_out(self) -> None:
        """Leave out every change that is not needed beside the others; of some only the move of muscle is needed."""
        for change in reversed(self.best.changes):
            fewer = tuple(loosening for loosening in self.best.changes if loosening is not change)
            if not (fewer and self._opens(fewer)):
                self._keep_muscle_alone(change, fewer)

    def _keep_muscle_alone(self, change: Loosening, fewer: tuple[Loosening, ...]) -> None:
        """Keep only the move of muscle's range where that is enough; by itself, try the change without it too."""
        muscle = muscle_alone(self._scenario, change)
        if (
            muscle
            and not any(_is_alike(muscle, loosening) for loosening in fewer)
            and self._opens((muscle, *fewer))
            and not fewer
        ):
            demand = change.demand
            if isinstance(demand, SoftDemand):
                self._opens((demand.loosen(self._scenario, MOST_POINTS, Fraction(0)),))

    def lessen(self) -> None:
        """Make every change as small as the others let it be."""
        for place in reversed(range(len(self.best.changes))):
            change = self.best.changes[place]
            if change.demand.limits_cost:
                total = self._scenario.currency.rounded(self.best.total)
                self._opens_at(place, replace(change, level=total))
            self._lessen_level(place)
            moved = range(ceil(self.best.changes[place].muscle / SHARE_STEP))
            self._keep_first_enough(
                place, [replace(self.best.changes[place], muscle=number * SHARE_STEP) for number in moved]
            )

    def _lessen_level(self, place: int) -> None:
        change = self.best.changes[place]
        counts = change.demand.steps_before(self._scenario, change.level)

        def is_enough(count: int) -> bool:
            """Whether the change at this number of steps opens a plan."""
            level = change.demand.level_at_step(self._scenario, count)
            return self._opens_at(place, replace(change, level=level))

        if counts and is_enough(counts[-1]):
            find_first_enough(counts[:-1], is_enough)

    def _keep_first_enough(self, place: int, changes: Sequence[Loosening]) -> None:
        """Keep the first of these changes that is enough, where the last is."""
        if changes and self._opens_at(place, changes[-1]):
            find_first_enough(changes[:-1], lambda change: self._opens_at(place, change))

    def _opens_at(self, place: int, change: Loosening) -> bool:
        return self._opens((*self.best.changes[:place], change, *self.best.changes[place + 1 :]))

    def _opens(self, changes: tuple[Loosening, ...]) -> bool:
        """Whether there is a plan with these changes, which are then the best known."""
        if not self._plans_left or self._left().time_is_up:
            raise TimeIsUpError
        self._plans_left -= 1
        opened = find_opening(self._scenario, [changes], self._left)
        self.best = opened or self.best
        return opened is not None


def sets_of_demands(demands: Sequence[Demand], many_dogs: bool) -> tuple[tuple[tuple[Demand, ...], ...], int]:
    """Sets of demands, the empty one first, then by size; every set up to the size returned, and the set of all."""
    most = MOST_SETS_OF_MANY if many_dogs else MOST_SETS
    sets: list[tuple[Demand, ...]] = [()]
    for size in range(1, len(demands) + 1):
        more = list(islice(combinations(demands, size), most + 1))
        if len(sets) + len(more) > most:
            return (*sets, tuple(demands)), size - 1
        sets += more
    return tuple(sets), len(demands)


def find_misses_beside(
    scenario: Scenario, left_out: Sequence[Demand], settings: Settings
) -> LeastMisses | Impossible | Unsolved:
    """The misses where as few soft demands as possible give way, and `left_out` as far as they may."""
    return find_least_misses(
        apply_changes(scenario, _all_the_way(scenario, left_out)), _soft_demands(scenario), settings
    )


def try_together(scenario: Scenario, left_out: Sequence[Demand], settings: Settings) -> Trial:
    """The fewest demands that must give way along with `left_out`, each by the least that is enough."""
    try:
        return _try_together(scenario, left_out, settings_from_now(settings))
    except TimeIsUpError:
        return Trial((), None)


def _try_together(scenario: Scenario, left_out: Sequence[Demand], left: Left) -> Trial:
    """The demands missed where as few as possible are, then the least that is needed of each.

    Changes are tried for only the dogs concerned before all that the demands bind.
    """
    missed = find_misses_beside(scenario, left_out, left())
    if isinstance(missed, Impossible | Unsolved):
        return Trial((), None if isinstance(missed, Unsolved) else False)
    for_all = list(_ways_to_cover(scenario, _soft_demands(scenario), missed, left_out))
    ways = [*_ways_for_some_dogs(scenario, missed, left_out, left), *for_all]
    opened = find_opening(scenario, ways, left) or _find_opening_with_bags(scenario, for_all[0], left)
    return reduce_to_least(scenario, tuple(loosening.demand for loosening in for_all[0]), opened, left)


def _ways_for_some_dogs(
    scenario: Scenario, missed: LeastMisses, left_out: Sequence[Demand], left: Left
) -> Iterator[tuple[Loosening, ...]]:
    """The ways to give way for only the dogs that miss the demands; none where all that they bind do."""
    misses = zip(_soft_demands(scenario), missed.by, missed.dogs_of, strict=True)
    given = [(demand, replace(demand, dogs=dogs) if dogs else demand) for demand, by, dogs in misses if by > LEAST_MISS]
    if all(soft_demand == own for soft_demand, own in given):
        return
    demands = [own for _, own in given]
    again = find_least_misses(apply_changes(scenario, _all_the_way(scenario, left_out)), demands, left())
    if isinstance(again, LeastMisses):
        yield from _ways_to_cover(scenario, demands, again, left_out)


def _soft_demands(scenario: Scenario) -> list[SoftDemand]:
    return [demand for demand in demands_of(scenario) if isinstance(demand, SoftDemand)]


def _all_the_way(scenario: Scenario, demands: Sequence[Demand]) -> Iterator[Loosening]:
    """Each of these demands given way as far as it may."""
    for demand in demands:
        for level in demand.levels(scenario)[-1:]:
            yield Loosening(demand, level)


def _ways_to_cover(
    scenario: Scenario, demands: Sequence[SoftDemand], missed: LeastMisses, left_out: Sequence[Demand]
) -> Iterator[tuple[Loosening, ...]]:
    """Changes that cover every miss, then a little more of each, along with `left_out` as far as they may."""
    misses = [item for item in zip(demands, missed.by, missed.muscle, strict=True) if item[1] > LEAST_MISS]
    ladders = [ladder for demand, by, along in misses if (ladder := list(demand.loosenings(scenario, by, along)))]
    fixed = tuple(_all_the_way(scenario, left_out))
    tops = tuple(ladder[-1] for ladder in ladders)
    for steps in zip_longest(*ladders) if ladders else [()]:
        yield (*(step or top for step, top in zip(steps, tops, strict=True)), *fixed)


def _find_opening_with_bags(scenario: Scenario, way: tuple[Loosening, ...], left: Left) -> Opening | None:
    """The changes along with rules of bags, where only bags stand in the way of a plan with them."""
    changed = apply_changes(scenario, way)
    answer = plan_batch(changed, left())
    if not isinstance(answer, NoPlan) or answer.unfilled is None:
        return None
    changes = _changes_for_bags(changed, answer.unfilled, left)
    return None if changes is None else find_opening(scenario, [(*way, *changes)], left)


def try_together_for_bags(scenario: Scenario, unfilled: OrderWithoutBags, settings: Settings) -> Trial:
    """Rules of bags that must all give way together for bags to be filled, each by the least that is enough."""
    left = settings_from_now(settings)
    try:
        changes = _changes_for_bags(scenario, unfilled, left)
        if changes is None:
            return Trial((), helps=False)
        demands = tuple(loosening.demand for loosening in changes)
        return reduce_to_least(scenario, demands, find_opening(scenario, [changes], left), left)
    except TimeIsUpError:
        return Trial((), None)


def _changes_for_bags(scenario: Scenario, unfilled: OrderWithoutBags, left: Left) -> tuple[Loosening, ...] | None:
    """The changes of rules of bags with which this order's bags can be filled; None where none help."""
    changes = list(_all_the_way(scenario, demands_of_bags(scenario, unfilled)))
    if not (changes and can_fill_bags(apply_changes(scenario, changes), unfilled, left)):
        return None
    for change in tuple(changes):
        fewer = [loosening for loosening in changes if loosening is not change]
        if can_fill_bags(apply_changes(scenario, fewer), unfilled, left):
            changes = fewer
    for place in range(len(changes)):
        changes[place] = _least_beside(scenario, unfilled, changes, place, left)
    return tuple(changes)


def _least_beside(
    scenario: Scenario, unfilled: OrderWithoutBags, changes: Sequence[Loosening], place: int, left: Left
) -> Loosening:
    """One of several changes, as small as is enough beside the others."""
    demand = changes[place].demand
    others = apply_changes(scenario, (*changes[:place], *changes[place + 1 :]))
    levels = demand.levels(scenario)
    least = find_first_enough(levels, lambda level: can_fill_bags(demand.set_level(others, level), unfilled, left))
    return changes[place] if least is None else Loosening(demand, levels[least])
