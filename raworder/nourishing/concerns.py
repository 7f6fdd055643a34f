"""What to ask a veterinarian about: a number, its limit and the limit's source each time, and never a diagnosis."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Dog, Goal
from raworder.trade.nutrients import (
    LEAST_COVERAGE,
    Bound,
    DogNutrition,
    NutrientLimit,
    Standing,
    Trust,
    VetConcern,
    nutrient_of,
)
from raworder.trade.plan import Dose
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario
from raworder.trade.units import share_text

ASK = "Ask a veterinarian."

WEIGHT_SHARE_ADVICE = (
    "A flat share of body weight leaves small dogs short and giants over, as need goes with weight to the power 0.75; "
    f"and measured needs differ widely from dog to dog. Weigh the dog every week. {ASK}"
)
ENERGY_ADVICE = f"Measured needs differ widely from dog to dog. Weigh the dog every week. {ASK}"
"""The advice where the ration was given in energy, not as a share of body weight."""

GOAL_MISSED: Mapping[tuple[Goal, Standing], str] = MappingProxyType(
    {
        (Goal.LOSE, Standing.ABOVE): ": on that it is not likely to lose weight",
        (Goal.LOSE, Standing.BELOW): ": it may lose weight too fast",
        (Goal.GAIN, Standing.BELOW): ": on that it is not likely to gain weight",
    }
)
"""What energy outside the range means for a dog whose weight is to change."""

WEIGHING_ADVICE = f"Nobody can say whether that is enough: weigh the dog every week. {ASK}"

NO_SOURCE = "common practice, no source"

COPPER_TIMES_MINIMUM = 3
"""Warn when copper exceeds this multiple of the recommended minimum, as no profile here has a maximum.

