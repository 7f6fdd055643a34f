"""The commands that write into the book, `enter` and `note`, and `book`, which shows all that was entered."""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Any

import click

from raworder.commands import console
from raworder.commands.console import Exit, Outputs
from raworder.commands.desk import FILE, load_scenario, load_scenario_quietly, prints_papers, reads_scenario
from raworder.commands.plan_at_hand import PlanChoice, take_plan, takes_plan

if TYPE_CHECKING:
    from raworder.book.entering import Note
    from raworder.book.kitchen_book import KitchenBook
    from raworder.commands.desk import BatchAnswer
    from raworder.trade.kept import BatchAccount
    from raworder.trade.plan import Plan
    from raworder.trade.scenario import Scenario


class _Day(click.ParamType):  # type: ignore[type-arg]  # generic only for its types
    """A parameter that takes a day as a scenario writes it."""

    name = "day"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """The day; a usage error where it is none."""
        from raworder.trade.units import UnitError, read_date

        if isinstance(value, date):
            return value
        try:
            return read_date(value)
        except UnitError as error:
            self.fail(f"{error}; {error.help}", param, ctx)


DAY = _Day()
"""A day that a person names."""

Option = Callable[[Callable[..., None]], Callable[..., None]]

names_book: Option = click.option(
    "--book", type=FILE, metavar="FILE", help="The book; `book.sqlite` beside the scenario if not said."
)
"""The option that names another book."""

names_day: Option = click.option(
    "--on", "day", type=DAY, default=date.today, metavar="DAY", help="The day, such as 2027-02-06; today if not said."
)
"""The option that names the day that something is about. Nothing else in raworder asks what day it is."""


@contextmanager
def book_errors() -> Iterator[None]:
    """Turn what is in the way of a book into a usage error."""
    from raworder.book.ledger import BookError

    try:
        yield
    except BookError as error:
        raise click.UsageError(f"{error}; {error.remedy}") from None


def book_of(scenario: Path, book: Path | None) -> Path:
    """The book that was named, or else the one beside the scenario."""
    from raworder.book.ledger import book_beside

    return book or book_beside(scenario)


@contextmanager
def read_book(scenario: Path, book: Path | None, checked: "Scenario") -> "Iterator[KitchenBook]":
    """The book that was named, or the one beside the scenario, to read.

    A usage error where there is none, or where its money is not that of the scenario.
    """
    from raworder.book.kitchen_book import open_book

    ours, path = checked.currency.code, book_of(scenario, book)
    with book_errors(), open_book(path) as kept:
        other = next((batch.currency for batch in kept.batches() if batch.currency != ours), "")
        if other:
            raise click.UsageError(
                f"`{path}` has batches in {other} and the scenario is in {ours}: name another --book"
            )
        yield kept


@click.command()
@reads_scenario
@takes_plan
@click.option("--record", type=FILE, metavar="FILE", help="What `weigh` kept: the bags hold what was weighed.")
@click.option("--ordered", is_flag=True, help="Before the shop: enter the order only, to compare what it will cost.")
@names_book
def enter(scenario: Path, record: Path | None, ordered: bool, book: Path | None, **which: Any) -> None:
    """Enter a batch in the book: bought, paid and filled into bags.

    With a receipt, or the plan made from it, as it was in the shop; without, all as planned. Its day is the one on
    which the bags are filled. The first entry begins the book.
    """
    from raworder.book.entering import filled, make_entries
    from raworder.book.entering import ordered as planned

    checked = load_scenario(scenario)
    batch, plan = take_plan(checked, PlanChoice(**which))
    path = book_of(scenario, book)
    if ordered:
        account = _order(batch, plan)
        says = f"batch {account.number}, {account.title}: an order for {account.planned} {account.currency}"
    else:
        account = _account(path, checked, batch, plan, _weighed(record, checked, batch, plan))
        says = _batch_text(account, checked.weight_unit)
    with book_errors():
        (number,) = make_entries(path, account.filled_on, [(planned if ordered else filled)(account, says)])
        more = "" if ordered else _lots_text(path, number) + _kept_bags_text(path, number, account)
    console.say_words(f"Entered as {number} in {path}.\n{says[0].upper()}{says[1:]}.\n{more}")
    console.say("" if ordered else _next_text(quote(str(scenario))))


def _next_text(file: str) -> str:
    """What to do until the next batch."""
    return f'Next, if something goes otherwise: raworder note {file} "bag 7 kept"\nThen: raworder next {file}\n'


def _lots_text(path: Path, number: int) -> str:
    """The lots of an entry by supplier, each with its number, by which a recall or a correction names it."""
    from itertools import groupby

    from raworder.book.kitchen_book import open_book

    with open_book(path) as kept:
        lots = sorted((lot for lot in kept.lots() if lot.entry == number), key=lambda lot: (lot.supplier, lot.number))
    lines = [
        f"{supplier or 'There before'}: {', '.join(f'lot {lot.number} {lot.cut}' for lot in of_supplier)}.\n"
        for supplier, of_supplier in groupby(lots, key=lambda lot: lot.supplier)
    ]
    return "".join(lines)


def _kept_bags_text(path: Path, number: int, account: "BatchAccount") -> str:
    """The bags kept over that count as fed on the first days of the batch, on which their dogs have no others."""
    from raworder.book.kitchen_book import open_book
    from raworder.trade.units import day_text

    waiting = {first.dog for first in account.first_days}
    with open_book(path) as kept:
        bags = [bag for bag in kept.bags() if bag.dog in waiting and bag.entry != number]
    return "".join(
        f"Kept over: bag {bag.label} of batch {bag.batch} counts as fed to {bag.dog} on {day_text(bag.feed_on)}.\n"
        for bag in bags
        if account.starts <= bag.feed_on <= account.ends and bag.fate is None
    )


