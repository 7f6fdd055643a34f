"""The builders: each rule of the rulebook for the solver, one function under the rule's key."""

from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

import pulp

from raworder.solving.bag_room import limits_of_all
from raworder.solving.groups import Group
from raworder.solving.objective import paid_to
from raworder.solving.problem import (
    GRAMS_PER_KG,
    Problem,
    edible_g,
    kg_per_buy,
    most_packs,
    most_units,
    row_name,
    total,
    units_per_buy,
)
from raworder.solving.stock import hold, own_stock, supply
from raworder.trade.cuts import Measure, Subject
from raworder.trade.nutrients import Analysis, NutrientLimit, Per, RatioLimit
from raworder.trade.scenario import Offer

NamedRows = Iterator[tuple[str, pulp.LpConstraint]]

Term = tuple[pulp.LpVariable, Fraction]
"""An unknown with its exact coefficient."""

PER_KG = Fraction(GRAMS_PER_KG, 100)
"""An analysis is of 100 g."""


def nutrient(problem: Problem) -> NamedRows:
    """A dog gets at least and at most so much of a nutrient, a day or per 1000 kcal, as far as is known to be left."""
    for group in problem.fed_by_rules():
        for limit in sorted(group.rules.nutrient_limits, key=lambda limit: limit.key):
            for end, bound in (("low", limit.low), ("high", limit.high)):
                if bound is not None:
                    name = row_name("nutrient", group.name, limit.key, end)
                    yield (
                        name,
                        _scaled_row(_bound_terms(problem, group, limit, bound), _amount_due(group, limit, bound), end),
                    )


def nutrient_ratio(problem: Problem) -> NamedRows:
    """A dog gets at least and at most so many times as much of one nutrient as of another, as far as is known."""
    for group in problem.fed_by_rules():
        for limit in sorted(group.rules.ratio_limits, key=lambda limit: limit.key):
            for end, bound in (("low", limit.low), ("high", limit.high)):
                if bound is not None:
                    name = row_name("nutrient_ratio", group.name, limit.key, end)
                    yield name, _scaled_row(_ratio_terms(problem, group, limit, bound), Fraction(0), end)


def supplement(problem: Problem) -> NamedRows:
    """A supplement is given in whole steps, at most so many a day, no more than there is, to whoever may have it."""
    offers = problem.scenario.supplement_offers
    for product in problem.scenario.supplements:
        given = [
            (problem.give[group.name, product.name], float(group.rules.days))
            for group in problem.groups
            if (group.name, product.name) in problem.give
        ]
        bought = [
            (problem.packs[offer.key], -float(offer.steps)) for offer in offers if offer.supplement == product.name
        ]
        if given:
            yield row_name("supplement", product.name), total([*given, *bought]) <= product.on_hand_steps
    for offer in offers:
        packs, use = problem.packs[offer.key], problem.use[offer.supplier]
        yield row_name("supplement_use", offer.key), total([(packs, 1), (use, -float(most_packs(problem, offer)))]) <= 0


def _bound_terms(problem: Problem, group: Group, limit: NutrientLimit, bound: Fraction) -> Iterable[Term]:
    """The terms of a bound on one nutrient; per 1000 kcal, what the energy allows is subtracted."""
    # nutrient / energy <= bound is no linear row; nutrient - bound x energy <= 0 is the same and linear.
    per_kcal = bound / 1000 if limit.per is Per.MCAL else Fraction(0)
    return _nutrient_terms(problem, group, {limit.nutrient: Fraction(1), "energy": -per_kcal})


def _amount_due(group: Group, limit: NutrientLimit, bound: Fraction) -> Fraction:
    """The right side of a bound on one nutrient: the batch's amount, or 0 where the bound is per 1000 kcal."""
    return bound * group.rules.days if limit.per is Per.DAY else Fraction(0)


def _ratio_terms(problem: Problem, group: Group, limit: RatioLimit, bound: Fraction) -> Iterable[Term]:
    """The terms of a ratio: the one nutrient, less the bound times the other."""
    return _nutrient_terms(problem, group, {limit.over: Fraction(1), limit.under: -bound})


