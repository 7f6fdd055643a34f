"""The feeding sheet: day by day which bag goes to which dog, for someone who does not know them."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from raworder.bags import Bag
from raworder.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.plan import Plan
from raworder.reporting.bag_book import BagBook, Numbered, bag_book
from raworder.reporting.bag_words import MANY, bags_text
from raworder.reporting.books import alike
from raworder.reporting.thawing import Journey, journeys
from raworder.reporting.words import counted, listed, paper
from raworder.trade import Dog, Scenario

NAMED_CUTS = 4
"""So many cuts of a bag are named; of more, one fewer."""

HOW = "One line, one bag. Read the dog's name on the bag, feed it, tick the line. Two people never feed the same line."
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


def feeding_sheet(scenario: Scenario, plan: Plan) -> Document:
    """A line to tick for every dog and meal, day by day; kennel by kennel where there are many dogs."""
    return paper(scenario, "feeding_sheet", "Feeding sheet", _blocks(bag_book(scenario, plan)))


def _blocks(book: BagBook) -> Iterator[Block]:
    """The rules, then the days."""
    yield Paragraph(HOW)
    yield Points("rules", "Before you begin", (*_in_care(book), *RULES), RULES_SOURCES)
    moves = _moves(journeys(book))
    early = tuple(_before(book, moves))
    if early:
        yield Points("before", "Before the first day", early)
    bags = _bags_by_day(book)
    for kennel, dogs in _kennels(book):
        yield from _days(book, kennel, dogs, bags, moves)


def _in_care(book: BagBook) -> Iterator[str]:
    """Who gets what a veterinarian gave."""
    names = [dog.name for dog in book.scenario.dogs if dog.care]
    if names:
        yield f"{listed(names)}: the food is as the veterinarian gave it. Change nothing without the veterinarian."


def _kennels(book: BagBook) -> Iterator[tuple[str, tuple[Dog, ...]]]:
    """All dogs together, or where they are many, kennel by kennel."""
    dogs = book.scenario.dogs
    if not book.is_many or not any(dog.kennel for dog in dogs):
        yield "", dogs
        return
    for group in alike(dogs, lambda dog: dog.kennel):
        yield f"{group[0].kennel or 'No kennel named'}, ", group


def _bags_by_day(book: BagBook) -> dict[tuple[str, date], list[Numbered]]:
    """The bags of a dog on a day."""
    found: dict[tuple[str, date], list[Numbered]] = {}
    for one in book.numbered:
        found.setdefault((one.bag.dog, one.bag.day), []).append(one)
    return found


def _moves(every: Sequence[Journey]) -> dict[date, list[Journey]]:
    """The bags that move to the refrigerator on a day."""
    found: dict[date, list[Journey]] = {}
    for one in every:
        if one.moves_on:
            found.setdefault(one.moves_on, []).append(one)
    return found


def _before(book: BagBook, moves: Mapping[date, Sequence[Journey]]) -> Iterator[str]:
    """What moves to the refrigerator before the first day."""
    for day in sorted(day for day in moves if day < book.scenario.batch.starts):
        yield f"{day}: {_move_text(moves[day])}"


def _move_text(some: Sequence[Journey]) -> str:
    """What to move from the freezer to the refrigerator; many bags are counted by the day they are fed."""
    if len(some) <= MANY:
        bags = bags_text(one.number for one in some)
    else:
        days = Counter(one.bag.day for one in some)
        bags = listed([f"the {counted(number, 'bag')} for {day}" for day, number in sorted(days.items())])
    return f"move {bags} from the freezer to the refrigerator."


def _days(
    book: BagBook,
    kennel: str,
    dogs: Sequence[Dog],
    bags: Mapping[tuple[str, date], Sequence[Numbered]],
    moves: Mapping[date, Sequence[Journey]],
) -> Iterator[Table]:
    """The days of some dogs."""
    names = {dog.name for dog in dogs}
    columns = _columns(book)
    for place, day in enumerate(book.scenario.batch.each_day()):
        away = [dog.name for dog in dogs if not dog.day_g[place]]
        moved = [one for one in moves.get(day, ()) if one.bag.dog in names]
        rows = tuple(_row(book.dogs[one.bag.dog], one) for dog in dogs for one in bags.get((dog.name, day), ()))
        title = f"{kennel}day {place + 1} of {book.scenario.batch.days}"
        yield Table("feeding", title[0].upper() + title[1:], columns, rows, note=_note(away, moved), tick=True)


def _columns(book: BagBook) -> tuple[Column, ...]:
    """What is on a line; kennel and meal only where there are any."""
    dogs = book.scenario.dogs
    return (
        Column("day", "Day", Holds.DAY),
        Column("dog", "Dog"),
        Column("kennel", "Kennel", shown=any(dog.kennel for dog in dogs) and not book.is_many),
        Column("meal", "Meal", Holds.COUNT, shown=any(dog.meals > 1 for dog in dogs)),
        Column("bag", "Bag", Holds.COUNT),
        Column("weight_g", "Weight", Holds.GRAMS),
        Column("holds", "In it"),
    )


def _row(dog: Dog, one: Numbered) -> tuple[Cell, ...]:
    """One bag for one dog."""
    bag = one.bag
    return (bag.day, dog.name, dog.kennel, bag.meal, one.number, bag.grams, _holds(bag))


def _holds(bag: Bag) -> str:
    """What is in a bag, in few words: all of a few cuts, of more the bones and the most of the rest."""
    names = [filling.cut for filling in bag.fillings]
    if len(names) <= NAMED_CUTS:
        return ", ".join(names)
    most = sorted(bag.fillings, key=lambda one: (not one.pieces, -one.grams))[: NAMED_CUTS - 1]
    named = [name for name in names if name in {one.cut for one in most}]
    return f"{', '.join(named)} and {len(names) - len(named)} more"


def _note(away: Sequence[str], moved: Sequence[Journey]) -> str:
    """Who is not fed that day, and what to move to the refrigerator in the morning."""
    told = f"Away, not fed: {listed(away)}. " if away else ""
    return f"{told}In the morning {_move_text(moved)}" if moved else told.rstrip()
