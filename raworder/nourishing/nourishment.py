"""What every dog's food holds compared with what is published: met, below, above, or not enough known to say."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from raworder.nourishing.concerns import vet_concerns
from raworder.nourishing.fed_dog import FedDog
from raworder.nourishing.sums import FoodSums, add_other_food, energy_line, food_sums_by_dog
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import (
    LARGE_GROWTH,
    LEAST_COVERAGE,
    NUTRIENTS,
    RICHEST_KCAL_PER_G,
    Bound,
    ComparedBound,
    DogNutrition,
    EnergyLine,
    NutrientLimit,
    NutrientLine,
    Per,
    Profile,
    RatioLimit,
    RatioLine,
    RuleLine,
    Standing,
    Trust,
)
from raworder.trade.plan import Dose, Plan
from raworder.trade.scenario import FedScenario, Scenario

ALWAYS_SHOWN = (("calcium", "phosphorus"), ("omega_6", "omega_3"))
"""The ratios that are shown for every dog."""

RULE_TOLERANCE = Fraction(1, 200)
"""A rule, or a day's minimum, missed by no more than this share counts as met, as portions are whole grams.

Source: our own choice.
"""


def nutrient_lines(dog: Dog, eaten: FoodSums, profile: Profile | None) -> tuple[NutrientLine, ...]:
    """A line for every nutrient, with the bounds that the profile has for it."""
    bounds: dict[str, list[Bound]] = {}
    for bound in profile.bounds if profile else ():
        if isinstance(bound.limit, NutrientLimit):
            bounds.setdefault(bound.limit.nutrient, []).append(bound)
    return tuple(
        _nutrient_line(nutrient.key, dog, eaten, tuple(bounds.get(nutrient.key, ()))) for nutrient in NUTRIENTS
    )


def ratio_lines(eaten: FoodSums, profile: Profile | None) -> tuple[RatioLine, ...]:
    """A line for each ratio that is always shown, and for each that the profile bounds."""
    bounds: dict[tuple[str, str], list[Bound]] = {pair: [] for pair in ALWAYS_SHOWN}
    for bound in profile.bounds if profile else ():
        if isinstance(bound.limit, RatioLimit):
            bounds.setdefault((bound.limit.over, bound.limit.under), []).append(bound)
    return tuple(_ratio_line(pair, eaten, tuple(found)) for pair, found in bounds.items())


def rule_lines(dog: Dog, eaten: FoodSums) -> tuple[RuleLine, ...]:
    """A line for each minimum and maximum that the scenario's rules on nutrients and ratios set for the dog."""
    limits: tuple[NutrientLimit | RatioLimit, ...] = (*dog.nutrient_limits, *dog.ratio_limits)
    rules = (
        Bound(limit, is_upper, Trust.GIVEN, "the scenario")
        for limit in limits
        for is_upper, end in ((False, limit.low), (True, limit.high))
        if end is not None
    )
    return tuple(_rule_line(bound, dog, eaten) for bound in rules)


def _rule_line(bound: Bound, dog: Dog, eaten: FoodSums) -> RuleLine:
    """One end of a rule, compared with what is fed a day or per 1000 kcal, as the rule says."""
    limit = bound.limit
    if isinstance(limit, RatioLimit):
        ratio = _ratio_line((limit.over, limit.under), eaten, (bound,), RULE_TOLERANCE)
        lost = (*eaten.destroyers.get(limit.over, ()), *eaten.destroyers.get(limit.under, ()))
        beside = next(iter(ratio.beside), None)
        return RuleLine(bound, ratio.coverage, beside, lost, ratio.least != ratio.most)
    key, coverage, ends = (
        limit.nutrient,
        eaten.coverage(limit.nutrient),
        _estimate_ends(limit.nutrient, eaten),
    )
    least = most = Fraction(dog.days)
    if limit.per is Per.MCAL:
        least, most = _mcal_ends(eaten)
        coverage = min(coverage, eaten.coverage("energy"))
    known = coverage if limit.per is Per.DAY or eaten.coverage("energy") >= LEAST_COVERAGE else None
    compared = None
    if least:
        reached = ends[0] / most, ends[1] / least
        compared = _check_bound(bound, eaten.amounts[key] / least, reached, known, RULE_TOLERANCE)
    return RuleLine(bound, coverage, compared, eaten.destroyers.get(key, ()), ends[0] != ends[1])


def _mcal_ends(eaten: FoodSums) -> tuple[Fraction, Fraction]:
    """The thousands of kcal that are known, and the most there can be if food of unknown energy is all fat."""
    mcal = eaten.amounts["energy"] / 1000 if eaten.coverage("energy") else Fraction(0)
    return mcal, mcal + RICHEST_KCAL_PER_G * (eaten.grams - eaten.known_g["energy"]) / 1000


