"""The Problem: the sets and unknowns of the model, with their names and bounds, but without the rules."""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from math import ceil

import pulp

from raworder.solving.groups import Group, groups_of, most_share
from raworder.trade.cuts import Cut
from raworder.trade.nutrients import Supplement
from raworder.trade.scenario import Offer, OnHand, PriceStep, Scenario, SupplementOffer, Supplier
from raworder.trade.units import Currency


def row_name(*words: str) -> str:
    """The words in letters, digits and underscores only, as every solver takes them.

    >>> row_name("eat", "Maple", "beef heart")
    'eat_maple_beef_heart'
    """
    return "_".join(re.sub(r"[^a-z0-9]+", "_", word.casefold()).strip("_") or "x" for word in words)


def total(terms: Iterable[tuple[pulp.LpVariable, float]]) -> pulp.LpAffineExpression:
    """The sum of coefficient times variable; each variable must appear once."""
    return pulp.LpAffineExpression([(variable, coefficient) for variable, coefficient in terms if coefficient])


class Names:
    """Gives every variable a name that no other has."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def __call__(self, *words: str) -> str:
        """The words as a name; a second variable of that name gets a number."""
        plain = name = row_name(*words)
        again = 1
        while name in self._taken:
            again += 1
            name = f"{plain}__{again}"
        self._taken.add(name)
        return name


def amount(name: str, most: float | None = None, category: str = pulp.LpContinuous) -> pulp.LpVariable:
    """An unknown amount, from nothing to the most, in whole numbers where its category says so."""
    return pulp.LpProblem().add_variable(name, 0, most, category)


def switch(name: str) -> pulp.LpVariable:
    """An unknown that is yes or no."""
    return amount(name, 1, pulp.LpBinary)


GRAMS_PER_KG = 1000

LEANEST_KCAL_PER_G = Fraction(1, 10)
"""The least energy assumed of any mixture, so that bounds stay finite; cucumber has about this much."""


@dataclass(frozen=True)
class Printed:
    """The unknowns of the printed bill, added once it is minimised: whole grams, lines, goods and taxes."""

    grams: dict[str, pulp.LpVariable] = field(default_factory=dict)
    line: dict[str, pulp.LpVariable] = field(default_factory=dict)
    goods: dict[str, pulp.LpVariable] = field(default_factory=dict)
    tax: dict[str, pulp.LpVariable] = field(default_factory=dict)


@dataclass(frozen=True)
class Problem:
    """A scenario with its unknowns. They are keyed by name, so that a rule in code reads like its text."""

    scenario: Scenario
    groups: tuple[Group, ...]
    cuts: Mapping[str, Cut]
    offers: tuple[Offer, ...]
    lp: pulp.LpProblem
    eat_kg: dict[tuple[str, str], pulp.LpVariable] = field(default_factory=dict)
    left_kg: dict[str, pulp.LpVariable] = field(default_factory=dict)
    buy: dict[tuple[str, int], pulp.LpVariable] = field(default_factory=dict)
    step: dict[tuple[str, int], pulp.LpVariable] = field(default_factory=dict)
    ordered: dict[str, pulp.LpVariable] = field(default_factory=dict)
    use: dict[str, pulp.LpVariable] = field(default_factory=dict)
    cut_bought: dict[str, pulp.LpVariable] = field(default_factory=dict)
    free: dict[str, pulp.LpVariable] = field(default_factory=dict)
    billed: dict[str, pulp.LpVariable] = field(default_factory=dict)
    pay: dict[str, pulp.LpVariable] = field(default_factory=dict)
    chosen: dict[tuple[str, str], pulp.LpVariable] = field(default_factory=dict)
    pieces: dict[tuple[str, str], pulp.LpVariable] = field(default_factory=dict)
    drawn: dict[str, pulp.LpVariable] = field(default_factory=dict)
    taken: dict[tuple[str, str], pulp.LpVariable] = field(default_factory=dict)
    give: dict[tuple[str, str], pulp.LpVariable] = field(default_factory=dict)
    packs: dict[str, pulp.LpVariable] = field(default_factory=dict)
    own: dict[tuple[str, str], pulp.LpVariable] = field(default_factory=dict)
    own_vet: dict[tuple[str, str], pulp.LpVariable] = field(default_factory=dict)
    printed: Printed = field(default_factory=Printed)
    fed: dict[str, pulp.LpVariable] = field(default_factory=dict)
    differ: dict[tuple[frozenset[str], frozenset[str]], pulp.LpVariable] = field(default_factory=dict)
    cleaned: dict[frozenset[str], pulp.LpVariable] = field(default_factory=dict)
    missed: list[pulp.LpVariable] = field(default_factory=list)

    def eaten(self, group: Group) -> Iterable[tuple[Cut, pulp.LpVariable]]:
        """The cuts with what the group eats of each."""
        return ((cut, self.eat_kg[group.name, name]) for name, cut in self.cuts.items())

    def offers_of(self, supplier: Supplier) -> tuple[Offer, ...]:
        """What the supplier sells."""
        return tuple(self._by_supplier.get(supplier.name, ()))

    def offers_for(self, cut: str) -> tuple[Offer, ...]:
        """The offers of a cut."""
        return tuple(self._by_cut.get(cut, ()))

    @cached_property
    def _by_supplier(self) -> dict[str, list[Offer]]:
        return _group_offers(self.offers, lambda offer: offer.supplier)

    @cached_property
    def _by_cut(self) -> dict[str, list[Offer]]:
        return _group_offers(self.offers, lambda offer: offer.cut)

    @cached_property
    def most_food_g(self) -> dict[str, Fraction]:
        """The most grams that each group can eat."""
        return {group.name: most_food_g(self, group) for group in self.groups}

    @cached_property
    def usable_g(self) -> dict[str, Fraction]:
        """The most grams of each cut that all dogs together can eat within their ranges and caps."""
        return {cut: sum((edible_g(self, group, cut) for group in self.groups), Fraction(0)) for cut in self.cuts}

    def bought(self, offer: Offer) -> list[tuple[int, PriceStep, pulp.LpVariable]]:
        """The price steps of an offer, each with its index and the amount bought at it."""
        return [(k, step, self.buy[offer.key, k]) for k, step in enumerate(offer.steps)]

    def goods_of(self, offer: Offer) -> list[tuple[pulp.LpVariable, float]]:
        """The terms whose sum is the worth of what is bought of an offer."""
        return [(bought, float(step.unit_price * units_per_buy(offer))) for _, step, bought in self.bought(offer)]

    def billed_goods(self, supplier: Supplier) -> list[tuple[pulp.LpVariable, float]]:
        """The terms of the goods as they stand on the bill: in whole minor units where a line has to be rounded."""
        minor = float(self.scenario.currency.minor)
        lines = (
            [(self.billed[offer.key], minor)] if offer.key in self.billed else self.goods_of(offer)
            for offer in self.offers_of(supplier)
        )
        packs = [
            (self.packs[offer.key], float(offer.price))
            for offer in self.scenario.supplement_offers
            if offer.supplier == supplier.name
        ]
        return [*(term for line in lines for term in line), *packs]

    def given(self, group: Group) -> Iterable[tuple[Supplement, pulp.LpVariable]]:
        """The supplements that the group may be given, with how many steps a day it is."""
        return (
            (supplement, self.give[group.name, supplement.name])
            for supplement in self.scenario.supplements
            if (group.name, supplement.name) in self.give
        )

    @property
    def most_rounded_off(self) -> float:
        """The most that rounding can save on an order: half a minor unit for each line and each tax."""
        lines = [
            offer for offer in self.offers if is_rounded(self.scenario.currency, offer) and offer.key not in self.billed
        ]
        taxes = [supplier for supplier in self.suppliers if supplier.sales_tax]
        return float(self.scenario.currency.minor) / 2 * (len(lines) + len(taxes))

    @property
    def suppliers(self) -> tuple[Supplier, ...]:
        """The suppliers by name."""
        return tuple(sorted(self.scenario.suppliers, key=lambda supplier: supplier.name))

    def fed_by_rules(self) -> tuple[Group, ...]:
        """The groups whose amounts are computed: all but those under a veterinarian's care."""
        return tuple(group for group in self.groups if group.care is None)


