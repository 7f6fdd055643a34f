"""What is asked at the scale names the bag and what to put in, and says when to clean down."""

from dataclasses import replace

import pytest

from raworder.reporting.counter_sheet import CLEAN_DOWN, progress_text
from raworder.trade.bags import NextWeighing
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, column, tables
from tests.worked_out import counter_sheet, station_head, weighing_question

CLEAN = "Clean down: boards, knives, scale, hands.\n"
HEADS = [station_head(HOUSE, HOUSE_PLAN, place) for place in range(7)]


def test_a_station_is_told_with_its_weight_and_bags() -> None:
    assert HEADS[0] == "\nbeef kidney: 150 g into 6 bags\n"
    one = replace(HOUSE_PLAN.stations[0], bags=(8,))
    assert station_head(HOUSE, replace(HOUSE_PLAN, stations=(one,)), 0) == "\nbeef kidney: 25 g into 1 bag\n"


def test_it_is_cleaned_before_another_species_and_before_another_phase() -> None:
    assert [CLEAN in head for head in HEADS] == [False, False, True, True, True, False, False]


def test_it_is_cleaned_where_the_counter_sheet_says_so() -> None:
    order = [
        cell for table in tables(counter_sheet(HOUSE, HOUSE_PLAN), "working_order") for cell in column(table, "to_do")
    ]
    due = [order[place - 1] == CLEAN_DOWN for place, cell in enumerate(order) if cell != CLEAN_DOWN]
    assert [CLEAN in head for head in HEADS] == due


def test_pounds_are_told_where_people_read_pounds() -> None:
    # 150 / 28.3495 = 5.29 oz
    assert station_head(replace(HOUSE, weight_unit="lb"), HOUSE_PLAN, 0) == "\nbeef kidney: 5.3 oz into 6 bags\n"


@pytest.mark.parametrize(
    ("due", "said"),
    [
        (
            NextWeighing(3, 0, "Maple", "lamb liver", planned_g=40, target_g=38),
            "  bag 1 Maple Sat 6 Feb A: put in 38 g > ",
        ),
        (
            NextWeighing(2, 0, "Maple", "chicken neck", planned_g=120, target_g=120, pieces=2),
            "  bag 1 Maple Sat 6 Feb A: 2 x chicken neck, about 120 g > ",
        ),
        (
            NextWeighing(6, 6, "Maple", "beef trim", planned_g=347, target_g=350, bag_to_g=500),
            "  bag 7 Maple Fri 12 Feb A: put in 350 g, the bag then weighs 500 g > ",
        ),
        (
            NextWeighing(0, 8, "Juniper", "beef kidney", planned_g=25, target_g=25),
            "  bag 9 Juniper Sat 6 Feb meal 2 B: put in 25 g > ",
        ),
    ],
)
def test_a_bag_is_asked_for_by_number_dog_day_and_kind(due: NextWeighing, said: str) -> None:
    assert weighing_question(HOUSE, HOUSE_PLAN, due) == said


def test_how_far_it_has_come_is_told() -> None:
    assert progress_text(3, 51) == "\n3 of 51 weighings are done; the same command goes on here.\n"
    assert progress_text(51, 51).startswith("\nAll 51 weighings are done.\nInto the book: raworder enter ")
