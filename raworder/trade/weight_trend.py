"""A dog's weighings with their trend, and what a next ration is proposed to be."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from fractions import Fraction

from raworder.trade.kept import Weighing

LEAST_WEIGHINGS = 3
"""A trend needs so many weighings on different days. Source: our own choice; two make any slip of the scale a trend."""

RECENT = timedelta(weeks=12)
"""Weighings further back than this from the newest say nothing of the ration of today, nor do any if all are further
back from the day to be fed. Source: our own choice."""


@dataclass(frozen=True, slots=True)
class Trend:
    """A dog's weighings, oldest first, and how fast its weight changes.

    `recent` are those of the last weeks; `weekly` is the change a week as a share of their mean, by least squares with
    days as x, and None where they are too few.
    """

    dog: str
    weighings: tuple[Weighing, ...]
    recent: tuple[Weighing, ...]
    weekly: Fraction | None

    @property
    def newest(self) -> Weighing:
        """The newest weighing."""
        return self.weighings[-1]

    @property
    def lost(self) -> Fraction:
        """How much of its heaviest recent weight is gone, as a share; 0 where it was never heavier."""
        heaviest = max(weighing.grams for weighing in self.recent)
        return Fraction(heaviest - self.newest.grams, heaviest) if heaviest else Fraction(0)

    @property
    def has_just_lost(self) -> bool:
        """Whether the newest weighing is below the one before it."""
        return len(self.recent) > 1 and self.newest.grams < self.recent[-2].grams


def trends(weighings: Iterable[Weighing], day: date | None = None) -> tuple[Trend, ...]:
    """The trend of every dog that was weighed, by name; of several weighings on a day the last counts.

    `day` is the first that is to be fed by it: where nobody weighed a dog for long before, there is no trend.
    """
    of_dog: dict[str, dict[object, Weighing]] = {}
    for weighing in weighings:
        of_dog.setdefault(weighing.dog, {})[weighing.day] = weighing
    return tuple(_trend(dog, tuple(days.values()), day) for dog, days in sorted(of_dog.items()))


def _trend(dog: str, weighings: Sequence[Weighing], day: date | None) -> Trend:
    """The trend of one dog's weighings."""
    ordered = tuple(sorted(weighings, key=lambda weighing: weighing.day))
    newest = ordered[-1].day
    recent = tuple(weighing for weighing in ordered if newest - weighing.day <= RECENT)
    is_told = len(recent) >= LEAST_WEIGHINGS and (day or newest) - newest <= RECENT
    return Trend(dog, ordered, recent, _weekly(recent) if is_told else None)


def _weekly(weighings: Sequence[Weighing]) -> Fraction:
    """The change a week as a share of the mean, by least squares."""
    days = [weighing.day.toordinal() for weighing in weighings]
    mean_day = Fraction(sum(days), len(days))
    mean_g = Fraction(sum(weighing.grams for weighing in weighings), len(weighings))
    along = sum((day - mean_day) * (weighing.grams - mean_g) for day, weighing in zip(days, weighings, strict=True))
    slope = Fraction(along) / sum((day - mean_day) ** 2 for day in days)
    return slope * 7 / mean_g


class Step(StrEnum):
    """What is proposed for a dog's next ration, or why nothing is."""

    KEEP = "keep"
    MORE = "more"
    LESS = "less"
    REACHED = "reached"
    GROWS = "grows"
    VET = "vet"
    WAIT = "wait"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class NextRation:
    """What is proposed for one dog: its step and why, and for more or less the new ration a day.

    That is `kcal` where the scenario's ration is in energy, else `grams`; `changed` is by how much it is more or less.
    `sources` are those of the published figures that it goes by.
    """

    trend: Trend
    step: Step
    why: str
    grams: int | None = None
    kcal: int | None = None
    changed: Fraction = Fraction(0)
    sources: tuple[str, ...] = ()
