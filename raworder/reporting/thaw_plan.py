"""The thaw plan: which bags move from freezer to refrigerator on which morning, and by when to feed them."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType

from raworder.reporting.bag_book import MOST_BAGS_LISTED, BagBook, bags_text, numbers_text
from raworder.reporting.words import count_text, days_text, group_alike, join_names, paper
from raworder.trade.batch_facts import THAWING_SOURCE, THAWS_A_DAY_G, BagWay, Journey
from raworder.trade.cuts import FREEZE_FIRST
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
THAWS_IN_WATER = MappingProxyType({"kg": ("450 g", "1.4 to 1.8 kg"), "lb": ("1 lb", "3 to 4 lb")})
"""The weights of bags that thaw in cold water in an hour, and in two to three, by the unit that people read."""

FEW_BAGS = 6
"""At most this many bags are listed by number at a glance; more are given by the day on which they are fed."""

ALL, OTHERS = "all of that day", "all others of that day"
"""What replaces a long list of bags where there are many dogs."""

COLD_WATER_SOURCE = (
    'US extension sheet "Safe thawing practices", which repeats USDA; publisher not verified; for human kitchens'
)


def thaw_plan(book: BagBook) -> Document:
    """What stays fresh, what moves on which morning, what has no time to thaw, and what to do if forgotten."""
    return paper(book.scenario, "thaw_plan", "Thaw plan", _blocks(book))


def _blocks(book: BagBook) -> Iterator[Block]:
    """First what to do on which day, then the rules behind it."""
    journeys = book.journeys
    yield Paragraph(HOW)
    yield from bags_to_keep_back(book, journeys)
    yield from _tables(book, journeys)
    yield Points("forgotten", "Forgot to thaw", _cold_water(book), (COLD_WATER_SOURCE,))
    yield _counting_rules(book)


def _cold_water(book: BagBook) -> tuple[str, ...]:
    """How to thaw a bag that was forgotten."""
    small, large = THAWS_IN_WATER[book.scenario.weight_unit]
    return (
        "Put the closed bag into cold water and change the water every 30 minutes.",
        f"A bag of {small} takes about 1 hour or less, one of {large} takes 2 to 3 hours.",
        "Feed it at once when it has thawed. Do not freeze it again, and never thaw on the counter.",
    )


def forgot_to_thaw(book: BagBook) -> str:
    """The same in one line, for the page on the door."""
    small, _ = THAWS_IN_WATER[book.scenario.weight_unit]
    return (
        f"Forgot to thaw? Put the closed bag into cold water, new every 30 minutes: {small} takes about an hour. Feed "
        "it at once."
    )


def bags_to_keep_back(book: BagBook, journeys: Sequence[Journey]) -> tuple[Points, ...]:
    """The bags that cannot be thawed in time or are not frozen for long enough; nothing where there are none."""
    warnings = (*_warnings(journeys), *_late_to_freeze(book, journeys))
    return (Points("mind", "Keep these bags back", warnings, _freezing_sources(journeys)),) if warnings else ()


def _tables(book: BagBook, journeys: Sequence[Journey]) -> Iterator[Table]:
    """The bags that stay fresh, and those that are thawed."""
    fresh = [journey for journey in journeys if journey.way is BagWay.REFRIGERATOR]
    frozen = [journey for journey in journeys if journey.way is BagWay.FREEZER]
    if fresh:
        title = "Straight to the refrigerator when they are filled"
        note = "If the meat was bought or thawed before filling day, count from then."
        yield Table("moves", title, COLUMNS, _move_rows(book, fresh), note=note, tick=True)
    if frozen:
        title = "From the freezer to the refrigerator, in the morning"
        yield Table("moves", title, COLUMNS, _move_rows(book, frozen), tick=True)


@dataclass(frozen=True, slots=True)
class Move:
    """Bags that go into the refrigerator on one day, are fed on one day and keep equally long.

    `all_of_day` replaces a long list of bags where there are many dogs, as in `all of that day`; else it is empty.
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


def moves(book: BagBook, journeys: Sequence[Journey]) -> Iterator[Move]:
    """The moves in order of days, each of all bags that move together, are fed together and keep equally long."""
    bags_on_day = Counter(bag.day for bag in book.plan.bags)
    for together in sorted(group_alike(journeys, _move_and_feed_days), key=lambda group: _move_and_feed_days(group[0])):
        goes_on, fed_on = _move_and_feed_days(together[0])
        whole_day = book.groups_dogs and len(together) == bags_on_day[fed_on]
        groups = sorted(group_alike(together, lambda journey: journey.feed_by), key=lambda group: group[0].feed_by)
        # The largest group comes last, so that it can be called all others of the day.
        largest = max(groups, key=len)
        for group in [*(group for group in groups if group is not largest), largest] if whole_day else groups:
            all_of_day = (ALL if len(groups) == 1 else OTHERS) if whole_day and group is largest else ""
            numbers, grams = tuple(journey.number for journey in group), sum(journey.bag.grams for journey in group)
            yield Move(goes_on, fed_on, group[0].feed_by, numbers, grams, all_of_day)


def _move_rows(book: BagBook, journeys: Sequence[Journey]) -> tuple[tuple[Cell, ...], ...]:
    """The moves of some bags as rows of the thaw plan."""
    return tuple(move.row for move in moves(book, journeys))


