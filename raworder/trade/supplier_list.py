"""A supplier's own price list as rows of plain facts, and what a person has confirmed about it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType

from raworder.trade.findings import Finding, Place
from raworder.trade.units import BASES_G, GRAMS_PER, decimal_text


class Standing(StrEnum):
    """Whether a row can be bought: it is sold, it is not sold now, or nobody can tell what it says."""

    SOLD = "sold"
    NOT_NOW = "not sold now"
    UNREAD = "not read"


class Match(StrEnum):
    """What is known of the name on a row.

    A row is a `CUT` of ours, `NOT_FOR_DOGS`, `NEW`, or `RENAMED`: its code stood beside another name before.
    """

    CUT = "cut"
    NOT_FOR_DOGS = "not for dogs"
    NEW = "new"
    RENAMED = "renamed"


LARGER: Mapping[str, tuple[str, int]] = MappingProxyType({"g": ("kg", 1000), "oz": ("lb", 16)})
"""The larger unit in which many of a small one are said, and how many make one."""


def _weight_text(amount: Fraction, unit: str) -> str:
    """A weight in its unit, or in the larger one from one of that on."""
    larger, times = LARGER.get(unit, (unit, 1))
    return f"{decimal_text(amount / times)} {larger}" if amount >= times else f"{decimal_text(amount)} {unit}"


@dataclass(frozen=True, slots=True)
class ListedPack:
    """What is bought as one: a pack, or a case of inner packs.

    `each` is what the innermost pack weighs, in `unit`, and `counts` are the packs within one another: a case of 4 bags
    is (4,). With `about` each weighs something else, `each` being the mean; `up_to` is the most, where it is stated.
    `at_one_price` is one whose weight is about that and whose price does not depend on it: it is counted as stated.
    """

    each: Fraction
    unit: str
    counts: tuple[int, ...] = ()
    about: bool = False
    up_to: Fraction | None = None
    at_one_price: bool = False
    written: str = field(default="", compare=False)
    """The pack as the list writes it."""

    @property
    def packs(self) -> int:
        """How many inner packs there are; 1 where it is no case."""
        packs = 1
        for count in self.counts:
            packs *= count
        return packs

    @property
    def grams(self) -> Fraction:
        """What all of it weighs, exact; the mean of a catch weight."""
        return self.each * self.packs * GRAMS_PER[self.unit]

    @property
    def up_to_g(self) -> Fraction | None:
        """The most that all of it weighs, exact, where that is stated."""
        return None if self.up_to is None else self.up_to * self.packs * GRAMS_PER[self.unit]

    @property
    def weight(self) -> str:
        """What all of it weighs, as an offer says it: `10 kg`, `about 13.5 lb`."""
        return "about " * self.about + _weight_text(self.each * self.packs, self.unit)

    @property
    def heaviest(self) -> str:
        """The most that all of it weighs, as an offer says it; empty where that is not stated."""
        return "" if self.up_to is None else _weight_text(self.up_to * self.packs, self.unit)

    @property
    def is_in_our_words(self) -> bool:
        """Whether there is something in how it is read that a person should see."""
        return self.packs > 1 or self.about or self.at_one_price

    @property
    def told(self) -> str:
        """The pack in words.

        >>> ListedPack(Fraction(5, 2), "kg", (4,)).told
        'a case of 4 packs of 2.5 kg, 10 kg in all'
        >>> ListedPack(Fraction(27, 2), "lb", about=True, up_to=Fraction(15)).told
        'a pack of about 13.5 lb, 15 lb at most'
        """
        if self.at_one_price:
            return f"a pack of about {self.weight} at one price, counted as {self.weight}"
        about, most = "about " * self.about, f", {self.heaviest} at most" if self.up_to else ""
        if self.packs == 1:
            return f"a pack of {self.weight}{most}"
        counts = " of ".join(f"{count} packs" for count in self.counts)
        return f"a case of {counts} of {about}{_weight_text(self.each, self.unit)}, {self.weight} in all{most}"


@dataclass(frozen=True, slots=True)
class ListRow:
    """One row of a supplier's list: the list's own words, and what they mean.

    `price` is for what `basis` says: `pack`, `kg`, `100 g`, `lb` or `oz`. `why` says why a row is not sold now or not
    read; then price and pack may be missing. A row with a price and no `pack` is sold by weight. `cut` is a cut of ours
    by its exact name or by a person's word, else empty.
    """

    name: str
    place: Place
    code: str = ""
    group: str = ""
    pack: ListedPack | None = None
    price: Decimal | None = None
    basis: str = ""
    standing: Standing = Standing.SOLD
    why: str = ""
    match: Match = Match.NEW
    cut: str = ""
    known_as: str = ""
    """The name that the code stood for before, where the row is `RENAMED`."""
    confirmed_at: Place | None = None
    """Where the names file says what the row is."""
    more: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}), hash=False)
    """Other fields of an offer that the list has a column for, by name."""
    raw: str = ""
    """The row as it stands in the list."""
    places: Mapping[str, Place] = field(default_factory=lambda: MappingProxyType({}), compare=False)
    """Where the cell of each field stands."""

    @property
    def line(self) -> int:
        """Its line in the list, or its row in a workbook."""
        return self.place.line

    @property
    def sold_now(self) -> bool:
        """Whether it can be bought now, as far as the list says."""
        return self.standing is Standing.SOLD

    @property
    def offered(self) -> bool:
        """Whether it is sold now and is a cut of ours."""
        return self.sold_now and self.match is Match.CUT

    @property
    def pack_g(self) -> Fraction | None:
        """What a pack or case weighs, exact; the mean of a catch weight; None for what is sold by weight."""
        return self.pack.grams if self.pack else None

    @property
    def per_kg(self) -> Fraction | None:
        """The price of a kilogram as bought, exact; None where there is no price."""
        if self.price is None:
            return None
        grams = self.pack_g if self.basis == "pack" else BASES_G.get(self.basis)
        return Fraction(self.price) * 1000 / grams if grams else None


@dataclass(frozen=True, slots=True)
class NamedItem:
    """What a person said of an item of a list, by the supplier's code and name: a cut of ours, or not for dogs."""

    name: str
    code: str = ""
    cut: str = ""
    confirmed: date | None = None
    place: Place | None = field(default=None, compare=False)

    @property
    def for_dogs(self) -> bool:
        """Whether it is a cut of ours."""
        return bool(self.cut)


