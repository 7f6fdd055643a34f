"""The facts that follow from a plan: how each bag gets from the counter to the bowl, what is frozen, who bears what.

They are worked out once (`raworder.workflow`), go with the plan, are judged by the audit, and are only said by papers.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from raworder.trade.bags import Bag
from raworder.trade.cuts import FREEZE_FIRST
from raworder.trade.scenario import FedScenario, Keeping

THAWS_A_DAY_G = 2_268
"""So much thaws in a refrigerator in 24 hours, five pounds. **Source:** `THAWING_SOURCE`."""

THAWING_SOURCE = "University of Illinois Extension, Thawing, which cites USDA The Big Thaw, 2013, for human kitchens"

CAREFUL = Keeping("anything else", frozenset(), frozenset(), 1, 2, "")
"""What is taken for a cut of which no keeping time is known: the shortest of the published ones."""

NO_OWNER = "no owner named"
"""Who bears what dogs eat of which no owner is named."""

Parts = Mapping[str, Mapping[str, Fraction]]
"""By cut that is bought, then by dog: a part of all that was bought of it."""


class BagWay(StrEnum):
    """How a bag comes from the counter to the bowl."""

    REFRIGERATOR = "refrigerator"
    FREEZER = "freezer"
    NO_TIME = "no time"


@dataclass(frozen=True, slots=True)
class Journey:
    """One bag on its way. `moves_on` is the morning it leaves the freezer, None where it never goes there in time.

    `keeps_days` is how long it keeps in a refrigerator, fresh or thawed: the shortest of what is in it, at its least.
    """

    number: int
    bag: Bag
    way: BagWay
    filled_on: date
    thaw_days: int
    keeps_days: int
    freeze_first: tuple[tuple[str, str], ...]
    moves_on: date | None = None

    @property
    def freeze_days(self) -> int:
        """How many days it must be frozen first."""
        return max((FREEZE_FIRST[key].days for _, key in self.freeze_first), default=0)

    @property
    def frozen_days(self) -> int:
        """How many days it is frozen."""
        return (self.moves_on - self.filled_on).days if self.moves_on else 0

    @property
    def feed_by(self) -> date:
        """The last day it keeps, once it is in the refrigerator."""
        ready_on = self.moves_on + timedelta(self.thaw_days) if self.moves_on else self.filled_on
        return ready_on + timedelta(self.keeps_days)


@dataclass(frozen=True, slots=True)
class Load:
    """Something to freeze: bag `number`, or what is `left` over of a cut. `latest` is the last day for it."""

    grams: int
    latest: date
    fed_on: date = date.max
    number: int = 0
    left: str = ""
    keeps_days: int = 1


@dataclass(frozen=True, slots=True)
class Lot:
    """What is frozen on one day."""

    day: date
    loads: tuple[Load, ...]

    @property
    def grams(self) -> int:
        """What the lot weighs."""
        return sum(load.grams for load in self.loads)

    @property
    def late(self) -> tuple[Load, ...]:
        """What should have been frozen earlier."""
        return tuple(load for load in self.loads if load.latest < self.day)


@dataclass(frozen=True, slots=True)
class Evening:
    """What is cold on one evening, in grams: bags and left over in the freezer, bags in the refrigerator."""

    day: date
    bags_g: int
    left_g: int
    refrigerator_g: int

    @property
    def freezer_g(self) -> int:
        """All in the freezer."""
        return self.bags_g + self.left_g


@dataclass(frozen=True, slots=True)
class Cold:
    """How the food is kept cold. `keeping` is by cut in the bags; there are no `lots` where all is frozen at once."""

    keeping: Mapping[str, Keeping]
    journeys: tuple[Journey, ...]
    lots: tuple[Lot, ...]
    evenings: tuple[Evening, ...]

    def frozen_on(self) -> dict[int, date]:
        """The day on which each bag is frozen that is in a lot, by its number."""
        return {load.number: lot.day for lot in self.lots for load in lot.loads if load.number}


@dataclass(frozen=True, slots=True)
class Costs:
    """Who bears which part of the bills.

    `dogs` is what each bears for what it eats, in the scenario's order; with `left_over` exactly the bills. `owners` is
    what each bears with the left over shared out, also exactly the bills. `cuts` is what was paid for every cut and
    supplement, before rounding; `eaten` and `left` the parts of it that the dogs bear as food and as left over.
    """

    dogs: tuple[Decimal, ...]
    left_over: Decimal
    owners: tuple[tuple[str, Decimal], ...]
    cuts: Mapping[str, Fraction]
    eaten: Parts
    left: Parts


@dataclass(frozen=True, slots=True)
class BatchFacts:
    """All that follows from a plan, with the scenario as it is fed by it."""

    scenario: FedScenario
    cold: Cold
    costs: Costs
