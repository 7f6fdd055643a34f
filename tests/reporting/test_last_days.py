"""One bag has one last day, whichever paper says it: labels, thaw plan and calendar. All food here is invented."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from raworder.reading.scenario_file import read_scenario
from raworder.reporting.thaw_plan import ALL, OTHERS
from raworder.trade.bags import Filling
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import Settings, plan_batch
from tests import builders as b
from tests.builders import without_rules_on_energy_and_freezing
from tests.planned import date_of
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, KEEPING, TUBS, TUBS_PLAN, column, day, tables
from tests.worked_out import bag_book, bag_labels, reminders, thaw_plan

CASES = Path(__file__).resolve().parents[1] / "cases"
MOVING = re.compile(
    r"Move bags? (?P<bags>[0-9, -]+) (?:straight|from the freezer) to the refrigerator: fed .+?, "
    r"(?P<last>[A-Z][a-z]{2} [0-9]{1,2} [A-Z][a-z]{2}) at the latest\."
)
"""A sentence of the calendar about bags that go to the refrigerator."""


def numbers(text: str) -> list[int]:
    """The numbers in a list such as `3, 17-18`."""
    runs = [[int(end) for end in run.split("-")] for run in text.split(", ")]
    return [number for run in runs for number in range(run[0], run[-1] + 1)]


def on_labels(scenario: Scenario, plan: Plan) -> dict[int, date]:
    (table,) = tables(bag_labels(scenario, plan), "labels")
    rows = zip(column(table, "bag"), column(table, "feed_by"), strict=True)
    return {bag: last for bag, last in rows if isinstance(bag, int) and isinstance(last, date)}


def on_thaw_plan(scenario: Scenario, plan: Plan) -> dict[int, date]:
    found: dict[int, date] = {}
    for table in tables(thaw_plan(scenario, plan), "moves"):
        for bags, last in zip(column(table, "bag_numbers"), column(table, "feed_by"), strict=True):
            assert isinstance(last, date)
            found |= dict.fromkeys(numbers(str(bags)), last)
    return found


def in_calendar(scenario: Scenario, plan: Plan) -> dict[int, date]:
    (table,) = tables(reminders(scenario, plan), "reminders")
    sentences = (one for details in column(table, "details") for one in MOVING.finditer(str(details)))
    return {bag: date_of(one["last"], scenario.batch.starts.year) for one in sentences for bag in numbers(one["bags"])}


@pytest.mark.parametrize(("scenario", "plan"), [(HOUSE, HOUSE_PLAN), (TUBS, TUBS_PLAN)])
def test_labels_thaw_plan_and_calendar_say_one_last_day_for_every_bag(scenario: Scenario, plan: Plan) -> None:
    decided = {one.number: one.feed_by for one in bag_book(scenario, plan).facts.cold.journeys}
    assert len(decided) == len(plan.bags)
    assert on_labels(scenario, plan) == on_thaw_plan(scenario, plan) == in_calendar(scenario, plan) == decided


@pytest.mark.slow
def test_a_batch_of_many_kinds_of_bag_has_one_last_day_for_each() -> None:
    """Bag 2 was to be fed by the 9th on its label and by the 7th on the thaw plan."""
    scenario = read_scenario(CASES / "feed_by_differs.yaml").scenario
    assert scenario is not None
    scenario = without_rules_on_energy_and_freezing(scenario)
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    labels = on_labels(scenario, plan)
    assert labels == on_thaw_plan(scenario, plan) == in_calendar(scenario, plan)
    by_day: dict[date, set[date]] = {}
    for number, bag in enumerate(plan.bags, 1):
        by_day.setdefault(bag.day, set()).update({labels[number]} if number in labels else ())
    assert any(len(last_days) > 1 for last_days in by_day.values())


def test_bags_that_move_together_and_keep_differently_are_told_apart() -> None:
    # Juniper's bags of the 10th: trim alone keeps 3 days after it has thawed on the 10th, with kidney it keeps 1
    assert (on_thaw_plan(HOUSE, HOUSE_PLAN)[14], on_thaw_plan(HOUSE, HOUSE_PLAN)[15]) == (day(7), day(5))


def test_with_many_dogs_only_the_bags_that_keep_otherwise_are_listed() -> None:
    dogs = tuple(b.a_dog(f"dog {number:02}", days=5, day_g=(0, 0, 0, 0, 500)) for number in range(21))
    livers = {"dog 03", "dog 07"}
    cut_of = {dog.name: "lamb liver" if dog.name in livers else "beef trim" for dog in dogs}
    bags = tuple(b.a_bag((Filling(cut, 500),), dog=name, day=4, topped_up=cut) for name, cut in cut_of.items())
    plan = b.a_plan(portions=b.portions_g({name: {cut: 500} for name, cut in cut_of.items()}), bags=bags)
    scenario = replace(b.a_scenario(days=5, dogs=dogs, cuts=(b.TRIM, b.LIVER)), keeping=KEEPING)
    (moved,) = tables(thaw_plan(scenario, plan), "moves")
    told = list(zip(column(moved, "bags"), column(moved, "bag_count"), column(moved, "feed_by"), strict=True))
    assert told == [("4, 8", 2, day(5)), (OTHERS, 19, day(7))]
    assert on_labels(scenario, plan) == on_thaw_plan(scenario, plan)
    (calendar,) = tables(reminders(scenario, plan), "reminders")
    said = "\n".join(str(details) for details in column(calendar, "details"))
    assert "Move bags 4, 8 from the freezer" in said
    assert "Move 19 bags from the freezer" in said
    trim = replace(plan, bags=tuple(b.a_bag(dog=dog.name, day=4) for dog in dogs))
    (together,) = tables(thaw_plan(scenario, trim), "moves")
    assert column(together, "bags") == [ALL]
