"""What pydantic has against a tree, said as findings with places and remedies."""

import re
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, get_args

from raworder.findings import Place
from raworder.reading.form_base import Form
from raworder.reading.names import did_you_mean, listed
from raworder.reading.notes import Notes, Sought
from raworder.reading.text import Entries, Node, Path, Text, deepest, text_at

if TYPE_CHECKING:
    from pydantic import ValidationError
    from pydantic_core import ErrorDetails

SHAPES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "tuple_type": ("a list", "write its entries as a list, each after a dash"),
        "list_type": ("a list", "write its entries as a list, each after a dash"),
        "dict_type": ("a mapping", "write `name: value` pairs"),
        "model_type": ("a mapping", "write `field: value` pairs"),
    }
)


MOST_PROBLEMS = 10_000
"""So many errors of form are listed: each takes about 200 us, and nobody reads on."""


def note_problems(error: "ValidationError", root: Node, form: type[Form], notes: Notes) -> tuple[Path, ...]:
    """Add a finding for every error, and give the paths at which they stand."""
    details = error.errors(include_url=False, include_input=False)
    for detail in details[:MOST_PROBLEMS]:
        _note(detail, root, form, notes)
    if details[MOST_PROBLEMS:]:
        place = deepest(root, details[MOST_PROBLEMS]["loc"]).place
        message = f"the file has more than {MOST_PROBLEMS} mistakes like those above; from here on they are not listed"
        notes.add("too-large", message, place, "mend the first ones, and check the file again")
    return tuple(detail["loc"] for detail in details)


def _note(detail: "ErrorDetails", root: Node, form: type[Form], notes: Notes) -> None:
    path = detail["loc"]
    node = deepest(root, path)
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
    parent = deepest(root, path[:-1])
    key = parent.key(str(path[-1])) if isinstance(parent, Entries) else None
    if isinstance(parent, Entries) and (number := _split_by_comma(parent, str(path[-1]))):
        notes.add("comma-in-number", f"`{number}` has a comma", number.place, f"write `{number.replace(',', '.')}`")
        return
    otherwise = f"its fields are {listed(known, 'and')}"
    help_ = Sought(lambda: did_you_mean(str(path[-1]), known, otherwise), otherwise)
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
    node = deepest(root, path)
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
    node, parent = deepest(root, path), deepest(root, path[:-1])
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
