"""The shares table shows what was asked beside what is given."""

from dataclasses import replace
from fractions import Fraction

from raworder.reporting.shares import shares
from raworder.trade.cuts import Measure, Part
from raworder.trade.document import Document, Paragraph, Table
from raworder.trade.scenario import Variety
from tests import builders as b
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN

FIRST_COLUMNS = {"parts": "part", "caps": "capped", "species": "species"}


def tables(document: Document, kind: str) -> list[Table]:
    """The tables of a kind that people read."""
    shown = [block for block in document.blocks if isinstance(block, Table) and block.shown]
    return [table for table in shown if table.columns[0].key == FIRST_COLUMNS[kind]]


PARTS = tables(shares(HOUSEHOLD, HOUSEHOLD_PLAN), "parts")


def fed(low: str, high: str, bone_g: int) -> Table:
    """The parts of a dog that eats 1000 g in ten days, so many of them pure bone."""
    cuts = (b.a_cut("meat"), b.a_cut("bone", parts={Part.BONE: 1}))
    dog = b.a_dog(daily_g=100, days=10, targets=(b.a_target(Part.BONE, low, high),))
    scenario = b.a_scenario(dogs=(dog,), cuts=cuts, days=10)
    plan = b.a_plan(portions=(b.a_portion(cut="meat", batch_g=1000 - bone_g), b.a_portion(cut="bone", batch_g=bone_g)))
    return tables(shares(scenario, plan), "parts")[0]


def test_the_given_share_is_exact() -> None:
    assert PARTS[0].rows[1][2] == Fraction(36 * 2140, 100 * 7700)


def test_a_range_reads_as_people_write_it() -> None:
    assert [row[1] for row in PARTS[0].rows] == ["76 to 84 %", "8 to 12 %", "4 to 6 %", "4 to 6 %"]


def test_parts_neither_asked_nor_given_are_left_out() -> None:
    assert [row[0] for row in PARTS[0].rows] == ["muscle", "bone", "liver", "other organ"]


def test_a_part_that_was_not_asked_but_is_given_is_shown() -> None:
    assert fed("0", "0", 10).rows[0][:3] == ("bone", "none", Fraction(1, 100))


def test_shares_at_the_end_of_their_range_are_at_their_limit() -> None:
    assert fed("8/100", "12/100", 120).rows[0][3] == "at the maximum"
    assert fed("8/100", "12/100", 80).rows[0][3] == "at the minimum"


def test_a_share_that_is_printed_apart_from_its_limit_has_room() -> None:
    assert fed("8/100", "12/100", 119).rows[0][3] == "3.9 down, 0.1 up"
    assert fed("8/100", "12/100", 118).rows[0][3] == "3.8 down, 0.2 up"


def test_room_that_would_be_printed_as_none_is_none() -> None:
    # 3 g of 10000 g are 0.03 points
    dog = b.a_dog(daily_g=1000, days=10, targets=(b.a_target(Part.BONE, "8/100", "12/100"),))
    cuts = (b.a_cut("meat"), b.a_cut("bone", parts={Part.BONE: 1}))
    plan = b.a_plan(portions=(b.a_portion(cut="meat", batch_g=8803), b.a_portion(cut="bone", batch_g=1197)))
    (parts,) = tables(shares(b.a_scenario(dogs=(dog,), cuts=cuts, days=10), plan), "parts")
    assert parts.rows[0][3] == "at the maximum"


def test_an_exact_share_is_as_asked() -> None:
    assert fed("1/10", "1/10", 100).rows[0][1:4] == ("exactly 10 %", Fraction(1, 10), "as asked")


def test_caps_show_the_most_and_the_given() -> None:
    caps = tables(shares(HOUSEHOLD, HOUSEHOLD_PLAN), "caps")
    assert caps[0].rows[0] == ("heart", Fraction(1, 10), Fraction(1, 10), "at its limit", "Maple", "the scenario")
    # fat of what Juniper eats: 0.08 x 1444 + 0.125 x 2664 + 0.05 x 312 + 0.03 x 260 + 0.01 x 364 of 5200
    assert caps[1].rows[1][2] == Fraction(47556, 520000)
    assert [row[0] for row in caps[1].rows] == ["heart", "fat", "chicken"]


def test_a_capped_thing_of_which_none_is_given_is_not_at_its_limit() -> None:
    scenario = b.a_scenario(dogs=(b.a_dog(caps=(b.a_cap(most=0),)),))
    (caps,) = tables(shares(scenario, b.a_plan()), "caps")
    assert caps.rows == (("heart", Fraction(0), Fraction(0), "0", "Maple", "the scenario"),)


