"""A small scenario whose food is known in round numbers, and plans for it; all invented."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction

from raworder.reading.reference import read_cautions, read_needs, read_profiles
from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import BoneCalcium, BoneEstimate, Bound, NutrientLimit, Per, Profile, RatioLimit, Trust
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests.builders import Number, a_cut, a_dog, a_plan, a_portion, a_scenario, prey_model
from tests.supplemented import an_analysis

BROILER = BoneCalcium(
    "poultry", Fraction(2, 100), Fraction(13, 1000), Fraction(27, 1000), Fraction(22, 10), Trust.DERIVED, "invented"
)


def a_food(
    name: str, values: Mapping[str, Number], *, bone_calcium_mg: Number = 0, bone: BoneCalcium = BROILER, **more: object
) -> Cut:
    """A cut with an analysis, in which so much of the calcium is reckoned for its bone."""
    analysis = an_analysis(values)
    if bone_calcium_mg:
        analysis = replace(analysis, bone_calcium=bone, estimates=tuple(_estimates(Fraction(bone_calcium_mg), bone)))
    return replace(a_cut(name, **more), analysis=analysis)  # type: ignore[arg-type] # what the builder takes


def _estimates(calcium_mg: Fraction, bone: BoneCalcium) -> Iterator[BoneEstimate]:
    """The calcium and the phosphorus of bone that holds so much calcium as it is counted."""
    for nutrient, per_calcium in (("calcium", Fraction(1)), ("phosphorus", 1 / bone.to_phosphorus)):
        amount = calcium_mg * per_calcium
        yield BoneEstimate(nutrient, amount, amount * bone.least / bone.share, amount * bone.most / bone.share)


# 100 g give 200 kcal; of the calcium 1000 mg are an estimate for bone, and a 2.2th of that of the phosphorus
NECK = a_food(
    "neck",
    {"energy": 200, "calcium": 1100, "phosphorus": 800, "zinc": 2},
    bone_calcium_mg=1000,
    parts={Part.MUSCLE: "3/5", Part.BONE: "2/5"},
)
TRIM = a_food("trim", {"energy": 200, "calcium": 10, "phosphorus": 200, "zinc": 5, "vitamin_a": 0})
UNKNOWN = a_cut("mystery mince", kind="mince")


def least(nutrient: str, amount: Number, trust: Trust = Trust.SEEN) -> Bound:
    """A bound from below, per 1000 kcal."""
    limit = NutrientLimit(nutrient, Per.MCAL, low=Fraction(amount))
    return Bound(limit, False, trust, "an invented source")


def most(nutrient: str, amount: Number, trust: Trust = Trust.SEEN) -> Bound:
    """A bound from above, per 1000 kcal."""
    limit = NutrientLimit(nutrient, Per.MCAL, high=Fraction(amount))
    return Bound(limit, True, trust, "an invented source")


def ratio(low: Number | None = None, high: Number | None = None) -> Bound:
    """A bound on calcium to phosphorus."""
    limit = RatioLimit(
        "calcium", "phosphorus", None if low is None else Fraction(low), None if high is None else Fraction(high)
    )
    return Bound(limit, high is not None, Trust.SEEN, "an invented source")


def fed_with(*bounds: Bound, dog: Dog | None = None, cuts: tuple[Cut, ...] = (NECK, TRIM, UNKNOWN)) -> Scenario:
    """One dog whose food is shown beside a profile of these bounds."""
    one = dog or a_dog(targets=prey_model())
    scenario = a_scenario(dogs=[replace(one, profile="invented adult")], cuts=cuts)
    profiles = (Profile("invented adult", bounds),)
    return replace(scenario, profiles=profiles, needs=read_needs(), cautions=read_cautions())


def eats(**grams: int) -> Plan:
    """A plan by which Maple eats so many grams of each cut over the batch."""
    return a_plan(portions=[a_portion("Maple", name.replace("_", " "), amount) for name, amount in grams.items()])


def published() -> tuple[Profile, ...]:
    """The profiles that are shipped."""
    return read_profiles()
