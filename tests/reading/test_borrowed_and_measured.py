"""Cuts that the table knows by another food's analysis, by one with bone in it, and cuts that are rich by their fat."""

from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.reference import read_foods
from raworder.trade.cuts import HEART, RICH_FAT, Measure, Subject, is_rich
from tests.reading.written import cut_of

RICH = Subject(Measure.RICH, "")


def test_all_of_a_borrowed_analysis_counts_as_borrowed_but_the_fat_of_the_cut_itself(tmp_path: Path) -> None:
    """Duck heart is chicken heart (SR28 05025) with the 9.0 % fat of the table's own row."""
    analysis = cut_of(tmp_path, "cut: duck heart, price: 6 per kg").analysis
    chicken = read_foods().known("05025")
    assert chicken is not None
    known = {key for key, _ in analysis.values}
    assert set(analysis.borrowed) == known - {"fat"}
    assert {"energy", "protein", "zinc"} <= set(analysis.borrowed)
    assert analysis.of("zinc") == dict(chicken.values)["zinc"]
    assert analysis.of("fat") == 9
    assert analysis.source.startswith("borrowed from SR28 05025, chicken heart")


def test_a_borrowed_analysis_is_of_the_edible_part_and_gets_its_bone(tmp_path: Path) -> None:
    """Oxtail: 55 % of mince (SR28 23572) with the estimate for 45 % bone."""
    analysis = cut_of(tmp_path, "cut: oxtail, price: 6 per kg").analysis
    mince = read_foods().known("23572")
    assert mince is not None
    assert analysis.of("protein") == dict(mince.values)["protein"] * Fraction(55, 100)
    assert analysis.estimates


def test_a_value_of_ones_own_is_not_borrowed(tmp_path: Path) -> None:
    analysis = cut_of(tmp_path, "cut: duck heart, price: 6 per kg, analysis: {zinc: 6 mg, energy: 150 kcal}").analysis
    assert not {"zinc", "energy"} & set(analysis.borrowed)
    assert "iron" in analysis.borrowed


def test_a_sum_with_something_borrowed_in_it_is_borrowed(tmp_path: Path) -> None:
    """Whole sardine has its own minerals; EPA and DHA are from another table."""
    borrowed = cut_of(tmp_path, "cut: sardine whole, price: 6 per kg").analysis.borrowed
    assert {"epa", "dha", "epa_dha"} <= set(borrowed)
    assert not {"calcium", "energy", "iodine"} & set(borrowed)


def test_another_share_of_bone_makes_the_minerals_of_a_fish_measured_whole_unknown(tmp_path: Path) -> None:
    analysis = cut_of(tmp_path, "cut: sardine whole, bone: 4 %, price: 6 per kg").analysis
    assert analysis.of("calcium") is None
    assert analysis.of("phosphorus") is None
    assert analysis.of("iodine") == Fraction("75.8")


def test_a_cut_that_no_table_has_a_food_near_to_is_not_known(tmp_path: Path) -> None:
    analysis = cut_of(tmp_path, "cut: beef trachea, price: 2 per kg").analysis
    assert [key for key, _ in analysis.values] == ["fat"]
    assert analysis.borrowed == ()


@pytest.mark.parametrize(
    ("kind", "fat", "rich"), [(HEART, 0, True), ("rib", RICH_FAT, True), ("rib", RICH_FAT - Fraction(1, 1000), False)]
)
def test_hearts_are_rich_and_what_is_fat_enough(kind: str, fat: Fraction, *, rich: bool) -> None:
    assert is_rich(kind, Fraction(fat)) is rich


@pytest.mark.parametrize(
    ("offer", "name", "rich"),
    [
        ("cut: beef mince", "beef mince", False),
        ("cut: beef mince, fat: 28 %", "beef mince (fat 28 %)", True),
        ("cut: beef mince fat, fat: 24.9 %", "beef mince fat (fat 24.9 %)", False),
        ("cut: beef short rib", "beef short rib", True),
        ("cut: beef short rib, bone: 40 %", "beef short rib (bone 40 %)", False),
        ("cut: beef short rib, rich: no", "beef short rib (not rich)", False),
        ("cut: beef mince, fat: 28 %, rich: no", "beef mince (fat 28 %, not rich)", False),
        ("cut: beef heart", "beef heart", True),
        ("cut: beef heart, fat: 3 %", "beef heart (fat 3 %)", True),
        ("cut: beef heart, rich: no", "beef heart (not rich)", False),
    ],
)
def test_an_offer_is_rich_by_its_own_fat_unless_it_says_otherwise(
    tmp_path: Path, offer: str, name: str, *, rich: bool
) -> None:
    cut = cut_of(tmp_path, f"{offer}, price: 6 per kg")
    assert (cut.name, cut.rich) == (name, rich)
    assert RICH.share_in(cut) == int(rich)
    assert RICH.touches(cut) is rich
