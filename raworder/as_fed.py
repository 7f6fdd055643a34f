"""A scenario as it is fed: rations in energy with the grams that a plan has found for them."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate, pairwise
from math import floor

from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario


def as_fed(scenario: Scenario, plan: Plan) -> Scenario:
    """The scenario in which every dog eats just the grams that the plan feeds it; the same where all were given."""
    fed_g: dict[str, int] = {}
    for portion in plan.portions:
        fed_g[portion.dog] = fed_g.get(portion.dog, 0) + portion.batch_g
    return with_grams(scenario, fed_g)


def with_grams(scenario: Scenario, batch_g: Mapping[str, int]) -> Scenario:
    """The scenario with grams over the batch for every dog whose ration is in energy."""
    if not any(dog.free_grams for dog in scenario.dogs):
        return scenario
    dogs = (_settled(dog, dog.energy, batch_g.get(dog.name, 0)) if dog.energy else dog for dog in scenario.dogs)
    return replace(scenario, dogs=tuple(dogs))


def _settled(dog: Dog, energy: EnergyRation, batch_g: int) -> Dog:
    """The dog with so many grams, spread over its days as its energy is."""
    whole = energy.batch_kcal
    given = (Fraction(batch_g) * kcal / whole for kcal in accumulate(energy.day_kcal, initial=Fraction(0)))
    day_g = tuple(floor(after) - floor(before) for before, after in pairwise(given))
    daily_g = Fraction(batch_g, dog.days) if dog.days else Fraction(0)
    return replace(dog, batch_g=batch_g, daily_g=daily_g, day_g=day_g, energy=replace(energy, settled=True))
