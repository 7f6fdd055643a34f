"""The builders of the rules on what there is to feed: how much, frozen for how long, and whose it is."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

import pulp

from raworder.solving.problem import GRAMS_PER_KG, Problem, kg_per_buy, row_name, total, whole_g
from raworder.trade.cuts import Cut
from raworder.trade.scenario import OnHand

NamedRows = Iterator[tuple[str, pulp.LpConstraint]]
Terms = list[tuple[pulp.LpVariable, float]]


def hold(problem: Problem) -> NamedRows:
    """What must be frozen before it is fed is fed only if it will have been, but for a veterinarian's amounts."""
    for cut in problem.cuts.values():
        if problem.scenario.held_days(cut):
            terms, ready_g = ready_food(problem, cut, (lot for lot in problem.scenario.on_hand if lot.cut == cut.name))
            yield row_name("hold", cut.name), total(terms) <= float(ready_g / GRAMS_PER_KG)


def supply(problem: Problem) -> NamedRows:
    """What is fed and what is left over is what was on hand and what is bought; no piece comes from two of these."""
    for cut in problem.cuts:
        fed = [(problem.eat_kg[group.name, cut], 1.0) for group in problem.groups]
        bought = [
            (amount, -kg_per_buy(offer)) for offer in problem.offers_for(cut) for _, _, amount in problem.bought(offer)
        ]
        balance = total([*fed, (problem.left_kg[cut], 1), *bought])
        yield row_name("supply", cut), balance == problem.scenario.on_hand_g(cut) / GRAMS_PER_KG
        yield from _limit_pieces_by_lots(problem, problem.cuts[cut])


def own_stock(problem: Problem) -> NamedRows:
    """What an owner has on hand is fed to that owner's dogs only."""
    for (owner, cut), own in problem.own.items():
        dogs = [group for group in problem.fed_by_rules() if group.rules.owner == owner]
        eaten = [(problem.eat_kg[group.name, cut], -1.0) for group in dogs]
        yield row_name("own_stock", owner, cut), total([(own, 1.0), *eaten]) <= 0
        if (owner, cut) in problem.own_vet:
            held_g = sum(lot.grams for lot in problem.scenario.on_hand if (lot.owner, lot.cut) == (owner, cut))
            both = total([(own, 1.0), (problem.own_vet[owner, cut], 1.0)])
            yield row_name("own_stock", owner, cut, "held"), both <= held_g / GRAMS_PER_KG
    for cut in dict.fromkeys(cut for _, cut in problem.own):
        yield from _limit_by_shared_food(problem, problem.cuts[cut])


def _limit_by_shared_food(problem: Problem, cut: Cut) -> NamedRows:
    """What all dogs eat beside their owners' own lots is bought, or on hand for all.

    One row more where dogs that are fed by rules get less of it than there is: whole pieces, or what was frozen first.
    """
    shared = [lot for lot in problem.scenario.on_hand if lot.cut == cut.name and not lot.owner]
    own = _terms_of(problem.own, cut.name)
    fed: Terms = [(problem.eat_kg[group.name, cut.name], 1.0) for group in problem.groups]
    bought = [
        (buy, -kg_per_buy(offer)) for offer in problem.offers_for(cut.name) for _, _, buy in problem.bought(offer)
    ]
    row = total([*fed, *own, *_terms_of(problem.own_vet, cut.name), *bought])
    yield row_name("own_stock", cut.name), row <= sum(lot.grams for lot in shared) / GRAMS_PER_KG
    if problem.scenario.portioning.whole_piece_g(cut) or problem.scenario.held_days(cut):
        terms, ready_g = ready_food(problem, cut, shared)
        yield row_name("own_stock", cut.name, "ready"), total([*terms, *own]) <= float(ready_g / GRAMS_PER_KG)


def _terms_of(uses: dict[tuple[str, str], pulp.LpVariable], cut: str) -> Terms:
    """What is used of all owners' own lots of a cut, to be subtracted."""
    return [(use, -1.0) for (_, name), use in uses.items() if name == cut]


def ready_food(problem: Problem, cut: Cut, lots: Iterable[OnHand]) -> tuple[Terms, Fraction]:
    """What dogs fed by rules eat of a cut less what is bought of it, and the grams that these lots hold for them.

    Of what is fed in whole pieces each lot and offer counts with those that it holds; what must be frozen for longer
    does not count.
    """
    piece_g = problem.scenario.portioning.whole_piece_g(cut)
    ready_g = Fraction(sum(whole_g(problem, lot) for lot in lots if not problem.scenario.waits(lot)))
    terms: Terms = [(problem.eat_kg[group.name, cut.name], 1.0) for group in problem.fed_by_rules()]
    for offer in problem.offers_for(cut.name):
        if problem.scenario.waits(offer):
            continue
        if piece_g and offer.bought is not None:
            ready_g += offer.unit_g * offer.bought // piece_g * piece_g
        elif piece_g and offer.key in problem.drawn:
            terms.append((problem.drawn[offer.key], -piece_g / GRAMS_PER_KG))
        else:
            terms += [(bought, -kg_per_buy(offer)) for _, _, bought in problem.bought(offer)]
    return terms, ready_g


def _limit_pieces_by_lots(problem: Problem, cut: Cut) -> NamedRows:
    """Whole pieces are fed of what each lot and each offer holds of them: two odd rests make no piece.

    No row where at most one offer may leave a rest: pieces that are whole altogether are then whole of each.
    """
    piece_g = problem.scenario.portioning.whole_piece_g(cut)
    if not piece_g:
        return
    # What is on hand or bought already has a known rest per lot; an open offer with rests counts its pieces (`drawn`).
    fixed_g = [Fraction(lot.grams) for lot in problem.scenario.on_hand if lot.cut == cut.name]
    terms = [(problem.eat_kg[group.name, cut.name], 1.0) for group in problem.fed_by_rules()]
    offers = problem.offers_for(cut.name)
    for offer in offers:
        bought = [(amount, -kg_per_buy(offer)) for _, _, amount in problem.bought(offer)]
        if offer.bought is not None:
            fixed_g.append(offer.unit_g * offer.bought)
        elif offer.key in problem.drawn:
            pieces = problem.drawn[offer.key]
            yield row_name("supply", offer.key, "pieces"), total([(pieces, piece_g / GRAMS_PER_KG), *bought]) <= 0
            terms.append((pieces, -piece_g / GRAMS_PER_KG))
        else:
            terms.extend(bought)
    rest_g = sum((grams % piece_g for grams in fixed_g), Fraction(0))
    if rest_g or any(offer.key in problem.drawn for offer in offers):
        yield row_name("supply", cut.name, "pieces"), total(terms) <= float((sum(fixed_g) - rest_g) / GRAMS_PER_KG)
