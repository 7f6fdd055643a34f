"""What differs between two answers, and between two price lists."""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar

from raworder.reading.names import fold_name
from raworder.reporting.nutrition_words import packs_text
from raworder.reporting.words import price_text, step_text, units_text
from raworder.studies.orders import FoundOrder, lacks_text
from raworder.trade.document import Cell, Column, Holds
from raworder.trade.plan import NoPlan, Plan, Unsolved
from raworder.trade.scenario import Offer, PriceStep, Scenario, SupplementOffer, Supplier

Item = TypeVar("Item")

Identity = Callable[[Item], Hashable | None]
"""Gives what an item is known by on two lists; nothing where it does not have that."""

Pack = tuple[str, str, int]
"""What identifies a pack of a supplement across lists: supplier, supplement, and how many steps it holds."""


OTHER_PACK = "other pack"
"""Said of an item that is sold in another pack than before."""


@dataclass(frozen=True, slots=True)
class OfferChange:
    """An offer on two lists; None on a list that has none like it."""

    before: Offer | None
    after: Offer | None

    @property
    def offer(self) -> Offer:
        """The offer as on the first list, or else as on the second."""
        offer = self.before or self.after
        assert offer is not None
        return offer

    @property
    def says(self) -> str:
        """How it changed, in a few words; empty where it did not."""
        if self.before is None:
            return "new"
        if self.after is None:
            return "gone"
        change = _price_change(self.before, self.after)
        return ", ".join(filter(None, (OTHER_PACK, change))) if self.has_other_pack else change

    @property
    def has_other_pack(self) -> bool:
        """Whether it is sold in another pack, so that numbers of packs mean something else."""
        return bool(self.before and self.after and _how_sold(self.before) != _how_sold(self.after))

    @property
    def by_pack(self) -> "tuple[OfferChange, ...]":
        """The change, or where it is sold in another pack that the one is gone and the other new."""
        return (OfferChange(self.before, None), OfferChange(None, self.after)) if self.has_other_pack else (self,)


def compare_offers(first: Scenario, second: Scenario) -> tuple[OfferChange, ...]:
    """All offers of two scenarios, those of the first in order, then those of the second only."""
    before, after = (
        sorted(scenario.offers, key=lambda offer: (offer.supplier, offer.cut, offer.steps[0].unit_price))
        for scenario in (first, second)
    )
    return tuple(OfferChange(*pair) for pair in pair_up(before, after, _IDENTITIES))


def pair_up(
    before: Sequence[Item], after: Sequence[Item], identities: Iterable[Identity[Item]]
) -> tuple[tuple[Item | None, Item | None], ...]:
    """Each item of the first list with what it is on the second, then what is on the second alone.

    An item is looked for by the first identity, then what is left over by the next; items that share one are taken in
    their order, so that no item is paired twice.
    """
    found: dict[int, int] = {}
    for identity in identities:
        waiting: dict[Hashable, list[int]] = {}
        taken = set(found.values())
        for place, item in enumerate(after):
            if place not in taken and (key := identity(item)):
                waiting.setdefault(key, []).append(place)
        for place, item in enumerate(before):
            if place not in found and waiting.get(identity(item)):
                found[place] = waiting[identity(item)].pop(0)
    taken = set(found.values())
    return (
        *((item, after[found[place]] if place in found else None) for place, item in enumerate(before)),
        *((None, item) for place, item in enumerate(after) if place not in taken),
    )


def _how_sold(offer: Offer) -> tuple[str, Fraction | None]:
    """How an offer is sold, and the weight of its pack."""
    if offer.by_weight:
        return "by weight", None
    return ("about" if offer.heaviest_g else "pack"), offer.unit_g


def _by_code(offer: Offer) -> Hashable | None:
    return (offer.supplier, offer.cut, fold_name(offer.code)) if offer.code else None


def _by_item(offer: Offer) -> Hashable | None:
    name = fold_name(offer.item)
    return (offer.supplier, offer.cut, name) if name not in {"", fold_name(offer.cut)} else None


_IDENTITIES: Sequence[Identity[Offer]] = (
    lambda offer: offer.code and (_by_code(offer), _by_item(offer), _how_sold(offer)),
    lambda offer: offer.code and (_by_code(offer), _how_sold(offer)),
    _by_code,
    lambda offer: _by_item(offer) and (_by_item(offer), _how_sold(offer)),
    lambda offer: (offer.supplier, offer.cut, _how_sold(offer)),
    _by_item,
)
"""What an offer is known by on two lists: the supplier's code first, then its name and its pack; always of one cut."""


