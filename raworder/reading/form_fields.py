"""What every form is: fields that know how their text is read, where it stands, and what pydantic has against it."""

import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, ClassVar, Self, get_args

from pydantic import (
    BaseModel,
    ConfigDict,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ModelWrapValidatorHandler,
    PrivateAttr,
    model_validator,
)
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from raworder.reading.located import Entries, Items, Node, Path, Text, deepest_node, text_at
from raworder.reading.names import did_you_mean, join_in_backticks
from raworder.reading.notes import Notes, SearchedRemedy
from raworder.trade.findings import Place
from raworder.trade.units import Currency, UnitError, read_count, read_money

if TYPE_CHECKING:
    from pydantic import ValidationError
    from pydantic_core import ErrorDetails


NOWHERE = Place("", 1, 1)
"""The place of a form that was read from no file."""


class Form(BaseModel):
    """A mapping of the file, read field by field; it remembers the node it was read from.

    `noun` is what messages call it, `main` the field that a single value in its place was probably meant for.
    """

    # Built when first used: only the outermost form is ever read, and it holds all others.
    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True)

    noun: ClassVar[str] = "this"
    main: ClassVar[str] = ""
    _node: Entries = PrivateAttr(default_factory=lambda: Entries(NOWHERE))

    @model_validator(mode="wrap")
    @classmethod
    def _remember(cls, node: object, handler: ModelWrapValidatorHandler[Self]) -> Self:
        form = handler(node)
        if isinstance(node, Entries):
            form._node = node  # noqa: SLF001 - it is the form's own
        return form

    @property
    def place(self) -> Place:
        """Where the mapping begins."""
        return self._node.place

    def at(self, field: str) -> Place:
        """Where the field's value stands, or the mapping where the field is not written."""
        node = self._node.get(field)
        return self.place if node is None else node.place

    def entry_at(self, field: str, entry: int | str) -> Place:
        """Where an entry of the field's list or mapping stands; where it is written short, its one value."""
        return deepest_node(self._node, (field, entry)).place

    def key_at(self, field: str) -> Place:
        """Where the field's name stands, or the mapping where the field is not written."""
        key = self._node.key(field)
        return self.place if key is None else key.place

    def says(self, field: str) -> bool:
        """Whether the field is written."""
        return field in self._node


Shape = Mapping[str, object]


def field_error(slug: str, message: str, remedy: str, place: Place | None = None) -> PydanticCustomError:
    """An error of a field that carries its slug, its remedy and, where it is not the whole field, its place."""
    return PydanticCustomError(
        "refused", "{message}", {"slug": slug, "message": message, "help": remedy, "place": place}
    )


@dataclass(frozen=True, eq=False)
class TextField:
    """Marks a field whose text is read by `read`; `shape` is the JSON Schema of what may be written."""

    read: Callable[[Text], object]
    shape: Shape

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """How pydantic is to read the field."""
        return core_schema.with_info_plain_validator_function(self.value)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """The JSON Schema that editors see."""
        return dict(self.shape)

    def value(self, node: object, info: core_schema.ValidationInfo) -> object:
        """What the field says; a text that cannot be read raises with its slug and remedy."""
        if not isinstance(node, Text):
            raise field_error("wrong-shape", "one value belongs here, no list and no mapping", "write a single value")
        if node.is_null:
            raise field_error("empty-value", "there is no value here", "write one, or take the line out")
        try:
            return self.told(node, info)
        except UnitError as error:
            raise field_error(error.slug, str(error), error.help) from error

    def told(self, text: Text, info: core_schema.ValidationInfo) -> object:  # noqa: ARG002 - money needs it
        """What the text says."""
        return self.read(text)


@dataclass(frozen=True, eq=False)
class MoneyField(TextField):
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


