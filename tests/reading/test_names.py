"""Names: when two are one, and what was probably meant."""

import pytest

from raworder.reading.names import did_you_mean, fold_name, holds_words, join_in_backticks, nearest, normalise_name


def test_composition_case_and_spaces_do_not_tell_names_apart() -> None:
    assert fold_name("  Zoe\u0308  B ") == fold_name("ZOË b")
    assert fold_name("straße") == fold_name("STRASSE")
    assert fold_name("Maple") != fold_name("Mable")


def test_a_name_keeps_its_capitals() -> None:
    assert normalise_name(" Hollow   Lane ") == "Hollow Lane"


def test_a_near_name_is_suggested_and_a_far_one_is_not() -> None:
    assert nearest("chicken necks", ["chicken neck", "chicken back"]) == "chicken neck"
    assert nearest("ostrich", ["chicken neck", "beef"]) is None
    assert did_you_mean("kail", ["kale"], "look it up") == "did you mean `kale`?"
    assert did_you_mean("xyzzy", ["kale"], "look it up") == "look it up"


def test_words_are_listed_as_people_do() -> None:
    assert join_in_backticks(["a"]) == "`a`"
    assert join_in_backticks(["a", "b", "c"], "and") == "`a`, `b` and `c`"


@pytest.mark.parametrize(
    ("name", "words", "found"),
    [
        ("Red Onions, diced", "onion", True),
        ("onion-free mince", "onion", True),
        ("spring_onion", "onion", True),
        ("blackcurrant", "currant", False),
        ("steak", "tea", False),
        ("bread dough", "bread dough", True),
        ("grapes", "grape", True),
        ("grapefruit", "grape", False),
    ],
)
def test_only_whole_words_count(name: str, words: str, found: bool) -> None:
    assert holds_words(name, words) is found
