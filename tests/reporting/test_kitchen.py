"""The kitchen page: what goes into which kind of bag adds up to what is fed, in working order.

**Source:** arithmetic on bags filled by hand; the sums stand beside the samples.
"""

from dataclasses import replace

from raworder.reporting.bag_book import LAST_BAG_OFF, one_weight_g
from raworder.reporting.kitchen import LAST_BAG, MOST_ACROSS, WASH
from raworder.trade.bags import Bag, Filling, Portioning, Station
from raworder.trade.document import Column, Document, Points, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, TUBS, TUBS_PLAN, plain_bags
from tests.worked_out import bag_book, kitchen

PAPER = kitchen(HOUSE, HOUSE_PLAN)


def tables(document: Document) -> list[Table]:
    return [block for block in document.blocks if isinstance(block, Table)]


def points(document: Document, key: str) -> tuple[str, ...]:
    return next(block.items for block in document.blocks if isinstance(block, Points) and block.key == key)


def heads(columns: tuple[Column, ...]) -> list[tuple[str, str]]:
    return [(one.heading, one.under) for one in columns]


def test_kinds_stand_across_with_their_weight_and_numbers_and_cuts_down_in_working_order() -> None:
    first, second = tables(PAPER)
    assert first.title == "Part 1 of 2: Juniper"
    assert heads(first.columns) == [
        ("Cut", ""),
        ("Juniper A", "6 bags, 125 g: 8, 10, 12, 14, 16, 18"),
        ("Juniper B", "6 bags, 125 g: 9, 11, 13, 15, 17, 19"),
        ("In all", ""),
    ]
    assert first.rows == (
        ("beef kidney", None, "25 g", "150 g"),
        ("beef trim: fill up to", "125 g", "125 g", "1.35 kg"),
    )
    assert second.title == f"{WASH}. Part 2 of 2: Maple and Sorrel"
    assert [row[0] for row in second.rows] == [
        "chicken neck",
        "lamb liver",
        "beef kidney",
        "beef trim",
        "beef trim: fill up to",
    ]


def test_a_cut_that_fills_up_some_bags_and_is_weighed_into_others_has_two_rows() -> None:
    rows = tables(PAPER)[1].rows
    assert rows[3] == ("beef trim", None, None, "100 g", "701 g")
    assert rows[4] == ("beef trim: fill up to", "500 g", "500 g", None, "2.407 kg")


def test_pieces_are_counted() -> None:
    assert tables(PAPER)[1].rows[0] == ("chicken neck", "2 necks", "1 neck", None, "12 necks")


def test_washing_is_a_rule_between_the_rows_where_the_species_change() -> None:
    # from neck to lamb liver, from lamb to beef; the first row of a part is washed for in its title
    assert tables(PAPER)[1].between == ((1, f"{WASH}."), (2, f"{WASH}."))
    assert tables(PAPER)[0].between == ()


def test_one_sentence_stands_for_all_last_bags_and_none_where_all_are_alike() -> None:
    assert LAST_BAG in points(PAPER, "notes")  # the last bag of Maple A has 33 g of liver in place of 40
    assert LAST_BAG not in points(kitchen(TUBS, TUBS_PLAN), "notes")


def test_who_must_not_eat_what_stands_under_its_part() -> None:
    assert tables(PAPER)[0].note == "Juniper must not eat chicken neck."


def weights(grams: list[int], step_g: int = 5) -> tuple[Bag, ...]:
    return tuple(b.a_bag((Filling("beef trim", weight),), topped_up="beef trim") for weight in grams)


def test_a_kind_has_the_one_weight_that_leaves_its_last_bag_nearest() -> None:
    # 555 x 5 + 560 x 3 + 556 = 5011; 9 x 555 = 4995, so that the last bag takes 16 g more
    assert one_weight_g(weights([555] * 5 + [560] * 3 + [556]), 5) == 555
    assert one_weight_g(weights([500] * 7), 5) == 500