def _group_offers(offers: Iterable[Offer], key: Callable[[Offer], str]) -> dict[str, list[Offer]]:
    """The offers by a key, each in its order."""
    found: dict[str, list[Offer]] = {}
    for offer in offers:
        found.setdefault(key(offer), []).append(offer)
    return found


def pose_unknowns(
    scenario: Scenario,
    *,
    whole: bool = True,
    scraps: AbstractSet[tuple[str, str]] = frozenset(),
    groups: Sequence[Group] | None = None,
) -> Problem:
    """The unknowns of a scenario, named and bounded, in the same order whatever the order in the file.

    With `whole`, pieces are counted as whole numbers. `scraps` are pairs of group and cut that need a switch for the
    least portion.
    """
    problem = Problem(
        scenario,
        groups_of(scenario) if groups is None else tuple(groups),
        {cut.name: cut for cut in sorted(scenario.cuts, key=lambda cut: cut.name)},
        tuple(sorted(scenario.offers, key=lambda offer: offer.key)),
        pulp.LpProblem("order", pulp.LpMinimize),
    )
    names = Names()
    _pose_eating(problem, scraps, names)
    if whole:
        _pose_pieces(problem, names)
    for offer in problem.offers:
        _pose_offer(problem, offer, names)
    _pose_supplements(problem, names)
    _pose_own_stock(problem, names)
    for supplier in problem.suppliers:
        _pose_supplier(problem, supplier, names)
    if scenario.most_cuts is not None:
        for cut in dict.fromkeys(offer.cut for offer in problem.offers):
            problem.cut_bought[cut] = switch(names("cut_bought", cut))
    if scenario.variety.least_species:
        _pose_variety(problem, names)
    return problem


