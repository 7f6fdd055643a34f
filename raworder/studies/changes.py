"""Changes of a scenario as a person words them, and the offers that a word of the trade means."""

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import count
from math import floor

from raworder.reading.names import fold_name, nearest, singulars
from raworder.reading.patterns import PATTERNS, targets
from raworder.reading.quantities import Ration
from raworder.reading.rations import Daily, days_in_care_g, days_of_batch_g, least_day_g, mean_g
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Offer, PriceStep, Scenario, SupplementOffer
from raworder.trade.units import Currency, metabolic_kg

EVERYTHING = "everything"
AT = " at "

Names = Callable[[Offer, Cut], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Meant:
    """The offers that words mean, and whether mixed products are left out; for none, what is wrong and help."""

    offers: tuple[Offer, ...]
    mixed: bool = False
    wrong: str = ""
    help: str = ""


def offers_named(words: str, scenario: Scenario) -> Meant:
    """The offers that the words name: a supplier's, else those of a cut, a species, a kind, or one line.

    `beef trim at Hollow Lane Butcher` means one supplier only. A species means cuts of that species alone.
    """
    what, at, supplier = words.rpartition(AT)
    if at and fold_name(supplier) in {fold_name(supplier.name) for supplier in scenario.suppliers}:
        meant = _offers_of_name(what, scenario)
        here = tuple(offer for offer in meant.offers if fold_name(offer.supplier) == fold_name(supplier))
        if here or not meant.offers:
            return Meant(here, meant.mixed, meant.wrong, meant.help)
        sellers = ", ".join(sorted({f"`{offer.supplier}`" for offer in meant.offers}))
        return Meant((), wrong=f"`{supplier}` sells no `{what}`", help=f"it is sold by {sellers}")
    return _offers_of_name(words, scenario)


def supplements_named(words: str, scenario: Scenario) -> tuple[SupplementOffer, ...]:
    """The offers of supplements that the words name: a supplier's, or those of a supplement, or one line.

    `sea oil at Hollow Lane Butcher` means one supplier only.
    """
    what, at, supplier = words.rpartition(AT)
    if at and fold_name(supplier) in {fold_name(supplier.name) for supplier in scenario.suppliers}:
        return tuple(
            offer for offer in supplements_named(what, scenario) if fold_name(offer.supplier) == fold_name(supplier)
        )
    if fold_name(words) == EVERYTHING:
        return scenario.supplement_offers
    by_name = [
        (offer, (offer.supplier, offer.supplement, offer.item, offer.key)) for offer in scenario.supplement_offers
    ]
    return tuple(offer for offer, names in by_name if fold_name(words) in map(fold_name, names))


def _offers_of_name(word: str, scenario: Scenario) -> Meant:
    """The offers by the first kind of name that the word, or its singular, matches."""
    cuts = {cut.name: cut for cut in scenario.cuts}
    if fold_name(word) == EVERYTHING:
        return Meant(scenario.offers)
    for name in (fold_name(word), *singulars(fold_name(word))):
        for names in KINDS_OF_NAMES:
            offers = tuple(offer for offer in scenario.offers if name in map(fold_name, names(offer, cuts[offer.cut])))
            if offers:
                return Meant(offers, mixed=names is _species_names and _is_in_mixed(name, scenario, cuts))
    known = _known_names(scenario, cuts)
    close = nearest(word, known)
    help_ = f"did you mean `{known[close]}`?" if close else "name a supplier, cut, species or kind on your lists"
    return Meant((), wrong=f"nothing on the lists is called `{word}`", help=help_)


def _is_in_mixed(species: str, scenario: Scenario, cuts: Mapping[str, Cut]) -> bool:
    """Whether a mixed product that is sold holds the species too."""
    sold = (cuts[offer.cut] for offer in scenario.offers)
    return any(len(cut.species) > 1 and species in map(fold_name, cut.species_names) for cut in sold)


def _known_names(scenario: Scenario, cuts: Mapping[str, Cut]) -> dict[str, str]:
    """Every name that names an offer, by its folded form."""
    return {fold_name(name): name for offer in scenario.offers for name in _all_names(offer, cuts[offer.cut])}


def _all_names(offer: Offer, cut: Cut) -> Iterator[str]:
    for names in KINDS_OF_NAMES:
        yield from (name for name in names(offer, cut) if name)


def _supplier_names(offer: Offer, _: Cut) -> tuple[str, ...]:
    return (offer.supplier,)


def _cut_names(offer: Offer, _: Cut) -> tuple[str, ...]:
    """The cut's name, with and without what the list says of it in brackets."""
    return (offer.cut, offer.cut.partition(" (")[0])


def _species_names(_: Offer, cut: Cut) -> tuple[str, ...]:
    """The species of a cut that is of one species only."""
    return cut.species_names if len(cut.species) == 1 else ()


def _kind_names(_: Offer, cut: Cut) -> tuple[str, ...]:
    return (cut.kind,)


def _line_names(offer: Offer, _: Cut) -> tuple[str, ...]:
    """The names of a single line: the supplier's code and name for it, and our key."""
    return (offer.code, offer.item, offer.key)


KINDS_OF_NAMES: tuple[Names, ...] = (_supplier_names, _cut_names, _species_names, _kind_names, _line_names)
"""The kinds of name that a word can be; the first that matches wins."""


@dataclass(frozen=True, slots=True)
class Change(ABC):
    """One change: `says` it in words; `about` is what it sets, as two about the same thing exclude each other."""

    says: str
    about: frozenset[str]

    @abstractmethod
    def apply_to(self, scenario: Scenario) -> Scenario:
        """The scenario with the change."""


@dataclass(frozen=True, slots=True)
class Price(Change):
    """Prices multiplied by `times`, of the offers and the `packs` of supplements with these keys."""

    offers: frozenset[str]
    times: Fraction
    packs: frozenset[str] = frozenset()

    def apply_to(self, scenario: Scenario) -> Scenario:
        """The scenario with those prices: exact for computing, rounded to minor units where they are printed."""
        money = scenario.currency
        offers = (
            _at_times_price(offer, self.times, money) if offer.key in self.offers else offer
            for offer in scenario.offers
        )
        packs = (
            replace(offer, price=money.rounded(Fraction(offer.price) * self.times))
            if offer.key in self.packs
            else offer
            for offer in scenario.supplement_offers
        )
        return replace(scenario, offers=tuple(offers), supplement_offers=tuple(packs))


@dataclass(frozen=True, slots=True)
class OneMore(Change):
    """One dog more, just like another; in care too where that one is, with the same amounts."""

    like: Dog

    def apply_to(self, scenario: Scenario) -> Scenario:
        """The scenario with the dog, under a name of its own."""
        taken = {dog.name for dog in scenario.dogs}
        name = next(name for name in _names_like(self.like.name) if name not in taken)
        return replace(scenario, dogs=(*scenario.dogs, replace(self.like, name=name)))


@dataclass(frozen=True, slots=True)
class Without(Change):
    """One dog fewer."""

    dog: str

    def apply_to(self, scenario: Scenario) -> Scenario:
        """The scenario without the dog."""
        return replace(scenario, dogs=tuple(dog for dog in scenario.dogs if dog.name != self.dog))


@dataclass(frozen=True, slots=True)
class Away(Change):
    """A dog away on the last `days` of the days on which it is fed; at least one day is left."""

    dog: str
    days: int

    def apply_to(self, scenario: Scenario) -> Scenario:
        """The scenario with fewer days for the dog."""
        return _change_dogs(scenario, lambda dog: _take_away(dog, self.days) if dog.name == self.dog else dog)


@dataclass(frozen=True, slots=True)
class OtherRation(Change):
    """Another ration of a dog: in grams, as a share of its weight, or in energy, whichever it was in before."""

    dog: str
    ration: Ration

    def apply_to(self, scenario: Scenario) -> Scenario:
        """The scenario with that ration of the dog."""

        def change_dog(dog: Dog) -> Dog:
            """The dog with that ration, if it is meant."""
            return with_ration(dog, self.ration, scenario.cuts) if dog.name == self.dog else dog

        return _change_dogs(scenario, change_dog)


@dataclass(frozen=True, slots=True)
class Pattern(Change):
    """A feeding pattern in place of a dog's targets, or of those of all dogs not in care where none is named."""

    pattern: str
    dog: str = ""

    def apply_to(self, scenario: Scenario) -> Scenario:
        """The scenario with the pattern's targets; caps and what dogs avoid stay."""
        wanted = targets(PATTERNS[self.pattern])

        def change_dog(dog: Dog) -> Dog:
            """The dog with those targets, if it is meant."""
            is_meant = not dog.care and self.dog in {"", dog.name}
            return replace(dog, targets=wanted, targets_named=self.pattern) if is_meant else dog

        return _change_dogs(scenario, change_dog)


@dataclass(frozen=True, slots=True)
class Room(Change):
    """Other room in the freezer; None for no limit."""

    room_g: int | None

    def apply_to(self, scenario: Scenario) -> Scenario:
        """The scenario with that room."""
        return replace(scenario, room_g=self.room_g)


@dataclass(frozen=True, slots=True)
class Budget(Change):
    """Another budget; None for no limit."""

    budget: Decimal | None

    def apply_to(self, scenario: Scenario) -> Scenario:
        """The scenario with that budget."""
        return replace(scenario, budget=self.budget)


def _at_times_price(offer: Offer, times: Fraction, money: Currency) -> Offer:
    """The offer with the price of every step multiplied."""
    return replace(
        offer,
        steps=tuple(
            PriceStep(
                price_step.at_least,
                price_step.unit_price * times,
                money.rounded(Fraction(price_step.listed) * times),
                price_step.per,
            )
            for price_step in offer.steps
        ),
    )


def _names_like(name: str) -> Iterator[str]:
    """Names to try for one dog more."""
    yield f"another {name}"
    yield from (f"another {name} {number}" for number in count(2))


def _change_dogs(scenario: Scenario, change_dog: Callable[[Dog], Dog]) -> Scenario:
    return replace(scenario, dogs=tuple(map(change_dog, scenario.dogs)))


def with_ration(dog: Dog, ration: Ration, cuts: Iterable[Cut]) -> Dog:
    """The dog with another ration on every day on which it is fed; it has the weight that the ration is a share of.

    In energy its treats count, as far as they are known in energy; in grams it is what comes from the plan.
    """
    if ration.in_energy:
        return with_energy(dog, ration_kcal(dog, ration), cuts, ration.written)
    daily_g, fed = ration_g(dog, ration), _fed_days(dog)
    daily, days = Daily(daily_g, ration.written), len(dog.day_g)
    day_g = days_of_batch_g(daily, fed, days)
    return replace(
        dog, day_g=day_g, batch_g=sum(day_g), daily_g=mean_g(daily, fed, days), ration_says=daily.says, energy=None
    )


def with_energy(dog: Dog, daily_kcal: Fraction, cuts: Iterable[Cut], says: str = "") -> Dog:
    """The dog with a ration of so many kcal on every day on which it is fed, treats of known energy among them.

    Its grams are open, as if the scenario had said `ration: ... kcal`.
    """
    fed, treats = _fed_days(dog), dog.treats_kcal
    day_kcal = tuple(daily_kcal - treats if day in fed else Fraction(0) for day in range(len(dog.day_g)))
    energy = EnergyRation(day_kcal)
    day_g = least_day_g(dog, energy, cuts)
    return replace(
        dog, day_g=day_g, batch_g=sum(day_g), daily_g=Fraction(sum(day_g), len(fed)) if fed else Fraction(0),
        ration_says=says or f"{half_up(daily_kcal)} kcal a day", energy=energy,
    )  # fmt: skip


def ration_kcal(dog: Dog, ration: Ration) -> Fraction:
    """What a ration in energy comes to a day, treats included."""
    return ration.kcal or (ration.kcal_per_metabolic_kg or 0) * metabolic_kg(Fraction(dog.need_weight_g))


def ration_g(dog: Dog, ration: Ration) -> Fraction:
    """What a ration in grams or as a share of weight comes to a day."""
    weight_g = (dog.adult_weight_g or 0) if ration.of_adult_weight else dog.need_weight_g
    return ration.grams or (ration.share or 0) * Fraction(weight_g)


def _fed_days(dog: Dog) -> list[int]:
    """The days of the batch, from 0, on which the dog is fed."""
    eaten = dog.energy.day_kcal if dog.energy else dog.day_g
    return [day for day, amount in enumerate(eaten) if amount]


def _take_away(dog: Dog, days: int) -> Dog:
    """The dog without food on its last `days` fed days."""
    fed = [day for day, grams in enumerate(dog.day_g) if grams]
    kept = fed[: len(fed) - days]
    if dog.care:
        return _take_away_in_care(dog, kept, len(fed))
    day_g = tuple(grams if day in kept else 0 for day, grams in enumerate(dog.day_g))
    rations = {dog.day_g[day] for day in fed}
    # Day rations of a steady dog differ by a gram of rounding; beyond that the ration itself changes.
    is_changing = max(rations) - min(rations) > 1
    daily_g = Fraction(sum(day_g), len(kept)) if is_changing else dog.daily_g
    return replace(
        dog, day_g=day_g, days=len(kept), batch_g=sum(day_g), daily_g=daily_g, energy=_energy_on_days(dog.energy, kept)
    )


def _energy_on_days(energy: EnergyRation | None, kept: list[int]) -> EnergyRation | None:
    """The ration in energy for the days that are left."""
    if energy is None:
        return None
    return replace(
        energy, day_kcal=tuple(kcal if day in kept else Fraction(0) for day, kcal in enumerate(energy.day_kcal))
    )


def _take_away_in_care(dog: Dog, kept: list[int], fed_days: int) -> Dog:
    """The dog in care with the veterinarian's amounts for the days that are left, the same every day."""
    amounts = tuple(
        replace(vet_amount, batch_g=floor(Fraction(vet_amount.batch_g * len(kept), fed_days)))
        for vet_amount in dog.vet_amounts
    )
    day_g = days_in_care_g(amounts, kept, len(dog.day_g))
    return replace(dog, day_g=day_g, days=len(kept), batch_g=sum(day_g), vet_amounts=amounts)
