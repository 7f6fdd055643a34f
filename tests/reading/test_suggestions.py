"""What is suggested for names on suppliers' lists, in five languages. All names are invented.

**Source:** what the words mean is common usage, from memory, not looked up.
"""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.reading.answers import known
from raworder.reading.suggestions import ORGAN, Meaning, name_meaning, read_cut_words, suggest_cuts
from raworder.trade.cuts import Cut, Part

CATALOGUE = known().catalogue

FIRST = {
    "CHKN NCK S/L IQF 40 LB": "chicken neck skinless",
    "chix backs cs": "chicken back",
    "TKY NECKS HALAL": "turkey neck",
    "BF HRT TRMD": "beef heart",
    "Beef LVR sliced": "beef liver",
    "Veal LVR": "veal liver",
    "LMB KDNY": "lamb kidney",
    "PRK MELTS": "pork spleen",
    "BF TRM 80/20 2x30#": "beef trim",
    "GRND TRKY 10 LB CHUB": "turkey mince",
    "CHKN THI BNLS SKNLS": "chicken thigh boneless",
    "CHKN LEG QTR": "chicken leg quarter",
    "chicken drumsticks": "chicken drumstick",
    "TRKY GIZZ": "turkey gizzard",
    "GREEN TRIPE GRND": "beef green tripe",
    "Ox tail cut": "beef tail",
    "LAMB LIGHTS": "lamb lung",
    "whole rabbits, dressed": "rabbit whole",
    "pork neck bones": "pork neck bone",
    "beef short ribs bone in": "beef short rib",
    "SALMON HEADS": "salmon head",
    "duck feet": "duck foot",
    "broccoli florets 10x1kg": "broccoli",
    "red bell pepper": "red sweet pepper",
    "Hähnchenhälse": "chicken neck",
    "haehnchenhaelse 5kg": "chicken neck",
    "HAHNCHENHALSE": "chicken neck",
    "Hühnerherzen": "chicken heart",
    "Rinderherz TK": "beef heart",
    "Rinderherzstücke": "beef heart",
    "Putenoberkeule o. Kn.": "turkey thigh boneless",
    "Hähnchenkeulen": "chicken leg quarter",
    "Pansen grün": "beef green tripe",
    "Milz vom Schwein": "pork spleen",
    "Ochsenschwanz": "beef tail",
    "Lammlunge": "lamb lung",
    "Kalbsleber": "veal liver",
    "Rehleber": "venison liver",
    "Wildfleischabschnitte": "venison trim",
    "Entenkarkassen": "duck frame",
    "Jungbullenherz": "beef heart",
    "Schweinemägen": "pork stomach",
    "Putenmägen": "turkey gizzard",
    "Sprotten": "sprat whole",
    "Möhren": "carrot",
    "Rinderabschnitte 12 % Fett": "beef trim",
    "beef mince fat max. 20 %": "beef mince",
    "cous de poulet": "chicken neck",
    "foie de bœuf": "beef liver",
    "cœurs de dinde": "turkey heart",
    "gésiers de canard": "duck gizzard",
    "rate de porc": "pork spleen",
    "viande hachée de bœuf": "beef mince",
    "mou d'agneau": "lamb lung",
    "carcasses de volaille de canard": "duck frame",
    "hígado de pollo": "chicken liver",
    "corazón de ternera": "beef heart",
    "cuellos de pavo": "turkey neck",
    "mollejas de pollo": "chicken gizzard",
    "riñones de cordero": "lamb kidney",
    "carne picada de vacuno": "beef mince",
    "kippennekken": "chicken neck",
    "kiplevertjes": "chicken liver",
    "runderhart": "beef heart",
    "lamslong": "lamb lung",
    "groene pens": "beef green tripe",
    "kalkoendijfilet": "turkey thigh boneless",
}

NONE = (
    "PIZZA SALAMI 12x340 g", "liver sausage", "Kalbsleberwurst", "smoked turkey necks", "jambon cuit", "ham gekookt",
    "kidney beans", "artichoke hearts", "foie gras de canard", "Rinderbratwurst", "chicken and duck necks",
    "heart & liver mix beef", "Hähnchenherz mit Leber", "wild boar heart", "Wildschweinleber", "hare liver",
    "cod liver", "goose heart", "lamb neck boneless", "Rinderkopffleisch", "beef marrow bones", "chicken", "Rind",
    "Paniermehl", "herzhafter Rinderbraten", "paper towels", "",
)  # fmt: skip
"""Mixes, what is made of an organ, organs of which we have no cut, species alone, and what is no food for dogs."""


