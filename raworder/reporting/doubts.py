"""Doubts about a plan: what is wrong or doubtful about the food, the worst first, each with what cures it."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil
from types import MappingProxyType

from raworder.reporting.food_doubts import Doubt, ends_text, food_doubts
from raworder.reporting.own_freezer import at_home, own_freezer_text, owner_names
from raworder.reporting.words import Meal, capitalised, dogs_text, join_names, meals, reaches_limit
from raworder.trade.batch_facts import Journey
from raworder.trade.cuts import FREEZE_FIRST, Measure, Part, Subject
from raworder.trade.dogs import Dog, Goal
from raworder.trade.findings import Finding, Severity
from raworder.trade.nutrients import DogNutrition, EnergyLine, VetConcern, worst_first
from raworder.trade.plan import Cures, DearerOrder, Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import FedScenario
from raworder.trade.units import metabolic_kg, share_text

ENOUGH = Fraction(90, 100)
"""From this share of the least published on, energy is no doubt. Source: own choice."""

ONE_SIDED = Fraction(40, 100)
"""One cut that is more of a dog's food makes it one-sided. Source: own choice."""

MOST_DOGS_ALONE = 3
"""More dogs than this that are underfed are told together."""

MOST_THINGS = 3
"""So many things that are wrong or doubtful stand on the first screen, and are priced; the others are counted."""

LIVER = Subject(Measure.PART, Part.LIVER.value)

DANGERS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "thiamin-destroyed": ("thiaminase-fish", "which destroys thiamine"),
        "raw-egg": ("raw-egg", "whose white binds biotin"),
    }
)
"""The concerns about cuts that hurt when they are much of the food: their caution, and how they do."""

ENERGY = "energy-low"
"""The key of the doubt about dogs that get too little energy."""

WAITING = "waiting"
"""The key of the doubt about meat that must be frozen for longer than it can be."""

OWN_FREEZER = "own-freezer"
"""The key of the doubt about owners whose bags do not fit into their own freezers."""

TOLD_ELSEWHERE = frozenset({ENERGY, "energy-unknown", *DANGERS})
"""The concerns that are told by looks of their own, with what their cure costs."""


def doubts(scenario: FedScenario, plan: Plan) -> tuple[Doubt, ...]:
    """Every doubt about a plan, those about the same thing together, the worst thing first."""
    found = [doubt for look in LOOKS for doubt in look(scenario, plan)]
    worst: dict[str, int] = {}
    for doubt in found:
        worst[doubt.key] = max(doubt.points, worst.get(doubt.key, doubt.points))
    places = {key: place for place, key in enumerate(worst)}

    def how_bad(doubt: Doubt) -> tuple[int | bool, ...]:
        """Things by the worst doubt about each, then the doubts about it."""
        return *worst_first(worst[doubt.key], slow=doubt.slow), places[doubt.key], -doubt.points

    return tuple(sorted(found, key=how_bad))


def doubts_of_dogs(scenario: FedScenario, plan: Plan, foods: Sequence[DogNutrition]) -> tuple[Doubt, ...]:
    """What is wrong or doubtful about what some dogs are fed, the worst first, without what a cure costs."""
    alone = replace(plan, nourished=tuple(foods), cures=Cures())
    found = (*_energy(scenario, alone), *food_doubts(scenario, alone, {ENERGY, "energy-unknown"}))
    return tuple(sorted(found, key=lambda doubt: worst_first(doubt.points, slow=doubt.slow)))


def worst_doubts(all_doubts: Sequence[Doubt]) -> tuple[Doubt, ...]:
    """The doubts about the few worst things."""
    keys = list(dict.fromkeys(doubt.key for doubt in all_doubts))[:MOST_THINGS]
    return tuple(doubt for doubt in all_doubts if doubt.key in keys)


@dataclass(frozen=True, slots=True)
class _Fed:
    """A healthy dog with what its food gives and what is published for it."""

    dog: Dog
    line: EnergyLine
    concerns: tuple[VetConcern, ...] = ()

    @property
    def share(self) -> Fraction:
        """The share of the least published that it gets, counting food of unknown energy at its most."""
        return (self.line.day if self.line.is_known else self.line.most_day) / self.line.low

    @property
    def percent(self) -> str:
        """The same in whole percent; what is below `ENOUGH` is not rounded up to it."""
        most = ceil(ENOUGH * 100) - 1 if self.share < ENOUGH else None
        percent = half_up(self.share * 100)
        return f"{percent if most is None else min(percent, most)} %"

    @property
    def points(self) -> int:
        """How bad it is that it gets too little."""
        return next((concern.points for concern in self.concerns if concern.key == "energy-low"), 0)

    @property
    def is_short_to_grow(self) -> bool:
        """Whether it grows and gets too little for it."""
        return self.dog.puppy and self.share < ENOUGH

    @property
    def ration(self) -> Fraction:
        """The ration in kcal a day that is just enough, beside what else it eats."""
        return self.dog.other_food.due_from_plan(self.line.low)