def prices_text(offer: Offer | None, weight_unit: str) -> str:
    """All the prices of an offer: `2.20 per pack, 2.00 from 5 packs`."""
    if offer is None:
        return "-"
    first, *more = offer.steps
    return ", ".join(
        (
            price_text(offer, first, weight_unit),
            *(_price_step_text(offer, price_step, weight_unit) for price_step in more),
        )
    )


def terms(first: Scenario, second: Scenario) -> Iterator[str]:
    """The terms that changed at suppliers that both have, and changed packs of supplements."""
    before = {supplier.name: supplier for supplier in first.suppliers}
    for after in second.suppliers:
        if after.name in before:
            yield from _changed_terms(before[after.name], after, second)
    yield from _changed_packs(first, second)


def pack_of(offer: SupplementOffer) -> Pack:
    """What identifies the pack."""
    return offer.supplier, offer.supplement, offer.steps


def packs_bought(scenario: Scenario, order: Plan) -> dict[Pack, int]:
    """How many packs of supplements an order buys."""
    offers, bought = {offer.key: offer for offer in scenario.supplement_offers}, dict[Pack, int]()
    for line in order.supplement_lines:
        pack = pack_of(offers[line.offer])
        bought[pack] = bought.get(pack, 0) + line.units
    return bought


def cost_at(scenario: Scenario, units: Mapping[str, int], packs: Mapping[Pack, int] | None = None) -> Decimal | None:
    """What these units of offers and packs of supplements cost at the scenario's prices.

    None where there are too few of them, less than is sold of one, or the order is below a minimum order.
    """
    offers, supplements = {offer.key: offer for offer in scenario.offers}, _cost_of_packs(scenario, packs or {})
    if supplements is None or any(
        key not in offers or _is_not_sold(offers[key], count) for key, count in units.items()
    ):
        return None
    cost = Decimal(0)
    for supplier in scenario.suppliers:
        mine = [(offers[key], count) for key, count in units.items() if offers[key].supplier == supplier.name]
        paid = _cost_at_supplier(scenario, supplier, mine, supplements.get(supplier.name, Decimal(0)))
        if paid is None:
            return None
        cost += paid
    return cost


def replace_lists(scenario: Scenario, other: Scenario) -> Scenario:
    """The first scenario with the price lists and suppliers of another."""
    cuts = {cut.name: cut for cut in (*scenario.cuts, *other.cuts)}
    own = {supplement.name for supplement in scenario.supplements}
    more = (replace(supplement, on_hand_steps=0) for supplement in other.supplements if supplement.name not in own)
    return replace(
        scenario,
        suppliers=other.suppliers,
        offers=other.offers,
        cuts=tuple(cuts[name] for name in sorted(cuts)),
        supplements=(*scenario.supplements, *more),
        supplement_offers=other.supplement_offers,
    )


def _changed_packs(first: Scenario, second: Scenario) -> Iterator[str]:
    """Packs of supplements that are new, gone, or at another price."""
    before, after = (
        {pack_of(offer): (scenario, offer) for offer in scenario.supplement_offers} for scenario in (first, second)
    )
    for pack in dict.fromkeys((*before, *after)):
        scenario, offer = before.get(pack) or after[pack]
        was, now = (lists[pack][1].price if pack in lists else None for lists in (before, after))
        if was != now:
            old, new = ("not sold" if price is None else scenario.currency.text(price) for price in (was, now))
            yield f"{offer.supplier}: {offer.supplement}, {packs_text(scenario, offer, 1)}: {new}, not {old}"


def _cost_of_packs(scenario: Scenario, packs: Mapping[Pack, int]) -> dict[str, Decimal] | None:
    """What packs of supplements cost, by supplier; None where there are too few of them."""
    cost: dict[str, Decimal] = {}
    for pack, count in packs.items():
        offers = [offer for offer in scenario.supplement_offers if pack_of(offer) == pack]
        prices = [offer.price for offer in offers if offer.available is None or offer.available >= count]
        if not prices:
            return None
        cost[pack[0]] = cost.get(pack[0], Decimal(0)) + min(prices) * count
    return cost


