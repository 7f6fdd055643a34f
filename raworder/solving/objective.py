"""What is kept low: first the money paid, nothing mixed into it; then, at that cost, what makes the plan handy."""

from hashlib import sha256

import pulp

from raworder.solving.problem import Problem, is_rounded, kg_per_buy, total
from raworder.trade.scenario import Supplier

LEFTOVER_KG, SUPPLIER, PACK, STEP, PICK = 1.0, 0.5, 0.01, 0.01, 1e-4
"""Weights of the tie-break. A supplier fewer is worth half a kilogram left over, a pack or a step of a supplement a day
fewer 10 g; a pick decides between plans that are the same in all of that. They never change the cost."""

COST_SLACK = 1e-7
"""How far the tie-break may move the cost, relative to it: what solvers call equal; a tenth of a minor unit at most."""


HANDINESS_GAP = 1e-6
"""How near to the handiest is near enough: a milligram left over."""

PICK_GAP = 1e-5
"""How near to the least pick is near enough: ten milligrams eaten."""


def cost_gap(problem: Problem) -> float:
    """How near to the cheapest is proved to be the cheapest: a hundredth of a minor unit.

    With steps in pounds at a price per kilogram a minimum order can be reached in countless ways, each a millionth
    above it; no gap at all would never close. Where no order costs a part of a minor unit, a bound that is nearer than
    one is as good as none nearer.
    """
    minor = float(problem.scenario.currency.minor)
    return minor * 0.98 if costs_whole_minor_units(problem) else minor / 100


def costs_whole_minor_units(problem: Problem) -> bool:
    """Whether whatever is ordered costs a whole number of minor units: no line and no tax has to be rounded."""
    currency = problem.scenario.currency
    return not any(supplier.sales_tax for supplier in problem.suppliers) and not any(
        offer.to_the_gram or is_rounded(currency, offer) for offer in problem.offers
    )


def paid_to(problem: Problem, supplier: Supplier) -> list[tuple[pulp.LpVariable, float]]:
    """The terms whose sum a supplier is paid: its goods with their sales tax, and delivery unless that is free."""
    goods = [(bought, price * float(1 + supplier.sales_tax)) for bought, price in problem.billed_goods(supplier)]
    charge = float(supplier.delivery)
    free = [(problem.free[supplier.name], -charge)] if supplier.name in problem.free else []
    return [*goods, (problem.use[supplier.name], charge), *free]


def cost(problem: Problem) -> pulp.LpAffineExpression:
    """Money paid to all suppliers, in terms of what is bought: so the solver sees that packs cost whole minor units."""
    return total(term for supplier in problem.suppliers for term in paid_to(problem, supplier))


def handiness(problem: Problem) -> pulp.LpAffineExpression:
    """Little left over, few suppliers, few packs, lines and doses, then a stable pick by names; always the same.

    Lines are counted for what is sold to the gram, where whole grams have been asked for; packs count for all else.
    """
    left = [(left, LEFTOVER_KG) for left in problem.left_kg.values()]
    suppliers = [(use, SUPPLIER) for use in problem.use.values()]
    picks = [(eat, PICK * _pick_weight("eat", *key)) for key, eat in problem.eat_kg.items()]
    packs = [
        (amount, (0 if offer.to_the_gram else PACK) + PICK * kg_per_buy(offer) * _pick_weight("buy", offer.key, str(k)))
        for offer in problem.offers
        for k, _, amount in problem.bought(offer)
    ]
    lines = [(line, PACK) for line in problem.printed.line.values()]
    tins = [(count, PACK + PICK * _pick_weight("packs", key)) for key, count in problem.packs.items()]
    given = [(steps, STEP + PICK * _pick_weight("give", *key)) for key, steps in problem.give.items()]
    return total([*left, *suppliers, *packs, *lines, *picks, *tins, *given])


def picks(problem: Problem) -> pulp.LpAffineExpression:
    """The stable pick of who eats and is given what, by names, at full size, so that no solver's tolerance hides it."""
    eaten = [(eat, _pick_weight("eat", *key)) for key, eat in problem.eat_kg.items()]
    given = [(steps, _pick_weight("give", *key)) for key, steps in problem.give.items()]
    return total([*eaten, *given])


def pick_gap(_: Problem) -> float:
    """How near to the least pick is near enough: ten milligrams."""
    return PICK_GAP


def pick_slack(_: Problem, __: float) -> float:
    """How far later aims may move the pick; none comes later."""
    return PICK_GAP


def handiness_gap(_: Problem) -> float:
    """How near to the handiest is near enough, whatever the problem."""
    return HANDINESS_GAP


def handiness_slack(_: Problem, __: float) -> float:
    """How far later aims may move the handiest; none comes later."""
    return HANDINESS_GAP


def cost_slack(problem: Problem, least: float) -> float:
    """How far later aims may move the least cost that was proved."""
    return min(COST_SLACK * max(1.0, least), float(problem.scenario.currency.minor) / 10)


def _pick_weight(*names: str) -> float:
    """A number from 0 to 1 that depends on the names alone."""
    return int.from_bytes(sha256("\0".join(names).encode()).digest()[:4], "big") / 2**32
