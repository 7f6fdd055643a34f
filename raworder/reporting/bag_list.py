"""The bag list: each bag with its dog, day, kind and weight, and room for what it really weighs."""

from collections.abc import Iterator, Sequence

from raworder.reporting.bag_book import BagBook, NumberedBag, bags_by_dog
from raworder.reporting.words import count_text, group_alike, paper
from raworder.trade.bags import Bag
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.dogs import Dog

HOW = "Every bag by its number. Weigh it when it is full, less the empty bag, and write beside it what the scale shows."
IN_CARE = "Amounts as the veterinarian gave them. Ask the veterinarian before any change."


def bag_list(book: BagBook) -> Document:
    """For people the kinds of bag and the bags of each dog; for programs every filling of every bag."""
    return paper(book.scenario, "bag_list", "Bag list", _blocks(book))


def kind_text(book: BagBook, bags: Sequence[Bag], its_weight: str) -> str:
    """What is in the bags of one kind; `its_weight` replaces the weight where not all weigh the same."""
    return book.filling(bags[0], its_weight if len({bag.grams for bag in bags}) > 1 else "")


def _blocks(book: BagBook) -> Iterator[Block]:
    """How to read it, the dogs one by one, then all in one table."""
    yield Paragraph(HOW)
    for dog, bags in bags_by_dog(book):
        kinds = group_alike((bag.bag for bag in bags), lambda bag: bag.kind)
        items = tuple(f"{kind[0].kind}: {kind_text(book, kind, 'its weight below')}" for kind in kinds)
        yield Points("kinds", f"{dog.name}, {count_text(len(bags), 'bag')}", items)
        yield _bag_table(book, dog, bags, {kind[0].kind: kind[0] for kind in kinds})
    yield _program_table(book)


def _bag_table(book: BagBook, dog: Dog, bags: Sequence[NumberedBag], firsts: dict[str, Bag]) -> Table:
    """The bags of one dog by day and meal, with a note where one differs from the first of its kind."""
    notes = [book.changes_text(bag.bag, firsts[bag.bag.kind]) for bag in bags]
    columns = (
        Column("day", "Day", Holds.DAY),
        Column("meal", "Meal", Holds.COUNT, shown=dog.meals > 1),
        Column("bag", "Bag", Holds.COUNT),
        Column("kind", "Kind"),
        Column("weight_g", "Weight", Holds.GRAMS),
        Column("actual", "Actual weight", Holds.BLANK),
        Column("note", "But here", shown=any(notes)),
    )
    rows = tuple((*_bag_cells(bag), bag.bag.grams, None, note) for bag, note in zip(bags, notes, strict=True))
    totals: tuple[Cell, ...] = (None, None, None, None, sum(bag.bag.grams for bag in bags), None, None)
    return Table("", "", columns, rows, (totals,), note=IN_CARE if dog.care else "")


def _bag_cells(bag: NumberedBag) -> tuple[Cell, ...]:
    """The day, meal, number and kind of a bag."""
    return (bag.bag.day, bag.bag.meal, bag.number, bag.bag.kind)


def _program_table(book: BagBook) -> Table:
    """Every filling of every bag on a line of its own, for programs."""
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
        (bag.bag.dog, bag.bag.day, bag.bag.meal, bag.number, bag.bag.kind, filling.cut, filling.pieces, filling.grams)
        for bag in book.numbered
        for filling in bag.bag.fillings
    )
    return Table("bags", "Bags", columns, rows, shown=False)
