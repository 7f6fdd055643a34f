"""The bag list holds every bag once, for people and for programs."""

from collections import Counter
from dataclasses import replace

from raworder.reporting.bag_list import IN_CARE
from raworder.trade.bags import Filling
from raworder.trade.document import Points, Table
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, TUBS, TUBS_PLAN, column, grams, tables
from tests.worked_out import bag_list

LIST = bag_list(HOUSE, HOUSE_PLAN)
DOGS = [block for block in LIST.blocks if isinstance(block, Table) and not block.key]
(ALL,) = tables(LIST, "bags")


def test_every_bag_is_told_once_by_its_place_in_the_plan() -> None:
    numbers = [number for table in DOGS for number in column(table, "bag")]
    assert numbers == list(range(1, 27))
    assert [day for table in DOGS for day in column(table, "day")] == [bag.day for bag in HOUSE_PLAN.bags]


def test_the_weights_of_a_dog_add_up_to_what_it_eats() -> None:
    assert [grams(table, "weight_g") for table in DOGS] == [3500, 1500, 736]
    assert [table.totals[0][4] for table in DOGS] == [3500, 1500, 736]


def test_every_kind_is_told_once_before_the_bags_of_a_dog() -> None:
    told = {block.title: block.items for block in LIST.blocks if isinstance(block, Points)}
    assert told == {
        "Maple, 7 bags": (
            "A: 2 chicken necks, 40 g lamb liver, top up with beef trim to 500 g",
            "B: 1 chicken neck, 90 g beef kidney, top up with beef trim to 500 g",
        ),
        "Juniper, 12 bags": (
            "A: fill with beef trim to 125 g",
            "B: 25 g beef kidney, top up with beef trim to 125 g",
        ),
        "Sorrel, 7 bags": ("A: 100 g beef trim, 5 g lamb liver",),
    }


def test_only_a_bag_unlike_the_first_of_its_kind_has_a_note() -> None:
    # 193 g of liver: four bags of 40 g and 33 g in the last; of 701 g of trim the last of Sorrel's bags has a gram more
    assert column(DOGS[0], "note") == [*[""] * 6, "33 g lamb liver"]
    assert column(DOGS[1], "note") == [""] * 12
    assert column(DOGS[2], "note") == [*[""] * 6, "101 g beef trim"]
    assert [{one.key: one.shown for one in table.columns}["note"] for table in DOGS] == [True, False, True]


def test_bags_of_a_kind_that_weigh_differently_are_topped_up_to_their_own_weight() -> None:
    lighter = replace(HOUSE_PLAN.bags[0], fillings=(*HOUSE_PLAN.bags[0].fillings[:2], Filling("beef trim", 330)))
    document = bag_list(HOUSE, replace(HOUSE_PLAN, bags=(lighter, *HOUSE_PLAN.bags[1:])))
    kinds = next(block for block in document.blocks if isinstance(block, Points))
    assert kinds.items[0] == "A: 2 chicken necks, 40 g lamb liver, top up with beef trim to its weight below"


def test_the_actual_weight_is_left_blank() -> None:
    assert {cell for table in DOGS for cell in column(table, "actual")} == {None}


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
    titles = [block.title for block in bag_list(HOUSE, plan).blocks if isinstance(block, Points)]
    assert titles == ["Maple, 7 bags", "Sorrel, 7 bags"]
