"""The answers: an Allocation fresh from the solver, a Plan in whole grams and money, or that there is none."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

from raworder.trade.bags import Bag, Mix, Station
from raworder.trade.batch_facts import BatchFacts
from raworder.trade.nutrients import DogNutrition

MILLION = 10**6
"""An Allocation is in millionths: of a gram, or of a unit bought."""


NEAR_ENOUGH = Fraction(2, 1000)
"""How far above its bound an order of many dogs may be, as a share of it; own choice."""


@dataclass(frozen=True, slots=True)
class Proof:
    """What the solver has proved. `bound` is exact money: no order within the rules costs less, before rounding.

    Trips count in every cost that is proved, wherever the way to a supplier costs something.

    `proved` is false when the time ran out, or for another reason given in `why`; then `bound` is only the best bound
    so far. With `near_is_enough`, as where dogs are many, a cost within `NEAR_ENOUGH` of the bound was looked for.
    `least_bill` is about the printed total: no order has bills that come to less; None where that was not
    proved. Where a proved order's bills come to more, the difference is only rounding.
    """

    proved: bool
    bound: Decimal
    solver: str
    why: str = ""
    least_bill: Decimal | None = None
    near_is_enough: bool = False

    def is_enough(self, counted: Decimal) -> bool:
        """Whether an order that counts that much is proved, or near enough to the bound where that was looked for."""
        return self.proved or (self.near_is_enough and counted <= Fraction(self.bound) * (1 + NEAR_ENOUGH))

    def share_above(self, counted: Decimal) -> Fraction:
        """How far such an order is above the bound at most, as a share of the bound."""
        return max(Fraction(counted) / Fraction(self.bound) - 1, Fraction(0)) if self.bound else Fraction(0)

    def most_off(self, counted: Decimal) -> Decimal:
        """How far such an order is above the cheapest at most, where one near enough was looked for; 0 elsewhere."""
        is_near = not self.proved and self.near_is_enough and self.is_enough(counted)
        return max(counted - self.bound, Decimal(0)) if is_near else Decimal(0)

    def with_total(self, total: Decimal) -> "Proof":
        """The proof of an order that counts that much, which is proved where no order's bills come to less."""
        is_least = self.least_bill is not None and total <= self.least_bill
        return replace(self, proved=True, why="") if is_least else self


@dataclass(frozen=True, slots=True)
class Allocation:
    """The cheapest order and who eats what, before amounts are made whole grams.

    `bought_millionths` maps an offer's key to millionths of a unit bought: a million for each whole pack. `eaten_ug`
    maps (dog, cut) to micrograms over the batch; each dog's add up exactly to its ration. `fed_alike` are groups of
    dogs: a group as a whole eats whole pieces. `remarks` are what a person must know about the result.
    `supplement_packs` are by the keys of their offers.
    """

    bought_millionths: Mapping[str, int]
    eaten_ug: Mapping[tuple[str, str], int]
    proof: Proof
    fed_alike: tuple[tuple[str, ...], ...] = ()
    remarks: tuple[str, ...] = ()
    doses: tuple["Dose", ...] = ()
    supplement_packs: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of the order: units of an offer and their price, rounded to the minor unit, before sales tax."""

    offer: str
    units: int
    goods: Decimal


@dataclass(frozen=True, slots=True)
class Bill:
    """What one supplier is paid; and what the `trip` to it costs, which nobody is paid."""

    supplier: str
    goods: Decimal
    delivery: Decimal
    tax: Decimal
    trip: Decimal = Decimal(0)

    @property
    def total(self) -> Decimal:
        """Goods, delivery and sales tax."""
        return self.goods + self.delivery + self.tax


@dataclass(frozen=True, slots=True)
class Portion:
    """What one dog eats of one cut over the batch."""

    dog: str
    cut: str
    batch_g: int


@dataclass(frozen=True, slots=True)
class Dose:
    """The steps of a supplement that a dog is given on each day it is fed."""

    dog: str
    supplement: str
    steps_a_day: int


@dataclass(frozen=True, slots=True)
class Leftover:
    """Grams of a cut that are not fed in this batch, and what they cost (0 for what was on hand already)."""

    cut: str
    on_hand_g: int
    bought_g: int
    worth: Decimal

    @property
    def total_g(self) -> int:
        """All that is kept for later."""
        return self.on_hand_g + self.bought_g


@dataclass(frozen=True, slots=True)
class LotUse:
    """Grams fed from one lot on hand; `lot` counts the scenario's lots from 0."""

    lot: int
    used_g: int


