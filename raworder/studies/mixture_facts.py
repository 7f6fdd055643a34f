"""What mixtures show about a scenario without a plan: too little energy, ranges that clash, a budget out of reach.

Dogs with the same rules are looked at once, as a kind; each look is a tiny linear programme.
"""

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from raworder.giving_way.all_or_nothing import MORE_FOOD_FIRST
from raworder.reporting.words import count_text, join_names, subject_text
from raworder.solving.bag_room import cuts_that_fit_no_bag
from raworder.solving.mixtures import (
    GRAMS_IN_KG,
    End,
    clashing_ends,
    leanest_kcal_per_g,
    least_cost,
    richest_kcal_per_g,
)
from raworder.solving.solver import Ending, Outcome
from raworder.trade.cuts import Cut, Part
from raworder.trade.document import Cell, Column, Holds, Table
from raworder.trade.dogs import Dog
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario
from raworder.trade.units import grams_text, share_text

MOST_WITH_NAMES = 8
"""Of more dogs than this only the first are named, after how many there are."""


@dataclass(frozen=True, slots=True)
class Kind:
    """Dogs with the same ranges, caps and things to avoid, with the cuts that they may be given."""

    dogs: tuple[Dog, ...]
    cuts: tuple[Cut, ...]

    @property
    def rules(self) -> Dog:
        """The dog whose rules are those of all."""
        return self.dogs[0]

    @property
    def batch_g(self) -> int:
        """What they eat together over the batch; the least it can be where grams are free."""
        return sum(dog.batch_g for dog in self.dogs)

    def least_share(self, part: Part) -> Fraction:
        """The least share of a part that they must get."""
        return next((target.low for target in self.rules.targets if target.part is part), Fraction(0))


def kinds_of(scenario: Scenario) -> tuple[Kind, ...]:
    """The dogs that eat anything, by kind."""
    alike: dict[Hashable, list[Dog]] = {}
    for dog in scenario.dogs:
        if dog.batch_g:
            alike.setdefault(_rules_of(dog), []).append(dog)
    return tuple(
        Kind(tuple(dogs), tuple(cut for cut in scenario.cuts if not dogs[0].goes_without(cut)))
        for dogs in alike.values()
    )


def _rules_of(dog: Dog) -> Hashable:
    """What dogs of one kind have in common."""
    return dog.targets, dog.caps, dog.avoid, dog.counts_energy, dog.free_grams, dog.needs_kept, dog.care is None


def names_text(scenario: Scenario, names: Iterable[str]) -> str:
    """The dogs by name in the order of the scenario; of many how many they are, and the first by name."""
    chosen = frozenset(names)
    listed = [dog.name for dog in scenario.dogs if dog.name in chosen]
    if len(listed) <= MOST_WITH_NAMES:
        return join_names(listed)
    named = ", ".join(listed[: MOST_WITH_NAMES - 2])
    return f"{count_text(len(listed), 'dog')} ({named} and {len(listed) - MOST_WITH_NAMES + 2} more)"


@dataclass(frozen=True, slots=True)
class ShortRation:
    """Like dogs whose ration is too little at rest: what it holds a day at most, and what it must be at least.

    `least` is the ration as a scenario states it, in grams or in energy.
    """

    dogs: tuple[Dog, ...]
    most_kcal: int
    due_kcal: int
    least: str


def short_rations(scenario: Scenario) -> tuple[ShortRation, ...]:
    """The dogs that get too little at rest by any mixture within their ranges, like ones together, small ones first."""
    ready = _ready_cuts(scenario)
    short = [ration for kind in kinds_of(scenario) for ration in _short_of_kind(scenario, kind, ready)]
    return tuple(sorted(short, key=lambda ration: ration.due_kcal))


def _ready_cuts(scenario: Scenario) -> frozenset[str]:
    """The cuts of which any food may be fed: it needs no freezing first, or will have been frozen for long enough."""
    ready = _only_ready(scenario)
    return frozenset(food.cut for foods in (ready.offers, ready.on_hand) for food in foods)


def _only_ready(scenario: Scenario) -> Scenario:
    """The scenario without food that will not have been frozen for long enough."""
    return replace(
        scenario,
        offers=tuple(offer for offer in scenario.offers if not scenario.waits(offer)),
        on_hand=tuple(lot for lot in scenario.on_hand if not scenario.waits(lot)),
    )


