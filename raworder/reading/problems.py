"""What pydantic has against a tree, said as findings with places and remedies."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, get_args

from raworder.findings import Place
from raworder.reading.form import Form
from raworder.reading.names import did_you_mean, listed
from raworder.reading.notes import Notes
from raworder.reading.text import Entries, Node, Path, Text, deepest

if TYPE_CHECKING:
    from pydantic import ValidationError
    from pydantic_core import ErrorDetails

SHAPES = {
    "tuple_type": ("a list", "write its entries as a list, each after a dash"),
    "list_type": ("a list", "write its entries as a list, each after a dash"),
    "dict_type": ("a mapping", "write `name: value` pairs"),
    "model_type": ("a mapping", "write `field: value` pairs"),
}


def note_problems(error: "ValidationError", root: Node, form: type[Form], notes: Notes) -> tuple[Path, ...]:
    """Add a finding for every error, and give the paths at which they stand."""
    details = error.errors(include_url=False, include_input=False)
    for detail in details:
        _note(detail, root, form, notes)
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
        case "too_short":
            notes.add(
                "empty-list", f"`{path[-1]}` has no entry", _place(path, root), "write at least one, each after a dash"
            )
        case "refused":
            context = detail["ctx"]
            place = context["place"] or _place(path, root)
            notes.add(context["slug"], detail["msg"], place, context["help"])
        case shape:
            _wrong_shape(shape, path, root, notes)


def _unknown_field(path: Path, root: Node, form: type[Form], notes: Notes) -> None:
    owner = _form_at(form, path[:-1])
    known = _fields(owner)
    parent = deepest(root, path[:-1])
    key = parent.key(str(path[-1])) if isinstance(parent, Entries) else None
    help_ = did_you_mean(str(path[-1]), known, f"its fields are {listed(known, 'and')}")
    notes.add("unknown-field", f"{owner.noun} has no field `{path[-1]}`", (key or parent).place, help_)


def _wrong_shape(kind: str, path: Path, root: Node, notes: Notes) -> None:
    node = deepest(root, path)
    if isinstance(node, Text) and node.is_null:
        notes.add("empty-value", "there is no value here", _place(path, root), "write one, or take the line out")
        return
    shape, remedy = SHAPES[kind]
    names = [step for step in path if isinstance(step, str)]
    notes.add(
        "wrong-shape", f"`{names[-1]}` takes {shape} here" if names else f"this takes {shape}", _start(node), remedy
    )


def _place(path: Path, root: Node) -> Place:
    """The place of the node, of a mapping's key where it is the key that is wrong, of the key of an empty value."""
    node = deepest(root, path)
    parent = deepest(root, path[:-1])
    name = str(path[-2] if path[-1:] == ("[key]",) else path[-1]) if path else ""
    if path[-1:] == ("[key]",):
        parent = deepest(root, path[:-2])
    key = parent.key(name) if isinstance(parent, Entries) else None
    empty = isinstance(node, Text) and not node
    return key.place if key is not None and (empty or path[-1] == "[key]") else _start(node)


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


def _forms_in(annotation: Any) -> Iterator[type[Form]]:  # noqa: ANN401 - an annotation can be anything
    if isinstance(annotation, type) and issubclass(annotation, Form):
        yield annotation
    for inner in get_args(annotation):
        yield from _forms_in(inner)
