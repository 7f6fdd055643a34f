"""Charts hold the numbers of the tables that stand beside them, and say in words what they show."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.shares import shares
from raworder.trade.cuts import Part
from raworder.trade.document import Chart, ChartKind, Document, Table
from raworder.trade.units import day_text
from tests import builders as b
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN
from tests.worked_out import costs, freezing


def charts(document: Document) -> list[Chart]:
    return [block for block in document.blocks if isinstance(block, Chart)]


def tables(document: Document, key: str) -> list[Table]:
    return [block for block in document.blocks if isinstance(block, Table) and block.key == key]


def test_a_dog_has_its_parts_and_caps_and_a_dog_in_care_has_no_chart() -> None:
    found = charts(shares(HOUSEHOLD, HOUSEHOLD_PLAN))
    assert [one.title for one in found] == ["Maple: asked and given", "Juniper: asked and given"]
    assert all(one.drawn is ChartKind.RANGES for one in found)
    labels = ["muscle", "bone", "liver", "other organ", "heart, capped", "fat, capped"]
    assert [mark.label for mark in found[0].marks] == labels
    bone = found[0].marks[1]
    assert (bone.low, bone.value, bone.high) == (Fraction(8, 100), Fraction(7704, 77000), Fraction(12, 100))


def test_the_numbers_of_a_chart_are_those_of_the_table() -> None:
    document = shares(HOUSEHOLD, HOUSEHOLD_PLAN)
    parts, caps = tables(document, "parts")[0], tables(document, "caps")[0]
    rows = [(row[0], row[4], row[2], row[5]) for row in parts.rows if row[6] == "Maple" and row[5]]
    rows += [(f"{row[0]}, capped", 0, row[2], row[1]) for row in caps.rows if row[4] == "Maple"]
    assert [(one.label, one.low, one.value, one.high) for one in charts(document)[0].marks] == rows


def test_a_share_outside_its_range_is_told_in_words() -> None:
    dog = replace(HOUSEHOLD.dogs[0], targets=(b.a_target(Part.BONE, "11/100", "12/100"),), caps=())
    scenario = replace(HOUSEHOLD, dogs=(dog, *HOUSEHOLD.dogs[1:]))
    assert charts(shares(scenario, HOUSEHOLD_PLAN))[0].says.endswith("outside: bone.")
    assert charts(shares(HOUSEHOLD, HOUSEHOLD_PLAN))[0].says.endswith("all are within.")


def test_a_cut_s_cost_goes_to_its_parts_by_weight() -> None:
    # bone is in the necks alone: 36 % of what they cost, 6.75 of 54.23 goods for which 64.53 are paid
    bone = Fraction(36, 100) * Fraction("6.75") * Fraction("64.53") / Fraction("54.23")
    parts = dict(row[:2] for row in tables(costs(HOUSEHOLD, HOUSEHOLD_PLAN), "by_part")[0].rows)
    assert abs(Fraction(str(parts["bone"])) - bone) < Fraction(1, 100)
    assert sum(Decimal(str(cost)) for cost in parts.values()) == Decimal("92.93")


def test_the_freezer_is_drawn_evening_by_evening_under_its_room() -> None:
    document = freezing(replace(HOUSE, room_g=9_000), HOUSE_PLAN)
    (found,) = charts(document)
    (evenings,) = tables(document, "evenings")
    assert [(one.label, one.value) for one in found.marks] == [(day_text(row[0]), row[3]) for row in evenings.rows]  # type: ignore[arg-type]  # a day
    assert (found.drawn, found.limit, found.limit_says) == (ChartKind.DAYS, 9_000, "room")
    assert "of 9 kg of room" in found.says
    assert charts(freezing(replace(HOUSE, room_g=None), HOUSE_PLAN))[0].limit is None
