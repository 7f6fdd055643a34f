"""The sheet of labels of a scenario, by its key or by its dimensions.

**Source:** the inch is 25.4 mm by definition.
"""

from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.settings_form import read_length
from raworder.trade.fingerprint import fingerprint
from raworder.trade.labels import SHEETS, LabelSheet
from raworder.trade.units import UnitError
from tests.reading.written import a_text, reading_of


def sheet_of(folder: Path, labels: str) -> LabelSheet:
    reading = reading_of(folder, a_text(more=labels))
    assert reading.findings == ()
    assert reading.scenario
    return reading.scenario.labels


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("70 mm", "70"),
        ("7cm", "70"),
        ("2.625 in", "66.675"),
        ("0 mm", "0"),
        ("0.000001 in", "0.0000254"),
    ],
)
def test_a_length_is_read_exactly(text: str, length_mm: str) -> None:
    assert read_length(text) == Fraction(length_mm)


@pytest.mark.parametrize(
    ("text", "slug", "remedy"),
    [
        ("70", "no-unit", "say which: `70 mm`, `70 cm` or `70 in`"),
        ("2.5 inches", "unknown-unit", "write `2.5 in`"),
        ('2.5"', "unknown-unit", "write `2.5 in`"),
        ("70 MM", "unknown-unit", "write `70 mm`"),
        ("70 pt", "unknown-unit", "use mm, cm or in"),
        ("63,5 mm", "comma-in-number", "write `63.5` for the decimal number or `635` for the large one"),
        ("2 5/8 in", "bad-value", "write a number and its unit, such as `70 mm` or `2.625 in`"),
        ("", "bad-value", "write a number and its unit, such as `70 mm` or `2.625 in`"),
    ],
)
def test_what_is_no_length_is_refused_with_one_remedy(text: str, slug: str, remedy: str) -> None:
    with pytest.raises(UnitError) as refused:
        read_length(text)
    assert (refused.value.slug, refused.value.help) == (slug, remedy)


def test_no_sheet_is_named_where_none_is_written(tmp_path: Path) -> None:
    assert sheet_of(tmp_path, "") is None


@pytest.mark.parametrize("key", SHEETS)
def test_a_known_sheet_is_named_by_its_key(key: str, tmp_path: Path) -> None:
    assert sheet_of(tmp_path, f"labels: {key}") is SHEETS[key] or sheet_of(tmp_path, f"labels: {key}") == SHEETS[key]


def test_a_known_sheet_may_begin_elsewhere_on_the_paper(tmp_path: Path) -> None:
    shifted = sheet_of(tmp_path, "labels: {sheet: a4-3x7-63.5x38.1, left: 8 mm, top: 0 mm}")
    known = SHEETS["a4-3x7-63.5x38.1"]
    assert (shifted.left_mm, shifted.top_mm) == (8, 0)
    assert (shifted.label_mm, shifted.across_mm, shifted.name) == (known.label_mm, known.across_mm, known.name)


def test_a_sheet_measured_by_hand_is_the_known_one(tmp_path: Path) -> None:
    own = "labels: {paper: A4, width: 70 mm, height: 3.7 cm, columns: 3, rows: 8, left: 0 mm, top: 0.5 mm}"
    assert sheet_of(tmp_path, own) == SHEETS["a4-3x8-70x37"]
    inches = "labels: {paper: Letter, width: 2.625 in, height: 1 in, columns: 3, rows: 10, across: 2.75 in}"
    assert sheet_of(tmp_path, inches) == SHEETS["letter-3x10-2.625x1"]


def test_a_sheet_has_no_part_in_what_a_plan_was_made_for(tmp_path: Path) -> None:
    with_and_without = [reading_of(tmp_path, a_text(more=more)).scenario for more in ("", "labels: a4-2x4-105x74")]
    assert all(with_and_without)
    assert len({fingerprint(one) for one in with_and_without if one}) == 1
