"""Charts are drawn where their numbers say.

**Source:** plain proportion; what looks right is common practice, no source.
"""

from fractions import Fraction

import pytest

from raworder.rendering.html import COLUMNS_BASE, COLUMNS_TOP, WIDTH, Drawing, draw_chart
from raworder.trade.document import Chart, ChartKind, Document, Holds, Mark
from tests.rendering.hell import NAMES

EUROS = Document("a", "a", "EUR", 2, "kg", ())


def _drawn(drawn: ChartKind, holds: Holds, *marks: Mark, limit: int | None = None, limit_says: str = "room") -> Drawing:
    return draw_chart(
        EUROS, Chart("a chart", drawn, holds, marks, "says", limit, limit_says if limit is not None else "")
    )


def _texts(found: Drawing) -> list[str]:
    return [one.text for one in found.shapes if one.kind == "text"]


def test_a_band_takes_the_middle_of_its_scale_and_the_diamond_lies_in_proportion() -> None:
    mark = Mark("bone", Fraction(11, 100), Fraction(8, 100), Fraction(12, 100))
    found = _drawn(ChartKind.RANGES, Holds.SHARE, mark)
    (band,) = [one for one in found.shapes if one.look == "band"]
    (diamond,) = [one for one in found.shapes if one.kind == "diamond"]
    assert (band.x, band.x + band.width) == (WIDTH / Fraction(4), WIDTH * Fraction(3, 4))
    assert diamond.x == band.x + band.width * Fraction(3, 4)  # 11 lies three quarters of the way from 8 to 12
    assert _texts(found) == ["bone", "11.0 %", "8 %", "12 %"]


@pytest.mark.parametrize(("share", "end"), [(Fraction(0), 0), (Fraction(1), WIDTH)])
def test_what_is_off_the_scale_lies_at_its_end(share: Fraction, end: int) -> None:
    found = _drawn(ChartKind.RANGES, Holds.SHARE, Mark("bone", share, Fraction(8, 100), Fraction(12, 100)))
    assert [one.x for one in found.shapes if one.kind == "diamond"] == [end]


def test_a_range_of_one_value_and_one_from_nothing_are_drawn() -> None:
    exact = _drawn(ChartKind.RANGES, Holds.SHARE, Mark("liver", Fraction(1, 20), Fraction(1, 20), Fraction(1, 20)))
    assert _texts(exact) == ["liver", "5.0 %", "5 %"]
    most = _drawn(ChartKind.RANGES, Holds.SHARE, Mark("heart", Fraction(1, 20), Fraction(0), Fraction(1, 10)))
    (band,) = [one for one in most.shapes if one.look == "band"]
    assert (band.x, band.width) == (0, WIDTH * Fraction(2, 3))


def test_days_stand_under_the_line_that_limits_them() -> None:
    marks = [Mark("Fri 5 Feb", 6000), Mark("Sat 6 Feb", 3000), Mark("Sun 7 Feb", 0)]
    found = _drawn(ChartKind.DAYS, Holds.GRAMS, *marks, limit=12000)
    bars = [one for one in found.shapes if one.look == "bar"]
    (limit,) = [one for one in found.shapes if one.look == "limit"]
    assert limit.y == COLUMNS_TOP
    assert [one.height for one in bars] == [
        (COLUMNS_BASE - COLUMNS_TOP) * part for part in (Fraction(1, 2), Fraction(1, 4), 0)
    ]
    assert all(one.y + one.height == COLUMNS_BASE for one in bars)
    assert _texts(found) == ["5", "6", "7", "Fri 5 Feb", "Sun 7 Feb", "6 kg", "room 12 kg"]


def test_many_days_name_every_seventh() -> None:
    found = _drawn(ChartKind.DAYS, Holds.GRAMS, *(Mark(f"day-{day:02}", 10) for day in range(28)))
    assert [text for text in _texts(found) if len(text) == 2] == ["00", "07", "14", "21"]


@pytest.mark.parametrize("drawn", ChartKind)
@pytest.mark.parametrize("name", NAMES)
def test_nothing_lies_off_the_sheet_whatever_the_name(drawn: ChartKind, name: str) -> None:
    found = _drawn(drawn, Holds.COUNT, Mark(name, 3, low=1, high=5), limit=4, limit_says=name)
    assert all(0 <= one.x <= WIDTH and 0 <= one.x + one.width <= WIDTH for one in found.shapes)
    assert all(0 <= one.y <= found.height for one in found.shapes)
    assert all(len(text) <= 38 and "\n" not in text for text in _texts(found))


@pytest.mark.parametrize("drawn", ChartKind)
def test_a_chart_of_nothing_is_drawn(drawn: ChartKind) -> None:
    assert _texts(_drawn(drawn, Holds.COUNT)) == []
