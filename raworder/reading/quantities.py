"""What fields say beyond a plain number: prices with their basis, amounts, rations, ranges, days, nutrients."""

import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.trade.nutrients import Per
from raworder.trade.units import (
    BASES_G,
    Currency,
    UnitError,
    read_count,
    read_date,
    read_grams,
    read_money,
    read_number,
    read_percent,
)

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
    """A number of packs or of grams: exactly one of the two."""

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
        number, _, rest = (part.strip() for part in said.partition("kcal"))
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
    """A number of units of a supplement; the unit in the singular."""

    number: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class Treats:
    """Treats a day: grams or energy, exactly one of the two."""

    grams: Fraction | None = None
    kcal: Fraction | None = None


_DAYS = re.compile(r"(?P<number>[0-9]{1,4})\s*days?")


@dataclass(frozen=True, slots=True)
class Frozen:
    """How long something has been frozen: so many days, or since a day."""

    days: int = 0
    since: date | None = None


def read_frozen(text: str) -> Frozen:
    """Read `20 days` or `since 2027-01-10`."""
    if text.startswith("since "):
        return Frozen(since=read_date(text.removeprefix("since ").strip()))
    return Frozen(_read_count_of_days(text, "`20 days`, or the day as `since 2027-01-10`"))


def read_hold(text: str) -> int | None:
    """Read `20 days`, or `off` as None."""
    return None if text == "off" else _read_count_of_days(text, "`20 days`, or `off`")


def _read_count_of_days(text: str, example: str) -> int:
    match = _DAYS.fullmatch(text.strip())
    if match is None:
        raise UnitError(f"`{text}` is no number of days", f"write it as {example}")
    return int(match["number"])


@dataclass(frozen=True, slots=True)
class OtherEnergy:
    """Energy a day from other food; or `half` of all that the dog eats, whatever that comes to."""

    kcal: Fraction = Fraction(0)
    half: bool = False


def read_other_energy(text: str) -> OtherEnergy:
    """Read `350 kcal` or `half`."""
    if text.strip() == "half":
        return OtherEnergy(half=True)
    if not text.rstrip().endswith("kcal"):
        raise UnitError(f"`{text}` is no energy", "write it in kcal a day, such as `350 kcal`, or `half`", "no-unit")
    return OtherEnergy(read_kcal(text))


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
    per = next((per for per in Per if said.endswith(f" {per}")), None)
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


def _one(text: str, per: Per | None) -> NutrientAmount:
    """An amount with its unit, or a plain number where the limit is a ratio."""
    if per is not None or re.search("[A-Za-zµμ]", text):
        return read_nutrient_amount(text)
    return NutrientAmount(read_number(text))