@dataclass(frozen=True, slots=True)
class ListLayout:
    """How a supplier's lists are to be read; what is empty is told from the list itself.

    `columns` are the headings for our fields. `price_per` and `second_price_per` are what prices are for that do not
    say it, `pack_unit` the unit of packs that name none. `sold_words` and `not_sold_words` are what stands in the
    column `sold`, beside the words that everybody knows.
    """

    encoding: str = ""
    separator: str = ""
    decimal: str = ""
    sheet: str = ""
    columns: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}), hash=False)
    price_per: str = ""
    second_price_per: str = ""
    pack_unit: str = ""
    sold_words: tuple[str, ...] = ()
    not_sold_words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SupplierNames:
    """What a names file holds: how the supplier's lists are read, and what its items are.

    `no_groups` and `no_words` are groups of the list, and words in its names, that are never for dogs.
    """

    supplier: str = ""
    layout: ListLayout = field(default_factory=ListLayout)
    items: tuple[NamedItem, ...] = ()
    no_groups: tuple[str, ...] = ()
    no_words: tuple[str, ...] = ()

    def without(self, name: str) -> "SupplierNames":
        """The same without the items of that name."""
        return replace(self, items=tuple(item for item in self.items if item.name != name))


@dataclass(frozen=True, slots=True)
class SupplierList:
    """A supplier's list, read with its names file: its rows in order, its own day where it states one.

    `gone` are the cuts of the names file that the list no longer has; `layout` is how it was read.
    """

    file: str
    rows: tuple[ListRow, ...]
    day: date | None = None
    supplier: str = ""
    gone: tuple[NamedItem, ...] = ()
    layout: ListLayout = field(default_factory=ListLayout)
    unread: tuple[Finding, ...] = ()
    """The findings about cells that lie too far out to be read."""

    @property
    def offered(self) -> tuple[ListRow, ...]:
        """The rows that are sold now and are cuts of ours."""
        return tuple(row for row in self.rows if row.offered)
