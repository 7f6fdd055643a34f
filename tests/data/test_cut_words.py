"""The table of words on suppliers' lists: its closed words, its sources, and what it says of the table of cuts."""

import csv
import io
import re
from pathlib import Path

import pytest

from raworder.reading.names import fold_words
from raworder.reading.suggestions import ORGAN, PART, read_cut_words
from tests.data.test_reference_tables import KINDS, SECRETING_KINDS, SPECIES

DATA = Path(__file__).resolve().parents[2] / "data"
COLUMNS = ["language", "says", "means", "weight", "words", "provenance", "source"]
LANGUAGES = ["English", "German", "French", "Spanish", "Dutch"]
SAYS = {"species": {1, 6}, "kind": {2, 3, 4, 6, 9}, "name": {1, 4}, "not for dogs": {9}, "nothing": {0}}
"""What a word can say, and the weights it can have."""

NO_CUT_OF_OURS = {"hare", "kangaroo", "wild boar"}
"""Species that are told from ours, so that wild boar is not suggested pork."""

NO_KIND_OF_OURS = {
    *("bladder", "blood", "bone", "head", "intestine", "larynx", "mixed offal", "pizzle", "udder", "uterus")
}
"""Kinds that are told from ours, so that a name with one is suggested nothing."""

ORGANS = {"liver", "heart", "lung", "tongue", "tripe", "gizzard", "trachea", "gullet", *SECRETING_KINDS}


def rows() -> list[dict[str, str]]:
    with (DATA / "cut_words.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def listed(cell: str) -> list[str]:
    return cell.split("; ") if cell else []


def test_a_row_is_of_a_language_and_says_one_thing_of_the_closed_list() -> None:
    assert {row["language"] for row in rows()} == set(LANGUAGES)
    for row in rows():
        assert list(row) == COLUMNS
        assert int(row["weight"]) in SAYS[row["says"]], row
        assert bool(row["means"]) is (row["says"] in {"species", "kind", "name"}), row
        assert listed(row["words"]) == sorted(set(listed(row["words"])), key=lambda word: (word.casefold(), word)), row


def test_species_and_kinds_are_those_of_the_cuts_or_known_not_to_be() -> None:
    species = {word for row in rows() if row["says"] == "species" for word in listed(row["means"])}
    kinds = {word for row in rows() if row["says"] == "kind" for word in listed(row["means"])}
    assert species - SPECIES == NO_CUT_OF_OURS
    assert kinds - KINDS == NO_KIND_OF_OURS
    assert SPECIES - species == set()


def test_a_word_of_a_name_is_in_the_name_of_a_cut() -> None:
    with (DATA / "cuts.csv").open(encoding="utf-8", newline="") as file:
        cuts = [fold_words(row["cut"]) for row in csv.DictReader(file)]
    for row in rows():
        if row["says"] == "name":
            wanted = set(fold_words(row["means"]))
            assert any(wanted <= set(cut) for cut in cuts), row


@pytest.mark.parametrize("organ", sorted(ORGANS))
def test_an_organ_has_words_in_every_language_and_they_weigh_more_than_any_part(organ: str) -> None:
    of_organ = [row for row in rows() if row["says"] == "kind" and organ in listed(row["means"])]
    assert {row["weight"] for row in of_organ} == {str(ORGAN)}
    assert ORGAN > PART
    said = {row["language"] for row in of_organ}
    assert set(LANGUAGES) - said <= ({"Dutch"} if organ == "pancreas" else set())


def test_no_word_says_two_organs_in_two_languages() -> None:
    for phrase, meanings in read_cut_words().phrases.items():
        kinds = [set(one.means) for one in meanings if one.says == "kind" and one.weight == ORGAN]
        assert not kinds or set.intersection(*kinds), phrase


def test_what_is_not_bought_for_dogs_says_nothing_else() -> None:
    for phrase, meanings in read_cut_words().phrases.items():
        assert len({one.says == "not for dogs" for one in meanings}) == 1, phrase


def test_every_row_says_where_it_is_from() -> None:
    for row in rows():
        assert (row["provenance"], row["source"]) == ("memory", "common usage, from memory, not looked up"), row


def test_the_table_is_sorted_and_written_in_one_stable_way() -> None:
    text = (DATA / "cut_words.csv").read_bytes().decode("utf-8")
    again = io.StringIO()
    csv.writer(again, lineterminator="\n").writerows(csv.reader(io.StringIO(text)))
    assert text == again.getvalue()
    assert not re.search(r"[ \t]$", text, re.MULTILINE)
    order = [
        (LANGUAGES.index(row["language"]), list(SAYS).index(row["says"]), row["means"], -int(row["weight"]))
        for row in rows()
    ]
    assert order == sorted(set(order))
