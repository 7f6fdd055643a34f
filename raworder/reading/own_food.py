"""Food that a scenario itself describes: own cuts, ready-made mixes, and supplements with their offers."""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from math import floor

from raworder.reading.catalogue import Catalogue, find_species, help_for_unknown_cut
from raworder.reading.form import OwnCutForm
from raworder.reading.given import Given
from raworder.reading.limits import amounts, supplement_analysis
from raworder.reading.located import Text
from raworder.reading.names import did_you_mean, fold_name, join_in_backticks
from raworder.reading.notes import Notes, SearchedRemedy
from raworder.reading.reference import species_with_cautions, with_cautions
from raworder.reading.settings_form import SupplementForm
from raworder.trade.cuts import PLANT, Cut, Part, SpeciesShare, is_rich
from raworder.trade.findings import Place
from raworder.trade.nutrients import Analysis, Supplement
from raworder.trade.rounding import half_up
from raworder.trade.scenario import SupplementOffer
from raworder.trade.units import Currency, share_text

DEEPEST_MIX, MOST_OWN_CUTS, MOST_IN_MIX = 10, 1_000, 40
"""How deep mixes of mixes may go, how many own cuts there may be, and how many cuts a mix may name. All that is in a
mix at any depth is gathered anew for each mix, so these bound the time."""


def add_own_cuts(forms: Sequence[OwnCutForm], reference: Catalogue, lost: frozenset[str], notes: Notes) -> Catalogue:
    """The reference catalogue with the user's own cuts that are sound; what is wrong with others is noted.

    `lost` holds folded names that are in error already, so that they are not called unknown as well.
    """
    waiting = list(_drop_repeated(_limit_number(forms, notes), reference, notes))
    lost |= {fold_name(form.cut) for form in forms} - {fold_name(form.cut) for form in waiting}
    _note_unknown_ingredients(waiting, reference, lost, notes)
    catalogue = reference
    for _ in range(DEEPEST_MIX):
        ready = [form for form in waiting if all(_is_known(name, catalogue, lost) for name in form.made_of)]
        names = {form.cut for form in ready}
        waiting = [form for form in waiting if form.cut not in names]
        cuts = [_build_cut(form, catalogue, lost, notes) for form in ready]
        catalogue = catalogue.with_cuts(cut for cut in cuts if cut)
        lost |= {fold_name(form.cut) for form, cut in zip(ready, cuts, strict=True) if not cut}
    known = frozenset(catalogue.by_name) | lost
    _note_circles(waiting, known, notes)
    return catalogue


def _limit_number(forms: Sequence[OwnCutForm], notes: Notes) -> Iterable[OwnCutForm]:
    """The own cuts up to the most allowed, without mixes that name too many; the rest is noted."""
    for form in forms[MOST_OWN_CUTS : MOST_OWN_CUTS + 1]:
        message = f"there may be at most {MOST_OWN_CUTS} own cuts, and this is one more"
        notes.add("too-large", message, form.at("cut"), "take out what this batch does not use")
    for form in forms[:MOST_OWN_CUTS]:
        if len(form.made_of) > MOST_IN_MIX:
            message = f"a mix may name at most {MOST_IN_MIX} cuts, and this names {len(form.made_of)}"
            notes.add("too-large", message, form.made_of[MOST_IN_MIX].place, "join some into an own cut, and name that")
        else:
            yield form


def _drop_repeated(forms: Iterable[OwnCutForm], reference: Catalogue, notes: Notes) -> Iterable[OwnCutForm]:
    seen: dict[str, OwnCutForm] = {}
    for form in forms:
        name = fold_name(form.cut)
        if reference.find(form.cut) is not None:
            help_ = "give it a name of its own; to change a figure, state it on the offer"
            notes.add("repeated-cut", f"`{form.cut}` is in the reference table already", form.at("cut"), help_)
        elif name in seen:
            first = seen[name].at("cut")
            where = f"first named at {first.line}:{first.column}"
            notes.add(
                "repeated-cut", f"`{form.cut}` is named twice", form.at("cut"), "give each own cut its own name", where
            )
        else:
            seen[name] = form
    return seen.values()


def _is_known(name: str, catalogue: Catalogue, lost: frozenset[str]) -> bool:
    return catalogue.find(name) is not None or fold_name(name) in lost


