"""Weighing as you go: what to put into the next bag, so that errors made so far are evened out.

Nobody hits a target to the gram. If a dog got too much or too little of a cut, the difference is spread over its next
bags, in whole scale steps, and the last of them takes exactly what is left. The top-up brings each bag to its weight,
whatever was really put in before, so whole pieces, which weigh what they weigh, even out too.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from math import floor
from typing import NamedTuple

from raworder.trade.bags import Filling, NextWeighing, Portioning
from raworder.trade.plan import Plan
from raworder.trade.rounding import half_up

Key = tuple[int, str]
"""One weighing: the bag, by its place in the plan, and the cut or mix that goes in."""


class WeighedEntry(NamedTuple):
    """What was put into a bag: its place in the plan, the cut or mix, and the grams."""

    bag: int
    cut: str
    grams: int


@dataclass(frozen=True)
class Weighing:
    """The weighings of a plan in working order. It holds no state: entries are passed to `next_target`."""

    plan: Plan
    portioning: Portioning

    @cached_property
    def sequence(self) -> tuple[tuple[int, Key], ...]:
        """Every weighing in order, with its station."""
        stations = enumerate(self.plan.stations)
        return tuple((place, (bag, station.cut)) for place, station in stations for bag in station.bags)

    @cached_property
    def of_dog(self) -> Mapping[tuple[str, str], tuple[int, ...]]:
        """The bags that a dog gets a cut in, in working order."""
        found: dict[tuple[str, str], tuple[int, ...]] = {}
        for _, (bag, cut) in self.sequence:
            dog = self.plan.bags[bag].dog
            found[dog, cut] = (*found.get((dog, cut), ()), bag)
        return found

    @cached_property
    def filling(self) -> Mapping[Key, Filling]:
        """What is planned of a cut in a bag."""
        return {(place, filling.cut): filling for place, bag in enumerate(self.plan.bags) for filling in bag.fillings}


def next_target(weighing: Weighing, entries: Sequence[WeighedEntry]) -> NextWeighing | None:
    """The first weighing in working order without an entry, its target corrected; None when all is weighed.

    A later entry for the same bag and cut replaces an earlier one. ValueError for a weighing that is not in the plan.
    """
    grams = {(entry.bag, entry.cut): entry.grams for entry in entries}
    if not grams.keys() <= weighing.filling.keys():
        raise ValueError(f"the plan does not weigh {min(grams.keys() - weighing.filling.keys())}")
    return next(
        (_correct_target(weighing, station, key, grams) for station, key in weighing.sequence if key not in grams), None
    )


def _correct_target(weighing: Weighing, station: int, key: Key, grams: Mapping[Key, int]) -> NextWeighing:
    """A weighing with its target, corrected for the errors so far; whole pieces are never corrected."""
    place, cut = key
    bag, filling = weighing.plan.bags[place], weighing.filling[key]
    bags = weighing.of_dog[bag.dog, cut]
    is_last = all((bag, cut) in grams for bag in bags if bag != place)
    plain = NextWeighing(station, place, bag.dog, cut, filling.grams, filling.grams, filling.pieces, is_last=is_last)
    if filling.pieces:
        return plain
    if cut != bag.topped_up:
        planned_g = {bag: weighing.filling[bag, cut].grams for bag in bags}
        given_g = {bag: grams[bag, cut] for bag in bags if (bag, cut) in grams}
        return replace(plain, target_g=max(_aim_g(weighing, place, planned_g, given_g), 0))
    planned_g = {bag: weighing.plan.bags[bag].grams for bag in bags}
    given_g = {bag: _weight_g(weighing, bag, grams) for bag in bags if (bag, cut) in grams}
    before_g = _weight_g(weighing, place, {**grams, key: 0})
    target_g = max(_aim_g(weighing, place, planned_g, given_g) - before_g, 0)
    return replace(plain, target_g=target_g, bag_to_g=before_g + target_g)


def _weight_g(weighing: Weighing, place: int, grams: Mapping[Key, int]) -> int:
    """A bag's weight: the weighed grams, and the planned grams where nothing is weighed yet."""
    return sum(grams.get((place, filling.cut), filling.grams) for filling in weighing.plan.bags[place].fillings)


def _aim_g(weighing: Weighing, place: int, planned_g: Mapping[int, int], given_g: Mapping[int, int]) -> int:
    """The grams for a bag, from what the dog's bags were planned to get and what some of them really got.

    The bag takes its part of the difference so far, in whole scale steps and within the tolerance of its weight; what
    does not fit is carried on. The last bag takes all that is left.
    """
    left_g = sum(planned_g.values()) - sum(given_g.values())
    planned_left_g = sum(grams for number, grams in planned_g.items() if number not in given_g)
    if len(given_g) == len(planned_g) - 1 or not planned_left_g:
        return left_g
    step_g = weighing.portioning.scale_step_g
    # The difference so far, split over the bags still to come in proportion to their plan.
    shift = half_up(Fraction(planned_g[place] * (left_g - planned_left_g), planned_left_g * step_g))
    most = floor(weighing.portioning.bag_tolerance * weighing.plan.bags[place].grams / step_g)
    return planned_g[place] + step_g * max(-most, min(shift, most))
