"""The feeding sheet: day by day which bag goes to which dog, for someone who does not know them."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain

from raworder.reporting.bag_book import BagBook, NumberedBag, avoided_text, numbers_text
from raworder.reporting.balanced_weeks import bags_too_full, full_days
from raworder.reporting.words import group_alike, join_names, paper
from raworder.trade.batch_facts import Journey
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.dogs import Dog

FEW = 4
"""At most this many bags to move are listed by number; more are given by the day on which they are fed."""

BONES = "bones"
NOT_FROZEN_ENOUGH = "see the thaw plan"
AWAY = "away, not fed"
HOW = (
    "One line, one bag. Read the dog's name on the bag, feed it, tick the line. Two people never feed the same line. "
    "Every morning move the bags under `Thaw` from the freezer to the refrigerator."
)
RULES = (
    "Small children, pregnant women, old people and people with weak immunity do not handle raw food or the bowls.",
    "Wash hands, bowls and surfaces with hot water and soap after every feeding.",
    "Stay with a dog while it eats bones. Never cook, bake or warm a bag: cooked bone splinters.",
    "Give nothing else, and never the bag of another dog.",
    "A dog that chokes, vomits again and again, strains or has a hard belly needs a veterinarian at once.",
    "The veterinarian's number: ______________",
    "Local rules on raw food come before this sheet.",
)
RULES_SOURCES = ("cooked bone: FDA warning via dvm360.com", "all else: from memory, not looked up")


@dataclass(frozen=True, slots=True)
class Days:
    """The bags fed to each dog on a day, the bags that move on a day, and the warnings for each bag."""

    fed: Mapping[tuple[str, date], Sequence[NumberedBag]]
    moved: Mapping[date, Sequence[Journey]]
    mind: Mapping[int, str]


def feeding_sheet(book: BagBook) -> Document:
    """One table with a line to tick for every dog and meal; one for each kennel or day where dogs are many."""
    return paper(book.scenario, "feeding_sheet", "Feeding sheet", _blocks(book))


def _blocks(book: BagBook) -> Iterator[Block]:
    """The rules, then the days."""
    yield Paragraph(HOW)
    yield Points("rules", "Before you begin", (*_care_rule(book), *RULES), RULES_SOURCES)
    yield from full_days(book)
    days = _sort_by_day(book)
    names = {dog.name for dog in book.scenario.dogs}
    early = tuple(
        f"On {day} move from the freezer to the refrigerator: {_bags_to_move(days, names, day)}."
        for day in sorted(days.moved)
        if day < book.scenario.batch.starts
    )
    if early:
        yield Points("before", "Before the first day", early)
    yield from _tables(book, days)


def _care_rule(book: BagBook) -> Iterator[str]:
    """The rule for dogs in care, where there are any."""
    names = [dog.name for dog in book.scenario.dogs if dog.care]
    if names:
        yield f"{join_names(names)}: the food is as the veterinarian gave it. Change nothing without the veterinarian."


def _sort_by_day(book: BagBook) -> Days:
    """The bags sorted by day, once for all tables."""
    fed: dict[tuple[str, date], list[NumberedBag]] = {}
    moved: dict[date, list[Journey]] = {}
    for bag in book.numbered:
        fed.setdefault((bag.bag.dog, bag.bag.day), []).append(bag)
    journeys = book.facts.cold.journeys
    for journey in journeys:
        if journey.moves_on:
            moved.setdefault(journey.moves_on, []).append(journey)
    too_full = bags_too_full(book)
    return Days(
        fed,
        moved,
        {journey.number: "; ".join(_bag_warnings(book, journey, too_full.get(journey.number))) for journey in journeys},
    )


def _tables(book: BagBook, days: Days) -> Iterator[Table]:
    """One table of all dogs and days; for many dogs one for each kennel or, where none is named, each day."""
    dogs, every_day = book.scenario.dogs, tuple(book.scenario.batch.each_day())
    if not book.groups_dogs:
        yield _table(book, days, "Day by day", dogs, every_day)
    elif any(dog.kennel for dog in dogs):
        for group in group_alike(dogs, lambda dog: dog.kennel):
            yield _table(book, days, group[0].kennel or "No kennel named", group, every_day)
    else:
        for place, day in enumerate(every_day, start=1):
            yield _table(book, days, f"Day {place} of {len(every_day)}", dogs, (day,))


def _table(book: BagBook, days: Days, title: str, dogs: Sequence[Dog], table_days: Sequence[date]) -> Table:
    """Some days of some dogs."""
    all_dogs, names = book.scenario.dogs, {dog.name for dog in dogs}
    columns = (
        Column("day", "Day", Holds.DAY, shown=False),
        Column("new_day", "Day", Holds.DAY),
        Column("dog", "Dog"),
        Column("kennel", "Kennel", shown=any(dog.kennel for dog in all_dogs) and not book.groups_dogs),
        Column("meal", "Meal", Holds.COUNT, shown=any(dog.meals > 1 for dog in all_dogs)),
        Column("bag", "Bag", Holds.COUNT),
        Column("weight_g", "Weight", Holds.GRAMS),
        Column("mind", "Mind"),
        Column("thaw", "Thaw", shown=bool(days.moved)),
    )
    rows = chain.from_iterable(_rows(days, dogs, names, day) for day in table_days)
    return Table("feeding", title, columns, tuple(rows), tick=True)


def _rows(days: Days, dogs: Sequence[Dog], names: Collection[str], day: date) -> Iterator[tuple[Cell, ...]]:
    """The lines of a day; the first of them says what to move that morning."""
    moved = _bags_to_move(days, names, day)
    for dog in dogs:
        for cells in _bag_cells(days, days.fed.get((dog.name, day), ())):
            yield (day, day, dog.name, dog.kennel, *cells, moved)
            moved = ""


def _bag_cells(days: Days, bags: Sequence[NumberedBag]) -> Iterator[tuple[Cell, ...]]:
    """Meal, number, weight and warning for each bag of a dog on a day, or that the dog is away."""
    if not bags:
        yield (None, None, None, AWAY)
    for bag in bags:
        yield (bag.bag.meal, bag.number, bag.bag.grams, days.mind[bag.number])


def _bag_warnings(book: BagBook, journey: Journey, too_full: str | None) -> Iterator[str]:
    """The warnings for a bag; bones are named wherever a bag holds whole pieces."""
    if too_full:
        yield too_full
    if any(filling.pieces for filling in journey.bag.fillings):
        yield BONES
    if book.dogs[journey.bag.dog].avoid:
        yield avoided_text(book.dogs[journey.bag.dog])
    if journey.frozen_days < journey.freeze_days:
        yield NOT_FROZEN_ENOUGH


def _bags_to_move(days: Days, names: Collection[str], moves_on: date) -> str:
    """The bags of some dogs that move on a day: a few by number, more by the day on which they are fed."""
    moving = [journey for journey in days.moved.get(moves_on, ()) if journey.bag.dog in names]
    if len(moving) <= FEW:
        return numbers_text(journey.number for journey in moving)
    return "; ".join(
        _bags_fed_together(days, names, moves_on, group)
        for group in group_alike(moving, lambda journey: journey.bag.day)
    )


def _bags_fed_together(days: Days, names: Collection[str], moves_on: date, group: Sequence[Journey]) -> str:
    """The bags to move that are fed on one day: all of that day, or by number where others of it stay."""
    day = group[0].bag.day
    if len(group) == sum(len(days.fed.get((name, day), ())) for name in names):
        return "all for tomorrow" if (day - moves_on).days == 1 else f"all for {day}"
    return numbers_text(journey.number for journey in group)
