"""Variants: several scenarios, or one scenario with several price lists, each compared with the first."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from raworder.reporting.words import paper
from raworder.studies.asking import Ask
from raworder.studies.differences import (
    LineChange,
    OfferChange,
    bought_units,
    compare_offers,
    cost_at,
    cost_cells,
    costs_more,
    line_change_columns,
    line_change_row,
    packs_bought,
    per_dog_day,
    prices_text,
    replace_lists,
    supplement_rows,
    terms,
)
from raworder.studies.orders import PIECES_ASIDE, FoundOrder, find_orders, nearness
from raworder.studies.suppliers import old_lists
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Offer, Scenario

OTHER_MONEY = "The scenarios are in different currencies, so nothing is subtracted."
AGAINST = "`More` is what it costs above {first}."
WHOLE = "Each is planned with its own dogs, days, lists and limits."


@dataclass(frozen=True, slots=True)
class _Variant:
    """A scenario with its name and its order, and the order of the first with this one's lists, if asked for."""

    name: str
    scenario: Scenario
    found: FoundOrder
    with_lists: FoundOrder | None = None


def compare_variants(scenarios: Sequence[tuple[str, Scenario]], ask: Ask) -> Document:
    """What each scenario costs, then what each buys differently from the first, and how its price lists differ.

    Where more than the lists differs, the first is also solved with the other lists, to tell the two effects apart.
    """
    (_, first), *others = scenarios
    questions = {_key("of", place): scenario for place, (_, scenario) in enumerate(scenarios)}
    questions |= {
        _key("lists of", place): replace_lists(first, other)
        for place, (_, other) in enumerate(others, start=1)
        if _differ_by_more_than_lists(first, other)
    }
    orders = find_orders(questions, ask)
    variants = [
        _Variant(name, scenario, orders[_key("of", place)], orders.get(_key("lists of", place)))
        for place, (name, scenario) in enumerate(scenarios)
        if _key("of", place) in orders
    ]
    return paper(first, "variants", "Side by side", _blocks(variants) if _key("of", 0) in orders else ())


def effect_of_lists(old: Scenario, new: Scenario, ask: Ask) -> Iterator[Block]:
    """What a plan costs with an old and with a new list, a dog-day, and what is bought differently."""
    orders = find_orders({"old": old, "new": new}, ask)
    if not {"old", "new"} <= orders.keys():
        return
    first, second = _Variant("The old list", old, orders["old"]), _Variant("The new list", new, orders["new"])
    before, after = first.found.order, second.found.order
    if not isinstance(before, Plan) or not isinstance(after, Plan):
        yield _costs((first, second))
        return
    yield Paragraph(" ".join((_effect_text(old, before, after), *nearness(old, (before, after)))))
    lines = _line_changes(first, second, compare_offers(old, new))
    yield lines if isinstance(lines, Table) else Paragraph("The cheapest order is the same as before.")


def _effect_text(scenario: Scenario, before: Plan, after: Plan) -> str:
    """How much more or less a plan costs than before, in all and a dog-day."""
    money = scenario.currency.text
    more = costs_more(scenario, before, after)
    a_day, was = (per_dog_day(scenario, plan) for plan in (after, before))
    told = f"Your plan costs {money(after.total)} with the new list: {money(a_day)} a dog and day"
    if not more:
        return f"{told}, as with the old."
    return f"{told}. That is {money(abs(more))} {'more' if more > 0 else 'less'} than with the old, at {money(was)}."


def _key(what: str, place: int) -> str:
    """The key of a question about the scenario in that place."""
    return f"{what} {place}"


def _differ_by_more_than_lists(first: Scenario, other: Scenario) -> bool:
    """Whether the price lists and something else differ too, in one currency."""
    lists_differ = _without_list_dates(replace_lists(first, other)) != _without_list_dates(replace_lists(first, first))
    return first.currency == other.currency and lists_differ and not _differ_by_lists_alone(first, other)


def _differ_by_lists_alone(first: Scenario, other: Scenario) -> bool:
    """Whether the other is just the first with other price lists."""
    relisted = replace_lists(first, other)
    return replace(relisted, title="", cuts=()) == replace(other, title="", cuts=())


def _without_list_dates(scenario: Scenario) -> Scenario:
    """The scenario without the dates of its price lists, which change no cost."""
    return replace(
        scenario, suppliers=tuple(replace(supplier, list_date=None) for supplier in scenario.suppliers), cuts=()
    )


