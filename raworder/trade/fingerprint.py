"""Fingerprints: by which a saved plan or a record of weighing knows what it was made for."""

import hashlib
import json
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.trade.scenario import Scenario


def fingerprint(noun: object) -> str:
    """The SHA-256 of all that compares in a noun, in hexadecimal: the same wherever it is taken, the same for equals.

    Places in files do not count. A number counts by its value alone: 2, 2/1 and 2.00 are equal, so they are one.
    """
    return hashlib.sha256(_canonical_text(noun).encode("ascii")).hexdigest()


def batch_number(scenario: Scenario) -> str:
    """The number of a batch, for labels and other papers: that of `batch_named`, after the shop with what was bought.

    Bags that were replanned from a receipt hold something else than the bags of the same numbers that were planned
    before, so they carry another batch number; the same receipt always gives the same.
    """
    return f"{batch_named(scenario)}-R{scenario.shop_signs}" if scenario.shop_signs else batch_named(scenario)


def batch_named(scenario: Scenario) -> str:
    """What a batch is called whatever is planned for it: its first day, and four signs that tell it from other batches.

    It stays the same when the batch is planned again, with other prices or other dogs, or after the shop, so that a
    calendar takes what it is told of it later for what it knew of it before; title and first day make it.
    """
    named = f"{scenario.title}\0{scenario.batch.starts.isoformat()}"
    return f"{scenario.batch.starts:%y%m%d}-{hashlib.sha256(named.encode()).hexdigest()[:4].upper()}"


def _canonical_text(value: object) -> str:
    """A noun, or what is in one, as a text that nothing unequal has."""
    if isinstance(value, tuple):
        return f"({','.join(map(_canonical_text, value))})"
    if isinstance(value, frozenset):
        return f"{{{','.join(sorted(map(_canonical_text, value)))}}}"
    if is_dataclass(value):
        compared = (field.name for field in fields(value) if field.compare)
        return f"{type(value).__name__}({','.join(f'{name}={_canonical_text(getattr(value, name))}' for name in compared)})"
    return _scalar_text(value)


def _scalar_text(value: object) -> str:
    """What has nothing in it as a text; TypeError for what no noun holds, such as a float or a list."""
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
