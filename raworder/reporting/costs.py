"""The costs: what each dog eats at the price really paid, rounded so that it adds up to the bills."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.words import paper
from raworder.trade.batch_facts import NO_OWNER
from raworder.trade.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Table
from raworder.trade.plan import Bill, Plan
from raworder.trade.rounding import apportion
from raworder.trade.scenario import FedScenario, Scenario

HOW = (
    "Each dog pays for what it eats, at the price paid, plus its share of tax and delivery. What was on hand costs "
    "nothing. What is left over has its own line; here it includes tax and delivery, on the shopping list it does not."
)
SHARED = "Owners pay for what is left over too, by what their dogs eat of that cut."
PARTS = "The price of each cut is spread over its parts by weight: bone costs as much as the meat around it."
LEFT_OVER = "left over, back to the freezer"
LEFT_OVER_TOO = "left over, back to the freezer or the shelf"


def costs(scenario: FedScenario, plan: Plan) -> Document:
    """The cost of a dog-day, of each dog and each owner, and what every supplier is paid."""
    return paper(scenario, "costs", "What it costs", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """From the cost of a dog-day, which can be compared between batches, to the bills behind it."""
    costs = plan.facts.costs
    dogs, left_over = costs.dogs, costs.left_over
    if scenario.dog_days:
        per_day = scenario.currency.rounded(Fraction(plan.total) / scenario.dog_days)
        yield Facts("cost_per_dog_day", (Fact("cost_per_dog_day", "Per dog-day, all in", per_day, Holds.MONEY),))
    yield _dog_table(scenario, dogs, left_over)
    if any(dog.owner for dog in scenario.dogs):
        yield _owner_table(scenario, dogs, left_over, dict(costs.owners))
    if plan.bills:
        yield _bill_table(scenario, plan)
        parts = _rounded_part_costs(scenario, plan)
        yield _part_table(scenario, parts)
    yield Paragraph(HOW)


def _dog_table(scenario: Scenario, dogs: tuple[Decimal, ...], left_over: Decimal) -> Table:
    """What each dog costs, over the batch and a day."""
    rows: list[tuple[Cell, ...]] = [
        (dog.name, dog.days, cost, scenario.currency.rounded(Fraction(cost) / dog.days) if dog.days else None)
        for dog, cost in zip(scenario.dogs, dogs, strict=True)
    ]
    if left_over:
        rows.append((LEFT_OVER_TOO if scenario.supplement_offers else LEFT_OVER, None, left_over, None))
    code = scenario.currency.code
    columns = (
        Column("dog", "Dog"),
        Column("days", "Days", Holds.COUNT),
        Column("cost", f"Batch {code}", Holds.MONEY),
        Column("cost_per_day", f"A day {code}", Holds.MONEY),
    )
    total = sum(dogs, left_over)
    return Table("by_dog", "By dog", columns, tuple(rows), (("together", scenario.dog_days, total, None),))


def _owner_table(
    scenario: Scenario, dogs: tuple[Decimal, ...], left_over: Decimal, owner_totals: dict[str, Decimal]
) -> Table:
    """What each owner's dogs cost together, and with the left over shared out: the one number to pay."""
    rows: list[tuple[Cell, ...]] = []
    for owner, to_pay in owner_totals.items():
        own_dogs = [
            (dog.name, cost) for dog, cost in zip(scenario.dogs, dogs, strict=True) if (dog.owner or NO_OWNER) == owner
        ]
        names = ", ".join(name for name, _ in own_dogs)
        rows.append((owner, names, sum((cost for _, cost in own_dogs), Decimal(0)), to_pay))
    if left_over:
        rows.append((LEFT_OVER_TOO if scenario.supplement_offers else LEFT_OVER, None, left_over, None))
    code = scenario.currency.code
    columns = (
        Column("owner", "Owner"),
        Column("dogs", "Dogs"),
        Column("cost", f"Eaten {code}", Holds.MONEY),
        Column("all_in", f"With the left over {code}", Holds.MONEY),
    )
    totals = (("together", None, sum(dogs, left_over), sum(owner_totals.values(), Decimal(0))),)
    return Table("by_owner", "By owner", columns, tuple(rows), totals, note=SHARED if left_over else "")


def _bill_table(scenario: Scenario, plan: Plan) -> Table:
    """What every supplier is paid."""
    columns = (
        Column("supplier", "Supplier"),
        Column("goods", "Goods", Holds.MONEY),
        Column("delivery", "Delivery", Holds.MONEY),
        Column("tax", "Sales tax", Holds.MONEY),
        Column("total", f"To pay {scenario.currency.code}", Holds.MONEY),
    )
    rows = tuple((bill.supplier, *_bill_amounts(bill)) for bill in plan.bills)
    sums = tuple(sum(column, Decimal(0)) for column in zip(*map(_bill_amounts, plan.bills), strict=True))
    return Table("by_supplier", "By supplier", columns, rows, (("together", *sums),))


def _rounded_part_costs(scenario: Scenario, plan: Plan) -> tuple[tuple[str, Decimal], ...]:
    """What was paid for every part of what was bought, in whole minor units that add up to the plan's total."""
    exact = costs_of_parts(scenario, plan.facts.costs.cuts)
    minor = scenario.currency.minor
    counts = apportion(int(plan.total / minor), [cost for _, cost in exact])
    return tuple((part, count * minor) for (part, _), count in zip(exact, counts, strict=True))


def _part_table(scenario: Scenario, parts: tuple[tuple[str, Decimal], ...]) -> Table:
    """What the parts of what was bought cost."""
    columns = (Column("part", "Part"), Column("cost", f"Batch {scenario.currency.code}", Holds.MONEY))
    total = sum((cost for _, cost in parts), Decimal(0))
    return Table("by_part", "By part", columns, parts, (("together", total),), note=PARTS)


def costs_of_parts(scenario: Scenario, paid: Mapping[str, Fraction]) -> tuple[tuple[str, Fraction], ...]:
    """What was paid for every part, dearest first: a cut's cost is split by the weight of its parts."""
    cuts = {cut.name: cut for cut in scenario.cuts}
    by_part: dict[str, Fraction] = {}
    for name, cost in paid.items():
        parts = cuts[name].parts if name in cuts else ()
        whole = sum((share for _, share in parts), Fraction(0))
        # What is no cut is a supplement, which has no parts.
        shares = [(part.value, share / whole) for part, share in parts if share] or [("supplements", Fraction(1))]
        for part, share in shares:
            by_part[part] = by_part.get(part, Fraction(0)) + cost * share
    return tuple(sorted(by_part.items(), key=lambda pair: (-pair[1], pair[0])))


def _bill_amounts(bill: Bill) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    """The goods, delivery, tax and total of a bill."""
    return (bill.goods, bill.delivery, bill.tax, bill.total)
