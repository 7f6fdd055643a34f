"""What must hold of the bill that is printed, to the minor unit.

**Source:** the mathematics of a least sum: who may buy one thing more, and need not, pays no more.
"""

from dataclasses import replace
from decimal import Decimal
from random import Random

from raworder.solving.solver import Settings
from raworder.trade.plan import NoPlan, Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import Answer, order_batch
from tests.drawn import drawn, seeds
from tests.outside.invented_bills import weighed, without

EACH = 15
CENT = Decimal("0.01")


@drawn(blocks=2)
def test_adding_an_offer_never_raises_the_printed_total(block: int) -> None:
    plans = 0
    for seed in seeds(block, EACH):
        random = Random(seed)
        scenario = weighed(random)
        fewer = without(scenario, random.choice(scenario.offers))
        before, after = ordered(fewer, seed), ordered(scenario, seed)
        if isinstance(before, Plan):
            assert isinstance(after, Plan), seed
            assert after.counted <= before.counted, (seed, after.counted, before.counted)
            assert after.counted == after.proof.least_bill, seed
            plans += 1
    assert plans


@drawn()
def test_a_budget_of_the_printed_total_will_do_and_a_cent_less_will_not(block: int) -> None:
    plans = 0
    for seed in seeds(block, 8):
        scenario = weighed(Random(seed))
        plan = ordered(scenario, seed)
        if isinstance(plan, Plan):
            just = ordered(replace(scenario, budget=plan.total), seed)
            assert isinstance(just, Plan), seed
            assert just.total == plan.total, seed
            less = ordered(replace(scenario, budget=plan.total - CENT), seed)
            # Trips are made cheapest and not paid: less may be paid where a dearer trip is made.
            assert isinstance(less, NoPlan) or (less.total < plan.total and less.counted > plan.counted), seed
            plans += 1
    assert plans


def ordered(scenario: Scenario, seed: int) -> Answer:
    """The order, or that there is none; nothing else comes of a scenario, which the seed makes again."""
    answer = order_batch(scenario, Settings())
    assert isinstance(answer, Plan | NoPlan), (seed, answer)
    return answer
