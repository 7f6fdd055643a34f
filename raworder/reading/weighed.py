"""The record of weighing: a file that grows by a line for each weighing, so that nothing is lost when the power goes.

Its first line says which scenario and which plan it belongs to, and the batch number of that. Each other line tells its
own number, from 1, a bag by its number on the papers, the cut or mix, and the grams. A later line about the same bag
and cut corrects an earlier one; a line of its number alone was taken out by hand. Older records have no numbers.
"""

import csv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

from raworder.reading.cell_tables import BrokenCsvError, Cell, Record, records
from raworder.reading.characters import note_strange
from raworder.reading.notes import Notes
from raworder.reading.saved_plan import file_bytes, utf8_text
from raworder.trade.findings import Finding
from raworder.trade.fingerprint import fingerprint
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.trade.units import UnitError, read_count

MARK, VERSION, UNNUMBERED = "raworder-weighing", "2", "1"
"""What a record begins with, and the version of records whose lines have no numbers."""

LARGEST_RECORD_MIB = 50
"""The largest record read."""

AS_BEGUN = "give the `--plan` or `--receipt` that it was begun with, or neither if there was none; or name a new file"

WITHOUT_IT = "leave of the line its number and `,,,` alone, and weigh again what it told"
"""What to do about a line that cannot be read, so that the numbers still tell that none is missing."""

WITHOUT_LINE = "take the line out, and weigh again what it told"
"""The same where lines have no numbers."""

Entry = tuple[int, str, int]
"""A bag by its place in the plan, from 0; the cut or mix that was put in; and the grams."""


@dataclass(frozen=True, slots=True)
class ReadRecord:
    """What was weighed, in order, or no entries and all the reasons; findings are in order of place.

    `sound_bytes` is how much of the file is whole lines. Whoever writes on first cuts off what follows, a torn line,
    and where it is 0 begins with the head. `numbers` are those of the entries, which their lines have unless the record
    is `unnumbered`.
    """

    entries: tuple[Entry, ...]
    sound_bytes: int
    findings: tuple[Finding, ...]
    numbers: tuple[int, ...] = ()
    unnumbered: bool = False


def record_head(scenario: Scenario, plan: Plan, batch: str) -> str:
    """The first line of a record, with its line end.

    The scenario is the one that was read, also for a plan after the shop, and `batch` the number of the plan's bags.
    """
    return _line((*_head(scenario, plan), batch))


def record_line(number: int, entry: Entry) -> str:
    """One weighing as a line, with its line end."""
    bag, cut, grams = entry
    return _line((str(number), str(bag + 1), cut, str(grams)))


def read_record(path: Path, scenario: Scenario, plan: Plan, batch: str) -> ReadRecord:
    """The weighings in a record of this plan; a last line without a line end is torn, and passed over.

    The scenario and the batch number are those of `record_head`.
    """
    notes, file = Notes(), path.as_posix()
    data = file_bytes(path, LARGEST_RECORD_MIB, notes)
    sound = b"" if data is None else data[: data.rfind(b"\n") + 1]
    text = utf8_text(sound, file, notes)
    head = (*_head(scenario, plan), batch)
    read = _Read(file, plan, notes)
    told = {} if text is None else dict(read.entries(text, head))
    findings = notes.all()
    if notes.refuse:
        return ReadRecord((), len(sound), findings)
    return ReadRecord(tuple(told.values()), len(sound), findings, tuple(told), read.unnumbered)


def _head(scenario: Scenario, plan: Plan) -> tuple[str, ...]:
    return MARK, VERSION, fingerprint(scenario), fingerprint(plan)


def _line(cells: Iterable[str]) -> str:
    out = StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue()


