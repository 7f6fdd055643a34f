"""Reminders for a calendar: what to do on each day of a batch, from filling bags to ordering again."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum
from hashlib import sha256

from raworder.reporting.bag_book import MOST_BAGS_LISTED, BagBook, NumberedBag, bags_by_dog, bags_text
from raworder.reporting.balanced_weeks import bags_too_full
from raworder.reporting.freezing import slow_freezing_warnings
from raworder.reporting.mise_en_place import bought_leftovers_text, half_thaw_evening, lots_to_thaw
from raworder.reporting.nutrition_words import doses_text
from raworder.reporting.own_freezer import AtHome, fetching_sentences, own_freezer_text
from raworder.reporting.thaw_plan import HOW, Move, bags_to_keep_back, moves
from raworder.reporting.words import count_text, dogs_text, group_alike, join_names, paper
from raworder.trade.as_fed import left
from raworder.trade.batch_facts import BagWay, Journey, Lot
from raworder.trade.document import Agenda, Block, Cell, Column, Document, Event, Holds, Paragraph
from raworder.trade.fingerprint import batch_number, stable_batch_number
from raworder.trade.units import day_text

OWNER_SIGNS = 8
"""Signs of an owner's name in the names of events: enough that two owners of one order never share them by chance."""

MOST_IN_SHORT = 6
"""More bags than this are counted in the few words that a calendar shows of a day."""


class ReminderKind(StrEnum):
    """What a reminder is about; a calendar can show each in a colour of its own."""

    PREPARING = "preparing"
    FILLING = "filling"
    FETCHING = "fetching"
    FEEDING = "feeding"
    ORDERING = "ordering"


@dataclass(frozen=True, slots=True)
class Reminder:
    """What to do on a day, in a few words, and how; `cautions` say what to take care of while doing it."""

    day: date
    kind: ReminderKind
    to_do: str
    details: tuple[str, ...]
    cautions: tuple[str, ...] = ()

    def uid(self, batch: str) -> str:
        """A name that stays the same when the plan changes, so that a calendar replaces the earlier event.

        Filling, fetching and ordering happen once a batch, so their names hold no day and they may move to another.
        """
        once_a_batch = self.kind is not ReminderKind.FEEDING
        return f"raworder-{batch}-{self.kind}" if once_a_batch else f"raworder-{batch}-{self.kind}-{self.day:%Y%m%d}"


def daily_reminders(book: BagBook, journeys: Sequence[Journey], lots: Mapping[date, Lot]) -> Iterator[Reminder]:
    """A reminder for each day on which bags are fed, moved or, after the day of filling, frozen, in order."""
    # One reminder a day: in the morning a person asks what to feed and what to move, and two events would go unread.
    fed = {group[0].bag.day: group for group in group_alike(journeys, lambda journey: journey.bag.day)}
    too_full = bags_too_full(book)
    moved = {group[0].moves_on: group for group in group_alike(journeys, lambda journey: journey.moves_on)}
    later = {day: lot for day, lot in lots.items() if day > book.scenario.portioned_on}
    thaws = sorted(day for day in moved if day)
    for day in sorted({*fed, *later, *thaws}):
        reminder = _day_reminder(book, day, (fed.get(day, ()), moved.get(day, ()), later.get(day)))
        warnings = tuple(f"Bag {number}: {what}." for number, what in _full_bags(too_full, fed.get(day, ())))
        how = (HOW,) if day in thaws[:1] else ()  # told once: on every day nobody would read it
        yield replace(reminder, cautions=(*warnings, *reminder.cautions, *how))


def _full_bags(too_full: Mapping[int, str], fed: Sequence[Journey]) -> Iterator[tuple[int, str]]:
    """The numbers of the bags fed on a day that hold more of something than is usual, each with its warning."""
    return ((journey.number, too_full[journey.number]) for journey in fed if journey.number in too_full)


def _day_reminder(book: BagBook, day: date, bags: tuple[Sequence[Journey], Sequence[Journey], Lot | None]) -> Reminder:
    """The reminder of a day: the bags fed and moved on it, and the lot that is frozen."""
    fed, moved, lot = bags
    phrases = [
        f"feed {bags_or_count([journey.number for journey in fed], MOST_IN_SHORT)}" if fed else "",
        f"thaw {bags_or_count([journey.number for journey in moved], MOST_IN_SHORT)}" if moved else "",
        f"freeze {bags_or_count([load.number for load in lot.loads if load.number], MOST_IN_SHORT)}" if lot else "",
    ]
    in_short = "; ".join(filter(None, phrases))
    details = (
        *_feeding_details(book, fed),
        *(moving_text(move) for move in moves(book, moved)),
        *([freezing_text(book, lot)] if lot else ()),
    )
    to_do = in_short[:1].upper() + in_short[1:]
    return Reminder(day, ReminderKind.FEEDING, to_do, details, tuple(_feeding_cautions(fed)))


