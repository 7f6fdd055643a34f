"""No order of whole grams has a smaller printed bill than the plan's: all that there are, counted out one by one.

**Source:** enumeration. A dog eats nothing but muscle, so an order feeds it if it weighs enough. Every number of grams
of every offer is tried, up to a safe bound; lines and taxes are rounded half up in whole numbers. The bound is safe: a
gram more than feeds the dog, is sold at least, reaches the last price step and reaches every threshold of the supplier
with this offer alone could be left out again, and no line would be dearer for it.
"""

from fractions import Fraction
from math import ceil
from random import Random
from typing import Any

import numpy as np

from raworder.solving.solver import Settings
from raworder.trade.plan import Plan
from raworder.trade.scenario import Offer, Scenario, Supplier
from raworder.workflow import order_batch
from tests import builders as b
from tests.drawn import drawn, seeds
from tests.outside.invented_bills import one_meat

EACH, SEEN = 12, 120
Whole = np.ndarray[Any, np.dtype[np.int64]]


@drawn(blocks=2)
def test_no_order_has_a_smaller_printed_bill(block: int) -> None:
    for seed in seeds(block, EACH):
        scenario = one_meat(Random(seed))
        plan = order_batch(scenario, Settings())
        assert isinstance(plan, Plan), seed
        assert int(plan.counted * 100) == least_bill_of_all(scenario), seed
        assert plan.proof.proved, seed
        assert plan.proof.least_bill == plan.counted, seed


def test_counting_out_knows_a_case_done_by_hand() -> None:
    """100 g at 4.22 and 3.84 per kg: all of the cheaper is 38.4, billed 38; 1 g of the dearer is billed 0, 99 g 38."""
    offers = [b.an_offer_by_weight(key=key, price_per_kg=price) for key, price in (("a", "4.22"), ("b", "3.84"))]
    scenario = b.a_scenario(days=1, dogs=[b.a_dog(daily_g=100, days=1)], offers=offers)
    assert least_bill_of_all(scenario) == 38


def test_counting_out_knows_that_a_split_can_save_a_cent() -> None:
    """101 g at 3.84 are 38.784, billed 39; with 1 g at 4.22, billed 0, there are 100 g, billed 38."""
    offers = [b.an_offer_by_weight(key=key, price_per_kg=price) for key, price in (("a", "4.22"), ("b", "3.84"))]
    scenario = b.a_scenario(days=1, dogs=[b.a_dog(daily_g=101, days=1)], offers=offers)
    assert least_bill_of_all(scenario) == 38


def test_what_is_counted_out_holds_every_kind_of_charge() -> None:
    scenarios = [one_meat(Random(seed)) for seed in range(SEEN)]
    suppliers = [supplier for scenario in scenarios for supplier in scenario.suppliers]
    assert sum(bool(one.delivery) for one in suppliers) > 40
    assert sum(bool(one.minimum_order) for one in suppliers) > 40
    assert sum(one.free_delivery_from is not None for one in suppliers) > 40
    assert sum(bool(one.sales_tax) for one in suppliers) > 40
    assert sum(bool(one.trip) for one in suppliers) > 40
    assert sum(offer.least_units > 1 for scenario in scenarios for offer in scenario.offers) > 40
    assert sum(len(offer.steps) > 1 for scenario in scenarios for offer in scenario.offers) > 30
    assert sum(not offer.by_weight for scenario in scenarios for offer in scenario.offers) > 20


def least_bill_of_all(scenario: Scenario) -> int:
    """The least printed total, trips counted, in minor units of any order that weighs enough and that shops take."""
    units = np.indices([_most_units(scenario, offer) + 1 for offer in scenario.offers]).reshape(
        len(scenario.offers), -1
    )
    weighs = sum(int(offer.unit_g) * count for offer, count in zip(scenario.offers, units, strict=True))
    allowed = weighs >= scenario.dogs[0].batch_g
    for offer, count in zip(scenario.offers, units, strict=True):
        allowed &= (count == 0) | (count >= offer.least_units)
    lines = {offer.key: _line(offer, count) for offer, count in zip(scenario.offers, units, strict=True)}
    paid = np.zeros_like(units[0])
    for supplier in scenario.suppliers:
        mine = [place for place, offer in enumerate(scenario.offers) if offer.supplier == supplier.name]
        if mine:
            used = units[mine].sum(axis=0) > 0
            goods = np.sum([lines[scenario.offers[place].key] for place in mine], axis=0)
            allowed &= ~used | (goods >= _minor(supplier.minimum_order))
            paid += np.where(used, _charged(supplier, goods), 0)
    return int(paid[allowed].min())


def _charged(supplier: Supplier, goods: Whole) -> Whole:
    """Goods, tax, delivery and the trip in minor units."""
    tax = _half_up(goods, Fraction(supplier.sales_tax))
    free_from = supplier.free_delivery_from
    free = np.zeros_like(goods, dtype=bool) if free_from is None else goods >= _minor(free_from)
    return goods + tax + np.where(free, 0, _minor(supplier.delivery)) + _minor(supplier.trip)


def _line(offer: Offer, units: Whole) -> Whole:
    """What so many units come to, at the price of the step that they fall in."""
    line = np.zeros_like(units)
    for step in offer.steps:
        line = np.where(units >= step.at_least, _half_up(units, step.unit_price * 100), line)
    return line


def _half_up(counts: Whole, each: Fraction) -> Whole:
    return (2 * counts * each.numerator + each.denominator) // (2 * each.denominator)


def _minor(money: object) -> int:
    return int(Fraction(str(money)) * 100)


def _most_units(scenario: Scenario, offer: Offer) -> int:
    supplier, cheapest = scenario.supplier(offer.supplier), min(step.unit_price for step in offer.steps)
    threshold = max(Fraction(supplier.minimum_order), Fraction(supplier.free_delivery_from or 0))
    enough = ceil(scenario.dogs[0].batch_g / Fraction(offer.unit_g))
    return max(enough, offer.least_units, offer.steps[-1].at_least, ceil((threshold + Fraction(1, 100)) / cheapest))
