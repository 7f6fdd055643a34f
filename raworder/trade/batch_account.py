"""What a batch comes to for the book: ordered, bought, filled into bags and left over, to the gram and to the cent."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from raworder.trade.bags import Filling
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog
from raworder.trade.fingerprint import batch_number
from raworder.trade.kept import (
    BatchAccount,
    Fed,
    FirstDays,
    ListedPrice,
    NewBag,
    NewLot,
    OrderedLine,
    PaidBill,
    PartGot,
    UsedLot,
)
from raworder.trade.plan import Plan
from raworder.trade.purchase import SECOND_TRIP
from raworder.trade.rounding import apportion
from raworder.trade.scenario import FedScenario, Offer, Scenario

Weighed = Mapping[tuple[int, str], int]
"""Grams of a cut or mix that were weighed into a bag, by the bag's place in the plan."""


def batch_account(
    scenario: FedScenario, plan: Plan, order: BatchAccount | None = None, weighed: Weighed | None = None
) -> BatchAccount:
    """The account of a batch whose bags are filled as the plan says, or with what was weighed where that is known.

    `order` is the account of the order before the shop, if anybody knows.
    """
    bags = tuple(_bags(scenario, plan, weighed or {}))
    used = tuple(_used(scenario, plan, bags))
    return replace(
        order_account(scenario, plan),
        dogs=tuple(Fed(dog.name, dog.owner, _day_g(dog)) for dog in scenario.dogs),
        ordered=order.ordered if order else (),
        planned=order.planned if order else None,
        bills=tuple(_bills(plan, scenario)),
        lots=tuple(_lots(scenario, plan, _from_shop_g(bags, used))),
        used=used,
        bags=bags,
        first_days=tuple(first_days(scenario, scenario.cuts)),
        shares=tuple(_shares(scenario, plan)),
    )


def order_account(scenario: Scenario, plan: Plan) -> BatchAccount:
    """The account of a batch that is planned and not bought yet: its order, and what its lists ask."""
    batch = scenario.batch
    return BatchAccount(
        number=batch_number(scenario),
        title=scenario.title,
        currency=scenario.currency.code,
        starts=batch.starts,
        days=batch.days,
        order_ahead_days=batch.order_ahead_days,
        filled_on=scenario.portioned_on,
        ordered=ordered_lines(scenario, plan),
        planned=plan.total,
        prices=tuple(listed_prices(scenario)),
    )


def ordered_lines(scenario: Scenario, plan: Plan) -> tuple[OrderedLine, ...]:
    """The lines of an order, without supplements."""
    lines = ((scenario.offer(line.offer), line) for line in plan.lines)
    return tuple(
        OrderedLine(_seller(offer), offer.cut, offer.item, line.units, offer.grams(line.units), line.goods)
        for offer, line in lines
    )


def listed_prices(scenario: Scenario) -> Iterator[ListedPrice]:
    """What each list asks, with the day of the list, or else the day on which the bags are filled."""
    days = {supplier.name: supplier.list_date or scenario.portioned_on for supplier in scenario.suppliers}
    for offer in scenario.offers:
        if offer.bought is None and not offer.supplier.endswith(SECOND_TRIP):
            step = offer.steps[0]
            yield ListedPrice(
                supplier=offer.supplier,
                day=days[offer.supplier],
                cut=offer.cut,
                item=offer.item,
                code=offer.code,
                unit_g=offer.grams(1),
                price=step.listed,
                per=step.per,
                edible_kg=step.unit_price * 1000 / offer.unit_g,
            )


def _seller(offer: Offer) -> str:
    """The supplier's name, on a second trip too."""
    return offer.supplier.removesuffix(SECOND_TRIP)