def _nutrient_line(key: str, dog: Dog, eaten: FoodSums, bounds: tuple[Bound, ...]) -> NutrientLine:
    mcal, most_mcal = _mcal_ends(eaten)
    amount, coverage = eaten.amounts[key], eaten.coverage(key)
    ends = _estimate_ends(key, eaten)
    energy_known = eaten.coverage("energy") >= LEAST_COVERAGE
    return NutrientLine(
        nutrient=key,
        day=amount / dog.days,
        per_mcal=amount / mcal if mcal else None,
        coverage=coverage,
        least_day=ends[0] / dog.days,
        most_day=ends[1] / dog.days,
        borrowed=key in eaten.borrowed,
        beside=tuple(
            _check_bound(
                bound, amount / mcal, (ends[0] / most_mcal, ends[1] / mcal), coverage if energy_known else None
            )
            for bound in bounds
            if mcal
        ),
        destroyed_by=eaten.destroyers.get(key, ()),
    )


def _estimate_ends(key: str, eaten: FoodSums) -> tuple[Fraction, Fraction]:
    """The least and the most there can be: the estimate for bone may be off, or an enzyme may have left nothing."""
    amount, bone = eaten.amounts[key], eaten.bone.get(key)
    if key in eaten.destroyers:
        return Fraction(0), amount
    if bone is None:
        return amount, amount
    return amount - bone.amount + bone.least, amount - bone.amount + bone.most


def _beside_a_day(line: NutrientLine, energy: EnergyLine | None) -> NutrientLine:
    """The line with its minimums compared with a day's amount too; as it is where no energy is published for the dog.

    A minimum per 1000 kcal is for a dog that gets its energy: fed less, it gets too little though the food meets it.
    """
    if energy is None:
        return line
    # treats are food of which nothing else is known
    coverage = line.coverage * (1 - energy.treats / energy.day) if energy.day else line.coverage
    return replace(line, beside=tuple(_check_day(compared, line, energy.low, coverage) for compared in line.beside))


def _check_day(compared: ComparedBound, line: NutrientLine, least_kcal: Fraction, coverage: Fraction) -> ComparedBound:
    """A bound compared; a minimum with what a day of the least energy published holds by it."""
    if compared.bound.is_upper:
        return compared
    due_day = compared.bound.amount * least_kcal / 1000
    ends, asked = (line.least_day, line.most_day), due_day * (1 - RULE_TOLERANCE)
    is_little = _minimum_standing(ends, asked, known=coverage >= LEAST_COVERAGE) is Standing.BELOW
    only_a_day = is_little and compared.standing in {Standing.MEETS, Standing.UNKNOWN}
    return replace(compared, due_day=due_day, standing=Standing.LITTLE_A_DAY if only_a_day else compared.standing)


def _check_bound(
    bound: Bound,
    given: Fraction,
    ends: tuple[Fraction, Fraction],
    coverage: Fraction | None,
    off: Fraction = Fraction(0),
) -> ComparedBound:
    """One bound compared with what is fed; it may be missed by the share `off`.

    A minimum that the known amount reaches is met, and a maximum that it passes is passed, whatever else is in the
    food. For any other verdict enough must be known. `coverage` is None where too little is known of the energy: then
    amounts per 1000 kcal are not judged at all.
    """
    asked = _tolerant_amount(bound, off)
    if coverage is None:
        standing = Standing.UNKNOWN
    elif bound.is_upper:
        standing = _standing(ends[0] > asked, ends[1] <= asked and coverage >= LEAST_COVERAGE, Standing.ABOVE)
    else:
        standing = _minimum_standing(ends, asked, known=coverage >= LEAST_COVERAGE)
    return ComparedBound(bound, given, given / bound.amount if bound.amount else Fraction(0), standing)


def _tolerant_amount(bound: Bound, off: Fraction) -> Fraction:
    """The amount that must be reached, or not be passed, if the bound may be missed by the share `off`."""
    return bound.amount * (1 + off if bound.is_upper else 1 - off)


def _standing(missed: bool, met: bool, how: Standing) -> Standing:
    if missed:
        return how
    return Standing.MEETS if met else Standing.UNKNOWN


def _minimum_standing(ends: tuple[Fraction, Fraction], asked: Fraction, *, known: bool) -> Standing:
    """The standing of a minimum: met if even the lower end reaches it, below if the upper end, well known, does not."""
    if ends[0] >= asked:
        return Standing.MEETS
    return Standing.BELOW if ends[1] < asked and known else Standing.UNKNOWN


