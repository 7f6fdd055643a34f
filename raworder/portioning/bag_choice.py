"""Which kinds of bag have which cut: the least burdensome choice, in any grams first and then in scale steps.

The programme is handed over as plain numbers: its rows on bags, days and weeks are the rules in whole numbers.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Protocol

import pulp

from raworder.portioning.bag_amounts import RoughAmounts
from raworder.portioning.bag_problem import LESS, PER_PIECE
from raworder.portioning.bag_rules import ByKind, Contents, Dealing, PatternRules, Run, Spread

Column = tuple[float, float, float, bool]
"""An unknown: the least and the most it may be, what one of it costs, and whether it is a whole number."""

Terms = list[tuple[int, float]]
"""Columns, each with its coefficient."""

Row = tuple[float, Terms, float]
"""A demand: the least that terms add up to, the terms, and the most."""


class BagSolving(Protocol):
    """Solves programmes of bags, given with unknowns of their own or as plain numbers."""

    def __call__(self, lp: pulp.LpProblem, objective: pulp.LpAffineExpression, thorough: bool, /) -> bool:
        """Whether a solution was found, thoroughly if asked to; the unknowns then hold it.

        Once it is late, the first one found ends the search.
        """

    def least(self, columns: Sequence[Column], rows: Sequence[Row], /) -> Sequence[float] | None:
        """The values of the unknowns in the solution that costs least; None where none is found."""

    def is_late(self) -> bool:
        """Whether so little time is left that any filling will do."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Pieces by kind of bag, about how much of everything each kind holds, and the burden of that."""

    dealing: Dealing
    rough: RoughAmounts
    burden: float


def choose_kinds(under: PatternRules, solve: BagSolving, below: float | None) -> Choice | None:
    """The least burdensome choice if any grams could be weighed; None where none has a lower burden than `below`.

    No filling is less burdensome.
    """
    programme = _Programme(under)
    if not programme.solve(solve, below):
        return None
    dealing, rough = programme.dealing(), programme.rough()
    often = sum(
        size for place in under.rules.weighed for size, grams in zip(under.sizes, rough[place], strict=True) if grams
    )
    return Choice(dealing, rough, often + PER_PIECE * sum(map(max, dealing)))


def settle_steps(
    under: PatternRules, solve: BagSolving, rough: RoughAmounts | None = None, below: float | None = None
) -> Contents | None:
    """The least burdensome contents in scale steps; None where none with a lower burden than `below` are found.

    With a rough choice, the kinds that have any of what is weighed are those of the choice; that is solved much sooner.
    """
    programme = _Programme(under, rough, steps=True)
    return programme.contents() if programme.solve(solve, below) else None


