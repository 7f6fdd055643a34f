"""The only module that calls solvers: a problem and an objective in, an `Outcome` out; for orders and bags."""

import os
import sys
import threading
import warnings
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import accumulate
from math import inf, isfinite
from tempfile import TemporaryDirectory
from time import monotonic
from types import MappingProxyType, SimpleNamespace
from typing import Any

import pulp

HIGHS_OPTIONS: Mapping[str, float | bool] = MappingProxyType(
    {
        "mip_feasibility_tolerance": 1e-7,
        "primal_feasibility_tolerance": 1e-8,
        "dual_feasibility_tolerance": 1e-8,
        "mip_allow_restart": False,
        "random_seed": 0,
    }
)
"""Tighter than the defaults, since shares are exact to the gram, but not as tight as possible: with 1e-9 for whole
numbers HiGHS 1.16 once called 16.20 the minimum where it was 10.44; with these, 5,000 random scenarios agreed with a
second model. No restarts: they took a third to half of the time."""


STARTED_OPTIONS: Mapping[str, bool] = MappingProxyType(
    {"mip_heuristic_run_rins": False, "mip_heuristic_run_rens": False}
)
"""Used with a start: the heuristics that search around a known solution took two thirds of the time."""


FEW_UNKNOWNS = 300
"""Up to so many unknowns, as six dogs have, `SMALL_OPTIONS` are used."""

SMALL_OPTIONS: Mapping[str, int] = MappingProxyType({"mip_pool_soft_limit": 200})
"""Fewer cuts are kept. Making and sorting them was most of the work on small problems: orders for a household took a
fifth less, for four dogs and 71 offers two fifths less; 50 or 100 cuts, or dropping them sooner, was no better. Not
where the gap is wide: another solution would end the search there."""

WIDE_GAP = 0.01
"""From this gap on it matters for what is found how the search goes."""


NUMBERS_OPTIONS: Mapping[str, bool] = MappingProxyType(
    {"mip_heuristic_run_feasibility_jump": False, "mip_heuristic_run_root_reduced_cost": False}
)
"""Used for the small programmes of bags that are given as numbers: a fifth to a third less time, the same solutions."""

FIRST_WORD_S = 2.0
"""Seconds of solving before the first progress report."""


LEAST_S = 0.01
"""The shortest time limit ever given to a solver, in seconds."""

NOTHING: Mapping[str, float] = MappingProxyType({})
"""No values to start from."""

SAME_VALUE = 1e-5
"""How far the reported value may be from the value computed from the unknowns. HiGHS 1.16, given a start, now and then
proves a lower value but returns the start itself; then it is run again without one."""


ARENA_MAX = -8
"""The number of the C library's setting. Source: `malloc.h` of glibc, M_ARENA_MAX."""

CBC_NODES = 50
"""This many branches of CBC stand for one of HiGHS, which does more work in each: with 20 CBC found no way to share an
order out among 40 dogs."""


class SolverName(StrEnum):
    """A solver by its name: HiGHS decides, CBC gives a second opinion."""

    HIGHS = "highs"
    CBC = "cbc"


class Ending(StrEnum):
    """How a solve ended."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a solve ended, the value of the objective if there is a solution, and the proved bound on it if there is."""

    ending: Ending
    value: float | None
    bound: float | None
    why: str

    @property
    def solved(self) -> bool:
        """Whether the unknowns hold a solution."""
        return self.ending in {Ending.OPTIMAL, Ending.FEASIBLE}


Progress = Callable[[float, float | None, float | None], None]
"""Called now and then during a long solve, with the seconds so far, the best value and the best bound."""


@dataclass(slots=True)
class Stop:
    """Whether a person asked to stop: searches then end with the best that they have found."""

    asked: bool = False


