"""Charts as plain shapes on a sheet 360 units wide: where each lies and how it looks, before any markup is made of it.

Nothing is told by colour: a band is what was asked for, a diamond what is, a dashed line what limits. Widths are for a
phone, where a unit is a pixel.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType

from raworder.document import Chart, Document, Drawn, Holds, Mark, Number
from raworder.rendering.clean import cut_off
from raworder.rendering.values import for_people

WIDTH = 360
ROOM_FOR_VALUE = 80
LONGEST_LABEL = 38
"""A label of more signs is cut off; the table has it whole."""

MOST_TIMES = Fraction(5, 2)
"""A bar that would be so many times as long as the listed price is cut off there; its number stands beside it."""

COLUMNS_TOP, COLUMNS_BASE, EVERY_DAY = 34, 150, 16
"""Between which heights the columns stand, and up to how many of them each has its day written under it."""


@dataclass(frozen=True, slots=True)
class Shape:
    """One thing to draw. `look` is its class; a text has its `anchor`, a box or line its size, a diamond its middle."""

    kind: str
    look: str
    x: Fraction
    y: Fraction
    width: Fraction = Fraction(0)
    height: Fraction = Fraction(0)
    text: str = ""
    anchor: str = "start"


@dataclass(frozen=True, slots=True)
class Drawing:
    """The shapes of a chart and how high they reach."""

    height: int
    shapes: tuple[Shape, ...]


def drawing(document: Document, chart: Chart) -> Drawing:
    """The chart in shapes."""
    row_high, draw = ROWS.get(chart.drawn, (0, None))
    if draw is None:
        return Drawing(COLUMNS_BASE + 38, tuple(_columns(document, chart)))
    shapes = (
        shape for place, mark in enumerate(chart.marks) for shape in draw(document, chart, mark, place * row_high)
    )
    return Drawing(row_high * len(chart.marks), tuple(shapes))


def _range(document: Document, chart: Chart, mark: Mark, top: int) -> Iterator[Shape]:
    """A band from low to high on a scale of its own, and a diamond where the value lies."""
    yield from _heading(document, chart, mark, top)
    low, high = Fraction(mark.low or 0), Fraction(mark.high or 0)
    beside = (high - low) / 2 or high / 4 or Fraction(1)
    least, most = max(low - beside, Fraction(0)), high + beside
    x = _scale(least, most)
    y = Fraction(top)
    yield Shape("line", "axis", Fraction(0), y + 27, width=Fraction(WIDTH))
    yield Shape("box", "band", x(low), y + 21, x(high) - x(low), Fraction(12))
    ends = [(low, "end" if low else "start"), (high, "start")] if low < high else [(high, "middle")]
    for end, anchor in ends:
        yield Shape("text", "small", x(end), y + 46, text=_short(document, chart, end), anchor=anchor)
    yield Shape("diamond", "mark", x(Fraction(mark.value)), y + 27)


def _bar(document: Document, chart: Chart, mark: Mark, top: int) -> Iterator[Shape]:
    """A bar from nothing to the value, all on one scale."""
    yield from _heading(document, chart, mark, top)
    most = max(Fraction(one.value) for one in chart.marks) or Fraction(1)
    yield Shape("box", "bar", Fraction(0), Fraction(top + 20), WIDTH * Fraction(mark.value) / most, Fraction(11))


def _move(document: Document, chart: Chart, mark: Mark, top: int) -> Iterator[Shape]:
    """An outlined bar to where it stands, a filled one to where it would go; both in parts of where it stands."""
    went = max((_times(one) for one in chart.marks), default=Fraction(1))
    unit = WIDTH / max(went, Fraction(1))
    told = f"{for_people(document, chart.holds, mark.low)} to {for_people(document, chart.holds, mark.value)}"
    yield from _heading(document, chart, mark, top, told)
    yield Shape("box", "bar", Fraction(0), Fraction(top + 23), unit * _times(mark), Fraction(7))
    yield Shape("box", "outline", Fraction(0), Fraction(top + 20), unit, Fraction(13))


def _times(mark: Mark) -> Fraction:
    """How many times as much as it is now, cut off at the most that is drawn."""
    now = Fraction(mark.low or 0)
    return min(Fraction(mark.value) / now, MOST_TIMES) if now else Fraction(1)


ROWS: "MappingProxyType[Drawn, tuple[int, Callable[[Document, Chart, Mark, int], Iterator[Shape]]]]" = MappingProxyType(
    {Drawn.RANGES: (56, _range), Drawn.BARS: (42, _bar), Drawn.MOVES: (44, _move)}
)
"""How high a row of each kind of chart is, and what draws it; days stand side by side."""


def _heading(document: Document, chart: Chart, mark: Mark, top: int, told: str = "") -> Iterator[Shape]:
    """The label of a row, and its value at the other end."""
    value = told or for_people(document, chart.holds, mark.value)
    label = cut_off(mark.label, LONGEST_LABEL - max(0, len(value) - 8))
    yield Shape("text", "label", Fraction(0), Fraction(top + 14), text=label)
    yield Shape("text", "value", Fraction(WIDTH), Fraction(top + 14), text=value, anchor="end")


def _columns(document: Document, chart: Chart) -> Iterator[Shape]:
    """A column for each day, with the limit across, and the highest and the last told in numbers."""
    most = max(
        (Fraction(one) for one in (*(mark.value for mark in chart.marks), chart.limit or 0)), default=Fraction(0)
    )
    y = _heights(most or Fraction(1))
    step = Fraction(WIDTH, max(len(chart.marks), 1))
    for place, mark in enumerate(chart.marks):
        top = y(Fraction(mark.value))
        yield Shape("box", "bar", step * place + step / 8, top, step * Fraction(3, 4), COLUMNS_BASE - top)
        if len(chart.marks) <= EVERY_DAY or place % 7 == 0:
            middle = step * place + step / 2
            yield Shape("text", "small", middle, Fraction(COLUMNS_BASE + 14), text=mark.label[-2:], anchor="middle")
    yield Shape("line", "axis", Fraction(0), Fraction(COLUMNS_BASE), width=Fraction(WIDTH))
    yield from _ends(chart)
    yield from _told(document, chart, step, y)
    if chart.limit is not None:
        told = cut_off(f"{chart.limit_says} {for_people(document, chart.holds, chart.limit)}", LONGEST_LABEL)
        at = y(Fraction(chart.limit))
        yield Shape("line", "limit", Fraction(0), at, width=Fraction(WIDTH))
        yield Shape("text", "small", Fraction(WIDTH), at - 4, text=told, anchor="end")


def _ends(chart: Chart) -> Iterator[Shape]:
    """The first and the last day in full, under their ends."""
    if chart.marks:
        under = Fraction(COLUMNS_BASE + 32)
        yield Shape("text", "small", Fraction(0), under, text=cut_off(chart.marks[0].label, LONGEST_LABEL))
        yield Shape("text", "small", Fraction(WIDTH), under, text=cut_off(chart.marks[-1].label, 20), anchor="end")


def _told(document: Document, chart: Chart, step: Fraction, y: Callable[[Fraction], Fraction]) -> Iterator[Shape]:
    """The number over the highest column, inside the sheet."""
    if not chart.marks:
        return
    place = max(range(len(chart.marks)), key=lambda one: (chart.marks[one].value, -one))
    value = chart.marks[place].value
    middle = step * place + step / 2
    anchor = "start" if middle < ROOM_FOR_VALUE else "end" if middle > WIDTH - ROOM_FOR_VALUE else "middle"
    x = {"start": step * place, "middle": middle, "end": step * (place + 1)}[anchor]
    yield Shape(
        "text", "value", x, y(Fraction(value)) - 4, text=for_people(document, chart.holds, value), anchor=anchor
    )


def _scale(least: Fraction, most: Fraction) -> Callable[[Fraction], Fraction]:
    """Where a value lies across the sheet; what is off the scale lies at its end."""
    return lambda value: WIDTH * (min(max(value, least), most) - least) / (most - least)


def _heights(most: Fraction) -> Callable[[Fraction], Fraction]:
    """How far down a value's top lies."""
    return lambda value: COLUMNS_BASE - (COLUMNS_BASE - COLUMNS_TOP) * value / most


def _short(document: Document, chart: Chart, value: Number) -> str:
    """A value without an idle decimal."""
    text = for_people(document, chart.holds, value)
    return text.replace(".0 %", " %") if chart.holds is Holds.SHARE else text
