"""Labels say whose a bag is, for when, what is in it, what it must not touch, and how it gets from freezer to bowl.

All names and amounts are invented; they are those of the samples, and were added up by hand there.
"""

from dataclasses import replace

import pytest

from raworder.reporting.bag_labels import NO_TIME, NOT_FROZEN, NOT_LONG_FROZEN, frame_page
from raworder.trade.bags import Bag, Filling, Portioning
from raworder.trade.cuts import GROUND, Part
from raworder.trade.document import Document, Label, Labels
from raworder.trade.labels import SHEETS
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, TUBS, TUBS_PLAN, column, day, plain_bags, tables
from tests.worked_out import bag_labels, bag_list, thaw_plan


def block_of(document: Document) -> Labels:
    """The labels that are printed."""
    (found,) = [one for one in document.blocks if isinstance(one, Labels)]
    return found


def label(scenario: Scenario, plan: Plan, number: int) -> Label:
    """The label of the bag of that number."""
    return block_of(bag_labels(scenario, plan)).labels[number - 1]


def test_every_bag_has_one_label_in_the_order_of_its_number() -> None:
    labels = block_of(bag_labels(HOUSE, HOUSE_PLAN)).labels
    assert [one.corner for one in labels] == [f"bag {number}" for number in range(1, 27)]
    assert [one.heading for one in labels] == [bag.dog for bag in HOUSE_PLAN.bags]


def test_a_label_says_all_that_the_bag_needs() -> None:
    assert label(HOUSE, HOUSE_PLAN, 2) == Label(
        "Maple",
        (
            "Sun 2027-02-07, 500 g",
            "frozen Fri 2027-02-05, to the refrigerator Sat 2027-02-06, feed by Mon 2027-02-08",
            "batch 270206-B6A1",
            "2 chicken necks (120 g), 40 g lamb liver, 340 g beef trim",
        ),
        "bag 2",
        ("bones inside: stay with the dog",),
    )


def test_a_bag_that_is_never_frozen_says_so() -> None:
    assert label(HOUSE, HOUSE_PLAN, 1).lines[1] == "straight to the refrigerator Fri 2027-02-05, feed by Sat 2027-02-06"


def test_meal_kennel_and_what_the_bag_must_not_touch_are_told_where_there_are_any() -> None:
    evening = label(HOUSE, HOUSE_PLAN, 9)
    assert evening.lines[0] == "Sat 2027-02-06, meal 2, 125 g"
    assert evening.mind == ("no chicken: keep apart",)
    assert evening.lines[2].startswith("kennel North, batch ")


def test_everything_that_a_dog_avoids_is_told() -> None:
    avoid = (b.a_subject(), b.a_subject(word="pork"))
    dogs = tuple(replace(dog, avoid=avoid) if dog.name == "Juniper" else dog for dog in HOUSE.dogs)
    assert label(replace(HOUSE, dogs=dogs), HOUSE_PLAN, 9).mind == ("no chicken, no pork: keep apart",)


def test_a_dog_in_care_has_its_amounts_as_the_veterinarian_gave_them() -> None:
    found = label(HOUSE, HOUSE_PLAN, 20)
    assert found.mind == ("as the veterinarian gave it",)
    assert found.lines[-1] == "100 g beef trim, 5 g lamb liver"


def test_a_mix_is_told_with_what_is_in_it() -> None:
    assert label(TUBS, TUBS_PLAN, 1).lines[-1] == "1 chicken neck (60 g), 250 g mix 1 (beef trim and lamb liver)"


def test_divided_bone_is_told_and_ground_bone_is_not() -> None:
    parts = {Part.MUSCLE: "4/5", Part.BONE: "1/5"}
    for kind, told in (("neck", ("bones inside: stay with the dog",)), (GROUND, ())):
        cut = b.a_cut("chicken cut", species="chicken", kind=kind, parts=parts, piece_g=50)
        scenario, plan = plain_bags([500], cut=cut)
        assert label(scenario, plan, 1).mind == told


def test_people_of_pounds_read_pounds() -> None:
    pounds = replace(HOUSE, weight_unit="lb")
    assert label(pounds, HOUSE_PLAN, 2).lines[0] == "Sun 2027-02-07, 1 lb 1.6 oz"
    assert label(pounds, HOUSE_PLAN, 2).lines[-1] == "2 chicken necks (4.2 oz), 1.4 oz lamb liver, 12 oz beef trim"


def test_a_bag_that_cannot_be_thawed_in_time_has_no_days_and_says_why() -> None:
    # 4600 g take three days to thaw and are fed two days after they were filled
    scenario, plan = plain_bags([500, 4_600], keeping=())
    late = label(scenario, plan, 2)
    assert late.mind == (NO_TIME,)
    assert [line for line in late.lines if "refrigerator" in line] == []


