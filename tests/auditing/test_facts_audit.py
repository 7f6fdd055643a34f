"""Every judge of what follows from a plan blames exactly its promise, and passes what was worked out.

All dogs, food and prices are invented. **Source:** the sums stand beside the numbers; that five pounds thaw in a day is
told by USDA The Big Thaw, as the University of Illinois Extension cites it; keeping times are invented.
"""

import random
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from raworder.auditing.facts_audit import FACT_JUDGES, audit_facts
from raworder.trade.batch_facts import BagWay, BatchFacts
from raworder.trade.plan import Plan
from raworder.trade.rulebook import RULES
from raworder.trade.scenario import Keeping, Scenario
from tests import builders as b
from tests.reporting.samples import HOUSEHOLD, HOUSEHOLD_PLAN
from tests.reporting.samples_of_bags import FILLED_ON, HOUSE, HOUSE_PLAN, TUBS, TUBS_PLAN, plain_bags
from tests.studies.shared_orders import a_shared_order
from tests.supplemented import SUPPLEMENTED, SUPPLEMENTED_PLAN
from tests.worked_out import worked_out

DAY = timedelta(days=1)


def cold_plan(scenario: Scenario, plan: Plan) -> Plan:
    """The plan with what follows for its bags."""
    return worked_out(scenario, replace(plan, lines=(), bills=()))


SLOW_FREEZER = replace(HOUSE, portioning=replace(HOUSE.portioning, freezes_g=4_000))
COLD = cold_plan(SLOW_FREEZER, HOUSE_PLAN)
PAID = worked_out(HOUSEHOLD, HOUSEHOLD_PLAN)
FISH = b.a_cut("herring fillet", species="herring", cautions=("raw-fish-parasites",))
RAW = cold_plan(*plain_bags([500] * 3, cut=FISH))
LARGE = cold_plan(*plain_bags([3_000]))


def blamed(plan: Plan) -> set[str]:
    """The promises that are broken."""
    return {breach.rule for breach in audit_facts(plan)}


def altered(plan: Plan, change: Callable[[BatchFacts], BatchFacts]) -> Plan:
    """The plan with other facts."""
    assert plan.worked_out is not None
    return replace(plan, worked_out=change(plan.worked_out))


def cold(plan: Plan, **parts: Any) -> Plan:
    """The plan with another part of what is said of the cold."""
    return altered(plan, lambda facts: replace(facts, cold=replace(facts.cold, **parts)))


def costs(plan: Plan, **parts: Any) -> Plan:
    """The plan with another part of what is borne."""
    return altered(plan, lambda facts: replace(facts, costs=replace(facts.costs, **parts)))


def first_way(plan: Plan, way: BagWay, **changes: Any) -> Plan:
    """The plan with the first bag of that way changed."""
    ways = plan.facts.cold.journeys
    number = next(one.number for one in ways if one.way is way)
    return cold(plan, journeys=tuple(replace(one, **changes) if one.number == number else one for one in ways))


def moved_by(plan: Plan, days: int) -> Plan:
    """The plan in which the last bag from the freezer is moved so many days later; where it lies is told so."""
    ways = plan.facts.cold.journeys
    last = [one for one in ways if one.moves_on][-1]
    assert last.moves_on
    later = replace(last, moves_on=last.moves_on + days * DAY)
    evenings = tuple(
        replace(
            evening,
            bags_g=evening.bags_g + _in_freezer_g(later, evening.day) - _in_freezer_g(last, evening.day),
            refrigerator_g=evening.refrigerator_g
            - _in_freezer_g(later, evening.day)
            + _in_freezer_g(last, evening.day),
        )
        for evening in plan.facts.cold.evenings
    )
    return cold(plan, journeys=tuple(later if one is last else one for one in ways), evenings=evenings)


def _in_freezer_g(way: Any, day: Any) -> int:
    return way.bag.grams if FILLED_ON <= day < way.moves_on and day < way.bag.day else 0


def with_lots(plan: Plan, change: Callable[[tuple[Any, ...]], tuple[Any, ...]]) -> Plan:
    """The plan with other lots."""
    return cold(plan, lots=change(plan.facts.cold.lots))


