"""Judges of what is bought: packs, prices, suppliers, bills, the freezer's room and the budget."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from fractions import Fraction

from raworder.auditing.books import Books, cut_to_the_gram, repeated
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


def price_break(books: Books) -> Iterator[Breach]:
    """The price is that of the step which the amount bought falls in, so an offer has one line only."""
    for key in repeated(line.offer for line in books.all_lines):
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


def delivery(books: Books) -> Iterator[Breach]:
    """A supplier that is used charges its delivery, unless the goods on its bill reach what makes it free."""
    for one in books.plan.bills:
        if one.supplier in books.lines:
            due = _delivery_due(books.suppliers[one.supplier], Fraction(books.goods(one.supplier)))
            if one.delivery != due:
                yield Breach("delivery", one.supplier, f"{one.delivery} is charged for delivery where {due} is due")


def minimum_order(books: Books) -> Iterator[Breach]:
    """A supplier that is used gets goods worth at least its minimum order, as they stand on its bill."""
    for name in books.lines:
        minimum, goods = books.suppliers[name].minimum_order, books.goods(name)
        if goods < minimum:
            yield Breach("minimum_order", name, f"goods come to {goods}, its minimum order is {minimum}")


def bill(books: Books) -> Iterator[Breach]:
    """A supplier is paid its goods, its sales tax on them and its delivery, each used supplier on one bill.

    The order as a whole costs what the solver proved to be the least, no less and no more.
    """
    billed = [bill.supplier for bill in books.plan.bills]
    for name in repeated(billed):
        yield Breach("bill", name, "has more than one bill")
    for name in books.lines:
        if name not in billed:
            yield Breach("bill", name, "is ordered from but has no bill")
    for one in books.plan.bills:
        yield from _check_bill(books, one)
    yield from _check_proof(books)


def room(books: Books) -> Iterator[Breach]:
    """On the fullest evening, when the order has come, all that must be kept frozen fits, but for rounding up."""
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
    """What all bills come to."""
    return sum((bill.goods + bill.delivery + bill.tax for bill in books.plan.bills), Decimal(0))


def _check_bill(books: Books, one: Bill) -> Iterator[Breach]:
    """A bill of nobody, of a supplier that is not used, or whose goods or tax are not what the lines come to."""
    if one.supplier not in books.lines:
        yield Breach("bill", one.supplier, "has a bill but nothing is ordered from it")
        return
    goods = books.goods(one.supplier)
    tax = books.rounded(Fraction(goods) * books.suppliers[one.supplier].sales_tax)
    if one.goods != goods:
        yield Breach("bill", one.supplier, f"goods are {one.goods} on the bill but the lines come to {goods}")
    if one.tax != tax:
        yield Breach("bill", one.supplier, f"sales tax is {one.tax} on the bill but comes to {tax}")


def _check_proof(books: Books) -> Iterator[Breach]:
    """A total below what was proved, or above it where it was proved to be the least."""
    yield from _check_exact_cost(books)
    proof, total = books.plan.proof, _order_total(books)
    if proof.least_bill is None:
        return
    if total < Fraction(proof.least_bill) - _grams_cost(books):
        says = f"the total is below what was proved to be the least bill: {total} under {proof.least_bill}"
        yield Breach("bill", "the order", says)
    if proof.proved and total > Fraction(proof.least_bill) + 2 * _scenario_rounding(books):
        says = f"the total is above what rounding can add to the least bill: {total} over {proof.least_bill}"
        yield Breach("bill", "the order", says)


def _check_exact_cost(books: Books) -> Iterator[Breach]:
    """The cost before any rounding is below the bound, or above it where it was proved.

    Half a minor unit is allowed for the arithmetic of the solver, half of one for every line and bill that is rounded,
    and a gram of everything that is cut to the gram, as it is bought in whole grams and the bound knows none. Where the
    printed bill was kept low, not the exact cost, the cost may be above by what rounding does to the one and the other.
    """
    least, most = (sum((_exact_pay(books, name, of) for name in books.lines), Fraction(0)) for of in (min, max))
    proof = books.plan.proof
    allowed = _order_rounding(books) + books.half_a_minor_unit
    beside = Fraction(0) if proof.least_bill is None else _scenario_rounding(books)
    if most + allowed < Fraction(proof.bound):
        says = f"the total is below what the solver proved possible: {books.rounded(most)} under {proof.bound}"
        yield Breach("bill", "the order", says)
    if proof.proved and least - allowed - beside > Fraction(proof.bound):
        says = f"the total is above what the solver proved to be the least: {books.rounded(least)} over {proof.bound}"
        yield Breach("bill", "the order", says)


def _scenario_rounding(books: Books) -> Fraction:
    """By how much rounding can change what any order of the scenario costs: its lines, its taxes and its grams."""
    taxes = sum(1 for supplier in books.suppliers.values() if supplier.sales_tax)
    return books.half_a_minor_unit * taxes + sum(
        (_offer_rounding(books, offer) for offer in books.scenario.offers), Fraction(0)
    )


def _offer_rounding(books: Books, offer: Offer) -> Fraction:
    """By how much rounding can change what an offer costs: its line, if prices are no whole minor units, and a gram."""
    half, prices = books.half_a_minor_unit, [step.unit_price for step in offer.steps]
    line = half if any((price / (2 * half)).denominator > 1 for price in prices) else Fraction(0)
    gram = ROUNDING_G * max(prices) if cut_to_the_gram(offer) else Fraction(0)
    return (line + gram) * (1 + books.suppliers[offer.supplier].sales_tax)


def _exact_pay(books: Books, name: str, of: Callable[[Fraction, Fraction], Fraction]) -> Fraction:
    """What a supplier would be paid if nothing were rounded, with the least or most `of` delivery charged and due.

    A delivery that is charged wrongly is the matter of `delivery` alone.
    """
    supplier, lines = books.suppliers[name], books.lines[name]
    goods = sum((_exact_goods(books.offers[line.offer], line.units) for line in lines), Fraction(0))
    charged = sum((Fraction(bill.delivery) for bill in books.plan.bills if bill.supplier == name), Fraction(0))
    due = Fraction(_delivery_due(supplier, Fraction(books.goods(name))))
    return goods * (1 + supplier.sales_tax) + of(charged, due)


def _is_whole_grams(books: Books, line: OrderLine) -> bool:
    """Whether the line's weight is what the model counts: not cut to the gram, no part of a gram rounded up."""
    offer = books.offers[line.offer]
    return not cut_to_the_gram(offer) and Fraction(offer.unit_g * line.units).denominator == 1