def units_per_buy(offer: Offer) -> int:
    """Units of the offer per unit of the model: 1000 where the model counts kilograms sold to the gram, else 1."""
    return GRAMS_PER_KG if offer.to_the_gram else 1


def is_rounded(currency: Currency, offer: Offer) -> bool:
    """Whether a line of the offer may have to be rounded to the minor unit."""
    return any(step.unit_price != Fraction(currency.rounded(step.unit_price)) for step in offer.steps)


def kg_per_buy(offer: Offer) -> float:
    """Kilograms per unit of the model."""
    return float(offer.unit_g * units_per_buy(offer) / GRAMS_PER_KG)


def most_units(problem: Problem, offer: Offer) -> int:
    """The most units that a cheapest order can need: to feed all dogs, or to reach a least line, threshold or step.

    Buying more than is fed can be the cheapest, so it is allowed up to here. One unit beyond all of these could be left
    out: the dogs would still be fed, and every threshold still reached.
    """
    if offer.bought is not None:
        return offer.bought
    supplier = problem.scenario.supplier(offer.supplier)
    cheapest = min(step.unit_price for step in offer.steps)
    thresholds = [supplier.minimum_order, supplier.free_delivery_from or 0]
    reach = [ceil(Fraction(threshold) / cheapest) for threshold in thresholds if cheapest]
    fed = ceil(problem.usable_g[offer.cut] / offer.unit_g)
    most = max(fed, offer.least_units, offer.steps[-1].at_least, *reach)
    return most if offer.available is None else min(most, offer.available)


def edible_g(problem: Problem, group: Group, cut: str) -> Fraction:
    """The most grams of a cut that a group can eat within its ranges and caps."""
    if group.care:
        return Fraction(sum(vet_amount.batch_g for vet_amount in group.rules.vet_amounts if vet_amount.cut == cut))
    return problem.most_food_g[group.name] * most_share(
        group.rules, group.avoided, problem.cuts[cut], problem.scenario.variety
    )


def _pose_eating(problem: Problem, scraps: AbstractSet[tuple[str, str]], names: Names) -> None:
    """What every group eats and what is left over of every cut; a switch for each pair in `scraps`."""
    for group in problem.groups:
        for cut in problem.cuts:
            problem.eat_kg[group.name, cut] = amount(names("eat", group.name, cut))
    for cut in problem.cuts:
        problem.left_kg[cut] = amount(names("left", cut))
    for name, cut in sorted(scraps):
        problem.taken[name, cut] = switch(names("taken", name, cut))


def _pose_pieces(problem: Problem, names: Names) -> None:
    """How many pieces a group eats of each cut that is fed in whole ones."""
    for group in problem.fed_by_rules():
        for cut in problem.cuts.values():
            if problem.scenario.portioning.whole_piece_g(cut):
                name = names("pieces", group.name, cut.name)
                problem.pieces[group.name, cut.name] = amount(name, None, pulp.LpInteger)
    for cut in problem.cuts.values():
        uneven = uneven_offers(problem, cut)
        for offer in uneven if len(uneven) > 1 else ():
            problem.drawn[offer.key] = amount(names("drawn", offer.key), None, pulp.LpInteger)


def uneven_offers(problem: Problem, cut: Cut) -> tuple[Offer, ...]:
    """The offers of a cut fed in whole pieces whose units are not whole pieces, so that a rest may remain."""
    piece_g = problem.scenario.portioning.whole_piece_g(cut)
    offers = [offer for offer in problem.offers_for(cut.name) if offer.bought is None]
    return tuple(offer for offer in offers if piece_g and offer.unit_g % piece_g)


def _pose_offer(problem: Problem, offer: Offer, names: Names) -> None:
    """The amount bought at each price step; a switch per step where there are several, and for a least line."""
    most = most_units(problem, offer)
    ends = [step.at_least - 1 for step in offer.steps[1:]] + [most]
    category = pulp.LpContinuous if offer.to_the_gram else pulp.LpInteger
    for k, end in enumerate(ends):
        name = names("buy", offer.key, *_step_words(offer, k))
        problem.buy[offer.key, k] = amount(name, min(most, end) / units_per_buy(offer), category)
        if len(ends) > 1:
            problem.step[offer.key, k] = switch(names("step", offer.key, *_step_words(offer, k)))
    if offer.has_least:
        problem.ordered[offer.key] = switch(names("ordered", offer.key))