class _Read:
    """A record on its way from text to entries."""

    def __init__(self, file: str, plan: Plan, notes: Notes) -> None:
        self.file, self.notes = file, notes
        self.food = tuple(frozenset(filling.cut for filling in bag.fillings) for bag in plan.bags)
        self.unnumbered = False
        self.due = 1
        self.line_of: dict[int, int] = {}

    def entries(self, text: str, head: tuple[str, ...]) -> Iterator[tuple[int, Entry]]:
        """The entries below the head by their numbers; lines in error are noted and left out."""
        plain = text.replace("\r\n", "\n")
        self.notes.remember(self.file, plain)
        try:
            strange = note_strange(plain, self.file, self.notes, WITHOUT_IT)
            lines = [] if strange else list(records(plain, self.file, ",", self.notes))
        except BrokenCsvError:
            return
        if not lines or not self._is_head(lines[0], head):
            return
        for place, line in enumerate(lines[1:], start=1):
            if self._is_whole(line):
                number = place if self.unnumbered else self._number(line.cells[0])
                entry = self._entry(line.cells[-3:])
                if number is not None and entry is not None:
                    yield number, entry

    def _is_whole(self, line: Record) -> bool:
        """Whether a line has all its cells; one that has not still takes a number."""
        if len(line.cells) == len(("bag", "cut", "grams")) + (not self.unnumbered):
            return True
        number = "" if self.unnumbered else "its number, "
        self._broken(line.cells[0], f"this line does not tell {number}a bag, a cut and grams")
        self.due += 1
        return False

    def _number(self, cell: Cell) -> int | None:
        """The number of a line, which is one more than that of the line before; None where it is not."""
        due, number = self.due, self._count(cell, f"number it {self.due}")
        self.due = max(due, number or 0) + 1 if number is None or number >= due else due
        if number is not None and number < due:
            seen = f"line {self.line_of[number]} has that number already" if number in self.line_of else ""
            help_ = "number the lines in the order in which they were weighed"
            message = f"this line is number {number}, where {due} comes next"
            self.notes.add("broken-record", message, cell.place, help_, seen)
        elif number is not None and number > due:
            gone = f"number {due} is" if number == due + 1 else f"numbers {due} to {number - 1} are"
            help_ = f"put back what is missing, or a line such as `{due},,,` for each that is to be weighed again"
            self._broken(cell, f"this line is number {number}, and {gone} missing before it", help_)
        self.line_of.setdefault(due if number is None else number, cell.place.line)
        return number if number == due else None

    def _is_head(self, line: Record, head: tuple[str, ...]) -> bool:
        """Whether the record is one of this plan; older ones have no batch number, and no numbers on their lines."""
        told = tuple(cell.value for cell in line.cells)
        place = line.cells[0].place
        self.unnumbered = told[:2] == (MARK, UNNUMBERED)
        if (told[:2] != head[:2] and not self.unnumbered) or len(told) not in {len(head) - 1, len(head)}:
            message = f"a record of weighing begins with `{','.join(head[:2])},...`"
            self.notes.add("not-a-record", message, place, "name a record that raworder wrote, or a new file")
        elif told[2] != head[2]:
            message = "this record of weighing was begun with another scenario, or an older version of this one"
            self.notes.add("other-plan", message, place, "use the scenario that it was begun with, or name a new file")
        elif told[3] != head[3]:
            other = told[4:] != head[4:] and told[4:]
            begun, here = (f", batch {told[4]}", f"the bags here are those of batch {head[4]}") if other else ("", "")
            message = f"this record of weighing was begun with another plan of this scenario{begun}"
            self.notes.add("other-plan", message, place, AS_BEGUN, here)
        return told[2:4] == head[2:4] and not self.notes.refuse

    def _entry(self, cells: tuple[Cell, ...]) -> Entry | None:
        """The weighing on a line, after its number; nothing where it was taken out."""
        if not self.unnumbered and not any(cell.value for cell in cells):
            return None
        bag, cut, grams = cells
        number, weighed_g = self._count(bag), self._count(grams)
        if number is None or weighed_g is None:
            return None
        if not 1 <= number <= len(self.food):
            self._broken(bag, f"the plan has no bag {number}")
        elif cut.value not in self.food[number - 1]:
            self._broken(cut, f"no `{cut.value}` goes into bag {number}")
        else:
            return number - 1, cut.value, weighed_g
        return None

    def _count(self, cell: Cell, help_: str = "") -> int | None:
        try:
            return read_count(cell.value)
        except UnitError as error:
            self._broken(cell, str(error), help_)
        return None

    def _broken(self, cell: Cell, message: str, help_: str = "") -> None:
        help_ = help_ or (WITHOUT_LINE if self.unnumbered else WITHOUT_IT)
        self.notes.add("broken-record", message, cell.place, help_)
