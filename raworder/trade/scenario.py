"""The Scenario with its suppliers and offers, and the bags that each dog needs for the batch."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cached_property
from math import ceil
from typing import NewType

from raworder.trade.bags import Portioning, Working
from raworder.trade.cuts import PLANT, Cut, freeze_first_days
from raworder.trade.dogs import Dog
from raworder.trade.findings import Place
from raworder.trade.labels import LabelSheet
from raworder.trade.nutrients import BoneCalcium, NeedRow, Profile, Supplement
from raworder.trade.rounding import half_up
from raworder.trade.rulebook import MOST_DOGS_ONE_BY_ONE, MOST_DOGS_PROVED
from raworder.trade.units import Currency

YOUR_LIST = "your list"
"""The name of the supplier of a price list that names none."""

ORDER_AHEAD_DAYS = 3
"""The days from ordering the next batch to filling its bags. **Source:** common practice, no source."""


@dataclass(frozen=True, slots=True)
class Variety:
    """At least `least_species` animal species per dog, each at least `least_share`; none above `most_share`."""

    least_species: int = 0
    least_share: Fraction = Fraction(0)
    most_share: Fraction = Fraction(1)


@dataclass(frozen=True, slots=True)
class PriceStep:
    """The price from `at_least` units on: `unit_price` is exact, per unit; `listed` and `per` are as on the list."""

    at_least: int
    unit_price: Fraction
    listed: Decimal
    per: str


@dataclass(frozen=True, slots=True)
class Offer:
    """One line of a price list. A unit is a whole pack, or a step of something sold by weight.

    `unit_g` is exact: whole grams, unless the list is in pounds or ounces. `steps` rise in `at_least`, and the first
    starts at 1. `available` is the most units that can be bought, if limited. `key` is unique and does not depend on
    the order of the file. `heaviest_g` is set for a catch weight: packs of `unit_g` on average, each charged by what it
    really weighs, `heaviest_g` at most. `bought` is set once the buying is done: exactly that many units.
    `least_units` is the least that is sold at all of something cut to order. It comes frozen since `frozen_on`, or for
    `frozen_days`; 0 for what comes fresh.
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
    frozen_days: int = 0
    frozen_on: date | None = None
    least_units: int = 1
    place: Place | None = field(default=None, compare=False)

    @property
    def to_the_gram(self) -> bool:
        """Whether it is cut to order to any weight, so that amounts need not be whole packs or steps."""
        return self.by_weight and self.unit_g == 1

    def grams(self, units: int) -> int:
        """The weight of that many units, in whole grams, rounded up."""
        # the line is rounded, not the unit: twenty times 113 g would lose 8 g of 5 lb; and up, as needs are rounded
        # down: ten pounds of need and a pack of ten pounds must meet
        return ceil(self.unit_g * units)

    def step_for(self, units: int) -> PriceStep:
        """The price step that this number of units falls in."""
        return [step for step in self.steps if step.at_least <= max(units, 1)][-1]

    @property
    def has_least(self) -> bool:
        """Whether a line of it must be of some size: it is still to be bought, and one unit is not enough."""
        return self.least_units > 1 and self.bought is None