def _energy(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Dogs that get too little energy, with what enough for all of them costs; dogs of which it is not known."""
    fed = _fed_dogs(scenario, plan)
    underfed = sorted((food for food in fed if food.share < ENOUGH), key=lambda food: food.share)
    rations = {food.dog.name: half_up(food.ration) for food in underfed} | dict(plan.cures.rations)
    if len(underfed) <= MOST_DOGS_ALONE:
        yield from (_underfed(food, rations[food.dog.name]) for food in underfed)
    else:
        yield from (_underfed(food, rations[food.dog.name]) for food in underfed if food.is_short_to_grow)
        yield _many_underfed(underfed, len(fed))
    enough = plan.cures.enough
    if underfed and enough:
        cost = f"{scenario.currency.text(enough.total)}, {_more_text(scenario, enough)}"
        why = f", {enough.why}" if enough.why else ""
        says = f"Fed enough, the cheapest order costs {cost}{why}."
        yield Doubt(ENERGY, 0, (), says, more=enough.more)
    unknown = [food for food in fed if food not in underfed and _is_unknown(food.line)]
    if unknown:
        yield _unknown_energy(unknown)


def _fed_dogs(scenario: FedScenario, plan: Plan) -> tuple[_Fed, ...]:
    """The healthy dogs of which it is known what they need."""
    dogs = {dog.name: dog for dog in scenario.dogs}
    foods = (food for food in plan.nourished if food.energy and food.energy.low)
    return tuple(_Fed(dogs[food.dog], food.energy, food.minded) for food in foods if food.energy)


def _is_unknown(line: EnergyLine) -> bool:
    """Whether what is known of the food does not show that it is enough."""
    return not line.is_known and line.of_need < ENOUGH


def _underfed(food: _Fed, ration_kcal: int) -> Doubt:
    """One dog that gets too little energy."""
    line = food.line
    kcal = half_up(line.day) if line.is_known else f"at most {half_up(line.most_day)}"
    growing = ", a growing dog," if food.dog.puppy else ""
    says = f"{food.dog.name}{growing} is underfed: {kcal} kcal a day, {food.percent} of {_of_what(food.dog)}."
    treats = ", and its treats in kcal" if _has_treats_by_weight(food.dog) else ""
    cure = f"Write `ration: {ration_kcal} kcal`{treats}."
    return Doubt(ENERGY, food.points, (food.dog.name,), says, cure, sources=line.sources)


def _of_what(dog: Dog) -> str:
    """What a dog's energy is held against."""
    return "what it needs to lose weight safely" if dog.goal is Goal.LOSE else "the least published"


def _has_treats_by_weight(dog: Dog) -> bool:
    """Whether treats by weight were taken off its ration: beside a ration in kcal the reader refuses them."""
    return dog.energy is None and dog.treats_g > 0


def _many_underfed(underfed: Sequence[_Fed], of: int) -> Doubt:
    """Many dogs that get too little energy, in one line."""
    least, most = (end(underfed, key=lambda food: food.share) for end in (min, max))
    ends = least.percent if least.percent == most.percent else f"{least.percent.removesuffix(' %')} to {most.percent}"
    which = f"All {of} dogs" if len(underfed) == of else f"{len(underfed)} of {of} dogs"
    says = f"{which} are underfed: {ends} of the least published."
    names = tuple(food.dog.name for food in underfed)
    grown = [food for food in underfed if not food.is_short_to_grow]  # the others are told one by one
    points = max(food.points for food in grown or underfed)
    return Doubt(ENERGY, points, names, says, _cure_of_many(underfed), sources=_sources(underfed))


def _cure_of_many(underfed: Sequence[_Fed]) -> str:
    """What to write where many dogs get too little: one figure for all, if it does for most of them."""
    per_kg = (food.ration / metabolic_kg(Fraction(food.dog.need_weight_g)) for food in underfed)
    (kcal, dogs), *_ = Counter(map(ceil, per_kg)).most_common(1)
    if 2 * dogs <= len(underfed):
        return "Write each `ration` in kcal; `raworder nourish FILE` says what each dog needs."
    others = len(underfed) - dogs
    rest = f"; `raworder nourish FILE` says what the other {others} must get" if others else ""
    return f"Write `ration: {kcal} kcal/kg^0.75` under `all_dogs`{rest}."


def _unknown_energy(unknown: Sequence[_Fed]) -> Doubt:
    """Dogs of whose food too little is known to say whether it is enough."""
    names = tuple(food.dog.name for food in unknown)
    first = unknown[0].line
    known = f"of {share_text(first.coverage, 0)}" if len(unknown) == 1 else "of too little"
    says = f"Whether {dogs_text(names)} get{'s' if len(unknown) == 1 else ''} enough is not known: the energy is known "
    says += f"{known} of the food."
    return Doubt("energy-unknown", 1, names, says, "Weigh every week.", sources=_sources(unknown))


def _sources(fed: Sequence[_Fed]) -> tuple[str, ...]:
    """The sources of what is published for these dogs, each once."""
    return tuple(dict.fromkeys(source for food in fed for source in food.line.sources))


def _waiting_meat(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Cuts that must be frozen for longer before they are fed than they can be in this batch."""
    bags = plan.facts.cold.journeys if plan.worked_out else ()  # an order without bags has none that could wait
    waiting: dict[int, list[tuple[str, Journey]]] = {}
    for journey in bags:
        for cut, days in _waits(journey):
            waiting.setdefault(days, []).append((cut, journey))
    every = tuple(dict.fromkeys(cut for found in waiting.values() for cut, _ in found))
    in_care = {dog.name for dog in scenario.dogs if dog.care is not None}  # what a veterinarian gave must stay
    is_spared = not any(journey.bag.dog in in_care for found in waiting.values() for _, journey in found)
    for days, found in sorted(waiting.items(), reverse=True):
        cuts = tuple(dict.fromkeys(cut for cut, _ in found))
        dogs = tuple(dict.fromkeys(journey.bag.dog for _, journey in found))
        has, it = ("has", "it") if len(cuts) == 1 else ("have", "them")
        where = f"{len({journey.number for _, journey in found})} of {len(bags)} bags"
        says = f"{capitalised(join_names(cuts))} {has} to be frozen for {days} days before feeding ({where})."
        is_priced = is_spared and days == min(waiting)
        price, more = _without(scenario, plan, WAITING, every) if is_priced else ("", None)
        cure = f"Buy {it} frozen (`comes_frozen: {days} days`). {price}".strip()
        yield Doubt(WAITING, 1, dogs, says, cure, cuts if is_spared else (), more)


def _waits(journey: Journey) -> Iterator[tuple[str, int]]:
    """The cuts in a bag that are not frozen for long enough, each with the days that it must be."""
    for cut, key in journey.freeze_first:
        if FREEZE_FIRST[key].days > journey.frozen_days:
            yield cut, FREEZE_FIRST[key].days


def _dangers(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Cuts that hurt when they are much of the food, where they are."""
    healthy = {meal.dog.name: meal for meal in _healthy_meals(scenario, plan)}
    for key, (caution, how) in DANGERS.items():
        found = {food.dog: concern for food in plan.nourished for concern in food.minded if concern.key == key}
        cuts_of = {dog: _cuts_with(caution, healthy[dog]) for dog in found}
        if found:
            cuts = tuple(dict.fromkeys(cut for cuts in cuts_of.values() for cut in cuts))
            shares = [_share_of(healthy[dog], cuts_of[dog]) for dog in found]
            says = f"{_share_text(shares, tuple(found))} {join_names(cuts)}, {how}."
            price, more = _without(scenario, plan, key, cuts)
            points = max(concern.points for concern in found.values())
            cure, sources = price or "Cap it under `caps`, or leave it out.", next(iter(found.values())).sources
            yield Doubt(key, points, tuple(found), says, cure, cuts, more, sources=sources)


def _healthy_meals(scenario: FedScenario, plan: Plan) -> tuple[Meal, ...]:
    """What dogs eat that are in nobody's care; for the others nothing is judged."""
    return tuple(meal for meal in meals(scenario, plan) if meal.dog.care is None and meal.total_g)


def _cuts_with(caution: str, meal: Meal) -> tuple[str, ...]:
    """The cuts of a meal that have a caution."""
    return tuple(cut.name for cut, _ in meal.cuts if caution in cut.cautions)


def _share_of(meal: Meal, cuts: Sequence[str]) -> Fraction:
    """The share of these cuts in a meal."""
    return meal.share(tuple(Fraction(cut.name in cuts) for cut, _ in meal.cuts))


def _share_text(shares: Sequence[Fraction], dogs: Sequence[str]) -> str:
    """How much of their food is something: `12 % of what Juniper eats is`, `5 to 12 % of what 6 dogs eat is`."""
    return f"{ends_text(shares)} of what {dogs_text(dogs)} {'eats' if len(dogs) == 1 else 'eat'} is"


def _without(scenario: FedScenario, plan: Plan, key: str, cuts: Sequence[str]) -> tuple[str, Decimal | None]:
    """What it costs to do without what a doubt is about, in words and money; nothing where that is not known."""
    if key not in plan.cures.without:
        return "", None
    order, it = plan.cures.without[key], ("it", "both")[len(cuts) - 1] if len(cuts) < 3 else "all of these"
    if order is None:
        return f"No order follows your rules without {it}.", None
    return f"Without {it} the order costs {_more_text(scenario, order)}.", order.more


def _more_text(scenario: FedScenario, order: DearerOrder) -> str:
    """How much more an order costs: `0.84 EUR more`, `at most 0.84 EUR more`; less where other rations allow it."""
    if order.more < 0:
        return f"{scenario.currency.text(-order.more)} less"
    return f"{'' if order.proved else 'at most '}{scenario.currency.text(order.more)} more"


def _food(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """What the food may do, but for what is told with its cost elsewhere."""
    return food_doubts(scenario, plan, TOLD_ELSEWHERE)


def _one_sided(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Cuts that are too much of a healthy dog's food by themselves; a mixed product is none."""
    eaters: dict[str, list[tuple[str, Fraction]]] = {}
    for meal in _healthy_meals(scenario, plan):
        for cut, grams in meal.cuts:
            if Fraction(grams, meal.total_g) > ONE_SIDED and not cut.ingredients:
                eaters.setdefault(cut.name, []).append((meal.dog.name, Fraction(grams, meal.total_g)))
    for cut_name, found in sorted(eaters.items(), key=lambda item: -max(share for _, share in item[1])):
        dogs, shares = tuple(dog for dog, _ in found), [share for _, share in found]
        says = f"{_share_text(shares, dogs)} {cut_name}."
        yield Doubt("one-sided", 0, dogs, says, "Cap it under `caps`, or offer other cuts.")


def liver_near_limit(meal: Meal) -> bool:
    """Whether a dog's liver is at the most of its range or its cap, as they are printed."""
    limits = [target.high for target in meal.dog.targets if target.part is Part.LIVER]
    limits += [cap.most for cap in meal.dog.caps if cap.subject == LIVER]
    given = meal.share_of(LIVER)  # the lowest limit counts, whether a range or a cap sets it
    return bool(limits) and given > 0 and reaches_limit(given, min(limits))


def _near_limit(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Dogs that get as much liver as they may."""
    near = [meal for meal in _healthy_meals(scenario, plan) if liver_near_limit(meal)]
    if near:
        dogs = tuple(meal.dog.name for meal in near)
        share = _share_text([meal.share_of(LIVER) for meal in near], dogs)
        says = f"{share} liver, the most that {'it' if len(near) == 1 else 'they'} may have."
        cure = "Give no cod liver oil as well."
        yield Doubt("liver-near-limit", -1, dogs, says, cure)


def _own_freezers(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Owners whose own freezers are too small for their bags."""
    for name in owner_names(scenario) if plan.worked_out else ():
        home = at_home(scenario, plan, name)
        if (text := own_freezer_text(scenario, home)) is not None:
            dogs = tuple(dict.fromkeys(journey.bag.dog for journey in home.journeys))
            yield Doubt(OWN_FREEZER, 1, dogs, *text)


LOOKS: tuple[Callable[[FedScenario, Plan], Iterator[Doubt]], ...] = (
    _energy,
    _food,
    _waiting_meat,
    _dangers,
    _one_sided,
    _near_limit,
    _own_freezers,
)
"""What looks for doubts."""


def growth_warnings(scenario: FedScenario, plan: Plan) -> tuple[Finding, ...]:
    """A warning for each growing dog that gets far too little to grow, at its place in the file."""
    found = []
    for food in _fed_dogs(scenario, plan):
        if food.is_short_to_grow and food.dog.place:
            says = _underfed(food, half_up(food.ration))
            help_ = says.cure.removesuffix(".").replace("Write", "write", 1)
            finding = Finding(
                Severity.WARNING, "growing-dog-underfed", says.says.removesuffix("."), food.dog.place, help_
            )
            found.append(finding)
    return tuple(found)
