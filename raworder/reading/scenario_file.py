"""A scenario file read whole: form, price lists and reference data joined into the Scenario, or all that is wrong."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from math import ceil
from pathlib import Path
from types import MappingProxyType

from raworder.reading.bag_settings import labels, portioning
from raworder.reading.bone import stated_bone_calcium
from raworder.reading.catalogue import catalogue_words, reference_catalogue
from raworder.reading.characters import drop_forbidden
from raworder.reading.checked_form import Checked, checked_form, note_names
from raworder.reading.dog_entries import Kennel, read_dogs
from raworder.reading.files import file_text
from raworder.reading.form import (
    AllDogsForm,
    OfferForm,
    OnHandForm,
    PriceListForm,
    ScenarioForm,
    SupplierForm,
    VarietyForm,
)
from raworder.reading.form_fields import Form
from raworder.reading.given import Given
from raworder.reading.limits import own_profiles
from raworder.reading.located import Entries, locate, text_at
from raworder.reading.named_lists import read_named_list
from raworder.reading.names import fold_name
from raworder.reading.notes import Notes
from raworder.reading.offers import OfferedCut, cut_as_said, known_cut, read_offer, usual_by_weight, with_unique_keys
from raworder.reading.own_food import add_own_cuts, read_supplements
from raworder.reading.owners import note_collection_days, owner_named, read_owners, room_g
from raworder.reading.patterns import LEAST_SPECIES_SHARE
from raworder.reading.price_lists import PriceList, read_price_list
from raworder.reading.reference import (
    read_cautions,
    read_cuts,
    read_foods,
    read_keeping,
    read_needs,
    read_profiles,
    read_toxic_foods,
    toxic_food,
)
from raworder.reading.sense import Facts, check_sense
from raworder.trade.cuts import Cut
from raworder.trade.findings import Finding, Place
from raworder.trade.kept import Lot
from raworder.trade.scenario import YOUR_LIST, Batch, OnHand, Scenario, Supplier, Variety

FIELDS = (
    ("budget", "budget"),
    ("most_suppliers", "supplier_count"),
    ("most_cuts", "cut_count"),
    ("freezer", "room"),
    ("hold", "hold"),
    ("variety", "variety"),
)
"""The fields of a scenario that set a rule, with its key."""

FIELDS_OF_BAGS = (
    ("divided", "whole_pieces"),
    ("least_portion", "least_portion"),
    ("most_a_day", "day_most"),
    ("week_allowance", "week_share"),
)
"""The fields of `portioning` that set a rule, with its key."""


NOTHING: Mapping[Path, Path] = MappingProxyType({})
"""No list is read in the place of another."""

NOT_YET = frozenset({"nothing-to-feed", "no-offers"})
"""Findings about what is only said later."""


def where_set(form: ScenarioForm) -> tuple[tuple[str, Place], ...]:
    """The places by `budget`, `targets`, `caps heart` or `nutrients zinc` for all dogs, `Maple: targets` for one."""
    return tuple(_places(form))


def _places(form: ScenarioForm) -> Iterator[tuple[str, Place]]:
    yield from _written(form, FIELDS)
    if form.portioning is not None:
        yield from _written(form.portioning, FIELDS_OF_BAGS)
    if form.all_dogs is not None:
        yield from _of_dogs(form.all_dogs, "")
    for dog in form.dogs:
        yield from _of_dogs(dog, f"{dog.name}: ")


def _written(form: Form, fields: tuple[tuple[str, str], ...]) -> Iterator[tuple[str, Place]]:
    yield from ((rule, form.key_at(field)) for field, rule in fields if form.says(field))


def _of_dogs(form: AllDogsForm, whose: str) -> Iterator[tuple[str, Place]]:
    """Where targets are named, every cap, and every rule on nutrients."""
    for field in ("targets", "vet_asked_for_less"):
        if form.says(field):
            yield f"{whose}{field}", form.key_at(field)
    for word in form.caps:
        yield f"{whose}caps {fold_name(word)}", word.place
    for name in form.nutrients:
        yield f"{whose}nutrients {fold_name(name)}", name.place


@dataclass(frozen=True, slots=True)
class LotOnHand:
    """A lot on hand with its cut."""

    lot: OnHand
    cut: Cut

    @property
    def age(self) -> tuple[bool, str, str, int, str]:
        """Orders lots by their day, those without one first."""
        lot = self.lot
        return lot.frozen_on is not None, str(lot.frozen_on), lot.cut, lot.grams, lot.owner


Lists = Sequence[tuple[str, OfferForm]]


def build_scenario(checked: Checked, path: Path, notes: Notes, instead: Mapping[Path, Path] = NOTHING) -> Scenario:
    """The scenario put together from form, lists and tables, as far as possible; errors are noted.

    `instead` has the lists that are read in the place of others, all paths resolved.
    """
    lists, checked = _price_lists(checked, path, notes, instead)
    form = checked.form
    given = _given(checked, notes)
    offers, given = _offers(lists, form, given)
    scenario = replace(_scenario(form, path, offers, given), owners=read_owners(form, given))
    check_sense(Facts(scenario, form, lists, given))
    note_collection_days(scenario, form, given)
    note_names(checked.removed, given)
    return scenario


def _scenario(form: ScenarioForm, path: Path, offers: Sequence[OfferedCut], given: Given) -> Scenario:
    held = _held_by_book(form, path, offers, given) if form.stock_is_in_book else _held(form, given)
    cuts = _cuts(offers, held, given)
    scenario = Scenario(
        title=str(form.title or drop_forbidden(path.stem)),
        currency=form.currency,
        weight_unit=form.units,
        batch=given.batch,
        dogs=read_dogs(form.dogs, Kennel(form.all_dogs, cuts, given)),
        cuts=cuts,
        suppliers=_suppliers(form, given),
        offers=tuple(offer.offer for offer in offers),
        on_hand=tuple(held.lot for held in held),
        room_g=room_g(form.freezer, given),
        budget=form.budget,
        most_suppliers=form.most_suppliers,
        most_cuts=form.most_cuts,
        variety=_variety(form.variety),
        hold_days=form.hold,
        cautions=read_cautions(),
        portioning=portioning(form.portioning, cuts, given),
        keeping=read_keeping(),
        labels=labels(form.labels, form.units, given.notes),
        places=where_set(form),
    )
    return _with_nourishment(form, given, scenario)


def _with_nourishment(form: ScenarioForm, given: Given, scenario: Scenario) -> Scenario:
    """The scenario with its supplements, nutrient profiles and energy needs."""
    sellers = [supplier.name for supplier in scenario.suppliers]
    beside, offers = read_supplements(form.supplements, sellers, YOUR_LIST, given)
    return replace(
        scenario,
        supplements=beside,
        supplement_offers=offers,
        profiles=given.profiles,
        needs=read_needs(),
        bone_calcium=given.bone_calcium,
    )


def _price_lists(checked: Checked, path: Path, notes: Notes, instead: Mapping[Path, Path]) -> tuple[Lists, Checked]:
    """Every line of every list with its supplier's name, and what is known to be lost after reading them."""
    form = checked.form
    lines: list[tuple[str, OfferForm]] = [(YOUR_LIST, line) for line in form.cuts]
    suppliers = []
    for supplier in form.suppliers:
        lines += [(str(supplier.name), line) for line in supplier.cuts]
        if supplier.price_list is not None:
            found = _price_list(supplier.price_list, form, path.parent, notes, instead)
            lines += [(str(supplier.name), line) for line in found.offers]
            checked = replace(
                checked,
                lost=checked.lost if found.whole else checked.lost | {"suppliers"},
                lost_names=checked.lost_names | found.lost_names,
            )
            if found.day and not supplier.list_date:
                supplier = supplier.model_copy(update={"list_date": found.day})  # noqa: PLW2901 - the same, dated
        suppliers.append(supplier)
    return lines, replace(checked, form=form.model_copy(update={"suppliers": tuple(suppliers)}))


