"""Currencies of scenarios: which codes are taken, what is said to the others, and that minor units hold in money.

**Source:** the minor units are ISO 4217's, which `tests/data/test_currencies.py` looks up. All prices are invented.
"""

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.currencies import read_currencies, read_currency
from raworder.trade.units import UnitError, read_money
from tests.reading.written import a_text, reading_of


@pytest.mark.parametrize("code", "CRC ALL DZD DOP XCD UYW CLF CHW AMD NIO MVR STN XCG ZWG SLE".split())
def test_a_scenario_can_have_any_money_of_the_standard(tmp_path: Path, code: str) -> None:
    reading = reading_of(tmp_path, a_text().replace("currency: EUR", f"currency: {code}"))
    assert reading.scenario is not None
    assert reading.scenario.currency.code == code


@pytest.mark.parametrize(
    ("code", "written", "finer", "third"),
    [
        ("JPY", "240", "240.5", "80"),
        ("EUR", "2.40", "2.405", "0.80"),
        ("KWD", "2.405", "2.4055", "0.802"),
        ("CLF", "0.0240", "0.02405", "0.0080"),
        ("UYW", "1.0001", "1.00015", "0.3334"),
    ],
)
def test_money_has_the_minor_unit_of_its_code(code: str, written: str, finer: str, third: str) -> None:
    currency = read_currency(code)
    amount = read_money(f"{written} {code}", currency)
    assert currency.text(amount) == f"{written} {code}"
    assert str(currency.rounded(Fraction(amount) / 3)) == third
    assert currency.rounded_up(amount) == currency.rounded_down(amount) == amount
    with pytest.raises(UnitError, match="finer than"):
        read_money(finer, currency)


def test_every_minor_unit_of_the_table_rounds_to_itself() -> None:
    paid = [code for code, listed in read_currencies().items() if not listed.now and listed.digits is not None]
    assert {read_currency(code).digits for code in paid} == {0, 2, 3, 4}
    for code in paid:
        currency = read_currency(code)
        assert currency.rounded(currency.minor) == currency.minor == Decimal(10) ** -currency.digits
        assert currency.rounded_down(currency.minor * Decimal("0.9")) == 0


@pytest.mark.parametrize(
    ("written", "message", "remedy"),
    [
        ("HRK", "`HRK` (Croatian Kuna) was a currency until 2023", "write `EUR`, and all prices in EUR"),
        ("BGN", "`BGN` (Bulgarian Lev) was a currency until 2026", "write `EUR`, and all prices in EUR"),
        ("ANG", "was a currency until 2025", "write `XCG`, and all prices in XCG"),
        ("XAU", "`XAU` (Gold) is no money to pay with", "write the code of the currency that you pay in"),
        ("XXX", "is no money to pay with", "write the code of the currency that you pay in"),
        ("XTS", "is no money to pay with", "write the code of the currency that you pay in"),
        ("eur", "`eur` is not a currency code", "write `EUR`"),
        ("euro", "`euro` is not a currency code", "use the three capital letters of ISO 4217"),
        ("QQQ", "`QQQ` is not a currency code", "use the three capital letters of ISO 4217"),
    ],
)
def test_a_code_that_is_no_money_is_refused_at_its_place(
    tmp_path: Path, written: str, message: str, remedy: str
) -> None:
    reading = reading_of(tmp_path, a_text().replace("currency: EUR", f"currency: {written}"))
    (told,) = [finding for finding in reading.findings if finding.slug == "bad-value"]
    assert (told.place.line, told.place.column) == (1, 11)
    assert message in told.message
    assert told.help.startswith(remedy)
