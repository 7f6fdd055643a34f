"""The feeding sheet gives every dog its bag on every day it is there."""

from dataclasses import replace
from datetime import date

from raworder.reporting.feeding_sheet import AWAY
from raworder.trade.bags import Filling
from raworder.trade.cuts import Part
from raworder.trade.document import Points
from raworder.trade.plan import Plan
from raworder.trade.scenario import Keeping, Scenario
from tests import builders as b
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, column, plain_bags, tables
from tests.worked_out import feeding_sheet

PAPER = feeding_sheet(HOUSE, HOUSE_PLAN)
(SHEET,) = tables(PAPER, "feeding")


def kennels(dogs: int, named: int) -> tuple[Scenario, Plan]:
    """Dogs with a bag on each of two days, in so many kennels in turn."""
    each = tuple(
        b.a_dog(f"dog {number:02}", days=2, kennel=f"row {number % named}" if named else "") for number in range(dogs)
    )
    bags = tuple(b.a_bag(dog=dog.name, day=place) for dog in each for place in range(2))
    portions = b.portions_g({dog.name: {"beef trim": 1_000} for dog in each})
    return b.a_scenario(days=2, dogs=each), b.a_plan(portions=portions, bags=bags)


def test_every_bag_is_ticked_off_once_on_its_day() -> None:
    told = [(number, bag.day, bag.dog, bag.meal, bag.grams) for number, bag in enumerate(HOUSE_PLAN.bags, start=1)]
    keys = ("bag", "day", "dog", "meal", "weight_g")
    found = [row for row in zip(*(column(SHEET, key) for key in keys), strict=True) if row[0]]
    assert sorted(found, key=lambda row: int(str(row[0]))) == told
    assert SHEET.tick


def test_days_follow_one_another_and_every_line_names_its_own() -> None:
    days = [date(2027, 2, 6 + place) for place in range(7)]
    assert sorted(set(column(SHEET, "day")), key=str) == days
    assert column(SHEET, "day") == sorted(column(SHEET, "day"), key=str)
    assert column(SHEET, "new_day") == column(SHEET, "day")  # wherever a sheet of paper begins


def test_who_is_away_is_told_on_its_day() -> None:
    away = [row for row in SHEET.rows if AWAY in row]
    assert away == [(date(2027, 2, 9), date(2027, 2, 9), "Juniper", "North", None, None, None, AWAY, "")]


def test_a_line_says_meal_kennel_and_what_to_mind() -> None:
    assert [row[2:8] for row in SHEET.rows[:4]] == [
        ("Maple", "", 1, 1, 500, "bones"),
        ("Juniper", "North", 1, 8, 125, "no chicken"),
        ("Juniper", "North", 2, 9, 125, "no chicken"),
        ("Sorrel", "", 1, 20, 105, ""),
    ]


def test_ground_bone_is_no_bone_to_watch() -> None:
    mince = b.a_cut("chicken mince", species="chicken", kind="mince", parts={Part.MUSCLE: "4/5", Part.BONE: "1/5"})
    scenario, plan = plain_bags([500], cut=mince)
    assert column(tables(feeding_sheet(scenario, plan), "feeding")[0], "mind") == [""]


def test_kennel_and_meal_are_shown_only_where_there_are_any() -> None:
    def shown(scenario: Scenario, plan: Plan) -> set[str]:
        return {one.key for one in tables(feeding_sheet(scenario, plan), "feeding")[0].columns if one.shown}

    assert shown(HOUSE, HOUSE_PLAN) >= {"kennel", "meal"}
    assert not shown(*kennels(3, 0)) & {"kennel", "meal"}
    assert "kennel" in shown(*kennels(20, 2))
    assert "kennel" not in shown(*kennels(21, 2))  # the title names it


def test_a_dog_in_care_is_told_before_the_first_day() -> None:
    rules = next(block for block in PAPER.blocks if isinstance(block, Points) and block.key == "rules")
    assert rules.items[0].startswith("Sorrel: the food is as the veterinarian gave it.")


