"""The record of weighing: a file that grows by a line for each weighing, so that nothing is lost when the power goes.

Its first line says which scenario and which plan it belongs to, and the batch number of that. Each other line tells a
bag by its number on the papers, the cut or mix, and the grams; a later line about the same corrects an earlier one.
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

AS_BEGUN = "give the `--plan` or `--receipt` that it was begun with, or neither if there was none; or name a new file"

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


def record_head(scenario: Scenario, plan: Plan, batch: str) -> str:
    """The first line of a record, with its line end.

    The scenario is the one that was read, also for a plan after the shop, and `batch` the number of the plan's bags.
    """
    return _line((*_head(scenario, plan), batch))


def record_line(entry: Entry) -> str:
    """One weighing as a line, with its line end."""
    bag, cut, grams = entry
    return _line((str(bag + 1), cut, str(grams)))


def read_record(path: Path, scenario: Scenario, plan: Plan, batch: str) -> ReadRecord:
    """The weighings that a record of this plan tells; a last line without a line end is torn, and passed over.

    The scenario and the batch number are those of `record_head`.
    """
    notes, file = Notes(), path.as_posix()
    data = file_bytes(path, LARGEST_RECORD_MIB, notes)
    sound = b"" if data is None else data[: data.rfind(b"\n") + 1]
    text = utf8_text(sound, file, notes)
    head = (*_head(scenario, plan), batch)
    entries = () if text is None else tuple(_Read(file, plan, notes).entries(text, head))
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
        """Whether the record is one of this plan; older ones have no batch number."""
        told = tuple(cell.value for cell in line.cells)
        place = line.cells[0].place
        if told[:2] != head[:2] or len(told) not in {len(head) - 1, len(head)}:
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
        return told[: len(head) - 1] == head[:-1]

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
