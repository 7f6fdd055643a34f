"""The shop page: what one supplier is asked for, what to take instead, what to bring; one page for each supplier."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import timedelta

from raworder.reporting.cautions import asked_here, numbered_cautions, only_about
from raworder.reporting.counter_sheet import TWO_HOURS
from raworder.reporting.order import bill_lines, buy_by, is_bought, order_table
from raworder.reporting.summary import most_to_pay_for
from raworder.reporting.words import paper
from raworder.trade.cuts import FREEZE_FIRST, PLANT, FreezeFirst, freeze_first_keys
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.fingerprint import batch_number
from raworder.trade.plan import Bill, Plan
from raworder.trade.scenario import YOUR_LIST, CautionPlace, Scenario
from raworder.trade.units import day_text

COLD = (
    "Raw food last, in a cold bag, straight home: at most 2 hours out of the refrigerator, 1 hour above 32 C (90 F).",
    "Out of the cold at ____ : ____, back in the cold at ____ : ____",
    "Take nothing that is warm, leaks or smells off, and keep it apart from food for people.",
)

MISSING = (
    "One thing missing at a time, all else as planned; more is for the whole order. Plan again from the receipt before "
    "you fill the bags. A dog that must not eat something, or that a veterinarian feeds, gets nothing not named here."
)

GOT, PAID = Column("got", "Got", Holds.BLANK), Column("paid", "Paid", Holds.BLANK)
"""What is written by hand in the shop."""


def shop_pages(scenario: Scenario, plan: Plan, card: Document | None = None) -> Iterator[Document]:
    """A page for each supplier of whom something is still to buy; `card` says what to take instead."""
    to_buy = (bill for bill in plan.bills if not is_bought(scenario, plan, bill))
    return (shop_page(scenario, plan, bill, card) for bill in to_buy)


def shop_page(scenario: Scenario, plan: Plan, bill: Bill, card: Document | None = None) -> Document:
    """What one supplier is asked for, with room for what was really got and paid, and what to take instead."""
    title = "Shop" if bill.supplier == YOUR_LIST else f"Shop: {bill.supplier}"
    return paper(scenario, "shopping_list", title, _blocks(scenario, plan, bill, card), at_arms_length=True)


def _blocks(scenario: Scenario, plan: Plan, bill: Bill, card: Document | None) -> Iterator[Block]:
    """When to go and what to bring, the lines to tick, what to take instead, what to take care of."""
    yield Paragraph(_head(scenario, plan, bill))
    yield _order_by_hand(scenario, plan, bill)
    # The card has a table for each supplier, titled with its name.
    for block in card.blocks if card else ():
        if isinstance(block, Table) and block.shown and block.title == bill.supplier:
            yield _first_choices(block)
    cuts = dict.fromkeys(offer.cut for _, offer in bill_lines(scenario, plan, bill))
    frozen = [
        (name, first) for name in cuts for first in map(FREEZE_FIRST.__getitem__, freeze_first_keys(scenario.cut(name)))
    ]
    if frozen:
        yield Points("freeze_first", "Ask for it frozen", *_freezing_demands(scenario, frozen))
    numbered = tuple(only_about(cuts, numbered_cautions(scenario, plan)))
    yield from asked_here(CautionPlace.SHOP, numbered)
    yield from asked_here(CautionPlace.FREEZER, numbered, "At home, before the bags are filled")
    if any(set(scenario.cut(name).species_names) != {PLANT} for name in cuts):
        yield Points("cold", "Keep it cold", COLD, (TWO_HOURS,))


def _head(scenario: Scenario, plan: Plan, bill: Bill) -> str:
    """By when to buy, what to bring, and for which batch it is."""
    pay, most = bill.total, most_to_pay_for(scenario, plan, bill)
    heavy = f", and {scenario.currency.text(most)} if every pack is as heavy as it can be" if most != pay else ""
    cut = any(offer.by_weight for _, offer in bill_lines(scenario, plan, bill))
    over = " Have a little over, as what is cut to order never weighs just that." if cut and not heavy else ""
    have = "Have ready" if scenario.supplier(bill.supplier).delivery else "Bring"
    return (
        f"To be at home by {day_text(buy_by(scenario, plan))}; the bags are filled on "
        f"{day_text(scenario.portioned_on)}. {have} {scenario.currency.text(pay)}{heavy}.{over} Keep the receipt. "
        f"Batch {batch_number(scenario)}."
    )


def _order_by_hand(scenario: Scenario, plan: Plan, bill: Bill) -> Table:
    """The order with room for what was really got and paid."""
    order = order_table(scenario, plan, bill)

    def add_room(row: tuple[Cell, ...]) -> tuple[Cell, ...]:
        """A row with two empty cells at its end."""
        return (*row, None, None)

    rows, totals = tuple(map(add_room, order.rows)), tuple(map(add_room, order.totals))
    return replace(order, title="", columns=(*order.columns, GOT, PAID), rows=rows, totals=totals)


def _first_choices(card: Table) -> Table:
    """What to take for each line that is sold out: the first choice, as there is no time for more in a shop."""
    place = [column.key for column in card.columns].index("choice")
    rows = tuple(row for row in card.rows if row[place] == "first")
    return replace(card, title="Sold out?", rows=rows, note=MISSING)


def _freezing_demands(
    scenario: Scenario, cuts: Sequence[tuple[str, FreezeFirst]]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What must be frozen before it is fed, and how long, with the sources; when to buy it where it is held first."""
    ask = "Ask whether it has, and take it frozen if so."
    if scenario.hold_days:
        buy_by = day_text(scenario.portioned_on - timedelta(days=scenario.hold_days))
        ask = f"Buy it by {buy_by}, and keep it frozen for {scenario.hold_days} days before its bags are filled."
    items = (
        f"{name}: before it is fed it must have been frozen {first.how_cold} for {first.days} days. {ask}"
        for name, first in cuts
    )
    return tuple(items), tuple(dict.fromkeys(first.source for _, first in cuts))
