"""A receipt to be filled in at the shop: everything as planned, in a CSV or YAML file that can be read back."""

import csv
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from io import StringIO
from types import MappingProxyType

from raworder.plan import OrderLine, Plan
from raworder.rendering.clean import one_line
from raworder.rendering.scenario_text import quoted
from raworder.rendering.tables import guarded
from raworder.trade import Offer, Scenario

COLUMNS = ("supplier", "cut", "item", "code", "packs", "weight", "paid")
NAMES = COLUMNS[:4]
"""The columns that hold text; the others hold numbers, which are ours."""

HEAD = (
    "# What was bought, as planned: alter what was different in the shop. Without `paid` a line costs what the list",
    "# asks; `packs: 0` tells that there was none. A substitute is a line with its `weight` and what was `paid`.",
)


def receipt_csv(scenario: Scenario, plan: Plan) -> bytes:
    """A row for each line of the order: RFC 4180 in UTF-8 with a byte order mark; money before sales tax.

    The weight of packs is left open, to be filled in where they were weighed, unless only it tells two offers apart.
    """
    out = StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for line in _lines(scenario, plan):
        writer.writerow([guarded(cell) if name in NAMES else cell for name, cell in line.items()])
    return out.getvalue().encode("utf-8-sig")


def receipt_yaml(scenario: Scenario, plan: Plan) -> bytes:
    """The same lines in YAML, each with the fields that say something."""
    lines = tuple(_lines(scenario, plan))
    rows = (f"  - {{{', '.join(_fields(line))}}}" for line in lines)
    return "\n".join((*HEAD, "bought:" if lines else "bought: []", *rows, "")).encode()


WRITERS: Mapping[str, Callable[[Scenario, Plan], bytes]] = MappingProxyType(
    {".csv": receipt_csv, ".yaml": receipt_yaml, ".yml": receipt_yaml}
)
"""What writes a receipt, by how the name of the file ends."""


def _lines(scenario: Scenario, plan: Plan) -> Iterator[dict[str, str]]:
    """The cells of each line by column."""
    offers = {offer.key: offer for offer in scenario.offers}
    alike = Counter(_called(offer) for offer in scenario.offers)
    for line in plan.lines:
        offer = offers[line.offer]
        weighed = offer.by_weight or alike[_called(offer)] > 1
        yield dict(zip(COLUMNS, _cells(offer, line, scenario.currency.digits, weighed=weighed), strict=True))


def _fields(line: Mapping[str, str]) -> Iterator[str]:
    """The cells of a line that say something, as fields."""
    yield from (f"{name}: {quoted(one_line(cell)) if name in NAMES else cell}" for name, cell in line.items() if cell)


def _called(offer: Offer) -> tuple[str, str, str, str, bool]:
    """By what a person tells offers apart."""
    return offer.supplier, offer.cut, offer.item, offer.code, offer.by_weight


def _cells(offer: Offer, line: OrderLine, digits: int, *, weighed: bool) -> Iterator[str]:
    """The cells of one line."""
    yield from (offer.supplier, offer.cut, offer.item, offer.code)
    yield "" if offer.by_weight else str(line.units)
    yield f"{offer.grams(line.units)} g" if weighed else ""
    yield f"{line.goods:.{digits}f}"
