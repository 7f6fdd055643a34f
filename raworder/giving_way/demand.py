"""A demand: one rule as it stands in a scenario, and everything to know about how it may give way.

Every kind of demand is a subclass that fills in the abstract methods here; `family` lists them all by rule.
What a dog must not eat and the amount of food are not demands: they never give way.
"""

from abc import ABC, abstractmethod
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import ceil, floor
from typing import ClassVar

import pulp

from raworder.giving_way.yaml_text import Limit, limit_name, percent_text, subject_word
from raworder.reading.names import fold_name
from raworder.reporting.words import dogs_text
from raworder.solving.constraints import NamedRows
from raworder.solving.problem import Problem
from raworder.trade.cuts import Part, Subject
from raworder.trade.dogs import Dog, Target
from raworder.trade.findings import Place
from raworder.trade.nutrients import NutrientLimit, RatioLimit
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario

Level = int | Decimal | Fraction | None
"""The limit that a demand sets: money, grams, packs, species or a share; None where there is no limit."""

MOST_POINTS = Fraction(1, 10)
"""The furthest that a share may move, and muscle's range in all: beyond 10 percentage points it is another diet."""

SHARE_STEP = Fraction(1, 1000)
"""Shares are written to a tenth of a percent."""

FURTHER = (0, 1, 2, 5, 10)
"""Steps beyond the least change in the model, tried in turn until a whole plan can be made.

Bags and rounding come after the model, so its least change can be a little too small.
"""

ALL_THE_WAY = int(MOST_POINTS / SHARE_STEP)
"""The number of steps that take a share as far as it may go."""

NEARLY = Fraction(1, 1000)
"""The part of a step that is put down to the solver's tolerance when a miss is rounded to steps."""


class End(StrEnum):
    """The lower or the upper end of a range."""

    LOW = "low"
    HIGH = "high"


