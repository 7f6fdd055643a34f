"""The text of a label is as large as fits, and what does not fit is told. All names are invented."""

from fractions import Fraction

import pytest

from raworder.rendering.label_sheets import (
    HEADING_LINES,
    LARGEST,
    SMALLEST,
    FittedLabel,
    fit_label,
    line_text,
    lines_needed,
    split_words,
)
from raworder.trade.document import Label

PLAIN = Label(
    "Maple", ("Sat 2027-02-06, 550 g", "batch 270206-AB12", "2 chicken necks (156 g), 394 g beef trim"), "bag 7"
)
WIDE, HIGH = Fraction(170), Fraction(97)
"""About what is free on a label of 63.5 by 38.1 mm, in points."""


def fit(label: Label = PLAIN, width: Fraction = WIDE, height: Fraction = HIGH) -> FittedLabel:
    return fit_label(label, width, height)


@pytest.mark.parametrize(
    ("words", "most", "lines"),
    [
        ([], 1_000, 1),
        ([1_000], 1_000, 1),
        ([325, 326], 1_000, 1),  # with a space of 349 between them just 1000
        ([326, 326], 1_000, 2),
        ([900, 900, 900], 1_000, 3),
        ([100, 5_000], 2_520, 6),  # on a line of its own, broken into pieces of 1100, then one more letter
    ],
)
def test_lines_are_counted_as_words_fill_them(words: list[int], most: int, lines: int) -> None:
    assert lines_needed(words, most) == lines


def test_a_day_an_amount_and_a_batch_are_never_broken() -> None:
    words = split_words("Sat 2027-02-06, 1.25 kg (78 g), 4.1 oz; batch 270206-AB12 Anne-Marie 12 necks 5 grams")
    whole = [word.text for word in words if word.is_whole]
    assert whole == ["Sat 2027-02-06,", "1.25 kg", "(78 g),", "4.1 oz;", "270206-AB12"]
    assert [word.text for word in words if not word.is_whole] == ["batch", "Anne-Marie", "12", "necks", "5", "grams"]


def test_words_of_hostile_text_are_clean() -> None:
    assert line_text(split_words("a\x00 b\n\x1b[31mc\N{RIGHT-TO-LEFT OVERRIDE}")) == "a b [31mc"


def test_letters_are_never_larger_than_the_largest_nor_smaller_than_the_smallest() -> None:
    assert fit(width=Fraction(2_000), height=Fraction(2_000)).size == LARGEST
    assert fit(width=Fraction(110), height=Fraction(30)).size == SMALLEST


def test_more_room_never_makes_letters_smaller() -> None:
    sizes = [fit(height=Fraction(height)).size for height in range(40, 200, 5)]
    assert sizes == sorted(sizes)
    assert len(set(sizes)) > 5


def test_a_long_name_gets_two_lines_before_it_is_cut() -> None:
    short, long, endless = (fit(Label(name, PLAIN.lines)) for name in ("Maple", "Longwhiskers " * 3, "W" * 120))
    assert short.heading_size > short.size
    assert (short.heading_kept, short.is_cut) == (0, False)
    assert (long.heading_kept, long.is_cut) == (HEADING_LINES, False)
    assert (endless.heading_kept, endless.is_cut) == (HEADING_LINES, True)


def test_lines_run_together_before_the_last_loses_its_end() -> None:
    contents = ", ".join(["120 g turkey thigh boneless"] * 9)
    label = Label("Maple", (*PLAIN.lines[:2], contents), "bag 7", ("no chicken: keep apart",))
    roomy, tight, tighter = (fit(label, height=Fraction(height)) for height in (97, 60, 48))
    assert (roomy.kept, roomy.is_cut, len(roomy.rest)) == (0, False, 2)
    assert (tight.is_cut, len(tight.rest), len(tight.mind)) == (False, 1, 1)
    assert line_text(tight.rest[0]) == f"batch 270206-AB12; {contents}"
    assert tighter.is_cut
    assert 0 < tighter.kept < tight.kept


def test_where_what_to_mind_takes_all_the_room_it_begins_the_text() -> None:
    mind = tuple(f"no species {number}: keep apart" for number in range(12))
    found = fit(Label("Maple", PLAIN.lines, "bag 7", mind), height=Fraction(50))
    assert found.mind == ()
    assert line_text(found.rest[0]).startswith(mind[0])
    assert found.is_cut


def test_an_empty_label_is_no_mistake() -> None:
    assert fit(Label("", ())).rest == ()
    assert not fit(Label("", ("", ""), "", ("",))).is_cut
