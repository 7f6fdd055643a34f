"""Numbers as people write them: grams, shares, money and dates, read from text and written back.

Every number has the same grammar: ASCII digits, at most one point, no sign, no exponent, limited length.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor, isqrt
from types import MappingProxyType

from raworder.trade.rounding import half_up

GRAMS_PER: Mapping[str, Fraction] = MappingProxyType(
    {
        "g": Fraction(1),
        "kg": Fraction(1000),
        "oz": Fraction(28349523125, 10**9),
        "lb": Fraction(45359237, 10**5),
    }
)
"""Grams in one unit. Source: the international pound of 1959, 0.45359237 kg exactly; an ounce is a sixteenth."""

BASES_G: Mapping[str, Fraction] = MappingProxyType(
    {"kg": GRAMS_PER["kg"], "lb": GRAMS_PER["lb"], "oz": GRAMS_PER["oz"], "100 g": Fraction(100)}
)
"""The weights that a price may be given for, in grams."""

UNIT_SPELLINGS: Mapping[str, str] = MappingProxyType(
    dict.fromkeys(["gram", "grams", "gr", "gm", "g"], "g")
    | dict.fromkeys(["kilo", "kilos", "kgs", "kilogram", "kilograms", "kg"], "kg")
    | dict.fromkeys(["ounce", "ounces", "ozs", "oz"], "oz")
    | dict.fromkeys(["pound", "pounds", "lbs", "lb"], "lb")
)
"""The unit that another spelling stands for; it is suggested to the person, never assumed."""

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
"""Days of the week in three letters, Monday first, as `date.weekday` counts them."""

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
"""The months in three letters, in English whatever the machine's language."""

MOST_DECIMALS = 6
"""The most decimals in which an amount is shown."""

_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")
_COMMA = re.compile(r"[0-9]{1,9},[0-9]{1,9}")
_QUANTITY = re.compile(r"(?P<number>[^\sA-Za-z%]+)\s*(?P<unit>[A-Za-z]+|%)?")


class UnitError(ValueError):
    """A number or unit that cannot be read; `help` is the one thing to do about it."""

    def __init__(self, message: str, help: str, slug: str = "bad-value") -> None:  # noqa: A002 - the field's name
        super().__init__(message)
        self.help = help
        self.slug = slug


@dataclass(frozen=True, slots=True)
class Currency:
    """A currency by its ISO 4217 code, with the decimals of its minor unit."""

    code: str
    digits: int

    @property
    def minor(self) -> Decimal:
        """The smallest amount that can be paid: 0.01 for EUR, 1 for JPY."""
        return Decimal(1).scaleb(-self.digits)

    def rounded(self, amount: Fraction | Decimal) -> Decimal:
        """The amount in whole minor units, halves away from zero."""
        return half_up(Fraction(amount) * 10**self.digits) * self.minor

    def rounded_down(self, amount: Fraction | Decimal) -> Decimal:
        """The amount in whole minor units, rounded down."""
        return Decimal(floor(Fraction(amount) * 10**self.digits)) * self.minor

    def rounded_up(self, amount: Fraction | Decimal) -> Decimal:
        """The amount in whole minor units, rounded up."""
        return Decimal(ceil(Fraction(amount) * 10**self.digits)) * self.minor

    def text(self, amount: Decimal) -> str:
        """The amount with its code, as people read it: `83.90 EUR`."""
        return f"{amount:.{self.digits}f} {self.code}"


def metabolic_kg(grams: Fraction) -> Fraction:
    """Body weight in kilograms to the power 0.75, to nine decimals, rounded down.

    >>> metabolic_kg(Fraction(16_000))
    Fraction(8, 1)
    """
    # the fourth root of the cube, in whole numbers, so that it is the same on every machine
    scale = 10**9
    return Fraction(isqrt(isqrt(floor((grams / 1000) ** 3 * scale**4))), scale)


