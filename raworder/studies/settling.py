"""Who pays what: the shares of owners who ordered together, by stated rules, and the fewest payments."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType

from raworder.portioning.bearing import money_on_cuts, owners, sold_by
from raworder.reporting.words import count_text, join_names, paper
from raworder.studies.paid_already import Paid, PaidAlready, check_owner, creditors, match_payments
from raworder.trade.batch_facts import NO_OWNER, Parts
from raworder.trade.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Table, Verbatim
from raworder.trade.plan import Bill, Plan
from raworder.trade.rounding import apportion, half_up, round_both_ways
from raworder.trade.scenario import Scenario
from raworder.trade.units import Currency

MOST_EXACT = 15
"""The most parties for which every grouping is looked at: twelve owners and three suppliers.

There are 2 to this power of sets, 32,768 of them.
"""


@dataclass(frozen=True, slots=True)
class Payment:
    """Who pays whom how much, in minor units; parties are numbered by their place."""

    payer: int
    payee: int
    amount: int


@dataclass(frozen=True, slots=True)
class Settlement:
    """Payments in order of payer and payee; `fewest` says that no fewer payments settle it."""

    payments: tuple[Payment, ...]
    fewest: bool


def fewest_payments(owed: Sequence[int]) -> Settlement:
    """The payments after which nobody owes anything; `owed` above zero is still to be paid, below to be got back.

    Beyond MOST_EXACT parties there can be more payments than needed, always fewer than parties, and `fewest` is set
    only where it is sure. ValueError where what is owed and what is to be got back differ.

    >>> fewest_payments([500, -500, 300, -300]).payments
    (Payment(payer=0, payee=1, amount=500), Payment(payer=2, payee=3, amount=300))
    """
    if sum(owed):
        raise ValueError(f"what is owed and what is to be got back differ by {sum(owed)}")
    open_places = [place for place, amount in enumerate(owed) if amount]
    is_exact = len(open_places) <= MOST_EXACT
    groups = _most_groups(open_places, owed) if is_exact else _pairs_and_rest(open_places, owed)
    payments = sorted(
        (payment for group in groups for payment in _settle_group(group, owed)),
        key=lambda payment: (payment.payer, payment.payee),
    )
    payers = sum(amount > 0 for amount in owed)
    at_least = max(payers, len(open_places) - payers)
    return Settlement(tuple(payments), is_exact or len(payments) == at_least)


def _most_groups(places: list[int], owed: Sequence[int]) -> list[list[int]]:
    """The largest number of groups that each settle among themselves; every set of parties is looked at once.

    A set holds as many such groups as its best subset with one party fewer, and one more if it sums to zero itself.
    """
    # A set of parties is the bits of `chosen`; `chosen & (chosen - 1)` is the set without its lowest party. Each group
    # of n parties needs n - 1 payments, so the most groups mean the fewest payments.
    sums, most, last = [0], [0], [0]
    for chosen in range(1, 1 << len(places)):
        members = [bit for bit in range(len(places)) if chosen >> bit & 1]
        sums.append(sums[chosen & (chosen - 1)] + owed[places[members[0]]])
        best = max(members, key=lambda bit: most[chosen ^ 1 << bit])
        most.append(most[chosen ^ 1 << best] + (not sums[chosen]))
        last.append(best)
    return _groups_in(places, sums, last)


def _groups_in(places: list[int], sums: list[int], last: list[int]) -> list[list[int]]:
    """The groups, found by taking parties out in the reverse order of putting in; a sum of zero ends a group."""
    groups: list[list[int]] = []
    chosen = len(sums) - 1
    while chosen:
        if not sums[chosen]:
            groups.append([])
        groups[-1].append(places[last[chosen]])
        chosen ^= 1 << last[chosen]
    return groups


def _pairs_and_rest(places: list[int], owed: Sequence[int]) -> list[list[int]]:
    """Pairs where one owes exactly what the other gets back, and all others in one group."""
    waiting: dict[int, list[int]] = {}
    groups = []
    for place in places:
        partners = waiting.get(-owed[place])
        if partners:
            groups.append([partners.pop(0), place])
        else:
            waiting.setdefault(owed[place], []).append(place)
    rest = sorted(place for left in waiting.values() for place in left)
    return [*groups, rest]


def _settle_group(group: list[int], owed: Sequence[int]) -> list[Payment]:
    """Payments that settle a group: whoever owes most pays whoever gets back most, until all is paid."""
    left = {place: owed[place] for place in sorted(group)}
    payments = []
    while any(left.values()):
        payer, payee = max(left, key=lambda place: left[place]), min(left, key=lambda place: left[place])
        amount = min(left[payer], -left[payee])
        payments.append(Payment(payer, payee, amount))
        left[payer] -= amount
        left[payee] += amount
    return payments


ByOwner = dict[str, Fraction]


class ShareRule(StrEnum):
    """How a charge of a supplier is shared: by the money or weight of each owner's goods, or equally."""

    MONEY = "by money"
    WEIGHT = "by weight"
    EQUALLY = "equally"


