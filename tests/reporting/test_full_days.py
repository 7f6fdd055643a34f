"""Days that hold more than is usual in a day are told wherever bags are fed from, and only after the shop.

**Source:** arithmetic; sums stand beside the numbers.
"""

from dataclasses import replace

from raworder.reporting.balanced_weeks import bags_too_full, days_too_full
from raworder.trade.bags import Filling
from raworder.trade.cuts import Measure, Part
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.reporting.samples_of_bags import column, tables
from tests.reporting.test_after_the_shop import AFTER
from tests.worked_out import after_the_shop, bag_book, bag_labels, feeding_sheet, reminders, weeks

LIVER = b.a_subject(Measure.PART, Part.LIVER)
SAYS = "more liver than is usual in a day"


def replanned(liver_g: tuple[int, ...] = (70, 50, 0), most: str = "10/100") -> tuple[Scenario, Plan]:
    """A dog with 500 g a day, so much liver among it, of which so much is usual; it was asked for 4 to 6 %."""
    days = len(liver_g)
    bags = tuple(
        b.a_bag((*((Filling("lamb liver", grams),) if grams else ()), Filling("beef trim", 500 - grams)), day=place)
        for place, grams in enumerate(liver_g)
    )
    dog = b.a_dog(days=days, targets=(b.a_target(Part.LIVER, "4/100", "6/100"),))
    usual = b.a_scenario(days=days, dogs=(dog,), cuts=(b.TRIM, b.LIVER))
    usual = replace(usual, portioning=replace(usual.portioning, most_a_day=((LIVER, b.Fraction(most)),)))
    loosened = replace(dog, targets=(b.a_target(Part.LIVER, "0/100", "90/100"),))
    portioning = replace(usual.portioning, most_a_day=(), week_allowance=b.Fraction(1))
    portions = b.portions_g({"Maple": {"lamb liver": sum(liver_g), "beef trim": 500 * days - sum(liver_g)}})
    scenario = replace(usual, dogs=(loosened,), portioning=portioning, asked=usual)
    return scenario, b.a_plan(portions=portions, bags=bags)


def test_a_day_above_its_most_is_told_with_its_share_and_one_just_at_it_is_not() -> None:
    """70 of 500 g are 14 %, 50 g just the 10 % that is usual."""
    (found,) = days_too_full(bag_book(*replanned()))
    assert (found.dog, found.bags, found.subject) == ("Maple", (1,), LIVER)
    assert (found.share, found.most) == (b.Fraction(14, 100), b.Fraction(10, 100))


def test_the_most_goes_by_the_range_that_was_asked_for_not_by_the_one_that_gave_way() -> None:
    """Five thirds of the 6 % asked for are 10 %; five thirds of the 90 % that it gave way to would be all of it."""
    assert [one.bags for one in days_too_full(bag_book(*replanned(most="1/100")))] == [(1,)]


def test_before_the_shop_nothing_is_too_full_as_the_audit_holds_every_day() -> None:
    scenario, plan = replanned()
    assert bags_too_full(bag_book(replace(scenario, asked=None), plan)) == {}


def test_every_page_that_bags_are_fed_from_says_so() -> None:
    scenario, plan = replanned()
    assert column(tables(feeding_sheet(scenario, plan), "feeding")[0], "mind")[0] == SAYS
    assert column(tables(bag_labels(scenario, plan), "labels")[0], "mind")[0].split("; ")[0] == SAYS
    assert column(tables(bag_labels(scenario, plan), "labels")[0], "mind")[1] == ""
    cautions = column(tables(reminders(scenario, plan), "reminders")[0], "cautions")
    assert [str(one).split("\n")[0] for one in cautions if "usual" in str(one)] == [f"Bag 1: {SAYS}."]
    for document in (weeks(scenario, plan), feeding_sheet(scenario, plan), after_the_shop(scenario, AFTER, plan)):
        (points,) = [block for block in document.blocks if getattr(block, "key", "") == "full_days"]
        assert points.items == ("Maple, liver: Sat 6 Feb 14.0 % (bag 1); at most 10.0 % is usual.",)


def test_much_bone_sends_to_a_veterinarian() -> None:
    scenario, plan = replanned()
    bony = replace(scenario.portioning, most_a_day=((b.a_subject(Measure.PART, Part.BONE), b.Fraction(5, 100)),))
    bags = (replace(plan.bags[0], fillings=(Filling("chicken neck", 500, 8),)), *plan.bags[1:])
    asked = replace(scenario, portioning=bony, cuts=(*scenario.cuts, b.NECK))
    found = weeks(replace(asked, asked=asked), replace(plan, bags=bags))
    (points,) = [block for block in found.blocks if getattr(block, "key", "") == "full_days"]
    assert "ask a veterinarian" in points.items[-1]


def test_weeks_tell_what_was_asked_and_that_weeks_come_as_they_do() -> None:
    document = weeks(*replanned())
    (table,) = tables(document, "weeks")
    assert column(table, "asked") == ["4 to 6 %"]
    assert "100.0 %" not in document.blocks[0].text
    assert "weeks come as they do" in document.blocks[0].text
