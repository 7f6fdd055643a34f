"""What marks the fields of a form: how a field's text is read, and what an editor may accept for it."""

import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from raworder.findings import Place
from raworder.reading.names import did_you_mean, listed
from raworder.reading.text import Entries, Text, text_at
from raworder.units import Currency, UnitError, read_count, read_money

Shape = Mapping[str, object]


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


def one_of(*choices: str) -> Written:
    """Marks a field that says one of a few words."""

    def read(text: Text) -> str:
        """The word; UnitError where it is none of the choices."""
        if text not in choices:
            help_ = did_you_mean(text, choices, f"write {listed(choices)}")
            raise UnitError(f"`{text}` is not one of the choices", help_, "unknown-choice")
        return str(text)

    return Written(read, {"type": "string", "enum": list(choices)})


def count_from(least: int, most: int) -> Written:
    """Marks a field that says a whole number within bounds."""

    def read(text: Text) -> int:
        """The whole number; UnitError where it is out of bounds."""
        count = read_count(text)
        if not least <= count <= most:
            raise UnitError(f"`{text}` is out of range", f"write a whole number from {least} to {most}", "out-of-range")
        return count

    digits = string("(0|[1-9][0-9]{0,5})")
    return Written(read, {"anyOf": [{"type": "integer", "minimum": least, "maximum": most}, digits]})


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
        """The mapping with its one field, where it is written short; else what is there."""
        if not isinstance(node, Text) or node.is_null:
            return node
        return Entries(node.place, [(text_at(key, node.place), node)])

    return Short(written_out, shape)


def string(pattern: str, **more: object) -> Shape:
    """The shape of a text of that pattern."""
    return {"type": "string", "pattern": f"^{pattern}$", **more}


def or_number(pattern: str, **more: object) -> Shape:
    """The shape of a text of that pattern, or of a number that is not below zero."""
    return {"anyOf": [string(pattern), {"type": "number", "minimum": 0, **more}]}
