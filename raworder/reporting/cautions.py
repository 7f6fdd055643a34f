"""The cautions: a short standing notice, and what this order touches."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from types import MappingProxyType

from raworder.reporting.words import MOST_NAMED, Meal, count_text, join_names, meals, paper, reaches_limit
from raworder.trade.as_fed import fed_cuts
from raworder.trade.cuts import Cut, Measure, Part, Subject
from raworder.trade.document import Block, Document, Paragraph, Points
from raworder.trade.dogs import USUAL_RATION
from raworder.trade.nutrients import VetConcern
from raworder.trade.plan import Plan
from raworder.trade.scenario import Caution, FedScenario, Scenario

LIVER = Subject(Measure.PART, Part.LIVER.value)

NOTICE = (
    "Raw meat and home-made rations can hurt dogs and people. This plan does sums; it knows neither your dog nor your "
    "kitchen. Show it to a veterinarian before you feed it, and keep to local rules on raw food."
)


def cautions(scenario: FedScenario, plan: Plan) -> Document:
    """The cautions of this order, each once, with the cuts or dogs it concerns."""
    return paper(scenario, "cautions", "Cautions", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """The notice, then the cautions that this order touches, then those that always hold."""
    yield Paragraph(NOTICE)
    concerned = tuple((caution, concerns(caution, scenario, plan)) for caution in scenario.cautions)
    touched = tuple((caution, names) for caution, names in concerned if names)
    if touched:
        items = tuple(f"{caution.heading} ({join_names(names)}). {caution.says}" for caution, names in touched)
        yield Points("this_order", "What this order touches", items, _list_sources(caution for caution, _ in touched))
    yield from _food_concerns(plan)
    standing = tuple(caution for caution in scenario.cautions if caution.applies == "standing")
    if standing:
        items = tuple(f"{caution.heading}. {caution.says}" for caution in standing)
        yield Points("always", "Always", items, _list_sources(standing))


def _food_concerns(plan: Plan) -> Iterator[Block]:
    """What to ask a veterinarian about the food, each question once with its dogs and their numbers."""
    by_key: dict[str, list[VetConcern]] = {}
    for concern in (concern for food in plan.nourished for concern in food.minded):
        by_key.setdefault(concern.key, []).append(concern)
    if by_key:
        items = tuple(f"{same[0].heading}. {_dogs_concerned(same)}. {same[0].advice}" for same in by_key.values())
        sources = dict.fromkeys(source for same in by_key.values() for concern in same for source in concern.sources)
        yield Points("nourishment", "What the food holds", items, tuple(sources))


def _dogs_concerned(same: list[VetConcern]) -> str:
    """What each of the first few dogs gets, and how many more dogs there are."""
    clauses = "; ".join(concern.says for concern in same[:MOST_NAMED])
    more = len(same) - MOST_NAMED
    return f"{clauses}; {count_text(more, 'more dog')}, whose ration sheets tell it" if more > 0 else clauses


def concerns(caution: Caution, scenario: Scenario, plan: Plan) -> tuple[str, ...]:
    """The cuts or dogs that a caution is about here; none for a standing one."""
    match caution.applies:
        case "cut":
            return tuple(cut.name for cut in fed_cuts(scenario, plan) if caution.key in _caution_keys(cut))
        case "rule" if caution.key in DOG_CAUTIONS:
            applies_to = DOG_CAUTIONS[caution.key]
            return tuple(meal.dog.name for meal in meals(scenario.as_asked, plan) if applies_to(meal))
        case _:
            return ()


def _caution_keys(cut: Cut) -> set[str]:
    """The keys of the cautions of a cut and of all mixed into it; whatever holds bone has the one on bone."""
    bone_caution = {"edible-bone"} if cut.part_share(Part.BONE) else set()
    return bone_caution.union(cut.cautions, *(_caution_keys(cut) for cut in cut.ingredients))


def liver_near_limit(meal: Meal) -> bool:
    """Whether a dog's liver is at the most of its range or its cap, as they are printed."""
    limits = [target.high for target in meal.dog.targets if target.part is Part.LIVER]
    limits += [cap.most for cap in meal.dog.caps if cap.subject == LIVER]
    given = meal.share_of(LIVER)  # the lowest limit counts, whether a range or a cap sets it
    return bool(limits) and given > 0 and reaches_limit(given, min(limits))


def _unusual_ration(meal: Meal) -> bool:
    """Whether a healthy dog's day is outside the usual share of its weight."""
    dog = meal.dog
    if dog.care is not None or not dog.weight_g:
        return False
    least, most = USUAL_RATION
    return not least <= dog.daily_g / dog.weight_g <= most


DOG_CAUTIONS: Mapping[str, Callable[[Meal], bool]] = MappingProxyType(
    {
        "liver-near-limit": liver_near_limit,
        "puppy": lambda meal: meal.dog.puppy,
        "vet-care": lambda meal: meal.dog.care is not None,
        "unusual-ration": _unusual_ration,
    }
)
"""Whether a caution concerns a dog, judged by its meal; by the key of the caution."""


def _list_sources(cautions: Iterable[Caution]) -> tuple[str, ...]:
    """The sources of some cautions, each once."""
    return tuple(dict.fromkeys(caution.source for caution in cautions if caution.source))
