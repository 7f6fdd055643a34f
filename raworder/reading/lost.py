"""Names in what was taken out for another error: looked up all the same, so that one run tells everything."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from raworder.reading.caps import note_unknown_word
from raworder.reading.given import Given
from raworder.reading.names import folded
from raworder.reading.offers import note_unknown_cut
from raworder.reading.text import Entries, Items, Node, Text


def note_names(removed: Iterable[tuple[str, Node]], given: Given) -> None:
    """Note cuts that nobody knows or that are toxic, and words that mean nothing, in what was taken out."""
    taken = tuple(removed)
    own = frozenset(folded(name) for field, node in taken if field == "own_cuts" for name in _values(node, "cut"))
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
    yield from (one for one in (value if isinstance(value, Items) else [value]) if isinstance(one, Text))
