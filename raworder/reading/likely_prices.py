"""Whether prices are likely: checks of a whole scenario."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from raworder.reading.facts import Facts
from raworder.reading.offers import price_per_kg
from raworder.trade import Offer

OUTLIER_TIMES = 4
"""A price so many times the median of its like, or so small a part, is doubted. Source: common practice, no source."""

FAR_OUTLIER_TIMES = 10
"""As before, for kinds with few offers, compared with all offers. Source: common practice, no source."""

LEAST_TO_COMPARE = 4
"""So many offers of a kind, or in all, make a median."""


@dataclass(frozen=True, slots=True)
class Usual:
    """What a kilogram usually costs among `those`, and how many times more or less is doubted."""

    price: Fraction
    those: str
    times: int

    def fits(self, price: Fraction) -> bool:
        """Whether a price is near enough."""
        return self.price / self.times <= price <= self.price * self.times


def _prices_are_likely(facts: Facts) -> None:
    """Compare each price of a kilogram with those of its kind, or with all where there are few of its kind."""
    kinds = {cut.name: cut.kind for cut in facts.scenario.cuts}
    paid = [(offer, price) for offer in facts.scenario.offers if (price := price_per_kg(offer))]
    by_kind = _by_kind((kinds[offer.cut], price) for offer, price in paid)
    overall = _usual([price for _, price in paid], "all offers", FAR_OUTLIER_TIMES)
    for offer, price in paid:
        usual = by_kind.get(kinds[offer.cut], overall)
        if usual and not usual.fits(price):
            _note_outlier(offer, usual, facts)


def _by_kind(prices: Iterable[tuple[str, Fraction]]) -> dict[str, Usual]:
    """What each kind that has enough offers usually costs."""
    groups: dict[str, list[Fraction]] = {}
    for kind, price in prices:
        groups.setdefault(kind, []).append(price)
    usual = {kind: _usual(group, "its kind", OUTLIER_TIMES) for kind, group in groups.items()}
    return {kind: one for kind, one in usual.items() if one}


def _usual(prices: Sequence[Fraction], those: str, times: int) -> Usual | None:
    return Usual(median(prices), those, times) if len(prices) >= LEAST_TO_COMPARE else None


def _note_outlier(offer: Offer, usual: Usual, facts: Facts) -> None:
    currency = facts.scenario.currency
    price = currency.text(currency.rounded(price_per_kg(offer)))
    message = f"`{offer.cut}` at {price} per kg is far from {usual.those}"
    note = f"the median of {usual.those} is {currency.text(currency.rounded(usual.price))} per kg"
    if offer.place:
        facts.note("price-outlier", message, offer.place, "check the price and what it is for", note)


def _nothing_for_nothing(facts: Facts) -> None:
    """Doubt a price of nothing: a gift is fine, a slip is not."""
    for _, line in facts.lines:
        prices = [(line.price, line.at("price")), *((one.price, one.at("price")) for one in line.price_breaks)]
        for price, place in prices:
            if price.amount == 0:
                message = f"`{line.cut}` costs nothing here"
                facts.note("price-of-nothing", message, place, "check the price, unless it is a gift")


PRICES: tuple[Callable[[Facts], None], ...] = (_prices_are_likely, _nothing_for_nothing)