def _note_unknown_ingredients(
    forms: Sequence[OwnCutForm], reference: Catalogue, lost: frozenset[str], notes: Notes
) -> None:
    own = {fold_name(form.cut) for form in forms}
    for form in forms:
        for name in form.made_of:
            if fold_name(name) not in own and not _is_known(name, reference, lost):
                otherwise = "describe it under `own_cuts`"
                help_ = SearchedRemedy(partial(help_for_unknown_cut, name, reference, otherwise, own), otherwise)
                notes.add("unknown-cut", f"no cut is called `{name}`", name.place, help_)


def _note_circles(waiting: Sequence[OwnCutForm], known: frozenset[str], notes: Notes) -> None:
    """Note each mix that contains itself, directly or not, and those nested too deep."""
    below = {fold_name(form.cut): {fold_name(name) for name in form.made_of} for form in waiting}
    known_or_own = known | set(below)
    contents = {name: _all_below(name, below) for name in below}
    circular = {name for name, reached in contents.items() if name in reached}
    for form in waiting:
        reached = contents[fold_name(form.cut)]
        if fold_name(form.cut) in circular:
            notes.add("circular-cut", f"`{form.cut}` is made of itself", form.at("made_of"), "list only what is in it")
        elif reached <= known_or_own and not reached & circular:
            help_ = "name the plain cuts in it"
            message = f"`{form.cut}` is a mix of mixes more than {DEEPEST_MIX} deep"
            notes.add("too-deep", message, form.at("made_of"), help_)


def _all_below(start: str, below: dict[str, set[str]]) -> set[str]:
    reached: set[str] = set()
    open_ = [start]
    while open_:
        fresh = below.get(open_.pop(), set()) - reached
        reached |= fresh
        open_ += fresh
    return reached


def _build_cut(form: OwnCutForm, catalogue: Catalogue, lost: frozenset[str], notes: Notes) -> Cut | None:
    """The cut that the form describes; None with the reason noted."""
    ingredients = _all_ingredients(found for name in form.made_of if (found := catalogue.find(name)))
    species, parts = _read_species(form, ingredients, catalogue, lost, notes), _read_parts(form, notes)
    if form.fat is None:
        notes.add("missing-field", "an own cut has no `fat`", form.at("cut"), "add `fat: ...`, as the label gives it")
    stated = amounts(form.analysis, notes, of_100_g=True)
    if species is None or parts is None or form.fat is None:
        return None
    kind = fold_name(form.kind) if form.kind else "own"
    cut = Cut(
        name=str(form.cut),
        species=species,
        kind=kind,
        parts=parts,
        fat_share=form.fat,
        rich=_is_rich(kind, form.fat, ingredients) if form.rich is None else form.rich,
        piece_g=max(half_up(form.piece), 1) if form.piece else None,
        ingredients=ingredients,
        source="the scenario",
        analysis=Analysis(given=tuple(stated), values=tuple(stated.items())),
    )
    return with_cautions(cut) if _is_possible(cut, form, notes) else None


def _is_rich(kind: str, fat_share: Fraction, ingredients: Iterable[Cut]) -> bool:
    """Whether a cut that does not say so is rich: by its fat and kind, or by what is in it."""
    return is_rich(kind, fat_share) or any(cut.rich for cut in ingredients)


def _all_ingredients(ingredients: Iterable[Cut]) -> tuple[Cut, ...]:
    """All cuts in a mix at any depth, each once and without its own ingredients."""
    by_name: dict[str, Cut] = {}
    for cut in ingredients:
        by_name[cut.name] = replace(cut, ingredients=())
        for ingredient in cut.ingredients:
            if ingredient.name not in by_name:
                by_name[ingredient.name] = ingredient
    return tuple(by_name[name] for name in sorted(by_name))


def _read_species(
    form: OwnCutForm, ingredients: tuple[Cut, ...], catalogue: Catalogue, lost: frozenset[str], notes: Notes
) -> tuple[SpeciesShare, ...] | None:
    if not form.species and not form.made_of:
        notes.add("missing-field", "an own cut has no `species`", form.at("cut"), "add `species: ...`")
        return None
    if not form.species:
        return tuple(
            SpeciesShare(name, None) for name in sorted({name for cut in ingredients for name in cut.species_names})
        )
    known = catalogue.species | species_with_cautions()
    for name in form.species:
        if find_species(name) not in known and fold_name(name) not in lost:
            otherwise = "nothing, if it is meant: exclusions and cautions find it by this name only"
            help_ = SearchedRemedy(partial(did_you_mean, name, known, otherwise), otherwise)
            notes.add("new-species", f"the reference table has no species `{name}`", name.place, help_)
    refused = any(fold_name(name) in lost for name in form.species)
    if not _species_add_up(form, notes) or not (refused or _species_cover(form, ingredients, notes)):
        return None
    return _add_up_species(form.species)


