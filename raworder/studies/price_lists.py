"""Price lists side by side: which offers are new, gone, dearer or cheaper, and what an order costs at other prices."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from raworder.plan import Plan
from raworder.reporting.given_beside import packs_text
from raworder.reporting.words import price_text, step_text
from raworder.trade import Offer, PriceStep, Scenario, SupplementOffer, Supplier

Sold = tuple[str, str, str, str, str]
"""By what an offer is known again on another list: supplier, cut, pack, how it is sold, and which of several alike."""

Pack = tuple[str, str, int]
"""By what a pack of a supplement is known again on another list: supplier, supplement, and how many steps it holds."""


@dataclass(frozen=True, slots=True)
class Listed:
    """An offer on two lists; None on the one that has none like it."""

    before: Offer | None
    after: Offer | None

    @property
    def offer(self) -> Offer:
        """The offer, as it stood first where it did."""
        found = self.before or self.after
        assert found is not None
        return found

    @property
    def says(self) -> str:
        """How it changed, in a word; nothing where it did not."""
        if self.before is None:
            return "new"
        if self.after is None:
            return "gone"
        return _priced(self.before, self.after)


def side_by_side(first: Scenario, second: Scenario) -> tuple[Listed, ...]:
    """All offers of both, in the order of the first, those of the second alone after them."""
    before, after = by_sold(first), by_sold(second)
    keys = dict.fromkeys((*before, *after))
    return tuple(Listed(before.get(key), after.get(key)) for key in keys)


def by_sold(scenario: Scenario) -> dict[Sold, Offer]:
    """The offers by what they are known again by; of several alike the cheapest is the first."""
    found: dict[Sold, Offer] = {}
    for one in sorted(scenario.offers, key=lambda offer: (offer.supplier, offer.cut, offer.steps[0].unit_price)):
        how = "by weight" if one.by_weight else "about" if one.heaviest_g else "pack"
        pack = "" if one.by_weight else str(one.unit_g)
        again = 0
        while (key := (one.supplier, one.cut, pack, how, str(again))) in found:
            again += 1
        found[key] = one
    return found


def prices_text(offer: Offer | None, weight_unit: str) -> str:
    """All the prices of an offer: `2.20 per pack, 2.00 from 5 packs`."""
    if offer is None:
        return "-"
    first, *more = offer.steps
    return ", ".join((price_text(offer, first, weight_unit), *(_from(offer, one, weight_unit) for one in more)))


def terms(first: Scenario, second: Scenario) -> Iterator[str]:
    """What changed in the terms of suppliers that both have."""
    before = {one.name: one for one in first.suppliers}
    for after in second.suppliers:
        if after.name in before:
            yield from _terms(before[after.name], after, second)
    yield from _packs_otherwise(first, second)


def pack_of(offer: SupplementOffer) -> Pack:
    """By what the offer is known again."""
    return offer.supplier, offer.supplement, offer.steps


def packs_bought(scenario: Scenario, order: Plan) -> dict[Pack, int]:
    """How many packs of supplements an order buys."""
    offers, bought = {one.key: one for one in scenario.supplement_offers}, dict[Pack, int]()
    for line in order.supplement_lines:
        pack = pack_of(offers[line.offer])
        bought[pack] = bought.get(pack, 0) + line.units
    return bought


def cost_at(scenario: Scenario, units: Mapping[str, int], packs: Mapping[Pack, int] | None = None) -> Decimal | None:
    """What so many units of the scenario's offers, and packs of supplements, cost.

    None where there are not so many, or the order is too small.
    """
    offers, beside = {one.key: one for one in scenario.offers}, _priced_packs(scenario, packs or {})
    if beside is None or any(key not in offers or _exceeds(offers[key], count) for key, count in units.items()):
        return None
    cost = Decimal(0)
    for supplier in scenario.suppliers:
        mine = [(offers[key], count) for key, count in units.items() if offers[key].supplier == supplier.name]
        paid = _paid(scenario, supplier, mine, beside.get(supplier.name, Decimal(0)))
        if paid is None:
            return None
        cost += paid
    return cost


def with_lists_of(scenario: Scenario, other: Scenario) -> Scenario:
    """The scenario with the price lists and suppliers of another one."""
    cuts = {one.name: one for one in (*scenario.cuts, *other.cuts)}
    own = {one.name for one in scenario.supplements}
    more = (replace(one, on_hand_steps=0) for one in other.supplements if one.name not in own)
    return replace(
        scenario,
        suppliers=other.suppliers,
        offers=other.offers,
        cuts=tuple(cuts[name] for name in sorted(cuts)),
        supplements=(*scenario.supplements, *more),
        supplement_offers=other.supplement_offers,
    )


def _packs_otherwise(first: Scenario, second: Scenario) -> Iterator[str]:
    """Packs of supplements that are new, gone, or at another price."""
    before, after = ({pack_of(one): (each, one) for one in each.supplement_offers} for each in (first, second))
    for pack in dict.fromkeys((*before, *after)):
        scenario, offer = before.get(pack) or after[pack]
        was, now = (lists[pack][1].price if pack in lists else None for lists in (before, after))
        if was != now:
            old, new = ("not sold" if one is None else scenario.currency.text(one) for one in (was, now))
            yield f"{offer.supplier}: {offer.supplement}, {packs_text(scenario, offer, 1)}: {new}, not {old}"


def _priced_packs(scenario: Scenario, packs: Mapping[Pack, int]) -> dict[str, Decimal] | None:
    """What packs of supplements cost, by supplier; None where there are not so many."""
    cost: dict[str, Decimal] = {}
    for pack, count in packs.items():
        offers = [one for one in scenario.supplement_offers if pack_of(one) == pack]
        prices = [one.price for one in offers if one.available is None or one.available >= count]
        if not prices:
            return None
        cost[pack[0]] = cost.get(pack[0], Decimal(0)) + min(prices) * count
    return cost


def _priced(before: Offer, after: Offer) -> str:
    """Dearer, cheaper, otherwise priced, available or cut, or nothing."""
    old, new = ([one.unit_price / offer.unit_g for one in offer.steps] for offer in (before, after))
    same_steps = _from_g(before) == _from_g(after)
    if old == new and same_steps:
        return _sold(before, after)
    if same_steps and all(one <= other for one, other in zip(old, new, strict=True)):
        return "dearer"
    if same_steps and all(one >= other for one, other in zip(old, new, strict=True)):
        return "cheaper"
    return "other prices"


def _from_g(offer: Offer) -> list[Fraction]:
    """From how many grams on each price but the first holds."""
    return [one.at_least * offer.unit_g for one in offer.steps[1:]]


def _sold(before: Offer, after: Offer) -> str:
    """Whether there is another amount of it, or it is cut in other steps."""
    if _most_g(before) != _most_g(after):
        return "other amount there"
    return "" if before.unit_g == after.unit_g else "other steps"


def _most_g(offer: Offer) -> Fraction | None:
    return None if offer.available is None else offer.available * offer.unit_g


def _from(offer: Offer, step: PriceStep, weight_unit: str) -> str:
    return f"{step.listed:f} {step_text(offer, step, weight_unit)}"


def _terms(before: Supplier, after: Supplier, scenario: Scenario) -> Iterator[str]:
    """Each term of a supplier that is another one now."""
    money = scenario.currency.text
    if before.delivery != after.delivery:
        yield f"{after.name}: delivery {money(before.delivery)}, now {money(after.delivery)}"
    if before.minimum_order != after.minimum_order:
        yield f"{after.name}: minimum order {money(before.minimum_order)}, now {money(after.minimum_order)}"
    if before.free_delivery_from != after.free_delivery_from:
        old, new = (
            "never free" if one is None else f"free from {money(one)}"
            for one in (before.free_delivery_from, after.free_delivery_from)
        )
        yield f"{after.name}: delivery {old}, now {new}"
    if before.sales_tax != after.sales_tax:
        yield f"{after.name}: another sales tax"


def _exceeds(offer: Offer, units: int) -> bool:
    return offer.available is not None and units > offer.available


def _paid(scenario: Scenario, supplier: Supplier, lines: list[tuple[Offer, int]], beside: Decimal) -> Decimal | None:
    """What a supplier is paid for the lines and for supplements; None below its minimum order."""
    money = scenario.currency
    if not lines and not beside:
        return Decimal(0)
    goods = sum((money.rounded(one.step_for(count).unit_price * count) for one, count in lines), beside)
    if goods < supplier.minimum_order:
        return None
    is_free = supplier.free_delivery_from is not None and goods >= supplier.free_delivery_from
    return goods + (Decimal(0) if is_free else supplier.delivery) + money.rounded(Fraction(goods) * supplier.sales_tax)
