"""The shopping list, also to fill in by hand, and the order as a message in each supplier's own names."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal

from raworder.reporting.cautions import asked_at, numbered_cautions
from raworder.reporting.nutrition_words import supplement_order_row, supplement_units_text
from raworder.reporting.summary import proof_text
from raworder.reporting.words import paper, price_text, units_text
from raworder.trade.as_fed import left, supplement_lines
from raworder.trade.cuts import freeze_first_keys
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Table, Verbatim
from raworder.trade.plan import Bill, LotUse, OrderLine, Plan
from raworder.trade.purchase import SECOND_TRIP
from raworder.trade.scenario import CautionPlace, Offer, Scenario, SupplementOffer, Supplier
from raworder.trade.units import GRAMS_PER, amount_text, day_text, day_with_year, grams_text, share_text

UNDATED = "What has no day counts as the oldest."


def freezer_blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """What to take from the freezer and what goes back, where there is anything."""
    if any(lot.used_g for lot in plan.lots_used):
        yield freezer_lots(scenario, plan)
    if left(plan):
        yield leftover_table(scenario, plan)


def freezer_lots(scenario: Scenario, plan: Plan) -> Table:
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
            Column("frozen_on", "Frozen on", Holds.DATE),
            Column("lot_g", "Of", Holds.GRAMS),
            Column("owner", "For the dogs of", shown=any(lot.owner for lot, _ in lots)),
        ),
        tuple((use.used_g, lot.cut, lot.frozen_on, lot.grams, lot.owner) for lot, use in lots),
        note="" if all(lot.frozen_on for lot, _ in lots) else UNDATED,
        tick=True,
    )


def leftover_table(scenario: Scenario, plan: Plan) -> Table:
    """What is not fed in this batch, and what it cost."""
    leftovers = left(plan)
    worth = sum((leftover.worth for leftover in leftovers), Decimal(0))
    on_hand_g, bought_g = (
        sum(leftover.on_hand_g for leftover in leftovers),
        sum(leftover.bought_g for leftover in leftovers),
    )
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
        tuple(
            (leftover.cut, leftover.total_g, leftover.bought_g, leftover.on_hand_g, leftover.worth)
            for leftover in leftovers
        ),
        (("together", on_hand_g + bought_g, bought_g, on_hand_g, worth),),
        note="`Worth` is what was paid for the goods this time, before tax and delivery.",
    )


def shopping_list(scenario: Scenario, plan: Plan) -> Document:
    """The order in shop units, a table per supplier, what to ask, then the freezer, then the proof."""
    return paper(scenario, "shopping_list", "Shopping list", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """What to buy from each supplier, what to ask there, then the freezer, then the proof."""
    if not plan.lines and not plan.supplement_lines:
        yield Paragraph("Nothing to buy: the freezer holds all that is fed.")
    yield from (order_table(scenario, plan, bill) for bill in plan.bills)
    if len(plan.bills) > 1:
        yield Paragraph(f"To pay in all: {scenario.currency.text(plan.total)}.")
    yield from asked_at([CautionPlace.SHOP], numbered_cautions(scenario, plan))
    yield from freezer_blocks(scenario, plan)
    yield Paragraph(proof_text(scenario, plan))


def order_table(scenario: Scenario, plan: Plan, bill: Bill) -> Table:
    """What to order from one supplier, and what it costs."""
    supplements = supplement_lines(scenario, plan, bill.supplier)
    return _supplier_table(
        scenario, bill, bill_lines(scenario, plan, bill), supplements, bought=is_bought(scenario, plan, bill)
    )


def is_bought(scenario: Scenario, plan: Plan, bill: Bill) -> bool:
    """Whether all of a bill is bought already, as it is after the shop."""
    lines = bill_lines(scenario, plan, bill)
    return bool(lines) and all(offer.bought for _, offer in lines)


def buy_by(scenario: Scenario, plan: Plan) -> date:
    """The day by which all is to be at home: the day before the bags are filled, earlier where meat is frozen first."""
    offers = {offer.key: offer for offer in scenario.offers}
    cuts = {scenario.cut(offers[line.offer].cut).name: offers[line.offer] for line in plan.lines}
    held = scenario.hold_days and any(freeze_first_keys(scenario.cut(name)) for name in cuts)
    return scenario.portioned_on - timedelta(days=max(scenario.hold_days or 0, 1) if held else 1)


def bill_lines(scenario: Scenario, plan: Plan, bill: Bill) -> tuple[tuple[OrderLine, Offer], ...]:
    """The lines of food on a bill, each with its offer."""
    offers = {offer.key: offer for offer in scenario.offers}
    return tuple((line, offers[line.offer]) for line in plan.lines if offers[line.offer].supplier == bill.supplier)


def _supplier_table(
    scenario: Scenario,
    bill: Bill,
    lines: tuple[tuple[OrderLine, Offer], ...],
    supplements: list[tuple[OrderLine, SupplementOffer]],
    *,
    bought: bool,
) -> Table:
    """What to order from one supplier, food first, and what it costs."""
    supplier = scenario.supplier(bill.supplier)
    return Table(
        "order",
        supplier.name,
        _columns(scenario, "Bought" if bought else "To buy"),
        (
            *(_line_row(scenario, line, offer) for line, offer in lines),
            *(supplement_order_row(scenario, line, offer) for line, offer in supplements),
        ),
        tuple(_sum_row(label, amount) for label, amount in _list_sums(scenario, supplier, bill)),
        note=f"Price list of {day_with_year(supplier.list_date)}." if supplier.list_date else "",
        tick=not bought,
    )


def _columns(scenario: Scenario, to_buy: str) -> tuple[Column, ...]:
    """What people read, then what only programs need."""
    return (
        Column("to_buy", to_buy),
        Column("item", "Item"),
        Column("price", "Price"),
        Column("goods", scenario.currency.code, Holds.MONEY),
        Column("supplier", "Supplier", shown=False),
        Column("cut", "Cut", shown=False),
        Column("item_name", "Supplier's name for it", shown=False),
        Column("code", "Code", shown=False),
        Column("units", "Units", Holds.COUNT, shown=False),
        Column("unit_g", "Unit", Holds.GRAMS, shown=False),
        Column("weight_g", "Weight", Holds.GRAMS, shown=False),
        Column("listed_price", "Listed price", Holds.MONEY, shown=False),
        Column("price_per", "Price per", shown=False),
        Column("price_from_units", "Price from units", Holds.COUNT, shown=False),
    )


def _line_row(scenario: Scenario, line: OrderLine, offer: Offer) -> tuple[Cell, ...]:
    """One line of the order."""
    step = offer.step_for(line.units)
    return (
        units_text(offer, line.units, scenario.weight_unit),
        item_text(offer),
        price_text(offer, step, scenario.weight_unit),
        line.goods,
        offer.supplier,
        offer.cut,
        offer.item,
        offer.code,
        line.units,
        offer.grams(1),
        offer.grams(line.units),
        step.listed,
        step.per.removeprefix("per "),
        step.at_least,
    )


def item_text(offer: Offer) -> str:
    """The supplier's code and own name, with our name when it differs."""
    # Our name often is the supplier's with more in brackets; then it says enough by itself.
    item, cut = offer.item.casefold(), offer.cut.casefold()
    same = not item or item == cut or cut.startswith(f"{item} (")
    name = offer.cut if same else f"{offer.item} ({offer.cut})"
    return f"{offer.code} {name}" if offer.code else name


