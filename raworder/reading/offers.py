"""Offers: a line of a price list with its cut, and how that differs from the reference table."""

import hashlib
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from raworder.reading.bone import bone_calcium_of
from raworder.reading.catalogue import Catalogue, help_for_unknown_cut
from raworder.reading.form import KnownCutForm, LeastPurchaseForm, OfferForm, PriceBreakForm
from raworder.reading.given import Given
from raworder.reading.limits import Bone, amounts, analysis
from raworder.reading.names import fold_name
from raworder.reading.notes import SearchedRemedy
from raworder.reading.quantities import Amount, Price
from raworder.reading.reference import KnownNutrients, with_cautions
from raworder.trade.cuts import Cut, Part, is_rich
from raworder.trade.findings import Place
from raworder.trade.nutrients import Analysis, BoneCalcium
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Offer, PriceStep
from raworder.trade.units import BASES_G, GRAMS_PER, share_text

if TYPE_CHECKING:
    from collections.abc import Mapping


FAT_ROUNDED = Fraction(1, 1000)
"""Fat of a cut is told to a tenth of a percent."""


def cuts_of_name(name: str, cuts: Iterable[Cut], catalogue: Catalogue) -> tuple[tuple[Cut, ...], tuple[Cut, ...]]:
    """The cuts of exactly that name, and their variants in offers: `turkey neck (bone 42 %)`."""
    known, fed = catalogue.find(name), tuple(cuts)
    plain = fold_name(known.name if known else name)
    described = tuple(cut for cut in fed if known and cut.name.startswith(f"{known.name} ("))
    return tuple(cut for cut in fed if fold_name(cut.name) == plain), described