def _price_list(
    named: PriceListForm, form: ScenarioForm, folder: Path, notes: Notes, instead: Mapping[Path, Path]
) -> PriceList:
    """A list of ours, or with a names file one of the supplier's own."""
    other = instead.get(_resolved(folder / named.file))
    if named.names is None:
        return read_price_list(named, folder, form.currency, notes, other)
    known = {fold_name(own.cut) for own in form.own_cuts} | set(reference_catalogue(read_cuts()).by_name)
    return read_named_list(named, folder, form.currency, known, notes, other)


def _resolved(path: Path) -> Path:
    """The file that a path leads to; the path itself where it cannot be followed, as reading it will say why."""
    try:
        return path.resolve()
    except (OSError, RuntimeError, ValueError):
        return path


def _offers(lists: Lists, form: ScenarioForm, given: Given) -> tuple[tuple[OfferedCut, ...], Given]:
    """The offers that can be joined, and the cuts of all others among what was lost."""
    usual = usual_by_weight(form.units).unless_said(form.least_purchase)
    usual_of = {str(supplier.name): usual.unless_said(supplier.least_purchase) for supplier in form.suppliers}
    made = [(line, read_offer(line, supplier, given, usual_of.get(supplier, usual))) for supplier, line in lists]
    failed = {fold_name(line.cut) for line, one in made if one is None}
    offers = with_unique_keys([one for _, one in made if one is not None], given)
    return offers, replace(given, lost_names=given.lost_names | failed)


