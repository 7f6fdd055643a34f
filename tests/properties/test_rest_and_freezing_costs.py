"""What must hold of the least cost where dogs need energy at rest and food must have been frozen first.

**Source:** the mathematics of a least cost: more that may be fed cannot cost more, and a rule more cannot cost less.
"""

from dataclasses import replace
from datetime import timedelta
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from raworder.solving.solver import Settings
from raworder.trade.bags import Portioning
from raworder.trade.dogs import OtherFood
from raworder.trade.plan import Plan
from raworder.trade.purchase import drop_nutrient_rules
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch
from tests.drawn import drawn, examples, seeds
from tests.outside.invented_rest import resting_and_frozen
from tests.properties.strategies import SEEDS, at_most, cost_of

SCENARIOS = SEEDS.map(Random).map(resting_and_frozen)


@examples(8)
@given(SCENARIOS)
def test_the_cost_never_falls_when_energy_at_rest_is_asked_for(scenario: Scenario) -> None:
    assert at_most(cost_of(drop_nutrient_rules(scenario)), cost_of(scenario))


@examples(8)
@given(SCENARIOS, st.integers(1, 400))
def test_the_cost_never_rises_when_a_dog_eats_more_beside_the_plan(scenario: Scenario, kcal: int) -> None:
    dogs = tuple(
        replace(dog, other_food=OtherFood(dog.other_food.kcal + kcal, dog.other_food.as_much)) for dog in scenario.dogs
    )
    assert at_most(cost_of(replace(scenario, dogs=dogs)), cost_of(scenario))


@examples(8)
@given(SCENARIOS, st.data(), st.integers(1, 30))
def test_the_cost_never_rises_when_an_offer_comes_frozen_for_longer(
    scenario: Scenario, data: st.DataObject, days: int
) -> None:
    longer = data.draw(st.sampled_from(scenario.offers))
    since = longer.frozen_on and longer.frozen_on - timedelta(days)
    offers = tuple(
        replace(offer, frozen_days=offer.frozen_days + days, frozen_on=since) if offer == longer else offer
        for offer in scenario.offers
    )
    assert at_most(cost_of(replace(scenario, offers=offers)), cost_of(scenario))


@examples(6)
@given(SCENARIOS, st.integers(1, 30))
def test_the_cost_never_rises_when_food_is_held_for_longer_or_the_rule_is_off(scenario: Scenario, days: int) -> None:
    longer = None if scenario.hold_days is None else scenario.hold_days + days
    held, off = cost_of(replace(scenario, hold_days=longer)), cost_of(replace(scenario, hold_days=None))
    assert at_most(held, cost_of(scenario))
    assert at_most(off, held)


@examples(6)
@given(SCENARIOS)
def test_a_dog_listed_twice_costs_what_a_dog_of_twice_the_need_costs(scenario: Scenario) -> None:
    """But for whole pieces, least portions and a demand for several species, which come dog by dog."""
    divided = Portioning(divided=frozenset(cut.name for cut in scenario.cuts), least_portion_g=0)
    scenario = replace(scenario, variety=replace(scenario.variety, least_species=0), portioning=divided)
    dog, *others = (replace(one, energy=None) for one in scenario.dogs)
    double = replace(
        dog,
        daily_g=2 * dog.daily_g,
        batch_g=2 * dog.batch_g,
        day_g=tuple(2 * grams for grams in dog.day_g),
        vet_amounts=tuple(replace(one, batch_g=2 * one.batch_g) for one in dog.vet_amounts),
        resting_kcal=dog.resting_kcal and 2 * dog.resting_kcal,
        other_food=replace(dog.other_food, kcal=2 * dog.other_food.kcal),
        treats_kcal=2 * dog.treats_kcal,
    )
    twice = cost_of(replace(scenario, dogs=(dog, replace(dog, name="Maple's twin"), *others)))
    assert twice == pytest.approx(cost_of(replace(scenario, dogs=(double, *others))), rel=1e-6, abs=2e-4)


@drawn()
def test_plans_break_no_rule_and_kilograms_and_pounds_give_the_same(block: int) -> None:
    """A plan that a judge has anything against is withheld, which would fail here."""
    found = 0
    for seed in seeds(block, 6):
        scenario = resting_and_frozen(Random(seed))
        answer = plan_batch(scenario, Settings())
        assert answer == plan_batch(replace(scenario, weight_unit="lb"), Settings())
        found += isinstance(answer, Plan)
    assert found


@pytest.mark.slow
def test_half_the_energy_in_every_gram_is_enough_for_half_the_need() -> None:
    """What is asked is a share of what food holds, and no matter how large."""
    for seed in range(4):
        scenario = resting_and_frozen(Random(seed))
        dogs = tuple(
            replace(
                dog,
                energy=None,
                resting_kcal=dog.resting_kcal and dog.resting_kcal / 2,
                other_food=replace(dog.other_food, kcal=dog.other_food.kcal / 2),
                treats_kcal=dog.treats_kcal / 2,
            )
            for dog in scenario.dogs
        )
        whole = replace(scenario, dogs=tuple(replace(dog, energy=None) for dog in scenario.dogs))
        cuts = tuple(
            replace(
                cut,
                analysis=replace(cut.analysis, values=tuple((key, amount / 2) for key, amount in cut.analysis.values)),
            )
            for cut in scenario.cuts
        )
        halved = cost_of(replace(scenario, dogs=dogs, cuts=cuts))
        assert halved == pytest.approx(cost_of(whole), rel=1e-6)