def one_of(*choices: str) -> TextField:
    """Marks a field that says one of a few words."""

    def read(text: Text) -> str:
        """The word; UnitError where it is none of the choices."""
        if text not in choices:
            help_ = did_you_mean(text, choices, f"write {join_in_backticks(choices)}")
            raise UnitError(f"`{text}` is not one of the choices", help_, "unknown-choice")
        return str(text)

    return TextField(read, {"type": "string", "enum": list(choices)})


def count_from(least: int, most: int) -> TextField:
    """Marks a field that says a whole number within bounds."""

    def read(text: Text) -> int:
        """The whole number; UnitError where it is out of bounds."""
        count = read_count(text)
        if not least <= count <= most:
            raise UnitError(f"`{text}` is out of range", f"write a whole number from {least} to {most}", "out-of-range")
        return count

    digits = string("(0|[1-9][0-9]{0,5})")
    return TextField(read, {"anyOf": [{"type": "integer", "minimum": least, "maximum": most}, digits]})


@dataclass(frozen=True, eq=False)
class ShortForm:
    """Marks a field whose mapping may be written short; `written_out` writes it out, `shape` is the short form."""

    written_out: Callable[[object], object]
    shape: Shape

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """How pydantic is to read the field."""
        return core_schema.no_info_before_validator_function(self.written_out, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """The JSON Schema that editors see."""
        return {"anyOf": [dict(self.shape), handler(schema)]}


def short_for(key: str, shape: Shape) -> ShortForm:
    """Marks a field whose mapping may be written short, as the text of its one field `key`."""

    def written_out(node: object) -> object:
        """The mapping with its one field, where it is written short; else what is there."""
        if not isinstance(node, Text) or node.is_null:
            return node
        return Entries(node.place, [(text_at(key, node.place), node)])

    return ShortForm(written_out, shape)


def or_word(word: str) -> ShortForm:
    """Marks a list in whose place one word may be written: the list is empty then, and the node tells the word."""

    def written_out(node: object) -> object:
        """An empty list where the word is written; else what is there."""
        return Items(node.place) if isinstance(node, Text) and node == word else node

    return ShortForm(written_out, {"const": word})


def string(pattern: str, **more: object) -> Shape:
    """The shape of a text of that pattern."""
    return {"type": "string", "pattern": f"^{pattern}$", **more}


def or_number(pattern: str, **more: object) -> Shape:
    """The shape of a text of that pattern, or of a number that is not below zero."""
    return {"anyOf": [string(pattern), {"type": "number", "minimum": 0, **more}]}


SHAPES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "tuple_type": ("a list", "write its entries as a list, each after a dash"),
        "list_type": ("a list", "write its entries as a list, each after a dash"),
        "dict_type": ("a mapping", "write `name: value` pairs"),
        "model_type": ("a mapping", "write `field: value` pairs"),
    }
)


MOST_PROBLEMS = 10_000
"""The most errors of form that are listed: each takes about 200 us, and nobody reads on."""


def note_problems(error: "ValidationError", root: Node, form: type[Form], notes: Notes) -> tuple[Path, ...]:
    """Add a finding for every error, and give the paths at which they stand."""
    details = error.errors(include_url=False, include_input=False)
    for detail in details[:MOST_PROBLEMS]:
        _note(detail, root, form, notes)
    if details[MOST_PROBLEMS:]:
        place = deepest_node(root, details[MOST_PROBLEMS]["loc"]).place
        message = f"the file has more than {MOST_PROBLEMS} mistakes like those above; from here on they are not listed"
        notes.add("too-large", message, place, "mend the first ones, and check the file again")
    return tuple(detail["loc"] for detail in details)


def _note(detail: "ErrorDetails", root: Node, form: type[Form], notes: Notes) -> None:
    path = detail["loc"]
    node = deepest_node(root, path)
    match detail["type"]:
        case "extra_forbidden":
            _unknown_field(path, root, form, notes)
        case "missing":
            owner = _form_at(form, path[:-1])
            notes.add("missing-field", f"{owner.noun} has no `{path[-1]}`", _start(node), f"add `{path[-1]}: ...`")
        case "refused":
            context = detail["ctx"]
            place = context["place"] or _place(path, root)
            notes.add(context["slug"], detail["msg"], place, context["help"])
        case shape:
            _wrong_shape(shape, path, root, _form_at(form, path), notes)


