"""All papers of the bags of many dogs: made without looking names up one by one, in work that grows as the bags do."""

import sys
from collections.abc import Callable
from dataclasses import replace
from types import FrameType

import pytest

from raworder.trade.bags import Filling, Station
from raworder.trade.document import Document, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.reporting.samples_of_bags import KEEPING, grams, tables
from tests.worked_out import bag_list, batch_cards, counter_sheet, freezing, fridge_door, kennels, kitchen, thaw_plan

PAPERS = (kitchen, fridge_door, kennels, counter_sheet, bag_list, batch_cards, thaw_plan, freezing)
DAYS = 14


def many(dogs: int) -> tuple[Scenario, Plan]:
    """Dogs in kennels of ten, each with two kinds of bag of three cuts on each of 14 days."""
    each = tuple(b.a_dog(f"dog {number:03}", kennel=f"row {number // 10}") for number in range(dogs))
    kinds = (
        (Filling("chicken neck", 120, 2), Filling("lamb liver", 40), Filling("beef trim", 340)),
        (Filling("chicken neck", 60, 1), Filling("beef kidney", 40), Filling("beef trim", 400)),
    )
    bags = tuple(
        b.a_bag(kinds[place % 2], dog=dog.name, day=place, kind="AB"[place % 2])
        for dog in each
        for place in range(DAYS)
    )
    eaten = {"chicken neck": 1_260, "lamb liver": 280, "beef kidney": 280, "beef trim": 5_180}  # 7 x each kind
    stations = tuple(
        Station(1, cut, tuple(place for place, bag in enumerate(bags) if bag.grams_of(cut)))
        for cut in ("chicken neck", "lamb liver", "beef kidney", "beef trim")
    )
    scenario = replace(
        b.a_scenario(dogs=each, cuts=(b.NECK, b.TRIM, b.LIVER, b.KIDNEY)),
        keeping=KEEPING,
        portioning=replace(b.a_scenario().portioning, freezes_g=60_000),
    )
    portions = b.portions_g({dog.name: eaten for dog in each})
    return scenario, b.a_plan(portions=portions, bags=bags, stations=stations)


def papers(scenario: Scenario, plan: Plan) -> list[Document]:
    """All papers that there are."""
    return [document for document in (paper(scenario, plan) for paper in PAPERS) if document]


def calls(work: Callable[[], object]) -> int:
    """How many functions are called and generators resumed: a measure of work that knows no clock."""
    counted = 0

    def count(_frame: FrameType, event: str, _argument: object) -> None:
        nonlocal counted
        counted += event in {"call", "c_call"}

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        work()
    finally:
        sys.setprofile(before)
    return counted


@pytest.mark.slow
def test_two_hundred_dogs_have_every_bag_on_every_paper() -> None:
    scenario, plan = many(200)
    _, feeding, rows, sheet, bags, thaw, freezer = papers(scenario, plan)
    assert sum(grams(table, "total_g") for table in tables(sheet, "stations")) == 200 * 7_000
    people = [block for block in bags.blocks if isinstance(block, Table) and not block.key]
    assert sum(len(table.rows) for table in people) == 2_800
    assert sum(len(table.rows) for table in tables(feeding, "feeding")) == 2_800
    assert sum(grams(table, "batch_g") for table in tables(rows, "kennels")) == 200 * 7_000
    assert sum(grams(table, "bag_count") for table in tables(thaw, "moves")) == 2_800
    assert sum(grams(table, "weight_g") for table in tables(freezer, "lots")) == 200 * 6_500


def test_names_are_not_looked_up_by_going_through_the_scenario(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_scenario: Scenario, name: str) -> None:
        pytest.fail(f"{name} is looked up by going through all cuts")

    monkeypatch.setattr(Scenario, "cut", refuse)
    monkeypatch.setattr(Plan, "eaten_g", refuse)
    assert len(papers(*many(30))) == 7


@pytest.mark.slow
@pytest.mark.parametrize("paper", PAPERS)
def test_twice_the_dogs_are_twice_the_work(paper: Callable[[Scenario, Plan], Document | None]) -> None:
    few, twice = many(30), many(60)
    assert calls(lambda: paper(*twice)) < 2.3 * calls(lambda: paper(*few))


def test_the_same_plan_gives_the_same_papers() -> None:
    assert papers(*many(30)) == papers(*many(30))
