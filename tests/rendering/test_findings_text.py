"""Findings show the line, the carets under the place, and one remedy."""

import re
import unicodedata
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.rendering.findings_text import MOST_CELLS, excerpt, findings_text
from raworder.trade.findings import Finding, Place, Severity

FINDING = Finding(
    Severity.ERROR,
    "unknown-field",
    "a dog has no field `weigth_kg`",
    Place("scenarios/two-dogs.yaml", 3, 5, 9),
    "did you mean `weight_kg`?",
    "unknown field",
    "    weigth_kg: 24",
)

HOUSE_STYLE = """\
error[unknown-field]: a dog has no field `weigth_kg`
 --> scenarios/two-dogs.yaml:3:5
  |
3 |     weigth_kg: 24
  |     ^^^^^^^^^ unknown field
  |
  = help: did you mean `weight_kg`?
"""


def cells(text: str) -> int:
    """Cells of a text. Source: Unicode Standard Annex 11, wide and full-width take two; marks take none."""
    return sum(
        0 if unicodedata.combining(one) else 2 if unicodedata.east_asian_width(one) in "WF" else 1 for one in text
    )


def test_a_finding_has_the_shape_of_the_house_style() -> None:
    assert findings_text([FINDING], color=False) == HOUSE_STYLE


def test_a_free_line_parts_findings() -> None:
    assert findings_text([FINDING, FINDING], color=False) == f"{HOUSE_STYLE}\n{HOUSE_STYLE}"
    assert findings_text([], color=False) == ""


def test_a_warning_says_so_in_words() -> None:
    assert findings_text([replace(FINDING, severity=Severity.WARNING)], color=False).startswith("warning[unknown")


def test_color_only_adds_escape_codes() -> None:
    colored = findings_text([FINDING], color=True)
    assert "\x1b[" in colored
    assert re.sub(r"\x1b\[[0-9;]*m", "", colored) == HOUSE_STYLE


def test_the_gutter_is_as_wide_as_the_line_number() -> None:
    lines = findings_text([replace(FINDING, place=Place("a.yaml", 1234, 5, 9))], color=False).splitlines()
    assert lines[1] == "    --> a.yaml:1234:5"
    assert lines[2] == "     |"
    assert lines[3].startswith("1234 | ")
    assert lines[6] == "     = help: did you mean `weight_kg`?"


def test_without_a_source_line_the_note_has_its_own_line() -> None:
    text = findings_text([replace(FINDING, source_line="")], color=False)
    assert text.splitlines()[2:] == ["  = note: unknown field", "  = help: did you mean `weight_kg`?"]


def test_without_a_note_only_carets_stand_there() -> None:
    assert "\n  |     ^^^^^^^^^\n" in findings_text([replace(FINDING, note="")], color=False)


@pytest.mark.parametrize(
    ("line", "column", "length", "before", "under"),
    [
        ("abc: def", 6, 3, "abc: ", "def"),
        ("\tabc: def", 7, 3, "    abc: ", "def"),
        ("日本: def", 5, 3, "日本: ", "def"),
        ("ab: 日本", 5, 2, "ab: ", "日本"),
        ("e\u0301e\u0301: x", 7, 1, "e\u0301e\u0301: ", "x"),
        ("a\u202eb: x", 6, 1, "a\\u202eb: ", "x"),
        ("a\x1b[31m: x", 9, 1, "a\\x1b[31m: ", "x"),
        ("\N{DOG FACE}: x", 4, 1, "\N{DOG FACE}: ", "x"),
    ],
)
def test_carets_stand_under_the_place(line: str, column: int, length: int, before: str, under: str) -> None:
    part = excerpt(line, column, length)
    assert part.line.startswith(before + under)
    assert part.start_cell == cells(before)
    assert part.cells == cells(under)


@pytest.mark.parametrize("column", [1, 2, 50, 150, 400, 498])
def test_a_long_line_is_cut_around_the_place(column: int) -> None:
    line = "x" * (column - 1) + "BAD" + "y" * (500 - column - 2)
    part = excerpt(line, column, 3)
    assert part.line[part.start_cell : part.start_cell + 3] == "BAD"
    assert len(part.line) <= MOST_CELLS + 6


def test_a_place_behind_the_line_gets_one_caret() -> None:
    assert (excerpt("abc", 99, 5).start_cell, excerpt("abc", 99, 5).cells) == (3, 1)
    assert excerpt("abc", 2, 0).cells == 1


@given(st.text(st.characters(), max_size=300), st.integers(0, 400), st.integers(0, 400))
def test_any_line_and_place_can_be_shown(line: str, column: int, length: int) -> None:
    part = excerpt(line, column, length)
    assert part.cells >= 1
    assert part.start_cell + part.cells <= cells_at_most(part.line) + 1


def cells_at_most(text: str) -> int:
    from rich.cells import cell_len

    return cell_len(text)


@given(st.text(st.characters()))
def test_nothing_hostile_comes_through(text: str) -> None:
    finding = Finding(Severity.ERROR, "slug", text, Place(text, 1, 1, 3), text, text, text)
    shown = findings_text([finding], color=False)
    assert not any(unicodedata.category(one) in {"Cc", "Cs"} for one in shown if one != "\n")
    shown.encode("utf-8")


def test_a_line_of_a_million_characters_is_shown_like_a_short_one_around_the_place() -> None:
    short = f"{'a' * 2_000}b{'c' * 2_000}"
    assert excerpt(f"{'a' * 500_000}b{'c' * 500_000}", 500_001, 1) == excerpt(short, 2_001, 1)


def test_beyond_the_most_findings_are_counted_by_kind() -> None:
    many = [replace(FINDING, place=replace(FINDING.place, line=line)) for line in range(3, 8)]
    many += [replace(FINDING, slug="empty-value", place=replace(FINDING.place, line=9, column=1))]
    text = findings_text(many, color=False, most=2)
    assert text.startswith(HOUSE_STYLE)
    assert text.count("error[") == 2
    assert text.endswith("\n\nand 4 more: 3 of `unknown-field`, 1 of `empty-value`; --all-findings shows them all\n")
    assert findings_text(many, color=False, most=6) == findings_text(many, color=False)


def test_what_refuses_the_input_is_shown_however_many_warnings_stand_before_it() -> None:
    warnings = [
        replace(FINDING, severity=Severity.WARNING, place=replace(FINDING.place, line=line)) for line in range(1, 5)
    ]
    text = findings_text([*warnings, replace(FINDING, place=replace(FINDING.place, line=8))], color=False, most=2)
    assert [line for line in text.splitlines() if " --> " in line] == [
        " --> scenarios/two-dogs.yaml:1:5",
        " --> scenarios/two-dogs.yaml:8:5",
    ]
