"""The thaw plan moves every bag in time, and none is kept for longer than it may be."""

import random
from dataclasses import replace
from datetime import date, timedelta

import pytest

from raworder.portioning.keeping import thaw_days
from raworder.reporting.thaw_plan import ALL
from raworder.trade.bags import Filling
from raworder.trade.batch_facts import BagWay, Journey
from raworder.trade.cuts import Cut
from raworder.trade.document import Document, Points
from raworder.trade.plan import LotUse, Plan
from raworder.trade.scenario import Keeping, Scenario
from tests import builders as b
from tests.reporting.samples_of_bags import (
    FILLED_ON,
    HOUSE,
    HOUSE_PLAN,
    KEEPING,
    TUBS,
    TUBS_PLAN,
    column,
    day,
    grams,
    plain_bags,
    tables,
)
from tests.worked_out import bag_book, thaw_plan

LAMB_HEART = b.a_cut("lamb heart", species="lamb", kind="heart", cautions=("sheep-meat-tapeworm",))
HERRING = b.a_cut("herring fillet", species="herring", cautions=("raw-fish-parasites", "thiaminase-fish"))


def ways(scenario: Scenario, plan: Plan) -> tuple[Journey, ...]:
    """The way of every bag."""
    return bag_book(scenario, plan).facts.cold.journeys


def mind(document: Document) -> tuple[str, ...]:
    """The warnings."""
    return tuple(item for one in document.blocks if isinstance(one, Points) and one.key == "mind" for item in one.items)


def keeps(least_days: int, most_days: int = 9) -> tuple[Keeping, ...]:
    """Everything keeps so many days."""
    return (Keeping("food", frozenset(), frozenset(), least_days, most_days, "invented"),)


@pytest.mark.parametrize(("weight_g", "days"), [(1, 1), (2_268, 1), (2_269, 2), (4_536, 2), (4_537, 3), (6_805, 4)])
def test_a_day_for_every_five_pounds(weight_g: int, days: int) -> None:
    # Source: USDA The Big Thaw as told by the University of Illinois Extension: 24 hours for each 5 lb, 2268 g.
    assert thaw_days(weight_g) == days


def test_bags_fed_within_their_keeping_time_go_straight_to_the_refrigerator() -> None:
    # filled on Friday the 5th: chicken, liver and kidney keep 1 day, so bags of Saturday; trim keeps 3, until Monday
    straight, _ = tables(thaw_plan(HOUSE, HOUSE_PLAN), "moves")
    assert [(str(row[0]), row[1], row[2], row[3], str(row[4]), str(row[5])) for row in straight.rows] == [
        ("2027-02-05", "1, 9, 20", 3, 730, "2027-02-06", "2027-02-06"),
        ("2027-02-05", "8", 1, 125, "2027-02-06", "2027-02-08"),
        ("2027-02-05", "10", 1, 125, "2027-02-07", "2027-02-08"),
        ("2027-02-05", "12", 1, 125, "2027-02-08", "2027-02-08"),
    ]


def test_all_other_bags_move_the_morning_of_the_day_before() -> None:
    _, moved = tables(thaw_plan(HOUSE, HOUSE_PLAN), "moves")
    assert [column(moved, "day"), column(moved, "feed_on"), column(moved, "bags"), column(moved, "weight_g")] == [
        [day(0), day(1), day(2), day(3), day(3), day(4), day(4), day(5), day(5)],
        [day(1), day(2), day(3), day(4), day(4), day(5), day(5), day(6), day(6)],
        ["2, 11, 21", "3, 13, 22", "4, 23", "5, 15, 24", "14", "6, 17, 25", "16", "7, 19, 26", "18"],
        [730, 730, 605, 730, 125, 730, 125, 731, 125],
    ]


def test_every_bag_is_in_one_row() -> None:
    both = tables(thaw_plan(HOUSE, HOUSE_PLAN), "moves")
    assert sum(grams(table, "bag_count") for table in both) == 26
    assert sum(grams(table, "weight_g") for table in both) == 5736
    assert all(table.tick for table in both)


def test_a_thawed_bag_keeps_as_long_as_what_keeps_shortest_in_it() -> None:
    found = ways(HOUSE, HOUSE_PLAN)
    assert [one.keeps_days for one in found[:2]] == [1, 1]
    assert (found[13].keeps_days, found[13].feed_by) == (3, day(7))  # bag 14: trim, thawed on the 10th, until the 13th
    assert found[14].feed_by == day(5)  # bag 15: with kidney, thawed on the 10th, until the 11th