class _Programme:
    """The unknowns and rows under a pattern, in scale steps or in grams; it may be `chosen` which kinds have any."""

    def __init__(self, under: PatternRules, chosen: RoughAmounts | None = None, *, steps: bool = False) -> None:
        self._under, self._chosen, self._steps = under, chosen, steps
        self._parts = under.rules.need.others
        self._columns: list[Column] = []
        self._rows: list[Row] = []
        self._count: dict[tuple[int, int], int] = {}
        self._rest: dict[tuple[int, int], int] = {}
        for number, place in enumerate(under.rules.whole):
            self._pose_pieces(number, place)
        for place in under.rules.weighed:
            self._pose_weighed(place)
        self._rows += (row for run in under.runs for row in self._limits(run))

    def solve(self, solve: BagSolving, below: float | None = None) -> bool:
        """Whether a solution with a lower burden than `below` was found; it is then at hand."""
        costs = [(column, cost) for column, (_, _, cost, _) in enumerate(self._columns) if cost]
        cheaper = [] if below is None else [(-inf, costs, below - LESS)]
        self._values = solve.least(self._columns, [*self._rows, *cheaper]) or ()
        return bool(self._values)

    def dealing(self) -> Dealing:
        """The pieces in the bags of each kind."""
        return tuple(self._by_kind(self._count, place, 1) for place in self._under.rules.whole)

    def rough(self) -> RoughAmounts:
        """About how many grams of every ingredient are in the bags of each kind."""
        whole = self._under.rules.whole
        return tuple(
            self._by_kind(self._count, place, part.unit_g if place in whole else self._unit_g(place))
            for place, part in enumerate(self._parts)
        )

    def contents(self) -> Contents:
        """What the bags hold, where amounts are in scale steps."""
        places = range(len(self._parts))
        return tuple(
            Spread(self._by_kind(self._count, place, 1), self._by_kind(self._rest, place, 1)) for place in places
        )

    def _by_kind(self, columns: Mapping[tuple[int, int], int], place: int, unit_g: int) -> ByKind:
        """The values of some unknowns of an ingredient in whole numbers; 0 where a kind has none."""
        found = (columns.get((place, kind)) for kind in range(len(self._under.sizes)))
        return tuple(0 if column is None else round(unit_g * self._values[column]) for column in found)

    def _unit_g(self, place: int) -> int:
        """What the unknown amounts of a weighed ingredient are counted in."""
        return self._parts[place].unit_g if self._steps else 1

    def _pose(self, low: float, high: float, cost: float = 0.0, *, whole: bool) -> int:
        """The column of a new unknown."""
        self._columns.append((low, high, cost, whole))
        return len(self._columns) - 1

    def _pose_pieces(self, number: int, place: int) -> None:
        """The pieces of an ingredient in bags of each kind, and the most in any, between those of all dealings."""
        part, sizes = self._parts[place], self._under.sizes
        pieces = part.total_g // part.unit_g
        ways = [dealing[number] for dealing in self._under.dealings or ()]
        fullest = self._pose(min(map(max, ways), default=0), pieces, PER_PIECE, whole=False)
        ends = [(min(some), max(some)) for some in zip(*ways, strict=True)] or [(0, pieces)] * len(sizes)
        for kind, (low, high) in enumerate(ends):
            self._count[place, kind] = self._pose(low, high, whole=True)
            self._rows.append((0, [(fullest, 1), (self._count[place, kind], -1)], inf))
        self._rows.append((pieces, [(self._count[place, kind], size) for kind, size in enumerate(sizes)], pieces))

    def _pose_weighed(self, place: int) -> None:
        """What bags of each kind hold of an ingredient, and what the last holds more; together it is the portion."""
        part, sizes, taken = self._parts[place], self._under.sizes, {}
        terms: Terms = []
        for kind, size in enumerate(sizes):
            if self._chosen is None:
                taken[kind] = self._pose(0, 1, size, whole=True)
            if self._chosen is None or self._chosen[place][kind]:
                self._pose_amount(place, kind, taken.get(kind))
                terms += [(self._count[place, kind], size * self._unit_g(place)), (self._rest[place, kind], 1)]
        self._rows.append((part.total_g, terms, part.total_g))
        for kind, column in taken.items():
            if not self._may_be_alone(place, kind):
                others = [(other, -1.0) for other in taken.values() if other != column]
                self._rows.append((-inf, [(column, 1), *others], 0))

    def _pose_amount(self, place: int, kind: int, taken: int | None) -> None:
        """What bags of a kind hold of an ingredient: nothing, or at least the least portion, in the last bag too."""
        unit_g, rest_g = self._unit_g(place), self._under.rules.most_rest_g
        least_g, steps = self._under.rules.need.portioning.least_portion_g, self._steps
        # The only bag of a kind is its last, so that a rest may make up for steps above its most.
        most_g = min(
            self._under.most_g[place][kind] + (rest_g if self._under.sizes[kind] == 1 else 0),
            self._parts[place].total_g,
        )
        count = self._count[place, kind] = self._pose(
            0 if taken is not None else -(-least_g // unit_g), most_g // unit_g, whole=steps
        )
        rest = self._rest[place, kind] = self._pose(-rest_g, rest_g, whole=steps)
        if taken is None:
            self._rows.append((least_g, [(count, unit_g), (rest, 1)], inf))
            return
        self._rows += [
            (0, [(count, unit_g), (taken, -least_g)], inf),
            (0, [(count, unit_g), (rest, 1), (taken, -least_g)], inf),
            (-inf, [(count, unit_g), (taken, -most_g)], 0),
            (-inf, [(rest, 1), (taken, -rest_g)], 0),
            (0, [(rest, 1), (taken, rest_g)], inf),
        ]

    def _may_be_alone(self, place: int, kind: int) -> bool:
        """Whether bags of a kind can hold all of an ingredient, in scale steps and the last bag's rest."""
        part, size, rest_g = self._parts[place], self._under.sizes[kind], self._under.rules.most_rest_g
        least_g = self._under.rules.need.portioning.least_portion_g
        most_g = self._under.most_g[place][kind] + (rest_g if size == 1 else 0)
        held = ((grams, part.total_g - size * grams) for grams in range(part.unit_g, most_g + 1, part.unit_g))
        return any(abs(more) <= rest_g and least_g <= min(grams, grams + more) for grams, more in held)

    def _limits(self, run: Run) -> Iterator[Row]:
        """What bags, days and weeks may hold, in grams."""
        terms = [list(self._grams(run, place)) for place in range(len(self._parts))]
        gram = self._under.rules.denominator
        for weights, most in run.limits:
            weighted = zip(weights, terms, strict=True)
            yield (
                -inf,
                [(column, weight * often / gram) for weight, some in weighted if weight for column, often in some],
                most / gram,
            )

    def _grams(self, run: Run, place: int) -> Terms:
        """The terms whose sum is the grams of an ingredient in a run of bags."""
        whole = self._parts[place].whole
        unit_g = self._parts[place].unit_g if whole else self._unit_g(place)
        kinds = [kind for kind in range(len(self._under.sizes)) if (place, kind) in self._count]
        counts = [(self._count[place, kind], float(run.bags[kind] * unit_g)) for kind in kinds if run.bags[kind]]
        return counts if whole else [*counts, *((self._rest[place, kind], 1.0) for kind in kinds if run.lasts[kind])]
