"""What the words of caps and exclusions mean: fat, rich, parts, species and their groups, kinds, cuts."""

from collections.abc import Iterable
from dataclasses import dataclass

from raworder.cuts import Cut, Measure, Part, Subject
from raworder.reading.catalogue import Catalogue
from raworder.reading.names import folded

POULTRY = ("chicken", "duck", "goose", "guinea fowl", "ostrich", "pheasant", "pigeon", "quail", "turkey")
"""Birds. Source: common practice, no source."""

SAME_ANIMAL = (("beef", "veal"), ("lamb", "mutton"))
"""Names of one animal's meat: who must not eat the one must not eat the other. Source: the trade's words, no source."""

FISH_KINDS = ("whole fish", "fish fillet", "fish head")
GROUND = "mince"
WHOLE_BONE = "whole bone"


@dataclass(frozen=True, slots=True)
class Words:
    """The words known to one scenario."""

    species: frozenset[str]
    kinds: frozenset[str]
    fish: frozenset[str]
    catalogue: Catalogue

    def capped(self, word: str) -> Subject | None:
        """What a cap on the word limits; None when nobody knows it or it is a group that cannot be limited as one."""
        name = folded(word)
        if name == Measure.FAT:
            return Subject(Measure.FAT, "")
        if name == Measure.RICH:
            return Subject(Measure.RICH, "")
        return self._part(name) or self._species(name) or self._kind(name) or self._cut(name)

    def is_group(self, word: str) -> bool:
        """Whether the word stands for several species, so that it can be avoided but not capped."""
        return folded(word) in {"poultry", "fish", WHOLE_BONE}

    def avoided(self, word: str) -> tuple[Subject, ...]:
        """What who avoids the word must not eat; empty when nobody knows it."""
        name = folded(word)
        if name == Measure.RICH:
            return (Subject(Measure.RICH, ""),)
        if group := self._group(name):
            return tuple(Subject(Measure.SPECIES, one) for one in sorted(group))
        found = self._part(name) or self._kind(name) or self._cut(name)
        return (found,) if found else ()

    def means_something(self, word: str) -> bool:
        """Whether the word can be avoided, even if nothing sold here is touched by it."""
        return self.is_group(word) or bool(self.avoided(word))

    def known(self) -> tuple[str, ...]:
        """Every word that means something, to suggest from."""
        groups = {"poultry", "fish", WHOLE_BONE, Measure.FAT, Measure.RICH}
        return tuple(sorted({*groups, *Part, *self.species, *self.kinds, *self.catalogue.by_name}))

    def _group(self, name: str) -> frozenset[str]:
        """The species that a name stands for: itself with other names of its animal, or all of a group."""
        groups = {"poultry": self.species & frozenset(POULTRY), "fish": self.fish}
        if name in groups:
            return groups[name]
        same = next((animal for animal in SAME_ANIMAL if name in animal), (name,))
        return frozenset(same) if name in self.species else frozenset()

    def _part(self, name: str) -> Subject | None:
        return Subject(Measure.PART, name) if name in set(Part) else None

    def _species(self, name: str) -> Subject | None:
        return Subject(Measure.SPECIES, name) if name in self.species else None

    def _kind(self, name: str) -> Subject | None:
        return Subject(Measure.KIND, name) if name in self.kinds else None

    def _cut(self, name: str) -> Subject | None:
        cut = self.catalogue.find(name)
        return Subject(Measure.CUT, cut.name) if cut else None


def words_of(catalogue: Catalogue) -> Words:
    """The words that a catalogue gives a meaning."""
    cuts = catalogue.cuts
    species = frozenset(name for cut in cuts for name in cut.species_names)
    fish = frozenset(name for cut in cuts if cut.kind in FISH_KINDS for name in cut.species_names)
    return Words(species, frozenset(cut.kind for cut in cuts), fish, catalogue)


def with_whole_bone(cuts: Iterable[Cut]) -> tuple[Subject, ...]:
    """The cuts that hold bone which is not ground; only mince counts as ground."""
    return tuple(Subject(Measure.CUT, cut.name) for cut in cuts if cut.part_share(Part.BONE) and cut.kind != GROUND)
