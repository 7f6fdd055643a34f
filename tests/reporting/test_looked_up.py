"""What is looked up without a plan."""

from dataclasses import dataclass
from fractions import Fraction

from raworder.reporting.looked_up import all_keys, check_summary, known_cuts, rule_explained, slug_explained
from raworder.trade.cuts import Cut
from raworder.trade.document import Facts, Paragraph, Points, Table, Verbatim
from raworder.trade.rulebook import RULES
from tests import builders as b
from tests.reporting.samples import CUTS, HOUSEHOLD


@dataclass(frozen=True)
class Known:
    cut: Cut
    also_called: tuple[str, ...] = ("neck of chicken",)
    ndb_no: str = "00000"
    parts_source: str = "invented parts"
    fat_source: str = "invented fat"
    piece_source: str = ""


def test_few_cuts_are_told_with_their_sources() -> None:
    table, facts = known_cuts([Known(CUTS[0])], "neck").blocks
    assert isinstance(table, Table)
    assert table.rows[0][:6] == ("chicken neck", "chicken", "neck", "muscle 64 %, bone 36 %", Fraction(8, 100), None)
    assert isinstance(facts, Facts)
    told = {fact.key: fact.value for fact in facts.items}
    assert told["parts_source"] == "invented parts"
    assert "piece_source" not in told


def test_many_cuts_are_a_table_alone_that_programs_get_with_sources() -> None:
    (table,) = known_cuts([Known(cut) for cut in CUTS]).blocks
    assert isinstance(table, Table)
    assert len(table.rows) == len(CUTS)
    assert "fat_source" in {column.key for column in table.columns if not column.shown}


def test_no_cut_found_says_how_to_bring_ones_own() -> None:
    (only,) = known_cuts([], "unicorn").blocks
    assert isinstance(only, Paragraph)
    assert "own_cuts" in only.text


def test_every_rule_can_be_explained() -> None:
    for rule in RULES:
        document = rule_explained(rule)
        (facts,) = document.blocks
        assert isinstance(facts, Facts)
        assert [fact.value for fact in facts.items] == [rule.says, rule.maths, rule.units, rule.source]


def test_a_finding_is_explained_with_a_wrong_and_a_right_example() -> None:
    document = slug_explained("no-unit", "A weight says its unit.", "weight: 22", "weight: 22 kg")
    assert document.title == "no-unit"
    assert document.blocks[1:] == (Verbatim("Wrong", "weight: 22"), Verbatim("Right", "weight: 22 kg"))


def test_every_key_that_can_be_explained_is_listed() -> None:
    rules, slugs = all_keys(RULES, ["no-unit", "bad-date"]).blocks
    assert isinstance(rules, Table)
    assert [row[0] for row in rules.rows] == [rule.key for rule in RULES]
    assert isinstance(slugs, Points)
    assert slugs.items == ("no-unit", "bad-date")


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
