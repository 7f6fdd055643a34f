"""Nutrients: what a food holds, what rules and published profiles ask, and how a dog's food compares."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType

from raworder.trade.findings import Place
from raworder.trade.rounding import half_up

KCAL_PER_G: Mapping[str, int] = MappingProxyType({"protein": 4, "fat": 9, "carbohydrate": 4})
"""Metabolizable energy of food in its natural state, in kcal per gram; the carbohydrate is counted without fibre.

Source: FEDIAF 2018 Annex 1 section 2.2.1 b (after NRC 2006), read in a second-hand copy.
"""

RICHEST_KCAL_PER_G = Fraction(9)
"""The kcal per gram assumed where a food's energy is unknown: fat's, the most that any food can give.

Source: FEDIAF 2018 Annex 1, 2.2.1 b.
"""

DESTROYED_BY: Mapping[str, str] = MappingProxyType({"thiamin": "thiaminase-fish"})
"""Nutrients that an enzyme in some cuts destroys, in those cuts and in food that lies with them; each with the caution
by which such cuts are known.

Source: that of the caution, which the table of cautions names.
"""


@dataclass(frozen=True, slots=True)
class Nutrient:
    """A nutrient: `name` is what people read and write, `unit` is the unit of all its amounts.

    Where it is a sum, `made_of` are the nutrients that are added up.
    """

    key: str
    name: str
    unit: str
    made_of: tuple[str, ...] = ()


NUTRIENTS: tuple[Nutrient, ...] = (
    Nutrient("energy", "energy", "kcal"),
    Nutrient("water", "water", "g"),
    Nutrient("protein", "protein", "g"),
    Nutrient("fat", "fat", "g"),
    Nutrient("saturated_fat", "saturated fat", "g"),
    Nutrient("carbohydrate", "carbohydrate", "g"),
    Nutrient("fibre", "fibre", "g"),
    Nutrient("ash", "ash", "g"),
    Nutrient("calcium", "calcium", "mg"),
    Nutrient("phosphorus", "phosphorus", "mg"),
    Nutrient("potassium", "potassium", "mg"),
    Nutrient("sodium", "sodium", "mg"),
    Nutrient("chloride", "chloride", "mg"),
    Nutrient("magnesium", "magnesium", "mg"),
    Nutrient("iron", "iron", "mg"),
    Nutrient("copper", "copper", "mg"),
    Nutrient("manganese", "manganese", "mg"),
    Nutrient("zinc", "zinc", "mg"),
    Nutrient("iodine", "iodine", "ug"),
    Nutrient("selenium", "selenium", "ug"),
    Nutrient("vitamin_a", "vitamin A", "ug"),
    Nutrient("vitamin_d", "vitamin D", "ug"),
    Nutrient("vitamin_e", "vitamin E", "mg"),
    Nutrient("vitamin_k", "vitamin K", "ug"),
    Nutrient("vitamin_c", "vitamin C", "mg"),
    Nutrient("thiamin", "thiamin", "mg"),
    Nutrient("riboflavin", "riboflavin", "mg"),
    Nutrient("niacin", "niacin", "mg"),
    Nutrient("pantothenic_acid", "pantothenic acid", "mg"),
    Nutrient("vitamin_b6", "vitamin B6", "mg"),
    Nutrient("folate", "folate", "ug"),
    Nutrient("vitamin_b12", "vitamin B12", "ug"),
    Nutrient("choline", "choline", "mg"),
    Nutrient("linoleic_acid", "linoleic acid", "g"),
    Nutrient("alpha_linolenic_acid", "alpha-linolenic acid", "g"),
    Nutrient("arachidonic_acid", "arachidonic acid", "g"),
    Nutrient("epa", "EPA", "g"),
    Nutrient("dpa", "DPA", "g"),
    Nutrient("dha", "DHA", "g"),
    Nutrient("epa_dha", "EPA and DHA", "g", ("epa", "dha")),
    Nutrient("omega_6", "omega-6", "g", ("linoleic_acid", "arachidonic_acid")),
    Nutrient("omega_3", "omega-3", "g", ("alpha_linolenic_acid", "epa", "dpa", "dha")),
)
"""Every nutrient that is counted, in the order in which papers list them.