def _nutrient_terms(problem: Problem, group: Group, factors: dict[str, Fraction]) -> Iterable[Term]:
    """All that a group eats and is given, each unknown with its nutrients times their factors."""
    for cut, eat in problem.eaten(group):
        yield eat, _combine_nutrients(cut.analysis, factors) * PER_KG
    for product, give in problem.given(group):
        yield give, _combine_nutrients(product.analysis, factors) * group.rules.days


def _combine_nutrients(analysis: Analysis, factors: dict[str, Fraction]) -> Fraction:
    """The known nutrients of an analysis, each times its factor."""
    return sum((factor * (analysis.of(key) or 0) for key, factor in factors.items()), Fraction(0))


def _scaled_row(terms: Iterable[Term], due: Fraction, end: str) -> pulp.LpConstraint:
    """The terms are at least (`low`) or at most what is due; scaled so that the largest coefficient is 1."""
    # Units of nutrients run from micrograms to kilocalories; the solver's tolerance is absolute.
    exact = list(terms)
    largest = max((abs(factor) for _, factor in exact), default=Fraction(0)) or Fraction(1)
    row = total((unknown, float(factor / largest)) for unknown, factor in exact)
    return row >= float(due / largest) if end == "low" else row <= float(due / largest)


Units = tuple[tuple[str, int], ...]
"""Units of each offer, by its key."""


@dataclass(frozen=True, slots=True)
class AtLeastThese:
    """Constraints beyond the rules: at least these units are bought, and more of at most `most_things` offers."""

    units: Units
    most_things: int | None = None

    def __call__(self, problem: Problem) -> NamedRows:
        """A row for every offer; with `most_things`, a switch for each offer of which more is bought."""
        least = dict(self.units)
        switches = []
        for number, offer in enumerate(problem.offers):
            units = least.get(offer.key, 0)
            bought = [(amount, 1.0) for _, _, amount in problem.bought(offer)]
            if units:
                yield row_name("bought_already", offer.key), total(bought) >= units / units_per_buy(offer)
            if self.most_things is not None and _most_beyond(problem, offer, units) > 0:
                beyond = problem.lp.add_variable(f"beyond_{number}", 0, 1, pulp.LpBinary)
                most = total([*bought, (beyond, -_most_beyond(problem, offer, units))])
                yield f"beyond_{number}_most", most <= units / units_per_buy(offer)
                switches.append((beyond, 1.0))
        if switches:
            yield "beyond_things", total(switches) <= self.most_things


def _most_beyond(problem: Problem, offer: Offer, units: int) -> float:
    """How much can be bought beyond these units, in what the model counts."""
    return (most_units(problem, offer) - units) / units_per_buy(offer)


HALF_GOES_UP = 1e-4
"""Exactly half a minor unit is rounded up, so a line is rounded down by at most a half less this much."""


def ration(problem: Problem) -> NamedRows:
    """A dog eats over the batch exactly its daily rations added up, in grams or in energy."""
    for group in problem.groups:
        if group.free_grams:
            energy = total((eat, float(cut.kcal_per_g or 0)) for cut, eat in problem.eaten(group))
            yield row_name("ration", group.name), energy == float(group.need_kcal / GRAMS_PER_KG)
        elif group.rules.energy is None:
            eaten = total((eat, 1) for _, eat in problem.eaten(group))
            yield row_name("ration", group.name), eaten == group.ration_g / GRAMS_PER_KG
        # grams found for energy change again where pieces are shared out: `sharing.energy_rows` keeps the energy


def resting_energy(problem: Problem) -> NamedRows:
    """A dog gets at least the energy that it needs at rest, as far as its food's energy is known."""
    for group in problem.fed_by_rules():
        if group.resting_density and group.free_grams:
            energy = total((eat, float(cut.kcal_per_g or 0)) for cut, eat in problem.eaten(group))
            least = group.resting_density * group.need_kcal / GRAMS_PER_KG
            yield row_name("resting_energy", group.name), energy >= float(least)
        elif group.resting_density and group.rules.energy is None:
            # What is of unknown energy is taken to hold just what is asked: it neither helps nor harms. Where grams
            # were found for energy that was enough, the ration sees to it.
            known = ((eat, cut.kcal_per_g) for cut, eat in problem.eaten(group) if cut.kcal_per_g is not None)
            beyond = total((eat, float(held - group.resting_density)) for eat, held in known)
            yield row_name("resting_energy", group.name), beyond >= 0


