"""Ranges in words, and how much room a share has left in them."""

from fractions import Fraction

from raworder.cuts import Subject
from raworder.reporting.books import Meal
from raworder.rulebook import ROUNDING_G
from raworder.trade import Target
from raworder.units import share_text

PRINTED = Fraction(1, 2000)
"""Shares are printed to a tenth of a percent; room that would be printed as none is none."""


def range_text(target: Target) -> str:
    """The range as people write it: `8 to 12 %`, `exactly 5 %`."""
    low, high = short_share(target.low), short_share(target.high)
    return f"exactly {high}" if low == high else f"{low.removesuffix(' %')} to {high}"


def short_share(share: Fraction) -> str:
    """A share without an idle decimal: `8 %`, `7.5 %`."""
    return share_text(share).replace(".0 %", " %")


def blur(meal: Meal, subject: Subject) -> Fraction:
    """How near to a limit a share of a subject counts as being at it: by whole grams, and as it is printed."""
    counted_g = sum((subject.share_in(cut) for cut, _ in meal.cuts), Fraction(0)) * ROUNDING_G
    return max(counted_g / meal.total_g, PRINTED) if meal.total_g else PRINTED


def room_text(target: Target, given: Fraction, blurred: Fraction) -> str:
    """Whether a share is at an end of its range, or how many points of room are left."""
    if target.low == target.high:
        return "as asked"
    if given >= target.high - blurred:
        return "at its limit, the most"
    if given <= target.low + blurred and target.low > 0:
        return "at its limit, the least"
    down = f"{points(given - target.low)} down, " if target.low > 0 else ""
    return f"{down}{points(target.high - given)} up"


def points(share: Fraction) -> str:
    """A difference of shares in percentage points, as a number: `2`, `0.5`."""
    return short_share(share).removesuffix(" %")