def test_a_kind_whose_last_bag_would_be_far_off_has_no_one_weight() -> None:
    # 280 x 18 + 270 x 9 + 281 = 7751; 28 x 280 = 7840, and 89 g are more than a tenth of 280
    assert one_weight_g(weights([280] * 18 + [270] * 9 + [281]), 10) is None
    # ten bags of 100 g and one of 110 to 111 g, to be filled in steps of 100 g: 10 g over are a tenth, 11 g are more
    assert one_weight_g(weights([100] * 10 + [100 + int(LAST_BAG_OFF * 100)]), 100) == 100
    assert one_weight_g(weights([100] * 10 + [101 + int(LAST_BAG_OFF * 100)]), 100) is None


def test_the_bags_of_a_growing_dog_are_not_made_alike() -> None:
    assert one_weight_g(weights([300, 400, 500, 600]), 5) is None
    assert one_weight_g(weights([500, 506, 500, 494]), 5) is None
    assert one_weight_g(weights([500, 505, 500, 495]), 5) == 500


def test_what_a_veterinarian_gave_is_never_evened_out() -> None:
    bags = tuple(replace(bag, topped_up="") for bag in weights([100, 101]))
    assert one_weight_g(bags, 5) is None


def test_a_bag_weighs_the_same_wherever_it_is_asked() -> None:
    book = bag_book(*plain_bags([555, 560, 556]))
    assert [book.weight_g(bag) for bag in book.plan.bags] == [555] * 3  # 1671 / 3 = 557


def test_other_weights_are_footnotes() -> None:
    scenario, plan = plain_bags([280] * 18 + [270] * 9)
    scenario = replace(scenario, portioning=Portioning(scale_step_g=10))
    document = kitchen(scenario, plan)
    (table,) = tables(document)
    assert table.columns[1].under.startswith("27 bags, 280 g*: ")
    assert table.rows == (("beef trim: fill up to", "280 g*", "7.47 kg"),)
    assert "* Maple A: but bags 19-27 270 g." in points(document, "notes")
    rising = kitchen(*plain_bags([300, 400, 500, 600]))
    assert "* Maple A: 300 g to 600 g, as its labels say." in points(rising, "notes")


def test_tubs_have_the_empty_tub_first_and_what_the_scale_shows() -> None:
    tubs, bags = tables(kitchen(TUBS, TUBS_PLAN))
    assert tubs.title == "mix 1, 1 kg in 2 tubs: for Maple and Fern alone"
    # 451 and 450 g are both shown as 450 g in steps of 5 g, so that the tubs are alike
    assert heads(tubs.columns)[1:] == [("Tubs 1-2", "500 g"), ("In all", "")]
    assert tubs.rows == (("beef trim", "450 g", "901 g"), ("lamb liver", "500 g", "99 g"))
    fine = replace(TUBS, portioning=replace(TUBS.portioning, scale_step_g=1))
    unlike = tables(kitchen(fine, TUBS_PLAN))[0]
    assert unlike.rows == (("beef trim", "451 g", "450 g", "901 g"), ("lamb liver", "500 g", "500 g", "99 g"))
    assert tubs.note.startswith("Set the scale to 0 with the empty tub on it.")
    assert bags.rows[-1] == ("mix 1: fill up to", "310 g", "310 g", "1 kg")


def many_kinds() -> tuple[Scenario, Plan]:
    dogs = tuple(b.a_dog(f"dog {number}", days=1) for number in range(MOST_ACROSS + 1))
    fillings = (Filling("lamb liver", 20), Filling("beef trim", 480))
    bags = tuple(b.a_bag(fillings, dog=dog.name) for dog in dogs)
    places = tuple(range(len(bags)))
    stations = (Station(1, "lamb liver", places), Station(1, "beef trim", places))
    portions = b.portions_g({dog.name: {"lamb liver": 20, "beef trim": 480} for dog in dogs})
    plan = b.a_plan(portions=portions, bags=bags, stations=stations)
    return b.a_scenario(days=1, dogs=dogs, cuts=(b.TRIM, b.LIVER)), plan


def test_many_kinds_stand_down_the_page_and_cuts_across() -> None:
    (table,) = tables(kitchen(*many_kinds()))
    assert heads(table.columns) == [
        ("Dog and kind", ""),
        ("Bags", ""),
        ("lamb liver", ""),
        ("beef trim: fill up to", "wash first"),
    ]
    assert table.rows[0] == ("dog 0 A", "1", "20 g", "500 g")
    assert table.totals == (("in all", None, "180 g", "4.32 kg"),)