Vitamin A is retinol activity equivalents, vitamin E alpha-tocopherol, energy metabolizable energy by `KCAL_PER_G`.
"""


def nutrient_of(key: str) -> Nutrient:
    """The nutrient with that key; KeyError when there is none."""
    return {nutrient.key: nutrient for nutrient in NUTRIENTS}[key]


@dataclass(frozen=True, slots=True)
class Analysis:
    """What is known to be in 100 g of a food as bought, bone in it, or in one step of a supplement.

    `values` are by nutrient key, including sums and energy. `estimates` say how much of the calcium and phosphorus is
    reckoned for bone, by `bone_calcium`. `borrowed` are the keys whose values come from another table, `given` those
    that the scenario gave.
    """

    values: tuple[tuple[str, Fraction], ...] = ()
    estimates: tuple["BoneEstimate", ...] = ()
    bone_calcium: "BoneCalcium | None" = None
    borrowed: tuple[str, ...] = ()
    given: tuple[str, ...] = ()
    source: str = ""

    def of(self, key: str) -> Fraction | None:
        """How much of a nutrient there is; None where it is not known."""
        return next((amount for known, amount in self.values if known == key), None)


class Per(StrEnum):
    """The basis of an amount of a nutrient: a day, or 1000 kcal of food."""

    DAY = "a day"
    MCAL = "per 1000 kcal"


@dataclass(frozen=True, slots=True)
class NutrientLimit:
    """At least `low` and at most `high` of a nutrient, a day or per 1000 kcal of what a dog eats.

    What is not known counts as nothing.
    """

    nutrient: str
    per: Per
    low: Fraction | None = None
    high: Fraction | None = None

    @property
    def key(self) -> str:
        """Unlike that of any other limit of a dog."""
        return f"{self.nutrient} {self.per}"


@dataclass(frozen=True, slots=True)
class RatioLimit:
    """A ratio of one nutrient (`over`) to another (`under`), by weight: at least `low` and at most `high`."""

    over: str
    under: str
    low: Fraction | None = None
    high: Fraction | None = None

    @property
    def key(self) -> str:
        """Unlike that of any other limit of a dog."""
        return f"{self.over} to {self.under}"


class Trust(StrEnum):
    """How far a figure can be trusted: read in its document or a copy, worked out, recalled, or the user's own."""

    SEEN = "seen"
    DERIVED = "derived"
    MEMORY = "memory"
    GIVEN = "given"

    @property
    def says(self) -> str:
        """The note that goes with the figure; empty except for a recalled one."""
        return "recalled, not checked against the original" if self is Trust.MEMORY else ""


@dataclass(frozen=True, slots=True)
class BoneCalcium:
    """Calcium in what is weighed as bone, as shares of its weight: what is counted, the least and the most there is.

    `of` is whose bone: a group of animals, several groups, or a cut by its name. `to_phosphorus` is grams of calcium
    for each gram of phosphorus.
    """

    of: str
    share: Fraction
    least: Fraction
    most: Fraction
    to_phosphorus: Fraction
    trust: Trust = Trust.GIVEN
    source: str = "the scenario"


@dataclass(frozen=True, slots=True)
class BoneEstimate:
    """How much of a nutrient is reckoned for bone, in mg: what is counted, the least and the most there may be."""

    nutrient: str
    amount: Fraction
    least: Fraction
    most: Fraction


@dataclass(frozen=True, slots=True)
class Bound:
    """One line of a published profile, per 1000 kcal or as a ratio, with its source.

    `is_upper` is true for a maximum, false for a minimum.
    """

    limit: NutrientLimit | RatioLimit
    is_upper: bool
    trust: Trust
    source: str

    @property
    def amount(self) -> Fraction:
        """The minimum or maximum, in the nutrient's unit or as a ratio."""
        return (self.limit.high if self.is_upper else self.limit.low) or Fraction(0)


@dataclass(frozen=True, slots=True)
class Profile:
    """A published profile, or the user's own: what a ration should hold."""

    name: str
    bounds: tuple[Bound, ...]


