"""What must hold of the least cost, whatever the scenario.

**Source:** the mathematics of a least cost: more choice cannot cost more, and prices in another unit change nothing.
"""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from raworder.solving.cheapest import cheapest
from raworder.solving.solver import Settings
from raworder.trade.bags import Portioning
from raworder.trade.dogs import Cap, Dog, Target
from raworder.trade.plan import Allocation
from raworder.trade.scenario import Offer, Scenario, Supplier, Variety
from tests import builders as b
from tests.drawn import examples
from tests.properties.strategies import at_most, cost_of, full_scenarios, scenarios

Change = Callable[[Scenario], Scenario]

A_PICK_G = 5.0
"""Grams that a pick by names may weigh against what is left over."""


@examples(12)
@given(scenarios(), st.data())
def test_the_cost_never_rises_when_an_offer_is_added(scenario: Scenario, data: st.DataObject) -> None:
    gone = data.draw(st.sampled_from(scenario.offers))
    fewer = replace(scenario, offers=tuple(offer for offer in scenario.offers if offer != gone))
    assert at_most(cost_of(scenario), cost_of(fewer))


@examples(8)
@given(scenarios(), st.data())
def test_the_cost_never_rises_when_a_supplier_is_added(scenario: Scenario, data: st.DataObject) -> None:
    assume(len(scenario.suppliers) > 1)
    gone = data.draw(st.sampled_from(scenario.suppliers))
    fewer = replace(
        scenario,
        suppliers=tuple(supplier for supplier in scenario.suppliers if supplier != gone),
        offers=tuple(offer for offer in scenario.offers if offer.supplier != gone.name),
    )
    assert at_most(cost_of(scenario), cost_of(fewer))


def more_room(scenario: Scenario) -> Scenario:
    return replace(scenario, room_g=None if scenario.room_g is None else scenario.room_g + 700)


def more_money(scenario: Scenario) -> Scenario:
    return replace(scenario, budget=None if scenario.budget is None else scenario.budget + 3)


def more_suppliers(scenario: Scenario) -> Scenario:
    return replace(scenario, most_suppliers=None if scenario.most_suppliers is None else scenario.most_suppliers + 1)


def more_in_stock(scenario: Scenario) -> Scenario:
    return _offers_changed(scenario, lambda one: replace(one, available=one.available + 2 if one.available else None))


def more_on_hand(scenario: Scenario) -> Scenario:
    return replace(scenario, on_hand=(*scenario.on_hand, b.on_hand(scenario.cuts[0].name, 300)), room_g=None)


def without_room(scenario: Scenario) -> Scenario:
    return replace(scenario, room_g=None)


def looser_caps(scenario: Scenario) -> Scenario:
    return _dogs_changed(
        scenario,
        lambda dog: replace(dog, caps=tuple(Cap(cap.subject, cap.most + Fraction(1, 50)) for cap in dog.caps)),
    )


def wider_ranges(scenario: Scenario) -> Scenario:
    def wider(target: Target) -> Target:
        one = Fraction(1, 100)
        return Target(target.part, max(target.low - one, Fraction(0)), min(target.high + one, Fraction(1)))

    return _dogs_changed(scenario, lambda dog: replace(dog, targets=tuple(map(wider, dog.targets))))


def nothing_avoided(scenario: Scenario) -> Scenario:
    return _dogs_changed(scenario, lambda dog: replace(dog, avoid=()))


def no_variety(scenario: Scenario) -> Scenario:
    return replace(scenario, variety=Variety())


def lower_thresholds(scenario: Scenario) -> Scenario:
    return _suppliers_changed(
        scenario,
        lambda one: replace(
            one,
            minimum_order=one.minimum_order / 2,
            free_delivery_from=None if one.free_delivery_from is None else one.free_delivery_from / 2,
        ),
    )


def dearer_delivery_gone(scenario: Scenario) -> Scenario:
    return _suppliers_changed(scenario, lambda one: replace(one, delivery=one.delivery / 2))


LOOSENED: tuple[Change, ...] = (
    more_room, more_money, more_suppliers, more_in_stock, looser_caps, wider_ranges, nothing_avoided, no_variety,
    lower_thresholds, dearer_delivery_gone,
)  # fmt: skip


@pytest.mark.parametrize("loosen", LOOSENED)
@examples(5)
@given(full_scenarios())
def test_the_cost_never_rises_when_a_rule_is_loosened(loosen: Change, scenario: Scenario) -> None:
    assert at_most(cost_of(loosen(scenario)), cost_of(scenario))


@examples(5)
@given(full_scenarios())
def test_the_cost_never_rises_when_more_is_on_hand_and_there_is_room_for_it(scenario: Scenario) -> None:
    assert at_most(cost_of(more_on_hand(scenario)), cost_of(without_room(scenario)))


