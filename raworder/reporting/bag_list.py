"""The bag list: every bag of every dog with its day, its filling and its weight, and room for what it really weighs."""

from collections.abc import Iterator

from raworder.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.plan import Plan
from raworder.reporting.bag_book import BagBook, Numbered, bag_book, by_dog
from raworder.reporting.words import counted, paper
from raworder.trade import Dog, Scenario

HOW = "Every bag by its number. Weigh it when it is full and write what the scale shows in the last column."
IN_CARE = "Amounts as the veterinarian gave them. Ask the veterinarian before any change."


def bag_list(scenario: Scenario, plan: Plan) -> Document:
    """A table per dog for people, and every filling of every bag for programs."""
    return paper(scenario, "bag_list", "Bag list", _blocks(bag_book(scenario, plan)))


def _blocks(book: BagBook) -> Iterator[Block]:
    """How to read it, the dogs one by one, then all in one table."""
    yield Paragraph(HOW)
    for dog, bags in by_dog(book):
        yield _bags_of(book, dog, bags)
    yield _for_programs(book)


def _bags_of(book: BagBook, dog: Dog, bags: tuple[Numbered, ...]) -> Table:
    """The bags of one dog by day and meal."""
    columns = (
        Column("day", "Day", Holds.DAY),
        Column("meal", "Meal", Holds.COUNT, shown=dog.meals > 1),
        Column("bag", "Bag", Holds.COUNT),
        Column("kind", "Kind"),
        Column("filling", "Filling"),
        Column("weight_g", "Weight", Holds.GRAMS),
        Column("actual", "Actual"),
    )
    rows = tuple(
        (one.bag.day, one.bag.meal, one.number, one.bag.kind, book.filling(one.bag), one.bag.grams, "") for one in bags
    )
    total_g = sum(one.bag.grams for one in bags)
    totals: tuple[tuple[Cell, ...], ...] = ((None, None, None, None, "together", total_g, None),)
    title = f"{dog.name}, {counted(len(bags), 'bag')}"
    return Table("", title, columns, rows, totals, note=IN_CARE if dog.care else "")


def _for_programs(book: BagBook) -> Table:
    """Every filling of every bag on a line of its own."""
    columns = (
        Column("dog", "Dog"),
        Column("day", "Day", Holds.DAY),
        Column("meal", "Meal", Holds.COUNT),
        Column("bag", "Bag", Holds.COUNT),
        Column("kind", "Kind"),
        Column("cut", "Cut"),
        Column("pieces", "Pieces", Holds.COUNT),
        Column("weight_g", "Weight", Holds.GRAMS),
    )
    rows = tuple(
        (one.bag.dog, one.bag.day, one.bag.meal, one.number, one.bag.kind, filling.cut, filling.pieces, filling.grams)
        for one in book.numbered
        for filling in one.bag.fillings
    )
    return Table("bags", "Bags", columns, rows, shown=False)
