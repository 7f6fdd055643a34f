"""Judges of what is bought: packs, prices, suppliers, bills, the freezer's room and the budget."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from fractions import Fraction

from raworder.auditing.books import Books, cut_to_the_gram, duplicates
from raworder.trade.plan import Bill, Breach, OrderLine
from raworder.trade.rulebook import ROUNDING_G
from raworder.trade.scenario import Offer, Supplier


def pack_count(books: Books) -> Iterator[Breach]:
    """Packs are whole, no more is bought than is available, and what is bought already is bought."""
    for line in books.all_lines:
        offer = books.offers.get(line.offer)
        if offer is None:
            yield Breach("pack_count", line.offer, "is bought but is on no price list of the scenario")
        elif line.units < 1:
            yield Breach("pack_count", line.offer, f"{line.units} units are bought")
        elif offer.available is not None and line.units > offer.available:
            yield Breach("pack_count", line.offer, f"{line.units} units are bought of {offer.available} available")
    units = {line.offer: line.units for line in books.all_lines}
    for offer in books.scenario.offers:
        if offer.bought is not None and units.get(offer.key, 0) != offer.bought:
            says = f"{units.get(offer.key, 0)} units are in the plan where {offer.bought} are bought already"
            yield Breach("pack_count", offer.key, says)


def least_purchase(books: Books) -> Iterator[Breach]:
    """A line by weight is at least what a shop sells, unless it is bought already."""
    for line in _known_lines(books):
        offer = books.offers[line.offer]
        if offer.bought is None and line.units < offer.least_units:
            says = f"{line.units} units are bought where {offer.least_units} are the least that is sold"
            yield Breach("least_purchase", line.offer, says)


def price_break(books: Books) -> Iterator[Breach]:
    """The price is that of the step that the amount bought falls in, so an offer has one line only."""
    for key in duplicates(line.offer for line in books.all_lines):
        yield Breach("price_break", key, "has more than one line, which could each fall in a lower step")
    for line in _known_lines(books):
        due = books.rounded(_exact_goods(books.offers[line.offer], line.units))
        if line.goods != due:
            says = f"{line.units} units are charged {line.goods} but come to {due}"
            yield Breach("price_break", line.offer, says)


def supplier_count(books: Books) -> Iterator[Breach]:
    """At most so many suppliers are used."""
    most = books.scenario.most_suppliers
    if most is not None and len(books.lines) > most:
        yield Breach("supplier_count", "the order", f"{len(books.lines)} suppliers are used where {most} are allowed")


def cut_count(books: Books) -> Iterator[Breach]:
    """At most so many different cuts are bought."""
    most, cuts = books.scenario.most_cuts, books.goods_of_cut.keys()
    if most is not None and len(cuts) > most:
        yield Breach("cut_count", "the order", f"{len(cuts)} cuts are bought where {most} are allowed")


def delivery(books: Books) -> Iterator[Breach]:
    """A supplier that is used charges its delivery, unless the goods on its bill reach what makes it free."""
    for bill in books.plan.bills:
        if bill.supplier in books.lines:
            due = _delivery_due(books.suppliers[bill.supplier], Fraction(books.goods(bill.supplier)))
            if bill.delivery != due:
                says = f"{bill.delivery} is charged for delivery where {due} is due"
                yield Breach("delivery", bill.supplier, says)


def minimum_order(books: Books) -> Iterator[Breach]:
    """A supplier that is used gets goods worth at least its minimum order, as they stand on its bill."""
    for name in books.lines:
        minimum, goods = books.suppliers[name].minimum_order, books.goods(name)
        if goods < minimum:
            yield Breach("minimum_order", name, f"goods come to {goods}, its minimum order is {minimum}")


def bill(books: Books) -> Iterator[Breach]:
    """A supplier is paid its goods, its sales tax on them and its delivery, each used supplier on one bill.

    The trip to it stands beside that, not paid. The order as a whole costs, with its trips, what the solver proved to
    be the least, no less and no more.
    """
    billed = [bill.supplier for bill in books.plan.bills]
    for name in duplicates(billed):
        yield Breach("bill", name, "has more than one bill")
    for name in books.lines:
        if name not in billed:
            yield Breach("bill", name, "is ordered from but has no bill")
    for bill in books.plan.bills:
        yield from _check_bill(books, bill)
    yield from _check_proof(books)


def room(books: Books) -> Iterator[Breach]:
    """On the fullest evening, when the order has come, all that must be frozen fits, apart from grams rounded up."""
    room_g = books.scenario.room_g
    frozen_g = sum(books.on_hand_g.values()) + sum(books.bought_g.values())
    rounding_g = ROUNDING_G * sum(1 for line in _known_lines(books) if not _is_whole_grams(books, line))
    if room_g is not None and frozen_g > room_g + rounding_g:
        yield Breach("room", "the freezer", f"{frozen_g} g are on hand and bought, {room_g} g fit")


def budget(books: Books) -> Iterator[Breach]:
    """The order costs at most the budget."""
    most, total = books.scenario.budget, _order_total(books)
    if most is not None and total > most:
        yield Breach("budget", "the order", f"costs {total}, the budget is {most}")


def _order_total(books: Books) -> Decimal:
    """The sum of all bills."""
    return sum((bill.goods + bill.delivery + bill.tax for bill in books.plan.bills), Decimal(0))


def _check_bill(books: Books, bill: Bill) -> Iterator[Breach]:
    """A bill from a supplier that is not used, or whose goods or tax are not what the lines come to."""
    if bill.supplier not in books.lines:
        yield Breach("bill", bill.supplier, "has a bill but nothing is ordered from it")
        return
    goods = books.goods(bill.supplier)
    tax = books.rounded(Fraction(goods) * books.suppliers[bill.supplier].sales_tax)
    if bill.goods != goods:
        yield Breach("bill", bill.supplier, f"goods are {bill.goods} on the bill but the lines come to {goods}")
    if bill.tax != tax:
        yield Breach("bill", bill.supplier, f"sales tax is {bill.tax} on the bill but comes to {tax}")
    if bill.trip != books.suppliers[bill.supplier].trip:
        due = books.suppliers[bill.supplier].trip
        yield Breach("bill", bill.supplier, f"the trip is counted as {bill.trip} but comes to {due}")


def _check_proof(books: Books) -> Iterator[Breach]:
    """A total below what was proved possible, or above what was proved to be the least."""
    yield from _check_exact_cost(books)
    proof = books.plan.proof
    if proof.least_bill is None:
        return
    total = _order_total(books) + sum((bill.trip for bill in books.plan.bills), Decimal(0))
    if total < Fraction(proof.least_bill) - _grams_cost(books):
        says = f"the total is below what was proved to be the least bill: {total} under {proof.least_bill}"
        yield Breach("bill", "the order", says)
    if proof.proved and total > Fraction(proof.least_bill) + 2 * _scenario_rounding(books):
        says = f"the total is above what rounding can add to the least bill: {total} over {proof.least_bill}"
        yield Breach("bill", "the order", says)


def _check_exact_cost(books: Books) -> Iterator[Breach]:
    """A cost before rounding that is below the solver's bound, or above it where the bound was proved.

    Allowed are half a minor unit for the solver's floats, half a minor unit for every line and bill that is rounded,
    and a gram of everything that is cut to the gram, as it is bought in whole grams and the bound counts exact amounts.
    """
    least, most = (sum((_exact_pay(books, name, pick) for name in books.lines), Fraction(0)) for pick in (min, max))
    proof = books.plan.proof
    allowed = _order_rounding(books) + books.half_a_minor_unit
    # where the printed bill was made the least, the exact cost may be above its own least by as much as rounding does
    printed = Fraction(0) if proof.least_bill is None else _scenario_rounding(books)
    if most + allowed < Fraction(proof.bound):
        says = f"the total is below what the solver proved possible: {books.rounded(most)} under {proof.bound}"
        yield Breach("bill", "the order", says)
    if proof.proved and least - allowed - printed > Fraction(proof.bound):
        says = f"the total is above what the solver proved to be the least: {books.rounded(least)} over {proof.bound}"
        yield Breach("bill", "the order", says)


def _scenario_rounding(books: Books) -> Fraction:
    """The most that rounding of lines, taxes and grams can change the cost of any order of the scenario."""
    taxes = sum(1 for supplier in books.suppliers.values() if supplier.sales_tax)
    return books.half_a_minor_unit * taxes + sum(
        (_offer_rounding(books, offer) for offer in books.scenario.offers), Fraction(0)
    )


def _offer_rounding(books: Books, offer: Offer) -> Fraction:
    """The most that rounding can change the cost of an offer: by its line, if prices are fine enough, and by a gram."""
    half, prices = books.half_a_minor_unit, [step.unit_price for step in offer.steps]
    line = half if any((price / (2 * half)).denominator > 1 for price in prices) else Fraction(0)
    gram = ROUNDING_G * max(prices) if cut_to_the_gram(offer) else Fraction(0)
    return (line + gram) * (1 + books.suppliers[offer.supplier].sales_tax)


def _exact_pay(books: Books, name: str, pick: Callable[[Fraction, Fraction], Fraction]) -> Fraction:
    """What a supplier costs without rounding, with its trip; `pick` chooses between delivery charged and due."""
    # a wrong delivery charge is for the judge `delivery` alone, so each test of the proof takes the harmless one
    supplier, lines = books.suppliers[name], books.lines[name]
    goods = sum((_exact_goods(books.offers[line.offer], line.units) for line in lines), Fraction(0))
    charged = sum((Fraction(bill.delivery) for bill in books.plan.bills if bill.supplier == name), Fraction(0))
    due = Fraction(_delivery_due(supplier, Fraction(books.goods(name))))
    return goods * (1 + supplier.sales_tax) + pick(charged, due) + Fraction(supplier.trip)


def _is_whole_grams(books: Books, line: OrderLine) -> bool:
    """Whether the line weighs exactly what the model counted: not cut to the gram, and no gram rounded up."""
    offer = books.offers[line.offer]
    return not cut_to_the_gram(offer) and Fraction(offer.unit_g * line.units).denominator == 1


def _order_rounding(books: Books) -> Fraction:
    """The money by which rounded lines, rounded taxes and whole grams of this order may differ from the exact cost."""
    halves = len(books.all_lines) + len(books.plan.bills)
    return _grams_cost(books) + halves * books.half_a_minor_unit


def _grams_cost(books: Books) -> Fraction:
    """The cost of the grams by which lines cut to the gram may be off."""
    lines = [line for line in _known_lines(books) if cut_to_the_gram(books.offers[line.offer])]
    return sum((_line_gram_cost(books, line) for line in lines), Fraction(0))


def _line_gram_cost(books: Books, line: OrderLine) -> Fraction:
    """The cost of the gram by which a line cut to the gram may be off, with sales tax."""
    offer = books.offers[line.offer]
    return ROUNDING_G * _exact_goods(offer, line.units) / line.units * (1 + books.suppliers[offer.supplier].sales_tax)


def _exact_goods(offer: Offer, units: int) -> Fraction:
    """The exact price of that many units, by the step they fall in."""
    reached = [step for step in offer.steps if step.at_least <= units]
    return max(reached, key=lambda step: step.at_least).unit_price * units


def _delivery_due(supplier: Supplier, goods: Fraction) -> Decimal:
    """The delivery charge of a supplier that sells goods for that amount."""
    free_from = supplier.free_delivery_from
    return Decimal(0) if free_from is not None and goods >= free_from else supplier.delivery


def _known_lines(books: Books) -> Iterator[OrderLine]:
    """The lines that buy something from a price list."""
    return (line for lines in books.lines.values() for line in lines)
