"""`--owner`: each command prints what one owner needs, and says who the owners are where it knows none of that name.

**Source:** the commands' own help; no outside source.
"""

import json
from pathlib import Path

import pytest

from tests.commands.running import SCENARIOS, SMALLEST, told

HOUSEHOLD = SCENARIOS / "household.yaml"
COMMANDS = ("settle", "calendar", "labels", "portion")


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A saved plan of the household."""
    path = tmp_path_factory.mktemp("owners") / "plan.json"
    path.write_text(told("plan", HOUSEHOLD, "--json").stdout)
    return path


def test_a_name_that_no_dog_has_is_refused_with_the_nearest() -> None:
    for command in ("plan", *COMMANDS):
        ended = told(command, HOUSEHOLD, "--owner", "Inez")
        assert ended.code == 2
        assert "no owner is called `Inez`: did you mean `Ines`?" in ended.stderr


def test_where_no_dog_has_an_owner_it_says_what_to_write() -> None:
    for command in ("plan", *COMMANDS):
        ended = told(command, SMALLEST, "--owner", "Ines")
        assert ended.code == 2
        assert "write `owner: NAME` under each dog" in ended.stderr


def test_owner_and_dog_are_not_both_chosen() -> None:
    ended = told("labels", HOUSEHOLD, "--owner", "Ines", "--dog", "Sorrel")
    assert ended.code == 2
    assert "take one of them" in ended.stderr


def test_a_page_is_printed_alone() -> None:
    for more in (("--all",), ("--paper", "costs")):
        ended = told("plan", HOUSEHOLD, "--owner", "Ines", *more)
        assert ended.code == 2
        assert "prints one owner's page alone" in ended.stderr


@pytest.mark.slow
def test_the_plan_of_an_owner_is_one_page() -> None:
    printed = json.loads(told("plan", HOUSEHOLD, "--owner", "ines", "--json").stdout)
    assert [paper["key"] for paper in printed["papers"]] == ["household"]
    assert printed["papers"][0]["title"] == "Ines: Bramble and Sorrel"


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS)
def test_what_an_owner_gets_is_about_the_own_dogs_alone(command: str, saved: Path) -> None:
    ended = told(command, HOUSEHOLD, "--plan", saved, "--owner", "okoro")
    assert ended.code == 0
    assert "Okoro" in ended.stdout or "Thistle" in ended.stdout
    assert not any(name in ended.stdout for name in ("Bramble", "Sorrel", "Old Fern"))


@pytest.mark.slow
def test_calendars_of_two_owners_have_no_event_in_common_and_stay_the_same(saved: Path, tmp_path: Path) -> None:
    uids = {}
    for name in ("Ines", "Okoro", "Ines again"):
        path = tmp_path / f"{name}.ics"
        told("calendar", HOUSEHOLD, "--plan", saved, "--owner", name.split()[0], "--ics", path)
        uids[name] = {line for line in path.read_text().splitlines() if line.startswith("UID:")}
    assert uids["Ines"] == uids["Ines again"] != set()
    assert not uids["Ines"] & uids["Okoro"]
