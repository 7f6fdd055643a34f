"""The portioning list gives whole grams that add up."""

import random
from dataclasses import replace
from fractions import Fraction

import pytest

from raworder.rendering.terminal import terminal
from raworder.reporting.portions import balance, portioning_list, portions_at_a_glance
from raworder.trade.as_fed import as_fed
from raworder.trade.document import Document, Table
from raworder.trade.dogs import OtherFood
from raworder.trade.plan import Plan, Portion
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN


def portion_tables(document: Document) -> list[Table]:
    """The tables that people weigh out by."""
    return [block for block in document.blocks if isinstance(block, Table) and not block.key]


def test_every_dog_has_a_table_with_its_owner_and_days() -> None:
    titles = [table.title for table in portion_tables(portioning_list(HOUSEHOLD, HOUSEHOLD_PLAN))]
    assert titles == ["Maple (Ines), 14 days", "Juniper (Tomas), 13 days", "Sorrel (Ines), 14 days"]


def test_grams_a_day_and_over_the_batch_stand_side_by_side() -> None:
    # 2140 / 14 is 152.86, 4020 / 14 is 287.14, 770 / 14 is 55, 385 / 14 is 27.5 twice: 550 together
    maple = portion_tables(portioning_list(HOUSEHOLD, HOUSEHOLD_PLAN))[0]
    assert [row[:3] for row in maple.rows] == [
        ("chicken neck", 153, 2140),
        ("beef trim", 287, 4020),
        ("beef heart", 55, 770),
        ("lamb liver", 28, 385),
        ("beef kidney", 27, 385),
    ]
    assert [row[:3] for row in maple.totals] == [("together", 550, 7700)]


def test_dogs_fed_alike_share_a_table_that_says_how_much_they_eat_together() -> None:
    scenario = b.a_scenario(dogs=(b.a_dog(owner="Ines"), b.a_dog("Juniper"), b.a_dog("Sorrel", days=7)))
    plan = b.a_plan(portions=(b.a_portion(), b.a_portion("Juniper"), b.a_portion("Sorrel", batch_g=3_500)))
    alike, alone = portion_tables(portioning_list(scenario, plan))
    assert alike.title == "Maple (Ines) and Juniper, each 14 days"
    assert alike.rows == (("beef trim", 500, 7000, 14_000),)
    assert alike.columns[3].heading == "All 2 dogs"
    assert alone.rows == (("beef trim", 500, 3500),)


def test_programs_get_every_dog_in_one_table() -> None:
    (hidden,) = [
        block
        for block in portioning_list(HOUSEHOLD, HOUSEHOLD_PLAN).blocks
        if isinstance(block, Table) and not block.shown
    ]
    assert [(row[0], row[2], row[4]) for row in hidden.rows] == [
        (portion.dog, portion.cut, portion.batch_g) for portion in HOUSEHOLD_PLAN.portions
    ]


def test_an_ounce_ration_adds_up() -> None:
    # A 40 lb dog at 3 % a day eats 1.2 lb, 544 g to the whole gram. Common practice, no source.
    scenario = b.a_scenario(dogs=(b.a_dog(weight_g=18_144, daily_g="54431/100"),), weight_unit="lb")
    plan = b.a_plan(portions=(b.a_portion(batch_g=7_620),))
    (table,) = portion_tables(portioning_list(scenario, plan))
    assert table.totals[0][1:3] == (544, 7620)


def test_a_dog_in_care_is_told_to_get_what_the_veterinarian_gave() -> None:
    sorrel = portion_tables(portioning_list(HOUSEHOLD, HOUSEHOLD_PLAN))[2]
    assert sorrel.note.startswith("Amounts as the veterinarian gave them (pregnant).")


def test_on_hand_and_bought_equal_fed_and_left_over_for_every_cut() -> None:
    table = balance(HOUSEHOLD, HOUSEHOLD_PLAN)
    for _, on_hand, bought, fed, left in (*table.rows, *table.totals):
        assert on_hand + bought == fed + left  # type: ignore[operator]  # grams are whole numbers
    assert table.totals == (("together", 1500, 15184, 15840, 844),)


def test_a_plan_that_does_not_add_up_is_not_papered_over() -> None:
    short = replace(HOUSEHOLD_PLAN, leftovers=HOUSEHOLD_PLAN.leftovers[1:])
    row = balance(HOUSEHOLD, short).rows[0]
    assert row == ("chicken neck", 600, 3000, 3584, 0)


@pytest.mark.parametrize("seed", range(50))
def test_the_day_column_adds_up_for_any_portions(seed: int) -> None:
    chance = random.Random(seed)
    cuts = tuple(b.a_cut(f"cut {number}") for number in range(chance.randint(1, 9)))
    grams = [chance.randint(1, 5_000) for _ in cuts]
    dog = b.a_dog(days=chance.randint(1, 60), batch_g=sum(grams))
    portions = tuple(Portion(dog.name, cut.name, one) for cut, one in zip(cuts, grams, strict=True))
    scenario = b.a_scenario(dogs=(dog,), cuts=cuts, offers=(), suppliers=())
    plan: Plan = b.a_plan(lines=(), bills=(), portions=portions)
    (table,) = portion_tables(portioning_list(scenario, plan))
    assert sum(int(str(row[1])) for row in table.rows) == table.totals[0][1]
    assert sum(int(str(row[2])) for row in table.rows) == sum(grams)
    assert all(abs(int(str(row[1])) - int(str(row[2])) / dog.days) <= 1.5 for row in table.rows)


def glance(scenario: Scenario, plan: Plan) -> tuple[Table, ...]:
    return portions_at_a_glance(as_fed(scenario, plan), plan)


