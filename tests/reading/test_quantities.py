"""Quantities as people write them."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.reading.quantities import (
    Amount,
    DaySpan,
    Pack,
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
from raworder.trade.units import Currency, UnitError
from tests.trade.test_units import assert_refused

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


def test_rations_in_energy() -> None:
    assert read_ration("900 kcal a day") == Ration("900 kcal", kcal=Fraction(900))
    assert read_ration("110 kcal/kg^0.75") == Ration("110 kcal/kg^0.75", kcal_per_metabolic_kg=Fraction(110))
    assert [read_ration(text).in_energy for text in ("900 kcal", "110 kcal/kg^0.75", "2 %", "520 g")] == [
        True,
        True,
        False,
        False,
    ]


def test_a_ration_of_a_share_is_of_the_dog_as_it_is_unless_it_says_so() -> None:
    assert read_ration("3 % of adult weight") == Ration(
        "3 % of adult weight", share=Fraction(3, 100), of_adult_weight=True
    )
    assert not read_ration("3 %").of_adult_weight


def test_a_price_is_for_a_weight_or_not() -> None:
    assert [read_price(text, EUR).by_weight for text in ("2 per lb", "2 per 100 g", "2 per pack", "2")] == [
        True,
        True,
        False,
        False,
    ]


def test_a_pack_weighs_just_what_it_says_unless_it_says_about() -> None:
    assert Pack(Fraction(500)) == Pack(Fraction(500), about=False)


@pytest.mark.parametrize(("day", "held"), [(9, False), (10, True), (11, True), (12, True), (13, False)])
def test_days_in_a_row_hold_both_their_ends(day: int, held: bool) -> None:
    assert read_days("2027-02-10 to 2027-02-12").holds(date(2027, 2, day)) is held


SLUGS = (
    (lambda text: read_price(text, EUR), "2.40/kg", "bad-value", "write `2.40 per kg`"),
    (lambda text: read_price(text, EUR), "2.40 per g", "unknown-unit", "per 100 g"),
    (read_ration, "2.5", "no-unit", "`2.5 %` or `2.5 g`"),
    (read_ration, "5 stone", "unknown-unit", "g, kg, oz or lb"),
    (read_ration, "0 kcal", "zero-amount", "leave the line out"),
    (read_ration, "0 %", "zero-amount", "leave the line out"),
    (read_ration, "900 kcal/kg", "bad-value", "kcal/kg^0.75"),
    (read_ration, "2 % of its weight", "bad-value", "of adult weight"),
    (read_days, "2027-02-12 to 2027-02-10", "days-reversed", "the earlier day first"),
    (read_yes, "maybe", "bad-value", "`yes` or `no`"),
)


@pytest.mark.parametrize(("read", "text", "slug", "remedy"), SLUGS)
def test_a_refusal_has_its_slug_and_its_remedy(
    read: Callable[[str], object], text: str, slug: str, remedy: str
) -> None:
    assert_refused(read, text, slug, remedy)


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
    assert [read_yes(text) for text in ("yes", "true", "no", "false")] == [True, True, False, False]


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
