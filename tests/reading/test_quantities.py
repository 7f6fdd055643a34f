"""Quantities as people write them."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.reading.quantities import (
    Amount,
    DaySpan,
    Price,
    Range,
    Ration,
    Room,
    read_amount,
    read_days,
    read_percentage,
    read_price,
    read_range,
    read_ration,
    read_room,
    read_yes,
)
from raworder.units import Currency, UnitError

EUR = Currency("EUR", 2)


@pytest.mark.parametrize(
    ("text", "price"),
    [
        ("2.4", Price(Decimal("2.40"))),
        ("2.40 EUR", Price(Decimal("2.40"))),
        ("2.40 per pack", Price(Decimal("2.40"), "pack")),
        ("6.20 EUR per kg", Price(Decimal("6.20"), "kg")),
        ("0.62 per 100  g", Price(Decimal("0.62"), "100 g")),
    ],
)
def test_prices(text: str, price: Price) -> None:
    assert read_price(text, EUR) == price


def test_amounts_are_packs_or_weights() -> None:
    assert read_amount("10") == Amount(packs=10)
    assert read_amount("4 kg") == Amount(grams=Fraction(4000))


def test_rations() -> None:
    assert read_ration("2.5 %") == Ration("2.5 %", share=Fraction(25, 1000))
    assert read_ration("3 % of adult weight").of_adult_weight
    assert read_ration("520 g a day") == Ration("520 g", grams=Fraction(520))


def test_a_percentage_is_a_share_of_at_most_the_whole() -> None:
    assert read_percentage("10 %") == read_percentage("10.0%") == Fraction(1, 10)
    assert read_percentage("100 %") == 1
    with pytest.raises(UnitError, match="more than the whole"):
        read_percentage("100.1 %")


@pytest.mark.parametrize("text", ["1", "0.1", ".5", "12", "1/10"])
def test_a_share_without_a_percent_sign_is_refused(text: str) -> None:
    with pytest.raises(UnitError, match="no percent sign") as refusal:
        read_percentage(text)
    assert refusal.value.slug == "no-unit"


@pytest.mark.parametrize("text", ["200 g", "2 kg", "30 kcal"])
def test_an_amount_is_no_share_and_the_remedy_is_not_to_call_it_percent(text: str) -> None:
    with pytest.raises(UnitError, match="is not a share") as refusal:
        read_percentage(text)
    assert text.partition(" ")[0] not in refusal.value.help


def test_ranges_days_and_rooms() -> None:
    assert read_range("8 % to 12 %") == Range(Fraction(8, 100), Fraction(12, 100))
    assert read_range("5 %") == Range(Fraction(5, 100), Fraction(5, 100))
    assert read_days("2027-02-10") == DaySpan(date(2027, 2, 10), date(2027, 2, 10))
    assert read_days("2027-02-10 to 2027-02-12").holds(date(2027, 2, 12))
    assert read_room("120 l") == Room(litres=Fraction(120))
    assert read_room("60 kg") == Room(grams=Fraction(60_000))
    assert (read_yes("yes"), read_yes("no"), read_yes("true")) == (True, False, True)


@pytest.mark.parametrize(
    "text", ["2.40 per", "per kg", "2.40 per g", "2.40 per packs", "-2", "1.234.5", "٣", "1_0", ""]
)
def test_what_is_no_price_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        read_price(text, EUR)


@pytest.mark.parametrize("text", ["2.5", "% 2.5", "2.5 % of the dog", "0 g", "two percent", "2.5 % a week", ""])
def test_what_is_no_ration_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        read_ration(text)


@pytest.mark.parametrize("text", ["Yes", "on", "1", "y", ""])
def test_yes_and_no_are_written_so(text: str) -> None:
    with pytest.raises(UnitError):
        read_yes(text)
