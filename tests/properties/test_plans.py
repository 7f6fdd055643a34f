"""What must hold of every plan that is found, whatever the scenario.

**Source:** arithmetic (bags and leftovers are what was bought; a bill is its lines) and the promise that the order in
which things are listed decides nothing.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.auditing.checks import audit
from raworder.plan import NoPlan, Plan
from raworder.portioning.finished import finished_plan
from raworder.solving.cheapest import Impossible, cheapest
from raworder.solving.solver import Settings
from raworder.trade import Scenario
from raworder.workflow import Withheld, plan_batch
from tests import builders as b
from tests.properties.strategies import bounded, full_scenarios, scenarios


def plan_of(scenario: Scenario) -> Plan | None:
    """The plan, not yet audited."""
    found = cheapest(scenario, Settings())
    return None if isinstance(found, Impossible) else finished_plan(scenario, found)


@bounded(120)
@given(scenarios())
def test_any_plan_found_passes_the_audit(scenario: Scenario) -> None:
    plan = plan_of(scenario)
    assert plan is None or audit(scenario, plan) == ()


@bounded(60)
@given(full_scenarios())
def test_a_finished_plan_adds_up(scenario: Scenario) -> None:
    plan = plan_of(scenario)
    if plan is None:
        return
    for dog in scenario.dogs:
        assert sum(one.batch_g for one in plan.portions if one.dog == dog.name) == dog.batch_g
    for cut in scenario.cuts:
        fed_g = sum(one.batch_g for one in plan.portions if one.cut == cut.name)
        left_g = sum(one.total_g for one in plan.leftovers if one.cut == cut.name)
        bought = [(scenario.offer(line.offer), line.units) for line in plan.lines]
        bought_g = sum(offer.unit_g * units for offer, units in bought if offer.cut == cut.name)
        assert fed_g + left_g == scenario.on_hand_g(cut.name) + bought_g
        used_g = sum(one.used_g for one in plan.lots_used if scenario.on_hand[one.lot].cut == cut.name)
        assert used_g == min(fed_g, scenario.on_hand_g(cut.name))
    assert sum(bill.goods for bill in plan.bills) == sum(line.goods for line in plan.lines)
    assert plan.total == sum(bill.goods + bill.delivery + bill.tax for bill in plan.bills)
    assert all(amount == amount.quantize(Decimal("0.01")) for bill in plan.bills for amount in (bill.goods, bill.tax))


@bounded(60)
@given(scenarios())
def test_what_is_printed_costs_what_was_proved_but_for_rounding(scenario: Scenario) -> None:
    """Half a cent for each line and each tax, and a gram of everything sold to the gram, which is rounded up."""
    plan = plan_of(scenario)
    if plan is None:
        return
    grams = sum(
        (scenario.offer(line.offer).step_for(line.units).unit_price for line in plan.lines if _to_the_gram(scenario, line)),
        Fraction(0),
    )
    allowed = Fraction(len(plan.lines) + len(plan.bills), 100) + 3 * grams
    assert abs(Fraction(plan.total) - Fraction(plan.proof.bound)) <= allowed


def _to_the_gram(scenario: Scenario, line: b.OrderLine) -> bool:
    return scenario.offer(line.offer).to_the_gram


@bounded(50)
@given(scenarios(), st.integers(0, 10**6))
def test_the_order_in_which_things_are_listed_decides_nothing(scenario: Scenario, seed: int) -> None:
    random = Random(seed)
    shuffled = replace(
        scenario,
        dogs=tuple(random.sample(scenario.dogs, len(scenario.dogs))),
        cuts=tuple(random.sample(scenario.cuts, len(scenario.cuts))),
        offers=tuple(random.sample(scenario.offers, len(scenario.offers))),
        suppliers=tuple(random.sample(scenario.suppliers, len(scenario.suppliers))),
    )
    plan, other = plan_of(scenario), plan_of(shuffled)
    assert (plan is None) == (other is None)
    if plan and other:
        assert set(plan.lines) == set(other.lines)
        assert set(plan.portions) == set(other.portions)
        assert set(plan.bills) == set(other.bills)
        assert set(plan.leftovers) == set(other.leftovers)
        assert plan.proof == other.proof


@bounded(15)
@given(scenarios())
def test_kilograms_and_pounds_give_the_same_grams(scenario: Scenario) -> None:
    assert plan_of(scenario) == plan_of(replace(scenario, weight_unit="lb"))


@bounded(20)
@given(scenarios())
def test_a_budget_of_what_the_order_costs_is_enough(scenario: Scenario) -> None:
    plan = plan_of(scenario)
    if plan is not None:
        assert isinstance(plan_batch(replace(scenario, budget=plan.total), Settings()), Plan)


@bounded(20)
@given(scenarios())
def test_a_budget_a_cent_short_is_told_and_nothing_is_withheld(scenario: Scenario) -> None:
    plan = plan_of(scenario)
    if plan is not None:
        answer = plan_batch(replace(scenario, budget=plan.total - Decimal("0.01")), Settings())
        assert not isinstance(answer, Withheld)


def test_a_budget_that_rounding_down_reaches_is_enough() -> None:
    """Three packs at 3.35 are 10.05; 7 % tax is 0.7035, billed as 0.70; the bill of 10.75 is within 10.75."""
    dog = b.a_dog(daily_g=200, days=14)
    scenario = b.a_scenario(
        dogs=[dog],
        offers=[b.an_offer(price="3.35")],
        suppliers=[b.a_supplier(sales_tax="7/100")],
        budget="10.75",
    )
    answer = plan_batch(scenario, Settings())
    assert isinstance(answer, Plan)
    assert answer.total == Decimal("10.75")


def test_a_budget_that_rounding_up_misses_gives_no_plan_and_the_budget_as_the_reason() -> None:
    """10.50 at each of two suppliers; 7 % is 0.735 each, billed as 0.74: 22.48 in all, though 22.47 before rounding."""
    cuts = (b.TRIM, b.HEART)
    dog = b.a_dog(daily_g=100, days=20, targets=(), caps=[b.a_cap(most="1/2"), b.a_cap(b.Measure.CUT, "beef trim", "1/2")])
    scenario = b.a_scenario(
        days=20,
        dogs=[dog],
        cuts=cuts,
        offers=[b.an_offer("beef trim", price="10.50"), b.an_offer("beef heart", supplier=b.FENWICK, price="10.50")],
        suppliers=[b.a_supplier(sales_tax="7/100"), b.a_supplier(b.FENWICK, sales_tax="7/100")],
    )
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    assert plan.total == Decimal("22.48")
    answer = plan_batch(replace(scenario, budget=Decimal("22.47")), Settings())
    assert isinstance(answer, NoPlan), answer
    assert [reason.rule for reason in answer.reasons] == ["budget"]
    with_enough = plan_batch(replace(scenario, budget=Decimal("22.48")), Settings())
    assert with_enough == plan


