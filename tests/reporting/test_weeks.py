"""Balanced weeks are told by the arithmetic that one does by hand."""

from dataclasses import replace
from fractions import Fraction

from raworder.trade.bags import Filling
from raworder.trade.cuts import Measure, Part
from raworder.trade.document import Document, Paragraph, Table
from raworder.trade.dogs import Dog
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.trade.units import share_text
from tests import builders as b
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, TUBS, TUBS_PLAN, column, tables
from tests.worked_out import weeks


def asking(dog: Dog) -> Dog:
    """The dog with ranges of bone and liver and a cap on fat."""
    liver = b.a_target(Part.LIVER, "4/100", "6/100")
    return replace(dog, targets=(b.a_target(), liver), caps=(b.a_cap(Measure.FAT, "", "15/100"),))


def house() -> Scenario:
    """The house in which Maple's rules ask for something."""
    return replace(HOUSE, dogs=(asking(HOUSE.dogs[0]), *HOUSE.dogs[1:]))


def with_liver(liver_g: tuple[int, ...]) -> tuple[Scenario, Plan]:
    """A dog with a bag of 500 g a day of trim, and so much liver among it."""
    days = len(liver_g)
    bags = tuple(
        b.a_bag((*((Filling("lamb liver", grams),) if grams else ()), Filling("beef trim", 500 - grams)), day=place)
        for place, grams in enumerate(liver_g)
    )
    dog = b.a_dog(days=days, targets=(b.a_target(Part.LIVER, "4/100", "6/100"),))
    scenario = b.a_scenario(days=days, dogs=(dog,), cuts=(b.TRIM, b.LIVER))
    portions = b.portions_g({"Maple": {"lamb liver": sum(liver_g), "beef trim": 500 * days - sum(liver_g)}})
    return scenario, b.a_plan(portions=portions, bags=bags)


def of_dogs(document: Document) -> list[Table]:
    """The tables, one for each dog."""
    return tables(document, "weeks")


def row(table: Table, what: str) -> tuple[str, ...]:
    """The shares of one row as people read them, from all days to the fullest day."""
    (found,) = (one for one in table.rows if one[1] == what)
    return tuple("" if one is None else share_text(one, 2) for one in found[3:] if isinstance(one, Fraction | None))


def test_one_dog_is_as_worked_out_by_hand() -> None:
    maple = of_dogs(weeks(house(), HOUSE_PLAN))[0]
    assert column(maple, "what") == ["bone", "liver", "fat"]
    assert column(maple, "asked") == ["8 to 12 %", "4 to 6 %", "at most 15 %"]
    # seven days are one week: 12 necks of 60 g with 2/5 bone, 288 of 3500 g; fullest two necks, 48 of 500 g.
    # give or take 0.5 % of 3500 g, and a neck's bone, 24 g
    assert row(maple, "bone") == ("8.23 %", "8.23 %", "8.23 %", "1.19 %", "9.60 %")
    # 193 of 3500 g; 40 of 500 g; give or take 17.5 g and a least portion of 10 g
    assert row(maple, "liver") == ("5.51 %", "5.51 %", "5.51 %", "0.79 %", "8.00 %")
    # 72 + 361.05 + 9.65 + 9 = 451.7 of 3500 g; first day 12 + 2 + 51 = 65, third 6 + 4.5 + 52.5 = 63, the last fullest:
    # 12 + 1.65 + 52.05 = 65.7 of 500 g. Off trim's 15 %: neck 5 % of 60 g, liver and kidney 10 % of 10 g, and a
    # step of 5 g of trim, 0.75 g
    assert row(maple, "fat") == ("12.91 %", "12.91 %", "12.91 %", "0.66 %", "13.14 %")


def test_the_leanest_and_the_richest_week_are_those_of_seven_days_running() -> None:
    # eight days: 70 + 35 = 105 of 4000 g; the first week 70, the second 35 of 3500 g
    (table,) = of_dogs(weeks(*with_liver((70, 0, 0, 0, 0, 0, 0, 35))))
    assert row(table, "liver") == ("2.63 %", "1.00 %", "2.00 %", "0.79 %", "14.00 %")


