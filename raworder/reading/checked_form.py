"""A tree checked against the form, with the errors taken out, so that one run can report everything."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from raworder.reading.currencies import read_currency
from raworder.reading.dog_entries import note_unknown_word
from raworder.reading.form import ScenarioForm
from raworder.reading.form_fields import note_problems
from raworder.reading.given import Given
from raworder.reading.located import Entries, Items, Node, Path, Text, deepest_node, text_at
from raworder.reading.names import fold_name
from raworder.reading.notes import Notes
from raworder.reading.offers import note_unknown_cut
from raworder.trade.units import Currency, UnitError

STAND_IN_DAY = "2000-01-01"
STAND_IN_CURRENCY = "EUR"


@dataclass(frozen=True, slots=True)
class Checked:
    """The form as far as it can be read.

    `lost` names the top-level fields out of which something was taken; `lost_names` are the folded names of dogs, cuts
    and suppliers in it, so that nobody is told they are unknown. `removed` is what was taken, by its top-level field.
    """

    form: ScenarioForm
    lost: frozenset[str] = frozenset()
    lost_names: frozenset[str] = frozenset()
    removed: tuple[tuple[str, Node], ...] = ()


def checked_form(root: Entries, notes: Notes) -> Checked | None:
    """The form of a tree, less what is in error; None when nothing is left that could be checked further."""
    from pydantic import ValidationError

    context = _currency(root)
    try:
        return Checked(ScenarioForm.model_validate(root, context=context))
    except ValidationError as error:
        paths = note_problems(error, root, ScenarioForm, notes)
    removed = tuple(_prune(root, paths))
    try:
        form = ScenarioForm.model_validate(root, context=context)
    except ValidationError:
        return None
    lost = frozenset(str(path[0]) for path in paths)
    return Checked(form, lost, frozenset(name for _, node in removed for name in _names(node)), removed)


def _currency(root: Entries) -> Currency | None:
    written = root.get("currency")
    try:
        return read_currency(written) if isinstance(written, Text) else None
    except UnitError:
        return None


def _prune(root: Entries, paths: Iterable[Path]) -> Iterator[tuple[str, Node]]:
    """Take the entries in error out of the tree, later ones first, and put stand-ins for what is required."""
    steps: dict[Path, list[int | str]] = {}
    for path in sorted({_entry(path) for path in paths}, key=_rank, reverse=True):
        steps.setdefault(path[:-1], []).append(path[-1])
    for above in sorted(steps, key=len, reverse=True):  # what lies deeper first, while its way holds
        taken = _take_out(deepest_node(root, above), steps[above])
        yield from ((str(above[0] if above else step), node) for step, node in taken)
    _stand_in(root)


def _take_out(parent: Node, steps: Iterable[int | str]) -> Iterator[tuple[int | str, Node]]:
    """Take the nodes at these steps out of a node and return them; each list is walked only once."""
    if isinstance(parent, Entries):
        yield from ((step, parent.pop(str(step))) for step in steps if step in parent)
    elif isinstance(parent, Items):
        gone = {step for step in steps if isinstance(step, int) and step < len(parent)}
        yield from ((step, parent[step]) for step in steps if step in gone)
        parent[:] = [node for place, node in enumerate(parent) if place not in gone]


def _entry(path: Path) -> Path:
    """The path of the entry to take out: the innermost list entry, else the top-level field.

    Of suppliers and of portioning it is one field.
    """
    if path[0] == "portioning" and len(path) > 1:
        return path[:3] if len(path) > 2 and isinstance(path[2], int) else path[:2]
    indexes = [place for place, step in enumerate(path) if isinstance(step, int)]
    if not indexes:
        return path[:1]
    last = indexes[-1]
    optional_of_supplier = path[0] == "suppliers" and last == 1 and len(path) > 2 and path[2] != "name"
    return path[:3] if optional_of_supplier else path[: last + 1]


def _stand_in(root: Entries) -> None:
    """Put what is required and was in error, so that the rest can be read; the input is refused anyway."""
    place = root.place
    if "currency" not in root:
        root.put(text_at("currency", place), text_at(STAND_IN_CURRENCY, place))
    if "batch" not in root:
        batch = Entries(place, [(text_at("starts", place), text_at(STAND_IN_DAY, place))])
        root.put(text_at("batch", place), batch)
    if "dogs" not in root:
        root.put(text_at("dogs", place), Items(place))


def _rank(path: Path) -> tuple[tuple[int, str], ...]:
    """Orders paths so that, backwards, later list entries come before earlier ones."""
    return tuple((step, "") if isinstance(step, int) else (-1, step) for step in path)


def _names(node: Node) -> Iterator[str]:
    """The folded names and cuts anywhere in a node."""
    if isinstance(node, Entries):
        yield from (
            fold_name(value) for key, value in node.items() if key in {"name", "cut"} and isinstance(value, Text)
        )
        for value in node.values():
            yield from _names(value)
    elif isinstance(node, Items):
        for entry in node:
            yield from _names(entry)


def note_names(removed: Iterable[tuple[str, Node]], given: Given) -> None:
    """Note cuts that nobody knows or that are toxic, and words that mean nothing, in what was taken out."""
    taken = tuple(removed)
    own = frozenset(fold_name(name) for field, node in taken if field == "own_cuts" for name in _values(node, "cut"))
    known = replace(given, lost_names=own)
    for field, node in taken:
        if field in {"cuts", "suppliers", "on_hand"}:
            for name in _values(node, "cut"):
                _note_cut(name, known)
        if field in {"dogs", "all_dogs"}:
            for word in _values(node, "avoid"):
                _note_word(word, known)


def _note_cut(name: Text, given: Given) -> None:
    given.note_toxic(name)
    if given.catalogue.find(name) is None:
        note_unknown_cut(name, name.place, given)


def _note_word(word: Text, given: Given) -> None:
    if not given.words.means_something(word):
        note_unknown_word(word, given)


def _values(node: Node, field: str) -> Iterator[Text]:
    """The texts under a field, or in its list, anywhere in a node."""
    if isinstance(node, Items):
        for entry in node:
            yield from _values(entry, field)
    elif isinstance(node, Entries):
        for key, value in node.items():
            yield from _texts(value) if key == field else _values(value, field)


def _texts(value: Node) -> Iterator[Text]:
    """A text, or the texts of a list."""
    yield from (text for text in (value if isinstance(value, Items) else [value]) if isinstance(text, Text))
