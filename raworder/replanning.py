"""After the shop: what was really bought is fixed, everything is solved again, and what is missing is named and sized.

Where what was bought does not do, two ways are worked out: the cheapest that must still be fetched, and what the dogs
get if nothing is.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import floor

from raworder.as_fed import as_fed
from raworder.cuts import Measure, Subject
from raworder.dogs import Dog
from raworder.plan import NoPlan, Plan
from raworder.receipt import AfterTheShop, Missed, Receipt, Received
from raworder.solving.missing import least_missing
from raworder.solving.solver import Settings
from raworder.trade import Offer, PriceStep, Scenario, Supplier
from raworder.units import Currency, grams_text
from raworder.workflow import Answer, plan_batch

REPLANNED = "Replanned from the receipt: what was bought is fixed, and only the rest was searched."
SUPPLEMENTS_AT_HOME = "A receipt tells of food alone: supplements are taken to be at home as planned, at no cost here."
NOT_ASKED = "With what was bought the rules on nutrients cannot be met beside the others, so nothing is asked of them."
FETCHED = ", to fetch"
"""What stands behind the name of a supplier from whom something must still be fetched."""

PARTS_OF_RATIONS = (Fraction(1), Fraction(98, 100), Fraction(95, 100), Fraction(90, 100), Fraction(80, 100))
"""The parts of what there is food for that are tried; what comes in pieces, or may not be eaten, cannot all be fed."""


@dataclass(frozen=True, slots=True)
class Replanned:
    """What comes of a receipt: an answer, the scenario it is about, and what is to be said about the shop.

    `after` is None where all was bought as planned; then the answer is the plan that was.
    """

    scenario: Scenario
    answer: Answer
    after: AfterTheShop | None = None


def replan_batch(scenario: Scenario, receipt: Receipt, settings: Settings, *, as_it_is: bool = False) -> Replanned:
    """The batch planned again with what was really bought; `as_it_is` without fetching anything more."""
    before = plan_batch(scenario, settings)
    if not isinstance(before, Plan):
        return _again(scenario, receipt, settings, None, as_it_is=as_it_is)
    if _is_as_planned(scenario, before, receipt):
        return Replanned(scenario, before)
    told = (SUPPLEMENTS_AT_HOME,) if before.supplement_lines else ()
    found = _again(as_planned(scenario, before), receipt, settings, before.total, as_it_is=as_it_is)
    return replace(found, answer=_remarked(found.answer, told))


def _again(
    scenario: Scenario, receipt: Receipt, settings: Settings, planned: Decimal | None, *, as_it_is: bool
) -> Replanned:
    """What comes of a receipt that differs from the plan."""
    bought = bought_scenario(scenario, receipt)
    after = AfterTheShop(planned, _paid(bought, receipt))
    answer = plan_batch(bought, settings)
    if not isinstance(answer, NoPlan):
        return Replanned(bought, _remarked(answer, (REPLANNED,)), replace(after, enough=isinstance(answer, Plan)))
    told = (REPLANNED, *((NOT_ASKED,) if any(dog.takes_supplements for dog in scenario.dogs) else ()))
    bought, scenario = without_limits(bought), without_limits(scenario)
    enough, after = _least_missed(bought, after, settings)
    if as_it_is:
        loosened = _loosened(enough, after.missed)
        answer = plan_batch(loosened, settings)
        if isinstance(answer, NoPlan):
            loosened = _cut_up(loosened)
            answer = plan_batch(loosened, settings)
        filled = replace(after, as_it_is=True, filled=isinstance(answer, Plan))
        return Replanned(loosened, _remarked(answer, told), filled)
    completed = _with_more(bought, scenario, receipt)
    fetched = plan_batch(completed, settings)
    return Replanned(completed, _remarked(fetched, told), _with_fetched(completed, fetched, after))


def as_planned(scenario: Scenario, plan: Plan) -> Scenario:
    """The scenario with rations in the grams of the plan, and the supplements at home: a receipt tells of food."""
    packs = {line.offer: line.units for line in plan.supplement_lines}
    steps: dict[str, int] = {}
    for offer in scenario.supplement_offers:
        steps[offer.supplement] = steps.get(offer.supplement, 0) + offer.steps * packs.get(offer.key, 0)
    return replace(
        scenario,
        dogs=tuple(replace(dog, energy=None) for dog in as_fed(scenario, plan).dogs),
        supplements=tuple(
            replace(one, on_hand_steps=one.on_hand_steps + steps.get(one.name, 0)) for one in scenario.supplements
        ),
        supplement_offers=(),
    )


def without_limits(scenario: Scenario) -> Scenario:
    """The scenario in which nothing is asked of nutrients: with what there is, ranges of parts come first."""
    dogs = (replace(dog, nutrient_limits=(), ratio_limits=()) for dog in scenario.dogs)
    return replace(scenario, dogs=tuple(dogs))


def bought_scenario(scenario: Scenario, receipt: Receipt) -> Scenario:
    """The scenario in which just what is on the receipt can be had, at what was paid, and no limit asks for less."""
    charged, offers = dict(receipt.delivery), {offer.key: offer for offer in scenario.offers}
    suppliers = {line.supplier for line in receipt.lines}
    return replace(
        scenario,
        cuts=tuple(sorted((*scenario.cuts, *receipt.cuts), key=lambda cut: cut.name)),
        offers=tuple(_as_bought(line, number, offers, scenario.currency) for number, line in enumerate(receipt.lines)),
        suppliers=tuple(_as_charged(one, charged, receipt) for one in scenario.suppliers if one.name in suppliers),
        room_g=None,
        budget=None,
        most_suppliers=None,
        supplement_offers=(),
    )


def _is_as_planned(scenario: Scenario, plan: Plan, receipt: Receipt) -> bool:
    """Whether the receipt tells of just what was planned."""
    offers = {offer.key: offer for offer in scenario.offers}
    planned = {(line.offer, line.units, offers[line.offer].grams(line.units), line.goods) for line in plan.lines}
    bought = {(line.offer, line.units, line.grams, line.paid) for line in receipt.lines}
    charged = {bill.supplier: bill.delivery for bill in plan.bills}
    return planned == bought and all(charged.get(name) == amount for name, amount in receipt.delivery)


def _as_bought(line: Received, number: int, offers: Mapping[str, Offer], currency: Currency) -> Offer:
    """A line of the receipt as an offer of which just so much is bought; what was cut to weight is one piece of it."""
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
        place=line.place,
    )


def _as_charged(supplier: Supplier, charged: dict[str, Decimal], receipt: Receipt) -> Supplier:
    """The supplier with the delivery that it charged, or by its list should have."""
    goods = sum((line.paid for line in receipt.lines if line.supplier == supplier.name), Decimal(0))
    is_free = supplier.free_delivery_from is not None and goods >= supplier.free_delivery_from
    by_list = Decimal(0) if is_free else supplier.delivery
    delivery = charged.get(supplier.name, by_list)
    return replace(supplier, delivery=delivery, minimum_order=Decimal(0), free_delivery_from=None)


def _with_more(bought: Scenario, scenario: Scenario, receipt: Receipt) -> Scenario:
    """What was bought, and everything on the lists that is still there, on a second way to each supplier."""
    taken = {line.offer: line.units for line in receipt.lines}
    still_sold = [offer for offer in scenario.offers if offer.key not in receipt.none_left]
    return replace(
        bought,
        offers=(*bought.offers, *(_left(offer, taken.get(offer.key, 0)) for offer in still_sold)),
        suppliers=(*bought.suppliers, *(replace(one, name=one.name + FETCHED) for one in scenario.suppliers)),
    )


def _left(offer: Offer, taken: int) -> Offer:
    """An offer for the second way, of which some is gone."""
    available = None if offer.available is None else max(offer.available - taken, 0)
    return replace(offer, key=offer.key + FETCHED, supplier=offer.supplier + FETCHED, available=available)


def _least_missed(bought: Scenario, after: AfterTheShop, settings: Settings) -> tuple[Scenario, AfterTheShop]:
    """The scenario with rations for which there is food, and what is missed then; no more is cut than needed."""
    for part in PARTS_OF_RATIONS:
        less, short_g = _with_less_food(bought, part)
        missed = least_missing(less, settings)
        if missed is not None:
            return less, replace(after, missed=missed, short_g=short_g)
    return bought, replace(after, short_g=_with_less_food(bought, Fraction(1))[1])


def _with_less_food(scenario: Scenario, part: Fraction) -> tuple[Scenario, int]:
    """The scenario with such a part of the rations for which there is food, and the grams cut.

    All are cut alike, but those that a veterinarian gave are not.
    """
    there_g = sum(lot.grams for lot in scenario.on_hand) + sum(one.grams(one.bought or 0) for one in scenario.offers)
    given_g = sum(dog.batch_g for dog in scenario.dogs if dog.care)
    need_g = sum(dog.batch_g for dog in scenario.dogs) - given_g
    left = part * min(Fraction(max(there_g - given_g, 0), need_g or 1), Fraction(1))
    if left == 1:
        return scenario, 0
    dogs = tuple(dog if dog.care else _with_part(dog, left) for dog in scenario.dogs)
    return replace(scenario, dogs=dogs), need_g + given_g - sum(dog.batch_g for dog in dogs)


def _with_part(dog: Dog, part: Fraction) -> Dog:
    """The dog with so much of every day's ration."""
    day_g = tuple(floor(grams * part) for grams in dog.day_g)
    return replace(dog, day_g=day_g, batch_g=sum(day_g), daily_g=dog.daily_g * part)