@pytest.mark.parametrize("name", FIRST)
def test_the_first_suggestion_is_what_a_butcher_would_say(name: str) -> None:
    assert suggest_cuts(name, CATALOGUE)[:1] == (FIRST[name],)


@pytest.mark.parametrize("name", NONE)
def test_nothing_is_suggested_where_nothing_of_ours_is_meant(name: str) -> None:
    assert suggest_cuts(name, CATALOGUE) == ()


def meanings(says: str) -> list[tuple[str, Meaning]]:
    """Every phrase of the table that says that, with what it means."""
    found = read_cut_words().phrases.items()
    return [(" ".join(key), one) for key, several in found for one in several if one.says == says]


ORGANS = [(words, one) for words, one in meanings("kind") if one.weight == ORGAN]
SPECIES = [(words, one) for words, one in meanings("species") if one.weight > 1]
OTHERS = [words for says in ("kind", "name", "species", "nothing") for words, _ in meanings(says)]


def cuts_of(names: tuple[str, ...]) -> list[Cut]:
    """The cuts of these names."""
    return [cut for name in names if (cut := CATALOGUE.find(name)) is not None]


@given(st.sampled_from(ORGANS), st.lists(st.sampled_from(OTHERS), max_size=4), st.integers(0, 4))
def test_a_name_with_a_word_for_an_organ_is_never_suggested_another_part(
    organ: tuple[str, Meaning], others: list[str], place: int
) -> None:
    words, meaning = organ
    name = " ".join((*others[:place], words, *others[place:]))
    if meaning in name_meaning(name).meanings:  # else it became part of a longer phrase, such as `rognons blancs`
        assert {cut.kind for cut in cuts_of(suggest_cuts(name, CATALOGUE))} <= set(meaning.means)


@pytest.mark.slow
def test_nor_where_it_is_written_in_one_with_its_animal_and_something_else() -> None:
    parts = read_cut_words().parts
    organs = [(part, one) for part, several in parts.items() for one in several if one in dict(ORGANS).values()]
    animals = [part for part, several in parts.items() if any(one.says == "species" for one in several)]
    wrong = []
    for (organ, meaning), animal, after in product(organs, animals[::20], ("", "stücke", "xyz")):
        for name in (f"{animal}{organ}{after}", f"{animal} {animal}s{organ}{after} gewolft"):
            found = cuts_of(suggest_cuts(name, CATALOGUE))
            if not name_meaning(name).not_for_dogs and any(cut.kind not in meaning.means for cut in found):
                wrong.append(name)
    assert wrong == []


def test_every_organ_we_have_is_suggested_by_its_english_name_and_each_of_its_other_words() -> None:
    for cut in CATALOGUE.cuts:
        if any(cut.kind in one.means for _, one in ORGANS):
            assert suggest_cuts(cut.name.upper(), CATALOGUE)[0] == cut.name
    for words, meaning in ORGANS:
        found = cuts_of(suggest_cuts(words, CATALOGUE))
        assert {cut.kind for cut in found} <= set(meaning.means)


@pytest.mark.slow
def test_what_is_without_bone_is_suggested_no_cut_with_bone() -> None:
    for words, boneless in product(
        (words for words, _ in SPECIES[::3]), ("boneless", "ohne Knochen", "sans os", "o. Kn.")
    ):
        for part in ("leg", "neck", "rib", "Brust", "cuisse"):
            found = cuts_of(suggest_cuts(f"{words} {part} {boneless}", CATALOGUE))
            assert not any(cut.part_share(Part.BONE) for cut in found), (words, part, boneless)


def test_at_most_three_are_suggested_and_likeness_helps_where_no_word_is_known() -> None:
    assert all(len(suggest_cuts(name, CATALOGUE)) <= 3 for name in (*FIRST, "necks", "liver", "mince beef"))
    assert suggest_cuts("brocoly", CATALOGUE)[0] == "broccoli"
    assert suggest_cuts("necks", CATALOGUE)[0] == "chicken neck"


def test_a_word_that_marks_what_is_not_for_dogs_is_told_as_the_table_writes_it() -> None:
    assert name_meaning("BRATWUERSTE GEWUERZT").not_for_dogs == "Bratwürste"
    assert name_meaning("Rinderbratwurst").not_for_dogs == "Bratwurst"
    assert name_meaning("beef heart").not_for_dogs == ""
