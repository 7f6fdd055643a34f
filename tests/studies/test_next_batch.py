"""Why the next batch costs other than the last: parts that add up to the difference, each with its cause.

**Source:** the orders themselves, searched for one by one; every name and price is invented.
"""

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.studies.asking import Ask
from raworder.studies.next_batch import NextBatch, next_batch
from raworder.studies.roll_on import RolledOn
from raworder.trade.document import Points, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Offer, OnHand, Scenario
from raworder.workflow import order_batch
from tests.planned import scenario_of

PART = re.compile(r"(Lists|Dogs and days|On hand): ([+-][0-9.]+|no difference|not known)\. ")


def told(before: Scenario, after: Scenario, rolled: RolledOn | None = None) -> tuple[str, ...]:
    """The lines about what differs."""
    document, _ = next_batch(NextBatch(before, after, rolled or RolledOn("")), Ask())
    first = document.blocks[0]
    assert isinstance(first, Points)
    return first.items


def parts(lines: tuple[str, ...]) -> list[Decimal]:
    found = [match[2] for line in lines if (match := PART.match(line))]
    return [Decimal(part if part[0] in "+-" else 0) for part in found]


def a_dog_day(scenario: Scenario) -> Decimal:
    order = order_batch(scenario, Ask().settings)
    assert isinstance(order, Plan)
    return scenario.currency.rounded(Fraction(order.counted) / scenario.dog_days)


@pytest.mark.slow
def test_the_parts_add_up_to_the_difference_of_a_dog_day() -> None:
    before, after = scenario_of("owner"), scenario_of("owner_spring")
    lines = told(before, after)
    assert len(lines) <= 5
    assert sum(parts(lines), Decimal(0)) == a_dog_day(after) - a_dog_day(before)
    assert lines[0].startswith(f"A dog-day costs {a_dog_day(after)} EUR")


@pytest.mark.slow
def test_what_did_not_change_makes_no_difference() -> None:
    before = scenario_of("owner")
    lines = told(before, before)
    assert parts(lines) == [Decimal(0)] * 3
    assert "as much as last time" in lines[0]
    assert "The same prices" in lines[1]


def doubled(offer: Offer) -> Offer:
    """An offer at twice its prices."""
    steps = (replace(step, unit_price=step.unit_price * 2, listed=step.listed * 2) for step in offer.steps)
    return replace(offer, steps=tuple(steps))


@pytest.mark.slow
def test_a_dearer_list_alone_is_the_whole_difference() -> None:
    before = scenario_of("owner")
    after = replace(before, offers=tuple(map(doubled, before.offers)), budget=None)
    lists, dogs, stock = parts(told(before, after))
    assert lists == a_dog_day(after) - a_dog_day(before) > 0
    assert dogs == stock == 0


@pytest.mark.slow
def test_what_had_to_wait_and_may_be_fed_now_is_said() -> None:
    before = scenario_of("owner")
    lamb = replace(before.cut("beef trim (fat 12 %)"), name="lamb trim", cautions=("sheep-meat-tapeworm",))
    lot = OnHand("lamb trim", 500, before.portioned_on)
    later = replace(before.batch, starts=before.batch.starts.replace(month=4))
    after = replace(before, batch=later, cuts=(*before.cuts, lamb), on_hand=(lot,))
    assert after.held_days(lamb) > 0
    assert any("lamb trim may be fed now" in line for line in told(before, after))


@pytest.mark.slow
def test_without_a_plan_it_says_what_is_lacking() -> None:
    before = scenario_of("owner")
    after = replace(before, offers=before.offers[:1], on_hand=())
    document, is_planned = next_batch(NextBatch(before, after, RolledOn("", to_do=("weigh Maple",))), Ask())
    assert not is_planned
    first, table, to_do = document.blocks
    assert isinstance(first, Points)
    assert first.items[0].startswith("No plan for the next batch yet: ")
    assert "not known" in first.items[3]
    assert isinstance(table, Table)
    assert table.rows[0][0] == "last batch"
    assert isinstance(to_do, Points)
    assert to_do.items == ("weigh Maple",)
