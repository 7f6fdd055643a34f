"""What comes on standard input, and names that people give: nothing in them ends in a traceback or moves the cursor.

All names and prices are invented. **Source:** the house's own rules; no outside source.
"""

import io
import os
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from raworder.cli import main
from tests.commands.running import OWNER, ROOT, SCENARIOS, Ended, command, surroundings, told

SMALLEST = SCENARIOS / "smallest.yaml"
CLEAR, SHOWN = "\x1b[2J", "\\x1b[2J"
FRAME = ("--currency", "EUR", "--starts", "2027-02-06", "--dog", "Maple, 22 kg, 2.5 %, prey model")


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("saved") / "plan.json"
    path.write_text(told("plan", SMALLEST, "--json").stdout)
    return path


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> "Run":
    return Run(monkeypatch, capsys)


class Run:
    """The whole command in this process, with its own way of ending; what is typed are bytes, or nothing is open."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self.monkeypatch, self.capsys = monkeypatch, capsys
        monkeypatch.setattr("raworder.cli.threading", SimpleNamespace(enumerate=tuple))  # pytest has threads of its own

    def __call__(self, *words: str | Path, typed: bytes | None = b"") -> Ended:
        self.monkeypatch.setattr(sys, "argv", ["raworder", *map(str, words)])
        given = None if typed is None else io.TextIOWrapper(io.BytesIO(typed), "utf-8")
        self.monkeypatch.setattr(sys, "stdin", given)
        code: object = 0
        try:
            main()
        except SystemExit as ended:
            code = ended.code
        said = self.capsys.readouterr()
        assert isinstance(code, int)
        return Ended(int(code), said.out, said.err)


@pytest.mark.slow
def test_a_command_that_asks_says_that_standard_input_is_closed(run: Run, saved: Path, tmp_path: Path) -> None:
    for words in (("weigh", SMALLEST, "--plan", saved, "--record", tmp_path / "a.csv"), ("start", tmp_path / "a.yaml")):
        ended = run(*words, typed=None)
        assert ended.code == 2
        assert (
            ended.stderr
            == "raworder: standard input is closed, so nobody can be asked; run the command in a terminal\n"
        )
    assert list(tmp_path.iterdir()) == []


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="needs a shell that can close standard input")
def test_a_closed_standard_input_gives_its_number_to_no_file(tmp_path: Path) -> None:
    words = command("start", tmp_path / "mine.yaml", *FRAME)
    ended = subprocess.run(
        ["sh", "-c", '"$@" <&-', "sh", *words],
        cwd=ROOT,
        env=surroundings(),
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ended.returncode, ended.stderr.count("\n")) == (0, 1)
    assert ended.stderr.startswith(f"written: {tmp_path / 'mine.yaml'}, ")
    assert (tmp_path / "mine.yaml").exists()


@pytest.mark.slow
@pytest.mark.parametrize("typed", [b"\xff\xfe\x00", b"16\xff0\n", b"\xed\xa0\x80\n", b"1" * 20_000])
def test_what_is_no_text_on_standard_input_ends_with_one_line(
    typed: bytes, run: Run, saved: Path, tmp_path: Path
) -> None:
    record = tmp_path / "weighed.csv"
    for words in (("weigh", SMALLEST, "--plan", saved, "--record", record), ("start", tmp_path / "mine.yaml")):
        ended = run(*words, typed=typed)
        assert ended.code == 2
        assert ended.stderr == "raworder: what came on standard input is no line of text in utf-8; type the answers\n"
    assert record.read_text().count("\n") == 1
    assert not (tmp_path / "mine.yaml").exists()


OUTPUTS = [
    ("plan", OWNER, "--html"),
    ("plan", OWNER, "--markdown"),
    ("plan", OWNER, "--csv"),
    ("plan", OWNER, "--xlsx"),
    ("calendar", OWNER, "--ics"),
    ("replan", OWNER, "--blank"),
    ("weigh", OWNER, "--record"),
    ("start",),
]
"""Every way to name what is written."""


@pytest.mark.parametrize("words", OUTPUTS, ids=lambda words: " ".join([words[0], *words[2:]]))
def test_links_in_a_circle_and_names_that_are_none_are_refused_before_anything_is_solved(
    words: tuple[str | Path, ...], run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError("solved")

    monkeypatch.setattr("raworder.workflow.plan_batch", never)
    one, other = tmp_path / "one.csv", tmp_path / "other.csv"
    one.symlink_to(other)
    other.symlink_to(one)
    for name in (one, one / "inner.csv"):
        ended = run(*words, name, typed=b"stop\n")
        assert (ended.code, ended.stdout) == (2, "")
        assert (
            ended.stderr
            == f"raworder: `{name}` cannot be used: its links lead round in a circle; choose another name\n"
        )
    ended = run(*words, tmp_path / "a\0b.csv", typed=b"stop\n")
    assert (ended.code, ended.stdout) == (2, "")
    assert "a\\x00b.csv` is no name for a file" in ended.stderr
    assert one.is_symlink()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["one.csv", "other.csv"]


@pytest.mark.slow
def test_escapes_that_are_typed_are_shown_and_not_sent_to_the_terminal(run: Run, saved: Path, tmp_path: Path) -> None:
    typed = f"{CLEAR}12\nstop\n".encode()
    ended = run("weigh", SMALLEST, "--plan", saved, "--record", tmp_path / "a.csv", typed=typed)
    assert f"`{SHOWN}12` is no weight" in ended.stderr
    assert "\x1b" not in ended.stderr
    ended = run("start", tmp_path / "mine.yaml", typed=f"{CLEAR}\n".encode())
    assert "the character U+001B may not stand here" in ended.stderr
    assert "\x1b" not in ended.stdout + ended.stderr


@pytest.mark.parametrize(
    "words",
    [
        ("plan", f"{CLEAR}.yaml"),
        ("plan", OWNER, "--paper", CLEAR),
        ("plan", OWNER, f"--{CLEAR}"),
        (CLEAR,),
        ("help", CLEAR),
        ("plan", OWNER, "--time-limit", CLEAR),
        ("labels", OWNER, "--dog", CLEAR),
        ("labels", OWNER, "--sheet", CLEAR),
        ("message", OWNER, "--supplier", CLEAR),
        ("replan", OWNER, "--blank", f"{CLEAR}.txt"),
        ("replan", OWNER, "--receipt", f"{CLEAR}.csv"),
        ("portion", OWNER, "--plan", f"{CLEAR}.json"),
        ("calendar", OWNER, "--ics", f"{OWNER}/{CLEAR}.ics", "--alarm", CLEAR),
        ("start", f"{OWNER}/{CLEAR}.yaml", *FRAME),
        ("start", "new.yaml", *FRAME, "--from", CLEAR),
        ("start", "new.yaml", "--currency", CLEAR),
        ("start", "new.yaml", *FRAME, "--offer", CLEAR),
        ("whatif", OWNER, "--change", CLEAR),
        ("compare", OWNER, f"{CLEAR}.yaml"),
        ("cuts", CLEAR),
    ],
    ids=lambda words: " ".join(str(one) for one in words if one != OWNER).replace("\x1b", "ESC"),
)
def test_escapes_in_names_and_options_are_not_sent_to_the_terminal(words: tuple[str | Path, ...], run: Run) -> None:
    ended = run(*words)
    assert ended.code in {1, 2}
    assert "\x1b" not in ended.stdout + ended.stderr


def test_escapes_in_the_name_and_the_cells_of_a_price_list_are_not_sent_to_the_terminal(
    run: Run, tmp_path: Path
) -> None:
    prices, scenario = tmp_path / f"{CLEAR}.csv", tmp_path / f"{CLEAR}.yaml"
    for cell in (CLEAR, "\u202e"):
        prices.write_text(f"cut,pack,price\nchicken neck,1 kg,2.40\n{cell} necks,1 kg,2.40\nbeef trim,1 kg,{cell}\n")
        ended = run("start", scenario, *FRAME, "--from", prices, "--supplier", "Hollow Lane Butcher")
        assert ended.stderr
        assert not {"\x1b", "\u202e"} & {*ended.stdout, *ended.stderr}
        assert SHOWN in run("plan", scenario).stderr
    assert SHOWN in run("check", scenario).stderr
