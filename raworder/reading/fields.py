"""The fields of a scenario: names, days, weights, shares and money, each with how its text is read."""

import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import Annotated

from raworder.reading.characters import can_be_seen
from raworder.reading.currencies import read_currency
from raworder.reading.form_fields import MoneyField, Shape, ShortForm, TextField, or_number, string
from raworder.reading.located import Entries, Items, Text, text_at
from raworder.reading.names import join_in_backticks, normalise_name
from raworder.reading.quantities import (
    Amount,
    DaySpan,
    Frozen,
    LimitText,
    NutrientAmount,
    OtherEnergy,
    Pack,
    Price,
    Range,
    Ration,
    Room,
    Treats,
    Units,
    read_amount,
    read_days,
    read_frozen,
    read_hold,
    read_kcal,
    read_limit,
    read_nutrient_amount,
    read_other_energy,
    read_percentage,
    read_price,
    read_range,
    read_ration,
    read_room,
    read_units,
    read_yes,
)
from raworder.trade.cuts import Part
from raworder.trade.rounding import half_up
from raworder.trade.units import Currency, UnitError, grams_text, read_date, read_grams, read_number

LONGEST_NAME = 120
"""The most characters a name may have."""

FIRST_YEAR, LAST_YEAR = 1900, 2999
"""The years that days may be in."""

HEAVIEST_DOG_G, LARGEST_AMOUNT_G = Fraction(10**6), Fraction(10**8)
"""1000 kg and 100 t: no dog weighs more, and no household, shelter or freezer holds more."""

VISIBLE = r"[^\s\u115f\u1160\u200c\u200d\u2800\u3164\uffa0]"
"""What an editor asks of a name: a character that is neither white space, a joiner nor a filler."""

NAME_SHAPE: Shape = MappingProxyType(
    {"type": ["string", "number", "boolean"], "pattern": VISIBLE, "maxLength": LONGEST_NAME}
)

_N = r"[0-9]{1,9}(\.[0-9]{1,9})?"
_WEIGHT = rf"{_N}\s*(g|kg|oz|lb)"
_SHARE = r"0{0,6}(100(\.0{1,9})?|[0-9]{1,2}(\.[0-9]{1,9})?)\s*%"
_DAY = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_OF_NUTRIENT = rf"{_N}\s*(g|mg|ug|IU|kcal|kJ)"
_OF_ANY = rf"{_N}(\s*(g|mg|ug|IU|kcal|kJ))?"
_MONEY = rf"{_N}(\s*[A-Z]{{3}})?"


def read_name(text: Text) -> Text:
    """A name in NFC with single spaces, with its place."""
    name = normalise_name(text)
    if not can_be_seen(name):
        message = "nothing of the name can be seen" if name else "the name is empty"
        raise UnitError(message, "write one, or take the line out", "empty-value")
    if len(name) > LONGEST_NAME:
        raise UnitError(f"the name has {len(name)} characters", f"use at most {LONGEST_NAME}", "name-too-long")
    return text_at(name, text.place, plain=text.plain)


def refuse_zero(read: Callable[[str], Fraction]) -> Callable[[Text], Fraction]:
    """A reader that also refuses zero."""

    def read_positive(text: Text) -> Fraction:
        """The amount; UnitError where it is nothing."""
        amount = read(text)
        if amount == 0:
            raise UnitError(f"`{text}` is nothing", "write what is really meant, or leave the line out", "zero-amount")
        return amount

    return read_positive


def weight_reader(most_g: Fraction) -> Callable[[Text], Fraction]:
    """A reader of weights that refuses zero and weights above the limit."""

    def read_grams_up_to(text: Text) -> Fraction:
        """Grams; UnitError where they are nothing or too many."""
        grams = refuse_zero(read_grams)(text)
        if grams > most_g:
            most = grams_text(int(most_g), "kg")
            raise UnitError(f"`{text}` is more than {most}", "check the number and its unit", "absurd-amount")
        return grams

    return read_grams_up_to


def read_treats(text: Text) -> Treats:
    """Treats a day, by weight or in energy."""
    if text.rstrip().endswith("kcal"):
        return Treats(kcal=read_kcal(text))
    return Treats(grams=weight_reader(LARGEST_AMOUNT_G)(text))


def read_whole_grams(text: Text) -> int:
    """A weight in whole grams, an ounce being 28; less than a gram is refused."""
    grams = half_up(weight_reader(LARGEST_AMOUNT_G)(text))
    if grams == 0:
        raise UnitError(f"`{text}` is less than a gram", "check the number and its unit", "zero-amount")
    return grams


def read_a_gram_or_more(text: Text) -> Fraction:
    """A weight in exact grams; less than a gram is refused."""
    read_whole_grams(text)
    return read_grams(text)


