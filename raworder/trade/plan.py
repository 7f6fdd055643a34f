"""The answers: an Allocation, a finished Plan with sums over it, or none; the scenario as it is fed; fingerprints."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import accumulate, pairwise
from math import floor

from raworder.trade.bags import Bag, Mix, Station
from raworder.trade.batch_facts import BatchFacts
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog, EnergyRation
from raworder.trade.nutrients import DogNutrition
from raworder.trade.scenario import FedScenario, Scenario, SupplementOffer

MILLION = 10**6
"""An Allocation is in millionths: of a gram, or of a unit bought."""


@dataclass(frozen=True, slots=True)
class Proof:
    """What the solver has proved. `bound` is exact money: no order within the rules costs less, before rounding.

    `proved` is false when the time ran out, or for another reason given in `why`; then `bound` is only the best bound
    so far. `least_bill` is about the printed total: no order has bills that come to less; None where that was not
    proved. Where a proved order's bills come to more, the difference is only rounding.
    """

    proved: bool
    bound: Decimal
    solver: str
    why: str = ""
    least_bill: Decimal | None = None

    def with_total(self, total: Decimal) -> "Proof":
        """The proof of an order with that printed total, which is proved where no order's bills come to less."""
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
    """What one supplier is paid."""

    supplier: str
    goods: Decimal
    delivery: Decimal
    tax: Decimal

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
class Plan:
    """The whole answer, in whole grams and minor units, in the scenario's order.

    `bags` are by dog, day and meal, and add up to the portions. `stations` are the working order at the counter.
    `least_kinds` is the smallest possible number of kinds of bag, by dog. `remarks` are sentences about how the plan
    was found. `supplement_lines` count packs of supplements and are on the same bills. `nourished` and
    `worked_out` follow from the rest, so they are neither compared nor saved.
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

    @property
    def facts(self) -> BatchFacts:
        """What follows from the plan; LookupError for an order of which no papers are made."""
        if self.worked_out is None:
            raise LookupError("nothing was worked out of this plan: `workflow.with_facts` does")
        return self.worked_out

    @property
    def total(self) -> Decimal:
        """What the order costs, all suppliers together."""
        return sum((bill.total for bill in self.bills), Decimal(0))

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


def fed_g(scenario: Scenario, plan: Plan) -> dict[str, int]:
    """Grams fed of every cut, all dogs together."""
    fed = {cut.name: 0 for cut in scenario.cuts}
    for portion in plan.portions:
        fed[portion.cut] += portion.batch_g
    return fed


def bought_g(scenario: Scenario, plan: Plan) -> dict[str, int]:
    """Grams bought of every cut, all suppliers together."""
    offers = {offer.key: offer for offer in scenario.offers}
    bought = {cut.name: 0 for cut in scenario.cuts}
    for line in plan.lines:
        offer = offers[line.offer]
        bought[offer.cut] += offer.grams(line.units)
    return bought


def on_hand_g(scenario: Scenario) -> dict[str, int]:
    """Grams of every cut that the freezer already holds."""
    held = {cut.name: 0 for cut in scenario.cuts}
    for lot in scenario.on_hand:
        held[lot.cut] += lot.grams
    return held


def left(plan: Plan) -> tuple[Leftover, ...]:
    """What is left over, without the cuts that are used up."""
    return tuple(leftover for leftover in plan.leftovers if leftover.total_g)


def fed_cuts(scenario: Scenario, plan: Plan) -> tuple[Cut, ...]:
    """The cuts that any dog eats, in the scenario's order."""
    fed = fed_g(scenario, plan)
    return tuple(cut for cut in scenario.cuts if fed[cut.name])


def supplement_lines(scenario: Scenario, plan: Plan, supplier: str) -> list[tuple[OrderLine, SupplementOffer]]:
    """What is bought of supplements from one supplier."""
    offers = {offer.key: offer for offer in scenario.supplement_offers}
    lines = [(line, offers[line.offer]) for line in plan.supplement_lines]
    return [(line, offer) for line, offer in lines if offer.supplier == supplier]


def given_steps(scenario: Scenario, plan: Plan) -> dict[str, dict[str, int]]:
    """Steps over the batch by supplement, then by dog."""
    days = {dog.name: dog.days for dog in scenario.dogs}
    given: dict[str, dict[str, int]] = {}
    for dose in plan.doses:
        given.setdefault(dose.supplement, {})[dose.dog] = dose.steps_a_day * days[dose.dog]
    return given


