"""How fast it is: run `python -m tests.speed.bench` in the project's folder, and it prints a table.

It is run on demand and is no test: times depend on the machine and on what else it does, so nothing passes or fails by
them. Read the ratios, which come from one run, and compare times only with times of the same run.

    python -m tests.speed.bench                          everything; `--limit` ends what takes longer than ten minutes
    python -m tests.speed.bench --only rescue45          one part, or several: the cases, `help`, `questions`, `cluster`
    python -m tests.speed.bench mine.yaml                scenarios of your own
    python -m tests.speed.bench --repeats 5 --json       the median of five; for programs

- A case is `raworder plan CASE --json`, which makes bags and every paper, in a process of its own: seconds on the
  clock, seconds of the processor, the most memory held, when the first order was told, the cost and the bound claimed.
- Beside it stands bare HiGHS, in a process of its own too: the project's matrix of the order without pieces, one
  thread, a gap of 0.1 %, all else as HiGHS has it. Neither reading nor building counts. `x bare` is the ratio of times
  on the clock, `x cpu` that of the processor's, which other programs hardly disturb.
- `questions` are the commands that ask about the plan of 45 dogs, as multiples of that plan in the same run.
- `cluster` is `raworder prices` in line and by a cluster of two workers on this machine; the output must be the same.
"""

import argparse
import json
import os
import platform
import pty
import select
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from re import compile as pattern
from statistics import median
from time import monotonic, perf_counter, process_time
from types import MappingProxyType
from typing import Any

from tests.speed.rescues import SIZES, rescue_text

ROOT = Path(__file__).resolve().parents[2]
START = (sys.executable, "-c", "import sys; sys.argv[0] = 'raworder'; from raworder.cli import main; main()")
BARE = (sys.executable, "-m", "tests.speed.bench", "--bare")
GAP = 0.001
LIMIT_S = 600
LOOK_S = 0.2
KB_OF_A_MB = 1024
FIRST_RESULT = pattern(rb"best so far [\d.]+|[1-9]\d* of \d+ questions answered")
"""What a command tells on a terminal as soon as it has an order, or an answer."""

INVENTED: Mapping[str, Callable[[], str]] = MappingProxyType(
    {
        "rescue45": lambda: rescue_text(SIZES["45"]),
        "energy45": lambda: rescue_text(SIZES["45"], by_energy=True),
        "tub45": lambda: rescue_text(SIZES["45"], tubs=True),
        "rescue120": lambda: rescue_text(SIZES["120"]),
        "energy120": lambda: rescue_text(SIZES["120"], by_energy=True),
        "rescue400": lambda: rescue_text(SIZES["400"]),
        "energy400": lambda: rescue_text(SIZES["400"], by_energy=True),
        "rescue2000": lambda: rescue_text(SIZES["2000"]),
    }
)
SHIPPED = ("owner", "household", "volunteer")
ASKED = "rescue45"
"""The case that questions are asked about."""

QUESTIONS: Mapping[str, Sequence[str]] = MappingProxyType(
    {
        "compare": (),
        "instead": (),
        "worth": (),
        "nicer": (),
        "whatif": ("price of beef +10 %", "room 900 kg", "budget 2000.00"),
        "prices": (),
    }
)
"""The commands that ask, with what they are asked beside the file."""


@dataclass(frozen=True)
class Ran:
    """What a command spent and printed; the exit code is None where it was ended for taking too long."""

    wall_s: float
    cpu_s: float
    peak_mb: float
    first_word_s: float | None
    first_result_s: float | None
    code: int | None
    printed: bytes

    def said(self) -> dict[str, Any]:
        """What it printed as JSON; empty where it came to none."""
        begins = self.printed.find(b"{")  # a solver's banner may come before
        return {} if self.code is None or begins < 0 else dict(json.loads(self.printed[begins:]))


