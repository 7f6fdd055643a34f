"""Whole numbers split in proportion so that they add up."""

from collections.abc import Sequence
from fractions import Fraction


def split(total: int, weights: Sequence[Fraction]) -> tuple[int, ...]:
    """The total in whole numbers in proportion to the weights, by largest remainder, ties to the first.

    Weights of nothing but zero count as equal. No weights give no shares.

    >>> split(100, [Fraction(1), Fraction(1), Fraction(1)])
    (34, 33, 33)
    """
    if not weights:
        return ()
    whole = sum(weights, Fraction(0))
    if not whole:
        return split(total, [Fraction(1)] * len(weights))
    exact = [total * weight / whole for weight in weights]
    floors = [number.__floor__() for number in exact]
    by_remainder = sorted(range(len(exact)), key=lambda place: (floors[place] - exact[place], place))
    raised = set(by_remainder[: total - sum(floors)])
    return tuple(floor + (place in raised) for place, floor in enumerate(floors))