def _price_change(before: Offer, after: Offer) -> str:
    """How an offer changed, in words: its price, else its amount or steps; empty where it did not."""
    old, new = ([price_step.unit_price / offer.unit_g for price_step in offer.steps] for offer in (before, after))
    same_steps = _step_starts_g(before) == _step_starts_g(after)
    if old == new and same_steps:
        return _stock_change(before, after)
    if same_steps and all(was <= now for was, now in zip(old, new, strict=True)):
        return "dearer"
    if same_steps and all(was >= now for was, now in zip(old, new, strict=True)):
        return "cheaper"
    return "other prices"


def _step_starts_g(offer: Offer) -> list[Fraction]:
    """From how many grams on each price after the first holds."""
    return [price_step.at_least * offer.unit_g for price_step in offer.steps[1:]]


def _stock_change(before: Offer, after: Offer) -> str:
    """That another amount is available, or sold at least, or that it is sold in other steps; empty for none."""
    if _most_g(before) != _most_g(after):
        return "other amount there"
    if before.unit_g != after.unit_g and before.by_weight:
        return "other steps"
    return "" if before.least_units == after.least_units else "another least amount"


def _most_g(offer: Offer) -> Fraction | None:
    return None if offer.available is None else offer.available * offer.unit_g


def _price_step_text(offer: Offer, step: PriceStep, weight_unit: str) -> str:
    return f"{step.listed:f} {step_text(offer, step, weight_unit)}"


def _changed_terms(before: Supplier, after: Supplier, scenario: Scenario) -> Iterator[str]:
    """Each term of a supplier that changed."""
    money = scenario.currency.text
    if before.delivery != after.delivery:
        yield f"{after.name}: delivery {money(before.delivery)}, now {money(after.delivery)}"
    if before.minimum_order != after.minimum_order:
        yield f"{after.name}: minimum order {money(before.minimum_order)}, now {money(after.minimum_order)}"
    if before.free_delivery_from != after.free_delivery_from:
        old, new = (
            "never free" if least is None else f"free from {money(least)}"
            for least in (before.free_delivery_from, after.free_delivery_from)
        )
        yield f"{after.name}: delivery {old}, now {new}"
    if before.sales_tax != after.sales_tax:
        yield f"{after.name}: another sales tax"
    if before.trip != after.trip:
        yield f"{after.name}: the trip {money(before.trip)}, now {money(after.trip)}"


def _is_not_sold(offer: Offer, units: int) -> bool:
    """Whether there is less than that to be had, or more is the least that is sold."""
    return (offer.available is not None and units > offer.available) or 0 < units < offer.least_units


def _cost_at_supplier(
    scenario: Scenario, supplier: Supplier, lines: list[tuple[Offer, int]], supplements: Decimal
) -> Decimal | None:
    """What a supplier is paid for the lines and for supplements; None below its minimum order."""
    money = scenario.currency
    if not lines and not supplements:
        return Decimal(0)
    goods = sum((money.rounded(offer.step_for(count).unit_price * count) for offer, count in lines), supplements)
    if goods < supplier.minimum_order:
        return None
    is_free = supplier.free_delivery_from is not None and goods >= supplier.free_delivery_from
    return goods + (Decimal(0) if is_free else supplier.delivery) + money.rounded(Fraction(goods) * supplier.sales_tax)


@dataclass(frozen=True, slots=True)
class LineChange:
    """An offer of which two orders buy different amounts."""

    offer: Offer
    before: int
    after: int

    @property
    def says(self) -> str:
        """How it changed, in a word: new, gone, more or less."""
        return _change_word(self.before, self.after)


def _change_word(before: int, after: int) -> str:
    if not before:
        return "new"
    if not after:
        return "gone"
    return "more" if after > before else "less"


def bought_units(order: Plan) -> dict[str, int]:
    """Units bought by the offers' keys."""
    return {line.offer: line.units for line in order.lines}


def line_changes(
    offers: Mapping[str, Offer], before: Mapping[str, int], after: Mapping[str, int]
) -> Iterator[LineChange]:
    """The lines that differ, in the order of the offers."""
    for key, offer in offers.items():
        if before.get(key, 0) != after.get(key, 0):
            yield LineChange(offer, before.get(key, 0), after.get(key, 0))


def line_change_columns(of: str) -> tuple[Column, ...]:
    """The columns of changed lines; the first, for programs, says to which answer a line belongs."""
    return (
        Column(of, of.replace("_", " ").capitalize(), shown=False),
        Column("moved", "Change"),
        Column("cut", "Cut"),
        Column("supplier", "Supplier"),
        Column("to_buy_before", "Before"),
        Column("to_buy_after", "After"),
        Column("units_before", "Units before", Holds.COUNT, shown=False),
        Column("units_after", "Units after", Holds.COUNT, shown=False),
    )


