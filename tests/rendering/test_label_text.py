"""The text of all labels is as large as the fullest allows, and what does not fit is told. All names are invented."""

from dataclasses import replace
from fractions import Fraction

import pytest

from raworder.rendering.label_sheets import (
    CRITICAL_LEAST,
    LARGEST,
    LINE_HEIGHT,
    SMALLEST,
    FittedLabel,
    Sizes,
    fit_labels,
    line_text,
    lines_needed,
    split_words,
)
from raworder.trade.document import Label

CONTENTS = ("2 chicken necks, 45 g lamb liver, rest beef trim", "2 chicken necks, lamb liver, beef trim", "")
PLAIN = Label("Maple", "Sat 6 Feb", "7", "A", lines=("550 g, batch 270206-AB12",), contents=CONTENTS)
AVOIDING = Label("Juniper", "Sun 7 Feb", "16", "B", "no chicken: keep apart", "keep it back", PLAIN.lines, CONTENTS)
WIDE, HIGH = Fraction(170), Fraction(97)
"""About what is free on a label of 63.5 by 38.1 mm, in points."""


def fit_all(*labels: Label, width: Fraction = WIDE, height: Fraction = HIGH) -> tuple[Sizes, tuple[FittedLabel, ...]]:
    return fit_labels(labels, width, height)


def fit(label: Label = PLAIN, width: Fraction = WIDE, height: Fraction = HIGH) -> FittedLabel:
    (fitted,) = fit_labels([label], width, height)[1]
    return fitted


def small(fitted: FittedLabel) -> list[str]:
    """The small print, line by line."""
    return [line_text(part.words) for part in fitted.small]


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
    words = split_words("Sat 6 Feb, 1.25 kg (78 g), 4.1 oz; batch 270206-AB12 Anne-Marie 12 necks 5 grams")
    whole = [word.text for word in words if word.is_whole]
    assert whole == ["Sat 6 Feb,", "1.25 kg", "(78 g),", "4.1 oz;", "270206-AB12"]
    assert [word.text for word in words if not word.is_whole] == ["batch", "Anne-Marie", "12", "necks", "5", "grams"]


def test_words_of_hostile_text_are_clean() -> None:
    assert line_text(split_words("a\x00 b\n\x1b[31mc\N{RIGHT-TO-LEFT OVERRIDE}")) == "a b [31mc"


def test_letters_are_never_larger_than_the_largest_nor_smaller_than_seven_points() -> None:
    assert fit_all(PLAIN, width=Fraction(2_000), height=Fraction(2_000))[0].small == LARGEST
    assert fit_all(PLAIN, width=Fraction(110), height=Fraction(30))[0].small == SMALLEST == 14


def test_critical_text_has_eleven_points_beside_the_smallest_print() -> None:
    """**Source:** US Pharmacopeia, general chapter 17, as summed up by Wisconsin Health Literacy."""
    assert CRITICAL_LEAST[0] == 2 * 11
    assert Fraction(125, 100) <= LINE_HEIGHT <= Fraction(130, 100)
    for room in range(40, 200, 5):
        sizes, _ = fit_all(AVOIDING, height=Fraction(room))
        assert sizes.number > sizes.critical >= sizes.note >= sizes.small
        if sizes.small > SMALLEST:
            assert sizes.critical >= 22
            assert sizes.critical > sizes.note > sizes.small


def test_more_room_never_makes_letters_smaller() -> None:
    fitted = [fit_all(AVOIDING, height=Fraction(height)) for height in range(40, 200, 5)]
    sizes = [found for found, (label,) in fitted if not label.is_cut]
    for parts in ([one.small for one in sizes], [one.critical for one in sizes], [one.number for one in sizes]):
        assert parts == sorted(parts)
        assert len(set(parts)) > 5


def test_the_fullest_label_gives_all_labels_their_sizes() -> None:
    alone, fullest = fit_all(PLAIN)[0], fit_all(AVOIDING)[0]
    assert alone.small > fullest.small
    assert fit_all(PLAIN, AVOIDING, PLAIN)[0] == fullest


def test_a_label_that_fits_in_no_size_makes_no_other_smaller() -> None:
    endless = Label("W" * 300, "Sat 6 Feb", "9", "A")
    sizes, (plain, cut) = fit_all(AVOIDING, endless, height=Fraction(75))
    assert (plain.is_cut, cut.is_cut) == (False, True)
    assert sizes.critical == fit_all(AVOIDING, height=Fraction(75))[0].critical


def test_lines_run_together_then_contents_shrink_then_critical_letters() -> None:
    line, short = "550 g", "2 chicken necks, lamb liver, beef heart, beef trim"
    full = "2 chicken necks, 45 g lamb liver, 30 g beef heart, 20 g beef kidney, 20 g kale, rest trim of beef"
    label = replace(AVOIDING, lines=(line,), contents=(full, short, ""))
    fitted = [fit_all(label, height=Fraction(height, 2)) for height in range(200, 100, -1)]
    shapes = list(dict.fromkeys(tuple(small(found)) for sizes, (found,) in fitted if sizes.critical >= 22))
    assert shapes == [(line, full), (f"{line}; {full}",), (f"{line}; {short}",), (line,)]
    shrunk = [found for sizes, (found,) in fitted if sizes.critical < 22]
    assert shrunk
    assert not any(found.is_cut for found in shrunk)


def test_only_a_label_without_room_is_shortened() -> None:
    sizes, (plain, avoiding) = fit_all(PLAIN, AVOIDING, height=Fraction(75))
    assert sizes == Sizes(SMALLEST, 22)
    assert small(plain) == [*PLAIN.lines, CONTENTS[0]]
    assert small(avoiding) == list(PLAIN.lines)


def test_what_does_not_fit_is_cut_from_the_end() -> None:
    label = Label("Maple", "Sat 6 Feb", "7", "A", "no chicken: keep apart", lines=PLAIN.lines, contents=("x y " * 300,))
    found = fit(label)
    assert found.is_cut
    assert [part.kept for part in (found.dog, found.day, found.apart)] == [1, 1, 1]
    assert [part.kept for part in found.small] == [5]  # (97 - 3 x 13.75 - 3 x 2.2) / 8.75
    low = fit(label, height=Fraction(30))
    assert line_text(low.dog.words) == "Maple"
    assert line_text(low.apart.words) == ""


def test_a_long_name_gets_two_lines_before_it_is_cut() -> None:
    short, long, endless = (fit(Label(name, "Sat 6 Feb", "7")) for name in ("Maple", "Longwhiskers " * 3, "W" * 300))
    assert not short.is_cut
    assert not long.is_cut
    assert (endless.is_cut, endless.dog.kept) == (True, 2)


def test_an_empty_label_is_no_mistake() -> None:
    assert not fit(Label("")).is_cut
    assert not fit(Label("", "", "", "", "", "", ("",), ("",))).is_cut
    assert fit_all()[1] == ()
