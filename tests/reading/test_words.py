"""What the words of caps and exclusions mean."""

from pathlib import Path

import pytest

from raworder.reading.catalogue import Words, catalogue_words, reference_catalogue
from raworder.reading.reference import read_cuts
from raworder.trade.cuts import Measure, Subject
from tests.reading.written import DOG, a_text, scenario_of

MIX = "own_cuts: [{cut: moor mix, species: [beef, chicken], kind: mince, bone: 5 %, fat: 9 %, made_of: [beef heart]}]"


@pytest.fixture(scope="module")
def words() -> Words:
    return catalogue_words(reference_catalogue(read_cuts()))


@pytest.mark.parametrize(
    ("word", "subject"),
    [
        ("fat", Subject(Measure.FAT, "")),
        ("rich", Subject(Measure.RICH, "")),
        ("liver", Subject(Measure.PART, "liver")),
        ("other organ", Subject(Measure.PART, "other organ")),
        ("beef", Subject(Measure.SPECIES, "beef")),
        ("Heart", Subject(Measure.KIND, "heart")),
        ("lamb liver", Subject(Measure.CUT, "lamb liver")),
        ("ground beef", Subject(Measure.CUT, "beef mince")),
        ("poultry", None),
        ("hart", None),
    ],
)
def test_a_cap_is_about_fat_rich_a_part_a_species_a_kind_or_a_cut(
    words: Words, word: str, subject: Subject | None
) -> None:
    assert words.capped(word) == subject


@pytest.mark.parametrize(
    ("word", "species"),
    [
        ("beef", "beef"),
        ("Veal", "beef"),
        ("lamb", "lamb"),
        ("mutton", "lamb"),
        ("roe deer", "venison"),
        ("pork", "pork"),
        ("plant", "plant"),
    ],
)
def test_an_animal_is_one_species_by_every_name(words: Words, word: str, species: str) -> None:
    # The trade's words, no source: veal is young beef, mutton is grown lamb.
    subject = Subject(Measure.SPECIES, species)
    assert words.avoided(word) == (subject,)
    assert words.capped(word) == subject


def test_veal_is_beef_and_keeps_its_kind_and_name(tmp_path: Path) -> None:
    cuts = "  - {cut: veal heart, pack: 1 kg, price: 5.00}\n  - {cut: beef trim, price: 6.00 per kg}"
    scenario = scenario_of(tmp_path, a_text(cuts=cuts))
    assert scenario.species() == ("beef",)
    assert (scenario.cut("veal heart").kind, scenario.cut("veal heart").species_names) == ("heart", ("beef",))


def test_groups_stand_for_their_species(words: Words) -> None:
    fish = {subject.word for subject in words.avoided("fish")}
    poultry = {subject.word for subject in words.avoided("poultry")}
    assert {"sardine", "salmon", "herring"} <= fish
    assert {"chicken", "turkey", "duck", "quail"} <= poultry
    assert not fish & {"chicken", "beef", "plant"}
    assert not poultry & fish


def test_avoiding_fat_avoids_fat_as_a_cut_and_not_whatever_holds_some(words: Words) -> None:
    assert words.avoided("fat") == (Subject(Measure.KIND, "fat"),)


@pytest.mark.parametrize("word", ["beef", "chicken", "heart", "beef heart", "bone"])
def test_an_exclusion_finds_what_is_in_a_mix(tmp_path: Path, word: str) -> None:
    dogs = f"  - {DOG.replace('name: Maple', f'name: Maple, avoid: [{word}]')}"
    cuts = "  - {cut: moor mix, pack: 1 kg, price: 5.00}\n  - {cut: kale, price: 3.00 per kg}"
    scenario = scenario_of(tmp_path, a_text(dogs=dogs, cuts=cuts, more=MIX))
    assert [cut.name for cut in scenario.cuts if scenario.dogs[0].avoids(cut)] == ["moor mix"]


@pytest.mark.parametrize("word", ["chicken neck", "neck", "chicken", "poultry", "bone", "whole bone"])
def test_an_exclusion_finds_a_cut_whose_figures_an_offer_states(tmp_path: Path, word: str) -> None:
    dogs = f"  - {DOG.replace('name: Maple', f'name: Maple, avoid: [{word}]')}"
    cuts = "  - {cut: chicken neck, bone: 28 %, pack: 1 kg, price: 2.40}\n  - {cut: kale, price: 3.00 per kg}"
    scenario = scenario_of(tmp_path, a_text(dogs=dogs, cuts=cuts))
    assert [cut.name for cut in scenario.cuts if scenario.dogs[0].avoids(cut)] == ["chicken neck (bone 28 %)"]


def test_whole_bone_leaves_ground_bone_be(tmp_path: Path) -> None:
    dogs = f"  - {DOG.replace('name: Maple', 'name: Maple, avoid: [whole bone]')}"
    cuts = "  - {cut: moor mix, pack: 1 kg, price: 5.00}\n  - {cut: chicken neck, pack: 1 kg, price: 2.40}"
    scenario = scenario_of(tmp_path, a_text(dogs=dogs, cuts=cuts, more=MIX))
    assert [cut.name for cut in scenario.cuts if scenario.dogs[0].avoids(cut)] == ["chicken neck"]
    assert scenario.dogs[0].avoid == (Subject(Measure.WHOLE_BONE, ""),)


def test_whole_bone_does_not_look_into_what_is_ground(tmp_path: Path) -> None:
    dogs = f"  - {DOG.replace('name: Maple', 'name: Maple, avoid: [whole bone]')}"
    mix = "own_cuts: [{cut: neck mince, species: chicken, kind: mince, bone: 30 %, fat: 9 %, made_of: [chicken neck]}]"
    cuts = "  - {cut: neck mince, pack: 1 kg, price: 5.00}\n  - {cut: chicken neck, pack: 1 kg, price: 2.40}"
    scenario = scenario_of(tmp_path, a_text(dogs=dogs, cuts=cuts, more=mix))
    assert [cut.name for cut in scenario.cuts if scenario.dogs[0].avoids(cut)] == ["chicken neck"]


def test_every_word_of_the_table_is_known(words: Words) -> None:
    assert all(words.avoided(word) for word in words.known())
