"""Doubts about a plan: what is wrong or doubtful about the food, the worst first, each with what cures it."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import IntEnum
from fractions import Fraction
from math import ceil
from types import MappingProxyType

from raworder.reporting.cautions import LIVER, liver_near_limit
from raworder.reporting.words import Meal, capitalised, count_text, dogs_text, join_names, meals
from raworder.trade.batch_facts import Journey
from raworder.trade.cuts import FREEZE_FIRST
from raworder.trade.dogs import Dog, Goal
from raworder.trade.findings import Finding, Severity
from raworder.trade.nutrients import ComparedBound, DogNutrition, EnergyLine, NutrientLimit, Standing, VetConcern
from raworder.trade.plan import DearerOrder, Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import FedScenario
from raworder.trade.units import metabolic_kg, share_text

ENOUGH = Fraction(90, 100)
"""From this share of the least published on, energy is no doubt. Source: own choice."""

TOO_LITTLE_TO_GROW = Fraction(80, 100)
"""Below this share a growing dog is warned of. Source: own choice."""

FAR_OFF = Fraction(80, 100)
"""A grown dog's calcium is a doubt below this share of a recommended minimum. Source: own choice."""

ONE_SIDED = Fraction(40, 100)
"""One cut that is more of a dog's food makes it one-sided. Source: own choice."""

MUCH_OF_A_DANGER = Fraction(5, 100)
"""A cut that a caution calls a danger in quantity is a doubt from this share on. Source: own choice."""

MOST_DOGS_ALONE = 3
"""More dogs than this that are underfed are told together."""

MOST_THINGS = 3
"""So many things that are wrong or doubtful stand on the first screen, and are priced; the others are counted."""

DANGERS: Mapping[str, str] = MappingProxyType(
    {"thiaminase-fish": "which destroys thiamine", "raw-egg": "whose white binds biotin"}
)
"""The cautions about cuts that hurt when they are much of the food, and how they do."""

TOO_MUCH = ("vitamin_a", "vitamin_d", "iodine", "copper", "bone", "fat-jump")
"""The concerns about too much of something, or of bone too little, that no single cut is to blame for."""


WAITING = "waiting"
"""The key of the doubt about meat that must be frozen for longer than it can be."""


