"""The thaw plan: which bags move from the freezer to the refrigerator on which morning, and by when they are fed."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from raworder.reporting.bag_book import MOST_BAGS_LISTED, BagBook, bags_text, numbers_text
from raworder.reporting.words import count_text, group_alike, join_names, paper
from raworder.trade.batch_facts import FREEZE_FIRST, THAWING_SOURCE, THAWS_A_DAY_G, BagWay, Journey
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.scenario import Keeping

COLUMNS = (
    Column("day", "On", Holds.DAY),
    Column("bags", "Bags"),
    Column("bag_count", "Count", Holds.COUNT),
    Column("weight_g", "Weight", Holds.GRAMS, shown=False),
    Column("feed_on", "Fed on", Holds.DAY),
    Column("feed_by", "Feed by", Holds.DAY),
    Column("bag_numbers", "Bag numbers", shown=False),
)
HOW = (
    "Thaw in the refrigerator, on a tray on the lowest shelf, side by side, never on the counter. Throw away what is "
    "not fed by its last day."
)
FORGOTTEN = (
    "Put the closed bag into cold water and change the water every 30 minutes.",
    "A bag of 450 g (1 lb) takes about 1 hour or less, one of 1.4 to 1.8 kg (3 to 4 lb) takes 2 to 3 hours.",
    "Feed it at once when it has thawed. Do not freeze it again, and never thaw on the counter.",
)
ALL, OTHERS = "all of that day", "all others of that day"
"""What stands for a long list of bags where there are many dogs."""

COLD_WATER_SOURCE = (
    'US extension sheet "Safe thawing practices", which repeats USDA; publisher not verified; for human kitchens'
)


def thaw_plan(book: BagBook) -> Document:
    """What stays fresh, what moves on which morning, what cannot be thawed in time, and what to do when forgotten."""
    return paper(book.scenario, "thaw_plan", "Thaw plan", _blocks(book))


def _blocks(book: BagBook) -> Iterator[Block]:
    """First what to do on which day, then the rules behind it."""
    every = book.facts.cold.journeys
    yield Paragraph(HOW)
    yield from bags_to_keep_back(book, every)
    yield from _tables(book, every)
    yield Points("forgotten", "Forgot to thaw", FORGOTTEN, (COLD_WATER_SOURCE,))
    yield _rules(book)


def bags_to_keep_back(book: BagBook, every: Sequence[Journey]) -> tuple[Points, ...]:
    """The bags that cannot be thawed in time or are not frozen for long enough; nothing where there are none."""
    warnings = (*_warnings(every), *_not_yet_frozen(book, every))
    return (Points("mind", "Keep these bags back", *_with_sources(warnings, every)),) if warnings else ()


def _tables(book: BagBook, every: Sequence[Journey]) -> Iterator[Table]:
    """The bags that stay fresh, and those that are thawed."""
    fresh = [journey for journey in every if journey.way is BagWay.REFRIGERATOR]
    frozen = [journey for journey in every if journey.way is BagWay.FREEZER]
    if fresh:
        title = "Straight to the refrigerator when they are filled"
        note = "Count the days from when the meat was bought or thawed, if that was before the bags are filled."
        yield Table("moves", title, COLUMNS, _rows(book, fresh), note=note, tick=True)
    if frozen:
        title = "From the freezer to the refrigerator, in the morning"
        yield Table("moves", title, COLUMNS, _rows(book, frozen), tick=True)


@dataclass(frozen=True, slots=True)
class Move:
    """Bags that go into the refrigerator on one day, are fed on one day and keep alike; `all_of_day` says that in full.

    `all_of_day` is empty, or stands for a long list of bags where there are many dogs.
    """

    goes_on: date
    fed_on: date
    feed_by: date
    numbers: tuple[int, ...]
    grams: int
    all_of_day: str = ""

    @property
    def row(self) -> tuple[Cell, ...]:
        """The move as a row of the thaw plan."""
        numbers = numbers_text(self.numbers)
        bags = self.all_of_day or numbers
        return (self.goes_on, bags, len(self.numbers), self.grams, self.fed_on, self.feed_by, numbers)


def moves(book: BagBook, some: Sequence[Journey]) -> Iterator[Move]:
    """A move for all the bags that go on the same morning, are fed on the same day and keep alike, in order of days."""
    on_day = Counter(bag.day for bag in book.plan.bags)
    for together in sorted(group_alike(some, _days), key=lambda group: _days(group[0])):
        goes_on, fed_on = _days(together[0])
        whole_day = book.groups_dogs and len(together) == on_day[fed_on]
        groups = sorted(group_alike(together, lambda journey: journey.feed_by), key=lambda group: group[0].feed_by)
        most = max(groups, key=len)
        for group in [*(group for group in groups if group is not most), most] if whole_day else groups:
            all_of_day = (ALL if len(groups) == 1 else OTHERS) if whole_day and group is most else ""
            numbers, grams = tuple(journey.number for journey in group), sum(journey.bag.grams for journey in group)
            yield Move(goes_on, fed_on, group[0].feed_by, numbers, grams, all_of_day)


def _rows(book: BagBook, some: Sequence[Journey]) -> tuple[tuple[Cell, ...], ...]:
    """The moves of some bags as rows."""
    return tuple(move.row for move in moves(book, some))


def _days(journey: Journey) -> tuple[date, date]:
    """The day a bag goes into the refrigerator, and the day it is fed."""
    return (journey.moves_on or journey.filled_on, journey.bag.day)


def _warnings(every: Sequence[Journey]) -> Iterator[str]:
    """The bags that cannot be thawed in time, and those that are not frozen for long enough."""
    late = [journey for journey in every if journey.way is BagWay.NO_TIME and not journey.freeze_first]
    for group in group_alike(late, lambda journey: journey.thaw_days):
        takes = count_text(group[0].thaw_days, "day")
        yield (
            f"No time to freeze and thaw {_these(group)}: thawing takes {takes}. "
            "Make smaller bags, or fill them the day before they are fed."
        )
    for key in FREEZE_FIRST:
        group = _too_short(every, key)
        if group:
            yield _freeze_first(key, group)


def _not_yet_frozen(book: BagBook, every: Sequence[Journey]) -> Iterator[str]:
    """The bags whose turn to freeze comes no earlier than their morning to thaw."""
    frozen_on = book.facts.cold.frozen_on()
    slow = [
        journey for journey in every if journey.moves_on and frozen_on.get(journey.number, date.min) >= journey.moves_on
    ]
    if slow:
        yield f"{_these(slow).capitalize()}: not frozen by their morning below, see the freezing sheet before you fill."


def _freeze_first(key: str, group: Sequence[Journey]) -> str:
    """What to do with bags that hold what must be frozen for longer than they are."""
    first = FREEZE_FIRST[key]
    cuts = dict.fromkeys(cut for journey in group for cut, found in journey.freeze_first if found == key)
    said = (
        f"{_these(group).capitalize()}: freeze {join_names(tuple(cuts))} {first.how_cold} for "
        f"{count_text(first.days, 'day')} before feeding, see the cautions; these bags are not frozen for so long. "
        "Fill them only with what has been frozen so long already, or leave it out and ask a veterinarian."
    )
    stay = [
        journey
        for journey in group
        if journey.way is BagWay.NO_TIME and (journey.bag.day - journey.filled_on).days <= journey.keeps_days
    ]
    return f"{said} Then {_these(stay)} can go straight to the refrigerator." if stay else said


def _too_short(every: Sequence[Journey], key: str) -> tuple[Journey, ...]:
    """The bags that are frozen for less long than a caution asks."""
    days = FREEZE_FIRST[key].days
    return tuple(
        journey
        for journey in every
        if journey.frozen_days < days and any(found == key for _, found in journey.freeze_first)
    )


def _these(group: Sequence[Journey]) -> str:
    """The bags by number, or how many they are."""
    many = len(group) > MOST_BAGS_LISTED
    return count_text(len(group), "bag") if many else bags_text(journey.number for journey in group)


def _with_sources(warnings: tuple[str, ...], every: Sequence[Journey]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The warnings with the sources of the freezing times they tell."""
    return warnings, tuple(first.source for key, first in FREEZE_FIRST.items() if _too_short(every, key))


def _rules(book: BagBook) -> Points:
    """The rules by which the days were counted, and where they come from."""
    names = dict.fromkeys(
        cut.name for bag in book.plan.bags for filling in bag.fillings for cut in book.cuts_in(filling.cut)
    )
    kept = tuple(dict.fromkeys(book.facts.cold.keeping[name] for name in names))
    items = (
        f"Thawing in the refrigerator takes at least a day for every {book.grams(THAWS_A_DAY_G)} of the largest bag.",
        *(
            f"In the refrigerator, fresh or thawed, {keeping.what}: {keeping.least_days} to "
            f"{count_text(keeping.most_days, 'day')}."
            for keeping in kept
        ),
        "A bag keeps as long as what keeps shortest in it, and by the lower number.",
        "These rules are for kitchens that cook; read `feed` for `cook`.",
    )
    return Points("rules", "How the days are counted", items, (THAWING_SOURCE, *_sources(kept)))


def _sources(kept: Sequence[Keeping]) -> tuple[str, ...]:
    """The sources of the keeping times, each once."""
    return tuple(dict.fromkeys(keeping.source for keeping in kept if keeping.source))
