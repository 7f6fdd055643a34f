"""The Scenario with its suppliers and offers, and the bags that each dog needs for the batch."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from math import ceil
from typing import NewType

from raworder.trade.bags import Portioning, Working
from raworder.trade.cuts import PLANT, Cut
from raworder.trade.dogs import Dog
from raworder.trade.findings import Place
from raworder.trade.labels import LabelSheet
from raworder.trade.nutrients import BONE_CALCIUM, BONE_CALCIUM_RANGE, NeedRow, Profile, Supplement
from raworder.trade.rulebook import FEW_DOGS
from raworder.trade.units import Currency, half_up

YOUR_LIST = "your list"
"""What the supplier of a list without a name is called."""

ORDER_AHEAD_DAYS = 3
"""So many days before the bags of the next batch are filled it is ordered. **Source:** common practice, no source."""


@dataclass(frozen=True, slots=True)
class Variety:
    """At least `least_species` animal species per dog, each at least `least_share`; none above `most_share`."""

    least_species: int = 0
    least_share: Fraction = Fraction(0)
    most_share: Fraction = Fraction(1)


@dataclass(frozen=True, slots=True)
class PriceStep:
    """The price from so many units on: `unit_price` exact per unit of the offer; `listed` and `per` as on the list."""

    at_least: int
    unit_price: Fraction
    listed: Decimal
    per: str


@dataclass(frozen=True, slots=True)
class Offer:
    """One line of a price list. A unit is a whole pack, or a step of something sold by weight.

    `unit_g` is exact: whole grams, unless the list is in pounds or ounces.
    `steps` rise in `at_least` and the first starts at 1. `available` is the most units that can be bought, if limited.
    `key` is unique and does not depend on the order of the file. `heaviest_g` is set for a catch weight: packs of about
    `unit_g`, the mean, each charged by what it really weighs, `heaviest_g` at most. `bought` is set where the buying is
    done: just so many units.
    """

    key: str
    supplier: str
    cut: str
    item: str
    unit_g: Fraction
    by_weight: bool
    steps: tuple[PriceStep, ...]
    available: int | None = None
    code: str = ""
    heaviest_g: Fraction | None = None
    bought: int | None = None
    place: Place | None = field(default=None, compare=False)

    @property
    def to_the_gram(self) -> bool:
        """Whether it is cut to order to any weight, so that its amount is no whole number of anything coarse."""
        return self.by_weight and self.unit_g == 1

    def grams(self, units: int) -> int:
        """What so many units weigh, in whole grams, rounded up."""
        return ceil(self.unit_g * units)

    def step_for(self, units: int) -> PriceStep:
        """The price step that so many units fall in."""
        return [step for step in self.steps if step.at_least <= max(units, 1)][-1]


@dataclass(frozen=True, slots=True)
class SupplementOffer:
    """One line of a list of supplements: a pack of `steps` steps of a supplement at `price`, `available` of them."""

    key: str
    supplier: str
    supplement: str
    item: str
    steps: int
    price: Decimal
    available: int | None = None
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Supplier:
    """Who sells, what a delivery costs, and from which goods value on. Money before sales tax, which is a share."""

    name: str
    delivery: Decimal = Decimal(0)
    minimum_order: Decimal = Decimal(0)
    free_delivery_from: Decimal | None = None
    sales_tax: Fraction = Fraction(0)
    list_date: date | None = None
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class OnHand:
    """What the freezer already holds of a cut, and since when."""

    cut: str
    grams: int
    frozen_on: date | None = None
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Batch:
    """The days fed from one order. `order_ahead_days` before the last of them the next order is due.

    That makes no plan another one, so it does not compare, and a saved plan stays one of its scenario.
    """

    starts: date
    days: int
    order_ahead_days: int = field(default=ORDER_AHEAD_DAYS, compare=False)

    @property
    def ends(self) -> date:
        """The last day fed."""
        return self.starts + timedelta(days=self.days - 1)

    @property
    def order_by(self) -> date:
        """The day on which the next batch is ordered at the latest.

        Its first day is the one after the last of this batch, so its bags are filled on that last day.
        """
        return self.ends - timedelta(days=self.order_ahead_days)

    def each_day(self) -> Iterator[date]:
        """The days in order."""
        return (self.starts + timedelta(days=day) for day in range(self.days))


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution of the reference table: `applies` is `standing`, `cut` or `rule`."""

    key: str
    applies: str
    heading: str
    says: str
    source: str


@dataclass(frozen=True, slots=True)
class Keeping:
    """How many days raw food of some kinds, or of some species, keeps in a refrigerator; neither named: everything."""

    what: str
    kinds: frozenset[str]
    species: frozenset[str]
    least_days: int
    most_days: int
    source: str


