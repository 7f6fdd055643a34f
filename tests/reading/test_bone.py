"""Calcium in bone: the group that a cut is of, what a scenario says, and what is refused.

**Source:** sums worked out by hand; the figures of groups are those of data/bone.csv. No outside source.
"""

from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.bone import bone_calcium_of, read_bone
from raworder.reading.reference import read_cuts
from raworder.trade.cuts import Cut, Part
from raworder.trade.nutrients import BoneCalcium, Trust
from raworder.trade.scenario import Scenario
from tests.builders import a_cut
from tests.reading.written import a_text, reading_of, scenario_of, slugs

GROUPS = {known.of: known for known in read_bone()}
TABLE = {known.cut.name: known.cut for known in read_cuts()}
BONY = {Part.MUSCLE: "3/5", Part.BONE: "2/5"}


def percent(*numbers: str) -> tuple[Fraction, ...]:
    return tuple(Fraction(number) / 100 for number in numbers)


def shares(known: BoneCalcium) -> tuple[Fraction, ...]:
    """What is counted, the least and the most."""
    return known.share, known.least, known.most


@pytest.mark.parametrize(
    ("cut", "group"),
    [
        ("chicken neck", "poultry"),
        ("quail whole", "poultry"),
        ("pork rib", "mammal"),
        ("rabbit whole", "mammal"),
        ("sardine whole", "fish"),
        ("salmon head", "fish"),
    ],
)
def test_the_species_of_a_cut_says_its_group(cut: str, group: str) -> None:
    assert bone_calcium_of(TABLE[cut], ()) == GROUPS[group]


def test_every_figure_lies_within_its_range_and_ranges_are_of_three_groups() -> None:
    assert list(GROUPS) == ["poultry", "mammal", "fish"]
    for known in GROUPS.values():
        assert known.least < known.share < known.most
        assert known.trust is Trust.DERIVED


def test_bone_of_two_groups_has_the_widest_range_and_the_mean() -> None:
    mix = a_cut("moor mix", species={"chicken": "1/2", "beef": "1/2"}, parts=BONY)
    found, poultry, mammal = bone_calcium_of(mix, ()), GROUPS["poultry"], GROUPS["mammal"]
    assert found.of == "poultry or mammal"
    assert shares(found) == ((poultry.share + mammal.share) / 2, poultry.least, mammal.most)
    assert found.to_phosphorus == (poultry.to_phosphorus + mammal.to_phosphorus) / 2


def test_a_mix_has_the_bone_of_what_in_it_has_bone() -> None:
    inside = (TABLE["chicken neck"], TABLE["beef heart"])
    mix = a_cut("moor mix", species={"chicken": "1/2", "beef": "1/2"}, parts=BONY, ingredients=inside)
    assert bone_calcium_of(mix, ()) == GROUPS["poultry"]


def test_bone_of_a_species_that_nobody_knows_may_be_of_any_group() -> None:
    found = bone_calcium_of(a_cut("emu mince", species="emu", parts=BONY), ())
    least, most = (
        pick(getattr(known, end) for known in GROUPS.values()) for pick, end in ((min, "least"), (max, "most"))
    )
    assert (found.of, found.least, found.most) == ("poultry or mammal or fish", least, most)


LISTED = """  - {cut: chicken neck, pack: 1 kg, price: 2.00}
  - {cut: lamb rib, pack: 1 kg, price: 4.00}
  - {cut: pork rib, pack: 1 kg, price: 3.00}
  - {cut: sardine whole, pack: 1 kg, price: 3.00}
"""


def read(tmp_path: Path, said: str) -> Scenario:
    return scenario_of(tmp_path, a_text(cuts=LISTED, more=f"bone_calcium: {said}" if said else ""))


def used(scenario: Scenario, cut: str) -> tuple[Fraction, ...]:
    """What was reckoned with for a cut of the scenario."""
    return shares(bone_calcium_of(scenario.cut(cut), scenario.bone_calcium))


def test_where_nothing_is_said_the_table_says_it(tmp_path: Path) -> None:
    scenario = read(tmp_path, "")
    assert scenario.bone_calcium == ()
    assert scenario.cut("lamb rib").analysis.bone_calcium == GROUPS["mammal"]