def test_a_mix_keeps_as_long_as_what_keeps_shortest_in_it() -> None:
    no_neck = replace(
        TUBS_PLAN, bags=tuple(replace(bag, fillings=bag.fillings[1:]) for bag in TUBS_PLAN.bags), stations=()
    )
    assert [one.keeps_days for one in ways(TUBS, no_neck)] == [1, 1, 1, 1]


def test_little_is_taken_where_no_keeping_time_is_known() -> None:
    scenario, plan = plain_bags([500, 500], keeping=())
    assert [(one.way, one.keeps_days) for one in ways(scenario, plan)] == [
        (BagWay.REFRIGERATOR, 1),
        (BagWay.FREEZER, 1),
    ]


def test_the_largest_bag_of_a_day_says_when_they_all_move() -> None:
    # 2300 g take two days; the small bag waits one day thawed, as it may
    scenario, plan = plain_bags([500, 500, 2_300], days=[0, 9, 9], keeping=keeps(1))
    assert [(one.thaw_days, one.moves_on) for one in ways(scenario, plan)[1:]] == [(1, day(7)), (2, day(7))]


def test_a_small_bag_moves_by_itself_where_it_would_be_thawed_for_too_long() -> None:
    # 4600 g take three days; the small bag would be thawed for two, and keeps one
    scenario, plan = plain_bags([500, 500, 4_600], days=[0, 9, 9], keeping=keeps(1))
    assert [one.moves_on for one in ways(scenario, plan)[1:]] == [day(8), day(6)]


def test_a_bag_that_cannot_be_thawed_in_time_is_told_and_in_no_row() -> None:
    # filled on the 5th, fed on the 7th: 4600 g would have to leave the freezer on the 4th
    scenario, plan = plain_bags([500, 4_600], keeping=keeps(1))
    document = thaw_plan(scenario, plan)
    (warning,) = mind(document)
    assert warning.startswith("No time to freeze and thaw bag 2: thawing takes 3 days. Make smaller bags")
    assert [table.rows[0][1] for table in tables(document, "moves")] == ["1"]


def test_what_must_be_frozen_first_never_goes_straight_to_the_refrigerator() -> None:
    scenario, plan = plain_bags([500] * 14, cut=LAMB_HEART)
    found = ways(scenario, plan)
    assert found[0].way is BagWay.NO_TIME
    assert {one.way for one in found[1:]} == {BagWay.FREEZER}


def test_bags_frozen_for_too_short_are_told_with_the_days_and_the_source() -> None:
    # bag n is fed n days after filling and leaves the freezer a day before: ten days are reached by bag 11
    scenario, plan = plain_bags([500] * 14, cut=LAMB_HEART)
    document = thaw_plan(scenario, plan)
    (warning,) = mind(document)
    assert warning.startswith("Bags 1-10: freeze lamb heart with the core at -10 C (14 F) or colder for 10 days")
    assert warning.endswith("Then bag 1 can go straight to the refrigerator.")
    (points,) = [one for one in document.blocks if isinstance(one, Points) and one.key == "mind"]
    assert points.sources == ("Project Ovis (New Zealand), safe feeding of meat",)


def test_raw_fish_is_frozen_for_seven_days() -> None:
    scenario, plan = plain_bags([500] * 14, cut=HERRING)
    assert mind(thaw_plan(scenario, plan))[0].startswith("Bags 1-7: freeze herring fillet at -20 C")


def test_a_bag_too_large_to_thaw_in_time_is_not_sent_to_the_refrigerator_for_longer_than_it_keeps() -> None:
    # fed two days after filling, keeps one: 2300 g take two days to thaw
    scenario, plan = plain_bags([2_300], days=[1], cut=LAMB_HEART, keeping=keeps(1))
    (warning,) = mind(thaw_plan(scenario, plan))
    assert warning.endswith("or leave it out.")


