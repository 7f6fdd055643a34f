"""How the command ends: 0 plan, 1 no plan, 2 refused, 3 our mistake, 4 not proved, 130 interrupted.

**Source:** the command's own help; 130 is what shells report for a command ended by an interrupt.
"""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from raworder.cli import main
from tests.commands.running import IMPOSSIBLE, OWNER, ROOT, SCENARIOS, SMALLEST, command, ran, surroundings, told
from tests.drawn import few

BREACH = """
import raworder.workflow as workflow
from raworder.trade.plan import Breach
workflow.audit = lambda scenario, plan: (Breach("cap", "Maple", "more heart than the cap allows"),)
"""
STOPPED_EARLY = """
import raworder.solving.search as search
from dataclasses import replace
from raworder.solving.solver import Ending
solved = search.minimise
def stopped(*given, **more):
    outcome = solved(*given, **more)
    return replace(outcome, ending=Ending.FEASIBLE, bound=outcome.bound - 3)
search.minimise = stopped
"""
BROKEN = """
import raworder.reporting.all_papers as papers
def papers_of(plan):
    raise ValueError("no such thing")
papers.papers = papers_of
"""
BIG = """
import raworder.reading.scenario_file as reading
from tests.drawn import few
from tests.speed.big import big_scenario
reading.read_scenario = lambda path: reading.Reading(big_scenario(dogs=60, offers=300), ())
"""


def test_a_plan_ends_with_0_and_says_nothing_on_standard_error() -> None:
    ended = told("plan", OWNER)
    assert (ended.code, ended.stderr) == (0, "")
    assert "Proved: no order" in ended.stdout


@pytest.mark.slow
def test_no_plan_ends_with_1_and_its_reasons_are_the_result() -> None:
    ended = told("plan", IMPOSSIBLE)
    assert (ended.code, ended.stderr) == (1, "")
    assert "bone at least 8 % for Maple" in ended.stdout


@pytest.mark.slow
def test_no_plan_is_told_even_when_another_paper_was_asked_for() -> None:
    assert told("plan", IMPOSSIBLE, "--paper", "costs").stdout == told("plan", IMPOSSIBLE).stdout


@pytest.mark.slow
@pytest.mark.parametrize("name", ["plan", "check"])
def test_a_refused_scenario_ends_with_2_and_its_findings_are_on_standard_error(name: str, tmp_path: Path) -> None:
    file = tmp_path / "one.yaml"
    file.write_text(OWNER.read_text(encoding="utf-8").replace("ration:", "rashion:"), encoding="utf-8")
    ended = ran(name, file)
    assert (ended.code, ended.stdout) == (2, "")
    assert ended.stderr.startswith("error[")
    assert f" --> {file.as_posix()}:8:" in ended.stderr
    assert "Traceback" not in ended.stderr


@pytest.mark.parametrize("name", ["plan", "check"])
def test_a_missing_file_and_a_folder_end_with_2(name: str, tmp_path: Path) -> None:
    missing, folder = told(name, tmp_path / "none.yaml"), told(name, tmp_path)
    assert (missing.code, missing.stdout) == (2, "")
    assert missing.stderr.startswith("error[no-such-file]")
    assert (folder.code, folder.stdout) == (2, "")
    assert folder.stderr.startswith("error[not-a-file]")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("plot",), "No such command 'plot'"),
        (("plan", OWNER, "--cheap"), "No such option"),
        (("plan",), "Missing argument 'SCENARIO'"),
        (("plan", OWNER, "--solver", "abacus"), "'abacus' is not one of"),
        (("plan", OWNER, "--paper", "news"), "'news' is not one of"),
        (("plan", OWNER, "--time-limit", "soon"), "'soon' is not a valid float"),
        (("plan", OWNER, "--time-limit", "0"), "0"),
        (("plan", OWNER, "--time-limit", "nan"), "a number of seconds"),
        (("plan", OWNER, "--time-limit", "inf"), "a number of seconds"),
        (("help", "no-such-thing"), "`no-such-thing`"),
    ],
)
def test_wrong_usage_ends_with_2_and_says_what_is_wrong(arguments: tuple[str | Path, ...], says: str) -> None:
    ended = told(*arguments)
    assert (ended.code, ended.stdout) == (2, "")
    assert says in ended.stderr


def test_wrong_usage_is_told_without_a_traceback_by_the_command_itself() -> None:
    ended = ran("plan", SMALLEST, "--cheap")
    assert (ended.code, ended.stdout) == (2, "")
    assert "No such option" in ended.stderr
    assert "Traceback" not in ended.stderr


@pytest.mark.slow
@pytest.mark.parametrize("options", [(), ("--json",)])
def test_a_plan_that_the_audit_finds_at_fault_is_withheld_with_3(options: tuple[str, ...], tmp_path: Path) -> None:
    file = tmp_path / "papers.md"
    ended = ran("plan", SMALLEST, "--markdown", file, *options, first=BREACH)
    assert (ended.code, ended.stdout) == (3, "")
    assert "cap: Maple: more heart than the cap allows" in ended.stderr
    assert not any(letter.isdigit() for letter in ended.stderr)
    assert not file.exists()


@pytest.mark.slow
@pytest.mark.parametrize("asked", [("plan", SMALLEST), ("nourish", SMALLEST), ("compare", OWNER), ("worth", SMALLEST)])
def test_a_plan_at_fault_is_told_alike_whatever_was_asked(asked: tuple[str, Path]) -> None:
    ended = ran(*asked, first=BREACH)
    assert (ended.code, ended.stdout) == (3, "")
    first, breach = ended.stderr.splitlines()
    assert first == "raworder: our audit found the plan at fault, so it is not shown; please report this:"
    assert breach == "  cap: Maple: more heart than the cap allows"


