"""The counter sheet leads from the empty counter to full bags, and everything on it adds up."""

from collections import Counter
from dataclasses import replace

from raworder.reporting.counter_sheet import CLEAN_DOWN
from raworder.trade.bags import Filling, Station
from raworder.trade.document import Facts, Paragraph, Points, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, TUBS, TUBS_PLAN, column, grams, tables
from tests.worked_out import counter_sheet

SHEET = counter_sheet(HOUSE, HOUSE_PLAN)
A_FILLING = "2 chicken necks, 40 g lamb liver, top up with beef trim to 500 g"
STATIONS = tables(SHEET, "stations")


def shown(table: Table) -> list[tuple[object, ...]]:
    """The rows as people see them."""
    places = [place for place, one in enumerate(table.columns) if one.shown]
    return [tuple(row[place] for place in places) for row in table.rows]


def station(scenario: Scenario, plan: Plan, place: int) -> list[tuple[object, ...]]:
    """The rows of one station."""
    return shown(tables(counter_sheet(scenario, plan), "stations")[place])


def test_bags_and_labels_are_counted() -> None:
    (facts,) = [block for block in SHEET.blocks if isinstance(block, Facts)]
    assert [(fact.key, fact.value) for fact in facts.items][1:] == [("bags", 26), ("labels", 26)]


def test_tubs_are_counted_where_there_are_any() -> None:
    (facts,) = [block for block in counter_sheet(TUBS, TUBS_PLAN).blocks if isinstance(block, Facts)]
    assert facts.items[-1].value == 2
    assert facts.items[-1].key == "tubs"


def test_bags_are_counted_by_size() -> None:
    # 125 g twelve times and 105 or 106 g seven times need 250 g; 500 g seven times need 500 g
    (table,) = tables(SHEET, "sizes")
    assert table.rows == ((250, 19), (500, 7))
    assert table.totals == (("together", 26),)


def test_sizes_are_half_pounds_where_people_read_pounds() -> None:
    # half a pound is 226.8 g: 125 g needs one, 500 g (1.10 lb) three, 680.4 g
    (table,) = tables(counter_sheet(replace(HOUSE, weight_unit="lb"), HOUSE_PLAN), "sizes")
    assert table.rows == ((227, 19), (680, 7))


def test_every_dog_is_told_with_its_bags_and_kinds() -> None:
    (table,) = tables(SHEET, "dogs")
    assert table.rows == (("Maple", 7, 2), ("Juniper", 12, 2), ("Sorrel", 7, 1))


def test_what_is_on_hand_is_half_thawed_the_evening_before_filling() -> None:
    (table,) = tables(SHEET, "half_thaw")
    assert [tuple(map(str, row)) for row in table.rows] == [
        ("beef kidney", "330", "500", "2027-01-10", "2027-02-04"),
    ]
    assert not tables(counter_sheet(TUBS, TUBS_PLAN), "half_thaw")


def test_each_phase_says_who_is_in_it_and_what_they_must_not_eat() -> None:
    first, second = tables(SHEET, "working_order")
    assert first.title == "Working order, phase 1 of 2: Juniper"
    assert first.note == "Juniper must not eat chicken neck."
    assert second.title == "Working order, phase 2 of 2: Maple and Sorrel"
    assert second.note == ""


def test_everything_is_cleaned_between_phases_and_between_species() -> None:
    first, second = tables(SHEET, "working_order")
    assert column(first, "to_do") == ["beef kidney", "beef trim"]
    assert column(second, "to_do") == [
        CLEAN_DOWN,
        "chicken neck",
        CLEAN_DOWN,
        "lamb liver",
        CLEAN_DOWN,
        "beef kidney",
        "beef trim",
        "beef trim",
    ]


def test_a_phase_that_goes_on_with_the_same_species_is_cleaned_before_too() -> None:
    plan = replace(HOUSE_PLAN, stations=(Station(1, "beef trim", (7,)), Station(2, "beef trim", (0,))))
    assert [column(table, "to_do") for table in tables(counter_sheet(HOUSE, plan), "working_order")] == [
        ["beef trim"],
        [CLEAN_DOWN, "beef trim"],
    ]


