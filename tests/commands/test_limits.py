"""The limits of a command: how much it shows of what is wrong, and that the time for reading counts."""

from pathlib import Path
from unittest.mock import patch

import pytest

from raworder.commands import desk
from raworder.commands.desk import MOST_FINDINGS
from tests.commands.running import OWNER, told
from tests.reading.written import a_text


@pytest.fixture
def spoilt(tmp_path: Path) -> Path:
    """A scenario with more mistakes than are shown."""
    path = tmp_path / "scenario.yaml"
    path.write_text(a_text(cuts="\n".join(f"  - {{cut: kale {n}, price: 2 per kg}}" for n in range(MOST_FINDINGS + 7))))
    return path


@pytest.mark.parametrize("command", ["check", "plan", "reasons", "portion", "compare"])
def test_the_first_findings_are_shown_and_the_rest_is_counted(command: str, spoilt: Path) -> None:
    ended = told(command, spoilt)
    assert ended.code == 2
    assert ended.stderr.count("error[") == MOST_FINDINGS
    assert ended.stderr.endswith("\nand 7 more: 7 of `unknown-cut`; --all-findings shows them all\n")


@pytest.mark.slow
@pytest.mark.parametrize("command", ["check", "plan", "compare"])
def test_all_findings_are_shown_where_that_is_asked_for(command: str, spoilt: Path) -> None:
    ended = told(command, spoilt, "--all-findings")
    assert ended.stderr.count("error[") == MOST_FINDINGS + 7
    assert " more: " not in ended.stderr


def test_time_that_reading_took_is_not_there_for_solving() -> None:
    with patch.object(desk, "monotonic", side_effect=[100.0, 170.0]):
        ended = told("plan", OWNER, "--time-limit", "60")
    assert ended.code == 4
    said = " ".join(ended.stdout.split())
    assert "reading what was named took all of the time limit, so no order was searched for" in said
    assert "Give it more time" in said