def _species_cover(form: OwnCutForm, ingredients: tuple[Cut, ...], notes: Notes) -> bool:
    """Whether each animal among the ingredients is a stated species; if not, it is noted. Plants need not be."""
    stated = {find_species(name) for name in form.species}
    missing = sorted({name for cut in ingredients for name in cut.species_names} - stated - {PLANT})
    if missing:
        message = f"`{form.cut}` is made of {join_in_backticks(missing, 'and')} too, which its `species` leaves out"
        help_ = (
            "add what is missing, with its share or `unknown`, or leave `species` out: it then follows from `made_of`"
        )
        notes.add("species-left-out", message, form.key_at("species"), help_)
    return not missing


def _add_up_species(species: Mapping[Text, Fraction | None]) -> tuple[SpeciesShare, ...]:
    """The share of each species, added up over its several names; unknown where one of them is."""
    shares: dict[str, Fraction | None] = {}
    for name, share in species.items():
        word = find_species(name)
        before = shares.get(word, Fraction(0))
        shares[word] = None if before is None or share is None else before + share
    return tuple(SpeciesShare(name, share) for name, share in shares.items())


def _species_add_up(form: OwnCutForm, notes: Notes) -> bool:
    stated = [share for share in form.species.values() if share is not None]
    whole, all_stated = sum(stated, Fraction(0)), len(stated) == len(form.species)
    if whole > 1 or (all_stated and whole != 1):
        message = f"the species of `{form.cut}` add up to {share_text(whole)}"
        notes.add(
            "shares-not-whole", message, form.key_at("species"), "make them add up to 100 %, or write a list of species"
        )
        return False
    return True


def _read_parts(form: OwnCutForm, notes: Notes) -> tuple[tuple[Part, Fraction], ...] | None:
    if form.parts and form.bone is not None:
        notes.add(
            "two-ways", "`bone` and `parts` both say how much bone there is", form.key_at("bone"), "keep one of the two"
        )
        return None
    if not form.parts and form.bone is None:
        help_ = "add `parts: {...}`, or `bone: ...` when the rest is muscle"
        notes.add("missing-field", "an own cut has neither `parts` nor `bone`", form.at("cut"), help_)
        return None
    shares = form.parts or {Part.BONE: form.bone or Fraction(0), Part.MUSCLE: 1 - (form.bone or Fraction(0))}
    whole = sum(shares.values(), Fraction(0))
    if whole != 1:
        message = f"the parts of `{form.cut}` add up to {share_text(whole)}"
        notes.add("shares-not-whole", message, form.key_at("parts"), "make them add up to 100 %")
        return None
    return tuple((part, shares[part]) for part in Part if shares.get(part))


def _is_possible(cut: Cut, form: OwnCutForm, notes: Notes) -> bool:
    if cut.fat_share + cut.part_share(Part.BONE) <= 1:
        return True
    message = f"bone and fat of `{cut.name}` are more than the whole"
    notes.add("impossible-cut", message, form.at("fat"), "state both as shares of the weight as bought")
    return False


LISTED_DIGITS = 16
"""Digits of a fingerprint: enough that two offers of one scenario never share one by chance."""


@dataclass(frozen=True, slots=True)
class ListedSupplement:
    """A supplement and an offer of it."""

    supplement: Supplement
    offer: SupplementOffer


def read_supplements(
    forms: Sequence[SupplementForm], sellers: Iterable[str], nameless: str, given: Given
) -> tuple[tuple[Supplement, ...], tuple[SupplementOffer, ...]]:
    """Every supplement once, by name, and all offers by key; what is wrong is noted and left out."""
    known = {fold_name(name): name for name in sellers}
    listed = [
        on_list for form in forms if (on_list := _read_supplement_offer(form, known, nameless, given)) is not None
    ]
    kept: dict[str, Supplement] = {}
    offers: dict[str, SupplementOffer] = {}
    for on_list in listed:
        first = kept.setdefault(on_list.supplement.name, on_list.supplement)
        if first != on_list.supplement and on_list.supplement.place:
            message = f"two entries of `{first.name}` do not say the same of it"
            where = f"first written at {first.place.line}:{first.place.column}" if first.place else ""
            help_ = "let them differ in supplier, pack, price, item and available alone"
            given.notes.add("supplements-differ", message, on_list.supplement.place, help_, where)
        if on_list.offer.key in offers and on_list.offer.place:
            message = f"this offer of `{first.name}` is written twice"
            given.notes.add("repeated-offer", message, on_list.offer.place, "keep one")
        offers[on_list.offer.key] = on_list.offer
    return tuple(kept[name] for name in sorted(kept)), tuple(offers[key] for key in sorted(offers))


