"""Numbers as people write them: what is read, what is refused, and every digit that is printed.

**Source:** the international pound of 1959, 0.45359237 kg; arithmetic; sums stand beside the numbers.
"""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.trade.rounding import half_up, split_evenly
from raworder.trade.units import (
    GRAMS_PER,
    Currency,
    UnitError,
    amount_text,
    day_text,
    grams_text,
    metabolic_kg,
    read_count,
    read_date,
    read_grams,
    read_money,
    read_number,
    read_percent,
    share_text,
)

EUR, JPY = Currency("EUR", 2), Currency("JPY", 0)


@pytest.mark.parametrize(
    ("amount", "text"),
    [
        ("0", "0"),
        ("1", "1"),
        ("-1.5", "-1.5"),
        ("99.95", "100"),
        ("99.94", "99.9"),
        ("100", "100"),
        ("100.5", "101"),
        ("10", "10"),
        ("0.1", "0.1"),
        ("0.12345", "0.123"),
        ("0.1235", "0.124"),
        ("0.0012345", "0.00123"),
        ("0.00001234", "0.000012"),
        ("0.0000005", "0.000001"),
        ("0.0000004", "0"),
        ("120", "120"),
        ("1200.4", "1200"),
    ],
)
def test_an_amount_has_three_digits_that_say_something_and_at_most_six_decimals(amount: str, text: str) -> None:
    assert amount_text(Fraction(amount)) == text


def test_an_amount_has_as_many_digits_as_are_asked_for() -> None:
    assert [amount_text(Fraction(100, 3), digits) for digits in (1, 2, 3, 4, 6)] == [
        "33",
        "33",
        "33.3",
        "33.33",
        "33.3333",
    ]


@pytest.mark.parametrize(
    ("grams", "unit", "text"),
    [
        (0, "kg", "0 g"),
        (999, "kg", "999 g"),
        (1_000, "kg", "1 kg"),
        (1_010, "kg", "1.01 kg"),
        (1_200, "kg", "1.2 kg"),
        (10_000, "kg", "10 kg"),
        (-1_500, "kg", "-1.5 kg"),
        (0, "lb", "0 oz"),
        (28, "lb", "1 oz"),  # 0.988 oz
        (454, "lb", "1 lb"),  # 16.014 oz
        (460, "lb", "1 lb 0.2 oz"),  # 16.226 oz
        (907, "lb", "2 lb"),
        (100, "lb", "3.5 oz"),  # 3.527 oz
        (1_361, "lb", "3 lb"),  # 48.008 oz
        (450, "lb", "15.9 oz"),  # 15.873 oz
    ],
)
def test_grams_are_told_in_kilograms_or_in_pounds(grams: int, unit: str, text: str) -> None:
    assert grams_text(grams, unit) == text


def test_an_ounce_is_a_sixteenth_of_the_pound() -> None:
    assert GRAMS_PER["lb"] == Fraction("453.59237") == 16 * GRAMS_PER["oz"]
    assert (GRAMS_PER["g"], GRAMS_PER["kg"]) == (1, 1000)


@pytest.mark.parametrize(
    ("amount", "near", "down", "up"),
    [
        ("1.005", "1.01", "1.00", "1.01"),
        ("1.004", "1.00", "1.00", "1.01"),
        ("1.0001", "1.00", "1.00", "1.01"),
        ("1.01", "1.01", "1.01", "1.01"),
        ("-1.005", "-1.01", "-1.01", "-1.00"),
    ],
)
def test_money_is_rounded_to_the_minor_unit(amount: str, near: str, down: str, up: str) -> None:
    exact = Fraction(amount)
    rounded = (EUR.rounded(exact), EUR.rounded_down(exact), EUR.rounded_up(exact))
    assert rounded == (Decimal(near), Decimal(down), Decimal(up))


def test_money_without_a_minor_unit_is_whole() -> None:
    assert (
        JPY.minor,
        JPY.rounded(Fraction(3, 2)),
        JPY.rounded_down(Decimal("1.9")),
        JPY.rounded_up(Decimal("1.1")),
    ) == (
        1,
        2,
        1,
        2,
    )
    assert (JPY.text(Decimal(150)), EUR.text(Decimal("1.5"))) == ("150 JPY", "1.50 EUR")


@pytest.mark.parametrize(("amount", "whole"), [("0.5", 1), ("0.49", 0), ("-0.5", -1), ("-0.49", 0), ("0", 0), ("1", 1)])
def test_halves_go_away_from_zero(amount: str, whole: int) -> None:
    assert half_up(Fraction(amount)) == whole