def _have_one_money(first: _Variant, other: _Variant) -> bool:
    return first.scenario.currency == other.scenario.currency


def _blocks(variants: Sequence[_Variant]) -> Iterator[Block]:
    """The table, then each of the others against the first."""
    first, *others = variants
    has_one_money = all(_have_one_money(first, variant) for variant in others)
    against = AGAINST.format(first=first.name) if has_one_money else OTHER_MONEY
    aside = f" {PIECES_ASIDE}" if any(variant.scenario.solved_by_groups for variant in variants) else ""
    near = nearness(first.scenario, (variant.found.order for variant in variants)) if has_one_money else ()
    yield Paragraph(" ".join((f"{against} {WHOLE}{aside}", *near)))
    yield (_costs if has_one_money else _costs_as_text)(variants)
    for variant in others:
        yield from _compare_with_first(first, variant)
    old = [f"{variant.name}: {says}" for variant in variants for says in old_lists(variant.scenario)]
    if old:
        yield Points("old_lists", "Old price lists", tuple(old))


def _costs(variants: Sequence[_Variant]) -> Table:
    """What each costs, in one currency."""
    code = variants[0].scenario.currency.code
    first = variants[0].found.order
    base = first if isinstance(first, Plan) else None
    trips = any(variant.scenario.has_trips for variant in variants)
    rows = tuple(
        (*_identity_cells(variant), *cost_cells(variant.scenario, base, variant.found, with_trips=trips))
        for variant in variants
    )
    money = (
        Column("cost", f"Cost {code}", Holds.MONEY),
        *((Column("trips", f"Trips {code}", Holds.MONEY),) if trips else ()),
        Column("cost_per_dog_day", f"A dog-day {code}", Holds.MONEY),
        Column("difference", f"More {code}", Holds.MONEY),
    )
    return Table(
        "variants",
        "What each costs",
        (*WHO, *money, Column("remark", "Remark", shown=any(row[-1] for row in rows))),
        rows,
    )


def _costs_as_text(variants: Sequence[_Variant]) -> Table:
    """What each costs in its own currency, without differences."""
    columns = (*WHO, Column("cost", "Cost"), Column("cost_per_dog_day", "A dog-day"), Column("remark", "Remark"))
    return Table(
        "variants",
        "What each costs",
        columns,
        tuple((*_identity_cells(variant), *_as_text(variant)) for variant in variants),
    )


def _as_text(variant: _Variant) -> tuple[Cell, ...]:
    cost, a_day, _, remark = cost_cells(variant.scenario, None, variant.found)
    money = variant.scenario.currency
    return (*(money.text(amount) if isinstance(amount, Decimal) else "-" for amount in (cost, a_day)), remark)


def _identity_cells(variant: _Variant) -> tuple[Cell, ...]:
    """The variant, its title, its dog-days, and the suppliers bought from."""
    order = variant.found.order
    sellers = ", ".join(bill.supplier for bill in order.bills) if isinstance(order, Plan) else ""
    return (variant.name, variant.scenario.title, variant.scenario.dog_days, sellers)


WHO = (
    Column("variant", "Scenario"),
    Column("title", "Title"),
    Column("dog_days", "Dog-days", Holds.COUNT),
    Column("suppliers", "From"),
)
"""The columns that say which variant a row is about."""


def _compare_with_first(first: _Variant, other: _Variant) -> Iterator[Block]:
    """What one variant buys differently from the first, how its lists differ, and what that does to the cost."""
    lists = compare_offers(first.scenario, other.scenario)
    before, after = first.found.order, other.found.order
    if isinstance(before, Plan) and isinstance(after, Plan):
        yield _line_changes(first, other, lists)
    if not _have_one_money(first, other):
        return
    yield from _price_changes(first, other, lists)
    changed = tuple(terms(first.scenario, other.scenario))
    if changed:
        yield Points("terms", f"{other.name}: other terms", changed)
    if isinstance(before, Plan) and isinstance(after, Plan):
        effect = _cost_effect(first, other, lists)
        yield from (Paragraph(effect),) if effect else ()


