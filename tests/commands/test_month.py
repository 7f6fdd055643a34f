"""The commands that ask the book, from a batch entered to what a person reads, in every format.

The scenarios are the shipped, invented ones. **Source:** the plan that was entered, and the book's own entries.
"""

import csv
import json
from pathlib import Path

import openpyxl
import pytest

from tests.commands.running import SCENARIOS, told

HOUSEHOLD = SCENARIOS / "household.yaml"
FRIDAY = ("--on", "2027-03-12")
ASKED = {
    "stock": (HOUSEHOLD, *FRIDAY),
    "trace": (HOUSEHOLD, "L-0417", *FRIDAY),
    "powercut": (HOUSEHOLD, *FRIDAY),
    "history": (HOUSEHOLD, "beef trim"),
    "weights": (HOUSEHOLD, "Bramble"),
}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book of one batch, of which a bag was kept, two were thrown away and a lot was marked."""
    path = tmp_path_factory.mktemp("kept") / "book.sqlite"
    assert told("enter", HOUSEHOLD, "--book", path).code == 0
    note("2027-03-11", path, "bags 3-4 thrown away", "bag 20 kept", "lot 9 is marked L-0417")
    for day, weight in (("06", "31 kg"), ("13", "30.5 kg"), ("20", "30 kg")):
        note(f"2027-03-{day}", path, f"Bramble weighs {weight}")
    return path


def note(day: str, book: Path, *words: str) -> None:
    """Tell the book something of a day."""
    ended = told("note", HOUSEHOLD, *words, "--on", day, "--book", book)
    assert ended.code == 0, ended.stderr


def asked(command: str, book: Path, *more: str | Path) -> str:
    """What a command says about that book."""
    ended = told(command, *ASKED[command], "--book", book, *more)
    assert (ended.code, ended.but_for_files.stderr) == (0, "")
    return ended.stdout


@pytest.mark.slow
def test_stock_says_how_long_it_is_enough(book: Path) -> None:
    said = asked("stock", book)
    assert "Order by Tue 16 Mar." in said
    assert "1 bag kept over" in said


@pytest.mark.slow
def test_stock_for_an_owner_leaves_the_others_out(book: Path) -> None:
    said = asked("stock", book, "--owner", "ines")
    assert "Bramble" in said
    assert "Thistle" not in said


@pytest.mark.slow
def test_what_is_thrown_away_is_gone_at_once(book: Path, tmp_path: Path) -> None:
    copied = tmp_path / "copied.sqlite"
    copied.write_bytes(book.read_bytes())
    note(FRIDAY[1], copied, "everything thrown away")
    assert "The book has nothing in the freezer on Fri 12 Mar." in asked("stock", copied)
    assert "Do not feed these" not in asked("trace", copied)
    assert "Do not feed these" in asked("trace", book)


@pytest.mark.slow
def test_a_trace_goes_both_ways(book: Path) -> None:
    there = json.loads(asked("trace", book, "--json"))
    bags = next(block for block in blocks(there) if block.get("key") == "traced_bags")
    labels = {row["label"] for row in bags["rows"]}
    back = json.loads(told("trace", HOUSEHOLD, "--bag", str(min(labels)), "--book", book, "--json").stdout)
    lots = next(block for block in blocks(back) if block.get("key") == "traced_lots")
    assert "L-0417" in {row["mark"] for row in lots["rows"]}


def blocks(document: dict[str, object]) -> list[dict[str, object]]:
    """All tables of what was printed as JSON, wherever they stand."""
    found: list[dict[str, object]] = []
    pending: list[object] = [document]
    while pending:
        thing = pending.pop()
        if isinstance(thing, dict):
            found += [thing] if "rows" in thing else []
            pending += thing.values()
        elif isinstance(thing, list):
            pending += thing
    return found


@pytest.mark.slow
@pytest.mark.parametrize("command", ASKED)
def test_every_format_holds_it_and_two_runs_are_the_same(command: str, book: Path, tmp_path: Path) -> None:
    files = [tmp_path / name for name in ("page.html", "page.md", "book.xlsx", "tables")]
    options = ("--html", "--markdown", "--xlsx", "--csv")
    more = [word for pair in zip(options, files, strict=True) for word in pair]
    first = asked(command, book, *more)
    page, marked, workbook, tables = files
    kept = [file.read_bytes() for file in (page, marked, workbook)]
    assert asked(command, book, *more, "--overwrite") == first
    assert [file.read_bytes() for file in (page, marked, workbook)] == kept
    assert openpyxl.load_workbook(workbook).worksheets
    for table in tables.iterdir():
        with table.open(encoding="utf-8-sig", newline="") as file:
            assert len({len(row) for row in csv.reader(file, strict=True)}) == 1


@pytest.mark.slow
def test_what_cannot_be_asked_is_refused_with_a_remedy(book: Path, tmp_path: Path) -> None:
    for words, says in (
        (("stock", HOUSEHOLD, "--book", tmp_path / "none.sqlite"), "there is no book"),
        (("stock", SCENARIOS / "pounds.yaml", "--book", book), "has batches in EUR and the scenario is in USD"),
        (("trace", HOUSEHOLD, "--book", book), "or a bag with --bag"),
        (("trace", HOUSEHOLD, "necks", "--bag", "3", "--book", book), "or a bag with --bag"),
        (("trace", HOUSEHOLD, " ", "--book", book), "or a bag with --bag"),
        (("trace", HOUSEHOLD, "--bag", "900", "--book", book), "the book has no bag 900"),
        (("history", HOUSEHOLD, "beef trimm", "--book", book), "did you mean `beef trim`?"),
        (("weights", HOUSEHOLD, "Bramle", "--book", book), "did you mean `Bramble`?"),
        (("powercut", HOUSEHOLD, "--hours", "-1", "--book", book), "--hours"),
        (("stock", HOUSEHOLD, "--on", "tomorrow", "--book", book), "--on"),
    ):
        ended = told(*words)
        assert ended.code == 2, words
        assert says in ended.stderr, words
