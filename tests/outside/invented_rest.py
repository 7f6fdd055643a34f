"""Random scenarios in which dogs need energy at rest and food must have been frozen first, invented from end to end.

They are those of `invented` with weights, goals, other food, treats and rations in energy for the dogs, with energy for
most cuts, with cautions for pork, lamb and a fish, and with offers and lots that were frozen for longer or shorter.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from random import Random

from raworder.reading.rations import least_day_g
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Dog, EnergyRation, Goal, OtherFood
from raworder.trade.nutrients import Analysis
from raworder.trade.scenario import Offer, OnHand, Scenario, Variety
from tests import builders as b
from tests.outside.invented import USUAL_CENTS_PER_KG, invented

FISH = b.a_cut("sprat", species="sprat", kind="whole fish", parts={Part.MUSCLE: 1}, fat="7/100")
ASKING = {"pork": "raw-pork", "lamb": "sheep-meat-tapeworm", "sprat": "raw-fish-parasites"}
"""The caution of a species that asks for freezing first."""

AT_REST, LOSING = 70, 53
"""The kcal for each kilogram to the power 0.75, of the weight and, while it is to lose, of the ideal weight."""


def resting_and_frozen(random: Random) -> Scenario:
    """A scenario in which both rules have something to say; most can be fed, some cannot."""
    plain = replace(invented(random), budget=None, room_g=None, most_suppliers=None)
    fish = (FISH,) if random.random() < 0.4 else ()
    cuts = tuple(_with_energy(random, _with_caution(cut)) for cut in (*plain.cuts, *fish))
    cheap = tuple(_fish_offer(random, plain.suppliers[0].name) for _ in fish)
    pricey = {offer.key: _frozen(random, offer, plain) for offer in (*plain.offers, *cheap)}
    return replace(
        plain,
        cuts=cuts,
        offers=tuple(pricey.values()),
        dogs=tuple(_hungry(random, dog, cuts) for dog in plain.dogs),
        on_hand=(*(_dated(random, lot, plain) for lot in plain.on_hand), *_lots_that_ask(random, cuts, plain)),
        variety=plain.variety if random.random() < 0.3 else Variety(),
        portioning=Portioning(divided=frozenset(cut.name for cut in cuts if random.random() < 0.6)),
        hold_days=random.choice((0, 0, 0, 0, 0, 5, 10, 20, None)),
    )


def _with_caution(cut: Cut) -> Cut:
    """The cut with the cautions of its species; of a mix those of what is in it."""
    if cut.ingredients:
        return replace(cut, ingredients=tuple(map(_with_caution, cut.ingredients)))
    return replace(cut, cautions=tuple(ASKING[name] for name in cut.species_names if name in ASKING))


def _with_energy(random: Random, cut: Cut) -> Cut:
    """Energy that is known of most cuts; plants have little."""
    if random.random() < 0.1:
        return cut
    kcal = random.randint(15, 60) if "plant" in cut.species_names else random.randint(90, 330)
    return replace(cut, analysis=Analysis((("energy", Fraction(kcal)),)))


def _fish_offer(random: Random, supplier: str) -> Offer:
    price = Decimal(USUAL_CENTS_PER_KG * random.randint(10, 30) // 100).scaleb(-2)
    return b.an_offer(FISH.name, supplier=supplier, pack_g=500, price=price)


def _frozen(random: Random, offer: Offer, scenario: Scenario) -> Offer:
    """The offer as it comes: fresh, frozen for so many days, or frozen on a day."""
    way = random.random()
    if way < 0.4:
        return offer
    if way < 0.8:
        return replace(offer, frozen_days=random.choice((1, 5, 7, 10, 15, 19, 20, 20, 30, 40)))
    return replace(offer, frozen_on=scenario.batch.starts - timedelta(random.randint(-2, 30)))


def _dated(random: Random, lot: OnHand, scenario: Scenario) -> OnHand:
    """The lot with the day on which it was frozen, where that is known."""
    if random.random() < 0.4:
        return lot
    return replace(
        lot, frozen_on=scenario.batch.starts - timedelta(random.choice((-1, 0, 3, 7, 8, 10, 11, 20, 21, 40)))
    )


def _lots_that_ask(random: Random, cuts: Iterable[Cut], scenario: Scenario) -> Iterator[OnHand]:
    """Food on hand for nothing, that must have been frozen first."""
    for cut in cuts:
        asks = any(one.cautions for one in (cut, *cut.ingredients))
        for _ in range(random.choice((0, 1, 2)) if asks else 0):
            yield _dated(random, b.on_hand(cut.name, random.randint(2, 30) * 50), scenario)


def _hungry(random: Random, dog: Dog, cuts: tuple[Cut, ...]) -> Dog:
    """The dog with a weight at which it needs about what such food holds, and with what it eats beside."""
    if dog.care or random.random() < 0.1:
        return dog
    # a day's food at 1.8 to 3.0 kcal a gram is what the dog needs at rest
    rest_kcal = float(dog.daily_g) * random.randint(18, 30) / 10
    kg = (rest_kcal / AT_REST) ** (4 / 3)
    weight_g = max(round(kg * 1000), 500)
    lean_g = weight_g * random.randint(75, 95) // 100 if random.random() < 0.3 else None
    need = Fraction(LOSING * (lean_g / 1000) ** 0.75 if lean_g else AT_REST * (weight_g / 1000) ** 0.75)
    hungry = replace(
        dog,
        weight_g=weight_g,
        ideal_weight_g=lean_g,
        goal=Goal.LOSE if lean_g else Goal.KEEP,
        resting_kcal=need,
        resting_share=Fraction(random.random() > 0.05),
        other_food=_other_food(random, need),
        treats_kcal=Fraction(random.randint(5, 60)) if random.random() < 0.15 else Fraction(0),
    )
    if random.random() > 0.1:
        return hungry
    kcal = Fraction(int(need * random.randint(95, 150) / 100))
    energy = EnergyRation(tuple(kcal if grams else Fraction(0) for grams in dog.day_g))
    day_g = least_day_g(hungry, energy, cuts)
    return replace(hungry, energy=energy, day_g=day_g, batch_g=sum(day_g))


def _other_food(random: Random, need: Fraction) -> OtherFood:
    way = random.random()
    if way < 0.7:
        return OtherFood()
    return OtherFood(as_much=True) if way < 0.8 else OtherFood(Fraction(int(need * random.randint(5, 110) / 100)))
