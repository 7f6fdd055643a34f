"""A real browser without a window: Chromium, driven by Playwright. Where there is none, its tests are left out.

So they are where it draws in typefaces that no label was measured with: there its letters may be wider than reckoned.
"""

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
"""The typefaces whose letters were measured, regular and bold, as a PDF names them; Liberation has the widths of Arial."""

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
            if strange := unmeasured(running):
                pytest.skip(f"the browser draws in {strange}: install the typefaces Liberation Sans or DejaVu Sans")
            yield running
        finally:
            running.close()


def unmeasured(running: Browser) -> str:
    """What the browser draws labels in, in words, where that was never measured; nothing where it was."""
    drawn = {str(letter["fontname"]).split("+")[-1] for letter in printed_letters(running, SAMPLE)}
    return "" if drawn in MEASURED else " and ".join(sorted(drawn)) or "no typeface at all"


@pytest.fixture(scope="session")
def axe() -> str:
    """The source of the accessibility engine axe-core, of which `RAWORDER_AXE` tells the file."""
    named = os.environ.get("RAWORDER_AXE", "")
    if not named:
        pytest.skip(NO_AXE)
    return Path(named).read_text(encoding="utf-8")
