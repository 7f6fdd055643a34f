"""Rules on nutrients as a scenario is told them, exactly."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from raworder.reading.names import folded
from raworder.trade.nutrients import NutrientLimit, Per, RatioLimit, nutrient_of

Limit = NutrientLimit | RatioLimit

MOST_DECIMALS = 9
"""As many decimals as are read."""


def limit_name(limit: Limit) -> str:
    """What a limit is about: `zinc`, `calcium to phosphorus`."""
    if isinstance(limit, NutrientLimit):
        return nutrient_of(limit.nutrient).name
    return f"{nutrient_of(limit.over).name} to {nutrient_of(limit.under).name}"


def end_text(limit: Limit, level: Fraction | None, *, is_most: bool) -> str:
    """One end of a limit at a level: `zinc at least 9.3 mg per 1000 kcal`; that nothing is asked where it has none."""
    if level is None:
        return f"nothing is asked of {limit_name(limit)}"
    word = "at most" if is_most else "at least"
    return f"{limit_name(limit)} {word} {_amount(limit, level)}{_per(limit)}"


def limits_text(limits: Iterable[Limit], common: Iterable[str]) -> str:
    """All that must stand under `nutrients` for a dog with these limits; `none` for what all dogs have and it not."""
    told = {folded(limit_name(limit)): f"{limit_name(limit)}: {_both(limit)}" for limit in limits}
    told |= {name: f"{name}: none" for name in common if name not in told}
    return f"nutrients: {{{', '.join(told.values())}}}"


def exact_text(amount: Fraction) -> str:
    """A number with as many decimals as it needs.

    >>> exact_text(Fraction(93, 10)), exact_text(Fraction(250))
    ('9.3', '250')
    """
    number = round(amount, MOST_DECIMALS)
    text = f"{Decimal(number.numerator) / Decimal(number.denominator):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _both(limit: Limit) -> str:
    """A limit as it is written: `at least 15 mg per 1000 kcal`, `1.1 to 1.8`."""
    low, high = (None if number is None else _amount(limit, number) for number in (limit.low, limit.high))
    said = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"
    return f"{said}{_per(limit)}"


def _amount(limit: Limit, level: Fraction) -> str:
    unit = f" {nutrient_of(limit.nutrient).unit}" if isinstance(limit, NutrientLimit) else ""
    times = Fraction(1) if isinstance(limit, NutrientLimit) else _times(limit)
    return f"{exact_text(level * times)}{unit}"


def _times(limit: RatioLimit) -> Fraction:
    """What makes a ratio of our units one of equal weights."""
    grams = {"g": Fraction(1), "mg": Fraction(1, 1000), "ug": Fraction(1, 10**6), "kcal": Fraction(1)}
    return grams[nutrient_of(limit.over).unit] / grams[nutrient_of(limit.under).unit]


def _per(limit: Limit) -> str:
    return f" {Per(limit.per)}" if isinstance(limit, NutrientLimit) else ""
