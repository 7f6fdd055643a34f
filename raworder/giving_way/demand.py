"""A demand: one rule as it stands in a scenario, and everything to know about how it may give way.

Every kind of demand is a class that fills in what is abstract here; `family` lists them all by the key of their rule.
What a dog must not eat and the amount of food are no demands: they never give way.
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
"""What a demand asks for, in money, grams, packs, species or as a share; None where there is no limit."""

MOST_POINTS = Fraction(1, 10)
"""A share moves by no more than that, and muscle's range by no more in all: beyond that it is another diet."""

SHARE_STEP = Fraction(1, 1000)
"""Shares are written to a tenth of a percent."""

FURTHER = (0, 1, 2, 5, 10)
"""So many steps beyond the least that the model shows are tried, until a whole plan is made with it."""

ALL_THE_WAY = int(MOST_POINTS / SHARE_STEP)
"""So many steps take a share as far as it may go."""

NEARLY = Fraction(1, 1000)
"""Of a step: less is the solver's tolerance."""


class End(StrEnum):
    """Which end of a range is meant."""

    LOW = "low"
    HIGH = "high"


@dataclass(frozen=True)
class Demand(ABC):
    """One rule as it stands in a scenario: what it asks for, about what, and for which dogs.

    `about` is a supplier, an offer's key, a cut, or a word for which of the variety is meant; a subject, a target or a
    limit on nutrients where dogs are fed by it, and then `dogs` are those that it binds.
    """

    level: Level
    about: str | Subject | Target | Limit = ""
    end: End | None = None
    dogs: tuple[str, ...] = ()

    limits_cost: ClassVar[bool] = False
    """Whether its level is money that a whole plan costs, so that a plan made without it shows a level."""
    field: ClassVar[str] = ""
    """The key of the scenario that rules share: what changes under it is written once. Empty where it has its own."""
    says: ClassVar[str] = ""
    """What it asks for: `{level}` stands for its level in words, `{word}` for what it is about."""
    word_for_less: ClassVar[str] = "more"
    """The word for asking less, after by how many: of what is limited above that is more."""
    written_step: ClassVar[Fraction] = Fraction(1)
    """In what steps a person writes it, where that is the same in every scenario."""
    asks_nothing_at: ClassVar[Level] = None
    """At which level it asks for nothing, where that is the same in every scenario."""
    worth_place: ClassVar[int] = 0
    """Where the study of worth tells of it: the higher, the more a dog feels it."""

    @property
    @abstractmethod
    def rule(self) -> str:
        """The key of its rule in the rulebook."""

    @property
    def key(self) -> str:
        """Unlike that of any other demand of the scenario."""
        return f"{self.rule} {self.about} {self.end} {self.level}"

    @property
    def word(self) -> str:
        """What it is about, as it is written in a scenario."""
        if isinstance(self.about, Target):
            return str(self.about.part)
        if isinstance(self.about, NutrientLimit | RatioLimit):
            return limit_name(self.about)
        return subject_word(self.about) if isinstance(self.about, Subject) else self.about

    @classmethod
    @abstractmethod
    def all_of(cls, scenario: Scenario) -> Iterator["Demand"]:
        """Every demand of this kind in a scenario, once for all dogs that it binds."""

    @abstractmethod
    def set_level(self, scenario: Scenario, level: Level) -> Scenario:
        """The scenario in which it stands at another level; a cut that must stay whole may be cut up."""

    def free_level(self, _: Scenario) -> Level:
        """At which level it asks for nothing any more."""
        return self.asks_nothing_at

    def drop_from(self, scenario: Scenario) -> Scenario:
        """The scenario in which it asks for nothing."""
        return self.set_level(scenario, self.free_level(scenario))

    def widen_muscle(self, scenario: Scenario, _: Fraction) -> Scenario:
        """The scenario in which muscle's range is wider by so much for the dogs that it binds."""
        return scenario

    def concerns_orders(self, _: Scenario) -> bool:
        """Whether an order may be possible without it that is not possible with it."""
        return True

    def concerns_bags(self, _: Collection[str]) -> bool:
        """Whether it says how bags may be filled of dogs that are fed these cuts."""
        return False

    @property
    def frees_muscle(self) -> bool:
        """Whether muscle takes up what it gives way by."""
        return False

    @property
    def is_minimum(self) -> bool:
        """Whether it asks for less at a lower level."""
        return self.end is End.LOW

    @property
    def furthest(self) -> Fraction | None:
        """How far a share may move at most; None for what is no share."""
        return None

    def step(self, _: Scenario) -> Fraction:
        """In what steps a person writes it."""
        return self.written_step

    def nearest_level(self, _: Scenario, level: Fraction) -> Level:
        """A level in its own measure, inside what can be asked for."""
        return max(int(level), 1)

    def levels(self, scenario: Scenario) -> Sequence[Level]:
        """All levels beyond its own that may be proposed where it is tried level by level, the nearest first."""
        return [self.free_level(scenario)]

    def steps_before(self, scenario: Scenario, level: Level) -> range:
        """How many steps, counted from zero, each level has that lies between what is asked and that one."""
        step = self.step(scenario)
        asked, reached = Fraction(self.level or 0) / step, Fraction(level or 0) / step
        return range(ceil(asked) - 1, floor(reached), -1) if self.is_minimum else range(floor(asked) + 1, ceil(reached))

    def level_at_step(self, scenario: Scenario, count: int) -> Level:
        """The level that has so many steps, counted from zero."""
        return self.nearest_level(scenario, count * self.step(scenario))

    def level_text(self, _: Scenario, level: Level) -> str:
        """A level in words."""
        return str(level)

    def asks(self, scenario: Scenario, level: Level) -> str:
        """What it asks for at a level, with the number."""
        return self.says.format(level=self.level_text(scenario, level), word=self.word)

    def difference_text(self, _: Scenario, level: Level) -> str:
        """By how much less it asks for at another level."""
        return f"{int(abs(self.difference(level)))} {self.word_for_less}"

    def text(self, scenario: Scenario) -> str:
        """What it asks for, with its number and for whom."""
        return self._text_at(scenario, self.level)

    def _text_at(self, scenario: Scenario, level: Level) -> str:
        return self.asks(scenario, level) + (f" for {dogs_text(self.dogs)}" if self.dogs else "")

    def instead_text(self, scenario: Scenario, level: Level) -> str:
        """What it is to ask for instead, and by how much less that is."""
        return f"{self._text_at(scenario, level)} ({self.difference_text(scenario, level)})"

    def cautions(self) -> Iterator[str]:
        """What to mind beside the rules when it gives way."""
        yield from ()

    def difference(self, level: Level) -> Fraction:
        """By how much another level is higher."""
        return Fraction(level or 0) - Fraction(self.level or 0)

    def places(self, scenario: Scenario) -> Iterable[Place | None]:
        """Where it is set: with the supplier, in the offer's line, with its dogs or for all, under its own key."""
        return (dict(scenario.places).get(self.rule),)

    @classmethod
    def one_step_looser(cls, _scenario: Scenario, _base: Plan) -> Iterator["Looser"]:
        """Every rule of this kind loosened alone by one sensible step, beside the cheapest order as it is."""
        yield from ()


