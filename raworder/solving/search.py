"""The search: the model built from its rules and solved for one aim after the other, until nobody gets a scrap."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise
from math import inf
from time import monotonic

import pulp

from raworder.solving.billing import (
    MOST_NODES,
    bill,
    bill_at,
    bill_gap,
    bill_rows,
    bill_slack,
    least_bill,
    no_scraps,
    whole_start,
    whole_values,
    within_budget,
)
from raworder.solving.constraints import BUILDERS, Named
from raworder.solving.groups import Group, groups_at_most, groups_of, leaves_out_pieces, split_ug
from raworder.solving.objective import (
    cost,
    cost_gap,
    cost_slack,
    costs_whole_minor_units,
    handiness,
    handiness_gap,
    handiness_slack,
    pick_gap,
    pick_slack,
    picks,
)
from raworder.solving.problem import GRAMS_PER_KG, Problem, pose, total, units_per_buy
from raworder.solving.sharing import give_way
from raworder.solving.solver import Ending, Outcome, Settings, minimise
from raworder.trade.plan import MILLION, Allocation, Dose, Proof, Unsolved
from raworder.trade.scenario import Offer, Scenario

CRUMB = MILLION // 1000
"""A thousandth of a gram or of a unit: less than that is the solver's tolerance, not food."""

MONEY_SOLVED_TO = Decimal("0.00001")
"""How far a bound may be above what is meant: the solver's tolerance."""

LEFT_OUT = "larger pieces were left out, as they might not be shared out or fit every bag"
"""What is told where pieces that may fit were left out, and nothing was found without them."""

SMALLER_PIECES = "Offer smaller pieces or minced bone, or let a cut be cut up (`portioning: {divided: [...]}`)."
"""What is to be done where pieces are too large."""

PART_OF_TIME = 0.6
"""The part of the time that is left which one search may take once it found something; what comes after it needs the
rest. While it has found nothing it goes on, as nothing could come after it."""

ANY_ORDER, WITHIN_BUDGET = "an order", "an order within the budget"
"""What was looked for."""

NO_MORE = 1e-6
"""Packs, or kilograms, that are none: the solver's tolerance."""

PICK_NODES = 200
"""After so many branches any pick is good enough. Those shipped need fewer."""

Scraps = AbstractSet[tuple[str, str]]
"""Groups and cuts of which so little would be fed that a dog's portion is less than the least."""

Start = tuple[tuple[str, int], ...]
"""What an order buys: units by the offers' keys."""


class Impossible:
    """No order satisfies the rules."""


@dataclass(frozen=True, slots=True)
class Aim:
    """Something to be kept low: its sum, how near to the least is near enough, how far later aims may move it."""

    key: str
    of: Callable[[Problem], pulp.LpAffineExpression]
    gap: Callable[[Problem], float]
    slack: Callable[[Problem, float], float]


COST = Aim("cost", cost, cost_gap, cost_slack)
BILL = Aim("bill", bill, bill_gap, bill_slack)
HANDY = Aim("handy", handiness, handiness_gap, handiness_slack)
PICKED = Aim("picked", picks, pick_gap, pick_slack)


def nothing_more(_: Problem) -> Named:
    """Nothing beside the rules."""
    yield from ()


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is asked of a search: its aims, one after the other, and what must hold beside the rules.

    The printed bill may only be asked for after the cost, and is left out where it is the cost, as nothing is rounded.
    `start` are units by the offers' keys of an order that may be among those searched, and then spares time.
    `known_bound` is what a search with fewer demands has proved about the first aim.
    """

    aims: tuple[Aim, ...] = (COST, BILL, HANDY)
    also: Callable[[Problem], Named] = nothing_more
    start: Start = ()
    known_bound: float | None = None


HANDIEST = Wanted((COST, BILL, HANDY, PICKED))
"""Of the cheapest orders the handiest; the one that is printed.

