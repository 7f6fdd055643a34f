"""What makes an order nicer than the cheapest: more species, less left over, fewer things to buy, fewer stops."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

import pulp

from raworder.solving.constraints import NamedRows
from raworder.solving.problem import GRAMS_PER_KG, Problem, most_units, total, units_per_buy
from raworder.solving.search import BILL, COST, HANDINESS, Aim, SearchGoal, no_further_rows
from raworder.trade.scenario import Scenario

COUNTS_FROM = Fraction(5, 100)
"""The share of all food from which a species or cut counts, unless the scenario sets a least share of a species. Less
makes no meal any different. Source: common practice, no source."""

LEFT_KG = 0.0005
"""Half a gram left over counts as none."""


def least_counted_share(scenario: Scenario) -> Fraction:
    """The share of all that is fed from which on a species or a cut counts."""
    return scenario.variety.least_share or COUNTS_FROM


@dataclass(frozen=True, slots=True)
class Switches:
    """The sum of the switches whose names share a beginning, times a factor: 1 for few of them, -1 for many."""

    begin: str
    factor: int

    def __call__(self, problem: Problem) -> pulp.LpAffineExpression:
        """The sum, for a problem to which the switches were added."""
        return total(
            (variable, self.factor) for variable in problem.lp.variables() if variable.name.startswith(self.begin)
        )


SPECIES, CUTS, LINES, WEIGHED = "counts_species_", "counts_cut_", "counts_line_", "counts_weighed_"
"""How the names of the switches begin."""


def count_species_and_cuts(problem: Problem) -> NamedRows:
    """A species or a cut counts only where all dogs together eat enough of it."""
    cuts = problem.cuts.values()
    for number, species in enumerate(problem.scenario.species()):
        yield from _require_enough_eaten(
            problem, f"{SPECIES}{number}", {cut.name: cut.known_share_of(species) for cut in cuts}
        )
    for number, cut in enumerate(cuts):
        yield from _require_enough_eaten(problem, f"{CUTS}{number}", {cut.name: Fraction(1)})


def count_lines(problem: Problem) -> NamedRows:
    """What is bought at all is a line; an offer with price steps has its switches already."""
    for number, offer in enumerate(problem.offers):
        if len(offer.steps) == 1:
            line = _add_switch(problem, f"{LINES}{number}")
            bought = [(amount, 1.0) for _, _, amount in problem.bought(offer)]
            most = most_units(problem, offer) / units_per_buy(offer)
            yield f"{LINES}{number}_most", total([*bought, (line, -most)]) <= 0


def count_weighed_cuts(problem: Problem) -> NamedRows:
    """What is fed at all, and not in whole pieces, is weighed."""
    for number, cut in enumerate(problem.cuts.values()):
        if problem.scenario.portioning.whole_piece_g(cut) is None:
            weighed = _add_switch(problem, f"{WEIGHED}{number}")
            most_kg = float(problem.usable_g[cut.name] / GRAMS_PER_KG)
            yield (
                f"{WEIGHED}{number}_most",
                total([*_eaten_terms(problem, {cut.name: Fraction(1)}), (weighed, -most_kg)]) <= 0,
            )


def leftover_kg(problem: Problem) -> pulp.LpAffineExpression:
    """Kilograms that are bought or on hand and not fed."""
    return total((left, 1) for left in problem.left_kg.values())


def packs_and_lines(problem: Problem) -> pulp.LpAffineExpression:
    """Packs and lines of the order, counted together."""
    packs = [(amount, 1) for offer in problem.offers if not offer.by_weight for _, _, amount in problem.bought(offer)]
    steps = [(step, 1) for step in problem.step.values()]
    return Switches(LINES, 1)(problem) + total([*packs, *steps])


def supplier_count_sum(problem: Problem) -> pulp.LpAffineExpression:
    """Suppliers used."""
    return total((use, 1) for use in problem.use.values())


def _half(_: Problem) -> float:
    """The gap for whole numbers: a bound nearer than 1 proves the value."""
    return 0.5


def _next_to_nothing(*_: object) -> float:
    """How far later aims may move a whole number: solver tolerance."""
    return 0.001


def _left_gap(_: Problem) -> float:
    """The gap for leftovers."""
    return LEFT_KG


def _left_slack(*_: object) -> float:
    """How far later aims may move what is left over."""
    return LEFT_KG


def _counting_aim(key: str, of: Callable[[Problem], pulp.LpAffineExpression]) -> Aim:
    """An aim whose value is a whole number."""
    return Aim(key, of, _half, _next_to_nothing)


NICER_GOALS: Mapping[str, SearchGoal] = MappingProxyType(
    {
        "species": SearchGoal(
            (_counting_aim("species", Switches(SPECIES, -1)), COST, BILL, HANDINESS), count_species_and_cuts
        ),
        "left_over": SearchGoal(
            (Aim("left_over", leftover_kg, _left_gap, _left_slack), COST, BILL, HANDINESS), no_further_rows
        ),
        "packs_and_lines": SearchGoal(
            (_counting_aim("packs_and_lines", packs_and_lines), COST, BILL, HANDINESS), count_lines
        ),
        "stops": SearchGoal((_counting_aim("stops", supplier_count_sum), COST, BILL, HANDINESS), no_further_rows),
        "weighed": SearchGoal(
            (_counting_aim("weighed", Switches(WEIGHED, 1)), COST, BILL, HANDINESS), count_weighed_cuts
        ),
    }
)
"""Searches for something other than a low cost, by key; among the best, the cheapest, then the handiest."""

MOST_CUTS = _counting_aim("cuts", Switches(CUTS, -1))
"""The most cuts, among orders with so many species."""


def nicer_goal(scenario: Scenario, key: str) -> SearchGoal:
    """The search for a key; for `species` with few dogs, among the orders with most species the most cuts."""
    wanted = NICER_GOALS[key]
    if key == "species" and not scenario.solved_by_groups:
        return replace(wanted, aims=(wanted.aims[0], MOST_CUTS, *wanted.aims[1:]))
    return wanted


@dataclass(frozen=True, slots=True)
class CostWithin:
    """Constraints beyond the rules, and that what is paid, however its lines are rounded, is at most `most`."""

    also: Callable[[Problem], NamedRows]
    most: Decimal

    def __call__(self, problem: Problem) -> NamedRows:
        """The further constraints, then the row on the cost."""
        yield from self.also(problem)
        paid = total((pay, 1) for pay in problem.pay.values())  # a limit in money counts no trips
        yield "surely_within", paid <= float(self.most) - problem.most_rounded_off


def _require_enough_eaten(problem: Problem, name: str, counted: Mapping[str, Fraction]) -> NamedRows:
    """A switch that is on only where enough is eaten of what counts, as a share of each cut."""
    fed_g = sum(group.ration_g for group in problem.groups)
    least_kg = float(least_counted_share(problem.scenario) * fed_g / GRAMS_PER_KG)
    counts = _add_switch(problem, name)
    yield f"{name}_least", total([*_eaten_terms(problem, counted), (counts, -least_kg)]) >= 0


def _eaten_terms(problem: Problem, counted: Mapping[str, Fraction]) -> list[tuple[pulp.LpVariable, float]]:
    """The terms of what all dogs together eat of what counts, as a share of each cut."""
    return [
        (problem.eat_kg[group.name, cut], float(share)) for cut, share in counted.items() for group in problem.groups
    ]


def _add_switch(problem: Problem, name: str) -> pulp.LpVariable:
    """One more switch of the problem."""
    return problem.lp.add_variable(name, 0, 1, pulp.LpBinary)
