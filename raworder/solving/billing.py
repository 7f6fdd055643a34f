"""The printed bill: whole grams, every line and every tax rounded to the minor unit.

The printed bill is what must be cheapest. The exact cost is proved first, without any rounding; then the bill is
minimised, starting from the order found, with the exact cost as a lower bound. Amounts here are in minor units.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor, lcm

import pulp

from raworder.solving.constraints import NamedRows, least_portion
from raworder.solving.objective import cost
from raworder.solving.problem import GRAMS_PER_KG, Problem, is_rounded, most_units, total, units_per_buy
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Offer, Supplier

MOST_NODES = 2000
"""A search for the bill ends after this many branches, the same on every machine. Scenarios shipped need under 200."""

NEARLY = 1e-6
"""Slack in minor units on rows that round: solver tolerance, far below the distance of any two amounts."""

CRUMB_UNITS = 1e-3
"""Units by which the solver may miss a whole number."""

PROVED_TO = 0.02
"""Minor units taken off a bound before it is rounded up: twice the gap of a hundredth."""

CRUMB_KG = 1e-6
"""Less than this is not fed; it is solver tolerance."""

PROVED_WITHIN = 0.9
"""The gap for the bill in minor units. Bills are whole numbers, so one less than 1 above a bound is the least."""

Terms = Sequence[tuple[pulp.LpVariable, Fraction]]
"""Unknowns, each with its worth in minor units."""


def bill(problem: Problem) -> pulp.LpAffineExpression:
    """The printed total of all bills and the trips, in minor units, a whole number."""
    return total(
        term
        for supplier in problem.suppliers
        for term in _bill_terms(problem, supplier, supplier.delivery + supplier.trip)
    )


def money_paid(problem: Problem) -> pulp.LpAffineExpression:
    """The printed total of all bills in minor units, without the trips."""
    return total(term for supplier in problem.suppliers for term in _bill_terms(problem, supplier, supplier.delivery))


def bill_gap(_: Problem) -> float:
    """The gap for the bill, whatever the problem."""
    return PROVED_WITHIN


def bill_slack(*_: object) -> float:
    """How far later aims may move the bill: by less than a minor unit, so not at all."""
    return 0.5


def within_budget(problem: Problem) -> pulp.LpConstraint | None:
    """The row that keeps the printed total within the budget; None without a budget."""
    most = problem.scenario.budget
    return None if most is None else money_paid(problem) <= floor(Fraction(most) / _minor_unit(problem)) + bill_slack()


def least_bill(problem: Problem, least_cost: float, bound: float | None) -> Decimal:
    """The proved lower bound on the printed total: the exact cost less all that rounding can save, or the bill's bound.

    `bound` was proved for the bill itself, in minor units. Both are proved to a hundredth of a minor unit, and count
    the trips.
    """
    minor = problem.scenario.currency.minor
    by_cost = (least_cost - problem.most_rounded_off) / float(minor)
    return max(ceil(max(by_cost, bound or 0.0) - PROVED_TO), 0) * minor


def bill_rows(problem: Problem, least_cost: float) -> NamedRows:
    """Rows for whole grams and for each rounded line and tax; and the proved exact cost as a lower bound."""
    for number, offer in enumerate(problem.offers):
        if offer.to_the_gram:
            yield from _buy_whole_grams(problem, offer, number)
        if is_rounded(problem.scenario.currency, offer):
            yield from _round_line(problem, offer, number)
    for number, supplier in enumerate(problem.suppliers):
        if supplier.sales_tax:
            yield from _round_tax(problem, supplier, number)
    # Rounding weakens the relaxation; the proved exact cost lifts its bound again.
    yield "bill_at_least", cost(problem) >= least_cost - NEARLY


def no_scraps(problem: Problem, pairs: Iterable[tuple[str, str]] | None = None) -> NamedRows:
    """Rows that forbid scraps of these pairs of group and cut, or of all; a whole piece is no scrap, so it has none."""
    named = {group.name: group for group in problem.fed_by_rules()}
    new = []
    for group, cut in ((name, cut) for name in named for cut in problem.cuts) if pairs is None else pairs:
        pair = group, cut
        if pair not in problem.pieces and pair not in problem.taken and cut not in named[group].avoided:
            number = len(problem.taken)
            problem.taken[pair] = problem.lp.add_variable(f"taken_too_{number}", 0, 1, pulp.LpBinary)
            new.append(pair)
    yield from least_portion(problem, frozenset(new))


def bill_at(problem: Problem, values: Mapping[str, float]) -> float:
    """The printed total and the trips, in minor units, for these values of the unknowns, by name."""
    return value_at(bill(problem), values)


def value_at(amount: pulp.LpAffineExpression, values: Mapping[str, float]) -> float:
    """What an expression comes to for these values of the unknowns, by name; 0 for those that are missing."""
    return float(amount.constant + sum(each * values.get(unknown.name, 0.0) for unknown, each in amount.items()))


def whole_start(problem: Problem, values: Mapping[str, float]) -> Mapping[str, float]:
    """The values of the integer unknowns only: a start, which the solver completes itself."""
    whole = (variable.name for variable in problem.lp.variables() if variable.cat == pulp.LpInteger)
    return {name: values[name] for name in whole if name in values}


def whole_values(problem: Problem, found: Mapping[str, float]) -> Mapping[str, float]:
    """The values of an order with its grams rounded up, and the lines and taxes printed for it."""
    values, printed, goods = dict(found), problem.printed, dict.fromkeys(problem.use, 0)
    for offer in problem.offers:
        units = [_whole_units(offer, found.get(bought.name, 0.0)) for _, _, bought in problem.bought(offer)]
        paid = sum((step.unit_price * count for count, step in zip(units, offer.steps, strict=True)), Fraction(0))
        line = half_up(paid / _minor_unit(problem))
        goods[offer.supplier] += line
        for unknowns, value in ((printed.grams, sum(units)), (printed.line, min(sum(units), 1)), (printed.goods, line)):
            if offer.key in unknowns:
                values[unknowns[offer.key].name] = value
    for pack in problem.scenario.supplement_offers:
        goods[pack.supplier] += round(found.get(problem.packs[pack.key].name, 0.0)) * int(
            Fraction(pack.price) / _minor_unit(problem)
        )
    for (group, cut), taken in problem.taken.items():
        values[taken.name] = float(found.get(problem.eat_kg[group, cut].name, 0.0) > CRUMB_KG)
    for name, tax in printed.tax.items():
        values[tax.name] = half_up(goods[name] * problem.scenario.supplier(name).sales_tax)
    return values


def _minor_unit(problem: Problem) -> Fraction:
    """The minor unit in money."""
    return Fraction(problem.scenario.currency.minor)


def _whole_units(offer: Offer, amount: float) -> int:
    """The amount in whole units; rounded up where it is sold to the gram, so that nothing is short."""
    units = amount * units_per_buy(offer)
    return ceil(units - CRUMB_UNITS) if offer.to_the_gram else round(units)


def _buy_whole_grams(problem: Problem, offer: Offer, number: int) -> NamedRows:
    """Rows that make a by-the-gram offer whole grams, and a switch for whether it is a line at all."""
    most, printed, lp = most_units(problem, offer), problem.printed, problem.lp
    grams = printed.grams[offer.key] = lp.add_variable(f"whole_grams_{number}", 0, most, pulp.LpInteger)
    bought = [(amount, -float(GRAMS_PER_KG)) for _, _, amount in problem.bought(offer)]
    yield f"whole_grams_{number}", total([(grams, 1.0), *bought]) == 0
    line = problem.ordered.get(offer.key) or lp.add_variable(f"line_{number}", 0, 1, pulp.LpBinary)
    printed.line[offer.key] = line
    yield f"line_{number}", total([(grams, 1.0), (line, -float(most))]) <= 0


def _round_line(problem: Problem, offer: Offer, number: int) -> NamedRows:
    """Rows that make the printed line the exact goods, rounded."""
    printed, exact = problem.printed, _exact_goods(problem, offer)
    goods = problem.billed.get(offer.key) or problem.lp.add_variable(f"printed_{number}", 0, None, pulp.LpInteger)
    printed.goods[offer.key] = goods
    parts = lcm(*((step.unit_price / _minor_unit(problem)).denominator for step in offer.steps))
    yield from _round_sum(f"printed_{number}", goods, exact, parts, printed.line.get(offer.key))


def _round_tax(problem: Problem, supplier: Supplier, number: int) -> NamedRows:
    """Rows that make the printed sales tax its share of the printed goods, rounded; 0 where nothing is bought."""
    tax = problem.printed.tax[supplier.name] = problem.lp.add_variable(f"tax_{number}", 0, None, pulp.LpInteger)
    share = supplier.sales_tax
    exact = [(unknown, each * share) for unknown, each in _goods_terms(problem, supplier)]
    yield from _round_sum(f"tax_{number}", tax, exact, share.denominator, problem.use[supplier.name])


def _round_sum(
    name: str, whole: pulp.LpVariable, exact: Terms, parts: int, switch: pulp.LpVariable | None
) -> NamedRows:
    """Rows that make `whole` the exact sum, rounded half up; the sum is a multiple of 1/`parts`.

    Nothing is rounded while the `switch` is off.
    """
    # Half up: the most it can round down is the largest multiple of 1/parts below a half, and up the largest up to a
    # half. These bounds, and the switch, tighten the relaxation compared with plain halves.
    down, up = Fraction((parts - 1) // 2, parts), Fraction(parts // 2, parts)
    off = [(whole, 1.0), *((unknown, -float(each)) for unknown, each in exact)]
    if switch is None:
        yield f"{name}_down", total(off) >= -float(down) - NEARLY
    else:
        yield f"{name}_down", total([*off, (switch, float(down))]) >= -NEARLY
    yield f"{name}_up", total(off) <= float(up) + NEARLY


def _exact_goods(problem: Problem, offer: Offer) -> Terms:
    """The exact goods of an offer, before rounding."""
    per_buy = units_per_buy(offer) / _minor_unit(problem)
    return [(bought, step.unit_price * per_buy) for _, step, bought in problem.bought(offer)]


def _goods_terms(problem: Problem, supplier: Supplier) -> Terms:
    """The goods printed on a supplier's bill: rounded lines, exact lines and packs of supplements."""
    goods = problem.printed.goods
    lines = (
        [(goods[offer.key], Fraction(1))] if offer.key in goods else _exact_goods(problem, offer)
        for offer in problem.offers_of(supplier)
    )
    packs = [
        (problem.packs[pack.key], Fraction(pack.price) / _minor_unit(problem))
        for pack in problem.scenario.supplement_offers
        if pack.supplier == supplier.name
    ]
    return [*(term for line in lines for term in line), *packs]


def _bill_terms(problem: Problem, supplier: Supplier, per_use: Decimal) -> Iterator[tuple[pulp.LpVariable, float]]:
    """Goods and tax printed on a supplier's bill, and so much for using it at all, less delivery where that is free."""
    yield from ((unknown, float(each)) for unknown, each in _goods_terms(problem, supplier))
    if supplier.name in problem.printed.tax:
        yield problem.printed.tax[supplier.name], 1.0
    yield problem.use[supplier.name], float(Fraction(per_use) / _minor_unit(problem))
    if supplier.name in problem.free:
        yield problem.free[supplier.name], -float(Fraction(supplier.delivery) / _minor_unit(problem))
