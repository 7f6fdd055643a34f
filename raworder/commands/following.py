"""`next`: the scenario of the following batch, with days, stock, weights and prices rolled on, and what it costs."""

import re
import sys
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Any

import click

from raworder.commands import console
from raworder.commands.book_entries import DAY, book_of, names_book, read_book
from raworder.commands.console import Exit, Outputs
from raworder.commands.desk import (
    FILE,
    hand_out_paper,
    load_scenario,
    open_ask,
    print_findings,
    prints_papers,
    reads_scenario,
)
from raworder.commands.interview import Dialogue, MissingError, Question
from raworder.commands.plan_at_hand import PlanChoice, find_plan, take_plan, takes_plan

if TYPE_CHECKING:
    from raworder.studies.next_batch import NextBatch
    from raworder.studies.roll_on import News, RolledOn
    from raworder.trade.document import Document
    from raworder.trade.kept import BatchAccount, Weighing
    from raworder.trade.scenario import Scenario

NOTHING_CARRIED = "nothing is carried from the last batch, as there would be no plan then"


@click.command("next")
@reads_scenario
@click.option("--out", type=FILE, metavar="FILE", help="What to write; beside the scenario with the day if not said.")
@click.option("--starts", type=DAY, metavar="DAY", help="The first day fed; the day after the last one if not said.")
@names_book
@click.option("--plain", is_flag=True, help="Carry no surplus or deficit of bone and organs.")
@takes_plan
@prints_papers
def following(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path,
    out: Path | None,
    starts: date | None,
    book: Path | None,
    plain: bool,
    where: Outputs,
    **which: Any,
) -> None:
    """Write the next scenario, with everything rolled on.

    Days, what is on hand, weights of growing dogs, prices that were paid; your comments and order stay. Then what a
    dog-day costs now, and why it differs. What is on hand is what the book says, or without one what the plan leaves
    over (--plan, --receipt).
    """
    before = load_scenario(scenario)
    first = _first_day(starts, before)
    target = out or scenario.with_name(f"{_stem(scenario)}-{first.isoformat()}{scenario.suffix or '.yaml'}")
    _refuse_to_replace(target, scenario, overwrite=where.overwrite)
    text, asked = _text_as_asked(scenario, before)
    news = replace(_find_news(scenario, before, first, book, PlanChoice(**which)), carries=not plain)
    news = replace(news, weights=_ask_weights(text, asked, news))
    rolled, document, is_planned = _roll_on(target, (text, before, asked), news)
    console.save_files([(target, rolled.text.encode())], overwrite=where.overwrite)
    hand_out_paper(document, where, Exit.PLAN if is_planned else Exit.NO_PLAN)


def _first_day(starts: date | None, scenario: "Scenario") -> date:
    """The first day of the next batch; a usage error for one that does not come after that of the last."""
    if starts is not None and starts <= scenario.batch.starts:
        raise click.BadParameter(f"the last batch starts on {scenario.batch.starts}", param_hint="--starts")
    return starts or scenario.batch.ends + timedelta(days=1)


def _stem(scenario: Path) -> str:
    """The name of a scenario without its ending, and without a day at its end."""
    return re.sub(r"[-_ ]?[0-9]{4}-[0-9]{2}-[0-9]{2}$", "", scenario.stem) or "scenario"


def _refuse_to_replace(target: Path, scenario: Path, *, overwrite: bool) -> None:
    """Raise before any work where the file may not be written: it is the one that is read, or there already."""
    from raworder.commands.saving import resolve_target

    if resolve_target(target) == resolve_target(scenario):
        raise click.UsageError(f"`{target}` is read by this command; choose another name for what is written")
    if (target.exists() or target.is_symlink()) and not overwrite:
        raise FileExistsError(f"`{target}` is there already; add --overwrite to replace it")


def _text_as_asked(path: Path, scenario: "Scenario") -> tuple[str, "Scenario"]:
    """The text of a scenario as a person asked for it, without what was rolled on the last time, and read again."""
    from raworder.reading.files import file_text
    from raworder.reading.notes import Notes
    from raworder.reading.scenario_file import read_scenario_text
    from raworder.studies.roll_on import restore_asked
    from raworder.trade.findings import Place

    text = file_text(path, Place(path.as_posix(), 1, 1), Notes()) or ""
    asked = restore_asked(text)
    return asked, read_scenario_text(asked, path).scenario or scenario


def _find_news(scenario: Path, before: "Scenario", first: date, book: Path | None, which: PlanChoice) -> "News":
    """What is known of the batch that ends: from the book; where it has no food, or a plan is named, from that."""
    from raworder.studies.roll_on import News
    from raworder.trade.after_a_batch import stock_after

    filled_on = first + (before.portioned_on - before.batch.starts)
    weighings: tuple[Weighing, ...] = ()
    if book or (book_of(scenario, book).exists() and not which.is_named):
        news = _ask_book(scenario, book, before, first, filled_on)
        if news.accounts or news.stock.grams:
            return news
        weighings = news.weighings
    account = _account_of_plan(before, which)
    stock = stock_after(account, filled_on)
    return News(first, stock, False, account, (account,), weighings, folder=scenario.parent)


