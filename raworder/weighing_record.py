"""The record of a session that weighs: what is typed is on the disk at once, and nothing of it is lost unsaid.

Whoever has a record holds its lock. A disk that knows no locks, or an editor, could still change the file under our
hands; so before every line the file must be what this session knows it to be.
"""

import os
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click

from raworder.desk import Exit, tell

if TYPE_CHECKING:
    from raworder.plan import Plan
    from raworder.reading.weighed import Entry, ReadRecord
    from raworder.trade import Scenario


class WeighingRecord:
    """A record that is open to be gone on with; findings in the file end the command."""

    def __init__(self, path: Path, scenario: "Scenario", plan: "Plan", batch: str) -> None:
        """Read what is there already: a torn last line is cut off, and a new record begins with its head."""
        from raworder.reading.weighed import ReadRecord, record_head
        from raworder.whole_files import replace_whole, target_of

        self.path, self._file = path, target_of(path)
        head = record_head(scenario, plan, batch)
        found = self._read(scenario, plan, batch) if path.exists() else ReadRecord((), 0, ())
        self.entries = list(found.entries)
        self._numbers = list(found.numbers)
        data = self._file.read_bytes() if path.exists() else b""
        if found.unnumbered:
            self._known = _numbered(head, found)
            replace_whole(path, self._known)
        elif found.sound_bytes:
            self._known = data
            if found.sound_bytes < len(data):
                self._cut_to(data[: found.sound_bytes])
        else:
            self._begin(data, head)

    def add(self, entry: "Entry") -> None:
        """Keep one weighing, with the next number."""
        from raworder.reading.weighed import record_line

        number = self._known.count(b"\n")
        self._write(record_line(number, entry))
        self.entries.append(entry)
        self._numbers.append(number)

    def take_back(self) -> None:
        """Take the last weighing that this session knows out of the record, by its number; the head stays."""
        if self._numbers:
            lines = self._known.splitlines(keepends=True)
            self._cut_to(b"".join(lines[: self._numbers[-1]]))
            self._numbers.pop()
            self.entries.pop()

    def _read(self, scenario: "Scenario", plan: "Plan", batch: str) -> "ReadRecord":
        from raworder.reading.weighed import read_record

        found = read_record(self.path, scenario, plan, batch)
        tell(found.findings)
        if found.findings:
            sys.exit(Exit.REFUSED)
        return found

    def _begin(self, data: bytes, head: str) -> None:
        """Write the head, also where only a part of it was written; any other file stays as it is."""
        if not head.encode().startswith(data):
            raise click.UsageError(f"`{self.path}` is no record of weighing; name a file that is not there yet")
        from raworder.whole_files import named

        is_new = not self._file.exists()
        with named(self.path):
            self._file.open("ab").close()
        self._known = data
        try:
            self._cut_to(b"")
            self._write(head)
        except OSError:
            if is_new:
                self._file.unlink(missing_ok=True)
            raise

    def _write(self, line: str) -> None:
        """Add a line so that it stays there whatever happens next, or nothing of it."""
        from raworder.whole_files import named

        self._must_be_known()
        with named(self.path), self._file.open("ab") as file:
            try:
                file.write(line.encode())
                file.flush()
                os.fsync(file.fileno())
            except OSError:
                with suppress(OSError):
                    os.ftruncate(file.fileno(), len(self._known))
                raise
        self._known += line.encode()

    def _cut_to(self, kept: bytes) -> None:
        """Cut the file to its first bytes."""
        from raworder.whole_files import named

        self._must_be_known()
        with named(self.path), self._file.open("r+b") as file:
            file.truncate(len(kept))
            os.fsync(file.fileno())
        self._known = kept

    def _must_be_known(self) -> None:
        """OSError where something else has changed the file since we read or wrote it."""
        try:
            there = self._file.read_bytes()
        except FileNotFoundError:
            there = None
        if there != self._known:
            raise OSError(
                f"`{self.path}` was changed by something else meanwhile, so what was typed last is not kept; look what "
                "it holds, and run the same command again"
            )


def _numbered(head: str, found: "ReadRecord") -> bytes:
    """What a record of before holds, with a number on each line."""
    from raworder.reading.weighed import record_line

    lines = (record_line(number, entry) for number, entry in zip(found.numbers, found.entries, strict=True))
    return "".join((head, *lines)).encode()