Source: common practice, no source.
"""

BONE_MARGIN = Fraction(3, 100)
"""Warn when the bone share is this far outside its range. Source: common practice, no source."""

USUAL_BONE_RANGE = (Fraction(5, 100), Fraction(15, 100))
"""Where no range is set, warn when the bone share is outside this one. Source: common practice, no source."""

FAT_JUMP = Fraction(3, 2)
"""Warn when fat exceeds this multiple of what the dog is used to. Source: common practice, no source."""

MOST_BRASSICA = Fraction(5, 100)
"""Warn when more of the food than this is of the cabbage family. Source: common practice, no source."""

USUAL_SOURCES: Mapping[str, str] = MappingProxyType(
    {"vitamin_a": "liver", "vitamin_d": "oils and oily fish", "iodine": "seaweed and sea fish"}
)
"""Where most of a nutrient usually comes from."""


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

    def warned_of(self, caution: str) -> tuple[str, ...]:
        """The cuts with this caution that the dog eats."""
        return tuple(name for name in self.portions if caution in self.cuts[name].cautions)


def vet_concerns(fed: FedDog) -> tuple[VetConcern, ...]:
    """Everything to ask a veterinarian about, in the order of the checks."""
    return tuple(concern for check in CHECKS for concern in check(fed))


def _energy_outside_range(fed: FedDog) -> Iterator[VetConcern]:
    """Energy outside the published range, with advice by how the ration was given."""
    line, dog = fed.found.energy, fed.dog
    if line is None or line.standing not in {Standing.BELOW, Standing.ABOVE}:
        return
    is_below = line.standing is Standing.BELOW
    kcal = half_up(line.day if line.is_known or not is_below else line.most_day)
    unsure = "" if line.is_known else "at most " if is_below else "at least "
    other = f" with {half_up(line.other)} kcal of other food" if line.other else ""
    by_weight = "" if dog.energy or other else f", {dog.share_of_weight}"
    says = (
        f"{dog.name} gets {unsure}{kcal} kcal a day{other}{by_weight}, {line.standing} the {half_up(line.low)} to "
        f"{half_up(line.high)} kcal published for {line.applies}{GOAL_MISSED.get((dog.goal, line.standing), '')}"
    )
    key, advice = ("energy-given", ENERGY_ADVICE) if not by_weight else ("energy", WEIGHT_SHARE_ADVICE)
    yield VetConcern(key, "Energy outside the published range", says, advice, line.sources, line.trust)


def _energy_unknown(fed: FedDog) -> Iterator[VetConcern]:
    """Too little known of the energy to say whether it is enough."""
    line = fed.found.energy
    if line is not None and line.standing is Standing.UNKNOWN:
        unknown = ", ".join(name for name, cut in fed.cuts.items() if fed.portions.get(name) and cut.kcal_per_g is None)
        known = share_text(line.coverage, 0) if line.coverage else "none"
        least = f": at least {half_up(line.day)} kcal a day" if line.day else ""
        whose = "this plan's food" if line.other else "its food"
        says = (
            f"{fed.dog.name}'s energy is known of {known} of {whose}, not of {unknown}{least}, beside "
            f"{half_up(line.low)} to {half_up(line.high)} kcal published for {line.applies}"
        )
        yield VetConcern("energy-unknown", "Energy not known", says, WEIGHING_ADVICE, line.sources, line.trust)


def _nutrient_excess(key: str) -> Callable[[FedDog], Iterator[VetConcern]]:
    """A check for more of a nutrient per 1000 kcal than the maximum of some profile for dogs of that age."""

    def check(fed: FedDog) -> Iterator[VetConcern]:
        """What to ask about the nutrient, if the dog gets too much of it."""
        line, maximums = fed.found.line(key), _profile_maximums(fed, key) if fed.energy_is_known else []
        per_mcal = line.per_mcal
        passed = [(name, bound) for name, bound in maximums if per_mcal is not None and per_mcal > bound.amount]
        if passed and per_mcal is not None:
            nutrient = nutrient_of(key)
            limits = ", ".join(f"{name} {bound.written}{_recalled_note(bound)}" for name, bound in passed)
            mostly = f", mostly from {_main_source(fed, key)}" if _main_source(fed, key) else ""
            says = (
                f"{fed.dog.name} gets {half_up(per_mcal)} {nutrient.unit} of {nutrient.name} per 1000 kcal{mostly}; "
                f"more than the maximum of {limits}"
            )
            advice = f"It usually comes from {USUAL_SOURCES[key]}. {ASK}"
            yield VetConcern(key, f"Much {nutrient.name}", says, advice, _sources(passed), _best_trust(passed))

    return check


def _copper_excess(fed: FedDog) -> Iterator[VetConcern]:
    """Copper well above the profile's minimum; no profile here has a maximum."""
    line = fed.found.line("copper")
    for standing in line.beside if fed.energy_is_known else ():
        if (
            not standing.bound.is_upper
            and standing.given > COPPER_TIMES_MINIMUM * standing.bound.amount
            and line.per_mcal is not None
        ):
            times = f"{_one_decimal(standing.of_bound)} times the recommended minimum of {fed.found.profile}"
            says = (
                f"{fed.dog.name} gets {_one_decimal(line.per_mcal)} mg of copper per 1000 kcal, {times}, mostly from "
                f"{_main_source(fed, 'copper')}"
            )
            advice = f"No profile here has a maximum for it; some dogs store it in the liver. {ASK}"
            yield VetConcern(
                "copper",
                "Much copper",
                says,
                advice,
                (standing.bound.source, f"the threshold: {NO_SOURCE}"),
                standing.bound.trust,
            )


def _bone_outside_range(fed: FedDog) -> Iterator[VetConcern]:
    """A bone share far outside the dog's range, or outside the usual one where the dog has none."""
    share = fed.share(lambda cut: fed.cuts[cut].part_share(Part.BONE))
    target = next((target for target in fed.dog.targets if target.part is Part.BONE), None)
    low, high = USUAL_BONE_RANGE
    if target is not None and target.high < 1:
        low, high = target.low - BONE_MARGIN, target.high + BONE_MARGIN
    if not low <= share <= high:
        way = "little bone, and with it little calcium" if share < low else "much bone, which can block a gut"
        usual = f"{share_text(max(low, Fraction(0)))} to {share_text(high)}"
        says = f"{share_text(share)} of what {fed.eats} is bone, outside {usual}: {way}"
        yield VetConcern("bone", "Bone", says, ASK, (NO_SOURCE,), Trust.DERIVED)


