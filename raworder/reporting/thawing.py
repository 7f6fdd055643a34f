"""Where a bag goes after it is filled: straight to the refrigerator, or frozen and thawed in time.

The published figures are for kitchens that cook; for `cook` read `feed`.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from types import MappingProxyType

from raworder.reporting.bag_book import BagBook, Numbered
from raworder.reporting.plan_sums import fed_g
from raworder.trade.bags import Bag
from raworder.trade.cuts import Cut
from raworder.trade.scenario import Keeping

THAWS_A_DAY_G = 2_268
"""So much thaws in a refrigerator in 24 hours, five pounds. **Source:** `THAWING_SOURCE`."""

THAWING_SOURCE = "University of Illinois Extension, Thawing, which cites USDA The Big Thaw, 2013, for human kitchens"

CAREFUL = Keeping("anything else", frozenset(), frozenset(), 1, 2, "")
"""What is taken for a cut of which no keeping time is known: the shortest of the published ones."""


@dataclass(frozen=True, slots=True)
class FreezeFirst:
    """So many days frozen before it is fed, and how cold."""

    days: int
    how_cold: str
    source: str


FREEZE_FIRST: Mapping[str, FreezeFirst] = MappingProxyType(
    {
        "raw-fish-parasites": FreezeFirst(
            7, "at -20 C (-4 F) or colder", "FDA Food Code 3-402.11(A)(1) as adopted in WAC 246-215-03425"
        ),
        "sheep-meat-tapeworm": FreezeFirst(
            10,
            "with the core at -10 C (14 F) or colder",
            "Project Ovis (New Zealand), safe feeding of meat",
        ),
        "raw-pork": FreezeFirst(
            20,
            "at -15 C (5 F) or colder, thinner than 15 cm (6 in)",
            "CDC, trichinellosis prevention, last reviewed 15 November 2019",
        ),
    }
)
"""The cautions that ask for freezing before feeding, by key. **Source:** beside each, as in the caution table."""


class Way(StrEnum):
    """How a bag comes from the counter to the bowl."""

    REFRIGERATOR = "refrigerator"
    FREEZER = "freezer"
    NO_TIME = "no time"


@dataclass(frozen=True, slots=True)
class Needs:
    """How long something keeps in a refrigerator, and which of its cuts must be frozen first, by which caution."""

    keeping: Keeping
    freeze_first: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Journey:
    """One bag on its way. `moves_on` is the morning it leaves the freezer, None where it never goes there in time.

    `keeps_days` is how long it keeps in a refrigerator, fresh or thawed: the shortest of what is in it, at its least.
    """

    number: int
    bag: Bag
    way: Way
    filled_on: date
    thaw_days: int
    keeps_days: int
    freeze_first: tuple[tuple[str, str], ...]
    moves_on: date | None = None

    @property
    def freeze_days(self) -> int:
        """How many days it must be frozen first."""
        return max((FREEZE_FIRST[key].days for _, key in self.freeze_first), default=0)

    @property
    def frozen_days(self) -> int:
        """How many days it is frozen."""
        return (self.moves_on - self.filled_on).days if self.moves_on else 0

    @property
    def feed_by(self) -> date:
        """The last day it keeps, once it is in the refrigerator."""
        ready_on = self.moves_on + timedelta(self.thaw_days) if self.moves_on else self.filled_on
        return ready_on + timedelta(self.keeps_days)


def thaw_days(grams: int) -> int:
    """The days a block of that weight takes to thaw in a refrigerator.

    >>> thaw_days(550), thaw_days(2_268), thaw_days(2_269)
    (1, 1, 2)
    """
    return -(-grams // THAWS_A_DAY_G)


def journeys(book: BagBook) -> tuple[Journey, ...]:
    """The way of every bag, in order. The bags of a day thaw side by side, so they move when its largest must.

    A bag that would then be thawed for longer than it keeps, or not be frozen for long enough, moves by itself.
    """
    needs = needs_by_name(book)
    ready = tuple(_fresh(book, bag, needs) for bag in book.numbered)
    longest: dict[date, int] = {}
    for journey in ready:
        if journey.way is Way.FREEZER:
            longest[journey.bag.day] = max(longest.get(journey.bag.day, 0), journey.thaw_days)
    return tuple(
        _moved(journey, longest[journey.bag.day]) if journey.way is Way.FREEZER else journey for journey in ready
    )


def needs_by_name(book: BagBook) -> dict[str, Needs]:
    """What every cut and mix in the bags needs, each looked up once."""
    names = dict.fromkeys(filling.cut for bag in book.plan.bags for filling in bag.fillings)
    fed, frozen_g = fed_g(book.scenario, book.plan), _frozen_g(book)
    return {name: _needs(book, name, fed, frozen_g) for name in names}


def _needs(book: BagBook, name: str, fed: Mapping[str, int], frozen_g: Mapping[tuple[str, str], int]) -> Needs:
    """What a cut, or all the cuts of a mix, need."""
    cuts = book.cuts_in(name)
    keeping = min((keeping_of(book, cut) for cut in cuts), key=lambda keeping: keeping.least_days)
    first = ((cut.name, key) for cut in cuts for key in FREEZE_FIRST if key in _cautions(cut))
    return Needs(keeping, tuple(both for both in first if frozen_g.get(both, 0) < fed[both[0]]))


def keeping_of(book: BagBook, cut: Cut) -> Keeping:
    """How long a cut keeps in a refrigerator; little where it is not known."""
    return book.scenario.keeping_of(cut) or CAREFUL


def _cautions(cut: Cut) -> set[str]:
    """The cautions of a cut and of all that is mixed into it."""
    return set(cut.cautions).union(*(_cautions(cut) for cut in cut.ingredients))


def first_frozen(cut: Cut) -> tuple[FreezeFirst, ...]:
    """What asks for freezing a cut before it is fed."""
    return tuple(first for key, first in FREEZE_FIRST.items() if key in _cautions(cut))


def _frozen_g(book: BagBook) -> dict[tuple[str, str], int]:
    """Grams fed of a cut that were on hand frozen for as long as a caution asks, before the bags are filled."""
    found: dict[tuple[str, str], int] = {}
    for use in book.plan.lots_used:
        lot = book.scenario.on_hand[use.lot]
        days = (book.scenario.portioned_on - lot.frozen_on).days if lot.frozen_on else 0
        for key, first in FREEZE_FIRST.items():
            if days >= first.days:
                found[lot.cut, key] = found.get((lot.cut, key), 0) + use.used_g
    return found


def _fresh(book: BagBook, bag: Numbered, needs: Mapping[str, Needs]) -> Journey:
    """A bag as it is filled: it stays fresh if it is fed within its keeping time and nothing must be frozen first."""
    inside = [needs[filling.cut] for filling in bag.bag.fillings]
    keeps_days = min((need.keeping.least_days for need in inside), default=CAREFUL.least_days)
    first = tuple(both for need in inside for both in need.freeze_first)
    filled_on = book.scenario.portioned_on
    fresh = not first and 0 <= (bag.bag.day - filled_on).days <= keeps_days
    way = Way.REFRIGERATOR if fresh else Way.FREEZER
    return Journey(bag.number, bag.bag, way, filled_on, thaw_days(bag.bag.grams), keeps_days, first)


def _moved(one: Journey, longest_days: int) -> Journey:
    """A bag with the morning on which it leaves the freezer, if there is time to freeze it at all."""
    tried = [_leaving(one, days) for days in _leads(one, longest_days)]
    in_time = [journey for journey in tried if journey.frozen_days >= max(one.freeze_days, 1)]
    best = in_time[0] if in_time else tried[-1]
    return best if best.frozen_days >= 1 else _leaving(one, None)


def _leads(journey: Journey, longest_days: int) -> Iterator[int]:
    """How many days before it is fed it may leave the freezer: with the largest of its day, then by itself."""
    if longest_days - journey.thaw_days <= journey.keeps_days:
        yield longest_days
    yield journey.thaw_days


def _leaving(journey: Journey, days: int | None) -> Journey:
    """The journey when the bag leaves the freezer so many days before it is fed; None: there is no time for that."""
    way = Way.NO_TIME if days is None else Way.FREEZER
    moves_on = None if days is None else journey.bag.day - timedelta(days)
    return Journey(
        journey.number,
        journey.bag,
        way,
        journey.filled_on,
        journey.thaw_days,
        journey.keeps_days,
        journey.freeze_first,
        moves_on,
    )
