"""The record of weighing: a file that grows by a line for each weighing, so that nothing is lost when the power goes.

Its first line says which scenario and which plan it belongs to. Each other line tells a bag by its number on the
papers, the cut or mix, and the grams; a later line about the same corrects an earlier one.
"""

import csv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

from raworder.findings import Finding
from raworder.fingerprint import fingerprint
from raworder.plan import Plan
from raworder.reading.characters import note_strange
from raworder.reading.csv_cells import BrokenCsvError, Cell, Record, records
from raworder.reading.notes import Notes
from raworder.reading.saved_plan import file_bytes, utf8_text
from raworder.trade import Scenario
from raworder.units import UnitError, read_count

MARK, VERSION = "raworder-weighing", "1"
LARGEST_RECORD_MIB = 50
"""The largest record read."""

Entry = tuple[int, str, int]
"""A bag by its place in the plan, from 0; the cut or mix that was put in; and the grams."""


@dataclass(frozen=True, slots=True)
class ReadRecord:
    """What was weighed, in order, or no entries and all the reasons; findings are in order of place.

    `sound_bytes` is how much of the file is whole lines. Whoever writes on first cuts off what follows, a torn line,
    and where it is 0 begins with the head.
    """

    entries: tuple[Entry, ...]
    sound_bytes: int
    findings: tuple[Finding, ...]


def record_head(scenario: Scenario, plan: Plan) -> str:
    """The first line of a record, with its line end."""
    return _line(_head(scenario, plan))


def record_line(entry: Entry) -> str:
    """One weighing as a line, with its line end."""
    bag, cut, grams = entry
    return _line((str(bag + 1), cut, str(grams)))


def read_record(path: Path, scenario: Scenario, plan: Plan) -> ReadRecord:
    """The weighings that a record of this plan tells; a last line without a line end is torn, and passed over."""
    notes, file = Notes(), path.as_posix()
    data = file_bytes(path, LARGEST_RECORD_MIB, notes)
    sound = b"" if data is None else data[: data.rfind(b"\n") + 1]
    text = utf8_text(sound, file, notes)
    entries = () if text is None else tuple(_Read(file, plan, notes).entries(text, _head(scenario, plan)))
    findings = notes.all()
    return ReadRecord(() if notes.refuse else entries, len(sound), findings)


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
        self.food = tuple(frozenset(one.cut for one in bag.fillings) for bag in plan.bags)

    def entries(self, text: str, head: tuple[str, ...]) -> Iterator[Entry]:
        """The entries below the head; lines in error are noted and left out."""
        plain = text.replace("\r\n", "\n")
        self.notes.remember(self.file, plain)
        try:
            strange = note_strange(plain, self.file, self.notes, "take the line out, and weigh again what it told")
            lines = [] if strange else list(records(plain, self.file, ",", self.notes))
        except BrokenCsvError:
            return
        if lines and self._is_head(lines[0], head):
            yield from (entry for line in lines[1:] if (entry := self._entry(line)) is not None)

    def _is_head(self, line: Record, head: tuple[str, ...]) -> bool:
        """Whether the record is one of this plan."""
        told = tuple(cell.value for cell in line.cells)
        place = line.cells[0].place
        if told[:2] != head[:2] or len(told) != len(head):
            message = f"a record of weighing begins with `{','.join(head[:2])},...`"
            self.notes.add("not-a-record", message, place, "name a record that raworder wrote, or a new file")
        elif told != head:
            other = "scenario" if told[2] != head[2] else "plan"
            message = f"this record of weighing belongs to another {other}"
            self.notes.add("other-plan", message, place, "use the plan that it was begun with, or a new file")
        return told == head

    def _entry(self, line: Record) -> Entry | None:
        """What a line tells."""
        if len(line.cells) != len(("bag", "cut", "grams")):
            self._broken(line.cells[0], "this line does not tell a bag, a cut and grams")
            return None
        bag, cut, grams = line.cells
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

    def _count(self, cell: Cell) -> int | None:
        try:
            return read_count(cell.value)
        except UnitError as error:
            self._broken(cell, str(error))
        return None

    def _broken(self, cell: Cell, message: str) -> None:
        help_ = "take the line out, and weigh again what it told"
        self.notes.add("broken-record", message, cell.place, help_)