def test_a_dog_in_care_has_no_ranges() -> None:
    assert PARTS[2].title == "Sorrel, as the veterinarian gave it"
    assert {row[1] for row in PARTS[2].rows} == {"no range"}
    assert all(row[4] is None and row[5] is None for row in PARTS[2].rows)


def test_species_are_told_where_variety_is_asked_for() -> None:
    first = tables(shares(HOUSEHOLD, HOUSEHOLD_PLAN), "species")[0]
    assert [row[0] for row in first.rows] == ["chicken", "beef", "lamb"]
    assert first.note == "Asked: at least 2 species of at least 5 % each and none above 75 %."
    assert not tables(shares(replace(HOUSEHOLD, variety=Variety()), HOUSEHOLD_PLAN), "species")


def test_plants_are_no_animal_species() -> None:
    juniper = tables(shares(HOUSEHOLD, HOUSEHOLD_PLAN), "species")[1]
    assert "plant" not in {row[0] for row in juniper.rows}


def test_a_mix_of_unknown_shares_counts_nothing_for_the_least_and_whole_for_the_most() -> None:
    mix = b.a_cut("mix", species={"beef": None, "pork": None}, kind="mince")
    scenario = b.a_scenario(cuts=(mix,), variety=Variety(least_species=1))
    plan = b.a_plan(portions=(b.a_portion(cut="mix"),))
    (species,) = tables(shares(scenario, plan), "species")
    assert species.rows == (("beef", 0, 1, "Maple"), ("pork", 0, 1, "Maple"))
    assert [column.heading for column in species.columns if column.shown] == ["Species", "Surely", "Possibly"]


def test_dogs_that_look_alike_share_their_tables() -> None:
    scenario = b.a_scenario(dogs=(b.a_dog(caps=(b.a_cap(),)), b.a_dog("Juniper", caps=(b.a_cap(),)), b.a_dog("Sorrel")))
    plan = b.a_plan(portions=tuple(b.a_portion(dog) for dog in ("Maple", "Juniper", "Sorrel")))
    document = shares(scenario, plan)
    assert [table.title for table in tables(document, "parts")] == [
        "Maple and Juniper, own targets",
        "Sorrel, own targets",
    ]
    assert [table.title for table in tables(document, "caps")] == ["Maple and Juniper, caps"]


def test_programs_get_every_dog_in_one_table_of_each_kind() -> None:
    hidden = {
        block.key: block
        for block in shares(HOUSEHOLD, HOUSEHOLD_PLAN).blocks
        if isinstance(block, Table) and not block.shown
    }
    assert list(hidden) == ["parts", "caps", "species"]
    assert [row[-1] for row in hidden["parts"].rows] == ["Maple"] * 4 + ["Juniper"] * 6 + ["Sorrel"] * 2
    assert len(hidden["caps"].rows) == 5


def test_rich_and_fat_have_their_own_words() -> None:
    dog = b.a_dog(caps=(b.a_cap(Measure.RICH, "", 1), b.a_cap(Measure.FAT, "", 1)))
    (caps,) = tables(shares(b.a_scenario(dogs=(dog,)), b.a_plan()), "caps")
    assert [row[0] for row in caps.rows] == ["rich cuts", "fat"]


def test_caps_that_the_scenario_did_not_set_are_told_once_by_where_they_come_from() -> None:
    practice, own = "common practice, no source", "our own choice"
    usual = [
        replace(b.a_cap(word=word, most=most), source=source)
        for word, most, source in (("heart", "1/10", practice), ("lung", "1/10", practice), ("tongue", "3/20", own))
    ]
    dogs = [b.a_dog(caps=usual), b.a_dog("Juniper", caps=(usual[0], b.a_cap(word="egg", most="1/5")))]
    plan = b.a_plan(portions=(b.a_portion(), b.a_portion("Juniper")))
    paper = shares(b.a_scenario(dogs=dogs), plan)
    assert [block.text for block in paper.blocks if isinstance(block, Paragraph)][-1] == (
        "Caps that hold because your file sets none: heart 10 % and lung 10 % (common practice, no source); "
        "tongue 15 % (our own choice). To set one, write for example `caps: {lung: 20 %}`; `none` lifts it."
    )
    (rows,) = (block.rows for block in paper.blocks if isinstance(block, Table) and block.key == "caps")
    assert [(row[4], row[0], row[5]) for row in rows][-2:] == [
        ("Juniper", "heart", practice),
        ("Juniper", "egg", "the scenario"),
    ]


def test_where_every_cap_was_set_nothing_is_said_of_usual_ones() -> None:
    paper = shares(b.a_scenario(dogs=(b.a_dog(caps=(b.a_cap(),)),)), b.a_plan(portions=(b.a_portion(),)))
    assert not any("says nothing" in block.text for block in paper.blocks if isinstance(block, Paragraph))
