"""Dogs: who is fed, how much, and what each may eat.

All are frozen. Grams are whole numbers, shares are fractions of one, energy is in kcal and exact.
"""

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction

from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Measure, Part, Subject
from raworder.trade.findings import Place
from raworder.trade.nutrients import (
    RESTING,
    WEIGHT_LOSS,
    Analysis,
    NeedRow,
    NutrientLimit,
    Per,
    RatioLimit,
    Supplement,
)
from raworder.trade.rounding import half_up
from raworder.trade.units import metabolic_kg, share_text

USUAL_RATION = (Fraction(1, 100), Fraction(10, 100))
"""A day's food outside these shares of body weight brings a warning; 2 to 3 % is usual.

Source: common practice, no source.
"""

LARGE_ADULT_G = 31_800
"""A puppy whose adult weight is this or more grows by a profile of its own: 70 lb.

Source: AAFCO Official Publication 2016 and later, recalled; the facsimile of the proposed revision has the profile.
"""

DAY_OVER_BATCH = Fraction(5, 3)
"""The share allowed in one day's food, as a multiple of the share allowed over the batch; see `Dog.most_a_day`.

Source: common practice, no source.
"""


@dataclass(frozen=True, slots=True)
class Target:
    """The range for a part's share of what the dog eats, ends included."""

    part: Part
    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class Cap:
    """The largest share of what the dog eats that something may be.

    `source` is where the share comes from that holds because the scenario does not say otherwise; else it is empty.
    """

    subject: Subject
    most: Fraction
    source: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class VetAmount:
    """Grams of one cut over the batch, as the veterinarian gave them."""

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
    """A ration in energy: the kcal that a dog eats on each day of the batch, 0 when it is away.

    Its grams are open until a plan settles them.
    """

    day_kcal: tuple[Fraction, ...]
    settled: bool = False

    @property
    def batch_kcal(self) -> Fraction:
        """What the dog eats over the batch."""
        return sum(self.day_kcal, Fraction(0))


class Goal(StrEnum):
    """What is to become of a dog's weight."""

    KEEP = "keep"
    LOSE = "lose"
    GAIN = "gain"


def least_resting_kcal(
    needs: Mapping[str, NeedRow], goal: Goal, weight_g: Fraction | None, ideal_weight_g: Fraction | None
) -> Fraction | None:
    """The energy a day that a healthy dog gets at least: what it needs at rest, or less while it is to lose weight.

    None where the weight is not known that it is reckoned from. The rows of the table of needs are by their key.
    """
    if goal is Goal.LOSE:
        row = needs[WEIGHT_LOSS]
        return (row.low - row.spread) * metabolic_kg(ideal_weight_g) if ideal_weight_g else None
    return needs[RESTING].low * metabolic_kg(weight_g) if weight_g else None


@dataclass(frozen=True, slots=True)
class OtherFood:
    """What a dog eats beside this plan: `kcal` a day, or where `as_much` as much energy again as the plan gives.

    `daily_g` are the grams a day of a food of which an `analysis` was given; 0 where none was.
    """

    kcal: Fraction = Fraction(0)
    as_much: bool = False
    daily_g: Fraction = Fraction(0)
    analysis: Analysis = Analysis()  # noqa: RUF009 - it is frozen

    def with_plan(self, kcal: Fraction) -> Fraction:
        """The energy a day of all that the dog eats, where the plan gives so much."""
        return kcal * (2 if self.as_much else 1) + self.kcal

    @property
    def says(self) -> str:
        """How much it is, in words; empty where there is none."""
        if self.as_much:
            return "as much energy again of other food"
        return f"{half_up(self.kcal)} kcal of other food" if self.kcal else ""

    def due_from_plan(self, kcal: Fraction) -> Fraction:
        """The energy a day that the plan must give, so that the dog gets so much in all."""
        return max(kcal - self.kcal, Fraction(0)) / (2 if self.as_much else 1)


