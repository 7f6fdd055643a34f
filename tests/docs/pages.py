"""The pages that are tested: their command blocks, their tables, and how a golden part of them is rewritten."""

import re
import shlex
from collections.abc import Iterator, Sequence
from contextlib import chdir
from dataclasses import dataclass
from pathlib import Path

from tests.commands.running import told

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
DEVELOPERS = ROOT / "DEVELOPERS.md"
TOPIC_PAGES = tuple(sorted((ROOT / "raworder" / "help").glob("*.md")))
PAGES = (README, DEVELOPERS, *TOPIC_PAGES)
CONSOLE = re.compile(r"```console\n(.*?)```", re.DOTALL)
CUT = "..."
"""A line of this stands for any number of lines."""


@dataclass(frozen=True)
class Command:
    """One command of a console block as it is written, and the lines that are to follow it."""

    page: Path
    written: str
    expected: tuple[str, ...]

    @property
    def line(self) -> str:
        """The command on one line."""
        return re.sub(r"\\\n *", "", self.written)


def commands(page: Path) -> Iterator[Command]:
    """The commands of every console block of a page."""
    for block in CONSOLE.findall(page.read_text(encoding="utf-8")):
        for one in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            command = re.match(r"(?:.*\\\n)*.*\n", one)
            assert command
            shown = one[command.end() :].rstrip("\n")
            yield Command(page, command[0].rstrip("\n"), tuple(shown.split("\n")) if shown else ())


def output(line: str) -> tuple[str, ...]:
    """What a command prints, findings included, given in the checkout as a person would; never a mistake of our own."""
    words = shlex.split(line)
    assert words[0] == "raworder"
    with chdir(ROOT):
        ended = told(*words[1:])
    assert ended.code in {0, 1, 2}, ended.stderr
    return tuple(line.rstrip() for line in (ended.stderr + ended.stdout).rstrip("\n").split("\n"))


def agrees(expected: tuple[str, ...], found: tuple[str, ...]) -> bool:
    """Whether the lines are the same; a line of three points stands for any number of lines."""
    if CUT not in expected:
        return expected == found
    at = expected.index(CUT)
    rest = expected[at + 1 :]
    return expected[:at] == found[:at] and len(found) >= at + len(rest) and found[len(found) - len(rest) :] == rest


def cut_down(expected: tuple[str, ...], found: tuple[str, ...]) -> tuple[str, ...]:
    """What was printed, with as many lines before and after the cut as there are in the page."""
    if CUT not in expected:
        return found
    at = expected.index(CUT)
    return (*found[:at], CUT, *found[len(found) - (len(expected) - at - 1) :])


def table_after(page: Path, marker: str) -> list[list[str]]:
    """The cells of the rows of the table that follows a marker, without its head."""
    lines = page.read_text(encoding="utf-8").split(marker, 1)[1].lstrip("\n").split("\n")
    rows = lines[: next(i for i, line in enumerate(lines) if not line.startswith("|"))]
    return [[cell.strip() for cell in row.strip("|").split(" | ")] for row in rows[2:]]


def rewrite_table(page: Path, marker: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """The page with the table after the marker written anew."""
    lines = [f"| {' | '.join(cells)} |" for cells in (heads, *rows)]
    table = "\n".join((lines[0], f"|{'---|' * len(heads)}", *lines[1:]))
    before, after = page.read_text(encoding="utf-8").split(marker, 1)
    rest = re.sub(r"^(?:\n*\|.*)+\n", "", after)
    return f"{before}{marker}\n\n{table}\n{rest}"
