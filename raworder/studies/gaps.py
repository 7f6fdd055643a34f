"""Gaps: what it costs to meet each bound of a profile that a plan's food misses, by solving again with it as a rule."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar

from raworder.reporting.nutrition_words import about_text, bound_text, packs_text, supplement_units_text
from raworder.reporting.words import count_text, dogs_text, join_names, paper, units_text
from raworder.solving.search import CHEAPEST_HANDIEST, SearchGoal, Start
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.differences import bought_units, costs_more, line_changes
from raworder.studies.enough_food import Underfed, order_that_feeds, underfed_dogs
from raworder.studies.orders import Order, cost_now_facts, nearness, order_before_sharing, start_of
from raworder.trade.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Table
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import (
    Bound,
    ComparedBound,
    DogNutrition,
    NutrientLimit,
    NutrientLine,
    RatioLimit,
    RatioLine,
    Standing,
    Trust,
)
from raworder.trade.plan import NoPlan, Plan, Unsolved
from raworder.trade.scenario import Scenario
from raworder.workflow import with_nourishment

INTRODUCTION = (
    "What the cheapest order would cost if it also met each published figure that the food misses, as far as that is "
    "known. A published figure is no diagnosis, and more of one thing can be too much of another: ask a veterinarian "
    "before you add anything."
)
NONE_MISSED = "As far as is known, the food misses no published figure."
NOT_FED_MORE = "no order that follows your other rules, room and budget"
NO_ORDER = "nothing on your lists brings enough of it within your other rules"
NOT_TOGETHER = "no order that follows your other rules"
PUBLISHED = "published energy"
MANY_DOGS = "With so many dogs these are orders before whole pieces are shared out."
MOST_NAMED = 4
"""The most changes of an order that are named."""

MOST_UNDERFED = 8
"""The most dogs below the published energy that get a row each; more get one row for all of them, as each is another
solve. Source: own choice."""


@dataclass(frozen=True, slots=True)
class Gap:
    """A bound of a profile that dogs' food misses, or of which too little is known, with what each dog is given."""

    profile: str
    bound: Bound
    dogs: tuple[str, ...]
    given: tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class FilledGap:
    """A gap and the cheapest order that fills it, or why there is none."""

    gap: Gap
    order: Order


@dataclass(frozen=True, slots=True)
class Answers:
    """The answers to all questions: gaps with orders, and one order that fills all gaps that can be filled.

    `energy` are dogs that get too little energy, each question with the cheapest order that feeds them enough. `able`
    are the gaps that can be filled; of `unknown` ones too little is known. `destroyed` gaps were not asked about, each
    with the cuts that destroy in the food what would fill it. Of `little` ones only a day holds too little, for want of
    food. `fed_otherwise` are dogs whose gaps were not asked about, as they eat other food too. `to_grow` are growing
    dogs whose calcium and phosphorus were not asked about, and that no supplement with calcium was tried for.
    """

    filled: Sequence[FilledGap]
    together: Order | None
    able: tuple[Gap, ...]
    unknown: Sequence[Gap]
    asked: int
    destroyed: Sequence[tuple[Gap, tuple[str, ...]]] = ()
    energy: Sequence[tuple[Underfed, Order]] = ()
    little: Sequence[Gap] = ()
    fed_otherwise: tuple[str, ...] = ()
    to_grow: tuple[str, ...] = ()

    @property
    def missing(self) -> int:
        """The questions that were not answered."""
        return self.asked - len(self.filled) - len(self.energy)


def gaps_paper(scenario: Scenario, plan: Plan, answers: Answers) -> Document:
    """The paper of gaps."""
    return paper(scenario, "gaps", "What filling each gap costs", _blocks(scenario, plan, answers))