@dataclass(frozen=True, slots=True)
class Dog:
    """An animal to feed. `daily_g` is exact; `batch_g` is what it eats over its `days` of the batch, in whole grams.

    `day_g` is what it eats on each day of the batch, 0 when it is away; the days add up to `batch_g`. A day's food
    comes in `meals` bags. `ration_says` tells in words how the ration was set. `targets_named` is the pattern's name,
    or `own`. `vet_amounts` is set exactly for a dog under a veterinarian's care; such a dog has no targets and no caps.

    Where `energy` is set and not settled, the grams are the fewest that can hold it; a plan settles how many they are
    (`trade.as_fed`). `nutrient_limits` and `ratio_limits` are rules that the scenario switched on. `profile` names
    the profile that the food is compared with. `activity` is a word of the table of needs. `adult_weight_g` is what a
    puppy will weigh when grown, `ideal_weight_g` the weight that a dog should reach, and `used_to_fat` the share of fat
    in what the dog has been eating. `resting_kcal` is what it needs a day at rest, None where its weight is not known;
    it gets at least `resting_share` of that from all that it eats, 0 where a veterinarian asked for less. `other_food`
    is eaten beside this plan, and so are treats of `treats_kcal` a day, or by weight of `treats_g`.
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
    goal: Goal = Goal.KEEP
    resting_kcal: Fraction | None = None
    resting_share: Fraction = Fraction(1)
    other_food: OtherFood = OtherFood()
    treats_kcal: Fraction = Fraction(0)
    treats_g: Fraction = field(default=Fraction(0), compare=False)
    place: Place | None = field(default=None, compare=False)

    @property
    def ration_text(self) -> str:
        """How the ration was set, and what is eaten beside it; empty where no words say how it was set."""
        beside = f", beside {self.other_food.says}" if self.other_food.says else ""
        return f"{self.ration_says}{beside}" if self.ration_says else ""

    def with_rules_of(self, other: "Dog") -> "Dog":
        """The dog with the ranges, caps and limits of another."""
        return replace(
            self,
            targets=other.targets,
            caps=other.caps,
            nutrient_limits=other.nutrient_limits,
            ratio_limits=other.ratio_limits,
            resting_share=other.resting_share,
        )

    def avoids(self, cut: Cut) -> bool:
        """Whether the dog must not eat the cut, in any form."""
        return any(subject.touches(cut) for subject in self.avoid)

    @property
    def may_grow_large(self) -> bool:
        """Whether it is a puppy that will be large, or of which nobody says how heavy it will be."""
        return self.puppy and (self.adult_weight_g is None or self.adult_weight_g >= LARGE_ADULT_G)

    @property
    def counts_energy(self) -> bool:
        """Whether its ration is in energy, or one of its rules is per 1000 kcal of what it eats."""
        return self.energy is not None or any(limit.per is Per.MCAL for limit in self.nutrient_limits)

    @property
    def needs_kept(self) -> frozenset[str]:
        """The nutrients that must be there for certain: one of the dog's rules fails without them.

        A rule with a minimum fails without its nutrient, and a ratio with a maximum without the nutrient it divides by.
        """
        least = {limit.nutrient for limit in self.nutrient_limits if limit.low}
        least |= {limit.over for limit in self.ratio_limits if limit.low}
        return frozenset(least | {limit.under for limit in self.ratio_limits if limit.high is not None})

    def goes_without(self, cut: Cut) -> bool:
        """Whether the cut is left out of the dog's food.

        That is so where the dog must not eat it, where energy counts and the cut's is unknown, or where the cut can
        destroy a nutrient that a rule asks for.
        """
        unknown = self.counts_energy and cut.kcal_per_g is None
        return self.avoids(cut) or unknown or not self.needs_kept.isdisjoint(cut.destroys)

    def refuses(self, supplement: Supplement) -> bool:
        """Whether the dog must not be given the supplement: by its name, or by a species that it is made of.

        A growing dog gets none with calcium in it unless a rule says how much: that is for its veterinarian to say.
        """
        words = {supplement.name, *supplement.species}
        calcium = self.puppy and not self.limits_calcium and bool(supplement.analysis.of("calcium"))
        return calcium or any(subject.word in words for subject in self.avoid)

    @property
    def limits_calcium(self) -> bool:
        """Whether a rule on nutrients says how much calcium it gets."""
        ratios = (nutrient for limit in self.ratio_limits for nutrient in (limit.over, limit.under))
        return "calcium" in {*(limit.nutrient for limit in self.nutrient_limits), *ratios}

    @property
    def need_weight_g(self) -> int:
        """The weight from which the dog's energy need is worked out."""
        return self.ideal_weight_g or self.weight_g

    @property
    def share_of_weight(self) -> str:
        """A day's food as a share of the weight behind its energy need, in words; empty where no weight is known."""
        if not self.need_weight_g:
            return ""
        weight = "its ideal weight" if self.ideal_weight_g else "its weight"
        return f"{share_text(Fraction(self.daily_g) / self.need_weight_g)} of {weight}"

    @property
    def resting_due_kcal(self) -> Fraction:
        """The energy over the batch that its food must hold by the rule on resting energy; 0 where none is asked."""
        if self.resting_kcal is None or self.care is not None:
            return Fraction(0)
        due_kcal = self.other_food.due_from_plan(self.resting_kcal * self.resting_share)
        return max(due_kcal - self.treats_kcal, Fraction(0)) * self.days

    @property
    def resting_density(self) -> Fraction:
        """What the rule on resting energy asks of its food: kcal in a gram; of free grams, the part of its energy."""
        of_all = self.energy.batch_kcal if self.energy and self.free_grams else self.batch_g
        return self.resting_due_kcal / of_all if of_all else Fraction(0)

    @property
    def build(self) -> Hashable:
        """What decides which pieces fit its bags and days, beside what it avoids: dogs of one build are alike there."""
        return self.day_g, self.meals, self.batch_g, self.targets, self.caps, self.care, self.free_grams

    @property
    def free_grams(self) -> bool:
        """Whether the ration is in energy and no plan has settled yet how many grams that is."""
        return self.energy is not None and not self.energy.settled

    @property
    def takes_supplements(self) -> bool:
        """Whether supplements may be given: only where the dog has a rule on nutrients."""
        # else a cheap pack could be bought to reach free delivery, and end up in a dog
        return self.care is None and bool(self.nutrient_limits or self.ratio_limits)

    def most_a_day(
        self, portioning: Portioning, eaten: Mapping[Subject, Fraction] | None = None
    ) -> Iterator[tuple[Subject, Fraction]]:
        """The largest share of a day's food that each subject may be.

        It is the usual share, or `DAY_OVER_BATCH` times the share allowed over the batch where that is more. The batch
        share is what the dog's own rules allow; where they say nothing, it is the share `eaten`, or without that no
        limit at all.
        """
        allowed = {Subject(Measure.PART, target.part): target.high for target in self.targets}
        allowed |= {cap.subject: cap.most for cap in self.caps}
        for subject, most in portioning.most_a_day:
            otherwise = Fraction(1) if eaten is None else eaten[subject]
            # a day must give way to what the batch has to hold, or rations could be asked for that fit on no days
            yield subject, min(max(most, DAY_OVER_BATCH * allowed.get(subject, otherwise)), Fraction(1))