@dataclass(frozen=True, slots=True)
class Settings:
    """Which solver to use, its time limit in seconds (None for no limit), and where to report progress.

    `most_nodes` ends a search after that many branches, the same on every machine. `until_found_s` is a longer time
    limit that applies while nothing is found: after `time_limit_s` the first solution found ends the search. With
    `prove` an order is proved to the cent however many dogs there are. Once `stop` was asked for, no time is left.
    """

    solver: SolverName = SolverName.HIGHS
    time_limit_s: float | None = None
    progress: Progress | None = None
    most_nodes: int | None = None
    until_found_s: float | None = None
    prove: bool = False
    stop: Stop | None = None

    def left_since(self, began: float) -> "Settings":
        """The same with the time that is left, for a search that began at this time of the monotonic clock."""
        if self.is_stopped:
            return replace(self, time_limit_s=LEAST_S, until_found_s=None)
        if self.time_limit_s is None:
            return self
        gone_s, found_s = monotonic() - began, self.until_found_s
        later_s = None if found_s is None else max(found_s - gone_s, LEAST_S)
        return replace(self, time_limit_s=max(self.time_limit_s - gone_s, LEAST_S), until_found_s=later_s)

    @property
    def is_stopped(self) -> bool:
        """Whether a person asked to stop."""
        return self.stop is not None and self.stop.asked

    @property
    def time_is_up(self) -> bool:
        """Whether no more time is left than the least that a solver is ever given."""
        return self.time_limit_s is not None and self.time_limit_s <= LEAST_S

    def ends_at(self, began: float) -> float:
        """When the time is up on the monotonic clock, for a search that began at this time."""
        longest_s = self.until_found_s or self.time_limit_s
        return inf if longest_s is None else began + longest_s


def minimise(  # noqa: PLR0913 - when a search may end, and what is known beforehand
    lp: pulp.LpProblem,
    objective: pulp.LpAffineExpression,
    settings: Settings,
    *,
    gap: float = 0.0,
    gap_share: float = 0.0,
    target: float | None = None,
    start: Mapping[str, float] = NOTHING,
    known_bound: float | None = None,
) -> Outcome:
    """Minimise the objective, proved to within the gap; the unknowns of `lp` then hold the solution.

    With `gap_share` a proof to within that share of the value is enough, and a value of `target` or less ends the
    search. `start` gives values for all or some unknowns by name, which HiGHS tries to complete to a first solution.
    `known_bound` was proved for a looser problem: no value is below it, so reaching it ends the search.
    """
    lp.setObjective(objective)
    if known_bound is not None:
        # HiGHS stops as soon as a solution is this low; nothing lower than the known bound can exist.
        target = max(known_bound + gap, -inf if target is None else target)
    ends = _Ends(gap, gap_share, target)
    with _silence_stdout():
        if settings.solver is SolverName.CBC:
            return _tighten_bound(_retry_cbc_until_found(lp, settings, ends), known_bound, gap)
        outcome = _solve_with_highs(lp, settings, ends, start)
        if start and outcome.solved and abs(pulp.value(objective) - (outcome.value or 0.0)) > SAME_VALUE:
            outcome = _solve_with_highs(lp, settings, ends, NOTHING)
        return _tighten_bound(outcome, known_bound, gap)


def values_of(lp: pulp.LpProblem) -> dict[str, float]:
    """The value of every unknown by its name."""
    return {variable.name: variable.varValue or 0.0 for variable in lp.variables()}


@dataclass(frozen=True, slots=True)
class _Ends:
    """When a search may end: at a gap, at a gap as a share of the value, or at a value that is low enough."""

    gap: float
    gap_share: float
    target: float | None


def _tighten_bound(outcome: Outcome, known_bound: float | None, gap: float) -> Outcome:
    """The outcome with the better of two bounds; a value that meets it is proved."""
    if known_bound is None or outcome.value is None:
        return outcome
    bound = known_bound if outcome.bound is None else max(outcome.bound, known_bound)
    meets = outcome.value <= bound + gap + SAME_VALUE
    return replace(outcome, bound=min(bound, outcome.value), ending=Ending.OPTIMAL if meets else outcome.ending)


