"""All the kinds of demand that may give way, by the key of their rule, and scenarios with some of them changed.

To let another rule give way, write its class beside similar ones and list it here; nothing else lists kinds.
"""

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from raworder.giving_way.all_or_nothing import FrozenFirst, RestingEnergy
from raworder.giving_way.bag_demands import DayMost, LeastPortion, WeekShare, WholePieces
from raworder.giving_way.demand import Demand, Loosening, Looser
from raworder.giving_way.money_and_stock import (
    Budget,
    CutCount,
    LeastPurchase,
    MinimumOrder,
    PackCount,
    Room,
    SupplierCount,
)
from raworder.giving_way.nutrient_ends import NutrientEnd
from raworder.giving_way.ranges_and_caps import Cap, PartShare, muscle_text
from raworder.giving_way.variety import MostOfOne, SpeciesCount
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario

FAMILY: Mapping[str, tuple[type[Demand], ...]] = MappingProxyType(
    {
        "budget": (Budget,),
        "room": (Room,),
        "supplier_count": (SupplierCount,),
        "cut_count": (CutCount,),
        "minimum_order": (MinimumOrder,),
        "pack_count": (PackCount,),
        "least_purchase": (LeastPurchase,),
        "variety": (SpeciesCount, MostOfOne),
        "part_share": (PartShare,),
        "cap": (Cap,),
        "nutrient": (NutrientEnd,),
        "nutrient_ratio": (NutrientEnd,),
        "whole_pieces": (WholePieces,),
        "least_portion": (LeastPortion,),
        "day_most": (DayMost,),
        "week_share": (WeekShare,),
        "resting_energy": (RestingEnergy,),
        "hold": (FrozenFirst,),
    }
)
"""The kinds of demand by rule: money, room and stock, then what dogs eat, then bags; last what keeps dogs safe."""

KINDS: tuple[type[Demand], ...] = tuple(dict.fromkeys(kind for kinds in FAMILY.values() for kind in kinds))


def demands_of(scenario: Scenario) -> tuple[Demand, ...]:
    """Every demand of a scenario that may give way, in the order of `FAMILY`."""
    return tuple(demand for kind in KINDS for demand in kind.all_of(scenario))


def leave_out(scenario: Scenario, demands: Iterable[Demand]) -> Scenario:
    """The scenario in which these demands ask for nothing."""
    for demand in demands:
        scenario = demand.drop_from(scenario)
    return scenario


def apply_changes(scenario: Scenario, changes: Iterable[Loosening]) -> Scenario:
    """The scenario with these changes; those of muscle's own range must come first."""
    for change in changes:
        scenario = change.demand.set_level(scenario, change.level)
        if change.muscle:
            scenario = change.demand.widen_muscle(scenario, change.muscle)
    return scenario


def instead_text(scenario: Scenario, changes: Sequence[Loosening], *, cautions: bool = True) -> str:
    """What changes that are written together ask for instead, how much less, and with `cautions` their warnings."""
    instead = [change.demand.instead_text(scenario, change.level) for change in changes]
    along = [change.demand for change in changes if change.muscle]
    muscle = f", and {muscle_text(apply_changes(scenario, changes), along[0])}" if along else ""
    warnings = dict.fromkeys(says for change in changes for says in change.demand.cautions() if cautions)
    return f"{'; '.join(instead)}{muscle}" + "".join(f". {says}" for says in warnings)


def one_step_looser(scenario: Scenario, base: Plan) -> tuple[Looser, ...]:
    """Every rule loosened alone by one sensible step; rules that dogs feel least come first.

    Not the budget, as more to spend saves nothing; nor what a dog must not eat, nor how much it eats.
    """
    kinds = sorted(KINDS, key=lambda kind: kind.worth_place)
    return tuple(looser for kind in kinds for looser in kind.one_step_looser(scenario, base))


def rules_under(field: str) -> frozenset[str]:
    """The rules that share one key of the scenario."""
    return frozenset(rule for rule, kinds in FAMILY.items() if any(kind.field == field for kind in kinds))
