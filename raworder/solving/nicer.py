"""What makes an order nicer than the cheapest: less bother in all, or one thing: more species, less left over, ..."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

import pulp

from raworder.solving.constraints import NamedRows
from raworder.solving.problem import GRAMS_PER_KG, Problem, most_units, total, units_per_buy
from raworder.solving.search import BILL, COST, HANDINESS, Aim, SearchGoal, no_further_rows
from raworder.solving.stations import count_stations
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
        return total((switch, self.factor) for switch in _switches(problem, self.begin))


SPECIES, CUTS, LINES, WEIGHED, BOUGHT = (
    "counts_species_", "counts_cut_", "counts_line_", "counts_weighed_", "counts_bought_",
)  # fmt: skip
"""How the names of the switches begin."""

MINUTES: Mapping[str, int] = MappingProxyType(
    {
        "stops": 30,
        "clean_downs": 10,
        "stations": 4,
        "bought": 3,
        "lines": 2,
        "packs": 1,
        "left_kg": 5,
        "species": -5,
    }
)
"""The minutes of work that each is taken to cost a person: a stop, a clean-down and a station at the counter, a
different cut bought, a line, a pack, a kilogram left over; a species more is worth some. They only weigh one bother
against another. Source: own choice."""

BOTHER_GAP, GAP_OF_MANY = 0.25, 5.0
"""The gap for the bother in minutes: what 50 g left over count; where dogs are many, a kilogram, as a nearer bound took
the largest scenario shipped half as long again."""

BOTHER_SLACK = 0.01
"""How far later aims may move the bother in minutes: by 2 g left over."""


def count_species(problem: Problem) -> NamedRows:
    """A species counts only where all dogs together eat enough of it."""
    for number, species in enumerate(problem.scenario.species()):
        counted = {cut.name: cut.known_share_of(species) for cut in problem.cuts.values()}
        yield from _require_enough_eaten(problem, f"{SPECIES}{number}", counted)


def count_species_and_cuts(problem: Problem) -> NamedRows:
    """A species or a cut counts only where all dogs together eat enough of it."""
    yield from count_species(problem)
    for number, cut in enumerate(problem.cuts):
        yield from _require_enough_eaten(problem, f"{CUTS}{number}", {cut: Fraction(1)})


def count_bother(problem: Problem) -> NamedRows:
    """All that bothers a person is counted: species, lines, different cuts bought, stations and clean-downs."""
    yield from count_species(problem)
    yield from count_lines(problem)
    yield from _count_cuts_bought(problem)
    yield from count_stations(problem)


def _count_cuts_bought(problem: Problem) -> NamedRows:
    """A cut is bought if any of its offers is a line."""
    lines = {line.name: line for line in _switches(problem, LINES)}
    switches = {
        cut: _add_switch(problem, f"{BOUGHT}{number}")
        for number, cut in enumerate(problem.cuts)
        if problem.offers_for(cut)
    }
    for number, offer in enumerate(problem.offers):
        steps = [problem.step[offer.key, k] for k in range(len(offer.steps)) if (offer.key, k) in problem.step]
        line = [(one, -1.0) for one in steps or [lines[f"{LINES}{number}"]]]
        yield f"{BOUGHT}by_{number}", total([(switches[offer.cut], 1), *line]) >= 0


def bother(problem: Problem) -> pulp.LpAffineExpression:
    """The minutes that an order is taken to cost a person; stations and clean-downs only where dogs are few."""
    counted = {
        "left_kg": problem.left_kg.values(),
        "stops": problem.use.values(),
        "stations": problem.fed.values(),
        "clean_downs": problem.cleaned.values(),
        "lines": [*problem.step.values(), *_switches(problem, LINES)],
        "packs": _packs(problem),
        "bought": _switches(problem, BOUGHT),
        "species": _switches(problem, SPECIES),
    }
    return total((unknown, MINUTES[key]) for key, unknowns in counted.items() for unknown in unknowns)


def _switches(problem: Problem, begin: str) -> Iterator[pulp.LpVariable]:
    """The switches whose names begin so."""
    return (variable for variable in problem.lp.variables() if variable.name.startswith(begin))


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


def _packs(problem: Problem) -> Iterator[pulp.LpVariable]:
    """How much is bought of what comes in packs, at each price step."""
    for offer in problem.offers:
        if not offer.by_weight:
            yield from (amount for _, _, amount in problem.bought(offer))


def packs_and_lines(problem: Problem) -> pulp.LpAffineExpression:
    """Packs and lines of the order, counted together."""
    packs = [(amount, 1) for amount in _packs(problem)]
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


def _bother_gap(problem: Problem) -> float:
    """The gap for the bother."""
    return GAP_OF_MANY if problem.scenario.solved_by_groups else BOTHER_GAP


def _bother_slack(*_: object) -> float:
    """How far later aims may move it."""
    return BOTHER_SLACK


COMPROMISE = "compromise"
"""The key of the search for the least bother in all."""

NICER_GOALS: Mapping[str, SearchGoal] = MappingProxyType(
    {
        COMPROMISE: SearchGoal(
            (Aim(COMPROMISE, bother, _bother_gap, _bother_slack), COST, BILL, HANDINESS), count_bother
        ),
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
class EnergyKept:
    """Constraints beyond the rules, and that dogs get at least so many kcal over the batch, as far as that is known.

    Dogs that are not named here, and those in groups with any such dog, are free in that.
    """

    also: Callable[[Problem], NamedRows]
    least_kcal: tuple[tuple[str, Fraction], ...]

    def __call__(self, problem: Problem) -> NamedRows:
        """The further constraints, then a row for each group."""
        yield from self.also(problem)
        least = dict(self.least_kcal)
        for number, group in enumerate(problem.fed_by_rules()):
            if not group.free_grams and all(dog.name in least for dog in group.dogs):
                kcal = sum((least[dog.name] for dog in group.dogs), Fraction(0))
                eaten = [(eat, float(cut.kcal_per_g or 0)) for cut, eat in problem.eaten(group)]
                yield f"keep_energy_{number}", total(eaten) >= float(kcal / GRAMS_PER_KG)


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
