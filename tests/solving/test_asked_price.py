"""The asked price on orders small enough to reckon by hand, and by a second model.

**Source:** arithmetic beside each check; scipy.optimize.milp on the matrices of `tests/outside/matrices.py`.
"""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import islice
from random import Random

import pytest

from raworder.solving.asked_price import AskedPrice, LeastCost, PriceQuestion, asked_price, guess_worth, least_cost
from raworder.solving.search import Impossible
from raworder.solving.solver import Settings
from raworder.trade.scenario import PriceStep, Scenario
from tests import builders as b
from tests.outside.invented import invented, with_thresholds
from tests.outside.matrices import least_cost as least_cost_by_the_second_model

CENT = Fraction(1, 100)
DEAR = "dear"
TENTH_OF_A_CENT = 0.001
CHECKED = 16


def asked(scenario: Scenario, key: str = DEAR, first_try: Fraction | int = 3) -> AskedPrice | Impossible:
    """The asked price against the least cost of the scenario."""
    least = least_cost(scenario, CENT, Settings())
    assert isinstance(least, LeastCost)
    found = asked_price(scenario, PriceQuestion(key, least.cost, Fraction(first_try), CENT), Settings())
    assert isinstance(found, AskedPrice | Impossible)
    return found


def two_sellers(*, dear_pack_g: int = 1000, room_g: int | None = None, **fenwick: object) -> Scenario:
    """7 kg of trim: packs of 1 kg at 2.40, or dearer ones at 3.00 from a supplier with charges."""
    offers = [
        b.an_offer("beef trim", key="cheap", price="2.40"),
        b.an_offer("beef trim", key=DEAR, supplier=b.FENWICK, pack_g=dear_pack_g, price="3.00"),
    ]
    suppliers = [b.a_supplier(), b.a_supplier(b.FENWICK, **fenwick)]
    return b.a_scenario(offers=offers, suppliers=suppliers, room_g=room_g)


@pytest.mark.parametrize("first_try", [0, 1, 3, 100])
def test_a_delivery_is_spread_over_as_many_packs_as_pay_best(first_try: int) -> None:
    """7 x 2.40 = 16.80; seven packs may cost 16.80 - 1 delivery, so 2.40 - 1/7 each; a single one only 1.40."""
    found = asked(two_sellers(delivery=1), first_try=first_try)
    assert isinstance(found, AskedPrice)
    assert found.proved
    assert (found.unit_price, found.units) == (Fraction("2.40") - Fraction(1, 7), 7)


def test_sales_tax_comes_off_the_price() -> None:
    """2.40 with tax: 2.40 / 1.07 before it, whatever the number of packs."""
    found = asked(two_sellers(sales_tax="7/100"))
    assert isinstance(found, AskedPrice)
    assert found.unit_price == Fraction("2.40") / Fraction("1.07")


def test_a_minimum_order_counts_the_list_price() -> None:
    """At least 24.00 at 3.00 is eight packs; all seven cheap ones go, 16.80 / 8 = 2.10."""
    found = asked(two_sellers(minimum_order=24))
    assert isinstance(found, AskedPrice)
    assert (found.unit_price, found.units) == (Fraction("2.10"), 8)


def test_free_delivery_counts_the_list_price() -> None:
    """Free from 21.00 at 3.00 is seven packs: 16.80 / 7 = 2.40; fewer bear less, as delivery is 10."""
    found = asked(two_sellers(delivery=10, free_delivery_from=21))
    assert isinstance(found, AskedPrice)
    assert (found.unit_price, found.units) == (Fraction("2.40"), 7)


def test_a_gift_can_be_too_dear() -> None:
    """Delivery of 20 is more than the whole order of 16.80."""
    found = asked(two_sellers(delivery=20))
    assert isinstance(found, AskedPrice)
    assert found.unit_price < 0


def test_what_does_not_fit_the_freezer_has_no_price() -> None:
    """A pack of 8 kg where 7 kg fit."""
    assert isinstance(asked(two_sellers(dear_pack_g=8000, room_g=7000)), Impossible)


def test_price_breaks_give_way_to_one_price() -> None:
    """Listed at 9.00, from five packs 8.00; one price for any amount is 2.40 as elsewhere."""
    offers = [
        b.an_offer("beef trim", key="cheap", price="2.40"),
        b.an_offer("beef trim", key=DEAR, supplier=b.FENWICK, price=9, breaks={5: 8}),
    ]
    found = asked(b.a_scenario(offers=offers))
    assert isinstance(found, AskedPrice)
    assert found.unit_price == Fraction("2.40")


