"""The command of settlement: who pays what of an order that owners share."""

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from raworder import console
from raworder.console import Where
from raworder.desk import Exit, prints_papers, read, reads_scenario
from raworder.plan_at_hand import Which, planned, takes_plan

if TYPE_CHECKING:
    from raworder.studies.paid_already import Paid
    from raworder.trade import Scenario

SHARED = ("money", "weight", "equally")
"""By what delivery and tax can be shared."""

Pairs = Sequence[tuple[str, str]]
"""Owners with what they paid, as typed."""


@click.command()
@reads_scenario
@takes_plan
@click.option(
    "--paid",
    type=(str, str),
    multiple=True,
    metavar="OWNER AMOUNT",
    help='Paid already, as `Ines 40.00` or, for one bill, `Ines "40.00 for SUPPLIER"`; repeatable.',
)
@click.option("--delivery", type=click.Choice(SHARED), default="money", show_default=True, help="By what it is shared.")
@click.option("--tax", type=click.Choice(SHARED), default="money", show_default=True, help="By what it is shared.")
@click.option(
    "--left-over",
    type=click.Choice(["food", "equally"]),
    default="food",
    show_default=True,
    help="By what it is shared.",
)
@click.option("--kept-by", default="", metavar="OWNER", help="Who takes, and pays, all that is left over.")
@prints_papers
def settle(scenario: Path, paid: Pairs, where: Where, **options: Any) -> None:
    """Tell who pays what, to the cent.

    Each owner bears what their dogs eat at the price really paid, and shares of delivery, tax and what is left over.
    With what is paid already, the fewest payments that settle it.
    """
    from raworder.as_fed import as_fed
    from raworder.studies.paid_already import SettlingError
    from raworder.studies.settling import read_rules, settle

    rules = read_rules(*(options.pop(name) for name in ("delivery", "tax", "left_over", "kept_by")))
    about, plan = planned(read(scenario), Which(**options))
    fed = as_fed(about.scenario, plan)
    try:
        document = settle(fed, plan, rules, [_paid(owner, words, fed) for owner, words in paid])
    except SettlingError as error:
        raise click.UsageError(f"{error}; {error.help}") from None
    console.save_papers([document], where)
    console.print_documents([document], Exit.PLAN.name.lower(), as_json=where.as_json)


def _paid(owner: str, words: str, scenario: "Scenario") -> "Paid":
    """What was paid already, and for which bill if that is said: `40.00 for Hollow Lane`."""
    from raworder.reading.names import folded
    from raworder.studies.paid_already import Paid

    amount, _, supplier = (part.strip() for part in words.partition(" for "))
    known = {folded(one.name): one.name for one in scenario.suppliers}
    return Paid(owner, _money(amount, scenario), known.get(folded(supplier), supplier))


def _money(text: str, scenario: "Scenario") -> Decimal:
    """An amount that was paid."""
    from raworder.units import UnitError, read_money

    try:
        return read_money(text, scenario.currency)
    except UnitError as error:
        raise click.BadParameter(f"{error}; {error.help}", param_hint="--paid") from None
