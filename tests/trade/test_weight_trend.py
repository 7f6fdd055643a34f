"""Trends of weighings: a straight line gives its own slope, and few or old weighings give none.

All weights are invented. **Source:** least squares worked out by hand, and numpy's polynomial fit.
"""

from datetime import timedelta
from fractions import Fraction
from random import Random

import numpy as np
import pytest

from raworder.trade.kept import Weighing
from raworder.trade.weight_trend import trends
from tests.builders import STARTS


def weighings(*grams: int, every: int = 7, dog: str = "Maple") -> list[Weighing]:
    """Weighings every so many days."""
    return [Weighing(dog, STARTS + timedelta(every * place), weight) for place, weight in enumerate(grams)]


def test_a_straight_line_gives_its_slope() -> None:
    [trend] = trends(weighings(20_000, 20_200, 20_400))
    assert trend.weekly == Fraction(200, 20_200)
    assert trend.newest.grams == 20_400
    assert trend.lost == 0


@pytest.mark.parametrize("seed", range(20))
def test_the_slope_is_that_of_numpy(seed: int) -> None:
    random = Random(seed)
    days = sorted(random.sample(range(80), random.randint(3, 9)))
    made = [Weighing("Maple", STARTS + timedelta(day), random.randint(18_000, 22_000)) for day in days]
    grams = [weighing.grams for weighing in made]
    slope = np.polyfit(days, grams, 1)[0]
    [trend] = trends(made)
    assert trend.weekly is not None
    assert float(trend.weekly) == pytest.approx(slope * 7 * len(grams) / sum(grams))


def test_two_weighings_are_no_trend_nor_are_three_on_two_days() -> None:
    assert trends(weighings(20_000, 20_200))[0].weekly is None
    twice = [*weighings(20_000, 20_200), Weighing("Maple", STARTS, 21_000)]
    [trend] = trends(twice)
    assert trend.weekly is None
    assert [weighing.grams for weighing in trend.weighings] == [21_000, 20_200]  # the last of a day counts


def test_weighings_of_long_ago_are_kept_and_not_counted() -> None:
    old = [Weighing("Maple", STARTS - timedelta(weeks=30), 30_000)]
    [trend] = trends([*old, *weighings(20_000, 20_000, 20_000)])
    assert (len(trend.weighings), len(trend.recent), trend.weekly, trend.lost) == (4, 3, 0, 0)


def test_a_dog_that_nobody_weighed_for_long_has_no_trend_and_what_it_lost_is_still_seen() -> None:
    made = weighings(20_000, 19_500, 18_000)
    later = [STARTS + timedelta(weeks=weeks) for weeks in (14, 15)]  # the newest is of week 2
    assert [trends(made, day)[0].weekly is None for day in later] == [False, True]
    assert trends(made, later[1])[0].lost == Fraction(1, 10)


def test_what_is_lost_counts_from_the_heaviest() -> None:
    [trend] = trends(weighings(20_000, 21_000, 18_900))
    assert trend.lost == Fraction(1, 10)


def test_dogs_come_by_name() -> None:
    both = [*weighings(9_000, dog="Maple"), *weighings(8_000, dog="Juniper")]
    assert [trend.dog for trend in trends(both)] == ["Juniper", "Maple"]