@dataclass
class Heard:
    """What was read from a command, and when its first word and its first result came."""

    text: bytes = b""
    printed: bytes = b""
    first_word_s: float | None = None
    first_result_s: float | None = None

    def note(self, read: bytes, at_s: float, *, is_printed: bool) -> None:
        """Keep what was printed, or told on the terminal, at so many seconds."""
        self.printed, self.text = (self.printed + read, self.text) if is_printed else (self.printed, self.text + read)
        self.first_word_s = at_s if self.first_word_s is None else self.first_word_s
        if self.first_result_s is None and FIRST_RESULT.search(self.text):
            self.first_result_s = at_s


def run(words: Sequence[str], limit_s: float = LIMIT_S) -> Ran:
    """Run a command with a terminal for its messages, until its end or the limit."""
    began, heard, is_late = monotonic(), Heard(), False
    ours, its = pty.openpty()
    with subprocess.Popen(words, cwd=ROOT, stdout=subprocess.PIPE, stderr=its, start_new_session=True) as process:
        os.close(its)
        printing = process.stdout.fileno() if process.stdout else ours
        open_ = {ours, printing}
        while open_:
            for source in select.select(open_, [], [], LOOK_S)[0]:
                if read := _read(source):
                    heard.note(read, monotonic() - began, is_printed=source == printing)
                else:
                    open_.remove(source)
            if not is_late and monotonic() - began > limit_s:
                is_late = True
                os.killpg(process.pid, signal.SIGKILL)  # it and what it started, and nothing else
        _, status, spent = os.wait4(process.pid, 0)
        wall_s, process.returncode = monotonic() - began, os.waitstatus_to_exitcode(status)
    os.close(ours)
    code, cpu_s = None if is_late else process.returncode, spent.ru_utime + spent.ru_stime
    first_s = heard.first_word_s, heard.first_result_s
    return Ran(wall_s, cpu_s, spent.ru_maxrss / KB_OF_A_MB, *first_s, code, heard.printed)


def _read(source: int) -> bytes:
    """What can be read; nothing at the end."""
    try:
        return os.read(source, 1 << 16)
    except OSError:  # so a terminal says that nobody writes to it any more
        return b""


def bare(path: Path, limit_s: float) -> dict[str, Any]:
    """What bare HiGHS spends on the order without pieces, and what it finds; to be called in a process of its own."""
    import highspy
    import pulp

    from raworder.reading.scenario_file import read_scenario
    from raworder.solving.objective import cost
    from raworder.solving.search import build

    scenario = read_scenario(path).scenario
    assert scenario is not None, f"{path} is not read"
    problem = build(scenario, whole=False)
    problem.lp.setObjective(cost(problem))
    by_pulp = pulp.HiGHS(msg=False)
    by_pulp.createAndConfigureSolver(problem.lp)
    by_pulp.buildSolverModel(problem.lp)
    highs: Any = highspy.Highs()
    options = {"output_flag": False, "threads": 1, "mip_rel_gap": GAP, "time_limit": float(limit_s)}
    for name, value in options.items():
        highs.setOptionValue(name, value)
    highs.passModel(problem.lp.solverModel.getLp())
    began_s, began_cpu_s = perf_counter(), process_time()
    highs.run()
    info = highs.getInfo()
    return {
        "wall_s": perf_counter() - began_s,
        "cpu_s": process_time() - began_cpu_s,
        "cost": info.objective_function_value,
        "bound": info.mip_dual_bound,
        "status": highs.modelStatusToString(highs.getModelStatus()),
        "dogs": len(scenario.dogs),
        "groups": len(problem.groups),
        "columns": highs.getNumCol(),
        "rows": highs.getNumRow(),
    }


