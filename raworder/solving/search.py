"""The search: the model built from its rules and solved for one aim after the other, until nobody gets a scrap."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
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
    money_paid,
    no_scraps,
    value_at,
    whole_start,
    whole_values,
    within_budget,
)
from raworder.solving.constraints import BUILDERS, NamedRows
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
from raworder.solving.problem import GRAMS_PER_KG, Problem, pose_unknowns, total, units_per_buy
from raworder.solving.sharing import let_row_be_missed
from raworder.solving.solver import Ending, Outcome, Settings, minimise, values_of
from raworder.solving.stations import count_stations, station_values
from raworder.trade.plan import MILLION, Allocation, Dose, Proof, Unsolved
from raworder.trade.scenario import Offer, Scenario

CRUMB = MILLION // 1000
"""A thousandth of a gram or of a unit: less than that is the solver's tolerance, not food."""

MONEY_SOLVED_TO = Decimal("0.00001")
"""How far a bound may be above what is meant: the solver's tolerance."""

PIECES_LEFT_OUT = "larger pieces were left out, as they might not be shared out or fit every bag"
"""The reason given when pieces that might fit were left out and no order was found without them."""

OFFER_SMALLER_PIECES = "Offer smaller pieces or minced bone, or let a cut be cut up (`portioning: {divided: [...]}`)."
"""The remedy given when pieces are too large."""

PART_OF_TIME = 0.6
"""The part of the remaining time that one search may use once it has found an order; later steps need the rest. While
it has found nothing it goes on, since no later step could start without an order."""

ANY_ORDER, WITHIN_BUDGET = "an order", "an order within the budget"
"""What the search was for, as its message names it."""

NO_MORE = 1e-6
"""Packs or kilograms below this count as none: the solver's tolerance."""

PICK_NODES = 200
"""A search for the pick ends after this many branches. The scenarios shipped need fewer."""

Scraps = AbstractSet[tuple[str, str]]
"""Pairs of group and cut where a dog would get more than nothing but less than the least portion."""

Start = tuple[tuple[str, int], ...]
"""What an order buys: the units of each offer, by its key. A search can start from it."""


class Impossible:
    """No order satisfies the rules."""


def no_further_rows(_: Problem) -> NamedRows:
    """Nothing beside the rules."""
    return iter(())


def ask_for_no_bags(_: Allocation) -> Collection[str]:
    """No dog's bags are filled, so none are left empty."""
    return ()


@dataclass(frozen=True, slots=True)
class Aim:
    """Something to minimise: its sum, the gap at which a search may stop, and how far later aims may move it.

    `counts` are rows with unknowns that only this sum needs; they come into the model once it is this aim's turn.
    """

    key: str
    of: Callable[[Problem], pulp.LpAffineExpression]
    gap: Callable[[Problem], float]
    slack: Callable[[Problem, float], float]
    counts: Callable[[Problem], NamedRows] = no_further_rows


COST = Aim("cost", cost, cost_gap, cost_slack)
BILL = Aim("bill", bill, bill_gap, bill_slack)
HANDINESS = Aim("handy", handiness, handiness_gap, handiness_slack, count_stations)
STABLE_PICK = Aim("picked", picks, pick_gap, pick_slack)


@dataclass(frozen=True, slots=True)
class SearchGoal:
    """What a search is to find: its aims, in order of importance, and constraints beyond the rules (`also`).

    The printed bill must come after the cost; it is skipped where nothing is rounded, as it is the cost then.
    `start` is an order that may be allowed here; if it is, the search is faster. `known_bound` is a bound on the first
    aim that was proved with fewer constraints, so it holds here too. `unfilled` names the dogs whose bags cannot be
    filled from an order; where dogs are many, another is then searched for.
    """

    aims: tuple[Aim, ...] = (COST, BILL, HANDINESS)
    also: Callable[[Problem], NamedRows] = no_further_rows
    start: Start = ()
    known_bound: float | None = None
    unfilled: Callable[[Allocation], Collection[str]] = ask_for_no_bags