def test_dogs_stand_across_with_a_day_and_sums_of_the_batch() -> None:
    (table,) = glance(HOUSEHOLD, HOUSEHOLD_PLAN)
    assert [column.heading for column in table.columns] == ["Cut", "Maple", "Juniper", "Sorrel", "Whole batch"]
    assert table.rows[0] == ("chicken neck", 153, 111, None, 3_584)  # 2140 / 14, 1444 / 13
    assert table.totals == (("a day", 550, 400, 210, None), ("over the batch", 7_700, 5_200, 2_940, 15_840))
    assert table.key == ""


def test_every_column_of_the_glance_adds_up() -> None:
    for table in (*glance(HOUSEHOLD, HOUSEHOLD_PLAN), *glance(*kennelled(3, "North"))):
        for place in range(1, len(table.columns)):
            cells = [row[place] for row in table.rows]
            day, batch = (row[place] for row in table.totals)
            assert sum(cell for cell in cells if isinstance(cell, int)) == (batch if day is None else day)


def test_what_does_not_fit_into_eighty_columns_goes_into_a_table_below() -> None:
    dogs = tuple(b.a_dog(f"a dog {'x' * 12}{number}") for number in range(6))
    scenario = b.a_scenario(dogs=dogs)
    plan = b.a_plan(portions=[b.a_portion(dog.name) for dog in dogs])
    tables = glance(scenario, plan)
    assert len(tables) > 1
    headings = [column.heading for table in tables for column in table.columns[1:]]
    assert headings == [*(dog.name for dog in dogs), "Whole batch"]
    paper = Document("x", "x", "EUR", 2, "kg", tables)
    assert max(map(len, terminal([paper], width=80, color=False).splitlines())) <= 80


def test_the_whole_batch_does_not_fill_a_table_alone() -> None:
    # the names take 14 columns, each dog 13: five of them leave one
    dogs = tuple(b.a_dog(f"{'x' * 9}{number}") for number in range(5))
    scenario, plan = b.a_scenario(dogs=dogs), b.a_plan(portions=[b.a_portion(dog.name) for dog in dogs])
    (table,) = glance(scenario, plan)
    assert [column.heading for column in table.columns] == ["Cut", *(dog.name for dog in dogs)]


def kennelled(dogs_each: int, *kennels: str, **more: object) -> tuple[Scenario, Plan]:
    """So many dogs in each kennel, each fed 500 g a day for 14 days."""
    dogs = tuple(
        b.a_dog(f"{kennel}{number}", kennel=kennel, **more)  # type: ignore[arg-type] # what the builder takes
        for kennel in kennels
        for number in range(dogs_each)
    )
    return b.a_scenario(dogs=dogs), b.a_plan(portions=[b.a_portion(dog.name) for dog in dogs])


def test_more_than_eight_dogs_stand_in_their_kennels() -> None:
    (table,) = glance(*kennelled(5, "North", "Yard"))
    assert [column.heading for column in table.columns] == ["Cut", "North, 5 dogs", "Yard, 5 dogs", "Whole batch"]
    assert table.rows == (("beef trim", 2_500, 2_500, 70_000),)
    assert "together" in table.title
    headings = [column.heading for alone in glance(*kennelled(4, "N", "Y")) for column in alone.columns]
    assert headings[1:5] == ["N0", "N1", "N2", "N3"]  # eight dogs stand alone


def test_many_dogs_without_kennels_stand_by_their_rules() -> None:
    dogs = [b.a_dog(f"dog {number}") for number in range(9)]
    dogs[4] = replace(dogs[4], avoid=(b.a_subject(),))
    dogs.append(b.a_dog_in_care("Sorrel", {"beef trim": 1_400}))
    scenario = b.a_scenario(dogs=dogs)
    plan = b.a_plan(portions=[b.a_portion(dog.name, batch_g=dog.batch_g) for dog in dogs])
    (table,) = glance(scenario, plan)
    headings = [column.heading for column in table.columns]
    assert headings == ["Cut", "dog 0 and 7 others", "dog 4", "Sorrel", "Whole batch"]
    assert table.totals[0] == ("a day", 4_000, 500, 100, None)


def test_dogs_of_too_many_rules_stand_in_one_column() -> None:
    dogs = [b.a_dog(f"dog {number}", caps=(b.a_cap(most=f"{number + 1}/100"),)) for number in range(9)]
    scenario, plan = b.a_scenario(dogs=dogs), b.a_plan(portions=[b.a_portion(dog.name) for dog in dogs])
    (table,) = glance(scenario, plan)
    assert [column.heading for column in table.columns] == ["Cut", "All 9 dogs", "Whole batch"]


def test_a_plan_that_feeds_nobody_has_no_glance() -> None:
    assert glance(b.a_scenario(), b.a_plan(portions=())) == ()


@pytest.mark.parametrize(
    ("other", "beside"),
    [
        (OtherFood(Fraction(350)), ", beside 350 kcal of other food"),
        (OtherFood(Fraction("341.6"), daily_g=Fraction(90)), ", beside 342 kcal of other food"),
        (OtherFood(as_much=True), ", beside as much energy again of other food"),
        (OtherFood(), ""),
    ],
)
def test_what_is_eaten_beside_the_plan_stands_with_the_ration(other: OtherFood, beside: str) -> None:
    scenario = b.a_scenario(dogs=(replace(b.a_dog(), other_food=other),))
    (table,) = portion_tables(portioning_list(scenario, b.a_plan(portions=(b.a_portion(),))))
    assert table.note == f"Ration: 2.5 % of 20 kg{beside}."