def _feeding_details(book: BagBook, fed: Sequence[Journey]) -> Iterator[str]:
    """Which bags to feed to which dog, and which bags keep no longer."""
    if book.groups_dogs:
        weight = book.about_grams(sum(journey.bag.grams for journey in fed))
        yield f"Feed {count_text(len(fed), 'bag')}, {weight}: the kennel pages say which dog gets which."
    else:
        yield from _feeding_by_dog(book, {journey.number for journey in fed})
    last = [
        journey.number for journey in fed if journey.way is not BagWay.NO_TIME and journey.feed_by <= journey.bag.day
    ]
    if last:
        yield f"Feed today or throw away: {bags_or_count(last)}."


def _feeding_by_dog(book: BagBook, today: set[int]) -> Iterator[str]:
    """Each dog with its bags of a day, and the supplements given with them."""
    bags = ((dog, [bag for bag in numbered if bag.number in today]) for dog, numbered in bags_by_dog(book))
    fed = [(dog, of_dog) for dog, of_dog in bags if of_dog]
    if fed:
        yield f"Feed {', '.join(_dog_and_bags(book, dog.name, of_dog) for dog, of_dog in fed)}."
    for dog, _ in fed:
        doses = doses_text(book.scenario, book.plan, dog.name)
        if doses:
            yield f"Give {dog.name} beside it: {join_names(doses)}."


def _dog_and_bags(book: BagBook, dog: str, bags: Sequence[NumberedBag]) -> str:
    """A dog with its bags of a day, each with its kind and weight: `Maple bag 1 A (555 g)`."""
    told = join_names([f"{bag.number} {bag.bag.kind} ({book.grams(book.weight_g(bag.bag))})" for bag in bags])
    return f"{dog} {'bag' if len(bags) == 1 else 'bags'} {told}"


def _feeding_cautions(fed: Sequence[Journey]) -> Iterator[str]:
    """The warnings of the thaw plan about the bags fed on a day."""
    not_frozen_enough = [journey for journey in fed if journey.frozen_days < journey.freeze_days]
    if not_frozen_enough:
        cuts = join_names(sorted({cut for journey in not_frozen_enough for cut, _ in journey.freeze_first}))
        bags = bags_or_count([journey.number for journey in not_frozen_enough])
        yield f"Do not feed {bags} yet: {cuts} must be frozen for longer first. The thaw plan says how long."
    late = [journey.number for journey in fed if journey.way is BagWay.NO_TIME and not journey.freeze_first]
    if late:
        yield f"No time to freeze and thaw {bags_or_count(late)}: the thaw plan says what to do."


def moving_text(move: Move, *, day_of_filling: bool = False) -> str:
    """A sentence that says which bags to move to the refrigerator, and when they are fed."""
    count = len(move.numbers)
    bags = count_text(count, "bag") if move.all_of_day or count > MOST_BAGS_LISTED else bags_text(move.numbers)
    way = "straight" if day_of_filling else "from the freezer"
    when = "tomorrow" if move.fed_on - move.goes_on == timedelta(1) else f"on {day_text(move.fed_on)}"
    return f"Move {bags} {way} to the refrigerator: fed {when}, {day_text(move.feed_by)} at the latest."


def freezing_text(book: BagBook, lot: Lot) -> str:
    """A sentence that says what to freeze on a day."""
    numbers = [load.number for load in lot.loads if load.number]
    left_over = [f"{book.about_grams(load.grams)} {load.left}" for load in lot.loads if load.left]
    names = [*([bags_or_count(numbers)] if numbers else []), *left_over]
    return f"Freeze today {join_names(names)}, {book.about_grams(lot.grams)} in all: the freezing sheet says which."


def bags_or_count(numbers: Iterable[int], most: int = MOST_BAGS_LISTED) -> str:
    """Bags by number, or how many they are."""
    listed = tuple(numbers)
    return bags_text(listed) if len(listed) <= most else count_text(len(listed), "bag")


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