def _blocks(scenario: Scenario, plan: Plan, answers: Answers) -> Iterator[Block]:
    yield Paragraph(INTRODUCTION)
    yield cost_now_facts(scenario, plan)
    if not any((answers.asked, answers.destroyed, answers.little, answers.fed_otherwise, answers.to_grow)):
        yield Paragraph(NONE_MISSED)
    elif answers.asked:
        yield _table(scenario, plan, answers)
    yield from _together_blocks(scenario, plan, answers)
    for gap, cuts in answers.destroyed:
        yield Paragraph(
            f"{bound_text(gap.bound)} for {_gap_dogs_text(scenario, gap)} is missed, but more of it would not help: "
            f"{join_names(cuts)} in the food can destroy it. Feed none of that first, then ask again."
        )
    yield from _not_asked(scenario, answers)
    if answers.unknown:
        names = dict.fromkeys(about_text(gap.bound) for gap in answers.unknown)
        yield Paragraph(f"Too little is known to judge these: {', '.join(names)}.")
    if any(filling.gap.bound.trust is Trust.MEMORY for filling in answers.filled):
        yield Paragraph(f"† this bound is {Trust.MEMORY.says}.")
    yield from _before_sharing(scenario, plan, answers)
    if answers.missing:
        yield Paragraph(f"This is not all: {count_text(answers.missing, 'gap')} could not be tried in time.")


def _before_sharing(scenario: Scenario, plan: Plan, answers: Answers) -> Iterator[Paragraph]:
    """That whole pieces were not shared out, where dogs are many, and how near to the cheapest orders are."""
    if scenario.solved_by_groups:
        orders = (
            plan,
            answers.together,
            *(order for _, order in answers.energy),
            *(gap.order for gap in answers.filled),
        )
        yield Paragraph(" ".join((MANY_DOGS, *nearness(scenario, orders))))


def _not_asked(scenario: Scenario, answers: Answers) -> Iterator[Paragraph]:
    """The gaps for which no order was looked for, and why."""
    for gap in answers.little:
        yield Paragraph(
            f"{bound_text(gap.bound)} for {_gap_dogs_text(scenario, gap)} is met, or could be, but a day's food holds "
            "less than a day of the least energy published for such a dog would: feed more first, then ask again."
        )
    if answers.to_grow:
        yield Paragraph(
            f"Calcium and phosphorus for {dogs_text(answers.to_grow)} were not asked about, nor supplements with "
            "calcium: for a growing dog no amount is computed, as nobody knows just how much there is in bone."
        )
    if answers.fed_otherwise:
        yield Paragraph(
            f"What {dogs_text(answers.fed_otherwise)} would need more of was not looked for: a rule on nutrients "
            "counts this plan's food alone, and there is other food beside it."
        )


def _table(scenario: Scenario, plan: Plan, answers: Answers) -> Table:
    """A line for every gap, energy first."""
    code = scenario.currency.code
    columns = (
        Column("bound", "Asked"),
        Column("dogs", "For"),
        Column("given", "Now", Holds.AMOUNT),
        Column("cost", f"Then {code}", Holds.MONEY),
        Column("more", f"More {code}", Holds.MONEY),
        Column("how", "How"),
        Column("profile", "Profile", shown=False),
        Column("trust", "The bound is", shown=False),
    )
    energy = (_energy_row(scenario, plan, *answer) for answer in answers.energy)
    rows = (*energy, *(_row(scenario, plan, filling) for filling in answers.filled))
    note = "Each row by itself. `Now` is that of the dog that is furthest off."
    return Table("gaps", "Gap by gap", columns, rows, note=note)


def _row(scenario: Scenario, plan: Plan, filling: FilledGap) -> tuple[Cell, ...]:
    """One gap: what is asked, what there is, and what the order that fills it costs and buys."""
    gap, order = filling.gap, filling.order
    worst = (max if gap.bound.is_upper else min)(gap.given)
    cost, more, how = _cost(scenario, plan, order)
    asked = f"{bound_text(gap.bound)}{' †' if gap.bound.trust is Trust.MEMORY else ''}"
    return (
        asked, _gap_dogs_text(scenario, gap), worst, cost, more, how, gap.profile, gap.bound.trust.value,
    )  # fmt: skip


