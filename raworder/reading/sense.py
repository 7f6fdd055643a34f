"""Whether a scenario makes sense as a whole: a tuple of small checks, each of which notes what it doubts or refuses."""

from collections.abc import Callable

from raworder.reading.dangers import DANGERS
from raworder.reading.facts import Facts
from raworder.reading.likely_prices import PRICES
from raworder.reading.names import folded
from raworder.reading.nutrient_sense import NUTRIENT_CHECKS
from raworder.units import grams_text

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
    for lot in facts.form.on_hand:
        if lot.frozen is not None and lot.frozen > facts.scenario.batch.starts and "batch" not in facts.given.lost:
            message = f"`{lot.cut}` was frozen after the batch begins"
            facts.note("frozen-in-future", message, lot.at("frozen"), "check the day")


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
    sellers = {folded(one.supplier) for one in facts.form.supplements if one.supplier}
    for supplier in facts.form.suppliers:
        if not supplier.cuts and supplier.price_list is None and folded(supplier.name) not in sellers:
            message = f"`{supplier.name}` offers nothing"
            facts.note("no-offers", message, supplier.at("name"), "add `cuts` or a `price_list`")


def _density_is_used(facts: Facts) -> None:
    freezer = facts.form.freezer
    if freezer is not None and freezer.kg_per_litre is not None and freezer.room.litres is None:
        message = "`kg_per_litre` does not count while the room is a weight"
        facts.note("unused-value", message, freezer.key_at("kg_per_litre"), "write the room in litres, or take it out")


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
