"""The commands of inquiry, as a person uses them: one paper each, the same whoever works it out, told while it lasts.

All names, prices and figures are invented. **Source:** the commands' own help and the README; no outside source.
"""

import json
from pathlib import Path

import pytest

from tests.commands.running import IMPOSSIBLE, OWNER, SCENARIOS, ran, told

SMALLEST = SCENARIOS / "smallest.yaml"
COMMANDS = {
    "reasons": ((), "no_plan"),
    "compare": ((), "suppliers"),
    "prices": ((), "prices_to_ask"),
    "instead": ((), "what_instead"),
    "worth": ((), "worth_of_one_more"),
    "nicer": ((), "same_money"),
    "whatif": (("price of beef +10 %",), "what_if"),
}
ENOUGH_AT = """
import raworder.solving.solver as solver
real, calls = solver._solve_with_highs, []
def tired(*given, **named):
    calls.append(1)
    if len(calls) > {solves}:
        raise KeyboardInterrupt
    return real(*given, **named)
solver._solve_with_highs = tired
"""


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS)
def test_a_question_is_answered_with_one_paper(command: str) -> None:
    words, key = COMMANDS[command]
    ended = told(command, SMALLEST, *words, "--json")
    (paper,) = json.loads(ended.stdout)["papers"]
    assert (ended.code, paper["key"]) == (0, key)
    assert ended.stderr == ""


@pytest.mark.slow
def test_reasons_end_with_1_where_there_is_no_plan() -> None:
    ended = told("reasons", IMPOSSIBLE, "--json")
    assert (ended.code, json.loads(ended.stdout)["ended"]) == (1, "no_plan")


@pytest.mark.slow
@pytest.mark.parametrize("command", [one for one in COMMANDS if one != "reasons"])
def test_where_there_is_no_plan_a_question_is_answered_with_the_reasons(command: str) -> None:
    ended = told(command, IMPOSSIBLE, *COMMANDS[command][0])
    assert ended.code == 1
    assert "No plan" in ended.stdout


@pytest.mark.slow
def test_the_paper_is_the_same_with_one_process_and_with_two() -> None:
    """All questions by a pool: `tests/studies/test_by_a_pool.py`."""
    assert told("compare", OWNER, "--workers", "1") == ran("compare", OWNER, "--workers", "2")


@pytest.mark.slow
def test_papers_go_to_files_as_those_of_a_plan_do(tmp_path: Path) -> None:
    ended = told("worth", OWNER, "--markdown", tmp_path / "worth.md", "--csv", tmp_path / "tables")
    assert ended.code == 0
    assert (tmp_path / "worth.md").read_text().startswith("# ")
    assert list((tmp_path / "tables").glob("*.csv"))


@pytest.mark.slow
@pytest.mark.parametrize("wanted", [(), ("--paper", "shopping_list")])
def test_the_card_is_printed_behind_the_shopping_list(wanted: tuple[str, ...]) -> None:
    keys = [one["key"] for one in json.loads(told("plan", OWNER, "--card", "--json", *wanted).stdout)["papers"]]
    assert keys[keys.index("shopping_list") + 1] == "what_instead"
    assert len(keys) == (2 if wanted else 8)


@pytest.mark.slow
def test_scenarios_are_compared_side_by_side() -> None:
    ended = told("compare", OWNER, SCENARIOS / "owner_spring.yaml", "--json")
    (paper,) = json.loads(ended.stdout)["papers"]
    assert (ended.code, paper["key"]) == (0, "variants")


@pytest.mark.slow
def test_prices_can_be_asked_of_one_supplier_or_cut_only() -> None:
    ended = told("prices", OWNER, "--supplier", "Hollow Lane Butcher", "--cut", "beef heart")
    assert "beef heart" in ended.stdout
    assert "Fenwick" not in ended.stdout
    assert told("prices", OWNER, "--cut", "beef hart").stderr.count("`beef hart` is not in the scenario") == 1


@pytest.mark.slow
def test_files_of_one_name_are_told_apart_by_their_folders(tmp_path: Path) -> None:
    copies = [tmp_path / month / "list.yaml" for month in ("january", "february")]
    for copy in copies:
        copy.parent.mkdir()
        copy.write_text(OWNER.read_text())
    (paper,) = json.loads(told("compare", *copies, "--json").stdout)["papers"]
    (table,) = [one for one in paper["blocks"] if one.get("key") == "variants"]
    assert len({row["variant"] for row in table["rows"]}) == 2


def test_a_change_that_is_none_is_told_with_what_to_type() -> None:
    ended = told("whatif", OWNER, "price of beef +ten %")
    assert (ended.code, ended.stdout) == (2, "")
    assert "price of" in ended.stderr


@pytest.mark.slow
def test_an_interrupt_tells_what_is_done_so_far_and_that_it_is_partial() -> None:
    ended = ran("prices", OWNER, "--workers", "1", first=ENOUGH_AT.format(solves=12))
    assert ended.code == 130
    assert "Partial: interrupted after" in ended.stdout
    assert ended.stderr.strip() == "raworder: interrupted"


@pytest.mark.slow
def test_an_interrupt_before_the_first_plan_tells_nothing() -> None:
    ended = ran("prices", OWNER, first=ENOUGH_AT.format(solves=0))
    assert (ended.code, ended.stdout, ended.stderr.strip()) == (130, "", "raworder: interrupted")


def test_a_cluster_that_is_not_there_is_told_in_a_line() -> None:
    ended = told("worth", SMALLEST, "--cluster", "nonsense")
    assert ended.code == 2
    assert "no scheduler answers at `tcp://nonsense`" in ended.stderr


@pytest.mark.parametrize("within", ["2", "two", "-1 %"])
def test_how_much_more_is_a_percentage(within: str) -> None:
    ended = told("nicer", SMALLEST, "--within", within)
    assert ended.code == 2
    assert "write a percentage, such as `2 %`" in ended.stderr
