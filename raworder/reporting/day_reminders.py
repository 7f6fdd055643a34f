"""What happens to bags on one day of a batch: which are fed, which move to the refrigerator, which are frozen."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from raworder.document import Cell
from raworder.reporting.bag_book import BagBook, by_dog
from raworder.reporting.bag_words import MANY, bags_text
from raworder.reporting.books import alike
from raworder.reporting.freezing_lots import Lot
from raworder.reporting.full_days import bags_too_full
from raworder.reporting.given_beside import doses_text
from raworder.reporting.thaw_plan import ALL, HOW, OTHERS, moves
from raworder.reporting.thawing import Journey, Way
from raworder.reporting.words import counted, listed
from raworder.units import day_text

MOST_IN_SHORT = 6
"""More bags than this are counted in the few words that a calendar shows of a day."""


class Kind(StrEnum):
    """What a reminder is about; a calendar can show each in a colour of its own."""

    PREPARING = "preparing"
    FILLING = "filling"
    FEEDING = "feeding"
    ORDERING = "ordering"


@dataclass(frozen=True, slots=True)
class Reminder:
    """What to do on a day, in a few words, and how. `cautions` are what must be minded while it is done."""

    day: date
    kind: Kind
    to_do: str
    details: tuple[str, ...]
    cautions: tuple[str, ...] = ()

    def uid(self, batch: str) -> str:
        """The same for the same thing to do, whatever the plan says of it, so that a calendar takes the later one.

        There is one filling and one order for each batch, so these may move to another day.
        """
        whole_batch = self.kind is not Kind.FEEDING
        return f"raworder-{batch}-{self.kind}" if whole_batch else f"raworder-{batch}-{self.kind}-{self.day:%Y%m%d}"


def days_of(book: BagBook, every: Sequence[Journey], lots: Mapping[date, Lot]) -> Iterator[Reminder]:
    """The days on which bags are fed, moved or, after the day of filling, frozen, in order."""
    fed = {group[0].bag.day: group for group in alike(every, lambda one: one.bag.day)}
    full = bags_too_full(book)
    moved = {group[0].moves_on: group for group in alike(every, lambda one: one.moves_on)}
    later = {day: lot for day, lot in lots.items() if day > book.scenario.portioned_on}
    for day in sorted({*fed, *later, *(day for day in moved if day)}):
        made = _doing(book, day, (fed.get(day, ()), moved.get(day, ()), later.get(day)))
        much = tuple(f"Bag {number}: {what}." for number, what in _of_day(full, fed.get(day, ())))
        yield replace(made, cautions=(*much, *made.cautions)) if much else made


def _of_day(full: Mapping[int, str], fed: Sequence[Journey]) -> Iterator[tuple[int, str]]:
    """What there is much of in the bags that are fed on a day."""
    return ((one.number, full[one.number]) for one in fed if one.number in full)


def _doing(book: BagBook, day: date, what: tuple[Sequence[Journey], Sequence[Journey], Lot | None]) -> Reminder:
    """All that is done on a day."""
    fed, moved, lot = what
    short = [
        f"feed {some_bags([one.number for one in fed], MOST_IN_SHORT)}" if fed else "",
        f"thaw {some_bags([one.number for one in moved], MOST_IN_SHORT)}" if moved else "",
        f"freeze {some_bags([one.number for one in lot.loads if one.number], MOST_IN_SHORT)}" if lot else "",
    ]
    in_short = "; ".join(filter(None, short))
    details = (
        *_fed(book, fed),
        *(moving_text(row) for row in moves(book, moved)),
        *([freezing_text(book, lot)] if lot else ()),
    )
    cautions = (*_to_mind(fed), *([HOW] if moved else []))
    return Reminder(day, Kind.FEEDING, in_short[:1].upper() + in_short[1:], details, cautions)


def _fed(book: BagBook, fed: Sequence[Journey]) -> Iterator[str]:
    """Who is fed what today, and what cannot wait."""
    if book.is_many:
        weight = book.grams(sum(one.bag.grams for one in fed))
        yield f"Feed {counted(len(fed), 'bag')}, {weight}: the feeding sheet tells which dog gets which."
    else:
        yield from _dogs_fed(book, {one.number for one in fed})
    last = [one.number for one in fed if one.way is not Way.NO_TIME and one.feed_by <= one.bag.day]
    if last:
        yield f"Keeps no longer than today: {some_bags(last)}."


def _dogs_fed(book: BagBook, today: set[int]) -> Iterator[str]:
    """Each dog with its bags of a day, and what it is given beside them."""
    bags = ((dog, [one.number for one in numbered if one.number in today]) for dog, numbered in by_dog(book))
    fed = [(dog, numbers) for dog, numbers in bags if numbers]
    if fed:
        yield f"Feed {', '.join(f'{dog.name} {bags_text(numbers)}' for dog, numbers in fed)}."
    for dog, _ in fed:
        doses = doses_text(book.scenario, book.plan, dog.name)
        if doses:
            yield f"Beside it {dog.name}: {listed(doses)}."


def _to_mind(fed: Sequence[Journey]) -> Iterator[str]:
    """What the thaw plan warns of in the bags fed on a day."""
    raw = [one for one in fed if one.frozen_days < one.freeze_days]
    if raw:
        cuts = listed(sorted({cut for one in raw for cut, _ in one.freeze_first}))
        bags = some_bags([one.number for one in raw])
        yield f"Mind {bags}: {cuts} must be frozen for long enough first. Read the thaw plan before you feed."
    late = [one.number for one in fed if one.way is Way.NO_TIME and not one.freeze_first]
    if late:
        yield f"Mind {some_bags(late)}: no time to freeze and thaw. Read the thaw plan."


def moving_text(row: Sequence[Cell], *, day_of_filling: bool = False) -> str:
    """A row of the thaw plan as a sentence."""
    goes_on, bags, count, _, fed_on, feed_by, _ = row
    assert isinstance(goes_on, date)
    assert isinstance(fed_on, date)
    assert isinstance(feed_by, date)
    assert isinstance(count, int)
    many = bags in {ALL, OTHERS} or count > MANY
    told = counted(count, "bag") if many else f"{'bag' if count == 1 else 'bags'} {bags}"
    way = "straight" if day_of_filling else "from the freezer"
    when = "tomorrow" if fed_on - goes_on == timedelta(1) else f"on {day_text(fed_on)}"
    return f"Move {told} {way} to the refrigerator: fed {when}, {day_text(feed_by)} at the latest."


def freezing_text(book: BagBook, lot: Lot) -> str:
    """What is frozen on a day."""
    numbers = [one.number for one in lot.loads if one.number]
    rests = [f"{book.grams(one.grams)} {one.left}" for one in lot.loads if one.left]
    named = [*([some_bags(numbers)] if numbers else []), *rests]
    return f"Freeze today {listed(named)}, {book.grams(lot.grams)} in all: the freezing sheet tells which."


def some_bags(numbers: Iterable[int], most: int = MANY) -> str:
    """Bags by number, or how many they are."""
    known = tuple(numbers)
    return bags_text(known) if len(known) <= most else counted(len(known), "bag")
