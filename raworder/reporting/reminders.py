"""Reminders: what to do on which day of a batch, for a calendar; one a day, as a person looks at it in the morning."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from raworder.reporting.bag_book import MOST_BAGS_LISTED, BagBook, bags_by_dog, bags_text
from raworder.reporting.balanced_weeks import bags_too_full
from raworder.reporting.freezing import slow_freezing_warnings
from raworder.reporting.mise_en_place import half_thaw_evening, lots_to_thaw
from raworder.reporting.nutrition_words import doses_text
from raworder.reporting.thaw_plan import HOW, Move, bags_to_keep_back, moves
from raworder.reporting.words import count_text, dogs_text, group_alike, join_names, paper
from raworder.trade.as_fed import left
from raworder.trade.batch_facts import BagWay, Journey, Lot
from raworder.trade.document import Agenda, Block, Cell, Column, Document, Event, Holds, Paragraph
from raworder.trade.fingerprint import batch_number, stable_batch_number
from raworder.trade.units import day_text

MOST_IN_SHORT = 6
"""More bags than this are counted in the few words that a calendar shows of a day."""


class ReminderKind(StrEnum):
    """What a reminder is about; a calendar can show each in a colour of its own."""

    PREPARING = "preparing"
    FILLING = "filling"
    FEEDING = "feeding"
    ORDERING = "ordering"


@dataclass(frozen=True, slots=True)
class Reminder:
    """What to do on a day, in a few words, and how. `cautions` are what must be minded while it is done."""

    day: date
    kind: ReminderKind
    to_do: str
    details: tuple[str, ...]
    cautions: tuple[str, ...] = ()

    def uid(self, batch: str) -> str:
        """The same for the same thing to do, whatever the plan says of it, so that a calendar takes the later one.

        There is one filling and one order for each batch, so these may move to another day.
        """
        whole_batch = self.kind is not ReminderKind.FEEDING
        return f"raworder-{batch}-{self.kind}" if whole_batch else f"raworder-{batch}-{self.kind}-{self.day:%Y%m%d}"


def daily_reminders(book: BagBook, every: Sequence[Journey], lots: Mapping[date, Lot]) -> Iterator[Reminder]:
    """The days on which bags are fed, moved or, after the day of filling, frozen, in order."""
    fed = {group[0].bag.day: group for group in group_alike(every, lambda journey: journey.bag.day)}
    full = bags_too_full(book)
    moved = {group[0].moves_on: group for group in group_alike(every, lambda journey: journey.moves_on)}
    later = {day: lot for day, lot in lots.items() if day > book.scenario.portioned_on}
    for day in sorted({*fed, *later, *(day for day in moved if day)}):
        made = _doing(book, day, (fed.get(day, ()), moved.get(day, ()), later.get(day)))
        much = tuple(f"Bag {number}: {what}." for number, what in _of_day(full, fed.get(day, ())))
        yield replace(made, cautions=(*much, *made.cautions)) if much else made


def _of_day(full: Mapping[int, str], fed: Sequence[Journey]) -> Iterator[tuple[int, str]]:
    """What there is much of in the bags that are fed on a day."""
    return ((journey.number, full[journey.number]) for journey in fed if journey.number in full)


def _doing(book: BagBook, day: date, what: tuple[Sequence[Journey], Sequence[Journey], Lot | None]) -> Reminder:
    """All that is done on a day."""
    fed, moved, lot = what
    short = [
        f"feed {bags_or_count([journey.number for journey in fed], MOST_IN_SHORT)}" if fed else "",
        f"thaw {bags_or_count([journey.number for journey in moved], MOST_IN_SHORT)}" if moved else "",
        f"freeze {bags_or_count([load.number for load in lot.loads if load.number], MOST_IN_SHORT)}" if lot else "",
    ]
    in_short = "; ".join(filter(None, short))
    details = (
        *_fed(book, fed),
        *(moving_text(move) for move in moves(book, moved)),
        *([freezing_text(book, lot)] if lot else ()),
    )
    cautions = (*_to_mind(fed), *([HOW] if moved else []))
    return Reminder(day, ReminderKind.FEEDING, in_short[:1].upper() + in_short[1:], details, cautions)


def _fed(book: BagBook, fed: Sequence[Journey]) -> Iterator[str]:
    """Who is fed what today, and what cannot wait."""
    if book.groups_dogs:
        weight = book.grams(sum(journey.bag.grams for journey in fed))
        yield f"Feed {count_text(len(fed), 'bag')}, {weight}: the feeding sheet tells which dog gets which."
    else:
        yield from _dogs_fed(book, {journey.number for journey in fed})
    last = [
        journey.number for journey in fed if journey.way is not BagWay.NO_TIME and journey.feed_by <= journey.bag.day
    ]
    if last:
        yield f"Keeps no longer than today: {bags_or_count(last)}."


def _dogs_fed(book: BagBook, today: set[int]) -> Iterator[str]:
    """Each dog with its bags of a day, and what it is given beside them."""
    bags = ((dog, [bag.number for bag in numbered if bag.number in today]) for dog, numbered in bags_by_dog(book))
    fed = [(dog, numbers) for dog, numbers in bags if numbers]
    if fed:
        yield f"Feed {', '.join(f'{dog.name} {bags_text(numbers)}' for dog, numbers in fed)}."
    for dog, _ in fed:
        doses = doses_text(book.scenario, book.plan, dog.name)
        if doses:
            yield f"Beside it {dog.name}: {join_names(doses)}."


def _to_mind(fed: Sequence[Journey]) -> Iterator[str]:
    """What the thaw plan warns of in the bags fed on a day."""
    raw = [journey for journey in fed if journey.frozen_days < journey.freeze_days]
    if raw:
        cuts = join_names(sorted({cut for journey in raw for cut, _ in journey.freeze_first}))
        bags = bags_or_count([journey.number for journey in raw])
        yield f"Mind {bags}: {cuts} must be frozen for long enough first. Read the thaw plan before you feed."
    late = [journey.number for journey in fed if journey.way is BagWay.NO_TIME and not journey.freeze_first]
    if late:
        yield f"Mind {bags_or_count(late)}: no time to freeze and thaw. Read the thaw plan."


def moving_text(move: Move, *, day_of_filling: bool = False) -> str:
    """A move to the refrigerator as a sentence."""
    count = len(move.numbers)
    bags = count_text(count, "bag") if move.all_of_day or count > MOST_BAGS_LISTED else bags_text(move.numbers)
    way = "straight" if day_of_filling else "from the freezer"
    when = "tomorrow" if move.fed_on - move.goes_on == timedelta(1) else f"on {day_text(move.fed_on)}"
    return f"Move {bags} {way} to the refrigerator: fed {when}, {day_text(move.feed_by)} at the latest."


def freezing_text(book: BagBook, lot: Lot) -> str:
    """What is frozen on a day."""
    numbers = [load.number for load in lot.loads if load.number]
    rests = [f"{book.grams(load.grams)} {load.left}" for load in lot.loads if load.left]
    named = [*([bags_or_count(numbers)] if numbers else []), *rests]
    return f"Freeze today {join_names(named)}, {book.grams(lot.grams)} in all: the freezing sheet tells which."


def bags_or_count(numbers: Iterable[int], most: int = MOST_BAGS_LISTED) -> str:
    """Bags by number, or how many they are."""
    known = tuple(numbers)
    return bags_text(known) if len(known) <= most else count_text(len(known), "bag")


COLUMNS = (
    Column("day", "On", Holds.DAY),
    Column("to_do", "To do"),
    Column("details", "How"),
    Column("cautions", "Mind", shown=False),
    Column("kind", "Kind", shown=False),
    Column("uid", "UID", shown=False),
    Column("filled_on", "Bags filled on", Holds.DAY, shown=False),
)
"""Details and cautions are sentences, each on a line of its own where there are lines.

