"""A real browser without a window, for all tests of pages; nothing in a page is run, and nothing is fetched."""

import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, sync_playwright

QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, if it is installed."""
    path = shutil.which("chromium")
    if path is None:
        pytest.skip("there is no chromium on this machine")
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=path, args=list(QUIET))
        yield found
        found.close()
