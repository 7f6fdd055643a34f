"""The purchase: what was really bought, what gave way for it, and the scenario that the bags are then planned for."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import floor

from raworder.trade.after_a_batch import Variance
from raworder.trade.as_fed import with_grams
from raworder.trade.cuts import Cut, Measure, Subject
from raworder.trade.dogs import Dog
from raworder.trade.findings import Place
from raworder.trade.fingerprint import fingerprint
from raworder.trade.plan import OrderLine, Plan
from raworder.trade.scenario import Offer, PriceStep, Scenario, Supplier, Variety
from raworder.trade.units import Currency, grams_text, share_text


@dataclass(frozen=True, slots=True)
class Received:
    """One line: units of an offer, what they weigh together, and what was paid for them before sales tax.

    `offer` is the key of the scenario's offer, or empty for a substitute that is on no price list.
    """

    offer: str
    supplier: str
    cut: str
    units: int
    grams: int
    paid: Decimal
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Receipt:
    """All that was bought; what is not on it was not bought.

    `delivery` is what suppliers charged for bringing it. `none_left` are the offers that were sold out. `cuts` are
    substitutes that are not in the scenario.
    """

    lines: tuple[Received, ...]
    delivery: tuple[tuple[str, Decimal], ...] = ()
    none_left: tuple[str, ...] = ()
    cuts: tuple[Cut, ...] = ()


@dataclass(frozen=True, slots=True)
class Missed:
    """A range that a dog's food misses: its share of the batch that counts, and the grams by which it is off."""

    dog: str
    subject: Subject
    low: Fraction
    high: Fraction
    share: Fraction
    off_g: int


@dataclass(frozen=True, slots=True)
class AfterTheShop:
    """How the shop turned out: what was `paid` and what was `planned`, with sales tax and delivery.

    `planned` is None where there was no plan. `enough` is true where what was bought feeds every dog within its rules.
    `missed` are the ranges that what was bought does not reach, once rations are cut by `short_g` because there is too
    little food, or too little that can be fed. `to_fetch` is the least that the rest costs, None where nothing is
    fetched; `fetched` is what must be fetched, in words. `as_it_is` is true where nothing is fetched, and `filled`
    where bags can be filled even so. All dogs together need `needed_g`, and `there_g` is bought or on hand; both are
    set only where something is missing. `any_species` is true where the rules on species cannot be kept at all.
    `variance` says why it cost other than planned, where that is known and nothing is missing.
    """

    planned: Decimal | None
    paid: Decimal
    enough: bool = False
    missed: tuple[Missed, ...] = ()
    short_g: int = 0
    to_fetch: Decimal | None = None
    fetched: tuple[str, ...] = ()
    as_it_is: bool = False
    filled: bool = True
    needed_g: int = 0
    there_g: int = 0
    any_species: bool = False
    variance: Variance | None = None

    @property
    def missing_g(self) -> int:
        """The grams by which the food falls short of what all dogs need, counting food that cannot be fed."""
        return max(self.needed_g - self.there_g, 0)


SECOND_TRIP = ", to fetch"
"""The ending of the names of offers and suppliers on the second trip, for what must still be fetched."""

SHOP_SIGNS = 4
"""The letters of a batch number that stand for what was bought."""


class Way(StrEnum):
    """The food that the bags are planned for after the shop.

    `ENOUGH`: what was bought, within all rules. `FETCH`: that, and what must be fetched; `FETCH_HUNGRY`: the same,
    with less energy than at rest. `AS_IT_IS`: only what was bought, with rules that give way. `CUT_UP` is the last, in
    which pieces are cut and weeks may differ.
    """

    ENOUGH = "enough"
    FETCH = "fetch"
    FETCH_HUNGRY = "fetch, less than at rest"
    AS_IT_IS = "as it is"
    CUT_UP = "cut up"


@dataclass(frozen=True, slots=True)
class Planned:
    """What stays as planned before the shop: the grams fed, by dog, and the packs of supplements, by offer."""

    fed_g: tuple[tuple[str, int], ...] = ()
    packs: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Purchase:
    """All that changes the scenario after the shop, so that a saved plan can be checked against it again.

    `planned` is None where there was no plan before. `part` is the share of the food at hand that is fed, None where
    rations stay whole; `missed` are the ranges that give way; `any_species` drops all rules on species. These three
    count only where nothing more is fetched.
    """

    receipt: Receipt
    planned: Planned | None = None
    way: Way = Way.ENOUGH
    part: Fraction | None = None
    missed: tuple[Missed, ...] = ()
    any_species: bool = False


