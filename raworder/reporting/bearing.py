"""Who bears what: the money of the bills put on the cuts, and each cut's part on the dogs that eat it; all exact."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.given_beside import given_steps, parts_bought, supplement_lines
from raworder.reporting.plan_sums import bought_g
from raworder.trade.plan import Bill, Plan
from raworder.trade.scenario import Scenario

Parts = dict[str, dict[str, Fraction]]
"""By cut that is bought, then by dog: a part of all that was bought of it."""


def on_cuts(
    scenario: Scenario, plan: Plan, money: Callable[[Bill], Decimal], *, by_weight: bool = False
) -> dict[str, Fraction]:
    """So much money of every bill, put on the cuts it is for: in proportion to the goods, or by weight.

    Where all goods of a bill are free, by weight.
    """
    put: dict[str, Fraction] = {}
    for bill in plan.bills:
        lines = sold_by(scenario, plan, bill.supplier)
        for one, weight in zip(lines, _weights(lines, by_weight=by_weight), strict=True):
            put[one.name] = put.get(one.name, Fraction(0)) + Fraction(money(bill)) * weight
    return put


@dataclass(frozen=True, slots=True)
class Sold:
    """A line of a bill: the cut or supplement, the goods, and what it weighs; supplements weigh nothing here."""

    name: str
    goods: Fraction
    grams: Fraction


def sold_by(scenario: Scenario, plan: Plan, supplier: str) -> list[Sold]:
    """What one supplier sold."""
    offers = {offer.key: offer for offer in scenario.offers}
    food = [
        Sold(offer.cut, Fraction(line.goods), line.units * offer.unit_g)
        for line in plan.lines
        if (offer := offers[line.offer]).supplier == supplier
    ]
    beside = supplement_lines(scenario, plan, supplier)
    return [*food, *(Sold(offer.supplement, Fraction(line.goods), Fraction(0)) for line, offer in beside)]


def eaten_parts(scenario: Scenario, plan: Plan) -> Parts:
    """The part of what was bought of a cut that each dog eats; what they lack to the whole is left over.

    What was on hand and what was bought of a cut are eaten alike by all.
    """
    spare_g = {leftover.cut: leftover.bought_g for leftover in plan.leftovers}
    bought = bought_g(scenario, plan)
    parts: Parts = {}
    for cut, eaten_g in _eaten_g(scenario, plan).items():
        fed_g = sum(eaten_g.values())
        borne = Fraction(bought[cut] - spare_g.get(cut, 0), bought[cut] * fed_g) if fed_g else Fraction(0)
        parts[cut] = {dog: grams * borne for dog, grams in eaten_g.items()}
    return parts | parts_bought(scenario, plan)


def left_parts(scenario: Scenario, plan: Plan) -> Parts:
    """The part of what was bought of a cut that is left over, by who eats of it; of what nobody eats, by the rations.

    Where no dog has a ration either, all bear alike.
    """
    eaten = {**_eaten_g(scenario, plan), **given_steps(scenario, plan)}
    rations_g = {dog.name: dog.batch_g for dog in scenario.dogs}
    parts: Parts = {}
    for cut, borne in eaten_parts(scenario, plan).items():
        left = 1 - sum(borne.values(), Fraction(0))
        by = next(
            (mapping for mapping in (eaten.get(cut, {}), rations_g) if any(mapping.values())), dict.fromkeys(borne, 1)
        )
        shares = {dog: left * grams / sum(by.values()) for dog, grams in by.items()}
        parts[cut] = {dog.name: shares.get(dog.name, Fraction(0)) for dog in scenario.dogs}
    return parts


def _eaten_g(scenario: Scenario, plan: Plan) -> dict[str, dict[str, int]]:
    """Grams that each dog eats of every cut that was bought, in the scenario's order."""
    bought = [cut for cut, grams in bought_g(scenario, plan).items() if grams]
    eaten = {cut: dict.fromkeys((dog.name for dog in scenario.dogs), 0) for cut in bought}
    for portion in plan.portions:
        if portion.cut in eaten:
            eaten[portion.cut][portion.dog] += portion.batch_g
    return eaten


def _weights(lines: list[Sold], *, by_weight: bool) -> list[Fraction]:
    """Each line's part of a bill; all alike where neither money nor weight tells them apart."""
    goods, grams = [line.goods for line in lines], [line.grams for line in lines]
    first, second = (grams, goods) if by_weight else (goods, grams)
    amounts = next((one for one in (first, second) if any(one)), [Fraction(1)] * len(lines))
    whole = sum(amounts, Fraction(0))
    return [amount / whole for amount in amounts]