def _order(batch: "BatchAnswer", plan: "Plan") -> "BatchAccount":
    """The account of the order as it is planned."""
    from raworder.trade.batch_account import order_account

    return order_account(batch.scenario, plan)


def _refuse_what_is_to_fetch(batch: "BatchAnswer", plan: "Plan") -> None:
    """Refuse a batch of which something is not bought yet."""
    from raworder.trade.purchase import list_to_fetch

    if list_to_fetch(batch.scenario, plan):
        raise click.UsageError(
            "something of this batch is still to be fetched: enter it after the second trip, with a receipt of both; "
            "`raworder replan SCENARIO --plan PLAN --blank both.yaml` writes one"
        )


def _weighed(
    record: Path | None, checked: "Scenario", batch: "BatchAnswer", plan: "Plan"
) -> dict[tuple[int, str], int]:
    """What was weighed into the bags, by place in the plan and cut; findings in the record end the command."""
    if record is None:
        return {}
    from raworder.commands.desk import accept_content
    from raworder.reading.saved_plan import read_record
    from raworder.trade.fingerprint import batch_number

    read = read_record(record, checked, plan, batch_number(batch.scenario))
    entries = accept_content(None if read.findings else read, read.findings).entries
    return {(place, cut): grams for place, cut, grams in entries}


def _account(
    path: Path, checked: "Scenario", batch: "BatchAnswer", plan: "Plan", weighed: dict[tuple[int, str], int]
) -> "BatchAccount":
    """The account of the batch, with the order that was planned before the shop, if anybody knows it."""
    _refuse_what_is_to_fetch(batch, plan)
    from raworder.book.kitchen_book import open_book
    from raworder.reading.reference import cuts_by_name
    from raworder.trade.batch_account import batch_account, first_days, listed_prices, order_account

    before = batch.before if batch.purchase else plan
    planned = order_account(checked, before) if before else None
    if planned is None and path.exists():
        with book_errors(), open_book(path) as kept:
            planned = kept.order_of(checked.title, checked.batch.starts)
    account = batch_account(plan.facts.scenario, plan, planned, weighed)
    return replace(
        account,
        prices=tuple(listed_prices(checked)),  # a receipt knows only what was bought
        first_days=tuple(first_days(plan.facts.scenario, cuts_by_name(checked).values())),
    )


def _batch_text(account: "BatchAccount", unit: str) -> str:
    """A batch in one sentence."""
    from raworder.trade.units import grams_text

    bought_g = sum(lot.grams for lot in account.lots)
    left_g = sum(max(lot.grams - lot.used_g - lot.rest_g, 0) for lot in account.lots)
    left = f", {grams_text(left_g, unit)} of it left over" if left_g else ""
    bought = f"{grams_text(bought_g, unit)} bought for {account.paid} {account.currency}{left}"
    return f"batch {account.number}, {account.title}: {bought}; {len(account.bags)} bags"


@click.command()
@reads_scenario
@click.argument("words", nargs=-1, required=True, metavar="WORDS...")
@names_book
@names_day
def note(scenario: Path, words: Sequence[str], book: Path | None, day: date) -> None:
    """Tell the book what happened: weighings, bags, lots, mistakes.

    Each in quotes: "Maple weighs 22.4 kg", "bags 12-15 thrown away", "bag 7 kept", "lot 3 holds 450 g", "lot 3 is
    marked L2217", "found 500 g of beef heart", "everything thrown away", "entry 4 is wrong". All of them are entered,
    or none.
    """
    from raworder.book.entering import make_entries
    from raworder.book.kitchen_book import open_book

    checked = load_scenario_quietly(scenario)
    path = book_of(scenario, book)
    notes = [_read_note(said, checked) for said in words]
    with book_errors():
        numbers = make_entries(path, day, notes)
        with open_book(path) as kept:
            entries = {entry.number: entry for entry in kept.entries()}
    console.say_words("".join(f"Entered as {number}: {entries[number].says}.\n" for number in numbers))


def _read_note(said: str, scenario: "Scenario") -> "Note":
    """What the words come to; a usage error where they cannot be understood."""
    from raworder.reading.book_notes import read_note
    from raworder.trade.units import UnitError

    try:
        return read_note(said, scenario)
    except UnitError as error:
        raise click.UsageError(f"{error}; {error.help}") from None


@click.command()
@reads_scenario
@names_book
@prints_papers
def book(scenario: Path, book: Path | None, where: Outputs) -> None:
    """List all that was entered in the book.

    With --csv or --xlsx every table of it is written. The book is an SQLite file: any tool that reads such files reads
    it too.
    """
    from raworder.book.kitchen_book import open_book
    from raworder.reporting.book_pages import book_entries, book_tables

    checked = load_scenario_quietly(scenario)
    with book_errors(), open_book(book_of(scenario, book)) as kept:
        page, tables = book_entries(checked, kept.entries()), tuple(kept.tables())
    console.save_papers([page], where, tables=lambda: [page, *book_tables(checked, tables)])
    console.print_documents([page], Exit.PLAN.name.lower(), as_json=where.as_json)
    sys.exit(Exit.PLAN)
