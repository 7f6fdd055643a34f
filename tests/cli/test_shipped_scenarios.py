"""Every scenario that is shipped, through the whole command: solved, the same at every run, the same by both solvers.

All their names, prices and figures are invented.
"""

from functools import cache
from pathlib import Path

import openpyxl
import pytest

from raworder.as_fed import as_fed
from raworder.plan import NoPlan, Plan
from raworder.reading.scenario import read_scenario
from raworder.rendering.plain import plain
from raworder.reporting.order_message import order_message
from raworder.solving.solver import Settings, SolverName
from raworder.workflow import Answer, plan_batch
from tests.cli.running import SCENARIOS, ran, told
from tests.conftest import Golden
from tests.drawn import Draw
from tests.rendering.outline import outline

PAPERS = Path(__file__).resolve().parents[1] / "golden" / "papers"
BAG_PAPERS, PAGES = PAPERS.parent / "bag_papers", PAPERS.parent / "pages"
BOOKS, MESSAGES = PAPERS.parent / "workbooks", PAPERS.parent / "messages"
LARGEST = "volunteer"
ENDS = {
    "household": 0,
    "impossible": 1,
    "kennel": 0,
    "owner": 0,
    "owner_spring": 0,
    "pounds": 0,
    "smallest": 0,
    "vet_visit": 0,
    "volunteer": 0,
}
NAMES = sorted(path.stem for path in SCENARIOS.glob("*.yaml"))
SMALLER = [name for name in NAMES if name != LARGEST]
TRIED = NAMES if Draw.times > 1 else SMALLER
"""What is planned more than once: the largest takes minutes with a second solver, so only on demand."""


@cache
def _answer(name: str, solver: SolverName) -> Answer:
    scenario = read_scenario(SCENARIOS / f"{name}.yaml").scenario
    assert scenario is not None
    return plan_batch(scenario, Settings(solver))


def test_every_shipped_scenario_is_known_here() -> None:
    assert sorted(ENDS) == NAMES


@pytest.mark.parametrize("name", SMALLER)
def test_the_papers_are_those_that_were_read_and_approved(name: str, golden: Golden, tmp_path: Path) -> None:
    page, book = tmp_path / "page.html", tmp_path / "book.xlsx"
    ended = told("plan", SCENARIOS / f"{name}.yaml", "--html", page, "--xlsx", book)
    nothing = "" if ENDS[name] == 0 else "no file is written, as there is no plan\n"
    assert (ended.code, ended.stderr) == (ENDS[name], nothing)
    golden(PAPERS / f"{name}.txt", ended.stdout)
    assert page.exists() == book.exists() == (ENDS[name] == 0)
    if ENDS[name] == 0:
        golden(PAGES / f"{name}.txt", outline(page.read_text(encoding="utf-8")))
        golden(BOOKS / f"{name}.txt", in_words(book))


def in_words(book: Path) -> str:
    """A workbook sheet by sheet and row by row, as openpyxl, a general-purpose library, reads it."""
    read = openpyxl.load_workbook(book)
    return "".join(
        f"== {sheet.title}\n" + "".join(f"{' | '.join(map(str, row))}\n" for row in sheet.iter_rows(values_only=True))
        for sheet in read.worksheets
    )


@pytest.mark.parametrize("name", [name for name in SMALLER if ENDS[name] == 0])
def test_the_messages_are_those_that_were_read_and_approved(name: str, golden: Golden) -> None:
    scenario, answer = read_scenario(SCENARIOS / f"{name}.yaml").scenario, _answer(name, SolverName.HIGHS)
    assert scenario is not None
    assert isinstance(answer, Plan)
    golden(MESSAGES / f"{name}.txt", plain(order_message(as_fed(scenario, answer), answer)))


@pytest.mark.parametrize("name", [name for name in SMALLER if ENDS[name] == 0])
def test_the_papers_of_bags_are_those_that_were_read_and_approved(name: str, golden: Golden) -> None:
    ended = told("portion", SCENARIOS / f"{name}.yaml")
    assert (ended.code, ended.stderr) == (0, "")
    golden(BAG_PAPERS / f"{name}.txt", ended.stdout)


@pytest.mark.parametrize("name", [name for name in NAMES if ENDS[name] == 0])
def test_every_plan_has_bags_for_every_dog_and_says_how_few_kinds_there_can_be(name: str) -> None:
    answer = _answer(name, SolverName.HIGHS)
    scenario = read_scenario(SCENARIOS / f"{name}.yaml").scenario
    assert isinstance(answer, Plan)
    assert scenario is not None
    assert {bag.dog for bag in answer.bags} == {dog.name for dog in scenario.dogs}
    kinds = {dog: {bag.kind for bag in answer.bags if bag.dog == dog} for dog, _ in answer.least_kinds}
    assert all(least <= len(kinds[dog]) <= 5 for dog, least in answer.least_kinds)


def test_no_paper_is_kept_of_a_scenario_that_is_gone() -> None:
    assert sorted(path.stem for path in PAPERS.iterdir()) == SMALLER
    for kept in (BAG_PAPERS, PAGES, BOOKS, MESSAGES):
        assert sorted(path.stem for path in kept.iterdir()) == [name for name in SMALLER if ENDS[name] == 0]


@pytest.mark.slow
@pytest.mark.long
@pytest.mark.parametrize("name", TRIED)
def test_two_runs_are_the_same_to_the_byte_whatever_the_hash_seed(name: str) -> None:
    """One in this process, whose hash seed is whatever it is, and one in a process of its own."""
    path = SCENARIOS / f"{name}.yaml"
    apart = ran("plan", path, variables={"PYTHONHASHSEED": "2027"})
    assert apart == told("plan", path)
    assert (apart.code, apart.stderr) == (ENDS[name], "")


@pytest.mark.slow
@pytest.mark.long
@pytest.mark.parametrize("name", TRIED)
def test_both_solvers_agree_on_the_least_cost(name: str) -> None:
    ours, second = _answer(name, SolverName.HIGHS), _answer(name, SolverName.CBC)
    assert type(ours) is type(second)
    if isinstance(ours, Plan) and isinstance(second, Plan):
        assert ours.proof.proved
        assert second.proof.proved
        assert ours.total == second.total
    else:
        assert isinstance(ours, NoPlan)
        assert ours == second


@pytest.mark.slow
@pytest.mark.parametrize("name", [name for name in SMALLER if ENDS[name] == 0])
def test_both_solvers_buy_the_same(name: str) -> None:
    ours, second = _answer(name, SolverName.HIGHS), _answer(name, SolverName.CBC)
    assert isinstance(ours, Plan)
    assert isinstance(second, Plan)
    assert ours.lines == second.lines
    assert ours.bills == second.bills