def _read_supplement_offer(
    form: SupplementForm, sellers: dict[str, str], nameless: str, given: Given
) -> ListedSupplement | None:
    names = [name for name in (form.supplement, form.item, *form.species) if name is not None]
    for name in names:
        given.note_toxic(name)
    if any(map(given.toxic, names)):
        return None
    if given.catalogue.find(form.supplement) is not None:
        message = f"`{form.supplement}` is the name of a cut"
        given.notes.add("name-of-a-cut", message, form.at("supplement"), "give the supplement a name of its own")
        return None
    supplier = _find_supplier(form, sellers, nameless, given)
    supplement = _read_supplement(form, given)
    if supplier is None or supplement is None:
        return None
    steps = floor(form.pack.number / supplement.step)
    offer = SupplementOffer(
        key=f"{supplier}/{supplement.name}/{form.pack.number} {supplement.unit}",
        supplier=supplier,
        supplement=supplement.name,
        item=str(form.item or form.supplement),
        steps=steps,
        price=form.price,
        available=form.available,
        place=form.at("supplement"),
    )
    return ListedSupplement(supplement, _add_fingerprint(offer, given.currency))


def _add_fingerprint(offer: SupplementOffer, currency: Currency) -> SupplementOffer:
    """The offer with a fingerprint of its line in its key, as one supplement can be offered in several such packs."""
    content = repr((offer.item, currency.text(offer.price), offer.available))
    return replace(offer, key=f"{offer.key}/{hashlib.sha256(content.encode()).hexdigest()[:LISTED_DIGITS]}")


def _find_supplier(form: SupplementForm, sellers: dict[str, str], nameless: str, given: Given) -> str | None:
    """The name of the supplier as the file writes it; None, and noted, where it is unknown."""
    if form.supplier is None:
        return nameless
    supplier = sellers.get(fold_name(form.supplier))
    if supplier is None and not given.was_lost(form.supplier) and "suppliers" not in given.lost:
        otherwise = "name one of the suppliers, or add it under `suppliers`"
        help_ = SearchedRemedy(partial(did_you_mean, form.supplier, sellers, otherwise), otherwise)
        given.notes.add("unknown-supplier", f"no supplier is called `{form.supplier}`", form.at("supplier"), help_)
    return supplier


def _read_supplement(form: SupplementForm, given: Given) -> Supplement | None:
    unit = form.pack.unit
    if not _has_one_unit(form, given):
        return None
    step = form.step.number if form.step else Fraction(1)
    most_steps = floor(form.most_a_day.number / step)
    if most_steps < 1 or floor(form.pack.number / step) < 1:
        field = "most_a_day" if most_steps < 1 else "pack"
        _note_units(f"`{field}` is less than the least that is given", form.at(field), given)
        return None
    per = form.per.number if form.per else Fraction(1)
    return Supplement(
        name=str(form.supplement),
        unit=unit,
        step=step,
        analysis=supplement_analysis(amounts(form.analysis, given.notes, of_100_g=False), per, step),
        most_steps=most_steps,
        on_hand_steps=floor(form.on_hand.number / step) if form.on_hand else 0,
        species=tuple(find_species(name) for name in form.species),
        place=form.at("supplement"),
    )


def _has_one_unit(form: SupplementForm, given: Given) -> bool:
    """Whether all amounts of the supplement are in the unit of its pack; if not, it is noted."""
    unit, sound = form.pack.unit, True
    for field in ("per", "step", "most_a_day", "on_hand"):
        written = getattr(form, field)
        if written is not None and written.unit != unit:
            _note_units(f"`{field}` is in {written.unit}, and the pack in {unit}", form.at(field), given)
            sound = False
    return sound


def _note_units(message: str, place: Place, given: Given) -> None:
    given.notes.add("supplement-units", message, place, "write all of it in one unit, at least one step of it")
