"""A second model of a Scenario, as plain matrices for `scipy.optimize.milp`, written apart from the solving floor.

It was written from the sentences of `raworder/trade/rulebook.py`, from the design's section on the model and from the
docstrings of the nouns, before `solving/constraints.py` and `solving/problem.py` were read. It differs from them on
purpose: no dogs are merged, what may be bought is bounded by nothing but `available` and a generous multiple of every
need and threshold, and the cost is reckoned again with the whole numbers found held fast.

**Source:** the rules as told by the rulebook; scipy.optimize.milp (SciPy's own HiGHS) as solver.
"""

from dataclasses import dataclass, field
from datetime import timedelta
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor, inf
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_matrix

from raworder.trade.cuts import Cut, Measure, Subject
from raworder.trade.dogs import Dog, Goal
from raworder.trade.nutrients import Per
from raworder.trade.scenario import Offer, OnHand, Scenario, Supplier

KG = 1000
Terms = dict[str, Fraction]
"""Columns with their factors."""


@dataclass
class Matrices:
    """Columns and rows as they are written down; without `pieces` anything may be fed in any amount.

    `left_out` are the cuts, by dog, of which a dog is fed nothing.
    """

    pieces: bool = True
    left_out: frozenset[tuple[str, str]] = frozenset()
    columns: dict[str, int] = field(default_factory=dict)
    highest: list[float] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    rows: list[tuple[Terms, float, float]] = field(default_factory=list)

    def column(self, name: str, *, most: float = inf, whole: bool = False) -> Terms:
        assert name not in self.columns
        self.columns[name] = len(self.columns)
        self.highest.append(most)
        self.whole.append(int(whole))
        return {name: Fraction(1)}

    def row(self, terms: Terms, *, least: Fraction | int | None = None, most: Fraction | int | None = None) -> None:
        self.rows.append((terms, -inf if least is None else float(least), inf if most is None else float(most)))


def plus(*many: Terms) -> Terms:
    total: Terms = {}
    for terms in many:
        for name, factor in terms.items():
            total[name] = total.get(name, Fraction(0)) + factor
    return total


def times(factor: Fraction | int, terms: Terms) -> Terms:
    return {name: Fraction(factor) * one for name, one in terms.items()}


def least_cost(scenario: Scenario, *, thrifty: bool = False) -> float | None:
    """What the cheapest order costs, before rounding; None when no order satisfies the rules.

    `thrifty` adds a rule that the tool does not have: of no cut is a whole unit more bought than is fed.
    """
    matrices = Matrices()
    pay = written(matrices, scenario, thrifty=thrifty)
    return _solved(matrices, pay)


def cost_without_pieces(
    scenario: Scenario, left_out: frozenset[tuple[str, str]] = frozenset(), *, gap: float, limit_s: float
) -> tuple[float, float] | None:
    """A bound on the cost of any order, and what one costs, before rounding, where pieces and least portions are not
    kept; None where there is none. It ends at a relative gap, or at the time limit.
    """
    matrices = Matrices(pieces=False, left_out=left_out)
    factors = _dense(matrices, written(matrices, scenario, thrifty=False))
    whole = np.array(matrices.whole)
    found: Any = milp(
        factors,
        integrality=whole,
        bounds=Bounds(np.zeros(len(whole)), np.array(matrices.highest)),
        constraints=LinearConstraint(*_rows(matrices)),
        options={"mip_rel_gap": gap, "time_limit": limit_s},
    )
    if found.status == 2:
        return None
    assert found.x is not None, found.message
    return float(found.mip_dual_bound), float(found.fun)