CHEAPEST_HANDIEST = SearchGoal((COST, BILL, HANDINESS, STABLE_PICK))
"""The cheapest order, the handiest of those that cost the same, and among these a fixed pick. This one is printed.

Two solvers may stop at plans whose handiness differs by a ten-millionth, so the pick is an aim of its own.
"""

BUILDING_TOOK_ALL_TIME = Unsolved("building the model took all of the time limit, so no order was searched for")
"""The answer when there are so many dogs or offers that the time limit came before any search."""


class LateError(Exception):
    """The time limit was reached while a model was being built."""


ANY_CHEAPEST = SearchGoal((COST, BILL))
"""Any of the cheapest orders, however handy."""


@dataclass(frozen=True)
class Solved:
    """A solved problem: the value of each unknown by name, and how the search for each aim ended.

    With `near_is_enough` the cost need only be near its bound.
    """

    problem: Problem
    found: Mapping[str, float]
    outcomes: Mapping[str, Outcome]
    near_is_enough: bool = False

    @property
    def cost(self) -> Outcome:
        """How far the cost was proved; not at all where the search for an aim before it was cut short."""
        return self.outcomes.get(COST.key) or Outcome(Ending.FEASIBLE, None, None, "")

    def bound_of(self, aim: Aim) -> float | None:
        """The proved lower bound on an aim; None where there is none."""
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
    """The whole model of a scenario: all unknowns under every rule. Rules in `giving_way` may be missed, at a price.

    `until` is a time on the monotonic clock; LateError when the model is not built by then.
    """
    problem = pose_unknowns(scenario, whole=whole, scraps=scraps, groups=groups)
    for key, builder in BUILDERS.items():
        for name, constraint in builder(problem):
            if monotonic() >= until:
                raise LateError
            if key in giving_way:
                problem.missed.append(let_row_be_missed(problem, constraint, len(problem.missed)))
            add_named_row(problem.lp, name, constraint)
    return problem


def search(
    scenario: Scenario, settings: Settings, wanted: SearchGoal = CHEAPEST_HANDIEST, *, whole: bool = True
) -> Solved | Impossible | Unsolved:
    """The best order. If a dog would get a scrap of a cut, that is forbidden and everything is solved again.

    With `whole`, pieces are counted as whole numbers and scraps are looked for; without it, neither is done.
    """
    try:
        return _search_without_scraps(scenario, settings, wanted, whole=whole)
    except LateError:
        return BUILDING_TOOK_ALL_TIME


def _search_without_scraps(
    scenario: Scenario, settings: Settings, wanted: SearchGoal, *, whole: bool
) -> Solved | Impossible | Unsolved:
    """The same; LateError where the time limit came while a model was built."""
    began = monotonic()
    # A switch for every dog and cut from the start made small orders slower for nothing, so scraps are found first.
    scraps: Scraps = frozenset()
    while True:
        problem = build(scenario, whole=whole, scraps=scraps, until=settings.ends_at(began))
        for name, constraint in wanted.also(problem):
            add_named_row(problem.lp, name, constraint)
        solved = _solve_aims(problem, limit_to_part(settings.left_since(began)), wanted, whole=whole)
        if solved is None and _is_above_budget(scenario, settings.left_since(began), wanted, whole=whole):
            solved = Impossible()
        if isinstance(solved, Impossible) and leaves_out_pieces(scenario):
            return confirm_impossible(scenario, settings.left_since(began), wanted, whole=whole)
        if solved is None:
            wanted = replace(wanted, aims=tuple(aim for aim in wanted.aims if aim != BILL))
            continue
        more = scraps_of(solved) - scraps if whole and isinstance(solved, Solved) else frozenset()
        if not more or not isinstance(solved, Solved):
            return solved
        scraps |= more
        # Forbidding a scrap only adds constraints: the bound still holds, and the same purchase may well do again.
        wanted = replace(wanted, start=units_by_offer(solved), known_bound=solved.bound_of(wanted.aims[0]))


