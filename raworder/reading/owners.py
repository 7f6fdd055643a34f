"""Owners: the room in their own freezers, the days on which they fetch their bags, and which names are theirs."""

from datetime import date
from fractions import Fraction
from functools import partial
from math import ceil

from raworder.reading.fields import LARGEST_AMOUNT_G
from raworder.reading.form import ScenarioForm
from raworder.reading.given import Given
from raworder.reading.located import Text
from raworder.reading.names import did_you_mean, fold_name
from raworder.reading.notes import SearchedRemedy
from raworder.reading.settings_form import FreezerForm
from raworder.trade.scenario import Owner, Scenario
from raworder.trade.units import amount_text, grams_text

KG_PER_LITRE = Fraction(56, 100)
"""What a litre of freezer holds.

Source: foodsafetysite.com FAQ 265 (Fraser and Lackey, NC State, August 2004), 35 lb per cubic foot.
"""

LIKELY_KG_PER_LITRE = (Fraction(1, 10), Fraction(11, 10))
"""No litre of food weighs less or more. Source: common practice, no source: meat is about as heavy as water, 1 kg a
litre, and sinks in it; what is packed loosely still fills a tenth."""


def read_owners(form: ScenarioForm, given: Given) -> tuple[Owner, ...]:
    """The owners of whom the file says more than a name, in its order; a name that is no owner's is noted."""
    places = {fold_name(owner.name): owner.at("name") for owner in reversed(form.owners)}
    for owner in form.owners:
        place = places[fold_name(owner.name)]
        if place != owner.at("name"):
            where = f"first named at {place.line}:{place.column}"
            message = f"two entries of `owners` are called `{owner.name}`"
            given.notes.add("repeated-owner", message, owner.at("name"), "keep one", where)
    return tuple(
        Owner(owner_named(owner.name, form, given), room_g(owner.freezer, given), owner.collects, owner.at("name"))
        for owner in form.owners
    )


def owner_named(name: Text, form: ScenarioForm, given: Given) -> str:
    """The owner's name as the dogs write it; a name that no dog has is noted."""
    known = {fold_name(dog.owner): str(dog.owner) for dog in form.dogs if dog.owner is not None}
    owner = known.get(fold_name(name))
    if owner is None and "dogs" not in given.lost:
        otherwise = f"name one of the owners, or give a dog `owner: {name}`"
        help_ = SearchedRemedy(partial(did_you_mean, name, known.values(), otherwise), otherwise)
        given.notes.add("unknown-owner", f"no dog has the owner `{name}`", name.place, help_)
    return owner or str(name)


def note_collection_days(scenario: Scenario, form: ScenarioForm, given: Given) -> None:
    """Note days for fetching bags that lie before they are filled, or after the first of them must be fed."""
    if given.lost & {"batch", "portioning", "dogs"}:
        return
    for owner, written in zip(scenario.owners, form.owners, strict=True):
        fed = _first_fed(scenario, owner.name)
        if owner.collects is None or fed is None:
            continue
        says, place = f"`{owner.name}` collects on {owner.collects}", written.at("collects")
        if owner.collects < scenario.portioned_on:
            message = f"{says}, before the bags are filled on {scenario.portioned_on}"
            remedy = f"write `collects: {scenario.portioned_on}` or a later day"
            given.notes.add("collected-before-filling", message, place, remedy)
        elif owner.collects > fed:
            message = f"{says}, and a bag must be fed on {fed} already"
            remedy = f"collect by {fed}, or have somebody feed the dogs until then"
            given.notes.add("collected-late", message, place, remedy)


def _first_fed(scenario: Scenario, owner: str) -> date | None:
    """The first day on which a dog of the owner is fed; None where none of them is."""
    dogs = [dog for dog in scenario.dogs if dog.owner == owner]
    days = zip(scenario.batch.each_day(), zip(*(dog.day_g for dog in dogs), strict=True), strict=False)
    return next((day for day, grams in days if any(grams)), None)


def room_g(form: FreezerForm | None, given: Given) -> int | None:
    """The grams that a freezer holds; None where none is stated."""
    if form is None:
        return None
    grams = form.room.grams
    if grams is None:
        grams = (form.room.litres or Fraction(0)) * (_kg_per_litre(form, given) or KG_PER_LITRE) * 1000
    if grams > LARGEST_AMOUNT_G:
        message = f"the room is for more than {grams_text(int(LARGEST_AMOUNT_G), 'kg')}"
        given.notes.add("absurd-amount", message, form.at("room"), "check the number and its unit")
    return ceil(grams)


def _kg_per_litre(form: FreezerForm, given: Given) -> Fraction | None:
    """The kilograms in a litre of freezer, as stated; impossible densities are refused."""
    said, (least, most) = form.kg_per_litre, LIKELY_KG_PER_LITRE
    if said is not None and not least <= said <= most:
        message = f"food does not weigh {amount_text(said)} kg a litre"
        help_ = f"write from {amount_text(least)} to {amount_text(most)}, or leave it out; packed food weighs 0.56"
        given.notes.add("out-of-range", message, form.at("kg_per_litre"), help_)
    return said