def written(matrices: Matrices, scenario: Scenario, *, thrifty: bool) -> Terms:
    """Write down every rule; what all suppliers are paid, and the trips to them."""
    fed, given = eating(matrices, scenario)
    bought_kg: dict[str, list[Terms]] = {cut.name: [] for cut in scenario.cuts}
    cuts = one_of_each_cut(matrices, scenario)
    pay: list[Terms] = []
    used: list[Terms] = []
    roundings = 0
    for supplier in scenario.suppliers:
        used.append(matrices.column(f"use {supplier.name}", most=1, whole=True))
        goods: list[Terms] = []
        rounded: list[Terms] = []
        for offer in (one for one in scenario.offers if one.supplier == supplier.name):
            kg, price = buying(matrices, scenario, offer, used[-1], cuts)
            bought_kg[offer.cut].append(kg)
            goods.append(price)
            if any((step.unit_price * 10**scenario.currency.digits).denominator > 1 for step in offer.steps):
                by_goods = supplier.minimum_order or (supplier.free_delivery_from is not None and supplier.delivery)
                rounded += [rounding(matrices, scenario, price)] if by_goods else []
                roundings += not by_goods
        goods += supplementing(matrices, scenario, supplier, given, used[-1])
        roundings += bool(supplier.sales_tax)
        pay.append(paying(matrices, supplier, plus(*goods, *rounded), used[-1]))
    weighing(matrices, scenario, fed, bought_kg, thrifty=thrifty)
    weighing_supplements(matrices, scenario, given)
    if scenario.most_suppliers is not None:
        matrices.row(plus(*used), most=scenario.most_suppliers)
    if scenario.budget is not None:
        matrices.row(plus(*pay), most=Fraction(scenario.budget) + Fraction(roundings, 2 * 10**scenario.currency.digits))
    trips = (times(Fraction(one.trip), use) for one, use in zip(scenario.suppliers, used, strict=True))
    return plus(*pay, *trips)


def one_of_each_cut(matrices: Matrices, scenario: Scenario) -> dict[str, Terms]:
    """Whether each cut is bought at all, of which only so many may be; none where they are not counted."""
    if scenario.most_cuts is None:
        return {}
    cuts = {cut.name: matrices.column(f"cut {cut.name}", most=1, whole=True) for cut in scenario.cuts}
    matrices.row(plus(*cuts.values()), most=scenario.most_cuts)
    return cuts


def eating(matrices: Matrices, scenario: Scenario) -> tuple[dict[str, list[Terms]], dict[str, list[Terms]]]:
    """What all dogs eat of each cut, and are given of each supplement over the batch."""
    fed: dict[str, list[Terms]] = {cut.name: [] for cut in scenario.cuts}
    given: dict[str, list[Terms]] = {one.name: [] for one in scenario.supplements}
    for dog in scenario.dogs:
        eat = {cut.name: matrices.column(f"eat {dog.name}/{cut.name}") for cut in scenario.cuts}
        feeding(matrices, scenario, dog, eat)
        for name, steps in nourishing(matrices, scenario, dog, eat).items():
            given[name].append(times(dog.days, steps))
        for cut, terms in eat.items():
            fed[cut].append(terms)
    return fed, given


def weighing_supplements(matrices: Matrices, scenario: Scenario, given: dict[str, list[Terms]]) -> None:
    """No more steps are given than are on hand and bought."""
    for one in scenario.supplements:
        matrices.row(plus(*given[one.name]), most=one.on_hand_steps)


def weighing(
    matrices: Matrices,
    scenario: Scenario,
    fed: dict[str, list[Terms]],
    bought: dict[str, list[Terms]],
    *,
    thrifty: bool,
) -> None:
    """No more is fed than there is of each cut, and all that is frozen fits."""
    for cut in scenario.cuts:
        more = plus(*bought[cut.name], times(-1, plus(*fed[cut.name])))
        matrices.row(more, least=-Fraction(scenario.on_hand_g(cut.name), KG))
        if thrifty:
            units = [0 if offer.to_the_gram else offer.unit_g for offer in scenario.offers if offer.cut == cut.name]
            matrices.row(more, most=Fraction(max(units, default=0)) / KG)
        piecing(matrices, scenario, cut, fed[cut.name], bought[cut.name])
        holding(matrices, scenario, cut, fed[cut.name], bought[cut.name])
        owning(matrices, scenario, cut, fed[cut.name], bought[cut.name])
    if scenario.room_g is not None:
        held_g = sum(lot.grams for lot in scenario.on_hand)
        all_bought = plus(*(kg for many in bought.values() for kg in many))
        matrices.row(all_bought, most=Fraction(scenario.room_g - held_g, KG))


