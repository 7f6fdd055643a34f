"""Whether a scenario makes sense as a whole: small checks, each of which notes a warning or an error."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction
from functools import partial
from statistics import median

from raworder.reading.form import DogForm, OfferForm, OwnCutForm, ScenarioForm
from raworder.reading.given import Given
from raworder.reading.located import Text
from raworder.reading.names import fold_name, join_in_backticks
from raworder.reading.offers import price_per_kg
from raworder.reading.reference import COOKED_BONE, says_cooked
from raworder.trade.cuts import GROUND, Cut, Measure, Part
from raworder.trade.dogs import Dog
from raworder.trade.findings import Place
from raworder.trade.nutrients import nutrient_of
from raworder.trade.scenario import Offer, Scenario
from raworder.trade.units import grams_text


@dataclass(frozen=True, slots=True)
class Facts:
    """A scenario with the form and the price lines it was made from."""

    scenario: Scenario
    form: ScenarioForm
    lines: Sequence[tuple[str, OfferForm]]
    given: Given

    def note(self, slug: str, message: str, place: Place, remedy: str, note: str = "") -> None:
        """Note something doubtful or wrong."""
        self.given.notes.add(slug, message, place, remedy, note)


def _nothing_toxic(facts: Facts) -> None:
    for name in _food_names(facts):
        facts.given.note_toxic(name)


def _food_names(facts: Facts) -> Iterator[Text]:
    """Everything in the scenario that names food."""
    for _, line in facts.lines:
        yield line.cut
        if line.item is not None:
            yield line.item
    for own in facts.form.own_cuts:
        yield from (own.cut, *own.species, *own.made_of)
        if own.kind is not None:
            yield own.kind
    yield from (lot.cut for lot in facts.form.on_hand)
    for dog in facts.form.dogs:
        yield from dog.vet_amounts
    if facts.form.portioning is not None:
        yield from facts.form.portioning.divided


def _no_cooked_bone(facts: Facts) -> None:
    """Refuse cuts with bone whose names mention cooking."""
    given = facts.given
    row = given.toxic(COOKED_BONE)
    for name, bone in _with_bone(facts):
        cooked = given.memory.once(("cooked", str(name)), partial(says_cooked, name))
        if row and bone and cooked and not given.toxic(name):
            given.refuse_as(row, name, "take it out; if it is raw, leave that word out of its name")


def _with_bone(facts: Facts) -> Iterator[tuple[Text, bool]]:
    """Every name of a cut with whether that holds bone."""
    for _, line in facts.lines:
        bone = _bone_share(line.cut, line.bone, facts) > 0
        yield from ((name, bone) for name in (line.cut, line.item) if name is not None)
    for lot in facts.form.on_hand:
        yield lot.cut, _bone_share(lot.cut, lot.bone, facts) > 0
    for own in facts.form.own_cuts:
        yield own.cut, _bone_share(own.cut, None, facts) > 0


def _bone_share(name: str, stated: Fraction | None, facts: Facts) -> Fraction:
    """The share of bone in a cut: as stated, else as the table or the own cut has it."""
    cut = facts.given.catalogue.find(name)
    if stated is not None or cut is None:
        return stated or Fraction(0)
    return max(cut.part_share(Part.BONE) for cut in (cut, *cut.ingredients))


def _mixes_tell_what_is_in_them(facts: Facts) -> None:
    """Doubt each mix that does not say what it is made of, where a dog is kept from a kind or a cut."""
    if not _some_kind_or_cut_counts(facts):
        return
    for own in facts.form.own_cuts:
        if _is_mix(own) and not own.made_of:
            message = f"`{own.cut}` does not say what it is made of, so caps and exclusions cannot look into it"
            facts.note("unseen-ingredients", message, own.at("cut"), "add `made_of: [...]`")


def _is_mix(own: OwnCutForm) -> bool:
    """Whether it is ground, of several species, or of several parts beside bone."""
    ground = own.kind is not None and fold_name(own.kind) == GROUND
    return ground or len(own.species) > 1 or len(set(own.parts) - {Part.BONE}) > 1


def _some_kind_or_cut_counts(facts: Facts) -> bool:
    """Whether the file keeps any dog from a kind or a cut, or limits one; the default caps are not in the file."""
    words, forms = facts.given.words, (*facts.form.dogs, *filter(None, [facts.form.all_dogs]))
    avoided = [subject for form in forms for word in form.avoid for subject in words.avoided(word)]
    caps = [form.caps for form in forms] + ([facts.form.portioning.most_a_day] if facts.form.portioning else [])
    capped = [words.capped(word) for written in caps for word, most in written.items() if most is not None]
    return any(subject.measure in {Measure.KIND, Measure.CUT} for subject in (*avoided, *capped) if subject)


HARDLY_ANY_BONE = Fraction(1, 100)
"""A growing dog whose rules ask for less bone than this counts as one without. Source: our own choice."""


def _growing_dogs_get_calcium(facts: Facts) -> None:
    """Refuse each growing dog whose rules make sure of neither bone nor calcium."""
    forms = {fold_name(form.name): form for form in facts.form.dogs}
    for dog in facts.scenario.dogs:
        form = forms[fold_name(dog.name)]
        if dog.puppy and dog.care is None and not form.vet_asked_for_no_bone and not _calcium_is_sure(dog, form):
            message = f"no rule makes sure that `{dog.name}`, a growing dog, gets bone or calcium"
            place = form.key_at("targets") if form.says("targets") else form.at("name")
            note = "`vet_asked_for_no_bone: yes` where a veterinarian sees to its calcium"
            facts.note(
                "growing-dog-without-calcium", message, place, "write `bone: 10 % to 14 %` under its `targets`", note
            )


def _calcium_is_sure(dog: Dog, form: DogForm) -> bool:
    """Whether a rule asks for bone, one of the dog's own for calcium, or other food holds some.

    What `all_dogs` asks of calcium is what grown dogs need.
    """
    bone = any(target.part is Part.BONE and target.low >= HARDLY_ANY_BONE for target in dog.targets)
    own = {fold_name(name).split()[0] for name, asked in form.nutrients.items() if asked.low}
    calcium = "calcium" in own and "calcium" in dog.needs_kept
    return bone or calcium or bool(dog.other_food.analysis.of("calcium"))


DANGERS: tuple[Callable[[Facts], None], ...] = (
    _nothing_toxic,
    _no_cooked_bone,
    _mixes_tell_what_is_in_them,
    _growing_dogs_get_calcium,
)


OUTLIER_TIMES = 4
"""A price that many times the median of its like, or that part, is doubted. Source: common practice, no source."""

FAR_OUTLIER_TIMES = 10
"""As before, for kinds with few offers, compared with all offers. Source: common practice, no source."""

LEAST_TO_COMPARE = 4
"""The fewest offers of a kind, or in all, that make a median."""


@dataclass(frozen=True, slots=True)
class UsualPrice:
    """What a kilogram usually costs among `those`, and how many times more or less is doubted."""

    price: Fraction
    those: str
    times: int

    def fits(self, price: Fraction) -> bool:
        """Whether a price is near enough."""
        return self.price / self.times <= price <= self.price * self.times


def _prices_are_likely(facts: Facts) -> None:
    """Compare each price of a kilogram with those of its kind, or with all where there are few of its kind."""
    kinds = {cut.name: cut.kind for cut in facts.scenario.cuts}
    paid = [(offer, price) for offer in facts.scenario.offers if (price := price_per_kg(offer))]
    by_kind = _by_kind((kinds[offer.cut], price) for offer, price in paid)
    overall = _usual([price for _, price in paid], "all offers", FAR_OUTLIER_TIMES)
    for offer, price in paid:
        usual = by_kind.get(kinds[offer.cut], overall)
        if usual and not usual.fits(price):
            _note_outlier(offer, usual, facts)


def _by_kind(prices: Iterable[tuple[str, Fraction]]) -> dict[str, UsualPrice]:
    """What each kind that has enough offers usually costs."""
    groups: dict[str, list[Fraction]] = {}
    for kind, price in prices:
        groups.setdefault(kind, []).append(price)
    usual = {kind: _usual(group, "its kind", OUTLIER_TIMES) for kind, group in groups.items()}
    return {kind: usual for kind, usual in usual.items() if usual}


def _usual(prices: Sequence[Fraction], those: str, times: int) -> UsualPrice | None:
    return UsualPrice(median(prices), those, times) if len(prices) >= LEAST_TO_COMPARE else None


def _note_outlier(offer: Offer, usual: UsualPrice, facts: Facts) -> None:
    currency = facts.scenario.currency
    price = currency.text(currency.rounded(price_per_kg(offer)))
    message = f"`{offer.cut}` at {price} per kg is far from {usual.those}"
    note = f"the median of {usual.those} is {currency.text(currency.rounded(usual.price))} per kg"
    if offer.place:
        facts.note("price-outlier", message, offer.place, "check the price and what it is for", note)


def _nothing_for_nothing(facts: Facts) -> None:
    """Doubt a price of nothing: a gift is fine, a slip is not."""
    for _, line in facts.lines:
        prices = [
            (line.price, line.at("price")),
            *((price_break.price, price_break.at("price")) for price_break in line.price_breaks),
        ]
        for price, place in prices:
            if price.amount == 0:
                message = f"`{line.cut}` costs nothing here"
                facts.note("price-of-nothing", message, place, "check the price, unless it is a gift")


PRICES: tuple[Callable[[Facts], None], ...] = (_prices_are_likely, _nothing_for_nothing)


MOST_NAMED = 4
"""The most dogs named in one finding; more are counted."""

STATE_ENERGY = "state it of 100 g as bought, as the label gives it: `analysis: {energy: ... kcal}`"


def _supplements_are_asked_for(facts: Facts) -> None:
    scenario, given = facts.scenario, facts.given
    if any(dog.takes_supplements for dog in scenario.dogs) or given.lost & {"dogs", "all_dogs"}:
        return
    for supplement in facts.form.supplements:
        message = f"no rule on nutrients asks for anything, so `{supplement.supplement}` is given to nobody"
        help_ = "add `nutrients: {...}` to a dog or to `all_dogs`"
        facts.note("unused-supplement", message, supplement.at("supplement"), help_)


def _something_holds_what_is_asked(facts: Facts) -> None:
    scenario = facts.scenario
    analyses = [*(cut.analysis for cut in scenario.cuts), *(supplement.analysis for supplement in scenario.supplements)]
    if facts.given.lost & {"cuts", "suppliers", "on_hand", "own_cuts", "supplements"} or not analyses:
        return
    told = set()
    for key, asked in _asked(facts):
        if asked not in told and not any(analysis.of(key) for analysis in analyses):
            told.add(asked)
            message = f"nothing that is offered has a known amount of {nutrient_of(key).name}"
            help_ = "give an `analysis` that holds it, or a supplement, or take the rule out"
            place = next(place for where, place in scenario.places if where.endswith(f"nutrients {asked}"))
            facts.note("nothing-known-of-nutrient", message, place, help_)


def _asked(facts: Facts) -> Iterator[tuple[str, str]]:
    """The nutrients of which some rule wants at least so much, and what the rule is written under."""
    for dog in facts.scenario.dogs:
        for limit in dog.nutrient_limits:
            if limit.low:
                yield limit.nutrient, fold_name(nutrient_of(limit.nutrient).name)
        for ratio in dog.ratio_limits:
            if ratio.low:
                name = f"{nutrient_of(ratio.over).name} to {nutrient_of(ratio.under).name}"
                yield ratio.over, fold_name(name)


def _energy_is_known(facts: Facts) -> None:
    """One note of all cuts that are left out where energy counts; an error where that leaves a dog nothing."""
    scenario = facts.scenario
    counting = [dog for dog in scenario.dogs if dog.counts_energy]
    unknown = [cut for cut in scenario.cuts if cut.kcal_per_g is None and not all(dog.avoids(cut) for dog in counting)]
    if not unknown:
        return
    without = [dog for dog in counting if not all(map(dog.avoids, unknown))]
    starved = [dog for dog in without if all(dog.avoids(cut) or cut.kcal_per_g is None for cut in scenario.cuts)]
    cuts = _listed(unknown)
    if not starved:
        message = f"nobody knows the energy of {cuts}; {_dogs_named(without)}, fed by energy, will get none of it"
        facts.note("energy-not-known", message, _place_of(unknown[0], facts), STATE_ENERGY)
    elif starved[0].place and not facts.given.lost & {"cuts", "suppliers", "on_hand", "own_cuts"}:
        message = f"nobody knows the energy of anything that {_dogs_named(starved)} may eat: {cuts}"
        facts.note("no-energy-known", message, starved[0].place, STATE_ENERGY)


def _nothing_destroys_what_is_asked(facts: Facts) -> None:
    """One note for each nutrient of all cuts that are left out as they can destroy it where a rule asks for it."""
    scenario = facts.scenario
    for key in dict.fromkeys(key for cut in scenario.cuts for key in cut.destroys):
        asking = [dog for dog in scenario.dogs if key in dog.needs_kept]
        cuts = [cut for cut in scenario.cuts if key in cut.destroys and not all(dog.avoids(cut) for dog in asking)]
        dogs = [dog for dog in asking if not all(map(dog.avoids, cuts))]
        if dogs and cuts:
            name = nutrient_of(key).name
            message = (
                f"{_listed(cuts)} can destroy {name}, which a rule asks for; {_dogs_named(dogs)} will get none of it"
            )
            help_ = f"take the rule on {name} out if this is to be fed, and ask a veterinarian"
            facts.note("destroys-what-is-asked", message, _place_of(cuts[0], facts), help_)


def _place_of(cut: Cut, facts: Facts) -> Place:
    """Where the cut is first offered, or lies on hand."""
    places = [offer.place for offer in facts.scenario.offers if offer.cut == cut.name]
    places += [lot.place for lot in facts.scenario.on_hand if lot.cut == cut.name]
    return next(filter(None, places), facts.form.place)


def _listed(cuts: Sequence[Cut]) -> str:
    return join_in_backticks((cut.name for cut in cuts), "and")


def _dogs_named(dogs: Sequence[Dog]) -> str:
    """The dogs by name, or how many they are."""
    return join_in_backticks((dog.name for dog in dogs), "and") if len(dogs) <= MOST_NAMED else f"{len(dogs)} dogs"


NUTRIENT_CHECKS = (
    _supplements_are_asked_for,
    _something_holds_what_is_asked,
    _energy_is_known,
    _nothing_destroys_what_is_asked,
)


OLD_LIST_DAYS = 60
"""A price list older than this at the start of the batch is doubted. Source: common practice, no source."""


def check_sense(facts: Facts) -> None:
    """Note everything that makes no sense."""
    for check in CHECKS:
        check(facts)


def _someone_to_feed(facts: Facts) -> None:
    if facts.scenario.dogs or "dogs" in facts.given.lost:
        return
    if not facts.form.dogs:
        facts.note("no-dogs", "the scenario has no dog", facts.form.at("dogs"), "add a dog under `dogs`")
    elif not facts.given.notes.refuse:
        message = "no dog is there on any day of the batch"
        facts.note("no-dogs", message, facts.form.key_at("dogs"), "take days out of `away`, or do without a plan")


def _something_to_feed(facts: Facts) -> None:
    nothing = not facts.lines and not facts.form.on_hand
    if nothing and not facts.given.lost & {"cuts", "suppliers", "on_hand"}:
        help_ = "add offers under `cuts` or `suppliers`, or what is `on_hand`"
        place = facts.form.key_at("suppliers") if facts.form.says("suppliers") else facts.form.place
        facts.note("nothing-to-feed", "the scenario has nothing to feed", place, help_)


def _frozen_before_the_batch(facts: Facts) -> None:
    if "batch" in facts.given.lost:
        return
    frozen = [(lot.cut, lot.frozen, lot.at("frozen")) for lot in facts.form.on_hand]
    frozen += [
        (line.cut, line.comes_frozen.since, line.at("comes_frozen")) for _, line in facts.lines if line.comes_frozen
    ]
    for cut, day, place in frozen:
        if day is not None and day > facts.scenario.batch.starts:
            facts.note("frozen-in-future", f"`{cut}` was frozen after the batch begins", place, "check the day")


def _lots_are_frozen_for_long_enough(facts: Facts) -> None:
    scenario = facts.scenario
    for lot in scenario.on_hand if "batch" not in facts.given.lost else ():
        asked_days = scenario.held_days(scenario.cut(lot.cut))
        if lot.place is None or not scenario.waits(lot):
            continue
        if lot.frozen_on is None:
            by = scenario.portioned_on - timedelta(asked_days)
            says = f"nothing says since when `{lot.cut}` has been frozen"
            remedy = f"add `frozen: {by}` if it was frozen by then"
        else:
            says = f"`{lot.cut}` was frozen on {lot.frozen_on}"
            remedy = f"keep it for bags that are filled from {lot.frozen_on + timedelta(asked_days)} on"
        says = f"{says}; it must be for {asked_days} days, so no healthy dog gets it in this batch"
        facts.note("waits-in-freezer", says, lot.place, remedy)


def _lots_hold_a_piece(facts: Facts) -> None:
    for lot in facts.scenario.on_hand:
        piece_g = facts.scenario.portioning.whole_piece_g(facts.scenario.cut(lot.cut))
        if piece_g and lot.grams < piece_g and lot.place:
            unit = facts.scenario.weight_unit
            weight, piece = grams_text(lot.grams, unit), grams_text(piece_g, unit)
            message = f"{weight} of `{lot.cut}` is less than a piece of {piece}, so no dog gets a whole piece of it"
            facts.note("less-than-a-piece", message, lot.place, f"write `piece: {weight}` if it is one small piece")


def _lists_are_fresh(facts: Facts) -> None:
    for supplier in facts.form.suppliers:
        if supplier.list_date is None or "batch" in facts.given.lost:
            continue
        age_days = (facts.scenario.batch.starts - supplier.list_date).days
        if age_days > OLD_LIST_DAYS:
            message = f"the price list of `{supplier.name}` is {age_days} days old when the batch begins"
            facts.note("old-price-list", message, supplier.at("list_date"), "ask for a new one")


def _deliveries_make_sense(facts: Facts) -> None:
    for supplier in facts.form.suppliers:
        if supplier.free_delivery_from is not None and not supplier.delivery:
            message = f"`{supplier.name}` charges no delivery, so none becomes free"
            facts.note(
                "free-delivery-unused",
                message,
                supplier.at("free_delivery_from"),
                "add `delivery: ...`, or take it out",
            )


def _minimums_within_budget(facts: Facts) -> None:
    budget = facts.form.budget
    for supplier in facts.form.suppliers:
        if budget is not None and supplier.minimum_order is not None and supplier.minimum_order > budget:
            message = f"the minimum order of `{supplier.name}` is above the budget, so it cannot be used"
            facts.note("minimum-above-budget", message, supplier.at("minimum_order"), "check both amounts")


def _suppliers_offer_something(facts: Facts) -> None:
    if facts.given.lost & {"suppliers", "supplements"}:
        return
    sellers = {fold_name(supplement.supplier) for supplement in facts.form.supplements if supplement.supplier}
    for supplier in facts.form.suppliers:
        if not supplier.cuts and supplier.price_list is None and fold_name(supplier.name) not in sellers:
            message = f"`{supplier.name}` offers nothing"
            facts.note("no-offers", message, supplier.at("name"), "add `cuts` or a `price_list`")


def _density_is_used(facts: Facts) -> None:
    for freezer in (facts.form.freezer, *(owner.freezer for owner in facts.form.owners)):
        if freezer is not None and freezer.kg_per_litre is not None and freezer.room.litres is None:
            message, place = "`kg_per_litre` does not count while the room is a weight", freezer.key_at("kg_per_litre")
            facts.note("unused-value", message, place, "write the room in litres, or take it out")


def _variety_fits(facts: Facts) -> None:
    variety, form = facts.scenario.variety, facts.form.variety
    if form is None:
        return
    if (
        variety.most_share < variety.least_share
        or variety.most_share == 0
        or variety.least_species * variety.least_share > 1
    ):
        message = "so many species of such shares do not fit into one ration"
        facts.note("variety-not-whole", message, form.place, "ask for fewer species or smaller shares")


CHECKS: tuple[Callable[[Facts], None], ...] = (
    _something_to_feed,
    *DANGERS,
    _frozen_before_the_batch,
    _lots_are_frozen_for_long_enough,
    _lots_hold_a_piece,
    _lists_are_fresh,
    _deliveries_make_sense,
    _minimums_within_budget,
    _suppliers_offer_something,
    _density_is_used,
    _variety_fits,
    *NUTRIENT_CHECKS,
    *PRICES,
    _someone_to_feed,
)
