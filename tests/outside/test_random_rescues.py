"""Random rescues of 20 to 150 dogs by both models: the cost without pieces, and what a plan claims of its own cost.

**Source:** scipy.optimize.milp on the matrices of `tests/outside/matrices.py`, which share no code with ours. There no
dogs are merged; which cuts a dog goes without, as their pieces are too large for it, is taken from ours.
`python -m tests.long -k rescue` tries all 200.
"""

from dataclasses import replace
from pathlib import Path

import pytest

from raworder.auditing.checks import audit
from raworder.auditing.facts_audit import audit_facts
from raworder.reading.saved_plan import read_plan
from raworder.rendering.as_json import plan_as_json
from raworder.solving.objective import cost
from raworder.solving.search import build
from raworder.solving.solver import Settings, minimise
from raworder.trade.as_fed import as_fed
from raworder.trade.plan import Plan, Proof
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch, with_facts
from tests.builders import SMALL, SMALL_PLAN
from tests.drawn import few
from tests.outside.matrices import cost_without_pieces
from tests.outside.random_rescues import MANY, random_rescue
from tests.reading.saved import printed, written

SOME = 4
GAP = 1e-4
LIMIT_S = 60
"""Seconds that the second model may take; its bound is then less near, which may not hide much."""

WIDEST = 0.005
FAR = 0.03
"""By how much it is never above it, even where bags are hard to fill."""

NEAR_ENOUGH = 0.002
"""By how much a plan of many dogs may be above the better bound."""

A_HUNDREDTH_OF_A_CENT = 0.0001
CENT = 0.01


@few("seed", range(MANY), SOME)
def test_both_models_find_one_cost_without_pieces_and_a_plan_of_the_rescue_keeps_its_word(
    seed: int, tmp_path: Path
) -> None:
    scenario = random_rescue(seed)
    left_out, bound = both_models_agree(scenario, seed)
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan), f"{seed}: {plan}"
    assert not left_out & {(portion.dog, portion.cut) for portion in plan.portions}, seed
    keeps_its_word(scenario, plan, bound, seed)
    read_and_audited(scenario, plan, tmp_path)


def both_models_agree(scenario: Scenario, label: object) -> tuple[frozenset[tuple[str, str]], float]:
    """What each dog goes without, and the better bound; what both models prove must overlap, and be narrow."""
    problem = build(scenario, whole=False)
    left_out = frozenset((dog.name, cut) for group in problem.groups for dog in group.dogs for cut in group.unfit)
    second = cost_without_pieces(scenario, left_out, gap=GAP, limit_s=LIMIT_S)
    assert second is not None, f"{label}: the second model has no order"
    (bound, value), ours = second, minimise(problem.lp, cost(problem), Settings(), gap=GAP * second[1])
    assert ours.bound is not None, f"{label}: ours has no order, the second model pays {value}"
    assert ours.value is not None
    assert value - bound <= WIDEST * value, f"{label}: the second model proves little, {second}"
    assert ours.value - ours.bound <= GAP * value + A_HUNDREDTH_OF_A_CENT, f"{label}: {ours}"
    assert bound <= ours.value + A_HUNDREDTH_OF_A_CENT, f"{label}: the second model proves {second}, {ours}"
    assert ours.bound <= value + A_HUNDREDTH_OF_A_CENT, f"{label}: the second model pays {second}, {ours}"
    return left_out, max(bound, ours.bound)


def keeps_its_word(scenario: Scenario, plan: Plan, bound: float, label: object) -> None:
    """Hold what a plan costs against a proved bound, and against what it says of itself."""
    counted, claimed = float(plan.counted), float(plan.proof.bound)
    rounded = float(scenario.currency.minor) / 2 * (len(plan.lines) + len(plan.bills)) + A_HUNDREDTH_OF_A_CENT
    assert counted >= bound - rounded, f"{label}: {counted} is below {bound}, which was proved"
    assert claimed <= counted + rounded, f"{label}: {counted} is below {claimed}, which it claims was proved"
    if plan.proof.near_is_enough and plan.proof.is_enough(plan.counted):
        assert counted <= (1 + NEAR_ENOUGH) * max(bound, claimed) + rounded, f"{label}: {counted}, proved {claimed}"
    elif plan.proof.near_is_enough:  # no such order was found whose bags can be filled; the exit code says so
        assert counted <= (1 + FAR) * claimed, f"{label}: {counted}, proved {claimed}"
    elif plan.proof.proved:
        assert counted <= claimed + CENT + rounded, f"{label}: {counted} is not proved to the cent by {claimed}"
    else:
        assert plan.proof.why, label


def read_and_audited(scenario: Scenario, plan: Plan, folder: Path) -> None:
    """The plan comes back from its JSON as it was, and no judge has anything against what was read."""
    read = read_plan(written(folder, printed(plan, scenario)), scenario).plan
    assert read is not None
    assert plan_as_json(read) == plan_as_json(plan)
    assert not audit(as_fed(scenario, read), read)
    assert not audit_facts(with_facts(scenario, read))


def test_a_plan_that_does_not_keep_its_word_is_noticed() -> None:
    honest = replace(SMALL_PLAN, proof=Proof(True, SMALL_PLAN.counted, "by hand"))
    keeps_its_word(SMALL, honest, float(honest.counted), "honest")
    for told, bound in (
        (honest, float(honest.counted) + 1),  # cheaper than can be
        (replace(honest, proof=Proof(True, honest.counted + 1, "by hand")), 0.0),  # the same by its own bound
        (replace(honest, proof=Proof(True, honest.counted - 1, "by hand")), 0.0),  # not proved to the cent
        (replace(honest, proof=Proof(False, honest.counted, "by hand")), 0.0),  # not proved, and no word why
    ):
        with pytest.raises(AssertionError):
            keeps_its_word(SMALL, told, bound, "not honest")