def plan_beside_bare(path: Path, repeats: int, limit_s: float) -> dict[str, Any]:
    """A whole plan and bare HiGHS, in turns: medians, ratios, and what both found."""
    plans, bares = [], []
    for _ in range(repeats):
        plans.append(run([*START, "plan", str(path), "--json"], limit_s))
        bares.append(run([*BARE, str(path), "--limit", str(limit_s)], 2 * limit_s).said())
        assert all(bares), f"HiGHS by itself failed: run `python -m tests.speed.bench --bare {path}`"
    told = _medians(plans)
    told |= {f"bare_{key}": value for key, value in bares[-1].items()}
    for key in ("wall", "cpu"):
        told[f"bare_{key}_s"] = median(one[f"{key}_s"] for one in bares)
        told[f"times_bare_{key}"] = told[f"{key}_s"] / told[f"bare_{key}_s"]
    said = plans[-1].said()
    if "plan" in said:
        cost = sum(float(bill[part]) for bill in said["plan"]["bills"] for part in ("goods", "delivery", "tax", "trip"))
        told |= {"cost": cost, "bound": float(said["proof"]["bound"]), "proved": said["proof"]["proved"]}
    return told


def _medians(ran: Sequence[Ran]) -> dict[str, Any]:
    """The medians of what several runs spent, and how the last ended; a moment that no run knows is None."""
    told: dict[str, Any] = {}
    for key in ("wall_s", "cpu_s", "peak_mb", "first_word_s", "first_result_s"):
        known = [figure for one in ran if (figure := getattr(one, key)) is not None]
        told[key] = median(known) if known else None
    return told | {"code": ran[-1].code, "all_wall_s": [one.wall_s for one in ran]}


def time_help(repeats: int) -> dict[str, Any]:
    """Milliseconds of `--help`, of its first word, and of starting Python alone, in turns."""
    pairs = [(run([*START, "--help"]), run([sys.executable, "-c", "pass"])) for _ in range(repeats * 5)]
    return {
        "help_ms": 1000 * median(asked.wall_s for asked, _ in pairs),
        "first_word_ms": 1000 * median(asked.first_word_s or asked.wall_s for asked, _ in pairs),
        "python_ms": 1000 * median(empty.wall_s for _, empty in pairs),
    }


def ask_questions(path: Path, repeats: int, limit_s: float) -> dict[str, Any]:
    """What each question takes, beside the plan that it is about."""
    told: dict[str, Any] = {}
    for name, beside in (("plan", ()), *QUESTIONS.items()):
        ran = _medians([run([*START, name, str(path), *beside, "--json"], limit_s) for _ in range(repeats)])
        plan = told.get("plan", ran)
        told[name] = ran | {f"times_plan_{key}": ran[f"{key}_s"] / plan[f"{key}_s"] for key in ("wall", "cpu")}
    return told


def ask_cluster(path: Path, limit_s: float, question: Sequence[str] = ("prices",)) -> dict[str, Any]:
    """What a question takes in line, and by two workers of a cluster on this machine; whether both print the same."""
    asked = [*START, question[0], str(path), *question[1:], "--json"]
    in_line = run([*asked, "--workers", "1"], limit_s)
    with two_workers() as address:
        together = run([*asked, "--cluster", address], limit_s)
    return {
        "in_line_s": in_line.wall_s,
        "two_workers_s": together.wall_s,
        "part": together.wall_s / in_line.wall_s,
        "codes": [in_line.code, together.code],
        "same_output": bool(in_line.printed) and in_line.printed == together.printed,
    }


@contextmanager
def two_workers() -> Iterator[str]:
    """The address of a scheduler on this machine with two processes that work for it, one question each at a time."""
    import distributed

    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0", host="127.0.0.1"
    ) as local:
        yield local.scheduler_address


PLAN_COLUMNS = (
    ("dogs", "bare_dogs", ""),
    ("groups", "bare_groups", ""),
    ("plan s", "wall_s", ".1f"),
    ("cpu s", "cpu_s", ".1f"),
    ("MB", "peak_mb", ".0f"),
    ("first s", "first_result_s", ".1f"),
    ("cost", "cost", ".2f"),
    ("bound", "bound", ".2f"),
    ("bare s", "bare_wall_s", ".1f"),
    ("bare bound", "bare_bound", ".2f"),
    ("x bare", "times_bare_wall", ".1f"),
    ("x cpu", "times_bare_cpu", ".1f"),
    ("exit", "code", ""),
)
QUESTION_COLUMNS = (
    ("s", "wall_s", ".1f"),
    ("cpu s", "cpu_s", ".1f"),
    ("first s", "first_result_s", ".1f"),
    ("x plan", "times_plan_wall", ".1f"),
    ("x cpu", "times_plan_cpu", ".1f"),
    ("exit", "code", ""),
)
Columns = Sequence[tuple[str, str, str]]
"""The head of each column, the figure that stands in it, and how it is written."""


