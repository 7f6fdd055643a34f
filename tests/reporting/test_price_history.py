"""Prices: the mean of what was paid, the cheapest of the last four, and today's list beside them.

All names and prices are invented. **Source:** sums by hand beside the numbers.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.reporting.price_history import course_of, cut_history, price_history
from raworder.trade.document import Chart, Document, Paragraph, Table
from raworder.trade.kept import ListedPrice, PricePoint
from tests import builders as b
from tests.reporting.samples_of_book import BRACK, LISTED, POINTS, SCENARIO, TODAY, a_point

COURSE = course_of("beef trim", POINTS, LISTED)


def said(document: Document) -> str:
    """What its paragraphs say."""
    return " ".join(block.text for block in document.blocks if isinstance(block, Paragraph))


def rows(document: Document) -> tuple[tuple[object, ...], ...]:
    """The rows of its table."""
    return next(block.rows for block in document.blocks if isinstance(block, Table))


def test_the_mean_is_of_what_was_paid_and_the_list_stands_beside_it() -> None:
    assert COURSE.mean == Fraction("2.4")
    assert COURSE.now is LISTED[0]
    assert COURSE.above_mean == Fraction(1, 4)
    assert said(cut_history(SCENARIO, COURSE)) == (
        "On the list now: 3.00 EUR a kilogram at Alder Street Meats, 25 % above your mean. Mean paid: 2.40 EUR a "
        "kilogram, from 5 prices. The cheapest of the last 4: 2.20 EUR at Brackenhill Farm on 27 Nov 2026."
    )


@pytest.mark.parametrize(
    ("price", "says"),
    [("1.80", "25 % below your mean"), ("2.40", "the same as your mean"), ("2.83", "18 % above your mean")],
)
def test_the_list_is_above_below_or_the_same(price: str, says: str) -> None:
    listed = [replace(LISTED[0], edible_kg=Fraction(price))]
    assert says in said(cut_history(SCENARIO, course_of("beef trim", POINTS, listed)))


def test_the_cheapest_is_of_the_last_four_alone() -> None:
    assert COURSE.cheapest_of_last.edible_kg == Fraction("2.2")  # 2.00 is longer ago
    few = course_of("beef trim", POINTS[:2], LISTED)
    assert "The cheapest of these: 2.00 EUR" in said(cut_history(SCENARIO, few))


def test_where_nothing_was_paid_the_lists_count_and_say_so() -> None:
    listed = course_of("beef trim", [point for point in POINTS if not point.paid], LISTED)
    assert listed.mean == Fraction("2.5")
    assert "20 % above the mean of the lists. Mean asked: 2.50 EUR" in said(cut_history(SCENARIO, listed))


def test_every_price_stands_by_day_paid_or_listed() -> None:
    found = rows(cut_history(SCENARIO, COURSE))
    assert [row[0] for row in found] == sorted(point.day for point in POINTS)
    assert found[2] == (date(2026, 11, 27), "Alder Street Meats", "beef trim", Decimal("2.50"), "listed")
    assert [row[4] for row in found].count("paid") == 5


def test_the_chart_shows_what_was_paid_under_the_line_of_the_mean() -> None:
    [chart] = [block for block in cut_history(SCENARIO, COURSE).blocks if isinstance(block, Chart)]
    assert [mark.value for mark in chart.marks] == [Decimal(p) for p in ("2.00", "2.40", "2.20", "2.60", "2.80")]
    assert (chart.limit, chart.limit_says) == (Decimal("2.40"), "mean")


def test_a_cut_that_nobody_sells_or_has_bought_says_so() -> None:
    assert said(cut_history(SCENARIO, course_of("beef trim", POINTS, ()))).startswith(
        "None of the scenario's lists sells beef trim. Mean paid"
    )
    assert said(cut_history(SCENARIO, course_of("beef trim", (), LISTED))).endswith("The book has no price of it yet.")
    assert said(cut_history(SCENARIO, course_of("quail", (), ()))) == "None of the scenario's lists sells quail."


def test_what_is_dear_by_more_than_a_tenth_comes_first_and_all_else_by_name() -> None:
    names = ("aa", "bb", "cc", "dd")
    scenario = replace(SCENARIO, cuts=tuple(b.a_cut(name) for name in names))
    points = [a_point(name, TODAY, "1.00") for name in names]
    listed = [
        ListedPrice(BRACK, TODAY, name, name, "", 1_000, Decimal(price), "kg", Fraction(price))
        for name, price in zip(names, ("0.50", "1.20", "1.10", "1.50"), strict=True)
    ]
    document = price_history(scenario, points, listed)
    assert [row[0] for row in rows(document)] == ["dd", "bb", "aa", "cc"]
    assert said(document) == "Dearer than usual: dd (+50 %) and bb (+20 %)."
    assert [row[-1] for row in rows(document)] == [Fraction(n, 10) for n in (5, 2, -5, 1)]


def test_a_cut_has_what_was_paid_last_the_mean_and_the_list() -> None:
    [row] = rows(price_history(SCENARIO, POINTS, LISTED))
    assert row == (
        *("beef trim", Decimal("2.80"), date(2027, 2, 5), Decimal("2.40"), Decimal("3.00")),
        *("Alder Street Meats", Fraction(1, 4)),
    )


def test_a_book_without_prices_says_so() -> None:
    points: tuple[PricePoint, ...] = ()
    assert said(price_history(SCENARIO, points, LISTED)) == "The book has no prices of these cuts yet."


def test_in_pounds_prices_are_for_a_pound_and_their_keys_say_so() -> None:
    pounds = replace(SCENARIO, weight_unit="lb")
    document = cut_history(pounds, COURSE)
    assert said(document).startswith("On the list now: 1.36 EUR a pound")  # 3.00 x 0.45359237
    table = next(block for block in document.blocks if isinstance(block, Table))
    assert [column.key for column in table.columns][3] == "edible_lb"
    assert table.rows[0][3] == Decimal("0.91")
    assert rows(price_history(pounds, POINTS, LISTED))[0][4] == Decimal("1.36")