def test_what_the_stations_put_in_is_what_every_dog_eats() -> None:
    eaten: Counter[tuple[object, object]] = Counter()
    for table in STATIONS:
        for dog, cut, total_g in zip(column(table, "dog"), column(table, "cut"), column(table, "total_g"), strict=True):
            eaten[dog, cut] += int(str(total_g))
    assert eaten == {(one.dog, one.cut): one.batch_g for one in HOUSE_PLAN.portions}


def test_every_station_is_a_table_whose_bags_are_counted() -> None:
    assert [grams(table, "bag_count") for table in STATIONS] == [len(one.bags) for one in HOUSE_PLAN.stations]


def test_what_is_left_of_a_cut_is_counted_down_to_what_is_left_over() -> None:
    # kidney: 330 taken, 150 and 180 fed; trim: 4500 bought, 750 + 600, 701, 2407 fed; liver: 400 bought, 228 fed
    left = [column(table, "left_g") for table in STATIONS]
    assert left == [[180], [3750, 3150], [120, 0], [240, 207, 172], [0], [2550, 2449], [742, 42]]
    assert [table.note for table in STATIONS] == [
        "",
        "",
        "Nothing is left.",
        "Left over: 172 g, back to the freezer.",
        "Nothing is left.",
        "As the veterinarian gave it, Sorrel: use a scale that shows 1 g.",
        "Left over: 42 g, back to the freezer.",
    ]


def test_a_gram_left_over_is_told_as_it_is_on_the_shopping_list() -> None:
    plan = replace(
        HOUSE_PLAN, leftovers=(b.a_leftover("lamb liver", bought_g=1), b.a_leftover("beef trim", bought_g=2))
    )
    notes = [table.note for table in tables(counter_sheet(replace(HOUSE, weight_unit="lb"), plan), "stations")]
    assert (notes[3], notes[6]) == (
        "Left over: 0.04 oz, back to the freezer.",
        "Left over: 0.1 oz, back to the freezer.",
    )
    notes = [table.note for table in tables(counter_sheet(HOUSE, plan), "stations")]
    assert notes[3] == "Left over: 1 g, back to the freezer."


def test_pieces_are_counted_and_summed_in_the_title() -> None:
    assert STATIONS[2].title == "Clean down, then step 3: chicken neck, 12 pieces, 720 g"
    assert shown(STATIONS[2]) == [
        ("Maple", "A", "1-2, 4-5, 7", "2 pieces", 5, 600, 120),
        ("Maple", "B", "3, 6", "1 piece", 2, 120, 0),
    ]


def test_every_step_says_whether_to_clean_down_first_as_the_working_order_does() -> None:
    order = [cell for table in tables(SHEET, "working_order") for cell in column(table, "to_do")]
    due = [order[place - 1] == CLEAN_DOWN for place, cell in enumerate(order) if cell != CLEAN_DOWN]
    assert [table.title.startswith("Clean down, then step ") for table in STATIONS] == due
    assert due == [False, False, True, True, True, False, False]


def test_the_last_bag_of_a_kind_may_take_another_weight() -> None:
    assert shown(STATIONS[3]) == [
        ("Maple", "A", "1-2, 4-5", "40 g", 4, 160, 240),
        ("Maple", "A", "7", "about 33 g", 1, 33, 207),
        ("Sorrel", "A", "20-26", "5 g", 7, 35, 172),
    ]


def test_a_gram_more_in_a_bag_of_a_dog_in_care_is_no_rest() -> None:
    assert column(STATIONS[5], "each") == ["100 g", "101 g"]