class _Highs(pulp.HiGHS):  # type: ignore[misc] # PuLP's class is untyped
    """HiGHS in process, started from a solution, watched while it runs, and stopped by an interrupt."""

    def __init__(self, start: Mapping[int, float], settings: Settings, **options: Any) -> None:
        longest_s = settings.until_found_s or settings.time_limit_s
        super().__init__(msg=False, threads=1, timeLimit=longest_s, **options)
        self._start = start
        self._progress = settings.progress
        self._enough_s = settings.time_limit_s if settings.until_found_s else None
        self._stop = settings.stop
        self._seen: tuple[float | None, float | None] = (None, None)

    def callSolver(self, lp: pulp.LpProblem) -> None:  # noqa: N802 - PuLP's name
        """Run in a thread of its own, so that an interrupt is heard at once; MemoryError where there is not enough."""
        model, failed = lp.solverModel, []
        if self._start:
            model.setSolution(len(self._start), list(self._start), list(self._start.values()))
        if self._progress or self._stop or self._enough_s is not None:
            self._listen(model)

        def run() -> None:
            """Solve, and keep any error for the thread that waits."""
            try:
                model.run()
            except BaseException as error:
                failed.append(error)

        _share_memory()
        try:
            thread = threading.Thread(target=run, daemon=True)
            thread.start()
        except RuntimeError as error:  # there is no room for a thread
            raise MemoryError(str(error)) from None
        self._watch(thread)
        if failed:
            raise failed[0]

    def findSolutionValues(self, lp: pulp.LpProblem) -> tuple[int, int]:  # noqa: N802 - PuLP's name
        """Read the values; PuLP knows no status for a limit on nodes, and ours is read from HiGHS itself."""
        try:
            found: tuple[int, int] = super().findSolutionValues(lp)
        except KeyError:
            return pulp.LpStatusNotSolved, pulp.LpSolutionNoSolutionFound
        return found

    def _watch(self, thread: threading.Thread) -> None:
        """Wait for the thread to end; report progress every second, from the second one on."""
        began = last_report = monotonic()
        while thread.is_alive():
            thread.join(0.1)
            now = monotonic()
            if self._progress and now - began >= FIRST_WORD_S and now - last_report >= 1:
                last_report = now
                self._progress(now - began, *self._seen)

    def _listen(self, model: Any) -> None:
        """Record the best value and bound whenever HiGHS logs them.

        Stop it once a person asked for that, or its time is up and it has a solution.

        HiGHS asks several hundred times a second whether to stop; no effect on its speed could be measured.
        """
        import highspy

        kinds = highspy.cb.HighsCallbackType

        def note(kind: object, _message: str, out: Any, to_solver: Any, _data: object) -> None:
            """Record the value and bound of a log line, or answer the solver's question whether to stop."""
            if kind == kinds.kCallbackMipLogging:
                self._seen = (_finite_or_none(out.mip_primal_bound), _finite_or_none(out.mip_dual_bound))
            elif (self._stop and self._stop.asked) or (
                self._enough_s is not None
                and out.running_time >= self._enough_s
                and _finite_or_none(out.mip_primal_bound) is not None
            ):
                to_solver.user_interrupt = True

        model.setCallback(note, None)
        model.startCallback(kinds.kCallbackMipLogging)
        if self._stop or self._enough_s is not None:
            model.startCallback(kinds.kCallbackMipInterrupt)


def _share_memory() -> None:
    """Let the solver's thread take memory from where all take it, on Linux.

    By default the C library sets 64 MB of addresses aside for each thread. Where they are not to be had, it asks the
    system anew for every number that is kept, and a solve of a second took a minute and more (`ulimit -v 300000`).
    """
    if sys.platform == "linux":
        import ctypes

        with suppress(OSError, AttributeError):  # not every C library has it
            ctypes.CDLL(None).mallopt(ARENA_MAX, 1)


def _solve_with_highs(lp: pulp.LpProblem, settings: Settings, ends: _Ends, start: Mapping[str, float]) -> Outcome:
    """The outcome by HiGHS, read from its own statuses: PuLP's are too coarse."""
    import highspy

    limited: dict[str, float] = {} if settings.most_nodes is None else {"mip_max_nodes": settings.most_nodes}
    if ends.target is not None:
        limited["objective_target"] = ends.target
    unknowns = lp.variables()
    is_exact = ends.gap < WIDE_GAP and not ends.gap_share
    few = SMALL_OPTIONS if is_exact and len(unknowns) <= FEW_UNKNOWNS else {}
    options = {**HIGHS_OPTIONS, **few, **(STARTED_OPTIONS if start else {}), **limited}
    # HiGHS knows unknowns by their column, which is their place in `lp.variables()`.
    places = {place: start[value.name] for place, value in enumerate(unknowns) if value.name in start}
    lp.solve(_Highs(places, settings, gapAbs=ends.gap, gapRel=ends.gap_share, **options))
    model = lp.solverModel
    status, info = model.getModelStatus(), model.getInfo()
    if status == highspy.HighsModelStatus.kMemoryLimit:
        raise MemoryError(model.modelStatusToString(status))
    if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        ending = Ending.OPTIMAL if status == highspy.HighsModelStatus.kOptimal else Ending.FEASIBLE
    else:
        impossible = {highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible}
        ending = Ending.INFEASIBLE if status in impossible else Ending.NOTHING
    value = model.getObjectiveValue() if ending in {Ending.OPTIMAL, Ending.FEASIBLE} else None
    bound = _finite_or_none(info.mip_dual_bound) if lp.isMIP() else value if ending is Ending.OPTIMAL else None
    return Outcome(ending, value, bound, model.modelStatusToString(status))


