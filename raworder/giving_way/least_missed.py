"""The least miss: demands made soft in the model, and missed by as little, and as few of them, as can be."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

import pulp

from raworder.giving_way.demand import Ends, Miss, SoftDemand
from raworder.giving_way.ranges_and_caps import own_miss_name, range_rows
from raworder.solving.constraints import NamedRows
from raworder.solving.problem import Problem, total
from raworder.solving.search import Aim, Impossible, SearchGoal, Solved, search
from raworder.solving.solver import Settings
from raworder.trade.plan import Unsolved
from raworder.trade.scenario import Scenario

NEXT = 1.01
"""What leaving a range or a cap weighs, where one rule of money, room, order or stock weighs 1."""

LEAST, FEWEST = "least", "fewest"
"""The keys of the aims that keep misses low, and few."""

NEAR_SHARE, NEAR_AMOUNT = 5e-4, 5e-3
"""How near to the least miss is near enough: half of a step in which people write shares, or money and kilograms."""

NEAR_OWN = 1e-4
"""How near to the least over all groups is near enough, in shares."""

DIGITS = 9
"""Decimals of a solver's figure that are looked at."""


@dataclass(frozen=True, slots=True)
class LeastMisses:
    """By how much each demand is missed, in its own measure; and how far muscle's range is moved along with it.

    `bound` is what a demand that is missed alone must be missed by at least, in the same measure, and `dogs` are those
    that it is missed for: of the dogs that it binds, as few of their food as can be. `fewest` is how many of several
    must be missed at least.
    """

    by: tuple[Fraction, ...]
    muscle: tuple[Fraction, ...]
    bound: Fraction | None = None
    dogs: tuple[str, ...] = ()
    fewest: int = 1
    dogs_of: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Softened:
    """A scenario with demands that may be missed; several only where a switch says which of them give way at all."""

    scenario: Scenario
    demands: tuple[SoftDemand, ...]

    @property
    def switched(self) -> bool:
        """Whether it is asked which of several give way."""
        return len(self.demands) > 1

    @property
    def base(self) -> Scenario:
        """The scenario without what comes back soft."""
        scenario = self.scenario
        for demand in self.demands:
            scenario = demand.soften(scenario)
        return scenario

    def __call__(self, problem: Problem) -> NamedRows:
        """The demands again, each with what it may be missed by."""
        ends: Ends = {}
        for number, demand in enumerate(self.demands):
            category = pulp.LpInteger if demand.is_missed_whole else pulp.LpContinuous
            missed = problem.lp.add_variable(f"missed_{number}", 0, demand.most_missed(problem), category)
            problem.missed.append(missed)
            if self.switched:
                switch = problem.lp.add_variable(f"gives_way_{number}", 0, 1, pulp.LpBinary)
                yield f"gives_way_{number}", total([(missed, 1), (switch, -(missed.upBound or 0))]) <= 0
            yield from demand.soft_rows(problem, Miss(number, missed, ends))
        yield from range_rows(self.scenario, problem, ends)


def is_possible(scenario: Scenario, settings: Settings) -> bool | None:
    """Whether an order satisfies all rules, whatever it costs; None where the solver gave up."""
    anything = SearchGoal((Aim("any", lambda _: total(()), lambda _: NEAR_SHARE, lambda *_: 0.0),))
    found = search(scenario, settings, anything, whole=not scenario.solved_by_groups)
    return None if isinstance(found, Unsolved) else not isinstance(found, Impossible)


