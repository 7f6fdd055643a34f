"""Every command block of the README, the help and the contributor's guide is run and compared with what it shows.

Commands that are only named must be there too, with the options that they are named with.
"""

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest

from raworder.cli import cli
from raworder.reading.help_pages import TOPICS
from raworder.trade.rulebook import RULES
from tests.docs.pages import (
    CONSOLE,
    DEVELOPERS,
    PAGES,
    README,
    ROOT,
    TOPIC_PAGES,
    Command,
    agrees,
    commands,
    cut_down,
    output,
)

COMMANDS = [command for page in PAGES for command in commands(page)]
MOST_README_BYTES, MOST_PASTED_BYTES = 16_000, 4_000
MOST_TOPIC_BYTES, MOST_HELP_BYTES, MOST_GUIDE_BYTES = 8_000, 40_000, 25_000
WIDEST_CODE = 76
"""Code of a topic is set in by four, and terminals of 80 columns must do."""

FENCED = re.compile(r"```(\w+)\n(.*?)```", re.DOTALL)
NAMED = re.compile(r"`(raworder [^`]+)`", re.DOTALL)


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: f"{command.page.name}: {command.line}")
def test_a_command_prints_what_the_page_shows(command: Command, request: pytest.FixtureRequest) -> None:
    found = output(command.line)
    if request.config.getoption("--write-golden"):
        rewrite(command, cut_down(command.expected, found))
    else:
        assert agrees(command.expected, found), "\n".join(found)


def test_the_readme_shows_a_command_for_each_of_the_three_users() -> None:
    assert len(list(commands(README))) >= 3


def test_the_readme_can_be_finished() -> None:
    text = README.read_text(encoding="utf-8")
    pasted = [line for block in CONSOLE.findall(text) for line in block.split("\n") if not line.startswith("$ ")]
    assert len(text.encode()) <= MOST_README_BYTES
    assert len("\n".join(pasted).encode()) <= MOST_PASTED_BYTES


def test_the_guide_can_be_finished() -> None:
    assert len(DEVELOPERS.read_bytes()) <= MOST_GUIDE_BYTES


def test_the_guide_names_files_that_are_there() -> None:
    named = set(re.findall(r"`((?:[a-z_]+/)+(?:[a-z_]+\.(?:py|md))?)`", DEVELOPERS.read_text(encoding="utf-8")))
    assert len(named) > 20
    assert [
        name for name in sorted(named) if not any((root / name).exists() for root in (ROOT, ROOT / "raworder"))
    ] == []


def test_the_topics_can_be_finished() -> None:
    sizes = {page.name: len(page.read_bytes()) for page in TOPIC_PAGES}
    assert [name for name, size in sizes.items() if size > MOST_TOPIC_BYTES] == []
    assert sum(sizes.values()) <= MOST_HELP_BYTES


@pytest.mark.parametrize("page", TOPIC_PAGES, ids=lambda page: page.stem)
def test_the_code_of_a_topic_fits_a_terminal_of_80_columns(page: Path) -> None:
    blocks = [code for _, code in FENCED.findall(page.read_text(encoding="utf-8"))]
    assert [line for code in blocks for line in code.split("\n") if len(line) > WIDEST_CODE] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_a_command_that_is_named_is_there_with_its_options(page: Path) -> None:
    named = [words for line in named_commands(page.read_text(encoding="utf-8")) for words in unknown_words(line)]
    assert named == []


def test_a_command_that_is_not_there_is_noticed() -> None:
    text = (
        "`raworder plot FILE` or `raworder plan FILE --dear`, and `raworder help\nnowhere`\n```sh\nraworder wigh\n```"
    )
    unknown = [words for line in named_commands(text) for words in unknown_words(line)]
    assert unknown == ["wigh", "plot", "--dear", "nowhere"]


def test_a_changed_line_is_noticed() -> None:
    found = ("one", "two", "three")
    assert agrees(found, found)
    assert agrees(("one", "...", "three"), found)
    assert not agrees(("one", "three"), found)
    assert not agrees(("one", "...", "four"), found)
    assert not agrees(("two", "...", "three"), found)


def rewrite(command: Command, lines: tuple[str, ...]) -> None:
    """Put what was printed in place of what the page shows."""
    text = command.page.read_text(encoding="utf-8")
    old = "\n".join((f"$ {command.written}", *command.expected))
    assert text.count(old + "\n") == 1
    command.page.write_text(
        text.replace(old + "\n", "\n".join((f"$ {command.written}", *lines)) + "\n"), encoding="utf-8"
    )


def named_commands(text: str) -> Iterator[str]:
    """Every command of ours that stands in code, on one line."""
    for kind, code in FENCED.findall(text):
        if kind in {"sh", "console"}:
            joined = re.sub(r"\\\n *", "", code)
            yield from re.findall(r"^(?:\$ )?(raworder .*)$", joined, re.MULTILINE)
    yield from (" ".join(line.split()) for line in NAMED.findall(FENCED.sub("", text)))


def unknown_words(line: str) -> Iterator[str]:
    """What in a command is no command, no option of it, or no word of the help."""
    _, name, *words = shlex.split(re.split(r" [|>] ", line)[0])
    if name.startswith("-") or name == "COMMAND":
        return
    command = cli.commands.get(name)
    if command is None:
        yield name
        return
    known = {option for parameter in command.params for option in parameter.opts} | {"--help"}
    yield from (word for word in words if word.startswith("--") and word not in known)
    if (
        name == "help"
        and words
        and words[0].islower()
        and words[0] not in {*TOPICS, *cli.commands, *(rule.key for rule in RULES)}
    ):
        yield words[0]
