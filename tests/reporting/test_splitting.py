"""Splits add up exactly, however the weights fall."""

import random
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.reporting.splitting import split


@pytest.mark.parametrize("seed", range(20))
def test_a_thousand_random_splits_add_up_and_miss_by_less_than_one(seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(50):
        weights = [Fraction(chance.randint(1, 10**6), chance.randint(1, 1000)) for _ in range(chance.randint(1, 9))]
        total = chance.randint(0, 10**6)
        shares = split(total, weights)
        assert sum(shares) == total
        assert all(
            abs(share - total * weight / sum(weights)) < 1 for share, weight in zip(shares, weights, strict=True)
        )


@pytest.mark.slow
@given(st.integers(0, 10**9), st.lists(st.fractions(min_value=0, max_value=10**6), min_size=1, max_size=30))
def test_any_split_adds_up(total: int, weights: list[Fraction]) -> None:
    assert sum(split(total, weights)) == total


def test_the_largest_remainder_gets_the_odd_unit() -> None:
    # Worked by hand: 100 x 47/100, 16/100, 15.8/100, 12/100, 6.1/100, 3.1/100 leave one unit, and .8 is the most.
    weights = [Fraction(one) for one in ("47", "16", "15.8", "12", "6.1", "3.1")]
    assert split(100, weights) == (47, 16, 16, 12, 6, 3)


def test_equal_remainders_go_to_the_first() -> None:
    assert split(10, [Fraction(1)] * 4) == (3, 3, 2, 2)


def test_weights_of_zero_share_alike() -> None:
    assert split(3, [Fraction(0), Fraction(0)]) == (2, 1)


def test_nobody_gets_nothing() -> None:
    assert split(5, []) == ()
