"""Completion in the shell: the program prints a script that the shell can read, and completes what is typed.

**Source:** the manual of click on completion: a variable named after the program, `COMP_WORDS` and `COMP_CWORD`; and
the shells themselves, which check their scripts with `-n`.
"""

import os
import shlex
import subprocess
from pathlib import Path

import pytest

from raworder.reading.help_pages import read_topic
from raworder.trade.document import Verbatim
from tests.commands.running import ROOT, command, ran, surroundings
from tests.left_out import program

SHELLS = ("bash", "zsh", "fish")
FIRST = {"bash": "_raworder_completion", "zsh": "#compdef raworder", "fish": "function _raworder_completion"}


def completed(words: str, place: int, folder: Path = ROOT) -> list[str]:
    """What bash is offered for the word at a place."""
    variables = {"_RAWORDER_COMPLETE": "bash_complete", "COMP_WORDS": words, "COMP_CWORD": str(place)}
    ended = ran(variables=variables, folder=folder)
    assert (ended.code, ended.stderr) == (0, "")
    return ended.stdout.split()


def script(shell: str) -> str:
    """The script for a shell."""
    ended = ran(variables={"_RAWORDER_COMPLETE": f"{shell}_source"})
    assert (ended.code, ended.stderr) == (0, "")
    return ended.stdout


def told_lines() -> list[str]:
    """The lines that `raworder help begin` tells to put into the startup files of shells."""
    lines = read_topic("begin", lambda _: ()).blocks[-1]
    assert isinstance(lines, Verbatim)
    return lines.text.split("\n")


@pytest.mark.parametrize("shell", SHELLS)
def test_the_script_is_printed_and_nothing_else(shell: str) -> None:
    if shell == "bash":
        program(shell)  # click asks it for its version
    told = script(shell)
    assert told.startswith(FIRST[shell])
    assert f"_RAWORDER_COMPLETE={shell}_complete" in told


@pytest.mark.parametrize("shell", SHELLS)
def test_the_shell_can_read_its_script(shell: str) -> None:
    ended = subprocess.run([program(shell), "-n"], input=script(shell), capture_output=True, text=True, check=False)
    assert (ended.returncode, ended.stderr) == (0, "")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "place", "offered"),
    [
        ("raworder pl", 1, ["plain,plan"]),
        ("raworder me", 1, ["plain,message"]),
        ("raworder calendar owner.yaml --ala", 3, ["plain,--alarm"]),
        ("raworder plan owner.yaml --paper co", 4, ["plain,costs"]),
        ("raworder plan ow", 2, ["file,ow"]),  # the shell itself completes names of files
        ("raworder calendar owner.yaml --ics ", 4, ["file,"]),
    ],
)
def test_what_is_typed_is_completed(words: str, place: int, offered: list[str]) -> None:
    assert completed(words, place) == offered


@pytest.mark.slow
def test_bash_completes_a_command_with_the_script_that_was_printed(tmp_path: Path) -> None:
    bash, ours = program("bash"), tmp_path / "raworder"
    ours.write_text(f'#!{bash}\nexec {shlex.join(command())} "$@"\n')
    ours.chmod(0o755)
    source = 'eval "$(_RAWORDER_COMPLETE=bash_source raworder)"'  # as the help tells it
    assert source in told_lines()
    typed = 'COMP_WORDS=(raworder pl); COMP_CWORD=1; _raworder_completion raworder; echo "${COMPREPLY[0]}"'
    ended = subprocess.run(
        [bash, "--norc", "-c", f"{source}; {typed}"],
        env=surroundings(PATH=f"{tmp_path}{os.pathsep}{os.environ['PATH']}"),
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ended.stdout, ended.stderr) == ("plan\n", "")


@pytest.mark.parametrize("shell", SHELLS)
def test_the_help_tells_the_line_for_every_shell(shell: str) -> None:
    assert any(f"_RAWORDER_COMPLETE={shell}_source raworder" in line for line in told_lines())
