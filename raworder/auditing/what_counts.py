"""What counts: the audit's own table of what each cut counts as, read only from the stored fields of the cut.

The model decides the same on its own (`Subject.share_in` and its neighbours). None of that is called here, so that a
mistake on either side is seen by the other.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction
from types import MappingProxyType
from typing import TypeVar

from raworder.trade.cuts import FREEZE_FIRST, GROUND, PLANT, Cut, Measure, Part, Subject
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import Per
from raworder.trade.scenario import Offer, OnHand, Scenario

Key = TypeVar("Key", str, Subject)

ALL_OF_IT = Fraction(1)
FAT, RICH, WHOLE_BONE, THIAMINASE = (
    Subject(measure, "") for measure in (Measure.FAT, Measure.RICH, Measure.WHOLE_BONE, Measure.THIAMINASE)
)

DESTROYERS: Mapping[str, str] = MappingProxyType({"thiaminase-fish": "thiamin"})
"""The nutrient that cuts with a caution destroy. Source: the table of cautions."""


@dataclass(frozen=True, slots=True)
class CutEntry:
    """What is known of one cut.

    `counts` is the share of its weight that counts, by subject: a species of unknown share counts in full, and all of a
    mixed product counts as the kind and the name of each ingredient. `for_sure` is the share that is certainly of a
    species. `holds` are the subjects of which there is any in it. `fed_piece_g` is set where it is fed in whole pieces.
    `known` is what 100 g of it are known to hold, and `spoils` are the nutrients that it can destroy, in itself and in
    food that lies with it.
    """

    counts: Mapping[Subject, Fraction]
    for_sure: Mapping[str, Fraction]
    holds: frozenset[Subject]
    fed_piece_g: int | None
    known: Mapping[str, Fraction]
    spoils: frozenset[str]


CutTable = Mapping[str, CutEntry]


def cut_table(scenario: Scenario) -> CutTable:
    """The entry of every cut, by its name."""
    return {cut.name: cut_entry(cut, scenario.portioning.divided) for cut in scenario.cuts}


def cut_entry(cut: Cut, divided: frozenset[str] = frozenset()) -> CutEntry:
    """The entry of one cut; cuts named in `divided` need not stay whole."""
    stays_whole = _has_whole_bone(cut) and cut.name not in divided
    return CutEntry(
        counts=_counts(cut),
        for_sure=_sum_by_key(
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


def forbidden(dog: Dog, table: CutTable) -> Iterator[str]:
    """The cuts that the dog must not eat, as they hold something that it avoids."""
    avoided = frozenset(dog.avoid)
    return (cut for cut, entry in table.items() if not avoided.isdisjoint(entry.holds))


def cuts_of_unknown_energy(dog: Dog, scenario: Scenario) -> frozenset[str]:
    """The cuts of unknown energy, where the dog's ration or one of its rules counts energy; otherwise none."""
    if dog.energy is None and all(limit.per is not Per.MCAL for limit in dog.nutrient_limits):
        return frozenset()
    known = {cut.name for cut in scenario.cuts if any(key == "energy" for key, _ in cut.analysis.values)}
    return frozenset(cut.name for cut in scenario.cuts) - known


def destroyers(dog: Dog, table: CutTable) -> frozenset[str]:
    """The cuts that destroy a nutrient that one of the dog's rules needs; they are not fed to it."""
    return frozenset(cut for cut, entry in table.items() if any(key in entry.spoils for key in nutrients_needed(dog)))


def nutrients_needed(dog: Dog) -> Iterator[str]:
    """The nutrients without which one of the dog's rules on a minimum, or on the maximum of a ratio, fails."""
    for limit in dog.nutrient_limits:
        if limit.low is not None and limit.low > 0:
            yield limit.nutrient
    for ratio in dog.ratio_limits:
        if ratio.low is not None and ratio.low > 0:
            yield ratio.over
        if ratio.high is not None:
            yield ratio.under


def days_frozen(scenario: Scenario, food: Offer | OnHand) -> int:
    """The days that food will have been frozen when bags are filled: bought food is held, unknown days do not count."""
    filled_on = scenario.portioning.day or scenario.batch.starts - timedelta(days=1)
    days = [0, (filled_on - food.frozen_on).days] if food.frozen_on else [0]
    if isinstance(food, Offer):
        return max(*days, food.frozen_days) + (scenario.hold_days or 0)
    return max(days)


def days_to_freeze(scenario: Scenario) -> Mapping[str, int]:
    """The days that each cut must be frozen before it is fed, for those that must; none where the rule is off."""
    if scenario.hold_days is None:
        return {}
    marks = {cut.name: {mark for inner in with_ingredients(cut) for mark in inner.cautions} for cut in scenario.cuts}
    asked = {name: [FREEZE_FIRST[mark].days for mark in found if mark in FREEZE_FIRST] for name, found in marks.items()}
    return {name: max(days) for name, days in asked.items() if days}


def animal_species(scenario: Scenario) -> tuple[str, ...]:
    """Every animal species that some cut is of, or may be of, in alphabetical order."""
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
    """The share of the cut's weight that counts, by subject."""
    parts = ((Subject(Measure.PART, part), share) for part, share in cut.parts)
    species = (
        (
            Subject(Measure.SPECIES, species_share.species),
            ALL_OF_IT if species_share.share is None else species_share.share,
        )
        for species_share in cut.species
    )
    whole = {subject: ALL_OF_IT for cut in with_ingredients(cut) for subject in _own_subjects(cut)}
    whole |= dict.fromkeys(_subjects_of_the_whole(cut), ALL_OF_IT)
    return {FAT: cut.fat_share} | _sum_by_key(parts) | _sum_by_key(species) | whole


def _own_subjects(cut: Cut) -> Iterator[Subject]:
    """The subjects that name the cut itself: its kind, its name, and the enzyme if it holds it."""
    yield Subject(Measure.KIND, cut.kind)
    yield Subject(Measure.CUT, cut.name)
    if not DESTROYERS.keys().isdisjoint(cut.cautions):
        yield THIAMINASE


def _holds(cut: Cut) -> frozenset[Subject]:
    """The subjects of which there is any in the cut or in an ingredient.

    An ingredient's bone is no longer whole, and a mix is rich or not by its own word.
    """
    subjects = {subject for cut in with_ingredients(cut) for subject, share in _counts(cut).items() if share > 0}
    return frozenset((subjects - {WHOLE_BONE, RICH}).union(_subjects_of_the_whole(cut)))


def _subjects_of_the_whole(cut: Cut) -> Iterator[Subject]:
    """The subjects that are asked of a product as it is, whatever was mixed into it."""
    if _has_whole_bone(cut):
        yield WHOLE_BONE
    if cut.rich:
        yield RICH


def _has_whole_bone(cut: Cut) -> bool:
    """Whether it has bone that is not ground."""
    bone = sum((share for part, share in cut.parts if part == Part.BONE), Fraction(0))
    return bone > 0 and cut.kind != GROUND


def with_ingredients(cut: Cut) -> Iterator[Cut]:
    """The cut, its ingredients, and theirs in turn."""
    yield cut
    for ingredient in cut.ingredients:
        yield from with_ingredients(ingredient)


def _sum_by_key(shares: Iterator[tuple[Key, Fraction]]) -> dict[Key, Fraction]:
    """The shares added up by key."""
    sums: defaultdict[Key, Fraction] = defaultdict(Fraction)
    for key, share in shares:
        sums[key] += share
    return dict(sums)
