"""What cuts have cost: by day and supplier, the mean of what was paid, and the list of today beside it."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from raworder.reporting.words import count_text, join_names, paper
from raworder.trade.document import (
    Block,
    Cell,
    Chart,
    ChartKind,
    Column,
    Document,
    Holds,
    Mark,
    Paragraph,
    Table,
)
from raworder.trade.kept import ListedPrice, PricePoint
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario
from raworder.trade.units import GRAMS_PER, day_text, day_with_year

DEAR = Fraction(1, 10)
"""A list this much above the mean comes first. Source: our own choice."""

LAST_FEW = 4
"""So many of the last prices count where the cheapest of them is looked for. Source: our own choice."""

UNIT_WORDS: Mapping[str, str] = MappingProxyType({"kg": "a kilogram", "lb": "a pound"})
"""What a price is for, by the unit of weight that people read."""


def _before_tax(scenario: Scenario) -> str:
    """What the prices of a table are."""
    return f"Money for {UNIT_WORDS[scenario.weight_unit]} that is eaten, before sales tax and delivery."


def _price(scenario: Scenario, edible_kg: Fraction) -> Decimal:
    """The price of a kilogram as that of the unit that people read, in whole minor units."""
    return scenario.currency.rounded(edible_kg * GRAMS_PER[scenario.weight_unit] / 1000)


@dataclass(frozen=True, slots=True)
class Course:
    """What one cut has cost, oldest first, and the cheapest line of today's lists, if any sells it."""

    cut: str
    points: tuple[PricePoint, ...]
    now: ListedPrice | None

    @property
    def counted(self) -> tuple[PricePoint, ...]:
        """What was paid; where nothing was, what lists asked."""
        return tuple(point for point in self.points if point.paid) or self.points

    @property
    def is_paid(self) -> bool:
        """Whether anything was paid for it yet."""
        return any(point.paid for point in self.points)

    @property
    def mean(self) -> Fraction | None:
        """The mean of the prices that count; None without any."""
        prices = [point.edible_kg for point in self.counted]
        return sum(prices, Fraction(0)) / len(prices) if prices else None

    @property
    def cheapest_of_last(self) -> PricePoint:
        """The cheapest of the last few that count, the newest of several."""
        return min(reversed(self.counted[-LAST_FEW:]), key=lambda point: point.edible_kg)

    @property
    def above_mean(self) -> Fraction | None:
        """How far today's list is above the mean, as a share of it; None where either is not known."""
        return self.now.edible_kg / self.mean - 1 if self.now and self.mean else None


def course_of(cut: str, points: Iterable[PricePoint], listed: Iterable[ListedPrice]) -> Course:
    """The course of one cut's price."""
    mine = sorted((point for point in points if point.cut == cut), key=_by_day)
    lines = [line for line in listed if line.cut == cut]
    now = min(lines, key=lambda line: (line.edible_kg, line.supplier, line.item), default=None)
    return Course(cut, tuple(mine), now)


def _by_day(point: PricePoint) -> tuple[date, bool, str, str, Fraction]:
    """The order of prices: by day, of a day the lists first."""
    return point.day, point.paid, point.supplier, point.item, point.edible_kg


def price_history(scenario: Scenario, points: Sequence[PricePoint], listed: Sequence[ListedPrice]) -> Document:
    """The cuts of a scenario: last paid, mean, today's list and how far that is above the mean, the dearest first."""
    courses = [course_of(cut.name, points, listed) for cut in scenario.cuts]
    known = sorted((course for course in courses if course.points or course.now), key=_dearest_first)
    return paper(scenario, "history", "Prices", _overview(scenario, known))


def _dearest_first(course: Course) -> tuple[Fraction, str]:
    """What is dear by how much, then all others by name."""
    above = _above(course)
    return (-above if above > DEAR else Fraction(0)), course.cut


def _above(course: Course) -> Fraction:
    """How far today's list is above the mean; 0 where either is not known."""
    return course.above_mean or Fraction(0)


def _overview_columns(unit: str) -> tuple[Column, ...]:
    """The columns of prices by cut, for a kilogram or a pound."""
    return (
        Column("cut", "Cut"),
        Column(f"last_paid_{unit}", "Last paid", Holds.MONEY),
        Column("last_paid_on", "On", Holds.DATE, shown=False),
        Column(f"mean_{unit}", "Mean", Holds.MONEY),
        Column(f"listed_{unit}", "On the list", Holds.MONEY),
        Column("supplier", "At"),
        Column("above_mean_share", "Against mean", Holds.SHARE),
    )


def _overview(scenario: Scenario, courses: Sequence[Course]) -> Iterator[Block]:
    """What is dear, then a row for each cut."""
    if not any(course.points for course in courses):
        yield Paragraph("The book has no prices of these cuts yet.")
        return
    dear = [f"{course.cut} ({_percent_text(above)})" for course in courses if (above := _above(course)) > DEAR]
    yield Paragraph(f"Dearer than usual: {join_names(dear)}." if dear else "Nothing is much dearer than usual.")
    rows = tuple(_overview_row(scenario, course) for course in courses)
    mean = "Where nothing was paid yet, the mean is that of the lists."
    note = f"{_before_tax(scenario)} {mean} `raworder history SCENARIO CUT` shows each price."
    yield Table("prices_by_cut", "", _overview_columns(scenario.weight_unit), rows, note=note)


