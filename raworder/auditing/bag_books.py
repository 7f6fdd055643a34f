"""The books of the bags: for every dog, what its bags hold on each day it is fed, added up once."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from raworder.bags import Bag, Filling
from raworder.dogs import Dog
from raworder.plan import Plan
from raworder.trade import Scenario


@dataclass(frozen=True, slots=True)
class DogBags:
    """The bags of one dog, in order of day and meal, and what they hold.

    `fed_days` are the days of the batch on which the dog eats, `due_g` what it is to eat on each of them and `held_g`
    what its bags hold of every cut or mix on each of them. What is in a bag for any other day is only in `bags`.
    """

    dog: Dog
    bags: tuple[Bag, ...]
    fed_days: tuple[date, ...]
    due_g: tuple[int, ...]
    held_g: Mapping[str, tuple[int, ...]]

    @property
    def topped_up(self) -> str:
        """The cut or mix that tops its bags up; empty where there are no bags or every amount is given."""
        return self.bags[0].topped_up if self.bags else ""

    @property
    def day_total_g(self) -> tuple[int, ...]:
        """What the bags of every fed day weigh."""
        return tuple(sum(held) for held in zip(*self.held_g.values(), strict=True)) or (0,) * len(self.fed_days)


def grams_in(fillings: Iterable[Filling]) -> int:
    """What the fillings weigh together."""
    return sum(one.grams for one in fillings)


def bags_by_dog(scenario: Scenario, plan: Plan) -> Mapping[str, DogBags]:
    """The bags of every dog of the scenario, by its name."""
    bags: defaultdict[str, list[Bag]] = defaultdict(list)
    for bag in plan.bags:
        bags[bag.dog].append(bag)
    return {dog.name: _bags_of(dog, scenario.batch.starts, bags[dog.name]) for dog in scenario.dogs}


def _bags_of(dog: Dog, starts: date, bags: list[Bag]) -> DogBags:
    """The bags of one dog in their order, added up by cut and fed day."""
    fed_days = tuple(starts + timedelta(days=index) for index, day_g in enumerate(dog.day_g) if day_g > 0)
    return DogBags(
        dog=dog,
        bags=tuple(sorted(bags, key=lambda bag: (bag.day, bag.meal))),
        fed_days=fed_days,
        due_g=tuple(day_g for day_g in dog.day_g if day_g > 0),
        held_g=_held_g(fed_days, bags),
    )


def _held_g(fed_days: tuple[date, ...], bags: Iterable[Bag]) -> Mapping[str, tuple[int, ...]]:
    """Grams of every cut or mix in the bags, by fed day."""
    place = {day: index for index, day in enumerate(fed_days)}
    held_g: defaultdict[str, list[int]] = defaultdict(lambda: [0] * len(fed_days))
    for bag in bags:
        if bag.day in place:
            for filling in bag.fillings:
                held_g[filling.cut][place[bag.day]] += filling.grams
    return {name: tuple(by_day) for name, by_day in held_g.items()}