@pytest.mark.slow
def test_a_mistake_of_ours_is_one_line_and_3(tmp_path: Path) -> None:
    file = tmp_path / "papers.md"
    ended = ran("plan", SMALLEST, "--markdown", file, first=BROKEN)
    assert (ended.code, ended.stdout) == (3, "")
    assert ended.stderr.startswith("raworder: this is a mistake of raworder's own (ValueError: no such thing)")
    assert ended.stderr.count("\n") == 1
    assert not file.exists()


@pytest.mark.slow
def test_a_mistake_of_ours_shows_where_when_that_is_asked_for() -> None:
    ended = ran("plan", SMALLEST, first=BROKEN, variables={"RAWORDER_TRACEBACK": "1"})
    assert "Traceback" in ended.stderr


@pytest.mark.slow
def test_a_plan_that_is_not_proved_is_shown_with_4_and_says_so() -> None:
    ended = ran("plan", SMALLEST, first=STOPPED_EARLY)
    assert (ended.code, ended.stderr) == (4, "")
    assert "Not proved to be the cheapest" in ended.stdout
    assert "Proved:" not in ended.stdout
    assert "Portions a day" in ended.stdout


@pytest.mark.slow
def test_a_plan_that_is_not_proved_is_told_to_programs_too() -> None:
    ended = ran("plan", SMALLEST, "--json", first=STOPPED_EARLY)
    assert ended.code == 4
    assert json.loads(ended.stdout)["ended"] == "not_proved"


@pytest.mark.slow
@pytest.mark.parametrize("solver", ["highs", "cbc"])
def test_a_time_limit_too_short_for_any_plan_ends_with_4_and_never_says_cheapest(solver: str) -> None:
    ended = told("plan", SCENARIOS / "volunteer.yaml", "--time-limit", "0.01", "--solver", solver)
    assert ended.code == 4
    assert "Proved:" not in ended.stdout
    assert "impossible" not in ended.stdout
    assert "Not proved" in ended.stdout or "No plan was found, but there may be one" in ended.stdout


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="needs a terminal to watch a solve on")
def test_a_long_solve_tells_how_it_goes_and_two_interrupts_end_it_with_one_line_and_130(tmp_path: Path) -> None:
    import pty

    ours, theirs = pty.openpty()
    results = tmp_path / "stdout"
    with results.open("wb") as stdout:
        running = subprocess.Popen(
            command("plan", "any.yaml", "--prove", first=BIG),
            cwd=ROOT,
            env=surroundings(),
            stdout=stdout,
            stderr=theirs,
        )
    os.close(theirs)
    said = b""
    while b"solving for" not in said:
        said += os.read(ours, 1000)
    running.send_signal(signal.SIGINT)
    while b"Ending with the best" not in said:
        said += os.read(ours, 1000)
    running.send_signal(signal.SIGINT)
    after = _rest(ours)
    assert running.wait(timeout=20) == 130
    assert after.split(b"\r\n")[-2:] == [b"raworder: interrupted", b""]
    assert b"Traceback" not in said + after
    assert results.read_bytes() == b""


def _rest(terminal: int) -> bytes:
    """All that is still written to a terminal, until the other end closes it."""
    said = b""
    try:
        while more := os.read(terminal, 1000):
            said += more
    except OSError:  # how a closed terminal is told
        pass
    finally:
        os.close(terminal)
    return said


NO_MEMORY = "raworder: there is not enough memory for this; close other programs, or raise the limit that is set\n"


@pytest.mark.parametrize(
    "error",
    [
        MemoryError(),
        ImportError("libopenblas.so: failed to map segment from shared object"),
        ImportError("libhighs.so: cannot allocate memory in static TLS block"),
    ],
)
def test_where_there_is_no_memory_one_line_says_so_with_2(
    error: Exception, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(*_: object) -> None:
        raise error

    monkeypatch.setattr("raworder.workflow.plan_batch", fail)
    monkeypatch.setattr(sys, "argv", ["raworder", "plan", str(OWNER)])
    monkeypatch.setattr("raworder.cli.threading", SimpleNamespace(enumerate=tuple))  # pytest has threads of its own
    with pytest.raises(SystemExit) as ended:
        main()
    assert (ended.value.code, *capsys.readouterr()) == (2, "", NO_MEMORY)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="needs a limit on addresses")
@few("kilobytes", [140_000, 150_000, 300_000, 1_200_000], 2)
def test_with_little_memory_there_is_a_plan_or_one_line_and_no_endless_wait(kilobytes: int) -> None:
    """With 300,000 the thread that solves once asked the system anew for every number, and took over a minute."""
    limit = f"import resource; resource.setrlimit(resource.RLIMIT_AS, ({kilobytes * 1024},) * 2)"
    words = command("plan", SCENARIOS / "smallest.yaml", first=limit)
    ended = subprocess.run(words, cwd=ROOT, env=surroundings(), capture_output=True, text=True, check=False, timeout=40)
    assert (ended.returncode, ended.stderr) in {(0, ""), (2, NO_MEMORY)}
    assert bool(ended.stdout) == (ended.returncode == 0)
    assert ended.returncode == 0 or kilobytes < 300_000
