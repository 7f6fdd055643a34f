"""The user's own cuts, ready-made mixes among them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import partial

from raworder.reading.catalogue import Catalogue, help_for_unknown_cut, species_named
from raworder.reading.form import OwnCutForm
from raworder.reading.limits import amounts
from raworder.reading.located import Text
from raworder.reading.names import did_you_mean, folded, listed
from raworder.reading.notes import Notes, Sought
from raworder.trade.cuts import PLANT, Cut, Part, SpeciesShare
from raworder.trade.nutrients import Analysis
from raworder.trade.rounding import half_up
from raworder.trade.units import share_text

DEEPEST_MIX, MOST_OWN_CUTS, MOST_IN_MIX = 10, 1_000, 40
"""How many mixes may be made of one another, how many own cuts there may be, and how many cuts a mix may name: all that
is in a mix at any depth is gathered anew for each mix."""


def catalogue_with_own(
    forms: Sequence[OwnCutForm], reference: Catalogue, lost: frozenset[str], notes: Notes
) -> Catalogue:
    """The reference catalogue with the user's own cuts that can be made.

    `lost` holds folded names that are in error or refused already, so that nobody is told they are unknown.
    """
    waiting = list(_new_names(_not_too_many(forms, notes), reference, notes))
    lost |= {folded(form.cut) for form in forms} - {folded(form.cut) for form in waiting}
    _note_unknown_ingredients(waiting, reference, lost, notes)
    catalogue = reference
    for _ in range(DEEPEST_MIX):
        ready = [form for form in waiting if all(_make_cut(name, catalogue, lost) for name in form.made_of)]
        names = {form.cut for form in ready}
        waiting = [form for form in waiting if form.cut not in names]
        made = [_cut(form, catalogue, lost, notes) for form in ready]
        catalogue = catalogue.with_cuts(cut for cut in made if cut)
        lost |= {folded(form.cut) for form, cut in zip(ready, made, strict=True) if not cut}
    known = frozenset(catalogue.by_name) | lost
    _note_circles(waiting, known, notes)
    return catalogue


def _not_too_many(forms: Sequence[OwnCutForm], notes: Notes) -> Iterable[OwnCutForm]:
    """The first own cuts, as many as may be, less mixes that name too much."""
    for form in forms[MOST_OWN_CUTS : MOST_OWN_CUTS + 1]:
        message = f"there may be at most {MOST_OWN_CUTS} own cuts, and this is one more"
        notes.add("too-large", message, form.at("cut"), "take out what this batch does not use")
    for form in forms[:MOST_OWN_CUTS]:
        if len(form.made_of) > MOST_IN_MIX:
            message = f"a mix may name at most {MOST_IN_MIX} cuts, and this names {len(form.made_of)}"
            notes.add("too-large", message, form.made_of[MOST_IN_MIX].place, "join some into an own cut, and name that")
        else:
            yield form


def _new_names(forms: Iterable[OwnCutForm], reference: Catalogue, notes: Notes) -> Iterable[OwnCutForm]:
    seen: dict[str, OwnCutForm] = {}
    for form in forms:
        name = folded(form.cut)
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


def _make_cut(name: str, catalogue: Catalogue, lost: frozenset[str]) -> bool:
    return catalogue.find(name) is not None or folded(name) in lost


def _note_unknown_ingredients(
    forms: Sequence[OwnCutForm], reference: Catalogue, lost: frozenset[str], notes: Notes
) -> None:
    own = {folded(form.cut) for form in forms}
    for form in forms:
        for name in form.made_of:
            if folded(name) not in own and not _make_cut(name, reference, lost):
                otherwise = "describe it under `own_cuts`"
                help_ = Sought(partial(help_for_unknown_cut, name, reference, otherwise, own), otherwise)
                notes.add("unknown-cut", f"no cut is called `{name}`", name.place, help_)


def _note_circles(waiting: Sequence[OwnCutForm], known: frozenset[str], notes: Notes) -> None:
    """Note each mix that contains itself, directly or not, and those nested too deep."""
    below = {folded(form.cut): {folded(name) for name in form.made_of} for form in waiting}
    known_or_own = known | set(below)
    above = {name: _reached(name, below) for name in below}
    circular = {name for name, reached in above.items() if name in reached}
    for form in waiting:
        reached = above[folded(form.cut)]
        if folded(form.cut) in circular:
            notes.add("circular-cut", f"`{form.cut}` is made of itself", form.at("made_of"), "list only what is in it")
        elif reached <= known_or_own and not reached & circular:
            help_ = "name the plain cuts in it"
            message = f"`{form.cut}` is a mix of mixes more than {DEEPEST_MIX} deep"
            notes.add("too-deep", message, form.at("made_of"), help_)


def _reached(start: str, below: dict[str, set[str]]) -> set[str]:
    reached: set[str] = set()
    open_ = [start]
    while open_:
        fresh = below.get(open_.pop(), set()) - reached
        reached |= fresh
        open_ += fresh
    return reached


def _cut(form: OwnCutForm, catalogue: Catalogue, lost: frozenset[str], notes: Notes) -> Cut | None:
    """The cut that the form describes, or None when it does not add up."""
    ingredients = _all_ingredients(found for name in form.made_of if (found := catalogue.find(name)))
    species, parts = _species(form, ingredients, catalogue, lost, notes), _parts(form, notes)
    if form.fat is None:
        notes.add("missing-field", "an own cut has no `fat`", form.at("cut"), "add `fat: ...`, as the label gives it")
    said = amounts(form.analysis, notes, of_100_g=True)
    if species is None or parts is None or form.fat is None:
        return None
    cut = Cut(
        name=str(form.cut),
        species=species,
        kind=folded(form.kind) if form.kind else "own",
        parts=parts,
        fat_share=form.fat,
        rich=bool(form.rich),
        piece_g=max(half_up(form.piece), 1) if form.piece else None,
        ingredients=ingredients,
        cautions=_cautions(species, ingredients, catalogue),
        source="the scenario",
        analysis=Analysis(given=tuple(said), values=tuple(said.items())),
    )
    return cut if _possible(cut, form, notes) else None


def _cautions(species: Iterable[SpeciesShare], ingredients: Iterable[Cut], catalogue: Catalogue) -> tuple[str, ...]:
    """The cautions of the ingredients and of the species, named or not."""
    of_species = (catalogue.cautions_of(species_share.species) for species_share in species)
    return tuple(sorted(frozenset().union(*of_species, *(cut.cautions for cut in ingredients))))


def _all_ingredients(ingredients: Iterable[Cut]) -> tuple[Cut, ...]:
    """All that is in a mix, at any depth, each once and without ingredients of its own."""
    found: dict[str, Cut] = {}
    for cut in ingredients:
        found[cut.name] = replace(cut, ingredients=())
        for ingredient in cut.ingredients:
            if ingredient.name not in found:
                found[ingredient.name] = ingredient
    return tuple(found[name] for name in sorted(found))


def _species(
    form: OwnCutForm, ingredients: tuple[Cut, ...], catalogue: Catalogue, lost: frozenset[str], notes: Notes
) -> tuple[SpeciesShare, ...] | None:
    if not form.species and not form.made_of:
        notes.add("missing-field", "an own cut has no `species`", form.at("cut"), "add `species: ...`")
        return None
    if not form.species:
        return tuple(
            SpeciesShare(name, None) for name in sorted({name for cut in ingredients for name in cut.species_names})
        )
    known = catalogue.species
    for name in form.species:
        if species_named(name) not in known and folded(name) not in lost:
            otherwise = "nothing, if it is meant: exclusions find it by this name only"
            help_ = Sought(partial(did_you_mean, name, known, otherwise), otherwise)
            notes.add("new-species", f"the reference table has no species `{name}`", name.place, help_)
    refused = any(folded(name) in lost for name in form.species)
    if not _species_add_up(form, notes) or not (refused or _species_cover(form, ingredients, notes)):
        return None
    return _add_up_species(form.species)


def _species_cover(form: OwnCutForm, ingredients: tuple[Cut, ...], notes: Notes) -> bool:
    """Whether each animal in what the mix is made of is among its species; plants need not be."""
    stated = {species_named(name) for name in form.species}
    missing = sorted({name for cut in ingredients for name in cut.species_names} - stated - {PLANT})
    if missing:
        message = f"`{form.cut}` is made of {listed(missing, 'and')} too, which its `species` leaves out"
        help_ = (
            "add what is missing, with its share or `unknown`, or leave `species` out: it then follows from `made_of`"
        )
        notes.add("species-left-out", message, form.key_at("species"), help_)
    return not missing


def _add_up_species(species: Mapping[Text, Fraction | None]) -> tuple[SpeciesShare, ...]:
    """The shares by species, those of one species under several names added up; unknown where one of them is."""
    shares: dict[str, Fraction | None] = {}
    for name, share in species.items():
        word = species_named(name)
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


def _parts(form: OwnCutForm, notes: Notes) -> tuple[tuple[Part, Fraction], ...] | None:
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


def _possible(cut: Cut, form: OwnCutForm, notes: Notes) -> bool:
    if cut.fat_share + cut.part_share(Part.BONE) <= 1:
        return True
    message = f"bone and fat of `{cut.name}` are more than the whole"
    notes.add("impossible-cut", message, form.at("fat"), "state both as shares of the weight as bought")
    return False
