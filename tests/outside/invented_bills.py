"""Random scenarios from a seed in which the bill depends on every gram and every cent; invented from end to end.

Meat is sold to the gram or in packs at prices with odd cents, at suppliers with minimum orders, free delivery, price
steps and sales tax. `weighed` has several dogs and parts. `one_meat` has one dog that eats nothing but muscle of two or
three offers, so that every order of whole grams can be counted out.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random

from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Dog, Target
from raworder.trade.scenario import Offer, Scenario, Supplier
from tests import builders as b

MUSCLE, LIVER = Part.MUSCLE, Part.LIVER
MEATS: tuple[Cut, ...] = (
    b.TRIM,
    b.a_cut("pork shoulder", species="pork", kind="shoulder", fat="9/50"),
    b.a_cut("lamb breast", species="lamb", kind="breast", fat="1/4"),
)
LIVERS: tuple[Cut, ...] = (
    b.LIVER,
    b.a_cut("chicken liver", species="chicken", kind="liver", parts={LIVER: 1}, fat="1/20"),
    b.a_cut("pork liver", species="pork", kind="liver", parts={LIVER: 1}, fat="1/25"),
)
SUPPLIERS = (b.HOLLOW_LANE, b.FENWICK)
TAXES = (0, 0, Fraction(5, 100), Fraction(7, 100), Fraction(725, 10_000))


def weighed(random: Random) -> Scenario:
    """One to three dogs, one to three offers of meat and of liver; at least two of meat."""
    dogs = [_dog(random, name) for name in ("Maple", "Juniper", "Sorrel")[: random.randint(1, 3)]]
    need_cents = sum(dog.batch_g for dog in dogs) * 480 // 1000
    suppliers = [_supplier(random, name, need_cents) for name in SUPPLIERS[: random.randint(1, 2)]]
    meats = _offers(random, random.choices(MEATS, k=random.randint(2, 3)), suppliers, weighed_of_ten=8)
    livers = _offers(random, random.choices(LIVERS, k=random.randint(1, 3)), suppliers, weighed_of_ten=6)
    return _scenario(dogs, [*meats, *livers], suppliers)


def one_meat(random: Random) -> Scenario:
    """One small dog that eats nothing but muscle, of two or three offers to the gram, one in packs now and then."""
    days = random.choice((1, 2))
    dog = b.a_dog(daily_g=random.randint(20, 40), days=days, targets=[Target(MUSCLE, Fraction(1), Fraction(1))])
    suppliers = [_supplier(random, name, dog.batch_g * 480 // 1000) for name in SUPPLIERS[: random.randint(1, 2)]]
    offers = list(_offers(random, MEATS[: random.randint(2, 3)], suppliers, weighed_of_ten=10))
    if random.random() < 0.3:
        offers[-1] = replace(_pack(random, MEATS[len(offers) - 1], random.choice(suppliers).name, 50), key="pack")
    return _scenario([dog], offers, suppliers, days=days)


def without(scenario: Scenario, offer: Offer) -> Scenario:
    """The scenario in which the offer is not sold; all else, its cut among it, is as it was."""
    return replace(scenario, offers=tuple(one for one in scenario.offers if one != offer))


def _scenario(dogs: Sequence[Dog], offers: Sequence[Offer], suppliers: Sequence[Supplier], days: int = 7) -> Scenario:
    """All cuts are known, also those that nobody sells; to the gram, without a least portion of more."""
    gram = Portioning(scale_step_g=1, least_portion_g=1)
    cuts = (*MEATS, *LIVERS)
    return b.a_scenario(days=days, dogs=dogs, cuts=cuts, offers=offers, suppliers=suppliers, portioning=gram)


def _dog(random: Random, name: str) -> Dog:
    low = Fraction(random.randint(3, 6), 100)
    liver = Target(LIVER, low, low + Fraction(random.choice((0, 1, 2, 3)), 100))
    return b.a_dog(name, daily_g=random.randint(90, 500), days=7, targets=[liver])


def _supplier(random: Random, name: str, need_cents: int) -> Supplier:
    level = Decimal(need_cents * random.randint(20, 120) // 100).scaleb(-2)
    return b.a_supplier(
        name,
        delivery=Decimal(random.randint(50, 400)).scaleb(-2) if random.random() < 0.6 else 0,
        minimum_order=level if random.random() < 0.4 else 0,
        free_delivery_from=b.euros(level * Decimal("1.3")) if random.random() < 0.4 else None,
        sales_tax=random.choice(TAXES),
        trip=Decimal(random.randint(10, 200)).scaleb(-2) if random.random() < 0.3 else 0,
    )


def _offers(random: Random, cuts: Iterable[Cut], suppliers: Sequence[Supplier], weighed_of_ten: int) -> Iterable[Offer]:
    for number, cut in enumerate(cuts):
        name = random.choice(suppliers).name
        is_weighed = random.randrange(10) < weighed_of_ten
        offer = _by_weight(random, cut, name) if is_weighed else _pack(random, cut, name, random.choice((100, 350)))
        yield replace(offer, key=f"{number} {offer.key}")


def _by_weight(random: Random, cut: Cut, supplier: str) -> Offer:
    price = Decimal(random.randint(380, 560)).scaleb(-2)
    breaks = {random.randint(20, 150): price - Decimal("0.37")} if random.random() < 0.2 else None
    least_g = random.choice((1, 1, 1, random.randint(5, 60)))
    return b.an_offer_by_weight(cut.name, supplier=supplier, price_per_kg=price, breaks_g=breaks, least_g=least_g)


def _pack(random: Random, cut: Cut, supplier: str, pack_g: int) -> Offer:
    """A pack with a price of its own, or one that stands in thousandths, as a catch weight's mean does."""
    cents = pack_g * random.randint(380, 560) // 1000
    thousandths = random.choice((0, 0, 3, 7))
    return b.an_offer(cut.name, supplier=supplier, pack_g=pack_g, price=Decimal(10 * cents + thousandths).scaleb(-3))
