"""A saved plan that was edited by hand is refused, whatever was changed in it; what may be changed is not read at all.

**Source:** the house's own rules; no outside source.
"""

import copy
import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pydantic import TypeAdapter

from raworder.reading import saved_plan
from raworder.reading.saved_plan import read_plan
from raworder.reading.scenario_file import read_scenario
from raworder.trade.fingerprint import fingerprint
from tests.commands.running import SCENARIOS, told

SMALLEST = SCENARIOS / "smallest.yaml"
Way = tuple[str | int, ...]

NOT_READ = {
    "ended": "the exit code told it to whoever ran the command; a saved plan is one that there is",
    "papers": "they are made anew from the plan",
    "proof": "it stands in the plan as well, where it is read; here it is for programs that look no deeper",
}
"""What of a saved plan nothing is made from, each with the reason."""


@pytest.fixture(scope="module")
def printed() -> dict[str, Any]:
    whole: dict[str, Any] = json.loads(told("plan", SMALLEST, "--json").stdout)
    return whole


def leaves(node: object, way: Way = ()) -> Iterator[Way]:
    """The way to every value that holds no other, empty lists and objects too."""
    steps = list(node) if isinstance(node, dict) else list(range(len(node))) if isinstance(node, list) else []
    if not steps:
        yield way
    for step in steps:
        yield from leaves(node[step], (*way, step))  # type: ignore[index]  # it has steps


def edited(whole: Any, way: Way) -> Any:
    """The whole with another value of the same type at the end of the way."""
    spoilt = copy.deepcopy(whole)
    node = spoilt
    for step in way[:-1]:
        node = node[step]
    node[way[-1]] = another(node[way[-1]])
    return spoilt


def another(value: object) -> object:
    """Another value that a careful person might write there."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, int):
        return value + 1
    if isinstance(value, str) and value[-1:].isdigit():  # a day, money, a share, a number
        return f"{value[:-1]}{(int(value[-1]) + 1) % 10}"
    return f"{value}A" if isinstance(value, str) else "0.01" if value is None else ["x"]


@pytest.mark.slow
def test_whatever_value_of_a_saved_plan_is_changed_by_hand_it_is_refused(
    printed: dict[str, Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    scenario = read_scenario(SMALLEST).scenario
    assert scenario is not None
    of_scenario = fingerprint(scenario)  # it is the same each time, and long in the making, as is an adapter
    monkeypatch.setattr(saved_plan, "fingerprint", lambda noun: of_scenario if noun is scenario else fingerprint(noun))
    monkeypatch.setattr(saved_plan, "TypeAdapter", cache(TypeAdapter))
    path = tmp_path / "plan.json"
    short = {key: value for key, value in printed.items() if key not in NOT_READ}
    path.write_text(json.dumps(short))
    as_printed = read_plan(path, scenario)
    assert as_printed.plan is not None
    ways = list(leaves(short))
    assert {"kind", "phase", "day", "topped_up", "proved", "least_kinds"} <= {step for way in ways for step in way}
    taken = []
    for way in ways:
        path.write_text(json.dumps(edited(short, way)))
        if read_plan(path, scenario).plan is not None:
            taken.append(way)
    assert taken == []


@pytest.mark.slow
def test_what_is_not_refused_when_it_is_changed_is_not_read(printed: dict[str, Any], tmp_path: Path) -> None:
    assert NOT_READ.keys() < printed.keys()
    scenario = read_scenario(SMALLEST).scenario
    assert scenario is not None
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(printed))
    as_printed = read_plan(path, scenario)
    for key in NOT_READ:
        for content in (printed | {key: [{"kind": "A", "phase": 7}]}, {k: v for k, v in printed.items() if k != key}):
            path.write_text(json.dumps(content))
            assert read_plan(path, scenario) == as_printed


@pytest.mark.parametrize(("field", "value"), [("kind", "B"), ("day", "2027-02-07"), ("phase", 2)])
def test_a_changed_kind_day_or_phase_ends_the_command(
    field: str, value: object, printed: dict[str, Any], tmp_path: Path
) -> None:
    path, whole = tmp_path / "plan.json", copy.deepcopy(printed)
    (whole["plan"]["stations"] if field == "phase" else whole["plan"]["bags"])[0][field] = value
    path.write_text(json.dumps(whole))
    ended = told("portion", SMALLEST, "--plan", path)
    assert (ended.code, ended.stdout) == (2, "")
    assert "error[damaged-plan]: the plan was altered after it was printed" in ended.stderr


def test_a_plan_that_does_not_tell_its_own_fingerprint_is_refused(printed: dict[str, Any], tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_text(json.dumps({key: value for key, value in printed.items() if key != "plan_fingerprint"}))
    ended = told("portion", SMALLEST, "--plan", path)
    assert (ended.code, ended.stdout) == (2, "")
    assert "the file has no `plan_fingerprint`" in ended.stderr