def most_packs(problem: Problem, offer: SupplementOffer) -> int:
    """The most packs of a supplement that a cheapest order can hold: all that may be given, or to reach a threshold."""
    scenario, supplement = problem.scenario, problem.scenario.supplement(offer.supplement)
    supplier = scenario.supplier(offer.supplier)
    days = sum(group.rules.days for group in problem.groups if (group.name, supplement.name) in problem.give)
    thresholds = (supplier.minimum_order, supplier.free_delivery_from or 0)
    reach = [ceil(Fraction(threshold) / Fraction(offer.price)) for threshold in thresholds if offer.price]
    most = max(ceil(Fraction(days * supplement.most_steps, offer.steps)), *reach, 0)
    return most if offer.available is None else min(most, offer.available)


def _pose_supplements(problem: Problem, names: Names) -> None:
    """How many steps of each supplement a dog is given a day, and how many packs of each are bought."""
    for group in problem.fed_by_rules():
        if group.rules.takes_supplements:
            for supplement in problem.scenario.supplements:
                most = 0 if group.rules.refuses(supplement) else supplement.most_steps
                problem.give[group.name, supplement.name] = amount(
                    names("give", group.name, supplement.name), most, pulp.LpInteger
                )
    for offer in sorted(problem.scenario.supplement_offers, key=lambda offer: offer.key):
        most = most_packs(problem, offer)
        problem.packs[offer.key] = amount(names("packs", offer.key), most, pulp.LpInteger)


def _pose_own_stock(problem: Problem, names: Names) -> None:
    """What an owner's dogs eat of that owner's own lots: those fed by rules, and those under a veterinarian's care."""
    for owner, cut in sorted({(lot.owner, lot.cut) for lot in problem.scenario.on_hand if lot.owner}):
        lots = [lot for lot in problem.scenario.on_hand if (lot.owner, lot.cut) == (owner, cut)]
        ready_g = sum(whole_g(problem, lot) for lot in lots if not problem.scenario.waits(lot))
        problem.own[owner, cut] = amount(names("own", owner, cut), ready_g / GRAMS_PER_KG)
        groups = [group for group in problem.groups if group.care and group.rules.owner == owner]
        if vet_g := sum((edible_g(problem, group, cut) for group in groups), Fraction(0)):
            problem.own_vet[owner, cut] = amount(names("own_vet", owner, cut), float(vet_g / GRAMS_PER_KG))


def whole_g(problem: Problem, lot: OnHand) -> int:
    """The grams of a lot that dogs fed by rules can get: whole pieces, where the cut is fed in them."""
    return lot.grams - lot.grams % (problem.scenario.portioning.whole_piece_g(problem.cuts[lot.cut]) or 1)


def _step_words(offer: Offer, k: int) -> Sequence[str]:
    """The words that tell one price step from another; none where there is only one."""
    return (f"from {offer.steps[k].at_least}",) if len(offer.steps) > 1 else ()


def _pose_supplier(problem: Problem, supplier: Supplier, names: Names) -> None:
    """What a supplier is paid, whether it is used, and whether its delivery is free."""
    problem.pay[supplier.name] = amount(names("pay", supplier.name))
    problem.use[supplier.name] = switch(names("use", supplier.name))
    if supplier.free_delivery_from is not None and supplier.delivery:
        problem.free[supplier.name] = switch(names("free", supplier.name))
    if supplier.minimum_order or supplier.name in problem.free:
        for offer in problem.offers_of(supplier):
            if is_rounded(problem.scenario.currency, offer):
                problem.billed[offer.key] = amount(names("billed", offer.key), None, pulp.LpInteger)


def _pose_variety(problem: Problem, names: Names) -> None:
    """Whether a group gets a species at all."""
    for group in problem.fed_by_rules():
        for species in problem.scenario.species():
            problem.chosen[group.name, species] = switch(names("chosen", group.name, species))


def most_food_g(problem: Problem, group: Group) -> Fraction:
    """The most grams that a group can eat: its ration, or where grams are free, its energy in the leanest mixture.

    The leanest cuts go in first, each as much as its ranges and caps allow.
    """
    if not group.free_grams:
        return Fraction(group.ration_g)
    room, kcal_per_g = Fraction(1), Fraction(0)
    for cut in sorted(problem.cuts.values(), key=lambda cut: (cut.kcal_per_g or 0, cut.name)):
        share = min(most_share(group.rules, group.avoided, cut, problem.scenario.variety), room)
        room, kcal_per_g = room - share, kcal_per_g + share * (cut.kcal_per_g or 0)
    return group.need_kcal / max(kcal_per_g, LEANEST_KCAL_PER_G)
