"""A real browser without a window: Chromium, driven by Playwright. Where there is none, its tests are left out."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, sync_playwright

from tests.browser.sheets import printed_letters
from tests.left_out import NO_AXE, program

SWITCHES = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
MEASURED = (
    {"LiberationSans", "LiberationSans-Bold"},
    {"DejaVuSans", "DejaVuSans-Bold"},
    {"ArialMT", "Arial-BoldMT"},
)
"""The typefaces whose letters were measured, regular and bold, as a PDF names them; Arial has those of Liberation."""

INSTALL = "install the typefaces Liberation Sans or DejaVu Sans"
SAMPLE = '<p style="font-family: Arial, Helvetica, sans-serif">Maple <b>Maple</b></p>'
"""The typefaces of labels (`rendering/label_sheets.py`), regular and bold."""


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The browser, for all tests of a run."""
    found = program("chromium")
    with sync_playwright() as playwright:
        try:
            running = playwright.chromium.launch(executable_path=found, args=list(SWITCHES))
        except Error as error:
            pytest.skip(f"`chromium` is there and does not start: {error.message.splitlines()[0]}")
        try:
            if not drawn(running):
                pytest.skip(f"the browser has no typeface at all: {INSTALL}")
            yield running
        finally:
            running.close()


@pytest.fixture(scope="session")
def measuring(browser: Browser) -> Browser:
    """The browser, where it draws labels in letters that were measured; in others they may be wider than reckoned."""
    names = drawn(browser)
    if names not in MEASURED:
        pytest.skip(f"the browser draws labels in {' and '.join(sorted(names))}: {INSTALL}")
    return browser


def drawn(running: Browser) -> set[str]:
    """The typefaces that labels are drawn in, as a PDF names them."""
    return {str(letter["fontname"]).split("+")[-1] for letter in printed_letters(running, SAMPLE)}


@pytest.fixture(scope="session")
def axe() -> str:
    """The source of the accessibility engine axe-core, of which `RAWORDER_AXE` tells the file."""
    named = os.environ.get("RAWORDER_AXE", "")
    if not named:
        pytest.skip(NO_AXE)
    return Path(named).read_text(encoding="utf-8")