def _is_above_budget(scenario: Scenario, settings: Settings, wanted: SearchGoal, *, whole: bool) -> bool:
    """Whether only the budget rules out an order in whole grams: even the least bill is above it."""
    if scenario.budget is None:
        return False
    at_home = tuple(replace(supplier, trip=Decimal(0)) for supplier in scenario.suppliers)  # trips are not paid
    anything = replace(scenario, budget=None, suppliers=at_home)
    found = search(anything, settings, SearchGoal((COST, BILL), wanted.also), whole=whole)
    if not isinstance(found, Solved) or BILL.key not in found.outcomes:
        return False
    return least_bill(found.problem, found.cost.bound or 0.0, found.bound_of(BILL)) > scenario.budget


def confirm_impossible(
    scenario: Scenario, settings: Settings, wanted: SearchGoal, *, whole: bool
) -> Impossible | Unsolved:
    """Impossible if no order exists even with every piece that might fit a bag; otherwise Unsolved.

    Scraps are allowed here, since the rule on them is stricter for dogs fed alike than for a single dog. If there is
    an order, its bill may still be above the budget.
    """
    began, groups = monotonic(), groups_at_most(scenario)
    if groups == groups_of(scenario) and all(len(group.dogs) == 1 for group in groups):
        return Impossible()
    problem = build(scenario, whole=whole, groups=groups, until=settings.ends_at(began))
    for name, constraint in wanted.also(problem):
        add_named_row(problem.lp, name, constraint)
    if minimise(problem.lp, total(()), settings).ending is Ending.INFEASIBLE:
        return Impossible()
    if scenario.budget is not None and COST in wanted.aims:
        limited = replace(settings.left_since(began), most_nodes=MOST_NODES)
        billed = _solve_aims(problem, limited, ANY_CHEAPEST, whole=False)
        return billed if isinstance(billed, Impossible) else Unsolved(PIECES_LEFT_OUT, OFFER_SMALLER_PIECES)
    return Unsolved(PIECES_LEFT_OUT, OFFER_SMALLER_PIECES)


def limit_to_part(settings: Settings) -> Settings:
    """The settings with part of the remaining time; the rest is for solving again without scraps."""
    if settings.time_limit_s is None:
        return settings
    until_found_s = settings.until_found_s or settings.time_limit_s
    return replace(settings, time_limit_s=settings.time_limit_s * PART_OF_TIME, until_found_s=until_found_s)


def units_by_offer(solved: Solved) -> Start:
    """The units that a solution buys of each offer."""
    problem = solved.problem
    units = ((offer.key, round(units_bought(problem, offer, solved.found))) for offer in problem.offers)
    return tuple((key, count) for key, count in units if count)


def scraps_of(solved: Solved) -> Scraps:
    """The pairs of group and cut of which some dog would get a scrap."""
    problem = solved.problem
    found = set()
    for group in problem.fed_by_rules():
        least_g = group.least_g(problem.scenario.portioning.least_portion_g)
        for cut, eat in problem.eaten(group):
            grams = solved.found[eat.name] * GRAMS_PER_KG
            if CRUMB / MILLION <= grams < least_g - CRUMB / MILLION and (group.name, cut.name) not in problem.pieces:
                found.add((group.name, cut.name))
    return frozenset(found)


def add_named_row(lp: pulp.LpProblem, name: str, constraint: pulp.LpConstraint) -> None:
    """Add a constraint under its name; a second one of the same name gets a number."""
    again, plain = 1, name
    while lp.get_constraint_by_name(name) is not None:
        again += 1
        name = f"{plain}__{again}"
    lp.addConstraint(constraint, name)


def allocation_of(solved: Solved, settings: Settings) -> Allocation:
    """The solution in millionths: whole packs, each dog's exact share, nothing negative, no solver crumbs."""
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
    """The daily steps of each supplement for every dog; a dog that takes any is alone in its group."""
    for (name, supplement), give in problem.give.items():
        if steps := round(found.get(give.name, 0.0)):
            yield Dose(name, supplement, steps)


