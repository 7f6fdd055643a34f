"""Bags filled: one dog's bags of as few kinds as its rules allow, found for one number of kinds after the other."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Protocol

import pulp

from raworder.bags import Bag, Filling
from raworder.dogs import Dog
from raworder.portioning.bag_problem import BagProblem, burden, fullest_bags, pose
from raworder.portioning.bag_rules import BAG_BUILDERS
from raworder.portioning.needs import Need
from raworder.portioning.patterns import MOST_KINDS, Pattern, counts_of, patterns
from raworder.rulebook import WEEK_DAYS
from raworder.slots import Slot
from raworder.units import evenly


class Solve(Protocol):
    """Finds the least of an objective, thoroughly if asked to; whether there is a solution, then in the unknowns."""

    def __call__(self, lp: pulp.LpProblem, objective: pulp.LpAffineExpression, thorough: bool, /) -> bool:
        """Whether there is a solution; once it is late, the first one found will do."""

    def is_late(self) -> bool:
        """Whether so little time is left that any bags will do."""


COUNTED_OUT = 4
"""The bound on the number of kinds is not looked for beyond this."""


@dataclass(frozen=True, slots=True)
class Filled:
    """A dog's bags in order, and how few kinds there can be at all."""

    bags: tuple[Bag, ...]
    least_kinds: int

    @property
    def kinds(self) -> int:
        """How many kinds of bag there are."""
        return len({bag.kind for bag in self.bags})


def filled(need: Need, solve: Solve) -> Filled | None:
    """The dog's bags, of as few kinds as can be found; None where even bags all filled by themselves break a rule.

    Among patterns with as few kinds, the fewest weighings and the evenest pieces decide; of equals the first is taken.
    Once it is late, few patterns are tried.
    """
    for _, tried in groupby(_patterns(need, solve), key=lambda pattern: len(set(pattern))):
        fitting = (pattern for pattern in tried if _pieces_fit(need, pattern))
        solved = [problem for pattern in fitting if (problem := _solved(need, pattern, solve))]
        if solved:
            return Filled(_bags(min(solved, key=_burden)), _least_kinds(need))
    return None


def can_be_filled(need: Need, solve: Solve) -> bool:
    """Whether the dog's bags can be filled at all, every bag by itself."""
    return _solved(need, tuple(range(len(need.slots))), solve) is not None


def _least_kinds(need: Need) -> int:
    """How few kinds there can be, as far as whole pieces tell; up to three are counted out, in all their ways."""
    most = min(COUNTED_OUT, len(need.slots))
    return next((kinds for kinds in range(1, most) if _can_be_dealt(need, kinds)), most)


