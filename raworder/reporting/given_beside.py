"""What is given beside the ration: supplements in whole steps, in words and as tables."""

from collections.abc import Iterator
from decimal import Decimal

from raworder.trade.document import Block, Column, Table
from raworder.trade.nutrients import Supplement
from raworder.trade.plan import OrderLine, Plan
from raworder.trade.plan_sums import bought_steps, given_steps
from raworder.trade.scenario import Scenario, SupplementOffer
from raworder.trade.units import amount_text

UNCOUNTED = frozenset({"g", "mg", "ml", "oz"})
"""Units that have no plural."""


def units_of(supplement: Supplement, steps: int) -> str:
    """So many steps in the supplement's unit: `2 capsules`, `1.5 g`."""
    number = supplement.step * steps
    plural = "" if number == 1 or supplement.unit in UNCOUNTED else "s"
    return f"{amount_text(number, 6)} {supplement.unit}{plural}"


def doses_text(scenario: Scenario, plan: Plan, dog: str) -> list[str]:
    """What a dog is given on each day: `2 capsules of salmon oil a day`."""
    return [
        f"{units_of(scenario.supplement(dose.supplement), dose.steps_a_day)} of {dose.supplement} a day"
        for dose in plan.doses
        if dose.dog == dog
    ]


def packs_text(scenario: Scenario, offer: SupplementOffer, packs: int) -> str:
    """Packs as one asks for them: `1 pack of 120 capsules`."""
    noun = "pack" if packs == 1 else "packs"
    return f"{packs} {noun} of {units_of(scenario.supplement(offer.supplement), offer.steps)}"


def given_beside(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """Who is given how much of which supplement, and what there is and remains of each; nothing where there is none."""
    if not plan.doses and not plan.supplement_lines:
        return
    given, bought = given_steps(scenario, plan), bought_steps(scenario, plan)
    rows = tuple(
        (
            dose.dog,
            dose.supplement,
            units_of(scenario.supplement(dose.supplement), dose.steps_a_day),
            units_of(scenario.supplement(dose.supplement), given[dose.supplement][dose.dog]),
        )
        for dose in plan.doses
    )
    columns = (Column("dog", "Dog"), Column("supplement", "Supplement"), Column("a_day", "A day"))
    yield Table("given_beside", "Given beside the bags", (*columns, Column("batch", "Whole batch")), rows)
    stock = tuple(
        (
            supplement.name,
            units_of(supplement, supplement.on_hand_steps),
            units_of(supplement, more),
            units_of(supplement, fed),
            units_of(supplement, left),
        )
        for supplement in scenario.supplements
        if (more := bought.get(supplement.name, 0)) + (fed := sum(given.get(supplement.name, {}).values()))
        for left in (supplement.on_hand_steps + more - fed,)
    )
    heads = ("Supplement", "At home", "+ bought", "= given", "+ left over")
    keys = ("supplement", "on_hand", "bought", "given", "left")
    yield Table("supplements", "Supplements add up", tuple(map(Column, keys, heads)), stock)


def order_row(scenario: Scenario, line: OrderLine, offer: SupplementOffer) -> tuple[str | int | Decimal | None, ...]:
    """The cells of the shopping list for one line of supplements, as for food."""
    name = offer.supplement
    item = name if offer.item.casefold() == name.casefold() else f"{offer.item} ({name})"
    price = f"{offer.price:f} per pack"
    packs = packs_text(scenario, offer, line.units)
    return (
        packs, item, price, line.goods, offer.supplier, name, offer.item, "",
        line.units, None, None, offer.price, "pack", 1,
    )  # fmt: skip
