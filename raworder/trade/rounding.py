"""Rounding and apportioning: exact amounts made whole numbers, so that what belongs together still adds up.

All money that is billed or shared, and all grams that are fed, become whole here. The audit does its own sums; it takes
`half_up` from here for its words alone.

**Sources**, all from memory, not looked up:

- the method of largest remainders (Hamilton's): Balinski and Young, *Fair Representation* (1982);
- controlled rounding of a table: Cox, *A constructive procedure for unbiased controlled rounding*, JASA 82 (1987)
  520-524; here the tour is moved to its nearest whole entry and not at random;
- shortest augmenting paths, by which a table is rounded to given sums: Ahuja, Magnanti and Orlin, *Network Flows*
  (1993).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, cycle, pairwise, permutations
from math import floor

Entry = tuple[str, str]
"""A place in a table: its row and its column."""

Counts = tuple[tuple[int, ...], ...]
"""Rows of whole numbers."""

Change = tuple[int, Fraction]
"""How much worse a move makes a table: what stands in cells that are exactly zero, then squares of what is off."""


def half_up(amount: Fraction) -> int:
    """The nearest whole number, halves away from zero.

    >>> half_up(Fraction(5, 2)), half_up(Fraction(-5, 2)), half_up(Fraction(12, 5))
    (3, -3, 2)
    """
    magnitude = (abs(amount) + Fraction(1, 2)).__floor__()
    return magnitude if amount >= 0 else -magnitude


def apportion(whole: int, weights: Sequence[int | Fraction]) -> tuple[int, ...]:
    """The whole in proportion to the weights: each exact share rounded down, and one more for the largest remainders.

    Among equal remainders the earlier place goes first. ValueError where there is something to share and no weight.

    >>> apportion(10, (5, 3, 1)), apportion(100, (1, 1, 1))
    ((6, 3, 1), (34, 33, 33))
    """
    return round_to_sum(exact_shares(whole, weights), whole)


def exact_shares(whole: int, weights: Sequence[int | Fraction]) -> tuple[Fraction, ...]:
    """What is due to each place exactly, in proportion to its weight."""
    total = Fraction(sum(weights))
    if whole < 0 or min(weights, default=0) < 0:
        raise ValueError("neither the whole nor a weight may be below zero")
    if whole and not total:
        raise ValueError(f"{whole} cannot be shared out where no weight is above zero")
    return tuple(whole * weight / total if whole else Fraction(0) for weight in weights)


def round_to_sum(exact: Sequence[Fraction], whole: int) -> tuple[int, ...]:
    """Each amount rounded down, or up where its remainder is among the largest, so that all come to the whole.

    Among equal remainders the earlier place goes first. The whole must be the exact sum, rounded down or up: further
    off, no rounding of single amounts can come to it.

    >>> round_to_sum([Fraction(1, 2), Fraction(3, 4), Fraction(1, 2)], 2)
    (1, 1, 0)
    """
    counts = [floor(amount) for amount in exact]
    largest_first = sorted(range(len(exact)), key=lambda place: counts[place] - exact[place])
    for place in largest_first[: whole - sum(counts)]:
        counts[place] += 1
    return tuple(counts)


def round_as_it_adds_up(exact: Iterable[Fraction]) -> tuple[int, ...]:
    """Whole amounts of which the first so many come to the whole part of the first so many exact ones.

    >>> round_as_it_adds_up([Fraction(3, 2)] * 4)
    (1, 2, 1, 2)
    """
    so_far = accumulate(exact, initial=Fraction(0))
    return tuple(floor(after) - floor(before) for before, after in pairwise(so_far))


def give_rest_to_largest(shares: Mapping[str, int], whole: int) -> dict[str, int]:
    """The shares with what rounding has left of the whole on the largest of them, the first where several are.

    For shares so fine that nobody weighs what is left over, such as micrograms.

    >>> give_rest_to_largest({"neck": 33, "trim": 66}, 100)
    {'neck': 33, 'trim': 67}
    """
    largest = max(shares, key=lambda name: shares[name])
    return {**shares, largest: shares[largest] + whole - sum(shares.values())}


def split_evenly(whole: int, parts: int) -> tuple[int, ...]:
    """Whole shares of a whole, as equal as can be, that add up to it.

    >>> split_evenly(9, 4)
    (2, 2, 2, 3)
    """
    ends = [whole * part // parts for part in range(parts + 1)]
    return tuple(end - start for start, end in pairwise(ends))


def round_table(table: Mapping[Entry, int], number: int) -> dict[Entry, int]:
    """The table in whole ones: every entry next to what it was, every row and column sum as it was.

    Entries are counted in parts of which `one` make a whole: micrograms with a million for whole grams. Rows and
    columns must add up to whole ones; ValueError when one does not.

    Among the entries that are not whole there is always a closed tour that changes row and column in turn. Adding to
    and taking from its entries alternately leaves every sum as it was, until one of them is whole.
    """
    exact = dict(table)
    open_entries = _Open(entry for entry, amount in exact.items() if amount % number)
    while open_entries:
        tour = open_entries.tour()
        _shift(exact, tour, number)
        for entry in tour:
            if exact[entry] % number == 0:
                open_entries.close(entry)
    return {entry: amount // number for entry, amount in exact.items()}


class _Open:
    """The entries that are not whole yet, by row and by column, in a stable order."""

    def __init__(self, entries: Iterator[Entry]) -> None:
        self._columns: dict[str, dict[str, None]] = {}
        self._rows: dict[str, dict[str, None]] = {}
        for row, column in sorted(entries):
            self._columns.setdefault(row, {})[column] = None
            self._rows.setdefault(column, {})[row] = None

    def __bool__(self) -> bool:
        return bool(self._columns)

    def close(self, entry: Entry) -> None:
        """The entry is whole."""
        row, column = entry
        for lines, line, place in ((self._columns, row, column), (self._rows, column, row)):
            del lines[line][place]
            if not lines[line]:
                del lines[line]

    def tour(self) -> list[Entry]:
        """Entries of a closed way that changes row and column in turn."""
        nodes: list[tuple[str, bool]] = [(next(iter(self._columns)), True)]
        seen = {nodes[0]: 0}
        while True:
            node = self._next(nodes)
            if node in seen:
                return [_entry(*pair) for pair in pairwise([*nodes[seen[node] :], node])]
            seen[node] = len(nodes)
            nodes.append(node)

    def _next(self, nodes: list[tuple[str, bool]]) -> tuple[str, bool]:
        """Another row or column that shares an open entry with the last, not the one it came from."""
        line, is_row = nodes[-1]
        came_from = nodes[-2][0] if len(nodes) > 1 else None
        crossing = (self._columns if is_row else self._rows)[line]
        for other in crossing:
            if other != came_from:
                return other, not is_row
        raise ValueError(f"`{line}` does not add up to whole numbers")


def _entry(pair: tuple[str, bool], other: tuple[str, bool]) -> Entry:
    """The entry where a row and a column cross."""
    return (pair[0], other[0]) if pair[1] else (other[0], pair[0])


def _shift(exact: dict[Entry, int], tour: list[Entry], number: int) -> None:
    """Add to and take from the entries of the tour in turn, as little as makes one of them whole."""
    up, down = (
        [sign * exact[entry] % number for entry, sign in zip(tour, cycle(signs))] for signs in ((-1, 1), (1, -1))
    )
    step, signs = min((min(up), (1, -1)), (min(down), (-1, 1)))
    for entry, sign in zip(tour, cycle(signs)):
        exact[entry] += sign * step


def round_both_ways(exact: Sequence[Sequence[Fraction]], rows: Sequence[int], columns: Sequence[int]) -> Counts:
    """Whole numbers near the exact ones, whose rows and columns have just the sums that are asked for.

    None is below zero. Of all such tables, one with least in the cells that are exactly zero, and then with the least
    squares of what the cells are off. Each row's sum is its exact one rounded up or down; ValueError where
    rows and columns do not come to the same. Meant for a handful of columns: every way between them is looked at.

    >>> half = Fraction(1, 2)
    >>> round_both_ways([[half, half], [half, half]], rows=(1, 1), columns=(1, 1))
    ((1, 0), (0, 1))
    """
    if sum(rows) != sum(columns):
        raise ValueError(f"rows come to {sum(rows)} and columns to {sum(columns)}")
    counts = [list(round_to_sum(row, whole)) for row, whole in zip(exact, rows, strict=True)]
    table = _Table(tuple(tuple(row) for row in exact), counts)
    while any(off := table.off(columns)):
        table.move_one(off)
    return tuple(tuple(row) for row in counts)


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