@dataclass(frozen=True, slots=True)
class DearerOrder:
    """What another order costs in all, and how much more than the plan; where that is not proved, at most so much.

    `why` is a clause on what is in its way, such as the budget; empty where nothing is.
    """

    total: Decimal
    more: Decimal
    proved: bool = True
    why: str = ""


@dataclass(frozen=True, slots=True)
class Cures:
    """What it costs to do better than the plan, as far as further orders were searched for.

    `enough` is the order that feeds every dog enough, with `rations` in kcal a day. `without` are the orders without
    the cuts that a doubt is about, by the doubt's key; None where there is no such order. `spare` says in a clause what
    an order for little more would spare.
    """

    enough: DearerOrder | None = None
    rations: tuple[tuple[str, int], ...] = ()
    without: Mapping[str, DearerOrder | None] = field(default_factory=dict)
    spare: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole answer, in whole grams and minor units, in the scenario's order.

    `bags` are by dog, day and meal, and add up to the portions. `stations` are the working order at the counter.
    `least_kinds` is the smallest possible number of kinds of bag, by dog. `remarks` are sentences about how the plan
    was found. `supplement_lines` count packs of supplements and are on the same bills. `nourished` and
    `worked_out` follow from the rest, and `cures` were asked for beside it, so none of them is compared or saved.
    """

    lines: tuple[OrderLine, ...]
    bills: tuple[Bill, ...]
    portions: tuple[Portion, ...]
    leftovers: tuple[Leftover, ...]
    lots_used: tuple[LotUse, ...]
    proof: Proof
    bags: tuple[Bag, ...] = ()
    mixes: tuple[Mix, ...] = ()
    stations: tuple[Station, ...] = ()
    least_kinds: tuple[tuple[str, int], ...] = ()
    remarks: tuple[str, ...] = ()
    supplement_lines: tuple[OrderLine, ...] = ()
    doses: tuple[Dose, ...] = ()
    nourished: tuple[DogNutrition, ...] = field(default=(), compare=False)
    worked_out: BatchFacts | None = field(default=None, compare=False, repr=False)
    cures: Cures = field(default=Cures(), compare=False, repr=False)

    @property
    def facts(self) -> BatchFacts:
        """What follows from the plan; LookupError for an order of which no papers are made."""
        if self.worked_out is None:
            raise LookupError("nothing was worked out of this plan: `workflow.with_facts` does")
        return self.worked_out

    @property
    def total(self) -> Decimal:
        """What is paid for the order, all suppliers together."""
        return sum((bill.total for bill in self.bills), Decimal(0))

    @property
    def trips(self) -> Decimal:
        """What the way to all suppliers costs; it is not paid."""
        return sum((bill.trip for bill in self.bills), Decimal(0))

    @property
    def counted(self) -> Decimal:
        """What is made cheapest and compared: what is paid, and the trips."""
        return self.total + self.trips

    def eaten_g(self, dog: str, cut: str) -> int:
        """Grams a dog eats of a cut over the batch."""
        return sum(portion.batch_g for portion in self.portions if (portion.dog, portion.cut) == (dog, cut))


@dataclass(frozen=True, slots=True)
class OrderWithoutBags:
    """An order without bags: the dogs that it feeds alike, and the `dogs` whose portions fit into no bags."""

    plan: Plan
    fed_alike: tuple[tuple[str, ...], ...]
    dogs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NoPlan:
    """No order satisfies the rules; or one does, in `unfilled`, but no bags can be filled from it."""

    unfilled: OrderWithoutBags | None = None


@dataclass(frozen=True, slots=True)
class Unsolved:
    """The solver ended without a plan and without a proof that there is none; `advice` is what to do about it."""

    why: str
    advice: str = "Give it more time, or fewer offers."


@dataclass(frozen=True, slots=True)
class Breach:
    """One rule broken by a finished plan: the rule's key, what it is about, and the numbers."""

    rule: str
    subject: str
    says: str


class PlanWithheldError(Exception):
    """Our own audit found breaches in a plan, so nothing of it may be shown; the command line alone tells of it."""

    def __init__(self, breaches: tuple[Breach, ...]) -> None:
        super().__init__(breaches)  # what it is made of again where another process raised it
        self.breaches = breaches

    def __str__(self) -> str:
        return "".join(f"\n  {breach.rule}: {breach.subject}: {breach.says}" for breach in self.breaches)
