"""Dogs: targets, caps, exclusions, and what holds for all of them."""

import re
from fractions import Fraction
from pathlib import Path

import pytest

import raworder.reading
from raworder.trade.cuts import Measure, Part, Subject
from raworder.trade.dogs import Cap, Care, VetAmount
from tests.reading.written import DOG, a_text, dog_of, reading_of, scenario_of, slugs

BASICS = "weight: 20 kg, ration: 2.5 %"
FAT, HEART = Subject(Measure.FAT, ""), Subject(Measure.KIND, "heart")


def percents(dog: object) -> dict[Part, tuple[int, int]]:
    return {one.part: (int(one.low * 100), int(one.high * 100)) for one in dog.targets}


def test_the_prey_model_has_its_ranges(tmp_path: Path) -> None:
    # Common practice, no source.
    dog = dog_of(tmp_path, f"{BASICS}, targets: prey model")
    assert dog.targets_named == "prey model"
    assert percents(dog) == {
        Part.MUSCLE: (76, 84),
        Part.BONE: (8, 12),
        Part.LIVER: (4, 6),
        Part.OTHER_ORGAN: (4, 6),
        Part.VEGETABLES: (0, 0),
        Part.BERRIES: (0, 0),
    }


def test_barf_has_its_ranges_and_its_plant_part_stays_in_eight_to_ten_percent(tmp_path: Path) -> None:
    # Common practice, no source: vegetables up to 7 %, berries up to 3 %, together 8 to 10 %.
    dog = dog_of(tmp_path, f"{BASICS}, targets: BARF")
    ranges = percents(dog)
    plants = ranges[Part.VEGETABLES], ranges[Part.BERRIES]
    assert dog.targets_named == "BARF"
    assert ranges[Part.MUSCLE] == (66, 74)
    assert (sum(low for low, _ in plants), sum(high for _, high in plants)) == (8, 10)
    assert (plants[0][1], plants[1][1]) == (7, 3)


def test_own_targets_leave_muscle_free_and_keep_other_parts_out(tmp_path: Path) -> None:
    dog = dog_of(tmp_path, f"{BASICS}, targets: {{bone: 8 % to 12 %, liver: 5 %, other organ: 4 % to 6 %}}")
    assert dog.targets_named == "own"
    assert percents(dog) == {
        Part.MUSCLE: (0, 100),
        Part.BONE: (8, 12),
        Part.LIVER: (5, 5),
        Part.OTHER_ORGAN: (4, 6),
        Part.VEGETABLES: (0, 0),
        Part.BERRIES: (0, 0),
    }


def test_a_pattern_can_be_altered(tmp_path: Path) -> None:
    dog = dog_of(tmp_path, f"{BASICS}, targets: {{pattern: BARF, bone: 10 % to 15 %}}")
    assert percents(dog)[Part.BONE] == (10, 15)
    assert percents(dog)[Part.LIVER] == (4, 6)
    assert dog.targets_named == "own"


def test_heart_and_fat_are_capped_by_default(tmp_path: Path) -> None:
    # Common practice, no source: heart 10 %, fat 15 %.
    dog = dog_of(tmp_path, f"{BASICS}, targets: prey model")
    assert dog.caps == (Cap(FAT, Fraction(15, 100)), Cap(HEART, Fraction(10, 100)))


def test_a_cap_says_where_it_is_from_unless_the_scenario_sets_it(tmp_path: Path) -> None:
    cuts = "  - {cut: beef lung, price: 3.00 per kg}\n  - {cut: chicken gizzard, price: 3.00 per kg}"
    dogs = f"  - {{name: Maple, {BASICS}, targets: prey model, caps: {{heart: 12 %}}}}"
    (dog,) = scenario_of(tmp_path, a_text(dogs=dogs, cuts=cuts, more="all_dogs: {caps: {fat: 15 %}}")).dogs
    assert {cap.subject.word or "fat": cap.source for cap in dog.caps} == {
        "fat": "",
        "heart": "",
        "lung": "common practice, no source",
        "gizzard": "our own choice",
    }


