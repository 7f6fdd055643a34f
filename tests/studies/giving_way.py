"""What tests ask of a study of reasons: what it finds, what a clash leaves, and a step less than the least."""

from collections.abc import Collection, Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from raworder.giving_way.demand import Demand, Loosening
from raworder.giving_way.family import demands_of, leave_out
from raworder.giving_way.variety import SPECIES
from raworder.solving.solver import Settings
from raworder.studies.asking import Ask
from raworder.studies.reasons import Asking, Why, explain_no_plan
from raworder.trade.plan import NoPlan, Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch

STEPS: Mapping[str, Fraction] = MappingProxyType(
    {
        "budget": Fraction(1, 100),
        "minimum_order": Fraction(1, 100),
        "room": Fraction(10),
        "pack_count": Fraction(1),
        "supplier_count": Fraction(1),
        "cut_count": Fraction(1),
        "least_purchase": Fraction(1),
        "cap": Fraction(1, 1000),
        "part_share": Fraction(1, 1000),
    }
)
"""The steps in which a person writes what each rule asks for; of money, where there are cents."""


def looked_into(scenario: Scenario) -> Why:
    """What the study finds about a scenario without a plan."""
    answer = plan_batch(scenario, Settings())
    assert isinstance(answer, NoPlan)
    return explain_no_plan(scenario, answer, Asking(Ask(), scenario))


def only(scenario: Scenario, kept: Collection[Demand]) -> Scenario:
    """The scenario with no demands but these, for their dogs alone, of all that may give way."""
    kept_for = {(one.rule, one.about, one.end, one.level): one.dogs for one in kept}
    left_out = []
    for demand in demands_of(scenario):
        dogs = kept_for.get((demand.rule, demand.about, demand.end, demand.level))
        if dogs is None:
            left_out.append(demand)
        elif set(dogs) < set(demand.dogs):
            left_out.append(replace(demand, dogs=tuple(name for name in demand.dogs if name not in dogs)))
    return leave_out(scenario, left_out)


def has_order(scenario: Scenario) -> bool:
    """Whether an order can be made, be it that bags cannot be filled with it."""
    answer = plan_batch(scenario, Settings())
    return isinstance(answer, Plan) or (isinstance(answer, NoPlan) and answer.unfilled is not None)


def a_step_less(change: Loosening) -> Loosening:
    """The change that gives way by one step less."""
    demand, level = change.demand, change.level
    falls = demand.is_minimum or demand.about == SPECIES
    step = STEPS[demand.rule] * (1 if falls else -1)
    if isinstance(level, Decimal):
        return replace(change, level=level + Decimal(step.numerator) / step.denominator)
    return replace(change, level=type(level)(level + step) if level is not None else None)
