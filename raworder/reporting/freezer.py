"""What the freezer gives first and gets back, as parts of the shopping list."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from raworder.document import Block, Column, Holds, Table
from raworder.plan import LotUse, Plan
from raworder.reporting.books import left
from raworder.trade import Scenario

UNDATED = "Where no day is known it is taken for the oldest."


def freezer_blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """What to take from the freezer and what goes back, where there is any."""
    if any(lot.used_g for lot in plan.lots_used):
        yield from_freezer(scenario, plan)
    if left(plan):
        yield back_to_freezer(scenario, plan)


def from_freezer(scenario: Scenario, plan: Plan) -> Table:
    """The lots that are used, oldest first; a lot of unknown age comes before all others."""

    def age(use: LotUse) -> tuple[date, int]:
        """The day the lot was frozen, or the earliest of all days; then its number."""
        return (scenario.on_hand[use.lot].frozen_on or date.min, use.lot)

    lots = [(scenario.on_hand[use.lot], use) for use in sorted(plan.lots_used, key=age) if use.used_g]
    return Table(
        "from_freezer",
        "Do not buy: take from the freezer, oldest first",
        (
            Column("used_g", "Take", Holds.GRAMS),
            Column("cut", "Cut"),
            Column("frozen_on", "Frozen on", Holds.DAY),
            Column("lot_g", "Of", Holds.GRAMS),
        ),
        tuple((use.used_g, lot.cut, lot.frozen_on, lot.grams) for lot, use in lots),
        note="" if all(lot.frozen_on for lot, _ in lots) else UNDATED,
        tick=True,
    )


def back_to_freezer(scenario: Scenario, plan: Plan) -> Table:
    """What is not fed in this batch, and what it cost."""
    rest = left(plan)
    worth = sum((one.worth for one in rest), Decimal(0))
    on_hand_g, bought_g = sum(one.on_hand_g for one in rest), sum(one.bought_g for one in rest)
    return Table(
        "back_to_freezer",
        "Left over: goes back to the freezer",
        (
            Column("cut", "Cut"),
            Column("left_g", "Left over", Holds.GRAMS),
            Column("bought_g", "Bought now", Holds.GRAMS),
            Column("on_hand_g", "On hand before", Holds.GRAMS),
            Column("worth", f"Worth {scenario.currency.code}", Holds.MONEY),
        ),
        tuple((one.cut, one.total_g, one.bought_g, one.on_hand_g, one.worth) for one in rest),
        (("together", on_hand_g + bought_g, bought_g, on_hand_g, worth),),
        note="Worth is the price of the goods bought now, before tax and delivery; what was on hand counts nothing.",
    )
