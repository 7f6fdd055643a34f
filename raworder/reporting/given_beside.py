"""What is given beside the ration: supplements in whole steps, in words and as tables."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from raworder.trade.document import Block, Column, Table
from raworder.trade.nutrients import Supplement
from raworder.trade.plan import OrderLine, Plan
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


def supplement_lines(scenario: Scenario, plan: Plan, supplier: str) -> list[tuple[OrderLine, SupplementOffer]]:
    """What is bought of supplements from one supplier."""
    offers = {offer.key: offer for offer in scenario.supplement_offers}
    lines = [(line, offers[line.offer]) for line in plan.supplement_lines]
    return [(line, offer) for line, offer in lines if offer.supplier == supplier]


def given_steps(scenario: Scenario, plan: Plan) -> dict[str, dict[str, int]]:
    """Steps over the batch by supplement, then by dog."""
    days = {dog.name: dog.days for dog in scenario.dogs}
    given: dict[str, dict[str, int]] = {}
    for dose in plan.doses:
        given.setdefault(dose.supplement, {})[dose.dog] = dose.steps_a_day * days[dose.dog]
    return given


def bought_steps(scenario: Scenario, plan: Plan) -> dict[str, int]:
    """Steps bought of each supplement."""
    offers = {offer.key: offer for offer in scenario.supplement_offers}
    bought: dict[str, int] = {}
    for line in plan.supplement_lines:
        offer = offers[line.offer]
        bought[offer.supplement] = bought.get(offer.supplement, 0) + offer.steps * line.units
    return bought


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


def parts_bought(scenario: Scenario, plan: Plan) -> dict[str, dict[str, Fraction]]:
    """By supplement bought and by dog the part of what was bought that it is given; what was at home goes to all."""
    given, held = (
        given_steps(scenario, plan),
        {supplement.name: supplement.on_hand_steps for supplement in scenario.supplements},
    )
    parts = {}
    for name, steps in bought_steps(scenario, plan).items():
        mine = given.get(name, {})
        whole = sum(mine.values())
        from_bought = Fraction(max(whole - held[name], 0), steps)
        parts[name] = {dog.name: from_bought * mine.get(dog.name, 0) / (whole or 1) for dog in scenario.dogs}
    return parts
