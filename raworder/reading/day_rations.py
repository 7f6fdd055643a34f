"""What a dog eats on each day of the batch, in whole grams that add up to what its exact rations come to."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate, pairwise
from math import floor

from raworder.dogs import VetAmount
from raworder.reading.rations import Daily
from raworder.units import evenly


def days_of_batch_g(daily: Daily, fed: Sequence[int], days: int) -> tuple[int, ...]:
    """Whole grams of each day of the batch, 0 on days that are not fed.

    What is given up to any day is the whole grams in the rations up to it, so a need of just one pack in pounds is not
    a part of a gram more.
    """
    if daily.by_end is None:
        over, under = daily.grams.as_integer_ratio()
        so_far_g = [over * count // under for count in range(len(fed) + 1)]
        counts = accumulate((day in fed for day in range(days)), initial=0)
        return tuple(so_far_g[after] - so_far_g[before] for before, after in pairwise(counts))
    exact_g = _exact_g(daily, days)
    given_g = accumulate((exact_g[day] if day in fed else Fraction(0) for day in range(days)), initial=Fraction(0))
    return tuple(floor(after) - floor(before) for before, after in pairwise(given_g))


def mean_g(daily: Daily, fed: Sequence[int], days: int) -> Fraction:
    """What is eaten on a fed day on average, exact."""
    if daily.by_end is None:
        return daily.grams
    exact_g = _exact_g(daily, days)
    return sum((exact_g[day] for day in fed), Fraction(0)) / len(fed) if fed else daily.grams


def days_in_care_g(amounts: Sequence[VetAmount], fed: Sequence[int], days: int) -> tuple[int, ...]:
    """Whole grams of each day of the batch, every amount spread evenly over the days that are fed."""
    day_g = dict.fromkeys(range(days), 0)
    for amount in amounts:
        for day, grams in zip(fed, evenly(amount.batch_g, len(fed)) if fed else (), strict=True):
            day_g[day] += grams
    return tuple(day_g.values())


def _exact_g(daily: Daily, days: int) -> tuple[Fraction, ...]:
    """The ration of each day: from the first day's to the last day's in equal steps."""
    step_g = (daily.by_end - daily.grams) / (days - 1) if daily.by_end is not None and days > 1 else Fraction(0)
    return tuple(daily.grams + step_g * day for day in range(days))
