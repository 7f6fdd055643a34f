"""The file of the book: its tables, its versions, and writing that is whole or not there.

Any tool that reads SQLite reads it. Rows are only ever added, which the file itself demands: what was wrong is taken
back by a later entry, and the views leave it out.
"""

import sqlite3
import time
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

FILE_NAME = "book.sqlite"
"""What the book is called beside the scenarios."""

APPLICATION = int.from_bytes(b"rawb")
"""The sign of our files in the head of an SQLite file."""

WAIT_S = 10
"""How long we wait for somebody else who is writing."""

TABLES = """
CREATE TABLE entry (
    entry INTEGER PRIMARY KEY, kind TEXT NOT NULL, day TEXT NOT NULL, says TEXT NOT NULL,
    voids INTEGER UNIQUE REFERENCES entry
) STRICT;
CREATE TABLE batch (
    entry INTEGER PRIMARY KEY REFERENCES entry, number TEXT NOT NULL, title TEXT NOT NULL, currency TEXT NOT NULL,
    starts TEXT NOT NULL, days INTEGER NOT NULL, order_ahead_days INTEGER NOT NULL, filled_on TEXT NOT NULL,
    planned TEXT
) STRICT;
CREATE TABLE dog (
    entry INTEGER NOT NULL REFERENCES entry, dog TEXT NOT NULL, owner TEXT NOT NULL, day_g INTEGER NOT NULL,
    PRIMARY KEY (entry, dog)
) STRICT;
CREATE TABLE share (
    entry INTEGER NOT NULL REFERENCES entry, dog TEXT NOT NULL, part TEXT NOT NULL, share TEXT NOT NULL,
    low TEXT NOT NULL, high TEXT NOT NULL
) STRICT;
CREATE TABLE ordered (
    entry INTEGER NOT NULL REFERENCES entry, supplier TEXT NOT NULL, cut TEXT NOT NULL, item TEXT NOT NULL,
    units INTEGER NOT NULL, grams INTEGER NOT NULL, goods TEXT NOT NULL
) STRICT;
CREATE TABLE bill (
    entry INTEGER NOT NULL REFERENCES entry, supplier TEXT NOT NULL, goods TEXT NOT NULL, delivery TEXT NOT NULL,
    tax TEXT NOT NULL, other TEXT NOT NULL
) STRICT;
CREATE TABLE listed (
    entry INTEGER NOT NULL REFERENCES entry, supplier TEXT NOT NULL, day TEXT NOT NULL, cut TEXT NOT NULL,
    item TEXT NOT NULL, code TEXT NOT NULL, unit_g INTEGER NOT NULL, price TEXT NOT NULL, per TEXT NOT NULL,
    edible_kg TEXT NOT NULL
) STRICT;
CREATE TABLE lot (
    lot INTEGER PRIMARY KEY, entry INTEGER NOT NULL REFERENCES entry, cut TEXT NOT NULL,
    grams INTEGER NOT NULL CHECK (grams >= 0), units INTEGER NOT NULL, goods TEXT NOT NULL, worth TEXT NOT NULL,
    currency TEXT NOT NULL, bought_on TEXT NOT NULL, frozen_on TEXT, supplier TEXT NOT NULL, item TEXT NOT NULL,
    code TEXT NOT NULL, owner TEXT NOT NULL
) STRICT;
CREATE TABLE mark (
    entry INTEGER NOT NULL REFERENCES entry, lot INTEGER NOT NULL REFERENCES lot, mark TEXT NOT NULL
) STRICT;
CREATE TABLE draw (
    entry INTEGER NOT NULL REFERENCES entry, lot INTEGER NOT NULL REFERENCES lot, why TEXT NOT NULL,
    grams INTEGER NOT NULL
) STRICT;
CREATE TABLE bag (
    bag INTEGER PRIMARY KEY, entry INTEGER NOT NULL REFERENCES entry, label INTEGER NOT NULL, dog TEXT NOT NULL,
    owner TEXT NOT NULL, feed_on TEXT NOT NULL, meal INTEGER NOT NULL
) STRICT;
CREATE TABLE content (
    bag INTEGER NOT NULL REFERENCES bag, cut TEXT NOT NULL, grams INTEGER NOT NULL CHECK (grams >= 0),
    PRIMARY KEY (bag, cut)
) STRICT;
CREATE TABLE fate (
    entry INTEGER NOT NULL REFERENCES entry, bag INTEGER NOT NULL REFERENCES bag, fate TEXT NOT NULL, for_day TEXT,
    PRIMARY KEY (entry, bag)
) STRICT;
CREATE TABLE weighing (
    entry INTEGER PRIMARY KEY REFERENCES entry, dog TEXT NOT NULL, grams INTEGER NOT NULL
) STRICT;
CREATE INDEX draw_of_lot ON draw (lot);
CREATE INDEX content_of_bag ON content (bag);
CREATE VIEW live AS SELECT * FROM entry WHERE kind <> 'void' AND entry NOT IN (
    SELECT voids FROM entry WHERE voids IS NOT NULL);
CREATE VIEW stock AS
    SELECT lot, cut, owner, supplier, frozen_on, grams - coalesce((
        SELECT sum(draw.grams) FROM draw JOIN live USING (entry) WHERE draw.lot = lot.lot), 0) AS left_g
    FROM lot JOIN live USING (entry);
"""
"""The tables and views of the first version. Money and shares are text, as exact numbers must stay exact; days are
`2027-02-06`. A draw takes grams out of a lot, or below zero puts some back that were found when it was counted. A bag
is `kept` for a day where the next batch leaves that day out for it."""

