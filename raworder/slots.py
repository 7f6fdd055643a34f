"""Slots: the bags that one dog needs for a batch, each with its day, its meal and what it is to weigh."""

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from raworder.dogs import Dog
from raworder.trade import Scenario
from raworder.units import half_up


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
