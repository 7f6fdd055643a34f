"""Calcium in what is weighed as bone: the table of it by group, what a scenario says, and what holds for a cut."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache, partial
from types import MappingProxyType
from typing import TYPE_CHECKING

from raworder.reading.catalogue import FISH_KINDS, POULTRY, Catalogue
from raworder.reading.names import did_you_mean, fold_name
from raworder.reading.notes import Notes, SearchedRemedy
from raworder.reading.reference import read_cuts, table_rows
from raworder.trade.cuts import PLANT, Cut, Part
from raworder.trade.nutrients import BoneCalcium, Trust
from raworder.trade.units import share_text

if TYPE_CHECKING:
    from raworder.reading.form import ScenarioForm
    from raworder.reading.located import Text
    from raworder.reading.quantities import Range

ALL_BONE = "all bone"
"""The word for every group at once; a share or a range alone says the same."""

LIKELY_BONE_CALCIUM = (Fraction(5, 1000), Fraction(30, 100))
"""No bone holds less or more calcium. Source: fresh cortical bone holds 20 to 22 %, Field 2000 (abstract seen); the
ends themselves are our own choice."""


@cache
def read_bone() -> tuple[BoneCalcium, ...]:
    """The calcium in bone of each group of animals, in the table's order."""
    return tuple(
        BoneCalcium(
            of=row["group"],
            share=Fraction(row["calcium_pct"]) / 100,
            least=Fraction(row["least_pct"]) / 100,
            most=Fraction(row["most_pct"]) / 100,
            to_phosphorus=Fraction(row["calcium_to_phosphorus"]),
            trust=Trust(row["provenance"]),
            source=row["source"],
        )
        for row in table_rows("bone.csv")
    )


def bone_calcium_of(cut: Cut, stated: Sequence[BoneCalcium]) -> BoneCalcium:
    """What holds for the bone of a cut: what was stated of the cut itself, or else of the group that it is of.

    Where the bone may be of several groups, the range is the widest, and the mean of the groups is counted.
    """
    by_name = {known.of: known for known in (*read_bone(), *stated)}
    if cut.name in by_name:
        return by_name[cut.name]
    several = [by_name[group] for group in _groups(cut)]
    if len(several) == 1:
        return several[0]
    return BoneCalcium(
        of=" or ".join(known.of for known in several),
        share=sum((known.share for known in several), Fraction(0)) / len(several),
        least=min(known.least for known in several),
        most=max(known.most for known in several),
        to_phosphorus=sum((known.to_phosphorus for known in several), Fraction(0)) / len(several),
        trust=Trust.GIVEN if all(known.trust is Trust.GIVEN for known in several) else Trust.DERIVED,
        source="; ".join(dict.fromkeys(known.source for known in several)),
    )


def _groups(cut: Cut) -> tuple[str, ...]:
    """The groups whose bone may be in a cut: of those in it that have bone, if there are any, or else of its species.

    Of a species that the table of cuts does not know it may be any.
    """
    bony = [part for part in cut.ingredients if part.part_share(Part.BONE)] or [cut]
    species = {name for food in bony for name in food.species_names} - {PLANT}
    found = {_group_of_species().get(name, "") for name in species}
    every = tuple(known.of for known in read_bone())
    return every if "" in found else tuple(group for group in every if group in found) or every


@cache
def _group_of_species() -> Mapping[str, str]:
    """The group of each species of the table of cuts: birds, fish, and all others. Source: POULTRY, the cuts' kinds."""
    fish = {name for known in read_cuts() if known.cut.kind in FISH_KINDS for name in known.cut.species_names}
    known = {name for known in read_cuts() for name in known.cut.species_names}
    beasts = dict.fromkeys(known, "mammal")
    return MappingProxyType({**beasts, **dict.fromkeys(fish, "fish"), **dict.fromkeys(POULTRY, "poultry")})


def stated_bone_calcium(
    form: "ScenarioForm", catalogue: Catalogue, lost: frozenset[str], notes: Notes
) -> tuple[BoneCalcium, ...]:
    """What a scenario says of the calcium in bone: of groups first, then of cuts; what is wrong is noted."""
    by_group = {known.of: known for known in read_bone()}
    of_groups: dict[str, BoneCalcium] = {}
    of_cuts: list[tuple[Cut, Range]] = []
    for name, said in form.bone_calcium.items():
        word, cut = fold_name(name), catalogue.find(name)
        _check_share(name, said, form, notes)
        if word == ALL_BONE or word in by_group:
            groups = by_group if word == ALL_BONE else [word]
            of_groups |= {group: _as_stated(by_group[group], said) for group in groups}
        elif cut is not None:
            of_cuts.append((cut, said))
        elif word not in lost:
            _note_unknown(name, (*by_group, ALL_BONE, *catalogue.by_name), notes)
    groups_first = tuple(of_groups.values())
    return (*groups_first, *(_of_cut(cut, said, groups_first) for cut, said in of_cuts))


def _of_cut(cut: Cut, said: "Range", groups: Sequence[BoneCalcium]) -> BoneCalcium:
    """What was stated of one cut; the phosphorus is as in the group that it is of."""
    return replace(_as_stated(bone_calcium_of(cut, groups), said), of=cut.name)


def _as_stated(known: BoneCalcium, said: "Range") -> BoneCalcium:
    """The share or the range that was stated in place of what is known; the middle of a range is counted."""
    return BoneCalcium(known.of, (said.low + said.high) / 2, said.low, said.high, known.to_phosphorus)


def _check_share(name: "Text", said: "Range", form: "ScenarioForm", notes: Notes) -> None:
    """Note a share of calcium that no bone holds, and a range that is reversed."""
    least, most = LIKELY_BONE_CALCIUM
    place = form.entry_at("bone_calcium", name)
    for number in dict.fromkeys((said.low, said.high)):
        if not least <= number <= most:
            help_ = f"write from {share_text(least)} to {share_text(most)}, or leave it out"
            notes.add("out-of-range", f"{share_text(number)} of bone is no calcium", place, help_)
    if said.low > said.high:
        message = "the range of `bone_calcium` ends below where it begins"
        notes.add("range-reversed", message, place, "write the lower share first")


def _note_unknown(name: "Text", known: Sequence[str], notes: Notes) -> None:
    otherwise = "name `poultry`, `mammal`, `fish`, `all bone` or a cut"
    help_ = SearchedRemedy(partial(did_you_mean, name, known, otherwise), otherwise)
    notes.add("unknown-word", f"neither a group nor a cut is called `{name}`", name.place, help_)
