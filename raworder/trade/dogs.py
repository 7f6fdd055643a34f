"""Dogs: who is fed, how much, and what each may eat.

All are frozen. Grams are whole numbers, shares are fractions of one, energy is in kcal and exact.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction

from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Measure, Part, Subject
from raworder.trade.findings import Place
from raworder.trade.nutrients import NutrientLimit, Per, RatioLimit, Supplement
from raworder.trade.units import share_text

USUAL_RATION = (Fraction(1, 100), Fraction(10, 100))
"""A day's food outside these shares of body weight is doubted; 2 to 3 % is usual.

Source: common practice, no source.
"""

DAY_OVER_BATCH = Fraction(5, 3)
"""A day may hold so many times what a batch may, if above the most a day. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Target:
    """The range a part's share of what is eaten must stay in, ends included."""

    part: Part
    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class Cap:
    """The most of something, as a share of what is eaten."""

    subject: Subject
    most: Fraction


@dataclass(frozen=True, slots=True)
class VetAmount:
    """So many grams of a cut over the batch, as the veterinarian gave it."""

    cut: str
    batch_g: int


class Care(StrEnum):
    """A state in which amounts come from a veterinarian and none are computed."""

    ILL = "ill"
    PREGNANT = "pregnant"
    NURSING = "nursing"
    PRESCRIPTION_DIET = "prescription diet"


@dataclass(frozen=True, slots=True)
class EnergyRation:
    """A ration in energy: what a dog eats on every day of the batch, in kcal, 0 when it is away.

    Its grams are free until a plan settles them. `treats_kcal` is what it gets besides, every day.
    """

    day_kcal: tuple[Fraction, ...]
    settled: bool = False
    treats_kcal: Fraction = Fraction(0)

    @property
    def batch_kcal(self) -> Fraction:
        """What the dog eats over the batch."""
        return sum(self.day_kcal, Fraction(0))


@dataclass(frozen=True, slots=True)
class Dog:
    """An animal to feed. `daily_g` is exact; `batch_g` is what it eats over its `days` of the batch, in whole grams.

    `day_g` is what it eats on every day of the batch, 0 when it is away; the days add up to `batch_g`. A day's food
    comes in `meals` bags. `ration_says` tells in words how the ration came about. `targets_named` is the pattern's
    name, or `own`.
    `vet_amounts` is set exactly for a dog under a veterinarian's care; such a dog has no targets and no caps.

    Where `energy` is set and not settled, grams are the least that can hold it; a plan settles how many they are
    (`raworder.as_fed`). `nutrient_limits` and `ratio_limits` are rules that were switched on. `profile` names what the
    food is shown beside. `activity` is a word of the table of needs, `adult_weight_g` what a puppy is to weigh one day,
    `ideal_weight_g` what a dog is to come to whose weight is to change; `used_to_fat` the share of fat in what the dog
    has been eating.
    """

    name: str
    weight_g: int
    daily_g: Fraction
    days: int
    batch_g: int
    ration_says: str
    day_g: tuple[int, ...]
    targets: tuple[Target, ...] = ()
    targets_named: str = ""
    caps: tuple[Cap, ...] = ()
    avoid: tuple[Subject, ...] = ()
    owner: str = ""
    kennel: str = ""
    meals: int = 1
    care: Care | None = None
    puppy: bool = False
    vet_amounts: tuple[VetAmount, ...] = ()
    energy: EnergyRation | None = None
    nutrient_limits: tuple[NutrientLimit, ...] = ()
    ratio_limits: tuple[RatioLimit, ...] = ()
    profile: str = ""
    activity: str = ""
    adult_weight_g: int | None = None
    ideal_weight_g: int | None = None
    used_to_fat: Fraction | None = None
    place: Place | None = field(default=None, compare=False)

    def with_rules_of(self, other: "Dog") -> "Dog":
        """The dog with the ranges, caps and limits of another."""
        limits, ratios = other.nutrient_limits, other.ratio_limits
        return replace(self, targets=other.targets, caps=other.caps, nutrient_limits=limits, ratio_limits=ratios)

    def avoids(self, cut: Cut) -> bool:
        """Whether the dog must not eat the cut, in any form."""
        return any(subject.touches(cut) for subject in self.avoid)

    @property
    def counts_energy(self) -> bool:
        """Whether its ration is in energy, or a rule of its is for 1000 kcal of what it eats."""
        return self.energy is not None or any(limit.per is Per.MCAL for limit in self.nutrient_limits)

    @property
    def needs_kept(self) -> frozenset[str]:
        """The nutrients of which some must be there for sure: a rule asks for a least that they must reach."""
        least = {limit.nutrient for limit in self.nutrient_limits if limit.low}
        least |= {limit.over for limit in self.ratio_limits if limit.low}
        return frozenset(least | {limit.under for limit in self.ratio_limits if limit.high is not None})

    def goes_without(self, cut: Cut) -> bool:
        """Whether the cut is left out of its food.

        It must not eat it, or its energy counts and nobody knows it, or it can destroy what a rule asks for.
        """
        unknown = self.counts_energy and cut.kcal_per_g is None
        return self.avoids(cut) or unknown or not self.needs_kept.isdisjoint(cut.destroys)

    def refuses(self, supplement: Supplement) -> bool:
        """Whether the dog must not be given the supplement: by its name, or by a species that it is made of."""
        words = {supplement.name, *supplement.species}
        return any(subject.word in words for subject in self.avoid)

    @property
    def need_weight_g(self) -> int:
        """The weight by which a need is reckoned."""
        return self.ideal_weight_g or self.weight_g

    @property
    def share_of_weight(self) -> str:
        """A day's food as a share of the weight by which its need is reckoned, in words; empty where none is known."""
        if not self.need_weight_g:
            return ""
        weight = "its ideal weight" if self.ideal_weight_g else "its weight"
        return f"{share_text(Fraction(self.daily_g) / self.need_weight_g)} of {weight}"

    @property
    def free_grams(self) -> bool:
        """Whether it is energy that is given, and no plan has said yet how many grams that is."""
        return self.energy is not None and not self.energy.settled

    @property
    def takes_supplements(self) -> bool:
        """Whether supplements may be given: only where a rule on nutrients asks for something."""
        return self.care is None and bool(self.nutrient_limits or self.ratio_limits)

    def most_a_day(
        self, portioning: Portioning, eaten: Mapping[Subject, Fraction] | None = None
    ) -> Iterator[tuple[Subject, Fraction]]:
        """The most of a day's food that each subject may be; or a multiple of what the batch may hold of it.

        That is what the dog's own rules allow, or where they say nothing, the share of all that is `eaten`; while that
        is not known anything may be.
        """
        allowed = {Subject(Measure.PART, target.part): target.high for target in self.targets}
        allowed |= {cap.subject: cap.most for cap in self.caps}
        for subject, most in portioning.most_a_day:
            otherwise = Fraction(1) if eaten is None else eaten[subject]
            yield subject, min(max(most, DAY_OVER_BATCH * allowed.get(subject, otherwise)), Fraction(1))
