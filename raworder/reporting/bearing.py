"""Who bears what: the money of the bills put on the cuts, and each cut's part on the dogs that eat it; all exact."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from raworder.plan import Bill, OrderLine, Plan
from raworder.reporting.books import bought_g
from raworder.trade import Offer, Scenario

Parts = dict[str, dict[str, Fraction]]
"""By cut that is bought, then by dog: a part of all that was bought of it."""


def on_cuts(
    scenario: Scenario, plan: Plan, money: Callable[[Bill], Decimal], *, by_weight: bool = False
) -> dict[str, Fraction]:
    """So much money of every bill, put on the cuts it is for: in proportion to the goods, or by weight.

    Where all goods of a bill are free, by weight.
    """
    offers = {offer.key: offer for offer in scenario.offers}
    put: dict[str, Fraction] = {}
    for bill in plan.bills:
        lines = [(line, offers[line.offer]) for line in plan.lines if offers[line.offer].supplier == bill.supplier]
        for (_, offer), weight in zip(lines, _weights(lines, by_weight=by_weight), strict=True):
            put[offer.cut] = put.get(offer.cut, Fraction(0)) + Fraction(money(bill)) * weight
    return put


def eaten_parts(scenario: Scenario, plan: Plan) -> Parts:
    """The part of what was bought of a cut that each dog eats; what they lack to the whole is left over.

    What was on hand and what was bought of a cut are eaten alike by all.
    """
    spare_g = {one.cut: one.bought_g for one in plan.leftovers}
    bought = bought_g(scenario, plan)
    parts: Parts = {}
    for cut, eaten_g in _eaten_g(scenario, plan).items():
        fed_g = sum(eaten_g.values())
        borne = Fraction(bought[cut] - spare_g.get(cut, 0), bought[cut] * fed_g) if fed_g else Fraction(0)
        parts[cut] = {dog: grams * borne for dog, grams in eaten_g.items()}
    return parts


def left_parts(scenario: Scenario, plan: Plan) -> Parts:
    """The part of what was bought of a cut that is left over, by who eats of it; of what nobody eats, by the rations.

    Where no dog has a ration either, all bear alike.
    """
    eaten = _eaten_g(scenario, plan)
    rations_g = {dog.name: dog.batch_g for dog in scenario.dogs}
    parts: Parts = {}
    for cut, borne in eaten_parts(scenario, plan).items():
        left = 1 - sum(borne.values(), Fraction(0))
        by = next((one for one in (eaten[cut], rations_g) if any(one.values())), dict.fromkeys(borne, 1))
        parts[cut] = {dog: left * grams / sum(by.values()) for dog, grams in by.items()}
    return parts


def _eaten_g(scenario: Scenario, plan: Plan) -> dict[str, dict[str, int]]:
    """Grams that each dog eats of every cut that was bought, in the scenario's order."""
    bought = [cut for cut, grams in bought_g(scenario, plan).items() if grams]
    eaten = {cut: dict.fromkeys((dog.name for dog in scenario.dogs), 0) for cut in bought}
    for portion in plan.portions:
        if portion.cut in eaten:
            eaten[portion.cut][portion.dog] += portion.batch_g
    return eaten


def _weights(lines: list[tuple[OrderLine, Offer]], *, by_weight: bool) -> list[Fraction]:
    """Each line's part of a bill."""
    goods = [Fraction(line.goods) for line, _ in lines]
    amounts = goods if any(goods) and not by_weight else [line.units * offer.unit_g for line, offer in lines]
    whole = sum(amounts, Fraction(0))
    return [amount / whole for amount in amounts]
