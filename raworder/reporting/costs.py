"""The costs: what each dog eats at the price really paid, to the minor unit, so that it adds up to the bills."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from raworder.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Table
from raworder.plan import Bill, OrderLine, Plan
from raworder.reporting.books import bought_g, fed_g
from raworder.reporting.splitting import split
from raworder.reporting.words import paper
from raworder.trade import Offer, Scenario

HOW = (
    "Each dog bears what it eats at the price really paid, with its share of tax and delivery in proportion to the "
    "goods. What was on hand costs nothing here. What is left over stands on its own line; its cost holds tax and "
    "delivery too, which its worth on the shopping list does not."
)
SHARED = "With the left over, each owner also bears it: by what their dogs eat of the cut that is left."
LEFT_OVER = "left over, back to the freezer"
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
        yield _bills(scenario, plan)
    yield Paragraph(HOW)


def shares_of_bill(scenario: Scenario, plan: Plan) -> tuple[tuple[Decimal, ...], Decimal]:
    """What each dog bears, in the scenario's order, and what is left over; together exactly the total of the plan."""
    exact = _exact_shares(scenario, plan)
    minor = scenario.currency.minor
    *dogs, left_over = (count * minor for count in split(int(plan.total / minor), exact))
    return tuple(dogs), left_over


def all_in(scenario: Scenario, plan: Plan) -> tuple[Decimal, ...]:
    """What each dog bears with the left over shared out, in the scenario's order; together the total of the plan."""
    eaten, minor = _exact_shares(scenario, plan)[:-1], scenario.currency.minor
    exact = [own + left for own, left in zip(eaten, _shared_left_over(scenario, plan), strict=True)]
    return tuple(count * minor for count in split(int(plan.total / minor), exact))


def _shared_left_over(scenario: Scenario, plan: Plan) -> list[Fraction]:
    """The cost of what is left of every cut, by who eats of it; of what nobody eats, by the rations."""
    paid, bought, fed = cost_of_cuts(scenario, plan), bought_g(scenario, plan), fed_g(scenario, plan)
    rations = {dog.name: dog.batch_g for dog in scenario.dogs}
    shared = dict.fromkeys(rations, Fraction(0))
    for left in plan.leftovers:
        if left.bought_g:
            eaten = {one.dog: one.batch_g for one in plan.portions if one.cut == left.cut} if fed[left.cut] else rations
            per_g = paid[left.cut] * left.bought_g / bought[left.cut] / (sum(eaten.values()) or 1)
            shared |= {dog: shared[dog] + grams * per_g for dog, grams in eaten.items()}
    return list(shared.values())


def _exact_shares(scenario: Scenario, plan: Plan) -> list[Fraction]:
    """What each dog bears, and last what is left over, before rounding."""
    paid, bought, fed = cost_of_cuts(scenario, plan), bought_g(scenario, plan), fed_g(scenario, plan)
    spare = {one.cut: one.bought_g for one in plan.leftovers}
    per_g = {
        cut: cost * (bought[cut] - spare.get(cut, 0)) / bought[cut] / fed[cut] for cut, cost in paid.items() if fed[cut]
    }
    borne = {dog.name: Fraction(0) for dog in scenario.dogs}
    for portion in plan.portions:
        borne[portion.dog] += portion.batch_g * per_g.get(portion.cut, Fraction(0))
    return [*borne.values(), sum(paid.values(), Fraction(0)) - sum(borne.values(), Fraction(0))]


def cost_of_cuts(scenario: Scenario, plan: Plan) -> dict[str, Fraction]:
    """What was paid for every cut bought: goods, with tax and delivery in proportion to the goods."""
    offers = {offer.key: offer for offer in scenario.offers}
    paid: dict[str, Fraction] = {}
    for bill in plan.bills:
        lines = [(line, offers[line.offer]) for line in plan.lines if offers[line.offer].supplier == bill.supplier]
        for (_, offer), weight in zip(lines, _weights(lines), strict=True):
            paid[offer.cut] = paid.get(offer.cut, Fraction(0)) + Fraction(bill.total) * weight
    return paid


def _weights(lines: list[tuple[OrderLine, Offer]]) -> list[Fraction]:
    """Each line's part of a bill: by goods, or by weight where all goods are free."""
    goods = [Fraction(line.goods) for line, _ in lines]
    amounts = goods if any(goods) else [line.units * offer.unit_g for line, offer in lines]
    whole = sum(amounts, Fraction(0))
    return [amount / whole for amount in amounts]


def _per_dog(scenario: Scenario, dogs: tuple[Decimal, ...], left_over: Decimal) -> Table:
    """What each dog costs, over the batch and a day."""
    rows: list[tuple[Cell, ...]] = [
        (dog.name, dog.days, cost, scenario.currency.rounded(Fraction(cost) / dog.days) if dog.days else None)
        for dog, cost in zip(scenario.dogs, dogs, strict=True)
    ]
    if left_over:
        rows.append((LEFT_OVER, None, left_over, None))
    code = scenario.currency.code
    columns = (
        Column("dog", "Dog"),
        Column("days", "Days", Holds.COUNT),
        Column("cost", f"Batch {code}", Holds.MONEY),
        Column("cost_per_day", f"A day {code}", Holds.MONEY),
    )
    total = sum(dogs, left_over)
    return Table("by_dog", "By dog", columns, tuple(rows), (("together", scenario.dog_days, total, None),))


def _per_owner(scenario: Scenario, dogs: tuple[Decimal, ...], left_over: Decimal, shared: tuple[Decimal, ...]) -> Table:
    """What each owner's dogs cost together, and with the left over shared out: the one number to pay."""
    rows: list[tuple[Cell, ...]] = []
    for owner in dict.fromkeys(dog.owner or NO_OWNER for dog in scenario.dogs):
        mine = [place for place, dog in enumerate(scenario.dogs) if (dog.owner or NO_OWNER) == owner]
        names = ", ".join(scenario.dogs[place].name for place in mine)
        rows.append((owner, names, *(sum((costs[place] for place in mine), Decimal(0)) for costs in (dogs, shared))))
    if left_over:
        rows.append((LEFT_OVER, None, left_over, None))
    code = scenario.currency.code
    columns = (
        Column("owner", "Owner"),
        Column("dogs", "Dogs"),
        Column("cost", f"Eaten {code}", Holds.MONEY),
        Column("all_in", f"With the left over {code}", Holds.MONEY),
    )
    totals = (("together", None, sum(dogs, left_over), sum(shared, Decimal(0))),)
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


def _amounts(bill: Bill) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    """Goods, delivery, tax and total."""
    return (bill.goods, bill.delivery, bill.tax, bill.total)
