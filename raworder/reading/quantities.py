"""What a scenario's fields say beyond a plain number: prices with their basis, amounts, rations, ranges, days.

Each reader takes the text of one field and raises `UnitError` with one remedy when it cannot be read.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from raworder.units import (
    GRAMS_PER,
    Currency,
    UnitError,
    read_count,
    read_date,
    read_grams,
    read_money,
    read_number,
    read_percent,
)

BASES_G: Mapping[str, Fraction] = MappingProxyType(
    {"kg": GRAMS_PER["kg"], "lb": GRAMS_PER["lb"], "oz": GRAMS_PER["oz"], "100 g": Fraction(100)}
)
"""The weights that a price may be given for, in grams."""

METABOLIC = "/kg^0.75"
"""What stands behind energy that is for each kilogram of body weight to the power 0.75."""

_PER = re.compile(r"(?P<money>.+?)\s+per\s+(?P<basis>.+)")
_LITRES = re.compile(r"(?P<number>[0-9.,]+)\s*l")


@dataclass(frozen=True, slots=True)
class Price:
    """Money and what it is for: a `pack`, one of `BASES_G`, or nothing said."""

    amount: Decimal
    per: str = ""

    @property
    def by_weight(self) -> bool:
        """Whether it is for a weight."""
        return self.per in BASES_G


@dataclass(frozen=True, slots=True)
class Amount:
    """So many packs, or so many grams: exactly one of the two."""

    packs: int | None = None
    grams: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Pack:
    """What a pack weighs; `about` where that is the mean of packs that each weigh something else."""

    grams: Fraction
    about: bool = False


@dataclass(frozen=True, slots=True)
class Ration:
    """What a dog eats a day: grams, a share of its own or of its adult weight, or energy; `written` as in the file.

    Energy is so many `kcal`, or so many for each kilogram of body weight to the power 0.75.
    """

    written: str
    grams: Fraction | None = None
    share: Fraction | None = None
    of_adult_weight: bool = False
    kcal: Fraction | None = None
    kcal_per_metabolic_kg: Fraction | None = None

    @property
    def in_energy(self) -> bool:
        """Whether it is energy that is given."""
        return self.kcal is not None or self.kcal_per_metabolic_kg is not None


@dataclass(frozen=True, slots=True)
class Range:
    """A share's lowest and highest value."""

    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class DaySpan:
    """Days in a row, ends included."""

    first: date
    last: date

    def holds(self, day: date) -> bool:
        """Whether the day is among them."""
        return self.first <= day <= self.last


@dataclass(frozen=True, slots=True)
class Room:
    """Room in a freezer: grams, or litres."""

    grams: Fraction | None = None
    litres: Fraction | None = None


def read_price(text: str, currency: Currency) -> Price:
    """Read `2.40`, `6.20 per kg` or `2.40 per pack`, with or without the currency's code."""
    match = _PER.fullmatch(text)
    if match is None:
        _refuse_slash(text)
        return Price(read_money(text, currency))
    basis = " ".join(match["basis"].split())
    if basis != "pack" and basis not in BASES_G:
        raise UnitError(
            f"`per {basis}` is no basis of a price", "use per kg, per lb, per oz, per 100 g or per pack", "unknown-unit"
        )
    return Price(read_money(match["money"], currency), basis)


def read_amount(text: str) -> Amount:
    """Read `10` as packs or `4 kg` as a weight."""
    if re.search(r"[A-Za-z]", text):
        return Amount(grams=read_grams(text))
    return Amount(packs=read_count(text))


def read_ration(text: str) -> Ration:
    """Read `2.5 %`, `2.5 % of adult weight`, `520 g`, `900 kcal` or `110 kcal/kg^0.75`, with or without `a day`."""
    said = re.sub(r"\s+a day$", "", text)
    if "kcal" in said:
        number, _, rest = (one.strip() for one in said.partition("kcal"))
        if rest not in {"", METABOLIC}:
            raise UnitError(f"`{text}` is not a ration in energy", f"write `900 kcal` or `110 kcal{METABOLIC}`")
        amount = _positive(read_number(number), text)
        return Ration(said, kcal_per_metabolic_kg=amount) if rest else Ration(said, kcal=amount)
    share_text, of, basis = said.partition(" of ")
    if of and basis.strip() != "adult weight":
        raise UnitError(
            f"`of {basis.strip()}` is no basis of a ration", "write `2.5 %`, or `2.5 % of adult weight` for a puppy"
        )
    if of or "%" in said:
        return Ration(said, share=_positive(read_percent(share_text), text), of_adult_weight=bool(of))
    return Ration(said, grams=_positive(_ration_grams(said), text))


def read_percentage(text: str) -> Fraction:
    """Read `10 %` as a share of at most the whole; `10`, `0.1` and `1/10` are refused, as they can mean two things."""
    if re.fullmatch(r"1|0?\.[0-9]+|.+/.+", text):
        raise UnitError(f"`{text}` has no percent sign", "write it in percent, such as `10 %`", "no-unit")
    share = read_percent(text)
    if share > 1:
        raise UnitError(f"`{text}` is more than the whole", "use at most 100 %")
    return share


def read_range(text: str) -> Range:
    """Read `8 % to 12 %`, or `5 %` as a range of one value."""
    low, to, high = text.partition(" to ")
    if not to:
        return Range(read_percentage(text), read_percentage(text))
    return Range(read_percentage(low.strip()), read_percentage(high.strip()))


def read_days(text: str) -> DaySpan:
    """Read `2027-02-10`, or `2027-02-14 to 2027-02-15`."""
    first, to, last = text.partition(" to ")
    span = DaySpan(read_date(first.strip()), read_date((last if to else first).strip()))
    if span.last < span.first:
        raise UnitError(f"`{text}` ends before it begins", "write the earlier day first", "days-reversed")
    return span


def read_room(text: str) -> Room:
    """Read `60 kg` or `120 l`."""
    match = _LITRES.fullmatch(text)
    if match is None:
        return Room(grams=read_grams(text))
    return Room(litres=read_number(match["number"]))


def read_yes(text: str) -> bool:
    """Read `yes` or `no`; `true` and `false` mean the same."""
    known = {"yes": True, "true": True, "no": False, "false": False}
    if text not in known:
        raise UnitError(f"`{text}` is neither yes nor no", "write `yes` or `no`")
    return known[text]


def _ration_grams(text: str) -> Fraction:
    try:
        return read_grams(text)
    except UnitError as error:
        if error.slug != "no-unit":
            raise
        raise UnitError(f"`{text}` has no unit", f"say which: `{text} %` or `{text} g`", "no-unit") from None


def _positive(amount: Fraction, text: str) -> Fraction:
    if amount == 0:
        raise UnitError(f"`{text}` is nothing", "write what is really meant, or leave the line out", "zero-amount")
    return amount


def _refuse_slash(text: str) -> None:
    if "/" in text:
        raise UnitError(f"`{text}` is not a price", f"write `{text.replace('/', ' per ')}`")
