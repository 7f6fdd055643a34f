"""Signs of currencies: which money a text or the format of a number speaks of, and whether it can be a certain one."""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from raworder.reading.currencies import read_currencies

_SIGN = "[$¢-¥֏؋߾߿৲৳৻૱௹฿៛₠-⃀꠸﷼﹩\uff04￠￡￥￦]"
"""A character of Unicode's category Sc."""

_MONEY = re.compile(rf"[A-Z]{{0,3}}{_SIGN}|[^\W\d_]+(?:\.(?!\d))?")
"""A sign with the letters of its country, or a word with the point of a short form."""


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
        found = (one[0] for one in _MONEY.finditer(text))
        return next((one for one in found if self._is_money(one) and not self._is_of(one, code)), "")

    def money_in(self, text: str) -> str:
        """The signs and codes of money in the text.

        >>> money_signs().money_in("#,##0.00 USD"), money_signs().money_in("General")
        ('USD', '')
        """
        return " ".join(dict.fromkeys(one[0] for one in _MONEY.finditer(text) if self._is_money(one[0])))

    def without_own_money(self, text: str, code: str) -> str:
        """The text without the signs and the code of that currency.

        >>> money_signs().without_own_money("2.40 €", "EUR").strip(), money_signs().without_own_money("$2.40", "EUR")
        ('2.40', '$2.40')
        """
        return _MONEY.sub(lambda one: "" if self._is_of(one[0], code) else one[0], text)

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
