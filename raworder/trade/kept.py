"""What the book keeps: entries, lots, bags and prices, and what is asked of them; how it is stored is not known here.

A lot is what was bought or found of one cut, on one day, from one supplier. Bags are filled from lots; what is not
taken out of a lot is still in it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction


class EntryKind(StrEnum):
    """What an entry is about."""

    ORDER = "order"
    BATCH = "batch"
    FED = "fed"
    THROWN = "thrown"
    KEPT = "kept"
    COUNTED = "counted"
    FOUND = "found"
    MARKED = "marked"
    WEIGHED = "weighed"
    VOID = "void"


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the book: its number, kind and day, and what it says. `void` is the entry that took it back."""

    number: int
    kind: EntryKind
    day: date
    says: str
    void: int | None = None


@dataclass(frozen=True, slots=True)
class Lot:
    """What was bought or found of a cut; `left_g` of its `grams` are still in it.

    `worth` is what was paid for it with its part of delivery and tax; 0 for what was found. `goods` is what was paid
    before those. `mark` is what the supplier printed on it. `owner` is set where it is for one owner's dogs alone.
    `frozen_on` is None where nobody knows.
    """

    number: int
    entry: int
    cut: str
    grams: int
    left_g: int
    goods: Decimal
    worth: Decimal
    currency: str
    bought_on: date
    frozen_on: date | None = None
    supplier: str = ""
    item: str = ""
    code: str = ""
    mark: str = ""
    owner: str = ""

    @property
    def left_worth(self) -> Fraction:
        """What is left of it cost so much, exactly."""
        return Fraction(self.worth) * self.left_g / self.grams if self.grams else Fraction(0)


@dataclass(frozen=True, slots=True)
class KeptBag:
    """A bag that was filled: its number in the book and on its label, and grams of each cut in it.

    `fate` says what became of it, empty where nothing was entered; `worth` is what its food cost, exactly. `batch` is
    the number of the batch.
    """

    number: int
    entry: int
    batch: str
    label: int
    dog: str
    owner: str
    feed_on: date
    meal: int
    filled_on: date
    contents: tuple[tuple[str, int], ...]
    worth: Fraction = Fraction(0)
    fate: EntryKind | None = None
    fate_on: date | None = None

    @property
    def grams(self) -> int:
        """What is in it."""
        return sum(grams for _, grams in self.contents)

    def is_gone(self, day: date) -> bool:
        """Whether it is fed or thrown away by that day; without an entry the day after it is for."""
        if self.fate is EntryKind.KEPT:
            return False
        return self.fate_on <= day if self.fate_on else self.feed_on < day


CRUMB_G = 10
"""Less than this of a lot is in the book so that all adds up, and nobody keeps it. Source: common practice, no source.
"""


@dataclass(frozen=True, slots=True)
class Stock:
    """What the freezer holds on a day: lots with something left, the oldest first, and bags by the day they are for.

    What was entered of that day counts; its bags are there where no entry says that they are gone.
    """

    day: date
    lots: tuple[Lot, ...]
    bags: tuple[KeptBag, ...]
    currency: str = ""

    @property
    def grams(self) -> int:
        """All of it."""
        return sum(lot.left_g for lot in self.lots) + sum(bag.grams for bag in self.bags)

    @property
    def worth(self) -> Fraction:
        """What all of it cost."""
        return sum((lot.left_worth for lot in self.lots), Fraction(0)) + sum(
            (bag.worth for bag in self.bags), Fraction(0)
        )

    def without_crumbs(self) -> "Stock":
        """The same without lots of which less than `CRUMB_G` is left."""
        return replace(self, lots=tuple(lot for lot in self.lots if lot.left_g >= CRUMB_G))


@dataclass(frozen=True, slots=True)
class Fed:
    """What a dog eats a day, by the last batch that was entered."""

    dog: str
    owner: str
    day_g: int


@dataclass(frozen=True, slots=True)
class PaidBill:
    """What one supplier was paid: goods, delivery and sales tax. `other` are goods that are no food, in `goods` too."""

    supplier: str
    goods: Decimal
    delivery: Decimal
    tax: Decimal
    other: Decimal = Decimal(0)

    @property
    def total(self) -> Decimal:
        """All of it."""
        return self.goods + self.delivery + self.tax


