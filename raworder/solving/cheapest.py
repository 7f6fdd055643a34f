"""The cheapest order: the model built from its rules, solved for cost, then for handiness at that cost."""

from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from decimal import Decimal
from time import monotonic

import pulp

from raworder.plan import MILLION, Allocation, Proof, Unsolved
from raworder.solving.constraints import BUILDERS
from raworder.solving.groups import counts_bags_coarsely, split_ug
from raworder.solving.objective import HANDINESS_GAP, cost, cost_gap, handiness, keep_cost
from raworder.solving.problem import GRAMS_PER_KG, Problem, pose, units_per_buy
from raworder.solving.sharing import GIVING_WAY, fixed_to, give_way, is_by_pieces, least_missed
from raworder.solving.solver import Ending, Outcome, Settings, minimise
from raworder.trade import Offer, Scenario

CRUMB = MILLION // 1000
"""A thousandth of a gram or of a unit: less than that is the solver's tolerance, not food."""

Scraps = AbstractSet[tuple[str, str]]
"""Groups and cuts of which so little would be fed that a dog's portion is less than the least."""

MOST_NODES = 20
"""A sharing is searched for so many branches: it only has to miss by no more than pieces demand, not by the least."""


COARSELY = (
    "With so many unlike dogs, bags nearly alike were counted as the smaller: an order with a piece that just fits "
    "some dog's bag might be cheaper."
)
"""What is told where the proof is about fewer pieces than the bags could hold."""


class Impossible:
    """No order satisfies the rules."""


@dataclass(frozen=True)
class _Solved:
    """A problem with the values of its unknowns by name, and how its cost was proved."""

    problem: Problem
    found: Mapping[str, float]
    outcome: Outcome


def build(
    scenario: Scenario, *, whole: bool = True, scraps: Scraps = frozenset(), giving_way: AbstractSet[str] = frozenset()
) -> Problem:
    """The whole model of a scenario: its unknowns under every rule; some rules may be `giving_way`, at a price."""
    problem = pose(scenario, whole=whole, scraps=scraps)
    for key, builder in BUILDERS.items():
        for name, constraint in builder(problem):
            if key in giving_way:
                problem.missed.append(give_way(problem, constraint, len(problem.missed)))
            _add(problem.lp, name, constraint)
    return problem


def cheapest(scenario: Scenario, settings: Settings, *, handy: bool = True) -> Allocation | Impossible | Unsolved:
    """The cheapest allocation with its proof, or that there is none, or that the solver gave up.

    Of equally cheap ones it is the handiest, unless `handy` is not asked for and any will do. Where dogs are many,
    the order is found first and whole pieces are shared out of it; where that cannot be, they are counted in the order.
    """
    began = monotonic()
    if not scenario.many_dogs:
        return _told(_solved(scenario, settings, handy=handy), settings)
    order = _solved(scenario, settings, handy=handy, whole=False)
    if not isinstance(order, _Solved):
        return _told(order, settings)
    shared = _shared(scenario, order, settings.left_since(began))
    if shared is not None:
        merged = _Solved(shared.problem, {**order.found, **shared.found}, order.outcome)
        return _remarked(_told(merged, settings), _about_bags(scenario))
    counted = _told(_solved(scenario, settings.left_since(began), handy=handy), settings)
    return _remarked(counted, (_about_pieces(scenario, order), *_about_bags(scenario)))


def _told(solved: "_Solved | Impossible | Unsolved", settings: Settings) -> Allocation | Impossible | Unsolved:
    """What was solved as an allocation."""
    if not isinstance(solved, _Solved):
        return solved
    return _allocation(solved.problem, solved.found, _proof(solved.outcome, settings))


def _solved(
    scenario: Scenario, settings: Settings, *, handy: bool, whole: bool = True
) -> "_Solved | Impossible | Unsolved":
    """The cheapest values; whoever would get a scrap gets none of it or more, and all is solved again."""
    began = monotonic()
    scraps: Scraps = frozenset()
    while True:
        solved = _solved_once(build(scenario, whole=whole, scraps=scraps), settings.left_since(began), handy=handy)
        more = _scraps(solved) - scraps if whole and isinstance(solved, _Solved) else frozenset()
        if not more:
            return solved
        scraps |= more


