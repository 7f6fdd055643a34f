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
    """What to mind, each once, with the cuts or dogs it concerns."""
    return paper(scenario, "cautions", "Cautions", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """The notice, then this order, then always."""
    yield Paragraph(NOTICE)
    concerned = tuple((caution, concerns(caution, scenario, plan)) for caution in scenario.cautions)
    touched = tuple((caution, names) for caution, names in concerned if names)
    if touched:
        items = tuple(f"{caution.heading} ({join_names(names)}). {caution.says}" for caution, names in touched)
        yield Points("this_order", "What this order touches", items, _sources(caution for caution, _ in touched))
    yield from _of_the_food(plan)
    standing = tuple(caution for caution in scenario.cautions if caution.applies == "standing")
    if standing:
        items = tuple(f"{caution.heading}. {caution.says}" for caution in standing)
        yield Points("always", "Always", items, _sources(standing))


def _of_the_food(plan: Plan) -> Iterator[Block]:
    """What is to ask about the food itself, each once with the dogs and their numbers."""
    found: dict[str, list[VetConcern]] = {}
    for concern in (one for each in plan.nourished for one in each.minded):
        found.setdefault(concern.key, []).append(concern)
    if found:
        items = tuple(f"{ones[0].heading}. {_numbers(ones)}. {ones[0].advice}" for ones in found.values())
        sources = dict.fromkeys(source for ones in found.values() for concern in ones for source in concern.sources)
        yield Points("nourishment", "What the food holds", items, tuple(sources))


def _numbers(ones: list[VetConcern]) -> str:
    """The clauses about the first few dogs, and how many more there are."""
    told = "; ".join(concern.says for concern in ones[:MOST_NAMED])
    more = len(ones) - MOST_NAMED
    return f"{told}; {count_text(more, 'more dog')}, whose ration sheets tell it" if more > 0 else told


def concerns(caution: Caution, scenario: Scenario, plan: Plan) -> tuple[str, ...]:
    """The cuts or dogs that a caution is about here; none for a standing one."""
    match caution.applies:
        case "cut":
            return tuple(cut.name for cut in fed_cuts(scenario, plan) if caution.key in _keys(cut))
        case "rule" if caution.key in DOG_CAUTIONS:
            decided = DOG_CAUTIONS[caution.key]
            return tuple(meal.dog.name for meal in meals(scenario.as_asked, plan) if decided(meal))
        case _:
            return ()


def _keys(cut: Cut) -> set[str]:
    """The cautions of a cut and of all that is mixed into it; bone is minded in whatever holds it."""
    bony = {"edible-bone"} if cut.part_share(Part.BONE) else set()
    return bony.union(cut.cautions, *(_keys(cut) for cut in cut.ingredients))


def _liver_near_limit(meal: Meal) -> bool:
    """Whether a dog's liver is at the most of its range or its cap, as they are printed."""
    limits = [target.high for target in meal.dog.targets if target.part is Part.LIVER]
    limits += [cap.most for cap in meal.dog.caps if cap.subject == LIVER]
    given = meal.share_of(LIVER)
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
        "liver-near-limit": _liver_near_limit,
        "puppy": lambda meal: meal.dog.puppy,
        "vet-care": lambda meal: meal.dog.care is not None,
        "unusual-ration": _unusual_ration,
    }
)
"""The cautions that a dog and its meal decide, by key."""


def _sources(cautions: Iterable[Caution]) -> tuple[str, ...]:
    """The sources, each once."""
    return tuple(dict.fromkeys(caution.source for caution in cautions if caution.source))