def read_number(text: str) -> Fraction:
    """Read `12`, `1.5` or `0.25` exactly; anything else is a `UnitError`.

    >>> read_number("1.5")
    Fraction(3, 2)
    """
    if _NUMBER.fullmatch(text):
        return Fraction(text)
    if _COMMA.fullmatch(text):
        whole, decimals = text.split(",")
        raise UnitError(
            f"`{text}` has a comma",
            f"write `{whole}.{decimals}` for the decimal number or `{whole}{decimals}` for the large one",
            "comma-in-number",
        )
    raise UnitError(f"`{text}` is not a number", "write digits with at most one point, such as `1.5`")


def read_grams(text: str) -> Fraction:
    """Read a weight with its unit, exactly, in grams.

    >>> read_grams("1.5 kg"), read_grams("2 lb") == 2 * GRAMS_PER["lb"]
    (Fraction(1500, 1), True)
    """
    number, unit = _split_quantity(text)
    if unit is None:
        raise UnitError(
            f"`{text}` has no unit",
            f"say which: `{text} g`, `{text} kg`, `{text} oz` or `{text} lb`",
            "no-unit",
        )
    if unit not in GRAMS_PER:
        meant = UNIT_SPELLINGS.get(unit.lower())
        help_ = f"write `{number} {meant}`" if meant else "use g, kg, oz or lb"
        raise UnitError(f"`{unit}` is not a unit of weight", help_, "unknown-unit")
    return read_number(number) * GRAMS_PER[unit]


def read_percent(text: str) -> Fraction:
    """Read `2.5 %` as a share; a bare number is refused, as both 2.5 and 0.025 could be meant."""
    number, unit = _split_quantity(text)
    if unit is None:
        raise UnitError(f"`{text}` has no percent sign", f"write `{number} %`", "no-unit")
    if unit != "%":
        raise UnitError(f"`{text}` is not a share", "write a share of the whole in percent, such as `10 %`")
    return read_number(number) / 100


def read_money(text: str, currency: Currency) -> Decimal:
    """Read `2.40` or `2.40 EUR` as money in the scenario's currency."""
    try:
        number, unit = _split_quantity(text)
    except UnitError as error:
        raise UnitError(str(error), f"write the amount in {currency.code} with digits and at most one point") from None
    if unit is not None and unit != currency.code:
        raise UnitError(
            f"`{text}` is not in {currency.code}",
            f"a scenario has one currency: write the amount in {currency.code}",
            "other-currency",
        )
    read_number(number)
    amount = Decimal(number)
    if amount != amount.quantize(currency.minor):
        raise UnitError(
            f"`{text}` is finer than {currency.text(currency.minor)}",
            f"use at most {currency.digits} decimals",
        )
    return amount.quantize(currency.minor)


def read_date(text: str) -> date:
    """Read a day as `2027-02-06`."""
    written = re.fullmatch(r"([0-9]{4})-([0-9]{2})-([0-9]{2})", text)
    try:
        return date(*map(int, written.groups() if written else ()))
    except (TypeError, ValueError):
        raise UnitError(f"`{text}` is not a day", "write year-month-day, such as `2027-02-06`", "bad-date") from None


def read_count(text: str) -> int:
    """Read a whole number, written in digits only."""
    if not re.fullmatch(r"[0-9]{1,6}", text) or (len(text) > 1 and text[0] == "0"):
        raise UnitError(f"`{text}` is not a whole number", "write digits only, such as `14`")
    return int(text)


def grams_text(grams: int, weight_unit: str) -> str:
    """Grams as people read them: `620 g` and `1.25 kg`, or `9.5 oz` and `2 lb 4.1 oz`; only zero is shown as zero.

    >>> grams_text(620, "kg"), grams_text(1250, "kg"), grams_text(1016, "lb"), grams_text(1, "lb")
    ('620 g', '1.25 kg', '2 lb 3.8 oz', '0.04 oz')
    """
    if weight_unit == "lb":
        ounces = Fraction(grams) / GRAMS_PER["oz"]
        tenths = half_up(ounces * 10)
        if grams and not tenths:
            return f"{amount_text(ounces, 1)} oz"
        pounds, tenths = divmod(tenths, 160)
        rest = f"{tenths // 10}.{tenths % 10}".removesuffix(".0")
        parts = [f"{pounds} lb" if pounds else "", f"{rest} oz" if tenths or not pounds else ""]
        return " ".join(part for part in parts if part)
    if abs(grams) < 1000:
        return f"{grams} g"
    return f"{Decimal(grams).scaleb(-3):f}".rstrip("0").rstrip(".") + " kg"


