"""A second model of order and bags together, written from the rulebook's sentences: every bag is counted out in full.

It knows the scenarios of `small_dogs_with_large_pieces` only: packs at one price, cuts of which pieces are whole or
which are weighed, ranges of parts. Grams are its unit throughout. **Source:** scipy.optimize.milp on matrices that
share no code with the project's own; the rules themselves are common practice, no source.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from random import Random

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Dog, Target
from raworder.trade.scenario import Scenario
from tests import builders as b

WEEK = 7
DAY_MOST = {Part.BONE: 0.30, Part.LIVER: 0.20, Part.OTHER_ORGAN: 0.20}
"""The most of a day's food that is one of these: common practice, no source; as `raworder help scenario` has it."""
OVER_BATCH = 5 / 3
FAT_A_DAY = 0.25


def small_dogs_with_large_pieces(random: Random) -> Scenario:
    """One or two dogs of a few kilograms, one or two meals a day, and pieces of which a bag takes one or none."""
    days, meals = random.choice([(7, 1), (7, 2), (10, 1), (14, 1)])
    dogs = tuple(_dog(random, name, days, meals) for name in ("Wren", "Pip")[: random.choice([1, 1, 2])])
    bag_g = min(dog.batch_g // dog.days // dog.meals for dog in dogs)
    cuts = (
        _bony(random, "chicken neck", "chicken", bag_g),
        _bony(random, "herring whole", "herring", bag_g),
        b.a_cut("beef trim", fat=Fraction(random.randint(5, 20), 100)),
        b.a_cut("pork shoulder", species="pork", kind="shoulder", fat=Fraction(random.randint(5, 25), 100)),
        b.a_cut("lamb liver", species="lamb", kind="liver", parts={Part.LIVER: 1}, fat="1/20"),
        b.a_cut("beef kidney", kind="kidney", parts={Part.OTHER_ORGAN: 1}, fat="1/20"),
    )
    offers = tuple(
        b.an_offer(
            cut.name, pack_g=random.choice([50, 100, 250, 500]), price=Decimal(random.randint(20, 400)).scaleb(-2)
        )
        for cut in cuts
    )
    return b.a_scenario(days=days, dogs=dogs, cuts=cuts, offers=offers, portioning=Portioning())


def _dog(random: Random, name: str, days: int, meals: int) -> Dog:
    bone = random.choice([("5/100", "12/100"), ("8/100", "12/100"), ("10/100", "15/100"), ("6/100", "20/100")])
    organ = random.choice([("3/100", "8/100"), ("4/100", "6/100")])
    targets = (
        b.a_target(Part.MUSCLE, "60/100", "90/100"),
        b.a_target(Part.BONE, *bone),
        b.a_target(Part.LIVER, *organ),
        b.a_target(Part.OTHER_ORGAN, *organ),
    )
    return b.a_dog(
        name, daily_g=random.randint(10, 40) * 10 + random.choice([0, 3]), days=days, meals=meals, targets=targets
    )


def _bony(random: Random, name: str, species: str, bag_g: int) -> Cut:
    """A cut in pieces from a fifth of a bag to a little more than one."""
    bone = Fraction(random.randint(10, 45), 100)
    piece_g = max(bag_g * random.randint(20, 105) // 100, 12)
    parts = {Part.BONE: bone, Part.MUSCLE: 1 - bone}
    return b.a_cut(name, species=species, kind="neck", parts=parts, fat="1/10", piece_g=piece_g)


@dataclass
class Rows:
    """Columns and rows of a programme, as they come."""

    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    price: list[float] = field(default_factory=list)
    entries: list[tuple[int, int, float]] = field(default_factory=list)
    least: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)

    def column(self, high: float, *, whole: bool = False, price: float = 0.0) -> int:
        """A new unknown from 0 to `high`."""
        self.low.append(0.0)
        self.high.append(high)
        self.whole.append(int(whole))
        self.price.append(price)
        return len(self.low) - 1

    def row(self, terms: Mapping[int, float], least: float = -np.inf, most: float = np.inf) -> None:
        """The sum of the terms is at least and at most so much."""
        number = len(self.least)
        self.entries += [(number, column, times) for column, times in terms.items() if times]
        self.least.append(least)
        self.most.append(most)

    def solved(self, limit_s: float) -> float | None:
        """The least price, or None where there is nothing that fits all rows; TimeoutError where it takes too long."""
        numbers, columns, times = zip(*self.entries, strict=True)
        matrix = csr_array((times, (numbers, columns)), shape=(len(self.least), len(self.low)))
        found = milp(
            self.price,
            integrality=self.whole,
            bounds=Bounds(self.low, self.high),
            constraints=LinearConstraint(matrix, self.least, self.most),
            options={"time_limit": limit_s, "mip_rel_gap": 0.0},
        )
        if found.status == 2:
            return None
        if found.status != 0:
            raise TimeoutError(found.message)
        return float(found.fun)


def least_cents(scenario: Scenario, limit_s: float = 60.0) -> float | None:
    """The least that an order costs whose bags can all be filled, in hundredths; None where there is none."""
    rows, rules = Rows(), scenario.portioning
    fed: dict[str, dict[int, float]] = {cut.name: {} for cut in scenario.cuts}
    for dog in scenario.dogs:
        _bags_of(rows, scenario, dog, rules, fed)
    for offer in scenario.offers:
        packs = rows.column(1000, whole=True, price=float(offer.steps[0].unit_price * 100))
        fed[offer.cut][packs] = -float(offer.unit_g)
    for terms in fed.values():
        rows.row(terms, most=0.0)
    return rows.solved(limit_s)


def _bags_of(rows: Rows, scenario: Scenario, dog: Dog, rules: Portioning, fed: dict[str, dict[int, float]]) -> None:
    """All bags of a dog, each by itself, under every rule of the batch, of bags, of days and of weeks."""
    bags_g = _bag_weights(dog, rules)
    piece_g = {cut.name: cut.piece_g for cut in scenario.cuts}
    weighed = [cut for cut in scenario.cuts if cut.piece_g is None]
    held: list[dict[str, tuple[int, float]]] = []
    tops_up = {cut.name: rows.column(1, whole=True) for cut in weighed}
    rows.row(dict.fromkeys(tops_up.values(), 1.0), 1.0, 1.0)
    for bag_g in bags_g:
        bag = {}
        for cut in scenario.cuts:
            each_g = piece_g[cut.name]
            if each_g:
                bag[cut.name] = rows.column(bag_g // each_g, whole=True), float(each_g)
            else:
                grams, has = rows.column(bag_g), rows.column(1, whole=True)
                bag[cut.name] = grams, 1.0
                rows.row({grams: 1.0, has: -float(rules.least_portion_g)}, least=0.0)
                rows.row({grams: 1.0, has: -float(bag_g)}, most=0.0)
                rows.row({grams: 1.0, tops_up[cut.name]: -float(rules.least_portion_g)}, least=0.0)
        rows.row(dict(bag.values()), bag_g, bag_g)
        held.append(bag)
    eaten = {cut.name: {bag[cut.name][0]: bag[cut.name][1] for bag in held} for cut in scenario.cuts}
    for name, terms in eaten.items():
        fed[name] |= terms
    present = _present(rows, dog, rules, eaten, piece_g)
    for target in dog.targets:
        _range(rows, scenario, dog, rules, target, held, tops_up, present)
    for part, usual in DAY_MOST.items():
        most = max(usual, OVER_BATCH * float(next(one.high for one in dog.targets if one.part == part)))
        share = {cut.name: float(cut.part_share(part)) for cut in scenario.cuts}
        for day in range(0, len(held), dog.meals):
            terms = _counted(held[day : day + dog.meals], share)
            rows.row(terms, most=min(most, 1.0) * sum(bags_g[day : day + dog.meals]))
    _fat_a_day(rows, scenario, dog, held, bags_g)


def _present(
    rows: Rows, dog: Dog, rules: Portioning, eaten: Mapping[str, Mapping[int, float]], piece_g: Mapping[str, int | None]
) -> dict[str, int]:
    """Whether a dog gets a cut at all: then at least a piece, or a least portion."""
    present = {}
    for name, terms in eaten.items():
        present[name] = rows.column(1, whole=True)
        rows.row({**terms, present[name]: -float(piece_g[name] or rules.least_portion_g)}, least=0.0)
    return present


def _range(  # noqa: PLR0917 - a row of a table of numbers has many parts
    rows: Rows,
    scenario: Scenario,
    dog: Dog,
    rules: Portioning,
    target: Target,
    held: list[dict[str, tuple[int, float]]],
    tops_up: Mapping[str, int],
    present: Mapping[str, int],
) -> None:
    """A part's range over the batch, and over any seven days running give or take what pieces make uneven."""
    share = {cut.name: float(cut.part_share(target.part)) for cut in scenario.cuts}
    unit_g = {cut.name: float(cut.piece_g or rules.least_portion_g) for cut in scenario.cuts}
    everything = sum(unit_g.values())
    uneven = rows.column(everything)
    for name, switch in tops_up.items():
        off = {present[one]: -unit_g[one] * abs(share[one] - share[name]) for one in share if one != name}
        rows.row({uneven: 1.0, switch: everything, **off}, most=everything)
    rows.row(_counted(held, share), float(target.low) * dog.batch_g, float(target.high) * dog.batch_g)
    step = {switch: rules.scale_step_g * share[name] for name, switch in tops_up.items()}
    for first in range(dog.days - WEEK + 1):
        due_g = sum(dog.day_g[first : first + WEEK])
        counted = _counted(held[first * dog.meals : (first + WEEK) * dog.meals], share)
        always_g = float(rules.week_allowance) * due_g
        rows.row({**counted, uneven: 1.0, **step}, least=float(target.low) * due_g - always_g)
        rows.row(
            {**counted, uneven: -1.0, **{one: -grams for one, grams in step.items()}},
            most=float(target.high) * due_g + always_g,
        )


def _fat_a_day(
    rows: Rows, scenario: Scenario, dog: Dog, held: list[dict[str, tuple[int, float]]], bags_g: list[int]
) -> None:
    """A day holds at most a quarter of fat, or five thirds of the fat in all of the dog's food if that is more."""
    share = {cut.name: float(cut.fat_share) for cut in scenario.cuts}
    more, by_food = rows.column(1.0), rows.column(1, whole=True)
    food = {one: -OVER_BATCH * times / dog.batch_g for one, times in _counted(held, share).items()}
    rows.row({more: 1.0, by_food: 1.0, **food}, most=1.0 - FAT_A_DAY)
    rows.row({more: 1.0, by_food: -1.0}, most=0.0)
    for day in range(0, len(held), dog.meals):
        day_g = sum(bags_g[day : day + dog.meals])
        terms = _counted(held[day : day + dog.meals], share)
        rows.row({**terms, more: -float(day_g)}, most=FAT_A_DAY * day_g)


def _counted(bags: list[dict[str, tuple[int, float]]], share: Mapping[str, float]) -> dict[int, float]:
    """The terms of what counts in some bags."""
    return {column: grams * share[name] for bag in bags for name, (column, grams) in bag.items() if share[name]}


def _bag_weights(dog: Dog, rules: Portioning) -> list[int]:
    """What each bag weighs: all bags so far weigh what is due so far to the nearest step; the last takes the rest."""
    due, given, weights = Fraction(0), 0, []
    for day_g in dog.day_g:
        for _ in range(dog.meals):
            due += Fraction(day_g, dog.meals)
            steps = (2 * due + rules.scale_step_g) // (2 * rules.scale_step_g)
            weights.append(int(steps) * rules.scale_step_g - given)
            given += weights[-1]
    weights[-1] += sum(dog.day_g) - given
    return weights
