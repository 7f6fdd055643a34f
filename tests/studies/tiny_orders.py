"""All orders of a tiny scenario that feed its dog, counted out one by one, with what they cost in exact money.

**Source:** enumeration, with the polygons of mixtures that `tests/outside/test_brute_force.py` cuts in fractions.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from math import prod

import numpy as np

from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario
from tests.outside import test_brute_force as counting


@dataclass(frozen=True)
class Counted:
    """One order: packs of every offer, what it costs exactly, what is printed, and grams there are of every cut."""

    packs: tuple[int, ...]
    exact: Fraction
    printed: Decimal
    there_g: tuple[int, ...]


def feeding_orders(scenario: Scenario) -> list[Counted]:
    """Every order that suppliers accept and that feeds the dog."""
    most = _ways(scenario)
    counts = np.indices(most).reshape(len(most), -1)
    costs, allowed = counting._costs(scenario, counts)
    there_g = counting._there_g(scenario, counts)
    mixtures = list(counting._portionable(scenario))
    known: dict[tuple[int, ...], bool] = {}
    found = []
    for at in np.flatnonzero(allowed):
        held = tuple(there_g[:, at].tolist())
        if held not in known:
            known[held] = counting._feeds(mixtures, held)
        if known[held]:
            packs = tuple(counts[:, at].tolist())
            exact = Fraction(int(costs[at]), counting.PARTS_OF_ONE)
            found.append(Counted(packs, exact, printed(scenario, packs), held))
    return found


def orders_of(scenario: Scenario) -> int:
    """How many orders have to be looked at."""
    return prod(_ways(scenario))


def _ways(scenario: Scenario) -> list[int]:
    return [counting._most_packs(scenario, offer) + 1 for offer in scenario.offers]


def printed(scenario: Scenario, packs: tuple[int, ...]) -> Decimal:
    """What stands under the bills: the tax of each rounded, half a cent up."""
    cents = 0
    for supplier in scenario.suppliers:
        bought = [
            (offer, n) for offer, n in zip(scenario.offers, packs, strict=True) if offer.supplier == supplier.name
        ]
        goods = sum((offer.step_for(n).unit_price * n for offer, n in bought), Fraction(0))
        free = supplier.free_delivery_from is not None and goods >= supplier.free_delivery_from
        if any(n for _, n in bought):
            cents += half_up(100 * goods) + half_up(100 * goods * supplier.sales_tax)
            cents += 0 if free else half_up(100 * Fraction(supplier.delivery))
    return Decimal(cents).scaleb(-2)


def most_species(scenario: Scenario, order: Counted, share: Fraction) -> int:
    """The most species that the dog can get of an order, each at least a share; every cut is of its own species."""
    assert len({name for cut in scenario.cuts for name in cut.species_names}) == len(scenario.cuts)
    least = share * scenario.dogs[0].batch_g
    for count in range(len(scenario.cuts), 0, -1):
        for cuts in combinations(range(len(scenario.cuts)), count):
            if any(True for _ in _with_these(scenario, order, cuts, least)):
                return count
    return 0


def _with_these(scenario: Scenario, order: Counted, cuts: tuple[int, ...], least: Fraction) -> Iterator[object]:
    """The mixtures with so much of each of some cuts, and no more of any than there is."""
    for corners in counting._portionable(scenario):
        left = corners
        for number, grams in enumerate(order.there_g):
            left = counting._cut_off(left, counting._only(number, len(order.there_g)), Fraction(grams))
        for number in cuts:
            factors = [-factor for factor in counting._only(number, len(order.there_g))]
            left = counting._cut_off(left, factors, -least)
        if left:
            yield left