class Weight(IntEnum):
    """How bad a doubt is: the lowest comes first."""

    GROWING_DOG = 1
    UNDERFED = 2
    WAITING_MEAT = 3
    DANGER = 4
    CALCIUM = 5
    NOT_KNOWN = 6
    ONE_SIDED = 7
    NEAR_LIMIT = 8


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something wrong or doubtful about a plan: what it is about (`key`), how bad, for whom, a sentence and its cure.

    Where doing without `cuts` would cure it, what that costs can be asked; see `Cures.without`. `more` is what an order
    that cures it costs more, where one is known.
    """

    key: str
    weight: Weight
    dogs: tuple[str, ...]
    says: str
    cure: str = ""
    cuts: tuple[str, ...] = ()
    more: Decimal | None = None

    @property
    def sentences(self) -> str:
        """All that is said of it."""
        return f"{self.says} {self.cure}".strip()


def doubts(scenario: FedScenario, plan: Plan) -> tuple[Doubt, ...]:
    """Every doubt about a plan, those about the same thing together, the worst thing first."""
    found = [doubt for look in LOOKS for doubt in look(scenario, plan)]
    worst: dict[str, Weight] = {}
    for doubt in found:
        worst[doubt.key] = min(doubt.weight, worst.get(doubt.key, doubt.weight))
    return tuple(sorted(found, key=lambda doubt: (worst[doubt.key], list(worst).index(doubt.key), doubt.weight)))


def worst_doubts(all_doubts: Sequence[Doubt]) -> tuple[Doubt, ...]:
    """The doubts about the few worst things."""
    keys = list(dict.fromkeys(doubt.key for doubt in all_doubts))[:MOST_THINGS]
    return tuple(doubt for doubt in all_doubts if doubt.key in keys)


@dataclass(frozen=True, slots=True)
class _Fed:
    """A healthy dog with what its food gives and what is published for it."""

    dog: Dog
    line: EnergyLine

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
    def is_short_to_grow(self) -> bool:
        """Whether it grows and gets far too little for it."""
        return self.dog.puppy and self.share < TOO_LITTLE_TO_GROW

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
        yield Doubt("energy", Weight.UNDERFED, (), says, more=enough.more)
    unknown = [food for food in fed if food not in underfed and _is_unknown(food.line)]
    if unknown:
        yield _unknown_energy(unknown)


def _fed_dogs(scenario: FedScenario, plan: Plan) -> tuple[_Fed, ...]:
    """The healthy dogs of which it is known what they need."""
    dogs = {dog.name: dog for dog in scenario.dogs}
    return tuple(_Fed(dogs[food.dog], food.energy) for food in plan.nourished if food.energy and food.energy.low)


def _is_unknown(line: EnergyLine) -> bool:
    """Whether what is known of the food does not show that it is enough."""
    return not line.is_known and line.of_need < ENOUGH


def _underfed(food: _Fed, ration_kcal: int) -> Doubt:
    """One dog that gets too little energy."""
    line = food.line
    kcal = half_up(line.day) if line.is_known else f"at most {half_up(line.most_day)}"
    growing = ", a growing dog," if food.dog.puppy else ""
    says = f"{food.dog.name}{growing} is underfed: {kcal} kcal a day, {food.percent} of {_of_what(food.dog)}."
    weight = Weight.GROWING_DOG if food.is_short_to_grow else Weight.UNDERFED
    treats = ", and its treats in kcal" if _has_treats_by_weight(food.dog) else ""
    return Doubt("energy", weight, (food.dog.name,), says, f"Write `ration: {ration_kcal} kcal`{treats}.")


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
    return Doubt("energy", Weight.UNDERFED, names, says, _cure_of_many(underfed))


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
    return Doubt("energy-unknown", Weight.NOT_KNOWN, names, says, "Weigh every week.")


def _calcium(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Growing dogs with calcium outside what is published, then grown dogs far outside; many dogs are put together."""
    dogs = {dog.name: dog for dog in scenario.dogs}
    off: dict[tuple[bool, str], list[tuple[DogNutrition, ComparedBound]]] = {}
    for food in plan.nourished:
        grows = dogs[food.dog].puppy
        # one of a dog's bounds says enough: what mends its calcium mends the ratio too
        missed = next((compared for compared in _calcium_bounds(food) if grows or _is_far_off(compared)), None)
        if missed is not None:
            off.setdefault((grows, _off_text(missed)), []).append((food, missed))
    for (grows, what), found in off.items():
        key, weight = ("calcium", Weight.GROWING_DOG) if grows else ("calcium-grown", Weight.CALCIUM)
        cure = "`raworder gaps FILE` says what would meet it."
        end = "recommended minimum" if what.startswith("too little") else "maximum"
        if len(found) > MOST_DOGS_ALONE:
            names, ends = tuple(food.dog for food, _ in found), _ends_text([compared.of_bound for _, compared in found])
            yield Doubt(key, weight, names, f"{len(found)} dogs get {what}: {ends} of the {end}.", cure)
            continue
        for food, compared in found:
            who = f"{food.dog}, a growing dog," if grows else food.dog
            says = f"{who} gets {what}: {share_text(compared.of_bound, 0)} of the {end} ({food.profile})."
            yield Doubt(key, weight, (food.dog,), says, cure)


def _calcium_bounds(food: DogNutrition) -> Iterator[ComparedBound]:
    """The bounds on calcium, and on its ratio to phosphorus, that are missed for certain."""
    amounts = (compared for line in food.lines if line.nutrient == "calcium" for compared in line.beside)
    ratios = (compared for line in food.ratios if line.over == "calcium" for compared in line.beside)
    for compared in (*amounts, *ratios):
        if compared.standing in {Standing.BELOW, Standing.ABOVE}:
            yield compared


def _is_far_off(compared: ComparedBound) -> bool:
    """Whether a bound is missed by much."""
    return compared.of_bound < FAR_OFF if compared.standing is Standing.BELOW else compared.of_bound * FAR_OFF > 1


def _off_text(compared: ComparedBound) -> str:
    """How calcium is off: `too little calcium`, `too much calcium for its phosphorus`."""
    much = "too little" if compared.standing is Standing.BELOW else "too much"
    alone = isinstance(compared.bound.limit, NutrientLimit)
    return f"{much} calcium{'' if alone else ' for its phosphorus'}"


def _ends_text(shares: Sequence[Fraction]) -> str:
    """Several shares by the least and the most of them: `60 to 79 %`."""
    least, most = share_text(min(shares), 0), share_text(max(shares), 0)
    return most if least == most else f"{least.removesuffix(' %')} to {most}"


