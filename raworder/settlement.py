"""The command of settlement: who pays what of an order that owners share."""

import sys
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from raworder import console
from raworder.console import Where
from raworder.counter import planned
from raworder.desk import FILE, Exit, documents_of, prints_papers, read, takes_plan, tell

if TYPE_CHECKING:
    from raworder.plan import Plan
    from raworder.trade import Scenario

SHARED = ("money", "weight", "equally")
"""By what delivery and tax can be shared."""

Pairs = Sequence[tuple[str, str]]
"""Owners with what they paid, as typed."""


@click.command()
@click.argument("scenario", type=FILE)
@takes_plan
@click.option("--receipt", type=FILE, metavar="FILE", help="What was really bought: YAML or CSV.")
@click.option("--paid", type=(str, str), multiple=True, metavar="OWNER AMOUNT", help="Paid already; repeatable.")
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
def settle(scenario: Path, saved: Path | None, receipt: Path | None, paid: Pairs, where: Where, **options: Any) -> None:
    """Tell who pays what, to the cent.

    Each owner bears what their dogs eat at the price really paid, and shares of delivery, tax and what is left over.
    With what is paid already, the fewest payments that settle it.
    """
    from raworder.as_fed import as_fed
    from raworder.studies.settling import SettlingError, read_rules, settle

    if saved and receipt:
        raise click.UsageError("give either --plan or --receipt: after the shop the plan is another one")
    rules = read_rules(*(options.pop(name) for name in ("delivery", "tax", "left_over", "kept_by")))
    checked = read(scenario)
    about, plan = _after_shopping(checked, receipt) if receipt else (checked, planned(checked, saved))
    try:
        document = settle(as_fed(about, plan), plan, rules, [(owner, _money(amount, about)) for owner, amount in paid])
    except SettlingError as error:
        raise click.UsageError(f"{error}; {error.help}") from None
    console.save_papers([document], where)
    console.print_documents([document], Exit.PLAN.name.lower(), as_json=where.as_json)


def _after_shopping(scenario: "Scenario", receipt: Path) -> "tuple[Scenario, Plan]":
    """The plan with what was really bought, and the scenario that it is about."""
    from raworder.plan import Plan
    from raworder.reading.receipts import read_receipt
    from raworder.replanning import replan_batch
    from raworder.solving.solver import Settings

    found = read_receipt(receipt, scenario)
    tell(found.findings)
    if found.receipt is None:
        sys.exit(Exit.REFUSED)
    outcome = replan_batch(scenario, found.receipt, Settings(), as_it_is=True)
    if isinstance(outcome.answer, Plan):
        return outcome.scenario, outcome.answer
    documents, code = documents_of(outcome.scenario, outcome.answer, lambda *_: ())
    console.print_papers(documents)
    sys.exit(code)


def _money(text: str, scenario: "Scenario") -> Decimal:
    """An amount that was paid."""
    from raworder.units import UnitError, read_money

    try:
        return read_money(text, scenario.currency)
    except UnitError as error:
        raise click.BadParameter(f"{error}; {error.help}", param_hint="--paid") from None
