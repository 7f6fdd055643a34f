"""The order as a message to each supplier: plain lines for a chat or a mail, in its own names, codes and units."""

from collections.abc import Iterator, Sequence

from raworder.reporting.given_beside import units_of
from raworder.reporting.order import bill_lines, is_bought, tax_text
from raworder.reporting.words import paper
from raworder.trade.document import Block, Document, Paragraph, Verbatim
from raworder.trade.plan import Bill, Plan
from raworder.trade.plan_sums import supplement_lines
from raworder.trade.purchase import FETCHED
from raworder.trade.scenario import Offer, Scenario, Supplier
from raworder.trade.units import GRAMS_PER, amount_text, day_text, grams_text

IN_POUNDS = frozenset({"lb", "oz"})
"""What the prices of a list in pounds are for."""


def order_message(scenario: Scenario, plan: Plan) -> Document:
    """What to write to each supplier, to be copied as it stands."""
    return paper(scenario, "order_message", "Order messages", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """A message for each supplier from which something is ordered; whatever its names hold, an item is one line.

    After the shop that is only what must still be fetched: what is bought is not ordered once more.
    """
    bills = [bill for bill in plan.bills if not is_bought(scenario, plan, bill)]
    if not bills:
        there = "all that is fed is bought." if plan.bills else "the freezer holds all that is fed."
        yield Paragraph(f"Nothing to order: {there}")
    for bill in bills:
        lines = (" ".join(line.split()) for line in _lines(scenario, plan, bill))
        yield Verbatim(bill.supplier.removesuffix(FETCHED), "\n".join(lines))


def _lines(scenario: Scenario, plan: Plan, bill: Bill) -> Iterator[str]:
    """The head, a line for each item, and what it is expected to come to."""
    yield f"Order for pick-up or delivery before {day_text(scenario.portioned_on)}:"
    for line, offer in bill_lines(scenario, plan, bill):
        yield _item(offer, line.units, scenario.offers)
    for line, packed in supplement_lines(scenario, plan, bill.supplier):
        pack = units_of(scenario.supplement(packed.supplement), packed.steps)
        yield f"{line.units} x {packed.item}, pack of {pack}"
    yield from _expected(scenario, plan, bill)


def _item(offer: Offer, units: int, offers: Sequence[Offer]) -> str:
    """One line as the supplier reads it: `3 x N210 chicken neck, pack of 5 kg`, `1.25 kg lamb neck`."""
    name = f"{offer.code} {_name(offer, offers)}".strip()
    if offer.by_weight:
        return f"{weight_text(offer, units)} {name}"
    about = "about " if offer.heaviest_g else ""
    return f"{units} x {name}, pack of {about}{weight_text(offer, 1)}"


def _name(offer: Offer, offers: Sequence[Offer]) -> str:
    """The supplier's own name; with ours where it sells something else under the same name and code."""
    item = offer.item or offer.cut
    named = (item.casefold(), offer.code, offer.supplier)
    alike = {
        offer.cut for offer in offers if ((offer.item or offer.cut).casefold(), offer.code, offer.supplier) == named
    }
    if len(alike) < 2:
        return item
    return offer.cut if offer.cut.casefold().startswith(item.casefold()) else f"{item} ({offer.cut})"


def weight_text(offer: Offer, units: int) -> str:
    """What so many units weigh, in the supplier's own unit: that of a pack or a step, else that of the price.

    A weight in pounds or ounces is never a whole number of grams, so an exact weight tells its unit by itself. What is
    cut to any weight is in tenths of an ounce.
    """
    in_pounds = _in_pounds(offer)
    if offer.to_the_gram or not in_pounds:
        return grams_text(offer.grams(units), "lb" if in_pounds else "kg")
    pounds, ounces = divmod(offer.unit_g * units / GRAMS_PER["oz"], 16)
    told = [f"{pounds} lb" if pounds else "", f"{amount_text(ounces, 5)} oz" if ounces or not pounds else ""]
    return " ".join(filter(None, told))


def _in_pounds(offer: Offer) -> bool:
    """Whether the supplier reckons in pounds and ounces."""
    if offer.to_the_gram:
        return offer.steps[0].per in IN_POUNDS
    return (offer.unit_g / GRAMS_PER["oz"] * 1000).denominator == 1


def _expected(scenario: Scenario, plan: Plan, bill: Bill) -> Iterator[str]:
    """What is expected to be paid, and by which list."""
    supplier, money = scenario.supplier(bill.supplier), scenario.currency.text
    parts = [f"delivery {money(bill.delivery)}" if bill.delivery else _no_delivery(supplier)]
    parts += [f"sales tax {tax_text(supplier)} {money(bill.tax)}"] if bill.tax else []
    beside = f" (goods {money(bill.goods)}, {', '.join(filter(None, parts))})" if any(parts) else ""
    listed_on = f"at your list of {supplier.list_date}" if supplier.list_date else "at your listed prices"
    catch = any(offer.heaviest_g for _, offer in bill_lines(scenario, plan, bill))
    yield f"Expected total, {listed_on}: {'about ' if catch else ''}{money(bill.total)}{beside}."


def _no_delivery(supplier: Supplier) -> str:
    """What is said where delivery costs nothing, though it can."""
    return "delivery free" if supplier.delivery else ""
