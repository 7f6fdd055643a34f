"""From an Allocation to a Plan: every amount a whole gram, every sum exact.

The allocation is a table of dogs by cuts. Its rows (what a dog eats) and its columns (what there is of a cut) add up to
whole grams, its entries need not. Controlled rounding makes every entry one of its two neighbouring whole grams and
keeps all sums: among the entries that are not whole there is always a closed tour that changes row and column in turn,
and adding to and taking from its entries alternately leaves every sum as it was, until one of them is whole.

Source: the method is that of Cox, *A constructive procedure for unbiased controlled rounding*, JASA 82 (1987) 520-524,
from memory, not looked up; here the tour is moved to its nearest whole entry and not at random.
"""

from collections.abc import Iterator, Mapping
from itertools import cycle, pairwise

from raworder.plan import MILLION

Entry = tuple[str, str]
"""A place in the table: its row and its column."""


def whole_grams(table_ug: Mapping[Entry, int]) -> dict[Entry, int]:
    """The table in whole grams: every entry next to what it was, every row and column sum as it was.

    Rows and columns must add up to whole grams; ValueError when one does not.
    """
    exact = dict(table_ug)
    open_entries = _Open(entry for entry, amount in exact.items() if amount % MILLION)
    while open_entries:
        tour = open_entries.tour()
        _shift(exact, tour)
        for entry in tour:
            if exact[entry] % MILLION == 0:
                open_entries.close(entry)
    return {entry: amount // MILLION for entry, amount in exact.items()}


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
        raise ValueError(f"`{line}` does not add up to whole grams")


def _entry(one: tuple[str, bool], other: tuple[str, bool]) -> Entry:
    """The entry where a row and a column cross."""
    return (one[0], other[0]) if one[1] else (other[0], one[0])


def _shift(exact: dict[Entry, int], tour: list[Entry]) -> None:
    """Add to and take from the entries of the tour in turn, as little as makes one of them whole."""
    up, down = (
        [sign * exact[entry] % MILLION for entry, sign in zip(tour, cycle(signs))] for signs in ((-1, 1), (1, -1))
    )
    step, signs = min((min(up), (1, -1)), (min(down), (-1, 1)))
    for entry, sign in zip(tour, cycle(signs)):
        exact[entry] += sign * step
