"""What it costs to do better than a plan: enough food, none of a danger, and what little money spares.

**Source:** two lists worked out by hand; all prices are invented. Pork must be frozen for 20 days (CDC).
"""

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

import pytest

from raworder.solving.solver import Settings
from raworder.studies import cures
from raworder.studies.cures import MOST_NODES, find_cures, price_without
from raworder.trade.cuts import Cut
from raworder.trade.plan import Cures, DearerOrder, Plan, Unsolved
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch
from tests import builders as b

PORK, BEEF = b.a_cut("pork trim", species="pork", cautions=("raw-pork",)), b.a_cut("beef trim")
DEARER = DearerOrder(Decimal("14.00"), Decimal("7.00"))
"""7 kg of beef at 2.00 in place of 7 kg of pork at 1.00."""


def a_shop(*cuts: Cut, **more: Any) -> Scenario:
    """Pork at 1.00 and beef at 2.00 a kilogram, fed without being frozen first, for dogs that eat 7 kg each."""
    prices = {"pork trim": 1, "beef trim": 2}
    offers = [b.an_offer(cut.name, key=cut.name, price=prices[cut.name]) for cut in cuts]
    return replace(b.a_scenario(cuts=cuts, offers=offers, **more), hold_days=None)


def planned(scenario: Scenario) -> Plan:
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    return plan


def cured(scenario: Scenario) -> Cures:
    return find_cures(scenario, planned(scenario), Settings())


@pytest.fixture(autouse=True)
def nothing_else_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """The questions of the other studies have tests of their own."""
    for name in ("fed_enough", "spare_for_little"):
        monkeypatch.setattr(cures, name, lambda *_: None)


def test_doing_without_meat_that_has_to_wait_costs_what_other_meat_costs_more() -> None:
    assert cured(a_shop(PORK, BEEF)) == Cures(without={"waiting": DEARER})


def test_where_nothing_else_is_sold_there_is_no_order_without_it() -> None:
    assert cured(a_shop(PORK)) == Cures(without={"waiting": None})


def test_where_nothing_is_in_doubt_nothing_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cures, "order_batch", lambda *_: pytest.fail("it was asked"))
    assert cured(a_shop(BEEF)) == Cures()


def test_a_dog_in_care_keeps_what_its_veterinarian_gave() -> None:
    # Sorrel's 1 kg of pork stays: only Maple's 7 kg are dearer
    scenario = a_shop(PORK, BEEF, dogs=(b.a_dog(), b.a_dog_in_care("Sorrel", {"pork trim": 1_000})))
    found = price_without(scenario, planned(scenario), ["pork trim"], Settings())
    assert found == (DearerOrder(Decimal("15.00"), Decimal("7.00")),)


def test_of_many_dogs_and_of_a_plan_that_is_not_proved_nothing_is_asked() -> None:
    many = a_shop(PORK, BEEF, dogs=[b.a_dog(f"dog {number}") for number in range(9)])
    assert cured(many) == Cures()
    few = a_shop(PORK, BEEF)
    plan = planned(few)
    assert find_cures(few, replace(plan, proof=replace(plan.proof, proved=False)), Settings()) == Cures()


@dataclass(frozen=True)
class Answered:
    """What the other studies answer, in one: an order that feeds enough, or one that spares something."""

    total: Decimal = Decimal("50.72")
    more: Decimal = Decimal("11.13")
    rations: tuple[tuple[str, int], ...] = (("Maple", 965),)
    proved: bool = True
    why: str = ""
    says: str = "for 0.41 more: 1 stop fewer"


def test_what_enough_food_costs_and_what_little_money_spares_are_asked_of_their_studies(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[Settings] = []

    def answer(_scenario: Scenario, _plan: Plan, settings: Settings) -> Answered:
        asked.append(settings)
        return Answered()

    monkeypatch.setattr(cures, "fed_enough", answer)
    monkeypatch.setattr(cures, "spare_for_little", answer)
    assert cured(a_shop(BEEF)) == Cures(
        DearerOrder(Decimal("50.72"), Decimal("11.13")),
        (("Maple", 965),),
        spare="for 0.41 more: 1 stop fewer",
    )
    assert [settings.most_nodes for settings in asked] == [MOST_NODES] * 2
    assert [settings.time_limit_s for settings in asked] == [None] * 2  # no clock where no time limit was given


def test_once_the_time_is_up_nothing_more_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = a_shop(PORK, BEEF)
    plan, clock = planned(scenario), iter((100.0, 161.0, 162.0))
    monkeypatch.setattr(cures, "monotonic", lambda: next(clock))
    monkeypatch.setattr(cures, "spare_for_little", lambda *_: pytest.fail("it was asked"))
    assert find_cures(scenario, plan, Settings(time_limit_s=60)) == Cures()


def test_an_order_that_ends_after_so_many_branches_is_no_price(monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = a_shop(PORK, BEEF)
    plan = planned(scenario)
    monkeypatch.setattr(cures, "order_batch", lambda *_: Unsolved("it ended after so many branches"))
    assert find_cures(scenario, plan, Settings()) == Cures()
