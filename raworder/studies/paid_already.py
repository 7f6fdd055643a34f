"""What owners have paid already: how much each, and for which of the suppliers' bills."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from raworder.portioning.bearing import owners
from raworder.reporting.words import join_names
from raworder.trade.plan import Plan
from raworder.trade.scenario import YOUR_LIST, Scenario
from raworder.trade.units import Currency


class SettlingError(ValueError):
    """What was paid, or a rule, that cannot be; `help` is the one thing to do about it."""

    def __init__(self, message: str, help: str) -> None:  # noqa: A002 - the field's name
        super().__init__(message)
        self.help = help


@dataclass(frozen=True, slots=True)
class Paid:
    """What an owner has paid already; `supplier` is whose bill it was for, empty where nobody said."""

    owner: str
    amount: Decimal
    supplier: str = ""


@dataclass(frozen=True, slots=True)
class OpenBill:
    """A supplier's bill, and how much of it is paid."""

    supplier: str
    total: Decimal
    paid: Decimal = Decimal(0)

    @property
    def owed(self) -> Decimal:
        """What is still to be paid of it."""
        return self.total - self.paid

    @property
    def payee(self) -> str:
        """Who is paid, by the name that `--paid` takes."""
        return "the supplier" if self.supplier == YOUR_LIST else self.supplier


@dataclass(frozen=True, slots=True)
class PaidAlready:
    """What each owner has paid, in the scenario's order, and the bills; `unknown` was paid for nobody knows which."""

    by_owner: dict[str, Decimal]
    bills: tuple[OpenBill, ...]
    unknown: Decimal


def check_owner(scenario: Scenario, owner: str) -> None:
    """Refuse an owner of whom the scenario knows nothing."""
    if owner not in owners(scenario):
        raise SettlingError(f"`{owner}` owns no dog here", f"the owners are {join_names(owners(scenario))}")


def match_payments(scenario: Scenario, plan: Plan, paid: Sequence[Paid]) -> PaidAlready:
    """What was paid by whom and for what; SettlingError where that cannot be.

    Where nobody said for which bill, it is the one that comes to just as much, or the only one that is open, or all of
    them if together they come to just what was paid.
    """
    currency, by_owner = scenario.currency, dict.fromkeys(owners(scenario), Decimal(0))
    for one in paid:
        check_owner(scenario, one.owner)
        _know_money(currency, one)
        by_owner[one.owner] += one.amount
    _know_total(currency, sum(by_owner.values(), Decimal(0)), plan.total)
    bills = {bill.supplier: OpenBill(bill.supplier, bill.total) for bill in plan.bills}
    for one in paid:
        if one.supplier:
            bill = _paid_for(currency, bills, one)
            bills[bill.supplier] = bill
    return _matched(by_owner, bills, [paid.amount for paid in paid if not paid.supplier])


def _know_money(currency: Currency, paid: Paid) -> None:
    """Refuse what is no amount of money."""
    amount = paid.amount
    if not amount.is_finite() or amount < 0 or amount != currency.rounded(amount):
        smallest = currency.text(currency.minor)
        raise SettlingError(f"`{paid.owner}` cannot have paid {amount}", f"write whole multiples of {smallest}")


def _know_total(currency: Currency, all_paid: Decimal, total: Decimal) -> None:
    """Refuse more than all bills come to."""
    if all_paid > total:
        raise SettlingError(
            f"{currency.text(all_paid)} were paid, but the bills come to {currency.text(total)}",
            "tell only what was paid for this order, or give the receipt of what was really bought",
        )


def _paid_for(currency: Currency, bills: dict[str, OpenBill], paid: Paid) -> OpenBill:
    """The bill with what was paid for it."""
    bill = next(
        (open_bill for open_bill in bills.values() if paid.supplier in {open_bill.supplier, open_bill.payee}), None
    )
    if bill is None:
        named = join_names([f"`{open_bill.payee}`" for open_bill in bills.values()])
        there = f"there are bills of {named}" if bills else "there is no bill"
        raise SettlingError(f"there is no bill of `{paid.supplier}`", there)
    if paid.amount > bill.owed:
        raise SettlingError(
            f"{currency.text(bill.paid + paid.amount)} were paid for `{bill.supplier}`, but its bill comes to "
            f"{currency.text(bill.total)}",
            "tell what was paid for each bill by itself",
        )
    return replace(bill, paid=bill.paid + paid.amount)


def _matched(by_owner: dict[str, Decimal], bills: dict[str, OpenBill], amounts: Iterable[Decimal]) -> PaidAlready:
    """What was paid for no bill that was named, put to bills as far as it can be told."""
    unknown = Decimal(0)
    for amount in amounts:
        meant = [open_bill for open_bill in bills.values() if open_bill.owed == amount and amount]
        if len(meant) == 1:
            bills[meant[0].supplier] = replace(meant[0], paid=meant[0].total)
        else:
            unknown += amount
    still_open = [open_bill for open_bill in bills.values() if open_bill.owed]
    if unknown == sum((open_bill.owed for open_bill in still_open), Decimal(0)):
        bills |= {open_bill.supplier: replace(open_bill, paid=open_bill.total) for open_bill in still_open}
        unknown = Decimal(0)
    elif len(still_open) == 1:
        (only,) = still_open
        bills[only.supplier] = replace(only, paid=only.paid + unknown)
        unknown = Decimal(0)
    return PaidAlready(by_owner, tuple(bills.values()), unknown)


def creditors(paid: PaidAlready) -> Iterator[tuple[str, Decimal]]:
    """Whom the owners still owe how much: each supplier, or all together where nobody knows which bill was paid."""
    owed = [(open_bill.payee, open_bill.owed) for open_bill in paid.bills if open_bill.owed]
    if paid.unknown:
        yield "the suppliers", sum((amount for _, amount in owed), Decimal(0)) - paid.unknown
    else:
        yield from owed
