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
    """A payment or a rule that cannot be right; `help` says what to do about it."""

    def __init__(self, message: str, help: str) -> None:  # noqa: A002 - the field's name
        super().__init__(message)
        self.help = help


@dataclass(frozen=True, slots=True)
class Paid:
    """A payment by an owner; `supplier` is the one whose bill it was for, empty where nobody said."""

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
        """Who is to be paid, by the name that `--paid` takes."""
        return "the supplier" if self.supplier == YOUR_LIST else self.supplier


@dataclass(frozen=True, slots=True)
class PaidAlready:
    """What each owner has paid, and the bills; `unknown` is what was paid for nobody knows which bill."""

    by_owner: dict[str, Decimal]
    bills: tuple[OpenBill, ...]
    unknown: Decimal


def check_owner(scenario: Scenario, owner: str) -> None:
    """Refuse an owner that the scenario does not have."""
    if owner not in owners(scenario):
        raise SettlingError(f"`{owner}` owns no dog here", f"the owners are {join_names(owners(scenario))}")


def match_payments(scenario: Scenario, plan: Plan, paid: Sequence[Paid]) -> PaidAlready:
    """What each owner has paid and what is left of each bill; SettlingError where that cannot be right.

    A payment for no named bill goes to the one bill of exactly that amount, or to the only open bill; or to all open
    bills if such payments add up to exactly what they come to.
    """
    currency, by_owner = scenario.currency, dict.fromkeys(owners(scenario), Decimal(0))
    for payment in paid:
        check_owner(scenario, payment.owner)
        _check_amount(currency, payment)
        by_owner[payment.owner] += payment.amount
    _check_total(currency, sum(by_owner.values(), Decimal(0)), plan.total)
    bills = {bill.supplier: OpenBill(bill.supplier, bill.total) for bill in plan.bills}
    for payment in paid:
        if payment.supplier:
            bill = _pay_bill(currency, bills, payment)
            bills[bill.supplier] = bill
    return _match_unnamed(by_owner, bills, [payment.amount for payment in paid if not payment.supplier])


def _check_amount(currency: Currency, paid: Paid) -> None:
    """Refuse what is not an amount of money."""
    amount = paid.amount
    if not amount.is_finite() or amount < 0 or amount != currency.rounded(amount):
        smallest = currency.text(currency.minor)
        raise SettlingError(f"`{paid.owner}` cannot have paid {amount}", f"write whole multiples of {smallest}")


def _check_total(currency: Currency, all_paid: Decimal, total: Decimal) -> None:
    """Refuse more than all bills come to."""
    if all_paid > total:
        raise SettlingError(
            f"{currency.text(all_paid)} were paid, but the bills come to {currency.text(total)}",
            "tell only what was paid for this order, or give the receipt of what was really bought",
        )


def _pay_bill(currency: Currency, bills: dict[str, OpenBill], paid: Paid) -> OpenBill:
    """The bill that a payment is for, with the payment added."""
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


def _match_unnamed(by_owner: dict[str, Decimal], bills: dict[str, OpenBill], amounts: Iterable[Decimal]) -> PaidAlready:
    """Put payments for no named bill to bills, as far as it is clear which they were for."""
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
    """How much the owners still owe each supplier, or all together where nobody knows which bill was paid."""
    owed = [(open_bill.payee, open_bill.owed) for open_bill in paid.bills if open_bill.owed]
    if paid.unknown:
        yield "the suppliers", sum((amount for _, amount in owed), Decimal(0)) - paid.unknown
    else:
        yield from owed
