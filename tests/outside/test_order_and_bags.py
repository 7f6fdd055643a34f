"""Order and bags together against a second model that counts out every bag: the same cost, and no false "no plan".

**Source:** scipy.optimize.milp on the matrices of `tests/outside/order_and_bags.py`, which share no code with ours.
"""

from collections import Counter
from random import Random

import pytest

from raworder.solving.solver import Settings
from raworder.trade.plan import NoPlan, Plan
from raworder.workflow import plan_batch
from tests.drawn import drawn, seeds
from tests.outside.order_and_bags import least_cents, small_dogs_with_large_pieces

EACH = 10
CENT = 0.5
"""Both models reckon in whole cents; what a solver is off is far less than half of one."""

LIMIT_S = 30
"""Seconds that the second model may take; where it comes to no end, nothing is compared."""


@pytest.mark.slow
@drawn()
def test_both_models_agree_on_small_dogs_with_large_pieces(block: int) -> None:
    """What has no plan has none in the second model; what has one costs the same, and is proved."""
    found: Counter[str] = Counter()
    for seed in seeds(block, EACH):
        scenario = small_dogs_with_large_pieces(Random(seed))
        answer = plan_batch(scenario, Settings())
        found[type(answer).__name__] += 1
        try:
            second = least_cents(scenario, LIMIT_S)
        except TimeoutError:
            assert isinstance(answer, Plan), f"{seed}: no plan, and the second model came to no end"
            continue
        if second is None:
            assert isinstance(answer, NoPlan), f"{seed}: {answer}"
        else:
            assert isinstance(answer, Plan), f"{seed}: the second model pays {second}, ours says {answer}"
            assert answer.proof.proved, seed
            assert float(answer.total) * 100 == pytest.approx(second, abs=CENT), seed
    assert found["Plan"]
