"""What a freezer takes day by day: lots that it can freeze, and whether all is frozen before it spoils."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from raworder.reporting.bag_book import BagBook
from raworder.reporting.plan_sums import left
from raworder.reporting.thawing import Journey, Way, keeping_of


@dataclass(frozen=True, slots=True)
class Load:
    """Something to freeze: bag `number`, or what is `left` over of a cut. `latest` is the last day for it."""

    grams: int
    latest: date
    fed_on: date = date.max
    number: int = 0
    left: str = ""
    keeps_days: int = 1


@dataclass(frozen=True, slots=True)
class Lot:
    """What is frozen on one day."""

    day: date
    loads: tuple[Load, ...]

    @property
    def grams(self) -> int:
        """What the lot weighs."""
        return sum(load.grams for load in self.loads)

    @property
    def late(self) -> tuple[Load, ...]:
        """What should have been frozen earlier."""
        return tuple(load for load in self.loads if load.latest < self.day)


def lots_of(book: BagBook, every: Iterable[Journey]) -> tuple[Lot, ...]:
    """The lots of a plan; none where the freezer takes all at once."""
    most_g = book.scenario.portioning.freezes_g
    return lots(loads_of(book, every, most_g), most_g, book.scenario.portioned_on) if most_g else ()


def loads_of(book: BagBook, every: Iterable[Journey], most_g: int) -> tuple[Load, ...]:
    """All that is to be frozen after filling: bags, and what was bought and is left over, in parts that fit a day."""
    bags = (_bag_load(journey) for journey in every if journey.way is Way.FREEZER)
    return (*bags, *_left_loads(book, most_g))


def lots(loads: Iterable[Load], most_g: int, first: date) -> tuple[Lot, ...]:
    """The loads in lots of at most `most_g`, day after day: what can wait least first, then what is fed last.

    A load goes into the first lot that has room for it; one above `most_g` goes into none.
    """
    fitting = [load for load in loads if load.grams <= most_g]
    least_g = min((load.grams for load in fitting), default=0)
    taken: list[list[Load]] = []
    room_g: list[int] = []
    begin = 0
    for load in sorted(fitting, key=lambda one: (one.latest, -one.fed_on.toordinal(), one.number)):
        while begin < len(room_g) and room_g[begin] < least_g:
            begin += 1  # full lots are not looked at again
        place = next((place for place in range(begin, len(room_g)) if load.grams <= room_g[place]), len(room_g))
        if place == len(room_g):
            taken.append([])
            room_g.append(most_g)
        taken[place].append(load)
        room_g[place] -= load.grams
    return tuple(Lot(first + timedelta(days), tuple(group)) for days, group in enumerate(taken))


def sessions(made: Sequence[Lot]) -> int:
    """In how many sessions at least to fill the bags so that none makes more lots than its food keeps for."""
    keeps_days = min((load.keeps_days for lot in made for load in lot.loads), default=0)
    return max(2, -(-len(made) // (1 + keeps_days)))


def _bag_load(journey: Journey) -> Load:
    """A bag: it waits in the refrigerator no longer than it keeps, and is frozen for as long as it must and can be."""
    waits_until = journey.filled_on + timedelta(journey.keeps_days)
    must_days = max(1, journey.freeze_days) if journey.freeze_days <= journey.frozen_days else 1
    latest = min(waits_until, (journey.moves_on or waits_until) - timedelta(must_days))
    return Load(journey.bag.grams, latest, journey.bag.day, journey.number, keeps_days=journey.keeps_days)


def _left_loads(book: BagBook, most_g: int) -> Iterator[Load]:
    """What was bought and is left over, cut by cut, in parts that fit a day."""
    for leftover in left(book.plan):
        keeps_days = keeping_of(book, book.cuts[leftover.cut]).least_days
        latest = book.scenario.portioned_on + timedelta(keeps_days)
        for start_g in range(0, leftover.bought_g, most_g):
            grams = min(most_g, leftover.bought_g - start_g)
            yield Load(grams, latest, left=leftover.cut, keeps_days=keeps_days)