def _order_rounding(books: Books) -> Fraction:
    """By how much money rounded lines and taxes, and whole grams, may pass what was counted exactly."""
    halves = len(books.all_lines) + len(books.plan.bills)
    return _grams_cost(books) + halves * books.half_a_minor_unit


def _grams_cost(books: Books) -> Fraction:
    """What the grams cost by which lines cut to the gram may be off."""
    lines = [line for line in _known_lines(books) if cut_to_the_gram(books.offers[line.offer])]
    return sum((_line_gram_cost(books, line) for line in lines), Fraction(0))


def _line_gram_cost(books: Books, line: OrderLine) -> Fraction:
    """What the grams cost by which a line cut to the gram may be off, with sales tax."""
    offer = books.offers[line.offer]
    return ROUNDING_G * _exact_goods(offer, line.units) / line.units * (1 + books.suppliers[offer.supplier].sales_tax)


def _exact_goods(offer: Offer, units: int) -> Fraction:
    """So many units at the price of the step they fall in, not rounded."""
    reached = [step for step in offer.steps if step.at_least <= units]
    return max(reached, key=lambda step: step.at_least).unit_price * units


def _delivery_due(supplier: Supplier, goods: Fraction) -> Decimal:
    """What a supplier that is used charges for delivery."""
    free_from = supplier.free_delivery_from
    return Decimal(0) if free_from is not None and goods >= free_from else supplier.delivery


def _known_lines(books: Books) -> Iterator[OrderLine]:
    """The lines that buy something on a list."""
    return (line for lines in books.lines.values() for line in lines)