def test_metabolic_weight_is_exact_to_nine_decimals_and_rounded_down() -> None:
    # 10^0.75 = 5.62341325190349 and 15^0.75 = 7.62199130...; Python's own floats agree to 15 digits
    assert metabolic_kg(Fraction(10_000)) == Fraction(5623413251, 10**9)
    for kg in (2, 7, 15, 33, 61):
        above = Fraction(kg**0.75) - metabolic_kg(Fraction(1000 * kg))
        assert 0 <= above + Fraction(1, 10**14) < Fraction(1, 10**9) + Fraction(1, 10**13)


@pytest.mark.parametrize(("whole", "parts"), [(9, 4), (0, 3), (14, 7), (5, 9), (1, 1)])
def test_even_shares_add_up_and_differ_by_one_at_most(whole: int, parts: int) -> None:
    shares = split_evenly(whole, parts)
    assert (len(shares), sum(shares)) == (parts, whole)
    assert max(shares) - min(shares) <= 1


@pytest.mark.parametrize(
    ("share", "decimals", "text"),
    [
        ("0.1", 1, "10.0 %"),
        ("0.12345", 1, "12.3 %"),
        ("0.1235", 1, "12.4 %"),
        ("1", 0, "100 %"),
        ("0.12345", 2, "12.35 %"),
    ],
)
def test_a_share_is_a_percentage_with_its_decimals(share: str, decimals: int, text: str) -> None:
    assert share_text(Fraction(share), decimals) == text


def test_a_share_has_one_decimal_unless_asked() -> None:
    assert share_text(Fraction(1, 8)) == "12.5 %"


def test_a_day_is_told_with_its_weekday() -> None:
    assert [day_text(date(2027, 2, day)) for day in (1, 7)] == ["Mon 1 Feb", "Sun 7 Feb"]


REFUSED = (
    (read_number, "1,5", "comma-in-number", "`1.5`"),
    (read_number, "+1", "bad-value", "at most one point"),
    (read_number, "1" * 10, "bad-value", "at most one point"),
    (read_grams, "5", "no-unit", "`5 kg`"),
    (read_grams, "5 Kilos", "unknown-unit", "write `5 kg`"),
    (read_grams, "5 stone", "unknown-unit", "use g, kg, oz or lb"),
    (read_grams, "?", "no-unit", "say which"),
    (read_grams, "5 kg kg", "bad-value", "a number and its unit"),
    (read_percent, "5", "no-unit", "write `5 %`"),
    (read_percent, "5 kg", "bad-value", "`10 %`"),
    (lambda text: read_money(text, EUR), "5 CHF", "other-currency", "in EUR"),
    (lambda text: read_money(text, EUR), "5.001", "bad-value", "at most 2 decimals"),
    (lambda text: read_money(text, EUR), "five euros", "bad-value", "the amount in EUR"),
    (lambda text: read_money(text, EUR), "5,00", "comma-in-number", "`5.00`"),
    (lambda text: read_money(text, JPY), "5.5", "bad-value", "at most 0 decimals"),
    (read_date, "2027-2-6", "bad-date", "year-month-day"),
    (read_date, "2027-02-30", "bad-date", "year-month-day"),
    (read_count, "1.5", "bad-value", "digits only"),
    (read_count, "01", "bad-value", "digits only"),
    (read_count, "1234567", "bad-value", "digits only"),
)


def assert_refused(read: Callable[[str], object], text: str, slug: str, remedy: str) -> None:
    """What is read so is refused under that slug, and told what to write."""
    with pytest.raises(UnitError) as refusal:
        read(text)
    assert refusal.value.slug == slug
    assert remedy in refusal.value.help


@pytest.mark.parametrize(("read", "text", "slug", "remedy"), REFUSED)
def test_what_cannot_be_read_is_refused_with_its_remedy(
    read: Callable[[str], object], text: str, slug: str, remedy: str
) -> None:
    assert_refused(read, text, slug, remedy)


def test_what_can_be_read_is_read_exactly() -> None:
    assert (read_number("0.25"), read_grams("8 oz"), read_percent("2.5%")) == (
        Fraction(1, 4),
        8 * GRAMS_PER["oz"],
        Fraction(1, 40),
    )
    assert (read_money("2.4", EUR), read_money("3 JPY", JPY)) == (Decimal("2.40"), Decimal(3))
    assert str(read_money("2.4", EUR)) == "2.40"
    assert (read_date("2027-02-06"), read_count("0"), read_count("10")) == (date(2027, 2, 6), 0, 10)
