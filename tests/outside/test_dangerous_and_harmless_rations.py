"""Twenty invented rations, dangerous and harmless, and what a careful reader of the sources finds in each.

The list in `rations/expected.csv` was written before the code that gives the findings, from the rows of SR28 and what
CIQUAL lends them, from the bounds of `data/profiles.csv` and from the published needs. Every factor is a tenth or more
away from a border of its grade, and every plan is fixed by its own rules. Of the grades, not the findings, some were
set anew on second thoughts: thiamin is missed slowly, and a recalled bound that is missed by far counts in full.

**Source:** USDA SR28 by the NDB number of each cut; AAFCO, FEDIAF and NRC as the table of profiles names them; limits
on shares of the food are common practice, no source.
"""

import csv
from pathlib import Path

import pytest

from raworder.reading.scenario_file import read_scenario
from raworder.solving.solver import Settings
from raworder.trade.plan import Plan
from raworder.workflow import plan_batch

RATIONS = Path(__file__).with_name("rations")
FILES = sorted(path.stem for path in RATIONS.glob("*.yaml"))
NONE = "none"
"""What stands for a dog in whose food nothing is found."""


def expected(file: str) -> set[tuple[str, str, str]]:
    """Dog, key and grade of every row of the list for that file."""
    with (RATIONS / "expected.csv").open(encoding="utf-8", newline="") as lines:
        return {(row["dog"], row["key"], row["grade"]) for row in csv.DictReader(lines) if row["file"] == file}


def found(file: str) -> set[tuple[str, str, str]]:
    """Dog, key and grade of everything that is found in the plan of that file."""
    reading = read_scenario(RATIONS / f"{file}.yaml")
    assert reading.scenario is not None, [finding.message for finding in reading.findings]
    plan = plan_batch(reading.scenario, Settings())
    assert isinstance(plan, Plan), plan
    graded = {(one.dog, each.key, each.grade.value) for one in plan.nourished for each in one.minded}
    return graded | {(one.dog, NONE, "") for one in plan.nourished if not one.minded}


def test_the_list_is_of_these_twenty_files() -> None:
    with (RATIONS / "expected.csv").open(encoding="utf-8", newline="") as lines:
        assert sorted({row["file"] for row in csv.DictReader(lines)}) == FILES
    assert len(FILES) == 20


@pytest.mark.parametrize("file", FILES)
def test_each_ration_gives_exactly_the_findings_of_the_list(file: str) -> None:
    listed, given = expected(file), found(file)
    missing, surplus = sorted(listed - given), sorted(given - listed)
    assert not missing + surplus, f"{file}: in the list but not found {missing}; found but not in the list {surplus}"