class LeftOver(StrEnum):
    """How leftover food is shared: by what each owner's dogs eat of the same cut, or equally."""

    FOOD = "by food"
    EQUALLY = "equally"


@dataclass(frozen=True, slots=True)
class SettlingRules:
    """How charges and leftovers are shared; an owner named by `kept_by` takes and pays for all that is left over."""

    delivery: ShareRule = ShareRule.MONEY
    tax: ShareRule = ShareRule.MONEY
    left_over: LeftOver = LeftOver.FOOD
    kept_by: str = ""


@dataclass(frozen=True, slots=True)
class OwnerShare:
    """What an owner has to bear: food, leftovers, delivery and sales tax."""

    owner: str
    food: Decimal
    left_over: Decimal
    delivery: Decimal
    tax: Decimal

    @property
    def total(self) -> Decimal:
        """The sum that the owner bears."""
        return self.food + self.left_over + self.delivery + self.tax


def owner_shares(plan: Plan, rules: SettlingRules) -> tuple[OwnerShare, ...]:
    """Each owner's share, in the scenario's order; food, leftovers, delivery and tax each add up exactly to the bills.

    The owners' sums are rounded first, by largest remainder; then their parts, so that rows and columns add up.
    """
    scenario = plan.facts.scenario
    exact, minor = exact_shares(plan, rules), scenario.currency.minor
    food, left_over, delivery, tax = (sum(column, Fraction(0)) for column in zip(*exact, strict=True))
    left_paid = half_up(left_over)  # as on the shopping list and among the costs
    columns = (int(food + left_over) - left_paid, left_paid, int(delivery), int(tax))
    rows = apportion(sum(columns), [sum(row, Fraction(0)) for row in exact])
    whole = round_both_ways(exact, rows, columns)
    return tuple(
        OwnerShare(owner, *(count * minor for count in row)) for owner, row in zip(owners(scenario), whole, strict=True)
    )


def exact_shares(plan: Plan, rules: SettlingRules) -> tuple[tuple[Fraction, ...], ...]:
    """For each owner food, leftovers, delivery and tax in minor units, not rounded."""
    scenario = plan.facts.scenario
    bearing = _Bearing(plan, rules)
    goods = money_on_cuts(scenario, plan, lambda bill: bill.goods)
    columns = (
        bearing.borne(goods, bearing.food),
        bearing.borne(goods, bearing.left_over),
        bearing.charged(rules.delivery, lambda bill: bill.delivery),
        bearing.charged(rules.tax, lambda bill: bill.tax),
    )
    per_unit = 10**scenario.currency.digits
    return tuple(tuple(column[owner] * per_unit for column in columns) for owner in owners(scenario))