@dataclass(frozen=True, slots=True)
class NeedRow:
    """A published energy need, in kcal for each kilogram of body weight to the power 0.75 and day.

    `activity` is the word by which a scenario chooses the row, empty where it cannot be chosen. `spread` is the
    standard deviation, where the figure is the mean of measurements.
    """

    key: str
    applies: str
    low: Fraction
    high: Fraction
    trust: Trust
    source: str
    activity: str = ""
    spread: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Supplement:
    """Something given beside the ration and not counted in its weight: oil, capsules, powder.

    It is given in whole steps of `step` units a day, such as 1 capsule or 0.5 g, and `analysis` is that of one step. At
    most `most_steps` are given a day. `species` are the animals it is made of, for dogs that must not eat them.
    """

    name: str
    unit: str
    step: Fraction
    analysis: Analysis
    most_steps: int
    on_hand_steps: int = 0
    species: tuple[str, ...] = ()
    place: Place | None = field(default=None, compare=False)


LEAST_COVERAGE = Fraction(90, 100)
"""The coverage from which a bound can be judged; below it too little of the food is known. Source: our own choice."""


GROWN_PROFILES = frozenset({"AAFCO adult maintenance", "FEDIAF adult 95", "FEDIAF adult 110", "NRC adult maintenance"})
"""The shipped profiles that are not for growing dogs: what harms these would not be found."""

LARGE_GROWTH = "AAFCO large-size growth"
"""The profile for puppies that will be large."""


class Standing(StrEnum):
    """How an amount compares with a bound.

    It is too little a day where it is not known to be below a minimum per 1000 kcal, but a day holds less than it
    should of the least energy published for the dog.
    """

    MEETS = "meets it"
    BELOW = "below"
    LITTLE_A_DAY = "too little a day"
    ABOVE = "above"
    UNKNOWN = "not enough known"


@dataclass(frozen=True, slots=True)
class ComparedBound:
    """One bound compared with what is fed: `given` is the amount, on the bound's own basis, `of_bound` its share.

    `due_day` is what a minimum per 1000 kcal comes to in a day of the least energy published for the dog; None for any
    other bound, and where no energy is published for the dog.
    """

    bound: Bound
    given: Fraction
    of_bound: Fraction
    standing: Standing
    due_day: Fraction | None = None


@dataclass(frozen=True, slots=True)
class NutrientLine:
    """One nutrient: what is known to be in a day's food and in 1000 kcal of it, and for what share of the food.

    `least_day` and `most_day` differ from `day` where it includes an estimate for bone. `borrowed` is true where some
    of it comes from another table than the rest. `per_mcal` is None where energy is not known. `destroyed_by` are the
    cuts fed that can destroy it: then anything from none to all that the tables say may be left.
    """

    nutrient: str
    day: Fraction
    per_mcal: Fraction | None
    coverage: Fraction
    least_day: Fraction
    most_day: Fraction
    borrowed: bool = False
    beside: tuple[ComparedBound, ...] = ()
    destroyed_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RatioLine:
    """The ratio of one nutrient to another in what is fed; None where there is none of the other.

    `least` and `most` are the ratio at either end of the estimate for bone.
    """

    over: str
    under: str
    ratio: Fraction | None
    least: Fraction | None
    most: Fraction | None
    coverage: Fraction
    beside: tuple[ComparedBound, ...] = ()


@dataclass(frozen=True, slots=True)
class RuleLine:
    """One end of a rule of the scenario on a nutrient or a ratio; `beside` is None where it cannot be compared.

    `coverage` is that of what the rule is about, and `destroyed_by` is the same as in a `NutrientLine`. `spans` is true
    where the amount is a range, because of the estimate for bone or of cuts that destroy the nutrient.
    """

    bound: Bound
    coverage: Fraction
    beside: ComparedBound | None
    destroyed_by: tuple[str, ...] = ()
    spans: bool = False

    @property
    def limit(self) -> NutrientLimit | RatioLimit:
        """What the rule is about."""
        return self.bound.limit


RESTING, WEIGHT_LOSS = "rer_exponential", "aaha_weight_loss"
"""The rows of the table of needs for energy at rest, and for a dog that is to lose weight."""


