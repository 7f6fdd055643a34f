"""The receipt: what was really bought, compared with what was planned."""

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from raworder.trade.cuts import Cut, Subject
from raworder.trade.findings import Place


@dataclass(frozen=True, slots=True)
class Received:
    """One line: units of an offer, what they weigh together, and what was paid for them before sales tax.

    `offer` is the key of the scenario's offer, or empty for a substitute that is on no price list.
    """

    offer: str
    supplier: str
    cut: str
    units: int
    grams: int
    paid: Decimal
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Receipt:
    """All that was bought; what is not on it was not bought.

    `delivery` is what suppliers charged for bringing it. `none_left` are the offers that were sold out. `cuts` are
    substitutes that are not in the scenario.
    """

    lines: tuple[Received, ...]
    delivery: tuple[tuple[str, Decimal], ...] = ()
    none_left: tuple[str, ...] = ()
    cuts: tuple[Cut, ...] = ()


@dataclass(frozen=True, slots=True)
class Missed:
    """A range that a dog's food misses: its share of the batch that counts, and the grams by which it is off."""

    dog: str
    subject: Subject
    low: Fraction
    high: Fraction
    share: Fraction
    off_g: int


@dataclass(frozen=True, slots=True)
class AfterTheShop:
    """How the shop turned out: what was `paid` and what was `planned`, with sales tax and delivery.

    `planned` is None where there was no plan. `enough` is true where what was bought feeds every dog within its rules.
    `missed` are the ranges that what was bought does not reach, once rations are cut by `short_g` because there is too
    little food, or too little that can be fed. `to_fetch` is the least that the rest costs, None where nothing is
    fetched; `fetched` is what must be fetched, in words. `as_it_is` is true where nothing is fetched, and `filled`
    where bags can be filled even so. All dogs together need `needed_g`, and `there_g` is bought or on hand; both are
    set only where something is missing. `any_species` is true where the rules on species cannot be kept at all.
    """

    planned: Decimal | None
    paid: Decimal
    enough: bool = False
    missed: tuple[Missed, ...] = ()
    short_g: int = 0
    to_fetch: Decimal | None = None
    fetched: tuple[str, ...] = ()
    as_it_is: bool = False
    filled: bool = True
    needed_g: int = 0
    there_g: int = 0
    any_species: bool = False

    @property
    def missing_g(self) -> int:
        """The grams by which the food falls short of what all dogs need, counting food that cannot be fed."""
        return max(self.needed_g - self.there_g, 0)
