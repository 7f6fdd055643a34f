"""The orders of many dogs that questions compare: before pieces are shared out, and near the cheapest, not proved.

An order of 45 dogs within a fiftieth of a percent takes as long as its first bound; the rest of the proof, the printed
bill and the handiest order of that cost took two thirds of the time of every question. What such a cost can be off by
is its distance from its own bound, so whoever compares two knows what the difference between them can be off by.
"""

from collections.abc import Mapping
from dataclasses import replace
from itertools import chain
from time import monotonic

from raworder.solving.groups import leaves_out_pieces
from raworder.solving.problem import Problem
from raworder.solving.search import (
    COST,
    Aim,
    Impossible,
    SearchGoal,
    Solved,
    add_named_row,
    build,
    confirm_impossible,
    explain_unsolved,
    start_of,
)
from raworder.solving.solver import NOTHING, Ending, Outcome, Settings, minimise, values_of
from raworder.trade.plan import Unsolved
from raworder.trade.scenario import Scenario

COMPARED_WITHIN = 0.0002
"""How near to its bound an order is that is compared, as a share of its cost. Of 45 dogs 0.1 % takes six seconds, this
seven; the next order, started from one like it, three."""

COMPARED_NODES = 2_000
"""Branches after which a search for such an order ends, the same on every machine; a question took under 300."""

WISH_WITHIN, WISH_NODES = 0.01, 1_500
"""The same for a wish, such as the fewest packs, whose proof may take hours. It is searched for without a start: from
one, HiGHS leaves out the heuristics that found two stops where the start had four."""


def is_near_enough(scenario: Scenario, settings: Settings) -> bool:
    """Whether orders that are compared need only be near the cheapest: where dogs are many, unless a proof is asked."""
    return not scenario.proved_to_the_cent and not settings.prove


def order_to_compare(scenario: Scenario, settings: Settings, wanted: SearchGoal) -> Solved | Impossible | Unsolved:
    """The cheapest order if pieces could be divided, or the best by the first aim and then by cost, nearly proved.

    Later aims are left out: only what an order costs is compared.
    """
    began = monotonic()
    problem = build(scenario, whole=False, until=settings.ends_at(began))
    first = wanted.aims[0]
    for name, row in chain(wanted.also(problem), first.counts(problem)):  # one by one, as later ones count on others
        add_named_row(problem.lp, name, row)
    start = start_of(problem, wanted.start) if first == COST else NOTHING
    outcome = _minimise_nearly(problem, first, settings.left_since(began), start)
    if outcome.ending is Ending.INFEASIBLE:
        if leaves_out_pieces(scenario):
            return confirm_impossible(scenario, settings.left_since(began), wanted, whole=False)
        return Impossible()
    if not outcome.solved:
        return explain_unsolved(settings, outcome)
    solved = Solved(problem, values_of(problem.lp), {first.key: outcome}, near_is_enough=True)
    if first != COST:
        solved = _cheapest_of_these(solved, first, settings.left_since(began))
    ending = Ending.OPTIMAL if is_best_by(solved, COST) else Ending.FEASIBLE
    return replace(solved, outcomes={**solved.outcomes, COST.key: replace(solved.cost, ending=ending)})


def is_best_by(solved: Solved, aim: Aim) -> bool:
    """Whether nothing better by this aim is possible: its value is within its own gap of its bound."""
    outcome = solved.outcomes.get(aim.key, solved.cost)
    value, bound = outcome.value, outcome.bound
    return value is not None and bound is not None and value <= bound + aim.gap(solved.problem)


def _cheapest_of_these(solved: Solved, first: Aim, settings: Settings) -> Solved:
    """The cheapest of the orders that do as well by the first aim, even where that is not proved to be the best."""
    problem, least = solved.problem, solved.outcomes[first.key].value or 0.0
    row = first.of(problem) <= least + first.slack(problem, least)
    add_named_row(problem.lp, f"keep_{first.key}", row)
    outcome = _minimise_nearly(problem, COST, settings, solved.found)
    if not outcome.solved:
        return solved
    return replace(solved, found=values_of(problem.lp), outcomes={**solved.outcomes, COST.key: outcome})


def _minimise_nearly(problem: Problem, aim: Aim, settings: Settings, start: Mapping[str, float]) -> Outcome:
    """How the search for the least of one aim ended, at a gap or after so many branches."""
    within, most = (COMPARED_WITHIN, COMPARED_NODES) if aim == COST else (WISH_WITHIN, WISH_NODES)
    limited = replace(settings, most_nodes=settings.most_nodes or most)
    return minimise(problem.lp, aim.of(problem), limited, gap=aim.gap(problem), gap_share=within, start=start)