def _day_g(dog: Dog) -> int:
    """What a dog eats on a day on which it is fed, rounded up so that food is never said to last too long."""
    return -(-dog.batch_g // dog.days) if dog.days else 0


def first_days(scenario: FedScenario, cuts: Iterable[Cut]) -> Iterator[FirstDays]:
    """The dogs that have no bags from the first day on; of one in care nobody says what it eats then.

    `cuts` are all that a bag kept over may hold.
    """
    known = tuple(cuts)
    for dog in scenario.dogs:
        days = next((place for place, grams in enumerate(dog.day_g) if grams), 0)
        if days and not dog.care:
            yield FirstDays(dog.name, days, dog.meals, frozenset(cut.name for cut in known if dog.avoids(cut)))


def _rest_g(scenario: Scenario, cut: str, left_g: int) -> int:
    """What is left beside whole pieces of a cut that is fed in whole pieces; nothing of any other."""
    piece_g = scenario.portioning.whole_piece_g(scenario.cut(cut))
    return left_g % piece_g if piece_g and left_g > 0 else 0


def _bags(scenario: FedScenario, plan: Plan, weighed: Weighed) -> Iterator[NewBag]:
    """The bags with the cuts in them, what comes from a mix by what the mix is made of."""
    owners = {dog.name: dog.owner for dog in scenario.dogs}
    parts = _MixParts(plan)
    for place, bag in enumerate(plan.bags):
        grams: dict[str, int] = {}
        for filling in bag.fillings:
            taken_g = weighed.get((place, filling.cut), filling.grams)
            for cut, part_g in parts.split(filling, taken_g):
                grams[cut] = grams.get(cut, 0) + part_g
        contents = tuple((cut, some_g) for cut, some_g in sorted(grams.items()) if some_g)
        yield NewBag(place + 1, bag.dog, owners.get(bag.dog, ""), bag.day, bag.meal, contents)


class _MixParts:
    """Splits what comes from a mix into its cuts, bag after bag, so that all bags together take just what is in it."""

    def __init__(self, plan: Plan) -> None:
        self._contents = {mix.name: mix.contents for mix in plan.mixes}
        self._due: dict[str, list[Fraction]] = {
            name: [Fraction(0)] * len(parts) for name, parts in self._contents.items()
        }
        self._given = {name: [0] * len(parts) for name, parts in self._contents.items()}

    def split(self, filling: Filling, grams: int) -> Sequence[tuple[str, int]]:
        """The cuts of so many grams of a cut or mix; what rounding owes a cut is given with the next bags."""
        contents = self._contents.get(filling.cut)
        if contents is None:
            return [(filling.cut, grams)]
        due, given = self._due[filling.cut], self._given[filling.cut]
        whole_g = sum(part.grams for part in contents)
        owed = []
        for place, part in enumerate(contents):
            due[place] += Fraction(grams * part.grams, whole_g)
            owed.append(max(due[place] - given[place], Fraction(0)))
        shares = apportion(grams, owed) if grams else (0,) * len(contents)
        for place, share_g in enumerate(shares):
            given[place] += share_g
        return [(part.cut, share_g) for part, share_g in zip(contents, shares, strict=True)]


def _used(scenario: Scenario, plan: Plan, bags: Sequence[NewBag]) -> Iterator[UsedLot]:
    """What was on hand, with what went into bags: as planned, or where it was weighed what the bags hold.

    What was heavier came from what was bought; of a cut that nobody bought, from the last lot.
    """
    planned_g = {use.lot: use.used_g for use in plan.lots_used}
    bought = {scenario.offer(line.offer).cut for line in plan.lines}
    left_g = _grams_by_cut(bags)
    used_g: dict[int, int] = {}
    lots = sorted(enumerate(scenario.on_hand), key=lambda held: not held[1].owner)  # own lots are fed first
    for place, lot in lots:
        used_g[place] = min(planned_g.get(place, 0), left_g.get(lot.cut, 0))
        left_g[lot.cut] = left_g.get(lot.cut, 0) - used_g[place]
    for place, lot in lots:
        spare_g = 0 if lot.cut in bought else min(left_g[lot.cut], lot.grams - used_g[place])
        used_g[place] += spare_g
        left_g[lot.cut] -= spare_g
    last = {lot.cut: place for place, lot in lots if lot.cut not in bought}
    for place, lot in enumerate(scenario.on_hand):
        heavier_g = left_g[lot.cut] if last.get(lot.cut) == place else 0
        taken_g = used_g[place] + heavier_g
        rest_g = _rest_g(scenario, lot.cut, lot.grams - taken_g)
        yield UsedLot(lot.cut, lot.owner, lot.frozen_on, lot.grams, taken_g, rest_g)


def _grams_by_cut(bags: Iterable[NewBag]) -> dict[str, int]:
    """Grams of each cut in all bags."""
    filled: dict[str, int] = {}
    for bag in bags:
        for cut, grams in bag.contents:
            filled[cut] = filled.get(cut, 0) + grams
    return filled


def _from_shop_g(bags: Iterable[NewBag], used: Iterable[UsedLot]) -> dict[str, int]:
    """Grams of each cut in the bags that were bought for them."""
    left_g = _grams_by_cut(bags)
    for lot in used:
        left_g[lot.cut] = left_g.get(lot.cut, 0) - lot.used_g
    return left_g


def _lots(scenario: Scenario, plan: Plan, wanted_g: dict[str, int]) -> Iterator[NewLot]:
    """A lot for every line, filled into bags in the order of the bill; the last of a cut takes what was heavier."""
    lines = [(scenario.offer(line.offer), line) for line in plan.lines]
    last = {offer.cut: line for offer, line in lines}
    worths = _worths(scenario, plan)
    for offer, line in lines:
        grams = offer.grams(line.units)
        due_g = wanted_g.get(offer.cut, 0)
        used_g = due_g if last[offer.cut] is line else min(grams, due_g)
        wanted_g[offer.cut] = due_g - used_g
        yield NewLot(
            offer.cut, grams, used_g, line.units, line.goods, worths[line.offer], _seller(offer), offer.item,
            offer.code, _frozen_on(offer, scenario.portioned_on), _rest_g(scenario, offer.cut, grams - used_g),
        )  # fmt: skip


def _frozen_on(offer: Offer, filled_on: date) -> date:
    """Since when something bought is frozen: as it was sold, or since it was put away on the day of filling."""
    so_far = filled_on - timedelta(days=offer.frozen_days)
    return min(so_far, offer.frozen_on or so_far)


def _worths(scenario: Scenario, plan: Plan) -> dict[str, Decimal]:
    """What each line cost with its part of delivery and tax: all lines of a bill come to what was paid."""
    minor = scenario.currency.minor
    worths: dict[str, Decimal] = {}
    beside = {offer.key: offer.supplier for offer in scenario.supplement_offers}
    for bill in plan.bills:
        lines = [line for line in plan.lines if scenario.offer(line.offer).supplier == bill.supplier]
        others = [line for line in plan.supplement_lines if beside.get(line.offer) == bill.supplier]
        goods = [Fraction(line.goods) for line in (*lines, *others)]
        weights = goods if any(goods) else [Fraction(1)] * len(goods)
        parts = apportion(int(bill.total / minor), weights) if weights else ()
        worths |= {line.offer: part * minor for line, part in zip((*lines, *others), parts, strict=True)}
    return worths


def _bills(plan: Plan, scenario: Scenario) -> Iterator[PaidBill]:
    """What each supplier was paid, on all trips together."""
    beside = {offer.key: _plain(offer.supplier) for offer in scenario.supplement_offers}
    bills: dict[str, PaidBill] = {}
    for bill in plan.bills:
        name = _plain(bill.supplier)
        before = bills.get(name, PaidBill(name, Decimal(0), Decimal(0), Decimal(0)))
        bills[name] = replace(
            before,
            goods=before.goods + bill.goods,
            delivery=before.delivery + bill.delivery,
            tax=before.tax + bill.tax,
        )
    for line in plan.supplement_lines:
        name = beside[line.offer]
        bills[name] = replace(bills[name], other=bills[name].other + line.goods)
    return iter(bills.values())


def _plain(supplier: str) -> str:
    return supplier.removesuffix(SECOND_TRIP)


def _shares(scenario: FedScenario, plan: Plan) -> Iterator[PartGot]:
    """What each dog that has ranges got of every part, beside its range."""
    cuts = {cut.name: cut for cut in scenario.cuts}
    for dog in scenario.dogs:
        eaten = [(cuts[portion.cut], portion.batch_g) for portion in plan.portions if portion.dog == dog.name]
        whole_g = sum(grams for _, grams in eaten)
        for target in dog.targets if whole_g else ():
            part_g = sum((cut.part_share(target.part) * grams for cut, grams in eaten), Fraction(0))
            yield PartGot(dog.name, target.part, part_g / whole_g, target.low, target.high)
