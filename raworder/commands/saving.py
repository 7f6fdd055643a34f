"""Files that are whole or not there, folders replaced as one, and locks that go with their process."""

import errno
import os
import re
import shutil
import stat
import sys
from collections.abc import Collection, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from datetime import datetime
from pathlib import Path
from time import monotonic, sleep

TAKEN = frozenset({errno.EACCES, errno.EAGAIN, errno.EDEADLK})
"""Error numbers of the systems for a lock that another process holds."""

SINCE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2}:[0-9]{2}")
"""The time in a lock since when it is held."""

LONGEST_SIGN = 200
"""Bytes of a lock that are read."""

FAR = 1 << 30
"""The byte that is locked on Windows: far behind the text, as nobody else can read a locked byte there."""

LOOKS_A_SECOND = 20
"""How many times a second we try a lock again."""


@contextmanager
def hold_lock(path: Path, wait_s: int = 0) -> Iterator[None]:
    """Hold the lock of a file meanwhile; BlockingIOError names its holder if it is not free after `wait_s` seconds.

    The lock is the system's own, so that it goes with its process even if that is killed.
    """
    beside = lock_path(path)
    descriptor = _wait_for_lock(path, beside, monotonic() + wait_s)
    try:
        _sign_lock(descriptor)
        yield
    finally:
        with suppress(OSError):  # Windows leaves it, as it is open; it does no harm
            beside.unlink()
        os.close(descriptor)


def lock_path(path: Path) -> Path:
    """The file that is locked in place of the one to write, which is replaced and would take its lock along."""
    return hidden_path(path, "lock")


def hidden_path(path: Path, what: str) -> Path:
    """Our hidden name beside a file, the same each time; a very long name is cut and gets its hash."""
    name = path.name
    if len(os.fsencode(name)) > 150:  # names end at 255 bytes on most disks
        import hashlib

        name = f"{name[:30]}-{hashlib.sha256(os.fsencode(name)).hexdigest()[:16]}"
    return path.with_name(f".{name}.raworder-{what}")


def _wait_for_lock(path: Path, beside: Path, until: float) -> int:
    """The lock as an open file descriptor, once it is ours and still the file of that name."""
    while True:
        descriptor = _open_lock(path, beside)
        try:
            if not _try_lock(descriptor):
                if monotonic() >= until:
                    raise BlockingIOError(f"`{path}` is in use by {_lock_holder(descriptor)}; let that one end first")
                sleep(1 / LOOKS_A_SECOND)
            elif _is_still_there(descriptor, beside):
                kept, descriptor = descriptor, -1
                return kept
        finally:
            if descriptor >= 0:
                os.close(descriptor)


def _open_lock(path: Path, beside: Path) -> int:
    """The descriptor of the file to lock, made if need be; OSError names the file to write."""
    try:
        return os.open(beside, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from None


def _try_lock(descriptor: int) -> bool:
    """Whether we got the lock; a disk that knows no locks counts as yes, as files must be written there too."""
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
    """Whether the lock file is still there: its last holder may have removed it just as we opened it."""
    with suppress(FileNotFoundError):
        return os.path.samestat(os.fstat(descriptor), beside.stat())
    return False


def _sign_lock(descriptor: int) -> None:
    """Write our process and the time into the lock; where that fails, it holds all the same."""
    with suppress(OSError):
        os.ftruncate(descriptor, 0)
        os.lseek(descriptor, 0, os.SEEK_SET)
        os.write(descriptor, f"{os.getpid()} {datetime.now().astimezone():%Y-%m-%d %H:%M:%S}\n".encode("ascii"))


def _lock_holder(descriptor: int) -> str:
    """The holder of the lock, as it wrote itself down."""
    os.lseek(descriptor, 0, os.SEEK_SET)
    pid, _, since = os.read(descriptor, LONGEST_SIGN).decode("ascii", "replace").strip().partition(" ")
    is_signed = pid.isdigit() and SINCE.fullmatch(since)
    return f"process {pid} since {since}" if is_signed else "another process"


Tables = tuple[tuple[str, bytes], ...]
"""The files of a folder: name and content."""

FULL = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})
"""Error numbers of the systems for a full disk."""

WAIT_S = 5
"""Seconds to wait for another run that writes the same file."""

LIST = ".raworder-tables"
"""The file in a folder of tables that names them, so that a later run knows which are ours to take away."""


def save(contents: Sequence[tuple[Path, bytes | Tables]], *, overwrite: bool, updated: Collection[Path] = ()) -> None:
    """Write files and folders of tables, each whole: all of them or, where one cannot be written, none.

    All is written beside its place first. A link is written through. FileExistsError for what is there and may not be
    replaced, is no ordinary file, or is a folder that holds more than our tables; OSError where two are the same. What
    is `updated` may be replaced in any case.
    """
    targets = [(path, resolve_target(path), content) for path, content in contents]
    _refuse_two_in_one(targets)
    fresh = [target for target in targets if target[0] not in updated]
    _refuse_to_replace(fresh, overwrite=overwrite)
    with ExitStack() as locks:
        for path, target, _ in targets:
            with name_file_in_errors(path):
                target.parent.mkdir(parents=True, exist_ok=True)
                locks.enter_context(hold_lock(target, WAIT_S))
                _clean_up(target)
        _refuse_to_replace(fresh, overwrite=overwrite)  # a run that was killed may have left a folder to put back
        try:
            for path, target, content in targets:
                with name_file_in_errors(path):
                    _write_beside(target, content)
            for path, target, _ in targets:
                with name_file_in_errors(path):
                    _put_in_place(target)
        finally:
            for _, target, _ in targets:
                _remove(hidden_path(target, "new"))


