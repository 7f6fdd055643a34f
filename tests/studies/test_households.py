"""What each owner holds of a shared order: the page, the own payments, and what going alone would cost.

All names, prices and amounts are invented. **Source:** the plan itself, and orders searched for one by one.
"""

from dataclasses import replace
from datetime import timedelta
from functools import cache

import pytest

from raworder.reporting.household import Alone
from raworder.reporting.own_freezer import at_home
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask
from raworder.studies.households import BELOW_MINIMUM, cost_alone, household_pages, lines_of_owner, pages_of
from raworder.studies.settling import SettlingRules, owner_shares, settle_bills
from raworder.trade.document import Document, Paragraph, Points, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Owner, Scenario
from raworder.trade.units import day_text
from raworder.workflow import complete, order_batch, plan_batch
from tests import builders as b
from tests.planned import planned, scenario_of


def table(document: Document, key: str) -> Table:
    """The table of that key."""
    [found] = [block for block in document.blocks if isinstance(block, Table) and block.key == key]
    return found


def said(document: Document) -> str:
    """All sentences of a paper."""
    points = (item for block in document.blocks if isinstance(block, Points) for item in block.items)
    return " ".join([*(block.text for block in document.blocks if isinstance(block, Paragraph)), *points])


def two_owners(*, minimum: int = 0, most_kg: int | None = None, **more: object) -> Scenario:
    """Ada's dog eats 2.5 kg and Bo's 500 g of trim in packs of 1 kg at 6.00."""
    dogs = [b.a_dog("Maple", days=5, owner="Ada"), b.a_dog("Pip", days=5, daily_g=100, owner="Bo")]
    offers = [b.an_offer(pack_g=1_000, price="6.00", available=most_kg)]
    scenario = b.a_scenario(days=5, dogs=dogs, offers=offers, suppliers=[b.a_supplier(minimum_order=minimum)])
    return replace(scenario, **more)  # type: ignore[arg-type]  # tests say which field


@cache
def household() -> tuple[Scenario, Plan, tuple[Document, ...]]:
    """The shipped household with its pages."""
    scenario, plan = scenario_of("household"), planned("household").plan
    return scenario, plan, household_pages(scenario, plan, Ask())


def test_going_alone_costs_what_an_order_for_the_own_dogs_costs() -> None:
    """Together three packs, 18.00; alone three for Ada and one for Bo."""
    alone = cost_alone(two_owners(), ("Ada", "Bo"), Ask())
    assert alone == {"Ada": Alone(b.euros("18.00")), "Bo": Alone(b.euros("6.00"))}


def test_alone_an_owner_has_the_own_stock_and_not_what_is_for_all() -> None:
    lots = (b.on_hand(grams=600, owner="Bo"), b.on_hand(grams=5_000), b.on_hand(grams=5_000, owner="Ada"))
    alone = cost_alone(two_owners(on_hand=lots), ("Ada", "Bo"), Ask())
    assert alone == {"Ada": Alone(b.euros("0.00")), "Bo": Alone(b.euros("0.00"))}
    for_all = cost_alone(two_owners(on_hand=lots[1:2]), ("Ada", "Bo"), Ask())
    assert for_all == {"Ada": Alone(b.euros("18.00")), "Bo": Alone(b.euros("6.00"))}


def test_who_cannot_go_alone_is_told_why() -> None:
    """A minimum of 30.00 are five packs: with four for sale nobody reaches it; without packs there is no food."""
    short = cost_alone(two_owners(minimum=30, most_kg=4), ("Ada", "Bo"), Ask())
    assert short == {"Ada": Alone(None, BELOW_MINIMUM), "Bo": Alone(None, BELOW_MINIMUM)}
    nothing = cost_alone(two_owners(most_kg=1), ("Ada", "Bo"), Ask())
    assert nothing["Bo"] == Alone(b.euros("6.00"))
    assert nothing["Ada"].total is None
    assert "too little food" in nothing["Ada"].why


def page_of_ada(scenario: Scenario, ask: Ask | None) -> Document:
    """Ada's page of a scenario."""
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    return pages_of(scenario, plan, ("Ada",), ask)[0]


def test_what_sharing_saves_is_alone_less_the_own_part() -> None:
    """Of three packs at 18.00 Ada's dog eats five parts of six: 15.00; alone she pays 18.00."""
    assert "Your part of the order is 15.00 EUR" in said(page_of_ada(two_owners(), Ask()))
    assert "Alone you would pay 18.00 EUR: sharing saves you 3.00 EUR." in said(page_of_ada(two_owners(), Ask()))
    assert "Alone" not in said(page_of_ada(two_owners(), None))
    assert "Alone" not in said(page_of_ada(two_owners(shop_signs="AB"), Ask()))
    assert "what is on hand for all" in said(page_of_ada(two_owners(on_hand=(b.on_hand(grams=10),)), Ask()))