def test_fewer_than_seven_days_are_no_week() -> None:
    (table,) = of_dogs(weeks(*with_liver((20, 30))))
    assert row(table, "liver") == ("5.00 %", "", "", "", "6.00 %")


def test_a_dog_without_a_week_is_told_of_all_fed_days_and_has_no_empty_column() -> None:
    (table,) = of_dogs(weeks(*with_liver((20, 30))))
    assert [one.heading for one in table.columns if one.shown] == ["What", "Asked", "All fed days", "Fullest day"]
    empty = [at for at, one in enumerate(table.columns) if one.shown and None in {row[at] for row in table.rows}]
    assert empty == []
    assert table.note.startswith("Fed on 2 days, fewer than a week has: its shares hold over all fed days. 2 bags of ")
    (whole,) = of_dogs(weeks(*with_liver((70, 0, 0, 0, 0, 0, 35))))
    assert [one.key for one in whole.columns] == [one.key for one in table.columns]
    assert "All days" in {one.heading for one in whole.columns if one.shown}
    assert "fewer than a week" not in whole.note


def test_a_week_is_of_seven_fed_days() -> None:
    # Juniper is away on one of seven days, so it has no week
    juniper = replace(HOUSE.dogs[1], targets=(b.a_target(Part.OTHER_ORGAN, "0", "12/100"),))
    scenario = replace(HOUSE, dogs=(HOUSE.dogs[0], juniper, HOUSE.dogs[2]))
    # 150 of 1500 g of kidney; every evening 25 of a day's 250 g
    table = of_dogs(weeks(scenario, HOUSE_PLAN))[-1]
    assert row(table, "other organ") == ("10.00 %", "", "", "", "10.00 %")


def test_a_dog_in_care_or_without_rules_is_left_out() -> None:
    assert [table.title for table in of_dogs(weeks(house(), HOUSE_PLAN))] == ["Maple"]


def test_the_kinds_of_bag_are_told_beside_the_fewest_that_there_can_be() -> None:
    def told(least: int) -> str:
        return of_dogs(weeks(house(), replace(HOUSE_PLAN, least_kinds=(("Maple", least),))))[0].note

    assert told(2) == "7 bags of 2 kinds; fewer cannot be."
    assert told(1) == "7 bags of 2 kinds; no fewer than 1 can hold its pieces."
    assert told(0) == "7 bags of 2 kinds."  # not known


def test_of_a_mix_the_mean_counts_and_shared_pieces_may_be_two() -> None:
    scenario = replace(TUBS, dogs=(asking(TUBS.dogs[0]), TUBS.dogs[1]))
    maple = of_dogs(weeks(scenario, TUBS_PLAN))[0]
    # two bags of 250 g of a mix with 99 g of liver in 1000 g: 49.5 of 620 g; its portions hold 49, as among the shares
    assert row(maple, "liver") == ("7.90 %", "", "", "", "7.98 %")
    said = [block.text for block in weeks(scenario, TUBS_PLAN).blocks if isinstance(block, Paragraph)]
    assert said[1].endswith("a dog's shares may be off by about a piece.")
    assert len([block for block in weeks(house(), HOUSE_PLAN).blocks if isinstance(block, Paragraph)]) == 1


def test_shared_pieces_make_the_allowance_of_a_piece_twice_as_large() -> None:
    def bone(scenario: Scenario) -> str:
        return row(of_dogs(weeks(scenario, HOUSE_PLAN))[0], "bone")[3]

    shared = replace(house(), portioning=replace(TUBS.portioning))
    # 0.5 % and one neck's bone, 24 of 3500 g; then two necks'
    assert (bone(house()), bone(shared)) == ("1.19 %", "1.87 %")


def test_people_are_told_what_the_allowance_is_for() -> None:
    (said,) = [block.text for block in weeks(house(), HOUSE_PLAN).blocks if isinstance(block, Paragraph)]
    assert "any seven fed days running" in said
    assert (
        "may miss its range by 0.5 % of its food, and by what whole pieces and least portions of 10 g make uneven"
        in said
    )
