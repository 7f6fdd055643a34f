"""Labels say which bag is for which dog on which day, what only this bag asks for, and what is in it.

All names and amounts are invented; they are those of the samples, and were added up by hand there.
"""

import re
from dataclasses import replace

import pytest

from raworder.reporting.bag_labels import NO_TIME, NOT_FROZEN, NOT_LONG_FROZEN, frame_page
from raworder.reporting.bag_labels import bag_labels as labels_of_book
from raworder.trade.bags import Bag, Filling, Portioning
from raworder.trade.document import Document, Label, Labels
from raworder.trade.labels import SHEETS
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.trade.units import day_text
from tests import builders as b
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, TUBS, TUBS_PLAN, column, day, plain_bags, tables
from tests.worked_out import bag_book, bag_labels, bag_list, thaw_plan


def block_of(document: Document) -> Labels:
    """The labels that are printed."""
    (found,) = [one for one in document.blocks if isinstance(one, Labels)]
    return found


def label(scenario: Scenario, plan: Plan, number: int) -> Label:
    """The label of the bag of that number."""
    return block_of(bag_labels(scenario, plan)).labels[number - 1]


def test_every_bag_has_one_label_in_the_order_of_its_number() -> None:
    labels = block_of(bag_labels(HOUSE, HOUSE_PLAN)).labels
    assert [one.number for one in labels] == [str(number) for number in range(1, 27)]
    assert [(one.dog, one.kind) for one in labels] == [(bag.dog, bag.kind) for bag in HOUSE_PLAN.bags]


def test_a_label_says_all_that_the_bag_needs() -> None:
    assert label(HOUSE, HOUSE_PLAN, 2) == Label(
        dog="Maple",
        day="Sun 7 Feb",
        number="2",
        kind="A",
        lines=("to the refrigerator Sat 6 Feb", "500 g, batch 270206-B6A1"),
        contents=(
            "2 chicken necks, 40 g lamb liver, rest beef trim",
            "2 chicken necks, lamb liver, beef trim",
            "",
        ),
    )


def test_a_bag_that_is_never_frozen_says_so() -> None:
    assert label(HOUSE, HOUSE_PLAN, 1).lines[0] == "straight to the refrigerator"


def test_meal_owner_kennel_and_what_the_bag_must_not_touch_are_told_where_there_are_any() -> None:
    evening = label(HOUSE, HOUSE_PLAN, 9)
    assert evening.day == "Sat 6 Feb, meal 2"
    assert evening.apart == "no chicken: keep apart"
    assert evening.lines[1].startswith("125 g, kennel North, batch ")
    owned = replace(HOUSE, dogs=tuple(replace(dog, owner="Ines") for dog in HOUSE.dogs))
    assert label(owned, HOUSE_PLAN, 9).lines[1].startswith("125 g, Ines, kennel North, batch ")


def test_everything_that_a_dog_avoids_is_told() -> None:
    avoid = (b.a_subject(), b.a_subject(word="pork"))
    dogs = tuple(replace(dog, avoid=avoid) if dog.name == "Juniper" else dog for dog in HOUSE.dogs)
    assert label(replace(HOUSE, dogs=dogs), HOUSE_PLAN, 9).apart == "no chicken or pork: keep apart"


def test_what_is_true_of_all_dogs_stands_on_no_label() -> None:
    """The same warning on everything is none: it is said once, where it can be acted on."""
    dogs = tuple(replace(dog, avoid=(b.a_subject(),)) for dog in HOUSE.dogs)
    labels = block_of(bag_labels(replace(HOUSE, dogs=dogs), HOUSE_PLAN)).labels
    assert {one.apart for one in labels} == {""}
    everything = [(one.apart, one.note, *one.lines, *one.contents) for one in labels]
    assert "bones inside" not in str(everything)


def test_a_dog_in_care_has_its_amounts_as_the_veterinarian_gave_them() -> None:
    found = label(HOUSE, HOUSE_PLAN, 20)
    assert found.note == "as the veterinarian gave it"
    assert found.contents[0] == "100 g beef trim, 5 g lamb liver"


def test_all_bags_of_a_kind_say_one_weight_but_what_each_holds() -> None:
    """Bag 7 is the last of its kind and takes what is left: 33 g of liver in place of 40 g."""
    assert {one.lines[1] for one in block_of(bag_labels(HOUSE, HOUSE_PLAN)).labels[:7]} == {"500 g, batch 270206-B6A1"}
    assert label(HOUSE, HOUSE_PLAN, 7).contents[0] == "2 chicken necks, 33 g lamb liver, rest beef trim"


def test_a_mix_is_told_with_what_is_in_it_and_shortened_to_its_name() -> None:
    assert label(TUBS, TUBS_PLAN, 1).contents == (
        "1 chicken neck, rest mix 1 (beef trim and lamb liver)",
        "1 chicken neck, mix 1 (beef trim and lamb liver)",
        "1 chicken neck, mix 1",
        "",
    )


