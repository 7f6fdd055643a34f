"""What is missing: the least by which ranges must be missed where what there is does not reach them all."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from math import ceil

from raworder.solving.groups import Group
from raworder.solving.problem import GRAMS_PER_KG, Problem, total
from raworder.solving.search import build
from raworder.solving.sharing import GIVING_WAY, limits_of
from raworder.solving.solver import Settings, minimise
from raworder.trade.dogs import Dog
from raworder.trade.plan import MILLION
from raworder.trade.purchase import Missed
from raworder.trade.scenario import Scenario

SOLVED_TO_G = Fraction(1, 1000)
"""Less than that is the solver's tolerance."""


def least_missing(scenario: Scenario, settings: Settings) -> tuple[Missed, ...] | None:
    """Every range that cannot be reached, dog by dog, where all together are missed by as few grams as can be.

    None where something else stands in the way, such as too little food.
    """
    problem = build(scenario, giving_way=GIVING_WAY)
    outcome = minimise(problem.lp, total((missed, 1) for missed in problem.missed), settings)
    if not outcome.solved:
        return None
    found = {variable.name: variable.varValue or 0.0 for variable in problem.lp.variables()}
    groups = {dog.name: group for group in problem.fed_by_rules() for dog in group.dogs}
    return tuple(
        missed
        for dog in scenario.dogs
        if dog.name in groups
        for missed in _missed(problem, groups[dog.name], dog, found)
    )


def _missed(problem: Problem, group: Group, dog: Dog, found: Mapping[str, float]) -> Iterator[Missed]:
    """The ranges that a dog misses, by grams rounded up."""
    eaten = {
        cut: Fraction(round(found[eat.name] * GRAMS_PER_KG * MILLION), MILLION) for cut, eat in problem.eaten(group)
    }
    for subject, low, high in limits_of(group):
        share = sum((subject.share_in(cut) * grams for cut, grams in eaten.items()), Fraction(0)) / group.ration_g
        off_g = max(low - share, share - high) * dog.batch_g
        if off_g > SOLVED_TO_G:
            yield Missed(dog.name, subject, low, high, share, ceil(off_g))