def find_least_misses(
    scenario: Scenario, demands: Sequence[SoftDemand], settings: Settings
) -> LeastMisses | Impossible | Unsolved:
    """The least by which one demand, or each of the fewest, is missed; Impossible where that does not help."""
    soft = Softened(scenario, tuple(demands))
    found = search(soft.base, settings, SearchGoal(_aims(demands), soft), whole=not scenario.solved_by_groups)
    if not isinstance(found, Solved):
        return found
    if not all(outcome.solved for outcome in found.outcomes.values()):
        return Unsolved("the time limit came first")
    by = tuple(
        _figure(found, f"missed_{number}") * soft_demand.measure(scenario) for number, soft_demand in enumerate(demands)
    )
    muscle = tuple(_figure(found, f"along_{number}") for number in range(len(demands)))
    if soft.switched:
        dogs_of = tuple(tuple(_missing(found, number)) for number in range(len(demands)))
        return LeastMisses(by, muscle, fewest=_fewest(found.outcomes[FEWEST].bound or 0.0), dogs_of=dogs_of)
    bound = Fraction(f"{max(found.outcomes[LEAST].bound or 0.0, 0.0):.{DIGITS}f}") * demands[0].measure(scenario)
    dogs = tuple(_missing(found, 0))
    return LeastMisses(by, muscle, min(bound, by[0]), dogs, dogs_of=(dogs,))


def _fewest(bound: float) -> int:
    """How many demands must be missed at least, where what they weigh is proved to be at least so much."""
    return ceil(bound / NEXT - NEAR_SHARE)


def _missing(solved: Solved, number: int) -> Iterator[str]:
    """The dogs whose share is outside the range of one demand by more than the solver's nearness."""
    for group in solved.problem.fed_by_rules():
        if solved.found.get(own_miss_name(solved.problem, group, number), 0.0) > NEAR_SHARE:
            yield from (dog.name for dog in group.dogs)


def _figure(solved: Solved, name: str) -> Fraction:
    return Fraction(f"{max(solved.found.get(name, 0.0), 0.0):.{DIGITS}f}")


def _aims(demands: Sequence[SoftDemand]) -> tuple[Aim, ...]:
    """First how many rules give way, of several rather those that no dog feels; then how much; then muscle's range.

    Money, weights and packs count as parts of what is asked for where they are several, shares as they are.
    """
    tiers = [1.0 if demand.gives_way_first else NEXT for demand in demands]
    scale = [demand.scale if len(demands) > 1 else 1.0 for demand in demands]
    near = NEAR_AMOUNT if len(demands) == 1 and demands[0].scale != 1.0 else NEAR_SHARE
    aims = [Aim(LEAST, _total_of("missed", scale), lambda _: near, lambda *_: near)]
    if len(demands) > 1:
        fewest = _total_of("gives_way", tiers)
        aims.insert(0, Aim(FEWEST, fewest, lambda _: NEAR_SHARE, lambda *_: NEAR_SHARE))
    if any(len(demand.dogs) > 1 for demand in demands):
        aims.append(Aim("own", _owns(len(demands)), lambda _: NEAR_OWN, lambda *_: NEAR_OWN))
    if any(demand.frees_muscle for demand in demands):
        aims.append(Aim("along", _total_of("along", scale), lambda _: NEAR_SHARE, lambda *_: NEAR_SHARE))
    return tuple(aims)


def _owns(demands: int) -> Callable[[Problem], pulp.LpAffineExpression]:
    """What adds up what every group misses so many demands by."""

    def owns(problem: Problem) -> pulp.LpAffineExpression:
        """The sum of what every group misses the demands by."""
        groups, numbers = problem.fed_by_rules(), range(demands)
        names = {own_miss_name(problem, group, number) for group in groups for number in numbers}
        return total((variable, 1) for variable in problem.lp.variables() if variable.name in names)

    return owns


def _total_of(name: str, weights: Sequence[float]) -> Callable[[Problem], pulp.LpAffineExpression]:
    """What adds up the unknowns of that name with their weights."""
    return lambda problem: total(_weighed(problem, name, weights))


def _weighed(problem: Problem, name: str, weights: Sequence[float]) -> Iterator[tuple[pulp.LpVariable, float]]:
    """The unknowns of that name that there are, each with its weight."""
    variables = {variable.name: variable for variable in problem.lp.variables()}
    for number, weight in enumerate(weights):
        if f"{name}_{number}" in variables:
            yield variables[f"{name}_{number}"], weight
