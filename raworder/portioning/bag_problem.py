"""The bag problem: how the kinds of bag of one dog are filled, as an integer programme, without its rules.

The unknowns are counted in pieces or scale steps. The top-up has none: it brings every bag to its weight, so that all
rules can be written without it.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

import pulp

from raworder.cuts import Subject
from raworder.portioning.needs import Ingredient, Need
from raworder.portioning.patterns import Pattern
from raworder.rulebook import REST_STEPS

Terms = list[tuple[pulp.LpVariable, float]]
Run = tuple[int, ...]
"""The places of bags that follow one another."""

PER_PIECE = 2.0
"""How many weighings a piece more in the fullest bag is worth: bone is spread before a weighing is saved."""


@dataclass(frozen=True)
class BagProblem:
    """A need under a pattern, with its unknowns by kind and name.

    `count` is pieces or scale steps in a bag of a kind, `rest` the grams that its last bag holds more, `taken` whether
    the kind has any; `fullest` is the most pieces of an ingredient in any bag, by name.
    """

    need: Need
    pattern: Pattern
    lp: pulp.LpProblem
    count: Mapping[tuple[int, str], pulp.LpVariable]
    taken: Mapping[tuple[int, str], pulp.LpVariable]
    rest: Mapping[tuple[int, str], pulp.LpVariable]
    fullest: Mapping[str, pulp.LpVariable]

    @cached_property
    def kinds(self) -> tuple[int, ...]:
        """The kinds of bag."""
        return tuple(sorted(set(self.pattern)))

    @cached_property
    def last(self) -> Mapping[int, int]:
        """The place of the last bag of each kind."""
        return {kind: place for place, kind in enumerate(self.pattern)}

    @cached_property
    def weeks(self) -> tuple[Run, ...]:
        """The weeks that are not filled like another one."""
        return self._unlike(self.need.weeks)

    @cached_property
    def days(self) -> tuple[Run, ...]:
        """The days that are not filled like another one."""
        return self._unlike(self.need.days)

    def amount(self, run: Run, one: Ingredient) -> Terms:
        """The terms whose sum is the grams of an ingredient in a run of bags."""
        return list(self._amount(self._bags(run), one, 1.0))

    def counted(self, run: Run, subject: Subject) -> Terms:
        """The terms whose sum is what counts for a subject in a run of bags, beside what the top-up alone would."""
        bags, changes = self._bags(run), self.need.changes[subject]
        return [
            term for one in self.need.others if changes[one.name] for term in self._amount(bags, one, changes[one.name])
        ]

    def _bags(self, run: Run) -> list[tuple[int, int, bool]]:
        """The kinds in a run, each with its bags and whether the last of them is among those."""
        found = [self.pattern[place] for place in run]
        return [(kind, found.count(kind), self.last[kind] in run) for kind in sorted(set(found))]

    def _amount(
        self, bags: Iterable[tuple[int, int, bool]], one: Ingredient, times: float
    ) -> Iterator[tuple[pulp.LpVariable, float]]:
        for kind, number, with_last in bags:
            yield self.count[kind, one.name], times * one.unit_g * number
            if with_last and not one.whole:
                yield self.rest[kind, one.name], times

    def _unlike(self, runs: Iterable[Run]) -> tuple[Run, ...]:
        """The runs of bags, each once of those that hold as many bags of each kind and weigh the same."""
        found: dict[object, Run] = {}
        for run in runs:
            grams = sum(self.need.slots[place].grams for place in run)
            found.setdefault((tuple(self._bags(run)), grams, self.need.ration_g(run)), run)
        return tuple(found.values())


def pose(need: Need, pattern: Pattern) -> BagProblem:
    """The unknowns of a dog's bags under a pattern, bounded."""
    lp = pulp.LpProblem("bags", pulp.LpMinimize)
    count, taken, rest = {}, {}, {}
    for kind in sorted(set(pattern)):
        for number, one in enumerate(need.others):
            words = f"{kind}_{number}"
            count[kind, one.name] = lp.add_variable(f"count_{words}", 0, one.total_g // one.unit_g, pulp.LpInteger)
            if not one.whole:
                most_g = REST_STEPS * one.unit_g
                taken[kind, one.name] = lp.add_variable(f"taken_{words}", 0, 1, pulp.LpBinary)
                rest[kind, one.name] = lp.add_variable(f"rest_{words}", -most_g, most_g, pulp.LpInteger)
    whole = [(number, one) for number, one in enumerate(need.others) if one.whole]
    fullest = {one.name: lp.add_variable(f"fullest_{number}", 0) for number, one in whole}
    return BagProblem(need, pattern, lp, count, taken, rest, fullest)


def burden(problem: BagProblem) -> pulp.LpAffineExpression:
    """What is kept low: how often something is weighed into a bag, topping up aside; then pieces in the fullest bag."""
    often = [(taken, float(problem.pattern.count(kind))) for (kind, _), taken in problem.taken.items()]
    return total([*often, *((pieces, PER_PIECE) for pieces in problem.fullest.values())])


def fullest_bags(problem: BagProblem) -> Iterator[tuple[str, pulp.LpConstraint]]:
    """No rule: the fullest bag has at least as many pieces as each."""
    for (kind, name), count in problem.count.items():
        if name in problem.fullest:
            number = [one.name for one in problem.need.others].index(name)
            yield f"fullest_{number}_{kind}", total([(problem.fullest[name], 1.0), (count, -1.0)]) >= 0


def total(terms: Iterable[tuple[pulp.LpVariable, float]]) -> pulp.LpAffineExpression:
    """The sum of coefficient times variable."""
    return pulp.LpAffineExpression(list(terms))


def top_up_g(problem: BagProblem, run: Run, subject: Subject) -> Fraction:
    """What would count for a subject in a run of bags if they held the top-up alone."""
    return problem.need.top_up.shares[subject] * sum(problem.need.slots[place].grams for place in run)