class _Bearing:
    """Which part of every cut each owner bears, as food and as leftovers."""

    def __init__(self, plan: Plan, rules: SettlingRules) -> None:
        self._scenario = scenario = plan.facts.scenario
        self._plan = plan
        self._nothing = dict.fromkeys(owners(scenario), Fraction(0))
        self.food = self._by_owner(plan.facts.costs.eaten)
        self.left_over = self._left_over(rules)

    def borne(self, on: Mapping[str, Fraction], *parts: Parts) -> ByOwner:
        """Money put on cuts, shared among the owners who bear the cuts."""
        shares = dict(self._nothing)
        for part in parts:
            for cut, money in on.items():
                _add(shares, ((owner, money * share) for owner, share in part[cut].items()))
        return shares

    def charged(self, by: ShareRule, money: Callable[[Bill], Decimal]) -> ByOwner:
        """A charge of the suppliers beside their goods, shared among owners by the rule."""
        if by is not ShareRule.EQUALLY:
            on = money_on_cuts(self._scenario, self._plan, money, by_weight=by is ShareRule.WEIGHT)
            return self.borne(on, self.food, self.left_over)
        shares = dict(self._nothing)
        for bill in self._plan.bills:
            takers = self._takers(bill.supplier)
            _add(shares, ((owner, Fraction(money(bill)) / len(takers)) for owner in takers))
        return shares

    def _takers(self, supplier: str) -> list[str]:
        """The owners who get any goods of the supplier."""
        sold = {cut.name for cut in sold_by(self._scenario, self._plan, supplier)}
        return [owner for owner in self._nothing if any(self._gets(owner, cut) for cut in sorted(sold))]

    def _gets(self, owner: str, cut: str) -> bool:
        return bool(self.food[cut][owner] or self.left_over[cut][owner])

    def _by_owner(self, parts: Parts) -> Parts:
        """Parts of dogs added up by owner."""
        owner_of = {dog.name: dog.owner or NO_OWNER for dog in self._scenario.dogs}
        owned = {}
        for cut, by_dog in parts.items():
            owned[cut] = dict(self._nothing)
            _add(owned[cut], ((owner_of[dog], share) for dog, share in by_dog.items()))
        return owned

    def _left_over(self, rules: SettlingRules) -> Parts:
        """Which part of each cut's leftovers each owner bears."""
        by_food = self._by_owner(self._plan.facts.costs.left)
        if rules.left_over is LeftOver.FOOD and not rules.kept_by:
            return by_food
        bearers = [rules.kept_by] if rules.kept_by else list(self._nothing)
        left = {cut: sum(shares.values(), Fraction(0)) / len(bearers) for cut, shares in by_food.items()}
        return {cut: self._nothing | dict.fromkeys(bearers, share) for cut, share in left.items()}


def _add(shares: ByOwner, more: Iterable[tuple[str, Fraction]]) -> None:
    """Add to what owners bear already."""
    for owner, share in more:
        shares[owner] += share


WHICH_BILL = (
    "Nobody said for which bill {amount} was paid, so the suppliers stand together. Say it with `--paid`, such as "
    '`--paid {owner} "{amount} for {supplier}"`.'
)
NOTHING_TO_SETTLE = (
    "No dog has an owner, so there is nothing to settle. Write the `owner` of each dog, and this page says who pays "
    "what."
)
FOOD = "Each owner pays for what their dogs eat, at the price really paid. What was on hand costs nothing."
SHARED_BY: Mapping[ShareRule, str] = MappingProxyType(
    {
        ShareRule.MONEY: "by money: in proportion to what each owner's goods of a supplier cost",
        ShareRule.WEIGHT: "by weight of each owner's goods of a supplier",
        ShareRule.EQUALLY: "equally among the owners who get any of a supplier's goods",
    }
)
LEFT_OVER_IS: Mapping[LeftOver, str] = MappingProxyType(
    {
        LeftOver.FOOD: "owned by food: by what each owner's dogs eat of the same cut, else by their rations",
        LeftOver.EQUALLY: "owned by all owners equally",
    }
)


def read_rules(delivery: str, tax: str, left_over: str, kept_by: str) -> SettlingRules:
    """The rules as a person names them: `money`, `weight`, `food` or `equally`.

    >>> read_rules("money", "equally", "food", "Ines").kept_by
    'Ines'
    """
    named = {by.removeprefix("by "): by for by in ShareRule}
    return SettlingRules(
        named[delivery],
        named[tax],
        {left_over.removeprefix("by "): left_over for left_over in LeftOver}[left_over],
        kept_by,
    )


def settle_bills(
    plan: Plan,
    rules: SettlingRules = SettlingRules(),
    paid: Sequence[Paid] = (),
) -> Document:
    """The paper with what each owner bears of the bills, and who pays whom how much after what is `paid` already.

    Several payments of one owner add up. SettlingError where the scenario has no such owner, an amount is not money,
    there is no such bill, or more was paid than a bill or all bills come to.
    """
    scenario = plan.facts.scenario
    if not any(dog.owner for dog in scenario.dogs):
        return paper(scenario, "settle", "Who pays what", (Paragraph(NOTHING_TO_SETTLE),))
    if rules.kept_by:
        check_owner(scenario, rules.kept_by)
    already = match_payments(scenario, plan, paid)
    shares = owner_shares(plan, rules)
    return paper(scenario, "settle", "Who pays what", _blocks(scenario, rules, shares, already))


