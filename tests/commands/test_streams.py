"""Where words go: results to standard output, findings to standard error, whatever those are connected to.

**Source:** https://no-color.org for NO_COLOR (from memory, not looked up); the rest is the house's own.
"""

import json
import os
import subprocess
from pathlib import Path

import pytest

from tests.commands.running import IMPOSSIBLE, OWNER, ROOT, SMALLEST, command, on_a_terminal, ran, surroundings, told

ESCAPE = "\x1b["
POSIX = pytest.mark.skipif(os.name != "posix", reason="needs a POSIX system")


def _shell(line: str, *arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """A line for the shell, in which `"$@"` is the command."""
    return subprocess.run(
        ["sh", "-c", line, "sh", *command(*arguments)],
        cwd=ROOT,
        env=surroundings(),
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.slow
@POSIX
@pytest.mark.parametrize(
    "arguments", [("plan", SMALLEST), ("plan", SMALLEST, "--json"), ("help",), ("schema",), ("--help",)]
)
def test_a_pipe_that_closes_early_is_no_error(arguments: tuple[str | Path, ...]) -> None:
    ended = _shell('{ "$@"; echo "ended $?" >&2; } | head -n 1', *arguments)
    assert ended.stdout.count("\n") == 1
    assert ended.stderr == "ended 0\n"


@pytest.mark.slow
@POSIX
@pytest.mark.parametrize(("scenario", "code"), [(SMALLEST, 0), (IMPOSSIBLE, 1)])
def test_a_pipe_whose_reader_is_gone_is_no_error_and_the_exit_code_still_tells_the_answer(
    scenario: Path, code: int
) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    ended = subprocess.run(
        command("plan", scenario), cwd=ROOT, env=surroundings(), stdout=writing, stderr=subprocess.PIPE, check=False
    )
    os.close(writing)
    assert (ended.returncode, ended.stderr) == (code, b"")


@pytest.mark.slow
@POSIX
def test_findings_that_nobody_reads_still_end_with_2() -> None:
    ended = _shell('{ "$@" 2>&1 >/dev/null; echo "ended $?" >&2; } | true', "check", "none.yaml")
    assert ended.stderr == "ended 2\n"


@pytest.mark.slow
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a disk that is always full")
@pytest.mark.parametrize("arguments", [("plan", SMALLEST), ("scenarios",), ("schema",), ("--help",), ("--version",)])
def test_a_full_disk_is_told_in_one_line_with_2(arguments: tuple[str | Path, ...]) -> None:
    ended = _shell('"$@" > /dev/full', *arguments)
    assert (ended.returncode, ended.stderr) == (2, "raworder: no space left on device\n")


@pytest.mark.slow
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a disk that is always full")
@pytest.mark.parametrize("arguments", [("plan", "none.yaml"), ("plan",), ("help", "nowhere")])
def test_findings_that_cannot_be_written_still_end_with_2(arguments: tuple[str, ...]) -> None:
    assert _shell('"$@" 2> /dev/full', *arguments).returncode == 2
    assert _shell('"$@" 2>&-', *arguments).returncode == 2


@POSIX
@pytest.mark.parametrize("arguments", [("plan", SMALLEST), ("help",), ("scenarios",)])
def test_a_closed_standard_output_is_told_in_one_line_with_2(arguments: tuple[str | Path, ...]) -> None:
    ended = _shell('"$@" >&-', *arguments)
    assert (ended.returncode, ended.stderr) == (2, "raworder: standard output is closed\n")


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_console_of_few_characters_gets_plain_lines_and_every_number(encoding: str) -> None:
    plain = ran("plan", SMALLEST, variables={"PYTHONIOENCODING": encoding}, encoding=encoding)
    assert (plain.code, plain.stderr) == (0, "")
    assert plain.stdout.isascii()
    assert [line.split() for line in plain.stdout.splitlines() if any(map(str.isdigit, line))] == [
        line.split() for line in told("plan", SMALLEST).stdout.splitlines() if any(map(str.isdigit, line))
    ]


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_findings_with_characters_that_the_console_lacks_are_told_all_the_same(encoding: str, tmp_path: Path) -> None:
    file = tmp_path / "one.yaml"
    file.write_text(OWNER.read_text(encoding="utf-8").replace("goal: lose", "goal: 粗食"), encoding="utf-8")
    ended = ran("check", file, variables={"PYTHONIOENCODING": encoding}, encoding=encoding)
    assert ended.code == 2
    assert f" --> {file.as_posix()}:9:" in ended.stderr
    assert "Traceback" not in ended.stderr


@pytest.mark.slow
def test_a_pipe_gets_no_colour() -> None:
    assert ESCAPE not in ran("plan", SMALLEST, variables={"TERM": "xterm-256color", "FORCE_COLOR": "1"}).stdout


@pytest.mark.slow
@POSIX
@pytest.mark.parametrize(
    ("variables", "colored"),
    [
        ({"TERM": "xterm-256color"}, True),
        ({"TERM": "xterm-256color", "NO_COLOR": "1"}, False),
        ({"TERM": "xterm-256color", "NO_COLOR": ""}, True),
        ({"TERM": "dumb"}, False),
    ],
)
def test_a_terminal_gets_colour_unless_it_cannot_or_may_not(variables: dict[str, str], colored: bool) -> None:
    assert (ESCAPE in on_a_terminal(*command("help", "cap"), variables=variables)) is colored
    assert (ESCAPE in on_a_terminal(*command("check", "none.yaml"), variables=variables)) is colored


@pytest.mark.slow
@POSIX
def test_colour_adds_nothing_that_plain_words_do_not_say() -> None:
    colored = on_a_terminal(*command("check", "none.yaml"), variables={"TERM": "xterm-256color"})
    plain = on_a_terminal(*command("check", "none.yaml"), variables={"TERM": "dumb"})
    words = "".join(piece.partition("m")[2] if i else piece for i, piece in enumerate(colored.split(ESCAPE)))
    assert words == plain


@pytest.mark.slow
@pytest.mark.parametrize(
    "arguments",
    [
        ("plan", SMALLEST, "--json"),
        ("plan", SMALLEST, "--json", "--solver", "cbc"),
        ("plan", IMPOSSIBLE, "--json"),
        ("cuts", "neck", "--json"),
        ("schema",),
    ],
)
def test_json_is_all_that_stands_on_standard_output(arguments: tuple[str | Path, ...]) -> None:
    ended = ran(*arguments)
    assert ended.stderr == ""
    assert isinstance(json.loads(ended.stdout), dict)


@pytest.mark.slow
def test_warnings_go_to_standard_error_and_the_plan_to_standard_output(tmp_path: Path) -> None:
    file = tmp_path / "one.yaml"
    file.write_text(
        OWNER.read_text(encoding="utf-8").replace("weight: 22 kg, ration: 965 kcal", "weight: 5.5 kg, ration: 10.1 %"),
        encoding="utf-8",
    )
    ended = ran("plan", file, "--json")
    assert ended.stderr.startswith("warning[")
    assert json.loads(ended.stdout)["ended"] in {"plan", "no_plan"}
