"""Files as text: a file that cannot be read becomes a finding, never an exception."""

import codecs
from dataclasses import dataclass
from pathlib import Path

from raworder.reading.located import Text
from raworder.reading.notes import Notes
from raworder.trade.findings import Place

LARGEST_BYTES = 2 * 1024 * 1024
"""The largest scenario or price list read."""

_UTF16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


@dataclass(frozen=True, slots=True)
class NamedFile:
    """A file that somebody named: its path, where its name stands and how it is written, and how it is to be read."""

    path: Path
    place: Place
    written: str
    sheet: Text | None = None
    encoding: str = ""


def plain_file(path: Path) -> NamedFile:
    """A file that nobody named in another one: what is wrong with it is told at its top."""
    return NamedFile(path, Place(path.as_posix(), 1, 1), path.name)


def file_text(path: Path, place: Place, notes: Notes, encoding: str = "") -> str | None:
    """The text of a regular file with plain line ends, or None with the reason in the notes, told at `place`.

    UTF-8 with or without its mark, UTF-16 by its mark, another encoding only when it is named.
    """
    data = file_bytes(path, place, notes)
    if data is None:
        return None
    used = encoding or ("utf-16" if data.startswith(_UTF16) else "utf-8-sig")
    try:
        text = data.decode(used)
    except UnicodeError:
        inside = Place(path.as_posix(), *_where(data)) if not encoding else place
        notes.add(
            "unreadable-text", f"`{path.name}` is not {used.removesuffix('-sig')} text", inside, "save it as UTF-8"
        )
        return None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def file_bytes(path: Path, place: Place, notes: Notes) -> bytes | None:
    """What a regular file holds, or None with the reason in the notes, told at `place`."""
    try:
        if not path.exists():
            notes.add("no-such-file", f"there is no file `{path.name}`", place, "check the name and the folder")
        elif not path.is_file():
            notes.add("not-a-file", f"`{path.name}` is not a regular file", place, "name a text file")
        elif path.stat().st_size > LARGEST_BYTES:
            notes.add(
                "too-large", f"`{path.name}` is larger than 2 MiB", place, "split it, or take out what is not needed"
            )
        else:
            return path.read_bytes()
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "the name cannot be used"
        notes.add(
            "unreadable-file",
            f"`{path.name}` cannot be read: {why.lower()}",
            place,
            "check the name and its permissions",
        )
    return None


def _where(data: bytes) -> tuple[int, int]:
    """Line and column of the first byte that is not UTF-8; 1, 1 when there is none."""
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        return before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1
    return 1, 1
