"""Trying: a demand given way by the least that opens a plan; proved by planning with it, and made less till it ends."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from itertools import islice
from time import monotonic

from raworder.portioning.bag_filling import Unbagged, bagged
from raworder.solving.demands import OF_BAGS, Demand, Level, altered, demands_of, without
from raworder.solving.least_missed import Missed, is_possible, least_missed
from raworder.solving.search import Impossible
from raworder.solving.soft import NOT_SOFT
from raworder.solving.solver import BagSolver, Settings, TimeIsUpError
from raworder.studies.loosenings import (
    FURTHER,
    SHARE_STEP,
    Loosening,
    applied,
    as_far_as_may_be,
    at_step,
    furthest_share,
    goes_too_far,
    is_alike,
    lesser,
    levels,
    muscle_alone,
    nearest,
    rungs,
)
from raworder.trade.plan import NoPlan, Plan, Unfilled, Unsolved
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch

FOR_SOME = 2
"""Where dogs are many so many steps are tried for some that a rule binds, before it gives way for all of them."""

MOST_PLANS, MOST_PLANS_OF_MANY = 150, 6
"""So many plans are made at most to find out with how much less there is one still; the second where dogs are many."""

Left = Callable[[], Settings]
"""The settings with the time that is left by then."""


@dataclass(frozen=True, slots=True)
class Opened:
    """Changes with which there is a plan, what its order costs, and whether that is proved; what is `given` beside."""

    changes: tuple[Loosening, ...]
    total: Decimal
    proved: bool
    given: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Tried:
    """What came of trying a demand, or several: whether an order is possible without, and what opens a plan.

    `helps` is None where the time limit came first; `in_time` is false where it came before a whole plan was made.
    `is_least` is false where it is not sure that fewer or lesser changes open nothing.
    """

    demands: tuple[Demand, ...]
    helps: bool | None
    opened: Opened | None = None
    in_time: bool = True
    is_least: bool = True


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
    if not missed.by[0] and demand.rule != "budget" and furthest_share(demand) is None:
        return Tried((demand,), helps=True)  # only rounding to the minor unit stands in the way
    ways = [(change,) for change in _ways(scenario, demand, missed)]
    return _planned_with(scenario, demand, ways, left)


def _planned_with(scenario: Scenario, demand: Demand, ways: Iterable[tuple[Loosening, ...]], left: Left) -> Tried:
    """What comes of planning with the ways that one demand, without which an order is possible, may give way."""
    try:
        opened = first_opened(scenario, ways, left) or _within_its_price(scenario, demand, left)
    except TimeIsUpError:
        return Tried((demand,), True, in_time=False)
    return at_least(scenario, (demand,), opened, left)


def at_least(scenario: Scenario, demands: tuple[Demand, ...], opened: Opened | None, left: Left) -> Tried:
    """What opens a plan, made less until no step less opens one; or that these demands were tried to no avail."""
    if opened is None:
        return Tried(demands, True)
    least, is_least = tightened(scenario, opened, left)
    if len(demands) > 1:
        return Tried(tuple(loosening.demand for loosening in least.changes), True, least, is_least=is_least)
    is_other = least.changes[0].demand.about != demands[0].about  # what moves along is enough: another rule's change
    return Tried(demands, True, None if is_other else least, is_least=is_least)


def _ways(scenario: Scenario, demand: Demand, missed: Missed) -> Iterator[Loosening]:
    """The least change for those dogs alone that it is missed for, then for all that it binds, and a little further."""
    least = missed.by[0], missed.muscle[0], missed.bound
    if missed.dogs and missed.dogs != demand.dogs:
        for_some = rungs(scenario, replace(demand, dogs=missed.dogs), *least)
        yield from islice(for_some, FOR_SOME if scenario.solved_by_groups else None)
    yield from rungs(scenario, demand, *least)


def tried_for_bags(scenario: Scenario, unfilled: Unfilled, demand: Demand, settings: Settings) -> Tried:
    """The least change of one rule of bags, or of the budget, with which the bags can be filled."""
    left = from_now(settings)
    try:
        if demand.rule == "budget":
            opened = _within_its_price(scenario, demand, left)
            return Tried((demand,), False) if opened is None else at_least(scenario, (demand,), opened, left)
        found = levels(scenario, demand)
        place = nearest(found, lambda level: fills(altered(scenario, demand, level), unfilled, left))
        if place is not None:
            ways = [(Loosening(demand, level),) for level in _a_little_further(found, place)]
            return at_least(scenario, (demand,), first_opened(scenario, ways, left), left)
        opened = first_opened(scenario, [(Loosening(demand, found[-1]),)] if found else [], left)  # with another order
        return Tried((demand,), helps=False) if opened is None else at_least(scenario, (demand,), opened, left)
    except TimeIsUpError:
        return Tried((demand,), None)


def fills(scenario: Scenario, unfilled: Unfilled, left: Left) -> bool:
    """Whether the bags of the dogs that have none can be filled by the rules of this scenario."""
    solve = BagSolver(left(), monotonic())
    return not isinstance(bagged(scenario, unfilled.plan, unfilled.fed_alike, solve, unfilled.dogs), Unbagged)


def has_plan(scenario: Scenario, settings: Settings) -> bool | None:
    """Whether there is a plan, bags and all; None where none was found and none is proved impossible."""
    answer = planned(scenario, settings)
    return None if isinstance(answer, Unsolved) else isinstance(answer, Plan)


def demands_of_bags(scenario: Scenario, unfilled: Unfilled) -> tuple[Demand, ...]:
    """The rules of bags that may give way; of whole pieces only those that a dog without bags is fed."""
    fed = {portion.cut for portion in unfilled.plan.portions if portion.dog in unfilled.dogs}
    found = (demand for demand in demands_of(scenario) if demand.rule in OF_BAGS)
    return tuple(demand for demand in found if demand.rule != "whole_pieces" or demand.about in fed)


def first_opened(scenario: Scenario, ways: Iterable[tuple[Loosening, ...]], left: Left) -> Opened | None:
    """The first of several ways that gives a plan, whole and audited; TimeIsUpError where one was not solved."""
    for way in ways:
        if goes_too_far(scenario, way):
            continue
        answer = planned(applied(scenario, way), left())
        if isinstance(answer, Unsolved):
            raise TimeIsUpError
        if isinstance(answer, Plan):
            return Opened(way, answer.total, answer.proof.proved)
    return None


def planned(scenario: Scenario, settings: Settings) -> Plan | NoPlan | Unsolved:
    """What the whole workflow says."""
    return plan_batch(scenario, settings)


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
    ways = (
        way
        for demand in dict.fromkeys((_of_those_concerned(scenario, demand, left), demand))
        for way in _hard_ways(scenario, demand, left)
    )
    return _planned_with(scenario, demand, ways, left)


def _hard_ways(scenario: Scenario, demand: Demand, left: Left) -> Iterator[tuple[Loosening, ...]]:
    """The nearest level with which an order may be possible, and some after it."""
    found = levels(scenario, demand)
    place = nearest(found, lambda level: is_possible(altered(scenario, demand, level), left()) is not False)
    if place is not None:
        yield from ((Loosening(demand, level),) for level in _a_little_further(found, place))


def _of_those_concerned(scenario: Scenario, demand: Demand, left: Left) -> Demand:
    """The demand of as few dogs as it must give way for; of all that it binds where dogs are many."""
    dogs = demand.dogs
    for name in demand.dogs if len(demand.dogs) > 1 and not scenario.solved_by_groups else ():
        fewer = tuple(other for other in dogs if other != name)
        if fewer and is_possible(without(scenario, (replace(demand, dogs=fewer),)), left()):
            dogs = fewer
    return replace(demand, dogs=dogs)


def _a_little_further(found: Sequence[Level], place: int) -> Iterator[Level]:
    """The level at that place and some after it."""
    return iter(found[place : place + len(FURTHER)])


def tightened(scenario: Scenario, opened: Opened, left: Left) -> tuple[Opened, bool]:
    """As few as are needed of the changes, each by as little as is beside the others; and whether that was ended."""
    tightening = _Tightening(scenario, opened, left)
    try:
        tightening.leave_out()
        tightening.lessen()
    except TimeIsUpError:
        return tightening.best, False
    return tightening.best, True


class _Tightening:
    """Changes that open a plan, the `best` known; what dogs feel is kept before what they do not, so the last first."""

    def __init__(self, scenario: Scenario, opened: Opened, left: Left) -> None:
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
            and not any(is_alike(muscle, loosening) for loosening in fewer)
            and self._opens((muscle, *fewer))
            and not fewer
        ):
            self._opens((as_far_as_may_be(self._scenario, change.demand),))

    def lessen(self) -> None:
        """Take every change back as far as the others let it."""
        for place in reversed(range(len(self.best.changes))):
            change = self.best.changes[place]
            if change.demand.rule == "budget":
                total = self._scenario.currency.rounded(self.best.total)
                self._opens_at(place, replace(change, level=total))
            self._lessen_level(place)
            moved = range(-(-self.best.changes[place].muscle // SHARE_STEP))
            self._nearest(place, [replace(self.best.changes[place], muscle=number * SHARE_STEP) for number in moved])

    def _lessen_level(self, place: int) -> None:
        change = self.best.changes[place]
        counts = lesser(self._scenario, change)

        def is_enough(count: int) -> bool:
            """Whether so many steps open a plan."""
            level = at_step(self._scenario, change.demand, count)
            return self._opens_at(place, replace(change, level=level))

        if counts and is_enough(counts[-1]):
            nearest(counts[:-1], is_enough)

    def _nearest(self, place: int, found: Sequence[Loosening]) -> None:
        """The first of the changes that is enough, where the last is."""
        if found and self._opens_at(place, found[-1]):
            nearest(found[:-1], lambda change: self._opens_at(place, change))

    def _opens_at(self, place: int, change: Loosening) -> bool:
        return self._opens((*self.best.changes[:place], change, *self.best.changes[place + 1 :]))

    def _opens(self, changes: tuple[Loosening, ...]) -> bool:
        """Whether there is a plan with these, which then are the best that are known."""
        if not self._plans_left:
            raise TimeIsUpError
        self._plans_left -= 1
        opened = first_opened(self._scenario, [changes], self._left)
        self.best = opened or self.best
        return opened is not None