def _ratio_line(
    pair: tuple[str, str],
    eaten: FoodSums,
    bounds: tuple[Bound, ...],
    off: Fraction = Fraction(0),
) -> RatioLine:
    """The ratio compared with its bounds; where one of its nutrients is destroyed, its coverage is 0."""
    over, under = pair
    coverage = (
        min(eaten.coverage(over), eaten.coverage(under)) if not {over, under} & set(eaten.destroyers) else Fraction(0)
    )
    ratio = _quotient(eaten.amounts[over], eaten.amounts[under])
    extremes = [
        _quotient(amount, other)
        for amount, other in zip(_estimate_ends(over, eaten), _estimate_ends(under, eaten), strict=True)
    ]
    ends = [extreme for extreme in (*extremes, ratio) if extreme is not None]
    least, most = (min(ends), max(ends)) if ends else (None, None)
    if ratio is None or least is None or most is None:
        return RatioLine(over, under, None, None, None, coverage)
    beside = tuple(_check_ratio_bound(bound, ratio, (least, most), coverage, off) for bound in bounds)
    return RatioLine(over, under, ratio, least, most, coverage, beside)


def _check_ratio_bound(
    bound: Bound, ratio: Fraction, ends: tuple[Fraction, Fraction], coverage: Fraction, off: Fraction
) -> ComparedBound:
    """A ratio compared with its bound; unknown where too little is known, as either side of it may grow."""
    asked = _tolerant_amount(bound, off)
    if coverage < LEAST_COVERAGE:
        standing = Standing.UNKNOWN
    elif bound.is_upper:
        standing = _standing(ends[0] > asked, ends[1] <= asked, Standing.ABOVE)
    else:
        standing = _standing(ends[1] < asked, ends[0] >= asked, Standing.BELOW)
    return ComparedBound(bound, ratio, ratio / bound.amount if bound.amount else Fraction(0), standing)


def _quotient(number: Fraction, other: Fraction) -> Fraction | None:
    return number / other if other else None


def profile_of(scenario: Scenario, dog: Dog) -> Profile | None:
    """The profile that the dog's food is compared with; None for a dog in care.

    For one that may grow large no published profile allows more calcium than that for large dogs.
    """
    chosen = None if dog.care else next((found for found in scenario.profiles if found.name == dog.profile), None)
    large = next((found for found in scenario.profiles if found.name == LARGE_GROWTH), None)
    if chosen is None or large is None or not dog.may_grow_large:
        return chosen
    most = next(bound for bound in large.bounds if _is_most_calcium(bound))
    bounds = (most if _is_most_calcium(bound) and bound.amount > most.amount else bound for bound in chosen.bounds)
    return replace(chosen, bounds=tuple(bounds))


def _is_most_calcium(bound: Bound) -> bool:
    """Whether a published bound is the most calcium; what a scenario's own profile says is left as it is."""
    is_calcium = isinstance(bound.limit, NutrientLimit) and bound.limit.nutrient == "calcium"
    return is_calcium and bound.is_upper and bound.trust is not Trust.GIVEN


def assess_nutrition(scenario: FedScenario, plan: Plan) -> tuple[DogNutrition, ...]:
    """What the food of each dog that is fed holds, in the scenario's order; the scenario has the plan's grams."""
    eaten = food_sums_by_dog(scenario, plan)
    portions: dict[str, dict[str, int]] = {}
    for portion in plan.portions:
        portions.setdefault(portion.dog, {})[portion.cut] = portion.batch_g
    fed_dogs = (dog for dog in scenario.dogs if dog.name in eaten)
    doses = {dog.name: tuple(dose for dose in plan.doses if dose.dog == dog.name) for dog in scenario.dogs}
    return tuple(_assess_dog(scenario, dog, eaten[dog.name], portions[dog.name], doses[dog.name]) for dog in fed_dogs)


def _assess_dog(
    scenario: Scenario, dog: Dog, eaten: FoodSums, portions: Mapping[str, int], doses: tuple[Dose, ...]
) -> DogNutrition:
    """What one dog's food holds; for a dog in care, the amounts alone."""
    profile = profile_of(scenario, dog)
    energy = energy_line(dog, eaten, {row.key: row for row in scenario.needs})
    all_food = add_other_food(dog, eaten)
    lines = tuple(_beside_a_day(line, energy) for line in nutrient_lines(dog, all_food, profile))
    ratios = ratio_lines(all_food, profile)
    rules = rule_lines(dog, eaten)
    found = DogNutrition(dog.name, profile.name if profile else "", lines, ratios, energy, rules=rules)
    if dog.care is not None:
        return found
    cuts = {cut.name: cut for cut in scenario.cuts}
    return replace(found, minded=vet_concerns(FedDog(scenario, dog, cuts, portions, doses, found)))
