"""Every cut that can be named: those of the reference table and the user's own."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType

from raworder.cuts import Cut
from raworder.reading.names import folded
from raworder.reading.reference import ReferenceCut


@dataclass(frozen=True)  # no slots: what is gathered from all cuts is gathered once and kept
class Catalogue:
    """Cuts by every name they are known by, names folded, and their NDB numbers by the cut's own name."""

    by_name: Mapping[str, Cut]
    ndb_numbers: Mapping[str, str] = field(default_factory=dict)

    def find(self, name: str) -> Cut | None:
        """The cut of that name, whatever its case; never one of a merely similar name."""
        return self.by_name.get(folded(name))

    @cached_property
    def cuts(self) -> tuple[Cut, ...]:
        """Each cut once; told apart by name, as comparing mixes goes through all that is in them."""
        return tuple({cut.name: cut for cut in self.by_name.values()}.values())

    def cautions_of(self, species: str) -> frozenset[str]:
        """What is minded with every cut of a species, whatever it is on the animal."""
        return self._cautions.get(species, frozenset())

    @cached_property
    def species(self) -> frozenset[str]:
        """The species of all cuts."""
        return frozenset(name for cut in self.cuts for name in cut.species_names)

    @cached_property
    def _cautions(self) -> dict[str, frozenset[str]]:
        found: dict[str, frozenset[str]] = {}
        for cut in self.cuts:
            if len(cut.species_names) == 1:
                (species,) = cut.species_names
                found[species] = found.get(species, frozenset(cut.cautions)) & frozenset(cut.cautions)
        return found

    def with_cuts(self, cuts: Iterable[Cut]) -> "Catalogue":
        """The catalogue with more cuts in it."""
        by_name = MappingProxyType({**self.by_name, **{folded(cut.name): cut for cut in cuts}})
        return Catalogue(by_name, self.ndb_numbers)


def reference_catalogue(rows: Sequence[ReferenceCut]) -> Catalogue:
    """The catalogue of the reference table."""
    named = {folded(name): row.cut for row in rows for name in (row.cut.name, *row.also_called)}
    return Catalogue(MappingProxyType(named), MappingProxyType({row.cut.name: row.ndb_no for row in rows}))