def read_pack(text: Text) -> Pack:
    """The weight of a pack, or `about` and the mean weight for catch-weight packs."""
    about = re.fullmatch(r"about\s+(.+)", text)
    weight = text_at(about[1], text.place) if about else text
    return Pack(weight_reader(LARGEST_AMOUNT_G)(weight), about is not None)


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
    name = normalise_name(text).casefold()
    if name not in set(Part):
        raise UnitError(
            f"`{text}` is not a part of a ration", f"the parts are {join_in_backticks(Part, 'and')}", "unknown-part"
        )
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


_NAME = TextField(read_name, NAME_SHAPE)

Name = Annotated[Text, _NAME]
Day = Annotated[date, TextField(read_day, string(_DAY, format="date"))]
Days = Annotated[DaySpan, TextField(read_days, string(rf"{_DAY}(\s+to\s+{_DAY})?"))]
Grams = Annotated[Fraction, TextField(weight_reader(LARGEST_AMOUNT_G), string(_WEIGHT))]
WholeGrams = Annotated[int, TextField(read_whole_grams, string(_WEIGHT))]
WEIGHT_SHAPE: Shape = MappingProxyType({**string(_WEIGHT)})
GramOrMore = Annotated[Fraction, TextField(read_a_gram_or_more, WEIGHT_SHAPE)]
PackText = Annotated[Pack, TextField(read_pack, string(rf"(about\s+)?{_WEIGHT}"))]
DogWeight = Annotated[Fraction, TextField(weight_reader(HEAVIEST_DOG_G), string(_WEIGHT))]
Share = Annotated[Fraction, TextField(read_percentage, string(_SHARE))]
SomeShare = Annotated[Fraction, TextField(refuse_zero(read_percentage), string(_SHARE))]
Cap = Annotated[Fraction | None, TextField(read_cap, string(f"({_SHARE}|none)"))]
SHARE_RANGE_SHAPE: Shape = MappingProxyType({**string(rf"{_SHARE}(\s+to\s+{_SHARE})?")})
ShareRange = Annotated[Range, TextField(read_range, SHARE_RANGE_SHAPE)]
RationText = Annotated[
    Ration,
    TextField(read_ration, string(rf"({_N}\s*%(\s+of adult weight)?|{_WEIGHT}|{_N}\s*kcal(/kg\^0\.75)?)(\s+a day)?")),
]
Money = Annotated[Decimal, MoneyField(read_name, or_number(_MONEY))]
PriceText = Annotated[
    Price, MoneyField(read_name, or_number(rf"{_MONEY}(\s+per\s+(pack|kg|lb|oz|100 g))?"), read_price)
]
AmountText = Annotated[
    Amount,
    TextField(read_amount, {"anyOf": [string(rf"({_WEIGHT}|[0-9]{{1,6}})"), {"type": "integer", "minimum": 0}]}),
]
ROOM_SHAPE: Shape = MappingProxyType({**string(rf"{_N}\s*(g|kg|oz|lb|l)")})
RoomText = Annotated[Room, TextField(read_room, ROOM_SHAPE)]
Density = Annotated[Fraction, TextField(refuse_zero(read_number), or_number(_N, exclusiveMinimum=0))]
SpeciesWeight = Annotated[Fraction | None, TextField(read_species_share, string(f"({_SHARE}|unknown)"))]
YesNo = Annotated[bool, TextField(read_yes, {"enum": ["yes", "no", "true", "false", True, False]})]
CurrencyCode = Annotated[Currency, TextField(read_currency, string("[A-Z]{3}"))]
TreatsText = Annotated[Treats, TextField(read_treats, string(rf"({_WEIGHT}|{_N}\s*kcal)"))]
FrozenText = Annotated[Frozen, TextField(read_frozen, string(rf"([0-9]{{1,4}}\s*days?|since\s+{_DAY})"))]
HoldText = Annotated[int | None, TextField(read_hold, string(r"(off|[0-9]{1,4}\s*days?)"))]
OtherEnergyText = Annotated[OtherEnergy, TextField(read_other_energy, string(rf"(half|{_N}\s*kcal)"))]
NutrientText = Annotated[NutrientAmount, TextField(read_nutrient_amount, string(_OF_NUTRIENT))]
Limit = Annotated[
    LimitText,
    TextField(
        read_limit,
        string(
            rf"(none|(at (least|most) {_OF_ANY}|{_OF_ANY} to {_OF_ANY})( a day| per 1000 kcal)?)",
        ),
    ),
]
UnitsText = Annotated[Units, TextField(read_units, string(rf"{_N}\s*[A-Za-z]+"))]
PartName = Annotated[Part, TextField(read_part, {"enum": [str(part) for part in Part]})]


def _one_name_or_a_list() -> Shape:
    name = dict(NAME_SHAPE)
    return {"anyOf": [name, {"type": "array", "minItems": 1, "items": name}]}


SPECIES_SHORT = ShortForm(species_written_out, _one_name_or_a_list())
