"""The book as it is kept: its entries for people, and every table of it for other programs."""

from collections.abc import Iterable, Sequence

from raworder.reporting.words import paper
from raworder.trade.document import Column, Document, Holds, Paragraph, Table
from raworder.trade.kept import Entry
from raworder.trade.scenario import Scenario

BookTable = tuple[str, Sequence[str], Sequence[Sequence[object]]]
"""A table as it is kept: its name, columns and rows."""

COLUMNS = (
    Column("entry", "Entry", Holds.COUNT),
    Column("day", "Day", Holds.DATE),
    Column("kind", "Kind", shown=False),
    Column("says", "What was entered"),
    Column("taken_back_by", "Taken back by", Holds.COUNT, shown=False),
)


def book_entries(scenario: Scenario, entries: Sequence[Entry]) -> Document:
    """Every entry of the book in order, with those that were taken back."""
    rows = tuple((entry.number, entry.day, entry.kind.value, _says(entry), entry.void) for entry in entries)
    shown = Table("entries", "", COLUMNS, rows)
    how = 'A wrong entry is taken back by another: `raworder note SCENARIO "entry 4 is wrong"`.'
    return paper(scenario, "book", "The book", [shown, Paragraph(how)])


def _says(entry: Entry) -> str:
    """What an entry says, and by which it was taken back."""
    return f"{entry.says} (taken back by entry {entry.void})" if entry.void else entry.says


def book_tables(scenario: Scenario, tables: Iterable[BookTable]) -> list[Document]:
    """A document for each table of the book, its cells as they are kept."""
    return [paper(scenario, "book", f"Book: {table[0]}", [_table(*table)]) for table in tables]


def _table(name: str, columns: Sequence[str], rows: Sequence[Sequence[object]]) -> Table:
    """A table of the book; whole numbers stay numbers, all else is text."""
    cells = tuple(tuple(cell if isinstance(cell, int) else str(cell or "") for cell in row) for row in rows)
    return Table(name, name, tuple(Column(column, column) for column in columns), cells)
