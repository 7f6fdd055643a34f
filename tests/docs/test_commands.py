"""Every command block of the README and the contributor's guide is run and compared with what it shows."""

import pytest

from tests.docs.pages import DEVELOPERS, README, Command, agrees, commands, cut_down, output

COMMANDS = [command for page in (README, DEVELOPERS) for command in commands(page)]


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: f"{command.page.name}: {command.line}")
def test_a_command_prints_what_the_page_shows(command: Command, request: pytest.FixtureRequest) -> None:
    found = output(command.line)
    if request.config.getoption("--write-golden"):
        rewrite(command, cut_down(command.expected, found))
    else:
        assert agrees(command.expected, found), "\n".join(found)


def test_the_readme_shows_commands() -> None:
    assert len(list(commands(README))) >= 4


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
    old = "\n".join((f"$ {command.line}", *command.expected))
    assert text.count(old + "\n") == 1
    command.page.write_text(text.replace(old + "\n", "\n".join((f"$ {command.line}", *lines)) + "\n"), encoding="utf-8")