def _short_of_kind(scenario: Scenario, kind: Kind, ready: frozenset[str]) -> Iterator[ShortRation]:
    """The dogs of a kind whose rations are too little, those of one weight and ration together."""
    alike: dict[Hashable, list[Dog]] = {}
    for dog in kind.dogs:
        if dog.resting_density and (dog.energy is None or dog.free_grams):
            key = dog.weight_g, dog.day_g, dog.meals, dog.days, dog.resting_due_kcal, dog.energy
            alike.setdefault(key, []).append(dog)
    cuts = [cut for cut in kind.cuts if cut.name in ready]
    leanest = Fraction(leanest_kcal_per_g(kind.rules, cuts) if alike and not kind.rules.free_grams else 0)
    richest: dict[frozenset[str], Fraction] = {}
    for dogs in alike.values():
        if dogs[0].resting_density <= leanest:
            continue  # any mixture holds enough
        too_large = cuts_that_fit_no_bag(dogs[0], scenario) if dogs[0].energy is None else frozenset()
        if too_large not in richest:
            richest[too_large] = _richest(kind.rules, [cut for cut in cuts if cut.name not in too_large])
        if richest[too_large] and dogs[0].resting_density > richest[too_large] * BEYOND_DOUBT:
            yield _short_ration(tuple(dogs), richest[too_large])


def _richest(dog: Dog, cuts: Sequence[Cut]) -> Fraction:
    """The most energy in a gram of a dog's food, or the most of its ration in energy; 0 where it is not known."""
    return Fraction(1 if dog.free_grams else (richest_kcal_per_g(dog, cuts) if cuts else None) or 0)


BEYOND_DOUBT = Fraction(100_001, 100_000)
"""How many times what food can hold must be asked for, so that it is no matter of tolerances."""


def _short_ration(dogs: tuple[Dog, ...], richest: Fraction) -> ShortRation:
    """What like dogs get and need; `richest` is the most energy in a gram, or 1 where the ration is in energy."""
    dog = dogs[0]
    due = dog.resting_due_kcal / dog.days
    if dog.energy is not None:
        return ShortRation(dogs, int(dog.energy.batch_kcal / dog.days), ceil(due), f"ration: {ceil(due)} kcal")
    most = richest * dog.batch_g / dog.days
    return ShortRation(dogs, int(most), ceil(due), f"ration: {ceil(due / richest)} g")


def too_little_energy(scenario: Scenario) -> Iterator[str]:
    """Dogs whose rations are too little at rest, whatever they are fed."""
    short = short_rations(scenario)
    names = [dog.name for ration in short for dog in ration.dogs]
    if len(short) == 1:
        (ration,) = short
        yield (
            f"{names_text(scenario, names)} cannot get the energy needed at rest: what is fed a day holds at most "
            f"{ration.most_kcal} kcal within the ranges and caps, and {ration.due_kcal} kcal are needed. Write "
            f"`{ration.least}` or more."
        )
    elif short:
        yield (
            f"{names_text(scenario, names)} cannot get the energy needed at rest, whatever is fed within the ranges "
            "and caps: each needs a larger ration, as in the table."
        )


def short_rations_table(scenario: Scenario, short: Iterable[ShortRation]) -> Table:
    """What each of these dogs is fed and needs, and what to write at least."""
    columns = (
        Column("dogs", "Dogs"),
        Column("ration", "Ration"),
        Column("daily_g", "Food a day", Holds.GRAMS),
        Column("most_kcal", "Holds at most (kcal)", Holds.COUNT),
        Column("due_kcal", "Needs at rest (kcal)", Holds.COUNT),
        Column("write", "Write"),
    )
    note = f"{MORE_FOOD_FIRST}. Under `all_dogs` that serves dogs of every size."
    rows = tuple(_row(scenario, ration) for ration in short)
    return Table("short_rations", "Rations that hold too little at rest", columns, rows, note=note)


def _row(scenario: Scenario, ration: ShortRation) -> tuple[Cell, ...]:
    dog = ration.dogs[0]
    grams = None if dog.energy is not None else half_up(dog.daily_g)
    says = dog.ration_text or None
    names = names_text(scenario, (dog.name for dog in ration.dogs))
    return names, says, grams, ration.most_kcal, ration.due_kcal, ration.least


