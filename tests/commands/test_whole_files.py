"""Files are whole or not there, keep the permissions of what they replace, and leave nothing beside them.

**Source:** the house's own rules; no outside source.
"""

import errno
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from raworder.commands.saving import LIST, hidden_path, lock_path, save
from tests.commands.running import surroundings

POSIX = pytest.mark.skipif(os.name != "posix", reason="needs a POSIX system")
TABLES = (("bags.csv", b"bags of one run"), ("costs.csv", b"costs of one run"))
LATER = (("bags.csv", b"bags of a later run"), ("shares.csv", b"shares of a later run"))


def held_in(folder: Path) -> dict[str, bytes]:
    """What the files of a folder hold, without the list of tables."""
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.name != LIST}


def mode(path: Path) -> int:
    return path.stat().st_mode & 0o777


@POSIX
def test_a_new_file_has_the_permissions_that_the_umask_leaves(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        save([(tmp_path / "a.csv", b"a"), (tmp_path / "tables", TABLES)], overwrite=False)
    finally:
        os.umask(before)
    assert (mode(tmp_path / "a.csv"), mode(tmp_path / "tables"), mode(tmp_path / "tables" / "bags.csv")) == (
        0o640,
        0o750,
        0o640,
    )


@POSIX
def test_a_file_that_is_replaced_keeps_its_permissions_and_so_does_a_folder(tmp_path: Path) -> None:
    file, folder = tmp_path / "a.html", tmp_path / "tables"
    save([(file, b"old"), (folder, TABLES)], overwrite=False)
    for path, bits in ((file, 0o604), (folder, 0o705), (folder / "bags.csv", 0o600)):
        path.chmod(bits)
    save([(file, b"new"), (folder, LATER)], overwrite=True)
    assert (mode(file), mode(folder), mode(folder / "bags.csv")) == (0o604, 0o705, 0o600)
    assert file.read_bytes() == b"new"


@POSIX
def test_a_link_is_written_through_and_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    target, link = tmp_path / "real" / "a.html", tmp_path / "a.html"
    target.write_bytes(b"old")
    link.symlink_to(Path("real") / "a.html")
    with pytest.raises(FileExistsError, match="is there already; add --overwrite"):
        save([(link, b"new")], overwrite=False)
    save([(link, b"new")], overwrite=True)
    assert link.is_symlink()
    assert held_in(tmp_path / "real") == {"a.html": b"new"}


@POSIX
def test_a_link_to_nothing_is_not_replaced_unasked_and_then_written_through(tmp_path: Path) -> None:
    target, link = tmp_path / "real.html", tmp_path / "a.html"
    link.symlink_to(target)
    for content in (b"new", TABLES):
        with pytest.raises(FileExistsError, match="is a link to what is not there; add --overwrite"):
            save([(link, content)], overwrite=False)
    assert [path.name for path in tmp_path.iterdir()] == ["a.html"]
    save([(link, b"new")], overwrite=True)
    assert (link.is_symlink(), target.read_bytes()) == (True, b"new")


def test_a_folder_of_tables_is_replaced_as_one_and_no_table_of_before_stays(tmp_path: Path) -> None:
    folder = tmp_path / "tables"
    save([(folder, TABLES)], overwrite=False)
    assert held_in(folder) == dict(TABLES)
    with pytest.raises(FileExistsError, match="holds tables already; add --overwrite"):
        save([(folder, LATER)], overwrite=False)
    save([(folder, LATER)], overwrite=True)
    assert held_in(folder) == dict(LATER)
    assert [path.name for path in tmp_path.iterdir()] == ["tables"]


def test_whoever_looks_into_a_folder_meanwhile_never_sees_tables_of_two_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, seen = tmp_path / "tables", []
    save([(folder, TABLES)], overwrite=False)
    replace = Path.replace

    def look(path: Path, target: Path) -> Path:
        """As the system does, with a look at the folder before and after."""
        for step in (lambda: path, lambda: replace(path, target)):
            result = step()
            seen.append(held_in(folder) if folder.exists() else None)
        return result

    monkeypatch.setattr(Path, "replace", look)
    save([(folder, LATER)], overwrite=True)
    assert [one for one in seen if one is not None] == [dict(TABLES), dict(LATER)]


def test_a_folder_that_holds_anything_else_is_left_as_it_is(tmp_path: Path) -> None:
    folder = tmp_path / "tables"
    save([(folder, TABLES)], overwrite=False)
    (folder / "prices.csv").write_bytes(b"mine")
    before = held_in(folder)
    for overwrite in (True, False):
        with pytest.raises(FileExistsError, match=r"holds `prices\.csv`, which is no table of this command"):
            save([(folder, LATER)], overwrite=overwrite)
    assert held_in(folder) == before
    (folder / "prices.csv").unlink()
    (folder / LIST).unlink()  # a folder that an older version wrote
    save([(folder, TABLES)], overwrite=True)
    (folder / LIST).unlink()
    with pytest.raises(FileExistsError, match=r"holds `costs\.csv`"):
        save([(folder, LATER)], overwrite=True)


def test_an_empty_folder_takes_tables_and_a_file_or_the_folder_one_stands_in_does_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "file").write_bytes(b"mine")
    save([(tmp_path / "empty", TABLES)], overwrite=False)
    assert held_in(tmp_path / "empty") == dict(TABLES)
    with pytest.raises(FileExistsError, match="is there already and is no folder"):
        save([(tmp_path / "file", TABLES)], overwrite=True)
    monkeypatch.chdir(tmp_path / "empty")
    with pytest.raises(FileExistsError, match="is the folder that you are in"):
        save([(Path(), TABLES)], overwrite=True)