def _fat_jump(fed: FedDog) -> Iterator[VetConcern]:
    """Much more fat than the dog is used to."""
    used = fed.dog.used_to_fat
    share = fed.share(lambda cut: fed.cuts[cut].fat_share)
    if used is not None and share > used * FAT_JUMP:
        says = f"{share_text(share)} of what {fed.eats} is fat, and it is used to {share_text(used)}"
        advice = f"A jump of more than half can upset a stomach or worse: change over slowly. {ASK}"
        yield VetConcern("fat-jump", "More fat than it is used to", says, advice, (NO_SOURCE,), Trust.DERIVED)


def _caution_check(key: str, above: Fraction) -> Callable[[FedDog], Iterator[VetConcern]]:
    """A check for cuts with this caution of the reference table that are more than a share of the food."""

    def check(fed: FedDog) -> Iterator[VetConcern]:
        """What to ask about the cuts with that caution, if the dog gets enough of them."""
        cuts = fed.warned_of(key)
        share = fed.share(lambda cut: Fraction(cut in cuts))
        caution = next((caution for caution in fed.scenario.cautions if caution.key == key), None)
        if caution is not None and cuts and share > above:
            limit = f", above {share_text(above)}" if above else ""
            says = f"{share_text(share)} of what {fed.eats} is {', '.join(cuts)}{limit}"
            ask = "" if ASK.rstrip(".").casefold() in caution.says.casefold() else f" {ASK}"
            yield VetConcern(key, caution.heading, says, f"{caution.says}{ask}", (caution.source,), Trust.SEEN)

    return check


def _profile_maximums(fed: FedDog, key: str) -> list[tuple[str, Bound]]:
    """The maximum of a nutrient in each profile for dogs of that age, the lowest first."""
    word = "growth" if fed.dog.puppy else "adult"
    maximums = [
        (profile.name, bound)
        for profile in fed.scenario.profiles
        for bound in profile.bounds
        if word in profile.name
        and bound.is_upper
        and isinstance(bound.limit, NutrientLimit)
        and bound.limit.nutrient == key
    ]
    return sorted(maximums, key=lambda pair: (pair[1].amount, pair[0]))


def _main_source(fed: FedDog, key: str) -> str:
    """The cut, supplement or other food that most of a nutrient comes from; empty where there is none of it."""
    brought = {cut: grams * (fed.cuts[cut].analysis.of(key) or Fraction(0)) for cut, grams in fed.portions.items()}
    for dose in fed.doses:
        of_step = fed.scenario.supplement(dose.supplement).analysis.of(key) or Fraction(0)
        brought[dose.supplement] = 100 * of_step * dose.steps_a_day * fed.dog.days
    other = fed.dog.other_food
    brought["other food"] = other.daily_g * fed.dog.days * (other.analysis.of(key) or Fraction(0))
    most = max(brought, key=lambda cut: brought[cut], default="")
    return most if most and brought[most] else ""


def _sources(bounds: list[tuple[str, Bound]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(bound.source for _, bound in bounds))


def _best_trust(bounds: list[tuple[str, Bound]]) -> Trust:
    """How far the best of these bounds can be trusted."""
    return next((bound.trust for _, bound in bounds if bound.trust is not Trust.MEMORY), Trust.MEMORY)


def _recalled_note(bound: Bound) -> str:
    return f" ({bound.trust.says})" if bound.trust.says else ""


def _one_decimal(amount: Fraction) -> str:
    """An amount with one decimal."""
    tenths = half_up(amount * 10)
    return f"{tenths // 10}.{tenths % 10}"


CHECKS: tuple[Callable[[FedDog], Iterator[VetConcern]], ...] = (
    _energy_outside_range,
    _energy_unknown,
    _nutrient_excess("vitamin_a"),
    _nutrient_excess("vitamin_d"),
    _copper_excess,
    _nutrient_excess("iodine"),
    _bone_outside_range,
    _fat_jump,
    _caution_check("thiaminase-fish", Fraction(0)),
    _caution_check("raw-egg", Fraction(0)),
    _caution_check("brassica", MOST_BRASSICA),
)
"""Every check, in the order in which papers list them."""
