"""The user's own cuts."""

from fractions import Fraction
from pathlib import Path

import pytest

from raworder.trade.cuts import Measure, Part, SpeciesShare, Subject
from tests.reading.written import a_text, cut_of, reading_of, scenario_of, slugs

MIX = """own_cuts:
  - cut: market mix
    species: {beef: 60 %, chicken: 40 %}
    kind: mince
    parts: {muscle: 75 %, bone: 10 %, liver: 5 %, other organ: 5 %, vegetables: 5 %}
    fat: 12 %
    rich: no
    piece: 90 g
    made_of: [beef trim, chicken neck]
"""
OFFER = "cut: market mix, pack: 1 kg, price: 5.00"


def test_a_mix_says_all_of_itself(tmp_path: Path) -> None:
    cut = cut_of(tmp_path, OFFER, MIX)
    assert cut.species == (SpeciesShare("beef", Fraction(3, 5)), SpeciesShare("chicken", Fraction(2, 5)))
    assert (cut.kind, cut.fat_share, cut.piece_g, cut.rich) == ("mince", Fraction(12, 100), 90, False)
    assert dict(cut.parts)[Part.MUSCLE] == Fraction(75, 100)
    assert [one.name for one in cut.ingredients] == ["beef trim", "chicken neck"]
    assert "edible-bone" in cut.cautions


@pytest.mark.parametrize(
    ("said", "rich"),
    [
        ("species: beef, fat: 24 %", False),
        ("species: beef, fat: 25 %", True),
        ("species: beef, fat: 4 %, kind: heart", True),
        ("species: beef, fat: 30 %, rich: no", False),
        ("species: beef, fat: 4 %, rich: yes", True),
        ("made_of: [beef trim, beef heart], fat: 10 %", True),
        ("made_of: [beef trim, beef heart], fat: 10 %, rich: no", False),
    ],
)
def test_an_own_cut_is_rich_by_its_fat_and_by_what_is_in_it_unless_it_says_otherwise(
    tmp_path: Path, said: str, *, rich: bool
) -> None:
    cut = cut_of(tmp_path, OFFER, f"own_cuts: [{{cut: market mix, bone: 0 %, {said}}}]")
    assert cut.rich is rich
    assert Subject(Measure.RICH, "").share_in(cut) == int(rich)
    assert Subject(Measure.RICH, "").touches(cut) is rich


def test_bone_alone_means_that_the_rest_is_muscle(tmp_path: Path) -> None:
    more = "own_cuts: [{cut: market mix, species: goat, bone: 28 %, fat: 9 %}]"
    cut = cut_of(tmp_path, OFFER, more)
    assert dict(cut.parts) == {Part.MUSCLE: Fraction(72, 100), Part.BONE: Fraction(28, 100)}
    assert cut.species == (SpeciesShare("goat", Fraction(1)),)
    assert cut.kind == "own"


def test_species_in_unknown_shares_count_whole(tmp_path: Path) -> None:
    more = "own_cuts: [{cut: market mix, species: [beef, lamb], bone: 0 %, fat: 9 %}]"
    cut = cut_of(tmp_path, OFFER, more)
    assert cut.species == (SpeciesShare("beef", None), SpeciesShare("lamb", None))
    assert Subject(Measure.SPECIES, "lamb").share_in(cut) == 1


@pytest.mark.parametrize(
    ("species", "read"),
    [
        ("veal", (SpeciesShare("beef", Fraction(1)),)),
        ("deer", (SpeciesShare("venison", Fraction(1)),)),
        ("{veal: 60 %, Mutton: 40 %}", (SpeciesShare("beef", Fraction(3, 5)), SpeciesShare("lamb", Fraction(2, 5)))),
        ("{beef: 60 %, veal: 40 %}", (SpeciesShare("beef", Fraction(1)),)),
        ("[beef, veal, chicken]", (SpeciesShare("beef", None), SpeciesShare("chicken", None))),
        ("{beef: 60 %, veal: unknown}", (SpeciesShare("beef", None),)),
    ],
)
def test_one_animal_under_two_names_is_one_species(
    tmp_path: Path, species: str, read: tuple[SpeciesShare, ...]
) -> None:
    # The trade's words, no source: veal is young beef, mutton is grown lamb.
    more = f"own_cuts: [{{cut: market mix, species: {species}, bone: 0 %, fat: 9 %}}]"
    assert cut_of(tmp_path, OFFER, more).species == read


