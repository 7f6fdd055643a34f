"""The table of currencies, and the signs of money in texts."""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from raworder.reading.reference import table_rows
from raworder.trade.units import Currency, UnitError

_SIGN = "[$¢-¥֏؋߾߿৲৳৻૱௹฿៛₠-⃀꠸﷼﹩\uff04￠￡￥￦]"
"""A character of Unicode's category Sc."""

_MONEY = re.compile(rf"[A-Z]{{0,3}}{_SIGN}|[^\W\d_]+(?:\.(?!\d))?")
"""A sign with the letters of its country, or a word with the point of a short form."""


@dataclass(frozen=True, slots=True)
class ListedCurrency:
    """A code of the table; without `digits` nothing can be paid in it, and `now` is the code of what took its place."""

    code: str
    name: str
    digits: int | None
    until: str
    now: str
    signs: tuple[str, ...]


@cache
def read_currencies() -> Mapping[str, ListedCurrency]:
    """The currencies of the reference table by their codes, in its order."""
    return MappingProxyType({row["code"]: _listed(row) for row in table_rows("currencies.csv")})


def read_currency(text: str) -> Currency:
    """Read an ISO 4217 code such as `EUR`."""
    known = read_currencies()
    listed = known.get(text)
    if listed is None:
        help_ = "use the three capital letters of ISO 4217, such as `EUR`"
        raise UnitError(
            f"`{text}` is not a currency code", f"write `{text.upper()}`" if text.upper() in known else help_
        )
    if listed.now:
        message = f"`{text}` ({listed.name}) was a currency until {listed.until[:4]}"
        raise UnitError(message, f"write `{listed.now}`, and all prices in {listed.now}")
    if listed.digits is None:
        message = f"`{text}` ({listed.name}) is no money to pay with: ISO 4217 gives it no minor unit"
        raise UnitError(message, "write the code of the currency that you pay in, such as `EUR`")
    return Currency(text, listed.digits)


def _listed(row: Mapping[str, str]) -> ListedCurrency:
    signs = "; ".join(filter(None, (row["signs"], row["signs_from_memory"])))
    return ListedCurrency(
        code=row["code"],
        name=row["currency"],
        digits=int(row["minor_digits"]) if row["minor_digits"] else None,
        until=row["until"],
        now=row["now"],
        signs=tuple(signs.split("; ")) if signs else (),
    )


@dataclass(frozen=True, slots=True)
class MoneySigns:
    """The signs and short words for each currency by its code, with the code itself; `every` holds them all."""

    by_code: Mapping[str, frozenset[str]]
    every: frozenset[str]

    def other_money(self, text: str, code: str) -> str:
        """The first sign or code in the text that is of another currency; nothing where there is none.

        >>> signs = money_signs()
        >>> [signs.other_money(*each) for each in (("2.40 $", "EUR"), ("EUR 2.40", "EUR"), ("2.40 kr.", "SEK"))]
        ['$', '', '']
        """
        found = (match[0] for match in _MONEY.finditer(text))
        return next((name for name in found if self._is_money(name) and not self._is_of(name, code)), "")

    def money_in(self, text: str) -> str:
        """The signs and codes of money in the text.

        >>> money_signs().money_in("#,##0.00 USD"), money_signs().money_in("General")
        ('USD', '')
        """
        return " ".join(dict.fromkeys(match[0] for match in _MONEY.finditer(text) if self._is_money(match[0])))

    def codes_in(self, text: str) -> frozenset[str]:
        """The currencies of today that all signs and codes of money in the text can mean; none where it has none.

        >>> signs = money_signs()
        >>> sorted(signs.codes_in("2.40 €")), len(signs.codes_in("$2.40")) > 1, sorted(signs.codes_in("USD $2.40"))
        (['EUR'], True, ['USD'])
        """
        words = self.money_in(text).split()
        today = [code for code, listed in read_currencies().items() if not listed.now and listed.digits is not None]
        return frozenset(code for code in today if words and all(self._is_of(word, code) for word in words))

    def without_own_money(self, text: str, code: str) -> str:
        """The text without the signs and the code of that currency.

        >>> money_signs().without_own_money("2.40 €", "EUR").strip(), money_signs().without_own_money("$2.40", "EUR")
        ('2.40', '$2.40')
        """
        return _MONEY.sub(lambda match: "" if self._is_of(match[0], code) else match[0], text)

    def _is_money(self, word: str) -> bool:
        return re.search(_SIGN, word) is not None or _plain(word) in self.every

    def _is_of(self, word: str, code: str) -> bool:
        return _plain(word) in self.by_code.get(code, ())


def money_signs() -> MoneySigns:
    """The signs of the table of currencies, those that were withdrawn among them."""
    by_code = {code: frozenset({code, *map(_plain, listed.signs)}) for code, listed in read_currencies().items()}
    return MoneySigns(MappingProxyType(by_code), frozenset().union(*by_code.values()))


def _plain(word: str) -> str:
    """The word without the point of a short form, wide signs being narrow ones."""
    return unicodedata.normalize("NFKC", word).removesuffix(".")