def _ask_book(scenario: Path, book: Path | None, before: "Scenario", first: date, filled_on: date) -> "News":
    """What the book says; a usage error where it cannot be read."""
    from raworder.studies.roll_on import LOSS_BATCHES, News

    with read_book(scenario, book, before) as kept:
        accounts = tuple(batch for batch in kept.batches() if batch.starts <= before.batch.starts)
        ends = [batch for batch in accounts if (batch.title, batch.starts) == (before.title, before.batch.starts)]
        stock, weighings, losses = kept.stock(filled_on), kept.weighings(), kept.losses(LOSS_BATCHES)
    if not ends:
        unknown = f"`{book_of(scenario, book)}` knows nothing of the batch from {before.batch.starts}"
        kept_back = "only the stock is taken from it" if accounts or stock.grams else "what the plan leaves over counts"
        console.tell(f"{unknown}: {kept_back}\n")
    account = ends[-1] if ends else None
    return News(first, stock, True, account, accounts, weighings, folder=scenario.parent, losses=losses)


def _account_of_plan(before: "Scenario", which: PlanChoice) -> "BatchAccount":
    """The account of a batch that goes as the plan says, beside what was planned before the shop if both are named."""
    from raworder.trade.batch_account import batch_account, order_account

    _, plan = take_plan(before, which)
    saved = find_plan(before, PlanChoice(which.saved)) if which.receipt and which.saved else None
    is_order = saved is not None and saved.plan is not None and saved.purchase is None
    order = order_account(before, saved.plan) if is_order and saved and saved.plan else None
    return batch_account(plan.facts.scenario, plan, order)


def _ask_weights(text: str, asked: "Scenario", news: "News") -> dict[str, str]:
    """The weights of growing dogs that a person types; Enter alone keeps one, and nobody is asked in a script."""
    from raworder.studies.roll_on import dogs_to_weigh

    if not console.is_interactive():
        return {}
    talk, typed = Dialogue(asks=True), dict[str, str]()
    try:
        for dog, was in dogs_to_weigh(text, asked, news.weighings):
            typed[dog] = talk.ask(Question(f"{dog} weighs now", was), partial(_weight_like, was=was))
    except MissingError:
        console.tell("no more answers: the other weights stay as they are\n")
    return typed


def _weight_like(text: str, was: str) -> str:
    """The weight that a person types, in the unit of the last one where it says none.

    >>> _weight_like("10.9", "10.1 kg"), _weight_like("24 lb", "10.1 kg")
    ('10.9 kg', '24 lb')
    """
    from raworder.reading.answers import weight

    unit = was.lstrip("0123456789., ")
    return weight(f"{text} {unit}" if re.fullmatch(r"[0-9]+(?:[.,][0-9]+)?", text.strip()) else text)


def _roll_on(
    target: Path, read: tuple[str, "Scenario", "Scenario"], news: "News"
) -> tuple["RolledOn", "Document", bool]:
    """The following scenario with its paper, and whether there is a plan; nothing is carried where it is in the way."""
    from raworder.studies.next_batch import next_batch

    rolled, batch = _read_back(target, read, news)
    commands = ((f"raworder plan {quote(str(target))}", "the order"),)
    with open_ask() as ask:
        document, is_planned = next_batch(batch, ask, commands)
        if not is_planned and rolled.carried and not ask.interrupted:
            rolled, batch = _read_back(target, read, replace(news, carries=False))
            rolled = replace(rolled, to_do=(NOTHING_CARRIED, *rolled.to_do))
            document, is_planned = next_batch(replace(batch, rolled=rolled), ask, commands)
        if ask.interrupted:
            raise KeyboardInterrupt
    return rolled, document, is_planned


def _read_back(target: Path, read: tuple[str, "Scenario", "Scenario"], news: "News") -> tuple["RolledOn", "NextBatch"]:
    """The following scenario, read as it will be; what is wrong with it ends the command, and no file is written."""
    from raworder.reading.scenario_file import read_scenario_text
    from raworder.studies.next_batch import NextBatch
    from raworder.studies.roll_on import roll_on

    text, before, asked = read
    try:
        rolled = roll_on(text, asked, news)
    except ValueError as error:
        raise click.UsageError(f"{error}: write each field on a line of its own, and run this again") from None
    reading = read_scenario_text(rolled.text, target)
    if reading.scenario is None:
        print_findings(reading.findings)
        console.tell("the next scenario would not be read, so it is not written\n")
        sys.exit(Exit.REFUSED)
    return rolled, NextBatch(before, reading.scenario, rolled, news.account)
