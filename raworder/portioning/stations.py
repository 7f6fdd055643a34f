"""Stations: the working order at the counter, one cut after the other, so that no bag meets what its dog avoids.

Dogs that must be kept from the same of all that is fed are worked together, in a phase of their own; between phases
everything is cleaned down. Those with most to avoid come first, while the counter is at its cleanest.
"""

from collections.abc import Mapping, Sequence

from raworder.bags import Bag, Mix, Portioning, Station
from raworder.cuts import PLANT, Cut, Part
from raworder.dogs import Dog
from raworder.trade import Scenario

Rank = tuple[int, tuple[str, ...], bool, str]
"""Where a cut or mix stands in the working order: its sort, its species, whether it is an organ, its name."""

PLANTS, WHOLE_PIECES, OTHER_MEAT, MIXES = range(4)
"""The driest and cleanest first: what leaves least behind on the counter. Source: common practice, no source."""


def stations_of(scenario: Scenario, bags: Sequence[Bag], mixes: Sequence[Mix]) -> tuple[Station, ...]:
    """Every cut of every bag at one station, in working order; what tops bags up comes after all else in its phase.

    A cut that tops some bags of a phase up and not others has two stations there.
    """
    names = sorted({one.cut for bag in bags for one in bag.fillings})
    made_of = _made_of(scenario, mixes)
    avoided = {dog.name: _avoided(dog, names, made_of) for dog in scenario.dogs}
    phases = sorted({avoided[bag.dog] for bag in bags}, key=lambda some: (-len(some), some))
    places: dict[tuple[int, bool, str], list[int]] = {}
    for place, bag in enumerate(bags):
        phase = phases.index(avoided[bag.dog]) + 1
        for one in bag.fillings:
            places.setdefault((phase, one.cut == bag.topped_up, one.cut), []).append(place)
    ranks = {name: _rank(name, made_of[name], scenario.portioning) for name in names}
    order = sorted(places, key=lambda station: (*station[:2], ranks[station[2]]))
    return tuple(Station(phase, cut, tuple(places[phase, tops_up, cut])) for phase, tops_up, cut in order)


def _made_of(scenario: Scenario, mixes: Sequence[Mix]) -> Mapping[str, tuple[Cut, ...]]:
    """The cuts in a cut, itself alone, or in a mix."""
    cuts = {cut.name: (cut,) for cut in scenario.cuts}
    return cuts | {mix.name: tuple(scenario.cut(one.cut) for one in mix.contents) for mix in mixes}


def _avoided(dog: Dog, names: Sequence[str], made_of: Mapping[str, tuple[Cut, ...]]) -> tuple[str, ...]:
    """What the dog must be kept from of all that is fed."""
    return tuple(name for name in names if any(map(dog.avoids, made_of[name])))


def _rank(name: str, cuts: tuple[Cut, ...], portioning: Portioning) -> Rank:
    """Plants, then whole pieces, then other meat, one species at a time and its organs last; mixes after all."""
    if [cut.name for cut in cuts] != [name]:
        return MIXES, (), False, name
    cut = cuts[0]
    species = tuple(sorted(cut.species_names))
    organ_share = cut.part_share(Part.LIVER) + cut.part_share(Part.OTHER_ORGAN)
    return _sort(cut, portioning), species, 2 * organ_share > 1, name


def _sort(cut: Cut, portioning: Portioning) -> int:
    """Whether a cut is a plant, fed in whole pieces, or other meat."""
    if set(cut.species_names) == {PLANT}:
        return PLANTS
    return OTHER_MEAT if portioning.whole_piece_g(cut) is None else WHOLE_PIECES
