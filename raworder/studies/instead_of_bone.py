"""For dogs that must not have whole bone: minced bone, or calcium beside the ration, tried by a whole plan."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from math import ceil

from raworder.giving_way.demand import Demand, End, Loosening
from raworder.giving_way.family import apply_changes, demands_of
from raworder.giving_way.money_and_stock import PackCount, SupplierCount
from raworder.giving_way.nutrient_ends import NutrientEnd
from raworder.giving_way.smallest_change import Opening, Trial, find_opening, reduce_to_least, settings_from_now
from raworder.giving_way.yaml_text import Limit
from raworder.reporting.nutrition_words import doses_text
from raworder.solving.solver import Settings, TimeIsUpError
from raworder.trade.cuts import GROUND, Cut, Measure, Part
from raworder.trade.dogs import Dog, Target
from raworder.trade.nutrients import Bound, NutrientLimit, Per, RatioLimit
from raworder.trade.plan import Plan, Unsolved
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch


def without_whole_bone(scenario: Scenario, demands: Iterable[Demand]) -> tuple[str, ...]:
    """The dogs that must not have whole bone but for which one of the demands asks for bone."""
    names = {name for demand in demands if is_for_bone(demand) for name in demand.dogs}
    return tuple(dog.name for dog in scenario.dogs if dog.name in names and avoids_whole_bone(dog))


def is_for_bone(demand: Demand) -> bool:
    """Whether the demand asks for a minimum of bone."""
    about = demand.about
    return isinstance(about, Target) and about.part is Part.BONE and demand.end is End.LOW


def avoids_whole_bone(dog: Dog) -> bool:
    """Whether the dog must not have whole bone."""
    return any(subject.measure is Measure.WHOLE_BONE for subject in dog.avoid)


def minced_bone(scenario: Scenario, dog: Dog) -> tuple[Cut, ...]:
    """The cuts with minced bone in them that the dog may eat."""
    minced = (cut for cut in scenario.cuts if cut.kind == GROUND and cut.part_share(Part.BONE))
    return tuple(cut for cut in minced if not dog.avoids(cut))


def has_calcium(scenario: Scenario, dog: Dog) -> bool:
    """Whether a calcium supplement that the dog may have is on a list or on hand."""
    sold = {offer.supplement for offer in scenario.supplement_offers if offer.available != 0}
    return any(
        (supplement.analysis.of("calcium") or 0) > 0
        and (supplement.name in sold or supplement.on_hand_steps)
        and not dog.refuses(supplement)
        for supplement in scenario.supplements
    )


def try_minced_bone(scenario: Scenario, names: tuple[str, ...], settings: Settings) -> Trial:
    """What it takes to feed these dogs minced bone from the lists: more of it, and more suppliers."""
    changes = tuple(_more_minced_bone(scenario, names))
    demands = tuple(loosening.demand for loosening in changes)
    if len(changes) <= 1:
        return Trial(demands, helps=False)  # nothing to change, or a change that is tried alone anyway
    left = settings_from_now(settings)
    try:
        trial = reduce_to_least(scenario, demands, find_opening(scenario, [changes], left), left)
    except TimeIsUpError:
        return Trial(demands, None)
    is_single = trial.opened is not None and len(trial.opened.changes) == 1
    return replace(trial, opened=None) if is_single else trial


def _more_minced_bone(scenario: Scenario, names: tuple[str, ...]) -> Iterator[Loosening]:
    """As many suppliers as there are, and as much minced bone as these dogs could eat of each offer."""
    dogs = [dog for dog in scenario.dogs if dog.name in names]
    minced = {cut.name for dog in dogs for cut in minced_bone(scenario, dog)}
    need_g = sum(dog.batch_g for dog in dogs)
    for demand in demands_of(scenario) if minced else ():
        if isinstance(demand, SupplierCount) and demand.level != len(scenario.suppliers):
            yield Loosening(demand, len(scenario.suppliers))
        elif isinstance(demand, PackCount) and (offer := scenario.offer(demand.about)).cut in minced:
            yield Loosening(demand, max(ceil(Fraction(need_g) / offer.unit_g), demand.level + 1))


def try_calcium(scenario: Scenario, opened: Opening, names: tuple[str, ...], settings: Settings) -> Trial:
    """The changes that open a plan with less bone, along with calcium as each dog's profile asks.

    Puppies are left out: how much calcium they need is for a veterinarian to say.
    """
    dogs = [dog for dog in scenario.dogs if dog.name in names and not dog.puppy and has_calcium(scenario, dog)]
    changes = (*opened.changes, *_calcium_changes(scenario, dogs))
    demands = tuple(loosening.demand for loosening in changes)
    if len(changes) == len(opened.changes):
        return Trial(demands, helps=False)
    answer = plan_batch(apply_changes(scenario, changes), settings)
    if not isinstance(answer, Plan):
        return Trial(demands, None if isinstance(answer, Unsolved) else False)
    given = (f"{dog.name} is given {name}" for dog in dogs for name in doses_text(scenario, answer, dog.name))
    sentences = (*given, *dict.fromkeys(_profile_text(scenario, dog) for dog in dogs))
    return Trial(demands, True, Opening(changes, answer.total, answer.proof.proved, sentences))


def _profile_text(scenario: Scenario, dog: Dog) -> str:
    """Which profile asks for that much calcium, and whether any of its figures are from memory."""
    trust = {bound.trust.says for bound in _bounds(scenario, dog) if _calcium_limit(bound.limit)}
    recalled = f" (some figures {', '.join(sorted(filter(None, trust)))})" if any(trust) else ""
    return f"So much calcium is what {dog.profile} asks of food{recalled}"


def _bounds(scenario: Scenario, dog: Dog) -> tuple[Bound, ...]:
    """The bounds of the profile that the dog's food is compared with."""
    return next((profile.bounds for profile in scenario.profiles if profile.name == dog.profile), ())


def _calcium_changes(scenario: Scenario, dogs: Iterable[Dog]) -> Iterator[Loosening]:
    """The bounds on calcium, and calcium to phosphorus, in each dog's profile, unless the dog has a rule of its own."""
    dogs_of: dict[tuple[Limit, End, Fraction], list[str]] = {}
    for dog in dogs:
        own = {*(limit.nutrient for limit in dog.nutrient_limits), *(limit.key for limit in dog.ratio_limits)}
        for bound in _bounds(scenario, dog):
            limit = _calcium_limit(bound.limit)
            if limit is not None and not own & {limit.key, "calcium"}:
                end = End.HIGH if bound.is_upper else End.LOW
                dogs_of.setdefault((limit, end, bound.amount), []).append(dog.name)
    for (limit, end, amount), names in dogs_of.items():
        yield Loosening(NutrientEnd(None, limit, end, tuple(names)), amount)


def _calcium_limit(limit: Limit) -> Limit | None:
    """The limit without its ends where it is about calcium; None where it is about something else."""
    if isinstance(limit, RatioLimit):
        return RatioLimit("calcium", "phosphorus") if (limit.over, limit.under) == ("calcium", "phosphorus") else None
    return NutrientLimit("calcium", Per.MCAL) if (limit.nutrient, limit.per) == ("calcium", Per.MCAL) else None