def describe_cut(cut: Cut, form: KnownCutForm, given: Given) -> Cut | None:
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
    changed = changed if form.fat is None else replace(changed, fat_share=form.fat)
    changed = replace(
        changed,
        rich=_follows_rich(cut, changed) if form.rich is None else form.rich,
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
    return with_cautions(replace(changed, name=name, ingredients=(plain, *cut.ingredients)))


def _follows_rich(cut: Cut, changed: Cut) -> bool:
    """Whether the cut with its bone and fat is rich, where the offer does not say; what was said of the cut stays."""
    was_said = cut.rich is not is_rich(cut.kind, cut.fat_share)
    return cut.rich if was_said else is_rich(changed.kind, changed.fat_share)


def _with_bone(cut: Cut, bone: Fraction | None) -> Cut:
    """The cut with the bone that is stated, about which there is then no doubt."""
    old = cut.part_share(Part.BONE)
    if bone is None:
        return cut
    cut = replace(cut, bone_range=None)
    if bone == old:
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
    row = given.catalogue.rows.get(cut.name)
    known = given.memory.once(("food", cut.name), lambda: given.foods.known_of(row))
    if known and known.bone_in and cut.part_share(Part.BONE) != changed.part_share(Part.BONE):
        known = known.without_bone()  # it was measured with another share of it
    own = {key: amount for key in cut.analysis.given if (amount := cut.analysis.of(key)) is not None}
    said = {**own, **amounts(form.analysis, given.notes, of_100_g=True)}
    return analysis_of(changed, known, said, given.bone_calcium)


def analysis_of(
    cut: Cut, known: KnownNutrients | None, said: "Mapping[str, Fraction]", stated: Sequence[BoneCalcium]
) -> Analysis:
    """What is known of a cut with its bone and fat, from a row of the tables and what was said of 100 g of it.

    `stated` is what the scenario says of the calcium in bone.
    """
    bone = Bone(cut.part_share(Part.BONE), cut.bone_ends, bone_calcium_of(cut, stated))
    fat_share = None if "fat" in said or _has_its_fat(known, bone.share, cut) else cut.fat_share
    return analysis(known, bone, fat_share, said)


def _has_its_fat(known: KnownNutrients | None, bone: Fraction, cut: Cut) -> bool:
    """Whether the row of the table has the fat of the cut but for rounding; rows of neighbouring cuts have not."""
    if known is None or (fat := dict(known.values).get("fat")) is None:
        return False
    return abs(fat * known.share_told(bone) / 100 - cut.fat_share) <= FAT_ROUNDED


def _name(cut: Cut, changed: Cut, *, analysed: bool) -> str:
    """The cut's name with what differs: `chicken neck (bone 28 %, piece 90 g)`."""
    stated = []
    if changed.part_share(Part.BONE) != cut.part_share(Part.BONE) or changed.bone_range != cut.bone_range:
        stated.append(f"bone {_percent(changed.part_share(Part.BONE))}")
    bone_changes_fat = _with_bone(cut, changed.part_share(Part.BONE)).fat_share
    if changed.fat_share != bone_changes_fat:
        stated.append(f"fat {_percent(changed.fat_share)}")
    if changed.piece_g != cut.piece_g:
        stated.append(f"piece {changed.piece_g} g")
    if changed.rich is not _follows_rich(cut, changed):
        stated.append("rich" if changed.rich else "not rich")
    if analysed:
        stated.append("own analysis")
    return f"{cut.name} ({', '.join(stated)})"


_SAID_IN_NAME = re.compile(r"(bone|fat|piece) (\S.*)|(rich|not rich)")


def cut_as_said(name: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The plain name in a cut's name, and the fields that a scenario says of it: how `_name` is read back.

    >>> cut_as_said("chicken neck (bone 28 %, not rich)")
    ('chicken neck', (('bone', '28 %'), ('rich', 'no')))
    """
    plain, bracket, rest = name.partition(" (")
    found = [_SAID_IN_NAME.fullmatch(piece) for piece in rest.removesuffix(")").split(", ")] if bracket else []
    if not all(found):
        return name, ()
    return plain, tuple(
        (said[1], said[2]) if said[1] else ("rich", "yes" if said[3] == "rich" else "no") for said in found if said
    )


def _percent(share: Fraction) -> str:
    """A share as a percentage with as many decimals as it needs, or as a fraction where no decimals say it."""
    decimals = next((n for n in range(10) if (share * 100 * 10**n).denominator == 1), None)
    return str(share) if decimals is None else share_text(share, decimals)


FINGERPRINT_DIGITS = 16
"""Enough signs that two offers of one scenario cannot come to the same by chance."""


HEAVIER = Fraction(10, 100)
"""So much more than the mean the heaviest pack of a catch weight has, if not said. Source: common practice, no source.
"""


LEAST_LINE_G, LINE_STEP_G = Fraction(100), Fraction(50)
"""The least that is sold by weight and the step that it is sold in, where nobody says. Source: own choice."""

LEAST_LINE_LB, LINE_STEP_OZ = Fraction(1, 4), Fraction(1)
"""The same in pounds and ounces, where people read those. Source: own choice."""


@dataclass(frozen=True, slots=True)
class SoldByWeight:
    """The step and the least line of what is sold by weight, where an offer says neither; exact grams."""

    step_g: Fraction
    least_g: Fraction

    def unless_said(self, form: LeastPurchaseForm | None) -> "SoldByWeight":
        """The same but for what the form says."""
        return self if form is None else SoldByWeight(form.step or self.step_g, form.least or self.least_g)


def usual_by_weight(weight_unit: str) -> SoldByWeight:
    """The step and the least line where nobody says any, for people who read that unit."""
    if weight_unit == "lb":
        return SoldByWeight(LINE_STEP_OZ * GRAMS_PER["oz"], LEAST_LINE_LB * GRAMS_PER["lb"])
    return SoldByWeight(LINE_STEP_G, LEAST_LINE_G)


@dataclass(frozen=True, slots=True)
class OfferedCut:
    """An offer with its cut."""

    offer: Offer
    cut: Cut


@dataclass(frozen=True, slots=True)
class Selling:
    """How something is sold: `unit_g` is a pack's weight or a step, exact; `basis` is what its prices are for.

    `heaviest_g` is set for packs that each weigh something else, `unit_g` on average. `least_units` is the least line.
    """

    form: OfferForm
    given: Given
    basis: str
    unit_g: Fraction
    by_weight: bool
    heaviest_g: Fraction | None = None
    least_units: int = 1

    def note(self, slug: str, message: str, place: Place, remedy: str) -> None:
        """Note what is wrong with the offer."""
        self.given.notes.add(slug, message, place, remedy)


def read_offer(form: OfferForm, supplier: str, given: Given, usual: SoldByWeight) -> OfferedCut | None:
    """The offer that the form describes, sold by weight as usual unless it says so; None with the reasons noted."""
    cut = known_cut(form, form.cut, given)
    selling = _selling(form, given, usual)
    steps = _steps(selling) if selling else None
    available = _available(selling) if selling else None
    if cut is None or selling is None or steps is None:
        return None
    about, by_weight = "about " * bool(selling.heaviest_g), " by weight" * selling.by_weight
    offer = Offer(
        key=f"{supplier}/{cut.name}/{about}{half_up(selling.unit_g)} g{by_weight}",
        supplier=supplier,
        cut=cut.name,
        item=str(form.item or form.cut),
        unit_g=selling.unit_g,
        by_weight=selling.by_weight,
        steps=steps,
        available=available,
        code=str(form.code or ""),
        heaviest_g=selling.heaviest_g,
        frozen_days=form.comes_frozen.days if form.comes_frozen else 0,
        frozen_on=form.comes_frozen.since if form.comes_frozen else None,
        least_units=selling.least_units,
        place=form.at("cut"),
    )
    return OfferedCut(offer, cut)


def with_unique_keys(offers: Sequence[OfferedCut], given: Given) -> tuple[OfferedCut, ...]:
    """Each different offer once, its key unlike any other and independent of the order of the lines."""
    kept: dict[Offer, OfferedCut] = {}
    for sold_offer in offers:
        first = kept.setdefault(sold_offer.offer, sold_offer)
        if first is not sold_offer:
            _note_repeated(sold_offer.offer, first.offer, given)
    keys = Counter(offer.key for offer in kept)
    unique = [line if keys[line.offer.key] == 1 else _with_fingerprint(line) for line in kept.values()]
    return tuple(sorted(unique, key=lambda line: line.offer.key))


def _note_repeated(offer: Offer, first: Offer, given: Given) -> None:
    if offer.place is not None and first.place is not None:
        where = f"first written at {first.place.told}"
        given.notes.add(
            "repeated-offer", f"this offer of `{offer.cut}` is written twice", offer.place, "keep one", where
        )


def _with_fingerprint(one: OfferedCut) -> OfferedCut:
    """The offer with a short fingerprint of its own line in its key."""
    offer = one.offer
    steps = [(step.at_least, str(step.unit_price), str(step.listed), step.per) for step in offer.steps]
    heaviest = [] if offer.heaviest_g is None else [str(offer.heaviest_g)]
    least = [offer.least_units] if offer.least_units > 1 else []
    sold_as = (offer.supplier, offer.cut, str(offer.unit_g), offer.item, offer.code, steps, offer.available)
    frozen = [offer.frozen_days, str(offer.frozen_on)] if offer.frozen_days or offer.frozen_on else []
    content = repr((*sold_as, *heaviest, *least, *frozen))
    fingerprint = hashlib.sha256(content.encode()).hexdigest()[:FINGERPRINT_DIGITS]
    return OfferedCut(replace(offer, key=f"{offer.key}/{fingerprint}"), one.cut)


def known_cut(form: KnownCutForm, name: str, given: Given) -> Cut | None:
    """The cut of that name as the form describes it, or None with the reason noted."""
    plain = given.catalogue.find(name)
    if plain is None:
        note_unknown_cut(name, form.at("cut"), given)
        return None
    return describe_cut(plain, form, given)


def note_unknown_cut(name: str, place: Place, given: Given) -> None:
    """Note that the cut is unknown, unless an earlier error took it out or it is refused as toxic."""
    if given.was_lost(name) or given.toxic(name):
        return
    otherwise = "describe it under `own_cuts`, or look names up with `raworder cuts`"
    help_ = SearchedRemedy(lambda: help_for_unknown_cut(name, given.catalogue, otherwise), otherwise)
    given.notes.add("unknown-cut", f"no cut is called `{name}`", place, help_)


def _selling(form: OfferForm, given: Given, usual: SoldByWeight) -> Selling | None:
    """How the form sells: in packs, or by weight."""
    price, pack = form.price, form.pack
    if not _sells_in_one_way(form, given):
        return None
    if pack and pack.about:
        return _by_catch_weight(form, pack.grams, given)
    if pack:
        return Selling(form, given, price.per or "pack", pack.grams, by_weight=False)
    if not price.by_weight:
        help_ = f"add `pack: ...`, or write `{price.amount} per kg`"
        message = "a price without a pack must say the weight it is for"
        given.notes.add("price-without-basis", message, form.at("price"), help_)
        return None
    step_g = form.step or usual.step_g
    least_units = ceil((form.least or usual.least_g) / step_g)  # a step above the least is the least
    return Selling(form, given, price.per, step_g, by_weight=True, least_units=least_units)


def _sells_in_one_way(form: OfferForm, given: Given) -> bool:
    """Whether the fields that say how it is sold fit each other; if not it is noted."""
    field = "pack" if form.pack else "step"
    unit_g = form.pack.grams if form.pack else form.step
    if form.pack and form.step:
        message = "`pack` and `step` are two ways to sell"
        given.notes.add("two-ways", message, form.key_at("step"), "keep one of the two")
    elif form.pack and form.least:
        message = "`least` is for what is sold by weight, and this is sold in packs"
        given.notes.add("two-ways", message, form.key_at("least"), "keep one of the two")
    elif unit_g and unit_g < 1:
        given.notes.add("zero-amount", "this is less than a gram", form.at(field), "check the number and its unit")
    elif form.up_to and not (form.pack and form.pack.about):
        message = "`up_to` is for packs that each weigh something else"
        help_ = "write `pack: about ...`, or take it out"
        given.notes.add("heaviest-out-of-place", message, form.key_at("up_to"), help_)
    else:
        return True
    return False


def _by_catch_weight(form: OfferForm, mean_g: Fraction, given: Given) -> Selling | None:
    """How packs are sold that each weigh something else: by what each really weighs."""
    breaks = (price_break for price_break in form.price_breaks if price_break.price.per == "pack")
    by_pack = next(breaks, None) if form.price.by_weight else form
    heaviest_g = form.up_to or mean_g * (1 + HEAVIER)
    if by_pack is not None:
        message = "the price of a pack does not depend on what it weighs"
        help_ = "drop `about`, or give the price of a weight, such as `6.20 per kg`"
        given.notes.add("about-at-a-fixed-price", message, by_pack.at("price"), help_)
    elif heaviest_g < mean_g:
        message = "the heaviest pack weighs less than the mean of all"
        given.notes.add("heaviest-out-of-place", message, form.at("up_to"), "check both weights and their units")
    else:
        return Selling(form, given, form.price.per, mean_g, by_weight=False, heaviest_g=heaviest_g)
    return None


def _steps(selling: Selling) -> tuple[PriceStep, ...] | None:
    """The offer's own price and its breaks, rising in what they start from."""
    steps = [_step(1, selling.form.price, selling)]
    for break_ in selling.form.price_breaks:
        at_least = _units(break_.from_, break_.at("from"), selling, up=True)
        if at_least is None or not _fits(break_, selling):
            return None
        if at_least <= steps[-1].at_least:
            message = "price breaks must start from more and more"
            selling.note(
                "breaks-out-of-order", message, break_.at("from"), "order them by `from`, each once and above 1"
            )
            return None
        steps.append(_step(at_least, break_.price, selling))
        _note_rise(steps[-2], steps[-1], break_, selling)
    return tuple(steps)


def _fits(break_: PriceBreakForm, selling: Selling) -> bool:
    """Whether a break's price is for what the offer's prices are for."""
    if not selling.by_weight or break_.price.by_weight or not break_.price.per:
        return True
    message = "this is sold by weight, so its prices are for a weight"
    selling.note("price-without-basis", message, break_.at("price"), f"write `per {selling.basis}`")
    return False


def _note_rise(before: PriceStep, after: PriceStep, break_: PriceBreakForm, selling: Selling) -> None:
    if after.unit_price >= before.unit_price:
        message = "the price does not fall at this break"
        selling.note("price-does-not-fall", message, break_.at("price"), "check the price and `from`")


def _step(at_least: int, price: Price, selling: Selling) -> PriceStep:
    per = price.per or selling.basis
    if per == "pack":
        return PriceStep(at_least, Fraction(price.amount), price.amount, per)
    exact = Fraction(price.amount) * selling.unit_g / BASES_G[per]
    unit_price = exact if selling.by_weight else Fraction(selling.given.currency.rounded(exact))
    return PriceStep(at_least, unit_price, price.amount, per)


def _available(selling: Selling) -> int | None:
    """The most units one can buy: the smaller of the stock and the limit per customer."""
    form = selling.form
    limits: Iterable[tuple[Amount | None, str]] = (
        (form.available, "available"),
        (form.most_per_order, "most_per_order"),
    )
    counts = [_units(amount, form.at(field), selling, up=False) for amount, field in limits if amount is not None]
    return min((count for count in counts if count is not None), default=None)


def _units(amount: Amount, place: Place, selling: Selling, *, up: bool) -> int | None:
    """An amount in the offer's units, rounded up or down to whole ones; None where it is of the wrong sort."""
    if selling.by_weight and amount.grams is not None:
        units = amount.grams / selling.unit_g
        return units.__ceil__() if up else units.__floor__()
    if not selling.by_weight and amount.packs is not None:
        return amount.packs
    sold_by = "weight, so this is a weight" if selling.by_weight else "the pack, so this is a number of packs"
    example = "`5 kg`" if selling.by_weight else "`5`"
    selling.note("wrong-amount", f"this is sold by {sold_by}", place, f"write it as {example}")
    return None


def price_per_kg(offer: Offer) -> Fraction:
    """The first step's price of one kilogram."""
    return offer.steps[0].unit_price * 1000 / offer.unit_g
