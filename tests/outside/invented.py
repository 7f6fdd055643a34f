"""Random scenarios from a seed, invented from end to end, for the checks against the outside and the properties.

`invented` draws from everything that a scenario can say. `with_thresholds` makes small orders at suppliers whose
minimum orders, free deliveries and price steps lie above what is needed, so that buying extra is often the cheapest.
`tiny` has two or three cuts in packs and one dog, to be enumerated. Some cuts with bone have a piece weight, and are
fed in whole pieces; others, without one, are weighed.
"""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random

from raworder.trade.cuts import Cut, Measure, Part
from raworder.trade.dogs import Dog, Target
from raworder.trade.scenario import Offer, OnHand, Scenario, Supplier, Variety
from tests import builders as b

MUSCLE, BONE, LIVER, ORGAN = Part.MUSCLE, Part.BONE, Part.LIVER, Part.OTHER_ORGAN

CUTS: tuple[Cut, ...] = (
    b.NECK,
    b.a_cut("turkey neck", species="turkey", kind="neck", parts={MUSCLE: "29/50", BONE: "21/50"}, fat="3/50"),
    b.a_cut("pork rib", species="pork", kind="rib", parts={MUSCLE: "7/10", BONE: "3/10"}, fat="1/5", piece_g=110),
    b.TRIM,
    b.a_cut("pork shoulder", species="pork", kind="shoulder", fat="9/50"),
    b.a_cut("lamb breast", species="lamb", kind="breast", fat="1/4"),
    b.HEART,
    b.LIVER,
    b.a_cut("chicken liver", species="chicken", kind="liver", parts={LIVER: 1}, fat="1/20"),
    b.KIDNEY,
    b.a_cut("pork spleen", species="pork", kind="spleen", parts={ORGAN: 1}, fat="3/100"),
    b.MINCE,
    b.a_cut(
        "ready grind",
        species={"beef": "3/5", "chicken": "2/5"},
        kind="grind",
        parts={MUSCLE: "4/5", BONE: "1/10", LIVER: "1/20", ORGAN: "1/20"},
        fat="3/25",
    ),
    b.a_cut("kale", species="plant", kind="leafy vegetable", parts={Part.VEGETABLES: 1}, fat="1/100"),
)
SUPPLIERS = (b.HOLLOW_LANE, b.FENWICK, b.TIDEWELL, "Marsh Gate")
USUAL_CENTS_PER_KG = 480
POUND_G = Fraction(45359237, 10**5)


def invented(random: Random) -> Scenario:
    """Anything that a scenario can say; most can be fed, some cannot."""
    cuts = _some_cuts(random)
    suppliers = tuple(_supplier(random, name) for name in SUPPLIERS[: random.randint(1, 3)])
    offers = tuple(_offers(random, cuts, suppliers))
    dogs = tuple(_dog(random, name, cuts) for name in ("Maple", "Juniper", "Sorrel")[: random.randint(1, 3)])
    scenario = b.a_scenario(
        title="an invented scenario",
        cuts=cuts,
        suppliers=suppliers,
        offers=offers,
        dogs=dogs,
        on_hand=_lots(random, cuts),
    )
    return _owned(random, _sold_as_in_shops(random, _limited(random, scenario)))