PLAIN = cold_plan(HOUSE, HOUSE_PLAN)
BROKEN: dict[str, tuple[Plan, ...]] = {
    "moves": (
        cold(PLAIN, journeys=(*PLAIN.facts.cold.journeys, PLAIN.facts.cold.journeys[0])),
        first_way(RAW, BagWay.NO_TIME, filled_on=FILLED_ON + DAY),
        replace(PLAIN, worked_out=None),
    ),
    "thawed": (moved_by(PLAIN, 1), first_way(PLAIN, BagWay.FREEZER, thaw_days=2)),
    "keeps": (moved_by(PLAIN, -5), first_way(PLAIN, BagWay.FREEZER, keeps_days=9)),
    "frozen_first": (cold(RAW, journeys=tuple(replace(way, freeze_first=()) for way in RAW.facts.cold.journeys)),),
    "lots": (
        with_lots(PLAIN, lambda _: COLD.facts.cold.lots[:1]),
        with_lots(COLD, lambda lots: (replace(lots[0], loads=(*lots[0].loads, lots[-1].loads[-1])), *lots[1:])),
    ),
    "evenings": (
        cold(PLAIN, evenings=(replace(PLAIN.facts.cold.evenings[0], bags_g=1), *PLAIN.facts.cold.evenings[1:])),
        cold(PLAIN, evenings=PLAIN.facts.cold.evenings[:-1]),
    ),
    "costs": (
        costs(PAID, left_over=PAID.facts.costs.left_over + Decimal("0.01")),
        costs(PAID, dogs=tuple(reversed(PAID.facts.costs.dogs))),
        costs(PAID, owners=PAID.facts.costs.owners[1:]),
    ),
    "parts": (
        costs(PAID, left={cut: dict.fromkeys(by_dog, Fraction(1)) for cut, by_dog in PAID.facts.costs.left.items()}),
    ),
}


def test_every_promise_has_a_judge_and_none_is_a_rule_of_the_rulebook() -> None:
    assert set(BROKEN) == set(FACT_JUDGES)
    assert not set(FACT_JUDGES) & {rule.key for rule in RULES}


@pytest.mark.parametrize("promise", FACT_JUDGES)
def test_a_fact_broken_on_purpose_is_blamed_on_exactly_its_promise(promise: str) -> None:
    for plan in BROKEN[promise]:
        assert blamed(plan) == {promise}


def test_what_is_worked_out_breaks_no_promise() -> None:
    supplemented = worked_out(SUPPLEMENTED, SUPPLEMENTED_PLAN)
    for plan in (PLAIN, COLD, RAW, LARGE, cold_plan(TUBS, TUBS_PLAN)):
        assert audit_facts(plan) == ()
    assert [breach for plan in (PAID, supplemented) for breach in audit_facts(plan)] == []


def test_the_judges_have_something_to_judge() -> None:
    ways = {way.way for plan in (PLAIN, RAW, LARGE) for way in plan.facts.cold.journeys}
    assert ways == set(BagWay)
    assert len(COLD.facts.cold.lots) > 1
    assert any(load.left for lot in COLD.facts.cold.lots for load in lot.loads) or not any(
        leftover.bought_g for leftover in COLD.leftovers
    )


@pytest.mark.parametrize("seed", range(60))
def test_however_bags_fall_what_is_worked_out_of_them_breaks_no_promise(seed: int) -> None:
    chance = random.Random(seed)
    days, cut = sorted(chance.choices(range(14), k=12)), chance.choice((b.TRIM, b.LIVER, FISH))
    keeping = (Keeping("food", frozenset(), frozenset(), chance.randint(1, 4), 9, "invented"),)
    scenario, plan = plain_bags([chance.randint(50, 8_000) for _ in days], cut=cut, days=days, keeping=keeping)
    portioning = replace(
        scenario.portioning,
        freezes_g=chance.choice((None, 2_000, 9_000)),
        day=chance.choice((None, FILLED_ON - 2 * DAY, FILLED_ON - 9 * DAY)),
    )
    assert audit_facts(cold_plan(replace(scenario, portioning=portioning), plan)) == ()


@pytest.mark.parametrize("seed", range(40))
def test_however_owners_share_an_order_what_is_borne_adds_up(seed: int) -> None:
    assert audit_facts(worked_out(*a_shared_order(random.Random(seed)))) == ()