def units_bought(problem: Problem, offer: Offer, found: Mapping[str, float]) -> float:
    """Units bought of an offer: a whole number, unless it is sold to the gram."""
    amount = sum(found.get(bought.name, 0.0) for _, _, bought in problem.bought(offer)) * units_per_buy(offer)
    return amount if offer.to_the_gram else round(amount)


def start_of(problem: Problem, bought: Start) -> Mapping[str, float]:
    """An order's purchases as values of the unknowns by name; empty without an order."""
    units, values = dict(bought), {}
    for offer in problem.offers if bought else ():
        count = units.get(offer.key, 0)
        for _, step, amount in problem.bought(offer):
            values[amount.name] = count / units_per_buy(offer) if step == offer.step_for(count) else 0.0
        if offer.key in problem.ordered:
            values[problem.ordered[offer.key].name] = float(count > 0)
    return values


def _solve_aims(
    problem: Problem, settings: Settings, wanted: SearchGoal, *, whole: bool
) -> Solved | Impossible | Unsolved | None:
    """The best solution of a problem: each aim is minimised in turn, and fixed for the next if it was proved.

    The bill is fixed even if it was not proved, as its distance from the least is known. It is not minimised while any
    dog would get a scrap. None where there is no order in whole grams: rounding up may exceed a limit, such as room.
    """
    began, aims = monotonic(), [aim for aim in wanted.aims if aim != BILL or not costs_whole_minor_units(problem)]
    first, start = aims[0], start_of(problem, wanted.start)
    for name, row in first.counts(problem):
        add_named_row(problem.lp, name, row)
    gap, bound = first.gap(problem), wanted.known_bound
    outcome = minimise(problem.lp, first.of(problem), settings, gap=gap, start=start, known_bound=bound)
    if outcome.ending is Ending.INFEASIBLE:
        return Impossible()
    if not outcome.solved:
        return explain_unsolved(settings, outcome)
    solved = Solved(problem, values_of(problem.lp), {first.key: outcome})
    for before, aim in pairwise(aims):
        if solved.outcomes[before.key].ending is not Ending.OPTIMAL and before != BILL:
            break
        if aim == BILL and whole and scraps_of(solved) - problem.taken.keys():
            break
        left = settings.left_since(began)
        better = _solve_bill(solved, left, whole=whole) if aim == BILL else _improve_by_aim(solved, before, aim, left)
        if not isinstance(better, Solved) or better is solved:
            return better  # no improvement in time: what was found before is good enough
        solved = better
    return solved


def _improve_by_aim(solved: Solved, before: Aim, aim: Aim, settings: Settings) -> Solved:
    """The solution improved by one more aim, with the aim before it fixed; unchanged where nothing is found.

    With whole grams there are countless orders of the same cost, so the number of branches is limited.
    """
    problem, least = solved.problem, solved.outcomes[before.key].value or 0.0
    add_named_row(problem.lp, f"keep_{before.key}", before.of(problem) <= least + before.slack(problem, least))
    for name, row in aim.counts(problem):
        add_named_row(problem.lp, name, row)
    nodes = MOST_NODES if BILL.key in solved.outcomes else settings.most_nodes
    if aim == STABLE_PICK:
        nodes = PICK_NODES
        for name, row in _keep_bought(solved):
            add_named_row(problem.lp, name, row)
    limited = replace(settings, most_nodes=nodes, until_found_s=None)  # an order is there already
    start = {**solved.found, **station_values(problem, solved.found)}
    outcome = minimise(problem.lp, aim.of(problem), limited, gap=aim.gap(problem), start=start)
    return _record_outcome(solved, aim, outcome)


def _keep_bought(solved: Solved) -> NamedRows:
    """Rows that buy no more of any offer than was found: the pick decides who eats what, not what is bought."""
    for number, offer in enumerate(solved.problem.offers):
        for step, (_, _, amount) in enumerate(solved.problem.bought(offer)):
            yield f"keep_bought_{number}_{step}", amount <= solved.found[amount.name] + NO_MORE


