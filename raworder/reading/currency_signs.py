"""Signs of currencies: which money a text or the format of a number speaks of, and whether it can be a certain one."""

import re
import unicodedata
from collections.abc import Mapping
from types import MappingProxyType

from raworder.units import MINOR_DIGITS

SIGNS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "AUD": ("$", "A$", "AU$"),
        "BGN": ("лв",),
        "BRL": ("R$",),
        "CAD": ("$", "C$", "CA$"),
        "CNY": ("¥", "CN¥", "元"),
        "CZK": ("Kč",),
        "DKK": ("kr", "Kr"),
        "EGP": ("£", "E£"),
        "EUR": ("€",),
        "GBP": ("£", "GB£"),
        "GEL": ("₾",),
        "GHS": ("₵",),
        "HKD": ("$", "HK$"),
        "HUF": ("Ft",),
        "IDR": ("Rp",),
        "ILS": ("₪",),
        "INR": ("₹", "Rs"),
        "ISK": ("kr", "Kr"),
        "JPY": ("¥", "JP¥", "円"),
        "KRW": ("₩",),
        "KZT": ("₸",),
        "LKR": ("₨", "Rs"),
        "MDL": ("lei",),
        "MYR": ("RM",),
        "NGN": ("₦",),
        "NOK": ("kr", "Kr"),
        "NPR": ("₨", "Rs"),
        "NZD": ("$", "NZ$"),
        "PHP": ("₱",),
        "PKR": ("₨", "Rs"),
        "PLN": ("zł",),
        "PYG": ("₲",),
        "RON": ("lei",),
        "RUB": ("₽",),
        "SEK": ("kr", "Kr"),
        "SGD": ("$", "S$"),
        "THB": ("฿",),
        "TRY": ("₺", "TL"),
        "TWD": ("$", "NT$"),
        "UAH": ("₴",),
        "USD": ("$", "US$"),
        "VND": ("₫",),
        "ZAR": ("R",),
    }
    | dict.fromkeys(("ARS", "CLP", "COP", "JMD", "MXN", "NAD", "UYU"), ("$",))
)
"""Signs and short words for currencies, by code; the others have none. Source: from memory, not looked up."""

_EVERY = frozenset({*MINOR_DIGITS, *(sign for signs in SIGNS.values() for sign in signs)})

_SIGN = "[$¢-¥֏؋߾߿৲৳৻૱௹฿៛₠-⃀꠸﷼﹩\uff04￠￡￥￦]"
"""A character of Unicode's category Sc."""

_MONEY = re.compile(rf"[A-Z]{{0,3}}{_SIGN}|[^\W\d_]+(?:\.(?!\d))?")
"""A sign with the letters of its country, or a word with the point of a short form."""


def other_money(text: str, code: str) -> str:
    """The first sign or code in the text that is of another currency; nothing where there is none.

    >>> other_money("2.40 $", "EUR"), other_money("EUR 2.40", "EUR"), other_money("2.40 kr.", "SEK")
    ('$', '', '')
    """
    found = (one[0] for one in _MONEY.finditer(text))
    return next((one for one in found if _is_money(one) and not _is_of(one, code)), "")


def money_in(text: str) -> str:
    """The signs and codes of money in the text.

    >>> money_in("#,##0.00 USD"), money_in("General")
    ('USD', '')
    """
    return " ".join(dict.fromkeys(one[0] for one in _MONEY.finditer(text) if _is_money(one[0])))


def without_own_money(text: str, code: str) -> str:
    """The text without the signs and the code of that currency.

    >>> without_own_money("2.40 €", "EUR").strip(), without_own_money("$2.40", "EUR")
    ('2.40', '$2.40')
    """
    return _MONEY.sub(lambda one: "" if _is_of(one[0], code) else one[0], text)


def _is_money(word: str) -> bool:
    return re.search(_SIGN, word) is not None or _plain(word) in _EVERY


def _is_of(word: str, code: str) -> bool:
    return _plain(word) in {code, *SIGNS.get(code, ())}


def _plain(word: str) -> str:
    """The word without the point of a short form, wide signs being narrow ones."""
    return unicodedata.normalize("NFKC", word).removesuffix(".")
