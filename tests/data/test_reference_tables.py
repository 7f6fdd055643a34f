"""The reference tables are well formed, closed in their words, and say where each figure comes from.

**Source:** the classification of cuts (heart, tongue, gizzard, lung, tripe and trachea are muscle; kidney, spleen,
pancreas, brain, thymus and testis are other secreting organs; only liver is liver) is common practice, no source.
"""

import csv
import io
import re
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest

from raworder.reading.reference import read_cuts, read_foods, read_toxic_foods, toxic_food

DATA = Path(__file__).resolve().parents[2] / "data"

COLUMNS = {
    "cuts.csv": "cut also_called species kind parts fat_pct piece_g ndb_no "
    "parts_source fat_source piece_source bone_least_pct bone_most_pct bone_range_source "
    "parts_provenance fat_provenance piece_provenance borrowed_from analysis_source",
    "bone.csv": "group calcium_pct least_pct most_pct calcium_to_phosphorus provenance source derived",
    "cautions.csv": "key applies species kinds bone names unless heading hazard do where source provenance",
    "keeping.csv": "what kinds species refrigerator_least_days refrigerator_most_days "
    "freezer_least_months freezer_most_months provenance source",
    "power_cut.csv": "key figure unit provenance source",
    "toxic_foods.csv": "food words hazard advice threshold source provenance unless",
}
PARTS = {"muscle", "bone", "liver", "other organ", "vegetables", "berries"}
SECRETING_KINDS = {"kidney", "spleen", "pancreas", "brain", "thymus", "testis"}
PLANT_PARTS = {
    "leafy vegetable": "vegetables",
    "root vegetable": "vegetables",
    "other vegetable": "vegetables",
    "berry": "berries",
}
MUSCLE_OFFAL = {"heart", "tongue", "gizzard", "lung", "tripe", "trachea", "gullet", "cheek", "skin", "fat", "egg"}
MEAT_KINDS = {"muscle", "mince", "stewing meat", "trim", "breast", "shoulder", "leg"}
BONY_KINDS = {"neck", "back", "wing", "frame", "foot", "rib", "tail", "shank", "whole animal", "whole fish"}
FISH_KINDS = {"fish fillet", "fish head", "shellfish"}
KINDS = {"liver", *SECRETING_KINDS, *PLANT_PARTS, *MUSCLE_OFFAL, *MEAT_KINDS, *BONY_KINDS, *FISH_KINDS}
BIRDS = {"chicken", "turkey", "duck", "goose", "quail", "pheasant", "guinea fowl", "pigeon", "ostrich"}
BEASTS = {"beef", "lamb", "goat", "pork", "rabbit", "venison", "elk", "moose", "reindeer", "bison", "buffalo"}
FISH = set(
    "sardine|mackerel|horse mackerel|sprat|herring|anchovy|smelt|salmon|trout|cod|haddock|pollock|whiting|whitefish"
    "|mussel|squid".split("|")
)
SPECIES = {"plant", "horse", *BIRDS, *BEASTS, *FISH}
VERY_FAT = Decimal(25)
NO_ANALYSIS = {"beef trachea"}
"""Cuts that no table has a food near to."""
STANDING = [
    "raw-meat-bacteria",
    "faeces",
    "at-risk-people",
    "thaw-in-refrigerator",
    "never-cooked-bone",
    "ask-a-veterinarian",
]
BY_RULE = ["liver-near-limit", "puppy", "unusual-ration", "vet-care"]
PROVENANCES = {"seen", "derived", "memory"}
PLACES = {"shop", "freezer", "counter", "bowl", "home"}
LONGEST_TO_DO = 105
"""Letters of what a caution asks to be done: one short clause, with how cold and how long where it is frozen."""
ORIGINS = (
    "SR28 ",
    "SR21 ",
    "by definition",
    "from memory, not looked up",
    "common practice, no source",
    "weighed without its shell; counted as muscle: common practice, no source",
    "12 taken from 10 to 15 % of the body weight for fish bone, Nutrition & Metabolism 2010 7:61",
    "Australian Food Composition Database 2019",
    "Standard Tables of Food Composition in Japan 2015",
)
REQUIRED = """
chicken neck, chicken back, chicken wing, chicken foot, chicken frame, chicken thigh bone-in, chicken thigh boneless,
chicken breast boneless, chicken gizzard, chicken heart, chicken liver, chicken leg quarter, turkey neck,
turkey thigh boneless, turkey mince, turkey liver, turkey heart, turkey gizzard, turkey wing, duck neck, duck frame,
duck wing, duck liver, duck heart, duck gizzard, beef trim, beef mince, beef heart, beef tongue, beef cheek, beef liver,
beef kidney, beef spleen, beef pancreas, beef lung, beef tripe, beef trachea, beef gullet, beef chuck, beef fat,
beef rib, beef tail, veal liver, veal breast, lamb trim, lamb mince, lamb heart, lamb liver, lamb kidney, lamb spleen,
lamb lung, lamb neck, lamb rib, lamb breast, lamb tongue, lamb testis, pork trim, pork shoulder boneless, pork heart,
pork liver, pork kidney, pork spleen, pork neck bone, pork tail, pork rib, pork foot, rabbit whole, rabbit boneless,
rabbit liver, venison trim, venison heart, venison liver, goat trim, quail whole, sardine whole, mackerel fillet,
sprat whole, herring whole, salmon fillet, salmon head, trout whole, chicken egg, kale, spinach, dandelion greens,
chard, romaine lettuce, parsley, broccoli, carrot, courgette, pumpkin, blueberry, raspberry, blackberry, strawberry,
cranberry
"""