def with_thresholds(random: Random) -> Scenario:
    """A small need at suppliers whose thresholds lie a little above it."""
    cuts = (b.NECK, b.TRIM, b.LIVER)
    dog = b.a_dog(daily_g=random.randint(12, 30) * 10, days=14, targets=_wide(random, plants=False)[:3])
    need_cents = dog.batch_g * USUAL_CENTS_PER_KG // 1000
    suppliers, offers = [], []
    for name in SUPPLIERS[: random.randint(1, 3)]:
        kind = random.choice(("minimum", "free", "step"))
        level = Decimal(need_cents * random.randint(70, 170) // 100).scaleb(-2)
        suppliers.append(
            b.a_supplier(
                name,
                delivery=Decimal(random.randint(300, 1200)).scaleb(-2) if kind != "step" else 0,
                minimum_order=level if kind == "minimum" else 0,
                free_delivery_from=level if kind == "free" else None,
                sales_tax=random.choice((0, Fraction(7, 100))),
            )
        )
        offers += [_pack(random, cut, name, steps=kind == "step") for cut in cuts]
    return b.a_scenario(cuts=cuts, dogs=[dog], suppliers=suppliers, offers=offers)


def tiny(random: Random) -> Scenario:
    """One dog, two or three cuts, whole packs, ranges wide or exact, sometimes delivery, a minimum or a price step."""
    cuts = (b.NECK, b.TRIM, b.LIVER)[: random.randint(2, 3)]
    dog = b.a_dog(daily_g=random.randint(10, 60) * 10, days=random.choice((5, 7)), targets=_tiny_targets(random, cuts))
    names = SUPPLIERS[: random.randint(1, 2)]
    suppliers = [_tiny_supplier(random, name, dog) for name in names]
    offers = [_tiny_offer(random, cut, random.choice(names)) for cut in cuts]
    if random.random() < 0.3:
        offers.append(replace(_tiny_offer(random, random.choice(cuts), random.choice(names)), key="another"))
    lots = [b.on_hand(random.choice(cuts).name, random.randint(1, 20) * 25)] if random.random() < 0.2 else []
    neck = replace(b.NECK, piece_g=random.choice((None, 35, 60, 150)))
    return b.a_scenario(
        days=dog.days, cuts=(neck, *cuts[1:]), dogs=[dog], suppliers=suppliers, offers=offers, on_hand=lots
    )


def _some_cuts(random: Random) -> tuple[Cut, ...]:
    """Something of every part, and a few more, in any order."""
    bone, muscle, organ = (random.sample(CUTS[at:to], 1) for at, to in ((0, 3), (3, 6), (9, 11)))
    liver = random.sample(CUTS[7:9], 1)
    needed = [*bone, *muscle, *liver, *organ]
    others = [cut for cut in CUTS if cut not in needed]
    cuts = needed + random.sample(others, random.randint(0, 4))
    random.shuffle(cuts)
    return tuple(cuts)


def _cents(random: Random, cents: int) -> Decimal:
    return Decimal(max(cents * random.randint(60, 140) // 100, 1)).scaleb(-2)


def _supplier(random: Random, name: str) -> Supplier:
    return b.a_supplier(
        name,
        delivery=_cents(random, 500) if random.random() < 0.6 else 0,
        minimum_order=_cents(random, 2500) if random.random() < 0.4 else 0,
        free_delivery_from=_cents(random, 4000) if random.random() < 0.4 else None,
        sales_tax=random.choice((0, 0, Fraction(7, 100), Fraction(19, 100))),
    )


def _offers(random: Random, cuts: Iterable[Cut], suppliers: tuple[Supplier, ...]) -> Iterable[Offer]:
    """Every cut somewhere, some in several places."""
    for cut in cuts:
        for supplier in random.sample(suppliers, random.choice((1, 1, min(2, len(suppliers))))):
            yield random.choice((_pack, _pack, _by_weight))(random, cut, supplier.name, steps=random.random() < 0.35)


def _pack(random: Random, cut: Cut, supplier: str, *, steps: bool) -> Offer:
    pack_g = random.choice((250, 400, POUND_G, 500, 1000, 2500))
    price = _cents(random, int(USUAL_CENTS_PER_KG * pack_g) // 1000)
    return b.an_offer(
        cut.name,
        supplier=supplier,
        pack_g=pack_g,
        price=price,
        breaks=_breaks(random, price, random.randint(2, 5)) if steps else None,
        available=random.randint(3, 14) if random.random() < 0.25 else None,
    )


def _by_weight(random: Random, cut: Cut, supplier: str, *, steps: bool) -> Offer:
    """To the gram, or in steps of grams at a price per kg, or in tenths of a pound at a price per pound."""
    unit_g = random.choice((1, 1, 50, 100, POUND_G / 10))
    price = _cents(random, USUAL_CENTS_PER_KG)
    breaks = _breaks(random, price, random.randint(1, 4)) if steps else {}
    offer = b.an_offer_by_weight(
        cut.name,
        supplier=supplier,
        unit_g=100 if unit_g == POUND_G / 10 else int(unit_g),
        price_per_kg=price,
        breaks_g={count * 1000: each for count, each in breaks.items()},
        available_g=random.randint(3, 12) * 500 if random.random() < 0.25 else None,
    )
    return replace(offer, unit_g=Fraction(unit_g))


def _breaks(random: Random, price: Decimal, first: int) -> dict[int, Decimal]:
    """One or two steps down, now and then up."""
    after = Decimal(int(price * random.choice((75, 85, 95, 105)))).scaleb(-2)
    steps = {first: max(after, Decimal("0.01"))}
    if random.random() < 0.4:
        steps[first + random.randint(1, 5)] = max(Decimal(int(after * 90)).scaleb(-2), Decimal("0.01"))
    return steps


def _dog(random: Random, name: str, cuts: tuple[Cut, ...]) -> Dog:
    if random.random() < 0.1:
        given = {cut.name: random.randint(1, 20) * 37 for cut in random.sample(cuts, 2)}
        return b.a_dog_in_care(name, given)
    days = random.choice((7, 14, 14))
    plants = any(cut.kind == "leafy vegetable" for cut in cuts) and random.random() < 0.5
    return b.a_dog(
        name,
        daily_g=Fraction(random.randint(600, 4000), 7),
        days=days,
        targets=_wide(random, plants=plants),
        caps=_caps(random),
        avoid=_avoided(random, cuts),
    )


def _wide(random: Random, *, plants: bool) -> tuple[Target, ...]:
    """Ranges around the patterns of the trade; bone is exact now and then."""
    bone = Fraction(random.randint(8, 12), 100)
    slack = Fraction(random.choice((0, 1, 2, 3, 4)), 100)
    muscle = Fraction(random.randint(50, 74), 100)
    organ = Fraction(random.randint(0, 4), 100)
    targets = [
        Target(MUSCLE, muscle, Fraction(88, 100)),
        Target(BONE, bone - slack, bone + slack),
        Target(LIVER, Fraction(random.randint(1, 4), 100), Fraction(random.randint(6, 9), 100)),
        Target(ORGAN, organ, organ + Fraction(4, 100)),
    ]
    return (*targets, Target(Part.VEGETABLES, Fraction(2, 100), Fraction(9, 100))) if plants else tuple(targets)


def _caps(random: Random) -> Iterable:
    if random.random() < 0.6:
        yield b.a_cap(most=Fraction(random.randint(5, 25), 100))
    if random.random() < 0.5:
        yield b.a_cap(Measure.FAT, "", Fraction(random.randint(15, 27), 100))
    if random.random() < 0.15:
        yield b.a_cap(Measure.RICH, "", Fraction(random.randint(5, 15), 100))
    if random.random() < 0.15:
        yield b.a_cap(Measure.SPECIES, "pork", Fraction(random.randint(10, 50), 100))
    if random.random() < 0.1:
        yield b.a_cap(Measure.CUT, "beef trim", Fraction(random.randint(20, 60), 100))


def _avoided(random: Random, cuts: tuple[Cut, ...]) -> Iterable:
    if random.random() < 0.2:
        yield random.choice(
            (
                b.a_subject(Measure.SPECIES, "pork"),
                b.a_subject(Measure.KIND, "heart"),
                b.a_subject(Measure.CUT, random.choice(cuts).name),
            )
        )


def _lots(random: Random, cuts: tuple[Cut, ...]) -> tuple[OnHand, ...]:
    count = random.choice((0, 0, 1, 2))
    return tuple(b.on_hand(random.choice(cuts).name, random.randint(1, 40) * 50) for _ in range(count))


def _owned(random: Random, scenario: Scenario) -> Scenario:
    """Now and then dogs of two owners, or of nobody named, and lots that are an owner's own."""
    if random.random() < 0.5:
        return scenario
    dogs = tuple(replace(dog, owner=random.choice(("", "Ada", "Bo", "Bo"))) for dog in scenario.dogs)
    owners = sorted({dog.owner for dog in dogs})
    lots = tuple(replace(lot, owner=random.choice(owners)) for lot in scenario.on_hand)
    return replace(scenario, dogs=dogs, on_hand=lots)


def _limited(random: Random, scenario: Scenario) -> Scenario:
    """Room, budget, suppliers and variety, tight now and then."""
    fed_g = sum(dog.batch_g for dog in scenario.dogs)
    usual = Decimal(fed_g * USUAL_CENTS_PER_KG // 1000).scaleb(-2)
    return replace(
        scenario,
        room_g=fed_g * random.randint(105, 200) // 100 if random.random() < 0.3 else None,
        budget=(usual * random.randint(80, 200) / 100).quantize(Decimal("0.01")) if random.random() < 0.25 else None,
        most_suppliers=random.randint(1, 2) if random.random() < 0.3 else None,
        variety=Variety(
            random.randint(1, 3), Fraction(random.randint(3, 15), 100), Fraction(random.randint(55, 100), 100)
        )
        if random.random() < 0.3
        else Variety(),
    )


def _sold_as_in_shops(random: Random, scenario: Scenario) -> Scenario:
    """Now and then a trip that costs something, a least line by weight, and no more than so many cuts."""
    scenario = with_trips(random, scenario)
    offers = tuple(
        replace(one, least_units=random.randint(2, 40) * (10 if one.to_the_gram else 1))
        if one.by_weight and random.random() < 0.3
        else one
        for one in scenario.offers
    )
    most_cuts = random.randint(3, 6) if random.random() < 0.15 else None
    return replace(scenario, offers=offers, most_cuts=most_cuts)


def with_trips(random: Random, scenario: Scenario) -> Scenario:
    """The scenario in which the way to one supplier in four costs something."""
    suppliers = (
        replace(one, trip=_cents(random, 300)) if random.random() < 0.25 else one for one in scenario.suppliers
    )
    return replace(scenario, suppliers=tuple(suppliers))


def _tiny_targets(random: Random, cuts: tuple[Cut, ...]) -> tuple[Target, ...]:
    exact = random.random() < 0.3
    bone = Fraction(random.randint(6, 20), 100)
    slack = Fraction(0) if exact else Fraction(random.randint(1, 5), 100)
    targets = [Target(BONE, bone - slack, bone + slack)]
    if len(cuts) == 3:
        liver = Fraction(random.randint(2, 8), 100)
        targets.append(Target(LIVER, liver if exact else liver - Fraction(1, 100), liver + (0 if exact else slack)))
    return tuple(targets)


def _tiny_supplier(random: Random, name: str, dog: Dog) -> Supplier:
    level = Decimal(dog.batch_g * USUAL_CENTS_PER_KG // 1000 * random.randint(40, 150) // 100).scaleb(-2)
    return b.a_supplier(
        name,
        delivery=_cents(random, 300) if random.random() < 0.5 else 0,
        minimum_order=level if random.random() < 0.25 else 0,
        free_delivery_from=level if random.random() < 0.25 else None,
        sales_tax=random.choice((0, 0, Fraction(7, 100))),
    )


def _tiny_offer(random: Random, cut: Cut, supplier: str) -> Offer:
    pack_g = random.choice((250, 300, 500, 700, 1000))
    price = _cents(random, USUAL_CENTS_PER_KG * pack_g // 1000)
    return b.an_offer(
        cut.name,
        supplier=supplier,
        pack_g=pack_g,
        price=price,
        breaks=_breaks(random, price, random.randint(2, 4)) if random.random() < 0.3 else None,
        available=random.randint(1, 6) if random.random() < 0.15 else None,
    )