Two solvers may call two plans as handy as can be that are a ten-millionth apart, so the pick decides once more alone.
"""

BUILT_ONLY = Unsolved("building the model took all of the time limit, so no order was searched for")
"""What is told where there are so many dogs or offers that the time limit came before any search."""


class LateError(Exception):
    """The time limit came while a model was built."""


ANY_CHEAPEST = Wanted((COST, BILL))
"""Any of the cheapest orders."""


@dataclass(frozen=True)
class Solved:
    """A problem with the values of its unknowns by name, and how each aim ended by its key."""

    problem: Problem
    found: Mapping[str, float]
    outcomes: Mapping[str, Outcome]

    @property
    def cost(self) -> Outcome:
        """How its cost was proved; where an aim before it came to no end, nothing is."""
        return self.outcomes.get(COST.key) or Outcome(Ending.FEASIBLE, None, None, "")

    def bound_of(self, aim: Aim) -> float | None:
        """What was proved about an aim: nothing is lower."""
        outcome = self.outcomes.get(aim.key)
        return outcome.bound if outcome else None


def build(  # noqa: PLR0913 - what may differ between the models of one scenario
    scenario: Scenario,
    *,
    whole: bool = True,
    scraps: Scraps = frozenset(),
    giving_way: AbstractSet[str] = frozenset(),
    groups: Sequence[Group] | None = None,
    until: float = inf,
) -> Problem:
    """The whole model of a scenario: its unknowns under every rule; some rules may be `giving_way`, at a price.

    LateError when it is not built `until` then, a moment of the monotonic clock.
    """
    problem = pose(scenario, whole=whole, scraps=scraps, groups=groups)
    for key, builder in BUILDERS.items():
        for name, constraint in builder(problem):
            if monotonic() >= until:
                raise LateError
            if key in giving_way:
                problem.missed.append(give_way(problem, constraint, len(problem.missed)))
            add(problem.lp, name, constraint)
    return problem


def search(
    scenario: Scenario, settings: Settings, wanted: Wanted = HANDIEST, *, whole: bool = True
) -> Solved | Impossible | Unsolved:
    """The best values; whoever would get a scrap gets none of it or more, and all is solved again.

    Pieces are counted where they must be `whole`; where they need not be, neither are scraps.
    """
    try:
        return _search_without_scraps(scenario, settings, wanted, whole=whole)
    except LateError:
        return BUILT_ONLY


def _search_without_scraps(scenario: Scenario, settings: Settings, wanted: Wanted, *, whole: bool) -> Solved | Impossible | Unsolved:
    """The same; LateError where the time limit came while a model was built."""
    began = monotonic()
    scraps: Scraps = frozenset()
    while True:
        problem = build(scenario, whole=whole, scraps=scraps, until=settings.ends_at(began))
        for name, constraint in wanted.also(problem):
            add(problem.lp, name, constraint)
        solved = _solve_aims(problem, _limit_to_part(settings.left_since(began)), wanted, whole=whole)
        if solved is None and _is_above_budget(scenario, settings.left_since(began), wanted, whole=whole):
            solved = Impossible()
        if isinstance(solved, Impossible) and leaves_out_pieces(scenario):
            return _confirm_impossible(scenario, settings.left_since(began), wanted, whole=whole)
        if solved is None:
            wanted = replace(wanted, aims=tuple(aim for aim in wanted.aims if aim != BILL))
            continue
        more = scraps_of(solved) - scraps if whole and isinstance(solved, Solved) else frozenset()
        if not more or not isinstance(solved, Solved):
            return solved
        scraps |= more
        # A scrap fewer is one more demand: what was proved holds on, and what was bought may well do again.
        wanted = replace(wanted, start=_units_by_offer(solved), known_bound=solved.bound_of(wanted.aims[0]))


def _is_above_budget(scenario: Scenario, settings: Settings, wanted: Wanted, *, whole: bool) -> bool:
    """Whether it is the budget alone that leaves no order in whole grams: the least bill of all is above it."""
    if scenario.budget is None:
        return False
    found = search(replace(scenario, budget=None), settings, Wanted((COST, BILL), wanted.also), whole=whole)
    if not isinstance(found, Solved) or BILL.key not in found.outcomes:
        return False
    return least_bill(found.problem, found.cost.bound or 0.0, found.bound_of(BILL)) > scenario.budget


def _confirm_impossible(scenario: Scenario, settings: Settings, wanted: Wanted, *, whole: bool) -> Impossible | Unsolved:
    """That no order is possible, where that still holds with every piece that might fit a bag; or that this is open.

    Of dogs fed alike nobody is kept from scraps here, as that is asked of them more strictly than of one dog. Where
    there is an order, its bill may still be above the budget.
    """
    began, groups = monotonic(), groups_at_most(scenario)
    if groups == groups_of(scenario) and all(len(group.dogs) == 1 for group in groups):
        return Impossible()
    problem = build(scenario, whole=whole, groups=groups, until=settings.ends_at(began))
    for name, constraint in wanted.also(problem):
        add(problem.lp, name, constraint)
    if minimise(problem.lp, total(()), settings).ending is Ending.INFEASIBLE:
        return Impossible()
    if scenario.budget is not None and COST in wanted.aims:
        limited = replace(settings.left_since(began), most_nodes=MOST_NODES)
        billed = _solve_aims(problem, limited, ANY_CHEAPEST, whole=False)
        return billed if isinstance(billed, Impossible) else Unsolved(LEFT_OUT, SMALLER_PIECES)
    return Unsolved(LEFT_OUT, SMALLER_PIECES)


def _limit_to_part(settings: Settings) -> Settings:
    """The settings with a part of the time that is left: what is found must still be rid of scraps."""
    if settings.time_limit_s is None:
        return settings
    until_found_s = settings.until_found_s or settings.time_limit_s
    return replace(settings, time_limit_s=settings.time_limit_s * PART_OF_TIME, until_found_s=until_found_s)


def _units_by_offer(solved: Solved) -> Start:
    """The units that a solution buys, by offer."""
    problem = solved.problem
    units = ((offer.key, round(units_bought(problem, offer, solved.found))) for offer in problem.offers)
    return tuple((key, count) for key, count in units if count)


def scraps_of(solved: Solved) -> Scraps:
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


def values_of(lp: pulp.LpProblem) -> dict[str, float]:
    """The value of every unknown by its name."""
    return {variable.name: variable.varValue or 0.0 for variable in lp.variables()}


def add(lp: pulp.LpProblem, name: str, constraint: pulp.LpConstraint) -> None:
    """Add a constraint under its name; a second one of the same name gets a number."""
    again, plain = 1, name
    while lp.get_constraint_by_name(name) is not None:
        again += 1
        name = f"{plain}__{again}"
    lp.addConstraint(constraint, name)


def allocation_of(solved: Solved, settings: Settings) -> Allocation:
    """The solution in millionths: packs made whole, dogs' shares made exact, nothing below zero, no crumbs."""
    problem, found = solved.problem, solved.found
    bought = {offer.key: units_bought(problem, offer, found) for offer in problem.offers}
    eaten: dict[tuple[str, str], int] = {}
    for group in problem.groups:
        grams = {cut: found.get(problem.eat_kg[group.name, cut].name, 0.0) * GRAMS_PER_KG for cut in problem.cuts}
        eaten.update(split_ug(group, _drop_crumbs(grams)))
    fed_alike = tuple(tuple(dog.name for dog in group.dogs) for group in problem.groups)
    return Allocation(
        _drop_crumbs(bought),
        eaten,
        _proof(solved, settings),
        fed_alike,
        doses=tuple(_doses(problem, found)),
        supplement_packs={key: count for key, packs in problem.packs.items() if (count := round(found[packs.name]))},
    )


