"""Every cut that can be named, what the words of caps and exclusions mean, and what to do about an unknown one."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType

from raworder.reading.names import did_you_mean, fold_name, fold_words, singulars
from raworder.reading.reference import ReferenceCut
from raworder.trade.cuts import Cut, Measure, Part, Subject


@dataclass(frozen=True)  # no slots: what is gathered from all cuts is gathered once and kept
class Catalogue:
    """Cuts by every name they are known by, names folded, and the rows of the reference table by the cut's own name."""

    by_name: Mapping[str, Cut]
    rows: Mapping[str, ReferenceCut] = field(default_factory=dict)

    def find(self, name: str) -> Cut | None:
        """The cut of that name, whatever its case; never one of a merely similar name."""
        return self.by_name.get(fold_name(name))

    @cached_property
    def cuts(self) -> tuple[Cut, ...]:
        """Each cut once; told apart by name, as comparing mixes goes through all that is in them."""
        return tuple({cut.name: cut for cut in self.by_name.values()}.values())

    @cached_property
    def species(self) -> frozenset[str]:
        """The species of all cuts."""
        return frozenset(name for cut in self.cuts for name in cut.species_names)

    @cached_property
    def names_by_words(self) -> Mapping[tuple[str, ...], tuple[str, ...]]:
        """The cuts by the plain words of each of their names."""
        by_words: dict[tuple[str, ...], tuple[str, ...]] = {}
        for name, cut in self.by_name.items():
            by_words[fold_words(name)] = (*by_words.get(fold_words(name), ()), cut.name)
        return MappingProxyType(by_words)

    def with_cuts(self, cuts: Iterable[Cut]) -> "Catalogue":
        """The catalogue with more cuts in it."""
        by_name = MappingProxyType({**self.by_name, **{fold_name(cut.name): cut for cut in cuts}})
        return Catalogue(by_name, self.rows)


def reference_catalogue(rows: Sequence[ReferenceCut]) -> Catalogue:
    """The catalogue of the reference table."""
    named = {fold_name(name): row.cut for row in rows for name in (row.cut.name, *row.also_called)}
    return Catalogue(MappingProxyType(named), MappingProxyType({row.cut.name: row for row in rows}))


POULTRY = ("chicken", "duck", "goose", "guinea fowl", "ostrich", "pheasant", "pigeon", "quail", "turkey")
"""Birds. Source: common practice, no source."""

OTHER_NAMES: Mapping[str, str] = MappingProxyType(
    {"veal": "beef", "mutton": "lamb"}
    | dict.fromkeys(("deer", "fallow deer", "red deer", "roe deer", "sika deer"), "venison")
)
"""Names of an animal by its age, or alive; caps, exclusions and variety know one species.

Source: common practice, no source.
"""

FISH_KINDS = ("whole fish", "fish fillet", "fish head")


def find_species(name: str) -> str:
    """The species of that name, an animal's name by its age being that of its species: veal is beef.

    >>> find_species("Veal"), find_species("chicken")
    ('beef', 'chicken')
    """
    return OTHER_NAMES.get(fold_name(name), fold_name(name))