def test_a_cap_can_be_changed_and_switched_off(tmp_path: Path) -> None:
    dog = dog_of(tmp_path, f"{BASICS}, targets: prey model, caps: {{heart: none, fat: 12 %, lamb liver: 3 %}}")
    assert dog.caps == (
        Cap(FAT, Fraction(12, 100)),
        Cap(Subject(Measure.CUT, "lamb liver"), Fraction(3, 100)),
    )


def test_what_holds_for_all_dogs_can_be_said_otherwise_by_each(tmp_path: Path) -> None:
    dogs = (
        "  - {name: Maple, weight: 20 kg}\n  - {name: Pip, weight: 10 kg, ration: 3 %, caps: {beef: none, rich: 9 %}}"
    )
    more = "all_dogs: {ration: 2.5 %, targets: prey model, caps: {beef: 60 %}, avoid: [pork]}"
    maple, pip = scenario_of(tmp_path, a_text(dogs=dogs, more=more)).dogs
    assert (maple.daily_g, pip.daily_g) == (500, 300)
    assert Cap(Subject(Measure.SPECIES, "beef"), Fraction(60, 100)) in maple.caps
    assert pip.caps[2:] == (Cap(Subject(Measure.RICH, ""), Fraction(9, 100)),)


def test_an_own_exclusion_adds_to_the_common_ones(tmp_path: Path) -> None:
    dogs = f"  - {DOG.replace('name: Maple', 'name: Maple, avoid: [duck]')}"
    (dog,) = scenario_of(tmp_path, a_text(dogs=dogs, more="all_dogs: {avoid: [pork]}")).dogs
    assert dog.avoid == (Subject(Measure.SPECIES, "pork"), Subject(Measure.SPECIES, "duck"))


def test_a_dog_in_care_gets_the_amounts_given_and_only_avoids_what_all_dogs_avoid(tmp_path: Path) -> None:
    dogs = "  - {name: Vera, care: nursing, vet_amounts: {kale: 10.5 g, chard: 200 g}, away: [2027-02-10]}"
    cuts = "  - {cut: kale, price: 3.00 per kg}\n  - {cut: chard, price: 3.00 per kg}"
    more = "all_dogs: {ration: 2.5 %, targets: prey model, caps: {beef: 60 %}, avoid: [pork]}"
    (dog,) = scenario_of(tmp_path, a_text(dogs=dogs, cuts=cuts, more=more)).dogs
    assert dog.care is Care.NURSING
    assert (dog.targets, dog.caps) == ((), ())
    assert dog.avoid == (Subject(Measure.SPECIES, "pork"),)
    assert dog.vet_amounts == (VetAmount("kale", 136), VetAmount("chard", 2600))
    assert (dog.daily_g, dog.batch_g) == (Fraction("210.5"), 2736)


def test_an_amount_of_what_all_dogs_avoid_is_refused_for_a_dog_in_care(tmp_path: Path) -> None:
    dogs = "  - {name: Vera, care: nursing, vet_amounts: {chicken mince: 300 g}}"
    cuts = "  - {cut: chicken mince, pack: 1 kg, price: 1.00}"
    reading = reading_of(tmp_path, a_text(dogs=dogs, cuts=cuts, more="all_dogs: {avoid: [chicken]}"))
    assert slugs(reading) == ["vet-amount-avoided"]


def test_one_thing_capped_under_two_names_is_refused(tmp_path: Path) -> None:
    dogs = f"  - {{name: Maple, {BASICS}, targets: BARF, caps: {{beef: 60 %, veal: 5 %}}}}"
    assert slugs(reading_of(tmp_path, a_text(dogs=dogs))) == ["two-ways", "two-ways"]


def test_an_amount_given_by_another_name_finds_the_cut_and_its_only_kind(tmp_path: Path) -> None:
    dogs = "  - {name: Vera, care: ill, vet_amounts: {ground beef: 100 g}}"
    cuts = "  - {cut: beef mince, price: 8.00 per kg, fat: 8 %}"
    (dog,) = scenario_of(tmp_path, a_text(dogs=dogs, cuts=cuts)).dogs
    assert dog.vet_amounts == (VetAmount("beef mince (fat 8 %)", 1400),)


