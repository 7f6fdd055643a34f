"""What is kept low: money and trips first, nothing else mixed in; then, at that cost, what makes a plan handy."""

from decimal import Decimal
from hashlib import sha256

import pulp

from raworder.solving.problem import Problem, is_rounded, kg_per_buy, total
from raworder.trade.scenario import Supplier

LEFTOVER_KG, SUPPLIER, CLEAN_DOWN, STATION, PACK, STEP, PICK = 1.0, 0.5, 0.2, 0.1, 0.01, 0.01, 1e-4
"""Weights of the tie-break, own choice. One supplier fewer is worth half a kilogram left over, one clean-down at the
counter 200 g, one station (a cut that is fed at all) 100 g; one pack, or one daily step of a supplement, is worth 10 g;
the pick decides between plans equal in all of that. The cost is fixed before, so none of it can change the cost. One
solve for all: a chain of separate solves took two to three times as long."""

COST_SLACK = 1e-7
"""How far the tie-break may move the cost, relative to it: what solvers treat as equal; a tenth of a minor
unit at most."""


HANDINESS_GAP = 1e-6
"""The gap for handiness: a milligram left over."""

PICK_GAP = 1e-5
"""The gap for the pick: ten milligrams eaten."""


def cost_gap(problem: Problem) -> float:
    """The gap within which a cost counts as the cheapest: a hundredth of a minor unit.

    Not zero: with steps in pounds at a price per kilogram, a minimum order can be reached in countless ways, each a
    millionth above it, and a gap of zero never closed.
    """
    # If every order costs whole minor units, a bound less than one below the cost already proves it.
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
    return _terms_of(problem, supplier, supplier.delivery)


def _terms_of(problem: Problem, supplier: Supplier, per_use: Decimal) -> list[tuple[pulp.LpVariable, float]]:
    """The goods with their sales tax, and so much for using the supplier at all, less delivery where that is free."""
    goods = [(bought, price * float(1 + supplier.sales_tax)) for bought, price in problem.billed_goods(supplier)]
    free = [(problem.free[supplier.name], -float(supplier.delivery))] if supplier.name in problem.free else []
    return [*goods, (problem.use[supplier.name], float(per_use)), *free]


def cost(problem: Problem) -> pulp.LpAffineExpression:
    """Money paid to all suppliers, and what the trips to them cost.

    It is in terms of what is bought, so that the solver sees that packs cost whole minor units.
    """
    return total(
        term
        for supplier in problem.suppliers
        for term in _terms_of(problem, supplier, supplier.delivery + supplier.trip)
    )


def handiness(problem: Problem) -> pulp.LpAffineExpression:
    """How unhandy a plan is: leftovers, suppliers, work at the counter, packs, lines and doses; then a pick by names.

    What is sold by weight has no packs; its lines are counted instead, to the gram once the bill is in whole grams.
    Stations and clean-downs count where there are switches for them.
    """
    left = [(left, LEFTOVER_KG) for left in problem.left_kg.values()]
    suppliers = [(use, SUPPLIER) for use in problem.use.values()]
    picks = [(eat, PICK * _pick_weight("eat", *key)) for key, eat in problem.eat_kg.items()]
    packs = [
        (amount, (0 if offer.by_weight else PACK) + PICK * kg_per_buy(offer) * _pick_weight("buy", offer.key, str(k)))
        for offer in problem.offers
        for k, _, amount in problem.bought(offer)
    ]
    lines = [(line, PACK) for line in {**problem.ordered, **problem.printed.line}.values()]
    tins = [(count, PACK + PICK * _pick_weight("packs", key)) for key, count in problem.packs.items()]
    given = [(steps, STEP + PICK * _pick_weight("give", *key)) for key, steps in problem.give.items()]
    counter = [
        *((fed, STATION) for fed in problem.fed.values()),
        *((one, CLEAN_DOWN) for one in problem.cleaned.values()),
    ]
    return total([*left, *suppliers, *counter, *packs, *lines, *picks, *tins, *given])


def picks(problem: Problem) -> pulp.LpAffineExpression:
    """The stable pick of who eats and gets what, at full size, so that no solver tolerance can hide it."""
    eaten = [(eat, _pick_weight("eat", *key)) for key, eat in problem.eat_kg.items()]
    given = [(steps, _pick_weight("give", *key)) for key, steps in problem.give.items()]
    return total([*eaten, *given])


def pick_gap(_: Problem) -> float:
    """The gap for the pick, whatever the problem."""
    return PICK_GAP


def pick_slack(_: Problem, __: float) -> float:
    """How far later aims may move the pick; none comes later."""
    return PICK_GAP


def handiness_gap(_: Problem) -> float:
    """The gap for handiness, whatever the problem."""
    return HANDINESS_GAP


def handiness_slack(_: Problem, __: float) -> float:
    """How far later aims may move the handiest; none comes later."""
    return HANDINESS_GAP


def cost_slack(problem: Problem, least: float) -> float:
    """How far later aims may move the least cost that was proved."""
    return min(COST_SLACK * max(1.0, least), float(problem.scenario.currency.minor) / 10)


def _pick_weight(*names: str) -> float:
    """A weight from 0 to 1 that depends on the names alone."""
    # A hash, not a place in a list: another order in the file must not change the plan.
    return int.from_bytes(sha256("\0".join(names).encode()).digest()[:4], "big") / 2**32
