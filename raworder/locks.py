"""Locks: one process alone works on a file for as long as it lives; where it is killed, its lock goes with it.

The lock is the system's own, on a small file beside the one that is meant. What stands in that file only tells others
who is at work; without a living process behind it, it holds nobody up.
"""

import errno
import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from time import monotonic, sleep

TAKEN = frozenset({errno.EACCES, errno.EAGAIN, errno.EDEADLK})
"""What the systems say where another process has the lock."""

SINCE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2}:[0-9]{2}")
"""How a lock tells since when it is held."""

LONGEST_SIGN = 200
"""So many bytes of what stands in a lock are read."""

FAR = 1 << 30
"""The byte that is locked on Windows, which would let nobody read it: far behind what is written."""

LOOKS_A_SECOND = 20
"""How often a second it is looked whether a lock is free."""


@contextmanager
def held(path: Path, wait_s: int = 0) -> Iterator[None]:
    """Keep other processes from the file for a while; BlockingIOError says who has it, after so long a wait."""
    beside = lock_beside(path)
    descriptor = _taken(path, beside, monotonic() + wait_s)
    try:
        _sign(descriptor)
        yield
    finally:
        with suppress(OSError):  # Windows leaves it, as it is open; it does no harm
            beside.unlink()
        os.close(descriptor)


def lock_beside(path: Path) -> Path:
    """The file that is locked in place of the one that is meant."""
    return hidden_beside(path, "lock")


def hidden_beside(path: Path, what: str) -> Path:
    """A hidden name of ours beside a file, the same each time; a very long name is cut and told by its hash."""
    name = path.name
    if len(os.fsencode(name)) > 150:  # names end at 255 bytes on most disks
        import hashlib

        name = f"{name[:30]}-{hashlib.sha256(os.fsencode(name)).hexdigest()[:16]}"
    return path.with_name(f".{name}.raworder-{what}")


def _taken(path: Path, beside: Path, until: float) -> int:
    """The lock as an open file, once it could be had and is still the file of that name."""
    while True:
        descriptor = _opened(path, beside)
        try:
            if not _grabbed(descriptor):
                if monotonic() >= until:
                    raise BlockingIOError(f"`{path}` is in use by {_who(descriptor)}; let that one end first")
                sleep(1 / LOOKS_A_SECOND)
            elif _is_still_there(descriptor, beside):
                kept, descriptor = descriptor, -1
                return kept
        finally:
            if descriptor >= 0:
                os.close(descriptor)


def _opened(path: Path, beside: Path) -> int:
    """The file to lock, made if it is not there; OSError names the file that is meant."""
    try:
        return os.open(beside, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from None


def _grabbed(descriptor: int) -> bool:
    """Whether the lock could be had; a disk that knows no locks gives it, as files are written there all the same."""
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(descriptor, FAR, os.SEEK_SET)
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        return error.errno not in TAKEN
    return True


def _is_still_there(descriptor: int, beside: Path) -> bool:
    """Whether who had the lock before has not taken its file away just as we opened it."""
    with suppress(FileNotFoundError):
        return os.path.samestat(os.fstat(descriptor), beside.stat())
    return False


def _sign(descriptor: int) -> None:
    """Write into the lock who has it, since when; it holds without, too."""
    with suppress(OSError):
        os.ftruncate(descriptor, 0)
        os.lseek(descriptor, 0, os.SEEK_SET)
        os.write(descriptor, f"{os.getpid()} {datetime.now().astimezone():%Y-%m-%d %H:%M:%S}\n".encode("ascii"))


def _who(descriptor: int) -> str:
    """Who has the lock, as that one wrote it."""
    os.lseek(descriptor, 0, os.SEEK_SET)
    pid, _, since = os.read(descriptor, LONGEST_SIGN).decode("ascii", "replace").strip().partition(" ")
    told = pid.isdigit() and SINCE.fullmatch(since)
    return f"process {pid} since {since}" if told else "another process"
