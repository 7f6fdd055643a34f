"""The scenario as a plan feeds it, and sums of what is fed, bought, on hand and left over."""

from collections.abc import Collection, Mapping
from dataclasses import replace
from fractions import Fraction

from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.plan import MILLION, Allocation, Leftover, OrderLine, Plan
from raworder.trade.rounding import round_as_it_adds_up
from raworder.trade.scenario import FedScenario, Scenario, SupplementOffer


def fed_g(scenario: Scenario, plan: Plan) -> dict[str, int]:
    """Grams fed of every cut, all dogs together."""
    fed = {cut.name: 0 for cut in scenario.cuts}
    for portion in plan.portions:
        fed[portion.cut] += portion.batch_g
    return fed


def bought_g(scenario: Scenario, plan: Plan) -> dict[str, int]:
    """Grams bought of every cut, all suppliers together."""
    offers = {offer.key: offer for offer in scenario.offers}
    bought = {cut.name: 0 for cut in scenario.cuts}
    for line in plan.lines:
        offer = offers[line.offer]
        bought[offer.cut] += offer.grams(line.units)
    return bought


def on_hand_g(scenario: Scenario) -> dict[str, int]:
    """Grams of every cut that the freezer already holds."""
    held = {cut.name: 0 for cut in scenario.cuts}
    for lot in scenario.on_hand:
        held[lot.cut] += lot.grams
    return held


def left(plan: Plan) -> tuple[Leftover, ...]:
    """What is left over, without the cuts that are used up."""
    return tuple(leftover for leftover in plan.leftovers if leftover.total_g)


def fed_cuts(scenario: Scenario, plan: Plan) -> tuple[Cut, ...]:
    """The cuts that any dog eats, in the scenario's order."""
    fed = fed_g(scenario, plan)
    return tuple(cut for cut in scenario.cuts if fed[cut.name])


def supplement_lines(scenario: Scenario, plan: Plan, supplier: str) -> list[tuple[OrderLine, SupplementOffer]]:
    """What is bought of supplements from one supplier."""
    offers = {offer.key: offer for offer in scenario.supplement_offers}
    lines = [(line, offers[line.offer]) for line in plan.supplement_lines]
    return [(line, offer) for line, offer in lines if offer.supplier == supplier]


def given_steps(scenario: Scenario, plan: Plan) -> dict[str, dict[str, int]]:
    """Steps over the batch by supplement, then by dog."""
    days = {dog.name: dog.days for dog in scenario.dogs}
    given: dict[str, dict[str, int]] = {}
    for dose in plan.doses:
        given.setdefault(dose.supplement, {})[dose.dog] = dose.steps_a_day * days[dose.dog]
    return given


def bought_steps(scenario: Scenario, plan: Plan) -> dict[str, int]:
    """Steps bought of each supplement."""
    offers = {offer.key: offer for offer in scenario.supplement_offers}
    bought: dict[str, int] = {}
    for line in plan.supplement_lines:
        offer = offers[line.offer]
        bought[offer.supplement] = bought.get(offer.supplement, 0) + offer.steps * line.units
    return bought


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
    dogs = (_settle_grams(dog, dog.energy, batch_g.get(dog.name, 0)) if dog.energy else dog for dog in scenario.dogs)
    return FedScenario(replace(scenario, dogs=tuple(dogs)))


def of_dogs(scenario: FedScenario, names: Collection[str]) -> FedScenario:
    """The scenario as it is fed with some of its dogs alone."""
    return FedScenario(replace(scenario, dogs=tuple(dog for dog in scenario.dogs if dog.name in names)))


def _settle_grams(dog: Dog, energy: EnergyRation, batch_g: int) -> Dog:
    """The dog with that many grams, spread over its days as its energy is."""
    whole = energy.batch_kcal
    day_g = round_as_it_adds_up(batch_g * kcal / whole for kcal in energy.day_kcal)
    daily_g = Fraction(batch_g, dog.days) if dog.days else Fraction(0)
    return replace(dog, batch_g=batch_g, daily_g=daily_g, day_g=day_g, energy=replace(energy, settled=True))
