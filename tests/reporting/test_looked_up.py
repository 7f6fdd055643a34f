"""What is looked up without a plan."""

from dataclasses import dataclass, replace
from fractions import Fraction

import pytest

from raworder.reading.bone import bone_calcium_of
from raworder.reading.reference import look_up_cuts
from raworder.reporting.looked_up import (
    check_summary,
    explain_finding,
    explain_rule,
    fields_tables,
    findings_table,
    help_page,
    list_cuts,
    list_help_topics,
    patterns_table,
    rules_table,
    sheets_table,
)
from raworder.trade.cuts import Cut, Part
from raworder.trade.document import Block, Facts, Paragraph, Points, Table, Verbatim
from raworder.trade.labels import SHEETS
from raworder.trade.nutrients import BoneCalcium, Trust
from raworder.trade.rulebook import RULES
from tests import builders as b
from tests.reporting.samples import CUTS, HOUSEHOLD


@dataclass(frozen=True)
class Origin:
    source: str
    trust: Trust | None


@dataclass(frozen=True)
class Known:
    cut: Cut
    also_called: tuple[str, ...] = ("neck of chicken",)
    ndb_no: str = "00000"
    borrowed_from: str = ""
    parts: Origin = Origin("invented parts", Trust.DERIVED)
    fat: Origin = Origin("from memory, not looked up", Trust.MEMORY)
    piece: Origin = Origin("", None)
    analysis_source: str = ""
    bone_range_source: str = ""


@dataclass(frozen=True)
class Topic:
    name: str
    title: str
    says: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Form:
    noun: str
    says: str
    fields: tuple[tuple[str, str], ...]
    too: str


BONE = BoneCalcium(
    "poultry", Fraction(2, 100), Fraction(1, 100), Fraction(3, 100), Fraction(2), Trust.DERIVED, "a book"
)


def bone_of(_cut: Cut) -> BoneCalcium:
    """The same for all cuts."""
    return BONE


HALF = (Fraction(1, 2), Fraction(1, 2))


def test_few_cuts_are_told_with_their_sources() -> None:
    table, facts, meaning = list_cuts([Known(CUTS[0])], bone_of, "neck").blocks
    assert isinstance(table, Table)
    assert table.rows[0][:6] == ("chicken neck", "chicken", "neck", "muscle 64 %, bone 36 %", Fraction(8, 100), None)
    assert isinstance(facts, Facts)
    told = {fact.key: fact.value for fact in facts.items}
    assert told["parts_source"] == "invented parts (derived)"
    assert told["fat_source"] == "from memory, not looked up"
    assert told["analysis"] == "SR28 00000"
    assert "piece_source" not in told
    assert told["bone_calcium"] == "2.0 % (1 to 3 %), derived: a book"
    assert "bone" not in told
    assert isinstance(meaning, Points)
    assert [item.partition(":")[0] for item in meaning.items] == ["seen", "derived", "memory"]


def test_a_borrowed_analysis_is_told_and_what_rich_means() -> None:
    table, facts, _ = list_cuts([Known(CUTS[0], analysis_source="borrowed from an invented neck")], bone_of).blocks
    assert isinstance(facts, Facts)
    assert {fact.key: fact.value for fact in facts.items}["analysis"] == "borrowed from an invented neck"
    assert isinstance(table, Table)
    assert "25 % fat" in table.note


def test_a_doubtful_share_of_bone_is_told_with_its_range() -> None:
    doubtful = replace(CUTS[0], bone_range=(Fraction(30, 100), Fraction(40, 100)))
    table, facts, _ = list_cuts([Known(doubtful, bone_range_source="two books disagree")], bone_of, "neck").blocks
    assert isinstance(facts, Facts)
    assert {fact.key: fact.value for fact in facts.items}["bone"] == "30 to 40 %: two books disagree"
    assert isinstance(table, Table)
    row = dict(zip((column.key for column in table.columns), table.rows[0], strict=True))
    assert (row["bone_least"], row["bone_most"]) == (Fraction(30, 100), Fraction(40, 100))
    assert (row["bone_calcium"], row["bone_calcium_most"]) == (BONE.share, BONE.most)


def test_of_a_cut_without_bone_no_calcium_of_bone_is_told() -> None:
    _, facts, _ = list_cuts([Known(b.a_cut("beef trim", parts={Part.MUSCLE: 1}))], bone_of, "trim").blocks
    assert isinstance(facts, Facts)
    assert "bone_calcium" not in {fact.key for fact in facts.items}