def test_what_to_move_to_the_refrigerator_stands_on_the_first_line_of_a_day() -> None:
    told: dict[object, object] = {}
    for day, thaw in zip(column(SHEET, "day"), column(SHEET, "thaw"), strict=True):
        told.setdefault(day, thaw)
    # as the thaw plan has it
    assert list(told.values()) == [
        "2, 11, 21",
        "3, 13, 22",
        "4, 23",
        "5, 14-15, 24",
        "6, 16-17, 25",
        "7, 18-19, 26",
        "",
    ]
    assert [one for one in column(SHEET, "thaw") if one] == list(told.values())[:6]


def test_many_bags_to_move_are_told_by_the_day_they_are_for() -> None:
    keeps = (Keeping("food", frozenset(), frozenset(), 1, 2, "invented"),)

    def told(weights: list[int]) -> list[object]:
        scenario, plan = plain_bags([500, *weights], days=[0, *[9] * len(weights)], keeping=keeps)
        table = tables(feeding_sheet(scenario, plan), "feeding")[0]
        return [one for one in column(table, "thaw") if one]

    assert told([500] * 4) == ["2-5"]
    assert told([500] * 5) == ["all for tomorrow"]
    assert told([2_300] * 5) == ["all for 2027-02-15"]  # 2300 g take two days to thaw
    assert told([500] * 6 + [4_600]) == ["8", "2-7"]  # 4600 g take three, and the others keep only one


def test_nothing_is_told_of_thawing_where_no_bag_is_frozen() -> None:
    scenario, plan = plain_bags([500])
    (table,) = tables(feeding_sheet(scenario, plan), "feeding")
    assert not next(one for one in table.columns if one.key == "thaw").shown


def test_what_moves_before_the_first_day_is_told_first() -> None:
    # filled on 3 February; trim keeps 1 day where nothing is known, so the bag of 6 February thaws from the 5th on
    scenario = replace(
        b.a_scenario(days=1, dogs=(b.a_dog(days=1),)),
        portioning=replace(HOUSE.portioning, day=date(2027, 2, 3)),
    )
    plan = b.a_plan(portions=(b.a_portion(batch_g=500),), bags=(b.a_bag((Filling("beef trim", 500),)),))
    sheet = feeding_sheet(scenario, plan)
    (before,) = [block for block in sheet.blocks if isinstance(block, Points) and block.key == "before"]
    assert before.items == ("On 2027-02-05 move from the freezer to the refrigerator: 1.",)


def test_twenty_dogs_are_in_one_table_and_more_in_one_for_each_kennel() -> None:
    few, many = (tables(feeding_sheet(*kennels(number, 2)), "feeding") for number in (20, 21))
    assert [(table.title, len(table.rows)) for table in few] == [("Day by day", 40)]
    assert [(table.title, len(table.rows)) for table in many] == [("row 0", 22), ("row 1", 20)]
    assert set(column(many[0], "kennel")) == {"row 0"}
    assert [column(table, "thaw")[0] for table in many] == ["all for tomorrow"] * 2
    assert column(many[0], "thaw")[1:] == [""] * 21


def test_a_kennel_is_told_only_its_own_bags_to_move() -> None:
    first, second = tables(feeding_sheet(*kennels(24, 8)), "feeding")[:2]
    # every eighth dog: the bags of the second day are 2, 18 and 34; of the next kennel 4, 20 and 36
    assert (column(first, "thaw")[0], column(second, "thaw")[0]) == ("2, 18, 34", "4, 20, 36")


def test_many_dogs_without_kennels_are_listed_by_day() -> None:
    first, second = tables(feeding_sheet(*kennels(21, 0)), "feeding")
    assert [first.title, second.title] == ["Day 1 of 2", "Day 2 of 2"]
    assert len(first.rows) == 21
    assert column(first, "thaw") == ["all for tomorrow", *[""] * 20]
    assert set(column(second, "thaw")) == {""}