def planned_amounts(plan: Plan) -> Planned:
    """The amounts of a plan that stay as they are after the shop."""
    fed_g: dict[str, int] = {}
    for portion in plan.portions:
        fed_g[portion.dog] = fed_g.get(portion.dog, 0) + portion.batch_g
    return Planned(tuple(fed_g.items()), tuple((line.offer, line.units) for line in plan.supplement_lines))


def full_receipt(scenario: Scenario, plan: Plan, purchase: Purchase | None = None) -> Receipt:
    """The receipt of everything, if all that is still to buy is bought as the plan says.

    `scenario` is the one from before the shop; `purchase`, if any, is what was bought already. An offer bought on both
    trips has one line. Delivery is listed where it differs from the price list, such as when it was paid twice.
    """
    before = purchase.receipt if purchase else Receipt(())
    offers = {offer.key: offer for offer in scenario.offers}
    still_to_buy = {
        line.offer.removesuffix(SECOND_TRIP): line
        for line in plan.lines
        if purchase is None or line.offer.endswith(SECOND_TRIP)
    }
    lines = tuple(_add_later_purchase(line, offers, still_to_buy.get(line.offer)) for line in before.lines)
    known = {line.offer for line in lines}
    lines += tuple(_planned_receipt_line(offers[key], line) for key, line in still_to_buy.items() if key not in known)
    whole = replace(before, lines=lines)
    return replace(whole, delivery=_delivery_charged(scenario, plan, whole)) if purchase else whole


def _delivery_charged(scenario: Scenario, plan: Plan, receipt: Receipt) -> tuple[tuple[str, Decimal], ...]:
    """What suppliers charge for delivery on all trips together, where their price lists say another amount."""
    charged: dict[str, Decimal] = {}
    for bill in plan.bills:
        name = bill.supplier.removesuffix(SECOND_TRIP)
        charged[name] = charged.get(name, Decimal(0)) + bill.delivery
    by_list = {supplier.name: _charged_supplier(supplier, {}, receipt).delivery for supplier in scenario.suppliers}
    return tuple((name, paid) for name, paid in charged.items() if paid != by_list[name])


def _add_later_purchase(line: Received, offers: Mapping[str, Offer], later: OrderLine | None) -> Received:
    """What was bought of an offer, together with what is bought of it later."""
    if later is None:
        return line
    grams = line.grams + offers[line.offer].grams(later.units)
    return replace(line, units=line.units + later.units, grams=grams, paid=line.paid + later.goods)


def _planned_receipt_line(offer: Offer, line: OrderLine) -> Received:
    """The receipt line of a planned line that is bought at list price."""
    return Received(offer.key, offer.supplier, offer.cut, line.units, offer.grams(line.units), line.goods)


def scenario_after_shop(scenario: Scenario, purchase: Purchase) -> Scenario:
    """The scenario that the bags are planned for after the shop; it depends on nothing but these two."""
    if purchase.planned is not None:
        scenario = fix_planned_amounts(scenario, purchase.planned)
    bought = bought_scenario(scenario, purchase.receipt)
    final = replace(
        _apply_concessions(bought, scenario, purchase), shop_signs=fingerprint(purchase)[:SHOP_SIGNS].upper()
    )
    with_asked = replace(final, asked=replace(bought, room_g=scenario.room_g, budget=scenario.budget))
    # the rules as asked are kept only where some gave way
    return final if with_asked.as_asked == final else with_asked


def _apply_concessions(bought: Scenario, scenario: Scenario, purchase: Purchase) -> Scenario:
    """The scenario of what was bought, without the rules that give way for it."""
    if purchase.way is Way.ENOUGH:
        return bought
    # with what there is, the ranges of parts come before rules on nutrients
    keep_rest = purchase.way is Way.FETCH
    bought = drop_nutrient_rules(bought, keep_rest=keep_rest)
    scenario = drop_nutrient_rules(scenario, keep_rest=keep_rest)
    if purchase.way in {Way.FETCH, Way.FETCH_HUNGRY}:
        return _add_second_trip(bought, scenario, purchase.receipt)
    bought = drop_species_rules(bought) if purchase.any_species else bought
    reduced = bought if purchase.part is None else reduce_rations(bought, purchase.part)[0]
    loosened = _loosen_targets(reduced, purchase.missed)
    return _allow_cutting_up(loosened) if purchase.way is Way.CUT_UP else loosened


def fix_planned_amounts(scenario: Scenario, planned: Planned) -> Scenario:
    """The scenario with rations in the plan's grams and its supplements on hand, as a receipt lists only food."""
    packs = dict(planned.packs)
    steps: dict[str, int] = {}
    for offer in scenario.supplement_offers:
        steps[offer.supplement] = steps.get(offer.supplement, 0) + offer.steps * packs.get(offer.key, 0)
    return replace(
        scenario,
        dogs=tuple(map(_keep_grams, with_grams(scenario, dict(planned.fed_g)).dogs)),
        supplements=tuple(
            replace(supplement, on_hand_steps=supplement.on_hand_steps + steps.get(supplement.name, 0))
            for supplement in scenario.supplements
        ),
        supplement_offers=(),
    )