@dataclass(frozen=True, slots=True)
class Loosening:
    """A demand at another level, and by how much muscle's range is widened along with it."""

    demand: Demand
    level: Level
    muscle: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Looser:
    """A rule by its key, what it says here, one step of loosening in words, and the scenario with it.

    `is_near` tells that the cheapest order is within that step of the rule's limit.
    """

    rule: str
    limit: str
    step: str
    scenario: Scenario
    is_near: bool


Changes = Sequence[Loosening]

Ends = dict[tuple[str, Part, End], list[pulp.LpVariable]]
"""What each end of a part's range may be missed by, by group; several demands may move the same end of muscle's."""


class OfScenario(Demand):
    """A demand that is written once: with a supplier, an offer, or under a key of the scenario."""

    @abstractmethod
    def yaml_entry(self, final: Scenario, changes: Changes) -> str:
        """Its key with all under it that these changes of it make, from the scenario with them.

        What they change is told even where it comes to what holds anyway.
        """


class OfDogs(Demand):
    """A demand that is written with each dog, or under `all_dogs`."""

    is_set_whole: ClassVar[bool] = False
    """Whether a dog's own key stands instead of that of all dogs; otherwise each entry under it holds beside those."""

    @abstractmethod
    def yaml_entry_for(self, scenario: Scenario, dog: Dog, changes: Changes, *, is_shared: bool) -> str:
        """Its key with all that must stand under it for a dog with the changes, or under `all_dogs`."""

    def places(self, scenario: Scenario) -> Iterable[Place | None]:
        """Where it is set for each of its dogs, or for all."""
        places = dict(scenario.places)
        key = self.field if self.is_set_whole else f"{self.field} {fold_name(self.word)}"
        return (places.get(f"{name}: {key}", places.get(key)) for name in self.dogs)


