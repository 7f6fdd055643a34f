"""What must hold of every plan that is found, whatever the scenario.

**Source:** arithmetic (bags and leftovers are what was bought; a bill is its lines) and the promise that the order in
which things are listed decides nothing.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import floor
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.auditing.checks import audit
from raworder.portioning.finishing import finish_plan
from raworder.solving.cheapest import cheapest
from raworder.solving.search import Impossible
from raworder.solving.solver import Settings
from raworder.trade.cuts import Cut
from raworder.trade.plan import NoPlan, Plan
from raworder.trade.scenario import Scenario
from raworder.trade.units import GRAMS_PER
from raworder.workflow import plan_batch
from tests import builders as b
from tests.drawn import examples
from tests.properties.strategies import full_scenarios, scenarios


def plan_of(scenario: Scenario) -> Plan | None:
    """The plan, not yet audited."""
    found = cheapest(scenario, Settings())
    return None if isinstance(found, Impossible) else finish_plan(scenario, found)


@examples(24)
@given(scenarios())
def test_any_plan_found_passes_the_audit(scenario: Scenario) -> None:
    plan = plan_of(scenario)
    assert plan is None or audit(scenario, plan) == ()


@examples(12)
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
        bought_g = sum(offer.grams(units) for offer, units in bought if offer.cut == cut.name)
        assert fed_g + left_g == scenario.on_hand_g(cut.name) + bought_g
        used_g = sum(one.used_g for one in plan.lots_used if scenario.on_hand[one.lot].cut == cut.name)
        piece_g = scenario.portioning.whole_piece_g(cut) or 1
        lots = [(lot.owner, lot.grams // piece_g * piece_g) for lot in scenario.on_hand if lot.cut == cut.name]
        own_g = {
            owner: sum(grams for whose, grams in lots if whose == owner) for owner, _ in lots
        }  # no piece is of two
        usable_g = own_g.pop("", 0) + sum(
            min(grams, _eaten_g(scenario, plan, owner, cut)) for owner, grams in own_g.items()
        )
        assert min(fed_g, usable_g) <= used_g <= min(fed_g, scenario.on_hand_g(cut.name))
    assert sum(bill.goods for bill in plan.bills) == sum(line.goods for line in plan.lines)
    assert plan.total == sum(bill.goods + bill.delivery + bill.tax for bill in plan.bills)
    assert all(amount == amount.quantize(Decimal("0.01")) for bill in plan.bills for amount in (bill.goods, bill.tax))


def _eaten_g(scenario: Scenario, plan: Plan, owner: str, cut: Cut) -> int:
    """What an owner's dogs eat of a cut."""
    dogs = {dog.name for dog in scenario.dogs if dog.owner == owner}
    return sum(one.batch_g for one in plan.portions if one.cut == cut.name and one.dog in dogs)


@examples(12)
@given(scenarios())
def test_what_is_printed_costs_what_was_proved_but_for_rounding(scenario: Scenario) -> None:
    """Half a cent for each line and each tax, and a gram of everything sold to the gram, which is rounded up."""
    plan = plan_of(scenario)
    if plan is None:
        return
    grams = sum(
        (
            scenario.offer(line.offer).step_for(line.units).unit_price
            for line in plan.lines
            if _to_the_gram(scenario, line)
        ),
        Fraction(0),
    )
    allowed = Fraction(len(plan.lines) + len(plan.bills), 100) + 3 * grams
    assert abs(Fraction(plan.counted) - Fraction(plan.proof.bound)) <= allowed


def _to_the_gram(scenario: Scenario, line: b.OrderLine) -> bool:
    return scenario.offer(line.offer).to_the_gram


@examples(10)
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


@examples(3)
@given(scenarios())
def test_kilograms_and_pounds_give_the_same_grams(scenario: Scenario) -> None:
    assert plan_of(scenario) == plan_of(replace(scenario, weight_unit="lb"))


@examples(4)
@given(scenarios(), st.integers(0, 3))
def test_a_tight_budget_is_met_or_told_and_nothing_is_withheld(scenario: Scenario, cents_short: int) -> None:
    plan = plan_of(scenario)
    if plan is not None:
        budget = plan.total - Decimal(cents_short).scaleb(-2)
        assert isinstance(plan_batch(replace(scenario, budget=budget), Settings()), Plan | NoPlan)


@examples(4)
@given(scenarios(), st.integers(0, 3))
def test_a_tight_room_is_met_or_told_and_nothing_is_withheld(scenario: Scenario, grams_short: int) -> None:
    plan = plan_of(scenario)
    if plan is not None:
        stored_g = sum(lot.grams for lot in scenario.on_hand)
        stored_g += sum(scenario.offer(line.offer).grams(line.units) for line in plan.lines)
        answer = plan_batch(replace(scenario, room_g=stored_g - grams_short), Settings())
        assert isinstance(answer, Plan | NoPlan), answer