def _can_be_dealt(need: Need, kinds: int) -> bool:
    """Whether whole pieces can be dealt out to so many kinds of bag in any way."""
    whole = [one.total_g // one.unit_g for one in need.others if one.whole]
    ways = counts_of(len(need.slots), kinds)
    return any(all(_can_be_paid(pieces, set(counts)) for pieces in whole) for counts in ways)


def _solved(need: Need, pattern: Pattern, solve: Solve) -> BagProblem | None:
    """The problem under a pattern with its solution, if there is one; the last resort is searched thoroughly."""
    problem = model(need, pattern)
    thorough = len(set(pattern)) == len(pattern)
    return problem if solve(problem.lp, burden(problem), thorough) else None


def _burden(problem: BagProblem) -> int:
    """Its weighings and uneven pieces in hundredths, so that the solver's tolerance decides nothing."""
    return round(100 * (burden(problem).value() or 0.0))


def model(need: Need, pattern: Pattern) -> BagProblem:
    """The whole model of a dog's bags under a pattern: its unknowns under every rule."""
    problem = pose(need, pattern)
    for builder in (*BAG_BUILDERS.values(), fullest_bags):
        for name, constraint in builder(problem):
            problem.lp.addConstraint(constraint, name)
    return problem


def bags_in_care(dog: Dog, slots: tuple[Slot, ...]) -> tuple[Bag, ...]:
    """The bags of a dog in a veterinarian's care: every amount as given, in every bag alike but for single grams."""
    amounts = [(one.cut, evenly(one.batch_g, len(slots))) for one in dog.vet_amounts]
    return tuple(
        Bag(
            dog.name,
            slot.day,
            slot.meal,
            kind_name(0),
            tuple(Filling(cut, grams[place]) for cut, grams in amounts if grams[place]),
        )
        for place, slot in enumerate(slots)
    )


def kind_name(number: int) -> str:
    """Letters for a kind of bag, from 0.

    >>> kind_name(0), kind_name(25), kind_name(26)
    ('A', 'Z', 'AA')
    """
    letter = chr(ord("A") + number % 26)
    return kind_name(number // 26 - 1) + letter if number >= 26 else letter


def _patterns(need: Need, solve: Solve) -> Iterator[Pattern]:
    """Patterns with one kind, then two, and so on, of each only the evenest once it is late; at last every bag alone.

    The last takes longest, so that it is the last also where time is short.
    """
    bags, week = len(need.slots), WEEK_DAYS * need.dog.meals
    for kinds in range(1, min(MOST_KINDS, bags) + 1):
        for number, pattern in enumerate(patterns(bags, kinds, week)):
            if number and solve.is_late():
                break
            yield pattern
    yield tuple(range(bags))


def _pieces_fit(need: Need, pattern: Pattern) -> bool:
    """Whether whole pieces can be dealt out at all, so many to each bag of a kind."""
    counts = {pattern.count(kind) for kind in set(pattern)}
    return all(_can_be_paid(one.total_g // one.unit_g, counts) for one in need.others if one.whole)


def _can_be_paid(pieces: int, counts: set[int]) -> bool:
    """Whether the pieces are a sum of the counts, each taken any number of times."""
    reached = {0}
    for sum_ in range(1, pieces + 1):
        if any(sum_ - one in reached for one in counts):
            reached.add(sum_)
    return pieces in reached


def _bags(problem: BagProblem) -> tuple[Bag, ...]:
    """The bags as the solved problem fills them, in whole grams; kinds are named in order of their first bag."""
    named = _names(problem)
    return tuple(
        _bag(problem, place, slot, named[problem.pattern[place]]) for place, slot in enumerate(problem.need.slots)
    )


def _names(problem: BagProblem) -> Mapping[int, str]:
    """A name for every kind of the pattern; kinds filled alike share one, unless one of them takes a rest."""
    names: dict[object, str] = {}
    named: dict[int, str] = {}
    for kind in dict.fromkeys(problem.pattern):
        like = tuple(_fillings(problem, kind, rest=False))
        has_rest = like != tuple(_fillings(problem, kind, rest=True))
        named[kind] = names.setdefault((like, kind if has_rest else None), kind_name(len(names)))
    return named


def _bag(problem: BagProblem, place: int, slot: Slot, name: str) -> Bag:
    """One bag, topped up to its weight."""
    kind = problem.pattern[place]
    others = tuple(_fillings(problem, kind, rest=problem.last[kind] == place))
    top_up = Filling(problem.need.top_up.name, slot.grams - sum(one.grams for one in others))
    return Bag(problem.need.dog.name, slot.day, slot.meal, name, (*others, top_up), top_up.cut)


def _fillings(problem: BagProblem, kind: int, *, rest: bool) -> Iterator[Filling]:
    """What goes into a bag of a kind before it is topped up; with the `rest` that only its last bag takes."""
    for one in problem.need.others:
        pieces = _whole(problem.count, kind, one.name)
        grams = pieces * one.unit_g + (_whole(problem.rest, kind, one.name) if rest else 0)
        if grams:
            yield Filling(one.name, grams, pieces if one.whole else 0)


def _whole(unknowns: Mapping[tuple[int, str], pulp.LpVariable], kind: int, name: str) -> int:
    """The whole number that an unknown was solved to; 0 where there is none."""
    unknown = unknowns.get((kind, name))
    return 0 if unknown is None else round(unknown.varValue or 0.0)
