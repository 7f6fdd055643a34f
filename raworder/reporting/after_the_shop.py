"""After the shop: what is short, which targets it misses, what was paid, and what must still be fetched."""

from collections.abc import Iterator

from raworder.reporting.bag_book import bag_book
from raworder.reporting.balanced_weeks import full_days
from raworder.reporting.freezing import freezer_overflow
from raworder.reporting.shares import species_demands
from raworder.reporting.words import join_names, paper, range_text, subject_text
from raworder.trade.after_a_batch import variance_text
from raworder.trade.document import Block, Column, Document, Fact, Facts, Holds, Paragraph, Points, Table
from raworder.trade.plan import Plan
from raworder.trade.purchase import AfterTheShop, Missed
from raworder.trade.scenario import Scenario
from raworder.trade.units import grams_text

COLUMNS = (
    Column("dog", "Dog"),
    Column("what", "What"),
    Column("asked", "Asked"),
    Column("share", "Can get", Holds.SHARE),
    Column("off_g", "Off by", Holds.GRAMS),
    Column("off_to", "That is"),
)


def after_the_shop(scenario: Scenario, after: AfterTheShop, plan: Plan | None = None) -> Document:
    """The first paper after the shop; `plan` is the one by which bags are filled, if there is one."""
    return paper(scenario, "after_the_shop", "After the shop", _blocks(scenario, after, plan))


def _blocks(scenario: Scenario, after: AfterTheShop, plan: Plan | None) -> Iterator[Block]:
    """What to fetch, what is short, the money, the targets missed, the days that hold too much, else what helps."""
    if after.fetched:  # what to fetch comes first; where there is nothing to fetch, what is short
        yield from _suggest_remedy(scenario, after)
    yield from (Paragraph(text) for text in _explain_shortage(scenario, after))
    yield _money(after)
    if after.variance:
        yield Paragraph(variance_text(after.variance, scenario.currency))
    if after.missed:
        yield _missed_table(after)
    if plan:
        yield from map(Paragraph, _over_limits(scenario, plan))
        yield from full_days(bag_book(plan))
    if not after.fetched:
        yield from _suggest_remedy(scenario, after)


def _money(after: AfterTheShop) -> Facts:
    """What was paid, planned and is still to pay, and how much food is missing."""
    money = [Fact("paid", "Paid", after.paid, Holds.MONEY)]
    if after.planned is not None:
        money.append(Fact("planned", "Planned", after.planned, Holds.MONEY))
    if after.to_fetch is not None:
        money.append(Fact("to_fetch", "Still to pay", after.to_fetch, Holds.MONEY))
    if after.short_g:
        if after.missing_g:
            money.append(Fact("missing_g", "Food missing", after.missing_g, Holds.GRAMS))
        money.append(Fact("short_g", "Fed less than asked", after.short_g, Holds.GRAMS))
    return Facts("after_the_shop", tuple(money))


def _over_limits(scenario: Scenario, plan: Plan) -> Iterator[str]:
    """By how much the bills exceed the budget, and the food what the freezer holds."""
    original = scenario.as_asked
    if original.budget is not None and plan.total > original.budget:
        over, budget = (scenario.currency.text(amount) for amount in (plan.total - original.budget, original.budget))
        yield f"The bills come to {over} more than the budget of {budget}."
    overflow = freezer_overflow(bag_book(plan))
    if overflow:
        yield overflow


def _explain_shortage(scenario: Scenario, after: AfterTheShop) -> Iterator[str]:
    """What is short: first the food as a whole, then each part of the ration."""
    unit = scenario.weight_unit
    if after.short_g:
        yield _too_little_text(after, unit)
    if after.any_species:
        demands = species_demands(scenario.as_asked.variety)
        yield f"Not the species that were asked for: {demands}. If nothing is fetched, nothing is asked of species."
    short: dict[str, list[Missed]] = {}
    for miss in after.missed:
        if _is_short(miss):
            short.setdefault(subject_text(miss.subject), []).append(miss)
    if short:
        shortages = [
            f"{_total_text(misses, unit)} of {what} ({_misses_by_dog(misses, unit)})" for what, misses in short.items()
        ]
        yield f"Short of {join_names(shortages)}."
    elif after.missed and not after.short_g:
        excesses = [
            f"{subject_text(miss.subject)} ({miss.dog} {grams_text(miss.off_g, unit)})" for miss in after.missed
        ]
        yield f"Enough food, but no way to feed it without too much {join_names(excesses)}."


