"""Grams and money of random months add up, exactly, on every day; and stock before a batch is what it was.

**Source:** the sums that the issue asks for; the plain lists of `walks`.
"""

from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from tests.book.entered import a_day, bags_of, lots_of, rows_of, stock_of
from tests.book.walks import CUTS, Walk
from tests.drawn import drawn, seeds

WALKS, STEPS = 4, 40


def a_walk(tmp_path: Path, seed: int) -> Walk:
    walk = Walk(tmp_path / f"{seed}.sqlite", Random(seed))
    walk.steps(STEPS)
    assert len(walk.bought_g) > 2, seed
    return walk


@pytest.mark.slow
@drawn(blocks=2)
def test_grams_and_money_of_a_random_month_add_up(block: int, tmp_path: Path) -> None:
    for seed in seeds(block, WALKS):
        walk = a_walk(tmp_path, seed)
        assert_stock_of_every_day(walk)
        assert_grams_add_up(walk)
        assert_worth_adds_up(walk)
        assert_stock_before_is_as_it_was(walk)


def assert_stock_of_every_day(walk: Walk) -> None:
    """On each day each lot holds what the lists say, and never less than nothing."""
    begun = {lot.number: lot.bought_on for lot in lots_of(walk.path)}
    assert begun.keys() == walk.bought_g.keys()
    for number in range(-12, walk.day + 3):
        day = a_day(number)
        expected = {lot: walk.left_g(lot, day) for lot in walk.bought_g if begun[lot] <= day}
        assert min(expected.values(), default=0) >= 0
        assert {lot.number: lot.left_g for lot in stock_of(walk.path, number).lots} == {
            lot: left for lot, left in expected.items() if left
        }


def assert_grams_add_up(walk: Walk) -> None:
    """Of each cut what was bought, found and heavier is left, in bags, fed, thrown away or lost."""
    lots, bags = lots_of(walk.path), bags_of(walk.path)
    for cut in CUTS:
        of_cut = {lot.number for lot in lots if lot.cut == cut}
        gone = sum(one.grams for one in walk.draws if one.lot in of_cut and one.grams > 0 and one.why != "bags")
        heavier = -sum(one.grams for one in walk.draws if one.lot in of_cut and one.grams < 0)
        in_bags = sum(grams for bag in bags for name, grams in bag.contents if name == cut)
        left = sum(lot.left_g for lot in lots if lot.cut == cut)
        assert sum(walk.bought_g[lot] for lot in of_cut) + heavier == left + in_bags + gone
    assert sum(bag.grams for bag in bags) == sum(walk.bags_g.values())


def assert_worth_adds_up(walk: Walk) -> None:
    """What was paid for all lots is what is left, in bags, fed, thrown away or lost has cost."""
    lots, bags = lots_of(walk.path), bags_of(walk.path)
    each_g = {lot.number: Fraction(lot.worth) / lot.grams if lot.grams else Fraction(0) for lot in lots}
    gone = sum(each_g[one.lot] * one.grams for one in walk.draws if one.grams > 0 and one.why != "bags")
    left = sum((lot.left_worth for lot in lots), Fraction(0))
    assert sum(bag.worth for bag in bags) + left + gone == sum(lot.worth for lot in lots)


def assert_stock_before_is_as_it_was(walk: Walk) -> None:
    """Stock as if a batch were to come is what it was when that batch was entered."""
    for title, starts, before in walk.stocks_before.values():
        now = stock_of(walk.path, 10**4, (title, starts))
        assert (now.lots, now.bags) == (before.lots, before.bags)


def test_every_entry_that_is_not_taken_back_is_in_the_sums(tmp_path: Path) -> None:
    walk = a_walk(tmp_path, 7)
    live = {row[0] for row in rows_of(walk.path)["entry"]} - {row[4] for row in rows_of(walk.path)["entry"]}
    rows = [(row[0], row[1], row[3]) for row in rows_of(walk.path)["draw"] if row[0] in live]
    assert sorted(rows) == sorted((one.entry, one.lot, one.grams) for one in walk.draws)
