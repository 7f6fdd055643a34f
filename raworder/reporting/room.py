"""Ranges in words, and how much room a share has left in them."""

from fractions import Fraction

from raworder.dogs import Target
from raworder.units import share_text

PRINTED = Fraction(1, 2000)
"""Shares are printed to a tenth of a percent; room that would be printed as none is none."""


NOT_ASKED = "none"
"""What is asked of a part that a dog is to get nothing of."""


def range_text(least: Fraction, most: Fraction) -> str:
    """A range as people write it, on every page: `8 to 12 %`, `exactly 5 %`, `at most 10 %`, `none`."""
    low, high = short_share(least), short_share(most)
    if not most:
        return NOT_ASKED
    if not least:
        return f"at most {high}"
    return f"exactly {high}" if low == high else f"{low.removesuffix(' %')} to {high}"


def short_share(share: Fraction) -> str:
    """A share without an idle decimal: `8 %`, `7.5 %`."""
    return share_text(share).replace(".0 %", " %")


def reaches(given: Fraction, most: Fraction) -> bool:
    """Whether a share is printed as the most that is allowed, or above it."""
    return given >= most - PRINTED


def is_above(share: Fraction, other: Fraction) -> bool:
    """Whether a share is printed as more than another."""
    return share > other + PRINTED


def too_much(share: Fraction) -> str:
    """So many points more than are allowed."""
    return f"{points(share)} too much"


def room_text(target: Target, given: Fraction) -> str:
    """Whether a share is at an end of its range, how many points of room are left, or by how many it is outside."""
    if is_above(given, target.high):
        return too_much(given - target.high)
    if is_above(target.low, given):
        return f"{points(target.low - given)} too little"
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