def _list_sums(scenario: Scenario, supplier: Supplier, bill: Bill) -> Iterator[tuple[str, Decimal]]:
    """What is added to the goods, where anything is, and what is paid."""
    if bill.delivery or bill.tax or supplier.delivery:
        yield "Goods", bill.goods
    if bill.delivery or supplier.delivery:
        yield _delivery_label(scenario, supplier, bill), bill.delivery
    if bill.tax or supplier.sales_tax:
        yield f"Sales tax {tax_text(supplier)}", bill.tax
    yield "To pay", bill.total


def _delivery_label(scenario: Scenario, supplier: Supplier, bill: Bill) -> str:
    """Delivery, and from which amount it is free when it is."""
    if bill.delivery or supplier.free_delivery_from is None:
        return "Delivery"
    return f"Delivery, free from {scenario.currency.text(supplier.free_delivery_from)}"


def tax_text(supplier: Supplier) -> str:
    """The rate of the sales tax: `7 %`, `7.25 %`."""
    number = share_text(supplier.sales_tax, 3).removesuffix(" %")
    return f"{number.rstrip('0').rstrip('.')} %"


def _sum_row(label: str, amount: Decimal) -> tuple[Cell, ...]:
    """The row of a sum under the lines."""
    return (None, None, label, amount, *[None] * 10)


IN_POUNDS = frozenset({"lb", "oz"})
"""The units of weight for which a price list in pounds gives its prices."""


def order_message(scenario: Scenario, plan: Plan) -> Document:
    """A message to each supplier, to be copied as it stands."""
    return paper(scenario, "order_message", "Order messages", _message_blocks(scenario, plan))


