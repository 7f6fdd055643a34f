"""Orders that owners share, invented: one worked out by hand, and others at random with several suppliers."""

import random
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from raworder.trade.plan import Bill, Leftover, OrderLine, Plan, Portion
from raworder.trade.scenario import Scenario
from raworder.trade.units import Currency
from tests import builders as b

OWNERS = ("Ada", "Bo", "Cleo", "Dov", "Eve", "")
DIGITS = (0, 2, 3)

TRIM, NECK, LIVER = (
    b.an_offer("beef trim", key="trim", pack_g=1_000, price="10.00"),
    b.an_offer("chicken neck", key="neck", pack_g=1_000, price="2.50"),
    b.an_offer("lamb liver", key="liver", supplier=b.FENWICK, pack_g=500, price="5.00"),
)
SHARED = b.a_scenario(
    dogs=(b.a_dog("Maple", owner="Ada"), b.a_dog("Juniper", owner="Bo"), b.a_dog("Sorrel", owner="Cleo")),
    cuts=(b.TRIM, b.NECK, b.LIVER, b.HEART),
    offers=(TRIM, NECK, LIVER),
    on_hand=(b.on_hand("beef heart", 500),),
)
SHARED_PLAN = b.a_plan(
    lines=(b.a_line("trim", 4, "40.00"), b.a_line("neck", 4, "10.00"), b.a_line("liver", 1, "5.00")),
    # 10 % of 50.00; 61.00 and 8.00, 69.00 in all
    bills=(b.a_bill(goods="50.00", delivery="6.00", tax="5.00"), b.a_bill(b.FENWICK, "5.00", delivery="3.00")),
    portions=b.portions_g(
        {
            "Maple": {"beef trim": 3_000},
            "Juniper": {"beef trim": 500, "chicken neck": 4_000, "lamb liver": 500},
            "Sorrel": {"beef heart": 400},
        }
    ),
    leftovers=(b.a_leftover("beef trim", bought_g=500, worth="5.00"), b.a_leftover("beef heart", on_hand_g=100)),
)
"""Ada's dog eats trim, Bo's some of everything bought, Cleo's only what was on hand."""


def a_shared_order(chance: random.Random, digits: int = 2) -> tuple[Scenario, Plan]:
    """Up to six owners, of whom one may have no name, seven dogs, six cuts and three suppliers."""
    cuts = tuple(b.a_cut(f"cut {number}") for number in range(chance.randint(1, 6)))
    dogs = tuple(b.a_dog(f"dog {number}", owner=chance.choice(OWNERS)) for number in range(chance.randint(1, 6)))
    offers = tuple(b.an_offer(cut.name, supplier=f"supplier {chance.randint(1, 3)}") for cut in cuts)
    named = (*dogs, b.a_dog("one more", owner="Ada"))
    scenario = replace(b.a_scenario(cuts=cuts, dogs=named, offers=offers), currency=Currency("EUR", digits))
    minor = scenario.currency.minor
    lines = tuple(OrderLine(one.key, chance.randint(1, 9), chance.choice((0, 7, 9_999)) * minor) for one in offers)
    bills = tuple(_bills(chance, scenario, lines))
    portions, leftovers = _eaten(chance, scenario, lines)
    return scenario, b.a_plan(lines=lines, bills=bills, portions=portions, leftovers=leftovers)


def _bills(chance: random.Random, scenario: Scenario, lines: tuple[OrderLine, ...]) -> Iterator[Bill]:
    for supplier in scenario.suppliers:
        mine = [line.goods for line in lines if scenario.offer(line.offer).supplier == supplier.name]
        delivery, tax = (chance.choice((0, 1, 1_000)) * scenario.currency.minor for _ in range(2))
        yield Bill(supplier.name, sum(mine, Decimal(0)), delivery, tax)


def _eaten(
    chance: random.Random, scenario: Scenario, lines: tuple[OrderLine, ...]
) -> tuple[list[Portion], list[Leftover]]:
    portions, leftovers = [], []
    for line in lines:
        cut, bought_g = scenario.offer(line.offer).cut, line.units * 1_000
        ends = sorted(chance.choice((0, bought_g, chance.randint(0, bought_g))) for _ in scenario.dogs)
        for dog, start, end in zip(scenario.dogs, [0, *ends], ends, strict=False):
            if end > start:
                portions.append(Portion(dog.name, cut, end - start))
        if ends[-1] < bought_g:
            leftovers.append(b.a_leftover(cut, bought_g=bought_g - ends[-1]))
    return portions, leftovers
