"""What breaks the program on demand knows which files and functions there are.

**Source:** the house's own table of what is broken, `tests/mutants.py`; no outside source.
"""

import pytest

from tests.mutants import MODULES, ROOT, TESTS, equivalents, mutants

pytestmark = pytest.mark.slow


def test_every_file_that_is_to_be_broken_is_there() -> None:
    named = [f"raworder/{name}.py" for names in MODULES.values() for name in names]
    assert [name for name in named if not (ROOT / name).is_file()] == []


def test_every_place_of_tests_is_there() -> None:
    assert [place for place in TESTS if not list((ROOT / "tests").glob(place))] == []


def test_every_change_that_changes_nothing_can_still_be_made() -> None:
    known = [key for key in equivalents() if key.startswith("raworder/")]
    made = {mutant.key for path in {key.split(" ")[0] for key in known} for mutant in mutants(path)}
    assert sorted(set(known) - made) == []