def test_what_empties_the_counter_is_the_rest() -> None:
    plan = replace(HOUSE_PLAN, stations=(HOUSE_PLAN.stations[3],), leftovers=())
    bags = (*HOUSE_PLAN.stations[3].bags[5:], *HOUSE_PLAN.stations[3].bags[:5])  # Sorrel first, Maple's last bag last
    plan = replace(plan, stations=(Station(1, "lamb liver", bags),))
    assert [row[3] for row in station(HOUSE, plan, 0)] == ["5 g", "40 g", "the rest, about 33 g"]


def test_several_bags_that_empty_the_counter_get_an_amount_each() -> None:
    # step 5 is all of the kidney that is left, 90 g into each of two bags
    assert shown(STATIONS[4]) == [("Maple", "B", "3, 6", "90 g", 2, 180, 0)]


def test_a_veterinarians_amount_is_never_the_rest() -> None:
    plan = replace(HOUSE_PLAN, stations=(Station(1, "beef trim", (*range(7, 19), *range(7), *range(19, 26))),))
    plan = replace(plan, leftovers=())
    assert [row[3] for row in station(HOUSE, plan, 0)][-1] == "101 g"


def test_an_amount_between_the_steps_of_the_scale_is_told_with_about() -> None:
    scenario = replace(HOUSE, portioning=replace(HOUSE.portioning, scale_step_g=50))
    sheet = counter_sheet(scenario, HOUSE_PLAN)
    assert column(tables(sheet, "stations")[6], "each") == ["top up to 500 g"] * 2
    assert column(tables(sheet, "stations")[1], "each") == ["fill to about 125 g", "top up to about 125 g"]
    how = next(block for block in sheet.blocks if isinstance(block, Points) and block.key == "how")
    assert how.items[-1] == "`About`: the scale shows steps of 50 g; the nearest is near enough."


def test_the_scale_shows_ounces_where_people_read_pounds() -> None:
    each = column(tables(counter_sheet(replace(HOUSE, weight_unit="lb"), HOUSE_PLAN), "stations")[3], "each")
    assert each == ["1.4 oz", "about 1.2 oz", "0.2 oz"]


def test_bags_are_topped_up_to_their_weight_whatever_the_last_one_took() -> None:
    # 4 x 340 + 347 = 1707
    assert shown(STATIONS[6]) == [
        ("Maple", "A", "1-2, 4-5, 7", "top up to 500 g", 5, 1707, 742),
        ("Maple", "B", "3, 6", "top up to 500 g", 2, 700, 42),
    ]
    assert column(STATIONS[1], "each") == ["fill to 125 g", "top up to 125 g"]


def test_bags_of_a_kind_that_weigh_differently_stand_on_lines_of_their_own() -> None:
    bags = tuple(
        b.a_bag((Filling("lamb liver", 50), Filling("beef trim", trim_g)), day=place)
        for place, trim_g in enumerate((450, 460, 450))
    )
    plan = b.a_plan(
        portions=b.portions_g({"Maple": {"beef trim": 1_360, "lamb liver": 150}}),
        bags=bags,
        stations=(Station(1, "lamb liver", (0, 1, 2)), Station(1, "beef trim", (0, 1, 2))),
    )
    scenario = b.a_scenario(days=3, dogs=(b.a_dog(days=3),), cuts=(b.TRIM, b.LIVER))
    assert station(scenario, plan, 1) == [
        ("Maple", "A", "1, 3", "top up to 500 g", 2, 900, 460),
        ("Maple", "A", "2", "top up to 510 g", 1, 460, 0),
    ]
    (kinds,) = tables(counter_sheet(scenario, plan), "kinds")
    assert column(kinds, "filling") == [
        "50 g lamb liver, top up with beef trim to its weight in the bag list, give or take 25 g"
    ]


