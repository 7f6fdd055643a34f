"""What reading awkward files takes, as data: run `python -m tests.speed.reading` in the project's folder.

Every file of `tests.speed.awkward` is written and read by `raworder check` in a process of its own, which ends after
30 s of the processor. Told are its size, the seconds on the clock and of the processor, these beside what a loop to ten
million takes at that moment, the most memory it held, the exit code, and the lines it wrote. The last line tells which
took more than 9 such loops, 5 s on a quiet core, or 300 MB.

    python -m tests.speed.reading                       all of them
    python -m tests.speed.reading --only "blank cells"  those whose name holds the words
"""

import argparse
import json
import resource
import subprocess
import sys
from dataclasses import asdict, dataclass
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

from tests.speed.awkward import FILES, write_file

ROOT = Path(__file__).resolve().parents[2]
LIMIT_S, MOST_LOOPS, MOST_MB = 30, 9, 300
CHECK = (
    f"import resource, sys; resource.setrlimit(resource.RLIMIT_CPU, ({LIMIT_S}, {LIMIT_S})); "
    "sys.argv[0] = 'raworder'; from raworder.cli import main; main()"
)


def loop_s() -> float:
    """Seconds of the processor for counting to ten million in a loop: 0.55 on a quiet core of a machine of 2024."""
    began, total = process_time(), 0
    for number in range(10_000_000):
        total += number
    return process_time() - began


@dataclass(frozen=True)
class Reading:
    """What reading one file took."""

    name: str
    size_kb: int
    wall_s: float
    cpu_s: float
    loops: float
    most_mb: int
    code: int
    lines: int


def measured(name: str) -> Reading:
    """What reading the file of that name takes; run in a process of its own, whose children are this one's alone."""
    with TemporaryDirectory() as folder:
        scenario = write_file(name, Path(folder))
        size = sum(one.stat().st_size for one in Path(folder).iterdir())
        began = perf_counter()
        done = subprocess.run(
            [sys.executable, "-c", CHECK, "check", str(scenario)], cwd=ROOT, capture_output=True, text=True, check=False
        )
        wall_s = perf_counter() - began
    a_loop_s = loop_s()
    spent = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu_s = spent.ru_utime + spent.ru_stime
    return Reading(
        name,
        size // 1024,
        round(wall_s, 2),
        round(cpu_s, 2),
        round(cpu_s / a_loop_s, 1),
        spent.ru_maxrss // 1024,
        done.returncode,
        (done.stdout + done.stderr).count("\n"),
    )


def main() -> None:
    """Measure the files that were asked for, one after another, and print each."""
    parser = argparse.ArgumentParser(prog="python -m tests.speed.reading", description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--only", default="", help="only files whose name holds these words")
    words = parser.parse_args().only
    found = []
    for name in (one for one in FILES if words in one):
        with get_context("spawn").Pool(1) as alone:
            found.append(alone.apply(measured, (name,)))
        sys.stdout.write(json.dumps(asdict(found[-1])) + "\n")
        sys.stdout.flush()
    over = [one.name for one in found if one.loops > MOST_LOOPS or one.most_mb > MOST_MB]
    sys.stdout.write(json.dumps({"files": len(found), "over": over}) + "\n")


if __name__ == "__main__":
    main()
