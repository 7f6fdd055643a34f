"""Packs as suppliers write them: `10 kg (4x2,5)`, `4/5#`, `approx. 12-15 lb`, with the case and its inner packs apart.

Nothing is guessed: what is not understood in full is refused with the reason.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from raworder.reading.list_words import (
    ABOUT_WORDS,
    FILLERS,
    OF_WORDS,
    PIECE_WORDS,
    TIMES,
    TO,
    UNIT_WORDS,
    is_pack_word,
    plain_words,
    read_listed_number,
)
from raworder.trade.supplier_list import ListedPack
from raworder.trade.units import GRAMS_PER, UnitError, decimal_text

NUMBER, UNIT, TIMES_SIGN, RANGE, DASH, ABOUT, OF, NEXT, PACKED, PIECE = "n", "u", "x", "r", "-", "~", "o", "=", "p", "s"
"""The kinds of words in a pack, each as one letter, so that a pattern can tell what was written."""

KINDS = (
    (UNIT, frozenset(UNIT_WORDS)),
    (TIMES_SIGN, TIMES),
    (RANGE, TO),
    (ABOUT, ABOUT_WORDS | {"+/-"}),
    (OF, OF_WORDS),
    (PIECE, PIECE_WORDS),
    (DASH, frozenset("-\u2013\u2014\u2010\u2011\u2212")),
    (NEXT, frozenset("()[]=,;:|")),
    ("", frozenset(".'")),
)
"""The words of each kind but numbers, fillers and packages."""

_TOKEN = re.compile(r"[0-9]+(?:[.,'\u2019][0-9]+)*|\+/-|[^\W\d_]+|\S")
_CAN_SIZE = re.compile(r"(?:^|[^0-9\s])\s*#\s*[0-9]")
_FRACTION = re.compile(r"(?<![0-9.,x/])\s*(1/2|1/3|2/3|1/4|3/4)\s*(?:[a-z]|#)")
_OF = re.compile(r"(?<=n)(?:[ps]*o)+(?=~*n)")
_RANGE = re.compile(r"(?<=n)[r-](?=n)|(?<=nu)[r-](?=nu)")
_HYPHEN = re.compile(r"(?<=[nups])-(?=[ups])")
_NO_NOUGHT = re.compile(r"(?:^|(?<=[\s/(*\u00d7~])|(?<=[0-9\s]x))(?=[.,][0-9])")
_TIMES_AFTER_UNIT = re.compile(r"(?<=kg|lb|oz|[0-9]g)x(?=\s?[0-9])")
_COUNT_OR_RANGE = re.compile(
    r"[0-9]\s?-\s?[0-9.,]+\s?(?:kg|g|lbs?|oz|#)\.?\s(?:bags|packs|pks|pkgs|packages|rolls|chubs|tubes|tubs)"
)
_PART = re.compile(r"~*((?:nx)*)~*n(u?)(?:R~*n(u?))?~*((?:xn)*)")

WIDEST_RANGE = 2
"""How many times its least weight the most of a range may be, where it does not say that it is about (own choice)."""

MOST_PACKS = 1_000
"""The most inner packs of one kind in a case: a larger number is no count of packs (own choice)."""

OTHER_UNITS_APART = Fraction(1, 100)
"""How far a weight in pounds may be from the same weight in kilograms, as both are rounded (own choice)."""


@dataclass(frozen=True, slots=True)
class PackWords:
    """What a pack is, or the unit `per` which it is sold by weight."""

    pack: ListedPack | None = None
    per: str = ""


@dataclass(frozen=True, slots=True)
class _Part:
    """One of the weights that a text states: so many within one another, each from `low` to `high`."""

    counts: tuple[int, ...]
    low: Fraction
    high: Fraction
    unit: str
    about: bool

    @property
    def total(self) -> Fraction:
        """The mean of all of it, in its unit."""
        packs = Fraction(1)
        for count in self.counts:
            packs *= count
        return packs * (self.low + self.high) / 2


def read_pack_words(text: str, decimal: str, usual_unit: str = "") -> PackWords:
    """The pack that the text of a cell describes; UnitError with the reason where it does not say it clearly.

    `usual_unit` is the unit where the text names none.

    >>> read_pack_words("10 kg (4x2,5)", ",").pack.told
    'a case of 4 packs of 2.5 kg, 10 kg in all'
    >>> read_pack_words("approx. 12-15 lb", ".").pack.told
    'a pack of about 13.5 lb, 15 lb at most'
    """
    said = _NO_NOUGHT.sub("0", _TIMES_AFTER_UNIT.sub(" x ", plain_words(text.partition("@")[0])))
    _refuse_two_meanings(said, text)
    tokens = [_token(word) for word in _TOKEN.findall(said)]
    kinds = _in_short("".join(kind for kind, _ in tokens))
    units = [UNIT_WORDS[word] for kind, word in tokens if kind == UNIT]
    numbers = [read_listed_number(word, decimal) for kind, word in tokens if kind == NUMBER]
    if not numbers and len(units) == 1:
        return PackWords(per=units[0])
    by_piece = any(word in PIECE_WORDS for _, word in tokens)
    if not numbers or (by_piece and not units and TIMES_SIGN not in kinds):
        what = "it is sold by the piece, and what a piece weighs is not said" if by_piece else "it says no weight"
        raise UnitError(f"`{text}`: {what}", "ask what one weighs")
    return PackWords(_one_pack(list(_parts(kinds, numbers, units, text)), text, usual_unit))


def _refuse_two_meanings(said: str, text: str) -> None:
    """Refuse what means different things to different sellers."""
    if _CAN_SIZE.search(said):
        raise UnitError(f"`{text}` can be pounds or the size of a can", "ask what it weighs")
    if match := _FRACTION.search(said):
        count, each = match[1].split("/")
        raise UnitError(f"`{text}` can be a part of one, or {count} of {each}", "ask what it weighs")
    if _COUNT_OR_RANGE.search(said):
        raise UnitError(f"`{text}` can be a range, or so many packs of that weight", "ask what it weighs")


def _token(word: str) -> tuple[str, str]:
    """The kind of a word, and the word; UnitError for one that is not known."""
    if word[0].isdigit():
        return NUMBER, word
    if word in FILLERS or is_pack_word(word):
        return PACKED, word
    for kind, words in KINDS:
        if word in words:
            return kind, word
    raise UnitError(f"`{word}` in a pack is not understood", "ask what it weighs")


def _in_short(kinds: str) -> str:
    """The kinds of words with their order settled: what counts packs is `x`, what spans a range `R`."""
    kinds = _OF.sub(TIMES_SIGN, kinds)
    kinds = _RANGE.sub("R", kinds)
    kinds = _HYPHEN.sub("", kinds).rstrip("-")
    return re.sub(r"o", NEXT, kinds)


def _parts(kinds: str, numbers: Sequence[Fraction], units: Sequence[str], text: str) -> Iterator[_Part]:
    """Each weight that is stated; a mere count of pieces states none."""
    for piece in kinds.split(NEXT):
        mine, numbers = numbers[: piece.count("n")], numbers[piece.count("n") :]
        named, units = units[: piece.count("u")], units[piece.count("u") :]
        bare = piece.replace(PACKED, "").replace(PIECE, "")
        if re.fullmatch(r"~*n[ps]+", piece):
            if PIECE not in piece and mine[0] > 1:
                raise UnitError(f"`{text}` counts packs, and can weigh that much each or in all", "ask what it weighs")
            continue
        if not bare.strip(ABOUT):
            continue
        match = _PART.fullmatch(bare)
        if match is None or len(set(named)) > 1:
            raise UnitError(f"`{text}` is not understood as a pack", "ask what it weighs")
        yield _part(match, mine, named[0] if named else "", text)


def _part(match: re.Match[str], numbers: Sequence[Fraction], unit: str, text: str) -> _Part:
    before, after = match[1].count("n"), match[4].count("n")
    weights = numbers[before : len(numbers) - after]
    counts = (*numbers[:before], *numbers[len(numbers) - after :])
    if any(count.denominator > 1 or not 1 <= count <= MOST_PACKS for count in counts):
        raise UnitError(f"`{text}` counts no whole packs", "ask what it weighs")
    if not 0 < weights[0] <= weights[-1]:
        raise UnitError(f"`{text}` is no weight", "ask what it weighs")
    about = ABOUT in match[0] or len(weights) > 1
    if ABOUT not in match[0] and weights[-1] > WIDEST_RANGE * weights[0]:
        raise UnitError(f"`{text}` can be a range, or so many packs of that weight", "ask what it weighs")
    whole = tuple(int(count) for count in counts if count != 1)
    return _Part(whole, weights[0], weights[-1], unit, about)


def _one_pack(parts: Sequence[_Part], text: str, usual_unit: str) -> ListedPack:
    """The pack that all the weights in a text agree on; the one that counts inner packs says most."""
    unit = next((part.unit for part in parts if part.unit), usual_unit)
    if not parts or not unit:
        raise UnitError(f"`{text}` has no unit", "state the unit of such packs with `--pack-unit`", "no-unit")
    best = next((part for part in parts if part.counts), parts[0])
    for part in parts:
        if not _agree(part, best, unit):
            one, other = (f"{decimal_text(p.total)} {p.unit or unit}" for p in (part, best))
            raise UnitError(f"`{text}` does not add up: {one} is not {other}", "ask what it weighs")
    about = any(part.about for part in parts)
    up_to = best.high if best.high > best.low else None
    return ListedPack((best.low + best.high) / 2, best.unit or unit, best.counts, about, up_to, written=text)


def _agree(part: _Part, best: _Part, unit: str) -> bool:
    """Whether two weights are the same; pounds and kilograms, once rounded, nearly so."""
    one, other = (p.total * GRAMS_PER[p.unit or unit] for p in (part, best))
    metric = {(p.unit or unit) in {"kg", "g"} for p in (part, best)}
    return one == other if len(metric) == 1 else abs(one - other) <= other * OTHER_UNITS_APART
