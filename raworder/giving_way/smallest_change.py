"""The smallest change that opens a plan: of one demand, or of the fewest together; proved by planning with it.

What the model or a search of levels shows to be enough is tried by a whole plan, and then made less until a step less
opens none.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import partial
from itertools import combinations, islice, zip_longest
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

FOR_SOME = 2
"""Where dogs are many so many steps are tried for some that a rule binds, before it gives way for all of them."""

MOST_PLANS, MOST_PLANS_OF_MANY = 150, 6
"""So many plans are made at most to find out with how much less there is one still; the second where dogs are many."""

MOST_SETS, MOST_SETS_OF_MANY = 32, 1
"""So many sets of rules that hold or do not are asked for at most, beside that of all; the second for many dogs."""

A_MISS = Fraction(1, 10**6)
"""Less than that is the solver's tolerance."""

Left = Callable[[], Settings]
"""The settings with the time that is left by then."""


@dataclass(frozen=True, slots=True)
class Opening:
    """Changes with which there is a plan, what its order costs, and whether that is proved; what is `given` beside."""

    changes: tuple[Loosening, ...]
    total: Decimal
    proved: bool
    given: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Trial:
    """What came of trying a demand, or several: whether an order is possible without, and what opens a plan.

    `helps` is None where the time limit came first; `in_time` is false where it came before a whole plan was made.
    `is_least` is false where it is not sure that fewer or lesser changes open nothing.
    """

    demands: tuple[Demand, ...]
    helps: bool | None
    opened: Opening | None = None
    in_time: bool = True
    is_least: bool = True


def settings_from_now(settings: Settings) -> Left:
    """The settings, their time running from now on."""
    return partial(settings.left_since, monotonic())


def try_demand(scenario: Scenario, demand: Demand, settings: Settings) -> Trial:
    """The least change of one demand that opens a plan, if one does."""
    left = settings_from_now(settings)
    try:
        return (
            _tried_soft(scenario, demand, left)
            if isinstance(demand, SoftDemand)
            else _tried_hard(scenario, demand, left)
        )
    except TimeIsUpError:
        return Trial((demand,), None)


def _tried_soft(scenario: Scenario, demand: SoftDemand, left: Left) -> Trial:
    """The least change of a demand that can be missed by a little."""
    missed = find_least_misses(scenario, (demand,), left())
    if isinstance(missed, Impossible | Unsolved):
        return Trial((demand,), None if isinstance(missed, Unsolved) else False)
    if not missed.by[0] and not demand.limits_cost and demand.furthest is None:
        return Trial((demand,), helps=True)  # only rounding to the minor unit stands in the way
    ways = [(change,) for change in _ways_of_one(scenario, demand, missed)]
    return _planned_with(scenario, demand, ways, left)


def _planned_with(scenario: Scenario, demand: Demand, ways: Iterable[tuple[Loosening, ...]], left: Left) -> Trial:
    """What comes of planning with the ways that one demand, without which an order is possible, may give way."""
    try:
        opened = find_opening(scenario, ways, left) or _within_its_price(scenario, demand, left)
    except TimeIsUpError:
        return Trial((demand,), True, in_time=False)
    return reduce_to_least(scenario, (demand,), opened, left)


def reduce_to_least(scenario: Scenario, demands: tuple[Demand, ...], opened: Opening | None, left: Left) -> Trial:
    """What opens a plan, made less until no step less opens one; or that these demands were tried to no avail."""
    if opened is None:
        return Trial(demands, True)
    least, is_least = tighten(scenario, opened, left)
    if len(demands) > 1:
        return Trial(tuple(loosening.demand for loosening in least.changes), True, least, is_least=is_least)
    is_other = least.changes[0].demand.about != demands[0].about  # what moves along is enough: another rule's change
    return Trial(demands, True, None if is_other else least, is_least=is_least)


def _ways_of_one(scenario: Scenario, demand: SoftDemand, missed: LeastMisses) -> Iterator[Loosening]:
    """The least change for those dogs alone that it is missed for, then for all that it binds, and a little further."""
    least = missed.by[0], missed.muscle[0], missed.bound
    if missed.dogs and missed.dogs != demand.dogs:
        for_some = replace(demand, dogs=missed.dogs).loosenings(scenario, *least)
        yield from islice(for_some, FOR_SOME if scenario.solved_by_groups else None)
    yield from demand.loosenings(scenario, *least)


