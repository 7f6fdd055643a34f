"""Same money, nicer: within a little of the cheapest, the orders with most species, least left over, fewest stops."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from time import monotonic

from raworder.document import Document
from raworder.plan import NoPlan, Plan
from raworder.solving.nicer import NICER, SurelyWithin, nicer
from raworder.solving.search import Start
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask, Task
from raworder.studies.figures import Figures, figures_of
from raworder.studies.orders import Order, order_before_sharing, start_of
from raworder.studies.same_money_paper import Nicer, nicer_orders
from raworder.trade import Scenario

NEAR_THE_LIMIT = "orders within a rounding of the limit were not searched"
"""Why the nicest order is not proved to be, where its printed total came to more than the limit."""


def same_money(scenario: Scenario, base: Plan, ask: Ask, *, within: Fraction = Fraction(2, 100)) -> Document:
    """The paper: for every wish the nicest order that costs at most a share more than the cheapest.

    One round of a question for every wish that the cheapest order does not grant already.
    """
    limit = most_to_pay(scenario, base, within)
    figures = figures_of(scenario, base)
    open_ = [key for key in NICER if not _is_best(figures, key)]
    found = ask([Task(key, nicest, (scenario, limit, key, start_of(base), ask.settings)) for key in open_])
    best = tuple(key for key in NICER if key not in open_)
    return nicer_orders(scenario, base, Nicer(within, limit, best, {key: found.get(key) for key in open_}))


def most_to_pay(scenario: Scenario, base: Plan, within: Fraction) -> Decimal:
    """The limit in printed money: so much more than the cheapest order, rounded down, and no more than the budget."""
    most = scenario.currency.rounded_down(Fraction(base.total) * (1 + within))
    return most if scenario.budget is None else min(most, scenario.budget)


def nicest(scenario: Scenario, limit: Decimal, key: str, start: Start, settings: Settings) -> Order:
    """The nicest order whose printed total keeps to the limit.

    The search knows lines before they are rounded. Where those of its order add up to more, it has to keep well below.
    """
    began, scenario, wanted = monotonic(), replace(scenario, budget=limit), replace(nicer(scenario, key), start=start)
    found = order_before_sharing(scenario, settings, wanted, handy=False)
    if not isinstance(found, NoPlan):
        return found
    below = replace(wanted, also=SurelyWithin(wanted.also, limit))
    found = order_before_sharing(scenario, settings.left_since(began), below, handy=False)
    if not isinstance(found, Plan):
        return found
    return replace(found, proof=replace(found.proof, proved=False, why=NEAR_THE_LIMIT))


def _is_best(figures: Figures, key: str) -> bool:
    """Whether no order can do better, without any solving."""
    return (key == "stops" and figures.stops <= 1) or (key == "left_over" and figures.left_g == 0)
