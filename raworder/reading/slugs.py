"""Temporary."""

from dataclasses import dataclass
from raworder.findings import Severity

W = set(
    """comment-in-value price-outlier old-price-list unlikely-weight unusual-ration repeated-offer frozen-in-future
price-does-not-fall free-delivery-without-charge minimum-above-budget away-outside-batch away-throughout unused-value new-species needless-avoid no-offers""".split()
)


@dataclass(frozen=True)
class Slug:
    severity: Severity


class _S(dict):
    def __missing__(self, k):
        return Slug(Severity.WARNING if k in W else Severity.ERROR)


SLUGS = _S()
