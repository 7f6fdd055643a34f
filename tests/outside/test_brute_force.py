"""The cheapest order of tiny scenarios is the cheapest of all that there are, counted out one by one.

**Source:** enumeration. Every number of packs up to a safe bound is tried; whether a purchase can feed the dog is told
exactly, in fractions, by cutting the polygon of all mixtures with each rule, for every number of whole pieces and
every choice of weighed cuts; its cost is whole hundredths of a cent.

The bound is safe: a pack more than feeds the whole ration, reaches the last price step and reaches every threshold of
its supplier with this offer alone could be left out again, and nothing but the bill would change.
"""

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from math import ceil
from random import Random
from typing import Any

import numpy as np

from raworder.solving.cheapest import cheapest
from raworder.solving.search import ANY_CHEAPEST, Impossible
from raworder.solving.solver import Settings
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Part
from raworder.trade.plan import Allocation
from raworder.trade.scenario import Offer, Scenario
from tests import builders as b
from tests.drawn import drawn, seeds
from tests.outside.invented import tiny, with_trips

EACH, SEEN = 30, 600
PARTS_OF_ONE = 10_000
"""Costs are counted in ten-thousandths: cents times a tax in whole percent."""
Point = tuple[Fraction, ...]


def tiny_and_far(seed: int) -> Scenario:
    """A tiny scenario, with trips that cost something."""
    return with_trips(Random(seed), tiny(Random(seed)))


@drawn(blocks=2)
def test_the_cheapest_order_is_the_cheapest_of_all(block: int) -> None:
    feasible = 0
    for seed in seeds(block, EACH):
        scenario = tiny_and_far(seed)
        least = least_cost_of_all(scenario)
        found = cheapest(scenario, Settings(), ANY_CHEAPEST)
        if least is None:
            assert isinstance(found, Impossible), seed
        else:
            assert isinstance(found, Allocation), seed
            assert found.proof.proved, seed
            assert abs(Fraction(found.proof.bound) - least) < Fraction(1, 100_000), seed
            feasible += 1
    assert feasible > EACH // 6


def test_counting_out_knows_a_case_done_by_hand() -> None:
    """3.5 kg at 10 % bone: 0.875 kg of neck (0.4 bone) and 2.625 kg of trim; one neck, three trims, 2.40 + 9.00."""
    dog = b.a_dog(days=7, targets=[b.a_target(low="1/10", high="1/10")])
    offers = [b.an_offer("chicken neck", price="2.40"), b.an_offer("beef trim", price="3.00")]
    divided = Portioning(divided=frozenset({"chicken neck"}))
    scenario = b.a_scenario(days=7, dogs=[dog], cuts=(b.NECK, b.TRIM), offers=offers, portioning=divided)
    assert least_cost_of_all(scenario) == Fraction(1140, 100)


def test_counting_out_knows_that_pieces_are_whole() -> None:
    """350 g of bone are no whole number of necks of 60 g, 24 g of bone each; 360 g are: 15 necks, 900 g of the pack."""
    offers = [b.an_offer("chicken neck", price="2.40"), b.an_offer("beef trim", price="3.00")]
    for high, cost in (("1/10", None), ("36/350", Fraction(1140, 100))):
        dog = b.a_dog(days=7, targets=[b.a_target(low="1/10", high=high)])
        scenario = b.a_scenario(days=7, dogs=[dog], cuts=(b.NECK, b.TRIM), offers=offers)
        assert least_cost_of_all(scenario) == cost


def test_counting_out_knows_the_least_portion() -> None:
    """3.5 kg at 0.2 % liver are 7 g, which nobody weighs; at 0.3 % they are 10.5 g."""
    offers = [b.an_offer("beef trim", pack_g=500, price=1), b.an_offer("lamb liver", pack_g=500, price=1)]
    for share, cost in (("2/1000", None), ("3/1000", 8)):
        dog = b.a_dog(days=7, targets=[b.a_target(Part.LIVER, share, share)])
        scenario = b.a_scenario(days=7, dogs=[dog], cuts=(b.TRIM, b.LIVER), offers=offers)
        assert least_cost_of_all(scenario) == cost


