"""What an offer is likely worth to an order, for a first try only: with everything divisible, prices are far off."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

import pulp

from raworder.plan import MILLION
from raworder.solving.objective import cost
from raworder.solving.problem import GRAMS_PER_KG
from raworder.solving.search import build
from raworder.solving.solver import Settings, minimise
from raworder.solving.unknowns import named
from raworder.trade import OnHand, Scenario

LITTLE_G = 20
"""So much of every cut is thought to be on hand, lest what is bought be just at its bound."""


def likely_worth(scenario: Scenario, settings: Settings) -> Mapping[str, Fraction]:
    """A guess of the price per unit before sales tax of every offer, by key; empty where none can be made.

    It is what a kilogram more of the cut would save if packs, pieces and suppliers could be divided.
    """
    problem = build(_with_a_little(scenario), whole=False)
    for variable in problem.lp.variables():
        variable.cat = pulp.LpContinuous
    if not minimise(problem.lp, cost(problem), settings).solved:
        return {}
    worth = {}
    for offer in problem.offers:
        rows = map(
            problem.lp.get_constraint_by_name, (named("supply", offer.cut), named("supply", offer.cut, "pieces"))
        )
        per_kg = sum(row.pi or 0.0 for row in rows if row is not None)
        taxed = 1 + scenario.supplier(offer.supplier).sales_tax
        worth[offer.key] = Fraction(round(abs(per_kg) * MILLION), MILLION) * offer.unit_g / GRAMS_PER_KG / taxed
    return worth


def _with_a_little(scenario: Scenario) -> Scenario:
    """The scenario with a little of every cut on hand: bounds on what is bought do not bind then, nor does room."""
    little = tuple(OnHand(cut.name, LITTLE_G) for cut in scenario.cuts)
    room_g = None if scenario.room_g is None else scenario.room_g + LITTLE_G * len(little)
    return replace(scenario, on_hand=(*scenario.on_hand, *little), room_g=room_g)
