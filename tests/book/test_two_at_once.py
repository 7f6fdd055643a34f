"""Several at once: nothing is lost, everybody has a number of their own, and who reads sees one moment.

**Source:** the issue's own demand; no outside source.
"""

import subprocess
import sys
from pathlib import Path

import pytest

from raworder.book import ledger
from raworder.book.entering import weighed
from raworder.book.kitchen_book import open_book
from raworder.book.ledger import writing
from tests.book.entered import enter, left_g, refusal, stock_of
from tests.book.writer import BAGS, LOTS, batch_note
from tests.commands.running import surroundings

ENTERS = """
import sys
from pathlib import Path
from raworder.book.entering import weighed
from tests.book.entered import enter
for grams in range(1, 101):
    print(*enter(Path(sys.argv[1]), weighed(sys.argv[2], grams)), flush=True)
"""


@pytest.mark.slow
def test_two_who_enter_at_once_lose_nothing(tmp_path: Path) -> None:
    path, dogs = tmp_path / "book.sqlite", ("Maple", "Juniper")
    words = [sys.executable, "-c", ENTERS, str(path)]
    both = [subprocess.Popen([*words, dog], env=surroundings(), stdout=subprocess.PIPE) for dog in dogs]
    said = [process.communicate()[0].split() for process in both]
    assert [process.returncode for process in both] == [0, 0]
    assert sorted(map(int, said[0] + said[1])) == list(range(1, 201))
    with open_book(path) as book:
        for dog in dogs:
            assert [one.grams for one in book.weighings(dog)] == list(range(1, 101))


@pytest.mark.slow
def test_who_reads_meanwhile_sees_whole_entries_alone(tmp_path: Path) -> None:
    path = tmp_path / "book.sqlite"
    enter(path, batch_note("the first"))
    words = [sys.executable, "-m", "tests.book.writer", str(path)]
    with subprocess.Popen(words, env=surroundings(), stdout=subprocess.PIPE) as writer:
        seen = []
        while len(set(seen)) < 10:
            stock = stock_of(path, -1)
            assert len(stock.lots) * BAGS == len(stock.bags) * LOTS
            assert {lot.left_g for lot in stock.lots} == {300}
            seen.append(len(stock.bags))
        writer.kill()
    assert seen == sorted(seen)


def test_a_reader_keeps_its_moment_while_others_write(tmp_path: Path) -> None:
    path = tmp_path / "book.sqlite"
    enter(path, batch_note("the first"))
    with open_book(path) as book:
        before = book.entries()
        enter(path, weighed("Maple", 20_000))
        assert book.entries() == before
    with open_book(path) as book:
        assert len(book.entries()) == 2


def test_who_waits_too_long_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "book.sqlite"
    enter(path, batch_note("the first"))
    monkeypatch.setattr(ledger, "WAIT_S", 0)
    with writing(path):
        said = refusal(path, weighed("Maple", 20_000))
        assert len(left_g(path)) == LOTS  # reading waits for nobody
    assert said == f"somebody else is writing into `{path}`; let that one end, and try again"
    assert enter(path, weighed("Maple", 20_000)) == (2,)
