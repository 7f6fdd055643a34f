"""The kinds of field a scenario has: how each one's text is read, and what an editor may accept for it."""

import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from raworder.cuts import Part
from raworder.findings import Place
from raworder.reading.names import did_you_mean, listed, normal
from raworder.reading.quantities import (
    Amount,
    DaySpan,
    Price,
    Range,
    Ration,
    Room,
    read_amount,
    read_days,
    read_percentage,
    read_price,
    read_range,
    read_ration,
    read_room,
    read_yes,
)
from raworder.reading.text import Entries, Items, Text, text_at
from raworder.units import (
    Currency,
    UnitError,
    grams_text,
    read_count,
    read_currency,
    read_date,
    read_grams,
    read_money,
    read_number,
)

LONGEST_NAME = 120
"""The most characters a name may have."""

FIRST_YEAR, LAST_YEAR = 1900, 2999
"""The years that days may be in."""

HEAVIEST_DOG_G, LARGEST_AMOUNT_G = Fraction(10**6), Fraction(10**8)
"""1000 kg and 100 t: no dog weighs more, and no household, shelter or freezer holds more."""

Shape = Mapping[str, object]

NAME_SHAPE: Shape = MappingProxyType(
    {"type": ["string", "number", "boolean"], "pattern": r"\S", "maxLength": LONGEST_NAME}
)

_N = r"[0-9]{1,9}(\.[0-9]{1,9})?"
_WEIGHT = rf"{_N}\s*(g|kg|oz|lb)"
_SHARE = r"0{0,6}(100(\.0{1,9})?|[0-9]{1,2}(\.[0-9]{1,9})?)\s*%"
_DAY = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_MONEY = rf"{_N}(\s*[A-Z]{{3}})?"


def refused(slug: str, message: str, remedy: str, place: Place | None = None) -> PydanticCustomError:
    """An error of a field that carries its slug, its remedy and, where it is not the whole field, its place."""
    return PydanticCustomError(
        "refused", "{message}", {"slug": slug, "message": message, "help": remedy, "place": place}
    )


@dataclass(frozen=True, eq=False)
class Written:
    """Marks a field whose text is read by `read`; `shape` is the JSON Schema of what may be written."""

    read: Callable[[Text], object]
    shape: Shape

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """How pydantic is to read the field."""
        return core_schema.with_info_plain_validator_function(self.value)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """What editors are told."""
        return dict(self.shape)

    def value(self, node: object, info: core_schema.ValidationInfo) -> object:
        """What the field says; a text that cannot be read raises with its slug and remedy."""
        if not isinstance(node, Text):
            raise refused("wrong-shape", "one value belongs here, no list and no mapping", "write a single value")
        if node.is_null:
            raise refused("empty-value", "there is no value here", "write one, or take the line out")
        try:
            return self.told(node, info)
        except UnitError as error:
            raise refused(error.slug, str(error), error.help) from error

    def told(self, text: Text, info: core_schema.ValidationInfo) -> object:  # noqa: ARG002 - money needs it
        """What the text says."""
        return self.read(text)


@dataclass(frozen=True, eq=False)
class WrittenMoney(Written):
    """Marks a field of money: it is read in the scenario's currency, which is the context of the reading."""

    read_in: Callable[[str, Currency], object] = read_money

    def told(self, text: Text, info: core_schema.ValidationInfo) -> object:
        """What the text says in the scenario's currency; any currency will do while that one is not known."""
        if not re.search("[0-9]", text):
            raise UnitError(f"`{text}` is not an amount of money", "write digits, such as `2.40`")
        known = info.context if isinstance(info.context, Currency) else None
        if any(unicodedata.category(character) == "Sc" for character in text):
            remedy = "leave the sign out" + (f"; the currency is {known.code}" if known else "")
            raise UnitError(f"`{text}` has a currency sign", remedy)
        currency = known or _any_currency(text)
        return self.read_in(text, currency)


def _any_currency(text: str) -> Currency:
    code = re.search(r"[A-Z]{3}", text)
    return Currency(code[0] if code else "", 9)


def read_name(text: Text) -> Text:
    """A name in NFC with single spaces, with its place."""
    name = normal(text)
    if not name:
        raise UnitError("the name is empty", "write one, or take the line out", "empty-value")
    if len(name) > LONGEST_NAME:
        raise UnitError(f"the name has {len(name)} characters", f"use at most {LONGEST_NAME}", "name-too-long")
    return text_at(name, text.place, plain=text.plain)


def one_of(*choices: str) -> Written:
    """Marks a field that says one of a few words."""

    def read(text: Text) -> str:
        if text not in choices:
            help_ = did_you_mean(text, choices, f"write {listed(choices)}")
            raise UnitError(f"`{text}` is not one of the choices", help_, "unknown-choice")
        return str(text)

    return Written(read, {"type": "string", "enum": list(choices)})


def count_from(least: int, most: int) -> Written:
    """Marks a field that says a whole number within bounds."""

    def read(text: Text) -> int:
        count = read_count(text)
        if not least <= count <= most:
            raise UnitError(f"`{text}` is out of range", f"write a whole number from {least} to {most}", "out-of-range")
        return count

    digits = _string("(0|[1-9][0-9]{0,5})")
    return Written(read, {"anyOf": [{"type": "integer", "minimum": least, "maximum": most}, digits]})


def above_zero(read: Callable[[str], Fraction]) -> Callable[[Text], Fraction]:
    """The reader, refusing nothing at all."""

    def read_positive(text: Text) -> Fraction:
        amount = read(text)
        if amount == 0:
            raise UnitError(f"`{text}` is nothing", "write what is really meant, or leave the line out", "zero-amount")
        return amount

    return read_positive