@dataclass(frozen=True, slots=True)
class Words:
    """The words known to one scenario."""

    species: frozenset[str]
    kinds: frozenset[str]
    fish: frozenset[str]
    catalogue: Catalogue

    def capped(self, word: str) -> Subject | None:
        """What a cap on the word limits; None for an unknown word or a group that cannot be capped."""
        name = fold_name(word)
        if name == Measure.FAT:
            return Subject(Measure.FAT, "")
        if name in {Measure.RICH, Measure.THIAMINASE}:
            return Subject(Measure(name), "")
        return self._part(name) or self._species(name) or self._kind(name) or self._cut(name)

    def is_group(self, word: str) -> bool:
        """Whether the word stands for several things, so that it can be avoided but not capped."""
        return fold_name(word) in {"poultry", "fish", Measure.WHOLE_BONE}

    def avoided(self, word: str) -> tuple[Subject, ...]:
        """The cuts that a dog avoiding this word must not eat; empty for an unknown word."""
        name = fold_name(word)
        if name in {Measure.RICH, Measure.WHOLE_BONE, Measure.THIAMINASE}:
            return (Subject(Measure(name), ""),)
        if group := {"poultry": self.species & frozenset(POULTRY), "fish": self.fish}.get(name):
            return tuple(Subject(Measure.SPECIES, name) for name in sorted(group))
        found = self._species(name) or self._part(name) or self._kind(name) or self._cut(name)
        return (found,) if found else ()

    def means_something(self, word: str) -> bool:
        """Whether the word can be avoided, even if nothing sold here is touched by it."""
        return self.is_group(word) or bool(self.avoided(word))

    def known(self) -> tuple[str, ...]:
        """Every word that means something, to suggest from."""
        groups = {"poultry", "fish", Measure.FAT, Measure.RICH, Measure.WHOLE_BONE, Measure.THIAMINASE}
        return tuple(sorted({*groups, *Part, *OTHER_NAMES, *self.species, *self.kinds, *self.catalogue.by_name}))

    def _part(self, name: str) -> Subject | None:
        return Subject(Measure.PART, name) if name in set(Part) else None

    def _species(self, name: str) -> Subject | None:
        species = find_species(name)
        return Subject(Measure.SPECIES, species) if species in self.species else None

    def _kind(self, name: str) -> Subject | None:
        return Subject(Measure.KIND, name) if name in self.kinds else None

    def _cut(self, name: str) -> Subject | None:
        cut = self.catalogue.find(name)
        return Subject(Measure.CUT, cut.name) if cut else None


def catalogue_words(catalogue: Catalogue) -> Words:
    """The words that have a meaning in a catalogue."""
    cuts = catalogue.cuts
    species = frozenset(name for cut in cuts for name in cut.species_names)
    fish = frozenset(name for cut in cuts if cut.kind in FISH_KINDS for name in cut.species_names)
    return Words(species, frozenset(cut.kind for cut in cuts), fish, catalogue)


VARIANT = re.compile(r"(?P<plain>.+) \((?P<stated>[^()]+)\)")
"""A cut's name with what an offer states of it, as it stands on the papers: `chicken neck (bone 28 %)`."""


def help_for_unknown_cut(name: str, catalogue: Catalogue, otherwise: str, more: Iterable[str] = ()) -> str:
    """One remedy: the singular, a cut of that species or kind, what the papers call so, the nearest name, or else."""
    for word in (fold_name(name), *singulars(fold_name(name))):
        if word in catalogue.by_name:
            return f"did you mean `{word}`?"
        if example := _example(word, catalogue):
            return f"name the cut, such as `{example}`; `raworder cuts {_looked_up(word, catalogue)}` lists them"
    return _written_out(name, catalogue) or did_you_mean(name, {*catalogue.by_name, *more}, otherwise)


def _example(word: str, catalogue: Catalogue) -> str:
    """A cut of the species or kind of that name, plain meat rather than offal; nothing where it names neither."""
    words, species = catalogue_words(catalogue), find_species(word)
    if species not in words.species | words.kinds:
        return ""
    cuts = [cut for cut in catalogue.cuts if species in cut.species_names or cut.kind == species]
    called = [cut.name for cut in cuts if cut.name.startswith(f"{word} ")] or [cut.name for cut in cuts]
    return min(called, key=lambda name: (not name.endswith(" trim"), not name.endswith(" mince"), name))


def _looked_up(word: str, catalogue: Catalogue) -> str:
    """The word as the command line finds cuts by it, in quotes where it is two."""
    found = any(name.startswith(f"{word} ") for name in catalogue.by_name)
    called = word if found else find_species(word)
    return f'"{called}"' if " " in called else called


def _written_out(name: str, catalogue: Catalogue) -> str:
    """How to write what the papers call `chicken neck (bone 28 %, rich)`; nothing where it is no such name."""
    match = VARIANT.fullmatch(fold_name(name))
    if match is None or match["plain"] not in catalogue.by_name:
        return ""
    fields = [_field(part.strip()) for part in match["stated"].split(",")]
    return f"write `{{cut: {match['plain']}, {', '.join(fields)}}}`"


def _field(stated: str) -> str:
    """A field from what a name states: `bone: 28 %` from `bone 28 %`, `rich: no` from `not rich`."""
    if stated.endswith("rich"):
        return "rich: no" if stated.startswith("not") else "rich: yes"
    return stated.replace(" ", ": ", 1)
