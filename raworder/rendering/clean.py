"""Text made harmless: control and direction characters out, or shown escaped, or all of it in ASCII."""

import unicodedata

JOINERS = "\u200c\u200d"
"""Format characters that scripts and emoji need."""


def is_hostile(character: str) -> bool:
    """Whether a character moves the cursor, turns the direction of text, hides, or cannot be encoded."""
    category = unicodedata.category(character)
    return category in {"Cc", "Cs", "Zl", "Zp"} or (category == "Cf" and character not in JOINERS)


def one_line(text: str) -> str:
    """The text on one line, without hostile characters, its white space made single spaces."""
    spaced = "".join(" " if letter.isspace() else letter for letter in text)
    return " ".join("".join(letter for letter in spaced if not is_hostile(letter)).split())


def lines(text: str) -> tuple[str, ...]:
    """The lines of a text with their indents, without hostile characters; tabs become four spaces."""
    broken = text.replace("\r\n", "\n").expandtabs(4).split("\n")
    return tuple("".join(letter for letter in line if not is_hostile(letter)) for line in broken)


def cut_off(text: str, longest: int) -> str:
    """The text on one line, cut off with an ellipsis where it is longer."""
    clean = one_line(text)
    return clean if len(clean) <= longest else f"{clean[: longest - 1].rstrip()}…"


def escaped(text: str) -> str:
    r"""The text with every hostile character shown as what it is: `\x1b`, `\u202e`."""
    return "".join(escape(letter) for letter in text)


def escaped_lines(text: str) -> str:
    """The same for a text of several lines, which stay lines."""
    return "\n".join(map(escaped, text.split("\n")))


def escape(character: str) -> str:
    """One character, escaped when it is hostile."""
    return character.encode("unicode_escape").decode("ascii") if is_hostile(character) else character


def ascii_text(text: str) -> str:
    """The text in ASCII: accents dropped, what then remains as question marks."""
    plain = "".join(letter for letter in unicodedata.normalize("NFKD", text) if not unicodedata.combining(letter))
    return plain.encode("ascii", "replace").decode("ascii")
