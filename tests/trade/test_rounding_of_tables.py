"""Controlled rounding: every entry becomes a neighbouring whole gram, every row and column keeps its sum.

**Source:** the demand is arithmetic: bags add up to what the dog eats and to what there is, to the gram.
"""

from random import Random

import pytest

from raworder.trade.plan import MILLION
from raworder.trade.rounding import round_table

Table = dict[tuple[str, str], int]


def random_table(random: Random) -> Table:
    """A table in micrograms whose rows and columns add up to whole grams; dense or thin, some entries whole or zero."""
    rows = [f"dog {number}" for number in range(random.randint(2, 9))]
    columns = [f"cut {number}" for number in range(random.randint(2, 9))]
    table = {(row, column): random.choice((0, 1, 5, 40, 700)) * MILLION for row in rows for column in columns}
    for _ in range(random.randint(0, 40)):
        (up, down), (left, right) = random.sample(rows, 2), random.sample(columns, 2)
        moved = random.randint(1, 3 * MILLION)
        if table[up, right] >= moved and table[down, left] >= moved:
            for entry, change in (((up, left), 1), ((up, right), -1), ((down, left), -1), ((down, right), 1)):
                table[entry] += change * moved
    return {entry: amount for entry, amount in table.items() if amount or random.random() < 0.5}


def sums(table: Table, axis: int) -> dict[str, int]:
    added: dict[str, int] = {}
    for entry, amount in table.items():
        added[entry[axis]] = added.get(entry[axis], 0) + amount
    return added


@pytest.mark.slow
@pytest.mark.parametrize("block", range(10))
def test_two_thousand_random_tables_keep_every_sum_and_move_no_entry_by_a_gram(block: int) -> None:
    open_tables = 0
    for seed in range(block * 200, (block + 1) * 200):
        table = random_table(Random(seed))
        whole = round_table(table, MILLION)
        assert whole.keys() == table.keys()
        for axis in (0, 1):
            assert {line: grams * MILLION for line, grams in sums(whole, axis).items()} == sums(table, axis), seed
        assert all(abs(whole[entry] * MILLION - amount) < MILLION for entry, amount in table.items()), seed
        assert all(grams >= 0 for grams in whole.values()), seed
        open_tables += any(amount % MILLION for amount in table.values())
    assert open_tables > 100


def test_a_whole_table_stays_as_it_is() -> None:
    table = {("Maple", "trim"): 3 * MILLION, ("Maple", "neck"): 0}
    assert round_table(table, MILLION) == {("Maple", "trim"): 3, ("Maple", "neck"): 0}


def test_an_empty_table_is_whole() -> None:
    assert round_table({}, MILLION) == {}


def test_the_order_of_the_entries_does_not_matter() -> None:
    for seed in range(50):
        table = random_table(Random(seed))
        entries = list(table.items())
        Random(seed).shuffle(entries)
        assert round_table(dict(entries), MILLION) == round_table(table, MILLION)


def test_halves_go_one_up_and_one_down() -> None:
    half = MILLION // 2
    table = {(dog, cut): half for dog in ("Maple", "Juniper") for cut in ("trim", "neck")}
    whole = round_table(table, MILLION)
    assert sorted(whole.values()) == [0, 0, 1, 1]
    assert set(sums(whole, 0).values()) == set(sums(whole, 1).values()) == {1}


@pytest.mark.parametrize(
    "table",
    [
        {("Maple", "trim"): 1},
        {("Maple", "trim"): 500_000, ("Juniper", "trim"): 500_000},
        {("Maple", "trim"): 500_000, ("Maple", "neck"): 500_000},
    ],
)
def test_a_row_or_column_that_is_not_whole_is_refused(table: Table) -> None:
    with pytest.raises(ValueError, match="does not add up to whole numbers"):
        round_table(table, MILLION)
