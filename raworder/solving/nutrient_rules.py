"""The builders of rules on nutrients and supplements, one function under the rule's key.

A row is divided by its largest coefficient, so that grams of one nutrient and micrograms of another weigh alike. What
is not known counts as nothing, as nobody can vouch for it. What can destroy a nutrient that must be there is left out
of the food, by `avoid`: how much would be left beside it is no sum of grams.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction

import pulp

from raworder.nutrients import Analysis, NutrientLimit, Per, RatioLimit
from raworder.solving.groups import Group
from raworder.solving.problem import GRAMS_PER_KG, Problem, most_packs
from raworder.solving.unknowns import named, total

Named = Iterator[tuple[str, pulp.LpConstraint]]

Term = tuple[pulp.LpVariable, Fraction]
"""An unknown with its exact coefficient."""

PER_KG = Fraction(GRAMS_PER_KG, 100)
"""An analysis is of 100 g."""


def nutrient(problem: Problem) -> Named:
    """A dog gets at least and at most so much of a nutrient, a day or per 1000 kcal, as far as is known to be left."""
    for group in problem.fed_by_rules():
        for limit in sorted(group.rules.nutrient_limits, key=lambda limit: limit.key):
            for end, bound in (("low", limit.low), ("high", limit.high)):
                if bound is not None:
                    name = named("nutrient", group.name, limit.key, end)
                    yield name, _row(_counted(problem, group, limit, bound), _due(group, limit, bound), end)


def nutrient_ratio(problem: Problem) -> Named:
    """A dog gets at least and at most so many times as much of one nutrient as of another, as far as is known."""
    for group in problem.fed_by_rules():
        for limit in sorted(group.rules.ratio_limits, key=lambda limit: limit.key):
            for end, bound in (("low", limit.low), ("high", limit.high)):
                if bound is not None:
                    name = named("nutrient_ratio", group.name, limit.key, end)
                    yield name, _row(_compared(problem, group, limit, bound), Fraction(0), end)


def supplement(problem: Problem) -> Named:
    """A supplement is given in whole steps, at most so many a day, no more than there is, to whoever may have it."""
    offers = problem.scenario.supplement_offers
    for one in problem.scenario.supplements:
        given = [
            (problem.give[group.name, one.name], float(group.rules.days))
            for group in problem.groups
            if (group.name, one.name) in problem.give
        ]
        bought = [(problem.packs[offer.key], -float(offer.steps)) for offer in offers if offer.supplement == one.name]
        if given:
            yield named("supplement", one.name), total([*given, *bought]) <= one.on_hand_steps
    for offer in offers:
        packs, use = problem.packs[offer.key], problem.use[offer.supplier]
        yield named("supplement_use", offer.key), total([(packs, 1), (use, -float(most_packs(problem, offer)))]) <= 0


def _counted(problem: Problem, group: Group, limit: NutrientLimit, bound: Fraction) -> Iterable[Term]:
    """What counts towards a bound on one nutrient; less the bound for the energy that goes with it."""
    per_kcal = bound / 1000 if limit.per is Per.MCAL else Fraction(0)
    return _weighed(problem, group, {limit.nutrient: Fraction(1), "energy": -per_kcal})


def _due(group: Group, limit: NutrientLimit, bound: Fraction) -> Fraction:
    """What must be reached in all: nothing more where the bound goes with energy."""
    return bound * group.rules.days if limit.per is Per.DAY else Fraction(0)


def _compared(problem: Problem, group: Group, limit: RatioLimit, bound: Fraction) -> Iterable[Term]:
    """One nutrient less so many times the other."""
    return _weighed(problem, group, {limit.over: Fraction(1), limit.under: -bound})


def _weighed(problem: Problem, group: Group, factors: dict[str, Fraction]) -> Iterable[Term]:
    """The unknowns of what a group eats and is given, each with its nutrients times their factors."""
    for cut, eat in problem.eaten(group):
        yield eat, _sum(cut.analysis, factors) * PER_KG
    for one, give in problem.given(group):
        yield give, _sum(one.analysis, factors) * group.rules.days


def _sum(analysis: Analysis, factors: dict[str, Fraction]) -> Fraction:
    """The known nutrients of an analysis, each times its factor."""
    return sum((factor * (analysis.of(key) or 0) for key, factor in factors.items()), Fraction(0))


def _row(terms: Iterable[Term], due: Fraction, end: str) -> pulp.LpConstraint:
    """The constraint that the terms reach what is due, or stay below it, all divided by the largest coefficient."""
    exact = list(terms)
    largest = max((abs(factor) for _, factor in exact), default=Fraction(0)) or Fraction(1)
    row = total((unknown, float(factor / largest)) for unknown, factor in exact)
    return row >= float(due / largest) if end == "low" else row <= float(due / largest)
