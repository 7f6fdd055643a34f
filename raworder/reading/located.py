"""YAML text as a tree in which every scalar, key, list and mapping knows where it stands."""

import re
from collections.abc import Iterable, Mapping
from itertools import count, islice, pairwise
from typing import TYPE_CHECKING, Protocol

from raworder.reading.characters import describe_forbidden, first_forbidden
from raworder.reading.names import normalise_name
from raworder.reading.notes import Notes
from raworder.trade.findings import Place

if TYPE_CHECKING:
    from collections.abc import Iterator

    from yaml import Event


NULLS = frozenset({"", "~", "null", "Null", "NULL"})
"""How YAML's core schema writes "no value"."""


class Text(str):
    """A scalar or a key as written, with its place; `plain` when it stands without quotes."""

    __slots__ = ("place", "plain")

    place: Place
    plain: bool

    @property
    def is_null(self) -> bool:
        """Whether it says that there is no value."""
        return self.plain and self in NULLS


class Items(list["Node"]):
    """A list with its place."""

    def __init__(self, place: Place, entries: Iterable["Node"] = ()) -> None:
        super().__init__(entries)
        self.place = place


class Entries(dict[str, "Node"]):
    """A mapping with its place; it keeps its keys as texts with places of their own."""

    place: Place

    def __init__(self, place: Place, fields: Iterable[tuple[Text, "Node"]] = ()) -> None:
        super().__init__()
        self.place = place
        self._keys: dict[str, Text] = {}
        self._earlier: Mapping[str, str] | None = None
        for key, value in fields:
            self.put(key, value)

    def put(self, key: Text, value: "Node") -> None:
        """Write a field."""
        self[key] = value
        self._keys[key] = key
        self._earlier = None

    def key(self, name: str) -> Text | None:
        """The key of that name as written."""
        return self._keys.get(name)

    def before(self, name: str) -> "Node | None":
        """The value written just before the field of that name, if there is one."""
        if self._earlier is None:  # worked out once, as it may be asked of every field
            self._earlier = {after: before for before, after in pairwise(self)}
        return self.get(self._earlier[name]) if name in self._earlier else None


Node = Text | Items | Entries
Path = tuple[int | str, ...]


def text_at(value: str, place: Place, *, plain: bool = True) -> Text:
    """A text with its place."""
    text = Text(value)
    text.place, text.plain = place, plain
    return text


def child(node: Node, step: int | str) -> Node | None:
    """What stands one step below, if anything does."""
    if isinstance(node, Entries) and isinstance(step, str):
        return node.get(step)
    if isinstance(node, Items) and isinstance(step, int) and step < len(node):
        return node[step]
    return None


def deepest_node(root: Node, path: Path) -> Node:
    """The node at the path, or the last one on the way that is there."""
    node = root
    for step in path:
        below = child(node, step)
        if below is None:
            return node
        node = below
    return node


DEEPEST = 40
"""How many lists and mappings may stand within one another."""

MOST_VALUES, MOST_ENTRIES = 120_000, 12_000
"""How many values, names, lists and mappings a file may hold, and how many entries one of its lists or mappings:
10,000 dogs take 90,000 values. Each takes about 10 us and 500 bytes, whatever it is for, and a mistake in an entry
300 us."""

MOST_STRANGE = 1_000
"""The most lines that are listed in which a character may not stand."""

_CUT_OFF = re.compile(r" (#[^\s#].*)")


class _Mark(Protocol):
    """A place as YAML counts: line and column from 0."""

    @property
    def line(self) -> int:
        """The line, from 0."""

    @property
    def column(self) -> int:
        """The column, from 0."""


class _TreeRefused(Exception):  # noqa: N818 - it is a signal, not an error of ours
    """The tree cannot be read further; why is in the notes."""


