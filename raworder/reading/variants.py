"""A cut as one offer describes it, where that differs from the reference table."""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from raworder.cuts import Cut, Part
from raworder.nutrients import Analysis
from raworder.reading.analyses import analysis
from raworder.reading.catalogue import Catalogue
from raworder.reading.form import KnownCutForm
from raworder.reading.given import Given
from raworder.reading.limits import amounts
from raworder.reading.names import folded
from raworder.reading.nutrient_tables import Known
from raworder.units import half_up, share_text

if TYPE_CHECKING:
    from collections.abc import Mapping

FAT_ROUNDED = Fraction(1, 1000)
"""Fat of a cut is told to a tenth of a percent."""


def called(name: str, cuts: Iterable[Cut], catalogue: Catalogue) -> tuple[tuple[Cut, ...], tuple[Cut, ...]]:
    """The cuts of just that name, and those that an offer describes otherwise: `turkey neck (bone 42 %)`."""
    known, fed = catalogue.find(name), tuple(cuts)
    plain = folded(known.name if known else name)
    described = tuple(cut for cut in fed if known and cut.name.startswith(f"{known.name} ("))
    return tuple(cut for cut in fed if folded(cut.name) == plain), described


def as_offered(cut: Cut, form: KnownCutForm, given: Given) -> Cut | None:
    """The cut itself, or one of its own with what the form states; None, and noted, where it is impossible.

    A stated bone share shrinks or stretches all else in proportion, the fat too unless it is stated. The cut's name
    tells what is stated, so equal statements make equal cuts, and the plain cut is its ingredient, so that what
    names that one finds this one.
    """
    if form.analysis:
        return _as_stated(cut, form, given)
    stated = ("cut", cut.name, form.bone, form.fat, form.rich, form.piece)
    offered = given.memory.once(stated, lambda: _as_stated(cut, form, given))
    return offered or _as_stated(cut, form, given)  # what is impossible is noted at every line that states it


def _as_stated(cut: Cut, form: KnownCutForm, given: Given) -> Cut | None:
    """The cut with what the form states; None, and noted, where it is impossible."""
    changed = _with_bone(cut, form.bone)
    changed = replace(
        changed,
        fat_share=changed.fat_share if form.fat is None else form.fat,
        rich=cut.rich if form.rich is None else form.rich,
        piece_g=max(half_up(form.piece), 1) if form.piece else cut.piece_g,
    )
    changed = replace(changed, analysis=_analysis(cut, changed, form, given))
    if replace(changed, analysis=cut.analysis) == cut and not form.analysis:
        return changed
    if changed.fat_share + changed.part_share(Part.BONE) > 1:
        field = "fat" if form.fat is not None else "bone"
        message = f"bone and fat of `{cut.name}` are more than the whole"
        given.notes.add("impossible-cut", message, form.at(field), "state both as shares of the weight as bought")
        return None
    plain = replace(cut, ingredients=())
    name = _name(cut, changed, analysed=bool(form.analysis))
    return replace(changed, name=name, ingredients=(plain, *cut.ingredients))


def _with_bone(cut: Cut, bone: Fraction | None) -> Cut:
    old = cut.part_share(Part.BONE)
    if bone is None or bone == old:
        return cut
    parts = dict(cut.parts) if old < 1 else {Part.MUSCLE: Fraction(1)}
    stretch = (1 - bone) / (1 - old) if old < 1 else 1 - bone
    shares: Mapping[Part, Fraction] = {**{part: share * stretch for part, share in parts.items()}, Part.BONE: bone}
    return replace(
        cut,
        parts=tuple((part, shares[part]) for part in Part if shares.get(part)),
        fat_share=cut.fat_share * stretch,
    )


def _analysis(cut: Cut, changed: Cut, form: KnownCutForm, given: Given) -> Analysis:
    """What is known of the cut as it is offered: by the table's row for it, or by what was said of an own cut."""
    number = given.catalogue.ndb_numbers.get(cut.name, "")
    known = given.memory.once(("food", number), lambda: given.foods.known(number))
    own = {key: amount for key in cut.analysis.given if (amount := cut.analysis.of(key)) is not None}
    said = {**own, **amounts(form.analysis, given.notes, of_100_g=True)}
    return analysis_of(changed, known, said, given.bone_calcium)


def analysis_of(cut: Cut, known: Known | None, said: "Mapping[str, Fraction]", bone_calcium: Fraction) -> Analysis:
    """What is known of a cut with its bone and fat, from a row of the tables and what was said of 100 g of it."""
    bone = cut.part_share(Part.BONE)
    fat_share = None if "fat" in said or _has_its_fat(known, bone, cut) else cut.fat_share
    return analysis(known, bone, fat_share, said, bone_calcium)


def _has_its_fat(known: Known | None, bone: Fraction, cut: Cut) -> bool:
    """Whether the row of the table has the fat of the cut but for rounding; rows of neighbouring cuts have not."""
    fat = dict(known.values).get("fat") if known else None
    return fat is not None and abs(fat * (1 - bone) / 100 - cut.fat_share) <= FAT_ROUNDED


def _name(cut: Cut, changed: Cut, *, analysed: bool) -> str:
    """The cut's name with what differs: `chicken neck (bone 28 %, piece 90 g)`."""
    stated = []
    if changed.part_share(Part.BONE) != cut.part_share(Part.BONE):
        stated.append(f"bone {_percent(changed.part_share(Part.BONE))}")
    bone_changes_fat = _with_bone(cut, changed.part_share(Part.BONE)).fat_share
    if changed.fat_share != bone_changes_fat:
        stated.append(f"fat {_percent(changed.fat_share)}")
    if changed.piece_g != cut.piece_g:
        stated.append(f"piece {changed.piece_g} g")
    if changed.rich != cut.rich:
        stated.append("rich" if changed.rich else "not rich")
    if analysed:
        stated.append("own analysis")
    return f"{cut.name} ({', '.join(stated)})"


def _percent(share: Fraction) -> str:
    """A share as a percentage with as many decimals as it needs, or as a fraction where no decimals say it."""
    decimals = next((n for n in range(10) if (share * 100 * 10**n).denominator == 1), None)
    return str(share) if decimals is None else share_text(share, decimals)