def table(name: str) -> list[dict[str, str]]:
    """Give the rows of one reference table."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def listed(cell: str) -> list[str]:
    """Give the words of a cell that holds a list."""
    return cell.split("; ") if cell else []


def parts_of(row: dict[str, str]) -> dict[str, int]:
    """Give the parts of a cut in percent of its weight as bought."""
    return {part: int(percent) for part, percent in (item.rsplit(" ", 1) for item in listed(row["parts"]))}


def names() -> list[str]:
    """Give every name of every cut."""
    return [name for row in table("cuts.csv") for name in (row["cut"], *listed(row["also_called"]))]


def cuts_where(wrong: dict[str, bool]) -> list[str]:
    return [cut for cut, is_wrong in wrong.items() if is_wrong]


@pytest.mark.parametrize("name", COLUMNS)
def test_a_table_has_its_columns_and_every_row_fills_them(name: str) -> None:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        lines = list(csv.reader(file, strict=True))
    assert lines[0] == COLUMNS[name].split()
    assert {len(line) for line in lines} == {len(lines[0])}


@pytest.mark.parametrize("name", COLUMNS)
def test_a_table_is_written_in_one_stable_way(name: str) -> None:
    text = (DATA / name).read_bytes().decode("utf-8")
    again = io.StringIO()
    csv.writer(again, lineterminator="\n").writerows(csv.reader(io.StringIO(text)))
    assert text == again.getvalue()
    assert text.isascii()
    assert "\r" not in text
    assert not re.search(r"[ \t]$", text, re.MULTILINE)


@pytest.mark.parametrize("name", COLUMNS)
def test_no_cell_begins_or_ends_with_a_space_or_holds_two(name: str) -> None:
    cells = [cell for row in table(name) for cell in row.values()]
    assert [cell for cell in cells if cell != " ".join(cell.split())] == []


@pytest.mark.parametrize(("name", "column"), [("cuts.csv", "cut"), ("toxic_foods.csv", "food")])
def test_a_table_is_sorted_by_its_first_column(name: str, column: str) -> None:
    firsts = [row[column] for row in table(name)]
    assert firsts == sorted(set(firsts))


def test_a_range_of_bone_holds_the_figure_and_says_why_it_is_in_doubt() -> None:
    doubtful = [row for row in table("cuts.csv") if row["bone_least_pct"]]
    assert len(doubtful) >= 25
    for row in doubtful:
        assert int(row["bone_least_pct"]) <= parts_of(row)["bone"] <= int(row["bone_most_pct"]), row["cut"]
        assert int(row["bone_least_pct"]) < int(row["bone_most_pct"]), row["cut"]
        assert row["bone_range_source"], row["cut"]
    assert [row["cut"] for row in table("cuts.csv") if row["bone_range_source"] and row not in doubtful] == []
    recalled = {row["cut"] for row in table("cuts.csv") if row["parts_source"].startswith("from memory")}
    assert recalled - {row["cut"] for row in doubtful} == set()


def test_the_calcium_of_bone_says_for_each_group_how_it_was_worked_out() -> None:
    assert all(row["derived"] for row in table("bone.csv"))


def test_there_are_as_many_cuts_as_such_a_kitchen_meets() -> None:
    assert len(table("cuts.csv")) >= 140


def test_the_cuts_that_scenarios_name_are_there() -> None:
    required = {" ".join(name.split()) for name in REQUIRED.split(",")}
    assert required - {row["cut"] for row in table("cuts.csv")} == set()


def test_no_name_means_two_cuts() -> None:
    assert [name for name, times in Counter(names()).items() if times > 1] == []


def test_names_are_plain_lower_case() -> None:
    assert [name for name in names() if not re.fullmatch(r"[a-z0-9]+(?:[ -][a-z0-9]+)*", name)] == []


def test_the_words_for_species_and_kind_are_closed_and_all_used() -> None:
    assert {row["species"] for row in table("cuts.csv")} == SPECIES
    assert {row["kind"] for row in table("cuts.csv")} == KINDS


def test_the_parts_of_a_cut_add_up_to_all_of_it() -> None:
    for row in table("cuts.csv"):
        parts = parts_of(row)
        assert len(parts) == len(listed(row["parts"])), row["cut"]
        assert set(parts) <= PARTS, row["cut"]
        assert min(parts.values()) > 0, row["cut"]
        assert sum(parts.values()) == 100, row["cut"]


def test_muscle_offal_and_meat_are_muscle() -> None:
    kinds = MUSCLE_OFFAL | {"muscle", "mince", "stewing meat", "trim", "fish fillet", "shellfish"}
    wrong = {row["cut"]: parts_of(row) != {"muscle": 100} for row in table("cuts.csv") if row["kind"] in kinds}
    assert cuts_where(wrong) == []


def test_only_the_named_organs_are_other_secreting_organs() -> None:
    wrong = {
        row["cut"]: (parts_of(row) == {"other organ": 100}) is not (row["kind"] in SECRETING_KINDS)
        or ("other organ" in parts_of(row)) is not (row["kind"] in SECRETING_KINDS)
        for row in table("cuts.csv")
    }
    assert cuts_where(wrong) == []


def test_only_liver_is_liver() -> None:
    for row in table("cuts.csv"):
        is_liver = row["kind"] == "liver"
        assert ("liver" in parts_of(row)) is is_liver, row["cut"]
        assert (parts_of(row) == {"liver": 100}) is is_liver, row["cut"]
        assert row["cut"].endswith(" liver") is is_liver, row["cut"]


def test_plants_are_vegetables_or_berries_and_nothing_else_is() -> None:
    for row in table("cuts.csv"):
        plant_part = PLANT_PARTS.get(row["kind"])
        assert (plant_part is not None) is (row["species"] == "plant"), row["cut"]
        assert (parts_of(row) == {plant_part: 100}) is (row["species"] == "plant"), row["cut"]
        assert bool({"vegetables", "berries"} & set(parts_of(row))) is (row["species"] == "plant"), row["cut"]


def test_bony_kinds_hold_bone_and_boneless_cuts_hold_none() -> None:
    for row in table("cuts.csv"):
        if row["kind"] in BONY_KINDS or row["cut"].endswith(" bone-in"):
            assert parts_of(row).get("bone", 0) > 0, row["cut"]
        if row["cut"].endswith(" boneless"):
            assert parts_of(row) == {"muscle": 100}, row["cut"]


def test_a_cut_of_an_organ_is_called_after_it() -> None:
    named = (SECRETING_KINDS | {"liver", "heart", "tongue", "gizzard", "lung", "trachea", "gullet"}) - {"testis"}
    wrong = {
        row["cut"]: (row["kind"] != row["cut"].rsplit(" ", 1)[-1]) if " " in row["cut"] else False
        for row in table("cuts.csv")
        if row["kind"] in named or row["cut"].rsplit(" ", 1)[-1] in named
    }
    assert cuts_where(wrong) == []


def test_fat_is_known_for_every_cut_with_one_decimal() -> None:
    for row in table("cuts.csv"):
        assert re.fullmatch(r"\d{1,2}\.\d", row["fat_pct"]), row["cut"]


def test_rich_are_heart_and_fat_and_whatever_is_very_fat() -> None:
    fat = {row["cut"]: Decimal(row["fat_pct"]) for row in table("cuts.csv")}
    rich = {row.cut.name for row in read_cuts() if row.cut.rich}
    hearts = {row["cut"] for row in table("cuts.csv") if row["kind"] == "heart"}
    assert rich == hearts | {cut for cut, percent in fat.items() if percent >= VERY_FAT}
    assert {"lamb breast", "goose whole", "duck whole", "beef short rib", "beef mince fat", "chicken skin"} <= rich
    assert {row["cut"] for row in table("cuts.csv") if row["kind"] == "fat"} <= rich


def test_trim_and_stewing_meat_are_of_those_kinds_and_nothing_else_is() -> None:
    for row in table("cuts.csv"):
        assert row["cut"].endswith(" trim") is (row["kind"] == "trim"), row["cut"]
        assert row["cut"].endswith(" stewing cubes") is (row["kind"] == "stewing meat"), row["cut"]


def test_a_piece_weight_is_whole_grams_above_zero() -> None:
    pieces = [row["piece_g"] for row in table("cuts.csv") if row["piece_g"]]
    assert len(pieces) >= 20
    assert [piece for piece in pieces if not re.fullmatch(r"[1-9]\d{0,3}", piece)] == []


def test_every_figure_says_where_it_comes_from() -> None:
    for row in table("cuts.csv"):
        for figure, source in (("parts", "parts_source"), ("fat_pct", "fat_source"), ("piece_g", "piece_source")):
            assert bool(row[figure]) is bool(row[source]), (row["cut"], figure)
            assert row[source].startswith(ORIGINS) or not row[figure], (row["cut"], source)


def test_a_part_that_is_by_definition_is_the_whole_cut() -> None:
    wrong = {
        row["cut"]: len(parts_of(row)) != 1
        for row in table("cuts.csv")
        if row["parts_source"].startswith("by definition")
    }
    assert len(wrong) >= 100
    assert cuts_where(wrong) == []


def test_an_ndb_number_is_five_digits_and_is_named_by_a_source() -> None:
    for row in table("cuts.csv"):
        assert re.fullmatch(r"(?:\d{5})?", row["ndb_no"]), row["cut"]
        assert bool(row["ndb_no"]) is row["fat_source"].startswith("SR28 "), row["cut"]
        assert row["ndb_no"] in row["fat_source"], row["cut"]


def test_what_a_cut_is_not_analysed_for_is_borrowed_from_a_named_food_of_the_release() -> None:
    borrowed = {row["cut"]: row for row in table("cuts.csv") if row["borrowed_from"]}
    numbers = {row["ndb_no"] for row in table("nutrients.csv")}
    assert len(borrowed) == 12
    for row in borrowed.values():
        assert not row["ndb_no"], row["cut"]
        assert row["borrowed_from"] in numbers, row["cut"]
        assert row["analysis_source"].startswith(f"borrowed from SR28 {row['borrowed_from']}, "), row["cut"]


def test_flesh_that_is_borrowed_as_nearest_in_fat_is_nearest_in_fat() -> None:
    """Of the meat of the same animal; fat is compared in the edible portion, as the release gives it."""
    edible = {
        row["cut"]: Decimal(row["fat_pct"]) / (100 - parts_of(row).get("bone", 0)) * 100 for row in table("cuts.csv")
    }
    meat = [row for row in table("cuts.csv") if row["ndb_no"] and row["kind"] in MEAT_KINDS | {"rib"}]
    told = [row for row in table("cuts.csv") if row["analysis_source"].endswith("nearest in fat")]
    assert len(told) == 4
    for row in told:
        same = [other for other in meat if other["species"] == row["species"]]
        nearest = min(same, key=lambda other: abs(edible[other["cut"]] - edible[row["cut"]]))
        assert nearest["ndb_no"] == row["borrowed_from"], (row["cut"], nearest["cut"])


def test_every_cut_has_an_analysis_or_says_that_there_is_none() -> None:
    foods = read_foods()
    assert {row.cut.name for row in read_cuts() if foods.known_of(row) is None} == NO_ANALYSIS
    for row in table("cuts.csv"):
        assert bool(row["analysis_source"]) is not bool(row["ndb_no"]), row["cut"]
        assert row["analysis_source"].startswith("not known: ") is (row["cut"] in NO_ANALYSIS), row["cut"]


def test_the_standing_cautions_and_those_printed_by_rule_are_all_there() -> None:
    rows = table("cautions.csv")
    assert [row["key"] for row in rows if row["applies"] == "standing"] == STANDING
    assert [row["key"] for row in rows if row["applies"] == "rule"] == BY_RULE


def test_cautions_are_grouped_and_their_keys_are_words() -> None:
    rows = table("cautions.csv")
    assert [row["applies"] for row in rows] == sorted(
        (row["applies"] for row in rows), key=["standing", "cut", "rule"].index
    )
    keys = [row["key"] for row in rows]
    assert len(keys) == len(set(keys))
    assert [key for key in keys if not re.fullmatch(r"[a-z]+(?:-[a-z]+)*", key)] == []


def test_only_a_caution_about_cuts_says_which() -> None:
    for row in table("cautions.csv"):
        asks = [column for column in ("species", "kinds", "bone", "names") if row[column]]
        assert bool(asks) is (row["applies"] == "cut"), row["key"]
        assert row["bone"] in {"", "yes"}, row["key"]


@pytest.mark.parametrize("name", ["cautions.csv", "toxic_foods.csv"])
def test_every_warning_has_a_source_and_says_how_far_to_trust_it(name: str) -> None:
    for row in table(name):
        empty = [column for column, cell in row.items() if not cell]
        assert set(empty) <= {"threshold", "species", "kinds", "bone", "names", "unless"}, row
        recalled = ("from memory, not looked up", "common practice, no source")
        assert row["provenance"] != "memory" or any(words in row["source"] for words in recalled), row


def test_a_caution_says_what_happens_in_sentences_and_what_to_do_in_one_short_clause() -> None:
    for row in table("cautions.csv"):
        assert row["hazard"][0].isupper(), row["key"]
        assert row["hazard"].endswith("."), row["key"]
        assert row["do"][0].islower(), row["key"]
        assert not row["do"].endswith("."), row["key"]
        assert len(row["do"]) <= LONGEST_TO_DO, row["key"]
        assert row["where"] in PLACES, row["key"]
        assert not row["heading"].endswith("."), row["key"]


def test_a_veterinarian_is_asked_in_one_caution() -> None:
    told = [row["key"] for row in table("cautions.csv") if "veterinarian" in f"{row['hazard']} {row['do']}"]
    assert told == ["ask-a-veterinarian"]


def test_the_advice_on_a_toxic_food_is_never_or_avoid() -> None:
    assert {row["advice"] for row in table("toxic_foods.csv")} == {"never", "avoid"}


def test_a_toxic_word_belongs_to_one_food_and_is_lower_case() -> None:
    words = [word for row in table("toxic_foods.csv") for word in listed(row["words"])]
    assert len(words) == len(set(words))
    assert [word for word in words if not re.fullmatch(r"[a-z0-9]+(?: [a-z0-9]+)*", word)] == []
    expected = {"onion", "garlic", "leek", "chive", "shallot", "grape", "raisin", "sultana", "currant", "xylitol"}
    expected |= {"macadamia", "chocolate", "cocoa", "coffee", "tea", "alcohol", "avocado", "nutmeg", "cooked bone"}
    assert expected - set(words) == set()


def test_no_cut_is_called_as_a_toxic_food_and_plurals_are_known() -> None:
    foods = read_toxic_foods()
    assert [name for name in names() if toxic_food(name, foods)] == []
    for name in ("red onion powder", "smoked bones", "avocados", "wild hogs", "scallions", "boiled bone"):
        assert toxic_food(name, foods), name
    words = {word for row in table("toxic_foods.csv") for word in listed(row["words"])}
    assert {"rhubarb leaf", "green potato", "mouldy", "hops", "cherry stone", "apple pip", "rawhide"} <= words
