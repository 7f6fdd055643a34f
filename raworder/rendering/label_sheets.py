"""Labels on sheets: the rules and the places of a page that is printed at its true size."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from math import floor

from raworder.document import Labels
from raworder.labels import MM_PER_INCH, LabelSheet
from raworder.rendering.label_text import HEADING_TIMES, LARGEST, LINE_HEIGHT, SMALLEST, Fitted, fitted, plain, rows_for
from raworder.rendering.templated import environment, policy, style_sheet
from raworder.units import half_up

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
    width, height = _inside_pt(labels.sheet)
    told: list[Fitted | None] = [None] * (labels.first - 1)
    told += [fitted(label, width, height) for label in labels.labels]
    places = labels.sheet.places
    told += [None] * (-len(told) % places)
    return tuple(tuple(told[start : start + places]) for start in range(0, len(told), places))


def cut_off(labels: Labels) -> tuple[str, ...]:
    """Heading and corner of each label whose text does not all fit, in order."""
    told = (one for sheet in sheets_of(labels) for one in sheet if one is not None and one.is_cut)
    return tuple(", ".join(filter(None, (plain(one.heading), one.corner))) for one in told)


def label_rules(labels: Labels, name: str) -> str:
    """The style rules of these labels on their paper, under a name that nothing else on the page has."""
    return "\n".join((*_of_sheet(labels, name), *_of_text(labels, name), *_of_places(labels.sheet, name))) + "\n"


def label_page(labels: Labels) -> str:
    """The labels as a page of their own, with nothing else printed on it."""
    name = "labels"
    rules = f"body {{ margin: 0 }}\n{label_rules(labels, name)}"
    page = environment().get_template("label_page.html.j2")
    told = {"title": labels.sheet.name, "style": style_sheet(rules), "policy": policy(rules)}
    return page.render(**told, sheets=sheets_of(labels), name=name)


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
    """Letters and lines, in every size that there may be."""
    height = _decimal(LINE_HEIGHT)
    yield (
        f".{name} p {{ margin: 0; font-family: Arial, Helvetica, sans-serif; font-weight: normal; color: #000;"
        f" line-height: {height}; overflow: hidden; overflow-wrap: anywhere }}"
    )
    yield f".{name} .head {{ overflow: hidden }}"
    yield f".{name} .heading, .{name} .corner {{ font-weight: bold }}"
    yield f".{name} .corner {{ float: right; white-space: nowrap; margin-left: 0.4em }}"
    yield f".{name} .first, .{name} .mind {{ font-weight: bold }}"
    yield f".{name} span {{ white-space: nowrap }}"
    yield f".{name} .kept {{ display: -webkit-box; -webkit-box-orient: vertical }}"
    for size in range(SMALLEST, int(LARGEST * HEADING_TIMES) + 1):
        yield f".{name} .s-{size} {{ font-size: {_decimal(Fraction(size, 2))}pt }}"
    for kept in range(1, floor(rows_for(SMALLEST, _inside_pt(labels.sheet)[1])) + 1):
        yield f".{name} .keep-{kept} {{ -webkit-line-clamp: {kept} }}"


def _of_places(sheet: LabelSheet, name: str) -> Iterator[str]:
    """Where each label of a sheet is."""
    for place in range(sheet.places):
        left, top = (_mm(one) for one in sheet.corner_mm(place))
        yield f".{name} .at-{place + 1} {{ left: {left}; top: {top} }}"


def _inside_pt(sheet: LabelSheet) -> tuple[Fraction, Fraction]:
    """Width and height that the text of a label has, in points."""
    across, down = _inset_mm(sheet)
    return (sheet.label_mm[0] - 2 * across) * POINTS_PER_MM, (sheet.label_mm[1] - 2 * down) * POINTS_PER_MM


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