def test_the_budget_stops_no_order_that_is_cheap_enough_at_the_asked_price() -> None:
    """Seven packs at 3.00 are 21.00, over the budget of 17; at the asked price they are within it."""
    found = asked(replace(two_sellers(delivery=1), budget=Decimal("17.00")))
    assert isinstance(found, AskedPrice)
    assert found.units == 7


def test_what_is_cut_to_the_gram_has_a_price_too() -> None:
    """Trim by weight at 6.20 per kg is 0.0062 per gram; a dearer butcher must ask the same."""
    offers = [b.an_offer_by_weight(), b.an_offer_by_weight(supplier=b.FENWICK, key=DEAR, price_per_kg=9)]
    scenario = b.a_scenario(offers=offers)
    fine = Fraction(1, 100_000)
    least = least_cost(scenario, fine, Settings())
    assert isinstance(least, LeastCost)
    found = asked_price(scenario, PriceQuestion(DEAR, least.cost, Fraction(0), fine), Settings())
    assert isinstance(found, AskedPrice)
    assert abs(found.unit_price - Fraction(62, 10_000)) <= fine / 50


def test_many_dogs_are_asked_about_without_their_pieces() -> None:
    """Nine dogs of 100 g a day eat 12.6 kg: 13 packs, 31.20; 13 dear ones may cost that less 1.30, so 2.30 each."""
    dogs = [b.a_dog(f"Dog {number}", daily_g=100) for number in range(9)]
    found = asked(replace(two_sellers(delivery="1.30"), dogs=tuple(dogs)))
    assert isinstance(found, AskedPrice)
    assert (found.unit_price, found.units) == (Fraction("2.30"), 13)


def test_the_likely_worth_is_that_of_food_that_can_be_divided() -> None:
    """A kilogram of trim saves the 2.40 that it costs elsewhere, and 2.40 / 1.07 before tax."""
    worth = guess_worth(two_sellers(sales_tax="7/100"), Settings())
    assert float(worth[DEAR]) == pytest.approx(2.40 / 1.07, abs=1e-5)


@pytest.mark.slow
def test_a_second_model_finds_each_price_too() -> None:
    """A hundredth below the price an order that holds it costs less, a hundredth above it none does."""
    checked = 0
    for scenario, key, least, found in islice(_asked_of_many(), CHECKED):
        below = least_cost_by_the_second_model(_flat(scenario, key, found.unit_price - CENT))
        above = least_cost_by_the_second_model(_flat(scenario, key, found.unit_price + CENT))
        assert below is not None
        assert above is not None
        assert below < float(least) - TENTH_OF_A_CENT
        assert above >= float(least) - TENTH_OF_A_CENT
        checked += 1
    assert checked == CHECKED


def _asked_of_many() -> Iterator[tuple[Scenario, str, Fraction, AskedPrice]]:
    """Offers in packs of random scenarios that a cheapest order need not hold, at suppliers without thresholds."""
    for seed in range(200):
        drawn = (invented if seed % 2 else with_thresholds)(Random(seed))
        first, *others = drawn.suppliers
        plain = replace(first, minimum_order=Decimal(0), free_delivery_from=None)
        scenario = replace(drawn, suppliers=(plain, *others), budget=None)
        keys = [one.key for one in scenario.offers if one.supplier == plain.name and not one.by_weight]
        least = least_cost(scenario, CENT, Settings())
        if not keys or not isinstance(least, LeastCost):
            continue
        without = replace(scenario, offers=tuple(one for one in scenario.offers if one.key != keys[0]))
        limit = least_cost(without, CENT, Settings())
        if isinstance(limit, LeastCost):
            question = PriceQuestion(keys[0], limit.cost, Fraction(0), CENT)
            found = asked_price(scenario, question, Settings())
            if isinstance(found, AskedPrice) and found.unit_price > CENT:
                yield scenario, keys[0], limit.cost, found


def _flat(scenario: Scenario, key: str, unit_price: Fraction) -> Scenario:
    """The scenario in which the offer has one price."""
    step = PriceStep(1, unit_price, Decimal(0), "pack")
    offers = tuple(replace(one, steps=(step,)) if one.key == key else one for one in scenario.offers)
    return replace(scenario, offers=offers)
