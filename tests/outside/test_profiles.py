"""The shipped profiles say what their sources print, and livers reach limits at the grams that were reckoned for them.

**Source:** AAFCO, *proposed revision for the 2014 Official Publication*, dry-matter table and table based on calorie
content, p. 6, read in second-hand copies; FEDIAF 2018 section 2.5 on adjusting for low intake; limits of vitamin A per
1000 kcal as in these profiles, and grams of liver derived from them and USDA SR28.
"""

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.reference import read_foods, read_profiles
from raworder.trade.nutrients import GROWN_PROFILES, Bound, NutrientLimit, Profile, Trust

DATA = Path(__file__).resolve().parents[2] / "data"

KCAL_PER_G_DRY = 4
"""The dry-matter tables are for food of 4000 kcal a kilogram of dry matter."""

CALORIE_TABLE = {
    # nutrient, profile, dry matter %, as printed in g per 1000 kcal
    ("fat", "AAFCO adult maintenance"): ("5.5", "13.8"),
    ("fat", "AAFCO growth and reproduction"): ("8.5", "21.3"),
    ("linoleic_acid", "AAFCO adult maintenance"): ("1.1", "2.8"),
    ("linoleic_acid", "AAFCO growth and reproduction"): ("1.3", "3.3"),
    ("calcium", "AAFCO adult maintenance"): ("0.5", "1.25"),
    ("calcium", "AAFCO growth and reproduction"): ("1.2", "3.0"),
    ("protein", "AAFCO adult maintenance"): ("18", "45.0"),
    ("protein", "AAFCO growth and reproduction"): ("22.5", "56.3"),
}

LIVER_GRAMS = {
    # ndb number of the liver: grams that reach 3750 ug, 16000 ug, 62500 IU and 100000 IU
    "13325": ("75.5", "322.1", "377.4", "603.9"),
    "05027": ("113.8", "485.4", "568.9", "910.2"),
    "05143": ("31.3", "133.5", "156.5", "250.3"),
    "05150": ("40.3", "171.9", "201.4", "322.3"),
    "05177": ("46.5", "198.6", "232.7", "372.3"),
    "10110": ("57.7", "246.1", "288.4", "461.4"),
    "17199": ("50.7", "216.5", "253.7", "405.9"),
}
MOSTS_OF_VITAMIN_A = ("NRC growth", "NRC adult maintenance", "AAFCO adult maintenance", "FEDIAF adult 110")
"""The profiles whose most of vitamin A these grams reach, in that order."""


@pytest.fixture(scope="module")
def profiles() -> dict[str, Profile]:
    return {one.name: one for one in read_profiles()}


def bound(profile: Profile, nutrient: str, *, is_upper: bool) -> Bound:
    return next(
        one
        for one in profile.bounds
        if isinstance(one.limit, NutrientLimit) and one.limit.nutrient == nutrient and one.is_upper is is_upper
    )


def grams(one: Bound) -> Fraction:
    """A bound in grams, whatever the nutrient's unit."""
    return one.amount / (1000 if one.limit.nutrient == "calcium" else 1)  # type: ignore[union-attr] # no ratio


@pytest.mark.parametrize(("nutrient", "name"), CALORIE_TABLE)
def test_the_dry_matter_table_gives_the_table_based_on_calories(
    nutrient: str, name: str, profiles: dict[str, Profile]
) -> None:
    dry_percent, printed = CALORIE_TABLE[nutrient, name]
    exact = Fraction(dry_percent) * 10 / KCAL_PER_G_DRY
    assert grams(bound(profiles[name], nutrient, is_upper=False)) == exact
    digits = len(printed.partition(".")[2])
    assert abs(exact - Fraction(printed)) <= Fraction(1, 2 * 10**digits)


def test_zinc_of_the_published_example_goes_with_the_energy_intake(profiles: dict[str, Profile]) -> None:
    # 15 mg at 130 kcal/kg^0.75, a fifth more for 110, and 110/95 of that for 95, where the table rounds 20.84 to 20.8
    at_130, at_110, at_95 = (
        bound(profiles[name], "zinc", is_upper=False).amount
        for name in ("NRC adult maintenance", "FEDIAF adult 110", "FEDIAF adult 95")
    )
    assert at_130 == 15
    assert at_110 == at_130 * Fraction(12, 10)
    assert abs(at_95 - at_110 * 110 / 95) <= Fraction(1, 20)