def test_a_bag_frozen_for_too_short_says_so_as_the_thaw_plan_does() -> None:
    cut = b.a_cut("lamb heart", species="lamb", kind="heart", cautions=("sheep-meat-tapeworm",))
    scenario, plan = plain_bags([500] * 14, cut=cut)
    minded = [NOT_LONG_FROZEN in one.mind for one in block_of(bag_labels(scenario, plan)).labels]
    assert minded == [True] * 10 + [False] * 4  # ten days frozen are reached by bag 11
    assert "Bags 1-10" in str(thaw_plan(scenario, plan))


def test_a_bag_whose_turn_to_freeze_comes_later_says_when() -> None:
    # filled on the 5th, all to be thawed from the 7th on, and the freezer takes one a day
    scenario, plan = plain_bags([500] * 6, days=[2] * 6, keeping=())
    slow = replace(scenario, portioning=Portioning(freezes_g=500))
    (table,) = tables(bag_labels(slow, plan), "labels")
    frozen_on = column(table, "frozen_on")
    assert frozen_on == [day(number) for number in range(-1, 5)]
    assert [NOT_FROZEN in str(mind) for mind in column(table, "mind")] == [False, False, True, True, True, True]
    assert column(table, "moves_on") == [day(1)] * 6


def test_the_table_has_the_same_for_programs() -> None:
    (table,) = tables(bag_labels(HOUSE, HOUSE_PLAN), "labels")
    assert not table.shown
    assert [one.key for one in table.columns] == [
        *("bag", "dog", "kennel", "feed_on", "meal", "weight_g", "mind"),
        *("frozen_on", "moves_on", "feed_by", "contents", "batch"),
    ]
    labels = block_of(bag_labels(HOUSE, HOUSE_PLAN)).labels
    for row, one in zip(table.rows, labels, strict=True):
        told = " ".join((one.heading, one.corner, *one.mind, *one.lines))
        assert all(str(cell) in told for cell in (f"bag {row[0]}", row[1], row[2], row[3], row[10], row[11]))
        assert "; ".join(one.mind) == row[6]
        assert all(str(day) in told for day in row[7:10] if day)


def test_the_table_agrees_with_the_bag_list_and_the_thaw_plan() -> None:
    (table,) = tables(bag_labels(HOUSE, HOUSE_PLAN), "labels")
    (bags,) = tables(bag_list(HOUSE, HOUSE_PLAN), "bags")
    weights: dict[object, int] = {}
    for number, weight_g in zip(column(bags, "bag"), column(bags, "weight_g"), strict=True):
        weights[number] = weights.get(number, 0) + int(str(weight_g))
    assert dict(zip(column(table, "bag"), column(table, "weight_g"), strict=True)) == weights
    moves = {row[0]: row for each in tables(thaw_plan(HOUSE, HOUSE_PLAN), "moves") for row in each.rows}
    assert set(column(table, "moves_on")) == set(moves)


def test_only_some_dogs_and_a_sheet_that_is_used_already() -> None:
    found = block_of(bag_labels(HOUSE, HOUSE_PLAN, SHEETS["a4-3x8-70x37"], first=5, dogs=["Sorrel"]))
    assert {one.heading for one in found.labels} == {"Sorrel"}
    assert [one.corner for one in found.labels] == [f"bag {number}" for number in range(20, 27)]
    assert (found.sheet, found.first, found.frames) == (SHEETS["a4-3x8-70x37"], 5, False)
    assert HOUSE.labels is None
    assert block_of(bag_labels(HOUSE, HOUSE_PLAN)).sheet == SHEETS["a4-3x7-63.5x38.1"]
    in_pounds = replace(HOUSE, weight_unit="lb")
    assert block_of(bag_labels(in_pounds, HOUSE_PLAN)).sheet == SHEETS["letter-2x5-4x2"]
    named = replace(HOUSE, labels=SHEETS["a4-2x4-105x74"])
    assert block_of(bag_labels(named, HOUSE_PLAN)).sheet == named.labels


def test_a_page_of_frames_says_what_to_do_with_it() -> None:
    labels = block_of(frame_page(HOUSE, first=4))
    assert (labels.frames, labels.first, len(labels.labels)) == (True, 4, 1)
    assert labels.labels[0].lines[-1] == "print at 100 %, without fit to page"


@pytest.mark.parametrize("weight_unit", ["kg", "lb"])
def test_an_empty_bag_is_no_mistake(weight_unit: str) -> None:
    bag = Bag("Maple", b.STARTS, 1, "A", (Filling("beef trim", 1),))
    scenario = replace(b.a_scenario(days=1, dogs=(b.a_dog(days=1),)), weight_unit=weight_unit)
    assert label(scenario, b.a_plan(bags=(bag,)), 1).lines[-1].endswith("beef trim")
