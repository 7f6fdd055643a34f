"""Prices and stock as suppliers write them. All of them are invented.

**Source:** common practice, no source.
"""

from decimal import Decimal
from fractions import Fraction

import pytest

from raworder.reading.currencies import money_signs, read_currency
from raworder.reading.list_words import likely_decimal_mark, proposed_field, read_listed_number
from raworder.reading.price_words import (
    Money,
    NotSoldNow,
    PriceWords,
    SoldColumn,
    check_two_prices,
    one_price,
    read_basis,
    read_price_words,
)
from raworder.trade.supplier_list import ListedPack
from raworder.trade.units import UnitError

TEN_KG = ListedPack(Fraction(10), "kg")
CASE = ListedPack(Fraction(5, 2), "kg", (4,))
ABOUT = ListedPack(Fraction(27, 2), "kg", about=True, up_to=Fraction(15))


def price(text: str, mark: str = ",", code: str = "EUR") -> PriceWords:
    """The price in a cell."""
    return read_price_words(text, mark, Money(read_currency(code), money_signs()))


@pytest.mark.parametrize(
    ("text", "mark", "code", "amount", "basis"),
    [
        ("1.234,50 €", ",", "EUR", "1234.50", ""),
        ("1 234,50 €", ",", "EUR", "1234.50", ""),
        ("1'234.50", ".", "CHF", "1234.50", ""),
        ("9,75 ", ",", "EUR", "9.75", ""),
        ("$1.09/lb", ".", "USD", "1.09", "lb"),
        ("@ 3.20/lb", ".", "USD", "3.20", "lb"),
        ("approx. 12-15 lb @ 3.20/lb", ".", "USD", "3.20", "lb"),
        ("€/kg 3,45", ",", "EUR", "3.45", "kg"),
        ("3,45 €/kg", ",", "EUR", "3.45", "kg"),
        ("3,45 Euro je kg", ",", "EUR", "3.45", "kg"),
        ("5,-", ",", "EUR", "5.00", ""),
        ("2.40 per 100 g", ".", "EUR", "2.40", "100 g"),
        ("12.99/case", ".", "USD", "12.99", "pack"),
        ("3,00 je Stück", ",", "EUR", "3.00", "piece"),
        ("1.09/#", ".", "USD", "1.09", "lb"),
    ],
)
def test_a_price_is_read_as_a_person_reads_it(text: str, mark: str, code: str, amount: str, basis: str) -> None:
    assert price(text, mark, code) == PriceWords(Decimal(amount), basis)


@pytest.mark.parametrize("text", ["SOLD OUT", "Tagespreis", "ask", "n/a", "-", "a.A.", "5 lb @ SOLD OUT", "0,00"])
def test_a_word_in_the_place_of_a_price_says_that_it_is_not_sold_now(text: str) -> None:
    with pytest.raises(NotSoldNow):
        price(text)


@pytest.mark.parametrize("text", ["ab 3,45", "-3,45", "3,45 bis 4,00", "$2,40", "3.45", "3,45/Sack voll", "3,456"])
def test_a_price_that_is_in_doubt_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        price(text)


def test_the_decimal_mark_is_that_of_all_the_numbers() -> None:
    assert likely_decimal_mark(["10 kg (4x2,5)", "3,45"]) == ","
    assert likely_decimal_mark(["1.234,50"]) == ","
    assert likely_decimal_mark(["1,234.50", "12"]) == "."
    assert likely_decimal_mark(["1.234.567"]) == ","
    assert likely_decimal_mark(["2.40", "3,20"]) == ""
    assert likely_decimal_mark(["1.234"]) == ""
    assert likely_decimal_mark(["12", "40 LB"]) == "."


def test_marks_between_thousands_are_only_where_thousands_are() -> None:
    assert read_listed_number("1.234.567,5", ",") == Fraction(12345675, 10)
    for text in ("1.23,5", "12.34", "0.123"):
        with pytest.raises(UnitError):
            read_listed_number(text, ",")