def grams_up_to(most_g: Fraction) -> Callable[[Text], Fraction]:
    """A reader of weights that refuses nothing at all and what cannot be."""

    def read_grams_up_to(text: Text) -> Fraction:
        grams = above_zero(read_grams)(text)
        if grams > most_g:
            most = grams_text(int(most_g), "kg")
            raise UnitError(f"`{text}` is more than {most}", "check the number and its unit", "absurd-amount")
        return grams

    return read_grams_up_to


def read_day(text: Text) -> date:
    """A day that a batch, a price list or a freezer can be about."""
    day = read_date(text)
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise UnitError(f"`{text}` is not a day of our time", "check the year", "bad-date")
    return day


def read_cap(text: Text) -> Fraction | None:
    """The most of something, or None where `none` switches a cap off."""
    return None if text == "none" else read_percentage(text)


def read_species_share(text: Text) -> Fraction | None:
    """A species' share of a cut, or None where it is `unknown`."""
    return None if text == "unknown" else read_percentage(text)


def read_part(text: Text) -> Part:
    """A part of a ration by its name."""
    name = normal(text).casefold()
    if name not in set(Part):
        raise UnitError(f"`{text}` is not a part of a ration", f"the parts are {listed(Part, 'and')}", "unknown-part")
    return Part(name)


def species_written_out(node: object) -> object:
    """Species written short as one name or a list of names, as a mapping from name to share."""
    names = [node] if isinstance(node, Text) and not node.is_null else node
    if not isinstance(node, Text | Items) or not isinstance(names, list):
        return node
    share = "100 %" if len(names) == 1 else "unknown"
    texts = [name for name in names if isinstance(name, Text)]
    written_out = Entries(node.place, [(name, text_at(share, name.place)) for name in texts])
    return written_out if len(texts) == len(names) else node


def _string(pattern: str, **more: object) -> Shape:
    return {"type": "string", "pattern": f"^{pattern}$", **more}


def _or_number(pattern: str, **more: object) -> Shape:
    return {"anyOf": [_string(pattern), {"type": "number", "minimum": 0, **more}]}


_NAME = Written(read_name, NAME_SHAPE)

Name = Annotated[Text, _NAME]
Day = Annotated[date, Written(read_day, _string(_DAY, format="date"))]
Days = Annotated[DaySpan, Written(read_days, _string(rf"{_DAY}(\s+to\s+{_DAY})?"))]
Grams = Annotated[Fraction, Written(grams_up_to(LARGEST_AMOUNT_G), _string(_WEIGHT))]
DogWeight = Annotated[Fraction, Written(grams_up_to(HEAVIEST_DOG_G), _string(_WEIGHT))]
Share = Annotated[Fraction, Written(read_percentage, _string(_SHARE))]
SomeShare = Annotated[Fraction, Written(above_zero(read_percentage), _string(_SHARE))]
Cap = Annotated[Fraction | None, Written(read_cap, _string(f"({_SHARE}|none)"))]
ShareRange = Annotated[Range, Written(read_range, _string(rf"{_SHARE}(\s+to\s+{_SHARE})?"))]
RationText = Annotated[Ration, Written(read_ration, _string(rf"({_N}\s*%(\s+of adult weight)?|{_WEIGHT})(\s+a day)?"))]
Money = Annotated[Decimal, WrittenMoney(read_name, _or_number(_MONEY))]
PriceText = Annotated[
    Price, WrittenMoney(read_name, _or_number(rf"{_MONEY}(\s+per\s+(pack|kg|lb|oz|100 g))?"), read_price)
]
AmountText = Annotated[
    Amount,
    Written(read_amount, {"anyOf": [_string(rf"({_WEIGHT}|[0-9]{{1,6}})"), {"type": "integer", "minimum": 0}]}),
]
RoomText = Annotated[Room, Written(read_room, _string(rf"{_N}\s*(g|kg|oz|lb|l)"))]
Density = Annotated[Fraction, Written(above_zero(read_number), _or_number(_N, exclusiveMinimum=0))]
SpeciesWeight = Annotated[Fraction | None, Written(read_species_share, _string(f"({_SHARE}|unknown)"))]
YesNo = Annotated[bool, Written(read_yes, {"enum": ["yes", "no", "true", "false", True, False]})]
CurrencyCode = Annotated[Currency, Written(read_currency, _string("[A-Z]{3}"))]
PartName = Annotated[Part, Written(read_part, {"enum": [str(part) for part in Part]})]


@dataclass(frozen=True, eq=False)
class Short:
    """Marks a field whose mapping may be written short; `written_out` writes it out, `shape` is the short form."""

    written_out: Callable[[object], object]
    shape: Shape

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """How pydantic is to read the field."""
        return core_schema.no_info_before_validator_function(self.written_out, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """What editors are told."""
        return {"anyOf": [dict(self.shape), handler(schema)]}


def short_for(key: str, shape: Shape) -> Short:
    """Marks a field whose mapping may be written short, as the text of its one field `key`."""

    def written_out(node: object) -> object:
        if not isinstance(node, Text) or node.is_null:
            return node
        return Entries(node.place, [(text_at(key, node.place), node)])

    return Short(written_out, shape)


def _one_name_or_a_list() -> Shape:
    name = dict(NAME_SHAPE)
    return {"anyOf": [name, {"type": "array", "minItems": 1, "items": name}]}


SPECIES_SHORT = Short(species_written_out, _one_name_or_a_list())
