"""How fast it is, as data: run `python -m tests.speed.bench` in the project's folder, and it prints JSON.

It is run on demand and is no test: times depend on the machine and on what else it does, so nothing passes or fails by
them. Read the ratios, which come from one run, and compare times only with times of the same run.

    python -m tests.speed.bench                    everything, a few minutes
    python -m tests.speed.bench --repeats 5        more repetitions; the median of them is told
    python -m tests.speed.bench --only commands    one part: `commands`, `big` or `dogs`

- `commands`: seconds from starting the command to its end, for `--help` and for each scenario that is shipped.
- `big`: 200 dogs in 12 groups, 600 offers, 12 suppliers. `pipeline_s` runs from the Scenario to the text of the papers.
  `bare_s` is the solver alone, on the two matrices that the pipeline handed it, with the same options and the same
  starting solution; neither building nor handing over is counted. `ratio` is the first over the second. Both are told
  by the clock and by the time that the process had a processor, which other programs do not disturb.
- `dogs`: what 200 more dogs in the same groups add: nothing to the model, and their own lines to the papers. The times
  of `solve_s` are of different amounts to feed, so they differ as two scenarios of equal size do.
"""

import argparse
import json
import platform
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from statistics import median
from time import perf_counter, process_time
from typing import Any
from unittest.mock import patch

import highspy
import pulp

from raworder.rendering.terminal import terminal
from raworder.reporting.all_papers import papers
from raworder.solving import solver
from raworder.solving.search import build
from raworder.solving.solver import HIGHS_OPTIONS, Settings
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import plan_batch
from tests.speed.big import big_scenario

ROOT = Path(__file__).resolve().parents[2]
START = [sys.executable, "-c", "import sys; sys.argv[0] = 'raworder'; from raworder.cli import main; main()"]
OPTIONS = {"output_flag": False, "threads": 1, "mip_rel_gap": 0.0, "mip_abs_gap": 0.0, **HIGHS_OPTIONS}
"""What the pipeline sets too, part of it through PuLP."""


@dataclass(frozen=True)
class Matrix:
    """A model as the solver was given it, with the solution it was to start from."""

    model: Any
    start: list[float] | None


@dataclass(frozen=True)
class Spent:
    """Seconds on the clock, and seconds that this process had a processor: the latter knows no other programs."""

    wall_s: float
    cpu_s: float

    def __add__(self, other: "Spent") -> "Spent":
        return Spent(self.wall_s + other.wall_s, self.cpu_s + other.cpu_s)


def commands(repeats: int) -> dict[str, float]:
    """Seconds of whole commands, from start to end."""
    asked = {"--help": ["--help"]}
    asked |= {path.stem: ["plan", str(path)] for path in sorted((ROOT / "scenarios").glob("*.yaml"))}
    return {name: _median_s(partial(_command, words), repeats) for name, words in asked.items()}


def big(repeats: int) -> dict[str, object]:
    """The whole pipeline beside the bare solver on the same matrices, in turns."""
    scenario = big_scenario()
    matrices, answer = recorded(scenario)
    pipelines, bares = [], []
    for _ in range(repeats):
        pipelines.append(_spent(lambda: _printed(scenario)))
        bares.append(sum((bare(matrix) for matrix in matrices), Spent(0, 0)))
    return {
        "wall": _compared([one.wall_s for one in pipelines], [one.wall_s for one in bares]),
        "cpu": _compared([one.cpu_s for one in pipelines], [one.cpu_s for one in bares]),
        "columns": matrices[0].model.num_col_,
        "rows": matrices[0].model.num_row_,
        "total": str(answer.total),
    }


def _compared(pipelines: list[float], bares: list[float]) -> dict[str, object]:
    """Medians, their ratio, and the times that they are of."""
    return {
        "pipeline_s": median(pipelines),
        "bare_s": median(bares),
        "ratio": median(pipelines) / median(bares),
        "all_pipeline_s": pipelines,
        "all_bare_s": bares,
    }


def dogs(repeats: int) -> dict[str, dict[str, float]]:
    """What dogs in groups that are there already add."""
    return {str(many): _of_so_many(big_scenario(dogs=many), repeats) for many in (200, 400)}


def recorded(scenario: Scenario) -> tuple[tuple[Matrix, ...], Plan]:
    """The matrices that the pipeline hands to HiGHS, and its plan."""
    kept: list[Matrix] = []
    run = solver._Highs.callSolver

    def record(self: Any, lp: pulp.LpProblem) -> None:
        kept.append(Matrix(lp.solverModel.getLp(), self._start))
        run(self, lp)

    with patch.object(solver._Highs, "callSolver", record):
        answer = plan_batch(scenario, Settings())
    assert isinstance(answer, Plan)
    return tuple(kept), answer


def bare(matrix: Matrix) -> Spent:
    """What the solver's run alone spends."""
    highs = highspy.Highs()
    for name, value in OPTIONS.items():
        highs.setOptionValue(name, value)
    highs.passModel(matrix.model)
    if matrix.start is not None:
        solution = highspy.HighsSolution()
        solution.col_value = matrix.start
        highs.setSolution(solution)
    spent = _spent(highs.run)
    assert highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return spent


def _of_so_many(scenario: Scenario, repeats: int) -> dict[str, float]:
    problem = build(scenario)
    matrices, _ = recorded(scenario)
    return {
        "groups": len(problem.groups),
        "columns": len(problem.lp.variables()),
        "rows": len(problem.lp.constraints()),
        "build_s": _median_s(lambda: build(scenario), repeats),
        "solve_s": median(sum(bare(matrix).wall_s for matrix in matrices) for _ in range(repeats)),
        "lines": _printed(scenario).count("\n"),
    }


def _printed(scenario: Scenario) -> str:
    """The papers of a scenario as they are printed to a pipe."""
    answer = plan_batch(scenario, Settings())
    assert isinstance(answer, Plan)
    return terminal(papers(answer), width=100, color=False)


def _command(words: list[str]) -> None:
    subprocess.run([*START, *words], cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)


def _spent(work: Callable[[], object]) -> Spent:
    began_wall, began_cpu = perf_counter(), process_time()
    work()
    return Spent(perf_counter() - began_wall, process_time() - began_cpu)


def _median_s(work: Callable[[], object], repeats: int) -> float:
    return median(_spent(work).wall_s for _ in range(repeats))


def _figures(wanted: list[str], repeats: int) -> Iterator[tuple[str, object]]:
    yield "python", platform.python_version()
    yield "highs", highspy.Highs().version()
    yield "repeats", repeats
    for name, part in (("commands", commands), ("big", big), ("dogs", dogs)):
        if name in wanted:
            yield name, part(repeats)


def main() -> None:
    """Measure what was asked for and print it."""
    parser = argparse.ArgumentParser(prog="python -m tests.speed.bench", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--only", choices=["commands", "big", "dogs"], action="append", dest="wanted")
    asked = parser.parse_args()
    with solver._silence_stdout():
        figures = dict(_figures(asked.wanted or ["commands", "big", "dogs"], asked.repeats))
    sys.stdout.write(json.dumps(_rounded(figures), indent=2) + "\n")


def _rounded(value: Any) -> Any:
    """Numbers to a thousandth, wherever they stand."""
    if isinstance(value, dict):
        return {key: _rounded(each) for key, each in value.items()}
    if isinstance(value, list):
        return [_rounded(each) for each in value]
    return round(value, 3) if isinstance(value, float) else value


if __name__ == "__main__":
    main()
