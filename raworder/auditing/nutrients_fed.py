"""Judges of what the food holds: energy, nutrients, ratios of them, and the supplements that are given beside it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from raworder.auditing.books import Books, repeated
from raworder.dogs import Dog
from raworder.nutrients import Analysis, NutrientLimit, Per, RatioLimit, nutrient_of
from raworder.plan import Breach, Dose
from raworder.rulebook import ROUNDING_G, SHARED_PIECES_OFF
from raworder.units import half_up

SIX_DIGITS = 6
"""Digits after the point with which amounts are told where a rule is broken."""


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What counts in a dog's food: `total` exactly, and by how much whole grams and pieces may have changed it."""

    total: Fraction
    allowance: Fraction

    def falls_short(self, least: Fraction) -> bool:
        """Whether it is below the least by more than rounding can have lost."""
        return self.total + self.allowance < least

    def goes_over(self, most: Fraction) -> bool:
        """Whether it is above the most by more than rounding can have added."""
        return self.total - self.allowance > most


def energy(books: Books, dog: Dog) -> Iterator[Breach]:
    """A dog whose ration is in energy eats just that, give or take what whole grams and shared pieces change."""
    if dog.energy is None:
        return
    need, found = dog.energy.batch_kcal, reckoned(books, dog, {"energy": Fraction(1)}, with_supplements=False)
    if found.falls_short(need) or found.goes_over(need):
        says = f"eats {half_up(found.total)} kcal but its ration over the batch is {half_up(need)} kcal"
        yield Breach("ration", dog.name, says)


def nutrient(books: Books) -> Iterator[Breach]:
    """A dog gets at least and at most so much of a nutrient, a day or per 1000 kcal, as far as it is known."""
    for dog in books.dogs_not_in_care:
        for limit in dog.nutrient_limits if books.eaten_by(dog) else ():
            yield from _outside(books, dog, limit)


def _outside(books: Books, dog: Dog, limit: NutrientLimit) -> Iterator[Breach]:
    """The ends of one limit that are missed."""
    low, high = limit.low, limit.high
    if low is not None and _counted(books, dog, limit, low).falls_short(_due(dog, limit, low)):
        yield Breach("nutrient", dog.name, f"{_told(books, dog, limit)}, at least {_asked(limit, low)} is asked")
    if high is not None and _counted(books, dog, limit, high).goes_over(_due(dog, limit, high)):
        yield Breach("nutrient", dog.name, f"{_told(books, dog, limit)}, at most {_asked(limit, high)} is allowed")


def nutrient_ratio(books: Books) -> Iterator[Breach]:
    """A dog gets at least and at most so many times as much of one nutrient as of another, as far as is known."""
    for dog in books.dogs_not_in_care:
        for limit in dog.ratio_limits if books.eaten_by(dog) else ():
            if limit.low is not None and _compared(books, dog, limit, limit.low).falls_short(Fraction(0)):
                yield Breach("nutrient_ratio", dog.name, f"{limit.key} is below {_number(limit.low)}")
            if limit.high is not None and _compared(books, dog, limit, limit.high).goes_over(Fraction(0)):
                yield Breach("nutrient_ratio", dog.name, f"{limit.key} is above {_number(limit.high)}")


def supplement(books: Books) -> Iterator[Breach]:
    """A supplement is given in whole steps, at most so many a day, no more than there is, to whoever may have it."""
    for dog_name, name in repeated((dose.dog, dose.supplement) for dose in books.plan.doses):
        yield Breach("supplement", dog_name, f"is given {name} twice over")
    yield from (breach for dose in books.plan.doses for breach in _dose(books, dose))
    there = {one.name: one.on_hand_steps for one in books.scenario.supplements}
    offers = {offer.key: offer for offer in books.scenario.supplement_offers}
    for line in books.plan.supplement_lines:
        if line.offer in offers and line.units > 0:
            there[offers[line.offer].supplement] += offers[line.offer].steps * line.units
    days = {dog.name: dog.days for dog in books.scenario.dogs}
    for name, steps in there.items():
        given = sum(one.steps_a_day * days.get(one.dog, 0) for one in books.plan.doses if one.supplement == name)
        if given > steps:
            yield Breach("supplement", name, f"{given} steps are given but {steps} are on hand and bought")