def _solve_bill(solved: Solved, settings: Settings, *, whole: bool) -> Solved | Impossible | Unsolved | None:
    """The order with the least printed bill, or at least one within the budget; unchanged if time ran out.

    Rounding can save a cent by feeding a few grams of a cut, so from here on scraps are forbidden for every dog. None
    where there is no order in whole grams.
    """
    problem = solved.problem
    for name, row in bill_rows(problem, solved.cost.bound or 0.0):
        add_named_row(problem.lp, name, row)
    for name, row in no_scraps(problem) if whole and problem.printed.grams else ():
        add_named_row(problem.lp, name, row)
    outcome, better = _search_cheaper_bill(solved, settings)
    if outcome.ending is Ending.INFEASIBLE:
        return None
    within = within_budget(problem)
    if within is None or value_at(money_paid(problem), whole_values(problem, better.found)) <= -within.constant:
        return better
    # with trips the least bill is not the least that can be paid
    if outcome.ending is Ending.OPTIMAL and not problem.scenario.has_trips:
        return Impossible()
    add_named_row(problem.lp, "bill_budget", within)
    outcome = minimise(problem.lp, bill(problem), settings, gap=BILL.gap(problem))
    if not outcome.solved:
        return (
            Impossible() if outcome.ending is Ending.INFEASIBLE else explain_unsolved(settings, outcome, WITHIN_BUDGET)
        )
    return _raise_cost_bound(_record_outcome(solved, BILL, outcome))


def _raise_cost_bound(solved: Solved) -> Solved:
    """The solution with the bound on the exact cost that follows from the bound on the bill.

    Where the budget rules out the least bill, another order can count much more by its trips than was proved before.
    """
    bill_bound, problem = solved.bound_of(BILL), solved.problem
    if bill_bound is None or not problem.scenario.has_trips:
        return solved
    least = bill_bound * float(problem.scenario.currency.minor) - problem.most_rounded_off
    raised = replace(solved.cost, bound=max(solved.cost.bound or 0.0, least))
    return replace(solved, outcomes={**solved.outcomes, COST.key: raised})


def _search_cheaper_bill(solved: Solved, settings: Settings) -> tuple[Outcome, Solved]:
    """How the search for the least bill ended, and the better of the order it found and the order before.

    If HiGHS cannot complete the start it begins from scratch, and may stop at a far dearer order than the one given.
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
    """The solution with the outcome of one more aim; unchanged where that search found nothing."""
    if not outcome.solved:
        return solved
    return replace(solved, found=values_of(solved.problem.lp), outcomes={**solved.outcomes, aim.key: outcome})


def explain_unsolved(settings: Settings, outcome: Outcome, sought: str = ANY_ORDER) -> Unsolved:
    """Why nothing was found: the time limit, if there was one, else whatever the solver says."""
    if settings.time_limit_s is not None:
        return Unsolved(f"the time limit came before {sought} was found")
    return Unsolved(f"{settings.solver} stopped without a plan: {outcome.why.lower()}")


def _proof(solved: Solved, settings: Settings) -> Proof:
    """The proof of the cost: exact to a millionth, or in whole minor units if every order costs whole ones."""
    cost_bound, billed = max(solved.cost.bound or 0.0, 0.0), solved.outcomes.get(BILL.key)
    least = least_bill(solved.problem, cost_bound, billed.bound if billed else None)
    bound = Decimal(repr(cost_bound))  # repr is the shortest decimal that gives this float back
    if costs_whole_minor_units(solved.problem):
        bound = solved.problem.scenario.currency.rounded_up(bound - MONEY_SOLVED_TO)
    proved = solved.cost.ending is Ending.OPTIMAL
    exact = bound.quantize(Decimal("0.000001"))
    return Proof(proved, exact, str(settings.solver), least_bill=least, near_is_enough=solved.near_is_enough)


def _drop_crumbs(amounts: Mapping[str, float]) -> dict[str, int]:
    """The amounts in millionths, without those that are only solver tolerance."""
    millionths = {key: round(amount * MILLION) for key, amount in amounts.items()}
    return {key: amount for key, amount in millionths.items() if amount >= CRUMB}