def test_a_budget_that_only_rounding_exceeds_is_not_passed() -> None:
    """10.50 at each of two suppliers; 7 % is 0.735 each, billed as 0.74: 22.48 in all, though 22.47 before rounding."""
    caps = [b.a_cap(most="1/2"), b.a_cap(b.Measure.CUT, "beef trim", "1/2")]
    scenario = b.a_scenario(
        dogs=[b.a_dog(daily_g=100, days=20, caps=caps)],
        cuts=(b.TRIM, b.HEART),
        offers=[b.an_offer("beef trim", price="10.50"), b.an_offer("beef heart", supplier=b.FENWICK, price="10.50")],
        suppliers=[b.a_supplier(sales_tax="7/100"), b.a_supplier(b.FENWICK, sales_tax="7/100")],
        budget="22.47",
    )
    assert isinstance(plan_batch(scenario, Settings()), NoPlan)
    plan = plan_batch(replace(scenario, budget=Decimal("22.48")), Settings())
    assert isinstance(plan, Plan), plan
    assert plan.total == Decimal("22.48")


@examples(8)
@given(full_scenarios())
def test_a_budget_of_just_the_printed_total_is_enough(scenario: Scenario) -> None:
    plan = plan_of(scenario)
    if plan is not None:
        again = plan_of(replace(scenario, budget=plan.total))
        assert again is not None
        assert again.total == plan.total


def test_lines_that_round_down_leave_a_budget_of_the_printed_total_enough() -> None:
    """Three times 200 g at 1.21 per kg are 0.726, printed as three times 0.24."""
    cuts = (b.TRIM, b.HEART, b.a_cut("lamb breast", species="lamb", kind="breast"))
    offers = [b.an_offer_by_weight(cut.name, price_per_kg="1.21", available_g=200) for cut in cuts]
    scenario = b.a_scenario(dogs=[b.a_dog(daily_g=600, days=1)], days=1, cuts=cuts, offers=offers, budget="0.72")
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    assert plan.total == Decimal("0.72")


@pytest.mark.parametrize("pounds", [1, 5, 10, 40])
@pytest.mark.parametrize("ounces", [4, 16])
def test_a_need_of_just_a_pack_in_pounds_takes_one_pack(pounds: int, ounces: int) -> None:
    """The need is rounded down to whole grams, as reading does, and the pack counts with its exact weight."""
    pack_g = pounds * GRAMS_PER["lb"]
    units = pounds * 16 // ounces
    offer = replace(b.an_offer(price=9), unit_g=pack_g / units)
    dog = b.a_dog(daily_g=pack_g, days=1, batch_g=floor(pack_g))
    plan = plan_batch(b.a_scenario(dogs=[dog], days=1, offers=[offer]), Settings())
    assert isinstance(plan, Plan)
    assert plan.lines[0].units == units


def three_lines_that_round_down() -> Scenario:
    """100 g each of three cuts at 10.04 per kg: 1.004 a line, billed as 1.00; 3.012 before rounding, 3.00 after."""
    cuts = (b.TRIM, b.HEART, b.a_cut("lamb breast", species="lamb", kind="breast"))
    third = Fraction(1, 3)
    return b.a_scenario(
        dogs=[b.a_dog(daily_g=30, days=10, caps=[b.a_cap(b.Measure.CUT, cut.name, third) for cut in cuts])],
        cuts=cuts,
        offers=[b.an_offer_by_weight(cut.name, unit_g=100, price_per_kg="10.04") for cut in cuts],
    )


def test_a_minimum_order_that_rounding_lines_just_misses_is_not_withheld() -> None:
    scenario = replace(three_lines_that_round_down(), suppliers=(b.a_supplier(minimum_order="3.01"),))
    answer = plan_batch(scenario, Settings())
    assert isinstance(answer, Plan | NoPlan), answer


def test_free_delivery_that_rounding_lines_just_misses_is_not_charged_beside_a_proof_without_it() -> None:
    """Free from 3.01: the proof says 3.012, or a little more with something bought beside; never 3.00 + 5."""
    suppliers = (b.a_supplier(delivery=5, free_delivery_from="3.01"),)
    plan = plan_batch(replace(three_lines_that_round_down(), suppliers=suppliers), Settings())
    assert isinstance(plan, Plan), plan
    assert abs(plan.total - plan.proof.bound) < Decimal("0.05")
