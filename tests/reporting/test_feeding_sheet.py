"""The feeding sheet gives every dog its bag on every day it is there."""

from dataclasses import replace
from datetime import date

from raworder.bags import Filling
from raworder.document import Points
from raworder.plan import Plan
from raworder.reporting.feeding_sheet import feeding_sheet
from raworder.trade import Scenario
from tests import builders as b
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, column, tables

SHEET = feeding_sheet(HOUSE, HOUSE_PLAN)
DAYS = tables(SHEET, "feeding")


def kennels(dogs: int, named: int) -> tuple[Scenario, Plan]:
    """Dogs with a bag on each of two days, in so many kennels in turn."""
    each = tuple(
        b.a_dog(f"dog {number:02}", days=2, kennel=f"row {number % named}" if named else "") for number in range(dogs)
    )
    bags = tuple(b.a_bag(dog=dog.name, day=place) for dog in each for place in range(2))
    portions = b.portions_g({dog.name: {"beef trim": 1_000} for dog in each})
    return b.a_scenario(days=2, dogs=each), b.a_plan(portions=portions, bags=bags)


def test_every_bag_is_ticked_off_once_on_its_day() -> None:
    found = [(row[4], row[0], row[1], row[3], row[5]) for table in DAYS for row in table.rows]
    told = [(number, bag.day, bag.dog, bag.meal, bag.grams) for number, bag in enumerate(HOUSE_PLAN.bags, start=1)]
    assert sorted(found, key=lambda row: int(str(row[0]))) == told
    assert all(table.tick for table in DAYS)


def test_days_follow_one_another() -> None:
    assert [table.title for table in DAYS] == [f"Day {number} of 7" for number in range(1, 8)]
    assert [set(column(table, "day")) for table in DAYS] == [{date(2027, 2, 6 + place)} for place in range(7)]


def test_who_is_away_is_told() -> None:
    assert [table.note.startswith("Away, not fed: Juniper.") for table in DAYS] == [place == 3 for place in range(7)]
    assert "Juniper" not in column(DAYS[3], "dog")


def test_a_line_says_meal_kennel_and_what_is_in_the_bag() -> None:
    assert [row[1:] for row in DAYS[0].rows] == [
        ("Maple", "", 1, 1, 500, "chicken neck, lamb liver, beef trim"),
        ("Juniper", "North", 1, 8, 125, "beef trim"),
        ("Juniper", "North", 2, 9, 125, "beef kidney, beef trim"),
        ("Sorrel", "", 1, 20, 105, "beef trim, lamb liver"),
    ]


def test_of_many_cuts_in_a_bag_the_bones_and_the_most_of_the_rest_are_named() -> None:
    fillings = (
        Filling("lamb liver", 30),
        Filling("chicken neck", 60, 1),
        Filling("beef kidney", 100),
        Filling("beef heart", 90),
        Filling("beef trim", 220),
    )
    cuts = (b.LIVER, b.NECK, b.KIDNEY, b.HEART, b.TRIM)

    def holds(number: int) -> object:
        some = fillings[:number]
        portions = b.portions_g({"Maple": {one.cut: one.grams for one in some}})
        plan = b.a_plan(portions=portions, bags=(b.a_bag(some, topped_up=some[-1].cut),))
        scenario = b.a_scenario(days=1, dogs=(b.a_dog(days=1),), cuts=cuts)
        return tables(feeding_sheet(scenario, plan), "feeding")[0].rows[0][6]

    assert holds(4) == "lamb liver, chicken neck, beef kidney, beef heart"
    assert holds(5) == "chicken neck, beef kidney, beef trim and 2 more"


def test_kennel_and_meal_are_shown_only_where_there_are_any() -> None:
    def shown(scenario: Scenario, plan: Plan) -> set[str]:
        return {one.key for one in tables(feeding_sheet(scenario, plan), "feeding")[0].columns if one.shown}

    assert shown(HOUSE, HOUSE_PLAN) >= {"kennel", "meal"}
    assert not shown(*kennels(3, 0)) & {"kennel", "meal"}


def test_a_dog_in_care_is_told_before_the_first_day() -> None:
    rules = next(block for block in SHEET.blocks if isinstance(block, Points) and block.key == "rules")
    assert rules.items[0].startswith("Sorrel: the food is as the veterinarian gave it.")


def test_what_to_move_to_the_refrigerator_stands_under_each_day() -> None:
    assert DAYS[0].note == "In the morning move bags 2, 11, 21 from the freezer to the refrigerator."
    assert DAYS[3].note.endswith("In the morning move bags 5, 14-15, 24 from the freezer to the refrigerator.")
    assert DAYS[6].note == ""


def test_what_moves_before_the_first_day_is_told_first() -> None:
    # filled on 3 February; trim keeps 1 day where nothing is known, so the bag of 6 February thaws from the 5th on
    scenario = replace(
        b.a_scenario(days=1, dogs=(b.a_dog(days=1),)),
        portioning=replace(HOUSE.portioning, day=date(2027, 2, 3)),
    )
    plan = b.a_plan(portions=(b.a_portion(batch_g=500),), bags=(b.a_bag((Filling("beef trim", 500),)),))
    sheet = feeding_sheet(scenario, plan)
    (before,) = [block for block in sheet.blocks if isinstance(block, Points) and block.key == "before"]
    assert before.items == ("2027-02-05: move bag 1 from the freezer to the refrigerator.",)


def test_twenty_dogs_are_listed_by_day_and_more_by_kennel() -> None:
    few, many = (tables(feeding_sheet(*kennels(number, 2)), "feeding") for number in (20, 21))
    assert [table.title for table in few] == ["Day 1 of 2", "Day 2 of 2"]
    assert [table.title for table in many] == [
        "Row 0, day 1 of 2",
        "Row 0, day 2 of 2",
        "Row 1, day 1 of 2",
        "Row 1, day 2 of 2",
    ]
    assert [len(table.rows) for table in many] == [11, 11, 10, 10]
    assert set(column(many[0], "kennel")) == {"row 0"}
    # of the dogs in row 0, every second one, the bags of the second day are 2, 6, 10 ...; those of row 1 are 4, 8 ...
    assert many[0].note.startswith("In the morning move bags 2, 6, 10, 14,")
    assert many[2].note.startswith("In the morning move bags 4, 8, 12, 16,")


def test_many_dogs_without_kennels_are_listed_by_day() -> None:
    first, second = tables(feeding_sheet(*kennels(21, 0)), "feeding")
    assert len(first.rows) == 21
    assert first.note == "In the morning move the 21 bags for 2027-02-07 from the freezer to the refrigerator."
    assert second.note == ""