def vet_amount(problem: Problem) -> NamedRows:
    """A dog under a veterinarian's care gets, cut by cut, what the veterinarian gave, every day alike."""
    for group in problem.groups:
        if group.care:
            given_g = {vet_amount.cut: vet_amount.batch_g for vet_amount in group.rules.vet_amounts}
            for cut, eat in problem.eaten(group):
                name = row_name("vet_amount", group.name, cut.name)
                yield name, eat == given_g.get(cut.name, 0) / GRAMS_PER_KG


def part_share(problem: Problem) -> NamedRows:
    """Each part's share of what a dog eats stays inside its target range."""
    for group in problem.fed_by_rules():
        for target in sorted(group.rules.targets, key=lambda target: target.part):
            eaten = [(cut.part_share(target.part), eat) for cut, eat in problem.eaten(group)]
            if target.low > 0:
                above = total((eat, float(share - target.low)) for share, eat in eaten)
                yield row_name("part_share", group.name, target.part, "low"), above >= 0
            if target.high < 1:
                below = total((eat, float(target.high - share)) for share, eat in eaten)
                yield row_name("part_share", group.name, target.part, "high"), below >= 0


def cap(problem: Problem) -> NamedRows:
    """What is capped is at most its share of what a dog eats."""
    for group in problem.fed_by_rules():
        for limit in sorted(group.rules.caps, key=lambda limit: (limit.subject.measure, limit.subject.word)):
            below = total((eat, float(limit.most - limit.subject.share_in(cut))) for cut, eat in problem.eaten(group))
            yield row_name("cap", group.name, limit.subject.measure, limit.subject.word), below >= 0


def avoid(problem: Problem) -> NamedRows:
    """Nothing a dog must not eat is fed to it, in any form; where energy counts, nothing of unknown energy."""
    for group in problem.groups:
        for cut in sorted(group.avoided):
            yield row_name("avoid", group.name, cut), total([(problem.eat_kg[group.name, cut], 1)]) == 0


def variety(problem: Problem) -> NamedRows:
    """A dog gets at least so many animal species, each at least its share, and none above the most."""
    for group in problem.fed_by_rules():
        if problem.scenario.variety.most_share < 1:
            yield from _limit_each_species(problem, group)
        if problem.scenario.variety.least_species:
            yield from _require_species(problem, group)


def whole_pieces(problem: Problem) -> NamedRows:
    """A cut with bone in it is fed in whole pieces, no more of them than a dog's bags and days can take."""
    for (name, cut), pieces in problem.pieces.items():
        piece_g = problem.scenario.portioning.whole_piece_g(problem.cuts[cut]) or 0
        eaten = [(problem.eat_kg[name, cut], 1), (pieces, -piece_g / GRAMS_PER_KG)]
        yield row_name("whole_pieces", name, cut), total(eaten) == 0
    for group in problem.groups:
        for cut in sorted(group.unfit):
            yield row_name("whole_pieces", group.name, cut, "fit"), total([(problem.eat_kg[group.name, cut], 1)]) == 0
    for group in problem.fed_by_rules():
        yield from _limit_pieces_by_bags(problem, group)


def least_portion(problem: Problem, pairs: Container[tuple[str, str]] | None = None) -> NamedRows:
    """A dog gets nothing of a cut, or at least the least portion; of a group even the dog that eats least."""
    for group in problem.fed_by_rules():
        least_kg = float(group.least_g(problem.scenario.portioning.least_portion_g) / GRAMS_PER_KG)
        for cut, eat in problem.eaten(group):
            if (group.name, cut.name) in (problem.taken if pairs is None else pairs):
                taken = problem.taken[group.name, cut.name]
                most_kg = float(edible_g(problem, group, cut.name) / GRAMS_PER_KG)
                yield row_name("least_portion", group.name, cut.name, "low"), total([(eat, 1), (taken, -least_kg)]) >= 0
                yield row_name("least_portion", group.name, cut.name, "high"), total([(eat, 1), (taken, -most_kg)]) <= 0


