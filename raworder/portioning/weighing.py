"""Weighing as one goes: what to put into the next bag, so that errors made so far are evened out.

Nobody hits a target to the gram. What a dog was given too much or too little of a cut is spread over its bags to come,
in whole scale steps, and the last of them takes just what is left. The cut that tops bags up brings each to a weight,
whatever was really put in before; so whole pieces, which weigh what they weigh, even out too.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from math import floor
from typing import NamedTuple

from raworder.trade.bags import Filling, Next, Portioning
from raworder.trade.plan import Plan
from raworder.trade.units import half_up

Key = tuple[int, str]
"""A bag by its place in the plan, and the cut or mix that goes in: every weighing by itself."""


class Weighed(NamedTuple):
    """So many grams of a cut or mix were put into a bag, told by its place in the plan."""

    bag: int
    cut: str
    grams: int


@dataclass(frozen=True)
class Weighing:
    """The weighings of a plan in working order; it never changes, what was weighed is given to it."""

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


def next_target(weighing: Weighing, entries: Sequence[Weighed]) -> Next | None:
    """The first weighing in working order that no entry tells of, its target corrected; None when all is weighed.

    A later entry about the same bag and cut corrects an earlier one. ValueError for what the plan does not weigh.
    """
    grams = {(entry.bag, entry.cut): entry.grams for entry in entries}
    if not grams.keys() <= weighing.filling.keys():
        raise ValueError(f"the plan does not weigh {min(grams.keys() - weighing.filling.keys())}")
    return next((_correct_target(weighing, station, key, grams) for station, key in weighing.sequence if key not in grams), None)


def _correct_target(weighing: Weighing, station: int, key: Key, grams: Mapping[Key, int]) -> Next:
    """One weighing with its target."""
    place, cut = key
    bag, filling = weighing.plan.bags[place], weighing.filling[key]
    bags = weighing.of_dog[bag.dog, cut]
    is_last = all((bag, cut) in grams for bag in bags if bag != place)
    plain = Next(station, place, bag.dog, cut, filling.grams, filling.grams, filling.pieces, is_last=is_last)
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
    """What a bag weighs, as weighed, and as planned where nothing was weighed yet."""
    return sum(grams.get((place, filling.cut), filling.grams) for filling in weighing.plan.bags[place].fillings)


def _aim_g(weighing: Weighing, place: int, planned_g: Mapping[int, int], given_g: Mapping[int, int]) -> int:
    """What a bag is to get, given what others of the dog were planned to get and what some of them got.

    Its part of what is left to give, in whole scale steps from what was planned and within the tolerance of the bag's
    weight, what does not fit being carried on; and all that is left where it is the last.
    """
    left_g = sum(planned_g.values()) - sum(given_g.values())
    planned_left_g = sum(grams for number, grams in planned_g.items() if number not in given_g)
    if len(given_g) == len(planned_g) - 1 or not planned_left_g:
        return left_g
    step_g = weighing.portioning.scale_step_g
    shift = half_up(Fraction(planned_g[place] * (left_g - planned_left_g), planned_left_g * step_g))
    most = floor(weighing.portioning.bag_tolerance * weighing.plan.bags[place].grams / step_g)
    return planned_g[place] + step_g * max(-most, min(shift, most))
