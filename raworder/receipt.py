"""The receipt: what was really bought, as against what was planned."""

from dataclasses import dataclass, field
from decimal import Decimal

from raworder.findings import Place


@dataclass(frozen=True, slots=True)
class Received:
    """One line: so many units of an offer, what they weigh together, and what was paid for them before sales tax.

    `offer` is the key of the scenario's offer it is about, or empty for a substitute that is on no list.
    """

    offer: str
    supplier: str
    cut: str
    units: int
    grams: int
    paid: Decimal
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Receipt:
    """All that was bought; what is not on it was not bought. `delivery` is what suppliers charged for bringing it."""

    lines: tuple[Received, ...]
    delivery: tuple[tuple[str, Decimal], ...] = ()
