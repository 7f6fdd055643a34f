"""A real browser without a window: Chromium, driven by Playwright; its tests are left out where there is none."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

SWITCHES = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The browser, for all tests of a run."""
    found = shutil.which("chromium")
    if found is None:
        pytest.skip("there is no chromium here")
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=found, args=list(SWITCHES))
        yield running
        running.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The source of the accessibility engine axe-core, of which `RAWORDER_AXE` tells the file."""
    named = os.environ.get("RAWORDER_AXE", "")
    if not named:
        pytest.skip("RAWORDER_AXE names no file of axe-core")
    return Path(named).read_text(encoding="utf-8")