def _blocks(
    scenario: Scenario, rules: SettlingRules, shares: Sequence[OwnerShare], already: PaidAlready
) -> Iterator[Block]:
    """The bills, who bears what, who pays whom, and the rules."""
    has_paid, currency = already.by_owner, scenario.currency
    total = sum((share.total for share in shares), Decimal(0))
    owed = [share.total - has_paid[share.owner] for share in shares]
    yield Facts("bills", tuple(_totals(total, sum(owed, Decimal(0)))))
    if len(already.bills) > 1:
        yield _by_supplier(already, currency)
    yield _shares_table(scenario, shares)
    if any(has_paid.values()):
        yield _balances(shares, has_paid, currency)
    yield from _payments(*_settlement(shares, already, currency), currency)
    if already.unknown:
        yield Paragraph(_which_bill(already, currency))
    yield Paragraph(_rules_text(rules, shares, currency))


NamedPayment = tuple[str, str, Decimal]
"""Who pays, whom, and how much."""


def _settlement(
    shares: Sequence[OwnerShare], already: PaidAlready, currency: Currency
) -> tuple[Settlement, tuple[NamedPayment, ...]]:
    """The fewest payments that settle what is owed, and the same by name."""
    paid_to = tuple(creditors(already))
    sums = [*(share.total - already.by_owner[share.owner] for share in shares), *(-amount for _, amount in paid_to)]
    settlement = fewest_payments([int(amount / currency.minor) for amount in sums])
    parties = [*(share.owner for share in shares), *(name for name, _ in paid_to)]
    named = (
        (parties[payment.payer], parties[payment.payee], payment.amount * currency.minor)
        for payment in settlement.payments
    )
    return settlement, tuple(named)


def payments_due(plan: Plan, shares: Sequence[OwnerShare]) -> tuple[NamedPayment, ...]:
    """The fewest payments that settle these shares, where nobody has paid anything yet."""
    scenario = plan.facts.scenario
    return _settlement(shares, match_payments(scenario, plan, ()), scenario.currency)[1]


def _which_bill(already: PaidAlready, currency: Currency) -> str:
    """How to say for which bill something was paid."""
    owner = next(owner for owner, amount in already.by_owner.items() if amount)
    supplier = max(already.bills, key=lambda bill: bill.owed).supplier
    amount = f"{already.unknown:.{currency.digits}f}"
    return WHICH_BILL.format(amount=amount, owner=owner, supplier=supplier)


def _by_supplier(already: PaidAlready, currency: Currency) -> Table:
    """Each bill, what is paid of it and what is still owed."""
    rows: list[tuple[Cell, ...]] = [
        (open_bill.payee, open_bill.total, open_bill.paid, open_bill.owed) for open_bill in already.bills
    ]
    if already.unknown:
        rows.append(("nobody said which", Decimal(0), already.unknown, -already.unknown))
    columns = (
        Column("supplier", "Bill from"),
        Column("total", "Comes to", Holds.MONEY),
        Column("paid", "Paid", Holds.MONEY),
        Column("owed", f"Still owed {currency.code}", Holds.MONEY),
    )
    total, paid, owed = _sums((open_bill.total, open_bill.paid, open_bill.owed) for open_bill in already.bills)
    totals = ("together", total, paid + already.unknown, owed - already.unknown)
    return Table("by_supplier", "The bills", columns, tuple(rows), (totals,))


def _totals(total: Decimal, to_suppliers: Decimal) -> Iterator[Fact]:
    """What the order comes to, and how much of it is paid."""
    yield Fact("total", "The bills come to", total, Holds.MONEY)
    yield Fact("paid", "Paid already", total - to_suppliers, Holds.MONEY)
    yield Fact("to_suppliers", "Still owed to the suppliers", to_suppliers, Holds.MONEY)


