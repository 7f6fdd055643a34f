"""Other amounts for some dogs: their ranges narrowed towards the middle, so that the order found is another one."""

from collections.abc import Collection
from dataclasses import replace
from fractions import Fraction

from raworder.dogs import Dog, Target
from raworder.trade import Scenario

PARTS_OFF = (Fraction(1, 4), Fraction(1, 2), Fraction(3, 4))
"""How much of the way to its middle each end of a range is moved, one try after the other."""

WIDE = Fraction(6, 100)
"""A range wider than this is room, not a demand: muscle's usual one is."""


def narrowed(scenario: Scenario, dogs: Collection[str], part_off: Fraction) -> Scenario:
    """The scenario in which the targets of the dogs named leave less room; muscle, which is the rest, keeps its own."""
    return replace(scenario, dogs=tuple(_narrowed(dog, part_off) if dog.name in dogs else dog for dog in scenario.dogs))


def _narrowed(dog: Dog, part_off: Fraction) -> Dog:
    return replace(dog, targets=tuple(_closer(target, part_off) for target in dog.targets))


def _closer(target: Target, part_off: Fraction) -> Target:
    """The range without a part of it at both ends; a wide one, which asks for nothing, stays."""
    if target.low == 0 or target.high - target.low > WIDE:
        return target
    less = (target.high - target.low) / 2 * part_off
    return Target(target.part, target.low + less, target.high - less)
