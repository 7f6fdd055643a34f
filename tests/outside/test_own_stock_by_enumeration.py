"""Owners' own stock in tiny households: the cheapest order is the cheapest of all that there are, counted out.

**Source:** enumeration. Rations, lots, packs and caps are whole steps of 100 g, and which food goes to which dog is a
network, so some cheapest order feeds whole steps; every way of feeding them is tried.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product
from random import Random

from raworder.solving.solver import Settings
from raworder.trade.cuts import Measure
from raworder.trade.dogs import Dog
from raworder.trade.plan import NoPlan, Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch
from tests import builders as b
from tests.drawn import drawn, seeds

EACH = 40
STEP_G = 100
LAMB = b.a_cut("lamb shoulder", species="lamb", kind="shoulder")
CUTS = (b.TRIM.name, LAMB.name)


def household(random: Random) -> Scenario:
    """Two or three dogs of two owners or nobody's, two cuts in packs, up to four lots of theirs or of all."""
    dogs = [_dog(random, name) for name in ("Maple", "Juniper", "Pip")[: random.randint(2, 3)]]
    lots = [
        b.on_hand(random.choice(CUTS), random.randint(1, 15) * STEP_G, owner=random.choice(("Ada", "Bo", "Bo", "")))
        for _ in range(random.randint(1, 4))
    ]
    offers = [
        b.an_offer(
            cut,
            key=cut,
            pack_g=random.choice((300, 500, 1_000)),
            price=f"{random.randint(100, 400) / 100:.2f}",
            available=random.choice((1, 3, None)),
        )
        for cut in CUTS
    ]
    return b.a_scenario(days=5, dogs=dogs, cuts=(b.TRIM, LAMB), offers=offers, on_hand=lots)


def _dog(random: Random, name: str) -> Dog:
    """A dog that eats one or two kilograms, of each cut at most some tenths."""
    caps = [b.a_cap(Measure.CUT, cut, f"{random.randint(5, 10)}/10") for cut in CUTS]
    owner = random.choice(("Ada", "Bo", ""))
    return b.a_dog(name, days=5, daily_g=random.choice((200, 400)), caps=caps, owner=owner)


@dataclass(frozen=True)
class Stock:
    """What there is of one cut, in grams and cents: by owner, for all, and to be bought."""

    own_g: dict[str, int]
    for_all_g: int
    pack_g: int
    cents: int
    packs: int

    def cost(self, eaten_g: dict[str, int]) -> int | None:
        """The least that feeds each owner's dogs so much of it; None where there is not enough."""
        beyond_g = sum(max(grams - self.own_g.get(owner, 0), 0) for owner, grams in eaten_g.items())
        packs = -(-max(beyond_g - self.for_all_g, 0) // self.pack_g)
        return packs * self.cents if packs <= self.packs else None


def stock_of(scenario: Scenario, cut: str) -> Stock:
    """What there is of a cut."""
    lots = [lot for lot in scenario.on_hand if lot.cut == cut]
    own = {owner: sum(lot.grams for lot in lots if lot.owner == owner) for owner in ("Ada", "Bo")}
    offer = scenario.offer(cut)
    most = 99 if offer.available is None else offer.available
    for_all_g = sum(lot.grams for lot in lots if not lot.owner)
    return Stock(own, for_all_g, int(offer.unit_g), int(offer.steps[0].listed * 100), most)


def ways_of_feeding(scenario: Scenario) -> Iterator[tuple[dict[str, int], dict[str, int]]]:
    """What each owner's dogs eat of trim and of lamb, for all ways in whole steps."""
    ranges = []
    for dog in scenario.dogs:
        trim_g, lamb_g = (int(cap.most * dog.batch_g) for cap in dog.caps)
        ranges.append(range(max(dog.batch_g - lamb_g, 0), trim_g + 1, STEP_G))
    for way in product(*ranges):
        trim, lamb = dict.fromkeys(("Ada", "Bo", ""), 0), dict.fromkeys(("Ada", "Bo", ""), 0)
        for dog, grams in zip(scenario.dogs, way, strict=True):
            trim[dog.owner] += grams
            lamb[dog.owner] += dog.batch_g - grams
        yield trim, lamb


def least_cents(scenario: Scenario) -> int | None:
    """The least that an order can cost; None where there is no plan."""
    stocks = [stock_of(scenario, cut) for cut in CUTS]
    costs = [
        sum(both)
        for way in ways_of_feeding(scenario)
        if None not in (both := [stock.cost(eaten) for stock, eaten in zip(stocks, way, strict=True)])
    ]
    return min(costs, default=None)


@drawn()
def test_own_stock_makes_an_order_as_dear_as_it_must_and_no_dearer(block: int) -> None:
    planned = dearer = 0
    for seed in seeds(block, EACH):
        scenario = household(Random(seed))
        least = least_cents(scenario)
        found = order_batch(scenario, Settings())
        if least is None:
            assert isinstance(found, NoPlan), seed
            continue
        assert isinstance(found, Plan), seed
        assert found.total * 100 == least, seed
        for_all = order_batch(
            replace(scenario, on_hand=tuple(replace(lot, owner="") for lot in scenario.on_hand)), Settings()
        )
        assert isinstance(for_all, Plan), seed
        planned, dearer = planned + 1, dearer + (for_all.total < found.total)
    assert planned > EACH // 4
    assert dearer > 0


def test_a_case_done_by_hand() -> None:
    """Ada's dog eats 1 kg of her 3 kg of trim; Bo's gets two packs of a kilogram, 4.80, though 2 kg stay frozen."""
    dogs = [b.a_dog(name, days=5, daily_g=grams, owner=owner) for name, grams, owner in
            (("Maple", 200, "Ada"), ("Pip", 400, "Bo"))]  # fmt: skip
    scenario = b.a_scenario(days=5, dogs=dogs, on_hand=[b.on_hand(grams=3_000, owner="Ada")])
    found = order_batch(scenario, Settings())
    assert isinstance(found, Plan)
    assert found.total == b.euros("4.80")
    assert [(use.lot, use.used_g) for use in found.lots_used] == [(0, 1_000)]
    assert found.leftovers == (b.a_leftover("beef trim", on_hand_g=2_000),)