def _retry_cbc_until_found(lp: pulp.LpProblem, settings: Settings, ends: _Ends) -> Outcome:
    """The outcome by CBC; if it found nothing, it is run again with the time left, as it cannot be resumed."""
    outcome = _solve_with_cbc(lp, settings, ends.gap_share)
    if outcome.ending is Ending.NOTHING and settings.until_found_s is not None:
        left_s = settings.until_found_s - (settings.time_limit_s or 0.0)
        return _solve_with_cbc(lp, replace(settings, time_limit_s=max(left_s, LEAST_S)), ends.gap_share)
    return outcome


def _solve_with_cbc(lp: pulp.LpProblem, settings: Settings, gap_share: float) -> Outcome:
    """The outcome by the CBC that comes with PuLP; it gives no bound when it stops early."""
    with TemporaryDirectory() as folder, warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # bundled CBC is meant: it needs no install
        nodes = None if settings.most_nodes is None else settings.most_nodes * CBC_NODES
        limits = {"timeLimit": settings.time_limit_s, "maxNodes": nodes}
        cbc = pulp.PULP_CBC_CMD(msg=False, gapRel=gap_share, gapAbs=0, threads=1, **limits)
        cbc.tmpDir = folder  # so that an interrupt leaves no files behind
        lp.solve(cbc)
    endings = {pulp.LpSolutionOptimal: Ending.OPTIMAL, pulp.LpSolutionIntegerFeasible: Ending.FEASIBLE}
    impossible = lp.status == pulp.LpStatusInfeasible  # reported so even where the second status is "no solution found"
    ending = Ending.INFEASIBLE if impossible else endings.get(lp.sol_status, Ending.NOTHING)
    value = pulp.value(lp.objective) if ending in {Ending.OPTIMAL, Ending.FEASIBLE} else None
    bound = value - gap_share * abs(value) if ending is Ending.OPTIMAL and value is not None else None
    return Outcome(ending, value, bound, pulp.LpSolution[lp.sol_status])


def _finite_or_none(number: float) -> float | None:
    """The number, or None where a solver says infinity."""
    return number if isfinite(number) and abs(number) < 1e19 else None


@contextmanager
def _silence_stdout() -> Iterator[None]:
    """Keep the solvers' banners from file descriptor 1, where results and JSON go."""
    sys.stdout.flush()
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


NEAR_ENOUGH = 0.01
"""The gap for filling bags: less than one piece more in the fullest bag."""

ANY_WILL_DO = 1e9
"""A gap wider than any two fillings are apart, so that the first one found ends the search."""

FEW_NODES, MANY_NODES = 20, 1_000
"""Branches after which a search for bags ends. A solution is found at once if there is one (that there is none, in
3 ms), but proving the best did not close. The larger number is for the last resort, every bag filled by itself, where a
solution may be hard to find."""

PART_FOR_GOOD = 0.6
"""The part of the time for bags in which good fillings are looked for; after it, any filling will do."""


class TimeIsUpError(Exception):
    """The time limit was reached while bags were being filled."""


Column = tuple[float, float, float, bool]
"""An unknown: the least and the most it may be, what one of it costs, and whether it is a whole number."""

Row = tuple[float, Sequence[tuple[int, float]], float]
"""A demand: the least that terms add up to, the terms as columns with coefficients, and the most."""


