"""Who pays what: the shares of owners who ordered together, what each has paid already, and the fewest payments."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from types import MappingProxyType

from raworder.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Table, Verbatim
from raworder.plan import Plan
from raworder.reporting.costs import NO_OWNER
from raworder.reporting.words import counted, listed, paper
from raworder.studies.owner_shares import By, LeftOver, OwnerShare, SettlingRules, owner_shares
from raworder.studies.paid_already import Paid, PaidAlready, creditors, know_owner, paid_already
from raworder.studies.payments import Settled, fewest_payments
from raworder.trade import Scenario
from raworder.units import Currency

WHICH_BILL = (
    "Nobody said for which bill {amount} was paid, so the suppliers stand together. Say it with `--paid`, such as "
    '`--paid {owner} "{amount} for {supplier}"`.'
)
NOTHING_TO_SETTLE = (
    "No dog has an owner named, so there is nothing to settle. Name the owner of each dog in the scenario, and this "
    "paper tells who pays what."
)
FOOD = "Each owner bears what their dogs eat, at the price really paid; what was on hand costs nothing here."
SHARED_BY: Mapping[By, str] = MappingProxyType(
    {
        By.MONEY: "by money: in proportion to what each owner's goods of a supplier cost",
        By.WEIGHT: "by weight of each owner's goods of a supplier",
        By.EQUALLY: "equally among the owners who get any of a supplier's goods",
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
    named = {by.removeprefix("by "): by for by in By}
    return SettlingRules(
        named[delivery], named[tax], {one.removeprefix("by "): one for one in LeftOver}[left_over], kept_by
    )


def settle(
    scenario: Scenario,
    plan: Plan,
    rules: SettlingRules = SettlingRules(),  # noqa: B008 - it is frozen
    paid: Sequence[Paid] = (),
) -> Document:
    """What each owner bears of the plan's bills, and who pays whom how much once some have `paid`.

    Several payments of one owner add up. SettlingError where an owner is not in the scenario, an amount is no money,
    there is no such bill, or more was paid than a bill or all of them come to.
    """
    if not any(dog.owner for dog in scenario.dogs):
        return paper(scenario, "settle", "Who pays what", (Paragraph(NOTHING_TO_SETTLE),))
    if rules.kept_by:
        know_owner(scenario, rules.kept_by)
    already = paid_already(scenario, plan, paid)
    shares = owner_shares(scenario, plan, rules)
    return paper(scenario, "settle", "Who pays what", _blocks(scenario, rules, shares, already))


def _blocks(
    scenario: Scenario, rules: SettlingRules, shares: Sequence[OwnerShare], already: PaidAlready
) -> Iterator[Block]:
    """What it comes to, who bears what, who pays whom, and by which rules."""
    advanced, currency = already.by_owner, scenario.currency
    total = sum((share.total for share in shares), Decimal(0))
    owed = [share.total - advanced[share.owner] for share in shares]
    yield Facts("bills", tuple(_bills(total, sum(owed, Decimal(0)))))
    if len(already.bills) > 1:
        yield _by_supplier(already, currency)
    yield _bearing(scenario, shares)
    if any(advanced.values()):
        yield _balances(shares, advanced, currency)
    paid_to = tuple(creditors(already))
    sums = [*owed, *(-amount for _, amount in paid_to)]
    settled = fewest_payments([int(one / currency.minor) for one in sums])
    yield from _payments(settled, [*(share.owner for share in shares), *(name for name, _ in paid_to)], currency)
    if already.unknown:
        yield Paragraph(_which_bill(already, currency))
    yield Paragraph(_rules_say(rules, shares, currency))


def _which_bill(already: PaidAlready, currency: Currency) -> str:
    """How to say for which bill something was paid."""
    owner = next(owner for owner, amount in already.by_owner.items() if amount)
    supplier = max(already.bills, key=lambda bill: bill.owed).supplier
    amount = f"{already.unknown:.{currency.digits}f}"
    return WHICH_BILL.format(amount=amount, owner=owner, supplier=supplier)


def _by_supplier(already: PaidAlready, currency: Currency) -> Table:
    """Each bill, what is paid of it and what is still owed."""
    rows: list[tuple[Cell, ...]] = [(one.payee, one.total, one.paid, one.owed) for one in already.bills]
    if already.unknown:
        rows.append(("nobody said which", Decimal(0), already.unknown, -already.unknown))
    columns = (
        Column("supplier", "Bill of"),
        Column("total", "Comes to", Holds.MONEY),
        Column("paid", "Paid", Holds.MONEY),
        Column("owed", f"Still owed {currency.code}", Holds.MONEY),
    )
    total, paid, owed = _sums((one.total, one.paid, one.owed) for one in already.bills)
    totals = ("together", total, paid + already.unknown, owed - already.unknown)
    return Table("by_supplier", "The bills", columns, tuple(rows), (totals,))


def _bills(total: Decimal, to_suppliers: Decimal) -> Iterator[Fact]:
    """What the order comes to, and how much of it is paid."""
    yield Fact("total", "The bills come to", total, Holds.MONEY)
    yield Fact("paid", "Paid already", total - to_suppliers, Holds.MONEY)
    yield Fact("to_suppliers", "Still owed to the suppliers", to_suppliers, Holds.MONEY)


def _bearing(scenario: Scenario, shares: Sequence[OwnerShare]) -> Table:
    """Who bears what; what nobody bears is not shown."""
    rows: list[tuple[Cell, ...]] = [(one.owner, _dogs(scenario, one.owner), *_parts(one)) for one in shares]
    sums = _sums(_parts(one) for one in shares)
    food, left_over, delivery, tax, _ = map(bool, sums)
    columns = (
        Column("owner", "Owner"),
        Column("dogs", "Dogs", shown=False),
        Column("food", "Food", Holds.MONEY, shown=food),
        Column("left_over", "Left over", Holds.MONEY, shown=left_over),
        Column("delivery", "Delivery", Holds.MONEY, shown=delivery),
        Column("tax", "Sales tax", Holds.MONEY, shown=tax),
        Column("share", f"Bears {scenario.currency.code}", Holds.MONEY),
    )
    return Table("by_owner", "Who bears what", columns, tuple(rows), (("together", None, *sums),))


def _parts(share: OwnerShare) -> tuple[Decimal, ...]:
    """The columns of a share, its sum last."""
    return (share.food, share.left_over, share.delivery, share.tax, share.total)


def _dogs(scenario: Scenario, owner: str) -> str:
    """The dogs of an owner."""
    return ", ".join(dog.name for dog in scenario.dogs if (dog.owner or NO_OWNER) == owner)


def _balances(shares: Sequence[OwnerShare], advanced: Mapping[str, Decimal], currency: Currency) -> Table:
    """What each bears, has paid, and then still pays or gets back."""
    money = [_balance(share.total, advanced[share.owner]) for share in shares]
    rows: list[tuple[Cell, ...]] = [(share.owner, *one) for share, one in zip(shares, money, strict=True)]
    columns = (
        Column("owner", "Owner"),
        Column("share", "Bears", Holds.MONEY),
        Column("paid", "Has paid", Holds.MONEY),
        Column("to_pay", "Still pays", Holds.MONEY),
        Column("to_get", f"Gets back {currency.code}", Holds.MONEY),
    )
    return Table("balances", "Paid already", columns, tuple(rows), (("together", *_sums(money)),))


def _balance(share: Decimal, advanced: Decimal) -> tuple[Decimal, ...]:
    """What is borne, has been paid, is still to be paid and is got back."""
    owed, nothing = share - advanced, Decimal(0)
    return (share, advanced, max(owed, nothing), max(-owed, nothing))


def _sums(rows: Iterable[tuple[Decimal, ...]]) -> tuple[Decimal, ...]:
    """The sum of every column."""
    return tuple(sum(column, Decimal(0)) for column in zip(*rows, strict=True))


def _payments(settled: Settled, parties: Sequence[str], currency: Currency) -> Iterator[Block]:
    """Who pays whom how much, as a table and as a line to send round."""
    if not settled.payments:
        yield Paragraph("Nobody owes anything.")
        return
    said = [(parties[one.payer], parties[one.payee], one.amount * currency.minor) for one in settled.payments]
    columns = (
        Column("payer", "Who pays"),
        Column("payee", "Whom"),
        Column("amount", f"How much {currency.code}", Holds.MONEY),
    )
    rows: tuple[tuple[Cell, ...], ...] = tuple(said)
    note = f"{counted(len(said), 'payment')}; {_fewest(settled)}."
    yield Table("payments", "Who pays whom", columns, rows, note=note, tick=True)
    text = "; ".join(f"{payer} pays {payee} {currency.text(amount)}" for payer, payee, amount in said)
    yield Verbatim("To send round", f"{text}.")


def _fewest(settled: Settled) -> str:
    """How sure it is that there are no fewer payments."""
    return "no fewer settle it" if settled.fewest else "at most so many are needed, fewer might do"


def _rules_say(rules: SettlingRules, shares: Sequence[OwnerShare], currency: Currency) -> str:
    """The rules by which it was shared."""
    kept = f"kept and paid by {rules.kept_by} alone" if rules.kept_by else LEFT_OVER_IS[rules.left_over]
    smallest, order = currency.text(currency.minor), listed([share.owner for share in shares])
    said = (
        FOOD,
        f"What is left over is {kept}, and counts among the goods of who owns it.",
        *_charges(rules),
        f"Shares are whole multiples of {smallest}: what rounding down leaves goes to the largest remainders first,",
        f"among equal ones in the order {order}.",
    )
    return " ".join(said)


def _charges(rules: SettlingRules) -> Iterator[str]:
    """How delivery and tax are shared."""
    if rules.delivery is rules.tax:
        yield f"Delivery and sales tax are shared {SHARED_BY[rules.tax]}."
    else:
        yield f"Delivery is shared {SHARED_BY[rules.delivery]}."
        yield f"Sales tax is shared {SHARED_BY[rules.tax]}."