def piecing(matrices: Matrices, scenario: Scenario, cut: Cut, fed: list[Terms], bought: list[Terms]) -> None:
    """Each piece comes whole from one lot, or from what is bought of one offer; a patient's amounts are weighed."""
    piece_g = scenario.portioning.whole_piece_g(cut)
    if piece_g is None:
        return
    lots = [lot.grams for lot in scenario.on_hand if lot.cut == cut.name]
    whole = [matrices.column(f"of lot {n} {cut.name}", most=lot // piece_g, whole=matrices.pieces)
             for n, lot in enumerate(lots)]  # fmt: skip
    for number, kg in enumerate(bought):
        whole.append(matrices.column(f"of offer {number} {cut.name}", whole=matrices.pieces))
        matrices.row(plus(kg, times(-Fraction(piece_g, KG), whole[-1])), least=0)
    in_pieces = [eat for eat, dog in zip(fed, scenario.dogs, strict=True) if dog.care is None]
    matrices.row(plus(*in_pieces, times(-Fraction(piece_g, KG), plus(*whole))), least=0, most=0)


FROZEN_FIRST = {"raw-pork": 20, "sheep-meat-tapeworm": 10, "raw-fish-parasites": 7}
"""Days of freezing before food is fed, by its caution.

**Source:** CDC, preventing trichinellosis (last reviewed 15 November 2019): pork, 20 days at -15 C (5 F). Project Ovis
(New Zealand): sheep, 10 days with the core at -10 C. FDA Food Code 3-402.11(A)(1): fish, 7 days at -20 C (-4 F).
"""


def days_asked(cut: Cut) -> int:
    """The longest that the cut, or anything mixed into it, must be frozen."""
    own = [FROZEN_FIRST.get(caution, 0) for caution in cut.cautions]
    return max([0, *own, *map(days_asked, cut.ingredients)])


def is_ready(scenario: Scenario, food: Offer | OnHand) -> bool:
    """Whether it will have been frozen for long enough on the day of filling; what is bought is held frozen first."""
    asked = next(days_asked(cut) for cut in scenario.cuts if cut.name == food.cut)
    if scenario.hold_days is None or not asked:
        return True
    filled_on = scenario.portioning.day or scenario.batch.starts - timedelta(days=1)
    since = (filled_on - food.frozen_on).days if food.frozen_on else 0
    if isinstance(food, OnHand):
        return since >= asked
    return max(since, food.frozen_days, 0) + scenario.hold_days >= asked


def holding(matrices: Matrices, scenario: Scenario, cut: Cut, fed: list[Terms], bought: list[Terms]) -> None:
    """Healthy dogs are fed what was frozen for long enough, a whole piece from one lot or offer of it."""
    healthy = [eat for eat, dog in zip(fed, scenario.dogs, strict=True) if dog.care is None]
    lots = [lot for lot in scenario.on_hand if lot.cut == cut.name]
    offers = [offer for supplier in scenario.suppliers for offer in scenario.offers
              if offer.supplier == supplier.name and offer.cut == cut.name]  # fmt: skip
    waits = [not is_ready(scenario, food) for food in (*lots, *offers)]
    if not any(waits):
        return
    piece_g = scenario.portioning.whole_piece_g(cut)
    if piece_g is None:
        ready_g = sum(lot.grams for lot, wait in zip(lots, waits, strict=False) if not wait)
        ready = [kg for kg, wait in zip(bought, waits[len(lots) :], strict=True) if not wait]
        matrices.row(plus(*healthy, times(-1, plus(*ready))), most=Fraction(ready_g, KG))
        return
    names = [f"of lot {number} {cut.name}" for number in range(len(lots))]
    names += [f"of offer {number} {cut.name}" for number in range(len(offers))]
    for name, wait in zip(names, waits, strict=True):
        if wait:
            matrices.row({name: Fraction(1)}, most=0)


def owning(matrices: Matrices, scenario: Scenario, cut: Cut, fed: list[Terms], bought: list[Terms]) -> None:
    """What is an owner's own is fed to that owner's dogs only: each dog eats some of it, and else what is for all.

    **Source:** what `own` means; no outside source.
    """
    lots = [(number, lot) for number, lot in enumerate(one for one in scenario.on_hand if one.cut == cut.name)]
    if not any(lot.owner for _, lot in lots):
        return
    piece_g = scenario.portioning.whole_piece_g(cut)
    eaten = {dog.name: terms for dog, terms in zip(scenario.dogs, fed, strict=True)}
    own = {dog.name: matrices.column(f"own {dog.name}/{cut.name}") for dog in scenario.dogs if dog.owner}
    for name, terms in own.items():
        matrices.row(plus(eaten[name], times(-1, terms)), least=0)
    for owner in {dog.owner for dog in scenario.dogs} - {""}:
        dogs = [dog for dog in scenario.dogs if dog.owner == owner]
        mine = [(number, lot) for number, lot in lots if lot.owner == owner]
        matrices.row(plus(*(own[dog.name] for dog in dogs)), most=Fraction(sum(lot.grams for _, lot in mine), KG))
        healthy = plus(*(own[dog.name] for dog in dogs if dog.care is None))
        if piece_g is None:
            ready_g = sum(lot.grams for _, lot in mine if is_ready(scenario, lot))
            matrices.row(healthy, most=Fraction(ready_g, KG))
        else:
            pieces = plus(*({f"of lot {number} {cut.name}": Fraction(piece_g, KG)} for number, _ in mine))
            matrices.row(plus(healthy, times(-1, pieces)), least=0, most=0)
    beyond = {name: plus(terms, times(-1, own[name])) if name in own else terms for name, terms in eaten.items()}
    for_all_g = sum(lot.grams for _, lot in lots if not lot.owner)
    matrices.row(plus(*beyond.values(), times(-1, plus(*bought))), most=Fraction(for_all_g, KG))
    if piece_g is None:
        sold = [offer for supplier in scenario.suppliers for offer in scenario.offers
                if offer.supplier == supplier.name and offer.cut == cut.name]  # fmt: skip
        ready = [kg for kg, offer in zip(bought, sold, strict=True) if is_ready(scenario, offer)]
        ready_g = sum(lot.grams for _, lot in lots if not lot.owner and is_ready(scenario, lot))
        healthy = plus(*(beyond[dog.name] for dog in scenario.dogs if dog.care is None))
        matrices.row(plus(healthy, times(-1, plus(*ready))), most=Fraction(ready_g, KG))


def resting(matrices: Matrices, scenario: Scenario, dog: Dog, eat: dict[str, Terms]) -> None:
    """Of the food whose energy is known, a gram holds on the average what a gram must hold for the dog at rest.

    At rest a dog needs 70 kcal x kg^0.75 a day; one that is to lose weight 63 less 10, of its ideal weight.
    **Source:** Small Animal Clinical Nutrition 5th ed. (2010) table 5-2 (second-hand copy); AAHA 2021 Nutrition
    and Weight Management Guidelines. What to do about food of unknown energy: our own choice, as the rulebook says it.
    """
    if dog.resting_kcal is None or not dog.resting_share:
        return
    losing = dog.goal is Goal.LOSE
    grams = dog.ideal_weight_g if losing and dog.ideal_weight_g else dog.weight_g
    need = Fraction((53 if losing else 70) * (grams / KG) ** 0.75) - dog.other_food.kcal
    need = max((need / 2 if dog.other_food.as_much else need) - dog.treats_kcal, Fraction(0)) * dog.days
    known = {cut.name: Fraction(dict(cut.analysis.values)["energy"]) / 100
             for cut in scenario.cuts if "energy" in dict(cut.analysis.values)}  # fmt: skip
    energy = plus(*(times(kcal, eat[name]) for name, kcal in known.items()))
    if dog.free_grams:
        matrices.row(energy, least=need / KG)
        return
    due = need / dog.batch_g if dog.batch_g else Fraction(0)
    matrices.row(plus(energy, times(-due, plus(*(eat[name] for name in known)))), least=0)


def feeding(matrices: Matrices, scenario: Scenario, dog: Dog, eat: dict[str, Terms]) -> None:
    """What one dog eats."""
    for cut in scenario.cuts:
        unknown = dog.free_grams and all(key != "energy" for key, _ in cut.analysis.values)
        if dog.avoids(cut) or unknown or (dog.name, cut.name) in matrices.left_out:
            matrices.row(eat[cut.name], most=0)
    if dog.care is not None:
        given = {one.cut: one.batch_g for one in dog.vet_amounts}
        for name, terms in eat.items():
            grams = Fraction(given.get(name, 0), KG)
            matrices.row(terms, least=grams, most=grams)
        return
    whole = rationed(matrices, scenario, dog, eat)
    for target in dog.targets:
        part = plus(*(times(cut.part_share(target.part), eat[cut.name]) for cut in scenario.cuts))
        matrices.row(plus(part, times(-target.low, whole)), least=0)
        matrices.row(plus(part, times(-target.high, whole)), most=0)
    for cap in dog.caps:
        counted = plus(*(times(cap.subject.share_in(cut), eat[cut.name]) for cut in scenario.cuts))
        matrices.row(plus(counted, times(-cap.most, whole)), most=0)
    different_species(matrices, scenario, dog, eat)
    resting(matrices, scenario, dog, eat)
    for cut in scenario.cuts:
        portioned(matrices, scenario, dog, cut, eat[cut.name])


def rationed(matrices: Matrices, scenario: Scenario, dog: Dog, eat: dict[str, Terms]) -> Terms:
    """All that a dog eats: its grams, or whatever grams hold its energy."""
    whole = plus(*eat.values())
    if dog.free_grams and dog.energy:
        kcal = plus(*(times(KG * (cut.kcal_per_g or 0), eat[cut.name]) for cut in scenario.cuts))
        matrices.row(times(Fraction(1, KG), kcal), least=dog.energy.batch_kcal / KG, most=dog.energy.batch_kcal / KG)
    else:
        matrices.row(whole, least=Fraction(dog.batch_g, KG), most=Fraction(dog.batch_g, KG))
    return whole


def portioned(matrices: Matrices, scenario: Scenario, dog: Dog, cut: Cut, eat: Terms) -> None:
    """Whole pieces, as many as bags hold; of anything else nothing or the least portion."""
    piece_g = scenario.portioning.whole_piece_g(cut)
    if piece_g is None and not matrices.pieces:
        return
    if piece_g is None:
        some = matrices.column(f"some {dog.name}/{cut.name}", most=1, whole=True)
        matrices.row(plus(eat, times(-Fraction(scenario.portioning.least_portion_g, KG), some)), least=0)
        matrices.row(plus(eat, times(-plenty_kg(dog), some)), most=0)
        return
    most = most_pieces(scenario, dog, cut, piece_g)
    pieces = matrices.column(f"pieces {dog.name}/{cut.name}", most=most, whole=matrices.pieces)
    matrices.row(plus(eat, times(-Fraction(piece_g, KG), pieces)), least=0, most=0)


def plenty_kg(dog: Dog) -> Fraction:
    """What the dog eats at most; where its grams are free, far more than it would."""
    return Fraction(dog.batch_g, KG) * (20 if dog.free_grams else 1)


def nourishing(matrices: Matrices, scenario: Scenario, dog: Dog, eat: dict[str, Terms]) -> dict[str, Terms]:
    """Rules on nutrients, over what is known; how many steps a day of each supplement the dog is given."""
    if dog.care is not None or not (dog.nutrient_limits or dog.ratio_limits):
        return {}
    steps = {
        one.name: matrices.column(
            f"give {dog.name}/{one.name}", most=0 if dog.refuses(one) else one.most_steps, whole=True
        )
        for one in scenario.supplements
    }

    def known(key: str) -> Terms:
        food = (times(10 * (cut.analysis.of(key) or 0), eat[cut.name]) for cut in scenario.cuts)
        beside = (times(dog.days * (one.analysis.of(key) or 0), steps[one.name]) for one in scenario.supplements)
        return plus(*food, *beside)

    for limit in dog.nutrient_limits:
        if limit.per is Per.DAY:
            low, high = (None if one is None else one * dog.days for one in (limit.low, limit.high))
            scale = 1 / (low or high or 1)
            matrices.row(
                times(scale, known(limit.nutrient)),
                least=None if low is None else low * scale,
                most=None if high is None else high * scale,
            )
        else:
            between(matrices, known(limit.nutrient), times(Fraction(1, 1000), known("energy")), limit.low, limit.high)
    for ratio in dog.ratio_limits:
        between(matrices, known(ratio.over), known(ratio.under), ratio.low, ratio.high)
    return steps


def between(matrices: Matrices, one: Terms, other: Terms, low: Fraction | None, high: Fraction | None) -> None:
    """One sum at least and at most so many times another."""
    if low is not None:
        matrices.row(times(1 / (low or 1), plus(one, times(-low, other))), least=0)
    if high is not None:
        matrices.row(times(1 / (high or 1), plus(one, times(-high, other))), most=0)


def supplementing(
    matrices: Matrices, scenario: Scenario, supplier: Supplier, given: dict[str, list[Terms]], use: Terms
) -> list[Terms]:
    """What a supplier is paid for packs of supplements; each pack makes up for so many steps given."""
    goods = []
    for offer in (one for one in scenario.supplement_offers if one.supplier == supplier.name):
        thresholds = Fraction(supplier.minimum_order) + Fraction(supplier.free_delivery_from or 0)
        plenty = 1_000 + (ceil(2 * thresholds / Fraction(offer.price)) if offer.price else 0)
        most = plenty if offer.available is None else min(offer.available, plenty)
        packs = matrices.column(f"packs {offer.key}", most=most, whole=True)
        matrices.row(plus(packs, times(-most, use)), most=0)
        given[offer.supplement].append(times(-offer.steps, packs))
        goods.append(times(Fraction(offer.price), packs))
    return goods


def most_pieces(scenario: Scenario, dog: Dog, cut: Cut, piece_g: int) -> int:
    """How many pieces the dog's bags hold, each bag with a least portion beside, and its days by the most of a day.

    Where the dog has no rule on a subject, that most depends on what it eats of it, and stops no piece; nor are there
    bags of a known weight where its grams are free.
    """
    plenty = ceil(plenty_kg(dog) * KG / piece_g)
    if dog.free_grams:
        return plenty
    bags_g = weights_of_bags(scenario, dog)
    held = [sum(max(bag_g - scenario.portioning.least_portion_g, 0) // piece_g for bag_g in bags_g)]
    for subject, usual in scenario.portioning.most_a_day:
        highs = [target.high for target in dog.targets if subject == Subject(Measure.PART, target.part)]
        highs += [cap.most for cap in dog.caps if cap.subject == subject]
        most = min(max([usual, *(high * 5 / 3 for high in highs)]), Fraction(1))
        if highs and most < 1 and subject.share_in(cut):
            days_g = [sum(bags_g[place : place + dog.meals]) for place in range(0, len(bags_g), dog.meals)]
            held.append(sum(floor(most * day_g / (subject.share_in(cut) * piece_g)) for day_g in days_g))
    return min(plenty, *held)


def weights_of_bags(scenario: Scenario, dog: Dog) -> list[int]:
    """What bags weigh: at the end of each, all that was due so far to the nearest scale step; the last has the rest."""
    step_g, meals = scenario.portioning.scale_step_g, [day_g for day_g in dog.day_g if day_g for _ in range(dog.meals)]
    due = [Fraction(sum(meals[: place + 1]), dog.meals) for place in range(len(meals))]
    ends = [0, *(floor(one / step_g + Fraction(1, 2)) * step_g for one in due[:-1]), sum(dog.day_g)]
    return [end - begin for begin, end in pairwise(ends)]


def different_species(matrices: Matrices, scenario: Scenario, dog: Dog, eat: dict[str, Terms]) -> None:
    """Variety: a species of unknown share counts whole for the most and not at all for the least."""
    variety, whole = scenario.variety, plus(*eat.values())
    counted: list[Terms] = []
    for species in scenario.species():
        surely: Terms = {}
        at_worst: Terms = {}
        for cut in scenario.cuts:
            for one in cut.species:
                if one.species == species:
                    at_worst = plus(at_worst, times(1 if one.share is None else one.share, eat[cut.name]))
                    surely = plus(surely, times(0 if one.share is None else one.share, eat[cut.name]))
        matrices.row(plus(at_worst, times(-variety.most_share, whole)), most=0)
        if variety.least_species:
            has = matrices.column(f"has {dog.name}/{species}", most=1, whole=True)
            counted.append(has)
            never = variety.least_share * plenty_kg(dog)
            short = plus(surely, times(-variety.least_share, whole), times(-never, has))
            matrices.row(short, least=-never)  # the least share of all that is eaten, where the species is counted
    if variety.least_species:
        matrices.row(plus(*counted), least=variety.least_species)


def rounding(matrices: Matrices, scenario: Scenario, price: Terms) -> Terms:
    """By how much a line on the bill differs from its exact price: to whole minor units, by half of one at most."""
    minor = Fraction(1, 10**scenario.currency.digits)
    units = matrices.column(f"billed {len(matrices.columns)}", whole=True)
    off = plus(times(minor, units), times(-1, price))
    matrices.row(off, least=-minor / 2 + minor / 10_000)  # just half goes up
    matrices.row(off, most=minor / 2)
    return off


def buying(
    matrices: Matrices, scenario: Scenario, offer: Offer, use: Terms, cuts: dict[str, Terms]
) -> tuple[Terms, Terms]:
    """Kilograms and price of what is bought of an offer; each price step is a way of its own, at most one is taken.

    Whichever is taken, no less is sold than the least.
    """
    per_buy = Fraction(1, KG) if offer.to_the_gram else Fraction(1)
    most = most_units(scenario, offer)
    ways, amounts, price = [], [], []
    starts = [step.at_least for step in offer.steps]
    ends = [after - 1 for _, after in pairwise(starts)] + [most]
    for step, start, end in zip(offer.steps, starts, ends, strict=True):
        if start > most:
            continue
        way = matrices.column(f"way {offer.key}/{start}", most=1, whole=True)
        amount = matrices.column(f"buy {offer.key}/{start}", whole=not offer.to_the_gram)
        least = max(start if len(starts) > 1 else 0, offer.least_units if offer.least_units > 1 else 0) * per_buy
        matrices.row(plus(amount, times(-least, way)), least=0)
        matrices.row(plus(amount, times(-min(end, most) * per_buy, way)), most=0)
        ways.append(way)
        amounts.append(amount)
        price.append(times(step.unit_price / per_buy, amount))
    matrices.row(plus(*ways, times(-1, use)), most=0)
    if cuts:
        matrices.row(plus(*ways, times(-1, cuts[offer.cut])), most=0)
    return times(offer.unit_g / per_buy / KG, plus(*amounts)), plus(*price)


def paying(matrices: Matrices, supplier: Supplier, billed: Terms, use: Terms) -> Terms:
    """Goods as billed with tax and delivery; free delivery is a way of its own that needs its amount of goods."""
    matrices.row(plus(billed, times(-Fraction(supplier.minimum_order), use)), least=0)
    delivery = times(Fraction(supplier.delivery), use)
    if supplier.free_delivery_from is not None:
        free = matrices.column(f"free {supplier.name}", most=1, whole=True)
        matrices.row(plus(free, times(-1, use)), most=0)
        matrices.row(plus(billed, times(-Fraction(supplier.free_delivery_from), free)), least=0)
        delivery = plus(delivery, times(-Fraction(supplier.delivery), free))
    return plus(times(1 + supplier.sales_tax, billed), delivery)


def most_units(scenario: Scenario, offer: Offer) -> int:
    """Far more than anybody would buy: thrice all that is fed, twice every threshold, and ten more."""
    supplier = scenario.supplier(offer.supplier)
    fed_g = sum(ceil(plenty_kg(dog) * KG) for dog in scenario.dogs)
    thresholds = Fraction(supplier.minimum_order) + Fraction(supplier.free_delivery_from or 0)
    cheapest = min(step.unit_price for step in offer.steps)
    for_money = ceil(2 * thresholds / cheapest) if cheapest else 0
    plenty = ceil(Fraction(3 * fed_g, offer.unit_g)) + for_money + 2 * offer.steps[-1].at_least + 10
    return plenty if offer.available is None else min(plenty, offer.available)


class AtLeast(float):
    """A cost below which there is no order, though there may be none at it: rows were met within a tolerance alone."""


def _solved(matrices: Matrices, cost: Terms) -> float | None:
    """The least cost, reckoned again as a linear programme with the whole numbers held fast."""
    factors = _dense(matrices, cost)
    lines = LinearConstraint(*_rows(matrices))
    whole = np.array(matrices.whole)
    none, highest = np.zeros(len(whole)), np.array(matrices.highest)
    found: Any = milp(
        factors, integrality=whole, bounds=Bounds(none, highest), constraints=lines, options={"mip_rel_gap": 0}
    )
    if found.status == 2:
        return None
    assert found.status == 0, found.message
    held = np.round(found.x)
    bounds = Bounds(np.where(whole, held, none), np.where(whole, held, highest))
    again: Any = milp(factors, bounds=bounds, constraints=lines)
    if again.status == 2:  # some row is met only within the solver's tolerance
        return AtLeast(found.fun)
    assert again.status == 0, again.message
    return float(again.fun)


def _dense(matrices: Matrices, terms: Terms) -> Any:
    factors = np.zeros(len(matrices.columns))
    for name, factor in terms.items():
        factors[matrices.columns[name]] = float(factor)
    return factors


def _rows(matrices: Matrices) -> tuple[Any, Any, Any]:
    entries = [
        (number, matrices.columns[name], float(factor))
        for number, (terms, _, _) in enumerate(matrices.rows)
        for name, factor in terms.items()
    ]
    lines, columns, factors = zip(*entries, strict=True)
    shape = (len(matrices.rows), len(matrices.columns))
    return (
        csr_matrix((factors, (lines, columns)), shape=shape),
        np.array([least for _, least, _ in matrices.rows]),
        np.array([most for _, _, most in matrices.rows]),
    )
