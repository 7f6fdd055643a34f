"""The freezing sheet tells how full the freezer is, and no lot is more than it freezes in a day."""

import random
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from raworder.portioning.keeping import loads_of, lots
from raworder.reporting.bag_book import BagBook
from raworder.reporting.counter_sheet import counter_sheet
from raworder.reporting.freezing import FULLEST, sessions_needed
from raworder.reporting.kitchen import kitchen
from raworder.reporting.portion_screen import portion_screen
from raworder.trade.batch_facts import BagWay, Load
from raworder.trade.document import Document, Facts, Points, Table
from raworder.trade.scenario import Keeping, Scenario
from tests import builders as b
from tests.reporting.samples_of_bags import FILLED_ON, HOUSE, HOUSE_PLAN, column, day, plain_bags, tables
from tests.worked_out import bag_book, freezing

KEEPS_ONE = (Keeping("food", frozenset(), frozenset(), 1, 2, "invented"),)


def freezes(scenario: Scenario, most_g: int) -> Scenario:
    """The scenario with a freezer that freezes so much a day."""
    return replace(scenario, portioning=replace(scenario.portioning, freezes_g=most_g))


def mind(document: Document) -> tuple[str, ...]:
    """The warnings."""
    return tuple(item for one in document.blocks if isinstance(one, Points) and one.key == "mind" for item in one.items)


def facts(document: Document) -> dict[str, object]:
    """The facts by key."""
    return {fact.key: fact.value for one in document.blocks if isinstance(one, Facts) for fact in one.items}


def test_every_evening_from_filling_to_the_last_day_is_told() -> None:
    (table,) = tables(freezing(HOUSE, HOUSE_PLAN), "evenings")
    assert column(table, "evening") == [FILLED_ON + timedelta(days) for days in range(8)]


def test_what_is_in_the_freezer_is_counted_down_as_bags_move() -> None:
    # straight to the refrigerator: 500 + 4 x 125 + 105 = 1105 of 5736; then each morning what the thaw plan moves
    (table,) = tables(freezing(HOUSE, HOUSE_PLAN), "evenings")
    assert column(table, "bags_g") == [4631, 3901, 3171, 2566, 1711, 856, 0, 0]
    assert column(table, "left_g") == [384] * 8
    assert column(table, "freezer_g") == [5015, 4285, 3555, 2950, 2095, 1240, 384, 384]
    assert column(table, "free_g") == [985, 1715, 2445, 3050, 3905, 4760, 5616, 5616]


def test_what_is_not_frozen_and_not_fed_is_in_the_refrigerator() -> None:
    # Friday: all that goes straight there; Saturday: 125 + 125 and the 730 moved that morning
    (table,) = tables(freezing(HOUSE, HOUSE_PLAN), "evenings")
    assert column(table, "refrigerator_g") == [1105, 980, 855, 605, 855, 855, 856, 0]


def test_the_fullest_evening_is_marked_and_told() -> None:
    document = freezing(HOUSE, HOUSE_PLAN)
    assert column(tables(document, "evenings")[0], "mark") == [FULLEST, *[""] * 7]
    assert facts(document) == {"fullest_on": FILLED_ON, "freezer_g": 5015, "room_g": 6000, "free_g": 985}


def test_room_is_not_told_where_none_was_given() -> None:
    document = freezing(replace(HOUSE, room_g=None), HOUSE_PLAN)
    assert set(facts(document)) == {"fullest_on", "freezer_g"}
    free = next(one for one in tables(document, "evenings")[0].columns if one.key == "free_g")
    assert not free.shown


def test_a_freezer_that_is_too_small_is_told() -> None:
    document = freezing(replace(HOUSE, room_g=5_000), HOUSE_PLAN)
    assert mind(document) == ("The freezer is too small by 15 g on Fri 5 Feb. Find room before you begin.",)
    assert facts(document)["free_g"] == 0


@pytest.mark.parametrize(("room_g", "warned"), [(5_015, False), (5_014, True)])
def test_a_freezer_just_large_enough_is_not_warned_of(room_g: int, warned: bool) -> None:
    assert bool(mind(freezing(replace(HOUSE, room_g=room_g), HOUSE_PLAN))) == warned


def test_there_are_no_lots_where_the_freezer_takes_all() -> None:
    assert not tables(freezing(HOUSE, HOUSE_PLAN), "lots")


