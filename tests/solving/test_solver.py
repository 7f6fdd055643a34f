"""What a solver says is told truly: optimal only when proved, infeasible only when it is, and nothing on stdout.

**Source:** the hard model is of the kind of Cornuejols and Dawande, *A class of hard small 0-1 programs*, 1998 (from
memory, not looked up; the figures are random and ours). The rest is arithmetic.
"""

import json
import subprocess
import sys
import threading
from pathlib import Path
from random import Random

import highspy
import pulp
import pytest

from raworder.solving import solver as solver_module
from raworder.solving.solver import (
    FEW_UNKNOWNS,
    BagSolver,
    Ending,
    Outcome,
    Settings,
    SolverName,
    Stop,
    TimeIsUpError,
    _tighten_bound,
    minimise,
)

ROOT = Path(__file__).resolve().parents[2]
NO_TIME_S = 1e-9
"""Over before the solver looks at its clock for the first time."""

BOTH = pytest.mark.parametrize("solver", SolverName)


def knapsack() -> tuple[pulp.LpProblem, pulp.LpAffineExpression]:
    """At least 10 from whole 3s at 2 and whole 7s at 5: four 3s for 8, or 3 and 7 for 7."""
    lp = pulp.LpProblem("knapsack", pulp.LpMinimize)
    threes, sevens = (lp.add_variable(name, 0, 9, pulp.LpInteger) for name in ("threes", "sevens"))
    lp.addConstraint(3 * threes + 7 * sevens >= 10, "least")
    return lp, 2 * threes + 5 * sevens


