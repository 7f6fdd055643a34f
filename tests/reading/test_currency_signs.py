"""Signs of currencies: whose they can be, and that nothing else is taken off a price. All prices are invented.

**Source:** the category Sc of Unicode as Python's `unicodedata` has it; which sign is whose is checked in `tests/data`.
"""

import unicodedata
from pathlib import Path

import pytest

from raworder.reading.currencies import money_signs, read_currencies
from raworder.reading.files import plain_file
from raworder.reading.foreign_lists import Columns, list_rows, offer_fields
from raworder.reading.list_tables import read_foreign_list
from raworder.reading.notes import Notes
from tests.reading.test_price_sheets import priced_as


def price(folder: Path, said: str, code: str) -> str:
    """The price of a row that says this, or nothing where it is refused with a reason."""
    (folder / "list.csv").write_text(f"Artikel;Preis\nkale;{said}\nchard;{said}\n", encoding="utf-8")
    return first_price(folder / "list.csv", code)


def first_price(path: Path, code: str, pack: int | None = None) -> str:
    """The price on the first row of a list."""
    table = read_foreign_list(plain_file(path), Notes())
    assert table is not None
    by_field = {"cut": 0, "price": 1} if pack is None else {"cut": 0, "pack": 1, "price": 2}
    (one, *_) = list_rows(table, Columns(by_field, "kg" if pack is None else "pack"), code)
    assert bool(one.why) != one.sold_now
    return offer_fields(one, one.name).get("price", "")


@pytest.mark.parametrize(
    ("said", "code", "read"),
    [
        ("2.40 €", "EUR", "2.40 per kg"),
        ("€2.40 / kg", "EUR", "2.40 per kg"),
        ("EUR 2.40", "EUR", "2.40 per kg"),
        ("$2.40", "EUR", ""),
        ("£2.40", "EUR", ""),
        ("USD 2.40", "EUR", ""),
        ("2.40 kr", "EUR", ""),
        ("US$2.40", "EUR", ""),
        ("$2.40", "USD", "2.40 per kg"),
        ("$2.40", "CAD", "2.40 per kg"),
        ("US$2.40", "CAD", ""),
        ("2.40 €", "CAD", ""),
        ("\uffe12.40", "GBP", "2.40 per kg"),
        ("2.40 kr.", "SEK", "2.40 per kg"),
        ("2.40 zł", "PLN", "2.40 per kg"),
        ("2.40 Kč", "CZK", "2.40 per kg"),
        ("¥240", "JPY", "240 per kg"),
        ("2.40 €", "CHF", ""),
        ("CHF 2.40", "CHF", "2.40 per kg"),
        ("₡2.40", "CRC", "2.40 per kg"),
        ("RD$2.40", "DOP", "2.40 per kg"),
        ("$2.40", "XCD", "2.40 per kg"),
        ("EC$2.40", "USD", ""),
        ("2.405 KWD", "KWD", "2.405 per kg"),
        ("2.40 лв", "EUR", ""),
    ],
)
def test_only_the_scenarios_own_money_is_taken_off_a_price(tmp_path: Path, said: str, code: str, read: str) -> None:
    assert price(tmp_path, said, code) == read


@pytest.mark.parametrize(("code", "read"), [("USD", "2.40"), ("EUR", "")])
def test_a_price_in_a_foreign_workbook_is_of_the_money_in_which_it_is_shown(
    tmp_path: Path, code: str, read: str
) -> None:
    (tmp_path / "list.xlsx").write_bytes(priced_as("[$$-409]#,##0.00"))
    assert first_price(tmp_path / "list.xlsx", code, pack=1) == read


def test_every_sign_of_money_is_one() -> None:
    signs = [chr(code) for code in range(0x10000) if unicodedata.category(chr(code)) == "Sc"]
    assert len(signs) > 40
    money_in = money_signs().money_in
    assert [one for one in signs if not money_in(f"2.40 {one}")] == []
    assert [one for one in "%#+/§abc" if money_in(one)] == []


def test_the_signs_and_codes_of_the_table_are_read_as_the_money_they_stand_for() -> None:
    known = money_signs()
    for code, listed in read_currencies().items():
        for one in (code, *listed.signs):
            assert (known.money_in(f"{one} 2.40"), known.other_money(f"2.40 {one}", code)) == (one, "")
            assert known.other_money(f"2.40{one}", "CHF" if code != "CHF" else "EUR") == one
