"""Figures and words as a person writes them in a scenario: exact, and with quotation marks where YAML needs them."""

import json
import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction

from raworder.reading.names import fold_name
from raworder.trade.cuts import Subject
from raworder.trade.nutrients import NutrientLimit, Per, RatioLimit, nutrient_of
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import grams_text

Limit = NutrientLimit | RatioLimit

MOST_DECIMALS = 9
"""The reader takes no more decimals than this; people write one or two."""

PLAIN = re.compile(r"[^\W\d_][\w ()%./-]*")
"""Words that need no quotation marks in YAML."""


def percent_text(share: int | Decimal | Fraction | None) -> str:
    """A share as a person writes it: `7.3 %`, `12 %`.

    >>> percent_text(Fraction(73, 1000)), percent_text(Fraction(12, 100))
    ('7.3 %', '12 %')
    """
    return f"{exact_text(Fraction(share or 0) * 100)} %"


def exact_text(amount: Fraction) -> str:
    """A number with as many decimals as it needs.

    >>> exact_text(Fraction(93, 10)), exact_text(Fraction(250))
    ('9.3', '250')
    """
    number = round(amount, MOST_DECIMALS)
    text = f"{Decimal(number.numerator) / Decimal(number.denominator):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def weight_text(scenario: Scenario, grams: int) -> str:
    """A weight as a scenario takes it; in grams where people read pounds, as pounds would be rounded."""
    return f"{grams} g" if scenario.weight_unit == "lb" else grams_text(grams, scenario.weight_unit)


def stock_text(scenario: Scenario, offer: Offer, units: int) -> str:
    """Units of an offer as `available` takes them: a weight, or a number of packs."""
    return weight_text(scenario, offer.grams(units)) if offer.by_weight else str(units)


def amount_text(scenario: Scenario, amount: Decimal | None) -> str:
    """An amount of money with the decimals of its currency, without its code."""
    return scenario.currency.text(amount or Decimal(0)).removesuffix(f" {scenario.currency.code}")


def quoted_text(word: str) -> str:
    """The word as YAML takes it.

    >>> quoted_text("beef heart"), quoted_text("turkey neck (bone 42 %, piece 90 g)")
    ('beef heart', '"turkey neck (bone 42 %, piece 90 g)"')
    """
    return word if PLAIN.fullmatch(word) and word.casefold() != "null" else json.dumps(word, ensure_ascii=False)


def subject_word(subject: Subject) -> str:
    """The word that a scenario has for a subject."""
    return subject.word or str(subject.measure)


def fields_text(fields: Mapping[str, tuple[str, bool]]) -> str:
    """The fields that are to be written, in their order; each comes with its text and whether to write it."""
    return ", ".join(f"{field}: {text}" for field, (text, is_written) in fields.items() if is_written)


def limit_name(limit: Limit) -> str:
    """What a limit is about: `zinc`, `calcium to phosphorus`."""
    if isinstance(limit, NutrientLimit):
        return nutrient_of(limit.nutrient).name
    return f"{nutrient_of(limit.over).name} to {nutrient_of(limit.under).name}"


def end_text(limit: Limit, level: Fraction | None, *, is_most: bool) -> str:
    """One end of a limit: `zinc at least 9.3 mg per 1000 kcal`, or that nothing is asked where the level is None."""
    if level is None:
        return f"nothing is asked of {limit_name(limit)}"
    word = "at most" if is_most else "at least"
    return f"{limit_name(limit)} {word} {_nutrient_text(limit, level)}{_per(limit)}"


def limits_text(limits: Iterable[Limit], common: Iterable[str]) -> str:
    """The `nutrients` entry of a dog with these limits; `none` for limits of all dogs (`common`) that it has not."""
    texts = {fold_name(limit_name(limit)): f"{limit_name(limit)}: {_both_ends(limit)}" for limit in limits}
    texts |= {name: f"{name}: none" for name in common if name not in texts}
    return f"nutrients: {{{', '.join(texts.values())}}}"


def _both_ends(limit: Limit) -> str:
    """A limit as it is written: `at least 15 mg per 1000 kcal`, `1.1 to 1.8`."""
    low, high = (None if level is None else _nutrient_text(limit, level) for level in (limit.low, limit.high))
    ends = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"
    return f"{ends}{_per(limit)}"


def _nutrient_text(limit: Limit, level: Fraction) -> str:
    if isinstance(limit, RatioLimit):
        return exact_text(level * _equal_weights_factor(limit))
    return f"{exact_text(level)} {nutrient_of(limit.nutrient).unit}"


def _equal_weights_factor(limit: RatioLimit) -> Fraction:
    """The factor from a ratio in our units, such as mg to g, to a ratio of equal weights, as people write it."""
    grams = {"g": Fraction(1), "mg": Fraction(1, 1000), "ug": Fraction(1, 10**6), "kcal": Fraction(1)}
    return grams[nutrient_of(limit.over).unit] / grams[nutrient_of(limit.under).unit]


def _per(limit: Limit) -> str:
    return f" {Per(limit.per)}" if isinstance(limit, NutrientLimit) else ""
