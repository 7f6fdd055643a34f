"""Enough food: which dogs get less energy than is published for them, and what feeding them enough costs."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.doubts import ENOUGH
from raworder.solving.search import ANY_CHEAPEST, CHEAPEST_HANDIEST, Start
from raworder.solving.solver import Settings
from raworder.studies.changes import with_energy
from raworder.studies.differences import costs_more
from raworder.studies.orders import Order, order_before_sharing, start_of
from raworder.trade.nutrients import EnergyLine
from raworder.trade.plan import Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario
from raworder.workflow import with_nourishment

ENERGY_NODES = 2_000
"""A search for a plan that feeds dogs enough ends after this many branches of each aim; of the scenarios shipped only
the largest needs more."""


@dataclass(frozen=True, slots=True)
class Underfed:
    """Dogs that get less energy than is published: each dog's kcal a day, and the published least in whole kcal."""

    dogs: tuple[str, ...]
    given_kcal: tuple[int, ...]
    least_kcal: tuple[int, ...]

    @property
    def rations(self) -> tuple[tuple[str, int], ...]:
        """The rations that would be enough, in kcal a day."""
        return tuple(zip(self.dogs, self.least_kcal, strict=True))


@dataclass(frozen=True, slots=True)
class FedEnough:
    """The cheapest order that feeds enough: what it costs, how much more that is, and each dog's ration in kcal a day.

    `more` is below zero where that order is cheaper: energy can cost less in fat cuts than the same grams of lean ones.
    `why` is empty, or says that this order is above the budget; every other rule is kept. `proved` says that no order
    with these rations costs less.
    """

    total: Decimal
    more: Decimal
    rations: tuple[tuple[str, int], ...]
    proved: bool
    why: str = ""


def fed_enough(scenario: Scenario, plan: Plan, settings: Settings) -> FedEnough | None:
    """The cheapest order, without bags, in which each dog below `ENOUGH` of its published energy gets all of it.

    None where no dog is below, where no order does it whatever the budget, and where it is not proved. `scenario` is
    as it was read: grams of energy rations are open. It ends after so many branches, and by no clock unless `settings`
    have a time limit.
    """
    underfed = underfed_dogs(scenario, plan, ENOUGH)
    if not underfed.dogs:
        return None
    fed = replace(feed_energy(scenario, underfed.rations), budget=None)
    order = order_before_sharing(fed, _limit_nodes(settings), replace(ANY_CHEAPEST, start=start_of(plan)), handy=False)
    if not isinstance(order, Plan) or not order.proof.proved:
        return None
    is_above = scenario.budget is not None and order.total > scenario.budget
    why = f"above the budget of {scenario.currency.text(scenario.budget or Decimal(0))}" if is_above else ""
    return FedEnough(order.total, costs_more(scenario, plan, order), underfed.rations, order.proof.proved, why)


def underfed_dogs(scenario: Scenario, plan: Plan, share: Fraction = Fraction(1)) -> Underfed:
    """The healthy dogs that get less than a share of the energy that is published for them, with what they need.

    Where the energy of too little of the food is known, only a dog that is below whatever the rest holds counts.
    """
    nourished = plan.nourished or with_nourishment(scenario, plan).nourished
    other = {dog.name: dog.other_food for dog in scenario.dogs}
    below = [
        (food.dog, half_up(food.energy.day), half_up(other[food.dog].due_from_plan(food.energy.low)))
        for food in nourished
        if food.energy and half_up(_most_likely_kcal(food.energy)) < half_up(food.energy.low * share)
    ]
    dogs, given_kcal, least_kcal = zip(*below, strict=True) if below else ((), (), ())
    return Underfed(tuple(dogs), tuple(given_kcal), tuple(least_kcal))


def _most_likely_kcal(energy: EnergyLine) -> Fraction:
    """What counts as fed a day: all that could be in the food where too little of it is known."""
    return energy.day if energy.is_known else energy.most_day


def feed_energy(scenario: Scenario, rations: Iterable[tuple[str, int]]) -> Scenario:
    """The scenario in which these dogs get so many kcal a day, treats of known energy among them."""
    kcal = dict(rations)
    return replace(
        scenario,
        dogs=tuple(
            with_energy(dog, Fraction(kcal[dog.name]), scenario.cuts) if dog.name in kcal else dog
            for dog in scenario.dogs
        ),
    )


def order_that_feeds(scenario: Scenario, underfed: Underfed, start: Start, settings: Settings) -> Order:
    """The cheapest order that gives these dogs the energy that is published for them, audited; else the best found."""
    fed, limited = feed_energy(scenario, underfed.rations), _limit_nodes(settings)
    return order_before_sharing(fed, limited, replace(CHEAPEST_HANDIEST, start=start))


def _limit_nodes(settings: Settings) -> Settings:
    """The settings with a limit on branches, unless they have one."""
    return replace(settings, most_nodes=settings.most_nodes or ENERGY_NODES)
