"""Fish that were measured with their bone hold what was measured, and nothing is reckoned on top.

**Source:** the rows of `whole_fish_afcd.csv` beside this test, from a copy of the Aquatic Foods Composition Database
(Golden et al. 2021, Nature 598:315-320), which took them from the national tables named there; fatty acids from ANSES
CIQUAL 2017, the table that `ciqual.py` reads, in proportion to fat, as the flesh that was measured was fatter.
"""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.bone import bone_calcium_of
from raworder.reading.limits import Bone, analysis
from raworder.reading.reference import ReferenceCut, read_cuts, read_foods
from raworder.trade.cuts import Part
from raworder.trade.nutrients import NUTRIENTS
from tests.outside.ciqual import ciqual_foods, number, rows

HERE = Path(__file__).resolve().parent
SCIENTIFIC = {"sardine whole": "Sardinops sagax", "horse mackerel whole": "Trachurus japonicus"}
OTHER_COLUMNS = {"vitamin_d_ug": "vitamin_d3_ug", "vitamin_a_ug": "retinol_ug"}
"""Columns that are called otherwise there; animals hold next to no other vitamin A than retinol."""
ASSUMED = {"carbohydrate", "fibre"}
"""None of these in fish, as the other table has it for every raw fish."""

FLESH = {"sardine whole": "26065", "horse mackerel whole": "26236"}
FATTY_ACIDS = {
    "linoleic_acid": "AG 18:2 9c,12c (n-6), linoléique (g/100g)",
    "alpha_linolenic_acid": "AG 18:3 c9,c12,c15 (n-3), alpha-linolénique (g/100g)",
    "arachidonic_acid": "AG 20:4 5c,8c,11c,14c (n-6), arachidonique (g/100g)",
    "epa": "AG 20:5 5c,8c,11c,14c,17c (n-3) EPA (g/100g)",
    "dha": "AG 22:6 4c,7c,10c,13c,16c,19c (n-3) DHA (g/100g)",
}


def cut_of(name: str) -> ReferenceCut:
    return next(row for row in read_cuts() if row.cut.name == name)


def bone_of(row: ReferenceCut) -> Bone:
    """Its bone, by the table's figure for calcium in bone of fish."""
    return Bone(row.cut.part_share(Part.BONE), row.cut.bone_ends, bone_calcium_of(row.cut, ()))


def measured(name: str) -> dict[str, str]:
    return next(row for row in rows(HERE / "whole_fish_afcd.csv") if row["sciname"] == SCIENTIFIC[name])


@pytest.mark.parametrize("name", SCIENTIFIC)
def test_a_fish_measured_whole_holds_what_was_measured(name: str) -> None:
    known, there = read_foods().known_of(cut_of(name)), measured(name)
    assert known is not None
    assert known.bone_in
    held = dict(known.values)
    for nutrient in NUTRIENTS:
        column = f"{nutrient.key}_{nutrient.unit}"
        printed = number(there.get(OTHER_COLUMNS.get(column, column), ""))
        if nutrient.key not in {*ASSUMED, *FATTY_ACIDS}:
            assert held.get(nutrient.key) == printed, column
    assert held["carbohydrate"] == held["fibre"] == 0


@pytest.mark.parametrize("name", SCIENTIFIC)
def test_no_bone_comes_off_and_none_is_added(name: str) -> None:
    row, there = cut_of(name), measured(name)
    whole = analysis(read_foods().known_of(row), bone_of(row), None, {})
    assert whole.estimates == ()
    for key, column in (("calcium", "calcium_mg"), ("phosphorus", "phosphorus_mg"), ("protein", "protein_g")):
        assert whole.of(key) == Fraction(there[column])
    assert row.cut.fat_share == Fraction(there["fat_g"]) / 100
    assert whole.of("energy") == 4 * Fraction(there["protein_g"]) + 9 * Fraction(there["fat_g"])


def test_the_same_fish_by_the_rule_for_bone_would_hold_less_calcium() -> None:
    """Of 725 mg measured the rule finds less: the reason why what was measured stands before it."""
    row = cut_of("sardine whole")
    known = read_foods().known("15039")
    assert known is not None
    assert not known.bone_in
    by_rule = analysis(known, bone_of(row), None, {}).of("calcium")
    assert by_rule is not None
    assert by_rule < 725
    assert replace(known, bone_in=True).share_told(Fraction(1, 2)) == 1


@pytest.mark.parametrize("name", FLESH)
def test_its_fatty_acids_are_those_of_the_flesh_in_proportion_to_fat(name: str) -> None:
    known, there = read_foods().known_of(cut_of(name)), ciqual_foods()[FLESH[name]]
    fat = number(there["Lipides (g/100g)"])
    assert known is not None
    assert fat
    for key, heading in FATTY_ACIDS.items():
        printed, ours = number(there[heading]), dict(known.values).get(key)
        assert (ours is None) is (printed is None), key
        if ours is not None and printed is not None:
            assert abs(ours - printed * Fraction(measured(name)["fat_g"]) / fat) <= Fraction(1, 2000), key
            assert key in known.borrowed