def test_what_was_stated_of_a_cut_is_told_only_where_two_would_be_called_alike() -> None:
    lean, fat = b.a_cut("beef trim (fat 12 %)"), b.a_cut("beef trim (fat 20 %)")
    scenario, plan = plain_bags([500], cut=lean)
    assert label(scenario, plan, 1).contents[0] == "beef trim"
    both = replace(scenario, cuts=(*scenario.cuts, fat))
    assert label(both, plan, 1).contents[0] == "beef trim (fat 12 %)"


def test_people_of_pounds_read_pounds_alone() -> None:
    pounds = replace(HOUSE, weight_unit="lb")
    assert label(pounds, HOUSE_PLAN, 2).lines[1].startswith("1 lb 1.6 oz, batch ")
    assert label(pounds, HOUSE_PLAN, 2).contents[0] == "2 chicken necks, 1.4 oz lamb liver, rest beef trim"
    told = [(*one.lines, *one.contents) for one in block_of(bag_labels(pounds, HOUSE_PLAN)).labels]
    assert not re.search(r"\d k?g\b", str(told))


def test_a_bag_that_cannot_be_thawed_in_time_has_no_days_and_says_why() -> None:
    # 4600 g take three days to thaw and are fed two days after they were filled
    scenario, plan = plain_bags([500, 4_600], keeping=())
    late = label(scenario, plan, 2)
    assert late.note == NO_TIME
    assert [line for line in late.lines if "refrigerator" in line] == []


def test_a_bag_frozen_for_too_short_says_so_as_the_thaw_plan_does_and_others_until_when() -> None:
    cut = b.a_cut("lamb heart", species="lamb", kind="heart", cautions=("sheep-meat-tapeworm",))
    scenario, plan = plain_bags([500] * 14, cut=cut)
    notes = [one.note for one in block_of(bag_labels(scenario, plan)).labels]
    # ten days frozen are reached by bag 11, which is filled on the 5th and moves on the 15th
    assert notes == [NOT_LONG_FROZEN] * 10 + [f"keep frozen until {day_text(day(number))}" for number in range(9, 13)]
    assert "Bags 1-10" in str(thaw_plan(scenario, plan))


def test_a_bag_whose_turn_to_freeze_comes_later_says_when() -> None:
    # filled on the 5th, all to be thawed from the 8th on, and the freezer takes one a day
    scenario, plan = plain_bags([500] * 6, days=[4] * 6, keeping=())
    slow = replace(scenario, portioning=Portioning(freezes_g=500))
    (table,) = tables(bag_labels(slow, plan), "labels")
    frozen_on = column(table, "frozen_on")
    assert frozen_on == [day(number) for number in range(-1, 5)]
    assert [NOT_FROZEN in str(mind) for mind in column(table, "mind")] == [False] * 4 + [True] * 2
    assert column(table, "moves_on") == [day(3)] * 6
    moves = "to the refrigerator Tue 9 Feb"
    cold = [one.lines[0] for one in block_of(bag_labels(slow, plan)).labels]
    assert cold == [moves, *(f"freeze {day_text(day(number))}, {moves}" for number in range(3)), moves, moves]


def test_the_table_has_the_same_for_programs() -> None:
    (table,) = tables(bag_labels(HOUSE, HOUSE_PLAN), "labels")
    assert not table.shown
    assert [one.key for one in table.columns] == [
        *("bag", "dog", "owner", "kennel", "feed_on", "meal", "kind", "weight_g", "mind"),
        *("frozen_on", "moves_on", "feed_by", "contents", "batch"),
    ]
    labels = block_of(bag_labels(HOUSE, HOUSE_PLAN)).labels
    for number, one in enumerate(labels):
        row = dict(zip((column.key for column in table.columns), table.rows[number], strict=True))
        assert (row["bag"], row["dog"], row["kind"], row["contents"]) == (
            *(int(one.number), one.dog, one.kind),
            one.contents[0],
        )
        assert one.day.startswith(day_text(row["feed_on"]))
        assert row["mind"] == "; ".join(filter(None, (one.apart, one.note)))
        small = " ".join(one.lines)
        assert all(str(row[key]) in small for key in ("owner", "kennel", "batch"))
        assert f"{row['weight_g']} g" in small


def test_the_table_for_people_is_short() -> None:
    document = bag_labels(HOUSE, HOUSE_PLAN)
    (table,) = tables(document, "")
    assert [one.key for one in table.columns if one.shown] == [
        "bag",
        "dog",
        "feed_on",
        "meal",
        "kind",
        "weight_g",
        "note",
    ]
    assert table.rows[8] == (9, "Juniper", day(0), 2, "B", 125, "no chicken: keep apart")


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
    book = bag_book(HOUSE, HOUSE_PLAN).of_dogs(["Sorrel"])
    found = block_of(labels_of_book(book, SHEETS["a4-3x8-70x37"], first=5))
    assert {one.dog for one in found.labels} == {"Sorrel"}
    assert [one.number for one in found.labels] == [str(number) for number in range(20, 27)]
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
    assert label(scenario, b.a_plan(bags=(bag,)), 1).contents[0].endswith("beef trim")