def test_many_cuts_are_a_table_alone_that_programs_get_with_sources() -> None:
    (table,) = list_cuts([Known(cut) for cut in CUTS], bone_of).blocks
    assert isinstance(table, Table)
    assert len(table.rows) == len(CUTS)
    assert {"fat_source", "fat_provenance"} <= {column.key for column in table.columns if not column.shown}


def test_no_cut_found_says_how_to_bring_ones_own() -> None:
    (only,) = list_cuts([], bone_of, "unicorn").blocks
    assert isinstance(only, Paragraph)
    assert "own_cuts" in only.text


def test_every_rule_can_be_explained() -> None:
    for rule in RULES:
        document = explain_rule(rule)
        (facts,) = document.blocks
        assert isinstance(facts, Facts)
        assert [fact.value for fact in facts.items] == [rule.says, rule.maths, rule.units, rule.source]


def test_a_finding_is_explained_with_a_wrong_and_a_right_example() -> None:
    document = explain_finding("no-unit", "A weight says its unit.", "weight: 22", "weight: 22 kg")
    assert document.title == "no-unit"
    assert document.blocks[1:] == (Verbatim("Wrong", "weight: 22"), Verbatim("Right", "weight: 22 kg"))


def test_every_rule_is_listed_with_its_demand() -> None:
    assert rules_table(RULES).rows == tuple((rule.key, rule.says) for rule in RULES)


def test_a_finding_is_listed_with_its_first_sentence() -> None:
    table = findings_table([("no-unit", "A weight says its unit. A bare number could be anything.")])
    assert table.rows == (("no-unit", "A weight says its unit."),)


def test_topics_are_listed_by_name_and_a_page_holds_what_one_tells() -> None:
    topic = Topic("begin", "Getting started", "Step by step.", (Paragraph("Step by step."),))
    table, *_ = list_help_topics([topic]).blocks
    assert isinstance(table, Table)
    assert table.rows == (("begin", "Step by step."),)
    page = help_page(topic)
    assert (page.title, page.blocks) == ("Getting started", topic.blocks)


def test_a_form_is_a_table_under_its_noun_with_the_fields_that_it_shares_below() -> None:
    (table,) = fields_tables([Form("a dog", "Who is fed.", (("`name`", "Its name."),), "Also `ration`, as for all.")])
    assert (table.title, table.rows) == ("A dog: who is fed", (("`name`", "Its name."),))
    assert table.note == "Also `ration`, as for all."


def test_a_pattern_is_a_column_with_the_range_of_every_part() -> None:
    table = patterns_table({"plain": {Part.MUSCLE: (Fraction(9, 10), Fraction(1))}, "green": {Part.VEGETABLES: HALF}})
    assert [column.heading for column in table.columns] == ["Part", "plain", "green"]
    assert table.rows == (("muscle", "90 to 100 %", "none"), ("vegetables", "none", "50 to 50 %"))


def test_a_sheet_of_labels_is_listed_by_its_key() -> None:
    assert sheets_table(SHEETS).rows == tuple((key, sheet.name) for key, sheet in SHEETS.items())


def test_a_checked_scenario_tells_what_was_read() -> None:
    facts, dogs = check_summary(HOUSEHOLD).blocks
    assert isinstance(facts, Facts)
    told = {fact.key: fact.value for fact in facts.items}
    assert told["dogs"] == 3
    assert told["offers"] == 7
    assert told["fed_g"] == 7_700 + 5_200 + 2_940
    assert isinstance(dogs, Table)
    assert dogs.rows[0] == ("Maple", "2.5 % of 22 kg, 550 g a day", "prey model", 14, 7_700)


def test_builders_and_papers_agree_on_a_small_scenario() -> None:
    facts, _ = check_summary(b.a_scenario()).blocks
    assert isinstance(facts, Facts)
    assert {fact.key: fact.value for fact in facts.items}["dog_days"] == 14


@pytest.mark.parametrize(("word", "reckoned"), [("sardine whole", False), ("sprat whole", True), ("beef round", False)])
def test_the_calcium_of_bone_is_told_only_where_it_is_reckoned(word: str, *, reckoned: bool) -> None:
    """Sardines were measured with their bone; sprats borrow the flesh of herring; round has no bone."""
    (facts,) = [
        block
        for block in list_cuts(look_up_cuts(word), lambda cut: bone_calcium_of(cut, ())).blocks
        if isinstance(block, Facts)
    ]
    assert ("bone_calcium" in {fact.key for fact in facts.items}) is reckoned
