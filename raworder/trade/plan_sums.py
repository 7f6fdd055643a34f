"""Sums over a plan: what is fed, bought, on hand and left over, by cut, and steps of supplements."""

from raworder.trade.cuts import Cut
from raworder.trade.plan import Leftover, OrderLine, Plan
from raworder.trade.scenario import Scenario, SupplementOffer


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