def test_counting_out_knows_an_impossible_case() -> None:
    """Trim has no bone."""
    dog = b.a_dog(days=7, targets=[b.a_target(low="1/10", high="1/10")])
    assert least_cost_of_all(b.a_scenario(days=7, dogs=[dog])) is None


def test_what_is_counted_out_holds_every_kind_of_charge() -> None:
    scenarios = [tiny_and_far(seed) for seed in range(SEEN)]
    suppliers = [supplier for scenario in scenarios for supplier in scenario.suppliers]
    assert sum(bool(one.delivery) for one in suppliers) > 100
    assert sum(bool(one.minimum_order) for one in suppliers) > 100
    assert sum(one.free_delivery_from is not None for one in suppliers) > 100
    assert sum(len(offer.steps) > 1 for scenario in scenarios for offer in scenario.offers) > 100
    assert sum(bool(one.trip) for one in suppliers) > 100
    assert sum(bool(scenario.on_hand) for scenario in scenarios) > 50
    assert sum(scenario.cuts[0].piece_g is not None for scenario in scenarios) > 300


def least_cost_of_all(scenario: Scenario) -> Fraction | None:
    """The least cost of any purchase that feeds the dog; None when no purchase does."""
    mixtures = list(_portionable(scenario))
    counts = np.indices([_most_packs(scenario, offer) + 1 for offer in scenario.offers]).reshape(
        len(scenario.offers), -1
    )
    costs, allowed = _costs(scenario, counts)
    there_g = _there_g(scenario, counts)
    known: dict[tuple[int, ...], bool] = {}
    order = np.flatnonzero(allowed)
    for at in order[np.argsort(costs[order], kind="stable")]:
        held = tuple(there_g[:, at].tolist())
        if held not in known:
            known[held] = _feeds(mixtures, held)
        if known[held]:
            return Fraction(int(costs[at]), PARTS_OF_ONE)
    return None


def _most_packs(scenario: Scenario, offer: Offer) -> int:
    supplier = scenario.supplier(offer.supplier)
    dearest_threshold = max(Fraction(supplier.minimum_order), Fraction(supplier.free_delivery_from or 0))
    reach = ceil(dearest_threshold / min(step.unit_price for step in offer.steps))
    most = max(ceil(Fraction(scenario.dogs[0].batch_g, offer.unit_g)), offer.steps[-1].at_least, reach)
    return most if offer.available is None else min(most, offer.available)


def _costs(scenario: Scenario, counts: Any) -> tuple[Any, Any]:
    """The cost of every purchase in ten-thousandths, trips counted, and which purchases the suppliers accept."""
    costs = np.zeros(counts.shape[1], dtype=np.int64)
    allowed = np.ones(counts.shape[1], dtype=bool)
    for supplier in scenario.suppliers:
        goods = np.zeros_like(costs)
        bought = np.zeros_like(allowed)
        for number, offer in enumerate(scenario.offers):
            if offer.supplier == supplier.name:
                prices = np.array([_cents(offer.step_for(n).unit_price * n) for n in range(counts[number].max() + 1)])
                goods += prices[counts[number]]
                bought |= counts[number] > 0
        allowed &= ~bought | (goods >= _cents(supplier.minimum_order))
        free = goods >= _cents(supplier.free_delivery_from) if supplier.free_delivery_from is not None else ~bought
        costs += goods * int(100 * (1 + supplier.sales_tax)) + np.where(
            bought & ~free, 100 * _cents(supplier.delivery), 0
        )
        costs += np.where(bought, 100 * _cents(supplier.trip), 0)
    return costs, allowed


def _cents(money: Any) -> int:
    cents = Fraction(money) * 100
    assert cents.denominator == 1
    return int(cents)