def _move_and_feed_days(journey: Journey) -> tuple[date, date]:
    """The day a bag goes into the refrigerator, and the day it is fed."""
    return (journey.moves_on or journey.filled_on, journey.bag.day)


def _warnings(journeys: Sequence[Journey]) -> Iterator[str]:
    """Warnings about bags that cannot be thawed in time, and those that are not frozen for long enough."""
    late = [journey for journey in journeys if journey.way is BagWay.NO_TIME and not journey.freeze_first]
    for group in group_alike(late, lambda journey: journey.thaw_days):
        takes = count_text(group[0].thaw_days, "day")
        yield (
            f"No time to freeze and thaw {_bags_or_count(group)}: thawing takes {takes}. "
            "Make smaller bags, or fill them the day before they are fed."
        )
    for key in FREEZE_FIRST:
        group = _frozen_too_briefly(journeys, key)
        if group:
            yield _freeze_first_text(key, group)


def _late_to_freeze(book: BagBook, journeys: Sequence[Journey]) -> Iterator[str]:
    """A warning about bags whose turn to freeze comes no earlier than their morning to thaw."""
    frozen_on = book.facts.cold.frozen_on()
    slow = [
        journey
        for journey in journeys
        if journey.moves_on and frozen_on.get(journey.number, date.min) >= journey.moves_on
    ]
    if slow:
        bags = _bags_or_count(slow).capitalize()
        yield f"{bags}: not frozen by their morning below, see the freezing sheet before you fill."


def _freeze_first_text(key: str, group: Sequence[Journey]) -> str:
    """What to do with bags whose contents must be frozen for longer than the bags are."""
    first = FREEZE_FIRST[key]
    cuts = dict.fromkeys(cut for journey in group for cut, caution in journey.freeze_first if caution == key)
    advice = (
        f"{_bags_or_count(group).capitalize()}: freeze {join_names(tuple(cuts))} {first.how_cold} for "
        f"{count_text(first.days, 'day')} before feeding; these bags are not frozen for so long. "
        "Fill them only with what has been frozen so long already, or leave it out."
    )
    stay = [
        journey
        for journey in group
        if journey.way is BagWay.NO_TIME and (journey.bag.day - journey.filled_on).days <= journey.keeps_days
    ]
    return f"{advice} Then {_bags_or_count(stay)} can go straight to the refrigerator." if stay else advice


def _frozen_too_briefly(journeys: Sequence[Journey], key: str) -> tuple[Journey, ...]:
    """The bags that are frozen for fewer days than a caution asks."""
    days = FREEZE_FIRST[key].days
    return tuple(
        journey
        for journey in journeys
        if journey.frozen_days < days and any(caution == key for _, caution in journey.freeze_first)
    )


def _bags_or_count(group: Sequence[Journey]) -> str:
    """The bags by number, or how many they are."""
    many = len(group) > MOST_BAGS_LISTED
    return count_text(len(group), "bag") if many else bags_text(journey.number for journey in group)


def _freezing_sources(journeys: Sequence[Journey]) -> tuple[str, ...]:
    """The sources of the freezing times that some bags fall short of."""
    return tuple(first.source for key, first in FREEZE_FIRST.items() if _frozen_too_briefly(journeys, key))


def _counting_rules(book: BagBook) -> Points:
    """The rules by which the days were counted, and where they come from."""
    names = dict.fromkeys(
        cut.name for bag in book.plan.bags for filling in bag.fillings for cut in book.cuts_in(filling.cut)
    )
    keeping_times = tuple(dict.fromkeys(book.facts.cold.keeping[name] for name in names))
    a_day = book.about_grams(THAWS_A_DAY_G)
    items = (
        f"Thawing in the refrigerator takes at least a day for every {a_day} of the largest bag.",
        *(
            f"In the refrigerator, fresh or thawed, {keeping.what}: {keeping.least_days} to "
            f"{count_text(keeping.most_days, 'day')}."
            for keeping in keeping_times
        ),
        "A bag keeps as long as what keeps shortest in it, by the lower number.",
        "The sources are about food that is cooked; here it is fed raw.",
    )
    return Points("rules", "How the days are counted", items, (THAWING_SOURCE, *_keeping_sources(keeping_times)))


def _keeping_sources(keeping_times: Sequence[Keeping]) -> tuple[str, ...]:
    """The sources of the keeping times, each once."""
    return tuple(dict.fromkeys(keeping.source for keeping in keeping_times if keeping.source))


def bags_or_days(book: BagBook, group: Sequence[Journey]) -> str:
    """A few bags by number: `1 and 15`; of more, the days whose bags these all are, and the others by number."""
    if len(group) <= FEW_BAGS:
        return join_names([str(journey.number) for journey in group])
    on_day, here = Counter(bag.bag.day for bag in book.numbered), Counter(journey.bag.day for journey in group)
    whole = sorted(day for day, bags in here.items() if bags == on_day[day])
    others = [journey.number for journey in group if journey.bag.day not in whole]
    texts = [days_text(first, last) for first, last in _runs(whole)]
    return join_names(
        [*([f"all for {join_names(texts)}"] if texts else []), *([numbers_text(others)] if others else [])]
    )


def _runs(days: Sequence[date]) -> list[tuple[date, date]]:
    """Days in runs of those that follow each other, by first and last."""
    runs: list[tuple[date, date]] = []
    for day in days:
        if runs and day - runs[-1][1] == timedelta(1):
            runs[-1] = (runs[-1][0], day)
        else:
            runs.append((day, day))
    return runs