The cautions stand above the table for who reads the paper; a calendar shows one day without the paper.
"""


def reminders(book: BagBook) -> Document:
    """What to do on every day from the one before the bags are filled to the last one fed, and when to order again."""
    return paper(book.scenario, "reminders", f"Calendar: {book.scenario.title}", _blocks(book))


def _blocks(book: BagBook) -> Iterator[Block]:
    """What holds for all days, then the days."""
    every = book.facts.cold.journeys
    yield Paragraph(HOW)
    yield from bags_to_keep_back(book, every)
    batch = stable_batch_number(
        book.scenario
    )  # also after the shop, so that a calendar puts these in place of those before
    title = f"Batch {batch_number(book.scenario)}, day by day"
    yield agenda(title, [_event(book, reminder, batch) for reminder in _all(book, every)])


def agenda(title: str, events: Sequence[Event]) -> Agenda:
    """The events as a table for people, and as they are for a calendar."""
    return Agenda("reminders", title, COLUMNS, tuple(map(_row, events)), tick=True, events=tuple(events))


def _row(event: Event) -> tuple[Cell, ...]:
    """An event as a row."""
    return (event.day, event.to_do, event.details, event.cautions, event.kind, event.uid, event.filled_on)


def _event(book: BagBook, reminder: Reminder, batch: str) -> Event:
    """A reminder as an event of a calendar."""
    details, cautions = "\n".join(reminder.details), "\n".join(reminder.cautions)
    filled_on = book.scenario.portioned_on
    return Event(reminder.day, reminder.to_do, details, cautions, reminder.kind.value, reminder.uid(batch), filled_on)


def _all(book: BagBook, every: Sequence[Journey]) -> list[Reminder]:
    """Every reminder in order of days; on one day bags are filled before they are fed."""
    lots = {lot.day: lot for lot in book.facts.cold.lots}
    made = [_preparing(book), _filling(book, every, lots), *daily_reminders(book, every, lots), _ordering(book)]
    return sorted(made, key=lambda reminder: reminder.day)


def _preparing(book: BagBook) -> Reminder:
    """The day before the bags are filled: all is at home by then, and what is frozen is half-thawed overnight."""
    lots = [f"{book.grams(use.used_g)} {lot.cut}" for lot, use in lots_to_thaw(book)]
    bought = bool(book.plan.lines)
    details = (
        "The bags are filled tomorrow.",
        *(("All that was ordered is at home by now.",) if bought else ()),
        *(
            (f"Move from the freezer to the refrigerator this evening, to half-thaw: {join_names(lots)}.",)
            if lots
            else ()
        ),
        *(
            ("What was bought frozen goes to the refrigerator this evening, large blocks a day earlier.",)
            if bought
            else ()
        ),
    )
    to_do = "Have all at home; half-thaw tonight" if bought else "Half-thaw tonight"
    return Reminder(half_thaw_evening(book), ReminderKind.PREPARING, to_do, details)


def _filling(book: BagBook, every: Sequence[Journey], lots: Mapping[date, Lot]) -> Reminder:
    """The day on which the bags are filled."""
    day, count = book.scenario.portioned_on, len(book.plan.bags)
    weight = book.grams(sum(bag.grams for bag in book.plan.bags))
    details = (
        f"{count_text(count, 'bag')}, {weight}. The counter sheet tells what goes into which.",
        *_after_filling(book, every, lots.get(day)),
    )
    minded = (item for points in bags_to_keep_back(book, every) for item in points.items)
    cautions = (*slow_freezing_warnings(tuple(lots.values())), *minded)
    return Reminder(day, ReminderKind.FILLING, f"Fill {count_text(count, 'bag')}", details, cautions)


def _after_filling(book: BagBook, every: Sequence[Journey], lot: Lot | None) -> Iterator[str]:
    """Where the bags go when they are filled."""
    for move in moves(book, [journey for journey in every if journey.way is BagWay.REFRIGERATOR]):
        yield moving_text(move, day_of_filling=True)
    if lot:
        yield freezing_text(book, lot)
    elif any(journey.way is BagWay.FREEZER for journey in every):
        yield "Put the bags that are thawed on a later day into the freezer, what is fed last first."
    rests = _rests(book)
    if rests and not lot:
        yield f"Freeze what is left over: {rests}."


def _ordering(book: BagBook) -> Reminder:
    """The day on which the next batch is ordered at the latest."""
    batch, last, rests = book.scenario.batch, _last_fed(book), _rests(book)
    details = (
        *(
            f"Enough until {day_text(day)} for {dogs_text([dog for dog in last if last[dog] == day], last)}."
            for day in sorted(set(last.values()))
        ),
        f"The bags of the next batch are filled on {day_text(batch.ends)} at the latest.",
        f"Left over then, to be used next: {rests}. Write it under `on_hand`."
        if rests
        else "Nothing that could be fed is left over then.",
    )
    return Reminder(batch.order_by, ReminderKind.ORDERING, "Order for the next batch", details)


def _last_fed(book: BagBook) -> dict[str, date]:
    """The last day for which each dog has a bag."""
    last: dict[str, date] = {}
    for bag in book.plan.bags:
        last[bag.dog] = max(bag.day, last.get(bag.dog, bag.day))
    return last


def _rests(book: BagBook) -> str:
    """What is left over, cut by cut, without scraps that no bag could hold."""
    least_g = book.scenario.portioning.least_portion_g
    return join_names(
        [
            f"{book.grams(leftover.total_g)} {leftover.cut}"
            for leftover in left(book.plan)
            if leftover.total_g >= least_g
        ]
    )
