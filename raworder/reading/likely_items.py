"""The items of a long list that nobody has named yet, sorted by what their names say: few are to be asked about."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from raworder.reading.catalogue import Catalogue
from raworder.reading.list_words import FILLERS, UNIT_WORDS
from raworder.reading.names import fold_name
from raworder.reading.suggestions import likely_cuts, name_meaning
from raworder.trade.supplier_list import ListRow, Match

LEAST_IN_GROUP = 3
"""The items that a group or a word has at least to be asked about as one (own choice)."""


@dataclass(frozen=True, slots=True)
class LikelyItem:
    """An item with the cuts of ours that it may be, the likeliest first."""

    row: ListRow
    alike: tuple[str, ...]

    @property
    def is_likely(self) -> bool:
        """Whether it looks like a cut of ours, or has a code that was something else before."""
        return bool(self.alike) or self.row.match is Match.RENAMED


@dataclass(frozen=True)  # no slots: counts are made once
class SortedItems:
    """Items without an answer: the likely ones, best first; the rest by group, by telling word, or by neither.

    A group stands here where nothing in it is likely. An item stands in one place only.
    """

    likely: tuple[LikelyItem, ...]
    groups: Mapping[str, tuple[ListRow, ...]]
    words: Mapping[str, tuple[ListRow, ...]]
    rest: tuple[ListRow, ...]

    @cached_property
    def count(self) -> int:
        """How many items there are."""
        return len(self.likely) + len(self.rest) + sum(map(len, (*self.groups.values(), *self.words.values())))

    def likely_by_species(self, catalogue: Catalogue) -> Mapping[str, int]:
        """How many of the likely items look like a cut of each species, the most first."""
        cuts = (catalogue.find(item.alike[0]) for item in self.likely if item.alike)
        return dict(Counter(cut.species_names[0] for cut in cuts if cut).most_common())


def sort_items(rows: Iterable[ListRow], catalogue: Catalogue) -> SortedItems:
    """The items that nobody has named, each name once, sorted by what their names say."""
    items = {fold_name(row.name): row for row in rows if row.name and row.match in {Match.NEW, Match.RENAMED}}
    found = [LikelyItem(row, likely_cuts(row.name, catalogue)) for row in items.values()]
    likely = sorted((item for item in found if item.is_likely), key=_unlikeliness)
    left = [item.row for item in found if not item.is_likely]
    with_likely = {item.row.group for item in likely} | {row.group for row in items.values() if not row.group}
    groups = _large(left, lambda row: "" if row.group in with_likely else row.group)
    left = [row for row in left if row.group not in groups]
    words = _large(left, lambda row: name_meaning(row.name).not_for_dogs)
    rest = [row for row in left if name_meaning(row.name).not_for_dogs not in words]
    return SortedItems(tuple(likely), groups, words, tuple(rest))


def _large(rows: Sequence[ListRow], key: Callable[[ListRow], str]) -> Mapping[str, tuple[ListRow, ...]]:
    """The rows by a word, the most first; words of few rows, and rows without one, are left out."""
    by_word: dict[str, list[ListRow]] = {}
    for row in rows:
        if word := key(row):
            by_word.setdefault(word, []).append(row)
    largest = sorted(by_word, key=lambda word: -len(by_word[word]))
    return {word: tuple(by_word[word]) for word in largest if len(by_word[word]) >= LEAST_IN_GROUP}


def _unlikeliness(item: LikelyItem) -> tuple[bool, int, int, int]:
    """What puts an item behind others: words that nobody knows, and no part or a vague one; then its line."""
    said = name_meaning(item.row.name)
    strange = [word for word in said.strange if word not in FILLERS and word not in UNIT_WORDS]
    return item.row.match is not Match.RENAMED, len(strange), -said.kind_weight, item.row.line
