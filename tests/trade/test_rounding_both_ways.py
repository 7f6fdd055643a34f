"""Tables of amounts are rounded so that they add up both ways, as near to the exact ones as can be.

Source: worked by hand, and every table of small ones looked at.
"""

import random
from fractions import Fraction
from itertools import product

import pytest

from raworder.trade.rounding import Counts, apportion, round_both_ways

Exact = list[list[Fraction]]


def test_whole_numbers_stay_as_they_are() -> None:
    exact = [[Fraction(3), Fraction(0)], [Fraction(1), Fraction(2)]]
    assert round_both_ways(exact, (3, 3), (4, 2)) == ((3, 0), (1, 2))


def test_halves_are_set_so_that_rows_and_columns_add_up() -> None:
    half = Fraction(1, 2)
    assert round_both_ways([[half] * 2] * 2, (1, 1), (1, 1)) == ((1, 0), (0, 1))


def test_a_cell_that_is_nothing_stays_nothing_where_that_can_be() -> None:
    """The first row alone has a second cell, so the odd unit of the second column must be there."""
    exact = [[Fraction(9, 10), Fraction(1, 10)], [Fraction(1, 10), Fraction(0)]]
    assert round_both_ways(exact, (1, 0), (0, 1)) == ((0, 1), (0, 0))


def test_what_no_rounding_of_single_cells_can_do_is_done_by_a_cell_that_is_off_by_more() -> None:
    """Three rows are raised to 1, but their column holds 2 in all: the last with 0.6 takes from the other column."""
    exact = [[Fraction(one, 10), Fraction(other, 10)] for one, other in ((6, 0), (6, 0), (8, 0), (0, 5), (0, 5))]
    rows = apportion(3, [sum(row, Fraction(0)) for row in exact])
    assert rows == (1, 1, 1, 0, 0)
    assert round_both_ways(exact, rows, (2, 1)) == ((1, 0), (0, 1), (1, 0), (0, 0), (0, 0))


def test_sums_that_differ_are_refused() -> None:
    with pytest.raises(ValueError, match="rows come to 1 and columns to 2"):
        round_both_ways([[Fraction(1)]], (1,), (2,))


@pytest.mark.parametrize("seed", range(60))
def test_no_table_with_the_same_sums_is_nearer(seed: int) -> None:
    """Every table of three rows and three columns with these sums is looked at."""
    exact, rows, columns = a_table(random.Random(seed), 3, 3, 15)
    found = round_both_ways(exact, rows, columns)
    assert off(exact, found) == min(off(exact, one) for one in all_tables(rows, columns))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(40))
def test_random_tables_add_up_both_ways_with_no_cell_two_off(seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(25):
        exact, rows, columns = a_table(chance, chance.randint(1, 12), 4, 10 ** chance.randint(1, 5))
        found = round_both_ways(exact, rows, columns)
        assert tuple(map(sum, found)) == rows
        assert tuple(map(sum, zip(*found, strict=True))) == columns
        cells = [pair for row, whole in zip(exact, found, strict=True) for pair in zip(row, whole, strict=True)]
        assert all(count >= 0 and abs(count - cell) < 2 for cell, count in cells)


def a_table(
    chance: random.Random, height: int, width: int, most: int
) -> tuple[Exact, tuple[int, ...], tuple[int, ...]]:
    """Tenths at random, many of them nothing, topped up to a whole; sums by largest remainder."""
    exact = [[Fraction(chance.choice((0, chance.randint(0, most))), 10) for _ in range(width)] for _ in range(height)]
    exact[0][0] += -sum(map(sum, exact)) % 1
    whole = int(sum((cell for row in exact for cell in row), Fraction(0)))
    rows = apportion(whole, [sum(row, Fraction(0)) for row in exact])
    return exact, rows, apportion(whole, [sum(column, Fraction(0)) for column in zip(*exact, strict=True)])


def all_tables(rows: tuple[int, ...], columns: tuple[int, ...]) -> list[Counts]:
    """Every table of whole numbers with these sums."""
    of_rows = [
        [cells for cells in product(range(whole + 1), repeat=len(columns)) if sum(cells) == whole] for whole in rows
    ]
    return [table for table in product(*of_rows) if tuple(map(sum, zip(*table, strict=True))) == columns]


def off(exact: Exact, counts: Counts) -> tuple[int, Fraction]:
    """What stands where nothing should be, and the squares of what is off."""
    cells = [pair for row, whole in zip(exact, counts, strict=True) for pair in zip(row, whole, strict=True)]
    return sum(count for cell, count in cells if not cell), sum(
        ((count - cell) ** 2 for cell, count in cells), Fraction(0)
    )