@dataclass(frozen=True, slots=True)
class SupplementOffer:
    """One line of a list of supplements: packs of `steps` steps at `price`, of which `available` can be bought."""

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
    """Who sells, and the terms: delivery, minimum order, and the value of goods from which delivery is free.

    Goods are counted before sales tax; `delivery` includes its tax. `sales_tax` is a share. `trip` is what the way
    there costs in time and fuel: it counts in what is cheapest, and nobody is paid it.
    """

    name: str
    delivery: Decimal = Decimal(0)
    minimum_order: Decimal = Decimal(0)
    free_delivery_from: Decimal | None = None
    sales_tax: Fraction = Fraction(0)
    list_date: date | None = None
    trip: Decimal = Decimal(0)
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class OnHand:
    """What the freezer already holds of a cut, and since when; with an `owner` it is for that owner's dogs alone."""

    cut: str
    grams: int
    frozen_on: date | None = None
    owner: str = ""
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Owner:
    """An owner of dogs of whom more is known than the name: the room in the own freezer, and the day for fetching bags.

    Neither changes a plan.
    """

    name: str
    room_g: int | None = None
    collects: date | None = None
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Batch:
    """The days fed from one order; the next order is due `order_ahead_days` before the last of them.

    `order_ahead_days` changes no plan, so it is not compared, and saved plans stay good when it changes.
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
        """The last day for ordering the next batch, whose bags are filled on the last day of this one."""
        return self.ends - timedelta(days=self.order_ahead_days)

    def each_day(self) -> Iterator[date]:
        """The days in order."""
        return (self.starts + timedelta(days=day) for day in range(self.days))


class CautionPlace(StrEnum):
    """Where what a caution asks is done, and so where it is told, in the order of the work."""

    SHOP = "shop"
    FREEZER = "freezer"
    COUNTER = "counter"
    BOWL = "bowl"
    HOME = "home"


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution of the reference table: `applies` is `standing`, `cut` or `rule`.

    `hazard` is what happens, to whom; `do` is what to do, a clause without a capital or a full stop, at `place`.
    """

    key: str
    applies: str
    heading: str
    hazard: str
    do: str
    place: CautionPlace
    source: str


@dataclass(frozen=True, slots=True)
class Keeping:
    """How many days raw food keeps in a refrigerator: food of these kinds or species, or any food if none is named.

    `freezer_months` are the least and the most that are published for good quality in a freezer, where any are.
    """

    what: str
    kinds: frozenset[str]
    species: frozenset[str]
    least_days: int
    most_days: int
    source: str
    freezer_months: tuple[int, int] | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class ColdTimes:
    """How many hours food stays cold without power, door shut, and up to how many degrees it may be frozen again."""

    full_freezer_h: int
    half_full_freezer_h: int
    refrigerator_h: int
    refreeze_c: int
    refreeze_f: int
    sources: tuple[str, ...]


