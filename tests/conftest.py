"""What all tests share: golden files, compared byte by byte and written only when asked for; stable examples."""

import gc
from collections import Counter
from collections.abc import Callable, Iterator
from difflib import unified_diff
from pathlib import Path

import pytest
from hypothesis import settings

from raworder.studies import asking as engines
from tests.drawn import Draw, seed_of_sources
from tests.once import ONCE

Golden = Callable[[Path, str], None]

ONCE.install()
engines.count_cores = lambda: 1  # a pool costs its start; what is asked with `--workers` gets one
settings.register_profile("raworder", deadline=None, derandomize=True)
settings.load_profile("raworder")


def pytest_addoption(parser: pytest.Parser) -> None:
    """The switch that writes golden files, and those that say what random comparisons draw."""
    parser.addoption("--write-golden", action="store_true", help="write golden files instead of comparing with them")
    parser.addoption("--seed", type=int, default=seed_of_sources(), help="draw random comparisons from this seed")
    parser.addoption("--times", type=int, default=1, metavar="N", help="draw so many times as much at random")


def pytest_configure(config: pytest.Config) -> None:
    """Know what to draw before tests are collected."""
    Draw.seed, Draw.times = config.getoption("--seed"), config.getoption("--times")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What tries few of many cases is not in the first tier."""
    for item in items:
        if item.get_closest_marker("long"):
            item.add_marker(pytest.mark.slow)


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Search once for what was searched for already, but not in a test that puts something in a part's place."""
    ONCE.on = "monkeypatch" not in getattr(item, "fixturenames", ())


def pytest_collection_finish() -> None:
    """Look no more for garbage among what was collected, and less often among the rest: a tenth of the time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 50, 50)


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> Iterator[None]:
    """Last of all, what was drawn, so that it can be drawn again, and how many tests were left out for want of what."""
    yield
    terminalreporter.write_line(f"random comparisons: --seed {Draw.seed} --times {Draw.times}")
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
