"""The least by which demands must be missed, and demands left out.

All names and figures are invented. **Source:** arithmetic; the sums stand beside the numbers.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.giving_way.demand import SoftDemand
from raworder.giving_way.family import demands_of, leave_out
from raworder.giving_way.least_missed import LeastMisses, find_least_misses, is_possible
from raworder.solving.search import Impossible
from raworder.solving.solver import Settings, SolverName
from raworder.trade.cuts import Measure
from raworder.trade.scenario import Scenario
from tests import builders as b


def the_only(scenario: Scenario, rule: str) -> SoftDemand:
    """The only demand of that rule, which can be missed by a little."""
    (demand,) = [one for one in demands_of(scenario) if one.rule == rule]
    assert isinstance(demand, SoftDemand)
    return demand


@pytest.mark.parametrize("solver", SolverName)
def test_a_budget_is_missed_by_what_the_cheapest_order_costs_more(solver: SolverName) -> None:
    """7 packs at 2.40 are 16.80."""
    scenario = b.a_scenario(budget=16)
    missed = find_least_misses(scenario, [the_only(scenario, "budget")], Settings(solver))
    assert isinstance(missed, LeastMisses)
    assert abs(missed.by[0] - Fraction(8, 10)) < Fraction(1, 100)
    assert missed.bound is not None
    assert missed.bound <= missed.by[0]


@pytest.mark.parametrize("solver", SolverName)
def test_of_several_as_few_as_can_be_are_missed(solver: SolverName) -> None:
    """Fat is 12.5 % of all there is, and the cap 10 %; the room and the budget are large enough."""
    scenario = b.a_scenario(
        dogs=[b.a_dog(caps=[b.a_cap(Measure.FAT, "", "1/10")])], budget=20, room_g=7_000, most_suppliers=1
    )
    soft = [one for one in demands_of(scenario) if isinstance(one, SoftDemand)]
    missed = find_least_misses(scenario, soft, Settings(solver))
    assert isinstance(missed, LeastMisses)
    by = {one.rule: float(amount) for one, amount in zip(soft, missed.by, strict=True) if amount > Fraction(1, 10**6)}
    assert by == pytest.approx({"cap": 0.025}, abs=1e-3)


def test_what_does_not_help_is_impossible() -> None:
    scenario = b.a_scenario(budget=16, room_g=6_000)
    assert isinstance(find_least_misses(scenario, [the_only(scenario, "room")], Settings()), Impossible)


def test_without_all_that_may_give_way_only_food_and_what_is_avoided_are_left() -> None:
    scenario = replace(b.SMALL, budget=Decimal(1), room_g=1)
    assert is_possible(scenario, Settings()) is False
    assert is_possible(leave_out(scenario, demands_of(scenario)), Settings()) is True
    dog = b.a_dog(avoid=[b.a_subject(Measure.SPECIES, "beef")])
    nothing = b.a_scenario(dogs=[dog])
    assert is_possible(leave_out(nothing, demands_of(nothing)), Settings()) is False


def test_what_a_dog_must_not_eat_and_the_amount_of_food_are_no_demands() -> None:
    rules = {demand.rule for demand in demands_of(b.SMALL)}
    assert not rules & {"avoid", "ration", "vet_amount"}
    loose = leave_out(b.SMALL, demands_of(b.SMALL))
    assert [(dog.avoid, dog.day_g, dog.vet_amounts) for dog in loose.dogs] == [
        (dog.avoid, dog.day_g, dog.vet_amounts) for dog in b.SMALL.dogs
    ]


def test_every_demand_has_a_key_of_its_own() -> None:
    keys = [demand.key for demand in demands_of(b.SMALL)]
    assert len(set(keys)) == len(keys)