def test_nothing_else_is_written_into_a_folder_that_is_replaced_as_one(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="is in the folder of the tables, which is replaced as one"):
        save([(tmp_path / "tables", TABLES), (tmp_path / "tables" / "a.html", b"a")], overwrite=False)
    assert list(tmp_path.iterdir()) == []


KILLED = """
import os, sys
from pathlib import Path
from raworder.commands import saving as whole_files
at, steps, replace = int(sys.argv[1]), 0, Path.replace
def killed(path, target):
    global steps
    steps += 1
    if steps == at:
        os.kill(os.getpid(), 9)
    return replace(path, target)
Path.replace = killed
whole_files.save(
    [(Path("a.html"), b"later"), (Path("tables"), (("bags.csv", b"later"), ("shares.csv", b"later")))], overwrite=True
)
"""


@POSIX
@pytest.mark.parametrize("at", [1, 2, 3])
def test_what_a_killed_run_left_is_cleared_away_by_the_next(at: int, tmp_path: Path) -> None:
    file, folder = tmp_path / "a.html", tmp_path / "tables"
    save([(file, b"old"), (folder, TABLES)], overwrite=False)
    (tmp_path / ".a.html.raworder-mine").write_bytes(b"not ours")
    ended = subprocess.run([sys.executable, "-c", KILLED, str(at)], cwd=tmp_path, env=surroundings(), check=False)
    assert ended.returncode == -signal.SIGKILL
    assert len(list(tmp_path.iterdir())) > 3
    assert not folder.exists() or held_in(folder) == dict(TABLES)
    with pytest.raises(FileExistsError, match="tables` holds tables already"):  # the folder is back, whole
        save([(folder, TABLES)], overwrite=False)
    assert held_in(folder) == dict(TABLES)
    save([(file, b"new"), (folder, LATER)], overwrite=True)
    assert sorted(path.name for path in tmp_path.iterdir()) == [".a.html.raworder-mine", "a.html", "tables"]
    assert (file.read_bytes(), held_in(folder)) == (b"new", dict(LATER))


def test_what_a_run_that_still_lives_has_beside_the_file_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from raworder.commands import saving as whole_files
    from raworder.commands.saving import hold_lock

    monkeypatch.setattr(whole_files, "WAIT_S", 0)
    file = tmp_path / "a.html"
    beside = hidden_path(file, "new")
    beside.write_bytes(b"just being written")
    with hold_lock(file), pytest.raises(BlockingIOError, match=r"a\.html` is in use by process"):
        save([(file, b"new")], overwrite=True)
    assert beside.read_bytes() == b"just being written"
    assert not lock_path(file).exists()


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT])
def test_a_full_disk_names_the_file_and_the_remedy_and_leaves_what_was(
    number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, folder = tmp_path / "a.html", tmp_path / "tables"
    save([(file, b"old"), (folder, TABLES)], overwrite=False)
    written = []

    def full(_descriptor: int) -> None:
        written.append(1)
        if len(written) == 3:  # a table of the folder, after the file
            raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", full)
    words = rf"tables` cannot be written: {os.strerror(number).lower()}; make room there, or name another place"
    with pytest.raises(OSError, match=words):
        save([(file, b"new"), (folder, LATER)], overwrite=True)
    assert (file.read_bytes(), held_in(folder)) == (b"old", dict(TABLES))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.html", "tables"]


@POSIX
def test_a_file_larger_than_a_process_may_write_is_told_like_a_full_disk(tmp_path: Path) -> None:
    import resource

    file = tmp_path / "a.html"
    file.write_bytes(b"old")
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, before[1]))
    try:
        with pytest.raises(OSError, match=r"a\.html` cannot be written: file too large; make room there"):
            save([(file, b"x" * 200_000)], overwrite=True)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [("a.html", b"old")]


def test_a_name_as_long_as_a_disk_takes_is_written(tmp_path: Path) -> None:
    file = tmp_path / f"{'ü' * 125}.html"
    save([(file, b"a")], overwrite=False)
    assert list(tmp_path.iterdir()) == [file]
