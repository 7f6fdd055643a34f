"""The table of currencies: which codes a scenario can have, with their minor units and signs, and which it cannot.

A scenario can have any currency that ISO 4217 lists with a minor unit, funds codes among them: bills can be reckoned in
it, and some are paid with. Metals and units of account have no minor unit; they are refused, as are withdrawn codes.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from raworder.reading.reference import table_rows
from raworder.units import Currency, UnitError


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
