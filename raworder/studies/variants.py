"""Variants: several scenarios, or one with several price lists, side by side, each against the first."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from raworder.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.plan import Plan
from raworder.reporting.words import paper
from raworder.studies.asking import Ask
from raworder.studies.differences import (
    Moved,
    bought_units,
    cost_cells,
    costs_more,
    moved_columns,
    moved_row,
    supplement_rows,
)
from raworder.studies.found import PIECES_ASIDE, Found, found_for
from raworder.studies.price_lists import Listed, cost_at, packs_bought, prices_text, side_by_side, terms, with_lists_of
from raworder.studies.suppliers_paper import old_lists
from raworder.trade import Offer, Scenario

OTHER_MONEY = "The scenarios are not in one currency: their costs stand side by side, and nothing is subtracted."
AGAINST = "`More` is against {first}, the first of them."
WHOLE = "Each order stands for itself, with all that differs: dogs, days, lists and limits."


@dataclass(frozen=True, slots=True)
class _Variant:
    """One of them: its name, its scenario and what was found for it, and for the first with its lists if asked."""

    name: str
    scenario: Scenario
    found: Found
    with_lists: Found | None = None


def compare_variants(scenarios: Sequence[tuple[str, Scenario]], ask: Ask) -> Document:
    """One table of what each costs, then what each buys otherwise than the first, and how its price lists differ.

    Where more than the lists differs from the first, the first is solved with those lists, to tell one from the other.
    """
    (_, first), *others = scenarios
    questions = {_key("of", place): scenario for place, (_, scenario) in enumerate(scenarios)}
    questions |= {
        _key("lists of", place): with_lists_of(first, other)
        for place, (_, other) in enumerate(others, start=1)
        if _differ_by_more_than_lists(first, other)
    }
    found = found_for(questions, ask)
    told = [
        _Variant(name, scenario, found[_key("of", place)], found.get(_key("lists of", place)))
        for place, (name, scenario) in enumerate(scenarios)
        if _key("of", place) in found
    ]
    return paper(first, "variants", "Side by side", _blocks(told) if _key("of", 0) in found else ())


def _key(what: str, place: int) -> str:
    """The key of a question about the scenario in that place."""
    return f"{what} {place}"


def _differ_by_more_than_lists(first: Scenario, other: Scenario) -> bool:
    """Whether both the price lists and something else differ, in one currency."""
    lists_differ = _without_days(with_lists_of(first, other)) != _without_days(with_lists_of(first, first))
    return first.currency == other.currency and lists_differ and not _differ_by_lists_alone(first, other)


def _differ_by_lists_alone(first: Scenario, other: Scenario) -> bool:
    """Whether the second is just the first with other price lists."""
    made = with_lists_of(first, other)
    return replace(made, title="", cuts=()) == replace(other, title="", cuts=())


def _without_days(scenario: Scenario) -> Scenario:
    """The scenario without the days of its price lists, which cost nothing."""
    return replace(scenario, suppliers=tuple(replace(one, list_date=None) for one in scenario.suppliers), cuts=())


def _have_one_money(first: _Variant, other: _Variant) -> bool:
    return first.scenario.currency == other.scenario.currency


def _blocks(told: Sequence[_Variant]) -> Iterator[Block]:
    """The table, then each of the others against the first."""
    first, *others = told
    has_one_money = all(_have_one_money(first, one) for one in others)
    against = AGAINST.format(first=first.name) if has_one_money else OTHER_MONEY
    aside = f" {PIECES_ASIDE}" if any(one.scenario.many_dogs for one in told) else ""
    yield Paragraph(f"{against} {WHOLE}{aside}")
    yield (_costs if has_one_money else _costs_as_text)((first, *others))
    for one in others:
        yield from _against(first, one)
    old = [f"{one.name}: {says}" for one in (first, *others) for says in old_lists(one.scenario)]
    if old:
        yield Points("old_lists", "Old price lists", tuple(old))


def _costs(variants: Sequence[_Variant]) -> Table:
    """What each costs, in one currency."""
    code = variants[0].scenario.currency.code
    first = variants[0].found.order
    base = first if isinstance(first, Plan) else None
    rows = tuple((*_who(one), *cost_cells(one.scenario, base, one.found)) for one in variants)
    money = (
        Column("cost", f"Cost {code}", Holds.MONEY),
        Column("cost_per_dog_day", f"A dog-day {code}", Holds.MONEY),
        Column("difference", f"More {code}", Holds.MONEY),
    )
    return Table("variants", "What each costs", (*WHO, *money, Column("remark", "Remark")), rows)


def _costs_as_text(variants: Sequence[_Variant]) -> Table:
    """What each costs, each in its own currency, and no difference."""
    columns = (*WHO, Column("cost", "Cost"), Column("cost_per_dog_day", "A dog-day"), Column("remark", "Remark"))
    return Table("variants", "What each costs", columns, tuple((*_who(one), *_as_text(one)) for one in variants))


def _as_text(one: _Variant) -> tuple[Cell, ...]:
    cost, a_day, _, remark = cost_cells(one.scenario, None, one.found)
    money = one.scenario.currency
    return (*(money.text(amount) if isinstance(amount, Decimal) else "-" for amount in (cost, a_day)), remark)


def _who(one: _Variant) -> tuple[Cell, ...]:
    """The file, what it is called, for how many dog-days, and from whom is bought."""
    order = one.found.order
    sellers = ", ".join(bill.supplier for bill in order.bills) if isinstance(order, Plan) else ""
    return (one.name, one.scenario.title, one.scenario.dog_days, sellers)


WHO = (
    Column("variant", "Scenario"),
    Column("title", "Title"),
    Column("dog_days", "Dog-days", Holds.COUNT),
    Column("suppliers", "From"),
)
"""The columns that tell which one it is."""


def _against(first: _Variant, other: _Variant) -> Iterator[Block]:
    """What one buys otherwise than the first, how its lists differ, and what that does to the cost."""
    lists = side_by_side(first.scenario, other.scenario)
    before, after = first.found.order, other.found.order
    if isinstance(before, Plan) and isinstance(after, Plan):
        yield _moves(first, other, lists)
    if not _have_one_money(first, other):
        return
    yield from _prices(first, other, lists)
    changed = tuple(terms(first.scenario, other.scenario))
    if changed:
        yield Points("terms", f"{other.name}: other terms", changed)
    if isinstance(before, Plan) and isinstance(after, Plan):
        effect = _effect(first, other, lists)
        yield from (Paragraph(effect),) if effect else ()


def _moves(first: _Variant, other: _Variant, lists: Sequence[Listed]) -> Block:
    """The lines that one order has and the other has not, or of which it has another amount."""
    counts = [_units(first, other, one) for one in lists]
    lines = [Moved(_shown(one), *units) for one, units in zip(lists, counts, strict=True) if units[0] != units[1]]
    rows = (
        *(moved_row(other.name, line, first.scenario.weight_unit) for line in lines),
        *supplement_rows(other.name, _ordered(first), _ordered(other)),
    )
    if not rows:
        return Paragraph(f"{other.name} buys the same as {first.name}.")
    title = f"{other.name}: what is bought otherwise than in {first.name}"
    return Table("changes", title, moved_columns("variant"), rows)


def _ordered(variant: _Variant) -> tuple[Scenario, Plan]:
    """The scenario with the order that was found for it."""
    order = variant.found.order
    assert isinstance(order, Plan)
    return variant.scenario, order


def _units(first: _Variant, other: _Variant, one: Listed) -> tuple[int, int]:
    """Packs bought in both orders, or grams of what is sold by weight, whose steps may differ."""
    return _bought(first, one.before), _bought(other, one.after)


def _bought(variant: _Variant, offer: Offer | None) -> int:
    order = variant.found.order
    units = bought_units(order).get(offer.key, 0) if isinstance(order, Plan) and offer else 0
    return offer.grams(units) if offer and offer.by_weight else units


def _shown(one: Listed) -> Offer:
    """The offer in whose units amounts are told."""
    return replace(one.offer, unit_g=Fraction(1)) if one.offer.by_weight else one.offer


def _prices(first: _Variant, other: _Variant, lists: Sequence[Listed]) -> Iterator[Block]:
    """The offers that changed, with what each order buys of them."""
    changed = [one for one in lists if one.says]
    if not changed:
        if first.scenario.supplement_offers == other.scenario.supplement_offers:
            yield Paragraph(f"The price lists of {other.name} are those of {first.name}.")
        return
    unit = first.scenario.weight_unit
    rows = []
    for one in changed:
        had, has = _units(first, other, one)
        prices = (prices_text(one.before, unit), prices_text(one.after, unit))
        effect = "bought in both" if had and has else "bought before" if had else "bought now" if has else "not bought"
        rows.append((other.name, one.says, one.offer.cut, one.offer.supplier, *prices, effect))
    columns = (
        Column("variant", "Variant", shown=False),
        Column("price", "Now"),
        Column("cut", "Cut"),
        Column("supplier", "Supplier"),
        Column("price_before", "Price before"),
        Column("price_after", "Price now"),
        Column("bought", "In the order"),
    )
    yield Table("prices", f"{other.name}: price lists against {first.name}", columns, tuple(rows))


def _effect(first: _Variant, other: _Variant, lists: Sequence[Listed]) -> str:
    """What other prices do to the cost: to the first order as it stands, and planned anew."""
    before, after = first.found.order, other.found.order
    assert isinstance(before, Plan)
    assert isinstance(after, Plan)
    money = other.scenario.currency
    if not any(one.says for one in lists) and not any(terms(first.scenario, other.scenario)):
        return ""
    alone = _differ_by_lists_alone(first.scenario, other.scenario)
    anew = other.with_lists.order if other.with_lists else after if alone else None
    says = [_as_it_stands(first, other, lists)]
    if isinstance(anew, Plan):
        says.append(f"Planned anew with these lists, all else as in {first.name}, it costs {money.text(anew.total)}.")
    if isinstance(anew, Plan) and not alone:
        by_lists, by_rest = (costs_more(first.scenario, one, two) for one, two in ((before, anew), (anew, after)))
        says.append(f"So the lists change the cost by {money.text(by_lists)}, all else by {money.text(by_rest)}.")
    return " ".join(says)


def _as_it_stands(first: _Variant, other: _Variant, lists: Sequence[Listed]) -> str:
    """What the first order costs at the other's prices, where it can still be had."""
    scenario, order = _ordered(first)
    units = bought_units(order)
    now = {one.before.key: one.after for one in lists if one.before and one.after}
    if any(key not in now for key in units):
        return f"The order of {first.name} cannot be had from the lists of {other.name}: a line of it is gone."
    unit_g = {one.key: one.unit_g for one in scenario.offers}
    moved = {now[key].key: ceil(count * unit_g[key] / now[key].unit_g) for key, count in units.items()}
    cost = cost_at(other.scenario, moved, packs_bought(scenario, order))
    if cost is None:
        return f"The order of {first.name} cannot be had from the lists of {other.name} as it stands."
    return f"The order of {first.name} costs {other.scenario.currency.text(cost)} at the prices of {other.name}."