def _unknown_field(path: Path, root: Node, form: type[Form], notes: Notes) -> None:
    owner = _form_at(form, path[:-1])
    known = _fields(owner)
    parent = deepest_node(root, path[:-1])
    key = parent.key(str(path[-1])) if isinstance(parent, Entries) else None
    if isinstance(parent, Entries) and (number := _split_by_comma(parent, str(path[-1]))):
        notes.add("comma-in-number", f"`{number}` has a comma", number.place, f"write `{number.replace(',', '.')}`")
        return
    otherwise = f"its fields are {join_in_backticks(known, 'and')}"
    help_ = SearchedRemedy(lambda: did_you_mean(str(path[-1]), known, otherwise), otherwise)
    notes.add("unknown-field", f"{owner.noun} has no field `{path[-1]}`", (key or parent).place, help_)


def _split_by_comma(entries: Entries, key: str) -> Text | None:
    """A number such as `3,10` that a mapping in braces has cut in two, the second half a field without a value."""
    value = entries.get(key)
    if not re.match(r"[0-9]+\b", key) or not (isinstance(value, Text) and value.is_null):
        return None
    before = entries.before(key)
    cut_in_two = isinstance(before, Text) and re.fullmatch(r"[0-9]+", before)
    return text_at(f"{before},{key}", before.place) if isinstance(before, Text) and cut_in_two else None


def _wrong_shape(kind: str, path: Path, root: Node, owner: type[Form], notes: Notes) -> None:
    node = deepest_node(root, path)
    if isinstance(node, Text) and node.is_null:
        notes.add("empty-value", "there is no value here", _place(path, root), "write one, or take the line out")
        return
    shape, remedy = SHAPES.get(kind, SHAPES["model_type"])
    if shape == "a list" and isinstance(node, Text):
        remedy = f"write `[{node}]`"
    elif kind == "model_type" and isinstance(node, Text) and owner.main:
        remedy = f"write `{path[-1]}: {{{owner.main}: {node}}}`"
    names = [step for step in path if isinstance(step, str)]
    notes.add(
        "wrong-shape", f"`{names[-1]}` takes {shape} here" if names else f"this takes {shape}", _start(node), remedy
    )


def _place(path: Path, root: Node) -> Place:
    """The place of what is wrong: of the key where that is wrong or has no value, else of the value."""
    at_key = path[-1:] == ("[key]",)
    path = path[:-1] if at_key else path
    node, parent = deepest_node(root, path), deepest_node(root, path[:-1])
    key = parent.key(str(path[-1])) if isinstance(parent, Entries) and path else None
    valueless = isinstance(node, Text) and not node
    return key.place if key is not None and (at_key or valueless) else _start(node)


def _start(node: Node) -> Place:
    """The place of a scalar, or of a mapping's first key rather than the whole of it."""
    first = next(iter(node), None) if isinstance(node, Entries) else None
    return first.place if isinstance(first, Text) else node.place


def _fields(form: type[Form]) -> tuple[str, ...]:
    return tuple(field.alias or name for name, field in form.model_fields.items())


def _form_at(form: type[Form], path: Sequence[int | str]) -> type[Form]:
    """The form that reads the mapping at the path."""
    for step in path:
        field = {(field.alias or name): field for name, field in form.model_fields.items()}.get(str(step))
        if field is not None:
            form = next(_forms_in(field.annotation), form)
    return form


def _forms_in(annotation: Any) -> Iterator[type[Form]]:
    if isinstance(annotation, type) and issubclass(annotation, Form):
        yield annotation
    for inner in get_args(annotation):
        yield from _forms_in(inner)