def _energy_row(scenario: Scenario, plan: Plan, underfed: Underfed, order: Order) -> tuple[Cell, ...]:
    """Dogs that get too little energy: what is asked, what there is, and what the order that feeds them enough costs.

    Of several dogs each has a figure of its own, so none is shown.
    """
    cost, more, how = _cost(scenario, plan, order, none=NOT_FED_MORE)
    is_one = len(underfed.dogs) == 1
    asked = f"energy at least {underfed.least_kcal[0]} kcal a day" if is_one else "energy at least as published"
    dogs = dogs_text(underfed.dogs, [dog.name for dog in scenario.dogs if dog.care is None])
    return asked, dogs, underfed.given_kcal[0] if is_one else None, cost, more, how, PUBLISHED, ""


def _cost(
    scenario: Scenario, plan: Plan, order: Order, none: str = NO_ORDER
) -> tuple[Decimal | None, Decimal | None, str]:
    """What an order costs, how much more than the plan, and how it differs; or why there is none."""
    match order:
        case Plan():
            doubt = "" if order.proof.is_enough(order.counted) else "; not proved"
            return order.counted, costs_more(scenario, plan, order), f"{how_text(scenario, plan, order)}{doubt}"
        case NoPlan():
            return None, None, none
        case Unsolved(why):
            return None, None, f"no answer: {why}"


def how_text(scenario: Scenario, plan: Plan, order: Plan) -> str:
    """What is given and bought differently, supplements first; MOST_NAMED changes at most."""
    doses: dict[tuple[str, int], list[str]] = {}
    for dose in order.doses:
        if dose not in plan.doses:
            doses.setdefault((dose.supplement, dose.steps_a_day), []).append(dose.dog)
    given = [
        f"{supplement_units_text(scenario.supplement(name), steps)} of {name} a day for {dogs_text(dogs)}"
        for (name, steps), dogs in doses.items()
    ]
    offers = {offer.key: offer for offer in scenario.supplement_offers}
    before = {line.offer: line.units for line in plan.supplement_lines}
    packs = [
        f"{packs_text(scenario, offers[line.offer], line.units)} of {offers[line.offer].supplement}"
        for line in order.supplement_lines
        if before.get(line.offer) != line.units
    ]
    food = {offer.key: offer for offer in scenario.offers}
    lines = [
        f"{moved.offer.cut} {units_text(moved.offer, moved.after, scenario.weight_unit) if moved.after else 'none'}"
        for moved in line_changes(food, bought_units(plan), bought_units(order))
    ]
    changes = [*given, *packs, *lines]
    rest = f"; {count_text(len(changes) - MOST_NAMED, 'more change')}" if len(changes) > MOST_NAMED else ""
    return "; ".join(changes[:MOST_NAMED]) + rest or "the same things bought, fed otherwise"


def _together_blocks(scenario: Scenario, plan: Plan, answers: Answers) -> Iterator[Block]:
    """What it takes to fill at once all gaps that can be filled one by one."""
    if len(answers.able) < 2 or answers.together is None:
        return
    cost, more, how = _cost(scenario, plan, answers.together, none=NOT_TOGETHER)
    if cost is None or more is None:
        yield Paragraph(f"The {len(answers.able)} that can be filled one by one, together: {how}.")
        return
    money = scenario.currency
    yield Facts(
        "together",
        (Fact("more", f"The {len(answers.able)} that can be filled, together, cost more", more, Holds.MONEY),),
    )
    yield Paragraph(f"Together: {money.text(cost)}; {how}.")


def _gap_dogs_text(scenario: Scenario, gap: Gap) -> str:
    return dogs_text(gap.dogs, [dog.name for dog in scenario.dogs if dog.care is None])


TOGETHER = "together"
"""The key of the question what it costs to fill at once all gaps that can be filled one by one."""