def _dose(books: Books, dose: Dose) -> Iterator[Breach]:
    """What is wrong with one dose by itself."""
    dog = next((dog for dog in books.scenario.dogs if dog.name == dose.dog), None)
    one = next((one for one in books.scenario.supplements if one.name == dose.supplement), None)
    if dog is None or one is None:
        yield Breach("supplement", dose.dog, f"is given {dose.supplement}, and one of the two is not in the scenario")
    elif dog.refuses(one):
        yield Breach("supplement", dog.name, f"is given {one.name}, which it must not have")
    elif not dog.takes_supplements:
        yield Breach("supplement", dog.name, f"is given {one.name}, and none of its rules asks for any")
    elif not 1 <= dose.steps_a_day <= one.most_steps:
        yield Breach(
            "supplement", dog.name, f"is given {dose.steps_a_day} steps of {one.name} of {one.most_steps} at most"
        )


def reckoned(books: Books, dog: Dog, factors: Mapping[str, Fraction], *, with_supplements: bool = True) -> Reckoned:
    """The known nutrients of what a dog eats and is given, each times its factor."""
    worth = {cut.name: _sum(cut.analysis, factors) / 100 for cut in books.scenario.cuts}
    total = sum((worth[cut] * grams for cut, grams in books.eaten_by(dog).items() if cut in worth), Fraction(0))
    if with_supplements:
        analyses = {one.name: one.analysis for one in books.scenario.supplements}
        mine = [dose for dose in books.plan.doses if dose.dog == dog.name and dose.supplement in analyses]
        total += sum(
            (_sum(analyses[dose.supplement], factors) * dose.steps_a_day * dog.days for dose in mine), Fraction(0)
        )
    return Reckoned(total, _allowance(books, dog, worth))


def _allowance(books: Books, dog: Dog, worth: Mapping[str, Fraction]) -> Fraction:
    """A gram of every cut that is bought or fed, and of the most that counts; more where pieces are shared out."""
    grams = sum((abs(worth[cut]) for cut in books.handled if cut in worth), Fraction(0)) * ROUNDING_G
    eaten = [worth[cut] for cut, eaten_g in books.eaten_by(dog).items() if eaten_g > 0 and cut in worth]
    most = max(map(abs, eaten), default=Fraction(0)) * ROUNDING_G
    pieces = sum(
        (
            books.whole_piece_g[cut] * max((abs(worth[cut] - other) for other in eaten), default=Fraction(0))
            for cut in books.shared_pieces.get(dog.name, ())
        ),
        Fraction(0),
    )
    return grams + most + SHARED_PIECES_OFF * pieces


def _counted(books: Books, dog: Dog, limit: NutrientLimit, bound: Fraction) -> Reckoned:
    """What counts towards a bound, less the bound for the energy that goes with it."""
    per_kcal = bound / 1000 if limit.per is Per.MCAL else Fraction(0)
    return reckoned(books, dog, {limit.nutrient: Fraction(1), "energy": -per_kcal})


def _due(dog: Dog, limit: NutrientLimit, bound: Fraction) -> Fraction:
    return bound * dog.days if limit.per is Per.DAY else Fraction(0)


def _compared(books: Books, dog: Dog, limit: RatioLimit, bound: Fraction) -> Reckoned:
    return reckoned(books, dog, {limit.over: Fraction(1), limit.under: -bound})


def _sum(analysis: Analysis, factors: Mapping[str, Fraction]) -> Fraction:
    """The known nutrients, each times its factor; what is not known counts as nothing."""
    return sum((factor * (analysis.of(key) or 0) for key, factor in factors.items()), Fraction(0))


def _told(books: Books, dog: Dog, limit: NutrientLimit) -> str:
    """How much of a nutrient is known to be in the food of a day, or in 1000 kcal of it."""
    found = reckoned(books, dog, {limit.nutrient: Fraction(1)}).total
    kcal = reckoned(books, dog, {"energy": Fraction(1)}).total
    for_what = Fraction(dog.days) if limit.per is Per.DAY else kcal / 1000
    return f"gets {_number(found / (for_what or 1))} {_unit(limit)}"


def _asked(limit: NutrientLimit, bound: Fraction) -> str:
    return f"{_number(bound)} {_unit(limit)}"


def _unit(limit: NutrientLimit) -> str:
    one = nutrient_of(limit.nutrient)
    return f"{one.unit} of {one.name} {limit.per}"


def _number(amount: Fraction) -> str:
    """An amount in decimals, without idle noughts."""
    return f"{Decimal(half_up(amount * 10**SIX_DIGITS)).scaleb(-SIX_DIGITS):f}".rstrip("0").rstrip(".")
