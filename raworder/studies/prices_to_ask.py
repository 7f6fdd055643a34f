"""The price to ask for: of every offer not bought the price below which it is, of every one bought when it is left.

Nothing here comes from the prices of a relaxed model: every price is that of an order which bears it, found by solving,
and proved by solving again at that price.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from raworder.document import Document
from raworder.plan import Plan, Unsolved
from raworder.solving.asked_price import AskedPrice, LeastCost, PriceQuestion, asked_price, least_cost
from raworder.solving.likely_worth import likely_worth
from raworder.solving.search import Impossible
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.listed_prices import fineness, listed_above, listed_below
from raworder.studies.orders import judged
from raworder.studies.prices_to_ask_paper import Entering, Leaving, prices_paper
from raworder.trade import Offer, Scenario


@dataclass(frozen=True, slots=True)
class _Start:
    """What is known before any price is asked: the least cost, and what each offer is likely worth."""

    least: LeastCost | Impossible | Unsolved
    worth: tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True, slots=True)
class _Left:
    """The asked price of an offer that is bought, and what limits it."""

    asked: AskedPrice | Impossible | Unsolved | None
    by_budget: bool
    proved: bool


def prices_to_ask(
    scenario: Scenario, base: Plan, ask: Ask, *, suppliers: Sequence[str] = (), cuts: Sequence[str] = ()
) -> Document:
    """For each offer the price at which it comes into the cheapest order, or goes out of it; each one at a time.

    Only what these suppliers sell, and only these cuts, where some are named.
    """
    units = {line.offer: line.units for line in base.lines}
    offers = tuple(_asked_about(scenario, suppliers, cuts))
    begun = ask([Task("start", start_of, (scenario, offers, ask.settings))]).get("start")
    if begun is None or not isinstance(begun.least, LeastCost):
        return prices_paper(scenario, (), (), len(offers))
    least, worth = begun.least, dict(begun.worth)
    tasks: list[Task[Entering | Leaving | None]] = [
        Task(offer.key, leaving, (scenario, offer, units[offer.key], least, ask.settings))
        if offer.key in units
        else Task(offer.key, entering, (scenario, offer, least, _first_try(offer, worth), ask.settings))
        for offer in offers
    ]
    found = tuple(one for one in ask(tasks).values() if one is not None)
    entered = tuple(one for one in found if isinstance(one, Entering))
    left = tuple(one for one in found if isinstance(one, Leaving))
    return prices_paper(scenario, entered, left, len(offers) - len(found))


def start_of(scenario: Scenario, offers: Sequence[Offer], settings: Settings) -> _Start:
    """The least cost, as near as the finest of the prices demands, and first guesses of what the offers are worth."""
    finest = min((_gap(scenario, offer) for offer in offers), default=Fraction(scenario.currency.minor))
    return _Start(least_cost(scenario, finest, settings), tuple(likely_worth(scenario, settings).items()))


def entering(
    scenario: Scenario, offer: Offer, least: LeastCost, first_try: Fraction, settings: Settings
) -> Entering | None:
    """At which price an offer that is not bought would be; None where the time limit came first."""
    question = PriceQuestion(offer.key, least.cost, first_try, _gap(scenario, offer), start=least.start)
    asked = asked_price(scenario, question, settings)
    if isinstance(asked, Unsolved):
        return None
    if isinstance(asked, Impossible):
        return Entering(offer, None, Fraction(0), least.proved)
    judged(_at_list_prices(scenario), asked.allocation)
    listed = listed_below(offer, asked.unit_price, scenario.currency)
    return Entering(offer, listed, asked.units, asked.proved and least.proved)


def leaving(scenario: Scenario, offer: Offer, units: int, least: LeastCost, settings: Settings) -> Leaving | None:
    """At which price an offer that is bought would not be; None where the time limit came first."""
    left = _left(scenario, offer, units, least, settings)
    step = offer.step_for(units)
    if left.asked is None:
        return Leaving(offer, units, step, None, by_budget=False, proved=left.proved)
    if not isinstance(left.asked, AskedPrice):
        return None
    judged(_at_list_prices(scenario), left.asked.allocation)
    listed = listed_above(offer, left.asked.unit_price, scenario.currency)
    return Leaving(offer, units, step, listed, left.by_budget, left.proved and left.asked.proved)


def _left(scenario: Scenario, offer: Offer, units: int, least: LeastCost, settings: Settings) -> _Left:
    """The price of the offer at which the order costs what it costs without, or the budget if that is less."""
    fine = _gap(scenario, offer)
    others = tuple(one for one in scenario.offers if one.key != offer.key)
    without = least_cost(replace(scenario, offers=others, budget=None), fine, settings)
    if isinstance(without, Unsolved):
        return _Left(without, by_budget=False, proved=False)
    limits = [without.cost] if isinstance(without, LeastCost) else []
    if scenario.budget is not None:
        limits.append(Fraction(scenario.budget))
    if not limits:
        return _Left(None, by_budget=False, proved=True)
    limit = min(limits)
    by_budget = not isinstance(without, LeastCost) or limit < without.cost
    taxed = 1 + scenario.supplier(offer.supplier).sales_tax
    first_try = offer.step_for(units).unit_price + (limit - least.cost) / (taxed * units)
    question = PriceQuestion(offer.key, limit, first_try, fine, bears=True, start=least.start)
    asked = asked_price(scenario, question, settings)
    return _Left(asked, by_budget, least.proved and (by_budget or (isinstance(without, LeastCost) and without.proved)))


def _asked_about(scenario: Scenario, suppliers: Sequence[str], cuts: Sequence[str]) -> Iterable[Offer]:
    """The offers that can be bought, of those that are asked about."""
    for offer in scenario.offers:
        named = (not suppliers or offer.supplier in suppliers) and (not cuts or offer.cut in cuts)
        if named and offer.available != 0 and offer.bought is None:
            yield offer


def _first_try(offer: Offer, worth: Mapping[str, Fraction]) -> Fraction:
    """What the offer is likely worth, at most its price."""
    price = offer.steps[0].unit_price
    return min(worth.get(offer.key, price), price)


def _gap(scenario: Scenario, offer: Offer) -> Fraction:
    """The smallest difference of a unit's price that matters."""
    return min(fineness(offer, scenario.currency), Fraction(scenario.currency.minor))


def _at_list_prices(scenario: Scenario) -> Scenario:
    """The scenario by which an order that bears a price is judged.

    Thresholds count list prices, so it is judged at those, and without the budget: at the asked price it is within it.
    """
    return replace(scenario, budget=None)
