"""A dog with all that it is fed, as the checks of its food look at it, and how bad it is to be off a limit."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import LEAST_COVERAGE, DogNutrition, Trust
from raworder.trade.plan import Dose
from raworder.trade.scenario import Scenario

NEARLY = Fraction(10, 9)
"""What is less than a tenth short of a bound is a note, as food tables are no more exact. Source: our own choice."""

FAR_OFF = ((Fraction(4), 3), (Fraction(2), 2), (NEARLY, 1))
"""The points for being so many times off a bound. Source: our own choice."""

GROWTH_POINTS = 2
"""The points added for a growing dog: what a grown one mends in months stays with it. Source: our own choice."""

MOST_BONE = Fraction(15, 100)
"""More of the food than this is much bone. Source: common practice, no source."""

LEAST_BONE = Fraction(5, 100)
"""Less of the food than this is hardly any bone. Source: common practice, no source."""


def points_of(off: Fraction | None, *, grows: bool, trust: Trust = Trust.SEEN, slow: bool = False) -> int:
    """How bad it is to be so many times off a bound; `off` is None where there is nothing of what is asked for.

    A recalled bound counts less, unless it is missed by far, and so does harm that is slow.
    """
    far = next((points for least, points in FAR_OFF if off is None or off >= least), 0)
    unsure = trust is Trust.MEMORY and far < FAR_OFF[0][1]
    return far + GROWTH_POINTS * grows - unsure - slow if far else 0


@dataclass(frozen=True, slots=True)
class FedDog:
    """One dog with the grams of each cut that it eats over the batch, its supplements, and what they hold.

    `cuts` are all cuts of the scenario, by name.
    """

    scenario: Scenario
    dog: Dog
    cuts: Mapping[str, Cut]
    portions: Mapping[str, int]
    doses: tuple[Dose, ...]
    found: DogNutrition

    @property
    def energy_is_known(self) -> bool:
        """Whether the energy of enough of the food is known to judge amounts per 1000 kcal."""
        return self.found.line("energy").coverage >= LEAST_COVERAGE

    @property
    def called(self) -> str:
        """The dog in a sentence: that it grows is told."""
        return f"{self.dog.name}, a growing dog," if self.dog.puppy else self.dog.name

    @property
    def eats(self) -> str:
        """Whose food a share is of, in words: the shares of what it eats beside the plan are not known."""
        return f"{self.dog.name} eats{' from this plan' if self.dog.other_food.says else ''}"

    @property
    def batch_g(self) -> int:
        """Grams of all its food over the batch."""
        return sum(self.portions.values())

    def share(self, counts: Callable[[str], Fraction]) -> Fraction:
        """The share of its food that counts, given the share of each cut that does."""
        counted_g = sum((counts(cut) * grams for cut, grams in self.portions.items()), Fraction(0))
        return counted_g / self.batch_g if self.batch_g else Fraction(0)

    @property
    def bone_share(self) -> Fraction:
        """The share of its food that is bone."""
        return self.share(lambda cut: self.cuts[cut].part_share(Part.BONE))

    def warned_of(self, caution: str) -> tuple[str, ...]:
        """The cuts with this caution that the dog eats."""
        return tuple(name for name in self.portions if caution in self.cuts[name].cautions)

    def main_source(self, key: str) -> str:
        """The cut, supplement or other food that most of a nutrient comes from; empty where there is none of it."""
        brought = {
            cut: grams * (self.cuts[cut].analysis.of(key) or Fraction(0)) for cut, grams in self.portions.items()
        }
        for dose in self.doses:
            of_step = self.scenario.supplement(dose.supplement).analysis.of(key) or Fraction(0)
            brought[dose.supplement] = 100 * of_step * dose.steps_a_day * self.dog.days
        other = self.dog.other_food
        brought["other food"] = other.daily_g * self.dog.days * (other.analysis.of(key) or Fraction(0))
        most = max(brought, key=lambda food: brought[food])
        return most if brought[most] else ""

    def give_less(self, key: str, otherwise: str) -> str:
        """What to give less of where there is too much of a nutrient: what brings most of it, if that is no cut."""
        source = self.main_source(key)
        return otherwise if source in self.cuts else f"Give less of {source}."
