"""Labels on sheets: the rules and the places of a page that is printed at its true size."""

import base64
import hashlib
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from raworder.document import Labels
from raworder.labels import MM_PER_INCH, LabelSheet
from raworder.rendering.label_text import LINE_HEIGHT, Fitted, fitted
from raworder.units import half_up

if TYPE_CHECKING:
    from jinja2 import Environment

POINTS_PER_MM = 72 / MM_PER_INCH
"""Points in a millimetre. **Source:** a point is a 72nd of an inch in CSS Values, from memory, not looked up."""

INSET_MM, NOT_PRINTED_MM = Fraction(2), Fraction(9, 2)
"""What is free inside a label, and along the edge of the paper, where many printers print nothing.

**Source:** common practice, no source.
"""

Places = tuple[Fitted | None, ...]
"""What stands at the places of one sheet, along the rows; None where nothing does."""


def sheets_of(labels: Labels) -> tuple[Places, ...]:
    """The sheets: places before the first of a sheet that is used already stay empty, and those after the last."""
    inset = _inset_mm(labels.sheet)
    size = [(labels.sheet.label_mm[axis] - 2 * inset[axis]) * POINTS_PER_MM for axis in (0, 1)]
    told: list[Fitted | None] = [None] * (labels.first - 1)
    told += [fitted(label, size[0], size[1]) for label in labels.labels]
    places = labels.sheet.places
    told += [None] * (-len(told) % places)
    return tuple(tuple(told[start : start + places]) for start in range(0, len(told), places))


def cut_off(labels: Labels) -> tuple[str, ...]:
    """Heading and corner of each label whose text does not all fit, in order."""
    told = (one for sheet in sheets_of(labels) for one in sheet if one is not None and one.is_cut)
    return tuple(f"{one.heading}, {one.corner}" if one.corner else one.heading for one in told)


def label_rules(labels: Labels, name: str) -> str:
    """The style rules of these labels on their paper, under a name that nothing else on the page has."""
    return "\n".join((*_of_sheet(labels, name), *_of_text(labels, name), *_of_places(labels.sheet, name))) + "\n"


def label_page(labels: Labels) -> str:
    """The labels as a page of their own, with nothing else printed on it."""
    name = "labels"
    rules = f"body {{ margin: 0 }}\n{label_rules(labels, name)}"
    page = environment().get_template("label_page.html.j2")
    told = {"title": labels.sheet.name, "rules": rules, "allowed": allowed(rules)}
    return page.render(**told, sheets=sheets_of(labels), name=name)


def environment() -> "Environment":
    """Templates that escape whatever is put in, and stop at what is missing."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("raworder.rendering"),
        autoescape=True,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
    )


def allowed(rules: str) -> str:
    """By what a Content-Security-Policy allows these style rules and no others: their SHA-256."""
    return f"sha256-{base64.b64encode(hashlib.sha256(rules.encode()).digest()).decode()}"


def _of_sheet(labels: Labels, name: str) -> Iterator[str]:
    """The paper, with no margin of its own, and a box of its size for each sheet."""
    sheet = labels.sheet
    wide, high = (_mm(one) for one in sheet.paper_mm)
    inset = " ".join(_mm(one) for one in reversed(_inset_mm(sheet)))
    border = " border: 0.2mm solid #000;" if labels.frames else ""
    yield f"@page {name} {{ size: {wide} {high}; margin: 0 }}"
    yield f"section.{name} {{ page: {name} }}"
    yield f".{name} .sheet {{ position: relative; width: {wide}; height: {high}; overflow: hidden }}"
    yield f".{name} .sheet + .sheet {{ break-before: page }}"
    yield (
        f".{name} .place {{ position: absolute; box-sizing: border-box; overflow: hidden;{border}"
        f" width: {_mm(sheet.label_mm[0])}; height: {_mm(sheet.label_mm[1])}; padding: {inset} }}"
    )


def _of_text(labels: Labels, name: str) -> Iterator[str]:
    """Letters and lines; only the sizes that are used."""
    told = [one for places in sheets_of(labels) for one in places if one is not None]
    sizes = {size for one in told for size in (one.size, one.first_size, one.heading_size)}
    height = _decimal(LINE_HEIGHT)
    yield (
        f".{name} p {{ margin: 0; font-family: Arial, Helvetica, sans-serif; font-weight: normal; color: #000;"
        f" line-height: {height}; overflow: hidden; overflow-wrap: anywhere }}"
    )
    yield f".{name} .head {{ overflow: hidden }}"
    yield f".{name} .heading, .{name} .corner {{ white-space: nowrap; font-weight: bold }}"
    yield f".{name} .heading {{ text-overflow: ellipsis }}"
    yield f".{name} .corner {{ float: right; margin-left: 0.4em }}"
    yield f".{name} .first, .{name} .mind {{ font-weight: bold }}"
    yield f".{name} span {{ display: inline-block; max-width: 100% }}"
    yield from (f".{name} .s-{size} {{ font-size: {_decimal(Fraction(size, 2))}pt }}" for size in sorted(sizes))
    yield from (
        f".{name} .keep-{kept} {{ display: -webkit-box; -webkit-box-orient: vertical; -webkit-line-clamp: {kept} }}"
        for kept in sorted({one.kept for one in told} - {0})
    )


def _of_places(sheet: LabelSheet, name: str) -> Iterator[str]:
    """Where each label of a sheet is."""
    for place in range(sheet.places):
        left, top = (_mm(one) for one in sheet.corner_mm(place))
        yield f".{name} .at-{place + 1} {{ left: {left}; top: {top} }}"


def _inset_mm(sheet: LabelSheet) -> tuple[Fraction, Fraction]:
    """What is free beside and above the text of a label: more where labels begin at the edge of the paper."""
    ends = [
        min(sheet.left_mm, sheet.paper_mm[0] - sheet.end_mm[0]),
        min(sheet.top_mm, sheet.paper_mm[1] - sheet.end_mm[1]),
    ]
    across, down = (max(INSET_MM, NOT_PRINTED_MM - end) for end in ends)
    return across, down


def _mm(length: Fraction) -> str:
    """A length to the ten-thousandth of a millimetre."""
    return f"{_decimal(length)}mm"


def _decimal(number: Fraction) -> str:
    text = f"{Decimal(half_up(number * 10_000)).scaleb(-4):f}"
    return text.rstrip("0").rstrip(".")