def try_for_bags(scenario: Scenario, unfilled: OrderWithoutBags, demand: Demand, settings: Settings) -> Trial:
    """The least change of one rule of bags, or of the budget, with which the bags can be filled."""
    left = settings_from_now(settings)
    try:
        if demand.limits_cost:
            opened = _within_its_price(scenario, demand, left)
            return Trial((demand,), False) if opened is None else reduce_to_least(scenario, (demand,), opened, left)
        found = demand.levels(scenario)
        place = find_first_enough(found, lambda level: can_fill_bags(demand.set_level(scenario, level), unfilled, left))
        if place is not None:
            ways = [(Loosening(demand, level),) for level in _a_little_further(found, place)]
            return reduce_to_least(scenario, (demand,), find_opening(scenario, ways, left), left)
        opened = find_opening(scenario, [(Loosening(demand, found[-1]),)] if found else [], left)  # with another order
        return Trial((demand,), helps=False) if opened is None else reduce_to_least(scenario, (demand,), opened, left)
    except TimeIsUpError:
        return Trial((demand,), None)


def can_fill_bags(scenario: Scenario, unfilled: OrderWithoutBags, left: Left) -> bool:
    """Whether the bags of the dogs that have none can be filled by the rules of this scenario."""
    solve = BagSolver(left(), monotonic())
    return not isinstance(fill_all_bags(scenario, unfilled.plan, unfilled.fed_alike, solve, unfilled.dogs), NoBags)


def has_plan(scenario: Scenario, settings: Settings) -> bool | None:
    """Whether there is a plan, bags and all; None where none was found and none is proved impossible."""
    answer = plan_batch(scenario, settings)
    return None if isinstance(answer, Unsolved) else isinstance(answer, Plan)


def demands_of_bags(scenario: Scenario, unfilled: OrderWithoutBags) -> tuple[Demand, ...]:
    """The rules of bags that may give way; of whole pieces only those that a dog without bags is fed."""
    fed = {portion.cut for portion in unfilled.plan.portions if portion.dog in unfilled.dogs}
    return tuple(demand for demand in demands_of(scenario) if demand.concerns_bags(fed))


def find_opening(scenario: Scenario, ways: Iterable[tuple[Loosening, ...]], left: Left) -> Opening | None:
    """The first of several ways that gives a plan, whole and audited; TimeIsUpError where one was not solved."""
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


def _within_its_price(scenario: Scenario, demand: Demand, left: Left) -> Opening | None:
    """A budget of just what the plan costs that is made without one; for other demands nothing."""
    if not demand.limits_cost:
        return None
    answer = plan_batch(demand.drop_from(scenario), left())
    if not isinstance(answer, Plan):
        return None
    return find_opening(scenario, [(Loosening(demand, answer.total),)], left)


def _tried_hard(scenario: Scenario, demand: Demand, left: Left) -> Trial:
    """The least change of a demand that holds or does not, found by trying its levels."""
    helps = is_possible(demand.drop_from(scenario), left())
    if not helps:
        return Trial((demand,), helps)
    ways = (
        way
        for demand in dict.fromkeys((_of_those_concerned(scenario, demand, left), demand))
        for way in _hard_ways(scenario, demand, left)
    )
    return _planned_with(scenario, demand, ways, left)


def _hard_ways(scenario: Scenario, demand: Demand, left: Left) -> Iterator[tuple[Loosening, ...]]:
    """The nearest level with which an order may be possible, and some after it."""
    found = demand.levels(scenario)
    place = find_first_enough(found, lambda level: is_possible(demand.set_level(scenario, level), left()) is not False)
    if place is not None:
        yield from ((Loosening(demand, level),) for level in _a_little_further(found, place))


def _of_those_concerned(scenario: Scenario, demand: Demand, left: Left) -> Demand:
    """The demand of as few dogs as it must give way for; of all that it binds where dogs are many."""
    dogs = demand.dogs
    for name in demand.dogs if len(demand.dogs) > 1 and not scenario.solved_by_groups else ():
        fewer = tuple(other for other in dogs if other != name)
        if fewer and is_possible(replace(demand, dogs=fewer).drop_from(scenario), left()):
            dogs = fewer
    return replace(demand, dogs=dogs)


def _a_little_further(found: Sequence[Level], place: int) -> Iterator[Level]:
    """The level at that place and some after it."""
    return iter(found[place : place + len(FURTHER)])