On the paper the cautions stand above the table; a calendar needs them in the events, as it shows one day by itself.
"""


def reminders(book: BagBook, home: AtHome | None = None) -> Document:
    """What to do each day, from the day before filling to the last day fed, and when to order again.

    With `home` what its owner does, from fetching the bags on; the book is then of the owner's dogs.
    """
    whose = home.owner.name if home else book.scenario.title
    return paper(book.scenario, "reminders", f"Calendar: {whose}", _blocks(book, home))


def _blocks(book: BagBook, home: AtHome | None) -> Iterator[Block]:
    """What to do on all days, then the days one by one."""
    yield Paragraph(HOW)
    yield from bags_to_keep_back(book, book.journeys)
    # The number from before the shop, so that a calendar replaces the events of the first plan.
    batch = stable_batch_number(book.scenario)
    uids = f"{batch}-{_owner_sign(home)}" if home else batch
    found = _owners_reminders(book, home) if home else _all_reminders(book, book.journeys)
    title = f"Batch {batch_number(book.scenario)}, day by day"
    yield agenda(title, [_event(book, reminder, uids) for reminder in found])


def _owner_sign(home: AtHome) -> str:
    """Signs for an owner in the names of events, the same on every machine: both calendars may be in one phone."""
    return sha256(home.owner.name.encode()).hexdigest()[:OWNER_SIGNS]


def agenda(title: str, events: Sequence[Event]) -> Agenda:
    """The events as a table for people, and as they are for a calendar."""
    return Agenda("reminders", title, COLUMNS, tuple(map(_event_row, events)), tick=True, events=tuple(events))


def _event_row(event: Event) -> tuple[Cell, ...]:
    """An event as a row."""
    return (event.day, event.to_do, event.details, event.cautions, event.kind, event.uid, event.filled_on)


def _event(book: BagBook, reminder: Reminder, batch: str) -> Event:
    """A reminder as an event of a calendar."""
    details, cautions = "\n".join(reminder.details), "\n".join(reminder.cautions)
    filled_on = book.scenario.portioned_on
    return Event(reminder.day, reminder.to_do, details, cautions, reminder.kind.value, reminder.uid(batch), filled_on)


def _all_reminders(book: BagBook, journeys: Sequence[Journey]) -> list[Reminder]:
    """Every reminder in order of days; on one day bags are filled before they are fed."""
    lots = {lot.day: lot for lot in book.facts.cold.lots}
    days = daily_reminders(book, journeys, lots)
    in_order_of_work = [
        _preparing_reminder(book),
        _filling_reminder(book, journeys, lots),
        *days,
        _ordering_reminder(book),
    ]
    return sorted(in_order_of_work, key=lambda reminder: reminder.day)  # keeps that order within a day


def _owners_reminders(book: BagBook, home: AtHome) -> list[Reminder]:
    """What an owner does in order of days: fetch the bags, move and feed them, and say what is needed next."""
    details, warning = tuple(fetching_sentences(book.scenario, home)), own_freezer_text(book.scenario, home, "Your")
    fetching = Reminder(home.fetched_on, ReminderKind.FETCHING, "Fetch the bags", details, warning or ())
    days = [one for one in daily_reminders(book, home.journeys, {}) if one.day >= home.fetched_on]
    ordering = _ordering_reminder(book)
    told = replace(ordering, to_do="Say what you need for the next batch", details=ordering.details[:-1])
    return sorted([fetching, *days, told], key=lambda reminder: reminder.day)


def _preparing_reminder(book: BagBook) -> Reminder:
    """The reminder of the day before the bags are filled: have all at home, and half-thaw what is frozen."""
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


def _filling_reminder(book: BagBook, journeys: Sequence[Journey], lots: Mapping[date, Lot]) -> Reminder:
    """The reminder to fill the bags and put them away."""
    day, count = book.scenario.portioned_on, len(book.plan.bags)
    weight = book.about_grams(sum(bag.grams for bag in book.plan.bags))
    details = (
        f"{count_text(count, 'bag')}, {weight}. The kitchen page says what goes into which.",
        *_storing_details(book, journeys, lots.get(day)),
    )
    kept_back = (item for points in bags_to_keep_back(book, journeys) for item in points.items)
    cautions = (*slow_freezing_warnings(tuple(lots.values())), *kept_back)
    return Reminder(day, ReminderKind.FILLING, f"Fill {count_text(count, 'bag')}", details, cautions)


def _storing_details(book: BagBook, journeys: Sequence[Journey], lot: Lot | None) -> Iterator[str]:
    """Sentences that say where the bags go when they are filled."""
    for move in moves(book, [journey for journey in journeys if journey.way is BagWay.REFRIGERATOR]):
        yield moving_text(move, day_of_filling=True)
    if lot:
        yield freezing_text(book, lot)
    elif any(journey.way is BagWay.FREEZER for journey in journeys):
        yield "Put the bags that are thawed on a later day into the freezer, what is fed last first."
    left_over = bought_leftovers_text(book)
    if left_over and not lot:
        yield f"Freeze what is left over: {left_over}."


def _ordering_reminder(book: BagBook) -> Reminder:
    """The reminder to order the next batch, on the last day on which that is in time."""
    batch, until, left_over = book.scenario.batch, _last_days_fed(book), _leftovers_text(book)
    details = (
        *(
            f"Enough until {day_text(day)} for {dogs_text([dog for dog in until if until[dog] == day], until)}."
            for day in sorted(set(until.values()))
        ),
        f"The bags of the next batch are filled on {day_text(batch.ends)} at the latest.",
        f"Left over then, to be used next: {left_over}. Write it under `on_hand`."
        if left_over
        else "Nothing that could be fed is left over then.",
    )
    return Reminder(batch.order_by, ReminderKind.ORDERING, "Order for the next batch", details)


def _last_days_fed(book: BagBook) -> dict[str, date]:
    """The last day for which each dog has a bag."""
    last_days: dict[str, date] = {}
    for bag in (numbered.bag for numbered in book.numbered):
        last_days[bag.dog] = max(bag.day, last_days.get(bag.dog, bag.day))
    return last_days


def _leftovers_text(book: BagBook) -> str:
    """What is left over, cut by cut, without scraps that no bag could hold."""
    least_g = book.scenario.portioning.least_portion_g
    return join_names(
        [
            f"{book.about_grams(leftover.total_g)} {leftover.cut}"
            for leftover in left(book.plan)
            if leftover.total_g >= least_g
        ]
    )