@pytest.mark.parametrize(
    ("said", "counted"),
    [
        ("8 %", ("8", "8", "8")),
        ("6 % to 10 %", ("8", "6", "10")),
        ("0.5 % to 30 %", ("15.25", "0.5", "30")),
        ("{all bone: 8 %}", ("8", "8", "8")),
    ],
)
def test_a_share_alone_is_of_all_bone(tmp_path: Path, said: str, counted: tuple[str, ...]) -> None:
    scenario = read(tmp_path, said)
    for cut in ("chicken neck", "lamb rib", "sardine whole"):
        assert used(scenario, cut) == percent(*counted)
    estimate = scenario.cut("lamb rib").analysis.estimates[0]
    assert estimate.amount == 27 * percent(counted[0])[0] * 1_000
    assert (estimate.least, estimate.most) == tuple(27 * end * 1_000 for end in percent(*counted[1:]))


def test_what_is_said_of_a_group_holds_for_its_cuts_and_what_is_said_of_a_cut_wins(tmp_path: Path) -> None:
    scenario = read(tmp_path, "{lamb rib: 7 % to 10 %, Mammal: 11 %}")
    assert used(scenario, "lamb rib") == percent("8.5", "7", "10")
    assert used(scenario, "pork rib") == percent("11", "11", "11")
    assert used(scenario, "chicken neck") == shares(GROUPS["poultry"])
    rib, pork = (scenario.cut(name).analysis for name in ("lamb rib", "pork rib"))
    assert rib.bone_calcium is not None
    assert (rib.bone_calcium.of, rib.bone_calcium.trust) == ("lamb rib", Trust.GIVEN)
    # phosphorus as in the group
    assert [each.estimates[1].amount for each in (rib, pork)] == [
        each.estimates[0].amount / GROUPS["mammal"].to_phosphorus for each in (rib, pork)
    ]


def test_what_is_said_of_all_bone_gives_way_to_what_is_said_of_a_group_after_it(tmp_path: Path) -> None:
    scenario = read(tmp_path, "{all bone: 8 %, poultry: 2 %}")
    assert used(scenario, "chicken neck") == percent("2", "2", "2")
    assert used(scenario, "pork rib") == percent("8", "8", "8")


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("10 % to 6 %", "range-reversed@11:15"),
        ("0.4 % to 6 %", "out-of-range@11:15"),
        ("31 %", "out-of-range@11:15"),
        ("{mammal: 31 %}", "out-of-range@11:24"),
        ("{poultry: 2 %, lamb rib: 10 % to 6 %}", "range-reversed@11:40"),
        ("{mammals: 8 %}", "unknown-word@11:16"),
    ],
)
def test_a_share_of_calcium_that_cannot_be_is_refused(tmp_path: Path, said: str, found: str) -> None:
    (told,) = reading_of(tmp_path, a_text(cuts=LISTED, more=f"bone_calcium: {said}")).findings
    assert f"{told.slug}@{told.place.line}:{told.place.column}" == found


def test_an_unknown_word_is_told_what_was_meant(tmp_path: Path) -> None:
    (told,) = reading_of(tmp_path, a_text(cuts=LISTED, more="bone_calcium: {lamb ribb: 8 %}")).findings
    assert told.help == "did you mean `lamb rib`?"


def test_an_own_cut_in_error_is_not_called_unknown_as_well(tmp_path: Path) -> None:
    own = "own_cuts: [{cut: moor mix, species: beef, bone: 10 %}]\nbone_calcium: {moor mix: 8 %}"
    assert slugs(reading_of(tmp_path, a_text(cuts=LISTED, more=own))) == ["missing-field"]


def test_an_offer_that_states_its_bone_has_no_doubt_about_it(tmp_path: Path) -> None:
    neck = TABLE["turkey neck"]
    assert neck.bone_range == percent("42", "60")
    assert neck.bone_ends == percent("42", "60")
    plain, stated, same = (
        offered(tmp_path, f"{{cut: turkey neck, pack: 1 kg, price: 2.00{said}}}")
        for said in ("", ", bone: 42 %", ", bone: 60 %")
    )
    assert (plain.name, plain.bone_range) == ("turkey neck", neck.bone_range)
    assert (stated.name, stated.bone_range, stated.bone_ends) == ("turkey neck (bone 42 %)", None, percent("42", "42"))
    assert (same.name, same.bone_range) == ("turkey neck (bone 60 %)", None)
    poultry = GROUPS["poultry"]
    assert plain.analysis.estimates[0].least == 42 * poultry.least * 1_000
    assert plain.analysis.estimates[0].most == 60 * poultry.most * 1_000
    assert same.analysis.estimates[0].least == 60 * poultry.least * 1_000


def offered(tmp_path: Path, offer: str) -> Cut:
    """The one cut of a list of one line."""
    (cut,) = scenario_of(tmp_path, a_text(cuts=f"  - {offer}\n")).cuts
    return cut