def _given(checked: Checked, notes: Notes) -> Given:
    form = checked.form
    toxic_foods, published = read_toxic_foods(), read_profiles()
    named = {fold_name(name) for own in form.own_cuts for name in (*own.made_of, *own.species)}
    refused = {name for name in named if toxic_food(name, toxic_foods)}
    catalogue = add_own_cuts(form.own_cuts, reference_catalogue(read_cuts()), checked.lost_names | refused, notes)
    lost_names = checked.lost_names | {fold_name(own.cut) for own in form.own_cuts}
    return Given(
        currency=form.currency,
        weight_unit=form.units,
        batch=Batch(form.batch.starts, form.batch.days, form.batch.order_ahead),
        catalogue=catalogue,
        words=catalogue_words(catalogue),
        notes=notes,
        lost=checked.lost,
        lost_names=lost_names,
        toxic_foods=toxic_foods,
        foods=read_foods(),
        profiles=(*published, *own_profiles(form.profiles, published, notes)),
        bone_calcium=stated_bone_calcium(form, catalogue, lost_names, notes),
    )


def _held(form: ScenarioForm, given: Given) -> tuple[LotOnHand, ...]:
    """What the freezer holds, oldest first, lots without a date before all others."""
    held = []
    for lot in form.on_hand:
        cut = known_cut(lot, lot.cut, given)
        if cut is not None:
            held.append(
                LotOnHand(
                    OnHand(cut.name, ceil(lot.weight), lot.frozen, _owner_of(lot, form, given), lot.at("cut")), cut
                )
            )
    return tuple(sorted(held, key=lambda held: held.age))


def _held_by_book(form: ScenarioForm, path: Path, offers: Sequence[OfferedCut], given: Given) -> tuple[LotOnHand, ...]:
    """What the book says is left on the day of filling, as it was before this batch was entered, oldest first."""
    from raworder.book.kitchen_book import open_book
    from raworder.book.ledger import BookError, book_beside

    filled_on = form.portioning.day if form.portioning else None
    title = str(form.title or drop_forbidden(path.stem))
    try:
        with open_book(book_beside(path)) as book:
            stock = book.stock(filled_on or form.batch.starts - timedelta(days=1), (title, form.batch.starts))
    except BookError as error:
        given.notes.add("no-stock-in-book", str(error), form.at("on_hand"), error.remedy)
        return ()
    sold = {offer.cut.name: offer.cut for offer in offers}
    owners = {dog.owner for dog in form.dogs if dog.owner}
    held = [_held_lot(lot, sold, owners, form, given) for lot in stock.without_crumbs().lots]
    return tuple(sorted((lot for lot in held if lot), key=lambda held: held.age))


def _held_lot(
    lot: Lot, sold: Mapping[str, Cut], owners: Collection[str], form: ScenarioForm, given: Given
) -> LotOnHand | None:
    """A lot of the book with its cut; None, and noted, where this scenario cannot speak of it."""
    place = form.at("on_hand")
    name, said = cut_as_said(lot.cut)
    texts = (("cut", name), ("weight", f"{lot.left_g} g"), *said)
    written = OnHandForm.model_validate(
        Entries(place, [(text_at(key, place), text_at(said, place)) for key, said in texts])
    )
    cut = sold.get(lot.cut) or (given.catalogue.find(name) and known_cut(written, name, given))
    if not cut or (lot.owner and lot.owner not in owners):
        why = f"`{lot.owner}` has no dog here" if cut else "no cut of this scenario is called so"
        message = f"lot {lot.number} of the book, {lot.cut}, is left out: {why}"
        given.notes.add("lot-left-out", message, place, "nothing, if that is meant; else write it under `on_hand`")
        return None
    return LotOnHand(OnHand(cut.name, lot.left_g, lot.frozen_on, lot.owner, place), cut)


def _owner_of(lot: OnHandForm, form: ScenarioForm, given: Given) -> str:
    """Whose a lot is, as the dogs write the name; empty where it is for all."""
    return owner_named(lot.owner, form, given) if lot.owner is not None else ""


