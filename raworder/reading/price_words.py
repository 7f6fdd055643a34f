"""Prices as suppliers write them, and whether a row is sold now: `1.234,50 EUR`, `@ 3.20/lb`, `SOLD OUT`.

A word where a price should be says that there is none today; it is never an offer.
"""

import re
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from raworder.reading.currencies import MoneySigns
from raworder.reading.list_words import (
    NOT_SOLD_WORDS,
    PIECE_WORDS,
    SOLD_HEADINGS,
    SOLD_OUT_HEADINGS,
    SOLD_OUT_WORDS,
    SOLD_WORDS,
    TICKS,
    UNIT_WORDS,
    heading_key,
    is_case_word,
    is_for_prices,
    is_pack_word,
    plain_words,
    read_listed_number,
    word_key,
)
from raworder.trade.supplier_list import ListedPack
from raworder.trade.units import BASES_G, Currency, UnitError, decimal_text, read_money

PIECE = "piece"
"""What a price is for that is for one of what may be several in a case."""

_NUMBER = r"(?:[0-9]+(?:[.,'\u2019][0-9]+)*|[.,][0-9]{2})"
_PER = r"(?:/|\bper\b|\bje\b|\bpro\b|\bpar\b|\bpor\b|\ble\b|\bla\b|\bel\b)"
_BASIS = r"(?:1\s*)?(?P<{}>100\s*g|#|[^\W\d_]+)\.?"
_PRICE = re.compile(
    rf"@?\s*(?:{_PER}?\s*{_BASIS.format('first')}\s*[:=]?\s*)?(?P<number>{_NUMBER})(?:[.,]?\s?-{{1,2}})?"
    rf"\s*(?:{_PER}?\s*{_BASIS.format('last')})?"
)

_SPACED = re.compile(r"(?<=[0-9])[ \u00a0\u202f](?=[0-9]{3}(?![0-9]))")
"""A space between thousands."""

_SIGN_AS_MARK = re.compile(r"[0-9][€$£][0-9]")
"""A sign of a currency that stands for the decimal mark, as in `12€90`."""

_OPEN_PACKS = frozenset("pack pk pkg package packung pck".split())
"""What can be the case or a pack in it."""


class NotSoldNow(Exception):  # noqa: N818 - it says something of a row, and is no error
    """What stands on the list says that a row is not sold now; its text says what that is."""


@dataclass(frozen=True, slots=True)
class Money:
    """The scenario's currency, and the signs of all currencies."""

    currency: Currency
    signs: MoneySigns


@dataclass(frozen=True, slots=True)
class PriceWords:
    """An amount of money, and what it is for: `pack`, `piece`, a weight, or nothing said."""

    amount: Decimal
    basis: str = ""


def read_price_words(text: str, decimal: str, money: Money) -> PriceWords:
    """The price in a cell; NotSoldNow for a word in its place, UnitError for what cannot be read as money."""
    if not re.search("[0-9]", text.rpartition("@")[2]):
        raise NotSoldNow(f"`{text}` stands where the price should be")
    if _SIGN_AS_MARK.search(text):
        raise UnitError(f"`{text}` is not understood as a price", "")
    own = money.signs.without_own_money(text.rpartition("@")[2], money.currency.code)
    if other := money.signs.other_money(own, money.currency.code):
        raise UnitError(f"`{text}` has the sign `{other}`, and the currency is {money.currency.code}", "")
    own = _SPACED.sub("", own)
    match = _PRICE.fullmatch(
        re.sub(r"\beuros?\b" if money.currency.code == "EUR" else "$^", "", plain_words(own)).strip(" *")
    )
    if match is None or (match["first"] and match["last"]):
        raise UnitError(f"`{text}` is not understood as a price", "")
    written = match["number"]
    number = read_listed_number(written if written[0].isdigit() else f"0{written}", decimal)
    if not number:
        raise NotSoldNow(f"its price is `{text}`")
    word = match["first"] or match["last"] or ""
    return PriceWords(read_money(decimal_text(number), money.currency), price_basis(word, text) if word else "")


def price_basis(word: str, text: str) -> str:
    """What a word says that a price is for; UnitError where that is nothing we know."""
    if "".join(word.split()) == "100g":
        return "100 g"
    if UNIT_WORDS.get(word, "") in BASES_G:
        return UNIT_WORDS[word]
    if is_case_word(word) and word not in _OPEN_PACKS:
        return "pack"
    if word == "ct":
        raise UnitError(f"`{text}` can be a price in cents, or for a piece", "")
    if is_pack_word(word) or word in PIECE_WORDS:
        return PIECE
    raise UnitError(f"`{text}` is for `{word}`, which is not understood", "")


def read_basis(text: str) -> str:
    """What a cell beside a price says that it is for; UnitError where it does not say it clearly.

    >>> read_basis("LB"), read_basis("je kg"), read_basis("Karton")
    ('lb', 'kg', 'pack')
    """
    match = re.fullmatch(rf"{_PER}?\s*{_BASIS.format('word')}", plain_words(text))
    if match is None:
        raise UnitError(f"`{text}` does not say what its price is for", "")
    return price_basis(match["word"], text)


