"""Every scenario that is shipped, through the whole command: solved, the same at every run, the same by both solvers.

All their names, prices and figures are invented.
"""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from raworder.rendering.terminal import terminal
from raworder.solving.solver import SolverName
from raworder.trade.plan import NoPlan, Plan
from tests.commands.running import IMPOSSIBLE, SCENARIOS, ran, told
from tests.conftest import Golden
from tests.drawn import Draw, few
from tests.planned import LARGE, NAMES, SMALLER, answer_of, papers_of, planned
from tests.rendering.outline import outline
from tests.reporting.samples_of_bags import TUBS, TUBS_PLAN
from tests.worked_out import batch_cards

GOLDEN_FILES = Path(__file__).resolve().parents[1] / "golden"
PAPERS, BAG_PAPERS, PAGES, BOOKS, MESSAGES = (
    GOLDEN_FILES / folder for folder in ("papers", "bag_papers", "pages", "workbooks", "messages")
)
SMALLEST, GOLDEN = SCENARIOS / "smallest.yaml", ("impossible", "smallest")
MOST_KEPT, MOST_BYTES = 19, 100_000
"""More is read by nobody: what other scenarios' papers say is checked by its sense, in `tests/reporting`."""

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
TRIED = NAMES if Draw.times > 1 else [*SMALLER, "impossible"]
"""What is planned more than once: the largest takes too long for it, so only on demand."""


def test_every_shipped_scenario_is_known_here() -> None:
    assert sorted(ENDS) == NAMES


@pytest.mark.slow
@pytest.mark.parametrize("name", GOLDEN)
def test_the_papers_are_those_that_were_read_and_approved(name: str, golden: Golden) -> None:
    ended = told("plan", SCENARIOS / f"{name}.yaml", "--all")
    assert (ended.code, ended.stderr) == (ENDS[name], "")
    golden(PAPERS / f"{name}.txt", ended.stdout)


@pytest.mark.slow
def test_the_papers_of_bags_are_those_that_were_read_and_approved(golden: Golden) -> None:
    ended = told("portion", SMALLEST, "--all")
    assert (ended.code, ended.stderr) == (0, "")
    golden(BAG_PAPERS / "smallest.txt", ended.stdout)


def test_the_batch_cards_are_those_that_were_read_and_approved(golden: Golden) -> None:
    """No shipped scenario with tubs is small."""
    cards = batch_cards(TUBS, TUBS_PLAN)
    assert cards is not None
    golden(BAG_PAPERS / "batch_cards.txt", terminal([cards], width=100, color=False))


@pytest.mark.slow
def test_the_page_is_the_one_that_was_read_and_approved(golden: Golden, tmp_path: Path) -> None:
    """In full what is on the page alone; of what is printed by other commands too, that it is there."""
    page = tmp_path / "page.html"
    assert told("plan", SMALLEST, "--html", page).code == 0
    found = papers_of("smallest")
    elsewhere = [one.title for one in (*found.order, *found.bags)]
    golden(PAGES / "smallest.txt", outline_without(page.read_text("utf-8"), elsewhere))


def outline_without(page: str, titles: Sequence[str]) -> str:
    """The outline of a page, with the headings alone of the papers that are titled so."""
    sections = outline(page).split("--- ")[1:]
    heads = ["\n".join(section.splitlines()[:2]) + "\n" for section in sections]
    both = zip(heads, sections, strict=True)
    return "".join(f"--- {head if head.split(': ', 1)[-1].strip() in titles else whole}" for head, whole in both)


@pytest.mark.slow
def test_the_workbook_is_the_one_that_was_read_and_approved(golden: Golden, tmp_path: Path) -> None:
    book = tmp_path / "book.xlsx"
    assert told("plan", SMALLEST, "--xlsx", book).code == 0
    golden(BOOKS / "smallest.txt", in_words(book))


def in_words(book: Path) -> str:
    """The headings and the first two rows of each sheet of a workbook, as openpyxl, a general-purpose library, does."""
    read = openpyxl.load_workbook(book)
    return "".join(
        f"== {sheet.title}\n"
        + "".join(f"{' | '.join(map(str, row))}\n" for row in sheet.iter_rows(max_row=3, values_only=True))
        for sheet in read.worksheets
    )


def test_the_message_is_the_one_that_was_read_and_approved(golden: Golden) -> None:
    ended = told("message", SMALLEST)
    assert (ended.code, ended.stderr) == (0, "")
    golden(MESSAGES / "smallest.txt", ended.stdout)


@pytest.mark.slow
def test_where_there_is_no_plan_no_file_is_written(tmp_path: Path) -> None:
    page, book = tmp_path / "page.html", tmp_path / "book.xlsx"
    ended = told("plan", IMPOSSIBLE, "--html", page, "--xlsx", book)
    assert (ended.code, ended.stderr) == (1, "no file is written, as there is no plan\n")
    assert not page.exists()
    assert not book.exists()


@pytest.mark.slow
@pytest.mark.parametrize("name", [*SMALLER, *LARGE])
def test_every_plan_has_bags_for_every_dog_and_says_how_few_kinds_there_can_be(name: str) -> None:
    scenario, plan = planned(name).scenario, planned(name).plan
    assert {bag.dog for bag in plan.bags} == {dog.name for dog in scenario.dogs}
    kinds = {dog: {bag.kind for bag in plan.bags if bag.dog == dog} for dog, _ in plan.least_kinds}
    assert all(least <= len(kinds[dog]) <= 5 for dog, least in plan.least_kinds)


def test_one_paper_of_each_kind_is_kept_and_together_they_can_be_read() -> None:
    kept = [path for path in GOLDEN_FILES.rglob("*") if path.is_file() and path.parent.name != "constraints"]
    assert len(kept) <= MOST_KEPT
    assert sum(path.stat().st_size for path in kept) <= MOST_BYTES


@few("name", TRIED, 3)
def test_two_runs_are_the_same_to_the_byte_whatever_the_hash_seed(name: str) -> None:
    """One in this process, whose hash seed is whatever it is, and one in a process of its own."""
    path = SCENARIOS / f"{name}.yaml"
    apart = ran("plan", path, variables={"PYTHONHASHSEED": "2027"})
    assert apart == told("plan", path)
    assert (apart.code, apart.stderr) == (ENDS[name], "")


@pytest.mark.long
@pytest.mark.parametrize("name", ["impossible", *LARGE] if Draw.times > 1 else ["impossible"])
def test_both_solvers_agree_on_the_least_cost(name: str) -> None:
    ours, second = answer_of(name, SolverName.HIGHS), answer_of(name, SolverName.CBC)
    assert type(ours) is type(second)
    if isinstance(ours, Plan) and isinstance(second, Plan):
        assert ours.proof.proved
        assert second.proof.proved
        assert ours.total == second.total
    else:
        assert isinstance(ours, NoPlan)
        assert ours == second


@pytest.mark.long
@pytest.mark.parametrize("name", SMALLER if Draw.times > 1 else ["owner", "owner_spring", "pounds", "vet_visit"])
def test_both_solvers_buy_the_same_and_fill_the_same_bags_in_the_same_order(name: str) -> None:
    """Among plans that are equally cheap and handy the names decide; the bags are always filled by HiGHS."""
    ours, second = planned(name).plan, planned(name, SolverName.CBC).plan
    assert replace(ours, proof=second.proof) == second
