"""The summary: what is paid where, for which dogs and days, what the food holds; or that there is no answer."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.bag_book import dogs_or_count
from raworder.reporting.nutrition_words import nourishment_lines
from raworder.reporting.words import batch_text, join_names, paper
from raworder.trade.as_fed import bought_g
from raworder.trade.document import Document, Fact, Facts, Holds, Paragraph
from raworder.trade.plan import Bill, Plan, Unsolved
from raworder.trade.scenario import Scenario
from raworder.trade.units import share_text


def unsolved_paper(scenario: Scenario, why: Unsolved) -> Document:
    """The paper that says no plan was found, nor a proof that there is none."""
    text = f"No plan was found, but there may be one: {why.why}. {why.advice}"
    return paper(scenario, "unsolved", f"No answer: {scenario.title}", (Paragraph(text),))


TIME_WAS_UP = "the time limit came first"
"""Why an order is not proved to be the cheapest, where no other reason is known."""


def summary(scenario: Scenario, plan: Plan) -> Document:
    """All figures of the order: total, suppliers, dogs, days, cost per dog-day, what the food holds, and the proof."""
    facts = Facts("summary", _facts(scenario.as_asked, plan))
    says = (proof_text(scenario, plan), *plan.remarks)
    return paper(scenario, "summary", "Summary", (facts, *map(Paragraph, says)))


def _facts(scenario: Scenario, plan: Plan) -> tuple[Fact, ...]:
    """Money, what to bring home, the dogs and days, and what the food holds."""
    order_facts = (*money_facts(scenario, plan), *_weight_facts(scenario, plan))
    return (*order_facts, *_dog_facts(scenario, plan), *nourishment_lines(plan))


def proof_text(scenario: Scenario, plan: Plan) -> str:
    """What is known about cheaper orders: proved that there is none, or how far from proved.

    It is about the printed total, and the trips where there are any. Where only rounding stands between that and the
    proved least, it says so.
    """
    if scenario.offers and all(offer.bought is not None for offer in scenario.offers):
        return "All of it is bought already, so there was nothing to choose."
    money, proof, counted = scenario.currency, plan.proof, plan.counted
    least = money.rounded_down(proof.bound + money.minor / 50)  # a proof leaves a hundredth of a unit open
    least = least if proof.least_bill is None else proof.least_bill
    costs = f"{money.text(counted)}{_trips_text(scenario, plan)}"
    if not proof.proved:
        return _above_text(scenario, plan, least, costs)
    if any(offer.bought for offer in scenario.offers):
        return f"With what was bought as it is, no order that follows your rules costs less than {costs}."
    if counted <= least:
        return f"Proved: no order that follows your rules costs less than {costs}."
    because = join_names(list(rounding_reasons(scenario)))
    return (
        f"Proved: no order that follows your rules costs less than {money.text(least)}; this one costs "
        f"{costs}{f', as {because}' if because else ''}."
    )


def _above_text(scenario: Scenario, plan: Plan, least: Decimal, costs: str) -> str:
    """How far above the cheapest an order can be that is not proved."""
    money, proof = scenario.currency, plan.proof
    above = money.text(max(plan.counted - least, money.minor * 0))
    if proof.near_is_enough and not proof.why:
        return (
            f"At most {above} ({share_text(proof.share_above(plan.counted), 2)}) above the cheapest: this order costs "
            f"{costs}; none that follows your rules costs less than {money.text(least)}."
        )
    return (
        f"Not proved to be the cheapest: {proof.why or TIME_WAS_UP}. The best order found costs {costs}; none can "
        f"cost less than {money.text(least)}, a difference of at most {above}."
    )


def _trips_text(scenario: Scenario, plan: Plan) -> str:
    """How much of what is counted are trips; empty where no trip costs anything."""
    if not scenario.has_trips:
        return ""
    return f", trips of {scenario.currency.text(plan.trips)} among it" if plan.trips else ", trips counted"


def rounding_reasons(scenario: Scenario) -> Iterator[str]:
    """Why a printed total is not the exact cost: a clause for each thing that is rounded on a bill."""
    prices = (step.unit_price for offer in scenario.offers for step in offer.steps)
    lines = any(price != Fraction(scenario.currency.rounded(price)) for price in prices)
    taxes = any(supplier.sales_tax for supplier in scenario.suppliers)
    if lines or taxes:
        what = "lines and sales tax are" if lines and taxes else "lines are" if lines else "sales tax is"
        yield f"{what} rounded to {scenario.currency.text(scenario.currency.minor)}"
    if any(offer.to_the_gram for offer in scenario.offers):
        yield "meat is sold in whole grams"


def money_facts(scenario: Scenario, plan: Plan) -> Iterator[Fact]:
    """What is paid, where, and what is left of the budget."""
    yield Fact("total", "To pay", plan.total, Holds.MONEY)
    most = most_to_pay(scenario, plan)
    if most != plan.total:
        yield Fact("most_to_pay", "Cash to bring, at most", most, Holds.MONEY)
    if plan.trips:
        yield Fact("trips", "Trips, not paid", plan.trips, Holds.MONEY)
    yield Fact("suppliers", "Where", _suppliers_text(scenario, plan))
    if scenario.budget is not None:
        yield Fact("budget", "Budget", scenario.budget, Holds.MONEY)
        left = scenario.budget - plan.total
        over = left < 0  # only an order that was bought already can be over
        yield Fact(
            *(("budget_over", "Over the budget") if over else ("budget_left", "Left of the budget")),
            abs(left),
            Holds.MONEY,
        )


def most_to_pay(scenario: Scenario, plan: Plan) -> Decimal:
    """What is to pay if every pack sold by catch weight is as heavy as it can be, tax included."""
    dearer = sum((_dearer_at_most(scenario, plan, bill.supplier) for bill in plan.bills), Fraction(0))
    return scenario.currency.rounded_up(Fraction(plan.total) + dearer)


def most_to_pay_for(scenario: Scenario, plan: Plan, bill: Bill) -> Decimal:
    """The same of one bill."""
    return scenario.currency.rounded_up(Fraction(bill.total) + _dearer_at_most(scenario, plan, bill.supplier))


def _dearer_at_most(scenario: Scenario, plan: Plan, supplier: str) -> Fraction:
    """By how much a bill can come to more, as packs are sold by catch weight."""
    offers = {offer.key: offer for offer in scenario.offers if offer.supplier == supplier}
    bought = ((Fraction(line.goods), offers[line.offer]) for line in plan.lines if line.offer in offers)
    dearer = (goods * (offer.heaviest_g / offer.unit_g - 1) for goods, offer in bought if offer.heaviest_g is not None)
    return sum(dearer, Fraction(0)) * (1 + scenario.supplier(supplier).sales_tax)


def _suppliers_text(scenario: Scenario, plan: Plan) -> str:
    """The suppliers, with what each is paid when there are several."""
    if not plan.bills:
        return "nothing to buy, all is on hand"
    if len(plan.bills) == 1:
        return plan.bills[0].supplier
    return ", ".join(f"{bill.supplier} {scenario.currency.text(bill.total)}" for bill in plan.bills)


def _weight_facts(scenario: Scenario, plan: Plan) -> Iterator[Fact]:
    """The weight to bring home, and beside the freezer room what must fit into it."""
    brought_g = sum(bought_g(scenario, plan).values())
    yield Fact("bought_g", "To bring home", brought_g, Holds.ABOUT_GRAMS)
    if scenario.room_g is not None:
        held_g = sum(lot.grams for lot in scenario.on_hand)
        yield Fact("frozen_g", "With what is on hand", brought_g + held_g, Holds.ABOUT_GRAMS)
        yield Fact("room_g", "Freezer room", scenario.room_g, Holds.GRAMS)


def _dog_facts(scenario: Scenario, plan: Plan) -> Iterator[Fact]:
    """The dogs, the days, and what a dog costs a day."""
    yield Fact("dogs", "Feeds", dogs_or_count([dog.name for dog in scenario.dogs]))
    yield Fact("days", "Days", batch_text(scenario.batch))
    yield Fact("dog_days", "Dog-days", scenario.dog_days, Holds.COUNT)
    yield from dog_day_facts(scenario, plan, "Per dog-day")


def dog_day_facts(scenario: Scenario, plan: Plan, label: str) -> Iterator[Fact]:
    """What one dog costs for one day, where any is fed."""
    if scenario.dog_days:
        per_day = scenario.currency.rounded(Fraction(plan.total) / scenario.dog_days)
        yield Fact("cost_per_dog_day", label, per_day, Holds.MONEY)