@dataclass(frozen=True)
class Demand(ABC):
    """One rule as it stands in a scenario: what it asks for, about what, and for which dogs.

    `about` is what the rule limits: a supplier, an offer's key, a cut, one of the two rules on variety; for rules on
    what dogs eat a subject, a target or a limit on nutrients, and `dogs` are then the dogs that it binds.
    """

    level: Level
    about: str | Subject | Target | Limit = ""
    end: End | None = None
    dogs: tuple[str, ...] = ()

    limits_cost: ClassVar[bool] = False
    """Whether its level is what a whole plan costs, so that a plan made without the demand shows a level that works."""
    field: ClassVar[str] = ""
    """The scenario key that it shares with other demands, so that their changes are written once; else empty."""
    says: ClassVar[str] = ""
    """The sentence for what it asks; `{level}` stands for its level in words, `{word}` for what it is about."""
    word_for_less: ClassVar[str] = "more"
    """The word after the number when it is loosened: `2 more` for a maximum, `2 fewer` for a minimum."""
    written_step: ClassVar[Fraction] = Fraction(1)
    """The step in which people write its level, where that is the same in every scenario."""
    asks_nothing_at: ClassVar[Level] = None
    """The level at which it asks for nothing, where that is the same in every scenario."""
    worth_place: ClassVar[int] = 0
    """Its place in the study of what one more is worth: the higher, the more a dog feels it."""

    @property
    @abstractmethod
    def rule(self) -> str:
        """The key of its rule in the rulebook."""

    @property
    def key(self) -> str:
        """A key that no other demand of the scenario has."""
        return f"{self.rule} {self.about} {self.end} {self.level}"

    @property
    def word(self) -> str:
        """What it is about, in the word that a scenario uses."""
        if isinstance(self.about, Target):
            return str(self.about.part)
        if isinstance(self.about, NutrientLimit | RatioLimit):
            return limit_name(self.about)
        return subject_word(self.about) if isinstance(self.about, Subject) else self.about

    @classmethod
    @abstractmethod
    def all_of(cls, scenario: Scenario) -> Iterator["Demand"]:
        """Every demand of this kind in a scenario; one for all the dogs that it binds alike."""

    @abstractmethod
    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario with the demand at another level."""

    def free_level(self, _: Scenario) -> Level:
        """The level at which it asks for nothing."""
        return self.asks_nothing_at

    def drop_from(self, scenario: Scenario) -> Scenario:
        """The scenario in which it asks for nothing."""
        return self.set_level(scenario, self.free_level(scenario))

    def widen_muscle(self, scenario: Scenario, _: Fraction) -> Scenario:
        """The scenario with muscle's range wider by this share for the dogs that it binds."""
        return scenario

    def concerns_orders(self, _: Scenario) -> bool:
        """Whether an order may be possible without it that is not possible with it."""
        return True

    def concerns_bags(self, _: Collection[str]) -> bool:
        """Whether it limits how bags are filled for dogs that are fed these cuts."""
        return False

    @property
    def frees_muscle(self) -> bool:
        """Whether muscle makes up for it when it gives way."""
        return False

    @property
    def is_minimum(self) -> bool:
        """Whether it sets a minimum, so that a lower level asks for less."""
        return self.end is End.LOW

    @property
    def furthest(self) -> Fraction | None:
        """The furthest level that a share may move to; None for a level that is not a share."""
        return None

    def step(self, _: Scenario) -> Fraction:
        """The step in which people write its level."""
        return self.written_step

    def nearest_level(self, _: Scenario, level: Fraction) -> Level:
        """An amount as a level of this demand: of the right type, and inside what can be asked for."""
        return max(int(level), 1)

    def levels(self, scenario: Scenario) -> Sequence[Level]:
        """The levels that may be proposed where it is tried level by level, nearest first."""
        return [self.free_level(scenario)]

    def steps_before(self, scenario: Scenario, level: Level) -> range:
        """The levels strictly between its own and another, nearest first, as numbers of steps counted from zero."""
        step = self.step(scenario)
        asked, reached = Fraction(self.level or 0) / step, Fraction(level or 0) / step
        return range(ceil(asked) - 1, floor(reached), -1) if self.is_minimum else range(floor(asked) + 1, ceil(reached))

    def level_at_step(self, scenario: Scenario, count: int) -> Level:
        """The level that is this number of steps above zero."""
        return self.nearest_level(scenario, count * self.step(scenario))

    def level_text(self, _: Scenario, level: Level) -> str:
        """A level in words."""
        return str(level)

    def asks(self, scenario: Scenario, level: Level) -> str:
        """What it asks for at a level, in words."""
        return self.says.format(level=self.level_text(scenario, level), word=self.word)

    def difference_text(self, _: Scenario, level: Level) -> str:
        """How much less it asks for at another level: `2 more`, `3 g less`."""
        return f"{int(abs(self.difference(level)))} {self.word_for_less}"

    def text(self, scenario: Scenario) -> str:
        """What it asks for now, and for which dogs."""
        return self._text_at(scenario, self.level)

    def _text_at(self, scenario: Scenario, level: Level) -> str:
        return self.asks(scenario, level) + (f" for {dogs_text(self.dogs)}" if self.dogs else "")

    def instead_text(self, scenario: Scenario, level: Level) -> str:
        """What it would ask for instead, and how much less that is."""
        return f"{self._text_at(scenario, level)} ({self.difference_text(scenario, level)})"

    def cautions(self) -> Iterator[str]:
        """Warnings to print when it gives way."""
        yield from ()

    def difference(self, level: Level) -> Fraction:
        """Another level minus its own."""
        return Fraction(level or 0) - Fraction(self.level or 0)

    def places(self, scenario: Scenario) -> Iterable[Place | None]:
        """Where a scenario or price list sets it."""
        return (dict(scenario.places).get(self.rule),)

    @classmethod
    def one_step_looser(cls, _scenario: Scenario, _base: Plan) -> Iterator["Looser"]:
        """Each demand of this kind loosened alone by one sensible step; `_base` is the cheapest order now."""
        yield from ()


@dataclass(frozen=True, slots=True)
class Loosening:
    """A change: a demand at another level, and by how much muscle's range is widened along with it."""

    demand: Demand
    level: Level
    muscle: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Looser:
    """One step of loosening a rule: its key, its limit and the step in words, and the scenario with the step.

    `is_near` says that the cheapest order is within that step of the rule's limit.
    """

    rule: str
    limit: str
    step: str
    scenario: Scenario
    is_near: bool


Changes = Sequence[Loosening]

Ends = dict[tuple[str, Part, End], list[pulp.LpVariable]]
"""For each group, part and end the variables by which it may be missed; several demands can move muscle's."""


class OfScenario(Demand):
    """A demand that a scenario states once: with a supplier, an offer, or under a key of its own."""

    @abstractmethod
    def yaml_entry(self, final: Scenario, changes: Changes) -> str:
        """The YAML entry that makes these changes, taken from the scenario that has them.

        What they change is written even where it comes to the usual value.
        """