def _solved_once(problem: Problem, settings: Settings, *, handy: bool) -> "_Solved | Impossible | Unsolved":
    """The values of the cheapest plan of a problem."""
    began = monotonic()
    outcome = minimise(problem.lp, cost(problem), settings, gap=cost_gap(problem))
    if outcome.ending is Ending.INFEASIBLE:
        return Impossible()
    if not outcome.solved:
        return Unsolved(f"{settings.solver} stopped without a plan: {outcome.why.lower()}")
    found = _values(problem.lp)
    if outcome.ending is Ending.OPTIMAL and handy:
        found = _handiest(problem, outcome, found, settings.left_since(began))
    return _Solved(problem, found, outcome)


def _shared(scenario: Scenario, order: _Solved, settings: Settings) -> _Solved | None:
    """Who eats what of an order, every group in whole pieces; None where the order has no such sharing."""
    began = monotonic()
    scraps: Scraps = frozenset()
    while True:
        problem = build(scenario, scraps=scraps, giving_way=GIVING_WAY)
        fixed_to(problem, order.found)
        limited = replace(settings.left_since(began), most_nodes=MOST_NODES)
        outcome = minimise(problem.lp, least_missed(problem), limited, gap=HANDINESS_GAP)
        solved = _Solved(problem, _values(problem.lp), outcome)
        if not outcome.solved or not is_by_pieces(problem, solved.found):
            return None
        more = _scraps(solved) - scraps
        if not more:
            return solved
        scraps |= more


def _scraps(solved: _Solved) -> Scraps:
    """The groups and cuts of which some dog would get a scrap."""
    problem = solved.problem
    found = set()
    for group in problem.fed_by_rules():
        least_g = group.least_g(problem.scenario.portioning.least_portion_g)
        for cut, eat in problem.eaten(group):
            grams = solved.found[eat.name] * GRAMS_PER_KG
            if CRUMB / MILLION <= grams < least_g - CRUMB / MILLION and (group.name, cut.name) not in problem.pieces:
                found.add((group.name, cut.name))
    return frozenset(found)


def _handiest(problem: Problem, outcome: Outcome, found: dict[str, float], settings: Settings) -> dict[str, float]:
    """The values of the handiest of the cheapest plans; those found already when the time is over."""
    _add(problem.lp, "keep_cost", keep_cost(problem, outcome.value or 0.0))
    second = minimise(problem.lp, handiness(problem), settings, gap=HANDINESS_GAP, warm=True)
    return _values(problem.lp) if second.solved else found


def _remarked(
    found: Allocation | Impossible | Unsolved, remarks: tuple[str, ...]
) -> Allocation | Impossible | Unsolved:
    """The allocation, if there is one, with what the person must know about it."""
    return replace(found, remarks=remarks) if isinstance(found, Allocation) else found


def _about_pieces(scenario: Scenario, order: _Solved) -> str:
    """That an order found before could not be portioned."""
    money = scenario.currency
    before = money.text(money.rounded(Decimal(repr(order.outcome.value or 0.0))))
    return f"An order for {before} would do if pieces could be divided; this one is found with pieces kept whole."


def _about_bags(scenario: Scenario) -> tuple[str, ...]:
    """That some pieces which just fit were left out, where bags were counted coarsely."""
    return (COARSELY,) if counts_bags_coarsely(scenario) else ()


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


def _allocation(problem: Problem, found: Mapping[str, float], proof: Proof) -> Allocation:
    """The solution in millionths: packs made whole, dogs' shares made exact, nothing below zero, no crumbs."""
    bought = {offer.key: _units_bought(problem, offer, found) for offer in problem.offers}
    eaten: dict[tuple[str, str], int] = {}
    for group in problem.groups:
        grams = {cut: found.get(problem.eat_kg[group.name, cut].name, 0.0) * GRAMS_PER_KG for cut in problem.cuts}
        eaten.update(split_ug(group, _without_crumbs(grams)))
    fed_alike = tuple(tuple(dog.name for dog in group.dogs) for group in problem.groups)
    return Allocation(_without_crumbs(bought), eaten, proof, fed_alike)


def _units_bought(problem: Problem, offer: Offer, found: Mapping[str, float]) -> float:
    """Units bought of an offer: a whole number, unless it is sold to the gram."""
    amount = sum(found.get(bought.name, 0.0) for _, _, bought in problem.bought(offer)) * units_per_buy(offer)
    return amount if offer.to_the_gram else round(amount)


def _without_crumbs(amounts: Mapping[str, float]) -> dict[str, int]:
    """The amounts in millionths, less those that are only the solver's tolerance."""
    millionths = {key: round(amount * MILLION) for key, amount in amounts.items()}
    return {key: amount for key, amount in millionths.items() if amount >= CRUMB}
