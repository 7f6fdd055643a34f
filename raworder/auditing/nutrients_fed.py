"""Judges of what the food holds: energy, nutrients, ratios of them, and the supplements that are given beside it.

What a dog gets is added up by nutrient, divided by days, by 1000 kcal or by grams of the other nutrient, and only then
compared with what is asked. What is not known counts as nothing, and a nutrient that must be there may not be fed with
food that can destroy it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import accumulate

from raworder.auditing.books import Books, duplicates
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import NutrientLimit, Per, Supplement, nutrient_of
from raworder.trade.plan import Breach, Dose
from raworder.trade.rounding import half_up
from raworder.trade.rulebook import ROUNDING_G, SHARED_PIECES_OFF

DECIMALS = 6
"""The digits after the point of amounts in the texts of breaches."""

ENERGY, IN_MCAL = "energy", 1000
NOTHING = Fraction(0)


@dataclass(frozen=True, slots=True)
class Amount:
    """How much a dog gets over the batch, in units of `unit`; `nutrient` is empty for days, which no food brings."""

    total: Fraction
    nutrient: str = ""
    unit: int = 1


@dataclass(frozen=True, slots=True)
class Rate:
    """An amount (`much`) for each unit of another (`each`): a day, 1000 kcal, or a gram of another nutrient.

    Where there is none of the other, the rate is the whole amount: then none is due, and none is allowed.
    """

    much: Amount
    each: Amount
    rounding: "Rounding"

    @property
    def found(self) -> Fraction:
        """How much there is for each unit."""
        return self.much.total / (self.each.total or 1)

    def falls_short(self, least: Fraction) -> bool:
        """Whether it is below the least by more than rounding can have taken away."""
        due = least if self.each.total else NOTHING
        return self.found < due and self.found + self.rounding.rate_change(self, least) < due

    def goes_over(self, most: Fraction) -> bool:
        """Whether it is above the most by more than rounding can have added."""
        allowed = most if self.each.total else NOTHING
        return self.found > allowed and self.found - self.rounding.rate_change(self, most) > allowed


@dataclass(frozen=True, slots=True)
class Rounding:
    """By how much whole grams, and pieces shared out among dogs, may have changed what one dog gets.

    It is slow to work out, so it is asked for only where a bound is missed.
    """

    books: Books
    dog: Dog

    def amount_change(self, amount: Amount) -> Fraction:
        """The most by which an amount may have changed."""
        return self.sum_change(self._per_g(amount))

    def rate_change(self, rate: Rate, bound: Fraction) -> Fraction:
        """The most by which a rate may have moved towards a bound.

        A gram of a cut brings some of both amounts. It moves the rate by what it has of the one beyond the bound times
        what it has of the other, divided by all there is of the other.
        """
        much, each = self._per_g(rate.much), self._per_g(rate.each)
        beyond = {cut: amount - bound * each[cut] for cut, amount in much.items()}
        return self.sum_change(beyond) / (rate.each.total or 1)

    def _per_g(self, amount: Amount) -> Mapping[str, Fraction]:
        """How much of the amount a gram of each cut brings."""
        in_100_g = ((cut, entry.known.get(amount.nutrient, NOTHING)) for cut, entry in self.books.table.items())
        return {cut: known / (100 * amount.unit) for cut, known in in_100_g}

    def sum_change(self, per_g: Mapping[str, Fraction]) -> Fraction:
        """What rounding may have changed, given what a gram of each cut brings.

        That is a gram of every cut bought or fed, and one more of the richest; where pieces are shared out, also one
        and a half pieces of every such cut in place of the cut most unlike it. A cut of which that is not known brings
        nothing.
        """
        grams = sum((abs(per_g[cut]) for cut in self.books.cuts_handled if cut in per_g), NOTHING) * ROUNDING_G
        eaten_g = self.books.eaten_by(self.dog)
        eaten = [per_g.get(cut, NOTHING) for cut in eaten_g if eaten_g[cut] > 0]
        most = max(map(abs, eaten), default=NOTHING) * ROUNDING_G
        pieces = (
            self.books.pieces_g[cut] * max((abs(per_g.get(cut, NOTHING) - other) for other in eaten), default=NOTHING)
            for cut in self.books.shared_pieces.get(self.dog.name, ())
        )
        return grams + most + SHARED_PIECES_OFF * sum(pieces, NOTHING)


def resting_energy(books: Books) -> Iterator[Breach]:
    """A dog gets at least the energy that it needs at rest, as far as its food's energy is known.

    Food of unknown energy counts in no way: the rest must hold its part by weight of what is asked.
    """
    for dog in books.dogs_not_in_care:
        eaten_g = {cut: grams for cut, grams in books.eaten_by(dog).items() if cut in books.table}
        known_g = sum(grams for cut, grams in eaten_g.items() if ENERGY in books.table[cut].known)
        if not known_g or not dog.resting_kcal:
            continue
        # a ration in energy is asked for all of it: its grams are as many as hold it, rounded for each cut
        part = Fraction(1) if dog.energy else Fraction(known_g, sum(eaten_g.values()))
        due_kcal = _due_at_rest(dog) * part
        per_g = NOTHING if dog.energy else due_kcal / known_g
        beyond = {
            cut: known[ENERGY] / 100 - per_g for cut, entry in books.table.items() if ENERGY in (known := entry.known)
        }
        over_kcal = sum((held * eaten_g.get(cut, 0) for cut, held in beyond.items()), per_g * known_g - due_kcal)
        if over_kcal < 0 and over_kcal + Rounding(books, dog).sum_change(beyond) < 0:
            found, due = (half_up(kcal / dog.days) for kcal in (over_kcal + due_kcal, due_kcal))
            says = f"gets {found} kcal a day of known energy from this plan, at least {due} kcal are needed at rest"
            yield Breach("resting_energy", dog.name, says)


def _due_at_rest(dog: Dog) -> Fraction:
    """The energy over the batch that a dog at rest needs of this plan, beside other food and treats."""
    other = dog.other_food
    of_plan = ((dog.resting_kcal or NOTHING) * dog.resting_share - other.kcal) / (2 if other.as_much else 1)
    return max(of_plan - dog.treats_kcal, NOTHING) * dog.days


def energy_breaches(books: Books, dog: Dog) -> Iterator[Breach]:
    """A dog whose ration is in energy eats that energy, give or take what whole grams and shared pieces change.

    Its grams are spread over its days like its energy: added up to any day, they are less than a gram off.
    """
    if dog.energy is None:
        return
    need, found = sum(dog.energy.day_kcal, NOTHING), _amount_eaten(books, dog, ENERGY)
    if abs(found.total - need) > Rounding(books, dog).amount_change(found):
        says = f"eats {half_up(found.total)} kcal but its ration over the batch is {half_up(need)} kcal"
        yield Breach("ration", dog.name, says)
    by_now = zip(accumulate(dog.day_g), accumulate(dog.energy.day_kcal), strict=False)
    if any(abs(grams * need - sum(dog.day_g) * kcal) >= need for grams, kcal in by_now if need):
        yield Breach("ration", dog.name, "eats its grams on other days than those that need their energy")


def nutrient(books: Books) -> Iterator[Breach]:
    """A dog gets at least and at most so much of a nutrient, a day or per 1000 kcal, as far as is known to be left."""
    for dog in books.dogs_not_in_care:
        for limit in dog.nutrient_limits if books.eaten_by(dog) else ():
            found, unit = _nutrient_rate(books, dog, limit), _unit_words(limit)
            lost = _destroyers_eaten(books, dog, limit.nutrient)
            if lost and limit.low:
                yield Breach("nutrient", dog.name, f"{lost}, and at least {_decimal_text(limit.low)} {unit} is asked")
            if limit.low is not None and found.falls_short(limit.low):
                says = f"gets {_decimal_text(found.found)} {unit}, at least {_decimal_text(limit.low)} {unit} is asked"
                yield Breach("nutrient", dog.name, says)
            if limit.high is not None and found.goes_over(limit.high):
                says = (
                    f"gets {_decimal_text(found.found)} {unit}, at most {_decimal_text(limit.high)} {unit} is allowed"
                )
                yield Breach("nutrient", dog.name, says)


def nutrient_ratio(books: Books) -> Iterator[Breach]:
    """A dog gets at least and at most so many times as much of one nutrient as of another, as far as is known."""
    for dog in books.dogs_not_in_care:
        for limit in dog.ratio_limits if books.eaten_by(dog) else ():
            found = Rate(
                _amount_received(books, dog, limit.over),
                _amount_received(books, dog, limit.under),
                Rounding(books, dog),
            )
            over, under = nutrient_of(limit.over), nutrient_of(limit.under)
            says = f"gets {over.name} to {under.name} at {_decimal_text(found.found)}"
            if limit.low and (lost := _destroyers_eaten(books, dog, limit.over)):
                yield Breach("nutrient_ratio", dog.name, f"{lost}, and a least of it to {under.name} is asked")
            if limit.high is not None and (lost := _destroyers_eaten(books, dog, limit.under)):
                yield Breach("nutrient_ratio", dog.name, f"{lost}, and {over.name} to it has a most")
            if limit.low is not None and found.falls_short(limit.low):
                yield Breach("nutrient_ratio", dog.name, f"{says}, at least {_decimal_text(limit.low)} is asked")
            if limit.high is not None and found.goes_over(limit.high):
                yield Breach("nutrient_ratio", dog.name, f"{says}, at most {_decimal_text(limit.high)} is allowed")


def _destroyers_eaten(books: Books, dog: Dog, nutrient: str) -> str:
    """The food of the dog that can destroy the nutrient, in words; empty where there is none."""
    fed = [
        f"{grams} g of {cut}"
        for cut, grams in books.eaten_by(dog).items()
        if grams > 0 and cut in books.table and nutrient in books.table[cut].spoils
    ]
    return f"eats {', '.join(fed)}, which can destroy {nutrient_of(nutrient).name}" if fed else ""


def supplement(books: Books) -> Iterator[Breach]:
    """A supplement is given in whole steps, at most so many a day, no more than there is, to whoever may have it."""
    for dog_name, name in duplicates((dose.dog, dose.supplement) for dose in books.plan.doses):
        yield Breach("supplement", dog_name, f"is given {name} twice over")
    yield from (breach for dose in books.plan.doses for breach in _check_dose(books, dose))
    there = {supplement.name: supplement.on_hand_steps for supplement in books.scenario.supplements}
    offers = {offer.key: offer for offer in books.scenario.supplement_offers}
    for line in books.plan.supplement_lines:
        if line.offer in offers and line.units > 0:
            there[offers[line.offer].supplement] += offers[line.offer].steps * line.units
    days = {dog.name: dog.days for dog in books.scenario.dogs}
    for name, steps in there.items():
        given = sum(dose.steps_a_day * days.get(dose.dog, 0) for dose in books.plan.doses if dose.supplement == name)
        if given > steps:
            yield Breach("supplement", name, f"{given} steps are given but {steps} are on hand and bought")


def _check_dose(books: Books, dose: Dose) -> Iterator[Breach]:
    """What is wrong with one dose by itself."""
    dog = next((dog for dog in books.scenario.dogs if dog.name == dose.dog), None)
    given = next((supplement for supplement in books.scenario.supplements if supplement.name == dose.supplement), None)
    if dog is None or given is None:
        yield Breach("supplement", dose.dog, f"is given {dose.supplement}, and one of the two is not in the scenario")
    elif _must_not_have(dog, given):
        yield Breach("supplement", dog.name, f"is given {given.name}, which it must not have")
    elif dog.care is not None or not (dog.nutrient_limits or dog.ratio_limits):
        yield Breach("supplement", dog.name, f"is given {given.name}, and none of its rules asks for any")
    elif not 1 <= dose.steps_a_day <= given.most_steps:
        says = f"is given {dose.steps_a_day} steps of {given.name} of {given.most_steps} at most"
        yield Breach("supplement", dog.name, says)


def _must_not_have(dog: Dog, given: Supplement) -> bool:
    """Whether the supplement has the name of something that the dog must not have, or is made of it.

    For a growing dog that is also calcium of which no rule says how much.
    """
    told = {f"{limit.over} {limit.under}" for limit in dog.ratio_limits} | {one.nutrient for one in dog.nutrient_limits}
    with_calcium = dict(given.analysis.values).get("calcium", NOTHING) > 0
    untold = dog.puppy and with_calcium and not any("calcium" in words.split() for words in told)
    return untold or any(subject.word in (given.name, *given.species) for subject in dog.avoid)


def _nutrient_rate(books: Books, dog: Dog, limit: NutrientLimit) -> Rate:
    """How much of a nutrient the dog gets a day, or per 1000 kcal of what it gets."""
    kcal = _amount_received(books, dog, ENERGY)
    each = Amount(Fraction(dog.days)) if limit.per == Per.DAY else Amount(kcal.total / IN_MCAL, ENERGY, IN_MCAL)
    return Rate(_amount_received(books, dog, limit.nutrient), each, Rounding(books, dog))


def _amount_eaten(books: Books, dog: Dog, nutrient: str) -> Amount:
    """How much of a nutrient is known to be in what the dog eats."""
    eaten_g = ((books.table[cut], grams) for cut, grams in books.eaten_by(dog).items() if cut in books.table)
    return Amount(
        sum((entry.known.get(nutrient, NOTHING) * grams / 100 for entry, grams in eaten_g), NOTHING), nutrient
    )


def _amount_received(books: Books, dog: Dog, nutrient: str) -> Amount:
    """How much of a nutrient is known to be in what the dog eats and in the supplements it is given."""
    per_step = {
        supplement.name: dict(supplement.analysis.values).get(nutrient, NOTHING)
        for supplement in books.scenario.supplements
    }
    doses = (dose for dose in books.plan.doses if dose.dog == dog.name and dose.supplement in per_step)
    given = sum((per_step[dose.supplement] * dose.steps_a_day * dog.days for dose in doses), NOTHING)
    return Amount(_amount_eaten(books, dog, nutrient).total + given, nutrient)


def _unit_words(limit: NutrientLimit) -> str:
    counted = nutrient_of(limit.nutrient)
    return f"{counted.unit} of {counted.name} {limit.per}"


def _decimal_text(amount: Fraction) -> str:
    """An amount in decimals, without zeros at the end."""
    return f"{Decimal(half_up(amount * 10**DECIMALS)).scaleb(-DECIMALS):f}".rstrip("0").rstrip(".")