def _too_little_text(after: AfterTheShop, unit: str) -> str:
    """How much food is missing, or cannot be fed, and by how much the dogs then get less."""
    less, needed, there = (grams_text(grams, unit) for grams in (after.short_g, after.needed_g, after.there_g))
    cut = "Every ration is then cut by the same share, but what a veterinarian gave is not."
    # What is fed is the need less the shortage; what is there beyond that stays uneaten.
    unfed_g = after.there_g + after.short_g - after.needed_g
    unfed = f"{grams_text(unfed_g, unit)} of it is left over, as not every dog may eat all of it and pieces stay whole"
    if not after.missing_g:
        return (
            f"Too little food that can be fed. The dogs need {needed} and {there} is bought or on hand, but {unfed}. "
            f"If nothing is fetched, the dogs get {less} less than they need. {cut}"
        )
    left = f", and {unfed}: the dogs get {less} less than they need" if unfed_g > 0 and after.filled else ""
    missing = grams_text(after.missing_g, unit)
    return (
        f"Too little food: {missing} is missing. The dogs need {needed}; {there} is bought or on hand. If nothing is "
        f"fetched, that is all there is{left}. {cut}"
    )


def _total_text(missed: list[Missed], unit: str) -> str:
    """The grams missed in all."""
    return grams_text(sum(miss.off_g for miss in missed), unit)


def _misses_by_dog(missed: list[Missed], unit: str) -> str:
    """What each dog misses; of a single dog only its name."""
    if len(missed) == 1:
        return missed[0].dog
    return join_names([f"{miss.dog} {grams_text(miss.off_g, unit)}" for miss in missed])


def _is_short(miss: Missed) -> bool:
    """Whether a dog gets too little of it, rather than too much."""
    return miss.share < miss.low


def _missed_table(after: AfterTheShop) -> Table:
    """The targets missed, shortages first: what there is too much of mostly stands in for what is short."""
    # Sorting is stable, so dogs keep their order among the shortages and among the excesses.
    shortages_first = sorted(after.missed, key=_is_short, reverse=True)
    rows = tuple(
        (
            miss.dog,
            subject_text(miss.subject),
            range_text(miss.low, miss.high),
            miss.share,
            miss.off_g,
            _direction(miss),
        )
        for miss in shortages_first
    )
    filling = any(map(_is_short, after.missed)) and not all(map(_is_short, after.missed))
    filling_note = " What is too much only fills the rations in place of what is short." if filling else ""
    note = f"These are missed if nothing is fetched, all together by as few grams as can be.{filling_note}"
    return Table("missed", "Targets missed with what was bought", COLUMNS, rows, note=note)


def _direction(miss: Missed) -> str:
    """Whether the dog gets too little or too much."""
    return "too little" if _is_short(miss) else "too much"


def _suggest_remedy(scenario: Scenario, after: AfterTheShop) -> Iterator[Block]:
    """What to do now: nothing, fetch something, or feed what there is."""
    if not after.filled:
        yield Paragraph(
            "No bags can be filled with what there is: fetch something, or feed by hand and ask a veterinarian."
        )
    elif after.as_it_is:
        yield Paragraph(
            "What follows is for what was bought and nothing else; some targets are missed in this batch. "
            "Ask a veterinarian when in doubt."
        )
    elif after.fetched:
        title = f"The cheapest to fetch, {scenario.currency.text(after.to_fetch or scenario.currency.minor * 0)}"
        yield Points("to_fetch", title, after.fetched)
        yield Paragraph(
            "What follows is for what was bought and this together. With `--as-it-is` it is for what was "
            "bought alone. Room and budget do not count any more, and a minimum order may ask for more than is "
            "missing."
        )
    elif after.missed or after.short_g or after.any_species:
        yield Paragraph("No substitute is on these lists. With `--as-it-is` the bags are filled all the same.")
    elif after.enough:
        yield Paragraph("What was bought and what is on hand does: every dog is fed within its rules.")
    else:
        yield Paragraph("What was bought does not do, and nothing that could be fetched was found.")