def pack_count(problem: Problem) -> NamedRows:
    """Packs are whole, no more is bought than is available, and what is bought already is bought."""
    for offer in problem.offers:
        amounts = total((amount, 1) for _, _, amount in problem.bought(offer))
        if offer.bought is None:
            yield row_name("pack_count", offer.key), amounts <= _most_buy(problem, offer)
        else:
            yield row_name("pack_count", offer.key), amounts == offer.bought / units_per_buy(offer)


def least_purchase(problem: Problem) -> NamedRows:
    """A line by weight is at least what a shop sells."""
    for offer in problem.offers:
        if offer.key in problem.ordered:
            bought = [(amount, 1.0) for _, _, amount in problem.bought(offer)]
            ordered, least = problem.ordered[offer.key], offer.least_units / units_per_buy(offer)
            name = row_name("least_purchase", offer.key)
            yield f"{name}_low", total([*bought, (ordered, -least)]) >= 0
            yield f"{name}_high", total([*bought, (ordered, -_most_buy(problem, offer))]) <= 0


def price_break(problem: Problem) -> NamedRows:
    """The price is that of the step which the amount bought falls in."""
    for offer in problem.offers:
        if len(offer.steps) == 1:
            continue
        for k, step, amount in problem.bought(offer):
            taken = problem.step[offer.key, k]
            name = row_name("price_break", offer.key, f"from {step.at_least}")
            yield f"{name}_low", total([(amount, 1), (taken, -step.at_least / units_per_buy(offer))]) >= 0
            yield f"{name}_high", total([(amount, 1), (taken, -amount.upBound)]) <= 0
        steps = [(problem.step[offer.key, k], 1.0) for k in range(len(offer.steps))]
        yield row_name("price_break", offer.key, "one"), total(steps) <= 1


def supplier_count(problem: Problem) -> NamedRows:
    """At most so many suppliers are used."""
    most = problem.scenario.most_suppliers
    if most is not None:
        yield "supplier_count", total((use, 1) for use in problem.use.values()) <= most


def cut_count(problem: Problem) -> NamedRows:
    """At most so many different cuts are bought."""
    most = problem.scenario.most_cuts
    if most is not None:
        yield from cut_switch_rows(problem)
        yield "cut_count", total((bought, 1) for bought in problem.cut_bought.values()) <= most


def cut_switch_rows(problem: Problem) -> NamedRows:
    """A cut of which anything is bought has its switch on."""
    for offer in problem.offers:
        amounts = [(amount, 1.0) for _, _, amount in problem.bought(offer)]
        bought = (problem.cut_bought[offer.cut], -_most_buy(problem, offer))
        yield row_name("cut_count", offer.key), total([*amounts, bought]) <= 0


def delivery(problem: Problem) -> NamedRows:
    """A supplier that is used charges its delivery, unless the goods on its bill reach what makes it free."""
    for supplier in problem.suppliers:
        use = problem.use[supplier.name]
        for offer in problem.offers_of(supplier):
            amounts = [(amount, 1.0) for _, _, amount in problem.bought(offer)]
            yield row_name("delivery_use", offer.key), total([*amounts, (use, -_most_buy(problem, offer))]) <= 0
        if supplier.name in problem.free:
            free, least = problem.free[supplier.name], float(supplier.free_delivery_from or 0)
            yield (
                row_name("delivery_free", supplier.name),
                total([*problem.billed_goods(supplier), (free, -least)]) >= 0,
            )
            yield row_name("delivery_free_if_used", supplier.name), total([(free, 1), (use, -1)]) <= 0


def minimum_order(problem: Problem) -> NamedRows:
    """A supplier that is used gets goods worth at least its minimum order, as they stand on its bill."""
    for supplier in problem.suppliers:
        if supplier.minimum_order:
            short = (problem.use[supplier.name], -float(supplier.minimum_order))
            yield row_name("minimum_order", supplier.name), total([*problem.billed_goods(supplier), short]) >= 0


