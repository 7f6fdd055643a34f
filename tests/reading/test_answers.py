"""Answers are read as the fields of the form are. All names are invented.

**Source:** the form of a scenario; no outside source.
"""

import pytest

from raworder.reading.answers import (
    PRICE,
    WEIGHT,
    care,
    check_answer,
    known,
    pattern,
    read_dog_line,
    read_offer_line,
    read_parts,
    yes_or_no,
)
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
        "Maple, 22 kg",
        "Maple, 22",
        "Maple, 22 kg, 2.5",
        "Maple, 22 kg, 2 %, 3 %",
        "Sorrel, 9 kg, ill, BARF",
    ],
)
def test_a_dog_that_is_not_whole_is_refused(line: str) -> None:
    with pytest.raises(UnitError):
        read_dog_line(line)


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