def test_a_fast_freezer_freezes_all_in_one_lot() -> None:
    # 4631 g of bags, 42 g of trim and 172 g of liver left over; the kidney left over never thawed
    (table,) = tables(freezing(freezes(HOUSE, 4_845), HOUSE_PLAN), "lots")
    assert [str(cell) for cell in table.rows[0]] == [
        str(FILLED_ON),
        "2-7, 11, 13-19, 21-26",
        "172 g lamb liver, 42 g beef trim",
        "4845",
    ]
    assert len(table.rows) == 1


def test_what_cannot_wait_is_frozen_first_then_what_is_fed_last() -> None:
    # ten bags of 500 g after the first, 2500 g a day: bag 2 moves on the 6th, so it is frozen on the 5th, with the last
    scenario, plan = plain_bags([500] * 10, keeping=KEEPS_ONE)
    document = freezing(freezes(scenario, 2_500), plan)
    (table,) = tables(document, "lots")
    assert column(table, "bags") == ["2, 7-10", "3-6"]
    assert column(table, "day") == [FILLED_ON, day(0)]
    assert not mind(document)


def test_the_evenings_know_what_waits_in_the_refrigerator() -> None:
    scenario, plan = plain_bags([500] * 10, keeping=KEEPS_ONE)
    (table,) = tables(freezing(freezes(scenario, 2_500), plan), "evenings")
    # Friday five bags; Saturday four more, less bag 2; Sunday less bag 3, and so on
    assert column(table, "bags_g")[:4] == [2500, 4000, 3500, 3000]
    assert column(table, "refrigerator_g")[:3] == [2500, 500, 500]
    assert column(table, "mark")[1] == FULLEST


def test_bags_that_wait_too_long_are_told_with_the_remedy() -> None:
    # nine bags in lots of 1000 g: five days, but nothing waits longer than the second; sessions of two lots make three
    scenario, plan = plain_bags([500] * 10, keeping=KEEPS_ONE)
    (warning,) = mind(freezing(freezes(scenario, 1_000), plan))
    assert warning == (
        "The freezer is too slow: bags 3-7 would wait too long to be frozen. Fill the bags in at least 3 sessions "
        "on different days, and keep the rest of the meat frozen until then."
    )


@pytest.mark.parametrize("paper", [kitchen, portion_screen, counter_sheet])
def test_who_fills_bags_reads_first_what_freezes_too_slowly_and_what_to_keep_back(
    paper: Callable[[BagBook], Document],
) -> None:
    # bag 10 takes three days to thaw; at 1000 g a day it is not even frozen by then
    scenario, plan = plain_bags([500] * 9 + [4_600], keeping=KEEPS_ONE)
    document = paper(bag_book(freezes(scenario, 1_000), plan))
    first_table = next(place for place, block in enumerate(document.blocks) if isinstance(block, Table))
    told = [block.key for block in document.blocks[:first_table] if isinstance(block, Points)]
    assert [key for key in told if key in {"too_slow", "mind"}] == ["too_slow", "mind"]


def test_very_many_bags_that_wait_too_long_are_counted() -> None:
    # 23 bags after the first, one a day: bag 2 on the 5th and bag 24 on the 6th are in time
    scenario, plan = plain_bags([500] * 24, keeping=KEEPS_ONE)
    (warning,) = mind(freezing(freezes(scenario, 500), plan))
    assert warning.startswith("The freezer is too slow: 21 bags would wait too long")


def test_a_bag_larger_than_the_freezer_freezes_is_told_and_in_no_lot() -> None:
    scenario, plan = plain_bags([500, 500, 1_200], keeping=KEEPS_ONE)
    document = freezing(freezes(scenario, 1_000), plan)
    assert mind(document) == ("The freezer does not freeze bag 3 in one day. Make smaller bags.",)
    assert column(tables(document, "lots")[0], "bags") == ["2"]


def test_what_is_left_over_is_frozen_in_parts_that_fit() -> None:
    scenario, plan = plain_bags([500, 500], keeping=KEEPS_ONE)
    plan = replace(plan, leftovers=(b.a_leftover("beef trim", bought_g=1_300, on_hand_g=700),))
    # 1300 g are parts of 1000 and 300; bag 2 comes first, and the smaller part fits beside it
    (table,) = tables(freezing(freezes(scenario, 1_000), plan), "lots")
    assert column(table, "left_over") == ["300 g beef trim", "1 kg beef trim"]
    assert column(table, "bags") == ["2", ""]
    assert column(table, "weight_g") == [800, 1_000]


