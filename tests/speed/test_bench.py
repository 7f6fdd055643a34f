"""The benchmark's own pieces, on a tiny case; nothing here depends on how long anything takes."""

import sys
from pathlib import Path

import pytest

from raworder.reading.scenario_file import read_scenario
from raworder.solving.search import ANY_CHEAPEST, Solved, search
from raworder.solving.solver import Settings
from tests.speed.bench import (
    GAP,
    INVENTED,
    PARTS,
    PLAN_COLUMNS,
    QUESTIONS,
    ROOT,
    SHIPPED,
    ask_cluster,
    bare,
    plan_beside_bare,
    run,
    show,
    table,
)
from tests.speed.studies import STUDIES

SMALLEST = ROOT / "scenarios" / "smallest.yaml"
TELLS = """
import sys
sys.stderr.write("solving: best so far 12.50")
sys.stderr.flush()
print("a banner of a solver")
print('{"a": 1}', flush=True)
sys.exit(4)
"""

MEASURES_MEMORY = """
import json, sys
from tests.speed.bench import run
sizes = {"small": 1, "large": 60_000_000}
held = {name: run([sys.executable, "-c", f"_ = bytearray({size})"]).peak_mb for name, size in sizes.items()}
print(json.dumps(held))
"""


def test_a_command_is_measured_with_what_it_printed_and_when_it_told_a_result() -> None:
    ran = run([sys.executable, "-c", TELLS])
    assert ran.said() == {"a": 1}
    assert ran.code == 4
    assert ran.first_word_s is not None
    assert ran.first_result_s is not None
    assert 0 < ran.first_word_s <= ran.first_result_s <= ran.wall_s
    assert ran.cpu_s > 0
    assert ran.peak_mb > 1  # its own is told only by what is itself small: see below


def test_messages_go_to_a_terminal_and_are_no_part_of_what_is_printed() -> None:
    ran = run([sys.executable, "-c", "import sys; print(sys.stderr.isatty()); sys.stderr.write('told')"])
    assert ran.printed == b"True\n"
    assert ran.first_result_s is None


def test_what_takes_longer_than_the_limit_is_ended_with_all_it_started() -> None:
    starts = "import subprocess, sys; subprocess.run([sys.executable, '-c', 'import time; time.sleep(600)'])"
    ran = run([sys.executable, "-c", starts], limit_s=0.1)
    assert ran.code is None
    assert not ran.said()


@pytest.mark.slow
def test_the_memory_told_is_the_command_s_own() -> None:
    """Linux counts what a process held before it became the command, so what measures must itself be small."""
    told = run([sys.executable, "-c", MEASURES_MEMORY]).said()
    assert told["small"] < 40
    assert 40 < told["large"] - told["small"] < 60


@pytest.mark.slow
def test_bare_highs_finds_the_cost_of_the_order_without_pieces() -> None:
    told = bare(SMALLEST, 60)
    scenario = read_scenario(SMALLEST).scenario
    assert scenario is not None
    found = search(scenario, Settings(), ANY_CHEAPEST, whole=False)
    assert isinstance(found, Solved)
    assert found.cost.value is not None
    assert told["bound"] <= found.cost.value + 1e-6
    assert told["cost"] == pytest.approx(found.cost.value, rel=GAP)
    assert told["bound"] == pytest.approx(told["cost"], rel=GAP)
    assert (told["dogs"], told["groups"], told["status"]) == (1, 1, "Optimal")


@pytest.mark.slow
def test_a_plan_stands_beside_bare_highs_with_its_cost_bound_and_ratios() -> None:
    told = plan_beside_bare(SMALLEST, 1, 60)
    assert told["code"] == 0
    assert told["proved"]
    assert told["bare_bound"] - 0.01 <= told["bound"] <= told["cost"]
    assert told["times_bare_cpu"] == pytest.approx(told["cpu_s"] / told["bare_cpu_s"])
    assert told["times_bare_wall"] == pytest.approx(told["wall_s"] / told["bare_wall_s"])
    assert f"{told['cost']:.2f}" in show("smallest", told)


@pytest.mark.slow
def test_a_cluster_of_two_prints_the_bytes_of_the_line() -> None:
    told = ask_cluster(SMALLEST, 120)
    assert told["codes"] == [0, 0]
    assert told["same_output"]


def test_a_table_tells_what_was_late_and_what_is_not_known() -> None:
    assert table("plan", {"a": {"wall_s": 1.25, "code": None}}, PLAN_COLUMNS[2:3] + PLAN_COLUMNS[4:5]) == (
        "plan  plan s  MB\na        1.2   -"
    )
    assert table("plan", {"a": {"code": None}, "bcdef": {"code": 0}}, PLAN_COLUMNS[-1:]) == (
        "plan   exit\na      late\nbcdef     0"
    )


def test_every_question_and_every_case_can_be_asked_for() -> None:
    assert set(QUESTIONS) == set(STUDIES)
    assert set(PARTS) == {"help", *SHIPPED, *INVENTED, "questions", "cluster"}
    assert all(Path(ROOT, "scenarios", f"{name}.yaml").exists() for name in SHIPPED)
