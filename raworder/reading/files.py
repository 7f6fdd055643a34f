"""Files as text: unreadable files and characters that are not allowed become findings, never exceptions."""

import codecs
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from raworder.reading.located import Text
from raworder.reading.notes import Notes
from raworder.trade.findings import Place

ALLOWED = "\t\n\u200c\u200d"
"""Tab and line end, and the two joiners that scripts and emoji need."""

REFUSED = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
"""Categories of characters that control, turn the writing or hide, and of halves of characters."""

BLANK = "\u115f\u1160\u2800\u3164\uffa0"
"""Letters and signs that show nothing: the fillers of Hangul, and the empty Braille pattern."""

NONCHARACTERS = range(0xFDD0, 0xFDF0)
"""Code points that are no characters, with the last two of every plane. Source: Unicode, 23.7, from memory, not looked
up."""


def may_not_stand(character: str) -> bool:
    """Whether the character is forbidden in any text."""
    if character in ALLOWED:
        return False
    code = ord(character)
    return unicodedata.category(character) in REFUSED or code in NONCHARACTERS or code & 0xFFFE == 0xFFFE


def first_strange(text: str) -> int | None:
    """The place of the first forbidden character, if any; each kind of character is checked once."""
    if text.isprintable():
        return None
    return min((text.index(name) for name in set(text) if may_not_stand(name)), default=None)


def strange_in(text: str) -> str:
    """What is wrong with the first character that may not stand in the text; nothing where all may.

    >>> strange_in("Maple"), strange_in("Ma\u00adple")
    ('', 'the character U+00AD may not stand here')
    """
    at = first_strange(text)
    return "" if at is None else f"the character U+{ord(text[at]):04X} may not stand here"


def note_strange(text: str, file: str, notes: Notes, remedy: str = "take it out") -> bool:
    """Whether a character of a file's text may not stand there, which is noted at its line and column."""
    at = first_strange(text)
    if at is None:
        return False
    place = Place(file, text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at))
    notes.add("control-character", strange_in(text), place, remedy)
    return True


def without_strange(text: str) -> str:
    """The text without the characters that may not stand in it."""
    return "".join(letter for letter in text if not may_not_stand(letter))


def can_be_seen(text: str) -> bool:
    """Whether anything of the text shows: white space, joiners and marks without a letter do not."""
    return any(unicodedata.category(letter)[0] not in "MZ" and letter not in ALLOWED + BLANK for letter in text)


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