def test_where_the_bags_go_is_said_at_the_end() -> None:
    assert points(PAPER, "then") == (
        "Straight to the refrigerator: bags 1, 8, 9, 10, 12 and 20.",
        "All others into the freezer, thin and flat; what is fed last goes in first.",
        "Left over, back to the freezer: 42 g of beef trim and 172 g of lamb liver.",
    )


def test_a_bag_without_time_to_freeze_and_thaw_is_kept_back() -> None:
    # 4600 g take three days to thaw and are fed two days after they were filled
    document = kitchen(*plain_bags([500, 4_600], keeping=()))
    assert points(document, "mind")[0].startswith("No time to freeze and thaw bag 2: ")
    assert points(document, "then")[-1] == "Keep back, as said above: bag 2."


def test_what_is_too_slow_to_freeze_at_once_is_frozen_day_by_day() -> None:
    slow = replace(HOUSE, portioning=replace(HOUSE.portioning, freezes_g=2_500))
    told = [item for item in points(kitchen(slow, HOUSE_PLAN), "then") if item.startswith("Freeze on")]
    book = bag_book(slow, HOUSE_PLAN)
    assert len(told) == len(book.facts.cold.lots) > 1
    assert told[0].startswith("Freeze on Fri 5 Feb: ")


def test_the_page_of_some_dogs_is_about_their_bags_alone() -> None:
    from raworder.reporting.kitchen import kitchen as page

    (table,) = tables(page(bag_book(HOUSE, HOUSE_PLAN).of_dogs(["Sorrel"])))
    assert heads(table.columns)[1] == ("Sorrel A", "7 bags, 105 g*: 20-26")
    assert table.rows == (("lamb liver", "5 g", "35 g"), ("beef trim", "100 g", "701 g"))


def test_pounds_stand_alone_where_they_are_asked_for() -> None:
    document = kitchen(replace(HOUSE, weight_unit="lb"), HOUSE_PLAN)
    assert " g" not in str([table.rows for table in tables(document)])
    assert "0.9 oz" in str(tables(document)[0].rows)


def test_a_mix_is_made_in_its_part_after_washing_and_before_its_bags() -> None:
    book = bag_book(TUBS, TUBS_PLAN)
    apart = replace(TUBS_PLAN, stations=(Station(1, "chicken neck", (0, 1)), Station(2, "mix 1", (0, 1, 2, 3))))
    titles = [table.title for table in tables(kitchen(TUBS, apart))]
    assert titles == [
        "Part 1 of 2: Maple",
        f"{WASH}. Part 2 of 2: Maple and Fern. mix 1, 1 kg in 2 tubs: for Maple and Fern alone",
        f"{WASH}.",
    ]
    assert len(book.plan.mixes) == 1


def test_pieces_and_grams_of_one_cut_are_both_told() -> None:
    scenario, plan = plain_bags([500, 500])
    bags = (
        replace(plan.bags[0], fillings=(Filling("chicken neck", 120, 2), Filling("beef trim", 380))),
        replace(plan.bags[1], kind="B", fillings=(Filling("chicken neck", 40), Filling("beef trim", 460))),
    )
    stations = (Station(1, "chicken neck", (0, 1)), Station(1, "beef trim", (0, 1)))
    scenario = replace(scenario, cuts=(b.NECK, b.TRIM))
    portions = b.portions_g({"Maple": {"chicken neck": 160, "beef trim": 840}})
    (table,) = tables(kitchen(scenario, b.a_plan(portions=portions, bags=bags, stations=stations)))
    assert table.rows[0] == ("chicken neck", "2 necks", "40 g", "2 necks and 40 g")


def test_whose_food_is_to_half_thaw_is_told_and_nothing_where_nothing_is_frozen() -> None:
    owned = replace(HOUSE, on_hand=tuple(replace(lot, owner="Ada") for lot in HOUSE.on_hand))
    assert "330 g of Ada's beef kidney" in str(kitchen(owned, HOUSE_PLAN).blocks[0])
    nothing = replace(HOUSE_PLAN, lots_used=(), lines=())
    assert "half-thaw" not in str(kitchen(HOUSE, nothing).blocks[0])
