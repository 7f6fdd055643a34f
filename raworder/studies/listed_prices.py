"""Prices as a list has them: what a unit costs at a listed price, and the listed prices next to an exact one."""

from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from raworder.trade import Offer
from raworder.units import GRAMS_PER, Currency

NEARLY = Fraction(1, 50)
"""A listed price so near to an exact one, in parts of the minor unit, is that price: the order is as cheap with the
offer as without it."""


def unit_price_at(offer: Offer, listed: Decimal, currency: Currency) -> Fraction:
    """What a unit of the offer costs where the list has that price, on the basis of its first step.

    A pack at a price for a weight is charged to the minor unit.
    """
    step, per_unit = offer.steps[0], _units_of_basis(offer)
    exact = Fraction(listed) * per_unit
    return exact if offer.by_weight or step.per == "pack" else Fraction(currency.rounded(exact))


def fineness(offer: Offer, currency: Currency) -> Fraction:
    """By how much a unit gets dearer when the listed price rises by a minor unit."""
    return Fraction(currency.minor) * _units_of_basis(offer)


def listed_below(offer: Offer, unit_price: Fraction, currency: Currency) -> Decimal | None:
    """The highest listed price at which a unit costs less than that; None where even for nothing it does not."""
    below = unit_price - NEARLY * fineness(offer, currency)
    listed = (floor(below / fineness(offer, currency)) + _rounded_off(offer) + 1) * currency.minor
    while listed >= 0 and unit_price_at(offer, listed, currency) >= below:
        listed -= currency.minor
    return listed if listed >= 0 else None


def listed_above(offer: Offer, unit_price: Fraction, currency: Currency) -> Decimal:
    """The lowest listed price at which a unit costs more than that."""
    above = unit_price + NEARLY * fineness(offer, currency)
    listed = max(floor(above / fineness(offer, currency)) - _rounded_off(offer), 0) * currency.minor
    while unit_price_at(offer, listed, currency) <= above:
        listed += currency.minor
    return listed


def _rounded_off(offer: Offer) -> int:
    """By how many minor units of the listed price the rounding of a pack's price may be off, at most."""
    return 0 if offer.by_weight else ceil(Fraction(1, 2) / _units_of_basis(offer))


def _units_of_basis(offer: Offer) -> Fraction:
    """How much of what the listed price is for is in a unit: one pack, or so many kilograms, pounds or ounces."""
    step = offer.steps[0]
    if step.per == "pack":
        return Fraction(1)
    if offer.by_weight and step.listed:
        return step.unit_price / Fraction(step.listed)
    return offer.unit_g / (Fraction(100) if step.per == "100 g" else GRAMS_PER[step.per])
