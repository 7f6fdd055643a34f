"""The parts of a workbook as they lie in its archive, for what the library does not tell of one read row by row."""

import re
import zipfile
from collections.abc import Iterator
from io import BytesIO

from raworder.reading.sheets import Merged

CHART_SHEETS = re.compile(r"(?:^|/)chartsheets/")
"""Where sheets lie that are one chart each. Source: how spreadsheet programs name parts, from memory, not looked up."""

_MERGED = re.compile(rb"""<(?:\w+:)?mergeCell\s[^<>]*?ref=["']([A-Z]{1,3})([0-9]{1,7}):([A-Z]{1,3})([0-9]{1,7})["']""")
_SAYING = re.compile(
    rb"""<(?:\w+:)?c\s(?:[^<>]*?\s)?r=["']([A-Z]{1,3})([0-9]{1,7})["'][^<>/]*>\s*"""
    rb"""<(?:(?:\w+:)?(?:is|f)\b|(?:\w+:)?v>[^<\s])"""
)
"""A cell that holds a value, a text or a formula, and where it is."""


def without_chart_sheets(data: bytes) -> bytes:
    """The workbook without sheets that are charts, at which the library would fail; it leaves out what is not there."""
    with zipfile.ZipFile(BytesIO(data)) as archive:
        if not any(CHART_SHEETS.search(one) for one in archive.namelist()):
            return data
        out = BytesIO()
        with zipfile.ZipFile(out, "w") as rest:
            for one in archive.namelist():
                if not CHART_SHEETS.search(one):
                    rest.writestr(one, archive.read(one))
    return out.getvalue()


def part(data: bytes, name: str) -> bytes:
    """One part of the archive."""
    with zipfile.ZipFile(BytesIO(data)) as archive:
        return archive.read(name)


def merged_cells(xml: bytes) -> tuple[Merged, ...]:
    """The ranges of cells of a sheet that were made one cell."""
    found = (one.groups() for one in _MERGED.finditer(xml))
    corners = {(int(row), _column(left), int(last), _column(right)) for left, row, right, last in found}
    return tuple(Merged(*one) for one in sorted(corners))


def saying_cells(xml: bytes) -> Iterator[tuple[int, int]]:
    """Row and column of each cell of a sheet that says something, in the order of the file."""
    return ((int(one[2]), _column(one[1])) for one in _SAYING.finditer(xml))


def _column(name: bytes) -> int:
    """The number of a column from its letters."""
    number = 0
    for letter in name:
        number = number * 26 + letter - ord("A") + 1
    return number