def test_a_dog_that_is_never_there_is_left_out(tmp_path: Path) -> None:
    dogs = f"  - {DOG}\n  - {{name: Pip, ration: 100 g, targets: BARF, away: [2027-02-06 to 2027-02-19]}}"
    reading = reading_of(tmp_path, a_text(dogs=dogs))
    assert slugs(reading) == ["away-throughout"]
    assert reading.scenario is not None
    assert [dog.name for dog in reading.scenario.dogs] == ["Maple"]


def test_names_are_one_when_only_capitals_or_composition_differ(tmp_path: Path) -> None:
    dogs = "\n".join(f"  - {DOG.replace('Maple', name)}" for name in ("Zoë", "zoe\u0308", "ZOË"))
    assert slugs(reading_of(tmp_path, a_text(dogs=dogs))) == ["repeated-dog", "repeated-dog"]


@pytest.mark.parametrize(
    ("amounts", "noted"),
    [
        ("{beef mince: 100 g}", True),
        ("{beef mince (fat 8 %): 100 g}", False),
        ("{beef mince: 100 g, beef mince (fat 8 %): 50 g}", False),
    ],
)
def test_an_offer_that_a_veterinarians_amount_passes_over_is_told(tmp_path: Path, amounts: str, *, noted: bool) -> None:
    cuts = "  - {cut: beef mince, price: 5.00 per kg}\n  - {cut: beef mince, fat: 8 %, price: 4.00 per kg}"
    dogs = f"  - {{name: Vera, care: ill, vet_amounts: {amounts}}}"
    reading = reading_of(tmp_path, a_text(dogs=dogs, cuts=cuts))
    assert slugs(reading) == ["offer-passed-over"] * noted
    assert all("`'beef mince (fat 8 %)': ...`" in one.help for one in reading.findings)
    assert reading.scenario is not None
    assert reading.scenario.dogs[0].vet_amounts[0].cut == amounts[1:].partition(": ")[0]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("ration", "2 %"),
        ("ration_by_end", "3 %"),
        ("weight_by_end", "10 kg"),
        ("targets", "prey model"),
        ("caps", "{heart: 5 %}"),
        ("treats", "20 kcal"),
        ("goal", "keep"),
        ("nutrients", "{zinc: at least 15 mg per 1000 kcal}"),
        ("profile", "FEDIAF adult 95"),
    ],
)
def test_nothing_is_computed_for_a_dog_in_care(tmp_path: Path, field: str, value: str) -> None:
    dogs = f"  - {{name: Vera, care: ill, vet_amounts: {{kale: 100 g}}, {field}: {value}}}"
    reading = reading_of(tmp_path, a_text(dogs=dogs))
    told = [one.message for one in reading.findings if one.slug == "care-with-own-amounts"]
    assert told == [f"`{field}` is not read for a dog in care"]


def test_a_profile_that_no_table_knows_is_told(tmp_path: Path) -> None:
    dogs = f"  - {{name: Maple, {BASICS}, targets: prey model, profile: FEDIAF adult 96}}"
    (found,) = reading_of(tmp_path, a_text(dogs=dogs)).findings
    assert (found.slug, found.message) == ("unknown-profile", "no profile is called `FEDIAF adult 96`")


def test_a_dog_that_eats_less_than_a_gram_is_told_at_its_name(tmp_path: Path) -> None:
    text = a_text(dogs="  - {name: Maple, weight: 1 g, ration: 0.1 %, targets: prey model}")
    found = {one.message: one.place.column for one in reading_of(tmp_path, text).findings}
    assert found["what `Maple` eats comes to less than a gram"] == 12


def test_a_dog_is_built_in_one_place_and_never_patched() -> None:
    """What is known of a dog is gathered first: `Dog` is called once, and nothing is replaced in it while reading."""
    sources = {path.name: path.read_text(encoding="utf-8") for path in Path(raworder.reading.__path__[0]).glob("*.py")}
    called = {name: len(re.findall(r"(?<![\w.])Dog\(", text)) for name, text in sources.items()}
    assert {name: times for name, times in called.items() if times} == {"dog_entries.py": 1}
    assert "replace(" not in sources["dog_entries.py"]