def about_grams_text(grams: int, weight_unit: str) -> str:
    """A weight that nobody weighs to the gram: three figures above a kilogram, whole ounces above a pound.

    >>> about_grams_text(620, "kg"), about_grams_text(38_072, "kg"), about_grams_text(1016, "lb")
    ('620 g', '38.1 kg', '2 lb 4 oz')
    """
    if weight_unit == "lb":
        ounces = half_up(Fraction(grams) / GRAMS_PER["oz"])
        return grams_text(half_up(ounces * GRAMS_PER["oz"]) if ounces >= 16 else grams, weight_unit)
    return grams_text(grams, weight_unit) if grams < 1000 else f"{amount_text(Fraction(grams, 1000))} kg"


def day_text(day: date) -> str:
    """A day of a batch as people read it, in English whatever the machine's language.

    >>> day_text(date(2027, 2, 6))
    'Sat 6 Feb'
    """
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def day_with_year(day: date) -> str:
    """A day that may be long past, as that of a price list or in the freezer.

    >>> day_with_year(date(2026, 9, 12))
    '12 Sep 2026'
    """
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def amount_text(amount: Fraction, digits: int = 3) -> str:
    """A number to `digits` significant digits, halves up: `0.187`, `18.2`, `2760`.

    >>> amount_text(Fraction(187, 1000)), amount_text(Fraction(182459, 10_000)), amount_text(Fraction(2760138, 1000))
    ('0.187', '18.2', '2760')
    """
    if not amount:
        return "0"
    decimals = 0
    while decimals < MOST_DECIMALS and abs(amount) * 10**decimals < 10 ** (digits - 1):
        decimals += 1
    text = f"{Decimal(half_up(amount * 10**decimals)).scaleb(-decimals):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def decimal_text(amount: Fraction) -> str:
    """A number in full, without zeros at the end, to nine decimals.

    >>> decimal_text(Fraction(27, 2)), decimal_text(Fraction(10)), decimal_text(Fraction(1, 4))
    ('13.5', '10', '0.25')
    """
    text = f"{Decimal(half_up(amount * 10**9)).scaleb(-9):f}"
    return text.rstrip("0").rstrip(".")


def share_text(share: Fraction, decimals: int = 1) -> str:
    """A share as a percentage, halves up: `10.0 %`."""
    return f"{Decimal(half_up(share * 100 * 10**decimals)).scaleb(-decimals):.{decimals}f} %"


def one_decimal(amount: Fraction) -> str:
    """An amount with one decimal."""
    return f"{Decimal(half_up(amount * 10)).scaleb(-1):.1f}"


def short_text(share: Fraction) -> str:
    """How much of a minimum that is missed is there: `45 %`, never rounded up to all of it.

    >>> short_text(Fraction(997, 1000)), short_text(Fraction(1, 1000)), short_text(Fraction(0))
    ('99 %', 'less than 1 %', 'nothing')
    """
    if not share:
        return "nothing"
    return f"{floor(share * 100)} %" if share * 100 >= 1 else "less than 1 %"


def over_text(off: Fraction) -> str:
    """How far a maximum is passed: `3.1 times`, `4 % more than`.

    >>> over_text(Fraction(31, 10)), over_text(Fraction(1031, 1000))
    ('3.1 times', '4 % more than')
    """
    return f"{one_decimal(off)} times" if off >= 2 else f"{ceil((off - 1) * 100)} % more than"


def _split_quantity(text: str) -> tuple[str, str | None]:
    """The number and the unit of a quantity, as written."""
    match = _QUANTITY.fullmatch(text.strip())
    if match is None:
        raise UnitError(f"`{text}` is not a quantity", "write a number and its unit, such as `1.5 kg`")
    return match["number"], match["unit"]