def bought_steps(scenario: Scenario, plan: Plan) -> dict[str, int]:
    """Steps bought of each supplement."""
    offers = {offer.key: offer for offer in scenario.supplement_offers}
    bought: dict[str, int] = {}
    for line in plan.supplement_lines:
        offer = offers[line.offer]
        bought[offer.supplement] = bought.get(offer.supplement, 0) + offer.steps * line.units
    return bought


def as_fed(scenario: Scenario, plan: Plan) -> FedScenario:
    """The scenario in which every dog eats just the grams that the plan feeds it; the same where all were given."""
    fed_g: dict[str, int] = {}
    for portion in plan.portions:
        fed_g[portion.dog] = fed_g.get(portion.dog, 0) + portion.batch_g
    return with_grams(scenario, fed_g)


def as_allotted(scenario: Scenario, allocation: Allocation) -> FedScenario:
    """The scenario in which every dog eats just the grams that an allocation gives it."""
    fed_ug: dict[str, int] = {}
    for (dog, _), amount in allocation.eaten_ug.items():
        fed_ug[dog] = fed_ug.get(dog, 0) + amount
    return with_grams(scenario, {dog: amount // MILLION for dog, amount in fed_ug.items()})


def with_grams(scenario: Scenario, batch_g: Mapping[str, int]) -> FedScenario:
    """The scenario with grams over the batch for every dog whose ration is in energy."""
    if not any(dog.free_grams for dog in scenario.dogs):
        return FedScenario(scenario)
    dogs = (_settled(dog, dog.energy, batch_g.get(dog.name, 0)) if dog.energy else dog for dog in scenario.dogs)
    return FedScenario(replace(scenario, dogs=tuple(dogs)))


def _settled(dog: Dog, energy: EnergyRation, batch_g: int) -> Dog:
    """The dog with so many grams, spread over its days as its energy is."""
    whole = energy.batch_kcal
    given = (Fraction(batch_g) * kcal / whole for kcal in accumulate(energy.day_kcal, initial=Fraction(0)))
    day_g = tuple(floor(after) - floor(before) for before, after in pairwise(given))
    daily_g = Fraction(batch_g, dog.days) if dog.days else Fraction(0)
    return replace(dog, batch_g=batch_g, daily_g=daily_g, day_g=day_g, energy=replace(energy, settled=True))


def fingerprint(noun: object) -> str:
    """The SHA-256 of all compared fields of a noun, in hexadecimal: the same on every machine, the same for equals.

    Places in files do not count. A number counts by its value alone: 2, 2/1 and 2.00 give one fingerprint.
    """
    return hashlib.sha256(_canonical_text(noun).encode("ascii")).hexdigest()


def batch_number(scenario: Scenario) -> str:
    """The number of a batch, for labels and other papers; after the shop it also stands for what was bought.

    Bags replanned from a receipt hold something else than the bags planned before, so they carry another batch number.
    The same receipt always gives the same number.
    """
    return (
        f"{stable_batch_number(scenario)}-R{scenario.shop_signs}"
        if scenario.shop_signs
        else stable_batch_number(scenario)
    )


def stable_batch_number(scenario: Scenario) -> str:
    """The number of a batch whatever is planned for it: its first day, and four signs made of title and first day.

    It stays the same when the batch is planned again with other prices or other dogs, or after the shop, so that a
    calendar replaces the events that it already has.
    """
    title_and_day = f"{scenario.title}\0{scenario.batch.starts.isoformat()}"
    return f"{scenario.batch.starts:%y%m%d}-{hashlib.sha256(title_and_day.encode()).hexdigest()[:4].upper()}"


def _canonical_text(value: object) -> str:
    """A noun, or a value in one, as a text: equal things have the same text, and unequal things never do."""
    if isinstance(value, tuple):
        return f"({','.join(map(_canonical_text, value))})"
    if isinstance(value, frozenset):
        return f"{{{','.join(sorted(map(_canonical_text, value)))}}}"
    if is_dataclass(value):
        # class and field names go into the hash: renaming one makes plans that people saved stale
        compared = (field.name for field in fields(value) if field.compare)
        texts = (f"{name}={_canonical_text(getattr(value, name))}" for name in compared)
        return f"{type(value).__name__}({','.join(texts)})"
    return _scalar_text(value)


def _scalar_text(value: object) -> str:
    """A single value as a text; TypeError for what no noun holds, such as a float or a list."""
    match value:
        case None:
            return "-"
        case str():
            return json.dumps(str(value), ensure_ascii=True)
        case int() | Decimal() | Fraction():
            return str(Fraction(value))
        case date():
            return f"day {value.isoformat()}"
        case _:
            raise TypeError(f"`{type(value).__name__}` has no place in a noun")