def _keep_grams(dog: Dog) -> Dog:
    """The dog with a ration in the grams that were found for its energy."""
    if dog.energy is None:
        return dog
    # whole grams may hold a gram's part less than the energy did, which may have been just what is needed at rest
    resting = dog.resting_kcal and dog.resting_kcal * (1 - Fraction(1, max(dog.batch_g, 1)))
    return replace(dog, energy=None, resting_kcal=resting)


def drop_nutrient_rules(scenario: Scenario, *, keep_rest: bool = False) -> Scenario:
    """The scenario without any rules on nutrients and, unless it is kept, on energy at rest."""
    dogs = (
        replace(dog, nutrient_limits=(), ratio_limits=(), resting_share=dog.resting_share if keep_rest else Fraction(0))
        for dog in scenario.dogs
    )
    return replace(scenario, dogs=tuple(dogs))


def drop_species_rules(scenario: Scenario) -> Scenario:
    """The scenario without any rules on species."""
    return replace(scenario, variety=Variety())


def bought_scenario(scenario: Scenario, receipt: Receipt) -> Scenario:
    """The scenario in which only what is on the receipt can be had, at what was paid, with no limit on buying."""
    charged, offers = dict(receipt.delivery), {offer.key: offer for offer in scenario.offers}
    suppliers = {line.supplier for line in receipt.lines}
    return replace(
        scenario,
        cuts=tuple(sorted((*scenario.cuts, *receipt.cuts), key=lambda cut: cut.name)),
        offers=tuple(
            _bought_offer(line, number, offers, scenario.currency) for number, line in enumerate(receipt.lines)
        ),
        suppliers=tuple(
            _charged_supplier(supplier, charged, receipt)
            for supplier in scenario.suppliers
            if supplier.name in suppliers
        ),
        room_g=None,
        budget=None,
        most_suppliers=None,
        most_cuts=None,
        supplement_offers=(),
    )


def reduce_rations(scenario: Scenario, part: Fraction) -> tuple[Scenario, int]:
    """The scenario with rations cut to `part` of what there is food for, and the grams cut in all.

    All rations are cut by the same share, except those that a veterinarian gave.
    """
    given_g = sum(dog.batch_g for dog in scenario.dogs if dog.care)
    need_g = sum(dog.batch_g for dog in scenario.dogs) - given_g
    left = part * min(_part_there_is(scenario), Fraction(1))
    if left == 1:
        return scenario, 0
    dogs = tuple(dog if dog.care else _scale_ration(dog, left) for dog in scenario.dogs)
    return replace(scenario, dogs=dogs), need_g + given_g - sum(dog.batch_g for dog in dogs)


def _part_there_is(scenario: Scenario) -> Fraction:
    """The part of all rations that there is food for, where an owner's own is for that owner's dogs only.

    A veterinarian's amounts are taken off first. Owners who have more than their dogs then eat leave theirs out.
    """
    owners = sorted({dog.owner for dog in scenario.dogs})
    need_g, given_g, own_g = (dict.fromkeys(owners, 0) for _ in range(3))
    for dog in scenario.dogs:
        (given_g if dog.care else need_g)[dog.owner] += dog.batch_g
    for lot in scenario.on_hand:
        if lot.owner in own_g and lot.owner and not scenario.waits(lot):
            own_g[lot.owner] += lot.grams
    shared_g = food_g(scenario) - sum(own_g.values()) - sum(max(given_g[who] - own_g[who], 0) for who in owners)
    left_g = {owner: max(own_g[owner] - given_g[owner], 0) for owner in owners}
    sharing = owners
    while True:
        food = max(shared_g + sum(left_g[owner] for owner in sharing), 0)
        part = Fraction(food, sum(need_g[owner] for owner in sharing) or 1)
        fewer = [owner for owner in sharing if left_g[owner] <= part * need_g[owner]]
        if len(fewer) == len(sharing):
            return part
        sharing = fewer


def food_g(scenario: Scenario) -> int:
    """Grams of all the food that can be fed: on hand, and bought already, without what must be frozen first."""
    held_g = sum(lot.grams for lot in scenario.on_hand if not scenario.waits(lot))
    return held_g + sum(offer.grams(offer.bought or 0) for offer in scenario.offers if not scenario.waits(offer))


def lines_to_fetch(scenario: Scenario, plan: Plan) -> tuple[tuple[OrderLine, Offer], ...]:
    """The lines of a plan after the shop that must still be bought, each with its offer."""
    offers = {offer.key: offer for offer in scenario.offers}
    return tuple((line, offers[line.offer]) for line in plan.lines if line.offer.endswith(SECOND_TRIP))


