"""The receipt: what was really bought, as against what was planned."""

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from raworder.trade.cuts import Cut, Subject
from raworder.trade.findings import Place


@dataclass(frozen=True, slots=True)
class Received:
    """One line: so many units of an offer, what they weigh together, and what was paid for them before sales tax.

    `offer` is the key of the scenario's offer it is about, or empty for a substitute that is on no list.
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

    `delivery` is what suppliers charged for bringing it. `none_left` are the offers of which there was none to be had.
    `cuts` are substitutes that the scenario does not know.
    """

    lines: tuple[Received, ...]
    delivery: tuple[tuple[str, Decimal], ...] = ()
    none_left: tuple[str, ...] = ()
    cuts: tuple[Cut, ...] = ()


@dataclass(frozen=True, slots=True)
class Missed:
    """A range that a dog's food does not keep to: what counts, as a share of the batch, and the grams it is off."""

    dog: str
    subject: Subject
    low: Fraction
    high: Fraction
    share: Fraction
    off_g: int


@dataclass(frozen=True, slots=True)
class AfterTheShop:
    """What came of the shop: `paid` as against `planned`, with sales tax and delivery; None where there was no plan.

    `enough` tells that what was bought feeds every dog within its rules. `missed` are the ranges that what was bought
    alone does not reach, once rations are cut by `short_g`: there is too little food, or too little that can be fed.
    `to_fetch` is the least that the rest costs, or None where nothing is fetched; `fetched` is what that is, in words.
    `as_it_is` tells that nothing is to be fetched, `filled` whether bags can be filled even so. All dogs together need
    `needed_g`, and `there_g` is bought or on hand; both are told only where something is missing. `any_species` tells
    that what was asked of species cannot be kept at all.
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
        """How much less there is than all dogs need; what is there and cannot be fed is not missing."""
        return max(self.needed_g - self.there_g, 0)
