"""Food that is dangerous to dogs, and mixes that hide what is in them."""

from pathlib import Path

import pytest

from raworder.reading.reference import COOKED, COOKED_BONE, read_cuts, read_toxic_foods, toxic_food
from tests.reading.written import DOG, a_text, reading_of, slugs

OWN = "own_cuts: [{{cut: moor mix, fat: 9 %, {}}}]"


@pytest.mark.parametrize("word", [*COOKED, "Twice-Smoked", "ROASTED"])
def test_a_cut_with_bone_may_not_be_called_cooked(tmp_path: Path, word: str) -> None:
    # FDA warning as quoted in the table of dangerous foods: cooked bone is unsafe whatever its size.
    reading = reading_of(tmp_path, a_text(cuts=f"  - {{cut: chicken neck, item: {word} necks, pack: 1 kg, price: 2}}"))
    assert slugs(reading) == ["toxic-food"]
    assert "FDA" in reading.findings[0].note


@pytest.mark.parametrize(
    "offer",
    [
        "cut: beef trim, item: smoked trim",
        "cut: chicken neck, bone: 0 %, item: roast neck",
        "cut: chicken neck, item: raw necks",
        "cut: chicken neck, item: frying necks",
    ],
)
def test_meat_without_bone_may_be_cooked_and_bone_may_be_raw(tmp_path: Path, offer: str) -> None:
    assert slugs(reading_of(tmp_path, a_text(cuts=f"  - {{{offer}, pack: 1 kg, price: 2}}"))) == []


@pytest.mark.parametrize(
    "text",
    [
        a_text(cuts="  - {cut: beef trim, bone: 5 %, item: braised trim, price: 6 per kg}"),
        a_text(cuts="  - {cut: beef trim, item: trim of smoked bones, price: 6 per kg}"),
        a_text(cuts="  - {cut: grilled knuckle-bone, price: 6 per kg}"),
        a_text(more=OWN.format("species: beef, bone: 10 %").replace("moor mix", "baked mix")),
        a_text(more=OWN.format("bone: 0 %, made_of: [chicken neck]").replace("moor mix", "baked mix")),
        a_text(more="on_hand: [{cut: fried rib bones, weight: 1 kg}]"),
    ],
)
def test_cooked_bone_is_refused_wherever_it_stands(tmp_path: Path, text: str) -> None:
    assert slugs(reading_of(tmp_path, text)) == ["toxic-food"]


@pytest.mark.parametrize(
    "own",
    ["species: onion, bone: 0 %", "species: beef, kind: garlic, bone: 0 %", "species: wild-boar, bone: 0 %",
     "species: {beef: 50 %, Wildboar: 50 %}, bone: 0 %"],
)  # fmt: skip
def test_species_and_kinds_of_own_cuts_are_looked_at(tmp_path: Path, own: str) -> None:
    assert slugs(reading_of(tmp_path, a_text(more=OWN.format(own)))) == ["toxic-food"]


@pytest.mark.parametrize(
    ("name", "berry"),
    [("black currants", "blackcurrant"), ("Black-Currant", "blackcurrant"), ("red currants, fresh", "redcurrant")],
)
def test_a_berry_in_two_words_is_pointed_to_its_one_word(tmp_path: Path, name: str, berry: str) -> None:
    (finding,) = reading_of(tmp_path, a_text(cuts=f"  - {{cut: '{name}', pack: 1 kg, price: 2}}")).findings
    assert finding.slug == "toxic-food"
    assert f"`{berry}`" in finding.help


@pytest.mark.parametrize(
    ("name", "food"),
    [
        ("raw potato green", "green or sprouting potato"),
        ("potatoes, green", "green or sprouting potato"),
        ("sprouting potatoes", "green or sprouting potato"),
        ("rhubarb leaf", "rhubarb leaf"),
        ("leaves of the rhubarb", "rhubarb leaf"),
        ("cherry with stones", "fruit stones and pips"),
        ("plums with their pits", "fruit stones and pips"),
        ("apple seeds", "fruit stones and pips"),
        ("mouldy bread", "mouldy food"),
        ("spent hops", "hops"),
        ("rawhide chew", "rawhide"),
        ("trim of boar, wild", "swine that lived wild"),
        ("boar mince", "swine that lived wild"),
        ("spoilt mince", "mouldy food"),
        ("cider", "alcohol"),
        ("garlic vinegar", "onion, garlic and their kin"),
    ],
)
def test_words_that_stand_together_are_found_in_any_order(name: str, food: str) -> None:
    found = toxic_food(name, read_toxic_foods())
    assert found is not None
    assert found.food == food


