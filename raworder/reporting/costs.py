"""The costs: what each dog eats at the price really paid, to the minor unit, so that it adds up to the bills."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.bearing import eaten_parts, left_parts, on_cuts
from raworder.reporting.charts import costs_chart, costs_of_parts
from raworder.reporting.words import paper
from raworder.trade.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Table
from raworder.trade.dogs import Dog
from raworder.trade.plan import Bill, Plan
from raworder.trade.rounding import apportion
from raworder.trade.scenario import Scenario

HOW = (
    "Each dog bears what it eats at the price really paid, with its share of tax and delivery in proportion to the "
    "goods. What was on hand costs nothing here. What is left over stands on its own line; its cost holds tax and "
    "delivery too, which its worth on the shopping list does not."
)
SHARED = "With the left over, each owner also bears it: by what their dogs eat of the cut that is left."
PARTS = "What was paid for each cut, on its parts by weight: bone costs what the meat around it does."
LEFT_OVER = "left over, back to the freezer"
LEFT_OVER_TOO = "left over, back to the freezer or the shelf"
NO_OWNER = "no owner named"


def costs(scenario: Scenario, plan: Plan) -> Document:
    """Cost per dog-day over all, per dog, per owner, and what every supplier is paid."""
    return paper(scenario, "costs", "What it costs", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """From the one number that compares to the bills behind it."""
    dogs, left_over = shares_of_bill(scenario, plan)
    if scenario.dog_days:
        per_day = scenario.currency.rounded(Fraction(plan.total) / scenario.dog_days)
        yield Facts("cost_per_dog_day", (Fact("cost_per_dog_day", "Per dog-day, all in", per_day, Holds.MONEY),))
    yield _per_dog(scenario, dogs, left_over)
    if any(dog.owner for dog in scenario.dogs):
        yield _per_owner(scenario, dogs, left_over, all_in(scenario, plan))
    if plan.bills:
        yield costs_chart("By supplier", [(bill.supplier, bill.total) for bill in plan.bills], scenario)
        yield _bills(scenario, plan)
        parts = _costs_of_parts(scenario, plan)
        yield costs_chart("By part", parts, scenario)
        yield _per_part(scenario, parts)
    yield Paragraph(HOW)


def shares_of_bill(scenario: Scenario, plan: Plan) -> tuple[tuple[Decimal, ...], Decimal]:
    """What each dog bears, in the scenario's order, and what is left over; together exactly the total of the plan.

    What is left over is rounded by itself, as on the shopping list; then the owners' sums are made whole minor units,
    then the dogs of each within them.
    """
    *dogs, left_over = _exact_shares(scenario, plan)
    owned: dict[str, dict[int, Fraction]] = {}
    for place, (dog, cost) in enumerate(zip(scenario.dogs, dogs, strict=True)):
        owned.setdefault(_bearer(scenario, dog), {})[place] = cost
    minor, left_paid = scenario.currency.minor, scenario.currency.rounded(left_over)
    sums = [sum(shares.values(), Fraction(0)) for shares in owned.values()]
    wholes = apportion(int((plan.total - left_paid) / minor), sums)
    whole: dict[int, int] = {}
    for shares, owner_whole in zip(owned.values(), wholes, strict=True):
        whole |= zip(shares, apportion(owner_whole, list(shares.values())), strict=True)
    return tuple(whole[place] * minor for place in range(len(dogs))), left_paid


def _bearer(scenario: Scenario, dog: Dog) -> str:
    """Whose sum is made whole first: the owner's, or where no dog has one, the dog's own."""
    return dog.owner or NO_OWNER if any(dog.owner for dog in scenario.dogs) else dog.name


def all_in(scenario: Scenario, plan: Plan) -> dict[str, Decimal]:
    """What each owner bears with the left over shared out, in the scenario's order; together the total of the plan."""
    parts, left = eaten_parts(scenario, plan), left_parts(scenario, plan)
    borne = dict.fromkeys(owners(scenario), Fraction(0))
    for cut, cost in cost_of_cuts(scenario, plan).items():
        for dog in scenario.dogs:
            borne[dog.owner or NO_OWNER] += cost * (parts[cut][dog.name] + left[cut][dog.name])
    minor = scenario.currency.minor
    shares = apportion(int(plan.total / minor), list(borne.values()))
    return {owner: count * minor for owner, count in zip(borne, shares, strict=True)}


