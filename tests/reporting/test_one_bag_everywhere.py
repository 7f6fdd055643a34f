"""Label, kitchen page, fridge door and calendar of every example say the same of every bag: day, dog, kind, weight.

**Source:** the plan of the example; no outside source.
"""

import re
from collections.abc import Iterator
from datetime import date

import pytest

from raworder.reporting.bag_book import BagBook, bag_book
from raworder.reporting.bag_labels import bag_labels
from raworder.reporting.fridge_door import AWAY, fridge_door
from raworder.reporting.kitchen import kitchen
from raworder.reporting.reminders import reminders
from raworder.trade.document import Agenda, Document, Labels, Points, Table
from raworder.trade.units import day_text
from tests.planned import EVERY_PLAN, planned

Said = tuple[str, str, str]
"""What a page says of a bag: its dog, its kind and its weight, as printed."""


def meant(book: BagBook) -> dict[int, tuple[date, Said]]:
    """What the plan means: for every bag by number its day, dog, kind, and the one weight of its kind."""
    return {
        bag.number: (bag.bag.day, (bag.bag.dog, bag.bag.kind, book.grams(book.weight_g(bag.bag))))
        for bag in book.numbered
    }


def listed(numbers: str) -> Iterator[int]:
    """The numbers in a list of runs."""
    for run in filter(None, numbers.split(", ")):
        first, _, last = run.partition("-")
        yield from range(int(first), int(last or first) + 1)


def on_kitchen_page(book: BagBook) -> dict[int, Said]:
    """What the kitchen page says: headings of kinds across, or rows of kinds down, then footnotes."""
    document = kitchen(book)
    found: dict[int, Said] = {}
    for table in (block for block in document.blocks if isinstance(block, Table) and not block.key):
        if table.columns[0].key == "kind":
            for row in table.rows:
                filled_up = next(str(cell) for cell in reversed(row) if cell)
                found |= {number: said(book, str(row[0]), filled_up) for number in listed(str(row[1]))}
        else:
            for column in table.columns:
                told = re.fullmatch(r"\d+ bags?, (.+?): (.+)", column.under)
                if told:
                    found |= {number: said(book, column.heading, told[1]) for number in listed(told[2])}
    return found | dict(footnotes(book, document, found))


def said(book: BagBook, name: str, weight: str) -> Said:
    """The dog, kind and weight of a heading."""
    dog, _, kind = name.rpartition(" ")
    return dog, kind, weight.removesuffix("*")


def footnotes(book: BagBook, document: Document, found: dict[int, Said]) -> Iterator[tuple[int, Said]]:
    """The bags of other weights: by number, or as their labels say."""
    notes = next(block for block in document.blocks if isinstance(block, Points) and block.key == "notes")
    for note in notes.items:
        if told := re.fullmatch(r"\* (.+) (\w+): but (.+)\.", note):
            for numbers, weight in re.findall(r"bags? ([\d, -]+?) ((?:[\d.]+ (?:g|kg|lb|oz) ?)+)", told[3] + " "):
                yield from ((number, (told[1], told[2], weight.strip())) for number in listed(numbers))
        elif told := re.fullmatch(r"\* (.+) (\w+): (.+) to (.+), as its labels say\.", note):
            for number, (dog, kind, _) in found.items():
                if (dog, kind) == (told[1], told[2]):
                    yield number, (dog, kind, on_labels(book)[number][1][2])


def on_fridge_door(book: BagBook) -> dict[int, tuple[date, str, str]]:
    """What the fridge door says: day, dog and kind."""
    table = next(block for block in fridge_door(book).blocks if isinstance(block, Table) and not block.key)
    return {
        int(part.split(" ")[0]): (row[0], column.heading, part.split(" ")[1])  # type: ignore[misc]  # a day
        for row in table.rows
        for column, cell in list(zip(table.columns, row, strict=True))[1:-1]
        for part in str(cell or "").split("; ")
        if part and part != AWAY
    }


def on_labels(book: BagBook) -> dict[int, tuple[str, Said]]:
    """What the labels say: the day, and dog, kind and weight."""
    (labels,) = (block for block in bag_labels(book).blocks if isinstance(block, Labels))
    return {
        int(label.number): (label.day.split(",")[0], (label.dog, label.kind, label.lines[-1].split(", ")[0]))
        for label in labels.labels
    }


def in_calendar(book: BagBook) -> dict[int, tuple[date, Said]]:
    """What the calendar says on the day on which a bag is fed."""
    (agenda,) = (block for block in reminders(book).blocks if isinstance(block, Agenda))
    found = {}
    names = sorted(book.dogs, key=len, reverse=True)
    for event in agenda.events:
        for line in event.details.split("\n"):
            for part in (
                re.split(r", (?=\D)", line.removeprefix("Feed ").removesuffix(".")) if line.startswith("Feed ") else ()
            ):
                dog = next((name for name in names if part.startswith(f"{name} bag")), "")
                for number, kind, weight in re.findall(r"(\d+) (\w+) \(([^)]+)\)", part.removeprefix(dog)):
                    found[int(number)] = (event.day, (dog, kind, weight))
    return found


@pytest.mark.parametrize("name", EVERY_PLAN)
def test_four_pages_say_the_same_of_every_bag(name: str) -> None:
    book = bag_book(planned(name).plan)
    bags = meant(book)
    assert on_labels(book) == {number: (day_text(day), what) for number, (day, what) in bags.items()}
    in_care = {dog.name for dog in book.scenario.dogs if dog.care}
    weighed = {number: what for number, (_, what) in bags.items()}
    kitchen_says = on_kitchen_page(book)
    assert kitchen_says.keys() == weighed.keys()
    for number, what in kitchen_says.items():
        assert what[:2] == weighed[number][:2]
        assert what == weighed[number] or (book.groups_dogs and what[0] in in_care)
    if not book.groups_dogs:  # of many dogs a kennel's bags are counted there, and its own page has the numbers
        assert on_fridge_door(book) == {number: (day, dog, kind) for number, (day, (dog, kind, _)) in bags.items()}
        assert in_calendar(book) == bags
