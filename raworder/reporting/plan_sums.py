"""What every dog eats, with its shares, and things that look alike put together."""

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

from raworder.trade.cuts import Cut, Part, Subject
from raworder.trade.dogs import Dog
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario

Thing = TypeVar("Thing")


@dataclass(frozen=True, slots=True)
class Meal:
    """What one dog eats over the batch: grams of each cut, in the scenario's order of cuts."""

    dog: Dog
    cuts: tuple[tuple[Cut, int], ...]

    @property
    def total_g(self) -> int:
        """Grams over the batch."""
        return sum(grams for _, grams in self.cuts)

    def share_of(self, subject: Subject) -> Fraction:
        """How much of what is eaten counts as the subject."""
        return self.share(tuple(subject.share_in(cut) for cut, _ in self.cuts))

    def part_share(self, part: Part) -> Fraction:
        """How much of what is eaten is a part."""
        return self.share(tuple(cut.part_share(part) for cut, _ in self.cuts))

    def share(self, counted: tuple[Fraction, ...]) -> Fraction:
        """The share of what is eaten, when so much of each cut counts; nothing eaten gives nothing."""
        counted_g = sum((number * grams for number, (_, grams) in zip(counted, self.cuts, strict=True)), Fraction(0))
        return counted_g / self.total_g if self.total_g else Fraction(0)


def meals(scenario: Scenario, plan: Plan) -> tuple[Meal, ...]:
    """What every dog eats, in the scenario's order."""
    eaten: dict[str, dict[str, int]] = {dog.name: {} for dog in scenario.dogs}
    for portion in plan.portions:
        eaten[portion.dog][portion.cut] = eaten[portion.dog].get(portion.cut, 0) + portion.batch_g
    return tuple(
        Meal(dog, tuple((cut, eaten[dog.name][cut.name]) for cut in scenario.cuts if eaten[dog.name].get(cut.name)))
        for dog in scenario.dogs
    )


def alike(things: Iterable[Thing], look: Callable[[Thing], Hashable]) -> tuple[tuple[Thing, ...], ...]:
    """The things that look the same put together, in the order of the first of each."""
    groups: dict[Hashable, list[Thing]] = {}
    for thing in things:
        groups.setdefault(look(thing), []).append(thing)
    return tuple(tuple(group) for group in groups.values())
