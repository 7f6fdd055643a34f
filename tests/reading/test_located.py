"""YAML as a tree of text with places."""

import pytest

from raworder.reading.located import DEEPEST, Entries, Items, Text, deepest_node, locate
from raworder.reading.notes import Notes
from raworder.trade.findings import Place


def tree(text: str) -> Entries:
    notes = Notes()
    root = locate(text, "a.yaml", notes)
    assert root is not None
    assert not any(finding.refuses for finding in notes.all())
    return root


def slugs(text: str) -> list[str]:
    notes = Notes()
    locate(text, "a.yaml", notes)
    return [finding.slug for finding in notes.all()]


@pytest.mark.parametrize("written", ["no", "012", "1:30", "1_99", "2026-02-30", ".inf", "0x10", "1e3", "null", "~"])
def test_nothing_is_guessed_from_a_scalar(written: str) -> None:
    value = tree(f"a: {written}\n")["a"]
    assert value == written
    assert isinstance(value, Text)


def test_every_node_and_key_knows_its_place() -> None:
    root = tree("dogs:\n  - name: Maple\n    away: [x, 'y z']\n")
    assert root.place == Place("a.yaml", 1, 1, 1)
    assert root.key("dogs") is not None
    name = deepest_node(root, ("dogs", 0, "name"))
    assert name.place == Place("a.yaml", 2, 11, 5)
    away = deepest_node(root, ("dogs", 0, "away"))
    assert isinstance(away, Items)
    assert [one.place for one in away] == [Place("a.yaml", 3, 12, 1), Place("a.yaml", 3, 15, 5)]


def test_columns_count_characters_and_not_bytes() -> None:
    assert deepest_node(tree("ä: {é: \U0001f415, z: w}\n"), ("ä", "z")).place.column == 14


@pytest.mark.parametrize("quoted", ['""', "''", '"null"', "'~'"])
def test_a_quoted_word_is_never_nothing(quoted: str) -> None:
    value = tree(f"a: {quoted}\n")["a"]
    assert isinstance(value, Text)
    assert not value.is_null


@pytest.mark.parametrize(
    ("text", "warned"),
    [
        ("a: Necks #2\n", True),
        ("a: 14 #days\n", True),
        ("a: 14 # days\n", False),
        ("a: 14   # default\n", False),
        ("a: 14  #default\n", False),
        ('a: "Necks #2"\n', False),
        ("a: Necks#2\n", False),
    ],
)
def test_a_number_sign_that_could_belong_to_the_value_is_doubted(text: str, warned: bool) -> None:
    assert slugs(text) == ["comment-in-value"] * warned


def test_nesting_is_limited_and_not_by_the_stack() -> None:
    assert slugs("a: " + "[" * (DEEPEST - 2) + "]" * (DEEPEST - 2)) == []
    assert slugs("a: " + "[" * 400) == ["too-deep"]
    assert slugs("a: " + "[" * 100_000) in (["too-deep"], ["broken-yaml"])


def test_a_bomb_of_aliases_is_refused_before_it_grows() -> None:
    levels = "".join(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}, *a{n - 1}]\n" for n in range(1, 30))
    assert "alias" in slugs("a0: &a0 [x, x]\n" + levels)


@pytest.mark.slow
def test_many_fields_take_no_longer_than_they_must() -> None:
    assert len(tree("".join(f"a{n}: 1\n" for n in range(12_000)))) == 12_000


def test_a_place_past_the_end_is_put_at_the_end() -> None:
    notes = Notes()
    locate("a: [1,\n\n\n", "a.yaml", notes)
    assert notes.all()[0].place.line == 1


def test_repeated_keys_are_told_with_both_places() -> None:
    notes = Notes()
    root = locate("a: 1\nb: 2\na: 3\n", "a.yaml", notes)
    (finding,) = notes.all()
    assert (finding.place.line, finding.note) == (3, "first written at 1:1")
    assert root is not None
    assert root["a"] == "1"