def tighten(scenario: Scenario, opened: Opening, left: Left) -> tuple[Opening, bool]:
    """As few as are needed of the changes, each by as little as is beside the others; and whether that was ended."""
    tightening = _Tightening(scenario, opened, left)
    try:
        tightening.leave_out()
        tightening.lessen()
    except TimeIsUpError:
        return tightening.best, False
    return tightening.best, True


def find_first_enough(found: Sequence[Item], is_enough: Callable[[Item], bool]) -> int | None:
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


def _is_alike(loosening: Loosening, other: Loosening) -> bool:
    """Whether two changes are about the same end of the same range or rule, for whichever dogs."""
    return replace(loosening.demand, level=None, dogs=()) == replace(other.demand, level=None, dogs=())


class _Tightening:
    """Changes that open a plan, the `best` known; what dogs feel is kept before what they do not, so the last first."""

    def __init__(self, scenario: Scenario, opened: Opening, left: Left) -> None:
        self.best = opened
        self._scenario, self._left = scenario, left
        self._plans_left = MOST_PLANS_OF_MANY if scenario.solved_by_groups else MOST_PLANS

    def leave_out(self) -> None:
        """Leave out every change that is not needed beside the others; of some only muscle's move is."""
        for change in reversed(self.best.changes):
            fewer = tuple(loosening for loosening in self.best.changes if loosening is not change)
            if not (fewer and self._opens(fewer)):
                self._leave_muscle(change, fewer)

    def _leave_muscle(self, change: Loosening, fewer: tuple[Loosening, ...]) -> None:
        """Where what moves along of muscle's range would be enough, that; or a change alone that moves none along."""
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
        """Take every change back as far as the others let it."""
        for place in reversed(range(len(self.best.changes))):
            change = self.best.changes[place]
            if change.demand.limits_cost:
                total = self._scenario.currency.rounded(self.best.total)
                self._opens_at(place, replace(change, level=total))
            self._lessen_level(place)
            moved = range(-(-self.best.changes[place].muscle // SHARE_STEP))
            self._nearest(place, [replace(self.best.changes[place], muscle=number * SHARE_STEP) for number in moved])

    def _lessen_level(self, place: int) -> None:
        change = self.best.changes[place]
        counts = change.demand.steps_before(self._scenario, change.level)

        def is_enough(count: int) -> bool:
            """Whether so many steps open a plan."""
            level = change.demand.level_at_step(self._scenario, count)
            return self._opens_at(place, replace(change, level=level))

        if counts and is_enough(counts[-1]):
            find_first_enough(counts[:-1], is_enough)

    def _nearest(self, place: int, found: Sequence[Loosening]) -> None:
        """The first of the changes that is enough, where the last is."""
        if found and self._opens_at(place, found[-1]):
            find_first_enough(found[:-1], lambda change: self._opens_at(place, change))

    def _opens_at(self, place: int, change: Loosening) -> bool:
        return self._opens((*self.best.changes[:place], change, *self.best.changes[place + 1 :]))

    def _opens(self, changes: tuple[Loosening, ...]) -> bool:
        """Whether there is a plan with these, which then are the best that are known."""
        if not self._plans_left:
            raise TimeIsUpError
        self._plans_left -= 1
        opened = find_opening(self._scenario, [changes], self._left)
        self.best = opened or self.best
        return opened is not None


def sets_of_demands(demands: Sequence[Demand], many_dogs: bool) -> tuple[tuple[tuple[Demand, ...], ...], int]:
    """Sets of demands, the smallest first, none too; all of them up to the size that is told, and last the largest."""
    most = MOST_SETS_OF_MANY if many_dogs else MOST_SETS
    found: list[tuple[Demand, ...]] = [()]
    for size in range(1, len(demands) + 1):
        more = list(islice(combinations(demands, size), most + 1))
        if len(found) + len(more) > most:
            return (*found, tuple(demands)), size - 1
        found += more
    return tuple(found), len(demands)


def find_misses_beside(
    scenario: Scenario, left_out: Sequence[Demand], settings: Settings
) -> LeastMisses | Impossible | Unsolved:
    """By how much each demand that can be missed is, where as few are as can be, and these give way all they may."""
    return find_least_misses(apply_changes(scenario, _all_the_way(scenario, left_out)), _soft(scenario), settings)


def try_together(scenario: Scenario, left_out: Sequence[Demand], settings: Settings) -> Trial:
    """The fewest demands that must give way beside some that do or do not hold, and the least of each."""
    try:
        return _tried_together(scenario, left_out, settings_from_now(settings))
    except TimeIsUpError:
        return Trial((), None)


def _tried_together(scenario: Scenario, left_out: Sequence[Demand], left: Left) -> Trial:
    """The demands that are missed where as few are as can be; then what is needed of all that gives way.

    It is tried for the dogs concerned alone before it is for all that the demands bind.
    """
    missed = find_misses_beside(scenario, left_out, left())
    if isinstance(missed, Impossible | Unsolved):
        return Trial((), None if isinstance(missed, Unsolved) else False)
    for_all = list(_ways(scenario, _soft(scenario), missed, left_out))
    ways = [*_for_those_concerned(scenario, missed, left_out, left), *for_all]
    opened = find_opening(scenario, ways, left) or _with_bags(scenario, for_all[0], left)
    return reduce_to_least(scenario, tuple(loosening.demand for loosening in for_all[0]), opened, left)


def _for_those_concerned(
    scenario: Scenario, missed: LeastMisses, left_out: Sequence[Demand], left: Left
) -> Iterator[tuple[Loosening, ...]]:
    """The ways in which demands give way for those dogs alone that they are missed for; none where that is for all."""
    told = zip(_soft(scenario), missed.by, missed.dogs_of, strict=True)
    given = [(demand, replace(demand, dogs=dogs) if dogs else demand) for demand, by, dogs in told if by > A_MISS]
    if all(soft_demand == own for soft_demand, own in given):
        return
    demands = [own for _, own in given]
    again = find_least_misses(apply_changes(scenario, _all_the_way(scenario, left_out)), demands, left())
    if isinstance(again, LeastMisses):
        yield from _ways(scenario, demands, again, left_out)


def _soft(scenario: Scenario) -> list[SoftDemand]:
    return [demand for demand in demands_of(scenario) if isinstance(demand, SoftDemand)]


def _all_the_way(scenario: Scenario, demands: Sequence[Demand]) -> Iterator[Loosening]:
    """Rules of bags as far as they may give way."""
    for demand in demands:
        for level in demand.levels(scenario)[-1:]:
            yield Loosening(demand, level)


def _ways(
    scenario: Scenario, demands: Sequence[SoftDemand], missed: LeastMisses, left_out: Sequence[Demand]
) -> Iterator[tuple[Loosening, ...]]:
    """All that is missed made up for, then a little more of each, with what is left out."""
    given = [item for item in zip(demands, missed.by, missed.muscle, strict=True) if item[1] > A_MISS]
    ladders = [ladder for demand, by, along in given if (ladder := list(demand.loosenings(scenario, by, along)))]
    cut = tuple(_all_the_way(scenario, left_out))
    tops = tuple(ladder[-1] for ladder in ladders)
    for steps in zip_longest(*ladders) if ladders else [()]:
        yield (*(step or top for step, top in zip(steps, tops, strict=True)), *cut)


def _with_bags(scenario: Scenario, way: tuple[Loosening, ...], left: Left) -> Opening | None:
    """The changes with rules of bags that must give way too, where only bags stand in the way then."""
    changed = apply_changes(scenario, way)
    answer = plan_batch(changed, left())
    if not isinstance(answer, NoPlan) or answer.unfilled is None:
        return None
    changes = _for_bags(changed, answer.unfilled, left)
    return None if changes is None else find_opening(scenario, [(*way, *changes)], left)


def try_together_for_bags(scenario: Scenario, unfilled: OrderWithoutBags, settings: Settings) -> Trial:
    """Rules of bags none of which can be kept while the others give way, each with the least that is enough."""
    left = settings_from_now(settings)
    try:
        changes = _for_bags(scenario, unfilled, left)
        if changes is None:
            return Trial((), helps=False)
        demands = tuple(loosening.demand for loosening in changes)
        return reduce_to_least(scenario, demands, find_opening(scenario, [changes], left), left)
    except TimeIsUpError:
        return Trial((), None)


def _for_bags(scenario: Scenario, unfilled: OrderWithoutBags, left: Left) -> tuple[Loosening, ...] | None:
    """The rules of bags that must give way for bags to be filled with the order that there is; None where none help."""
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
    """One of several changes at the least that is enough beside the others."""
    demand = changes[place].demand
    others = apply_changes(scenario, (*changes[:place], *changes[place + 1 :]))
    found = demand.levels(scenario)
    least = find_first_enough(found, lambda level: can_fill_bags(demand.set_level(others, level), unfilled, left))
    return changes[place] if least is None else Loosening(demand, found[least])