def test_a_price_by_the_piece_is_for_the_pack_where_that_is_one_piece() -> None:
    said = PriceWords(Decimal(3), "piece")
    assert one_price(said, "pack", TEN_KG, "3,00 je Stück").basis == "pack"
    for pack in (CASE, None):
        with pytest.raises(UnitError, match="for the case or for one pack"):
            one_price(said, "pack", pack, "3,00 je Stück")


def test_one_price_for_packs_of_a_range_is_not_counted_with() -> None:
    with pytest.raises(UnitError, match="one price for whatever it weighs"):
        one_price(PriceWords(Decimal(12)), "pack", ABOUT, "12,00")
    assert one_price(PriceWords(Decimal(12)), "kg", ABOUT, "12,00").basis == "kg"


@pytest.mark.parametrize(
    ("pack", "per_kg", "per_pack", "agrees"),
    [
        (TEN_KG, "3.45", "34.50", True),
        (TEN_KG, "3.45", "34.55", True),  # 3.4549 a kilogram
        (TEN_KG, "3.45", "34.56", False),
        (CASE, "3.45", "34.50", True),
        (CASE, "3.45", "8.63", False),
        (ABOUT, "3.45", "50.00", True),  # nobody knows what it will weigh
    ],
)
def test_two_prices_agree_but_for_rounding(pack: ListedPack, per_kg: str, per_pack: str, agrees: bool) -> None:
    both = PriceWords(Decimal(per_kg), "kg"), PriceWords(Decimal(per_pack), "pack")
    for first, second in (both, both[::-1]):
        if agrees:
            check_two_prices(first, second, pack, read_currency("EUR"))
        else:
            with pytest.raises(UnitError, match="do not agree"):
                check_two_prices(first, second, pack, read_currency("EUR"))


@pytest.mark.parametrize(
    ("heading", "ticks", "text", "says"),
    [
        ("Verfügbar", False, "ja", "sold"),
        ("Verfügbar", False, "Nein", "not now"),
        ("Bestand", False, "ausverkauft", "not now"),
        ("Bestand", False, "12", "sold"),
        ("Bestand", False, "0", "not now"),
        ("STATUS", False, "", "sold"),
        ("STATUS", False, "SOLD OUT", "not now"),
        ("STATUS", False, "Out of Stock!", "not now"),
        ("STATUS", False, "x", "nobody knows"),
        ("Lieferbar", True, "x", "sold"),
        ("Lieferbar", True, "", "not now"),
        ("Ausverkauft", True, "x", "not now"),
        ("Ausverkauft", True, "", "sold"),
        ("Ausverkauft", False, "ja", "not now"),
        ("Ausverkauft", False, "nein", "sold"),
        ("Bestand", False, "ab März", "nobody knows"),
        ("Bestand", False, "Ladenhüter", "sold"),
        ("Bestand", False, "bald", "not now"),
        ("Bestand", False, "limited", "sold"),
        ("Bestand", False, "0,0 kg", "not now"),
        ("Bestand", False, "15.03", "nobody knows"),
        ("Ausverkauft", False, "ausverkauft", "not now"),
    ],
)
def test_what_is_not_sold_now_is_told_from_what_nobody_can_read(
    heading: str, ticks: bool, text: str, says: str
) -> None:
    column = SoldColumn(heading, ticks, ("ladenhüter",), ("bald",))
    try:
        column.demand_sold(text)
        said = "sold"
    except NotSoldNow:
        said = "not now"
    except UnitError:
        said = "nobody knows"
    assert said == says


def test_what_stands_beside_a_price_says_what_it_is_for() -> None:
    assert [read_basis(text) for text in ("LB", "je kg", "CS", "Stk.", "100 g")] == [
        "lb",
        "kg",
        "pack",
        "piece",
        "100 g",
    ]
    with pytest.raises(UnitError):
        read_basis("frisch")


def test_headings_propose_what_a_column_holds() -> None:
    headings = ("Art.-Nr.", "Bezeichnung", "VK netto EUR", "ITEM #", "Verpackungseinheit", "Bestand", "UoM", "Notiz")
    assert [proposed_field(heading) for heading in headings] == [
        "code", "cut", "price", "code", "pack", "sold", "per", "",
    ]  # fmt: skip