class OfDogs(Demand):
    """A demand that a scenario states with each dog, or under `all_dogs`."""

    is_set_whole: ClassVar[bool] = False
    """Whether a dog's own key replaces that of `all_dogs`; otherwise its entries hold beside those of `all_dogs`."""

    @abstractmethod
    def yaml_entry_for(self, scenario: Scenario, dog: Dog, changes: Changes, *, is_shared: bool) -> str:
        """The YAML entry that a dog, or `all_dogs`, needs with the changes."""

    def places(self, scenario: Scenario) -> Iterable[Place | None]:
        """Where it is set: for each of its dogs with the dog, or under `all_dogs`."""
        places = dict(scenario.places)
        key = self.field if self.is_set_whole else f"{self.field} {fold_name(self.word)}"
        return (places.get(f"{name}: {key}", places.get(key)) for name in self.dogs)


@dataclass(frozen=True, slots=True)
class Miss:
    """The variable by which the model misses a soft demand, the demand's number, and the ends that all demands move."""

    number: int
    unknown: pulp.LpVariable
    ends: Ends


class SoftDemand(Demand):
    """A demand that the model can miss by a little; all others either hold or do not."""

    is_missed_whole: ClassVar[bool] = False
    """Whether it is missed by whole numbers only."""
    gives_way_first: ClassVar[bool] = False
    """Whether it gives way first where the number of rules is the same."""

    @abstractmethod
    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """The rows of the demand with its miss, for the model of a scenario without the demand."""

    def soften(self, scenario: Scenario) -> Scenario:
        """The scenario without it; dogs that it binds differently stay in different groups."""
        return self.drop_from(scenario)

    def most_missed(self, _: Problem) -> float:
        """An upper bound on its miss in the model; for shares, the most that they may move."""
        return float(self.level or 0)

    def measure(self, _: Scenario) -> int:
        """How many of its own units are one unit of the model: 1000 where it is in grams and the model in kilograms."""
        return 1

    @property
    def scale(self) -> float:
        """The factor that makes misses comparable: money, weights and packs count as parts of their level."""
        return 1 / max(float(self.level or 0), 1.0)

    def loosenings(
        self, scenario: Scenario, missed: Fraction, along: Fraction, bound: Fraction | None = None
    ) -> Iterator[Loosening]:
        """Changes to try in turn: the least possible (`bound`), the least in the model, then a little further."""
        steps = FURTHER if self.furthest is None else (*FURTHER, ALL_THE_WAY)
        changes = [self.loosen(scenario, missed, along, further) for further in steps]
        if bound is not None:
            changes.insert(0, self.loosen(scenario, bound, along))
        yield from (change for change in dict.fromkeys(changes) if change.level != self.level)

    def loosen(self, scenario: Scenario, missed: Fraction, along: Fraction, further: int = 0) -> Loosening:
        """The change that covers the miss and `further` steps more; muscle moves along only where it has to."""
        step, asked, furthest = self.step(scenario), Fraction(self.level or 0), self.furthest
        # Rounded away from the level, so that the change covers the miss; NEARLY keeps noise from costing a step.
        if self.is_minimum:
            count = floor((asked - missed) / step + NEARLY) - further
            count = count if furthest is None else max(count, ceil(furthest / step))
        else:
            count = ceil((asked + missed) / step - NEARLY) + further
            count = count if furthest is None else min(count, floor(furthest / step))
        muscle = ceil(along / SHARE_STEP - NEARLY)
        moved = min((muscle + further) * SHARE_STEP, MOST_POINTS) if muscle else Fraction(0)
        return Loosening(self, self.level_at_step(scenario, count), moved)


class Share(Demand):
    """A demand on a share; it moves by at most 10 percentage points."""

    level: Fraction
    written_step = SHARE_STEP

    @property
    def furthest(self) -> Fraction:
        """The furthest level that it may move to."""
        if self.is_minimum:
            return max(self.level - MOST_POINTS, Fraction(0))
        return min(self.level + MOST_POINTS, Fraction(1))

    def free_level(self, _: Scenario) -> Level:
        """No share at all for a minimum, all of it for a maximum."""
        return Fraction(0 if self.is_minimum else 1)

    def level_text(self, _: Scenario, level: Level) -> str:
        """The level as a percentage."""
        return percent_text(level)

    def nearest_level(self, _: Scenario, level: Fraction) -> Level:
        """The share, kept between 0 and 1."""
        return min(max(level, Fraction(0)), Fraction(1))

    def levels(self, scenario: Scenario) -> Sequence[Level]:
        """Every step up to the furthest level; only maxima are tried level by level."""
        step = self.step(scenario)
        return [step * count for count in range(self.level // step + 1, floor(self.furthest / step) + 1)]

    def difference_text(self, _: Scenario, level: Level) -> str:
        """The difference in percentage points."""
        by = self.difference(level)
        points = percent_text(abs(by)).removesuffix(" %")
        unit = "percentage point" if points == "1" else "percentage points"
        return f"{points} {unit} {'more' if by > 0 else 'less'}"