def _there_g(scenario: Scenario, counts: Any) -> Any:
    """Grams there are of each cut, no more than the dog eats; of each lot and offer only its whole pieces."""
    rows = []
    for cut in scenario.cuts:
        piece_g = scenario.portioning.whole_piece_g(cut) or 1
        lots_g = sum(lot.grams // piece_g * piece_g for lot in scenario.on_hand if lot.cut == cut.name)
        grams = np.full(counts.shape[1], lots_g, dtype=np.int64)
        for number, offer in enumerate(scenario.offers):
            if offer.cut == cut.name:
                grams += int(offer.unit_g) * counts[number] // piece_g * piece_g
        rows.append(np.minimum(grams, scenario.dogs[0].batch_g))
    return np.array(rows)


def _mixtures(scenario: Scenario) -> Iterator[Point]:
    """The corners of all mixtures that the dog's ranges allow, however much there is of each cut."""
    dog = scenario.dogs[0]
    corners: list[Point] = [
        tuple(Fraction(dog.batch_g if one == cut else 0) for one in scenario.cuts) for cut in scenario.cuts
    ]
    for target in dog.targets:
        shares = [cut.part_share(target.part) for cut in scenario.cuts]
        corners = _cut_off(corners, [share - target.high for share in shares], Fraction(0))
        corners = _cut_off(corners, [target.low - share for share in shares], Fraction(0))
    yield from corners


def _portionable(scenario: Scenario) -> Iterator[list[Point]]:
    """The mixtures, for every number of pieces and every choice of weighed cuts of which there is some at all."""
    least_g = scenario.portioning.least_portion_g
    choices = [_amounts(scenario, cut, least_g) for cut in scenario.cuts]
    for ends in product(*choices):
        corners = list(_mixtures(scenario))
        for number, (low_g, high_g) in enumerate(ends):
            corners = _cut_off(corners, _only(number, len(ends)), Fraction(high_g))
            corners = _cut_off(corners, [-factor for factor in _only(number, len(ends))], Fraction(-low_g))
        if corners:
            yield corners


def _amounts(scenario: Scenario, cut: Cut, least_g: int) -> list[tuple[int, int]]:
    """The amounts of a cut that can be portioned, as ranges: so many pieces, or nothing, or the least and more.

    A piece and a least portion of another cut fit a day's bag less a scale step, and the bone in it fits the day. There
    are no more pieces than all days hold.
    """
    batch_g, day_g = scenario.dogs[0].batch_g, min(scenario.dogs[0].day_g)
    piece_g = scenario.portioning.whole_piece_g(cut)
    if piece_g is None:
        return [(0, 0), (least_g, batch_g)]
    fits = piece_g + least_g <= day_g - scenario.portioning.scale_step_g
    fits = fits and piece_g * cut.part_share(Part.BONE) <= _most_bone(scenario) * day_g
    bone_g = piece_g * cut.part_share(Part.BONE)
    a_day = [
        min((day_g - least_g) // piece_g, _most_bone(scenario) * day_g // bone_g) for day_g in scenario.dogs[0].day_g
    ]
    most = min(batch_g // piece_g, sum(a_day)) if fits else 0
    return [(pieces * piece_g, pieces * piece_g) for pieces in range(most + 1)]


def _most_bone(scenario: Scenario) -> Fraction:
    """30 % of a day's food, or five thirds of the high end of the dog's own range."""
    highs = [target.high for target in scenario.dogs[0].targets if target.part is Part.BONE]
    return max([Fraction(3, 10), *(Fraction(5, 3) * high for high in highs)])


def _only(number: int, cuts: int) -> list[Fraction]:
    """Factors that count one cut and no other."""
    return [Fraction(int(other == number)) for other in range(cuts)]


def _feeds(mixtures: list[list[Point]], held_g: tuple[int, ...]) -> bool:
    """Whether some mixture takes no more of any cut than there is."""
    for corners in mixtures:
        left = corners
        for number, grams in enumerate(held_g):
            left = _cut_off(left, _only(number, len(held_g)), Fraction(grams))
        if left:
            return True
    return False


def _cut_off(corners: list[Point], factors: list[Fraction], most: Fraction) -> list[Point]:
    """The corners of what is left of a convex polygon where the sum of factor times coordinate is at most `most`."""
    over = [sum((f * x for f, x in zip(factors, point, strict=True)), -most) for point in corners]
    left: list[Point] = []
    for number, (point, value) in enumerate(zip(corners, over, strict=True)):
        before, earlier = corners[number - 1], over[number - 1]
        if earlier * value < 0:
            part = earlier / (earlier - value)
            left.append(tuple(x + part * (y - x) for x, y in zip(before, point, strict=True)))
        if value <= 0:
            left.append(point)
    return left
