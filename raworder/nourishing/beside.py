"""What is fed beside the bounds of a profile: met, below, above, or not enough known to say."""

from fractions import Fraction

from raworder.dogs import Dog
from raworder.nourishing.sums import Eaten
from raworder.nourishment import ENOUGH_KNOWN, Beside, NutrientLine, RatioLine, Standing
from raworder.nutrients import (
    BONE_CALCIUM_RANGE,
    NUTRIENTS,
    RICHEST_KCAL_PER_G,
    Bound,
    NutrientLimit,
    Profile,
    RatioLimit,
)
from raworder.trade import Scenario

ALWAYS_TOLD = (("calcium", "phosphorus"), ("omega_6", "omega_3"))
"""The ratios that are told of every dog."""


def nutrient_lines(scenario: Scenario, dog: Dog, eaten: Eaten, profile: Profile | None) -> tuple[NutrientLine, ...]:
    """A line for every nutrient, with the bounds that the profile has for it."""
    bounds: dict[str, list[Bound]] = {}
    for bound in profile.bounds if profile else ():
        if isinstance(bound.limit, NutrientLimit):
            bounds.setdefault(bound.limit.nutrient, []).append(bound)
    return tuple(_line(one.key, scenario, dog, eaten, tuple(bounds.get(one.key, ()))) for one in NUTRIENTS)


def ratio_lines(scenario: Scenario, eaten: Eaten, profile: Profile | None) -> tuple[RatioLine, ...]:
    """A line for each ratio that is always told, or that the profile bounds."""
    bounds: dict[tuple[str, str], list[Bound]] = {pair: [] for pair in ALWAYS_TOLD}
    for bound in profile.bounds if profile else ():
        if isinstance(bound.limit, RatioLimit):
            bounds.setdefault((bound.limit.over, bound.limit.under), []).append(bound)
    return tuple(_ratio(pair, scenario, eaten, tuple(found)) for pair, found in bounds.items())


def _line(key: str, scenario: Scenario, dog: Dog, eaten: Eaten, bounds: tuple[Bound, ...]) -> NutrientLine:
    mcal = eaten.amounts["energy"] / 1000 if eaten.coverage("energy") else Fraction(0)
    most_mcal = mcal + RICHEST_KCAL_PER_G * (eaten.grams - eaten.known_g["energy"]) / 1000
    amount, coverage = eaten.amounts[key], eaten.coverage(key)
    ends = _ends(key, scenario, eaten)
    energy_known = eaten.coverage("energy") >= ENOUGH_KNOWN
    return NutrientLine(
        nutrient=key,
        day=amount / dog.days,
        per_mcal=amount / mcal if mcal else None,
        coverage=coverage,
        least_day=ends[0] / dog.days,
        most_day=ends[1] / dog.days,
        borrowed=key in eaten.borrowed,
        beside=tuple(
            _beside(bound, amount / mcal, (ends[0] / most_mcal, ends[1] / mcal), coverage if energy_known else None)
            for bound in bounds
            if mcal
        ),
    )


def _ends(key: str, scenario: Scenario, eaten: Eaten) -> tuple[Fraction, Fraction]:
    """The least and the most that there is, as the estimate for bone may be off."""
    part, amount = eaten.bone.get(key, Fraction(0)), eaten.amounts[key]
    times = (Fraction(1), *(one / scenario.bone_calcium for one in BONE_CALCIUM_RANGE))
    return amount + part * (min(times) - 1), amount + part * (max(times) - 1)


def _beside(bound: Bound, given: Fraction, ends: tuple[Fraction, Fraction], coverage: Fraction | None) -> Beside:
    """One bound: what is known may reach it whatever is not known; below a stated coverage nothing else is said.

    `coverage` is None where energy is not known enough: then nothing is said of 1000 kcal at all.
    """
    asked = bound.amount
    if coverage is None:
        standing = Standing.UNKNOWN
    elif bound.is_upper:
        standing = _standing(ends[0] > asked, ends[1] <= asked and coverage >= ENOUGH_KNOWN, Standing.ABOVE)
    else:
        standing = _met_or_below(ends, asked, known=coverage >= ENOUGH_KNOWN)
    return Beside(bound, given, given / asked if asked else Fraction(0), standing)


def _standing(missed: bool, met: bool, how: Standing) -> Standing:
    if missed:
        return how
    return Standing.MEETS if met else Standing.UNKNOWN


def _met_or_below(ends: tuple[Fraction, Fraction], asked: Fraction, *, known: bool) -> Standing:
    """Where the least stands: met if even the lower end does it, below if not even the upper does and it is known."""
    if ends[0] >= asked:
        return Standing.MEETS
    return Standing.BELOW if ends[1] < asked and known else Standing.UNKNOWN


def _ratio(pair: tuple[str, str], scenario: Scenario, eaten: Eaten, bounds: tuple[Bound, ...]) -> RatioLine:
    over, under = pair
    coverage = min(eaten.coverage(over), eaten.coverage(under))
    ratio = _divided(eaten.amounts[over], eaten.amounts[under])
    each = [
        _divided(one, other)
        for one, other in zip(_ends(over, scenario, eaten), _ends(under, scenario, eaten), strict=True)
    ]
    ends = [one for one in (*each, ratio) if one is not None]
    least, most = (min(ends), max(ends)) if ends else (None, None)
    if ratio is None or least is None or most is None:
        return RatioLine(over, under, None, None, None, coverage)
    beside = tuple(_beside_ratio(bound, ratio, (least, most), coverage) for bound in bounds)
    return RatioLine(over, under, ratio, least, most, coverage, beside)


def _beside_ratio(bound: Bound, ratio: Fraction, ends: tuple[Fraction, Fraction], coverage: Fraction) -> Beside:
    """A ratio beside its bound; where too little is known, nothing is said, as either side may grow."""
    asked = bound.amount
    if coverage < ENOUGH_KNOWN:
        standing = Standing.UNKNOWN
    elif bound.is_upper:
        standing = _standing(ends[0] > asked, ends[1] <= asked, Standing.ABOVE)
    else:
        standing = _standing(ends[1] < asked, ends[0] >= asked, Standing.BELOW)
    return Beside(bound, ratio, ratio / asked if asked else Fraction(0), standing)


def _divided(one: Fraction, other: Fraction) -> Fraction | None:
    return one / other if other else None


def profile_of(scenario: Scenario, dog: Dog) -> Profile | None:
    """The profile that the dog's food is shown beside; none for a dog in care."""
    return None if dog.care else next((one for one in scenario.profiles if one.name == dog.profile), None)