@dataclass(frozen=True)  # no slots: what is looked up by name is put in order once and kept
class Scenario:
    """Everything asked, checked. People read `weight_unit`, `kg` or `lb`; `places` tell where rules are set, by key.

    `labels` is the sheet that bags are labelled from, if one is named; a plan is the same on any. Calcium of bone is
    reckoned at `bone_calcium` and may lie in its range, of which both ends are the same where one number was stated.

    After the shop `asked` has the rules as they were before some gave way, where any did, and `shop_signs` tells what
    was bought from anything else that could have been; neither plays a part in what is planned.
    """

    title: str
    currency: Currency
    weight_unit: str
    batch: Batch
    dogs: tuple[Dog, ...]
    cuts: tuple[Cut, ...]
    suppliers: tuple[Supplier, ...]
    offers: tuple[Offer, ...]
    on_hand: tuple[OnHand, ...] = ()
    room_g: int | None = None
    budget: Decimal | None = None
    most_suppliers: int | None = None
    variety: Variety = Variety()
    cautions: tuple[Caution, ...] = ()
    portioning: Portioning = Portioning()  # noqa: RUF009 - it is frozen
    keeping: tuple[Keeping, ...] = ()
    supplements: tuple[Supplement, ...] = ()
    supplement_offers: tuple[SupplementOffer, ...] = ()
    profiles: tuple[Profile, ...] = ()
    needs: tuple[NeedRow, ...] = ()
    bone_calcium: Fraction = BONE_CALCIUM
    bone_calcium_range: tuple[Fraction, Fraction] = BONE_CALCIUM_RANGE
    labels: LabelSheet | None = field(default=None, compare=False)
    places: tuple[tuple[str, Place], ...] = field(default=(), compare=False)
    asked: "Scenario | None" = field(default=None, compare=False)
    shop_signs: str = field(default="", compare=False)

    @property
    def as_asked(self) -> "Scenario":
        """The scenario with rules for dogs and bags, room and budget as asked for, also where some gave way."""
        if self.asked is None:
            return self
        return replace(
            self,
            dogs=tuple(dog.with_rules_of(asked) for dog, asked in zip(self.dogs, self.asked.dogs, strict=True)),
            portioning=self.asked.portioning,
            variety=self.asked.variety,
            room_g=self.asked.room_g,
            budget=self.asked.budget,
            asked=None,
        )

    @property
    def portioned_on(self) -> date:
        """The day on which the bags are filled."""
        return self.portioning.day or self.batch.starts - timedelta(days=1)

    @property
    def many_dogs(self) -> bool:
        """Whether there are more dogs than can be planned piece by piece; no further is counted than to tell."""
        return any(count > FEW_DOGS for count, _ in enumerate((dog for dog in self.dogs if dog.batch_g > 0), 1))

    @property
    def shares_pieces(self) -> bool:
        """Whether whole pieces are counted for dogs fed alike and shared out: where dogs are many, or fed from tubs."""
        return self.many_dogs or self.portioning.working is Working.TUB

    def keeping_of(self, cut: Cut) -> Keeping | None:
        """How long the cut keeps in a refrigerator, by the first row that speaks of it."""
        names = set(cut.species_names)
        rows = (row for row in self.keeping if cut.kind in row.kinds or names & row.species)
        anything = (row for row in self.keeping if not row.kinds and not row.species)
        return next(rows, None) or next(anything, None)

    def cut(self, name: str) -> Cut:
        """The cut of that name."""
        return self._cut_of[name]

    def offer(self, key: str) -> Offer:
        """The offer of that key."""
        return self._offer_of[key]

    def supplement(self, name: str) -> Supplement:
        """The supplement of that name."""
        return next(supplement for supplement in self.supplements if supplement.name == name)

    def supplier(self, name: str) -> Supplier:
        """The supplier of that name."""
        return self._supplier_of[name]

    @property
    def dog_days(self) -> int:
        """One dog fed for one day, added up: the unit that makes costs comparable."""
        return sum(dog.days for dog in self.dogs)

    def on_hand_g(self, cut: str) -> int:
        """Grams of a cut that the freezer already holds."""
        return self._on_hand_g[cut]

    @cached_property
    def _cut_of(self) -> dict[str, Cut]:
        return {cut.name: cut for cut in reversed(self.cuts)}

    @cached_property
    def _offer_of(self) -> dict[str, Offer]:
        return {offer.key: offer for offer in reversed(self.offers)}

    @cached_property
    def _supplier_of(self) -> dict[str, Supplier]:
        return {supplier.name: supplier for supplier in reversed(self.suppliers)}

    @cached_property
    def _on_hand_g(self) -> Counter[str]:
        held: Counter[str] = Counter()
        for lot in self.on_hand:
            held[lot.cut] += lot.grams
        return held

    def species(self) -> tuple[str, ...]:
        """The animal species among the cuts, by name."""
        return tuple(sorted({name for cut in self.cuts for name in cut.species_names} - {PLANT}))


FedScenario = NewType("FedScenario", Scenario)
"""A scenario in which every dog has its grams, also one whose ration is in energy: a plan has found them.

Only `raworder.as_fed` makes one. What reckons with rations beside a plan asks for it, so that none takes a scenario in
which grams are still open.
"""


@dataclass(frozen=True, slots=True)
class Slot:
    """A bag to be filled: its day by date and by its place among the days fed, its meal, and what it is to weigh."""

    day: date
    fed_day: int
    meal: int
    grams: int


def slots_of(dog: Dog, scenario: Scenario) -> tuple[Slot, ...]:
    """The dog's bags in order, each weighed in scale steps so that no run of them is more than a step off its ration.

    The last takes what no scale step can show.
    """
    fed = [(scenario.batch.starts + timedelta(days=day), grams) for day, grams in enumerate(dog.day_g) if grams]
    step_g, due, given, slots = scenario.portioning.scale_step_g, Fraction(0), 0, []
    for fed_day, (day, grams) in enumerate(fed):
        for meal in range(1, dog.meals + 1):
            due += Fraction(grams, dog.meals)
            bag_g = half_up(due / step_g) * step_g - given
            slots.append(Slot(day, fed_day, meal, bag_g))
            given += bag_g
    last = slots.pop()
    return (*slots, Slot(last.day, last.fed_day, last.meal, last.grams + sum(dog.day_g) - given))
