"""Rounding a table of amounts so that it adds up both ways.

Source: controlled rounding as the cheapest flow through the table, as in Cox, *A constructive procedure for unbiased
controlled rounding* (1987), for the question, and as in Ahuja, Magnanti and Orlin, *Network Flows* (1993), for the way:
shortest augmenting paths; both from memory, not looked up.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise, permutations

Counts = tuple[tuple[int, ...], ...]
"""Rows of whole numbers."""

Change = tuple[int, Fraction]
"""How much worse a move makes a table: what stands in cells that are exactly zero, then squares of what is off."""


def rounded_both_ways(exact: Sequence[Sequence[Fraction]], rows: Sequence[int], columns: Sequence[int]) -> Counts:
    """Whole numbers near the exact ones, whose rows and columns have just the sums that are asked for.

    None is below zero. Of all such tables, one with least in the cells that are exactly zero, and then with the least
    squares of what the cells are off. Each row's sum is its exact one rounded up or down; ValueError where
    rows and columns do not come to the same. Meant for a handful of columns: every way between them is looked at.

    >>> half = Fraction(1, 2)
    >>> rounded_both_ways([[half, half], [half, half]], rows=(1, 1), columns=(1, 1))
    ((1, 0), (0, 1))
    """
    if sum(rows) != sum(columns):
        raise ValueError(f"rows come to {sum(rows)} and columns to {sum(columns)}")
    counts = [_rounded_row(row, whole) for row, whole in zip(exact, rows, strict=True)]
    table = _Table(tuple(tuple(row) for row in exact), counts)
    while any(off := table.off(columns)):
        table.move_one(off)
    return tuple(tuple(row) for row in counts)


def _rounded_row(exact: Sequence[Fraction], whole: int) -> list[int]:
    """A row that comes to the whole: every cell rounded down, and one more for the largest remainders."""
    counts = [cell.__floor__() for cell in exact]
    largest_first = sorted(range(len(exact)), key=lambda place: (counts[place] - exact[place], place))
    for place in largest_first[: whole - sum(counts)]:
        counts[place] += 1
    return counts


@dataclass(frozen=True, slots=True)
class _Table:
    """A table on its way: its rows come to what is asked, its columns not yet."""

    exact: tuple[tuple[Fraction, ...], ...]
    counts: list[list[int]]

    def off(self, columns: Sequence[int]) -> list[int]:
        """By how much each column is too large."""
        return [sum(row[place] for row in self.counts) - whole for place, whole in enumerate(columns)]

    def move_one(self, off: Sequence[int]) -> None:
        """Move one from a column that is too large to one that is too small, where it makes the table least worse."""
        moves = self._moves(len(off))
        ways = (way for way in _ways(off) if all(step in moves for step in way))
        best = min(ways, key=lambda way: (_added(moves[step][0] for step in way), len(way), way))
        for giver, taker in best:
            row = self.counts[moves[giver, taker][1]]
            row[giver] -= 1
            row[taker] += 1

    def _moves(self, width: int) -> dict[tuple[int, int], tuple[Change, int]]:
        """For every two columns the least bad move of one from the first to the second: what it changes, and its row.

        Among equal moves the last row's. A column of nothing but zeros can give none away.
        """
        found = {
            (giver, taker): [
                (self._change(row, giver, taker), row) for row, cells in enumerate(self.counts) if cells[giver]
            ]
            for giver, taker in permutations(range(width), 2)
        }
        return {columns: min(moves, key=lambda move: (move[0], -move[1])) for columns, moves in found.items() if moves}

    def _change(self, row: int, giver: int, taker: int) -> Change:
        """What it changes to move one within a row."""
        exact, cells = self.exact[row], self.counts[row]
        zeros = (not exact[taker]) - (not exact[giver])
        return zeros, 2 * (exact[giver] - cells[giver] + cells[taker] - exact[taker] + 1)


def _ways(off: Sequence[int]) -> Iterator[tuple[tuple[int, int], ...]]:
    """Every way, from column to column, out of one that is too large into one that is too small."""
    for length in range(2, len(off) + 1):
        for columns in permutations(range(len(off)), length):
            if off[columns[0]] > 0 > off[columns[-1]]:
                yield tuple(pairwise(columns))


def _added(changes: Iterator[Change]) -> Change:
    """Changes put together."""
    zeros, squares = zip(*changes, strict=True)
    return sum(zeros), sum(squares, Fraction(0))
