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
from pdfminer.pdftypes import resolve1
from playwright.sync_api import Browser, Page

from tests.commands.running import SCENARIOS, told

PAPER_POINTS = {"A4": (595, 842), "Letter": (612, 792)}
"""Width and height in points of 1/72 inch. **Source:** ISO 216 and ANSI Y14.1, from memory, not looked up."""


@cache
def page_of(name: str, *more: str) -> str:
    """The page of a shipped scenario, made once by the whole command."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "page.html"
        ended = told("plan", SCENARIOS / f"{name}.yaml", "--html", path, *more)
        assert (ended.code, ended.but_for_files.stderr) == (0, "")
        return path.read_text(encoding="utf-8")


def opened(browser: Browser, html: str, *, scripts: bool = False, width: int = 1000, height: int = 1400) -> Page:
    """The page in the browser, from a file that is all there is."""
    context = browser.new_context(
        java_script_enabled=scripts, bypass_csp=scripts, viewport={"width": width, "height": height}
    )
    page = context.new_page()
    page.set_content(html, wait_until="load")
    return page


def printed(browser: Browser, html: str, paper: str) -> pdfplumber.PDF:
    """The page printed on a paper."""
    return pdfplumber.open(io.BytesIO(_print(browser, html, paper)))


@cache
def _print(browser: Browser, html: str, paper: str) -> bytes:
    """The page as PDF, printed once."""
    page = opened(browser, html)
    content = page.pdf(format=paper, tagged=True, prefer_css_page_size=True)
    page.context.close()
    return content


def rows(pdf: pdfplumber.PDF) -> list[set[int]]:
    """For every row of every table below its headings, the pages that any of it is on."""
    return [pages for _, below in tables(pdf) for pages in below]


def tables(pdf: pdfplumber.PDF) -> list[tuple[set[int], list[set[int]]]]:
    """For every table the pages that its headings are on, and those of each row below them."""
    numbers = {page.page_obj.pageid: page.page_number for page in pdf.pages}
    found = []
    for table in _all_of("Table", pdf.doc.catalog["StructTreeRoot"]):
        every = [(_is_heading(row), {numbers[page] for page in _pages(row, 0)}) for row in _all_of("TR", table)]
        heads = set().union(*(pages for is_heading, pages in every if is_heading))
        found.append((heads, [pages for is_heading, pages in every if not is_heading]))
    return found


def _all_of(kind: str, thing: Any) -> Iterator[Any]:
    """The elements of a kind in a part of the structure."""
    for part in _parts(thing):
        if str(part.get("S")) == f"/'{kind}'":
            yield part
        else:
            yield from _all_of(kind, part.get("K"))


def _is_heading(row: dict[str, Any]) -> bool:
    """Whether any cell of a row is the heading of a column."""
    said = (str(one.get("Scope")) for cell in _parts(row.get("K")) for one in _parts(cell.get("A")))
    return "/'Column'" in said


def _pages(thing: Any, page: int) -> Iterator[int]:
    """The pages of all content in a part of the structure; content says its page, or lies where its parent does."""
    for part in _parts(thing):
        there = part["Pg"].objid if "Pg" in part else page
        if "MCID" in part:
            yield there
        else:
            yield from _pages(part.get("K"), there)


def _parts(thing: Any) -> list[dict[str, Any]]:
    """What a part of the structure is made of: elements, or pieces of content, which are numbers or say their page."""
    known = resolve1(thing)
    each = known if isinstance(known, list) else [] if known is None else [known]
    return [{"MCID": one} if isinstance(one, int) else one for one in map(resolve1, each)]


def feet(pdf: pdfplumber.PDF) -> list[tuple[str, int, int]]:
    """What stands at the foot of every page but those of labels: the paper, the number of the page, and of how many."""
    lines = (page.extract_text().strip().split("\n")[-1] for page in pdf.pages)
    found = (re.fullmatch(r"(.*) (\d+) of (\d+)", line) for line in lines)
    return [(one[1], int(one[2]), int(one[3])) for one in found if one]
