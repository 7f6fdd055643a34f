"""After the shop: what was really bought is fixed, all else is planned again, and what is missing is named.

Where what was bought is not enough there are two ways: fetch the cheapest that is still needed, or feed what there is.
"""

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.words import join_names
from raworder.solving.missing import least_missing
from raworder.solving.solver import Settings
from raworder.trade.after_a_batch import variance
from raworder.trade.batch_account import batch_account, order_account
from raworder.trade.plan import NoPlan, Plan
from raworder.trade.purchase import (
    SECOND_TRIP,
    AfterTheShop,
    Purchase,
    Receipt,
    Way,
    drop_nutrient_rules,
    drop_species_rules,
    food_g,
    full_receipt,
    list_to_fetch,
    planned_amounts,
    reduce_rations,
    scenario_after_shop,
)
from raworder.trade.scenario import Scenario
from raworder.workflow import Answer, plan_batch

REPLANNED = "Planned again from the receipt: what was bought stays as it is."
SUPPLEMENTS_AT_HOME = "A receipt is about food alone: supplements count as at home, at no cost."
NUTRIENT_RULES_DROPPED = "With what was bought the rules on nutrients cannot be met, so they are set aside."

BELOW_REST = (
    "With what was bought, less energy than is needed at rest is fed to {dogs}: give more food, or richer food."
)

NEARLY_ALL = Fraction(99, 100)
"""The part of the energy at rest below which that is said; what is nearer is put down to whole grams."""

PARTS_OF_RATIONS = tuple(Fraction(number, 1000) for number in (1000, 995, 990, 980, 970, 960, 950, 925, 900, 850, 800))
"""The parts of the rations that are tried, largest first; odd pieces, for one, can make it impossible to feed all."""


@dataclass(frozen=True, slots=True)
class ReplanResult:
    """The answer after the shop, the scenario that it belongs to, and what the papers say about the shop.

    The scenario was made from `purchase`. `after` and `purchase` are None if all was bought as planned; the answer is
    then the plan from before. `before` is the order as it was planned, where the receipt is the first for it.
    """

    scenario: Scenario
    answer: Answer
    after: AfterTheShop | None = None
    purchase: Purchase | None = None
    before: Plan | None = None


def replan_batch(  # noqa: PLR0913 - what was bought, what was planned before, and how to go on
    scenario: Scenario,
    receipt: Receipt,
    settings: Settings,
    before: Plan | None = None,
    earlier: Purchase | None = None,
    *,
    as_it_is: bool = False,
) -> ReplanResult:
    """The batch planned again with what was really bought; with `as_it_is` nothing more is fetched.

    `before` is the plan taken to the shop; without it the batch is planned first. If that plan was a replan itself,
    `earlier` is the purchase behind it, and the receipt covers everything bought on both trips.
    """
    planned = before or plan_batch(scenario, settings)
    if not isinstance(planned, Plan):
        return _Shop(scenario, Purchase(receipt), settings, None).replan(as_it_is=as_it_is)
    if earlier is None and _is_as_planned(scenario, planned, receipt):
        return ReplanResult(scenario, planned)
    settled = earlier.planned if earlier else planned_amounts(planned)
    shop = _Shop(scenario, Purchase(receipt, settled), settings, planned.total)
    result = shop.replan(as_it_is=as_it_is)
    remarks = (SUPPLEMENTS_AT_HOME,) if settled and settled.packs else ()
    after = _explain_cost(scenario, result, planned) if earlier is None else result.after
    return replace(
        result, answer=_add_remarks(result.answer, remarks), after=after, before=None if earlier else planned
    )


def _explain_cost(scenario: Scenario, result: ReplanResult, planned: Plan) -> AfterTheShop | None:
    """What came of the shop, with why it cost other than planned; supplements, which no receipt holds, hide that."""
    after, plan = result.after, result.answer
    if after is None or not after.enough or not isinstance(plan, Plan) or planned.supplement_lines:
        return after
    paid = batch_account(plan.facts.scenario, plan, order_account(scenario, planned))
    return replace(after, variance=variance(paid, scenario.currency))