def _doses(problem: Problem, found: Mapping[str, float]) -> Iterator[Dose]:
    """What every dog is given of each supplement; a dog that takes any is alone in its group."""
    for (name, supplement), give in problem.give.items():
        if steps := round(found.get(give.name, 0.0)):
            yield Dose(name, supplement, steps)


def units_bought(problem: Problem, offer: Offer, found: Mapping[str, float]) -> float:
    """Units bought of an offer: a whole number, unless it is sold to the gram."""
    amount = sum(found.get(bought.name, 0.0) for _, _, bought in problem.bought(offer)) * units_per_buy(offer)
    return amount if offer.to_the_gram else round(amount)


def start_of(problem: Problem, bought: Start) -> Mapping[str, float]:
    """What an order buys, as values of unknowns by name; nothing where there is no order."""
    units, values = dict(bought), {}
    for offer in problem.offers if bought else ():
        count = units.get(offer.key, 0)
        for _, step, amount in problem.bought(offer):
            values[amount.name] = count / units_per_buy(offer) if step == offer.step_for(count) else 0.0
    return values


def _solve_aims(
    problem: Problem, settings: Settings, wanted: Wanted, *, whole: bool
) -> Solved | Impossible | Unsolved | None:
    """The values of the best plan of a problem, one aim after the other; each is kept where it was proved.

    A bill is kept even where it was not, as it is known how far it may be from the least; it is not looked into while
    somebody would get a scrap. None where no order is in whole grams: room for a part of one may be missing.
    """
    began, aims = monotonic(), [aim for aim in wanted.aims if aim != BILL or not costs_whole_minor_units(problem)]
    first, start = aims[0], start_of(problem, wanted.start)
    gap, bound = first.gap(problem), wanted.known_bound
    outcome = minimise(problem.lp, first.of(problem), settings, gap=gap, start=start, known_bound=bound)
    if outcome.ending is Ending.INFEASIBLE:
        return Impossible()
    if not outcome.solved:
        return _explain_unsolved(settings, outcome)
    solved = Solved(problem, values_of(problem.lp), {first.key: outcome})
    for before, aim in pairwise(aims):
        if solved.outcomes[before.key].ending is not Ending.OPTIMAL and before != BILL:
            break
        if aim == BILL and whole and scraps_of(solved) - problem.taken.keys():
            break
        left = settings.left_since(began)
        better = _solve_bill(solved, left, whole=whole) if aim == BILL else _improve_by_aim(solved, before, aim, left)
        if not isinstance(better, Solved) or better is solved:
            return better  # nothing better in time: what was found before is good enough
        solved = better
    return solved