def heading_basis(heading: str) -> str:
    """What a heading says its prices are for; empty where it does not say.

    >>> [heading_basis(text) for text in ("Preis/kg", "Price per 100 g", "je Gebinde", "Price (LB)", "Kartonpreis")]
    ['kg', '100 g', 'pack', 'lb', 'pack']
    >>> [heading_basis(text) for text in ("Preis", "Stück/Karton")]
    ['', '']
    """
    prices, said = is_for_prices(heading), plain_words(heading)
    if prices is False:
        return ""
    match = re.search(rf"{_PER}\s*{_BASIS.format('word')}", said)
    words = [match["word"]] if match else re.findall(r"[^\W\d_]+", said.replace("preis", " preis ") if prices else "")
    found: set[str] = set()
    for word in words:
        with suppress(UnitError):
            found.add(price_basis(word, heading))
    return found.pop() if len(found) == 1 else ""


def one_price(words: PriceWords, usual: str, pack: ListedPack | None, text: str) -> PriceWords:
    """The price for a pack or a weight, `usual` being what one that does not say is for; UnitError where it is open."""
    basis = words.basis or usual
    if basis == PIECE:
        if pack is None or pack.packs > 1:
            raise UnitError(f"`{text}` can be for the case or for one pack in it", "")
        basis = "pack"
    if basis == "pack" and pack is None:
        raise UnitError("its price is for a pack, and what a pack weighs is not said", "")
    if basis == "pack" and pack is not None and pack.up_to is not None:
        raise UnitError(
            f"it weighs {pack.weight}, up to {pack.heaviest}, and `{text}` is one price for whatever it weighs: "
            "nobody can tell what it costs by weight",
            "",
        )
    return PriceWords(words.amount, basis)


def check_two_prices(first: PriceWords, second: PriceWords, pack: ListedPack | None, currency: Currency) -> None:
    """UnitError where two prices of a row are not the same price but for rounding."""
    by_weight, other = (first, second) if first.basis in BASES_G else (second, first)
    if pack is None or by_weight.basis not in BASES_G or pack.about:
        return
    grams = pack.grams if other.basis == "pack" else BASES_G[other.basis]
    # each of the two was rounded to a minor unit: the price by weight by half of one, times the weight
    times = grams / BASES_G[by_weight.basis]
    half = Fraction(currency.minor) / 2
    off = abs(Fraction(by_weight.amount) * times - Fraction(other.amount))
    if off > half * times + half:
        raise UnitError(
            f"its two prices do not agree: {by_weight.amount} per {by_weight.basis} is "
            f"{currency.rounded(Fraction(by_weight.amount) * times)} per {other.basis}, and it says {other.amount}",
            "",
        )


@dataclass(frozen=True, slots=True)
class SoldColumn:
    """How the column is read that says what is sold now: what its heading says of a tick, and words of its own.

    `ticks` is whether nothing but ticks stands in it, so that what has none is the other way.
    """

    heading: str
    ticks: bool
    sold_words: Sequence[str] = ()
    not_sold_words: Sequence[str] = ()

    def demand_sold(self, text: str) -> None:
        """Raise NotSoldNow where the cell says so, and UnitError where nobody can tell."""
        said, key = word_key(text), heading_key(self.heading)
        turned = key in SOLD_OUT_HEADINGS
        if said not in map(word_key, self.sold_words) and says_sold_out(text):
            raise NotSoldNow(f"`{self.heading}` says `{text}`")
        if not said:
            if self.ticks and not turned:
                raise NotSoldNow(f"`{self.heading}` has no tick")
            return
        sold = self._means_sold(said, key in SOLD_HEADINGS or turned)
        sold = _is_in_stock(text) if sold is None else sold
        if sold is None:
            raise UnitError(
                f"`{text}` under `{self.heading}` does not say whether it is sold now",
                "write the word under `sold_words` or `not_sold_words` of the names file",
            )
        if sold is turned:
            raise NotSoldNow(f"`{self.heading}` says `{text}`")

    def _means_sold(self, said: str, ticks_mean_yes: bool) -> bool | None:
        """Whether a word says yes; None where it says neither."""
        if said in map(word_key, self.sold_words):
            return True
        if said in NOT_SOLD_WORDS or said in map(word_key, self.not_sold_words):
            return False
        if said in TICKS:
            return True if ticks_mean_yes else None
        return True if said in SOLD_WORDS else None


_STOCK = re.compile(r"[<>~]?\s?(?P<number>[0-9]+(?:,[0-9]+|[.][0-9]+(?=\s?[^\W\d])|[.]0+)?)\s?(?P<what>[^\W\d_]*)\.?")


def _is_in_stock(text: str) -> bool | None:
    """Whether a cell counts what is in stock; None where it counts nothing: `15.03` can be a day."""
    match = _STOCK.fullmatch(plain_words(text))
    if match is None or not (match["what"] in {"", *UNIT_WORDS, *PIECE_WORDS} or is_pack_word(match["what"])):
        return None
    return any(sign in "123456789" for sign in match["number"])


def says_sold_out(text: str) -> bool:
    """Whether a text says, in whatever other words, that something is sold out.

    >>> [says_sold_out(text) for text in ("Rinderherz (AUSVERKAUFT)", "z.Zt. nicht lieferbar", "lieferbar", "nein")]
    [True, True, False, False]
    """
    said = f"_{word_key(text)}_"
    return any(f"_{words}_" in said for words in SOLD_OUT_WORDS)
