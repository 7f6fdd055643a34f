"""A large invented scenario, as data: many dogs in few groups, many offers of several suppliers."""

import random
from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.reading.reference import read_cuts
from raworder.trade.cuts import Cut, Measure, Part, Subject
from raworder.trade.dogs import Cap, Dog, Target
from raworder.trade.scenario import Batch, Offer, PriceStep, Scenario, Supplier
from raworder.trade.units import Currency

PREY_MODEL = ((Part.MUSCLE, 76, 84), (Part.BONE, 8, 12), (Part.LIVER, 4, 6), (Part.OTHER_ORGAN, 4, 6))
DAYS = 14


def big_scenario(*, dogs: int = 200, groups: int = 12, offers: int = 600, suppliers: int = 12) -> Scenario:
    """So many dogs in so many groups, fed from so many offers; the same one at every call."""
    chance = random.Random(20270206)
    cuts = tuple(one.cut for one in read_cuts() if "plant" not in one.cut.species_names)
    sellers = tuple(_supplier(number, chance) for number in range(suppliers))
    lines = tuple(_offer(number, cuts, sellers, chance) for number in range(offers))
    sold = {offer.cut for offer in lines}
    return Scenario(
        title="invented",
        currency=Currency("EUR", 2),
        weight_unit="kg",
        batch=Batch(date(2027, 2, 6), DAYS),
        dogs=tuple(_dog(number, number % groups, chance) for number in range(dogs)),
        cuts=tuple(cut for cut in cuts if cut.name in sold),
        suppliers=sellers,
        offers=lines,
    )


def _dog(number: int, group: int, chance: random.Random) -> Dog:
    """A dog whose rules are those of its group: a cap on fat and one species to avoid."""
    daily_g = Fraction(chance.randrange(150, 900, 10))
    avoided = ("", "chicken", "beef", "pork")[group % 4]
    fat = Cap(Subject(Measure.FAT, ""), Fraction(15 + group // 4, 100))
    heart = Cap(Subject(Measure.KIND, "heart"), Fraction(1, 10))
    return Dog(
        name=f"dog {number:03}",
        weight_g=int(daily_g * 40),
        daily_g=daily_g,
        days=DAYS,
        batch_g=int(daily_g * DAYS),
        ration_says="2.5 %",
        day_g=(int(daily_g),) * DAYS,
        targets=tuple(Target(part, Fraction(low, 100), Fraction(high, 100)) for part, low, high in PREY_MODEL),
        targets_named="prey model",
        caps=(fat, heart),
        avoid=(Subject(Measure.SPECIES, avoided),) if avoided else (),
    )


def _supplier(number: int, chance: random.Random) -> Supplier:
    """A supplier that charges for delivery, and every second one asks for a minimum order."""
    delivery = Decimal(chance.randrange(800, 3000)) / 100
    minimum = Decimal(chance.choice([0, 60, 120]))
    return Supplier(f"supplier {number:02}", delivery=delivery, minimum_order=minimum)


def _offer(number: int, cuts: tuple[Cut, ...], sellers: tuple[Supplier, ...], chance: random.Random) -> Offer:
    """A pack of some cut, every fifth with a price break."""
    cut, seller = chance.choice(cuts), sellers[number % len(sellers)]
    pack_g = chance.choice([500, 1000, 2500, 5000, 10000])
    price = (Decimal(chance.randrange(120, 900)) / 100 * pack_g / 1000).quantize(Decimal("0.01"))
    steps = [PriceStep(1, Fraction(price), price, "pack")]
    if number % 5 == 0:
        lower = (price * Decimal("0.93")).quantize(Decimal("0.01"))
        steps.append(PriceStep(4, Fraction(lower), lower, "pack"))
    return Offer(f"{seller.name}/{cut.name}/{number}", seller.name, cut.name, "", Fraction(pack_g), False, tuple(steps))
