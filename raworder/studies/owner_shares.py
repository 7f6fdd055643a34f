"""What each owner bears of an order: food, delivery, tax and what is left over, by stated rules, to the minor unit."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from raworder.plan import Bill, Plan
from raworder.reporting.bearing import Parts, eaten_parts, left_parts, on_cuts, sold_by
from raworder.reporting.costs import NO_OWNER, owners
from raworder.reporting.splitting import split
from raworder.studies.rounding import rounded_both_ways
from raworder.trade import Scenario
from raworder.units import half_up

ByOwner = dict[str, Fraction]


class By(StrEnum):
    """By what a charge of a supplier is shared: money and weight of what it sold, or the same for each."""

    MONEY = "by money"
    WEIGHT = "by weight"
    EQUALLY = "equally"


class LeftOver(StrEnum):
    """By what it is shared what is left over: what the dogs eat of the same cut, or the same for each owner."""

    FOOD = "by food"
    EQUALLY = "equally"


@dataclass(frozen=True, slots=True)
class SettlingRules:
    """How is shared what no dog has eaten; an owner named by `kept_by` takes and pays all that is left over."""

    delivery: By = By.MONEY
    tax: By = By.MONEY
    left_over: LeftOver = LeftOver.FOOD
    kept_by: str = ""


@dataclass(frozen=True, slots=True)
class OwnerShare:
    """What an owner bears: food and what is left over before delivery and sales tax, then these."""

    owner: str
    food: Decimal
    left_over: Decimal
    delivery: Decimal
    tax: Decimal

    @property
    def total(self) -> Decimal:
        """All that the owner bears."""
        return self.food + self.left_over + self.delivery + self.tax


def owner_shares(scenario: Scenario, plan: Plan, rules: SettlingRules) -> tuple[OwnerShare, ...]:
    """Each owner's share, in the scenario's order; together exactly the bills, delivery by delivery and tax by tax.

    The owners' sums are rounded first, by largest remainder; then their parts, so that they add up both ways.
    """
    exact, minor = exact_shares(scenario, plan, rules), scenario.currency.minor
    food, left_over, delivery, tax = (sum(column, Fraction(0)) for column in zip(*exact, strict=True))
    left_paid = half_up(left_over)  # as on the shopping list and among the costs
    columns = (int(food + left_over) - left_paid, left_paid, int(delivery), int(tax))
    rows = split(sum(columns), [sum(row, Fraction(0)) for row in exact])
    whole = rounded_both_ways(exact, rows, columns)
    return tuple(
        OwnerShare(owner, *(count * minor for count in row)) for owner, row in zip(owners(scenario), whole, strict=True)
    )


def exact_shares(scenario: Scenario, plan: Plan, rules: SettlingRules) -> tuple[tuple[Fraction, ...], ...]:
    """For each owner food, left over, delivery and tax in minor units, not rounded."""
    bearing = _Bearing(scenario, plan, rules)
    goods = on_cuts(scenario, plan, lambda bill: bill.goods)
    columns = (
        bearing.borne(goods, bearing.food),
        bearing.borne(goods, bearing.left_over),
        bearing.charged(rules.delivery, lambda bill: bill.delivery),
        bearing.charged(rules.tax, lambda bill: bill.tax),
    )
    per_unit = 10**scenario.currency.digits
    return tuple(tuple(column[owner] * per_unit for column in columns) for owner in owners(scenario))


class _Bearing:
    """Who bears which part of every cut, as food or left over, by owner."""

    def __init__(self, scenario: Scenario, plan: Plan, rules: SettlingRules) -> None:
        self._scenario = scenario
        self._plan = plan
        self._nothing = dict.fromkeys(owners(scenario), Fraction(0))
        self.food = self._owned(eaten_parts(scenario, plan))
        self.left_over = self._left_over(rules)

    def borne(self, on: Mapping[str, Fraction], *parts: Parts) -> ByOwner:
        """The money put on cuts, by who bears them."""
        shares = dict(self._nothing)
        for part in parts:
            for cut, money in on.items():
                _add(shares, ((owner, money * share) for owner, share in part[cut].items()))
        return shares

    def charged(self, by: By, money: Callable[[Bill], Decimal]) -> ByOwner:
        """What suppliers charge beside their goods, by who bears it under the rule."""
        if by is not By.EQUALLY:
            on = on_cuts(self._scenario, self._plan, money, by_weight=by is By.WEIGHT)
            return self.borne(on, self.food, self.left_over)
        shares = dict(self._nothing)
        for bill in self._plan.bills:
            takers = self._takers(bill.supplier)
            _add(shares, ((owner, Fraction(money(bill)) / len(takers)) for owner in takers))
        return shares

    def _takers(self, supplier: str) -> list[str]:
        """The owners who get any of what the supplier sold."""
        sold = {one.name for one in sold_by(self._scenario, self._plan, supplier)}
        return [owner for owner in self._nothing if any(self._gets(owner, cut) for cut in sorted(sold))]

    def _gets(self, owner: str, cut: str) -> bool:
        return bool(self.food[cut][owner] or self.left_over[cut][owner])

    def _owned(self, parts: Parts) -> Parts:
        """Parts of dogs put together by owner."""
        owner_of = {dog.name: dog.owner or NO_OWNER for dog in self._scenario.dogs}
        owned = {}
        for cut, by_dog in parts.items():
            owned[cut] = dict(self._nothing)
            _add(owned[cut], ((owner_of[dog], share) for dog, share in by_dog.items()))
        return owned

    def _left_over(self, rules: SettlingRules) -> Parts:
        """Who bears what is left over of every cut."""
        by_food = self._owned(left_parts(self._scenario, self._plan))
        if rules.left_over is LeftOver.FOOD and not rules.kept_by:
            return by_food
        bearers = [rules.kept_by] if rules.kept_by else list(self._nothing)
        left = {cut: sum(shares.values(), Fraction(0)) / len(bearers) for cut, shares in by_food.items()}
        return {cut: self._nothing | dict.fromkeys(bearers, share) for cut, share in left.items()}


def _add(shares: ByOwner, more: Iterable[tuple[str, Fraction]]) -> None:
    """Put more on what owners bear already."""
    for owner, share in more:
        shares[owner] += share
