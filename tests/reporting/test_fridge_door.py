"""The fridge door has every bag once, on its day, under its dog, and what to thaw on every day."""

from dataclasses import replace
from datetime import date, timedelta

from raworder.reporting.fridge_door import AWAY, BONES, HANDS
from raworder.trade.bags import Filling
from raworder.trade.cuts import Part
from raworder.trade.document import Document, Holds, Points, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Keeping, Scenario
from tests import builders as b
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, column, plain_bags, tables
from tests.worked_out import bag_book, fridge_door

PAPER = fridge_door(HOUSE, HOUSE_PLAN)


def days_of(document: Document) -> Table:
    """The table of days."""
    return next(block for block in document.blocks if isinstance(block, Table) and block.shown)


DAYS = days_of(PAPER)


def rules_of(document: Document) -> tuple[str, ...]:
    """What always holds, at the foot."""
    return next(block.items for block in document.blocks if isinstance(block, Points) and block.key == "rules")


def kennels(dogs: int, named: int) -> tuple[Scenario, Plan]:
    """Dogs with a bag on each of two days, in so many kennels in turn."""
    each = tuple(
        b.a_dog(f"dog {number:02}", days=2, kennel=f"row {number % named}" if named else "") for number in range(dogs)
    )
    bags = tuple(b.a_bag(dog=dog.name, day=place) for dog in each for place in range(2))
    portions = b.portions_g({dog.name: {"beef trim": 1_000} for dog in each})
    return b.a_scenario(days=2, dogs=each), b.a_plan(portions=portions, bags=bags)


def test_every_bag_stands_once_on_its_day_under_its_dog_with_its_kind() -> None:
    found = {}
    for place, heading in enumerate([one.heading for one in DAYS.columns][1:-1], start=1):
        for row in DAYS.rows:
            for part in str(row[place] or "").split("; "):
                if part and part != AWAY:
                    number, kind = part.split(" ")
                    assert int(number) not in found
                    found[int(number)] = (row[0], heading, kind)
    assert found == {number: (bag.day, bag.dog, bag.kind) for number, bag in enumerate(HOUSE_PLAN.bags, start=1)}
    assert [one.holds for one in DAYS.columns] == [Holds.DAY, *[Holds.TICKS] * 4]


def test_days_follow_one_another_from_the_filling_of_the_bags() -> None:
    days = column(DAYS, "day")
    assert days[0] == HOUSE.portioned_on
    assert days[1:] == [HOUSE.batch.starts + timedelta(place) for place in range(7)]


def test_a_column_says_what_a_bag_weighs() -> None:
    assert [one.under for one in DAYS.columns] == ["", "500 g", "125 g", "105 g to 106 g", "freezer to refrigerator"]


def test_who_is_away_is_told_on_its_day_and_not_to_be_ticked() -> None:
    assert [row[0] for row in DAYS.rows if AWAY in row] == [date(2027, 2, 9)]
    assert AWAY.startswith("(")


def test_bones_are_told_where_there_are_any_that_are_not_ground() -> None:
    mince = b.a_cut("chicken mince", species="chicken", kind="mince", parts={Part.MUSCLE: "4/5", Part.BONE: "1/5"})
    assert BONES in rules_of(PAPER)
    assert BONES not in rules_of(fridge_door(*plain_bags([500], cut=mince)))


def test_a_dog_in_care_is_told_first() -> None:
    assert any(rule.startswith("Sorrel: fed as the veterinarian said.") for rule in rules_of(PAPER)[:2])


def test_several_meals_stand_in_their_order_and_it_is_said() -> None:
    meals = "Several bags of a dog on a day stand in the order of its meals."
    assert meals in rules_of(PAPER)
    assert meals not in rules_of(fridge_door(*plain_bags([500])))


def test_how_long_a_bag_keeps_and_when_to_order_again_is_said() -> None:
    kept = "keeps 1 day more in the refrigerator"
    assert kept in " ".join(rules_of(fridge_door(*plain_bags([500, 500]))))
    assert "Throw away what is not fed on its day" in " ".join(rules_of(PAPER))
    assert HANDS in rules_of(PAPER)
    assert rules_of(PAPER)[-1] == "Order the next batch by Tue 9 Feb."
    assert PAPER.at_arms_length


