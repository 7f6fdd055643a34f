"""Every figure of the tables says how sure it is in the same three words, and its source says the same.

`seen` was read in its document or a copy of it, `derived` was worked out from figures that were seen, and `memory` is
recalled or common practice: there is nothing to check it against.
"""

import csv
import re
from pathlib import Path

import pytest

DATA = Path(__file__).resolve().parents[2] / "data"

WORDS = {"seen", "derived", "memory"}

TABLES = (
    "bone.csv",
    "cautions.csv",
    "energy.csv",
    "keeping.csv",
    "nutrients.csv",
    "nutrients_borrowed.csv",
    "power_cut.csv",
    "profiles.csv",
    "toxic_foods.csv",
)
"""The tables of figures of which every row has one source."""

FIGURES = {"parts": "parts", "fat": "fat_pct", "piece": "piece_g"}
"""The figures of a cut by the word that begins the columns of their sources."""

SUM = r" x 0\.\d| / 0\.\d|0\.5 x |\+ separable fat| is \d+ of the \d+ %"
"""How a source shows that it was reckoned with."""

RECALLED = ("from memory", "common practice, no source")


def table(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def cuts() -> list[tuple[str, str, str, str]]:
    """Every figure of every cut: which it is, its source, and the word for it."""
    return [
        (f"{figure} of {row['cut']}", row["parts_source"], row[f"{figure}_source"], row[f"{figure}_provenance"])
        for row in table("cuts.csv")
        for figure, column in FIGURES.items()
        if row[column]
    ]


@pytest.mark.parametrize("name", TABLES)
def test_every_row_has_a_source_and_says_how_sure_it_is_in_one_of_three_words(name: str) -> None:
    for row in table(name):
        assert row["provenance"] in WORDS, row
        assert row["source"], row


def test_every_figure_of_a_cut_says_how_sure_it_is_in_one_of_three_words() -> None:
    for figure, parts_source, source, word in cuts():
        assert word in WORDS, figure
        on_recalled_bone = " x 0." in source and "from memory" in parts_source
        assert (word == "memory") is (on_recalled_bone or any(recalled in source for recalled in RECALLED)), figure
    for row in table("cuts.csv"):
        for figure, column in FIGURES.items():
            assert bool(row[f"{figure}_provenance"]) is bool(row[column]), row["cut"]


def test_what_was_seen_names_the_table_it_was_seen_in_and_is_not_reckoned_on() -> None:
    for figure, _, source, word in cuts():
        if word == "seen":
            assert re.match(r"SR2[18] \d{5} |Australian Food Composition|Standard Tables of Food", source), figure
            assert not re.search(SUM, source), figure


def test_what_was_derived_shows_the_sum_or_is_by_definition() -> None:
    for figure, _, source, word in cuts():
        if word == "derived":
            assert re.search(SUM, source) or source.startswith("by definition"), figure


def test_what_is_common_practice_is_nothing_that_was_seen() -> None:
    for name in TABLES:
        for row in table(name):
            if "common practice, no source" in row["source"]:
                assert row["provenance"] == "memory", row