def hard_split(rows: int = 6, columns: int = 50) -> tuple[pulp.LpProblem, pulp.LpAffineExpression]:
    """Split many numbers in two equal halves in several rows at once; what is missing is the cost."""
    random = Random(3)
    lp = pulp.LpProblem("split", pulp.LpMinimize)
    taken = [lp.add_variable(f"taken_{number}", 0, 1, pulp.LpBinary) for number in range(columns)]
    off = []
    for row in range(rows):
        sizes = [random.randint(0, 99) for _ in taken]
        over, under = (lp.add_variable(f"{name}_{row}", 0) for name in ("over", "under"))
        total = pulp.lpSum(size * one for size, one in zip(sizes, taken, strict=True))
        lp.addConstraint(total + under - over == sum(sizes) // 2, f"row_{row}")
        off += [over, under]
    return lp, pulp.lpSum(off)


@BOTH
def test_the_least_value_is_found_and_proved(solver: SolverName) -> None:
    lp, objective = knapsack()
    outcome = minimise(lp, objective, Settings(solver))
    assert outcome.ending is Ending.OPTIMAL
    assert (outcome.value, outcome.bound) == (pytest.approx(7), pytest.approx(7))
    assert outcome.solved


@BOTH
def test_what_cannot_be_is_told_as_infeasible(solver: SolverName) -> None:
    lp, objective = knapsack()
    lp.addConstraint(objective <= 6.5, "cheap")
    outcome = minimise(lp, objective, Settings(solver))
    assert outcome.ending is Ending.INFEASIBLE
    assert (outcome.value, outcome.bound) == (None, None)


@BOTH
def test_what_only_whole_numbers_make_impossible_is_told_as_infeasible(solver: SolverName) -> None:
    """Two times a whole number is never three; in fractions it is."""
    lp = pulp.LpProblem("odd", pulp.LpMinimize)
    one, other = (lp.add_variable(name, 0, 9, pulp.LpInteger) for name in ("one", "other"))
    lp.addConstraint(2 * one + 4 * other == 7, "odd")
    lp.addConstraint(one + other >= 1, "some")
    assert minimise(lp, one + other, Settings(solver)).ending is Ending.INFEASIBLE


@BOTH
def test_a_time_limit_is_not_called_optimal(solver: SolverName) -> None:
    lp, objective = hard_split()
    outcome = minimise(lp, objective, Settings(solver, time_limit_s=0.05))
    assert outcome.ending in {Ending.FEASIBLE, Ending.NOTHING}
    if outcome.value is not None and outcome.bound is not None:
        assert outcome.bound < outcome.value


@pytest.mark.slow
def test_a_time_limit_still_tells_the_best_found_and_its_bound() -> None:
    lp, objective = hard_split(rows=4, columns=40)
    outcome = minimise(lp, objective, Settings(time_limit_s=0.5))
    assert outcome.ending is Ending.FEASIBLE
    assert outcome.value is not None
    assert outcome.bound is not None
    assert 0 <= outcome.bound < outcome.value


def test_as_long_as_nothing_is_found_the_longer_time_limit_holds() -> None:
    lp, objective = hard_split(rows=4, columns=40)
    assert minimise(lp, objective, Settings(time_limit_s=NO_TIME_S)).ending is Ending.NOTHING
    assert minimise(lp, objective, Settings(time_limit_s=NO_TIME_S, until_found_s=600)).ending is Ending.FEASIBLE


@pytest.mark.slow
def test_the_longer_time_limit_ends_once_something_is_found() -> None:
    """The model takes hours to be proved."""
    lp, objective = hard_split()
    outcome = minimise(lp, objective, Settings(time_limit_s=0.5, until_found_s=3600))
    assert outcome.ending is Ending.FEASIBLE
    assert outcome.value is not None
    assert outcome.bound is not None
    assert outcome.bound < outcome.value


@pytest.mark.slow
def test_a_search_that_a_person_stops_keeps_what_it_found() -> None:
    """The model takes hours to be proved."""
    stop, (lp, objective) = Stop(), hard_split()

    def ask(_seconds: float, _value: float | None, _bound: float | None) -> None:
        stop.asked = True

    outcome = minimise(lp, objective, Settings(progress=ask, stop=stop))
    assert outcome.ending is Ending.FEASIBLE
    assert outcome.value is not None


def test_cbc_begins_anew_with_the_longer_time_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    real, limits = solver_module._solve_with_cbc, []

    def noted(lp: pulp.LpProblem, settings: Settings, gap_share: float) -> Outcome:
        limits.append(settings.time_limit_s)
        return Outcome(Ending.NOTHING, None, None, "") if len(limits) == 1 else real(lp, settings, gap_share)

    monkeypatch.setattr(solver_module, "_solve_with_cbc", noted)
    lp, objective = knapsack()
    outcome = minimise(lp, objective, Settings(SolverName.CBC, time_limit_s=6, until_found_s=10))
    assert outcome.value == pytest.approx(7)
    assert limits == [6, 4]


def test_a_solution_at_hand_is_a_start_even_where_an_unknown_is_new_to_the_model() -> None:
    lp, objective = knapsack()
    minimise(lp, objective, Settings())
    new = lp.add_variable("new", 0)
    outcome = minimise(lp, objective + new, Settings(), start={one.name: one.varValue or 0.0 for one in lp.variables()})
    assert outcome.value == pytest.approx(7)


SCRIPT = """
import json, sys
from raworder.solving.cheapest import cheapest
from raworder.solving.solver import Settings, SolverName
from tests.builders import SMALL
found = cheapest(SMALL, Settings(SolverName(sys.argv[1])))
print(json.dumps({"bound": str(found.proof.bound)}))
"""


@pytest.mark.slow
@BOTH
def test_nothing_but_our_own_words_comes_out_on_stdout(solver: SolverName) -> None:
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", SCRIPT, solver], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert json.loads(done.stdout)["bound"]
    assert len(done.stdout.splitlines()) == 1
    assert done.stderr == ""


@BOTH
def test_file_descriptor_one_is_left_as_it_was(solver: SolverName, capfd: pytest.CaptureFixture[str]) -> None:
    minimise(*knapsack(), Settings(solver))
    assert capfd.readouterr().out == ""
    print("a result")  # noqa: T201 - what is tested is that printing still works
    assert capfd.readouterr().out == "a result\n"


@pytest.mark.parametrize("solver", SolverName)
def test_a_solution_as_low_as_a_known_bound_is_proved(solver: SolverName) -> None:
    """A looser problem has shown that nothing is below 3; the solver by itself knows of no more than 2.5."""
    lp = pulp.LpProblem("halves", pulp.LpMinimize)
    packs = lp.add_variable("packs", 0, 9, pulp.LpInteger)
    lp.addConstraint(2 * packs >= 5, "need")
    outcome = minimise(lp, 1 * packs, Settings(solver), known_bound=3.0)
    assert (outcome.ending, outcome.value, outcome.bound) == (Ending.OPTIMAL, pytest.approx(3), pytest.approx(3))


def test_the_better_of_two_bounds_is_told_and_only_a_value_that_meets_it_is_proved() -> None:
    found = Outcome(Ending.FEASIBLE, 5.0, 3.0, "stopped")
    assert _tighten_bound(found, 4.0, 0.0) == Outcome(Ending.FEASIBLE, 5.0, 4.0, "stopped")
    assert _tighten_bound(found, 2.0, 0.0).bound == 3.0
    assert _tighten_bound(found, 5.0, 0.0).ending is Ending.OPTIMAL
    assert _tighten_bound(Outcome(Ending.INFEASIBLE, None, None, ""), 5.0, 0.0).ending is Ending.INFEASIBLE


def test_what_goes_wrong_in_the_thread_that_solves_is_raised_where_it_is_waited_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def run(_model: highspy.Highs) -> None:
        raise MemoryError

    monkeypatch.setattr(highspy.Highs, "run", run)
    with pytest.raises(MemoryError):
        minimise(*knapsack(), Settings())


def test_a_solver_that_says_it_has_no_memory_has_found_nothing_about_the_problem(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(highspy.Highs, "getModelStatus", lambda _model: highspy.HighsModelStatus.kMemoryLimit)
    with pytest.raises(MemoryError):
        minimise(*knapsack(), Settings())


def test_where_no_thread_can_be_started_there_is_no_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    def start(_thread: threading.Thread) -> None:
        raise RuntimeError("can't start new thread")

    monkeypatch.setattr(threading.Thread, "start", start)
    with pytest.raises(MemoryError, match="can't start new thread"):
        minimise(*knapsack(), Settings())


def test_a_programme_of_plain_numbers_is_solved_to_its_least_cost() -> None:
    """At least 7 of packs of 3 at 5 and packs of 2 at 4: 3 + 2 + 2 cost 13, 3 + 3 + 3 cost 15."""
    columns = [(0, 10, 5, True), (0, 10, 4, True)]
    found = BagSolver(Settings(), 0.0).least(columns, [(7, [(0, 3), (1, 2)], 100)])
    assert found is not None
    assert list(map(round, found)) == [1, 2]


def test_a_programme_of_plain_numbers_without_a_solution_has_none() -> None:
    """Two whole packs of 2 are never 3."""
    assert BagSolver(Settings(), 0.0).least([(0, 10, 1, True)], [(3, [(0, 2)], 3)]) is None


def test_a_programme_of_plain_numbers_is_not_said_to_be_impossible_once_time_is_over() -> None:
    solve = BagSolver(Settings(time_limit_s=1), 0.0, lambda: 2.0)
    with pytest.raises(TimeIsUpError):
        solve.least([(0, 10, 1, True)], [(3, [(0, 1)], 3)])


@pytest.mark.parametrize(
    ("unknowns", "gaps", "cuts"),
    [
        (FEW_UNKNOWNS, {"gap": 0.0098}, 200),
        (FEW_UNKNOWNS + 1, {"gap": 0.0098}, 10_000),
        (FEW_UNKNOWNS, {"gap": 0.25}, 10_000),
        (FEW_UNKNOWNS, {"gap_share": 0.002}, 10_000),
    ],
)
def test_fewer_cuts_are_kept_where_unknowns_are_few_and_the_gap_is_narrow(
    unknowns: int, gaps: dict[str, float], cuts: int
) -> None:
    lp = pulp.LpProblem("few", pulp.LpMinimize)
    bought = [lp.add_variable(f"bought_{number}", 1, 9, pulp.LpInteger) for number in range(unknowns)]
    assert minimise(lp, pulp.lpSum(bought), Settings(), **gaps).value == unknowns
    assert lp.solverModel.getOptionValue("mip_pool_soft_limit")[1] == cuts