def _loosened(scenario: Scenario, missed: Iterable[Missed]) -> Scenario:
    """The scenario in which no target asks for more, and no cap for less, than can be had."""
    reached = {(one.dog, one.subject): one.share for one in missed}
    return replace(scenario, dogs=tuple(_loosened_dog(dog, reached) for dog in scenario.dogs))


def _loosened_dog(dog: Dog, reached: Mapping[tuple[str, Subject], Fraction]) -> Dog:
    targets = []
    for one in dog.targets:
        share = reached.get((dog.name, Subject(Measure.PART, one.part)), one.low)
        targets.append(replace(one, low=min(one.low, share), high=max(one.high, share)))
    caps = [replace(one, most=max(one.most, reached.get((dog.name, one.subject), one.most))) for one in dog.caps]
    return replace(dog, targets=tuple(targets), caps=tuple(caps))


def _cut_up(scenario: Scenario) -> Scenario:
    """The scenario in which nothing stays whole and no week or day is asked about: what there is, is fed."""
    portioning = replace(
        scenario.portioning,
        divided=frozenset(cut.name for cut in scenario.cuts),
        least_portion_g=scenario.portioning.scale_step_g,
        week_allowance=Fraction(1),
        most_a_day=(),
    )
    return replace(scenario, portioning=portioning)


