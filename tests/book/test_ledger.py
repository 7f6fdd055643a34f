"""The file of the book: what is refused, how versions follow one another, and that rows are only ever added.

**Source:** the SQLite documentation for its messages and its command-line tool; else the house's own rules.
"""

import os
import sqlite3
import subprocess
from collections.abc import Callable
from contextlib import AbstractContextManager, closing
from datetime import date
from pathlib import Path

import pytest

from raworder.book import entering
from raworder.book.entering import Tables
from raworder.book.ledger import APPLICATION, KEPT, VERSIONS, BookError, looking_into, writing
from tests.book.entered import a_found_lot, a_whole_batch, enter, refusal, rows_of
from tests.left_out import program

NEXT = "CREATE TABLE remark (entry INTEGER NOT NULL REFERENCES entry, remark TEXT NOT NULL) STRICT;"
AFTER_NEXT = "CREATE TRIGGER kept BEFORE DELETE ON remark BEGIN SELECT raise(ABORT, 'no; never'); END;"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a book is, or will be."""
    return tmp_path / "book.sqlite"


@pytest.fixture
def full(path: Path) -> Path:
    """A book with a row in every table."""
    enter(
        path, entering.filled(a_whole_batch(), "a batch"), entering.weighed("Maple", 20_000), entering.marked(1, "L1")
    )
    enter(path, entering.bags_became([1], "", entering.EntryKind.FED))
    return path


def foreign_database(path: Path) -> None:
    with closing(sqlite3.connect(path)) as tables:
        tables.execute("CREATE TABLE song (name TEXT)")


def newer_book(path: Path) -> None:
    with closing(sqlite3.connect(path)) as tables:
        tables.execute(f"PRAGMA application_id = {APPLICATION}")
        tables.execute(f"PRAGMA user_version = {len(VERSIONS) + 1}")
        tables.execute("CREATE TABLE entry (entry INTEGER PRIMARY KEY)")


def damaged_book(path: Path) -> None:
    enter(path, *(entering.weighed("Maple", grams) for grams in range(1, 400)))
    data = bytearray(path.read_bytes())
    data[4096:] = b"\x55" * (len(data) - 4096)
    path.write_bytes(data)


def text(path: Path) -> None:
    path.write_text("title: no book, but a scenario\n" * 9, encoding="utf-8")


REFUSED: tuple[tuple[Callable[[Path], object], str, str], ...] = (
    (foreign_database, "is no book of raworder", "name another file with --book"),
    (newer_book, "was written by a newer raworder", "install that one, or name another file"),
    (text, "is no book, or it is damaged", "put back a copy, or name another file"),
    (damaged_book, "is no book, or it is damaged", "put back a copy, or name another file"),
    (lambda path: path.mkdir(), "cannot be used: unable to open", "make room, or check the folder"),
)


@pytest.mark.parametrize(("make", "message", "remedy"), REFUSED)
def test_what_is_no_book_is_refused_and_stays_as_it_is(
    make: Callable[[Path], object], message: str, remedy: str, path: Path
) -> None:
    make(path)
    before = path.is_dir() or path.read_bytes()
    for said in (told(writing(path)), told(looking_into(path))):
        assert message in said
        assert remedy in said
    assert before == (path.is_dir() or path.read_bytes())


def told(opened: AbstractContextManager[sqlite3.Connection]) -> str:
    """What is said where a book is opened, and all its entries are read and one is added."""
    with pytest.raises(BookError) as caught:
        read_and_add(opened)
    return f"{caught.value}; {caught.value.remedy}"


def read_and_add(opened: AbstractContextManager[sqlite3.Connection]) -> None:
    with opened as tables:
        tables.execute("SELECT * FROM entry").fetchall()
        tables.execute("INSERT INTO entry VALUES (NULL, 'weighed', '2027-02-06', '', NULL)")


def test_where_there_is_no_book_none_is_made_by_looking(path: Path) -> None:
    with pytest.raises(BookError, match="there is no book"), looking_into(path):
        pass
    assert not path.exists()


def test_an_empty_file_is_a_book_without_entries(path: Path) -> None:
    path.touch()
    assert not any(rows_of(path).values())
    assert path.read_bytes() == b""


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    assert "nothing was entered; make room, or check the folder" in refusal(
        tmp_path / "none" / "book.sqlite", entering.weighed("Maple", 1)
    )


@pytest.mark.skipif(os.name != "posix", reason="needs a folder that nobody can write into")
def test_a_folder_that_cannot_be_written_into_is_told() -> None:
    assert "nothing was entered; make room" in refusal(Path("/proc/book.sqlite"), entering.weighed("Maple", 1))


def test_a_full_disk_is_told_and_nothing_is_entered(full: Path) -> None:
    def note_that_fills_the_disk(tables: Tables, day: date) -> int:
        (pages,) = tables.execute("PRAGMA page_count").fetchone()
        tables.execute(f"PRAGMA max_page_count = {pages}")
        for number in range(5_000):
            entering.weighed("Maple", number + 1)(tables, day)
        return 0

    said = refusal(full, entering.weighed("Juniper", 9_000), note_that_fills_the_disk)
    assert "cannot be used: database or disk is full; nothing was entered" in said
    enter(full, entering.weighed("Juniper", 9_000))


def test_an_older_book_is_brought_up_to_date_by_writing(full: Path) -> None:
    before = rows_of(full)
    with writing(full, (*VERSIONS, NEXT, AFTER_NEXT)) as tables:
        tables.execute("INSERT INTO remark VALUES (1, 'kept')")
    with looking_into(full, (*VERSIONS, NEXT, AFTER_NEXT)) as tables:
        assert tables.execute("PRAGMA user_version").fetchone() == (len(VERSIONS) + 2,)
        assert tables.execute("SELECT remark FROM remark").fetchall() == [("kept",)]
        assert {name: tuple(tables.execute(f"SELECT * FROM {name} ORDER BY 1, 2")) for name in KEPT} == before
    with pytest.raises(BookError, match="newer raworder"), looking_into(full):
        pass


def test_an_older_book_is_read_without_touching_it(full: Path) -> None:
    before = full.read_bytes()
    with looking_into(full, (*VERSIONS, NEXT)) as tables:
        assert tables.execute("SELECT * FROM remark").fetchall() == []
        assert len(tables.execute("SELECT * FROM entry").fetchall()) == 4
    assert full.read_bytes() == before


def test_a_step_that_fails_leaves_the_older_book(full: Path) -> None:
    before = rows_of(full)
    with pytest.raises(sqlite3.OperationalError), writing(full, (*VERSIONS, NEXT, "CREATE TABLE entry (a);")):
        pass
    assert rows_of(full) == before


def test_nothing_is_kept_of_what_is_broken_off(full: Path) -> None:
    def broken_off(tables: Tables, day: date) -> int:
        entering.weighed("Maple", 20_000)(tables, day)
        raise KeyboardInterrupt

    before = rows_of(full)
    with pytest.raises(KeyboardInterrupt):
        enter(full, broken_off)
    assert rows_of(full) == before


@pytest.mark.parametrize("name", KEPT)
def test_no_row_is_changed_or_removed_by_any_tool(name: str, full: Path) -> None:
    with closing(sqlite3.connect(full)) as tables:
        column = tables.execute(f"SELECT * FROM {name}").description[0][0]
        assert tables.execute(f"SELECT count(*) FROM {name}").fetchone() > (0,)
        for change in (f"UPDATE {name} SET {column} = {column} + 1", f"DELETE FROM {name}"):
            with pytest.raises(sqlite3.IntegrityError, match="the book is only added to"):
                tables.execute(change)


def test_the_plain_tool_opens_it(full: Path) -> None:
    enter(full, entering.found(a_found_lot("lamb liver", 250), "Ada", "EUR"))

    def answer(query: str) -> list[str]:
        words = [program("sqlite3"), "-readonly", str(full), query]
        return subprocess.run(words, capture_output=True, encoding="utf-8", check=True).stdout.splitlines()

    assert answer("PRAGMA integrity_check; PRAGMA foreign_key_check") == ["ok"]
    assert answer("SELECT cut, owner, left_g FROM stock") == ["beef trim||500", "lamb liver|Ada|250"]
    assert answer("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY rowid") == list(KEPT)


def test_what_was_confirmed_is_on_the_disk_even_if_the_power_fails(tmp_path: Path) -> None:
    with writing(tmp_path / "book.sqlite") as tables:
        # 2 is FULL: the log is flushed at every commit. Source: the SQLite manual, PRAGMA synchronous, from memory
        assert tables.execute("PRAGMA synchronous").fetchone() == (2,)
        assert tables.execute("PRAGMA journal_mode").fetchone() == ("wal",)
