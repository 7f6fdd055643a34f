"""Changes to ask about: prices, dogs more or fewer or away, other targets, room and budget; each gives a scenario."""

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import count
from math import floor

from raworder.dogs import Dog, EnergyRation
from raworder.reading.day_rations import days_in_care_g
from raworder.reading.patterns import PATTERNS, targets
from raworder.trade import Offer, PriceStep, Scenario
from raworder.units import Currency


@dataclass(frozen=True, slots=True)
class Change(ABC):
    """One change: `says` it in words; `about` is what it sets, so that two about the same exclude one another."""

    says: str
    about: frozenset[str]

    @abstractmethod
    def applied(self, scenario: Scenario) -> Scenario:
        """The scenario with the change."""


@dataclass(frozen=True, slots=True)
class Price(Change):
    """The offers of those keys at so many times their price, and the `packs` of supplements of those keys."""

    offers: frozenset[str]
    times: Fraction
    packs: frozenset[str] = frozenset()

    def applied(self, scenario: Scenario) -> Scenario:
        """The scenario with those prices: exact where they are computed with, in minor units where they are read."""
        money = scenario.currency
        offers = (_priced(one, self.times, money) if one.key in self.offers else one for one in scenario.offers)
        packs = (
            replace(one, price=money.rounded(Fraction(one.price) * self.times)) if one.key in self.packs else one
            for one in scenario.supplement_offers
        )
        return replace(scenario, offers=tuple(offers), supplement_offers=tuple(packs))


@dataclass(frozen=True, slots=True)
class OneMore(Change):
    """One dog more that is just like another; where that one is in care, with the same amounts."""

    like: Dog

    def applied(self, scenario: Scenario) -> Scenario:
        """The scenario with the dog, under a name of its own."""
        taken = {dog.name for dog in scenario.dogs}
        name = next(name for name in _names_like(self.like.name) if name not in taken)
        return replace(scenario, dogs=(*scenario.dogs, replace(self.like, name=name)))


@dataclass(frozen=True, slots=True)
class Without(Change):
    """A dog that is not there at all."""

    dog: str

    def applied(self, scenario: Scenario) -> Scenario:
        """The scenario without the dog."""
        return replace(scenario, dogs=tuple(one for one in scenario.dogs if one.name != self.dog))


@dataclass(frozen=True, slots=True)
class Away(Change):
    """A dog that is away on the last so many of the days on which it is fed; it is fed on some day before."""

    dog: str
    days: int

    def applied(self, scenario: Scenario) -> Scenario:
        """The scenario with fewer days for the dog."""
        return _with_dogs(scenario, lambda dog: _away(dog, self.days) if dog.name == self.dog else dog)


@dataclass(frozen=True, slots=True)
class Pattern(Change):
    """A pattern of the trade in place of the targets of one dog, or where none is named of all that are not in care."""

    pattern: str
    dog: str = ""

    def applied(self, scenario: Scenario) -> Scenario:
        """The scenario with those targets; caps and what is avoided stay."""
        asked = targets(PATTERNS[self.pattern])

        def changed(dog: Dog) -> Dog:
            """The dog with those targets, if it is meant."""
            is_meant = not dog.care and self.dog in {"", dog.name}
            return replace(dog, targets=asked, targets_named=self.pattern) if is_meant else dog

        return _with_dogs(scenario, changed)


@dataclass(frozen=True, slots=True)
class Room(Change):
    """Another room in the freezer; None is as much as is wanted."""

    room_g: int | None

    def applied(self, scenario: Scenario) -> Scenario:
        """The scenario with that room."""
        return replace(scenario, room_g=self.room_g)


@dataclass(frozen=True, slots=True)
class Budget(Change):
    """Another budget; None is as much as is needed."""

    budget: Decimal | None

    def applied(self, scenario: Scenario) -> Scenario:
        """The scenario with that budget."""
        return replace(scenario, budget=self.budget)


def _priced(offer: Offer, times: Fraction, money: Currency) -> Offer:
    """The offer with every price step at so many times its price."""
    return replace(
        offer,
        steps=tuple(
            PriceStep(one.at_least, one.unit_price * times, money.rounded(Fraction(one.listed) * times), one.per)
            for one in offer.steps
        ),
    )


def _names_like(name: str) -> Iterator[str]:
    """Names for one dog more, one after the other."""
    yield f"another {name}"
    yield from (f"another {name} {number}" for number in count(2))


def _with_dogs(scenario: Scenario, changed: Callable[[Dog], Dog]) -> Scenario:
    return replace(scenario, dogs=tuple(map(changed, scenario.dogs)))


def _away(dog: Dog, days: int) -> Dog:
    """The dog with its last days unfed."""
    fed = [day for day, grams in enumerate(dog.day_g) if grams]
    kept = fed[: len(fed) - days]
    if dog.care:
        return _in_care_away(dog, kept, len(fed))
    day_g = tuple(grams if day in kept else 0 for day, grams in enumerate(dog.day_g))
    rations = {dog.day_g[day] for day in fed}
    changes = max(rations) - min(rations) > 1
    daily_g = Fraction(sum(day_g), len(kept)) if changes else dog.daily_g
    return replace(
        dog, day_g=day_g, days=len(kept), batch_g=sum(day_g), daily_g=daily_g, energy=_energy_of(dog.energy, kept)
    )


def _energy_of(energy: EnergyRation | None, kept: list[int]) -> EnergyRation | None:
    """A ration in energy for the days that are left."""
    if energy is None:
        return None
    return replace(
        energy, day_kcal=tuple(kcal if day in kept else Fraction(0) for day, kcal in enumerate(energy.day_kcal))
    )


def _in_care_away(dog: Dog, kept: list[int], fed_days: int) -> Dog:
    """The dog in care with what the veterinarian gave for the days that are left, day for day the same."""
    amounts = tuple(replace(one, batch_g=floor(Fraction(one.batch_g * len(kept), fed_days))) for one in dog.vet_amounts)
    day_g = days_in_care_g(amounts, kept, len(dog.day_g))
    return replace(dog, day_g=day_g, days=len(kept), batch_g=sum(day_g), vet_amounts=amounts)
