"""Text is made harmless before it is shown."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.rendering.clean import ascii_text, escaped, is_hostile, lines, one_line
from tests.rendering.hell import NAMES

# Source: Unicode Standard Annex 9, the explicit direction formatting characters and marks, from memory, not looked up.
DIRECTIONS = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


@pytest.mark.parametrize("character", DIRECTIONS)
def test_every_direction_character_is_hostile(character: str) -> None:
    assert is_hostile(character)
    assert one_line(f"a{character}b") == "ab"
    assert escaped(character) == f"\\u{ord(character):04x}"


@pytest.mark.slow
@given(st.text(st.characters()))
def test_one_line_never_holds_a_control_character(text: str) -> None:
    assert not any(unicodedata.category(one) in {"Cc", "Cs", "Zl", "Zp"} for one in one_line(text))


@given(st.text(st.characters()))
def test_escaped_text_can_be_encoded_and_moves_nothing(text: str) -> None:
    assert escaped(text).encode("utf-8").decode("utf-8").isprintable() or not any(map(is_hostile, escaped(text)))


@pytest.mark.parametrize("character", ["\x00", "\x85", "\u2028", "\u2029", "\ud800", "\ufeff"])
def test_what_breaks_lines_or_cannot_be_encoded_is_hostile(character: str) -> None:
    assert is_hostile(character)


def test_escape_codes_are_shown_as_what_they_are() -> None:
    assert escaped("a\x1b[31m\x00") == "a\\x1b[31m\\x00"


def test_a_name_over_two_lines_becomes_one() -> None:
    assert one_line("two\n lines\t here ") == "two lines here"


def test_joined_emoji_stay_joined() -> None:
    family = "\N{WOMAN}\N{ZERO WIDTH JOINER}\N{DOG FACE}"
    assert one_line(family) == family


def test_lines_keep_their_indents() -> None:
    assert lines("dogs:\r\n\t- name: x\x1b") == ("dogs:", "    - name: x")


@pytest.mark.parametrize("name", NAMES)
def test_ascii_text_is_ascii(name: str) -> None:
    assert ascii_text(name).isascii()


def test_accents_are_dropped_in_ascii() -> None:
    assert ascii_text("pâté") == "pate"
