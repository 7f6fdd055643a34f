"""Each owner's page of the shipped household fits on one sheet of A4."""

import pytest
from playwright.sync_api import Browser

from raworder.rendering.html import html
from raworder.studies.asking import Ask
from raworder.studies.households import household_pages
from tests.browser.printed import printed
from tests.planned import planned, scenario_of


@pytest.mark.slow
def test_an_owner_s_page_is_one_sheet(browser: Browser) -> None:
    pages = household_pages(scenario_of("household"), planned("household").plan, Ask())
    assert len(pages) == 3
    for page in pages:
        assert len(printed(browser, html([page]), "A4").pages) == 1
