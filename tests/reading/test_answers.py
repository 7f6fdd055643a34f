"""Answers are read as the fields of the form are. All names are invented.

**Source:** the form of a scenario; no outside source.
"""

from fractions import Fraction

import pytest

from raworder.reading.answers import (
    PRICE,
    WEIGHT,
    care,
    check_answer,
    estimate_energy,
    known,
    other_food,
    pattern,
    read_dog_line,
    read_energy,
    read_offer_line,
    read_other_food,
    read_parts,
    yes_or_no,
)
from raworder.reading.reference import read_cuts, read_foods
from raworder.trade.cuts import Part
from raworder.trade.dogs import OtherFood
from raworder.trade.draft import DogDraft
from raworder.trade.units import Currency, UnitError


@pytest.mark.parametrize(
    ("line", "dog"),
    [
        ("Maple, 22 kg, 2.5 %, prey model", DogDraft("Maple", "22 kg", "2.5 %", "prey model")),
        ("Maple, barf, 22 kg, 520 g", DogDraft("Maple", "22 kg", "520 g", "BARF")),
        ("Maple,48 lb,900 kcal", DogDraft("Maple", "48 lb", "900 kcal")),
        ('"Maple, the Great", 22 kg, 110 kcal/kg^0.75', DogDraft("Maple, the Great", "22 kg", "110 kcal/kg^0.75")),
        ("Sorrel, 9 kg, Prescription Diet", DogDraft("Sorrel", "9 kg", care="prescription diet")),
        ("Maple, 22 kg", DogDraft("Maple", "22 kg")),
        ("Maple, 22 kg, Active, 1400 kcal", DogDraft("Maple", "22 kg", "1400 kcal", activity="active")),
        (
            "Bramble, puppy, 9 kg, adult weight 31 kg",
            DogDraft("Bramble", "9 kg", puppy=True, adult_weight="31 kg"),
        ),
        (
            "Maple, 24 kg, Ideal Weight 20 kg, lose, other food 350 kcal",
            DogDraft("Maple", "24 kg", goal="lose", ideal_weight="20 kg", other_food="350 kcal"),
        ),
    ],
)
def test_a_dog_is_told_in_one_line(line: str, dog: DogDraft) -> None:
    assert read_dog_line(line) == dog


@pytest.mark.parametrize(
    "line",
    [
        "",
        "Maple\nor so",
        "Maple\x00",
        "Maple",
        "Maple, 2.5 %",
        "Maple, 22",
        "Maple, 22 kg, puppy",
        "Maple, 22 kg, gain",
        "Maple, 22 kg, low, low",
        "Sorrel, 9 kg, ill, low",
        "Maple, 22 kg, 2.5",
        "Maple, 22 kg, 2 %, 3 %",
        "Sorrel, 9 kg, ill, BARF",
    ],
)
def test_a_dog_that_is_not_whole_is_refused(line: str) -> None:
    with pytest.raises(UnitError):
        read_dog_line(line)


@pytest.mark.parametrize(
    ("text", "said", "kcal", "as_much"),
    [
        ("", "", 0, False),
        ("None", "", 0, False),
        ("350 kcal", "350 kcal", 350, False),
        ("Half", "half", 0, True),
        ("90 g at 380 kcal", "90 g at 380 kcal", 342, False),
        ("90 g  at 380 kcal per 100 g", "90 g at 380 kcal", 342, False),
        ("3 oz at 100 kcal", "3 oz at 100 kcal", Fraction("85.048569375"), False),
    ],
)
def test_other_food_is_told_by_its_energy(text: str, said: str, kcal: int | Fraction, as_much: bool) -> None:
    assert read_other_food(text) == said
    assert other_food(said) == OtherFood(Fraction(kcal), as_much)


@pytest.mark.parametrize("text", ["350", "90 g", "90 g at 380", "at 380 kcal", "0 kcal", "90 at 380 kcal", "a third"])
def test_other_food_without_its_energy_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        read_other_food(text)


def test_an_offer_is_told_in_one_line() -> None:
    assert read_offer_line("chicken neck, 1 kg, 2.40", "EUR") == ("chicken neck", "1 kg", "2.40")
    assert read_offer_line("beef trim, 6.20 per kg", "EUR") == ("beef trim", "", "6.20 per kg")


def test_parts_add_up() -> None:
    assert read_parts("liver") == (("liver", "100 %"),)
    assert read_parts("Muscle 80 %, other organ 8%, bone 12 %") == (
        ("muscle", "80 %"),
        ("other organ", "8%"),
        ("bone", "12 %"),
    )
    for wrong in ("muscle 80 %", "muscle, bone", "fur", "bone 50 %, bone 50 %", ""):
        with pytest.raises(UnitError):
            read_parts(wrong)


def test_words_are_taken_in_any_case() -> None:
    assert (care("No"), care("ILL"), pattern("barf"), yes_or_no("Y"), yes_or_no("no")) == (
        "",
        "ill",
        "BARF",
        True,
        False,
    )


@pytest.mark.parametrize(
    ("text", "slug"), [("22", "no-unit"), ("0 kg", "zero-amount"), ("22\x1b kg", "bad-value"), ("", "bad-value")]
)
def test_what_the_form_refuses_is_refused_with_one_remedy(text: str, slug: str) -> None:
    with pytest.raises(UnitError) as refused:
        check_answer(text, WEIGHT)
    assert (refused.value.slug, bool(refused.value.help)) == (slug, True)


def test_a_price_is_read_in_its_currency() -> None:
    assert check_answer("240", PRICE, Currency("JPY", 0)) == "240"
    with pytest.raises(UnitError, match="finer than"):
        check_answer("2.40", PRICE, Currency("JPY", 0))


def test_a_cut_and_a_word_must_be_known_to_the_letter() -> None:
    names = known()
    assert names.cut("Chicken  Neck") == "Chicken Neck"
    assert names.avoided("pork, , Pork, whole bone") == ("Pork", "whole bone")
    with pytest.raises(UnitError) as refused:
        names.cut("chicken necks")
    assert refused.value.help == "did you mean `chicken neck`?"
    with pytest.raises(UnitError):
        names.avoided("chikken")


@pytest.mark.parametrize("text", ["190", "190 kJ", "0 kcal", "kcal"])
def test_energy_without_its_unit_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        read_energy(text)
    assert read_energy("190 kcal") == "190 kcal"


def test_the_energy_of_meat_is_estimated_near_what_the_tables_hold() -> None:
    """Of all cuts of muscle in our tables (USDA SR28), nine in ten lie within 20 kcal of 4 x protein + 9 x fat."""
    foods, off = read_foods(), []
    for cut, food in ((row.cut, foods.known(row.ndb_no)) for row in read_cuts()):
        if food is not None and cut.part_share(Part.MUSCLE):
            held = dict(food.values)
            kcal = (1 - cut.part_share(Part.BONE)) * (4 * held["protein"] + 9 * held["fat"])
            parts = tuple((str(part), f"{float(share * 100)} %") for part, share in cut.parts)
            estimate = estimate_energy(parts, f"{float(cut.fat_share * 100)} %")
            off.append(abs(Fraction(estimate.removesuffix(" kcal")) - kcal))
    assert len(off) > 100
    assert sorted(off)[len(off) * 9 // 10] <= 20, [round(float(kcal)) for kcal in sorted(off)]


def test_the_energy_of_plants_and_of_unknown_fat_is_not_estimated() -> None:
    assert estimate_energy((("vegetables", "100 %"),), "1 %") == ""
    assert estimate_energy((("muscle", "100 %"),), "") == ""