def _message_blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """A message for each supplier from which something is ordered, with one line for each item.

    After the shop that is only what must still be fetched: what is bought is not ordered once more.
    """
    bills = [bill for bill in plan.bills if not is_bought(scenario, plan, bill)]
    if not bills:
        reason = "all that is fed is bought." if plan.bills else "the freezer holds all that is fed."
        yield Paragraph(f"Nothing to order: {reason}")
    for bill in bills:
        # A supplier's names may hold line breaks.
        lines = (" ".join(line.split()) for line in _message_lines(scenario, plan, bill))
        yield Verbatim(bill.supplier.removesuffix(SECOND_TRIP), "\n".join(lines))


def _message_lines(scenario: Scenario, plan: Plan, bill: Bill) -> Iterator[str]:
    """The head, a line for each item, and what it is expected to come to."""
    yield f"Order for pick-up or delivery before {day_text(scenario.portioned_on)}:"
    for line, offer in bill_lines(scenario, plan, bill):
        yield _item_line(offer, line.units, scenario.offers)
    for line, packed in supplement_lines(scenario, plan, bill.supplier):
        pack = supplement_units_text(scenario.supplement(packed.supplement), packed.steps)
        yield f"{line.units} x {packed.item}, pack of {pack}"
    yield from _expected_total(scenario, plan, bill)


def _item_line(offer: Offer, units: int, offers: Sequence[Offer]) -> str:
    """One line as the supplier reads it: `3 x N210 chicken neck, pack of 5 kg`, `1.25 kg lamb neck`."""
    name = f"{offer.code} {_item_name(offer, offers)}".strip()
    if offer.by_weight:
        return f"{weight_text(offer, units)} {name}"
    about = "about " if offer.heaviest_g else ""
    return f"{units} x {name}, pack of {about}{weight_text(offer, 1)}"


def _item_name(offer: Offer, offers: Sequence[Offer]) -> str:
    """The supplier's own name for an item, with ours if it sells another cut under the same name and code."""
    item = offer.item or offer.cut
    sold_as = (item.casefold(), offer.code, offer.supplier)
    cuts = {
        offer.cut for offer in offers if ((offer.item or offer.cut).casefold(), offer.code, offer.supplier) == sold_as
    }
    if len(cuts) < 2:
        return item
    return offer.cut if offer.cut.casefold().startswith(item.casefold()) else f"{item} ({offer.cut})"


def weight_text(offer: Offer, units: int) -> str:
    """The weight of some units in the supplier's own unit: that of a pack or a step, else that of the price.

    Where units are pounds and ounces, what is cut to any weight is given to a tenth of an ounce.
    """
    in_pounds = _in_pounds(offer)
    if offer.to_the_gram or not in_pounds:
        return grams_text(offer.grams(units), "lb" if in_pounds else "kg")
    pounds, ounces = divmod(offer.unit_g * units / GRAMS_PER["oz"], 16)
    parts = [f"{pounds} lb" if pounds else "", f"{amount_text(ounces, 5)} oz" if ounces or not pounds else ""]
    return " ".join(filter(None, parts))


def _in_pounds(offer: Offer) -> bool:
    """Whether the supplier weighs in pounds and ounces."""
    if offer.to_the_gram:
        return offer.steps[0].per in IN_POUNDS
    # An ounce is 28.349523125 g, so no pack of whole grams is a whole number of thousandths of an ounce.
    return (offer.unit_g / GRAMS_PER["oz"] * 1000).denominator == 1


def _expected_total(scenario: Scenario, plan: Plan, bill: Bill) -> Iterator[str]:
    """The total to expect, and by which price list; `about` where packs are sold by catch weight."""
    supplier, money = scenario.supplier(bill.supplier), scenario.currency.text
    parts = [f"delivery {money(bill.delivery)}" if bill.delivery else _free_delivery_text(supplier)]
    parts += [f"sales tax {tax_text(supplier)} {money(bill.tax)}"] if bill.tax else []
    details = f" (goods {money(bill.goods)}, {', '.join(filter(None, parts))})" if any(parts) else ""
    dated = supplier.list_date and f"at your list of {day_with_year(supplier.list_date)}"
    about = "about " if any(offer.heaviest_g for _, offer in bill_lines(scenario, plan, bill)) else ""
    yield f"Expected total, {dated or 'at your listed prices'}: {about}{money(bill.total)}{details}."


def _free_delivery_text(supplier: Supplier) -> str:
    """That delivery is free, where the supplier can charge for it."""
    return "delivery free" if supplier.delivery else ""