def test_one_owner_has_no_page_and_many_dogs_are_not_asked_about() -> None:
    scenario = two_owners()
    alone = replace(scenario, dogs=tuple(replace(dog, owner="Ada") for dog in scenario.dogs))
    plan = plan_batch(alone, Settings())
    assert isinstance(plan, Plan)
    assert household_pages(alone, plan, Ask()) == ()
    assert "Alone" not in said(pages_of(alone, plan, ("Ada",), Ask())[0])
    many = replace(scenario, dogs=tuple(b.a_dog(f"dog {n}", days=5, owner="AB"[n % 2]) for n in range(13)))
    order = plan_batch(many, Settings())
    assert isinstance(order, Plan)
    ask = Ask()
    assert len(household_pages(many, order, ask)) == 2
    assert ask.asked == 0


def test_a_freezer_that_is_too_small_and_late_bags_are_told_on_the_page() -> None:
    scenario = two_owners(owners=(Owner("Ada", 900, b.STARTS),))
    text = said(page_of_ada(scenario, None))
    assert "Bag 1 must be in a refrigerator from Fri 5 Feb on, before you fetch them." in text
    assert "Your freezer is too small by" in text


@pytest.mark.slow
def test_each_page_of_the_household_says_what_the_plan_says() -> None:
    scenario, plan, pages = household()
    assert [page.title for page in pages] == [
        "Ines: Bramble and Sorrel",
        "Okoro: Thistle and Clover",
        "Maarten: Old Fern",
    ]
    shares = owner_shares(plan, SettlingRules())
    for page, share in zip(pages, shares, strict=True):
        mine = {dog.name for dog in scenario.dogs if dog.owner == share.owner}
        rows = table(page, "own_dogs").rows
        assert {row[0] for row in rows} == mine
        assert sum(int(str(row[5])) for row in rows) == sum(bag.grams for bag in plan.bags if bag.dog in mine)
        journeys = [journey for journey in plan.facts.cold.journeys if journey.bag.dog in mine]
        for day, fed, moved in table(page, "own_days").rows:
            assert numbers(str(fed)) == {one.number for one in journeys if one.bag.day == day}
            assert numbers(str(moved)) == {one.number for one in journeys if one.moves_on == day}
        assert {row[0] for row in table(page, "own_days").rows} >= {journey.bag.day for journey in journeys}
        assert f"Your part of the order is {scenario.currency.text(share.total)}" in said(page)
        assert day_text(at_home(plan.facts.scenario, plan, share.owner).fetched_on) in said(page)
        for dose in (dose for dose in plan.doses if dose.dog in mine):
            assert f"{dose.dog}: {dose.steps_a_day} g of {dose.supplement}" in said(page)
        others = {dog.name for dog in scenario.dogs} - mine
        assert not any(other in said(page) for other in others)


def numbers(text: str) -> set[int]:
    """The numbers of runs such as `1, 3-5`."""
    runs = [run.split("-") for run in text.split(", ") if run]
    return {number for run in runs for number in range(int(run[0]), int(run[-1]) + 1)}


@pytest.mark.slow
def test_what_sharing_saves_the_household_is_what_orders_alone_cost_more() -> None:
    scenario, plan, pages = household()
    for page, share in zip(pages, owner_shares(plan, SettlingRules()), strict=True):
        alone = replace(
            scenario,
            dogs=tuple(dog for dog in scenario.dogs if dog.owner == share.owner),
            on_hand=tuple(lot for lot in scenario.on_hand if lot.owner == share.owner),
            room_g=None,
        )
        order = order_batch(alone, Settings())
        assert isinstance(order, Plan)
        saved = scenario.currency.text(order.total - share.total)
        assert f"Alone you would pay {scenario.currency.text(order.total)}: sharing saves you {saved}." in said(page)


@pytest.mark.slow
def test_the_lines_of_one_owner_are_the_owner_s_of_the_whole_paper() -> None:
    _, plan, _ = household()
    whole = settle_bills(plan)
    own = lines_of_owner(whole, "Okoro")
    assert [row[0] for row in table(own, "by_owner").rows] == ["Okoro"]
    assert table(own, "by_owner").rows[0] in table(whole, "by_owner").rows
    paid = [row for row in table(whole, "payments").rows if "Okoro" in row[:2]]
    assert list(table(own, "payments").rows) == paid != []


def test_who_owes_nothing_is_told_so() -> None:
    scenario = two_owners(on_hand=(b.on_hand(grams=600, owner="Bo"),))
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    own = lines_of_owner(settle_bills(complete(scenario, plan)), "Bo")
    assert "Bo owes nothing." in said(own)
    assert table(own, "by_owner").rows[0][-1] == b.euros("0.00")


def test_days_before_fetching_are_not_in_the_calendar_of_an_owner() -> None:
    scenario = two_owners(owners=(Owner("Ada", None, b.STARTS + timedelta(2)),))
    text = said(page_of_ada(scenario, None))
    assert "Bags 1-2: fed before you fetch the others. Agree with who fills the bags." in text
