"""Supplements: what may be given beside the ration, and who sells it."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from math import floor

from raworder.reading.catalogue import species_named
from raworder.reading.form import SupplementForm
from raworder.reading.given import Given
from raworder.reading.limits import amounts, supplement_analysis
from raworder.reading.names import did_you_mean, folded
from raworder.reading.notes import Sought
from raworder.trade.findings import Place
from raworder.trade.nutrients import Supplement
from raworder.trade.scenario import SupplementOffer
from raworder.trade.units import Currency

LISTED_DIGITS = 16
"""So many digits of a fingerprint that two offers of one scenario cannot have the same by chance."""


@dataclass(frozen=True, slots=True)
class OnList:
    """A supplement with one offer of it."""

    supplement: Supplement
    offer: SupplementOffer


def supplements(
    forms: Sequence[SupplementForm], sellers: Iterable[str], nameless: str, given: Given
) -> tuple[tuple[Supplement, ...], tuple[SupplementOffer, ...]]:
    """Every supplement once, by name, and its offers by key; what is wrong is noted and left out."""
    known = {folded(name): name for name in sellers}
    made = [on_list for form in forms if (on_list := _on_list(form, known, nameless, given)) is not None]
    kept: dict[str, Supplement] = {}
    offers: dict[str, SupplementOffer] = {}
    for on_list in made:
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


def _on_list(form: SupplementForm, sellers: dict[str, str], nameless: str, given: Given) -> OnList | None:
    given.note_toxic(form.supplement)
    if given.toxic(form.supplement):
        return None
    if given.catalogue.find(form.supplement) is not None:
        message = f"`{form.supplement}` is the name of a cut"
        given.notes.add("name-of-a-cut", message, form.at("supplement"), "give the supplement a name of its own")
        return None
    supplier = _supplier(form, sellers, nameless, given)
    found = _supplement(form, given)
    if supplier is None or found is None:
        return None
    steps = floor(form.pack.number / found.step)
    offer = SupplementOffer(
        key=f"{supplier}/{found.name}/{form.pack.number} {found.unit}",
        supplier=supplier,
        supplement=found.name,
        item=str(form.item or form.supplement),
        steps=steps,
        price=form.price,
        available=form.available,
        place=form.at("supplement"),
    )
    return OnList(found, _unlike_others(offer, given.currency))


def _unlike_others(offer: SupplementOffer, currency: Currency) -> SupplementOffer:
    """The offer with a short fingerprint of its line in its key, as one supplement may come in several such packs."""
    content = repr((offer.item, currency.text(offer.price), offer.available))
    return replace(offer, key=f"{offer.key}/{hashlib.sha256(content.encode()).hexdigest()[:LISTED_DIGITS]}")


def _supplier(form: SupplementForm, sellers: dict[str, str], nameless: str, given: Given) -> str | None:
    """Who sells it, by the name that the file uses."""
    if form.supplier is None:
        return nameless
    found = sellers.get(folded(form.supplier))
    if found is None and not given.was_lost(form.supplier) and "suppliers" not in given.lost:
        otherwise = "name one of the suppliers, or add it under `suppliers`"
        help_ = Sought(partial(did_you_mean, form.supplier, sellers, otherwise), otherwise)
        given.notes.add("unknown-supplier", f"no supplier is called `{form.supplier}`", form.at("supplier"), help_)
    return found


def _supplement(form: SupplementForm, given: Given) -> Supplement | None:
    unit = form.pack.unit
    if not _one_unit(form, given):
        return None
    step = form.step.number if form.step else Fraction(1)
    most_steps = floor(form.most_a_day.number / step)
    if most_steps < 1 or floor(form.pack.number / step) < 1:
        field = "most_a_day" if most_steps < 1 else "pack"
        _note_units(f"`{field}` is less than the least that is given", form.at(field), given)
        return None
    of = form.per.number if form.per else Fraction(1)
    return Supplement(
        name=str(form.supplement),
        unit=unit,
        step=step,
        analysis=supplement_analysis(amounts(form.analysis, given.notes, of_100_g=False), of, step),
        most_steps=most_steps,
        on_hand_steps=floor(form.on_hand.number / step) if form.on_hand else 0,
        species=tuple(species_named(name) for name in form.species),
        place=form.at("supplement"),
    )


def _one_unit(form: SupplementForm, given: Given) -> bool:
    """Whether all that is counted of it is counted in one unit."""
    unit, sound = form.pack.unit, True
    for field in ("per", "step", "most_a_day", "on_hand"):
        written = getattr(form, field)
        if written is not None and written.unit != unit:
            _note_units(f"`{field}` is in {written.unit}, and the pack in {unit}", form.at(field), given)
            sound = False
    return sound


def _note_units(message: str, place: Place, given: Given) -> None:
    given.notes.add("supplement-units", message, place, "write all of it in one unit, at least one step of it")