@dataclass(frozen=True, slots=True)
class EnergyLine:
    """What a dog's food gives a day on average, compared with what dogs of its weight need; all in kcal a day.

    `day` is what is known, including `treats`, which are known only where the ration is in energy, and `other`, from
    food beside the plan. Food of unknown energy could bring it up to `most_day`; `coverage` is of the plan's food.
    `low` and `high` are the ends of the published range, which is for the dogs named in `applies`. `measured` and
    `spread` are the mean of measured needs and its standard deviation.
    """

    day: Fraction
    treats: Fraction
    coverage: Fraction
    resting: Fraction
    low: Fraction
    high: Fraction
    applies: str
    measured: Fraction
    spread: Fraction
    trust: Trust
    sources: tuple[str, ...]
    most_day: Fraction
    other: Fraction = Fraction(0)

    @property
    def of_need(self) -> Fraction:
        """What is known to be fed, as a share of the least that is published for the dog."""
        return self.day / self.low

    @property
    def is_known(self) -> bool:
        """Whether the energy of enough of the food is known for `day` to count as all that is fed."""
        return self.coverage >= LEAST_COVERAGE

    @property
    def standing(self) -> Standing:
        """How it compares with the published range, in whole kcal as printed.

        Where too little is known, it is below only if even `most_day` is.
        """
        if half_up(self.day) > half_up(self.high):
            return Standing.ABOVE
        if half_up(self.day if self.is_known else self.most_day) < half_up(self.low):
            return Standing.BELOW
        return Standing.MEETS if self.is_known else Standing.UNKNOWN


class Grade(StrEnum):
    """How bad something about a dog's food is, the worst first."""

    DANGER = "danger"
    DOUBT = "doubt"
    NOTE = "note"


LEAST_POINTS: Mapping[Grade, int] = MappingProxyType({Grade.DANGER: 3, Grade.DOUBT: 1})
"""The points from which a concern has that grade; with fewer it is a note. Source: our own choice."""


def grade_of(points: int) -> Grade:
    """How bad so many points are."""
    return next((grade for grade, least in LEAST_POINTS.items() if points >= least), Grade.NOTE)


def worst_first(points: int, *, slow: bool) -> tuple[int, bool, int]:
    """Orders what is bad, the worst first; what harms slowly comes after all else of its grade.

    >>> worst_first(3, slow=True) < worst_first(2, slow=False) < worst_first(1, slow=False) < worst_first(2, slow=True)
    True
    """
    return list(Grade).index(grade_of(points)), slow, -points


@dataclass(frozen=True, slots=True)
class VetConcern:
    """What a dog's food may do: the number, its limit and the limit's source. It is no diagnosis.

    `says` is a clause about this dog; `advice` is the same for every dog with the same `key`, but for growing ones.
    The more `points`, the worse. Where a bound is missed, `what` says how (`too little zinc`), and `of_bound` is the
    share that is fed of what `bound` names (`the recommended minimum`). `slow` harm comes of months.
    """

    key: str
    says: str
    advice: str
    sources: tuple[str, ...]
    points: int = 0
    what: str = ""
    of_bound: Fraction = Fraction(0)
    bound: str = ""
    slow: bool = False

    @property
    def grade(self) -> Grade:
        """How bad it is."""
        return grade_of(self.points)

    @property
    def is_short(self) -> bool:
        """Whether it is a shortage that harms slowly: these are told together."""
        return self.slow and self.what.startswith("too little")


@dataclass(frozen=True, slots=True)
class DogNutrition:
    """What one dog's food holds. For a dog in a veterinarian's care there are no energy needs, bounds or concerns."""

    dog: str
    profile: str
    lines: tuple[NutrientLine, ...]
    ratios: tuple[RatioLine, ...] = ()
    energy: EnergyLine | None = None
    minded: tuple[VetConcern, ...] = ()
    rules: tuple[RuleLine, ...] = ()

    @property
    def beside(self) -> tuple[ComparedBound, ...]:
        """All bounds of the profile, compared with what is fed."""
        lines: tuple[NutrientLine | RatioLine, ...] = (*self.lines, *self.ratios)
        return tuple(beside for line in lines for beside in line.beside)

    def line(self, nutrient: str) -> NutrientLine:
        """The line of that nutrient; StopIteration where there is none."""
        return next(nutrient_line for nutrient_line in self.lines if nutrient_line.nutrient == nutrient)