def _improve_by_aim(solved: Solved, before: Aim, aim: Aim, settings: Settings) -> Solved:
    """What is better by one more aim, while the one before is kept; the same where nothing is found.

    With whole grams there are countless orders alike, so not all are looked at.
    """
    problem, least = solved.problem, solved.outcomes[before.key].value or 0.0
    add(problem.lp, f"keep_{before.key}", before.of(problem) <= least + before.slack(problem, least))
    nodes = MOST_NODES if BILL.key in solved.outcomes else settings.most_nodes
    if aim == PICKED:
        nodes = PICK_NODES
        for name, row in _keep_bought(solved):
            add(problem.lp, name, row)
    limited = replace(settings, most_nodes=nodes, until_found_s=None)  # an order is there already
    outcome = minimise(problem.lp, aim.of(problem), limited, gap=aim.gap(problem), start=solved.found)
    return _record_outcome(solved, aim, outcome)


def _keep_bought(solved: Solved) -> Named:
    """Of no offer more is bought than was found: a pick is about who eats what, and moves no gram on the list."""
    for number, offer in enumerate(solved.problem.offers):
        for step, (_, _, amount) in enumerate(solved.problem.bought(offer)):
            yield f"keep_bought_{number}_{step}", amount <= solved.found[amount.name] + NO_MORE


