"""The least misses: the model may miss demands, and misses as few of them, by as little, as it can."""

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

RANGE_WEIGHT = 1.01
"""The weight of a range or cap that gives way, where a rule on money, room or stock weighs 1.

Just above 1, so that it only decides between sets of the same size. `_fewest` rounds it away.
"""

LEAST, FEWEST = "least", "fewest"
"""The keys of two aims: the least misses, and the fewest demands missed."""

NEAR_SHARE, NEAR_AMOUNT = 5e-4, 5e-3
"""How near to the least miss is near enough: half a step in which people write shares, or money and kilograms."""

NEAR_OWN = 1e-4
"""How near to the least sum over all groups is near enough, in shares."""

DIGITS = 9
"""The decimals kept of a solver's figure."""


@dataclass(frozen=True, slots=True)
class LeastMisses:
    """By how much each demand is missed, in its own units, and how far muscle's range moves along with each.

    For a demand missed alone `bound` is the proved least miss, and `dogs` are the dogs for which it is missed, for as
    little of their food as can be. `fewest` is how many of several demands must be missed at least; `dogs_of` are the
    dogs for which each of them is.
    """

    by: tuple[Fraction, ...]
    muscle: tuple[Fraction, ...]
    bound: Fraction | None = None
    dogs: tuple[str, ...] = ()
    fewest: int = 1
    dogs_of: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Softened:
    """Adds demands that may be missed to the model; of several, a switch for each says whether it gives way."""

    scenario: Scenario
    demands: tuple[SoftDemand, ...]

    @property
    def switched(self) -> bool:
        """Whether there are several demands, so that the model picks those that give way."""
        return len(self.demands) > 1

    @property
    def base(self) -> Scenario:
        """The scenario without the demands that come back soft."""
        scenario = self.scenario
        for demand in self.demands:
            scenario = demand.soften(scenario)
        return scenario

    def __call__(self, problem: Problem) -> NamedRows:
        """The rows of every demand, each with a variable for its miss."""
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
    """Whether any order keeps all rules, whatever it costs; None where the solver gave up."""
    anything = SearchGoal((Aim("any", lambda _: total(()), lambda _: NEAR_SHARE, lambda *_: 0.0),))
    result = search(scenario, settings, anything, whole=not scenario.solved_by_groups)
    return None if isinstance(result, Unsolved) else not isinstance(result, Impossible)


def find_least_misses(
    scenario: Scenario, demands: Sequence[SoftDemand], settings: Settings
) -> LeastMisses | Impossible | Unsolved:
    """The least miss of one demand, or of each of the fewest; Impossible where even missing them does not help."""
    soft = Softened(scenario, tuple(demands))
    solved = search(soft.base, settings, SearchGoal(_aims(demands), soft), whole=not scenario.solved_by_groups)
    if not isinstance(solved, Solved):
        return solved
    if not all(outcome.solved for outcome in solved.outcomes.values()):
        return Unsolved("the time limit came first")
    by = tuple(
        _figure(solved, f"missed_{number}") * soft_demand.measure(scenario)
        for number, soft_demand in enumerate(demands)
    )
    muscle = tuple(_figure(solved, f"along_{number}") for number in range(len(demands)))
    if soft.switched:
        dogs_of = tuple(tuple(_dogs_missing(solved, number)) for number in range(len(demands)))
        return LeastMisses(by, muscle, fewest=_fewest(solved.outcomes[FEWEST].bound or 0.0), dogs_of=dogs_of)
    bound = Fraction(f"{max(solved.outcomes[LEAST].bound or 0.0, 0.0):.{DIGITS}f}") * demands[0].measure(scenario)
    dogs = tuple(_dogs_missing(solved, 0))
    return LeastMisses(by, muscle, min(bound, by[0]), dogs, dogs_of=(dogs,))


def _fewest(bound: float) -> int:
    """How many demands must be missed at least, where their weights are proved to add up to at least `bound`."""
    return ceil(bound / RANGE_WEIGHT - NEAR_SHARE)


def _dogs_missing(solved: Solved, number: int) -> Iterator[str]:
    """The dogs that miss one demand by more than the solver's tolerance."""
    for group in solved.problem.fed_by_rules():
        if solved.found.get(own_miss_name(solved.problem, group, number), 0.0) > NEAR_SHARE:
            yield from (dog.name for dog in group.dogs)


def _figure(solved: Solved, name: str) -> Fraction:
    # By way of a short decimal, so that the solver's noise does not become part of an exact number.
    return Fraction(f"{max(solved.found.get(name, 0.0), 0.0):.{DIGITS}f}")


def _aims(demands: Sequence[SoftDemand]) -> tuple[Aim, ...]:
    """The aims in turn: fewest rules, those that no dog feels first; least misses; of all dogs together; of muscle.

    Where there are several demands, money, weights and packs count as parts of what is asked for, shares as they are.
    """
    tiers = [1.0 if demand.gives_way_first else RANGE_WEIGHT for demand in demands]
    scale = [demand.scale if len(demands) > 1 else 1.0 for demand in demands]
    near = NEAR_AMOUNT if len(demands) == 1 and demands[0].scale != 1.0 else NEAR_SHARE
    aims = [Aim(LEAST, _total_of("missed", scale), lambda _: near, lambda *_: near)]
    if len(demands) > 1:
        fewest = _total_of("gives_way", tiers)
        aims.insert(0, Aim(FEWEST, fewest, lambda _: NEAR_SHARE, lambda *_: NEAR_SHARE))
    if any(len(demand.dogs) > 1 for demand in demands):
        aims.append(Aim("own", _own_misses(len(demands)), lambda _: NEAR_OWN, lambda *_: NEAR_OWN))
    if any(demand.frees_muscle for demand in demands):
        aims.append(Aim("along", _total_of("along", scale), lambda _: NEAR_SHARE, lambda *_: NEAR_SHARE))
    return tuple(aims)


def _own_misses(demands: int) -> Callable[[Problem], pulp.LpAffineExpression]:
    """A function for the sum of what every group misses each demand by."""

    def sum_own_misses(problem: Problem) -> pulp.LpAffineExpression:
        """The sum of what every group misses the demands by."""
        groups, numbers = problem.fed_by_rules(), range(demands)
        names = {own_miss_name(problem, group, number) for group in groups for number in numbers}
        return total((variable, 1) for variable in problem.lp.variables() if variable.name in names)

    return sum_own_misses


def _total_of(name: str, weights: Sequence[float]) -> Callable[[Problem], pulp.LpAffineExpression]:
    """A function for the weighted sum of the variables of that name, one a demand."""
    return lambda problem: total(_weighted(problem, name, weights))


def _weighted(problem: Problem, name: str, weights: Sequence[float]) -> Iterator[tuple[pulp.LpVariable, float]]:
    """The variables of that name that the model has, each with its weight."""
    variables = {variable.name: variable for variable in problem.lp.variables()}
    for number, weight in enumerate(weights):
        if f"{name}_{number}" in variables:
            yield variables[f"{name}_{number}"], weight