def _remarked(answer: Answer, remarks: tuple[str, ...]) -> Answer:
    """The answer, with remarks on how it came about if it is a plan."""
    return replace(answer, remarks=(*remarks, *answer.remarks)) if isinstance(answer, Plan) else answer


def _paid(bought: Scenario, receipt: Receipt) -> Decimal:
    """What the shop came to: goods, sales tax and delivery of every supplier."""
    paid = Decimal(0)
    for supplier in bought.suppliers:
        goods = sum((line.paid for line in receipt.lines if line.supplier == supplier.name), Decimal(0))
        paid += goods + bought.currency.rounded(Fraction(goods) * supplier.sales_tax) + supplier.delivery
    return paid


def _with_fetched(scenario: Scenario, answer: Answer, after: AfterTheShop) -> AfterTheShop:
    """What must still be fetched, and what that costs."""
    if not isinstance(answer, Plan):
        return after
    offers = {offer.key: offer for offer in scenario.offers}
    lines = [(offers[line.offer], line.units) for line in answer.lines if line.offer.endswith(FETCHED)]
    says = tuple(
        f"{grams_text(offer.grams(units), scenario.weight_unit)} of {offer.cut}, {offer.supplier.removesuffix(FETCHED)}"
        for offer, units in lines
    )
    to_fetch = sum((bill.total for bill in answer.bills if bill.supplier.endswith(FETCHED)), Decimal(0))
    return replace(after, to_fetch=to_fetch, fetched=says)