@dataclass(frozen=True, slots=True)
class _Shop:
    """What was bought, and the total that was planned."""

    scenario: Scenario
    purchase: Purchase
    settings: Settings
    planned: Decimal | None

    def replan(self, *, as_it_is: bool) -> ReplanResult:
        """The result for a receipt that differs from the plan."""
        bought = scenario_after_shop(self.scenario, self.purchase)
        after = AfterTheShop(self.planned, _total_paid(bought, self.purchase.receipt))
        answer = plan_batch(bought, self.settings)
        if not isinstance(answer, NoPlan):
            after = replace(after, enough=isinstance(answer, Plan))
            return ReplanResult(bought, _add_remarks(answer, (REPLANNED,)), after, self.purchase)
        part, after = self._find_least_missed(drop_nutrient_rules(bought), after)
        result = self._plan_as_it_is(part, after) if as_it_is else self._plan_with_fetched(after)
        has_nutrient_rules = any(dog.takes_supplements for dog in self.scenario.dogs)
        remarks = (REPLANNED, NUTRIENT_RULES_DROPPED) if has_nutrient_rules else (REPLANNED,)
        if isinstance(result.answer, Plan) and (hungry := _dogs_below_rest(bought, result.answer)):
            remarks = (*remarks, BELOW_REST.format(dogs=join_names(hungry)))
        return replace(result, answer=_add_remarks(result.answer, remarks))

    def _find_least_missed(self, bought: Scenario, after: AfterTheShop) -> tuple[Fraction | None, AfterTheShop]:
        """The largest part of the rations that can be fed, and the ranges missed then.

        The rules on species are dropped only if no part can be fed with them.
        """
        needed_g = sum(dog.batch_g for dog in bought.dogs)
        after = replace(after, needed_g=needed_g, there_g=food_g(bought))
        for scenario in dict.fromkeys((bought, drop_species_rules(bought))):
            for part in PARTS_OF_RATIONS:
                less, short_g = reduce_rations(scenario, part)
                missed = least_missing(less, self.settings)
                if missed is not None:
                    any_species = scenario.variety != bought.variety
                    return part, replace(after, missed=missed, short_g=short_g, any_species=any_species)
        return None, replace(after, short_g=reduce_rations(bought, Fraction(1))[1])

    def _plan_as_it_is(self, part: Fraction | None, after: AfterTheShop) -> ReplanResult:
        """The bags with what there is, by the rules that can be kept; else with pieces cut up and uneven weeks."""
        loosened = replace(self.purchase, part=part, missed=after.missed, any_species=after.any_species)
        purchase = replace(loosened, way=Way.AS_IT_IS)
        result = self._plan_purchase(purchase)
        if isinstance(result.answer, NoPlan):
            result = self._plan_purchase(replace(purchase, way=Way.CUT_UP))
        return replace(result, after=replace(after, as_it_is=True, filled=isinstance(result.answer, Plan)))

    def _plan_with_fetched(self, after: AfterTheShop) -> ReplanResult:
        """The bags with what was bought and the cheapest that must still be fetched, with its cost."""
        result = self._plan_purchase(replace(self.purchase, way=Way.FETCH))
        if isinstance(result.answer, NoPlan) and any(dog.resting_due_kcal for dog in self.scenario.dogs):
            result = self._plan_purchase(replace(self.purchase, way=Way.FETCH_HUNGRY))
        if not isinstance(result.answer, Plan):
            return replace(result, after=after)
        money = sum((bill.total for bill in result.answer.bills if bill.supplier.endswith(SECOND_TRIP)), Decimal(0))
        fetched = list_to_fetch(result.scenario, result.answer)
        return replace(result, after=replace(after, to_fetch=money, fetched=fetched))

    def _plan_purchase(self, purchase: Purchase) -> ReplanResult:
        """The plan with a purchase."""
        scenario = scenario_after_shop(self.scenario, purchase)
        return ReplanResult(scenario, plan_batch(scenario, self.settings), None, purchase)


def _is_as_planned(scenario: Scenario, plan: Plan, receipt: Receipt) -> bool:
    """Whether exactly what was planned was bought, at the delivery planned."""
    charged = {bill.supplier: bill.delivery for bill in plan.bills}
    is_charged = all(charged.get(name) == amount for name, amount in receipt.delivery)
    return is_charged and set(full_receipt(scenario, plan).lines) == set(receipt.lines)


def _dogs_below_rest(asked: Scenario, plan: Plan) -> list[str]:
    """The dogs that a plan feeds less than they need at rest, as far as their food's energy is known."""
    hungry = []
    for dog in asked.dogs:
        eaten = [(asked.cut(portion.cut), portion.batch_g) for portion in plan.portions if portion.dog == dog.name]
        known = [(cut.kcal_per_g, grams) for cut, grams in eaten if cut.kcal_per_g is not None]
        part = Fraction(sum(grams for _, grams in known), sum(grams for _, grams in eaten) or 1)
        if sum(held * grams for held, grams in known) < NEARLY_ALL * part * dog.resting_due_kcal:
            hungry.append(dog.name)
    return hungry


def _add_remarks(answer: Answer, remarks: tuple[str, ...]) -> Answer:
    """The answer; a plan gets these remarks on how it came about."""
    return replace(answer, remarks=(*remarks, *answer.remarks)) if isinstance(answer, Plan) else answer


def _total_paid(bought: Scenario, receipt: Receipt) -> Decimal:
    """The total paid: goods, sales tax and delivery of every supplier."""
    paid = Decimal(0)
    for supplier in bought.suppliers:
        goods = sum((line.paid for line in receipt.lines if line.supplier == supplier.name), Decimal(0))
        paid += goods + bought.currency.rounded(Fraction(goods) * supplier.sales_tax) + supplier.delivery
    return paid
