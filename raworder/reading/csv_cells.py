"""CSV text as records of cells with places, by RFC 4180, strictly: quotes close, and stand around whole cells."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from raworder.findings import Place
from raworder.reading.notes import Notes

QUOTED = re.compile(r'"((?:[^"]|"")*+)"')

MOST_CELLS = 150_000
"""How many cells a list may hold: 12,000 rows of twelve. Each takes about 5 us and 300 bytes, whatever it says."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell's place and length in the file, and what it says."""

    value: str
    place: Place


@dataclass(frozen=True, slots=True)
class Record:
    """One record: its cells, and its text without the line end."""

    cells: tuple[Cell, ...]
    raw: str

    @property
    def blank(self) -> bool:
        """Whether no cell says anything."""
        return not any(cell.value.strip() for cell in self.cells)


class BrokenCsvError(Exception):
    """The text is no CSV; why has been noted."""


def records(text: str, file: str, separator: str, notes: Notes) -> Iterator[Record]:
    """The records of the text; a quote in the wrong place is noted and raises `BrokenCsvError`."""
    bare = re.compile(rf"[^{re.escape(separator)}\n\"]*")
    scan = _Scan(text, file, notes)
    while scan.at < len(text):
        start, cells = scan.at, [scan.cell(bare)]
        while scan.skip(separator):
            cells.append(scan.cell(bare))
        raw = text[start : scan.at]
        if not scan.skip("\n") and scan.at < len(text):
            scan.refuse(
                "stray-quote", "a quote stands inside a cell", 'put the whole cell in quotes and double it: `""`'
            )
        yield Record(tuple(cells), raw)


class _Scan:
    """A position in the text that knows its line and column."""

    def __init__(self, text: str, file: str, notes: Notes) -> None:
        self.text, self.file, self.notes = text, file, notes
        self.at, self.line, self.line_start, self.cells = 0, 1, 0, 0

    def cell(self, bare: re.Pattern[str]) -> Cell:
        """The cell that begins here."""
        place, start = self.place(), self.at
        quoted = self.text.startswith('"', start)
        found = QUOTED.match(self.text, start) if quoted else bare.match(self.text, start)
        self.cells += 1
        if self.cells > MOST_CELLS:
            self.refuse("too-large", f"the list has more than {MOST_CELLS} cells", "split it, or take columns out")
        if found is None:
            self.refuse("unclosed-quote", "this quote is never closed", 'close it with `"`')
            raise AssertionError
        self.move(found.end())
        value = found[1].replace('""', '"') if quoted else found[0]
        width = len(found[0].partition("\n")[0])
        return Cell(value, Place(place.file, place.line, place.column, max(width, 1)))

    def skip(self, character: str) -> bool:
        """Whether that character stands here; it is passed."""
        if not self.text.startswith(character, self.at):
            return False
        self.move(self.at + 1)
        return True

    def move(self, to: int) -> None:
        """Go on, counting lines."""
        breaks = self.text.count("\n", self.at, to)
        if breaks:
            self.line += breaks
            self.line_start = self.text.rfind("\n", self.at, to) + 1
        self.at = to

    def place(self) -> Place:
        """Here."""
        return Place(self.file, self.line, self.at - self.line_start + 1)

    def refuse(self, slug: str, message: str, remedy: str) -> None:
        """Note what is wrong here, and stop."""
        self.notes.add(slug, message, self.place(), remedy)
        raise BrokenCsvError