def replace_whole(path: Path, content: bytes) -> None:
    """Replace a file as a whole; its lock must be ours already."""
    target = resolve_target(path)
    _remove(hidden_path(target, "new"))
    with name_file_in_errors(path):
        _write_beside(target, content)
        _put_in_place(target)


def resolve_target(path: Path) -> Path:
    """The path behind all links; OSError where no file can be there."""
    try:
        target = path.resolve()
        circle = target.is_symlink()
    except (OSError, RuntimeError):
        circle = True
    except ValueError:
        raise OSError(f"`{path}` is no name for a file; choose another") from None
    if circle:
        raise OSError(f"`{path}` cannot be used: its links lead round in a circle; choose another name")
    return target


@contextmanager
def name_file_in_errors(path: Path) -> Iterator[None]:
    """Make errors of the system name the file, and say what to do where the disk is full."""
    try:
        yield
    except OSError as error:
        if error.errno in FULL:
            why = (error.strerror or "no room").lower()
            raise OSError(f"`{path}` cannot be written: {why}; make room there, or name another place") from None
        if error.strerror is None:  # our own words
            raise
        raise OSError(error.errno, error.strerror, str(path)) from None


def _refuse_two_in_one(targets: Sequence[tuple[Path, Path, bytes | Tables]]) -> None:
    """Raise OSError where two things go into one file, or a file into a folder that is replaced as one."""
    for place, (path, target, _) in enumerate(targets):
        for _, other, content in (*targets[:place], *targets[place + 1 :]):
            if target == other:
                raise OSError(f"`{path}` is to hold two things; choose a name for each")
            if not isinstance(content, bytes) and target.is_relative_to(other):
                raise OSError(f"`{path}` is in the folder of the tables, which is replaced as one; choose another name")


def _refuse_to_replace(targets: Sequence[tuple[Path, Path, bytes | Tables]], *, overwrite: bool) -> None:
    """Raise FileExistsError for what is there and may not be replaced."""
    for path, target, content in targets:
        if path.is_symlink() and not target.exists() and not overwrite:
            raise FileExistsError(f"`{path}` is a link to what is not there; add --overwrite to write that")
        if not isinstance(content, bytes):
            _refuse_folder(path, target, {name for name, _ in content}, overwrite=overwrite)
        elif target.exists() and not target.is_file():
            raise FileExistsError(f"`{path}` is there already and is no file; choose another name")
        elif target.exists() and not overwrite:
            raise FileExistsError(f"`{path}` is there already; add --overwrite to replace it")


def _refuse_folder(path: Path, folder: Path, names: Collection[str], *, overwrite: bool) -> None:
    """Raise FileExistsError for a folder that may not be replaced as one."""
    if folder.exists() and not folder.is_dir():
        raise FileExistsError(f"`{path}` is there already and is no folder; choose another name")
    if Path.cwd().is_relative_to(folder):
        raise FileExistsError(
            f"`{path}` is the folder that you are in, and is replaced as one; name one for the tables"
        )
    there = sorted(path.name for path in folder.iterdir()) if folder.exists() else []
    other = next((name for name in there if name not in {*names, *_our_files(folder)}), None)
    if other is not None:
        raise FileExistsError(
            f"`{path}` holds `{other}`, which is no table of this command; name a folder for the tables"
        )
    if there and not overwrite:
        raise FileExistsError(f"`{path}` holds tables already; add --overwrite to replace them")


def _our_files(folder: Path) -> tuple[str, ...]:
    """The files that an earlier run wrote into the folder: its tables and the list of them."""
    try:
        return (LIST, *(folder / LIST).read_text(encoding="utf-8").split("\n"))
    except (OSError, ValueError):
        return ()


def _clean_up(target: Path) -> None:
    """Remove what a killed run left beside a target; a folder that it had moved out of the way is put back."""
    old = hidden_path(target, "old")
    if old.exists() and not target.exists():
        old.replace(target)
    _remove(hidden_path(target, "new"))
    _remove(old)


def _remove(ours: Path) -> None:
    """Remove a file or folder under a hidden name of ours, if it is there."""
    if ours.is_dir() and not ours.is_symlink():
        shutil.rmtree(ours)
    else:
        ours.unlink(missing_ok=True)


def _write_beside(target: Path, content: bytes | Tables) -> None:
    """Write the new content of a target under a hidden name, with the permissions of the old."""
    new = hidden_path(target, "new")
    if isinstance(content, bytes):
        _write_new(new, content, target)
        return
    new.mkdir()
    for name, table in (*content, (LIST, "\n".join(name for name, _ in content).encode())):
        _write_new(new / name, table, target / name)
    _make_like(new, target)


def _write_new(path: Path, content: bytes, like: Path) -> None:
    """Write a new file to the disk, with the permissions of `like` if that is there."""
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    _make_like(path, like)


def _make_like(path: Path, like: Path) -> None:
    """Give a file the permissions of `like`, if that is there, and its owner where we may."""
    with suppress(FileNotFoundError):
        status = like.stat()
        if hasattr(os, "chown"):
            with suppress(OSError):
                os.chown(path, status.st_uid, status.st_gid)
        path.chmod(stat.S_IMODE(status.st_mode))


def _put_in_place(target: Path) -> None:
    """Move what was written beside a target into its place."""
    new, old = hidden_path(target, "new"), hidden_path(target, "old")
    if not new.is_dir() or not target.exists():
        new.replace(target)
        return
    # No system swaps two folders in one step: the old one waits under our hidden name, to be put back on an error.
    target.replace(old)
    try:
        new.replace(target)
    except OSError:
        old.replace(target)
        raise
    _remove(old)
