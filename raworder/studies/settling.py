"""Who pays what: the shares of owners who ordered together, what each has paid already, and the fewest payments."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from types import MappingProxyType

from raworder.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Table, Verbatim
from raworder.plan import Plan
from raworder.reporting.costs import NO_OWNER, owners
from raworder.reporting.words import counted, listed, paper
from raworder.studies.owner_shares import By, LeftOver, OwnerShare, SettlingRules, owner_shares
from raworder.studies.payments import Settled, fewest_payments
from raworder.trade import Scenario
from raworder.units import Currency

THE_SUPPLIERS = "the suppliers"
"""Who is paid what nobody has paid yet."""

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


class SettlingError(ValueError):
    """What was paid, or a rule, that cannot be; `help` is the one thing to do about it."""

    def __init__(self, message: str, help: str) -> None:  # noqa: A002 - the field's name
        super().__init__(message)
        self.help = help


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
    paid: Sequence[tuple[str, Decimal]] = (),
) -> Document:
    """What each owner bears of the plan's bills, and who pays whom how much once some have `paid`.

    Several payments of one owner add up. SettlingError where an owner is not in the scenario, an amount is no money, or
    more was paid than the bills come to.
    """
    if not any(dog.owner for dog in scenario.dogs):
        return paper(scenario, "settle", "Who pays what", (Paragraph(NOTHING_TO_SETTLE),))
    if rules.kept_by:
        _known(scenario, rules.kept_by)
    advanced = _advanced(scenario, plan.total, paid)
    shares = owner_shares(scenario, plan, rules)
    return paper(scenario, "settle", "Who pays what", _blocks(scenario, rules, shares, advanced))


def _known(scenario: Scenario, owner: str) -> None:
    """Refuse an owner of whom the scenario knows nothing."""
    if owner not in owners(scenario):
        raise SettlingError(f"`{owner}` owns no dog here", f"the owners are {listed(owners(scenario))}")


def _advanced(scenario: Scenario, total: Decimal, paid: Sequence[tuple[str, Decimal]]) -> dict[str, Decimal]:
    """What each owner has paid already, in the scenario's order."""
    currency = scenario.currency
    advanced = dict.fromkeys(owners(scenario), Decimal(0))
    for owner, amount in paid:
        _known(scenario, owner)
        if not amount.is_finite() or amount < 0 or amount != currency.rounded(amount):
            smallest = currency.text(currency.minor)
            raise SettlingError(f"`{owner}` cannot have paid {amount}", f"write whole multiples of {smallest}")
        advanced[owner] += amount
    all_paid = sum(advanced.values(), Decimal(0))
    if all_paid > total:
        raise SettlingError(
            f"{currency.text(all_paid)} were paid, but the bills come to {currency.text(total)}",
            "tell only what was paid for this order, or give the receipt of what was really bought",
        )
    return advanced


def _blocks(
    scenario: Scenario, rules: SettlingRules, shares: Sequence[OwnerShare], advanced: Mapping[str, Decimal]
) -> Iterator[Block]:
    """What it comes to, who bears what, who pays whom, and by which rules."""
    total = sum((share.total for share in shares), Decimal(0))
    owed = [share.total - advanced[share.owner] for share in shares]
    to_suppliers = sum(owed, Decimal(0))
    yield Facts("bills", tuple(_bills(total, to_suppliers)))
    yield _bearing(scenario, shares)
    if any(advanced.values()):
        yield _balances(shares, advanced, scenario.currency)
    minor = scenario.currency.minor
    settled = fewest_payments([*(int(one / minor) for one in owed), -int(to_suppliers / minor)])
    yield from _payments(settled, [*(share.owner for share in shares), THE_SUPPLIERS], scenario.currency)
    yield Paragraph(_rules_say(rules, shares, scenario.currency))


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