@dataclass(frozen=True, slots=True)
class Miss:
    """What a soft demand is missed by in the model, its number among others, and the ends that all of them move."""

    number: int
    unknown: pulp.LpVariable
    ends: Ends


class SoftDemand(Demand):
    """A demand that can be missed by a little in the model; others hold or do not."""

    is_missed_whole: ClassVar[bool] = False
    """Whether it can only be missed by whole numbers."""
    gives_way_first: ClassVar[bool] = False
    """Whether it gives way first where as many rules would do."""

    @abstractmethod
    def soft_rows(self, problem: Problem, miss: Miss) -> NamedRows:
        """The demand again, in a model of a scenario that is without it, with what it may be missed by."""

    def soften(self, scenario: Scenario) -> Scenario:
        """The scenario without it; dogs that it bids differently are still told apart."""
        return self.drop_from(scenario)

    def most_missed(self, _: Problem) -> float:
        """More than it can be missed by, or as much as it may be where dogs are fed by it."""
        return float(self.level or 0)

    def measure(self, _: Scenario) -> int:
        """How much of its own measure is one of what the model counts."""
        return 1

    @property
    def scale(self) -> float:
        """What makes misses of it comparable with those of others: money, weights and packs count as parts."""
        return 1 / max(float(self.level or 0), 1.0)

    def loosenings(
        self, scenario: Scenario, missed: Fraction, along: Fraction, bound: Fraction | None = None
    ) -> Iterator[Loosening]:
        """The least change that makes up for what must be missed at least, and is missed, then a little further."""
        steps = FURTHER if self.furthest is None else (*FURTHER, ALL_THE_WAY)
        found = [self.loosen(scenario, missed, along, further) for further in steps]
        if bound is not None:
            found.insert(0, self.loosen(scenario, bound, along))
        yield from (change for change in dict.fromkeys(found) if change.level != self.level)

    def loosen(self, scenario: Scenario, missed: Fraction, along: Fraction, further: int = 0) -> Loosening:
        """The change by so many steps more than what is missed; muscle moves along only where it has to."""
        step, asked, furthest = self.step(scenario), Fraction(self.level or 0), self.furthest
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
    """A demand for a share: it moves by no more than 10 percentage points."""

    level: Fraction
    written_step = SHARE_STEP

    @property
    def furthest(self) -> Fraction:
        """How far it may move at most."""
        if self.is_minimum:
            return max(self.level - MOST_POINTS, Fraction(0))
        return min(self.level + MOST_POINTS, Fraction(1))

    def free_level(self, _: Scenario) -> Level:
        """Nothing is asked at either end of what shares there are."""
        return Fraction(0 if self.is_minimum else 1)

    def level_text(self, _: Scenario, level: Level) -> str:
        """A percentage."""
        return percent_text(level)

    def nearest_level(self, _: Scenario, level: Fraction) -> Level:
        """A share from nothing to all."""
        return min(max(level, Fraction(0)), Fraction(1))

    def levels(self, scenario: Scenario) -> Sequence[Level]:
        """Every step up to the furthest; only what is at most so much is tried level by level."""
        step = self.step(scenario)
        return [step * count for count in range(self.level // step + 1, floor(self.furthest / step) + 1)]

    def difference_text(self, _: Scenario, level: Level) -> str:
        """By how many points of a percentage."""
        by = self.difference(level)
        points = percent_text(abs(by)).removesuffix(" %")
        unit = "percentage point" if points == "1" else "percentage points"
        return f"{points} {unit} {'more' if by > 0 else 'less'}"
