"""A lock keeps other processes from a file for as long as its holder lives, and not a moment longer.

**Source:** the house's own rules; no outside source.
"""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from raworder.commands.saving import hold_lock, lock_path
from tests.commands.running import surroundings

HOLDS = """
import sys, time
from pathlib import Path
from raworder.commands.saving import hold_lock
with hold_lock(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


def test_who_has_a_lock_is_told_and_nothing_of_it_stays(tmp_path: Path) -> None:
    file = tmp_path / "weighed.csv"
    with (
        hold_lock(file),
        pytest.raises(BlockingIOError, match=f"weighed.csv` is in use by process {os.getpid()} since "),
        hold_lock(file),
    ):
        pass
    with hold_lock(file):
        pass
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name != "posix", reason="needs a process that can be killed")
def test_the_lock_of_a_process_that_was_killed_holds_nobody_up(tmp_path: Path) -> None:
    file = tmp_path / "weighed.csv"
    words = [sys.executable, "-c", HOLDS, str(file)]
    with subprocess.Popen(words, env=surroundings(), stdout=subprocess.PIPE) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"held\n"
        with pytest.raises(BlockingIOError, match=f"process {other.pid} since"), hold_lock(file):
            pass
        other.send_signal(signal.SIGKILL)
    assert lock_path(file).exists()
    with hold_lock(file):
        pass
    assert list(tmp_path.iterdir()) == []


def test_whoever_waits_gets_the_lock_when_it_is_let_go(tmp_path: Path) -> None:
    file, code = tmp_path / "weighed.csv", HOLDS.replace("60", "0.4")
    with subprocess.Popen([sys.executable, "-c", code, str(file)], env=surroundings(), stdout=subprocess.PIPE) as other:
        assert other.stdout is not None
        other.stdout.readline()
        with hold_lock(file, wait_s=20):
            pass
    assert list(tmp_path.iterdir()) == []


def test_what_stands_in_a_lock_is_never_echoed_unless_it_is_a_number_and_a_time(tmp_path: Path) -> None:
    file = tmp_path / "weighed.csv"
    for sign in ("", "\x1b[2J", "12", "12 \x1b[2J", "\x1b 2027-02-06 10:00:00"):
        with hold_lock(file):
            lock_path(file).write_text(sign)
            with (
                pytest.raises(BlockingIOError, match="in use by another process; let that one end first"),
                hold_lock(file),
            ):
                pass


def test_where_no_lock_can_be_made_the_file_that_is_meant_is_named(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError) as caught, hold_lock(tmp_path / "none" / "weighed.csv"):
        pass
    assert caught.value.filename == str(tmp_path / "none" / "weighed.csv")


def test_a_name_as_long_as_a_disk_takes_has_a_lock_of_its_own(tmp_path: Path) -> None:
    one, other = tmp_path / ("ü" * 120 + "1"), tmp_path / ("ü" * 120 + "2")
    with hold_lock(one), hold_lock(other):
        assert lock_path(one) != lock_path(other)
