"""The audit of a finished plan: a judge for every rule, by plain arithmetic on the numbers that will be printed.

It reads a Scenario and a Plan, trusts neither the model nor the portioning, and shares only the trade's types with
them.
"""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from raworder.auditing.books import Books, open_books, unsound_numbers
from raworder.auditing.buying import (
    bill,
    budget,
    cut_count,
    delivery,
    least_purchase,
    minimum_order,
    pack_count,
    price_break,
    room,
    supplier_count,
)
from raworder.auditing.feeding import avoid, cap, hold, own_stock, part_share, ration, supply, variety, vet_amount
from raworder.auditing.filled_bags import bag_sum, least_portion, scale_step, whole_pieces
from raworder.auditing.nutrients_fed import nutrient, nutrient_ratio, resting_energy, supplement
from raworder.auditing.weeks import bag_weight, day_most, week_cap, week_share
from raworder.trade.plan import Breach, Plan
from raworder.trade.scenario import FedScenario

Judge = Callable[[Books], Iterator[Breach]]

JUDGES: Mapping[str, Judge] = MappingProxyType(
    {
        "ration": ration,
        "resting_energy": resting_energy,
        "vet_amount": vet_amount,
        "part_share": part_share,
        "cap": cap,
        "nutrient": nutrient,
        "nutrient_ratio": nutrient_ratio,
        "avoid": avoid,
        "hold": hold,
        "variety": variety,
        "whole_pieces": whole_pieces,
        "least_portion": least_portion,
        "supply": supply,
        "own_stock": own_stock,
        "supplement": supplement,
        "pack_count": pack_count,
        "least_purchase": least_purchase,
        "price_break": price_break,
        "supplier_count": supplier_count,
        "cut_count": cut_count,
        "delivery": delivery,
        "minimum_order": minimum_order,
        "bill": bill,
        "room": room,
        "budget": budget,
        "bag_sum": bag_sum,
        "scale_step": scale_step,
        "bag_weight": bag_weight,
        "week_share": week_share,
        "week_cap": week_cap,
        "day_most": day_most,
    }
)
"""The judges by the keys of the rulebook, in its order."""


def audit(scenario: FedScenario, plan: Plan) -> tuple[Breach, ...]:
    """Every rule that the plan breaks, in the order of the rulebook; empty for a plan that may be shown.

    Where some numbers cannot be added up, only those are reported, as sums over them would mean nothing.
    """
    unsound = tuple(unsound_numbers(plan))
    if unsound:
        return unsound
    books = open_books(scenario, plan)
    return tuple(breach for judge in JUDGES.values() for breach in judge(books))
