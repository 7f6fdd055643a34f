"""A receipt to be filled in at the shop: everything as planned, in a CSV or YAML file that can be read back."""

import csv
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from io import StringIO
from types import MappingProxyType

from raworder.rendering.clean import one_line
from raworder.rendering.scenario_text import quoted
from raworder.rendering.tables import guarded
from raworder.trade.receipt import Receipt, Received
from raworder.trade.scenario import Offer, Scenario

COLUMNS = ("supplier", "cut", "item", "code", "packs", "weight", "paid")
NAMES = COLUMNS[:4]
"""The columns that hold text; the others hold numbers, which are ours."""

HEAD = (
    "# What was bought, as planned: alter what was different in the shop. Without `paid` a line costs what the list",
    "# asks; `packs: 0` tells that there was none. A substitute is a line with its `weight` and what was `paid`.",
)


def receipt_csv(scenario: Scenario, receipt: Receipt) -> bytes:
    """A row for each line: RFC 4180 in UTF-8 with a byte order mark; money before sales tax, no delivery.

    The weight of packs is left open, to be filled in where they were weighed, unless it is not that of the list or only
    it tells two offers apart.
    """
    out = StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for line in _lines(scenario, receipt):
        writer.writerow([guarded(cell) if name in NAMES else cell for name, cell in line.items()])
    return out.getvalue().encode("utf-8-sig")


def receipt_yaml(scenario: Scenario, receipt: Receipt) -> bytes:
    """The same lines in YAML, each with the fields that say something, and what was charged for delivery."""
    lines = tuple(_lines(scenario, receipt))
    rows = (f"  - {{{', '.join(_fields(line))}}}" for line in lines)
    digits = scenario.currency.digits
    charged = ", ".join(f"{quoted(one_line(name))}: {paid:.{digits}f}" for name, paid in receipt.delivery)
    delivery = (f"delivery: {{{charged}}}",) if charged else ()
    return "\n".join((*HEAD, "bought:" if lines else "bought: []", *rows, *delivery, "")).encode()


WRITERS: Mapping[str, Callable[[Scenario, Receipt], bytes]] = MappingProxyType(
    {".csv": receipt_csv, ".yaml": receipt_yaml, ".yml": receipt_yaml}
)
"""What writes a receipt, by how the name of the file ends."""


def _lines(scenario: Scenario, receipt: Receipt) -> Iterator[dict[str, str]]:
    """The cells of each line by column; last what there was none of."""
    offers = {offer.key: offer for offer in scenario.offers}
    alike = Counter(_called(offer) for offer in scenario.offers)
    for line in receipt.lines:
        offer = offers.get(line.offer)
        weighed = offer is None or offer.by_weight or line.grams != offer.grams(line.units) or alike[_called(offer)] > 1
        yield dict(zip(COLUMNS, _cells(offer, line, scenario.currency.digits, weighed=weighed), strict=True))
    for offer in (offers[key] for key in receipt.none_left):
        none = ("", "0 g") if offer.by_weight else ("0", "")
        yield dict(zip(COLUMNS, (offer.supplier, offer.cut, offer.item, offer.code, *none, ""), strict=True))


def _fields(line: Mapping[str, str]) -> Iterator[str]:
    """The cells of a line that say something, as fields."""
    yield from (f"{name}: {quoted(one_line(cell)) if name in NAMES else cell}" for name, cell in line.items() if cell)


def _called(offer: Offer) -> tuple[str, str, str, str, bool]:
    """By what a person tells offers apart."""
    return offer.supplier, offer.cut, offer.item, offer.code, offer.by_weight


def _cells(offer: Offer | None, line: Received, digits: int, *, weighed: bool) -> Iterator[str]:
    """The cells of one line; a substitute is on no list."""
    yield from (line.supplier, line.cut)
    yield from (offer.item, offer.code) if offer else ("", "")
    yield str(line.units) if (not offer.by_weight if offer else line.units > 1) else ""
    yield f"{line.grams} g" if weighed else ""
    yield f"{line.paid:.{digits}f}"