KEPT = (
    *("entry", "batch", "dog", "share", "ordered", "bill", "listed", "lot", "mark", "draw", "bag", "content", "fate"),
    "weighing",
)
"""The tables by name, in the order in which they speak of one another."""

ONLY_ADDED = "".join(
    f"CREATE TRIGGER no_{what}_of_{table} BEFORE {what} ON {table} BEGIN "
    "SELECT raise(ABORT, 'the book is only added to'); END;\n"
    for table in KEPT
    for what in ("update", "delete")
)

VERSIONS = (TABLES + ONLY_ADDED,)
"""What leads from each version to the next, from an empty file on. A step that shipped is never changed."""


class BookError(Exception):
    """What is in the way of a book, and the one remedy."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.remedy = remedy


def book_beside(scenario: Path) -> Path:
    """The book of all scenarios in the folder of this one."""
    return scenario.parent / FILE_NAME


@contextmanager
def writing(path: Path, versions: Sequence[str] = VERSIONS) -> Iterator[sqlite3.Connection]:
    """The book's tables to add to: all that is added is kept together at the end, or nothing of it.

    The file is made if it is not there. Whoever else wants to write waits meanwhile; BookError if that takes too long.
    """
    with _said_plainly(path), closing(sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)) as tables:
        _version(tables, path, versions)  # so that a file that is no book of ours stays as it is
        _write_ahead(tables)
        tables.execute("PRAGMA synchronous = FULL")  # what was confirmed outlives a power cut
        tables.execute("PRAGMA foreign_keys = ON")
        tables.execute("BEGIN IMMEDIATE")
        try:
            _bring_up_to_date(tables, path, versions)
            yield tables
        except BaseException:
            if tables.in_transaction:  # where the disk is full SQLite has taken all back by itself
                tables.execute("ROLLBACK")
            raise
        tables.execute("COMMIT")


def _write_ahead(tables: sqlite3.Connection) -> None:
    """Let others read while we write. Where two begin the book at once SQLite refuses one of them without waiting."""
    began = time.monotonic()
    while True:
        try:
            tables.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as error:
            if not _is_busy(error) or time.monotonic() > began + WAIT_S:
                raise
            time.sleep(1 / 50)
        else:
            return


def _is_busy(error: sqlite3.DatabaseError) -> bool:
    """Whether somebody else has the file."""
    return getattr(error, "sqlite_errorname", "").startswith(("SQLITE_BUSY", "SQLITE_LOCKED"))


@contextmanager
def looking_into(path: Path, versions: Sequence[str] = VERSIONS) -> Iterator[sqlite3.Connection]:
    """The book's tables to read, as they were at one moment; an older book is brought up to date in memory only."""
    if not path.exists():
        raise BookError(f"there is no book `{path}` yet", "`raworder enter SCENARIO` begins one")
    with _said_plainly(path), closing(sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)) as tables:
        tables.execute("PRAGMA query_only = ON")
        tables.execute("BEGIN")
        if _version(tables, path, versions) == len(versions):
            yield tables
            return
        with closing(sqlite3.connect(":memory:", isolation_level=None)) as copied:
            tables.backup(copied)
            _bring_up_to_date(copied, path, versions)
            yield copied


def _bring_up_to_date(tables: sqlite3.Connection, path: Path, versions: Sequence[str]) -> None:
    """Take the steps from the book's version to ours, within what is being written."""
    version = _version(tables, path, versions)
    for step in versions[version:]:
        for statement in _statements(step):
            tables.execute(statement)
    if version < len(versions):
        tables.execute(f"PRAGMA application_id = {APPLICATION}")
        tables.execute(f"PRAGMA user_version = {len(versions)}")


def _statements(script: str) -> Iterator[str]:
    """The statements of a script one by one; `executescript` would end what is being written."""
    begun = ""
    for piece in script.split(";"):
        begun += f"{piece};"
        if sqlite3.complete_statement(begun):
            yield begun
            begun = ""


def _version(tables: sqlite3.Connection, path: Path, versions: Sequence[str]) -> int:
    """The version of a book, 0 for a file that is still empty; BookError for a file that is no book of ours."""
    (application,) = tables.execute("PRAGMA application_id").fetchone()
    (version,) = tables.execute("PRAGMA user_version").fetchone()
    (count,) = tables.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if (application != APPLICATION and count) or (application == APPLICATION and not version):
        raise BookError(f"`{path}` is no book of raworder", "name another file with --book")
    if version > len(versions):
        raise BookError(f"`{path}` was written by a newer raworder", "install that one, or name another file")
    return int(version)


@contextmanager
def _said_plainly(path: Path) -> Iterator[None]:
    """Turn what SQLite has against a file into a BookError; what was added is not kept then."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        name = getattr(error, "sqlite_errorname", "")
        if _is_busy(error):
            raise BookError(f"somebody else is writing into `{path}`", "let that one end, and try again") from None
        if name.startswith(("SQLITE_NOTADB", "SQLITE_CORRUPT")):
            raise BookError(f"`{path}` is no book, or it is damaged", "put back a copy, or name another file") from None
        if name.startswith(("SQLITE_FULL", "SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_IOERR", "SQLITE_PERM")):
            message = f"`{path}` cannot be used: {error}; nothing was entered"
            raise BookError(message, "make room, or check the folder and its permissions") from None
        raise
