"""A scenario as it is fed: rations in energy with the grams that a plan has found for them."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate, pairwise
from math import floor

from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.plan import MILLION, Allocation, Plan
from raworder.trade.scenario import FedScenario, Scenario


def as_fed(scenario: Scenario, plan: Plan) -> FedScenario:
    """The scenario in which every dog eats just the grams that the plan feeds it; the same where all were given."""
    fed_g: dict[str, int] = {}
    for portion in plan.portions:
        fed_g[portion.dog] = fed_g.get(portion.dog, 0) + portion.batch_g
    return with_grams(scenario, fed_g)


def as_allotted(scenario: Scenario, allocation: Allocation) -> FedScenario:
    """The scenario in which every dog eats just the grams that an allocation gives it."""
    fed_ug: dict[str, int] = {}
    for (dog, _), amount in allocation.eaten_ug.items():
        fed_ug[dog] = fed_ug.get(dog, 0) + amount
    return with_grams(scenario, {dog: amount // MILLION for dog, amount in fed_ug.items()})


def with_grams(scenario: Scenario, batch_g: Mapping[str, int]) -> FedScenario:
    """The scenario with grams over the batch for every dog whose ration is in energy."""
    if not any(dog.free_grams for dog in scenario.dogs):
        return FedScenario(scenario)
    dogs = (_settled(dog, dog.energy, batch_g.get(dog.name, 0)) if dog.energy else dog for dog in scenario.dogs)
    return FedScenario(replace(scenario, dogs=tuple(dogs)))


def _settled(dog: Dog, energy: EnergyRation, batch_g: int) -> Dog:
    """The dog with so many grams, spread over its days as its energy is."""
    whole = energy.batch_kcal
    given = (Fraction(batch_g) * kcal / whole for kcal in accumulate(energy.day_kcal, initial=Fraction(0)))
    day_g = tuple(floor(after) - floor(before) for before, after in pairwise(given))
    daily_g = Fraction(batch_g, dog.days) if dog.days else Fraction(0)
    return replace(dog, batch_g=batch_g, daily_g=daily_g, day_g=day_g, energy=replace(energy, settled=True))
