"""Pages as a browser prints them, and what can be read out of the print: text by page, and which row is on which page.

The print is tagged (ISO 32000, logical structure; from memory, not looked up), so that every cell knows its row.
"""

import io
import re
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pdfplumber
from playwright.sync_api import Browser, Page

from tests.cli.running import SCENARIOS, told

PAPER_POINTS = {"A4": (595, 842), "Letter": (612, 792)}
"""Width and height in points of 1/72 inch. **Source:** ISO 216 and ANSI Y14.1, from memory, not looked up."""


@cache
def page_of(name: str, *more: str) -> str:
    """The page of a shipped scenario, made once by the whole command."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "page.html"
        ended = told("plan", SCENARIOS / f"{name}.yaml", "--html", path, *more)
        assert (ended.code, ended.stderr) == (0, "")
        return path.read_text(encoding="utf-8")


def opened(browser: Browser, html: str, *, scripts: bool = False, width: int = 1000, height: int = 1400) -> Page:
    """The page in the browser, from a file that is all there is."""
    context = browser.new_context(
        java_script_enabled=scripts, bypass_csp=scripts, viewport={"width": width, "height": height}
    )
    page = context.new_page()
    page.set_content(html, wait_until="load")
    return page


def printed(browser: Browser, html: str, paper: str, *, own_size: bool = False) -> pdfplumber.PDF:
    """The page printed on a paper, or on the paper that it asks for itself."""
    page = opened(browser, html)
    content = page.pdf(format=paper, prefer_css_page_size=own_size, tagged=True)
    page.context.close()
    return pdfplumber.open(io.BytesIO(content))


def rows(pdf: pdfplumber.PDF) -> Iterator[set[int]]:
    """For every row of every table, the pages that it is on."""
    for element in pdf.structure_tree:
        yield from _rows(element)


def _rows(element: dict[str, Any]) -> Iterator[set[int]]:
    if element["type"] == "TR":
        yield set(_pages(element, element.get("page_number")))
    else:
        for child in element.get("children", ()):
            yield from _rows(child)


def _pages(element: dict[str, Any], page: int | None) -> Iterator[int]:
    """The pages of everything in an element."""
    page = element.get("page_number", page)
    if element.get("mcids") and page is not None:
        yield page
    for child in element.get("children", ()):
        yield from _pages(child, page)


def feet(pdf: pdfplumber.PDF) -> list[tuple[str, int, int]]:
    """What stands at the foot of every page: the paper, the number of the page, and of how many."""
    lines = (page.extract_text().strip().split("\n")[-1] for page in pdf.pages)
    found = [re.fullmatch(r"(.*) (\d+) of (\d+)", line) for line in lines]
    assert all(found)
    return [(one[1], int(one[2]), int(one[3])) for one in found if one]