@pytest.mark.parametrize(
    ("nutrient", "dry_mg", "at_110_step", "at_95_step"), [("iron", "30", "1", "0.1"), ("iodine", "0.88", "0.01", "0.1")]
)
def test_what_follows_from_seen_figures_is_marked_as_derived(
    nutrient: str, dry_mg: str, at_110_step: str, at_95_step: str, profiles: dict[str, Profile]
) -> None:
    """FEDIAF 2018: an adult's minimum is NRC's times 1.2; NRC 2006 as AAFCO quotes it, in mg per kg of dry matter."""
    at_130, at_110, at_95 = (
        bound(profiles[name], nutrient, is_upper=False)
        for name in ("NRC adult maintenance", "FEDIAF adult 110", "FEDIAF adult 95")
    )
    exact = Fraction(dry_mg) / KCAL_PER_G_DRY * Fraction(12, 10)
    unit = 1000 if nutrient == "iodine" else 1  # we count iodine in ug
    assert at_130.amount / unit == Fraction(dry_mg) / KCAL_PER_G_DRY
    assert abs(at_110.amount / unit - exact) <= Fraction(at_110_step) / 2
    assert abs(at_95.amount / unit - exact * 110 / 95) <= Fraction(at_95_step) / 2
    assert {at_130.trust, at_110.trust, at_95.trust} == {Trust.DERIVED}


def test_large_breeds_differ_from_late_growth_in_calcium_alone(profiles: dict[str, Profile]) -> None:
    """From memory, so that the bounds are marked as recalled."""
    usual, large = (
        {(one.limit.key, one.is_upper): one for one in profiles[name].bounds}
        for name in ("FEDIAF late growth", "FEDIAF late growth of large breeds")
    )
    other = {key: one for key, one in large.items() if one.amount != usual[key].amount}
    assert usual.keys() == large.keys()
    assert {key: str(one.amount) for key, one in other.items()} == {
        ("calcium per 1000 kcal", False): "2500",
        ("calcium to phosphorus", True): "8/5",
    }
    assert {one.trust for one in other.values()} == {Trust.MEMORY}


@pytest.mark.parametrize("ndb_no", LIVER_GRAMS)
def test_so_many_grams_of_each_liver_reach_each_limit_of_vitamin_a(ndb_no: str, profiles: dict[str, Profile]) -> None:
    known = read_foods().known(ndb_no)
    assert known is not None
    per_g = dict(known.values)["vitamin_a"] / 100
    for name, printed in zip(MOSTS_OF_VITAMIN_A, LIVER_GRAMS[ndb_no], strict=True):
        most = bound(profiles[name], "vitamin_a", is_upper=True).amount
        assert abs(most / per_g - Fraction(printed)) <= Fraction(1, 20)


def test_every_bound_has_a_source_and_what_is_recalled_says_so(profiles: dict[str, Profile]) -> None:
    with (DATA / "profiles.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    told = [one for profile in profiles.values() for one in profile.bounds]
    assert len(told) == len(rows)
    assert all(one.source for one in told)
    recalled = [row for row in rows if row["provenance"] == "memory"]
    assert sum(one.trust is Trust.MEMORY for one in told) == len(recalled) > 100
    assert all("recalled" in row["source"] or row["source"] for row in recalled)
    assert Trust.MEMORY.says == "recalled, not checked against the original"


def test_the_profiles_are_those_that_are_named() -> None:
    assert [one.name for one in read_profiles()] == [
        "AAFCO adult maintenance",
        "AAFCO growth and reproduction",
        "AAFCO large-size growth",
        "FEDIAF adult 110",
        "FEDIAF adult 95",
        "FEDIAF early growth and reproduction",
        "FEDIAF late growth",
        "FEDIAF late growth of large breeds",
        "NRC adult maintenance",
        "NRC growth",
    ]


def test_the_profiles_that_are_not_for_growing_dogs_are_those_that_do_not_say_growth() -> None:
    assert {profile.name for profile in read_profiles() if "growth" not in profile.name} == GROWN_PROFILES