def _overview_row(scenario: Scenario, course: Course) -> tuple[Cell, ...]:
    """A cut as a row."""
    last = course.counted[-1] if course.is_paid else None
    mean, now = course.mean, course.now
    return (
        course.cut,
        _price(scenario, last.edible_kg) if last else None,
        last.day if last else None,
        None if mean is None else _price(scenario, mean),
        _price(scenario, now.edible_kg) if now else None,
        now.supplier if now else None,
        course.above_mean,
    )


def _point_columns(unit: str) -> tuple[Column, ...]:
    """The columns of prices by day, for a kilogram or a pound."""
    return (
        Column("day", "Day", Holds.DATE),
        Column("supplier", "From"),
        Column("item", "Item"),
        Column(f"edible_{unit}", f"For 1 {unit}", Holds.MONEY),
        Column("is_paid", "Is"),
    )


def cut_history(scenario: Scenario, course: Course) -> Document:
    """What one cut has cost, day by day and supplier by supplier, beside today's list."""
    return paper(scenario, "cut_history", f"Prices: {course.cut}", _of_cut(scenario, course))


def _of_cut(scenario: Scenario, course: Course) -> Iterator[Block]:
    """The list beside the mean, a chart, and every price."""
    yield Paragraph(_now_text(scenario, course))
    if not course.points:
        return
    yield Paragraph(_past_text(scenario, course))
    if course.mean is not None:
        yield _chart(scenario, course)
    twins = {replace(point, paid=not point.paid) for point in course.points}
    rows = tuple(
        (point.day, point.supplier, point.item, _price(scenario, point.edible_kg), _is_text(point, twins))
        for point in course.points
        if point.paid or point not in twins
    )
    yield Table("prices_by_day", "", _point_columns(scenario.weight_unit), rows, note=_before_tax(scenario))


def _is_text(point: PricePoint, twins: Collection[PricePoint]) -> str:
    """Whether it was paid or asked, or both on that day."""
    if not point.paid:
        return "listed"
    return "paid, as listed" if point in twins else "paid"


def _money(scenario: Scenario, edible_kg: Fraction) -> str:
    """A price with its currency."""
    return scenario.currency.text(_price(scenario, edible_kg))


def _now_text(scenario: Scenario, course: Course) -> str:
    """Today's list, and how far it is above or below the mean."""
    if course.now is None:
        return f"None of the scenario's lists sells {course.cut}."
    asks = f"{_money(scenario, course.now.edible_kg)} {UNIT_WORDS[scenario.weight_unit]}"
    now = f"On the list now: {asks} at {course.now.supplier}"
    above = course.above_mean
    if above is None:
        return f"{now}. The book has no price of it yet."
    whose = "your mean" if course.is_paid else "the mean of the lists"
    if abs(above) < Fraction(1, 200):
        return f"{now}, the same as {whose}."
    return f"{now}, {half_up(abs(above) * 100)} % {'above' if above > 0 else 'below'} {whose}."


def _past_text(scenario: Scenario, course: Course) -> str:
    """The mean, and the cheapest of the last few."""
    assert course.mean is not None
    count, best = len(course.counted), course.cheapest_of_last
    what = "paid" if course.is_paid else "asked"
    mean = f"{_money(scenario, course.mean)} {UNIT_WORDS[scenario.weight_unit]}, from {count_text(count, 'price')}"
    few = f"the last {LAST_FEW}" if count >= LAST_FEW else "these"
    cheapest = f"{_money(scenario, best.edible_kg)} at {best.supplier} on {day_with_year(best.day)}"
    return f"Mean {what}: {mean}. The cheapest of {few}: {cheapest}."


def _chart(scenario: Scenario, course: Course) -> Chart:
    """The prices that count as columns by day under the line of their mean, the cheapest of each day."""
    assert course.mean is not None
    by_day: dict[date, Fraction] = {}
    for point in course.counted:
        by_day[point.day] = min(by_day.get(point.day, point.edible_kg), point.edible_kg)
    marks = tuple(Mark(day_text(day), _price(scenario, price)) for day, price in by_day.items())
    dearest, unit = max(by_day.values()), UNIT_WORDS[scenario.weight_unit]
    says = (
        f"The price of {unit} of {course.cut}: {len(marks)} days, at most {_money(scenario, dearest)}, the mean "
        f"{_money(scenario, course.mean)}."
    )
    mean = _price(scenario, course.mean)
    return Chart(f"The price of {unit}", ChartKind.DAYS, Holds.MONEY, marks, says, mean, "mean")


def _percent_text(share: Fraction) -> str:
    """How far above or below, as `+18 %`."""
    return f"{half_up(share * 100):+d} %"