@examples(8)
@given(scenarios(), st.sampled_from([Fraction(1, 10), Fraction(10), Fraction(100)]))
def test_prices_times_k_give_cost_times_k(scenario: Scenario, k: Fraction) -> None:
    cost = cost_of(scenario)
    assert cost_of(_dearer(scenario, k)) == pytest.approx(cost * float(k), rel=1e-6, abs=2e-4 * float(k))


@examples(8)
@given(full_scenarios())
def test_two_dogs_of_whole_pieces_cost_no_less_than_one_of_twice_the_need(scenario: Scenario) -> None:
    """What two dogs eat in whole pieces and least portions, one that eats twice as much may eat as well."""
    dog, *others = replace(scenario, variety=Variety()).dogs
    twin = replace(dog, name="Maple's twin")
    double = replace(
        dog,
        daily_g=2 * dog.daily_g,
        batch_g=2 * dog.batch_g,
        day_g=tuple(2 * grams for grams in dog.day_g),
        vet_amounts=tuple(replace(one, batch_g=2 * one.batch_g) for one in dog.vet_amounts),
    )
    one = replace(scenario, dogs=(double, *others), variety=Variety())
    assert at_most(cost_of(one), cost_of(replace(one, dogs=(dog, twin, *others))))


@examples(8)
@given(full_scenarios())
def test_a_dog_listed_twice_equals_a_dog_of_twice_the_need(scenario: Scenario) -> None:
    """But for a demand for several species, as each of two dogs may meet it with species of its own.

    And but for whole pieces and least portions, which come dog by dog. What they eat of each cut may differ where it is
    alike in money and in what is bought and left over, as two dogs are planned one by one.
    """
    divided = Portioning(divided=frozenset(cut.name for cut in scenario.cuts), least_portion_g=0)
    scenario = replace(scenario, variety=replace(scenario.variety, least_species=0), portioning=divided)
    dog, *others = scenario.dogs
    twin = replace(dog, name="Maple's twin")
    double = replace(
        dog,
        daily_g=2 * dog.daily_g,
        batch_g=2 * dog.batch_g,
        vet_amounts=tuple(replace(one, batch_g=2 * one.batch_g) for one in dog.vet_amounts),
    )
    twice = cheapest(replace(scenario, dogs=(dog, twin, *others)), Settings())
    once = cheapest(replace(scenario, dogs=(double, *others)), Settings())
    assert type(twice) is type(once)
    if isinstance(twice, Allocation) and isinstance(once, Allocation):
        assert float(twice.proof.bound) == pytest.approx(float(once.proof.bound), rel=1e-6, abs=1e-5)
        if not dog.care:
            assert _bought_g(scenario, twice) == pytest.approx(_bought_g(scenario, once), abs=A_PICK_G)


def _bought_g(scenario: Scenario, found: Allocation) -> float:
    return float(sum(offer.unit_g * found.bought_millionths.get(offer.key, 0) for offer in scenario.offers)) / 10**6


def _dearer(scenario: Scenario, k: Fraction) -> Scenario:
    """The scenario in a currency whose unit is worth k times less, with the same smallest coin; money stays exact."""

    def money(amount: Decimal) -> Decimal:
        return amount * k.numerator / k.denominator

    def offer(one: Offer) -> Offer:
        steps = tuple(replace(step, unit_price=step.unit_price * k, listed=money(step.listed)) for step in one.steps)
        return replace(one, steps=steps)

    def supplier(one: Supplier) -> Supplier:
        return replace(
            one,
            delivery=money(one.delivery),
            trip=money(one.trip),
            minimum_order=money(one.minimum_order),
            free_delivery_from=None if one.free_delivery_from is None else money(one.free_delivery_from),
        )

    budget = None if scenario.budget is None else money(scenario.budget)
    digits = {Fraction(1, 10): 3, Fraction(10): 1, Fraction(100): 0}[k]
    dearer = replace(scenario, budget=budget, currency=replace(scenario.currency, digits=digits))
    return _suppliers_changed(_offers_changed(dearer, offer), supplier)


def _offers_changed(scenario: Scenario, change: Callable[[Offer], Offer]) -> Scenario:
    return replace(scenario, offers=tuple(map(change, scenario.offers)))


def _suppliers_changed(scenario: Scenario, change: Callable[[Supplier], Supplier]) -> Scenario:
    return replace(scenario, suppliers=tuple(map(change, scenario.suppliers)))


def _dogs_changed(scenario: Scenario, change: Callable[[Dog], Dog]) -> Scenario:
    return replace(scenario, dogs=tuple(map(change, scenario.dogs)))
