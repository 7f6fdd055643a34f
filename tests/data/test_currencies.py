"""The table of currencies against the standard's own list, and against what another list says of the same money.

**Source:** ISO 4217 list one, with numbers and minor units, as the package `iso4217` carries it from its maintenance
agency; the Unicode CLDR, as `babel` carries it, for which money is tender where and until when, and for signs. Signs in
the column `signs_from_memory` are from memory, not looked up.
"""

import csv
import unicodedata
from datetime import date
from pathlib import Path

import iso4217
import pytest
from babel import Locale
from babel.core import UnknownLocaleError, get_global

from raworder.reading.currencies import read_currencies, read_currency
from raworder.trade.units import UnitError

DATA = Path(__file__).resolve().parents[2] / "data"
LISTED = {code: entry for code, entry in iso4217.raw_table.items() if code}
TENDER = get_global("territory_currencies")
"""By territory its currencies, each with its first and last day and whether one pays with it."""

EURO_BEGAN = date(1999, 1, 1)
OF_LIST_ONE = "ISO 4217 list one, published "
OF_CLDR = "Unicode CLDR (read in Babel "


def rows() -> dict[str, dict[str, str]]:
    with (DATA / "currencies.csv").open(encoding="utf-8", newline="") as file:
        read = list(csv.DictReader(file, strict=True))
    assert [row["code"] for row in read] == sorted({row["code"] for row in read})
    return {row["code"]: row for row in read}


ROWS = rows()
CURRENT = {code: row for code, row in ROWS.items() if not row["now"]}
WITHDRAWN = {code: row for code, row in ROWS.items() if row["now"]}


def paid_with(territory: str, on: date | None) -> set[str]:
    """The codes that are tender in a territory on a day, or still."""
    spans = [(code, end and date(*end)) for code, _, end, tender in TENDER[territory] if tender]
    return {code for code, end in spans if end == on}


def shown_at_home(code: str) -> set[str]:
    """How the money is written in English and where one pays with it, in narrow letters, without a last point."""
    locales = [Locale("en")]
    for territory in TENDER:
        if code in paid_with(territory, None):
            try:
                locales.append(Locale.parse(f"und_{territory}"))
            except UnknownLocaleError:
                continue
    shown = (locale.currency_symbols.get(code, code) for locale in locales)
    return {unicodedata.normalize("NFKC", each).removesuffix(".") for each in shown}


def test_the_current_codes_are_those_of_list_one() -> None:
    assert set(CURRENT) == set(LISTED)
    published = {row["source"].removeprefix(OF_LIST_ONE) for row in CURRENT.values()}
    assert [date.fromisoformat(each) <= iso4217.__published__ for each in published] == [True]


def test_a_current_row_says_what_list_one_says() -> None:
    said = {code: (row["number"], row["currency"], row["minor_digits"] or "N.A.") for code, row in CURRENT.items()}
    names = {code: " ".join(entry["CcyNm"].split()) for code, entry in LISTED.items()}
    assert said == {code: (f"{entry['CcyNbr']:03}", names[code], entry["CcyMnrUnts"]) for code, entry in LISTED.items()}
    assert {row["until"] for row in CURRENT.values()} == {""}


def test_whatever_is_tender_somewhere_today_can_be_a_scenarios_currency() -> None:
    today = set().union(*(paid_with(territory, None) for territory in TENDER))
    assert len(today) > 150
    assert [code for code in sorted(today) if read_currency(code).code != code] == []


@pytest.mark.parametrize("code", WITHDRAWN)
def test_a_withdrawn_code_names_what_is_paid_there_now(code: str) -> None:
    row = WITHDRAWN[code]
    until = date.fromisoformat(row["until"])
    where = [territory for territory in TENDER if code in paid_with(territory, until)]
    assert where, "the table of territories knows of no such end"
    assert any(row["now"] in paid_with(territory, None) for territory in where)
    assert (row["minor_digits"], row["number"]) == ("", "")
    assert row["source"].startswith(OF_CLDR)


def test_all_money_that_went_since_the_euro_came_is_in_the_table() -> None:
    gone = {
        code
        for territory in TENDER
        for code, _, end, tender in TENDER[territory]
        if tender and end and date(*end) >= EURO_BEGAN and paid_with(territory, None)
    }
    assert gone - set(LISTED) == set(WITHDRAWN)


@pytest.mark.slow
def test_a_sign_is_the_one_that_is_used_at_home() -> None:
    signs = {code: set(filter(None, row["signs"].split("; "))) for code, row in CURRENT.items()}
    assert sum(map(len, signs.values())) > 60
    assert {code: told - shown_at_home(code) for code, told in signs.items() if told - shown_at_home(code)} == {}


@pytest.mark.slow
def test_money_with_a_sign_of_its_own_at_home_has_it_in_the_table() -> None:
    for code in CURRENT:
        own = {each for each in shown_at_home(code) if any(unicodedata.category(sign) == "Sc" for sign in each)}
        assert own <= {*read_currencies()[code].signs, "¤"}, code


@pytest.mark.parametrize("code", sorted(code for code, row in ROWS.items() if row["now"] or not row["minor_digits"]))
def test_what_nobody_can_pay_with_is_refused_with_one_remedy(code: str) -> None:
    with pytest.raises(UnitError) as refused:
        read_currency(code)
    assert ROWS[code]["currency"] in str(refused.value)
    assert (ROWS[code]["now"] or "`EUR`") in refused.value.help


def test_the_table_is_written_in_one_stable_way() -> None:
    text = (DATA / "currencies.csv").read_bytes().decode("utf-8")
    assert "\r" not in text
    assert text == unicodedata.normalize("NFC", text)
    assert [cell for row in ROWS.values() for cell in row.values() if cell != " ".join(cell.split())] == []
    assert list(ROWS["EUR"]) == "code number currency minor_digits until now signs signs_from_memory source".split()