@dataclass(frozen=True, slots=True)
class NewLot:
    """A lot to be entered; `used_g` of it went into bags at once, more than its `grams` where it was heavier.

    `rest_g` is what is left beside whole pieces, which nobody has: pieces weigh a little more or less than is said.
    """

    cut: str
    grams: int
    used_g: int
    units: int
    goods: Decimal
    worth: Decimal
    supplier: str
    item: str
    code: str = ""
    frozen_on: date | None = None
    rest_g: int = 0


@dataclass(frozen=True, slots=True)
class UsedLot:
    """What a plan took from the freezer: a cut, whose it is, since when it is frozen, how much was said to be there."""

    cut: str
    owner: str
    frozen_on: date | None
    there_g: int
    used_g: int
    rest_g: int = 0


@dataclass(frozen=True, slots=True)
class FirstDays:
    """The first days of a batch on which a dog has no bag of it, and may eat bags kept over; so many bags a day.

    It is fed none of those that hold any of the cuts `avoided`.
    """

    dog: str
    days: int
    meals: int
    avoided: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class NewBag:
    """A bag to be entered, by the number on its label."""

    label: int
    dog: str
    owner: str
    feed_on: date
    meal: int
    contents: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class ListedPrice:
    """One line of a supplier's list on its day: what is asked for, and the price of an edible kilogram.

    `edible_kg` is before sales tax, from the first price step, exactly.
    """

    supplier: str
    day: date
    cut: str
    item: str
    code: str
    unit_g: int
    price: Decimal
    per: str
    edible_kg: Fraction


@dataclass(frozen=True, slots=True)
class OrderedLine:
    """One line of an order as planned: so many units of an item, what they were to weigh and to cost before tax."""

    supplier: str
    cut: str
    item: str
    units: int
    grams: int
    goods: Decimal


@dataclass(frozen=True, slots=True)
class PartGot:
    """The share of a part in what a dog ate over a batch, beside its range."""

    dog: str
    part: str
    share: Fraction
    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class BatchAccount:
    """A batch as the book keeps it: which it is, what was ordered, bought and filled, and what its lists asked.

    Read back from the book it has no `used` and no `first_days`, which are in the lots and bags then, and no `bags`.
    `title` and `starts` tell which batch it is and `number` stands on its labels. `ordered` is empty where nobody
    planned it before the shop, and `planned` is what that was to cost.
    """

    number: str
    title: str
    currency: str
    starts: date
    days: int
    order_ahead_days: int
    filled_on: date
    dogs: tuple[Fed, ...] = ()
    ordered: tuple[OrderedLine, ...] = ()
    planned: Decimal | None = None
    bills: tuple[PaidBill, ...] = ()
    lots: tuple[NewLot, ...] = ()
    used: tuple[UsedLot, ...] = ()
    bags: tuple[NewBag, ...] = ()
    first_days: tuple[FirstDays, ...] = ()
    prices: tuple[ListedPrice, ...] = ()
    shares: tuple[PartGot, ...] = ()

    @property
    def ends(self) -> date:
        """The last day fed."""
        return date.fromordinal(self.starts.toordinal() + self.days - 1)

    @property
    def paid(self) -> Decimal:
        """What was paid to all suppliers."""
        return sum((bill.total for bill in self.bills), Decimal(0))


@dataclass(frozen=True, slots=True)
class PricePoint:
    """What an edible kilogram of a cut cost on a day: as `paid`, or as a list asked. Before sales tax."""

    cut: str
    day: date
    supplier: str
    item: str
    edible_kg: Fraction
    paid: bool


@dataclass(frozen=True, slots=True)
class Weighing:
    """What a dog weighed on a day, in grams."""

    dog: str
    day: date
    grams: int


@dataclass(frozen=True, slots=True)
class Loss:
    """How much of a cut was bought in some batches, and how much less than that was there when it was counted."""

    cut: str
    bought_g: int
    lost_g: int


@dataclass(frozen=True, slots=True)
class Trace:
    """Where something went or came from: the lots, and the bags that hold or may hold of them.

    `certain` says of each bag, by its number in the book, whether all of that cut in its batch came from these lots.
    """

    lots: tuple[Lot, ...]
    bags: tuple[KeptBag, ...]
    certain: Mapping[int, bool]
