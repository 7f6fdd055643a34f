"""The scenario as a tree of text: every scalar, key, list and mapping knows where it stands."""

from collections.abc import Iterable, Mapping
from itertools import pairwise

from raworder.findings import Place

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


def deepest(root: Node, path: Path) -> Node:
    """The node at the path, or the last one on the way that is there."""
    node = root
    for step in path:
        below = child(node, step)
        if below is None:
            return node
        node = below
    return node
