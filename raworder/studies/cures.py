"""Cures: what it costs to do better than a plan, as far as that is quickly known: enough food, none of a danger."""

from collections.abc import Collection, Iterator
from dataclasses import replace
from time import monotonic

from raworder.reporting.doubts import DANGERS, WAITING, doubts, worst_doubts
from raworder.solving.search import ANY_CHEAPEST
from raworder.solving.solver import Settings
from raworder.studies.differences import costs_more
from raworder.studies.enough_food import fed_enough
from raworder.studies.orders import start_of
from raworder.studies.same_money import spare_for_little
from raworder.trade.cuts import Measure, Subject
from raworder.trade.dogs import Dog
from raworder.trade.plan import Cures, DearerOrder, NoPlan, Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch

MOST_NODES = 2_000
"""A further order is given up after so many branches, the same on every machine. Source: own choice."""

PRICED = frozenset({WAITING, *DANGERS})
"""The doubts about cuts that an order can do without."""


def find_cures(scenario: Scenario, plan: Plan, settings: Settings) -> Cures:
    """What it costs to feed enough, to do without what the worst doubts are about, and what little money spares.

    `scenario` is as it was read. Nothing is asked where dogs are solved in groups, where the plan is not proved, or
    once the time limit of `settings` is used up.
    """
    if scenario.solved_by_groups or not plan.proof.proved:
        return Cures()
    began, limited = monotonic(), replace(settings, most_nodes=MOST_NODES)
    cures = _with_enough(Cures(), scenario, plan, limited)
    without: dict[str, DearerOrder | None] = {}
    for key, cuts in _cuts_in_doubt(plan):
        if _has_time(limited, began):
            found = price_without(scenario, plan, cuts, limited.left_since(began))
            without |= {key: found[0]} if found else {}
    cures = replace(cures, without=without)
    return _with_spare(cures, scenario, plan, limited.left_since(began)) if _has_time(limited, began) else cures


def _has_time(settings: Settings, began: float) -> bool:
    """Whether any of the time limit is left."""
    return monotonic() < settings.ends_at(began)


def _with_enough(cures: Cures, scenario: Scenario, plan: Plan, settings: Settings) -> Cures:
    """The same with the cheapest order that feeds every dog enough, where any dog gets too little."""
    found = fed_enough(scenario, plan, settings)
    if found is None:
        return cures
    return replace(
        cures, enough=DearerOrder(found.total, found.more, found.proved, found.why), rations=tuple(found.rations)
    )


def _with_spare(cures: Cures, scenario: Scenario, plan: Plan, settings: Settings) -> Cures:
    """The same with what an order for little more would spare."""
    found = spare_for_little(scenario, plan, settings)
    return cures if found is None else replace(cures, spare=found.says)


def _cuts_in_doubt(plan: Plan) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The cuts of each of the worst doubts that an order can do without, by the doubt's key."""
    cuts: dict[str, list[str]] = {}
    for doubt in worst_doubts(doubts(plan.facts.scenario, plan)):
        if doubt.key in PRICED:
            cuts.setdefault(doubt.key, []).extend(doubt.cuts)
    yield from ((key, tuple(names)) for key, names in cuts.items() if names)


def price_without(
    scenario: Scenario, plan: Plan, cuts: Collection[str], settings: Settings
) -> tuple[DearerOrder | None] | None:
    """The order in which no healthy dog eats these cuts, or that there is none; nothing where neither is known."""
    dogs = tuple(dog if dog.care else _avoiding(dog, cuts) for dog in scenario.dogs)
    wanted = replace(ANY_CHEAPEST, start=start_of(plan))
    order = order_batch(replace(scenario, dogs=dogs), settings, wanted)
    if isinstance(order, NoPlan):
        return (None,)
    if not isinstance(order, Plan):
        return None
    return (DearerOrder(order.total, costs_more(scenario, plan, order), order.proof.proved),)


def _avoiding(dog: Dog, cuts: Collection[str]) -> Dog:
    """The dog that must not eat these cuts either."""
    return replace(dog, avoid=(*dog.avoid, *(Subject(Measure.CUT, cut) for cut in cuts)))
