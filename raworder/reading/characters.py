"""Characters: which may stand in no text of a person, and which can be seen at all."""

import unicodedata

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


def is_forbidden(character: str) -> bool:
    """Whether the character is forbidden in any text."""
    if character in ALLOWED:
        return False
    code = ord(character)
    return unicodedata.category(character) in REFUSED or code in NONCHARACTERS or code & 0xFFFE == 0xFFFE


def first_forbidden(text: str) -> int | None:
    """The place of the first forbidden character, if any; each kind of character is checked once."""
    if text.isprintable():
        return None
    return min((text.index(name) for name in set(text) if is_forbidden(name)), default=None)


def describe_forbidden(text: str) -> str:
    """What is wrong with the first character that may not stand in the text; nothing where all may.

    >>> describe_forbidden("Maple"), describe_forbidden("Ma\u00adple")
    ('', 'the character U+00AD may not stand here')
    """
    at = first_forbidden(text)
    return "" if at is None else f"the character U+{ord(text[at]):04X} may not stand here"


def note_forbidden(text: str, file: str, notes: Notes, remedy: str = "take it out") -> bool:
    """Whether a character of a file's text may not stand there, which is noted at its line and column."""
    at = first_forbidden(text)
    if at is None:
        return False
    place = Place(file, text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at))
    notes.add("control-character", describe_forbidden(text), place, remedy)
    return True


def drop_forbidden(text: str) -> str:
    """The text without the characters that may not stand in it."""
    return "".join(letter for letter in text if not is_forbidden(letter))


def can_be_seen(text: str) -> bool:
    """Whether anything of the text shows: white space, joiners and marks without a letter do not."""
    return any(unicodedata.category(letter)[0] not in "MZ" and letter not in ALLOWED + BLANK for letter in text)
