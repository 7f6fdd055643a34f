"""What a person is told about a cut that nobody knows."""

from pathlib import Path

import pytest

from raworder.reading.catalogue import Catalogue, help_for_unknown_cut, reference_catalogue
from raworder.reading.reference import read_cuts
from tests.reading.written import a_text, reading_of

ELSE = "describe it"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return reference_catalogue(read_cuts())


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("beef", "name the cut, such as `beef trim`; `raworder cuts beef` lists them"),
        ("Heart", "name the cut, such as `beef heart`; `raworder cuts heart` lists them"),
        ("veal", "name the cut, such as `veal mince`; `raworder cuts veal` lists them"),
        ("mutton", "name the cut, such as `lamb trim`; `raworder cuts lamb` lists them"),
        ("guinea fowl", 'name the cut, such as `guinea fowl whole`; `raworder cuts "guinea fowl"` lists them'),
        ("anchovies", "name the cut, such as `anchovy whole`; `raworder cuts anchovy` lists them"),
        ("mussels", "name the cut, such as `mussel meat`; `raworder cuts mussel` lists them"),
    ],
)
def test_a_species_or_kind_is_answered_with_a_cut_of_it(catalogue: Catalogue, name: str, told: str) -> None:
    assert help_for_unknown_cut(name, catalogue, ELSE) == told


@pytest.mark.parametrize(
    ("name", "singular"),
    [
        ("chicken necks", "chicken neck"),
        ("Chicken  Feet", "chicken foot"),
        ("lamb kidneys", "lamb kidney"),
        ("chicken nek", "chicken neck"),
    ],
)
def test_a_plural_or_a_slip_is_answered_with_the_known_name(catalogue: Catalogue, name: str, singular: str) -> None:
    assert help_for_unknown_cut(name, catalogue, ELSE) == f"did you mean `{singular}`?"


@pytest.mark.parametrize(
    ("name", "fields"),
    [
        ("turkey neck (bone 42 %)", "cut: turkey neck, bone: 42 %"),
        ("chicken neck (bone 28 %, fat 7.5 %, piece 90 g, rich)",
         "cut: chicken neck, bone: 28 %, fat: 7.5 %, piece: 90 g, rich: yes"),
        ("beef heart (not rich)", "cut: beef heart, rich: no"),
    ],
)  # fmt: skip
def test_a_name_as_the_papers_have_it_is_written_out(catalogue: Catalogue, name: str, fields: str) -> None:
    assert help_for_unknown_cut(name, catalogue, ELSE) == f"write `{{{fields}}}`"


def test_what_resembles_nothing_is_to_be_described(catalogue: Catalogue) -> None:
    assert help_for_unknown_cut("kangaroo xyz", catalogue, ELSE) == ELSE
    assert help_for_unknown_cut("moor mixx", catalogue, ELSE, {"moor mix"}) == "did you mean `moor mix`?"


def test_the_remedy_stands_in_the_finding(tmp_path: Path) -> None:
    (finding,) = reading_of(tmp_path, a_text(cuts="  - {cut: beef, price: 6.00 per kg}")).findings
    assert (finding.slug, finding.help.split(";")[0]) == ("unknown-cut", "name the cut, such as `beef trim`")