def _solve_numbers(
    columns: Sequence[Column], rows: Sequence[Row], settings: Settings, gap: float
) -> tuple[Sequence[float] | None, bool]:
    """The unknowns of the solution that costs least, if one is found, and whether it is known that there is none."""
    import highspy

    lows, highs, costs, whole = map(list, zip(*columns, strict=True))
    kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
    lp = highspy.HighsLp()
    lp.num_col_, lp.col_lower_, lp.col_upper_, lp.col_cost_ = len(columns), lows, highs, costs
    lp.integrality_ = [kinds[bool(is_whole)] for is_whole in whole]
    lp.num_row_, lp.row_lower_, lp.row_upper_ = len(rows), [low for low, _, _ in rows], [high for _, _, high in rows]
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = [0, *accumulate(len(terms) for _, terms, _ in rows)]
    lp.a_matrix_.index_ = [column for _, terms, _ in rows for column, _ in terms]
    lp.a_matrix_.value_ = [coefficient for _, terms, _ in rows for _, coefficient in terms]
    options = {**HIGHS_OPTIONS, **NUMBERS_OPTIONS, "mip_max_nodes": settings.most_nodes}
    solver, holder = _Highs({}, settings, gapAbs=gap, **options), SimpleNamespace()
    with _silence_stdout():
        solver.createAndConfigureSolver(holder)
        holder.solverModel.passModel(lp)
        solver.callSolver(holder)
    status, info = holder.solverModel.getModelStatus(), holder.solverModel.getInfo()
    if status == highspy.HighsModelStatus.kMemoryLimit:
        raise MemoryError(holder.solverModel.modelStatusToString(status))
    if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        return holder.solverModel.getSolution().col_value, True
    impossible = {highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible}
    return None, status in impossible


class BagSolver:
    """Solves the programmes of bags; their unknowns then hold the solution with the least objective.

    It is always HiGHS, whichever solver found the order. The time limit counts from `began`, in seconds of `clock`; the
    solver is late once PART_FOR_GOOD of the time left at its creation is over.
    """

    def __init__(self, settings: Settings, began: float, clock: Callable[[], float] = monotonic) -> None:
        self._clock = clock
        self._ends_at, self._late_at = inf, inf
        if settings.time_limit_s is not None:
            self._ends_at, now = began + settings.time_limit_s, clock()
            self._late_at = now + PART_FOR_GOOD * (self._ends_at - now)

    def is_late(self) -> bool:
        """Whether so little time is left that any filling will do."""
        return self._clock() >= self._late_at

    def __call__(self, lp: pulp.LpProblem, objective: pulp.LpAffineExpression, thorough: bool, /) -> bool:
        """Search a little; if nothing is found and `thorough` is set, search longer. TimeIsUpError if time is over."""
        gap = ANY_WILL_DO if self.is_late() else NEAR_ENOUGH
        for most_nodes in (FEW_NODES, MANY_NODES) if thorough else (FEW_NODES,):
            limited = Settings(time_limit_s=self._left_s(), most_nodes=most_nodes)
            outcome = minimise(lp, objective, limited, gap=gap)
            if outcome.solved:
                return True
            if outcome.ending is Ending.INFEASIBLE:
                break  # however long it searches, there is nothing to find
        self._left_s()  # raises if time is up: what was not found for lack of time may still exist
        return False

    def least(self, columns: Sequence[Column], rows: Sequence[Row], /) -> Sequence[float] | None:
        """The values of the unknowns in the solution that costs least; None where none is found.

        It searches longer where nothing is found at first. TimeIsUpError if time is over.
        """
        for most_nodes in (FEW_NODES, MANY_NODES):
            limited = Settings(time_limit_s=self._left_s(), most_nodes=most_nodes)
            values, is_settled = _solve_numbers(columns, rows, limited, ANY_WILL_DO if self.is_late() else NEAR_ENOUGH)
            if values is not None or is_settled:
                return values
        self._left_s()  # raises if time is up: what was not found for lack of time may still exist
        return None

    def _left_s(self) -> float | None:
        """The time that is left; None where it is not limited."""
        if self._ends_at == inf:
            return None
        left_s = self._ends_at - self._clock()
        if left_s <= LEAST_S:
            raise TimeIsUpError
        return left_s