def _waiting_meat(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Cuts that must be frozen for longer before they are fed than they can be in this batch."""
    bags = plan.facts.cold.journeys
    waiting: dict[int, list[tuple[str, Journey]]] = {}
    for journey in bags:
        for cut, days in _waits(journey):
            waiting.setdefault(days, []).append((cut, journey))
    every = tuple(dict.fromkeys(cut for found in waiting.values() for cut, _ in found))
    for days, found in sorted(waiting.items(), reverse=True):
        cuts = tuple(dict.fromkeys(cut for cut, _ in found))
        dogs = tuple(dict.fromkeys(journey.bag.dog for _, journey in found))
        has, it = ("has", "it") if len(cuts) == 1 else ("have", "them")
        where = f"{len({journey.number for _, journey in found})} of {len(bags)} bags"
        says = f"{capitalised(join_names(cuts))} {has} to be frozen for {days} days before feeding ({where})."
        price, more = _without(scenario, plan, WAITING, every) if days == min(waiting) else ("", None)
        cure = f"Buy {it} frozen (`comes_frozen: {days} days`). {price}".strip()
        yield Doubt(WAITING, Weight.WAITING_MEAT, dogs, says, cure, cuts, more)


def _waits(journey: Journey) -> Iterator[tuple[str, int]]:
    """The cuts in a bag that are not frozen for long enough, each with the days that it must be."""
    for cut, key in journey.freeze_first:
        if FREEZE_FIRST[key].days > journey.frozen_days:
            yield cut, FREEZE_FIRST[key].days


def _dangers(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Cuts that hurt when they are much of the food, where they are."""
    healthy = _healthy_meals(scenario, plan)
    for key, how in DANGERS.items():
        cuts_of = {meal.dog.name: _cuts_with(key, meal) for meal in healthy}
        shares = {meal.dog.name: _share_of(meal, cuts_of[meal.dog.name]) for meal in healthy}
        eaters = tuple(dog for dog, share in shares.items() if share > MUCH_OF_A_DANGER)
        if eaters:
            cuts = tuple(dict.fromkeys(cut for dog in eaters for cut in cuts_of[dog]))
            says = f"{_share_text([shares[dog] for dog in eaters], eaters)} {join_names(cuts)}, {how}."
            price, more = _without(scenario, plan, key, cuts)
            yield Doubt(key, Weight.DANGER, eaters, says, price or "Cap it under `caps`, or leave it out.", cuts, more)


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
    return f"{_ends_text(shares)} of what {dogs_text(dogs)} {'eats' if len(dogs) == 1 else 'eat'} is"


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


def _too_much(_: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Too much of a nutrient or of fat, and bone far outside its range: what a veterinarian is to be asked about."""
    by_key: dict[str, list[tuple[str, VetConcern]]] = {}
    for food in plan.nourished:
        for concern in food.minded:
            if concern.key in TOO_MUCH:
                by_key.setdefault(concern.key, []).append((food.dog, concern))
    for key, found in by_key.items():
        dogs, first = tuple(dog for dog, _ in found), found[0][1]
        others = f", and {count_text(len(found) - 1, 'more dog')} likewise" if len(found) > 1 else ""
        yield Doubt(key, Weight.DANGER, dogs, f"{first.says}{others}.", first.advice)


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
        yield Doubt("one-sided", Weight.ONE_SIDED, dogs, says, "Cap it under `caps`, or offer other cuts.")


def _near_limit(scenario: FedScenario, plan: Plan) -> Iterator[Doubt]:
    """Dogs that get as much liver as they may."""
    near = [meal for meal in _healthy_meals(scenario, plan) if liver_near_limit(meal)]
    if near:
        dogs = tuple(meal.dog.name for meal in near)
        share = _share_text([meal.share_of(LIVER) for meal in near], dogs)
        says = f"{share} liver, the most that {'it' if len(near) == 1 else 'they'} may have."
        cure = "Give no cod liver oil beside."
        yield Doubt("liver-near-limit", Weight.NEAR_LIMIT, dogs, says, cure)


LOOKS: tuple[Callable[[FedScenario, Plan], Iterator[Doubt]], ...] = (
    _energy,
    _calcium,
    _waiting_meat,
    _dangers,
    _too_much,
    _one_sided,
    _near_limit,
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
