"""Values read as people or programs need them."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.rendering.values import blocks_for_people, blocks_for_programs, for_people, for_programs
from raworder.trade.document import Cell, Document, Holds, Paragraph, Table

KILOS = Document("d", "d", "EUR", 2, "kg", ())
POUNDS = Document("d", "d", "KWD", 3, "lb", ())
YEN = Document("d", "d", "JPY", 0, "kg", ())


@pytest.mark.parametrize(
    ("document", "holds", "value", "people", "programs"),
    [
        (KILOS, Holds.GRAMS, 1250, "1.25 kg", "1250"),
        (POUNDS, Holds.GRAMS, 1250, "2 lb 12.1 oz", "1250"),  # 1250 / 28.349523125 is 44.09 oz
        (KILOS, Holds.MONEY, Decimal("2.4"), "2.40", "2.40"),
        (POUNDS, Holds.MONEY, Decimal("2.4"), "2.400", "2.400"),
        (YEN, Holds.MONEY, Decimal(1500), "1500", "1500"),
        (KILOS, Holds.MONEY, Decimal("1E+3"), "1000.00", "1000.00"),
        (KILOS, Holds.SHARE, Fraction(1, 3), "33.3 %", "0.333333"),
        (KILOS, Holds.SHARE, Fraction(1, 10**6), "0.0 %", "0.000001"),
        (KILOS, Holds.SHARE, 0, "0.0 %", "0.000000"),
        (KILOS, Holds.SHARE, Fraction(1), "100.0 %", "1.000000"),
        (KILOS, Holds.COUNT, 14, "14", "14"),
        (KILOS, Holds.DAY, date(2027, 2, 6), "Sat 6 Feb", "2027-02-06"),
        (KILOS, Holds.DATE, date(2026, 9, 12), "12 Sep 2026", "2026-09-12"),
        (KILOS, Holds.TEXT, "beef", "beef", "beef"),
        (KILOS, Holds.MONEY, None, "", ""),
    ],
)
def test_a_value_is_told(document: Document, holds: Holds, value: Cell, people: str, programs: str) -> None:
    assert for_people(document, holds, value) == people
    assert for_programs(document, holds, value) == programs


def test_weekdays_are_those_of_the_calendar() -> None:
    # Source: the standard library's calendar, English names.
    import calendar

    for day in range(1, 8):
        one = date(2027, 2, day)
        assert for_people(KILOS, Holds.DAY, one)[:3] == calendar.day_abbr[one.weekday()]


def test_people_and_programs_each_get_their_tables() -> None:
    both, people, programs = Table("k", "", (), ()), Table("", "", (), ()), Table("k", "", (), (), shown=False)
    document = Document("d", "d", "EUR", 2, "kg", (both, people, programs, Paragraph("text")))
    assert blocks_for_people(document) == (both, people, Paragraph("text"))
    assert blocks_for_programs(document) == (both, programs, Paragraph("text"))
