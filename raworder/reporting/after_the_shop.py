"""After the shop: what is short and so missed, what was paid as against the plan, and what must still be fetched."""

from collections.abc import Iterator

from raworder.reporting.bag_book import bag_book
from raworder.reporting.balanced_weeks import full_days
from raworder.reporting.freezing import freezer_overflow
from raworder.reporting.shares import species_demands
from raworder.reporting.words import join_names, paper, range_text, subject_text
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
    """The paper that comes first after the shop; `plan` is what its bags are filled by, if there is one."""
    return paper(scenario, "after_the_shop", "After the shop", _blocks(scenario, after, plan))


def _blocks(scenario: Scenario, after: AfterTheShop, plan: Plan | None) -> Iterator[Block]:
    """What is short, money, what is missed for it, which days hold too much, then what helps."""
    yield from (Paragraph(text) for text in _causes(scenario, after))
    money = [Fact("paid", "Paid", after.paid, Holds.MONEY)]
    if after.planned is not None:
        money.append(Fact("planned", "Planned", after.planned, Holds.MONEY))
    if after.to_fetch is not None:
        money.append(Fact("to_fetch", "Still to pay", after.to_fetch, Holds.MONEY))
    if after.short_g:
        if after.missing_g:
            money.append(Fact("missing_g", "Food missing", after.missing_g, Holds.GRAMS))
        money.append(Fact("short_g", "Fed less than asked", after.short_g, Holds.GRAMS))
    yield Facts("after_the_shop", tuple(money))
    if after.missed:
        yield _missed(after)
    if plan:
        yield from map(Paragraph, _over_limits(scenario, plan))
        yield from full_days(bag_book(plan))
    yield from _what_helps(scenario, after)


def _over_limits(scenario: Scenario, plan: Plan) -> Iterator[str]:
    """By how much what is bought is above the budget, and above what the freezer holds."""
    asked = scenario.as_asked
    if asked.budget is not None and plan.total > asked.budget:
        over, budget = (scenario.currency.text(number) for number in (plan.total - asked.budget, asked.budget))
        yield f"The bills come to {over} more than the budget of {budget}."
    over_the_room = freezer_overflow(bag_book(plan))
    if over_the_room:
        yield over_the_room


def _causes(scenario: Scenario, after: AfterTheShop) -> Iterator[str]:
    """What there is too little of, first in all, then by part of the ration; the rest follows from it."""
    unit = scenario.weight_unit
    if after.short_g:
        yield _too_little(after, unit)
    if after.any_species:
        asked = species_demands(scenario.as_asked.variety)
        yield f"Not the species that were asked for: {asked}. If nothing is fetched, nothing is asked of species."
    short: dict[str, list[Missed]] = {}
    for miss in after.missed:
        if _is_short(miss):
            short.setdefault(subject_text(miss.subject), []).append(miss)
    if short:
        told = [f"{_sum_text(ones, unit)} of {what} ({_by_dog(ones, unit)})" for what, ones in short.items()]
        yield f"Short of {join_names(told)}."
    elif after.missed and not after.short_g:
        told = [f"{subject_text(miss.subject)} ({miss.dog} {grams_text(miss.off_g, unit)})" for miss in after.missed]
        yield f"Enough food, but no way to feed it without too much {join_names(told)}."


def _too_little(after: AfterTheShop, unit: str) -> str:
    """How much food is missing, or cannot be fed, and by how much the dogs then get less."""
    less, needed, there = (grams_text(grams, unit) for grams in (after.short_g, after.needed_g, after.there_g))
    cut = "Every ration is then cut by the same share, but what a veterinarian gave is not."
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


def _sum_text(missed: list[Missed], unit: str) -> str:
    """What is missed together."""
    return grams_text(sum(miss.off_g for miss in missed), unit)


def _by_dog(missed: list[Missed], unit: str) -> str:
    """What each dog misses, or which dog it is."""
    if len(missed) == 1:
        return missed[0].dog
    return join_names([f"{miss.dog} {grams_text(miss.off_g, unit)}" for miss in missed])


def _is_short(miss: Missed) -> bool:
    """Whether a dog gets too little of it, rather than too much."""
    return miss.share < miss.low


def _missed(after: AfterTheShop) -> Table:
    """What is missed, what is short first: what there is too much of mostly stands in for it."""
    in_order = sorted(after.missed, key=_is_short, reverse=True)
    rows = tuple(
        (miss.dog, subject_text(miss.subject), range_text(miss.low, miss.high), miss.share, miss.off_g, _off_to(miss))
        for miss in in_order
    )
    filling = any(map(_is_short, after.missed)) and not all(map(_is_short, after.missed))
    why = " What is too much only fills the rations in place of what is short." if filling else ""
    note = f"These are missed if nothing is fetched, all together by as few grams as can be.{why}"
    return Table("missed", "Targets missed with what was bought", COLUMNS, rows, note=note)


def _off_to(miss: Missed) -> str:
    """To which side a dog is off."""
    return "too little" if _is_short(miss) else "too much"


def _what_helps(scenario: Scenario, after: AfterTheShop) -> Iterator[Block]:
    """That it does, that it does as it is, or what to fetch."""
    if not after.filled:
        yield Paragraph(
            "No bags can be filled with what there is: fetch something, or feed by hand and ask a veterinarian."
        )
    elif after.as_it_is:
        yield Paragraph(
            "The papers below are for what was bought and nothing else; the targets above are missed in this batch. "
            "Ask a veterinarian when in doubt."
        )
    elif after.fetched:
        title = f"The cheapest to fetch, {scenario.currency.text(after.to_fetch or scenario.currency.minor * 0)}"
        yield Points("to_fetch", title, after.fetched)
        yield Paragraph(
            "The papers below are for what was bought and this together. With `--as-it-is` they are for what was "
            "bought alone. Room and budget do not count any more, and a minimum order may ask for more than is "
            "missing."
        )
    elif after.missed or after.short_g or after.any_species:
        yield Paragraph("No substitute is on these lists. With `--as-it-is` the bags are filled all the same.")
    elif after.enough:
        yield Paragraph("What was bought and what is on hand does: every dog is fed within its rules.")
    else:
        yield Paragraph("What was bought does not do, and nothing that could be fetched was found.")