def _solve_bill(solved: Solved, settings: Settings, *, whole: bool) -> Solved | Impossible | Unsolved | None:
    """The order whose printed bill is least, or at least within the budget; the same where time was up.

    Cents are saved by a few grams of this and that, so nobody may be fed a scrap of anything from now on. None where
    there is no order in whole grams.
    """
    problem = solved.problem
    for name, row in bill_rows(problem, solved.cost.bound or 0.0):
        add(problem.lp, name, row)
    for name, row in no_scraps(problem) if whole and problem.printed.grams else ():
        add(problem.lp, name, row)
    outcome, better = _search_cheaper_bill(solved, settings)
    if outcome.ending is Ending.INFEASIBLE:
        return None
    within = within_budget(problem)
    if within is None or bill_at(problem, whole_values(problem, better.found)) <= -within.constant:
        return better
    if outcome.ending is Ending.OPTIMAL:
        return Impossible()
    add(problem.lp, "bill_budget", within)
    outcome = minimise(problem.lp, bill(problem), settings, gap=BILL.gap(problem))
    if not outcome.solved:
        return Impossible() if outcome.ending is Ending.INFEASIBLE else _explain_unsolved(settings, outcome, WITHIN_BUDGET)
    return _record_outcome(solved, BILL, outcome)


def _search_cheaper_bill(solved: Solved, settings: Settings) -> tuple[Outcome, Solved]:
    """How the search for the least bill ended, and the better of what it found and what there was.

    A solver that cannot complete the start begins from nothing, and may have found far dearer orders when it stops.
    """
    problem, limited = solved.problem, replace(settings, most_nodes=MOST_NODES, until_found_s=None)
    values = whole_values(problem, solved.found)
    start, before = whole_start(problem, values), bill_at(problem, values)
    outcome = minimise(problem.lp, bill(problem), limited, gap=BILL.gap(problem), start=start)
    if outcome.value is None or outcome.ending is Ending.OPTIMAL or outcome.value <= before + bill_slack():
        return outcome, _record_outcome(solved, BILL, outcome)
    kept = replace(outcome, value=before)
    return kept, Solved(problem, solved.found, {**solved.outcomes, BILL.key: kept})


def _record_outcome(solved: Solved, aim: Aim, outcome: Outcome) -> Solved:
    """What was solved with the values of one more aim; the same where it found none."""
    if not outcome.solved:
        return solved
    return Solved(solved.problem, values_of(solved.problem.lp), {**solved.outcomes, aim.key: outcome})


def _explain_unsolved(settings: Settings, outcome: Outcome, sought: str = ANY_ORDER) -> Unsolved:
    """That the solver found nothing; if time was limited that is why, whatever the solver calls it."""
    if settings.time_limit_s is not None:
        return Unsolved(f"the time limit came before {sought} was found")
    return Unsolved(f"{settings.solver} stopped without a plan: {outcome.why.lower()}")


def _proof(solved: Solved, settings: Settings) -> Proof:
    """What was proved: in exact money to a millionth, or in whole minor units if no order costs a part of one."""
    cost_bound, billed = max(solved.cost.bound or 0.0, 0.0), solved.outcomes.get(BILL.key)
    least = least_bill(solved.problem, cost_bound, billed.bound if billed else None)
    bound = Decimal(repr(cost_bound))
    if costs_whole_minor_units(solved.problem):
        bound = solved.problem.scenario.currency.rounded_up(bound - MONEY_SOLVED_TO)
    proved = solved.cost.ending is Ending.OPTIMAL
    return Proof(proved, bound.quantize(Decimal("0.000001")), str(settings.solver), least_bill=least)


def _drop_crumbs(amounts: Mapping[str, float]) -> dict[str, int]:
    """The amounts in millionths, less those that are only the solver's tolerance."""
    millionths = {key: round(amount * MILLION) for key, amount in amounts.items()}
    return {key: amount for key, amount in millionths.items() if amount >= CRUMB}