def bill(problem: Problem) -> NamedRows:
    """A supplier is paid its goods, its sales tax on them and its delivery; the trip to it is counted, not paid."""
    for supplier in problem.suppliers:
        parts = [(bought, -price) for bought, price in paid_to(problem, supplier)]
        yield row_name("bill", supplier.name), total([(problem.pay[supplier.name], 1), *parts]) == 0
    minor = float(problem.scenario.currency.minor)
    for offer in problem.offers:
        if offer.key in problem.billed:
            exact = [(bought, -price) for bought, price in problem.goods_of(offer)]
            off = [(problem.billed[offer.key], minor), *exact]
            yield row_name("bill", offer.key, "down"), total(off) >= -minor / 2 + minor * HALF_GOES_UP
            yield row_name("bill", offer.key, "up"), total(off) <= minor / 2


def room(problem: Problem) -> NamedRows:
    """On the fullest evening, when the order has come, all that must be kept frozen fits."""
    if problem.scenario.room_g is not None:
        held_g = sum(lot.grams for lot in problem.scenario.on_hand)
        bought = total(
            (amount, kg_per_buy(offer)) for offer in problem.offers for _, _, amount in problem.bought(offer)
        )
        yield "room", bought <= (problem.scenario.room_g - held_g) / GRAMS_PER_KG


def budget(problem: Problem) -> NamedRows:
    """The order costs at most the budget.

    What rounding can take off is allowed here; the printed total is held against the budget when the plan is finished.
    """
    if problem.scenario.budget is not None:
        most = float(problem.scenario.budget) + problem.most_rounded_off
        yield "budget", total((pay, 1) for pay in problem.pay.values()) <= most


def _limit_pieces_by_bags(problem: Problem, group: Group) -> NamedRows:
    """At most as many pieces as the bags of the group's dogs hold; no row where grams, so bags, are not known yet."""
    piece_kg = {
        name: grams / GRAMS_PER_KG
        for name, cut in problem.cuts.items()
        if (grams := problem.scenario.portioning.whole_piece_g(cut))
    }
    for limit in () if group.free_grams else limits_of_all(group.dogs, problem.scenario):
        pieces = [(problem.eat_kg[group.name, cut], times / piece_kg[cut]) for cut, times in limit.times.items()]
        yield row_name("whole_pieces", group.name, limit.name), total(pieces) <= limit.most


def _limit_each_species(problem: Problem, group: Group) -> NamedRows:
    """No species is above its share of the food; one of unknown share in a mixed product counts as all of it."""
    most = problem.scenario.variety.most_share
    for species in problem.scenario.species():
        subject = Subject(Measure.SPECIES, species)
        below = total((eat, float(most - subject.share_in(cut))) for cut, eat in problem.eaten(group))
        yield row_name("variety", group.name, species, "most"), below >= 0


def _require_species(problem: Problem, group: Group) -> NamedRows:
    """Enough species are chosen, each fed its least; a species of unknown share in a mixed product does not count.

    Where grams are free the least is a share of what is eaten, and the row is slack while the species is not chosen.
    """
    wanted = problem.scenario.variety
    least = wanted.least_share if group.free_grams else Fraction(0)
    asked_kg = float(wanted.least_share * problem.most_food_g[group.name] / GRAMS_PER_KG)
    for species in problem.scenario.species():
        chosen = problem.chosen[group.name, species]
        known = ((eat, float(cut.known_share_of(species) - least)) for cut, eat in problem.eaten(group))
        row = total([*known, (chosen, -asked_kg)])
        yield row_name("variety", group.name, species, "least"), row >= (-asked_kg if group.free_grams else 0)
    chosen_all = total((problem.chosen[group.name, species], 1) for species in problem.scenario.species())
    yield row_name("variety", group.name, "species"), chosen_all >= wanted.least_species


def _most_buy(problem: Problem, offer: Offer) -> float:
    """The most of an offer that can be bought, in what the model counts."""
    return most_units(problem, offer) / units_per_buy(offer)


BUILDERS: Mapping[str, Callable[[Problem], NamedRows]] = MappingProxyType(
    {
        builder.__name__: builder
        for builder in (
            ration, resting_energy, vet_amount, part_share, cap, nutrient, nutrient_ratio, avoid, hold, variety,
            whole_pieces, least_portion, supply, own_stock, supplement, pack_count, least_purchase, price_break,
            supplier_count, cut_count, delivery, minimum_order, bill, room, budget,
        )
    }
)  # fmt: skip
"""Every builder by its rule's key, in the rulebook's order."""
