"""What `portion` says first: what goes into which bag, where the bags go, which bag is fed when, and what next."""

from collections.abc import Iterator
from dataclasses import replace

from raworder.reporting.bag_book import BagBook
from raworder.reporting.counter_sheet import working_order, working_steps
from raworder.reporting.freezing import before_filling
from raworder.reporting.fridge_door import day_table
from raworder.reporting.kitchen import bag_tables, then_points, what_differs, what_to_have_ready
from raworder.reporting.words import count_text, next_commands, paper
from raworder.trade.document import Block, Document, Paragraph, Table
from raworder.trade.units import day_text

NEXT = (
    ("raworder portion FILE{options} --paper kitchen", "the whole kitchen page"),
    ("raworder labels FILE{options} --html labels.html", "labels for the bags"),
    ("raworder portion FILE{options} --all", "every figure behind this"),
    ("raworder enter FILE{options}", "the bags are filled: into the book"),
)
"""What to do next: a command with the options that name this plan, and what it gives."""


def portion_screen(book: BagBook, options: str = "") -> Document:
    """The bags in short: kinds of bag, or for many dogs the working order; the days; what to do next.

    `options` are what a command needs to be about this plan, such as ` --receipt receipt.csv`.
    """
    title = f"{count_text(len(book.numbered), 'bag')} to fill on {day_text(book.scenario.portioned_on)}"
    return paper(book.scenario, "kitchen", title, _blocks(book, options))


def _blocks(book: BagBook, options: str) -> Iterator[Block]:
    """What to have ready, what to keep back, what goes where, and the days."""
    yield Paragraph(what_to_have_ready(book))
    yield from before_filling(book)
    if book.groups_dogs:
        yield from working_order(book, working_steps(book))
    else:
        yield from map(_without_numbers, bag_tables(book))
        yield from map(Paragraph, what_differs(book))
    yield then_points(book)
    yield day_table(book, "Bags by day")
    commands = NEXT[1:] if book.groups_dogs else NEXT  # the working order is what the kitchen page says of many dogs
    yield next_commands(tuple((command.format(options=options), gives) for command, gives in commands))


def _without_numbers(table: Table) -> Table:
    """A table of kinds of bag without their numbers, which stand in the table of days."""
    columns = tuple(replace(column, under=column.under.partition(":")[0]) for column in table.columns)
    return replace(table, columns=columns)
