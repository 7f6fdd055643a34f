"""Random scenarios with rations in energy, rules on nutrients and supplements, invented from end to end."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random

from raworder.reading.rations import least_day_g
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.nutrients import Analysis, NutrientLimit, Per, RatioLimit, Supplement
from raworder.trade.scenario import Scenario, SupplementOffer
from tests.outside.invented import invented

KEYS = ("zinc", "calcium", "phosphorus", "epa_dha", "vitamin_a")
USUAL = {"zinc": 40, "calcium": 300, "phosphorus": 250, "epa_dha": 3, "vitamin_a": 2_000}
"""About so much of each is in 100 g, in tenths of our units."""


def with_nutrients(random: Random) -> Scenario:
    """A scenario in which something is asked of nutrients, of dogs fed by grams and by energy; most can be fed."""
    plain = invented(random)
    cuts = tuple(replace(cut, analysis=_analysis(random)) for cut in plain.cuts)
    scenario = replace(plain, cuts=cuts, supplements=tuple(_supplements(random)))
    dogs = tuple(_dog(random, dog, cuts) for dog in plain.dogs)
    return replace(scenario, dogs=dogs, supplement_offers=tuple(_offers(random, scenario)))


def _analysis(random: Random) -> Analysis:
    """Energy always, of the rest what is known."""
    known = [key for key in KEYS if random.random() < 0.8]
    values = [(key, Fraction(random.randint(0, 2 * USUAL[key]), 10)) for key in known]
    return Analysis((("energy", Fraction(random.randint(60, 330))), *values))


def _supplements(random: Random) -> Iterator[Supplement]:
    for number in range(random.randint(0, 2)):
        held = tuple((key, Fraction(random.randint(1, 20 * USUAL[key]), 10)) for key in random.sample(KEYS, 2))
        more = (("energy", Fraction(random.randint(0, 9))),) if random.random() < 0.5 else ()
        yield Supplement(
            name=f"supplement {number}",
            unit="capsule",
            step=Fraction(1),
            analysis=Analysis((*more, *held)),
            most_steps=random.randint(1, 6),
            on_hand_steps=random.choice((0, 0, random.randint(1, 60))),
            species=random.choice(((), ("chicken",))),
        )


def _offers(random: Random, scenario: Scenario) -> Iterator[SupplementOffer]:
    for one in scenario.supplements:
        for supplier in random.sample(scenario.suppliers, random.randint(1, len(scenario.suppliers))):
            yield SupplementOffer(
                key=f"{supplier.name}/{one.name}",
                supplier=supplier.name,
                supplement=one.name,
                item=one.name,
                steps=random.randint(10, 120),
                price=Decimal(random.randint(100, 1500)).scaleb(-2),
                available=random.choice((None, None, random.randint(0, 3))),
            )


def _dog(random: Random, dog: Dog, cuts: tuple[Cut, ...]) -> Dog:
    if dog.care is not None:
        return dog
    if random.random() < 0.5:
        kcal = Fraction(random.randint(150, 1500))
        energy = EnergyRation(tuple(kcal if grams else Fraction(0) for grams in dog.day_g))
        day_g = least_day_g(dog, energy, cuts)
        dog = replace(dog, energy=energy, day_g=day_g, batch_g=sum(day_g))
    nutrients, ratios = _limits(random), ()
    if random.random() < 0.3:
        ratios = (
            RatioLimit(
                "calcium", "phosphorus", Fraction(random.randint(3, 9), 10), Fraction(random.randint(15, 60), 10)
            ),
        )
    return replace(dog, nutrient_limits=nutrients, ratio_limits=ratios)


def _limits(random: Random) -> tuple[NutrientLimit, ...]:
    limits = []
    for key in random.sample(KEYS, random.randint(0, 2)):
        per, low, high = random.choice(tuple(Per)), None, None
        usual = Fraction(USUAL[key], 10) * (5 if per is Per.MCAL else 4)
        if random.random() < 0.7:
            low = usual * random.randint(40, 130) / 100
        if low is None or random.random() < 0.3:
            high = usual * random.randint(130, 300) / 100
        limits.append(NutrientLimit(key, per, low, high))
    return tuple(limits)
