"""Ranges in words, and how much room a share has left in them."""

from fractions import Fraction

from raworder.dogs import Target
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


def reaches(given: Fraction, most: Fraction) -> bool:
    """Whether a share is printed as the most that is allowed, or above it."""
    return given >= most - PRINTED


def room_text(target: Target, given: Fraction) -> str:
    """Whether a share is at an end of its range, or how many points of room are left."""
    if target.low == target.high:
        return "as asked"
    if reaches(given, target.high):
        return "at its limit, the most"
    if target.low > 0 and reaches(target.low, given):
        return "at its limit, the least"
    down = f"{points(given - target.low)} down, " if target.low > 0 else ""
    return f"{down}{points(target.high - given)} up"


def points(share: Fraction) -> str:
    """A difference of shares in percentage points, as a number: `2`, `0.5`."""
    return short_share(share).removesuffix(" %")
