"""What bags can hold: the most whole pieces that a dog's bags and days take, however they are filled.

Every limit holds for any way to fill the bags, so it never rules out an order that can be portioned.

Source: dual feasible functions of bin packing, as in Fekete and Schepers, *New classes of fast lower bounds for bin
packing problems*, Mathematical Programming 91 (2001), from memory, not looked up.
"""

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from math import floor

from raworder.trade.dogs import Dog
from raworder.trade.scenario import Scenario, slots_of


@dataclass(frozen=True, slots=True)
class Rooms:
    """Room in bags or days: how many have each room in grams, and the room that a piece of each cut takes."""

    name: str
    rooms_g: Mapping[Fraction, int]
    piece_g: Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class PieceLimit:
    """A limit on pieces: pieces of each cut, each counted `times` over, add up to at most `most`."""

    name: str
    times: Mapping[str, int]
    most: int


def rooms_of(dog: Dog, scenario: Scenario) -> Iterator[Rooms]:
    """The room for whole pieces in a dog's bags, and by each limit of a day; the dog's grams must be known.

    A bag must also hold a least portion of the top-up, so that much is taken off its room.
    """
    rules, slots = scenario.portioning, slots_of(dog, scenario)
    pieces = {
        cut: piece_g for cut in scenario.cuts if (piece_g := rules.whole_piece_g(cut)) and not dog.goes_without(cut)
    }
    weights = {cut.name: Fraction(piece_g) for cut, piece_g in pieces.items()}
    yield Rooms("bag", Counter(Fraction(slot.grams - rules.least_portion_g) for slot in slots), weights)
    days_g = Counter(sum(slot.grams for slot in day) for _, day in groupby(slots, key=lambda slot: slot.fed_day))
    for subject, most in dog.most_a_day(rules):
        counted = {cut.name: piece_g * subject.share_in(cut) for cut, piece_g in pieces.items()}
        held = {name: grams for name, grams in counted.items() if grams}
        if held and most < 1:
            rooms = {most * day_g: days for day_g, days in days_g.items()}
            yield Rooms(f"day {subject.measure} {subject.word}", rooms, held)


def limits_on_pieces(dog: Dog, scenario: Scenario) -> Iterator[PieceLimit]:
    """The limits on a dog's pieces: for each size, on pieces of that size and larger together."""
    for rooms in rooms_of(dog, scenario):
        for size in sorted(set(rooms.piece_g.values())):
            yield _limit_on_size(rooms, size)


def limits_of_all(dogs: Iterable[Dog], scenario: Scenario) -> tuple[PieceLimit, ...]:
    """The limits on the pieces of several dogs together, who may eat the same cuts."""
    together: dict[str, PieceLimit] = {}
    for limits, like in limits_by_build(dogs, scenario):
        for limit in limits:
            other = together.get(limit.name, PieceLimit(limit.name, limit.times, 0))
            # A piece may go to any of the dogs, so it counts for the least that it does with any of them.
            times = {cut: min(count, other.times[cut]) for cut, count in limit.times.items()}
            together[limit.name] = PieceLimit(limit.name, times, len(like) * limit.most + other.most)
    return tuple(together.values())


def limits_by_build(
    dogs: Iterable[Dog], scenario: Scenario
) -> Iterator[tuple[tuple[PieceLimit, ...], tuple[Dog, ...]]]:
    """The limits on pieces of dogs who eat the same cuts, once for all that are of one build, and who these are."""
    builds: dict[Hashable, list[Dog]] = {}
    for dog in dogs:
        builds.setdefault(dog.build, []).append(dog)
    yield from ((tuple(limits_on_pieces(like[0], scenario)), tuple(like)) for like in builds.values())


def cuts_that_fit_no_bag(dog: Dog, scenario: Scenario) -> frozenset[str]:
    """The names of the cuts of which no bag or no day of the dog takes a single piece."""
    return frozenset(
        name
        for rooms in rooms_of(dog, scenario)
        for name, size in rooms.piece_g.items()
        if not any(size <= room for room in rooms.rooms_g)
    )


def _limit_on_size(rooms: Rooms, size: Fraction) -> PieceLimit:
    """The limit on pieces of a size or larger; a piece that takes the room of several counts several times."""
    fitting = [(room, floor(room / size)) for room in rooms.rooms_g if size <= room]
    times = {
        name: min((_pieces_counted_for(piece_g, room, held) for room, held in fitting), default=1)
        for name, piece_g in rooms.piece_g.items()
        if piece_g >= size
    }
    most = sum(held * rooms.rooms_g[room] for room, held in fitting)
    return PieceLimit(f"{rooms.name} {size}", times, most)


def _pieces_counted_for(piece_g: Fraction, room_g: Fraction, held: int) -> int:
    """How many of the smallest pieces this piece counts for, in a room that holds `held` of them.

    Pieces that fit a room together come to no more than it holds of the smallest: with room/(held + 1) as the unit each
    counts for its whole units, and all of them together are less than held + 1; a piece of a whole number of units
    counts for one less, as held + 1 would do.
    """
    units = (held + 1) * piece_g / room_g  # exact fractions: floats would get the boundary case wrong
    return min(floor(units) - (units.denominator == 1), held) if piece_g <= room_g else held