def test_every_bag_unlike_the_first_is_told_apart() -> None:
    bags = tuple(
        b.a_bag((Filling("lamb liver", liver_g), Filling("beef trim", 400)), day=place)
        for place, liver_g in enumerate((50, 45, 150))
    )
    plan = b.a_plan(
        portions=b.portions_g({"Maple": {"beef trim": 1_200, "lamb liver": 245}}),
        bags=bags,
        stations=(Station(1, "lamb liver", (0, 1, 2)),),
    )
    scenario = b.a_scenario(days=3, dogs=(b.a_dog(days=3),), cuts=(b.TRIM, b.LIVER))
    assert [row[3] for row in station(scenario, plan, 0)] == ["50 g", "45 g", "the rest, 150 g"]
    # 5 % of 445 g is 22.25 g, of 550 g 27.5 g: the least holds for all bags of the kind
    (kinds,) = tables(counter_sheet(scenario, plan), "kinds")
    assert column(kinds, "give_or_take_g") == [22]
    told = "give or take 22 g; but bag 2: 45 g lamb liver; but bag 3: 150 g lamb liver"
    assert str(column(kinds, "filling")[0]).endswith(told)


def test_every_kind_of_bag_is_told_with_its_filling() -> None:
    (table,) = tables(SHEET, "kinds")
    assert shown(table) == [
        (
            "Maple",
            "A",
            5,
            f"{A_FILLING}, give or take 25 g; but bag 7: 33 g lamb liver",
        ),
        ("Maple", "B", 2, "1 chicken neck, 90 g beef kidney, top up with beef trim to 500 g, give or take 25 g"),
        ("Juniper", "A", 6, "fill with beef trim to 125 g, give or take 6 g"),
        ("Juniper", "B", 6, "25 g beef kidney, top up with beef trim to 125 g, give or take 6 g"),
        ("Sorrel", "A", 7, "100 g beef trim, 5 g lamb liver; but bag 26: 101 g beef trim"),
    ]
    assert column(table, "give_or_take_g") == [25, 25, 6, 6, None]


def test_a_mix_is_made_right_before_its_first_bags_and_takes_from_its_cuts() -> None:
    sheet = counter_sheet(TUBS, TUBS_PLAN)
    (order,) = tables(sheet, "working_order")
    assert column(order, "to_do") == ["chicken neck", CLEAN_DOWN, "make mix 1: 2 tubs, see the batch cards", "mix 1"]
    texts = [block.text for block in sheet.blocks if isinstance(block, Paragraph)]
    assert "Clean down, then step 2: make mix 1, 1 kg in 2 tubs. Follow the batch cards." in texts
    assert column(tables(sheet, "stations")[1], "left_g") == [500, 0]


def test_a_cut_that_is_also_in_a_mix_counts_down_to_what_is_left_over() -> None:
    # 1000 g of trim: 901 into the mix, then 50 into a bag of a third dog, 49 are left
    sorrel = b.a_bag((Filling("beef trim", 50),), dog="Sorrel", topped_up="")
    scenario = replace(TUBS, dogs=(*TUBS.dogs, b.a_dog_in_care("Sorrel", {"beef trim": 50}, days=2)))
    plan = replace(
        TUBS_PLAN,
        portions=(*TUBS_PLAN.portions, b.a_portion("Sorrel", "beef trim", 50)),
        leftovers=(b.a_leftover("beef trim", bought_g=49),),
        bags=(*TUBS_PLAN.bags, sorrel),
        stations=(*TUBS_PLAN.stations, Station(1, "beef trim", (4,))),
    )
    assert station(scenario, plan, 2) == [("Sorrel", "A", "5", "50 g", 1, 50, 49)]


def test_the_full_bags_go_where_the_thaw_plan_has_them() -> None:
    (table,) = tables(SHEET, "where_to")
    assert table.rows == (
        ("refrigerator", "1, 8-10, 12, 20", 6),
        ("freezer, see the freezing sheet", "2-7, 11, 13-19, 21-26", 20),
    )


def test_the_cautions_come_first_with_their_sources() -> None:
    cautions = SHEET.blocks[0]
    assert isinstance(cautions, Points)
    assert "at most 2 hours" in cautions.items[1]
    assert any("Safe thawing practices" in source for source in cautions.sources)
