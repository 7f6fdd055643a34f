"""No letter is narrower in the table than in the typefaces that labels are set in.

**Source:** the files of Liberation Sans (as wide as Arial) and DejaVu Sans, where they are installed.
"""

import unicodedata

import pytest

from raworder.rendering.letter_widths import BROAD, OTHER_WIDTH, WIDTHS, letter_width, text_width
from tests.left_out import typefaces
from tests.rendering.typefaces import BOLD, REGULAR, file_of, widest, widths

ASCII = "".join(map(chr, range(32, 127)))
SCRIPTS = ("LATIN", "GREEK", "CYRILLIC", "HEBREW", "ARABIC")
OLDER = "\u2000"
"""From here on there are letters of old books and forms of letters that nobody types."""

both = pytest.mark.parametrize(("names", "bold"), [(REGULAR, False), (BOLD, True)])


@both
def test_each_letter_takes_what_it_takes_in_the_wider_of_the_typefaces(names: tuple[str, ...], *, bold: bool) -> None:
    typefaces(names, file_of)
    assert {letter: letter_width(letter, bold=bold) for letter in ASCII} == {one: widest(names, one) for one in ASCII}


@both
def test_no_letter_of_these_scripts_takes_more_than_is_reckoned(names: tuple[str, ...], *, bold: bool) -> None:
    typefaces(names, file_of)
    seen = 0
    for path in filter(None, map(file_of, names)):
        for letter, width in widths(path).items():
            if letter.isalpha() and letter < OLDER and unicodedata.name(letter, "").startswith(SCRIPTS):
                seen += 1
                assert width * 1000 <= letter_width(letter, bold=bold), (letter, path.stem)
    assert seen > 1000
    for letter in BROAD:
        assert (widest(names, letter) or 0) <= letter_width(letter, bold=bold)


def test_the_j_of_one_typeface_is_wider_than_that_of_the_other() -> None:
    """A table recalled from one of them would be too narrow for the other."""
    typefaces(REGULAR, file_of)
    liberation, dejavu = (widths(path)["J"] for path in map(file_of, REGULAR) if path)
    assert liberation > dejavu
    assert letter_width("J") == liberation * 1000


def test_the_table_holds_every_letter_of_ascii_once() -> None:
    assert all("".join(sorted(table)) == ASCII for table in WIDTHS.values())


def test_bold_letters_are_no_narrower_and_accents_take_nothing() -> None:
    assert all(letter_width(one, bold=True) >= letter_width(one) for one in ASCII if one not in "@=")
    assert text_width("é") == text_width("e\N{COMBINING ACUTE ACCENT}") == letter_width("e")
    assert letter_width("ľ") > letter_width("l")
    assert letter_width("日", bold=True) == OTHER_WIDTH