def test_what_is_minded_with_a_species_is_minded_in_a_mix_that_names_no_ingredients(tmp_path: Path) -> None:
    more = "own_cuts: [{cut: market mix, species: [pork, salmon], parts: {muscle: 100 %}, fat: 9 %}]"
    assert {"raw-pork", "raw-salmonid", "raw-fish-parasites"} <= set(cut_of(tmp_path, OFFER, more).cautions)
    plain = "own_cuts: [{cut: market mix, species: rabbit, parts: {muscle: 100 %}, fat: 9 %}]"
    assert cut_of(tmp_path, OFFER, plain).cautions == ()


def test_species_not_written_are_those_of_the_ingredients(tmp_path: Path) -> None:
    more = "own_cuts: [{cut: market mix, bone: 0 %, fat: 9 %, made_of: [beef trim, duck heart]}]"
    assert cut_of(tmp_path, OFFER, more).species_names == ("beef", "duck")


def test_a_mix_of_mixes_is_looked_through(tmp_path: Path) -> None:
    more = """own_cuts:
  - {cut: market mix, species: beef, bone: 0 %, fat: 9 %, made_of: [inner mix]}
  - {cut: inner mix, species: beef, bone: 0 %, fat: 9 %, made_of: [beef heart]}
"""
    cut = cut_of(tmp_path, OFFER, more)
    assert [one.name for one in cut.ingredients] == ["beef heart", "inner mix"]
    assert Subject(Measure.KIND, "heart").share_in(cut) == 1


def test_an_own_cut_that_nobody_sells_is_no_cut_of_the_scenario(tmp_path: Path) -> None:
    assert [cut.name for cut in scenario_of(tmp_path, a_text(more=MIX)).cuts] == ["kale"]


def test_a_mix_of_a_broken_mix_is_not_told_as_well(tmp_path: Path) -> None:
    more = """own_cuts:
  - {cut: outer mix, species: beef, bone: 0 %, fat: 9 %, made_of: [inner mix]}
  - {cut: inner mix, species: beef, bone: 0 %, fat: 9 %, parts: {muscle: 100 %}}
"""
    assert slugs(reading_of(tmp_path, a_text(more=more))) == ["two-ways"]


@pytest.mark.slow
def test_a_long_chain_of_mixes_is_refused_and_does_not_exhaust_anything(tmp_path: Path) -> None:
    links = "\n".join(f"  - {{cut: mix {n}, bone: 0 %, fat: 5 %, made_of: [mix {n + 1}]}}" for n in range(400))
    reading = reading_of(
        tmp_path, a_text(more=f"own_cuts:\n{links}\n  - {{cut: mix 400, bone: 0 %, fat: 5 %, species: beef}}")
    )
    assert set(slugs(reading)) == {"too-deep"}


@pytest.mark.parametrize(
    ("species", "made_of", "missing"),
    [
        ("[rabbit, pork]", "[turkey heart, goat trim]", "`goat` and `turkey`"),
        ("{turkey: 60 %, pork: 40 %}", "[turkey heart, goat trim]", "`goat`"),
        ("[turkey, goat, pork]", "[turkey heart, goat trim]", ""),
        ("[turkey, veal]", "[turkey heart, beef trim, kale]", ""),  # veal is beef; a plant is no animal
    ],
)
def test_an_animal_in_a_mix_that_its_species_leaves_out_is_found(
    tmp_path: Path, species: str, made_of: str, missing: str
) -> None:
    more = f"own_cuts: [{{cut: market mix, species: {species}, bone: 0 %, fat: 9 %, made_of: {made_of}}}]"
    found = reading_of(tmp_path, a_text(cuts=f"  - {{{OFFER}}}", more=more)).findings
    assert [one.slug for one in found] == ["species-left-out"] * bool(missing)
    assert all(f"is made of {missing} too" in one.message for one in found)


@pytest.mark.parametrize(("species", "slug"), [("hare", []), ("bear", []), ("haer", ["new-species"])])
def test_a_species_that_a_caution_names_is_known(tmp_path: Path, species: str, slug: list[str]) -> None:
    more = f"own_cuts: [{{cut: market mix, species: {species}, bone: 0 %, fat: 9 %}}]"
    reading = reading_of(tmp_path, a_text(cuts=f"  - {{{OFFER}}}", more=more))
    assert slugs(reading) == slug


def test_bone_that_an_offer_states_is_minded(tmp_path: Path) -> None:
    assert "edible-bone" in cut_of(tmp_path, "cut: beef trim, bone: 5 %, pack: 1 kg, price: 5.00").cautions
