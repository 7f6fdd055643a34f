"""Ways to run the command: in this process, where only words and exit codes matter, or in one of its own."""

import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from click.testing import CliRunner

from raworder.cli import cli

ROOT = Path(__file__).resolve().parents[2]
SCENARIOS = ROOT / "scenarios"
OWNER, IMPOSSIBLE = SCENARIOS / "owner.yaml", SCENARIOS / "impossible.yaml"
SMALLEST = SCENARIOS / "smallest.yaml"

CHANGES_OUTPUT = frozenset(
    {
        "COLUMNS",
        "FORCE_COLOR",
        "NO_COLOR",
        "PYTHONHASHSEED",
        "PYTHONIOENCODING",
        "PYTHONUNBUFFERED",
        "PYTHONUTF8",
        "RAWORDER_TRACEBACK",
        "TERM",
    }
)


def before_next(screen: str) -> str:
    """What a screen says before it names the next commands, which name the files of this plan."""
    return screen.partition("\nNext\n")[0]


COMMAND = """
import signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)
sys.argv[0] = "raworder"
{first}
from raworder.cli import main
main()
"""


@dataclass(frozen=True)
class Ended:
    """How a command ended, and what it wrote."""

    code: int
    stdout: str
    stderr: str

    @property
    def but_for_files(self) -> "Ended":
        """The same without the line at the end that says where files are."""
        *lines, last = self.stderr.splitlines(keepends=True) or [""]
        return Ended(self.code, self.stdout, "".join((*lines, "" if last.startswith("written: ") else last)))


def told(*arguments: str | Path, typed: str = "") -> Ended:
    """The command in this process, with what is typed into it. A mistake of ours is raised, not told."""
    result = CliRunner().invoke(cli, [str(one) for one in arguments], input=typed, prog_name="raworder")
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return Ended(result.exit_code, result.stdout, result.stderr)


def command(*arguments: str | Path, first: str = "") -> list[str]:
    """The words that start the command in a process of its own; `first` is run before it, to set something up."""
    return [sys.executable, "-c", COMMAND.format(first=first), *map(str, arguments)]


def surroundings(**variables: str) -> dict[str, str]:
    """The environment of a command: ours without what changes its output, and with these variables."""
    kept = {name: value for name, value in os.environ.items() if name not in CHANGES_OUTPUT}
    return {**kept, "PYTHONPATH": str(ROOT), **variables}


def ran(
    *arguments: str | Path,
    first: str = "",
    variables: Mapping[str, str] | None = None,
    folder: Path = ROOT,
    encoding: str = "utf-8",
) -> Ended:
    """The command in a process of its own."""
    ended = subprocess.run(
        command(*arguments, first=first),
        cwd=folder,
        env=surroundings(**(variables or {})),
        capture_output=True,
        stdin=subprocess.DEVNULL,
        check=False,
    )
    return Ended(ended.returncode, ended.stdout.decode(encoding), ended.stderr.decode(encoding))


def on_a_terminal(*words: str, variables: Mapping[str, str]) -> str:
    """What a command writes to a terminal; only where there is a `pty`."""
    import pty

    ours, theirs = pty.openpty()
    running = subprocess.Popen(words, cwd=ROOT, env=surroundings(**variables), stdout=theirs, stderr=theirs)
    os.close(theirs)
    said = b""
    try:
        while more := os.read(ours, 4096):
            said += more
    except OSError:  # how a closed terminal is told
        pass
    os.close(ours)
    running.wait(timeout=20)
    return said.decode()
