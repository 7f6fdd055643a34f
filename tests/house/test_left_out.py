"""On a machine without the programs that no Python package brings the tests pass, and say what to install.

**Source:** the README's promise about its test command; no outside source.
"""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.left_out import NO_AXE, NO_OFFICE, program, typefaces
from tests.rendering.typefaces import file_of

pytestmark = pytest.mark.slow
ROOT = Path(__file__).resolve().parents[2]
NEEDS = {
    "tests/browser/test_label_sheets.py::test_no_letter_is_wider_than_reckoned": "there is no `chromium`: install it",
    "tests/browser/test_page.py::test_an_engine_for_accessibility_finds_nothing": "there is no `chromium`: install it",
    "tests/rendering/test_workbook_in_an_office.py": NO_OFFICE,
    "tests/reading/test_price_sheets.py::test_a_csv_list_that_an_office_saved_as_a_workbook_says_the_same": NO_OFFICE,
    "tests/commands/test_completion.py::test_the_shell_can_read_its_script": "there is no `fish`: install it",
    "tests/commands/test_completion.py::test_bash_completes_a_command_with_the_script_that_was_printed": (
        "there is no `bash`: install it"
    ),
    "tests/book/test_ledger.py::test_the_plain_tool_opens_it": "there is no `sqlite3`: install it",
}
"""Tests that need a program, and what is said where it is missing."""


def run_tests(*names: str, **variables: str) -> tuple[int, str]:
    """How the tests of these names end in surroundings with other variables, and all that is said."""
    words = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *names]
    without = ("RAWORDER_AXE", "PYTEST_ADDOPTS", "PYTEST_XDIST_WORKER", "COLUMNS")
    env = {name: value for name, value in os.environ.items() if name not in without}
    ended = subprocess.run(
        words, cwd=ROOT, env={**env, "COLUMNS": "400", **variables}, capture_output=True, encoding="utf-8", check=False
    )
    return ended.returncode, ended.stdout + ended.stderr


def test_without_its_programs_a_test_is_left_out_and_says_what_to_install(tmp_path: Path) -> None:
    code, told = run_tests(*NEEDS, PATH=str(tmp_path))
    assert code == 0, told
    last = told.strip().splitlines()[-1]
    assert " skipped" in last
    assert not any(word in last for word in ("passed", "failed", "error"))
    counted = re.findall(r"^(\d+) tests? left out: (.+)$", told, re.MULTILINE)
    assert {reason for _, reason in counted} >= set(NEEDS.values())
    assert sum(int(count) for count, _ in counted) == int(re.findall(r"(\d+) skipped", last)[0])
    assert told.strip().splitlines()[-1 - len(counted) : -1] == [
        line for line in told.splitlines() if " left out: " in line
    ]


def test_without_axe_only_its_own_tests_are_left_out() -> None:
    program("chromium")
    name = "tests/browser/test_page.py::test_an_engine_for_accessibility_finds_nothing"
    code, told = run_tests(name)
    assert (code, NO_AXE in told or "no typeface at all" in told) == (0, True), told


def test_without_the_typefaces_that_were_measured_nothing_is_measured(tmp_path: Path) -> None:
    program("chromium")
    (tmp_path / "fonts.conf").write_text(
        f"<fontconfig><dir>{tmp_path}</dir><cachedir>{tmp_path}</cachedir></fontconfig>"
    )
    code, told = run_tests(
        "tests/browser/test_label_sheets.py::test_no_letter_is_wider_than_reckoned",
        FONTCONFIG_FILE=str(tmp_path / "fonts.conf"),
    )
    assert code == 0, told
    assert "the browser has no typeface at all: install the typefaces Liberation Sans or DejaVu Sans" in told


def test_without_the_files_of_typefaces_no_width_is_compared() -> None:
    with pytest.raises(pytest.skip.Exception, match=r"install Liberation Sans and DejaVu Sans \(NoSuchFace\)"):
        typefaces(("NoSuchFace",), file_of)


def test_the_gate_lets_no_test_be_left_out() -> None:
    gate = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "grep -q 'skipped' || fail 'tests were skipped'" in gate


@pytest.mark.parametrize("name", NEEDS)
def test_the_tests_that_need_a_program_are_still_called_so(name: str) -> None:
    path, _, function = name.partition("::")
    assert f"def {function}" in (ROOT / path).read_text(encoding="utf-8")
