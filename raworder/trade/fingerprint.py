"""Fingerprints: by which a saved plan or a record of weighing knows what it was made for; numbers of batches."""

import hashlib
import json
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.trade.scenario import Scenario


def fingerprint(noun: object) -> str:
    """The SHA-256 of all compared fields of a noun, in hexadecimal: the same on every machine, the same for equals.

    Places in files do not count. A number counts by its value alone: 2, 2/1 and 2.00 give one fingerprint.
    """
    return hashlib.sha256(_canonical_text(noun).encode("ascii")).hexdigest()


def batch_number(scenario: Scenario) -> str:
    """The number of a batch, for labels and other papers; after the shop it also stands for what was bought.

    Bags replanned from a receipt hold something else than the bags planned before, so they carry another batch number.
    The same receipt always gives the same number.
    """
    return (
        f"{stable_batch_number(scenario)}-R{scenario.shop_signs}"
        if scenario.shop_signs
        else stable_batch_number(scenario)
    )


def stable_batch_number(scenario: Scenario) -> str:
    """The number of a batch whatever is planned for it: its first day, and four signs made of title and first day.

    It stays the same when the batch is planned again with other prices or other dogs, or after the shop, so that a
    calendar replaces the events that it already has.
    """
    title_and_day = f"{scenario.title}\0{scenario.batch.starts.isoformat()}"
    return f"{scenario.batch.starts:%y%m%d}-{hashlib.sha256(title_and_day.encode()).hexdigest()[:4].upper()}"


def _canonical_text(value: object) -> str:
    """A noun, or a value in one, as a text: equal things have the same text, and unequal things never do."""
    if isinstance(value, tuple):
        return f"({','.join(map(_canonical_text, value))})"
    if isinstance(value, frozenset):
        return f"{{{','.join(sorted(map(_canonical_text, value)))}}}"
    if is_dataclass(value):
        # class and field names go into the hash: renaming one makes plans that people saved stale
        compared = (field.name for field in fields(value) if field.compare)
        texts = (f"{name}={_canonical_text(getattr(value, name))}" for name in compared)
        return f"{type(value).__name__}({','.join(texts)})"
    return _scalar_text(value)


def _scalar_text(value: object) -> str:
    """A single value as a text; TypeError for what no noun holds, such as a float or a list."""
    match value:
        case None:
            return "-"
        case str():
            return json.dumps(str(value), ensure_ascii=True)
        case int() | Decimal() | Fraction():
            return str(Fraction(value))
        case date():
            return f"day {value.isoformat()}"
        case _:
            raise TypeError(f"`{type(value).__name__}` has no place in a noun")