def owners(scenario: Scenario) -> tuple[str, ...]:
    """Who owns the dogs, in the scenario's order; one more where dogs have no owner named."""
    return tuple(dict.fromkeys(dog.owner or NO_OWNER for dog in scenario.dogs))


def _exact_shares(scenario: Scenario, plan: Plan) -> list[Fraction]:
    """What each dog bears, and last what is left over, before rounding."""
    paid, parts = cost_of_cuts(scenario, plan), eaten_parts(scenario, plan)
    borne = [sum((cost * parts[cut][dog.name] for cut, cost in paid.items()), Fraction(0)) for dog in scenario.dogs]
    return [*borne, sum(paid.values(), Fraction(0)) - sum(borne, Fraction(0))]


def cost_of_cuts(scenario: Scenario, plan: Plan) -> dict[str, Fraction]:
    """What was paid for every cut bought: goods, with tax and delivery in proportion to the goods."""
    return on_cuts(scenario, plan, lambda bill: bill.total)


def _per_dog(scenario: Scenario, dogs: tuple[Decimal, ...], left_over: Decimal) -> Table:
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


def _per_owner(scenario: Scenario, dogs: tuple[Decimal, ...], left_over: Decimal, shared: dict[str, Decimal]) -> Table:
    """What each owner's dogs cost together, and with the left over shared out: the one number to pay."""
    rows: list[tuple[Cell, ...]] = []
    for owner, with_left in shared.items():
        mine = [
            (dog.name, cost) for dog, cost in zip(scenario.dogs, dogs, strict=True) if (dog.owner or NO_OWNER) == owner
        ]
        names = ", ".join(name for name, _ in mine)
        rows.append((owner, names, sum((cost for _, cost in mine), Decimal(0)), with_left))
    if left_over:
        rows.append((LEFT_OVER_TOO if scenario.supplement_offers else LEFT_OVER, None, left_over, None))
    code = scenario.currency.code
    columns = (
        Column("owner", "Owner"),
        Column("dogs", "Dogs"),
        Column("cost", f"Eaten {code}", Holds.MONEY),
        Column("all_in", f"With the left over {code}", Holds.MONEY),
    )
    totals = (("together", None, sum(dogs, left_over), sum(shared.values(), Decimal(0))),)
    return Table("by_owner", "By owner", columns, tuple(rows), totals, note=SHARED if left_over else "")


def _bills(scenario: Scenario, plan: Plan) -> Table:
    """What every supplier is paid."""
    columns = (
        Column("supplier", "Supplier"),
        Column("goods", "Goods", Holds.MONEY),
        Column("delivery", "Delivery", Holds.MONEY),
        Column("tax", "Sales tax", Holds.MONEY),
        Column("total", f"To pay {scenario.currency.code}", Holds.MONEY),
    )
    rows = tuple((bill.supplier, *_amounts(bill)) for bill in plan.bills)
    sums = tuple(sum(column, Decimal(0)) for column in zip(*map(_amounts, plan.bills), strict=True))
    return Table("by_supplier", "By supplier", columns, rows, (("together", *sums),))


def _costs_of_parts(scenario: Scenario, plan: Plan) -> tuple[tuple[str, Decimal], ...]:
    """What was paid for every part of what was bought, to the minor unit; together the total of the plan."""
    exact = costs_of_parts(scenario, cost_of_cuts(scenario, plan))
    minor = scenario.currency.minor
    whole = apportion(int(plan.total / minor), [cost for _, cost in exact])
    return tuple((part, count * minor) for (part, _), count in zip(exact, whole, strict=True))


def _per_part(scenario: Scenario, parts: tuple[tuple[str, Decimal], ...]) -> Table:
    """What the parts of what was bought cost."""
    columns = (Column("part", "Part"), Column("cost", f"Batch {scenario.currency.code}", Holds.MONEY))
    total = sum((cost for _, cost in parts), Decimal(0))
    return Table("by_part", "By part", columns, parts, (("together", total),), note=PARTS)


def _amounts(bill: Bill) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    """Goods, delivery, tax and total."""
    return (bill.goods, bill.delivery, bill.tax, bill.total)