def line_change_row(of: str, change: LineChange, weight_unit: str) -> tuple[Cell, ...]:
    """One changed line, with amounts as the shop sells them."""
    offer, counts = change.offer, (change.before, change.after)
    texts = (units_text(offer, units, weight_unit) if units else None for units in counts)
    return (of, change.says, offer.cut, offer.supplier, *texts, *counts)


def supplement_rows(of: str, first: tuple[Scenario, Plan], second: tuple[Scenario, Plan]) -> Iterator[tuple[Cell, ...]]:
    """The changed lines of supplements between two orders, each with its scenario, under the same columns."""
    before, after = packs_bought(*first), packs_bought(*second)
    offers = {
        pack_of(offer): (scenario, offer) for scenario, _ in (second, first) for offer in scenario.supplement_offers
    }
    for pack in dict.fromkeys((*before, *after)):
        counts, (scenario, offer) = (before.get(pack, 0), after.get(pack, 0)), offers[pack]
        if counts[0] != counts[1]:
            texts = (packs_text(scenario, offer, units) if units else None for units in counts)
            yield (of, _change_word(*counts), offer.supplement, offer.supplier, *texts, *counts)


def cost_columns(scenario: Scenario, rows: Iterable[Sequence[Cell]]) -> tuple[Column, ...]:
    """The columns for what an answer costs, in all, a dog-day and more than the base, and a remark if any row has one.

    Trips have a column where the way to any supplier of the scenario costs something.
    """
    code = scenario.currency.code
    return (
        Column("cost", f"Cost {code}", Holds.MONEY),
        *((Column("trips", f"Trips {code}", Holds.MONEY),) if scenario.has_trips else ()),
        Column("cost_per_dog_day", f"A dog-day {code}", Holds.MONEY),
        Column("difference", f"More {code}", Holds.MONEY),
        Column("remark", "Remark", shown=any(row[-1] for row in rows)),
    )


def cost_cells(
    scenario: Scenario, base: Plan | None, found: FoundOrder, *, with_trips: bool = False
) -> tuple[Cell, ...]:
    """The cells for `cost_columns`, those for trips where they are asked for; no money where there is no plan."""
    order = found.order
    if isinstance(order, Plan):
        is_open = base is None or may_cost_the_same(base, order)
        difference = None if base is None or is_open else costs_more(scenario, base, order)
        trips = (order.trips,) if with_trips else ()
        return (order.total, *trips, per_dog_day(scenario, order), difference, remark(scenario, found))
    return (*(None,) * (4 if with_trips else 3), remark(scenario, found))


def costs_more(scenario: Scenario, first: Plan, second: Plan) -> Decimal:
    """How much more the second order costs than the first, trips counted.

    Zero where they differ only by rounding, or by no more than an order that is near the cheapest can be off.
    """
    # Printed totals of equally cheap orders can differ by a rounding, so the proved exact costs decide.
    apart = abs(first.proof.bound - second.proof.bound)
    if first.proof.proved and second.proof.proved and apart <= scenario.currency.minor / 2:
        return Decimal(0)
    return Decimal(0) if may_cost_the_same(first, second) else second.counted - first.counted


def may_cost_the_same(first: Plan, second: Plan) -> bool:
    """Whether the cheapest orders may cost the same where these, which do not, are only near them."""
    is_near = any(order.proof.most_off(order.counted) for order in (first, second))
    apart = first.counted != second.counted
    return is_near and apart and first.proof.bound <= second.counted and second.proof.bound <= first.counted


def per_dog_day(scenario: Scenario, order: Plan) -> Decimal:
    """What one dog costs on one day."""
    return scenario.currency.rounded(Fraction(order.total) / scenario.dog_days)


def remark(scenario: Scenario, found: FoundOrder) -> str:
    """That there is no plan and why, that it is not proved, or that it is above the budget."""
    match found.order:
        case NoPlan():
            return f"no plan: {lacks_text(scenario, found.lacks)}"
        case Unsolved(why):
            return f"no answer: {why}"
        case order:
            return "; ".join(_remarks(scenario, order))


def _remarks(scenario: Scenario, order: Plan) -> Iterator[str]:
    """That an order is above the budget, or not proved."""
    if scenario.budget is not None and order.total > scenario.budget:
        yield f"above the budget of {scenario.currency.text(scenario.budget)}"
    if not order.proof.is_enough(order.counted):
        yield "not proved"