@dataclass(frozen=True)  # no slots: what is looked up by name is put in order once and kept
class Scenario:
    """Everything that was asked for, checked.

    `weight_unit`, `kg` or `lb`, is the unit that people read. `places` are where rules are set in the file, by key.
    `labels` is the sheet for the bags' labels, if one is named, and `owners` are those of whom the file says more than
    a name; neither changes a plan. `bone_calcium` is what the
    file says of the calcium in bone, of groups and of cuts; of all other bone the reference table says it.

    What is bought is kept frozen for `hold_days` before its bags are filled; None switches the rule off that forbids
    to feed what has not been frozen for long enough.

    After the shop `asked` has the rules as they were before some gave way, where any did, and `shop_signs` are the
    letters of the batch number that stand for what was bought; neither changes what is planned.
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
    most_cuts: int | None = None
    variety: Variety = Variety()
    cautions: tuple[Caution, ...] = ()
    portioning: Portioning = Portioning()  # noqa: RUF009 - it is frozen
    keeping: tuple[Keeping, ...] = ()
    supplements: tuple[Supplement, ...] = ()
    supplement_offers: tuple[SupplementOffer, ...] = ()
    profiles: tuple[Profile, ...] = ()
    needs: tuple[NeedRow, ...] = ()
    bone_calcium: tuple[BoneCalcium, ...] = ()
    hold_days: int | None = 0
    owners: tuple[Owner, ...] = field(default=(), compare=False)
    labels: LabelSheet | None = field(default=None, compare=False)
    places: tuple[tuple[str, Place], ...] = field(default=(), compare=False)
    asked: "Scenario | None" = field(default=None, compare=False)
    shop_signs: str = field(default="", compare=False)

    @property
    def as_asked(self) -> "Scenario":
        """The scenario with the rules for dogs and bags, room and budget as first asked for, before any gave way."""
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
    def solved_by_groups(self) -> bool:
        """Whether more dogs eat than are planned one by one: like dogs are then planned as one group."""
        return self._feeds_more_than(MOST_DOGS_ONE_BY_ONE)

    @property
    def proved_to_the_cent(self) -> bool:
        """Whether an order is proved to the cent unasked; where more dogs eat, one near the cheapest is enough."""
        return not self._feeds_more_than(MOST_DOGS_PROVED)

    def _feeds_more_than(self, most: int) -> bool:
        """Whether more dogs than that eat; no further is counted than to tell."""
        return any(count > most for count, _ in enumerate((dog for dog in self.dogs if dog.batch_g > 0), 1))

    @property
    def shares_pieces(self) -> bool:
        """Whether whole pieces are counted for dogs fed alike and shared out: where dogs are many, or fed from tubs."""
        return self.solved_by_groups or self.portioning.working is Working.TUB

    def held_days(self, cut: Cut) -> int:
        """The days that a cut must be frozen before it is fed; 0 where nothing asks for it, or the rule is off."""
        return 0 if self.hold_days is None else freeze_first_days(cut)

    def waits(self, food: "Offer | OnHand") -> bool:
        """Whether food will not have been frozen for long enough when the bags are filled."""
        cut = self._cut_of.get(food.cut)  # a receipt that was altered may name what is no cut; the audit says so
        return cut is not None and self.frozen_for_days(food) < self.held_days(cut)

    def frozen_for_days(self, food: "Offer | OnHand") -> int:
        """How many days food will have been frozen when the bags are filled; unknown time counts as none."""
        so_far = max((self.portioned_on - food.frozen_on).days, 0) if food.frozen_on else 0
        return so_far if isinstance(food, OnHand) else max(so_far, food.frozen_days) + (self.hold_days or 0)

    def keeping_of(self, cut: Cut) -> Keeping | None:
        """How long the cut keeps in a refrigerator: the first row for its kind or species, or else the general row."""
        names = set(cut.species_names)
        own_rows = (row for row in self.keeping if cut.kind in row.kinds or names & row.species)
        general_rows = (row for row in self.keeping if not row.kinds and not row.species)
        return next(own_rows, None) or next(general_rows, None)

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
        """The number of dog-days, one dog fed for one day: costs are compared by it."""
        return sum(dog.days for dog in self.dogs)

    @property
    def has_trips(self) -> bool:
        """Whether the way to any supplier costs something."""
        return any(supplier.trip for supplier in self.suppliers)

    def on_hand_g(self, cut: str) -> int:
        """Grams of a cut that the freezer already holds."""
        return self._on_hand_g[cut]

    @cached_property
    def stock_owners(self) -> tuple[str, ...]:
        """The owners of whom something on hand is, which is for their dogs alone; by name."""
        return tuple(sorted({lot.owner for lot in self.on_hand if lot.owner}))

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
        grams: Counter[str] = Counter()
        for lot in self.on_hand:
            grams[lot.cut] += lot.grams
        return grams

    def species(self) -> tuple[str, ...]:
        """The animal species of the cuts, in alphabetical order."""
        return tuple(sorted({name for cut in self.cuts for name in cut.species_names} - {PLANT}))


FedScenario = NewType("FedScenario", Scenario)
"""A scenario in which every dog has its grams, also one whose ration is in energy: a plan has found them.

Only `trade.as_fed` makes one. What reckons with rations beside a plan asks for it, so that none takes a scenario in
which grams are still open.
"""


@dataclass(frozen=True, slots=True)
class Slot:
    """A bag to be filled: its day, also as a place among the days fed, its meal, and what it should weigh."""

    day: date
    fed_day: int
    meal: int
    grams: int


def slots_of(dog: Dog, scenario: Scenario) -> tuple[Slot, ...]:
    """The dog's bags in order, in whole scale steps, so that no run of bags is more than a step off its ration.

    The last bag takes the rest that no scale step can show.
    """
    fed = [(scenario.batch.starts + timedelta(days=day), grams) for day, grams in enumerate(dog.day_g) if grams]
    step_g, due, given, slots = scenario.portioning.scale_step_g, Fraction(0), 0, []
    for fed_day, (day, grams) in enumerate(fed):
        for meal in range(1, dog.meals + 1):
            due += Fraction(grams, dog.meals)
            # the sum so far is rounded, not the bag, so that errors of a step never add up
            bag_g = half_up(due / step_g) * step_g - given
            slots.append(Slot(day, fed_day, meal, bag_g))
            given += bag_g
    last = slots.pop()
    return (*slots, Slot(last.day, last.fed_day, last.meal, last.grams + sum(dog.day_g) - given))