@pytest.mark.parametrize("seed", range(200))
def test_no_lot_is_more_than_the_freezer_freezes_and_nothing_is_lost(seed: int) -> None:
    chance = random.Random(seed)
    loads = [
        Load(chance.randint(50, 900), FILLED_ON + timedelta(chance.randint(0, 4)), day(place), place + 1)
        for place in range(chance.randint(0, 40))
    ]
    most_g = chance.randint(900, 5_000)
    made = lots(loads, most_g, FILLED_ON)
    assert all(lot.grams <= most_g for lot in made)
    assert sorted(one.number for lot in made for one in lot.loads) == [one.number for one in loads]
    assert [lot.day for lot in made] == [FILLED_ON + timedelta(days) for days in range(len(made))]
    # a lot is only begun when what begins it fits no earlier one
    for place, lot in enumerate(made[1:], start=1):
        assert all(earlier.grams + lot.loads[0].grams > most_g for earlier in made[:place])


@pytest.mark.parametrize("seed", range(50))
def test_a_bag_is_late_exactly_when_it_waits_longer_than_it_keeps_or_moves_before(seed: int) -> None:
    chance = random.Random(seed)
    scenario, plan = plain_bags([chance.randint(200, 900) for _ in range(14)], keeping=KEEPS_ONE)
    book, most_g = bag_book(scenario, plan), chance.randint(900, 6_000)
    every = {one.number: one for one in book.facts.cold.journeys}
    made = lots(loads_of(book.scenario, book.plan, tuple(every.values()), most_g), most_g, FILLED_ON)
    late = {one.number for lot in made for one in lot.late}
    for lot in made:
        for one in lot.loads:
            moves_on = every[one.number].moves_on
            assert moves_on is not None
            too_long = lot.day > FILLED_ON + timedelta(1) or lot.day >= moves_on
            assert (one.number in late) == too_long
    assert {number for number, one in every.items() if one.way is BagWay.FREEZER} == {
        one.number for lot in made for one in lot.loads
    }


def test_what_must_be_frozen_first_does_not_wait_if_its_days_would_then_be_missing() -> None:
    # fish, frozen seven days: bag 8 leaves the freezer on the 12th, so the 5th is its last day; bag 9 may wait a day,
    # and so may bag 7, which cannot be frozen so long anyhow
    fish = b.a_cut("herring fillet", species="herring", cautions=("raw-fish-parasites",))
    scenario, plan = plain_bags([500] * 9, cut=fish, keeping=KEEPS_ONE)
    book = bag_book(scenario, plan)
    latest = {one.number: one.latest for one in loads_of(book.scenario, book.plan, book.facts.cold.journeys, 9_000)}
    assert (latest[7], latest[8], latest[9]) == (day(0), FILLED_ON, day(0))


def test_a_bag_just_as_large_as_a_lot_is_frozen() -> None:
    scenario, plan = plain_bags([500, 1_000], keeping=KEEPS_ONE)
    document = freezing(freezes(scenario, 1_000), plan)
    assert not mind(document)
    assert column(tables(document, "lots")[0], "bags") == ["2"]


def test_sessions_are_counted_by_how_long_food_keeps() -> None:
    made = lots([Load(1_000, day(0), keeps_days=2)] * 7, 1_000, FILLED_ON)
    assert sessions_needed(made) == 3  # seven lots, three to a session
    assert sessions_needed(made[:1]) == 2


def test_pounds_are_told_where_people_read_pounds() -> None:
    scenario, plan = plain_bags([500] * 3, keeping=KEEPS_ONE)
    document = freezing(replace(freezes(scenario, 2_268), weight_unit="lb"), plan)
    assert tables(document, "lots")[0].title == "Freeze in lots of at most 5 lb a day"


def test_bags_without_time_to_thaw_are_never_counted_as_frozen() -> None:
    scenario, plan = plain_bags([500, 4_600], keeping=KEEPS_ONE)
    (table,) = tables(freezing(scenario, plan), "evenings")
    assert column(table, "bags_g") == [0, 0, 0]
    assert column(table, "refrigerator_g") == [5100, 4600, 0]


def test_a_plan_whose_bags_are_all_fresh_has_an_empty_freezer() -> None:
    scenario, plan = plain_bags([500], keeping=KEEPS_ONE)
    (table,) = tables(freezing(freezes(scenario, 1_000), plan), "evenings")
    assert column(table, "freezer_g") == [0, 0]
    assert not tables(freezing(freezes(scenario, 1_000), plan), "lots")
