"""Tables in CSV files and workbooks as rows of cells with places, for all price lists and receipts.

CSV is read strictly by RFC 4180: a quote must be closed, and stand around a whole cell.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from pydantic import ValidationError

from raworder.reading.files import NamedFile, file_text
from raworder.reading.form_fields import Form, note_problems
from raworder.reading.located import Entries, Node, Text, text_at
from raworder.reading.names import did_you_mean, fold_name, join_in_backticks
from raworder.reading.notes import Notes, SearchedRemedy
from raworder.reading.workbooks import Sheet, is_workbook, read_sheet
from raworder.trade.findings import Place
from raworder.trade.units import Currency

SEPARATORS = (",", ";", "\t")
"""The separators that a CSV file can have."""

# Possessive (`*+`): a quote that is never closed must fail at once, not after trying every shorter match.
QUOTED = re.compile(r'"((?:[^"]|"")*+)"')

MOST_CELLS = 150_000
"""The most cells of a list: 12,000 rows of twelve. Each takes about 5 us and 300 bytes, whatever it holds."""

NUMBER = re.compile(r"[0-9][0-9.,]*")
# A mark cannot separate thousands if other than three digits follow it, or a zero or four digits come before it.
_CLEAR_DECIMAL = re.compile(r"(?:0|[0-9]{4,})([.,])[0-9]+|[0-9]+([.,])(?:[0-9]{1,2}|[0-9]{4,})")
_THOUSANDS_OR_DECIMALS = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")

Read = TypeVar("Read", bound=Form)


@dataclass(frozen=True, slots=True)
class Cell:
    """The text of a cell, and its place and length in the file.

    In a workbook it may be a real `number`, written with a point, or one that is `unread` for the reason there.
    """

    value: str
    place: Place
    number: bool = False
    unread: str = ""


@dataclass(frozen=True, slots=True)
class Record:
    """One row of a table: its cells, and its text without the line end."""

    cells: tuple[Cell, ...]
    raw: str

    @property
    def blank(self) -> bool:
        """Whether all cells are empty."""
        return not any(cell.value.strip() for cell in self.cells)


class BrokenCsvError(Exception):
    """The text is not CSV; the reason has been noted."""


def open_table(file: NamedFile, notes: Notes) -> Sheet | str | None:
    """The sheet of a workbook, or the text of any other file; None with the reason noted."""
    if is_workbook(file.written):
        return read_sheet(file, notes)
    text = file_text(file.path, file.place, notes, file.encoding)
    if text is not None:
        notes.remember(file.path.as_posix(), text)
    return text


def rows_of_csv(text: str, file: str, separator: str, notes: Notes) -> list[Record] | None:
    """The rows that are not blank, with the header; None with the reason noted where the text is not CSV."""
    try:
        return [record for record in read_records(text, file, separator, notes) if not record.blank]
    except BrokenCsvError:
        return None


def likely_separators(text: str) -> tuple[str, ...]:
    """The separators that cut the header, the first line that is not blank, into most cells; none without a header."""
    header = next((line for line in text.split("\n") if line.strip()), "")
    outside_quotes = re.sub(r'"[^"]*"', "", header)
    counts = {separator: outside_quotes.count(separator) for separator in SEPARATORS}
    return tuple(separator for separator in SEPARATORS if counts[separator] == max(counts.values())) if header else ()


def is_complete(row: Record, width: int, notes: Notes) -> bool:
    """Whether a row has as many cells as the header; if not, it is noted."""
    if len(row.cells) == width:
        return True
    message = f"this row has {len(row.cells)} cells and the header {width}"
    help_ = "give each column one cell; put cells with a separator in quotes"
    notes.add("wrong-cell-count", message, row.cells[min(width, len(row.cells) - 1)].place, help_)
    return False


def note_strange_columns(header: Sequence[Cell], known: Sequence[str], noun: str, notes: Notes) -> bool:
    """Whether there are repeated or unknown columns; each is noted. `noun` names the kind of table."""
    names = [fold_name(cell.value) for cell in header]
    first = {name: place for place, name in reversed([*enumerate(names)])}
    otherwise, strange = f"the columns are {join_in_backticks(known, 'and')}", False
    for place, (name, cell) in enumerate(zip(names, header, strict=True)):
        if first[name] < place:
            notes.add("repeated-column", f"the column `{name}` stands twice", cell.place, "keep one of the two")
        elif name not in known:
            remedy = SearchedRemedy(partial(did_you_mean, name, known, otherwise), otherwise)
            notes.add("unknown-column", f"a {noun} has no column `{cell.value.strip()}`", cell.place, remedy)
        else:
            continue
        strange = True
    return strange


def read_row(
    form: type[Read], start: Place, fields: Iterable[tuple[Text, Node]], currency: Currency, notes: Notes
) -> Read | None:
    """A row as a form, its cells read like fields of a scenario; None with the reasons noted."""
    entries = Entries(start)
    for name, value in fields:
        entries.put(name, value)
    try:
        return form.model_validate(entries, context=currency)
    except ValidationError as error:
        note_problems(error, entries, form, notes)
        return None


def cell_text(value: str, place: Place) -> Text:
    """The text of a cell as a value; words such as `NA` and `null` stay words and never mean an absent value."""
    return text_at(value.strip(), place, plain=False)


def read_records(text: str, file: str, separator: str, notes: Notes) -> Iterator[Record]:
    """The rows of the text; a quote in the wrong place is noted and raises `BrokenCsvError`."""
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
        match = QUOTED.match(self.text, start) if quoted else bare.match(self.text, start)
        self.cells += 1
        if self.cells > MOST_CELLS:
            self.refuse("too-large", f"the list has more than {MOST_CELLS} cells", "split it, or take columns out")
        if match is None:
            self.refuse("unclosed-quote", "this quote is never closed", 'close it with `"`')
            raise AssertionError
        self.move(match.end())
        value = match[1].replace('""', '"') if quoted else match[0]
        width = len(match[0].partition("\n")[0])
        return Cell(value, Place(place.file, place.line, place.column, max(width, 1)))

    def skip(self, character: str) -> bool:
        """Whether the next character is that one; if so it is passed."""
        if not self.text.startswith(character, self.at):
            return False
        self.move(self.at + 1)
        return True

    def move(self, to: int) -> None:
        """Go on to a position, counting lines."""
        breaks = self.text.count("\n", self.at, to)
        if breaks:
            self.line += breaks
            self.line_start = self.text.rfind("\n", self.at, to) + 1
        self.at = to

    def place(self) -> Place:
        """The place of the next character."""
        return Place(self.file, self.line, self.at - self.line_start + 1)

    def refuse(self, slug: str, message: str, remedy: str) -> None:
        """Note what is wrong here, and stop."""
        self.notes.add(slug, message, self.place(), remedy)
        raise BrokenCsvError


def decimal_mark(cells: Iterable[Cell], notes: Notes) -> str | None:
    """The decimal mark of the numbers, a point where none has one; None, and noted, where they leave it open."""
    numbers = [(number, cell) for cell in cells for number in NUMBER.findall(cell.value)]
    clear: dict[str, list[Cell]] = {".": [], ",": []}
    for number, cell in numbers:
        if match := _CLEAR_DECIMAL.fullmatch(number):
            clear[match[1] or match[2]].append(cell)
    if clear["."] and clear[","]:
        _note_mixed(clear, notes)
        return None
    undecided = [(number, cell) for number, cell in numbers if _THOUSANDS_OR_DECIMALS.fullmatch(number)]
    if undecided and not clear["."] and not clear[","]:
        for number, cell in undecided:
            _note_undecided(number, cell, notes)
        return None
    return "," if clear[","] else "."


def use_decimal_point(cell: Cell, mark: str, notes: Notes) -> str | None:
    """The text of the cell with decimal points; None, and noted, where a point in it must mean something else."""
    if mark == ".":
        return cell.value
    if any("." in number for number in NUMBER.findall(cell.value)):
        message = f"`{cell.value.strip()}` has a point, but this list's decimal mark is a comma"
        notes.add("other-decimal-mark", message, cell.place, "write it with a comma, and large numbers without points")
        return None
    return re.sub(r"(?<=[0-9]),(?=[0-9])", ".", cell.value)


def _note_mixed(clear: dict[str, list[Cell]], notes: Notes) -> None:
    fewer = "." if len(clear["."]) < len(clear[","]) else ","
    cell = clear[fewer][0]
    message = f"`{cell.value.strip()}` has another decimal mark than the rest of the list"
    notes.add("mixed-decimal-marks", message, cell.place, "use one decimal mark throughout the list")


def _note_undecided(number: str, cell: Cell, notes: Notes) -> None:
    large, small = re.sub("[.,]", "", number), number.replace(",", ".")
    message = f"`{number}` can be read as {small} or as {large}"
    help_ = 'state the list\'s decimal mark: `price_list: {file: ..., decimal: "."}`'
    notes.add("undecided-number", message, cell.place, help_)