def gaps(scenario: Scenario, base: Plan, ask: Ask) -> Document:
    """For every bound that is missed, what the cheapest order costs that meets it, and one that meets all of them.

    Dogs with the same bound count together. Bounds of which too little is known, or that cuts in the food destroy
    whatever is added, are named without an order.
    """
    plan = with_nourishment(scenario, base)
    alone, fed_otherwise = _apart(scenario, plan.nourished)
    to_grow, alone = _without_calcium_to_grow(scenario, alone)
    off = gaps_of(alone, (Standing.BELOW, Standing.ABOVE))
    lost = tuple(gap for gap in off if destroyers_of(gap, plan.nourished))
    missed = {str(place): gap for place, gap in enumerate(gap for gap in off if gap not in lost)}
    start = start_of(base)
    energy = {f"energy {place}": underfed for place, underfed in enumerate(_energy_questions(scenario, plan))}
    tasks = [_energy_task(key, scenario, underfed, start, ask.settings) for key, underfed in energy.items()]
    orders = ask([*tasks, *(_task(key, scenario, (gap,), start, ask.settings) for key, gap in missed.items())])
    fed = [(energy[key], order) for key, order in orders.items() if key in energy]
    filled = [FilledGap(missed[key], order) for key, order in orders.items() if key in missed]
    able = tuple(filling.gap for filling in filled if isinstance(filling.order, Plan))
    if len(able) > 1:
        orders |= ask([_task(TOGETHER, scenario, able, start, ask.settings)])
    unknown, little = (gaps_of(alone, (standing,)) for standing in (Standing.UNKNOWN, Standing.LITTLE_A_DAY))
    destroyed = tuple((gap, destroyers_of(gap, plan.nourished)) for gap in lost)
    together, asked = orders.get(TOGETHER), len(missed) + len(energy)
    refusing = _refusing_calcium(scenario)
    to_grow = tuple(dict.fromkeys((*to_grow, *(dog for gap in off for dog in gap.dogs if dog in refusing))))
    answers = Answers(filled, together, able, unknown, asked, destroyed, fed, little, fed_otherwise, to_grow)
    return gaps_paper(scenario, plan, answers)


def _energy_questions(scenario: Scenario, plan: Plan) -> Iterator[Underfed]:
    """The dogs that get less energy than is published, one by one unless they are many, then all of them together."""
    underfed = underfed_dogs(scenario, plan)
    if len(underfed.dogs) <= MOST_UNDERFED:
        for dog, given, least in zip(underfed.dogs, underfed.given_kcal, underfed.least_kcal, strict=True):
            yield Underfed((dog,), (given,), (least,))
    if len(underfed.dogs) > 1:
        yield underfed


def _apart(scenario: Scenario, nourished: Iterable[DogNutrition]) -> tuple[list[DogNutrition], tuple[str, ...]]:
    """What the dogs that eat nothing beside the plan are fed, and the names of the others that have a profile."""
    others = {dog.name for dog in scenario.dogs if dog.other_food.says}
    foods = list(nourished)
    fed_otherwise = tuple(food.dog for food in foods if food.dog in others and food.profile)
    return [food for food in foods if food.dog not in others], fed_otherwise


def _without_calcium_to_grow(
    scenario: Scenario, foods: Sequence[DogNutrition]
) -> tuple[tuple[str, ...], list[DogNutrition]]:
    """The growing dogs with calcium or phosphorus outside its bounds, and all food without these bounds for them.

    How much they need is not computed, as that of bone is unsure; and more phosphorus alone takes calcium from them.
    """
    growing = {dog.name for dog in scenario.dogs if dog.puppy}
    off = {Standing.BELOW, Standing.ABOVE}
    to_grow = tuple(
        food.dog
        for food in foods
        if food.dog in growing and any(beside.standing in off for line in _of_bone(food) for beside in line.beside)
    )
    return to_grow, [_without_bone(food) if food.dog in growing else food for food in foods]


def _of_bone(food: DogNutrition) -> Iterator[NutrientLine | RatioLine]:
    """What is told of calcium and phosphorus, which bone is made of."""
    yield from (line for line in food.lines if line.nutrient in {"calcium", "phosphorus"})
    yield from (line for line in food.ratios if line.over == "calcium")


def _without_bone(food: DogNutrition) -> DogNutrition:
    """The same without bounds on calcium and phosphorus."""
    bone = list(_of_bone(food))
    lines = (replace(line, beside=()) if line in bone else line for line in food.lines)
    ratios = (replace(line, beside=()) if line in bone else line for line in food.ratios)
    return replace(food, lines=tuple(lines), ratios=tuple(ratios))