def locate(
    text: str, file: str, notes: Notes, noun: str = "a scenario", example: str = "currency: EUR"
) -> Entries | None:
    """The mapping that the text holds, or None when it cannot be read as one; the reasons go to the notes.

    `noun` is what messages call it, `example` a field that it may begin with.
    """
    import yaml

    composer = _Composer(text, file, notes, noun, example)
    if composer.unprintable():
        return None
    try:
        root = composer.document()
    except _TreeRefused:
        return None
    except yaml.YAMLError as error:
        composer.broken(error)
        return None
    return root


class _Composer:
    """Turns YAML's events into nodes with places."""

    def __init__(self, text: str, file: str, notes: Notes, noun: str, example: str) -> None:
        self.text, self.file, self.notes, self.noun, self.example = text, file, notes, noun, example
        self.lines = text.split("\n")
        self.last = max((number for number, line in enumerate(self.lines) if line.strip()), default=0)
        self.events: Iterator[Event] = iter(())
        self.values = 0

    def unprintable(self) -> bool:
        """Whether any character may not stand in a scenario; each line is told once."""
        if first_forbidden(self.text) is None:
            return False
        strange = (
            (number, line, at) for number, line in enumerate(self.lines, 1) if (at := first_forbidden(line)) is not None
        )
        for number, line, at in islice(strange, MOST_STRANGE):
            self._tell_unprintable(line, Place(self.file, number, at + 1))
        for number, _, at in islice(strange, 1):
            message = f"at most {MOST_STRANGE} lines with such characters are listed, and this is one more"
            self._add("too-large", message, Place(self.file, number, at + 1), "take them out, and check the file again")
        return True

    def document(self) -> Entries | None:
        """The one document's mapping."""
        import yaml

        loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
        self.events = yaml.parse(self.text, Loader=loader)
        next(self.events)
        if isinstance(next(self.events), yaml.StreamEndEvent):
            self._empty(Place(self.file, 1, 1))
            return None
        root = self._node(next(self.events), 1)
        next(self.events)
        following = next(self.events)
        if isinstance(following, yaml.DocumentStartEvent):
            self._second_document(following)
        return self._mapping(root)

    def broken(self, error: Exception) -> None:
        """Note what is wrong with the YAML, within the file even where YAML points past its end."""
        mark = getattr(error, "problem_mark", None)
        problem = getattr(error, "problem", None) or "it cannot be read"
        self.notes.add(
            "broken-yaml",
            f"this is not valid YAML: {problem}",
            self._place(mark) if mark else Place(self.file, 1, 1),
            "look at indentation, colons, quotes and brackets here and just above",
        )

    def _mapping(self, root: Node) -> Entries | None:
        if isinstance(root, Entries):
            return root
        if isinstance(root, Text) and root.is_null:
            self._empty(root.place)
        else:
            self._add(
                "wrong-shape",
                f"{self.noun} is a mapping of fields",
                root.place,
                f"begin with a field, such as `{self.example}`",
            )
        return None

    def _node(self, event: "Event", depth: int) -> Node:
        import yaml

        place = self._place(event.start_mark, event.end_mark)
        self.values += 1
        if self.values > MOST_VALUES:
            self._add("too-large", f"the file holds more than {MOST_VALUES} values", place, "split it, or write less")
            raise _TreeRefused
        if depth > DEEPEST:
            self._add("too-deep", f"this is nested more than {DEEPEST} deep", place, "write it flatter")
            raise _TreeRefused
        self._refuse_marks(event, place)
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(event, place)
        return self._items(place, depth) if isinstance(event, yaml.SequenceStartEvent) else self._entries(place, depth)

    def _scalar(self, event: "Event", place: Place) -> Text:
        # A scalar stays text: YAML itself would make something else of `no`, `012` or `1:30`.
        scalar = text_at(getattr(event, "value", ""), place, plain=not getattr(event, "style", None))
        if describe_forbidden(scalar):
            self._tell_unprintable(scalar, place)
        if scalar.plain and event.end_mark is not None:
            self._warn_of_comment(scalar, event.end_mark)
        return scalar

    def _items(self, place: Place, depth: int) -> Items:
        import yaml

        items = Items(place)
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            self._count_entry(len(items), event)
            items.append(self._node(event, depth + 1))
        return items

    def _entries(self, place: Place, depth: int) -> Entries:
        import yaml

        entries = Entries(place)
        written = count()  # a key written again is an entry too
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            self._count_entry(next(written), event)
            key = self._key(event, depth)
            value = self._node(next(self.events), depth + 1)
            self._keep(entries, key, value)
        return entries

    def _count_entry(self, before: int, event: "Event") -> None:
        """Count an entry of a list or mapping, and refuse it once there are too many."""
        if before >= MOST_ENTRIES:
            message = f"a list or mapping may have at most {MOST_ENTRIES} entries, and this one has more"
            place = self._place(event.start_mark, event.end_mark)
            self._add("too-large", message, place, "split the file, or write less")
            raise _TreeRefused

    def _key(self, event: "Event", depth: int) -> Text:
        key = self._node(event, depth + 1)
        if not isinstance(key, Text):
            self._add(
                "wrong-shape",
                "a list or a mapping cannot name a field",
                key.place,
                "write a plain name before the colon",
            )
            raise _TreeRefused
        if key == "<<" and key.plain:
            self._add("merge-key", "`<<` merges are not read", key.place, "write the fields out, or use `all_dogs`")
            raise _TreeRefused
        return text_at(normalise_name(key), key.place, plain=key.plain)

    def _keep(self, entries: Entries, key: Text, value: Node) -> None:
        first = entries.key(key)
        if first is None:
            entries.put(key, value)
            return
        self.notes.add(
            "repeated-key",
            f"`{key}` is written twice",
            key.place,
            "keep one of the two",
            f"first written at {first.place.line}:{first.place.column}",
        )

    def _refuse_marks(self, event: "Event", place: Place) -> None:
        import yaml

        if isinstance(event, yaml.AliasEvent):
            self._add("alias", "`*` aliases are not read", place, "write the value out, or use `all_dogs`")
            raise _TreeRefused
        if getattr(event, "anchor", None) is not None:
            self._add("anchor", "`&` anchors are not read", place, "leave the anchor out, or put the text in quotes")
        if getattr(event, "tag", None) is not None:
            self._add("tag", "`!` tags are not read", place, "leave the tag out, or put the text in quotes")

    def _second_document(self, event: "Event") -> None:
        place = self._place(event.start_mark)
        self._add("second-document", "a second document begins here", place, "put it in a file of its own")

    def _warn_of_comment(self, scalar: Text, end: "_Mark") -> None:
        line = self.lines[end.line] if end.line < len(self.lines) else ""
        if found := _CUT_OFF.fullmatch(line, min(end.column, len(line))):
            place = Place(self.file, end.line + 1, end.column + 2, len(found[1]))
            help_ = f'if it belongs to the value write `"{scalar} {found[1]}"`, else put a space after the `#`'
            self._add("comment-in-value", f"`{found[1]}` is read as a comment", place, help_)

    def _tell_unprintable(self, text: str, place: Place) -> None:
        self._add("control-character", describe_forbidden(text), place, "take it out")

    def _empty(self, place: Place) -> None:
        self._add("empty-file", "the file says nothing", place, f"begin with a field, such as `{self.example}`")

    def _add(self, slug: str, message: str, place: Place, remedy: str) -> None:
        self.notes.add(slug, message, place, remedy)

    def _place(self, start: "_Mark | None", end: "_Mark | None" = None) -> Place:
        """Where YAML's marks point, on one line; what lies past the last line with words is put at its end."""
        if start is None or start.line > self.last:
            return Place(self.file, self.last + 1, len(self.lines[self.last]) + 1)
        width = len(self.lines[start.line])
        column = min(start.column, width)
        stop = end.column if end is not None and end.line == start.line else width
        return Place(self.file, start.line + 1, column + 1, max(stop - column, 1))