def list_to_fetch(scenario: Scenario, plan: Plan) -> tuple[str, ...]:
    """Each amount that must still be fetched, in words."""
    return tuple(
        f"{grams_text(offer.grams(line.units), scenario.weight_unit)} of {offer.cut}, "
        f"{offer.supplier.removesuffix(SECOND_TRIP)}"
        for line, offer in lines_to_fetch(scenario, plan)
    )


def _bought_offer(line: Received, number: int, offers: Mapping[str, Offer], currency: Currency) -> Offer:
    """A receipt line as an offer of which just that amount is bought; what was cut to weight counts as one unit."""
    offer = offers.get(line.offer)
    units = 1 if offer is None or offer.by_weight else line.units
    price = Fraction(line.paid) / units
    return Offer(
        key=line.offer or f"instead {number + 1}: {line.cut}",
        supplier=line.supplier,
        cut=line.cut,
        item=offer.item if offer else "",
        unit_g=Fraction(line.grams, units),
        by_weight=False,
        steps=(PriceStep(1, price, currency.rounded(price), "pack"),),
        available=units,
        code=offer.code if offer else "",
        bought=units,
        frozen_days=offer.frozen_days if offer else 0,
        frozen_on=offer.frozen_on if offer else None,
        place=line.place,
    )


def _charged_supplier(supplier: Supplier, charged: dict[str, Decimal], receipt: Receipt) -> Supplier:
    """The supplier with the delivery that it charged, or that its price list says."""
    goods = sum((line.paid for line in receipt.lines if line.supplier == supplier.name), Decimal(0))
    is_free = supplier.free_delivery_from is not None and goods >= supplier.free_delivery_from
    by_list = Decimal(0) if is_free else supplier.delivery
    delivery = charged.get(supplier.name, by_list)
    return replace(supplier, delivery=delivery, minimum_order=Decimal(0), free_delivery_from=None)


def _add_second_trip(bought: Scenario, scenario: Scenario, receipt: Receipt) -> Scenario:
    """The scenario of what was bought, with a second trip to each supplier for what is still to be had."""
    taken = {line.offer: line.units for line in receipt.lines}
    still_sold = [offer for offer in scenario.offers if offer.key not in receipt.none_left]
    return replace(
        bought,
        offers=(*bought.offers, *(_remaining_offer(offer, taken.get(offer.key, 0)) for offer in still_sold)),
        suppliers=(
            *bought.suppliers,
            *(replace(supplier, name=supplier.name + SECOND_TRIP) for supplier in scenario.suppliers),
        ),
    )


def _remaining_offer(offer: Offer, taken: int) -> Offer:
    """An offer for the second trip, less the units already taken."""
    available = None if offer.available is None else max(offer.available - taken, 0)
    return replace(offer, key=offer.key + SECOND_TRIP, supplier=offer.supplier + SECOND_TRIP, available=available)


def _scale_ration(dog: Dog, part: Fraction) -> Dog:
    """The dog with that part of every day's ration."""
    day_g = tuple(floor(grams * part) for grams in dog.day_g)
    ration_says = f"{dog.ration_says}, of which {share_text(part)} can be fed"
    return replace(dog, day_g=day_g, batch_g=sum(day_g), daily_g=dog.daily_g * part, ration_says=ration_says)


def _loosen_targets(scenario: Scenario, missed: Iterable[Missed]) -> Scenario:
    """The scenario with targets and caps widened as far as the food at hand misses them."""
    reached = {(miss.dog, miss.subject): miss.share for miss in missed}
    return replace(scenario, dogs=tuple(_loosen_dog(dog, reached) for dog in scenario.dogs))


def _loosen_dog(dog: Dog, reached: Mapping[tuple[str, Subject], Fraction]) -> Dog:
    targets = []
    for target in dog.targets:
        share = reached.get((dog.name, Subject(Measure.PART, target.part)), target.low)
        targets.append(replace(target, low=min(target.low, share), high=max(target.high, share)))
    caps = [replace(cap, most=max(cap.most, reached.get((dog.name, cap.subject), cap.most))) for cap in dog.caps]
    return replace(dog, targets=tuple(targets), caps=tuple(caps))


def _allow_cutting_up(scenario: Scenario) -> Scenario:
    """The scenario in which any piece may be cut and no day or week has a rule, so that what there is can be fed."""
    portioning = replace(
        scenario.portioning,
        divided=frozenset(cut.name for cut in scenario.cuts),
        least_portion_g=scenario.portioning.scale_step_g,
        week_allowance=Fraction(1),
        most_a_day=(),
    )
    return replace(scenario, portioning=portioning)