def _shares_table(scenario: Scenario, shares: Sequence[OwnerShare]) -> Table:
    """What each owner bears; columns of nothing but zeros are not shown."""
    rows: list[tuple[Cell, ...]] = [
        (owner_share.owner, _dogs_of_owner(scenario, owner_share.owner), *_parts(owner_share)) for owner_share in shares
    ]
    sums = _sums(_parts(owner_share) for owner_share in shares)
    food, left_over, delivery, tax, _ = map(bool, sums)
    columns = (
        Column("owner", "Owner"),
        Column("dogs", "Dogs", shown=False),
        Column("food", "Food", Holds.MONEY, shown=food),
        Column("left_over", "Left over", Holds.MONEY, shown=left_over),
        Column("delivery", "Delivery", Holds.MONEY, shown=delivery),
        Column("tax", "Sales tax", Holds.MONEY, shown=tax),
        Column("share", f"Pays {scenario.currency.code}", Holds.MONEY),
    )
    return Table("by_owner", "How the bill is shared", columns, tuple(rows), (("together", None, *sums),))


def _parts(share: OwnerShare) -> tuple[Decimal, ...]:
    """The columns of a share, its sum last."""
    return (share.food, share.left_over, share.delivery, share.tax, share.total)


def _dogs_of_owner(scenario: Scenario, owner: str) -> str:
    """The dogs of an owner."""
    return ", ".join(dog.name for dog in scenario.dogs if (dog.owner or NO_OWNER) == owner)


def _balances(shares: Sequence[OwnerShare], has_paid: Mapping[str, Decimal], currency: Currency) -> Table:
    """What each owner bears, has paid, and still pays or gets back."""
    money = [_balance(share.total, has_paid[share.owner]) for share in shares]
    rows: list[tuple[Cell, ...]] = [(share.owner, *pair) for share, pair in zip(shares, money, strict=True)]
    columns = (
        Column("owner", "Owner"),
        Column("share", "Share", Holds.MONEY),
        Column("paid", "Paid", Holds.MONEY),
        Column("to_pay", "Still pays", Holds.MONEY),
        Column("to_get", f"Gets back {currency.code}", Holds.MONEY),
    )
    return Table("balances", "Paid already", columns, tuple(rows), (("together", *_sums(money)),))


def _balance(share: Decimal, paid: Decimal) -> tuple[Decimal, ...]:
    """What is borne, has been paid, is still to be paid, and is got back."""
    owed, nothing = share - paid, Decimal(0)
    return (share, paid, max(owed, nothing), max(-owed, nothing))


def _sums(rows: Iterable[tuple[Decimal, ...]]) -> tuple[Decimal, ...]:
    """The sum of every column."""
    return tuple(sum(column, Decimal(0)) for column in zip(*rows, strict=True))


def _payments(settlement: Settlement, named: Sequence[NamedPayment], currency: Currency) -> Iterator[Block]:
    """Who pays whom how much, as a table and as a line to send round."""
    if not named:
        yield Paragraph("Nobody owes anything.")
        return
    columns = (
        Column("payer", "Who pays"),
        Column("payee", "Whom"),
        Column("amount", f"How much {currency.code}", Holds.MONEY),
    )
    note = f"{count_text(len(named), 'payment')}; {_fewest_text(settlement)}."
    yield Table("payments", "Who pays whom", columns, tuple(named), note=note, tick=True)
    text = "; ".join(f"{payer} pays {payee} {currency.text(amount)}" for payer, payee, amount in named)
    yield Verbatim("To send round", f"{text}.")


def _fewest_text(settlement: Settlement) -> str:
    """Whether fewer payments might settle it."""
    return "fewer can't settle it" if settlement.fewest else "fewer might do"


def _rules_text(rules: SettlingRules, shares: Sequence[OwnerShare], currency: Currency) -> str:
    """The rules of sharing, in words."""
    kept = f"kept and paid by {rules.kept_by} alone" if rules.kept_by else LEFT_OVER_IS[rules.left_over]
    smallest, order = currency.text(currency.minor), join_names([share.owner for share in shares])
    sentences = (
        FOOD,
        f"What is left over is {kept}, and counts among its owner's goods.",
        *_charge_texts(rules),
        f"Shares are rounded to {smallest} so that they add up: the largest remainders are rounded up, equal ones in",
        f"the order {order}.",
    )
    return " ".join(sentences)


def _charge_texts(rules: SettlingRules) -> Iterator[str]:
    """How delivery and tax are shared."""
    if rules.delivery is rules.tax:
        yield f"Delivery and sales tax are shared {SHARED_BY[rules.tax]}."
    else:
        yield f"Delivery is shared {SHARED_BY[rules.delivery]}."
        yield f"Sales tax is shared {SHARED_BY[rules.tax]}."
