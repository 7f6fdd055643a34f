"""A receipt to be filled in at the shop: everything as planned, in a CSV file that can be read back."""

import csv
from collections import Counter
from collections.abc import Iterator
from io import StringIO

from raworder.plan import OrderLine, Plan
from raworder.rendering.tables import guarded
from raworder.trade import Offer, Scenario

COLUMNS = ("supplier", "cut", "item", "code", "packs", "weight", "paid")


def receipt_csv(scenario: Scenario, plan: Plan) -> bytes:
    """A row for each line of the order: RFC 4180 in UTF-8 with a byte order mark; money before sales tax.

    The weight of packs is left open, to be filled in where they were weighed, unless only it tells two offers apart.
    """
    offers = {offer.key: offer for offer in scenario.offers}
    alike = Counter(_called(offer) for offer in scenario.offers)
    out = StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for line in plan.lines:
        offer = offers[line.offer]
        weighed = offer.by_weight or alike[_called(offer)] > 1
        writer.writerow(_cells(offer, line, scenario.currency.digits, weighed=weighed))
    return out.getvalue().encode("utf-8-sig")


def _called(offer: Offer) -> tuple[str, str, str, str, bool]:
    """By what a person tells offers apart."""
    return offer.supplier, offer.cut, offer.item, offer.code, offer.by_weight


def _cells(offer: Offer, line: OrderLine, digits: int, *, weighed: bool) -> Iterator[str]:
    """One row; only text is guarded, as numbers are ours."""
    yield from map(guarded, (offer.supplier, offer.cut, offer.item, offer.code))
    yield "" if offer.by_weight else str(line.units)
    yield f"{offer.grams(line.units)} g" if weighed else ""
    yield f"{line.goods:.{digits}f}"
