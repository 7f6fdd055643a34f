"""The cheapest order: the model built from its rules, solved for cost, then for handiness at that cost."""

from collections.abc import Mapping
from decimal import Decimal
from time import monotonic

import pulp

from raworder.plan import MILLION, Allocation, Proof, Unsolved
from raworder.solving.constraints import BUILDERS
from raworder.solving.groups import split_ug
from raworder.solving.objective import HANDINESS_GAP, cost, cost_gap, handiness, keep_cost
from raworder.solving.problem import GRAMS_PER_KG, Problem, pose, units_per_buy
from raworder.solving.solver import Ending, Outcome, Settings, minimise
from raworder.trade import Offer, Scenario

CRUMB = MILLION // 1000
"""A thousandth of a gram or of a unit: less than that is the solver's tolerance, not food."""


class Impossible:
    """No order satisfies the rules."""


def build(scenario: Scenario) -> Problem:
    """The whole model of a scenario: its unknowns under every rule."""
    problem = pose(scenario)
    for builder in BUILDERS.values():
        for name, constraint in builder(problem):
            _add(problem.lp, name, constraint)
    return problem


def cheapest(scenario: Scenario, settings: Settings, *, handy: bool = True) -> Allocation | Impossible | Unsolved:
    """The cheapest allocation with its proof, or that there is none, or that the solver gave up.

    Of equally cheap ones it is the handiest, unless `handy` is not asked for and any will do.
    """
    began = monotonic()
    problem = build(scenario)
    outcome = minimise(problem.lp, cost(problem), settings, gap=cost_gap(problem))
    if outcome.ending is Ending.INFEASIBLE:
        return Impossible()
    if not outcome.solved:
        return Unsolved(f"{settings.solver} stopped without a plan: {outcome.why.lower()}")
    found = _values(problem.lp)
    if outcome.ending is Ending.OPTIMAL and handy:
        found = _handiest(problem, outcome, found, settings.left_since(began))
    return _allocation(problem, found, _proof(outcome, settings))


def _handiest(problem: Problem, outcome: Outcome, found: dict[str, float], settings: Settings) -> dict[str, float]:
    """The values of the handiest of the cheapest plans; those found already when the time is over."""
    _add(problem.lp, "keep_cost", keep_cost(problem, outcome.value or 0.0))
    second = minimise(problem.lp, handiness(problem), settings, gap=HANDINESS_GAP, warm=True)
    return _values(problem.lp) if second.solved else found


def _add(lp: pulp.LpProblem, name: str, constraint: pulp.LpConstraint) -> None:
    """Add a constraint under its name; a second one of the same name gets a number."""
    again, plain = 1, name
    while lp.get_constraint_by_name(name) is not None:
        again += 1
        name = f"{plain}__{again}"
    lp.addConstraint(constraint, name)


def _values(lp: pulp.LpProblem) -> dict[str, float]:
    """The value of every unknown by its name."""
    return {variable.name: variable.varValue or 0.0 for variable in lp.variables()}


def _proof(outcome: Outcome, settings: Settings) -> Proof:
    """What was proved, in exact money to a millionth."""
    bound = Decimal(repr(max(outcome.bound or 0.0, 0.0))).quantize(Decimal("0.000001"))
    return Proof(outcome.ending is Ending.OPTIMAL, bound, str(settings.solver))


def _allocation(problem: Problem, found: dict[str, float], proof: Proof) -> Allocation:
    """The solution in millionths: packs made whole, dogs' shares made exact, nothing below zero, no crumbs."""
    bought = {offer.key: _units_bought(problem, offer, found) for offer in problem.offers}
    eaten: dict[tuple[str, str], int] = {}
    for group in problem.groups:
        grams = {cut: found.get(problem.eat_kg[group.name, cut].name, 0.0) * GRAMS_PER_KG for cut in problem.cuts}
        eaten.update(split_ug(group, _without_crumbs(grams)))
    return Allocation(_without_crumbs(bought), eaten, proof)


def _units_bought(problem: Problem, offer: Offer, found: dict[str, float]) -> float:
    """Units bought of an offer: a whole number, unless it is sold to the gram."""
    amount = sum(found.get(bought.name, 0.0) for _, _, bought in problem.bought(offer)) * units_per_buy(offer)
    return amount if offer.to_the_gram else round(amount)


def _without_crumbs(amounts: Mapping[str, float]) -> dict[str, int]:
    """The amounts in millionths, less those that are only the solver's tolerance."""
    millionths = {key: round(amount * MILLION) for key, amount in amounts.items()}
    return {key: amount for key, amount in millionths.items() if amount >= CRUMB}
