"""What counts: the audit's own table of what each cut counts as, read from what is stored of the cut and nothing else.

The model decides the same by itself (`Subject.share_in` and what stands beside it). Nothing of that is called here, so
that a mistake on either side is seen by the other.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import TypeVar

from raworder.trade.cuts import GROUND, PLANT, Cut, Measure, Part, Subject
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import Per
from raworder.trade.scenario import Scenario

Key = TypeVar("Key", str, Subject)

ALL_OF_IT = Fraction(1)
FAT, RICH, WHOLE_BONE = (Subject(measure, "") for measure in (Measure.FAT, Measure.RICH, Measure.WHOLE_BONE))

DESTROYERS: Mapping[str, str] = MappingProxyType({"thiaminase-fish": "thiamin"})
"""What cuts with a caution destroy. Source: the table of cautions."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What is known of one cut.

    `counts` is how much of its weight counts as what; a species of unknown share counts as all of it, and in a mixed
    product all of it is of the kind, and called by the name, of each ingredient. `for_sure` is how much is of a species
    whatever the mixture. `holds` is what a dog that must not eat it has to be spared. `fed_piece_g` is set where it
    is fed in whole pieces. `known` is what 100 g of it are known to hold, `spoils` are the nutrients of which nobody
    knows how much is left in food that it lies with.
    """

    counts: Mapping[Subject, Fraction]
    for_sure: Mapping[str, Fraction]
    holds: frozenset[Subject]
    fed_piece_g: int | None
    known: Mapping[str, Fraction]
    spoils: frozenset[str]


Table = Mapping[str, Entry]


def table_of(scenario: Scenario) -> Table:
    """The entry of every cut, by its name."""
    return {cut.name: entry(cut, scenario.portioning.divided) for cut in scenario.cuts}


def entry(cut: Cut, divided: frozenset[str] = frozenset()) -> Entry:
    """The entry of one cut; those that are `divided` need not stay whole."""
    stays_whole = _has_whole_bone(cut) and cut.name not in divided
    return Entry(
        counts=_counts(cut),
        for_sure=_added_up(
            (species_share.species, species_share.share)
            for species_share in cut.species
            if species_share.share is not None
        ),
        holds=_holds(cut),
        fed_piece_g=cut.piece_g if stays_whole else None,
        known=dict(cut.analysis.values),
        spoils=frozenset(
            DESTROYERS[mark] for cut in with_ingredients(cut) for mark in cut.cautions if mark in DESTROYERS
        ),
    )


def forbidden(dog: Dog, table: Table) -> Iterator[str]:
    """The cuts that the dog must not eat, as they hold something that it is to be spared."""
    spared = frozenset(dog.avoid)
    return (cut for cut, entry in table.items() if not spared.isdisjoint(entry.holds))


def of_unknown_energy(dog: Dog, scenario: Scenario) -> frozenset[str]:
    """The cuts whose energy nobody knows, where the dog's ration or one of its rules counts energy; else none."""
    if dog.energy is None and all(limit.per is not Per.MCAL for limit in dog.nutrient_limits):
        return frozenset()
    known = {cut.name for cut in scenario.cuts if any(key == "energy" for key, _ in cut.analysis.values)}
    return frozenset(cut.name for cut in scenario.cuts) - known


def destroyers(dog: Dog, table: Table) -> frozenset[str]:
    """The cuts that destroy something of which a rule of the dog asks for a least; they are no food for it."""
    return frozenset(cut for cut, entry in table.items() if any(key in entry.spoils for key in must_be_sure(dog)))


def must_be_sure(dog: Dog) -> Iterator[str]:
    """The nutrients that a rule of the dog is missed without: for a least, or as what most of another goes with."""
    for limit in dog.nutrient_limits:
        if limit.low is not None and limit.low > 0:
            yield limit.nutrient
    for ratio in dog.ratio_limits:
        if ratio.low is not None and ratio.low > 0:
            yield ratio.over
        if ratio.high is not None:
            yield ratio.under


def animal_species(scenario: Scenario) -> tuple[str, ...]:
    """Every species that some cut is of, or may be of, in order of the alphabet; plants are none."""
    return tuple(
        sorted(
            {
                species_share.species
                for cut in scenario.cuts
                for species_share in cut.species
                if species_share.species != PLANT
            }
        )
    )


def _counts(cut: Cut) -> Mapping[Subject, Fraction]:
    """How much of the cut's weight counts as what."""
    parts = ((Subject(Measure.PART, part), share) for part, share in cut.parts)
    species = (
        (
            Subject(Measure.SPECIES, species_share.species),
            ALL_OF_IT if species_share.share is None else species_share.share,
        )
        for species_share in cut.species
    )
    whole = {subject: ALL_OF_IT for cut in with_ingredients(cut) for subject in _called(cut)}
    bone = {WHOLE_BONE: ALL_OF_IT} if _has_whole_bone(cut) else {}
    return {FAT: cut.fat_share} | _added_up(parts) | _added_up(species) | whole | bone


def _called(cut: Cut) -> Iterator[Subject]:
    """What the cut is called, apart from any mixed product that it is in."""
    yield Subject(Measure.KIND, cut.kind)
    yield Subject(Measure.CUT, cut.name)
    if cut.rich:
        yield RICH


def _holds(cut: Cut) -> frozenset[Subject]:
    """Everything of which there is any in the cut or in an ingredient; an ingredient's bone is no longer whole."""
    found = {subject for cut in with_ingredients(cut) for subject, share in _counts(cut).items() if share > 0}
    bone = {WHOLE_BONE} if _has_whole_bone(cut) else set()
    return frozenset((found - {WHOLE_BONE}) | bone)


def _has_whole_bone(cut: Cut) -> bool:
    """Whether there is bone in it that no mincer has ground."""
    bone = sum((share for part, share in cut.parts if part == Part.BONE), Fraction(0))
    return bone > 0 and cut.kind != GROUND


def with_ingredients(cut: Cut) -> Iterator[Cut]:
    """The cut and all that is in it, at any depth."""
    yield cut
    for ingredient in cut.ingredients:
        yield from with_ingredients(ingredient)


def _added_up(shares: Iterator[tuple[Key, Fraction]]) -> dict[Key, Fraction]:
    """The shares by key, those of one key added up."""
    sums: defaultdict[Key, Fraction] = defaultdict(Fraction)
    for key, share in shares:
        sums[key] += share
    return dict(sums)
