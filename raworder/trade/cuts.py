"""Cuts: what can be bought, what it is made of, and what a cap or an exclusion can be about.

Shares are fractions of one and of the weight as bought; grams are whole.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType

from raworder.trade.nutrients import DESTROYED_BY, Analysis

PLANT = "plant"
"""The species of vegetables and berries; variety counts animal species only."""


GROUND = "mince"
"""The kind of a cut in which bone is ground."""


class Part(StrEnum):
    """What a ration is made of."""

    MUSCLE = "muscle"
    BONE = "bone"
    LIVER = "liver"
    OTHER_ORGAN = "other organ"
    VEGETABLES = "vegetables"
    BERRIES = "berries"


class Measure(StrEnum):
    """What a cap or an exclusion can be about."""

    FAT = "fat"
    RICH = "rich"
    PART = "part"
    SPECIES = "species"
    KIND = "kind"
    CUT = "cut"
    WHOLE_BONE = "whole bone"
    THIAMINASE = "thiaminase"


@dataclass(frozen=True, slots=True)
class SpeciesShare:
    """A species in a cut; `share` is None where a mixed product does not say how much."""

    species: str
    share: Fraction | None


@dataclass(frozen=True, slots=True)
class Cut:
    """Something that can be bought: its species, its parts and fat as shares of its weight as bought.

    `parts` add up to one. `kind` is what it is on the animal (`heart`, `neck`); `ingredients` are the cuts in a mixed
    product; `piece_g` is the usual weight of one piece; `cautions` are keys of the caution table. `analysis` is what is
    known of 100 g of it as bought. `bone_range` is the least and the most share of bone where the table doubts its own.
    """

    name: str
    species: tuple[SpeciesShare, ...]
    kind: str
    parts: tuple[tuple[Part, Fraction], ...]
    fat_share: Fraction
    rich: bool = False
    piece_g: int | None = None
    ingredients: tuple["Cut", ...] = ()
    cautions: tuple[str, ...] = ()
    source: str = ""
    analysis: Analysis = Analysis()  # noqa: RUF009 - it is frozen
    bone_range: tuple[Fraction, Fraction] | None = None

    @property
    def bone_ends(self) -> tuple[Fraction, Fraction]:
        """The least and the most share of bone that it may have; equal where nobody doubts the share."""
        share = self.part_share(Part.BONE)
        return self.bone_range or (share, share)

    @property
    def kcal_per_g(self) -> Fraction | None:
        """Metabolizable energy in a gram as bought; None where it is not known."""
        kcal = self.analysis.of("energy")
        return None if kcal is None else kcal / 100

    @property
    def destroys(self) -> tuple[str, ...]:
        """The nutrients that an enzyme in the cut can destroy, in the cut itself and in food that lies with it."""
        return tuple(key for key, caution in DESTROYED_BY.items() if caution in self.cautions)

    def part_share(self, part: Part) -> Fraction:
        """The share of a part in the weight as bought."""
        return dict(self.parts).get(part, Fraction(0))

    def known_share_of(self, species: str) -> Fraction:
        """The share of a species in the weight; 0 where a mixed product does not say how much."""
        return sum(
            (species_share.share or Fraction(0) for species_share in self.species if species_share.species == species),
            Fraction(0),
        )

    @property
    def species_names(self) -> tuple[str, ...]:
        """The species in it."""
        return tuple(share.species for share in self.species)


@dataclass(frozen=True, slots=True)
class Subject:
    """What a cap limits or an exclusion forbids, such as `Subject(Measure.SPECIES, "chicken")`.

    `word` is empty for fat, rich, whole bone and thiaminase, an enzyme of some fish that destroys thiamine.
    """

    measure: Measure
    word: str

    def share_in(self, cut: Cut) -> Fraction:
        """The share of the cut's weight that counts; a species of unknown share in a mixed product counts in full."""
        match self.measure:
            case Measure.FAT:
                return cut.fat_share
            case Measure.PART:
                return cut.part_share(Part(self.word))
            case Measure.SPECIES:
                shares = [species_share.share for species_share in cut.species if species_share.species == self.word]
                # the product does not say how much: a cap and an exclusion must hold for the worst case
                return sum((Fraction(1) if share is None else share for share in shares), Fraction(0))
            case Measure.WHOLE_BONE:
                return Fraction(cut.part_share(Part.BONE) > 0 and cut.kind != GROUND)
            case _:
                return Fraction(self._names(cut) or any(self._names(cut) for cut in cut.ingredients))

    def touches(self, cut: Cut) -> bool:
        """Whether any of it is in the cut or in an ingredient; ground bone does not count as whole bone."""
        # whole bone is asked of the product alone: an ingredient's bone was ground when it was mixed
        looks_inside = self.measure is not Measure.WHOLE_BONE
        return self.share_in(cut) > 0 or (looks_inside and any(self.touches(cut) for cut in cut.ingredients))

    def _names(self, cut: Cut) -> bool:
        """Whether the cut itself is of this kind, this name, rich, or holds the enzyme."""
        match self.measure:
            case Measure.RICH:
                return cut.rich
            case Measure.THIAMINASE:
                return DESTROYED_BY["thiamin"] in cut.cautions
            case Measure.KIND:
                return cut.kind == self.word
            case _:
                return cut.name == self.word


@dataclass(frozen=True, slots=True)
class FreezeFirst:
    """The days that a food must be frozen before it is fed, and how cold."""

    days: int
    how_cold: str
    source: str


FREEZE_FIRST: Mapping[str, FreezeFirst] = MappingProxyType(
    {
        "raw-fish-parasites": FreezeFirst(
            7, "at -20 C (-4 F) or colder", "FDA Food Code 3-402.11(A)(1) as adopted in WAC 246-215-03425"
        ),
        "sheep-meat-tapeworm": FreezeFirst(
            10,
            "with the core at -10 C (14 F) or colder",
            "Project Ovis (New Zealand), safe feeding of meat",
        ),
        "raw-pork": FreezeFirst(
            20,
            "at -15 C (5 F) or colder, thinner than 15 cm (6 in)",
            "CDC, trichinellosis prevention, last reviewed 15 November 2019",
        ),
    }
)
"""The cautions that ask for freezing before feeding, by key. **Source:** beside each, as in the caution table."""


def freeze_first_keys(cut: Cut) -> tuple[str, ...]:
    """The cautions of a cut, and of all that is mixed into it, that ask for freezing before it is fed."""
    cautions = _cautions(cut)
    return tuple(key for key in FREEZE_FIRST if key in cautions)


def _cautions(cut: Cut) -> set[str]:
    """The cautions of a cut and of all that is mixed into it."""
    return set(cut.cautions).union(*(_cautions(ingredient) for ingredient in cut.ingredients))


def freeze_first_days(cut: Cut) -> int:
    """The days that a cut must be frozen before it is fed; 0 where nothing asks for it."""
    return max((FREEZE_FIRST[key].days for key in freeze_first_keys(cut)), default=0)
