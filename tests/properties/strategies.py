"""What the properties are tried on: scenarios that Hypothesis invents, shrinks and repeats."""

from random import Random

from hypothesis import strategies as st

from raworder.solving.cheapest import cheapest
from raworder.solving.search import COST, SearchGoal
from raworder.solving.solver import Settings
from raworder.trade.plan import Allocation
from raworder.trade.scenario import Scenario
from tests.outside.invented import invented, tiny, with_thresholds

SEEDS = st.integers(0, 10**6)


def scenarios() -> st.SearchStrategy[Scenario]:
    """Anything that a scenario can say, a small order with thresholds, or a tiny one; most can be fed."""
    return st.one_of(*(SEEDS.map(Random).map(make) for make in (tiny, with_thresholds, invented)))


def full_scenarios() -> st.SearchStrategy[Scenario]:
    """Anything that a scenario can say; about half can be fed."""
    return SEEDS.map(Random).map(invented)


def cost_of(scenario: Scenario) -> float:
    """The exact least cost; infinite when no order satisfies the rules, or none was found without larger pieces."""
    found = cheapest(scenario, Settings(), SearchGoal((COST,)))
    return float(found.proof.bound) if isinstance(found, Allocation) else float("inf")


def at_most(cost: float, other: float) -> bool:
    """Whether one cost is at most another, but for the sixth decimal."""
    return cost <= other * (1 + 1e-6) + 1e-5
