"""Cuts as an offer describes them."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.catalogue import reference_catalogue
from raworder.reading.reference import read_cuts
from raworder.trade.cuts import Cut, Part
from raworder.trade.nutrients import Analysis
from tests.reading.written import a_text, cut_of, reading_of, scenario_of, slugs


@pytest.fixture(scope="module")
def neck() -> Cut:
    found = reference_catalogue(read_cuts()).find("chicken neck")
    assert found is not None
    return found


def test_a_stated_bone_share_stretches_all_else(tmp_path: Path, neck: Cut) -> None:
    cut = cut_of(tmp_path, "cut: chicken neck, bone: 20 %, pack: 1 kg, price: 2.40")
    assert cut.name == "chicken neck (bone 20 %)"
    assert cut.part_share(Part.BONE) == Fraction(1, 5)
    assert sum(share for _, share in cut.parts) == 1
    assert cut.fat_share / Fraction(4, 5) == neck.fat_share / (1 - neck.part_share(Part.BONE))
    assert cut.ingredients == (neck,)
    assert (cut.species, cut.kind, cut.cautions) == (neck.species, neck.kind, neck.cautions)


def test_a_stated_fat_share_stands_as_it_is(tmp_path: Path) -> None:
    cut = cut_of(tmp_path, "cut: chicken neck, bone: 20 %, fat: 7.5 %, pack: 1 kg, price: 2.40")
    assert cut.name == "chicken neck (bone 20 %, fat 7.5 %)"
    assert cut.fat_share == Fraction(75, 1000)


def test_a_piece_and_a_rich_mark_can_be_stated(tmp_path: Path) -> None:
    cut = cut_of(tmp_path, "cut: chicken neck, piece: 91 g, rich: yes, pack: 1 kg, price: 2.40")
    assert cut.name == "chicken neck (piece 91 g, rich)"
    assert (cut.piece_g, cut.rich) == (91, True)


def test_bone_can_be_added_to_a_boneless_cut_and_taken_from_a_bony_one(tmp_path: Path) -> None:
    rib = cut_of(tmp_path, "cut: beef trim, bone: 10 %, price: 6 per kg")
    assert dict(rib.parts) == {Part.MUSCLE: Fraction(9, 10), Part.BONE: Fraction(1, 10)}
    boned = cut_of(tmp_path, "cut: chicken neck, bone: 0 %, price: 6 per kg")
    assert dict(boned.parts) == {Part.MUSCLE: Fraction(1)}


def test_stating_what_the_table_says_changes_nothing(tmp_path: Path, neck: Cut) -> None:
    bone = neck.part_share(Part.BONE) * 100
    plain = cut_of(tmp_path, "cut: chicken neck, pack: 1 kg, price: 2.40")
    assert replace(plain, analysis=Analysis()) == neck
    assert cut_of(tmp_path, f"cut: chicken neck, bone: {bone} %, pack: 1 kg, price: 2.40") == plain


def test_two_kinds_of_one_cut_are_two_cuts_and_equal_ones_are_one(tmp_path: Path) -> None:
    lines = ["bone: 28 %, pack: 1 kg", "bone: 28.0 %, pack: 2 kg", "bone: 36.5 %, pack: 1 kg", "pack: 3 kg"]
    cuts = "\n".join(f"  - {{cut: chicken neck, {line}, price: 2.40}}" for line in lines)
    scenario = scenario_of(tmp_path, a_text(cuts=cuts))
    assert [cut.name for cut in scenario.cuts] == [
        "chicken neck",
        "chicken neck (bone 28 %)",
        "chicken neck (bone 36.5 %)",
    ]
    assert [offer.cut for offer in scenario.offers].count("chicken neck (bone 28 %)") == 2


def test_a_variant_of_a_mix_keeps_its_ingredients(tmp_path: Path) -> None:
    mix = "own_cuts: [{cut: moor mix, bone: 5 %, fat: 9 %, made_of: [beef heart, beef trim]}]"
    cut = cut_of(tmp_path, "cut: moor mix, fat: 11 %, pack: 1 kg, price: 5", more=mix)
    assert [one.name for one in cut.ingredients] == ["moor mix", "beef heart", "beef trim"]
    assert all(one == replace(one, ingredients=()) for one in cut.ingredients)


def test_an_own_cut_cannot_take_the_name_of_a_variant(tmp_path: Path) -> None:
    more = "own_cuts: [{cut: kale (fat 2 %), species: plant, parts: {vegetables: 100 %}, fat: 1 %}]"
    cuts = "  - {cut: kale (fat 2 %), price: 3.00 per kg}\n  - {cut: kale, fat: 2 %, price: 3.00 per kg}"
    assert slugs(reading_of(tmp_path, a_text(cuts=cuts, more=more))) == ["repeated-cut"]
