"""Pages as a browser prints them, read back from PDF in millimetres."""

import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import pdfplumber
from playwright.sync_api import Browser, Page

POINTS_PER_MM = 72 / 25.4
"""**Source:** ISO 32000 user space units of a 72nd of an inch, from memory, not looked up."""


@dataclass(frozen=True)
class Box:
    """Something on a page, from its upper left corner."""

    left: float
    top: float
    right: float
    bottom: float
    text: str = ""

    def is_near(self, other: "Box", within_mm: float) -> bool:
        """Whether all four edges are as near as that."""
        ours, theirs = ((one.left, one.top, one.right, one.bottom) for one in (self, other))
        return all(abs(a - b) <= within_mm for a, b in zip(ours, theirs, strict=True))

    def is_inside(self, other: "Box") -> bool:
        """Whether no edge is outside of the other's."""
        sides = self.left >= other.left and self.right <= other.right
        return sides and self.top >= other.top and self.bottom <= other.bottom


@dataclass(frozen=True)
class Sheet:
    """One printed page: its size, what outlines there are, and its words."""

    width: float
    height: float
    outlines: tuple[Box, ...]
    words: tuple[Box, ...]

    def text_in(self, box: Box) -> str:
        """The words in a box, in reading order."""
        return " ".join(one.text for one in self.words if one.is_inside(box))


@contextmanager
def opened(browser: Browser, html: str) -> Iterator[Page]:
    """The page in the browser, in which scripts are off."""
    context = browser.new_context(java_script_enabled=False, offline=True)
    try:
        page = context.new_page()
        page.set_content(html)
        yield page
    finally:
        context.close()


def printed(browser: Browser, html: str) -> tuple[Sheet, ...]:
    """The page as it is printed at its own size."""
    with opened(browser, html) as page:
        pdf = page.pdf(prefer_css_page_size=True)
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        return tuple(_sheet(page) for page in document.pages)


def printed_letters(browser: Browser, html: str) -> tuple[dict[str, Any], ...]:
    """Every letter of the printed page, with its typeface, size and advance in points."""
    with opened(browser, html) as page:
        pdf = page.pdf(prefer_css_page_size=True)
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        return tuple(one for page in document.pages for one in page.chars)


def _sheet(page: "pdfplumber.page.Page") -> Sheet:
    outlines = {_box(one) for one in (*page.rects, *page.curves)}
    words = tuple(_box(one, one["text"]) for one in page.extract_words(keep_blank_chars=False))
    return Sheet(float(page.width) / POINTS_PER_MM, float(page.height) / POINTS_PER_MM, tuple(outlines), words)


def _box(found: dict[str, float], text: str = "") -> Box:
    edges = (found[side] / POINTS_PER_MM for side in ("x0", "top", "x1", "bottom"))
    return Box(*edges, text)