def clashing_ranges(scenario: Scenario) -> Iterator[str]:
    """Ranges and caps of a dog that no mixture of what it may eat keeps together."""
    ready, dogs_of = _ready_cuts(scenario), dict[str, list[str]]()
    for kind in kinds_of(scenario):
        ends = clashing_ends(kind.rules, [cut for cut in kind.cuts if cut.name in ready])
        if len(ends) > 1:  # one by itself is told as an end out of reach
            says = join_names([_end_text(end) for end in ends])
            waiting = not clashing_ends(kind.rules, kind.cuts)
            remedy = _to_buy_frozen(scenario, tuple(Part)) if waiting else "Offer other cuts, or widen one of them."
            dogs_of.setdefault(f"{says}. {remedy}", []).extend(dog.name for dog in kind.dogs)
    for says, names in dogs_of.items():
        yield f"No mixture of what {names_text(scenario, names)} may eat keeps these together: {says}"


def _to_buy_frozen(scenario: Scenario, parts: Iterable[Part]) -> str:
    """That there would be enough with what must be frozen first and holds these parts, and how to have it counted."""
    waiting = {offer.cut for offer in scenario.offers if scenario.waits(offer)}
    cuts = join_names(sorted(cut for cut in waiting if any(map(scenario.cut(cut).part_share, parts))))
    return (
        f"It would do with what must be frozen first and is not counted ({cuts}): buy that frozen, and write "
        "`comes_frozen: 20 days` on its line."
    )


def _end_text(end: End) -> str:
    return f"at {'least' if end.is_low else 'most'} {share_text(end.level)} {subject_text(end.subject)}"


def budget_below_food(scenario: Scenario) -> Iterator[str]:
    """A budget below what the food within the ranges and caps costs at least, without delivery and whole packs."""
    if scenario.budget is None:
        return
    money, outcome = scenario.currency, _least_cost(scenario)
    if outcome is None or outcome.ending is not Ending.OPTIMAL or outcome.value is None:
        return
    # each line may be rounded down on the bill
    least = Fraction(outcome.value) / BEYOND_DOUBT - Fraction(money.minor) * len(scenario.offers)
    if least > scenario.budget:
        yield (
            f"The budget is {money.text(scenario.budget)}, but the food within the ranges and caps costs at least "
            f"{money.text(money.rounded_down(least))}, without delivery and whole packs. Take `budget` out to see what "
            "the cheapest order costs."
        )


def too_little_for_all(scenario: Scenario) -> Iterator[str]:
    """That amounts are too small for all dogs together, with the parts of which more would be enough."""
    outcome = _least_cost(scenario)
    if outcome is None or outcome.ending is not Ending.INFEASIBLE:
        return
    enough: dict[Part, str] = {}
    for part in Part:
        more = _least_cost(scenario, frozenset(cut.name for cut in scenario.cuts if cut.part_share(part)))
        if more and more.ending is Ending.OPTIMAL and more.value:
            grams = grams_text(ceil(more.value * GRAMS_IN_KG), scenario.weight_unit)
            enough[part] = f"{grams} more of cuts with {part}"
    remedy = f"There must be at least {' or '.join(enough.values())}." if enough else MORE_OF_SEVERAL
    waiting = least_cost(scenario, _healthy_kinds(scenario))
    frozen = f" {_to_buy_frozen(scenario, tuple(enough or Part))}" if waiting.ending is Ending.OPTIMAL else ""
    yield f"There is too little for the ranges and caps of all the dogs together. {remedy}{frozen}"


MORE_OF_SEVERAL = "More of one part alone is not enough."


def _healthy_kinds(scenario: Scenario) -> list[tuple[tuple[Dog, ...], tuple[Cut, ...]]]:
    """The dogs whose food is not a veterinarian's to choose, by kind, with the cuts that they may eat."""
    return [(kind.dogs, kind.cuts) for kind in kinds_of(scenario) if kind.rules.care is None and kind.cuts]


def _least_cost(scenario: Scenario, more_of: frozenset[str] = frozenset()) -> Outcome | None:
    """What the food costs at least, or how much more there must be; None where nobody in particular is to be fed."""
    kinds = _healthy_kinds(scenario)
    return least_cost(_only_ready(scenario), kinds, more_of) if kinds else None