def table(first: str, rows: Mapping[str, Mapping[str, Any]], columns: Columns) -> str:
    """The figures of each row in columns, aligned at their right; `-` where there is none, `late` for no exit code."""
    lines = [[first, *(head for head, _, _ in columns)]]
    for name, figures in rows.items():
        lines.append([name, *(_cell(key, figures.get(key), form) for _, key, form in columns)])
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return "\n".join(
        "  ".join(cell.rjust(width) if place else cell.ljust(width) for place, (cell, width) in enumerate(pairs))
        for pairs in (list(zip(line, widths, strict=True)) for line in lines)
    )


def _cell(key: str, figure: Any, form: str) -> str:
    if figure is None:
        return "late" if key == "code" else "-"
    return format(figure, form)


def measure(wanted: Sequence[str], files: Sequence[Path], repeats: int, limit_s: float) -> Iterator[tuple[str, Any]]:
    """Each part that was asked for, as soon as it is measured: its name and its figures."""
    with tempfile.TemporaryDirectory() as folder:
        cases = {name: ROOT / "scenarios" / f"{name}.yaml" for name in SHIPPED} | {path.stem: path for path in files}
        for name, text in INVENTED.items():
            cases[name] = Path(folder, f"{name}.yaml")
            cases[name].write_text(text(), encoding="utf-8")
        if "help" in wanted:
            yield "help", time_help(repeats)
        for name in (name for name in cases if name in wanted):
            yield name, plan_beside_bare(cases[name], repeats, limit_s)
        if "questions" in wanted:
            yield "questions", ask_questions(cases[ASKED], repeats, limit_s)
        if "cluster" in wanted:
            yield "cluster", ask_cluster(cases[ASKED], limit_s)


def show(name: str, figures: Mapping[str, Any]) -> str:
    """The figures of a part as people read them."""
    if name == "questions":
        return table(f"about {ASKED}", figures, QUESTION_COLUMNS)
    if name in {"help", "cluster"}:
        return f"{name}: " + ", ".join(f"{key} {_rounded(value)}" for key, value in figures.items())
    return table("plan", {name: figures}, PLAN_COLUMNS)


PARTS = ("help", *SHIPPED, *INVENTED, "questions", "cluster")


def main() -> None:
    """Measure what was asked for and print it."""
    parser = argparse.ArgumentParser(prog="python -m tests.speed.bench", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("files", nargs="*", type=Path, metavar="FILE", help="scenarios of your own")
    parser.add_argument("--only", choices=PARTS, action="append", default=[])
    parser.add_argument("--repeats", type=int, default=1)
    parser.add_argument("--limit", type=float, default=LIMIT_S, metavar="SECONDS")
    parser.add_argument("--json", action="store_true", dest="as_json")
    parser.add_argument("--bare", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.bare:
        sys.stdout.write(json.dumps(bare(asked.bare, asked.limit)) + "\n")
        return
    files = [path.resolve() for path in asked.files]
    wanted = [*asked.only, *(path.stem for path in files)] or PARTS
    told = {}
    for name, figures in measure(wanted, files, asked.repeats, asked.limit):
        told[name] = figures
        if not asked.as_json:
            sys.stdout.write(show(name, figures) + "\n")
            sys.stdout.flush()
    if asked.as_json:
        sys.stdout.write(json.dumps({"python": platform.python_version()} | _rounded(told), indent=2) + "\n")


def _rounded(value: Any) -> Any:
    """Numbers to a thousandth, wherever they stand."""
    if isinstance(value, dict):
        return {key: _rounded(each) for key, each in value.items()}
    if isinstance(value, list):
        return [_rounded(each) for each in value]
    return round(value, 3) if isinstance(value, float) else value


if __name__ == "__main__":
    main()
