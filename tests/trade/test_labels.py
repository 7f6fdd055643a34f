"""Sheets of labels add up on their paper.

**Source:** plain arithmetic; the margins that stand beside some grids from memory, not looked up.
"""

import re
from fractions import Fraction

import pytest

from raworder.trade.labels import (
    A4_MM,
    LETTER_MM,
    MM_PER_INCH,
    PAPERS_MM,
    SHEETS,
    SMALLEST_MM,
    USUAL_SHEETS,
    label_sheet,
)

MARGINS_MM = {
    "a4-3x8-70x37": ("0", "0.5"),
    "a4-3x7-70x42.3": ("0", "0.45"),
    "a4-3x7-63.5x38.1": ("7.25", "15.15"),
    "a4-3x8-63.5x33.9": ("7.25", "12.9"),
    "a4-2x4-99.1x67.7": ("4.65", "13.1"),
    "letter-3x10-2.625x1": ("4.7625", "12.7"),  # 3/16 and 1/2 inch
    "letter-2x5-4x2": ("3.96875", "12.7"),  # 5/32 and 1/2 inch
}


@pytest.mark.parametrize("key", SHEETS)
def test_margins_pitches_and_the_last_label_fill_the_paper_evenly(key: str) -> None:
    sheet = SHEETS[key]
    for axis, start, pitch, count in (
        (0, sheet.left_mm, sheet.across_mm, sheet.columns),
        (1, sheet.top_mm, sheet.down_mm, sheet.rows),
    ):
        used = start + pitch * (count - 1) + sheet.label_mm[axis]
        assert used == sheet.end_mm[axis]
        assert start >= 0
        assert sheet.paper_mm[axis] - used == start
        assert pitch >= sheet.label_mm[axis] >= SMALLEST_MM[axis]


@pytest.mark.parametrize("key", SHEETS)
def test_a_key_and_a_name_say_the_dimensions_and_nothing_else(key: str) -> None:
    sheet = SHEETS[key]
    told = re.fullmatch(r"(a4|letter)-(\d+)x(\d+)-([\d.]+)x([\d.]+)", key)
    assert told
    paper, columns, rows, wide, high = told.groups()
    unit = "mm" if paper == "a4" else "in"
    mm = 1 if unit == "mm" else MM_PER_INCH
    assert sheet.name == f"{wide} x {high} {unit}, {columns} x {rows}, {sheet.paper}"
    assert sheet.paper.casefold() == paper
    assert (sheet.columns, sheet.rows) == (int(columns), int(rows))
    for said, label_mm in zip((wide, high), sheet.label_mm, strict=True):
        assert abs(Fraction(said) * mm - label_mm) <= Fraction(1, 2000) * mm


def test_margins_known_by_heart_are_what_the_arithmetic_gives() -> None:
    found = {key: (SHEETS[key].left_mm, SHEETS[key].top_mm) for key in MARGINS_MM}
    assert found == {key: (Fraction(left), Fraction(top)) for key, (left, top) in MARGINS_MM.items()}


def test_papers_are_of_their_size() -> None:
    assert [tuple(map(float, paper_mm)) for paper_mm in (A4_MM, LETTER_MM)] == [(210, 297), (215.9, 279.4)]


def test_places_are_counted_along_the_rows() -> None:
    sheet = label_sheet("A4", (Fraction(70), Fraction(37)), 3, 8)
    corners = [tuple(map(float, sheet.corner_mm(place))) for place in (0, 1, 2, 3, 23)]
    assert corners == [(0, 0.5), (70, 0.5), (140, 0.5), (0, 37.5), (140, 259.5)]
    assert sheet.places == 24


def test_there_is_a_usual_sheet_for_each_unit_of_weight() -> None:
    assert {unit: SHEETS[key].paper for unit, key in USUAL_SHEETS.items()} == {"kg": "A4", "lb": "Letter"}
    assert {sheet.paper for sheet in SHEETS.values()} == set(PAPERS_MM)