def test_what_to_thaw_stands_on_its_day_and_what_stays_fresh_on_the_day_of_filling() -> None:
    assert column(DAYS, "thaw") == [
        "1, 8, 9, 10, 12 and 20 straight from the counter",
        "2, 11 and 21",
        "3, 13 and 22",
        "4 and 23",
        "5, 14, 15 and 24",
        "6, 16, 17 and 25",
        "7, 18, 19 and 26",
        "",
    ]


def test_many_bags_to_thaw_are_told_by_the_day_they_are_for() -> None:
    keeps = (Keeping("food", frozenset(), frozenset(), 1, 2, "invented"),)

    def told(weights: list[int]) -> list[object]:
        scenario, plan = plain_bags([500, *weights], days=[0, *[9] * len(weights)], keeping=keeps)
        return [one for one in column(days_of(fridge_door(scenario, plan)), "thaw")[1:] if one]

    assert told([500] * 6) == ["2, 3, 4, 5, 6 and 7"]
    assert told([500] * 7) == ["all for Mon 15 Feb"]
    assert told([2_300] * 7) == ["all for Mon 15 Feb"]  # 2300 g take two days to thaw
    assert told([500] * 7 + [4_600]) == ["9", "2-8"]  # 4600 g take three, and the others keep only one


def test_what_moves_before_the_first_day_has_a_row_of_its_own() -> None:
    # filled on 3 February; trim keeps 1 day where nothing is known, so the bag of 6 February thaws from the 5th on
    scenario = replace(
        b.a_scenario(days=1, dogs=(b.a_dog(days=1),)),
        portioning=replace(HOUSE.portioning, day=date(2027, 2, 3)),
    )
    plan = b.a_plan(portions=(b.a_portion(batch_g=500),), bags=(b.a_bag((Filling("beef trim", 500),)),))
    days = days_of(fridge_door(scenario, plan))
    assert [(row[0], row[-1]) for row in days.rows] == [
        (date(2027, 2, 3), ""),
        (date(2027, 2, 5), "1"),
        (date(2027, 2, 6), ""),
    ]


def test_twenty_dogs_have_a_column_each_and_more_one_for_each_kennel() -> None:
    few, many, nameless = (days_of(fridge_door(*kennels(*size))) for size in ((20, 2), (21, 2), (21, 0)))
    assert len(few.columns) == 22
    assert [(one.heading, one.under) for one in many.columns][1:-1] == [("row 0", "11 dogs"), ("row 1", "10 dogs")]
    assert [row[1:3] for row in many.rows] == [(None, None), ("11 bags", "10 bags"), ("11 bags", "10 bags")]
    assert [one.heading for one in nameless.columns][1:-1] == ["All dogs"]


def test_the_page_of_some_dogs_has_their_bags_alone_with_their_numbers() -> None:
    from raworder.reporting.fridge_door import fridge_door as page

    days = days_of(page(bag_book(HOUSE, HOUSE_PLAN).of_dogs(["Juniper"])))
    assert [one.heading for one in days.columns] == ["Day", "Juniper", "Thaw today"]
    assert column(days, "thaw")[1] == "11"
    assert column(days, "bags_0")[1] == "8 A; 9 B"


def test_programs_get_a_row_for_every_bag() -> None:
    (table,) = tables(PAPER, "feeding")
    assert not table.shown
    bags = [(number, bag.day, bag.dog, bag.meal, bag.kind) for number, bag in enumerate(HOUSE_PLAN.bags, start=1)]
    keys = ("bag", "day", "dog", "meal", "kind")
    found = list(zip(*(column(table, key) for key in keys), strict=True))
    assert sorted(found, key=lambda row: int(str(row[0]))) == bags
    assert column(table, "day") == sorted(column(table, "day"), key=str)
