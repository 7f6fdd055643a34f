"""What the words of caps and exclusions mean: fat, rich, parts, species and their groups, kinds, cuts."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from raworder.cuts import Measure, Part, Subject
from raworder.reading.catalogue import Catalogue
from raworder.reading.names import folded

POULTRY = ("chicken", "duck", "goose", "guinea fowl", "ostrich", "pheasant", "pigeon", "quail", "turkey")
"""Birds. Source: common practice, no source."""

OTHER_NAMES: Mapping[str, str] = MappingProxyType({"veal": "beef", "mutton": "lamb"})
"""Names of an animal by its age; caps, exclusions and variety know one species. Source: common practice, no source."""

FISH_KINDS = ("whole fish", "fish fillet", "fish head")


def species_named(name: str) -> str:
    """The species of that name, an animal's name by its age being that of its species: veal is beef.

    >>> species_named("Veal"), species_named("chicken")
    ('beef', 'chicken')
    """
    return OTHER_NAMES.get(folded(name), folded(name))


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
        """Whether the word stands for several things, so that it can be avoided but not capped."""
        return folded(word) in {"poultry", "fish", Measure.WHOLE_BONE}

    def avoided(self, word: str) -> tuple[Subject, ...]:
        """What who avoids the word must not eat; empty when nobody knows it."""
        name = folded(word)
        if name in {Measure.RICH, Measure.WHOLE_BONE}:
            return (Subject(Measure(name), ""),)
        if group := {"poultry": self.species & frozenset(POULTRY), "fish": self.fish}.get(name):
            return tuple(Subject(Measure.SPECIES, one) for one in sorted(group))
        found = self._species(name) or self._part(name) or self._kind(name) or self._cut(name)
        return (found,) if found else ()

    def means_something(self, word: str) -> bool:
        """Whether the word can be avoided, even if nothing sold here is touched by it."""
        return self.is_group(word) or bool(self.avoided(word))

    def known(self) -> tuple[str, ...]:
        """Every word that means something, to suggest from."""
        groups = {"poultry", "fish", Measure.FAT, Measure.RICH, Measure.WHOLE_BONE}
        return tuple(sorted({*groups, *Part, *OTHER_NAMES, *self.species, *self.kinds, *self.catalogue.by_name}))

    def _part(self, name: str) -> Subject | None:
        return Subject(Measure.PART, name) if name in set(Part) else None

    def _species(self, name: str) -> Subject | None:
        species = species_named(name)
        return Subject(Measure.SPECIES, species) if species in self.species else None

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
