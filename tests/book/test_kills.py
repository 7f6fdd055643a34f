"""`kill -9` at random moments: what was confirmed is there whole, nothing is there by half, and writing goes on.

**Source:** the issue's own demand; no outside source. The moments are drawn by the seed of the run.
"""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from random import Random

import pytest

from raworder.book.ledger import looking_into
from tests.book.entered import enter
from tests.book.writer import BAGS, LOTS, batch_note
from tests.commands.running import surroundings
from tests.drawn import Draw

KILLS = 50
LONGEST_MS = 80

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(os.name != "posix", reason="needs a process that can be killed"),
]


def killed_after(path: Path, wait_ms: int) -> list[int]:
    """The numbers of the entries that a writer had confirmed when it was killed, so long after it began."""
    words = [sys.executable, "-m", "tests.book.writer", str(path)]
    with subprocess.Popen(words, env=surroundings(), stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == b"0\n"
        time.sleep(wait_ms / 1000)
        writer.send_signal(signal.SIGKILL)
        lines = writer.stdout.read().splitlines(keepends=True)
    assert writer.returncode == -signal.SIGKILL
    return [int(line) for line in lines if line.endswith(b"\n")]


def test_no_kill_loses_what_was_confirmed_or_leaves_half_an_entry(tmp_path: Path) -> None:
    path, moments = tmp_path / "book.sqlite", Random(Draw.seed)
    confirmed: list[int] = []
    for _ in range(KILLS * Draw.times):
        confirmed += killed_after(path, moments.randrange(LONGEST_MS))
        confirmed += enter(path, batch_note(f"after {len(confirmed)}"))
        assert_whole(path, confirmed)
    assert len(set(confirmed)) == len(confirmed) > KILLS


def assert_whole(path: Path, confirmed: list[int]) -> None:
    """Every confirmed entry is there; each one that is there has all its lots, draws and bags."""
    with looking_into(path) as tables:
        assert tables.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert tables.execute("PRAGMA foreign_key_check").fetchall() == []
        numbers = [number for (number,) in tables.execute("SELECT entry FROM entry ORDER BY entry")]
        assert set(confirmed) <= set(numbers)
        assert numbers == list(range(1, len(numbers) + 1))
        counts = {
            table: dict(tables.execute(f"SELECT entry, count(*) FROM {table} GROUP BY entry").fetchall())
            for table in ("batch", "lot", "draw", "bag")
        }
        contents = dict(tables.execute("SELECT entry, count(*) FROM content JOIN bag USING (bag) GROUP BY entry"))
    every = {"batch": 1, "lot": LOTS, "draw": LOTS, "bag": BAGS}
    assert counts == {table: dict.fromkeys(numbers, count) for table, count in every.items()}
    assert contents == dict.fromkeys(numbers, BAGS)
