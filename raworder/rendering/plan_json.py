"""A plan, and the purchase it follows, as plain JSON values, whole, so that they can be read back."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.plan import Plan
from raworder.purchase import Purchase
from raworder.rendering.as_json import Json


def plan_as_json(plan: Plan) -> dict[str, Json]:
    """The plan's fields by name: grams and counts are whole numbers, money and shares texts, days year-month-day.

    What follows from all else is left out.
    """
    return _fields(plan)


def purchase_as_json(purchase: Purchase) -> dict[str, Json]:
    """The purchase's fields by name, with which a plan after the shop can be held against its scenario again."""
    return _fields(purchase)


def _fields(noun: object) -> dict[str, Json]:
    """The fields of a noun by name, but for what follows from others and for places in files."""
    assert is_dataclass(noun)
    return {one.name: _value(getattr(noun, one.name)) for one in fields(noun) if one.compare}


def _value(value: object) -> Json:
    """What a field holds: a noun as an object, several as a list."""
    if isinstance(value, tuple):
        return [_value(one) for one in value]
    if isinstance(value, Mapping):
        return {str(key): _value(one) for key, one in value.items()}
    if is_dataclass(value):
        return _fields(value)
    return _plain(value)


def _plain(value: object) -> Json:
    """What has nothing in it; TypeError where JSON could not tell it exactly."""
    match value:
        case None | int() | str():
            return value
        case Decimal() if value.is_finite():
            return f"{value:f}"
        case Fraction():
            return str(value)
        case date():
            return value.isoformat()
        case _:
            raise TypeError(f"JSON cannot tell {value!r} exactly")
