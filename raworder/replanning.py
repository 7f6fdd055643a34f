"""After the shop: what was really bought is fixed, everything is solved again, and what is missing is named and sized.

Where what was bought does not do, two ways are worked out: the cheapest that must still be fetched, and what the dogs
get if nothing is.
"""

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from raworder.plan import NoPlan, Plan
from raworder.purchase import (
    FETCHED,
    Purchase,
    Way,
    food_g,
    planned_of,
    purchased,
    to_fetch,
    with_less_food,
    without_limits,
)
from raworder.receipt import AfterTheShop, Receipt
from raworder.solving.missing import least_missing
from raworder.solving.solver import Settings
from raworder.trade import Scenario
from raworder.workflow import Answer, plan_batch

REPLANNED = "Replanned from the receipt: what was bought is fixed, and only the rest was searched."
SUPPLEMENTS_AT_HOME = "A receipt tells of food alone: supplements are taken to be at home as planned, at no cost here."
NOT_ASKED = "With what was bought the rules on nutrients cannot be met beside the others, so nothing is asked of them."

PARTS_OF_RATIONS = (Fraction(1), Fraction(98, 100), Fraction(95, 100), Fraction(90, 100), Fraction(80, 100))
"""The parts of what there is food for that are tried; what comes in pieces, or may not be eaten, cannot all be fed."""


@dataclass(frozen=True, slots=True)
class Replanned:
    """What comes of a receipt: an answer, the scenario it is about, and what is to be said about the shop.

    `purchase` is what made that scenario. `after` and `purchase` are None where all was bought as planned; then the
    answer is the plan that was.
    """

    scenario: Scenario
    answer: Answer
    after: AfterTheShop | None = None
    purchase: Purchase | None = None


def replan_batch(
    scenario: Scenario, receipt: Receipt, settings: Settings, before: Plan | None = None, *, as_it_is: bool = False
) -> Replanned:
    """The batch planned again with what was really bought; `as_it_is` without fetching anything more.

    `before` is the plan that was taken to the shop; where it is not at hand the batch is solved for it.
    """
    planned = before or plan_batch(scenario, settings)
    if not isinstance(planned, Plan):
        return _Shop(scenario, Purchase(receipt), settings, None).replanned(as_it_is=as_it_is)
    if _is_as_planned(scenario, planned, receipt):
        return Replanned(scenario, planned)
    shop = _Shop(scenario, Purchase(receipt, planned_of(planned)), settings, planned.total)
    found = shop.replanned(as_it_is=as_it_is)
    told = (SUPPLEMENTS_AT_HOME,) if planned.supplement_lines else ()
    return replace(found, answer=_remarked(found.answer, told))


@dataclass(frozen=True, slots=True)
class _Shop:
    """What was bought, and what was planned to be paid for it."""

    scenario: Scenario
    purchase: Purchase
    settings: Settings
    planned: Decimal | None

    def replanned(self, *, as_it_is: bool) -> Replanned:
        """What comes of a receipt that differs from the plan."""
        bought = purchased(self.scenario, self.purchase)
        after = AfterTheShop(self.planned, _paid(bought, self.purchase.receipt))
        answer = plan_batch(bought, self.settings)
        if not isinstance(answer, NoPlan):
            after = replace(after, enough=isinstance(answer, Plan))
            return Replanned(bought, _remarked(answer, (REPLANNED,)), after, self.purchase)
        part, after = self._least_missed(without_limits(bought), after)
        found = self._as_it_is(part, after) if as_it_is else self._with_fetched(after)
        asked = any(dog.takes_supplements for dog in self.scenario.dogs)
        return replace(found, answer=_remarked(found.answer, (REPLANNED, *((NOT_ASKED,) if asked else ()))))

    def _least_missed(self, bought: Scenario, after: AfterTheShop) -> tuple[Fraction | None, AfterTheShop]:
        """The part of the rations for which there is food, and what is missed then; no more is cut than needed."""
        needed_g = sum(dog.batch_g for dog in bought.dogs)
        after = replace(after, needed_g=needed_g, there_g=food_g(bought))
        for part in PARTS_OF_RATIONS:
            less, short_g = with_less_food(bought, part)
            missed = least_missing(less, self.settings)
            if missed is not None:
                return part, replace(after, missed=missed, short_g=short_g)
        return None, replace(after, short_g=with_less_food(bought, Fraction(1))[1])

    def _as_it_is(self, part: Fraction | None, after: AfterTheShop) -> Replanned:
        """The bags of what there is: within the rules that can be kept, else with pieces cut and weeks as they come."""
        purchase = replace(self.purchase, way=Way.AS_IT_IS, part=part, missed=after.missed)
        found = self._of(purchase)
        if isinstance(found.answer, NoPlan):
            found = self._of(replace(purchase, way=Way.CUT_UP))
        return replace(found, after=replace(after, as_it_is=True, filled=isinstance(found.answer, Plan)))

    def _with_fetched(self, after: AfterTheShop) -> Replanned:
        """The bags of what was bought and the cheapest that must still be fetched, and what that costs."""
        found = self._of(replace(self.purchase, way=Way.FETCH))
        if not isinstance(found.answer, Plan):
            return replace(found, after=after)
        money = sum((one.total for one in found.answer.bills if one.supplier.endswith(FETCHED)), Decimal(0))
        return replace(found, after=replace(after, to_fetch=money, fetched=to_fetch(found.scenario, found.answer)))

    def _of(self, purchase: Purchase) -> Replanned:
        """The answer for a purchase."""
        scenario = purchased(self.scenario, purchase)
        return Replanned(scenario, plan_batch(scenario, self.settings), None, purchase)


def _is_as_planned(scenario: Scenario, plan: Plan, receipt: Receipt) -> bool:
    """Whether the receipt tells of just what was planned."""
    offers = {offer.key: offer for offer in scenario.offers}
    planned = {(line.offer, line.units, offers[line.offer].grams(line.units), line.goods) for line in plan.lines}
    bought = {(line.offer, line.units, line.grams, line.paid) for line in receipt.lines}
    charged = {bill.supplier: bill.delivery for bill in plan.bills}
    return planned == bought and all(charged.get(name) == amount for name, amount in receipt.delivery)


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
