"""What all tests share: golden files, compared byte by byte and written only when asked for; stable examples."""

from collections import Counter
from collections.abc import Callable, Iterator
from difflib import unified_diff
from pathlib import Path

import pytest
from hypothesis import settings

Golden = Callable[[Path, str], None]

settings.register_profile("raworder", deadline=None, derandomize=True)
settings.load_profile("raworder")


def pytest_addoption(parser: pytest.Parser) -> None:
    """The one switch that writes golden files."""
    parser.addoption("--write-golden", action="store_true", help="write golden files instead of comparing with them")


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> Iterator[None]:
    """Last of all, how many tests were left out for want of what, so that nobody has to add up a long list."""
    yield
    reports = terminalreporter.stats.get("skipped", [])
    reasons = Counter(str(one.longrepr[2]).removeprefix("Skipped: ") for one in reports)
    for reason, count in sorted(reasons.items()):
        if "install" in reason:
            terminalreporter.write_line(f"{count} {'test' if count == 1 else 'tests'} left out: {reason}")


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Golden:
    """Compare a text with the file at a path, byte by byte (UTF-8, LF); or write it there when that was asked for."""
    writes = bool(request.config.getoption("--write-golden"))
    return write_golden if writes else compare_golden


def write_golden(path: Path, text: str) -> None:
    """Write the text as it is."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode())


def compare_golden(path: Path, text: str) -> None:
    """Fail with the lines that differ, or when there is no such file."""
    if not path.exists():
        pytest.fail(f"there is no golden file {path.name}; look at what it would hold and run with --write-golden")
    kept = path.read_bytes()
    if kept != text.encode():
        lines = unified_diff(
            kept.decode().splitlines(), text.splitlines(), f"{path.name} as kept", "as it is now", lineterm=""
        )
        pytest.fail("\n".join(lines) or f"{path.name} differs in its line ends")
