"""The bag list holds every bag once, for people and for programs."""

from collections import Counter
from dataclasses import replace

from raworder.document import Table
from raworder.reporting.bag_list import IN_CARE, bag_list
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, TUBS, TUBS_PLAN, column, grams, tables

LIST = bag_list(HOUSE, HOUSE_PLAN)
DOGS = [block for block in LIST.blocks if isinstance(block, Table) and not block.key]
(ALL,) = tables(LIST, "bags")


def test_every_bag_is_told_once_by_its_place_in_the_plan() -> None:
    numbers = [number for table in DOGS for number in column(table, "bag")]
    assert numbers == list(range(1, 27))
    assert [day for table in DOGS for day in column(table, "day")] == [bag.day for bag in HOUSE_PLAN.bags]


def test_the_weights_of_a_dog_add_up_to_what_it_eats() -> None:
    assert [grams(table, "weight_g") for table in DOGS] == [3500, 1500, 736]
    assert [table.totals[0][5] for table in DOGS] == [3500, 1500, 736]


def test_the_actual_weight_is_left_blank() -> None:
    assert {cell for table in DOGS for cell in column(table, "actual")} == {""}


def test_meals_are_shown_only_where_there_are_several() -> None:
    shown = [{one.key: one.shown for one in table.columns}["meal"] for table in DOGS]
    assert shown == [False, True, False]
    assert column(DOGS[1], "meal")[:4] == [1, 2, 1, 2]


def test_a_dog_in_care_gets_what_the_veterinarian_gave() -> None:
    assert [table.note for table in DOGS] == ["", "", IN_CARE]


def test_a_day_away_has_no_bag() -> None:
    assert "2027-02-09" not in {str(day) for day in column(DOGS[1], "day")}
    assert "2027-02-09" in {str(day) for day in column(DOGS[0], "day")}


def test_programs_get_every_filling_on_a_line() -> None:
    assert not ALL.shown
    assert len(ALL.rows) == 7 * 3 + 6 * 1 + 6 * 2 + 7 * 2
    eaten: Counter[tuple[object, object]] = Counter()
    for dog, cut, weight_g in zip(column(ALL, "dog"), column(ALL, "cut"), column(ALL, "weight_g"), strict=True):
        eaten[dog, cut] += int(str(weight_g))
    assert eaten == {(one.dog, one.cut): one.batch_g for one in HOUSE_PLAN.portions}
    assert grams(ALL, "pieces") == 12


def test_a_mix_is_told_by_its_name() -> None:
    (all_,) = tables(bag_list(TUBS, TUBS_PLAN), "bags")
    assert column(all_, "cut") == ["chicken neck", "mix 1"] * 4


def test_weights_stay_whole_grams_where_people_read_pounds() -> None:
    document = bag_list(replace(HOUSE, weight_unit="lb"), HOUSE_PLAN)
    assert document.weight_unit == "lb"
    assert tables(document, "bags")[0].rows == ALL.rows


def test_a_dog_that_eats_nothing_has_no_table() -> None:
    plan = replace(HOUSE_PLAN, bags=tuple(bag for bag in HOUSE_PLAN.bags if bag.dog != "Juniper"))
    titles = [table.title for table in bag_list(HOUSE, plan).blocks if isinstance(table, Table) and not table.key]
    assert titles == ["Maple, 7 bags", "Sorrel, 7 bags"]