def _cuts(offers: Iterable[OfferedCut], held: Iterable[LotOnHand], given: Given) -> tuple[Cut, ...]:
    """The cuts that are sold or on hand, by name."""
    found: dict[str, Cut] = {}
    for cut, place in (
        *((held.cut, held.lot.place) for held in held),
        *((offer.cut, offer.offer.place) for offer in offers),
    ):
        if found.setdefault(cut.name, cut) != cut and place:
            message = f"this would be called `{cut.name}` like another cut"
            given.notes.add("repeated-cut", message, place, "give the own cut another name")
    return tuple(found[name] for name in sorted(found))


def _suppliers(form: ScenarioForm, given: Given) -> tuple[Supplier, ...]:
    """The suppliers in the order of the file, the nameless list first."""
    is_nameless = form.cuts or any(supplement.supplier is None for supplement in form.supplements)
    nameless = [Supplier(YOUR_LIST, place=form.key_at("cuts"))] if is_nameless else []
    first: dict[str, Place] = {fold_name(supplier.name): form.key_at("cuts") for supplier in nameless}
    for supplier in form.suppliers:
        place = first.setdefault(fold_name(supplier.name), supplier.at("name"))
        if place != supplier.at("name"):
            where = f"first named at {place.line}:{place.column}"
            message = f"two suppliers are called `{supplier.name}`"
            given.notes.add(
                "repeated-supplier", message, supplier.at("name"), "tell them apart, or join their lists", where
            )
    return (*nameless, *(_supplier(supplier) for supplier in form.suppliers))


def _supplier(form: SupplierForm) -> Supplier:
    return Supplier(
        name=str(form.name),
        delivery=form.delivery or Decimal(0),
        minimum_order=form.minimum_order or Decimal(0),
        free_delivery_from=form.free_delivery_from,
        sales_tax=form.sales_tax or Fraction(0),
        list_date=form.list_date,
        trip=form.trip or Decimal(0),
        place=form.at("name"),
    )


def _variety(form: VarietyForm | None) -> Variety:
    if form is None:
        return Variety()
    most = Fraction(1) if form.most_of_one is None else form.most_of_one
    least = form.each_at_least or (LEAST_SPECIES_SHARE if form.species else Fraction(0))
    return Variety(form.species or 0, least, most)


@dataclass(frozen=True, slots=True)
class Reading:
    """A checked scenario with its warnings, or no scenario and all the reasons; findings are in order of place."""

    scenario: Scenario | None
    findings: tuple[Finding, ...]


def read_scenario(path: Path, instead: Mapping[Path, Path] = NOTHING) -> Reading:
    """The scenario that a file describes; `scenario` is None exactly when a finding refuses.

    `instead` has the price lists that are read in the place of others, all paths resolved.
    """
    notes = Notes()
    text = file_text(path, Place(path.as_posix(), 1, 1), notes)
    return _read(text, path, notes, instead)


def read_scenario_text(text: str, path: Path) -> Reading:
    """The scenario that a text describes, as if it stood in a file of that path."""
    return _read(text, path, Notes())


def price_lists_of(path: Path) -> Mapping[Path, Path | None]:
    """The price lists that a scenario names, resolved, each with its names file if it has one."""
    notes = Notes()
    text = file_text(path, Place(path.as_posix(), 1, 1), notes)
    checked = _checked(text, path.as_posix(), notes) if text is not None else None
    named = [supplier.price_list for supplier in checked.form.suppliers if supplier.price_list] if checked else []
    return {_resolved(path.parent / each.file): path.parent / each.names if each.names else None for each in named}


def _read(text: str | None, path: Path, notes: Notes, instead: Mapping[Path, Path] = NOTHING) -> Reading:
    checked = _checked(text, path.as_posix(), notes) if text is not None else None
    scenario = build_scenario(checked, path, notes, instead) if checked else None
    findings = notes.all()
    refused = any(finding.refuses for finding in findings)
    return Reading(None if refused else scenario, findings)


def _checked(text: str, file: str, notes: Notes) -> Checked | None:
    notes.remember(file, text)
    root = locate(text, file, notes)
    return checked_form(root, notes) if root is not None else None


def draft_errors(text: str, path: Path) -> tuple[Finding, ...]:
    """The errors in the scenario so far, without those that a later question will settle."""
    return tuple(
        finding
        for finding in read_scenario_text(text, path).findings
        if finding.refuses and not is_asked_later(finding)
    )


def is_asked_later(finding: Finding) -> bool:
    """Whether a finding is about something that is asked later: who sells, and what a veterinarian gives."""
    return finding.slug in NOT_YET or (finding.slug == "missing-field" and "`vet_amounts`" in finding.message)