def test_many_bags_are_counted_in_a_warning() -> None:
    cut = b.a_cut("pork trim", species="pork", cautions=("raw-pork",))
    scenario, plan = plain_bags([500] * 22, cut=cut)
    # 20 days are reached by bag 21, which leaves the freezer 20 days after filling
    assert mind(thaw_plan(scenario, plan))[0].startswith("Bags 1-20: freeze pork trim")
    days = [place // 2 for place in range(42)]
    scenario, plan = plain_bags([250] * 42, cut=cut, days=days)
    assert mind(thaw_plan(scenario, plan))[0].startswith("40 bags: freeze pork trim")


@pytest.mark.parametrize(("frozen_on", "used_g", "straight"), [(26, 500, True), (27, 500, False), (26, 499, False)])
def test_what_was_frozen_long_enough_on_hand_needs_no_more_of_it(
    frozen_on: int,
    used_g: int,
    straight: bool,
) -> None:
    # ten days before 5 February is 26 January
    scenario, plan = plain_bags([500], cut=LAMB_HEART)
    scenario = replace(scenario, on_hand=(b.on_hand("lamb heart", 500, date(2027, 1, frozen_on)),))
    (one,) = ways(scenario, replace(plan, lots_used=(LotUse(0, used_g),)))
    assert (one.way is BagWay.REFRIGERATOR) == straight


def test_a_lot_of_unknown_age_is_not_taken_for_frozen_long_enough() -> None:
    scenario, plan = plain_bags([500], cut=LAMB_HEART)
    scenario = replace(scenario, on_hand=(b.on_hand("lamb heart", 500),))
    assert ways(scenario, replace(plan, lots_used=(LotUse(0, 500),)))[0].way is BagWay.NO_TIME


def test_a_caution_inside_a_mixed_product_counts() -> None:
    mixed = b.a_cut("farm mince", species={"beef": None, "lamb": None}, kind="mince", ingredients=(LAMB_HEART,))
    scenario, plan = plain_bags([500], cut=mixed)
    assert ways(scenario, plan)[0].freeze_days == 10


PORK = b.a_cut("pork trim", species="pork", cautions=("raw-pork",))


@pytest.mark.parametrize("cuts", [(HERRING, PORK), (PORK, HERRING)])
def test_a_bag_is_frozen_for_as_long_as_what_needs_it_longest(cuts: tuple[Cut, ...]) -> None:
    """Fish for 7 days and pork for 20: the bag of day 20 has had 19 of them, the bag of day 21 has had 20."""
    scenario, plan = plain_bags([500] * 21)
    fillings = tuple(Filling(cut.name, 250) for cut in cuts)
    bags = tuple(replace(bag, fillings=fillings, topped_up=cuts[0].name) for bag in plan.bags)
    portions = b.portions_g({"Maple": {cut.name: 250 * 21 for cut in cuts}})
    found = ways(replace(scenario, cuts=(*scenario.cuts, *cuts)), replace(plan, bags=bags, portions=portions))
    assert {one.freeze_days for one in found} == {20}
    assert [one.number for one in found if one.frozen_days >= one.freeze_days] == [21]


def test_a_small_bag_does_not_leave_early_where_it_must_stay_frozen() -> None:
    # the large bag moves on the 6th day after filling; the fish, fed the same day, must be frozen seven days
    scenario, plan = plain_bags([500, 500, 2_300], days=[0, 7, 7], keeping=keeps(2))
    scenario = replace(scenario, cuts=(*scenario.cuts, HERRING))
    fish = replace(plan.bags[1], fillings=(Filling("herring fillet", 500),), topped_up="herring fillet")
    portions = b.portions_g({"Maple": {"beef trim": 2_800, "herring fillet": 500}})
    plan = replace(plan, bags=(plan.bags[0], fish, plan.bags[2]), portions=portions)
    assert [one.moves_on for one in ways(scenario, plan)[1:]] == [day(6), day(5)]


def test_bags_filled_days_before_are_counted_from_then() -> None:
    scenario, plan = plain_bags([500, 500], keeping=keeps(3))
    scenario = replace(scenario, portioning=replace(scenario.portioning, day=FILLED_ON - timedelta(1)))
    assert [one.way for one in ways(scenario, plan)] == [BagWay.REFRIGERATOR, BagWay.REFRIGERATOR]
    scenario = replace(scenario, portioning=replace(scenario.portioning, day=FILLED_ON - timedelta(2)))
    assert [one.way for one in ways(scenario, plan)] == [BagWay.REFRIGERATOR, BagWay.FREEZER]


def test_bags_filled_on_the_first_day_are_fed_the_same_day() -> None:
    scenario, plan = plain_bags([500], keeping=keeps(1))
    scenario = replace(scenario, portioning=replace(scenario.portioning, day=day(0)))
    assert ways(scenario, plan)[0].way is BagWay.REFRIGERATOR


@pytest.mark.parametrize("seed", range(100))
def test_no_bag_is_ever_kept_for_longer_than_it_may_be(seed: int) -> None:
    chance = random.Random(seed)
    days = sorted(chance.choices(range(14), k=12))
    cut = chance.choice((b.TRIM, LAMB_HEART, HERRING))
    scenario, plan = plain_bags(
        [chance.randint(50, 8_000) for _ in days], cut=cut, days=days, keeping=keeps(chance.randint(1, 4))
    )
    for one in ways(scenario, plan):
        if one.way is BagWay.REFRIGERATOR:
            assert 0 <= (one.bag.day - FILLED_ON).days <= one.keeps_days
            assert not cut.cautions
        elif one.way is BagWay.FREEZER:
            assert one.moves_on is not None
            in_refrigerator_days = (one.bag.day - one.moves_on).days
            assert one.moves_on > FILLED_ON
            assert one.thaw_days <= in_refrigerator_days <= one.thaw_days + one.keeps_days
            assert one.bag.day <= one.feed_by
        else:
            assert one.bag.day - timedelta(one.thaw_days) <= FILLED_ON


def test_bags_that_a_slow_freezer_has_not_frozen_by_their_morning_are_told() -> None:
    # nine bags of 500 g after the first, two a day: bag 2, which moves on the 6th, and bag 10 on the 5th; 9 and 8 on
    # the 6th, 7 and 6 on the 7th, 5 and 4 on the 8th, 3 on the 9th. Bag 3 moves on the 7th, 4 on the 8th, 5 on the 9th
    scenario, plan = plain_bags([500] * 10, keeping=keeps(1))
    slow = replace(scenario, portioning=replace(scenario.portioning, freezes_g=1_000))
    assert mind(thaw_plan(slow, plan)) == (
        "Bags 3-4: not frozen by their morning below, see the freezing sheet before you fill.",
    )
    fast = replace(scenario, portioning=replace(scenario.portioning, freezes_g=2_500))
    assert not mind(thaw_plan(fast, plan))


def test_the_days_in_the_rows_are_those_of_the_bags() -> None:
    for table in tables(thaw_plan(HOUSE, HOUSE_PLAN), "moves"):
        for row in table.rows:
            assert str(row[0]) <= str(row[4]) <= str(row[5])


def test_forgotten_bags_thaw_in_cold_water() -> None:
    (points,) = [
        one for one in thaw_plan(HOUSE, HOUSE_PLAN).blocks if isinstance(one, Points) and one.key == "forgotten"
    ]
    assert "change the water every 30 minutes" in points.items[0]
    assert "Safe thawing practices" in points.sources[0]


def test_the_rules_say_what_keeps_how_long_and_by_whom() -> None:
    (rules,) = [one for one in thaw_plan(HOUSE, HOUSE_PLAN).blocks if isinstance(one, Points) and one.key == "rules"]
    assert "In the refrigerator, fresh or thawed, poultry: 1 to 2 days." in rules.items
    assert "In the refrigerator, fresh or thawed, red meat: 3 to 5 days." in rules.items
    assert rules.sources[1:] == ("invented chart",)
    assert any("food that is cooked; here it is fed raw" in item for item in rules.items)


def test_five_pounds_are_told_as_pounds() -> None:
    document = thaw_plan(replace(HOUSE, weight_unit="lb"), HOUSE_PLAN)
    (rules,) = [one for one in document.blocks if isinstance(one, Points) and one.key == "rules"]
    assert "at least a day for every 5 lb of the largest bag" in rules.items[0]


def test_whole_days_stand_for_long_lists_where_dogs_are_many() -> None:
    dogs = tuple(b.a_dog(f"dog {number:02}", days=3) for number in range(21))
    bags = tuple(b.a_bag(dog=dog.name, day=place) for dog in dogs for place in range(3))
    portions = b.portions_g({dog.name: {"beef trim": 1_500} for dog in dogs})
    scenario = replace(b.a_scenario(days=3, dogs=dogs), keeping=KEEPING[:2])
    straight, moved = tables(thaw_plan(scenario, b.a_plan(portions=portions, bags=bags)), "moves")
    assert (straight.rows[0][1], straight.rows[0][2]) == (ALL, 21)
    assert column(moved, "bags") == [ALL, ALL]
    assert str(moved.rows[0][6]).startswith("2, 5, 8")


def test_part_of_a_day_is_told_by_numbers_also_where_dogs_are_many() -> None:
    # on the second day bag 1 with liver is thawed while the others, trim alone, stay fresh for three days
    dogs = tuple(b.a_dog(f"dog {number:02}", days=2, day_g=(0, 500)) for number in range(21))
    liver = b.a_bag((Filling("lamb liver", 500),), dog="dog 00", day=1, topped_up="lamb liver")
    bags = (liver, *(b.a_bag(dog=dog.name, day=1) for dog in dogs[1:]))
    portions = b.portions_g({dog.name: {"beef trim": 500} for dog in dogs[1:]} | {"dog 00": {"lamb liver": 500}})
    scenario = replace(b.a_scenario(days=2, dogs=dogs, cuts=(b.TRIM, b.LIVER)), keeping=KEEPING)
    straight, moved = tables(thaw_plan(scenario, b.a_plan(portions=portions, bags=bags)), "moves")
    assert (column(straight, "bags"), column(moved, "bags")) == (["2-21"], ["1"])