def _refusing_calcium(scenario: Scenario) -> frozenset[str]:
    """The growing dogs that must not be given a supplement on the lists as there is calcium in it."""
    holding = [supplement for supplement in scenario.supplements if supplement.analysis.of("calcium")]
    return frozenset(dog.name for dog in scenario.dogs if dog.puppy and any(map(dog.refuses, holding)))


def gaps_of(nourished: Iterable[DogNutrition], standings: Sequence[Standing]) -> tuple[Gap, ...]:
    """The bounds with one of these standings, each once with its dogs, in the order of the first dog."""
    compared: dict[tuple[str, Bound], list[tuple[str, ComparedBound]]] = {}
    for food in nourished:
        for beside in food.beside:
            if beside.standing in standings:
                compared.setdefault((food.profile, beside.bound), []).append((food.dog, beside))
    return tuple(
        Gap(profile, bound, tuple(dog for dog, _ in dogs), tuple(beside.given for _, beside in dogs))
        for (profile, bound), dogs in compared.items()
    )


def destroyers_of(gap: Gap, nourished: Iterable[DogNutrition]) -> tuple[str, ...]:
    """The cuts in its dogs' food that destroy the nutrient that a gap is about."""
    limit = gap.bound.limit
    keys = {limit.nutrient} if isinstance(limit, NutrientLimit) else {limit.over, limit.under}
    lines = (line for food in nourished if food.dog in gap.dogs for line in food.lines if line.nutrient in keys)
    return tuple(dict.fromkeys(cut for line in lines for cut in line.destroyed_by))


def require_bounds(scenario: Scenario, gaps_to_meet: Iterable[Gap]) -> Scenario:
    """The scenario with these bounds as rules for the dogs that miss them."""
    more: dict[str, list[Bound]] = {}
    for gap in gaps_to_meet:
        for dog in gap.dogs:
            more.setdefault(dog, []).append(gap.bound)
    dogs = (_add_limits(dog, more.get(dog.name, ())) for dog in scenario.dogs)
    return replace(scenario, dogs=tuple(dogs))


def order_that_meets(
    scenario: Scenario,
    gaps_to_meet: tuple[Gap, ...],
    start: Start,
    settings: Settings,
    wanted: SearchGoal = CHEAPEST_HANDIEST,
) -> Order:
    """The cheapest order that meets these bounds too, audited; NoPlan where there is none."""
    return order_before_sharing(require_bounds(scenario, gaps_to_meet), settings, replace(wanted, start=start))


def _energy_task(key: str, scenario: Scenario, underfed: Underfed, start: Start, settings: Settings) -> Task[Order]:
    return Task(key, order_that_feeds, (scenario, underfed, start, settings))


def _task(key: str, scenario: Scenario, gaps_to_meet: tuple[Gap, ...], start: Start, settings: Settings) -> Task[Order]:
    return Task(key, order_that_meets, (scenario, gaps_to_meet, start, settings))


def _add_limits(dog: Dog, bounds: Iterable[Bound]) -> Dog:
    """The dog with these bounds as rules beside its own; of two on the same nutrient both hold."""
    nutrients = {limit.key: limit for limit in dog.nutrient_limits}
    ratios = {limit.key: limit for limit in dog.ratio_limits}
    for bound in bounds:
        if isinstance(bound.limit, NutrientLimit):
            nutrients[bound.limit.key] = _tighter(nutrients, bound.limit)
        else:
            ratios[bound.limit.key] = _tighter(ratios, bound.limit)
    return replace(dog, nutrient_limits=tuple(nutrients.values()), ratio_limits=tuple(ratios.values()))


Limit = TypeVar("Limit", NutrientLimit, RatioLimit)


def _tighter(known: Mapping[str, Limit], limit: Limit) -> Limit:
    """The limit narrowed by the dog's own limit on the same nutrient, if it has one."""
    own = known.get(limit.key, limit)
    lows = [level for level in (own.low, limit.low) if level is not None]
    highs = [level for level in (own.high, limit.high) if level is not None]
    return replace(limit, low=max(lows, default=None), high=min(highs, default=None))