@pytest.mark.parametrize(
    "name",
    ["cherry stoned", "cherries, pitted", "pork chop", "potato", "sweet potato", "leaf lettuce", "peach", "apple",
     "potato and green beans", "coriander leaf", "hop shoots", "rhubarb", "stone bass", "wild salmon with pork",
     "apple cider vinegar"],
)  # fmt: skip
def test_harmless_names_are_not_refused(name: str) -> None:
    assert toxic_food(name, read_toxic_foods()) is None


def test_the_table_has_the_row_that_cooked_bone_is_refused_by_and_no_cut_is_called_cooked() -> None:
    foods = read_toxic_foods()
    row = toxic_food(COOKED_BONE, foods)
    assert row is not None
    assert row.food == COOKED_BONE
    assert toxic_food("onions with cooked bone", foods[::-1]) is not None
    names = [name for one in read_cuts() for name in (one.cut.name, *one.also_called)]
    assert [name for name in names if toxic_food(f"{name} bone", foods)] == []


@pytest.mark.parametrize(
    ("own", "kept_from", "doubted"),
    [
        ("species: beef, kind: mince, bone: 0 %", "avoid: [tripe]", 1),
        ("species: beef, kind: Mince, bone: 0 %", "avoid: [beef heart]", 1),
        ("species: beef, kind: mince, bone: 0 %", "caps: {heart: 5 %}", 1),
        ("species: [beef, lamb], bone: 0 %", "caps: {lamb liver: 5 %}", 1),
        ("species: beef, parts: {muscle: 90 %, liver: 10 %}", "avoid: [tripe]", 1),
        ("species: beef, kind: mince, bone: 0 %, made_of: [beef trim]", "avoid: [tripe]", 0),
        ("species: beef, kind: mince, bone: 0 %", "avoid: [pork, bone, poultry]", 0),
        ("species: beef, kind: mince, bone: 0 %", "caps: {beef: 50 %, heart: none, fat: 12 %}", 0),
        ("species: beef, bone: 30 %", "avoid: [tripe]", 0),
    ],
)
def test_a_mix_that_hides_its_ingredients_is_doubted_where_they_matter(
    tmp_path: Path, own: str, kept_from: str, doubted: int
) -> None:
    more = OWN.format(own)
    dogs = f"  - {DOG.replace('name: Maple', f'name: Maple, {kept_from}')}"
    assert slugs(reading_of(tmp_path, a_text(dogs=dogs, more=more))) == ["unseen-ingredients"] * doubted
    common = f"{more}\nall_dogs: {{{kept_from}}}"
    assert (
        slugs(reading_of(tmp_path, a_text(dogs=f"  - {DOG}\n  - {DOG.replace('Maple', 'Pip')}", more=common)))
        == ["unseen-ingredients"] * doubted
    )


BONELESS = "{name: Maple, weight: 8 kg, ration: 6 %, puppy: yes, targets: {muscle: 90 % to 100 %}"
ASKED = "nutrients: {calcium: at least 1 g per 1000 kcal, calcium to phosphorus: at least 1}"


@pytest.mark.parametrize(
    ("own", "more", "refused"),
    [
        ("", "", True),
        ("", f"all_dogs: {{{ASKED}}}", True),
        (f", {ASKED}", "", False),
        (f", {ASKED}", f"all_dogs: {{{ASKED}}}", False),
        (", vet_asked_for_no_bone: yes", f"all_dogs: {{{ASKED}}}", False),
        (", nutrients: {calcium: none}", f"all_dogs: {{{ASKED}}}", True),
        (", nutrients: {zinc: at least 1 mg a day}", f"all_dogs: {{{ASKED}}}", True),
    ],
)
def test_what_all_dogs_are_to_get_of_calcium_is_not_for_a_growing_one(
    tmp_path: Path, own: str, more: str, *, refused: bool
) -> None:
    text = a_text(dogs=f"  - {BONELESS}{own}}}", cuts="  - {cut: beef trim, pack: 1 kg, price: 2}", more=more)
    assert ("growing-dog-without-calcium" in slugs(reading_of(tmp_path, text))) is refused
