"""Patterns: every way to spread kinds over bags, the evenest first, and few where they are many.

**Source:** arithmetic; the ways are written out by hand.
"""

import pytest

from raworder.portioning.bag_needs import counts_of, patterns, spread_kinds


def test_every_way_to_count_kinds_is_found_once_most_first() -> None:
    assert list(counts_of(5, 1)) == [(5,)]
    assert list(counts_of(6, 2)) == [(5, 1), (4, 2), (3, 3)]
    assert list(counts_of(6, 3)) == [(4, 1, 1), (3, 2, 1), (2, 2, 2)]
    assert list(counts_of(2, 3)) == []


@pytest.mark.parametrize(
    ("counts", "kinds"),
    [((3,), "000"), ((2, 2), "0101"), ((4, 2), "010010"), ((3, 1), "0100"), ((5, 2), "0100100"), ((1, 1, 1), "012")],
)
def test_kinds_are_spread_evenly(counts: tuple[int, ...], kinds: str) -> None:
    assert "".join(map(str, spread_kinds(counts))) == kinds


def test_what_repeats_with_the_week_goes_before_what_does_not_then_the_evenest() -> None:
    # weeks of 4 bags: 4 + 4 and 6 + 2 repeat every 2 or 4 bags, 5 + 3 and 7 + 1 every 8
    found = [(one.count(0), one.count(1)) for one in patterns(8, 2, 4)]
    assert found == [(4, 4), (6, 2), (5, 3), (7, 1)]


@pytest.mark.parametrize(
    ("bags", "kinds", "tried"), [(14, 2, 7), (30, 2, 15), (31, 2, 6), (28, 5, 24), (28, 6, 6), (31, 6, 6)]
)
def test_few_ways_are_tried_where_kinds_or_bags_are_many(bags: int, kinds: int, tried: int) -> None:
    assert len(list(patterns(bags, kinds, 14))) == tried
