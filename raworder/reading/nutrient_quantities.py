"""What a scenario says of nutrients beyond a plain number: amounts with their unit, limits, counts of a supplement.

Each reader takes the text of one field and raises `UnitError` with one remedy when it cannot be read.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from raworder.nutrients import Per
from raworder.units import UnitError, read_number

KJ_PER_KCAL = Fraction(4184, 1000)
"""Source: the thermochemical calorie is 4.184 J by definition."""

UNITS = ("g", "mg", "ug", "IU", "kcal")
"""The units of an amount of a nutrient."""

MEANT = (("mcg", "ug"), ("µg", "ug"), ("μg", "ug"), ("iu", "IU"), ("ie", "IU"), ("cal", "kcal"))
"""Other spellings and what they stand for; they are suggested, never taken."""

_AMOUNT = re.compile(r"(?P<number>[0-9.,]+)\s*(?P<unit>[A-Za-zµμ]+)")
_COUNT = re.compile(r"(?P<number>[0-9.,]+)\s+(?P<unit>[A-Za-z]+)")
_WHOLE = (("kg", "g", 1000), ("l", "ml", 1000))


@dataclass(frozen=True, slots=True)
class NutrientAmount:
    """So much of a nutrient, in a unit that may or may not be one of it; none where it is a plain number."""

    number: Fraction
    unit: str = ""


@dataclass(frozen=True, slots=True)
class LimitText:
    """At least and at most so much, for a day or 1000 kcal, or a plain number for a ratio; `off` says: no limit."""

    low: NutrientAmount | None = None
    high: NutrientAmount | None = None
    per: Per | None = None
    off: bool = False


@dataclass(frozen=True, slots=True)
class Units:
    """So many units of a supplement; the unit in the singular."""

    number: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class Treats:
    """Treats a day: grams or energy, exactly one of the two."""

    grams: Fraction | None = None
    kcal: Fraction | None = None


def read_nutrient_amount(text: str) -> NutrientAmount:
    """Read `18 g`, `600 ug`, `9000 IU`, `150 kcal` or `628 kJ`."""
    match = _AMOUNT.fullmatch(text.strip())
    if match is None:
        raise UnitError(f"`{text}` has no unit", "write it with its unit, such as `15 mg`", "no-unit")
    number, unit = read_number(match["number"]), match["unit"]
    if unit == "kJ":
        return NutrientAmount(number / KJ_PER_KCAL, "kcal")
    if unit not in UNITS:
        meant = dict(MEANT).get(unit.lower())
        help_ = f"write `{match['number']} {meant}`" if meant else "use g, mg, ug, IU, kcal or kJ"
        raise UnitError(f"`{unit}` is not a unit of a nutrient", help_, "unknown-unit")
    return NutrientAmount(number, unit)


def read_limit(text: str) -> LimitText:
    """Read `at least 15 mg per 1000 kcal`, `0.1 g to 2.8 g a day`, `1.1 to 1.8`, `at most 30` or `none`."""
    said = " ".join(text.split())
    if said == "none":
        return LimitText(off=True)
    per = next((one for one in Per if said.endswith(f" {one}")), None)
    amounts = said.removesuffix(f" {per}") if per else said
    low, to, high = amounts.partition(" to ")
    if to:
        limit = LimitText(_one(low, per), _one(high, per), per)
    elif amounts.startswith("at least "):
        limit = LimitText(low=_one(amounts.removeprefix("at least "), per), per=per)
    elif amounts.startswith("at most "):
        limit = LimitText(high=_one(amounts.removeprefix("at most "), per), per=per)
    else:
        raise UnitError(f"`{text}` is no limit", "write `at least ...`, `at most ...`, or `... to ...`")
    if limit.low and limit.high and limit.low.unit == limit.high.unit and limit.low.number > limit.high.number:
        raise UnitError(f"`{text}` ends below where it begins", "write the lower amount first", "range-reversed")
    return limit


def read_units(text: str) -> Units:
    """Read `120 capsules`, `250 g` or `0.5 l`; a kilogram is 1000 g, a litre 1000 ml."""
    match = _COUNT.fullmatch(text.strip()) or _AMOUNT.fullmatch(text.strip())
    if match is None:
        raise UnitError(
            f"`{text}` does not say of what", "write a number and a unit, such as `120 capsules`", "no-unit"
        )
    number, unit = _positive(read_number(match["number"]), text), match["unit"].casefold()
    for large, small, times in _WHOLE:
        if unit == large:
            return Units(number * times, small)
    return Units(number, unit.removesuffix("s") if len(unit) > 2 else unit)


def read_kcal(text: str) -> Fraction:
    """Read `60 kcal`."""
    return _positive(read_number(text.rstrip().removesuffix("kcal").strip()), text)


def _positive(amount: Fraction, text: str) -> Fraction:
    if amount == 0:
        raise UnitError(f"`{text}` is nothing", "write what is really meant, or leave the line out", "zero-amount")
    return amount


def _one(text: str, per: Per | None) -> NutrientAmount:
    """An amount with its unit, or a plain number where the limit is a ratio."""
    if per is not None or re.search("[A-Za-zµμ]", text):
        return read_nutrient_amount(text)
    return NutrientAmount(read_number(text))