def _line_changes(first: _Variant, other: _Variant, lists: Sequence[OfferChange]) -> Block:
    """The lines of which the two orders buy different amounts."""
    items = [item for change in lists for item in change.by_pack]
    counts = [_units_in_both(first, other, item) for item in items]
    lines = [
        LineChange(_offer_in_units(item), *units)
        for item, units in zip(items, counts, strict=True)
        if units[0] != units[1]
    ]
    rows = (
        *(line_change_row(other.name, line, first.scenario.weight_unit) for line in lines),
        *supplement_rows(other.name, _scenario_and_order(first), _scenario_and_order(other)),
    )
    if not rows:
        return Paragraph(f"{other.name} buys the same as {first.name}.")
    title = f"{other.name}: what changes in the order against {first.name}"
    return Table("changes", title, line_change_columns("variant"), rows)


def _scenario_and_order(variant: _Variant) -> tuple[Scenario, Plan]:
    """The scenario with the order that was found for it."""
    order = variant.found.order
    assert isinstance(order, Plan)
    return variant.scenario, order


def _units_in_both(first: _Variant, other: _Variant, item: OfferChange) -> tuple[int, int]:
    """What each order buys of an offer: packs, or grams of what is sold by weight, as its steps may differ."""
    return _bought(first, item.before), _bought(other, item.after)


def _bought(variant: _Variant, offer: Offer | None) -> int:
    order = variant.found.order
    units = bought_units(order).get(offer.key, 0) if isinstance(order, Plan) and offer else 0
    return offer.grams(units) if offer and offer.by_weight else units


def _offer_in_units(item: OfferChange) -> Offer:
    """The offer with units as `_units_in_both` counts them."""
    return replace(item.offer, unit_g=Fraction(1)) if item.offer.by_weight else item.offer


def _price_changes(first: _Variant, other: _Variant, lists: Sequence[OfferChange]) -> Iterator[Block]:
    """The offers that changed, and in which of the orders they are bought."""
    changed = [item for item in lists if item.says]
    if not changed:
        if first.scenario.supplement_offers == other.scenario.supplement_offers:
            yield Paragraph(f"The price lists of {other.name} are those of {first.name}.")
        return
    unit = first.scenario.weight_unit
    rows = []
    for item in changed:
        had, has = _units_in_both(first, other, item)
        prices = (prices_text(item.before, unit), prices_text(item.after, unit))
        effect = "bought in both" if had and has else "bought before" if had else "bought now" if has else "not bought"
        rows.append((other.name, item.says, item.offer.cut, item.offer.supplier, *prices, effect))
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


def _cost_effect(first: _Variant, other: _Variant, lists: Sequence[OfferChange]) -> str:
    """What the other lists do to the cost: of the first order as it stands, and planned anew."""
    before, after = first.found.order, other.found.order
    assert isinstance(before, Plan)
    assert isinstance(after, Plan)
    money = other.scenario.currency
    if not any(item.says for item in lists) and not any(terms(first.scenario, other.scenario)):
        return ""
    alone = _differ_by_lists_alone(first.scenario, other.scenario)
    anew = other.with_lists.order if other.with_lists else after if alone else None
    says = [_as_it_stands(first, other, lists)]
    if isinstance(anew, Plan):
        says.append(f"Planned again with these lists, all else as in {first.name}, it costs {money.text(anew.total)}.")
    if isinstance(anew, Plan) and not alone:
        by_lists, by_rest = (
            costs_more(first.scenario, plan, second) for plan, second in ((before, anew), (anew, after))
        )
        says.append(f"So the lists change the cost by {money.text(by_lists)}, all else by {money.text(by_rest)}.")
    return " ".join(says)


def _as_it_stands(first: _Variant, other: _Variant, lists: Sequence[OfferChange]) -> str:
    """What the first order costs at the other's prices, if it can still be bought."""
    scenario, order = _scenario_and_order(first)
    units = bought_units(order)
    now = {item.before.key: item.after for item in lists if item.before and item.after}
    if any(key not in now for key in units):
        return f"The order of {first.name} cannot be had from the lists of {other.name}: a line of it is gone."
    if any(item.has_other_pack and item.before and item.before.key in units for item in lists):
        return f"The order of {first.name} cannot be had from the lists of {other.name}: a pack of it has changed."
    unit_g = {offer.key: offer.unit_g for offer in scenario.offers}
    moved = {now[key].key: ceil(count * unit_g[key] / now[key].unit_g) for key, count in units.items()}
    cost = cost_at(other.scenario, moved, packs_bought(scenario, order))
    if cost is None:
        return f"The order of {first.name} cannot be had from the lists of {other.name} as it stands."
    return f"The order of {first.name} costs {other.scenario.currency.text(cost)} at the prices of {other.name}."
