"""What is shared out adds up exactly, however the weights fall.

**Source:** arithmetic; the sums stand beside the numbers. The method is checked against published examples in
`tests/outside/test_apportionment.py`.
"""

import random
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.trade.rounding import apportion, round_as_it_adds_up, round_to_sum


@pytest.mark.parametrize("seed", range(20))
def test_a_thousand_random_splits_add_up_and_miss_by_less_than_one(seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(50):
        weights = [Fraction(chance.randint(1, 10**6), chance.randint(1, 1000)) for _ in range(chance.randint(1, 9))]
        total = chance.randint(0, 10**6)
        shares = apportion(total, weights)
        assert sum(shares) == total
        assert all(
            abs(share - total * weight / sum(weights)) < 1 for share, weight in zip(shares, weights, strict=True)
        )


@pytest.mark.slow
@given(st.integers(0, 10**9), st.lists(st.fractions(min_value=0, max_value=10**6), min_size=1, max_size=30).filter(any))
def test_any_split_adds_up(total: int, weights: list[Fraction]) -> None:
    assert sum(apportion(total, weights)) == total


def test_the_largest_remainder_gets_the_odd_unit() -> None:
    # Worked by hand: 100 x 47/100, 16/100, 15.8/100, 12/100, 6.1/100, 3.1/100 leave one unit, and .8 is the most.
    weights = [Fraction(one) for one in ("47", "16", "15.8", "12", "6.1", "3.1")]
    assert apportion(100, weights) == (47, 16, 16, 12, 6, 3)


def test_equal_remainders_go_to_the_first() -> None:
    assert apportion(10, [Fraction(1)] * 4) == (3, 3, 2, 2)


def test_the_last_one_of_ten_goes_to_the_largest_remainder() -> None:
    """10 x 5/9 = 5.56, 10 x 3/9 = 3.33, 10 x 1/9 = 1.11."""
    assert apportion(10, (5, 3, 1)) == (6, 3, 1)


def test_among_equal_remainders_the_earlier_place_goes_first() -> None:
    assert apportion(5, (1, 1, 1)) == (2, 2, 1)


def test_who_has_no_weight_gets_nothing() -> None:
    assert apportion(7, (0, 3, 0, 2)) == (0, 4, 0, 3)


def test_weights_may_be_fractions() -> None:
    assert apportion(3, (Fraction(1, 3), Fraction(1, 6), 0)) == (2, 1, 0)


@pytest.mark.parametrize("weights", [(), (0, 0), (2, 3)])
def test_nothing_can_always_be_shared_out(weights: tuple[int, ...]) -> None:
    assert apportion(0, weights) == (0,) * len(weights)


@pytest.mark.parametrize("weights", [(), (0, 0)])
def test_something_cannot_be_shared_out_where_there_is_no_weight(weights: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="no weight is above zero"):
        apportion(1, weights)


@pytest.mark.parametrize(("whole", "weights"), [(-1, (1, 1)), (1, (2, -1))])
def test_nothing_is_below_zero(whole: int, weights: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="below zero"):
        apportion(whole, weights)


def test_amounts_are_rounded_up_by_the_largest_remainders_until_they_come_to_the_sum() -> None:
    """1.2, 1.7 and 1.6 come to 4.5: rounded up to 5 both larger ones are raised, rounded down to 4 only the 1.7."""
    exact = [Fraction(12, 10), Fraction(17, 10), Fraction(16, 10)]
    assert (round_to_sum(exact, 5), round_to_sum(exact, 4)) == ((1, 2, 2), (1, 2, 1))


def test_what_was_given_up_to_any_day_is_the_whole_part_of_what_was_due() -> None:
    """2.5 a day: 2, 5, 7 and 10 in all; and a day without food stays so."""
    assert round_as_it_adds_up([Fraction(5, 2)] * 4) == (2, 3, 2, 3)
    assert round_as_it_adds_up([Fraction(5, 2), Fraction(0), Fraction(5, 2)]) == (2, 0, 3)
