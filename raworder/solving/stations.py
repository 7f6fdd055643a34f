"""Stations and clean-downs in the order's model: how much work an order makes at the counter, as far as it shows there.

A cut that is fed at all is one station. Between dogs that must not eat different things everything is cleaned down, if
any of these things is fed; see `portioning.bag_filling.stations_of`, which works from finished bags.
"""

from collections.abc import Iterator, Mapping
from itertools import combinations

import pulp

from raworder.solving.constraints import NamedRows
from raworder.solving.problem import GRAMS_PER_KG, Problem, total

CRUMB_KG = 1e-6
"""Less than this is not fed: the solver's tolerance."""


def count_stations(problem: Problem) -> NamedRows:
    """A switch for each cut that is on if it is fed at all, and one for each clean-down; none where dogs are many.

    The switches are held from below only: they count what they should where few are wanted.
    """
    if problem.scenario.solved_by_groups or problem.fed:
        return
    for number, cut in enumerate(problem.cuts):
        fed = problem.fed[cut] = _add_switch(problem, f"fed_{number}")
        eaten = [(problem.eat_kg[group.name, cut], 1.0) for group in problem.groups]
        # big-M: no more of a cut is eaten than the dogs' ranges and caps allow
        yield f"fed_{number}_most", total([*eaten, (fed, -float(problem.usable_g[cut] / GRAMS_PER_KG))]) <= 0
    yield from _count_clean_downs(problem)


def station_values(problem: Problem, found: Mapping[str, float]) -> dict[str, float]:
    """The values of all these switches for an order that was found, by name: a start for the next search."""
    fed = {
        cut: float(sum(found.get(problem.eat_kg[group.name, cut].name, 0.0) for group in problem.groups) > CRUMB_KG)
        for cut in problem.fed
    }
    values = {switch.name: fed[cut] for cut, switch in problem.fed.items()}
    for pair, differ in problem.differ.items():
        values[differ.name] = max(fed[cut] for cut in _told_apart_by(problem, *pair))
    for later, cleaned in problem.cleaned.items():
        apart = [values[differ.name] for (_, second), differ in problem.differ.items() if second == later]
        values[cleaned.name] = float(all(apart))
    return values


def _count_clean_downs(problem: Problem) -> NamedRows:
    """Dogs that must not eat the same of what is fed are worked together: each further lot of dogs is a clean-down."""
    lots = sorted({_cuts_avoided(problem, place) for place in range(len(problem.groups))}, key=sorted)
    for first, second in combinations(range(len(lots)), 2):
        differ = problem.differ[lots[first], lots[second]] = _add_switch(problem, f"differ_{first}_{second}")
        for cut in _told_apart_by(problem, lots[first], lots[second]):
            name = f"differ_{first}_{second}_{list(problem.cuts).index(cut)}"
            yield name, total([(differ, 1), (problem.fed[cut], -1)]) >= 0
    for number, lot in enumerate(lots[1:], start=1):
        cleaned = problem.cleaned[lot] = _add_switch(problem, f"cleaned_{number}")
        apart = [(differ, -1.0) for (_, second), differ in problem.differ.items() if second == lot]
        # the lot is one of its own only if it differs from every one before it
        yield f"cleaned_{number}_least", total([(cleaned, 1), *apart]) >= 1 - len(apart)


def _cuts_avoided(problem: Problem, place: int) -> frozenset[str]:
    """The cuts that a group must not eat in any form; more may be left out of its food for other reasons."""
    rules = problem.groups[place].rules
    return frozenset(name for name, cut in problem.cuts.items() if rules.avoids(cut))


def _told_apart_by(problem: Problem, first: frozenset[str], second: frozenset[str]) -> Iterator[str]:
    """The cuts that one of the two must not eat and the other may."""
    return (cut for cut in problem.cuts if cut in first ^ second)


def _add_switch(problem: Problem, name: str) -> pulp.LpVariable:
    """One more switch of the problem."""
    return problem.lp.add_variable(name, 0, 1, pulp.LpBinary)
