"""The commands of the counter: papers for filling bags, weighing as one goes, and planning again after the shop."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from raworder import console
from raworder.console import Where
from raworder.desk import (
    FILE,
    SECONDS,
    AtHand,
    Exit,
    documents_of,
    hand_out,
    prints_papers,
    read,
    reads_scenario,
    seconds,
)
from raworder.handing_out import page_of
from raworder.plan_at_hand import Which, documents_about, find_plan, find_plan_to_use, planned, takes_plan

if TYPE_CHECKING:
    from raworder.bags import Next
    from raworder.document import Document
    from raworder.portioning.weighing import Weighing
    from raworder.trade import Scenario
    from raworder.weighing_record import WeighingRecord

BAG_PAPERS = ("counter_sheet", "bag_list", "batch_cards", "feeding_sheet", "weeks", "thaw_plan", "freezing")
"""The papers of bags by key, in the order in which they are printed."""


@click.command()
@reads_scenario
@takes_plan
@click.option("--time-limit", type=SECONDS, callback=seconds, metavar="SECONDS", help="Stop then with the best found.")
@click.option("--paper", "wanted", type=click.Choice(BAG_PAPERS), multiple=True, help="Only this paper; repeatable.")
@prints_papers
def portion(scenario: Path, time_limit: float | None, wanted: Sequence[str], where: Where, **which: Any) -> None:
    """Print the papers for filling the bags.

    What goes into which bag, in working order; what is in every bag; what to feed, thaw and freeze when.
    """
    from raworder.reporting.papers import bag_papers

    about = find_plan_to_use(read(scenario), Which(**which), time_limit)
    documents, code = documents_about(about, bag_papers, time_limit)
    hand_out(about, documents, code, replace(where, keys=wanted))


@click.command()
@reads_scenario
@click.option("--record", type=FILE, required=True, metavar="FILE", help="Where what was weighed is kept.")
@takes_plan
def weigh(scenario: Path, record: Path, **which: Any) -> None:
    """Weigh bag after bag with targets that even out errors.

    Type what the scale says, in grams, or nothing where it says just the target. `back` takes the last entry back,
    `stop` ends for now: the same command goes on where it ended.
    """
    from raworder.fingerprint import batch_number
    from raworder.locks import held
    from raworder.portioning.weighing import Weighing
    from raworder.weighing_record import WeighingRecord
    from raworder.whole_files import named, target_of

    console.must_be_open()
    checked = read(scenario)
    with named(record):
        file = target_of(record)
        file.parent.mkdir(parents=True, exist_ok=True)
    with held(file):
        about, plan = planned(checked, Which(**which))
        opened = WeighingRecord(record, checked, plan, batch_number(about.scenario))
        _weigh_on(about.scenario, Weighing(plan, about.scenario.portioning), opened)


@click.command()
@reads_scenario
@takes_plan
@click.option(
    "--blank", type=FILE, metavar="FILE", help="Write a receipt with all as planned, to be altered: .csv or .yaml."
)
@click.option("--time-limit", type=SECONDS, callback=seconds, metavar="SECONDS", help="The most that a solve takes.")
@prints_papers
def replan(scenario: Path, blank: Path | None, time_limit: float | None, where: Where, **which: Any) -> None:
    """Plan again with what was really bought.

    Other weights, other prices, something missing, something else instead: what was bought is fixed and all the rest is
    solved again. Where it does not do, what is missed is told, and the cheapest that must still be fetched. With the
    plan that was taken to the shop (--plan) the batch need not be solved once more for it.
    """
    asked = Which(**which)
    if (asked.receipt is None) == (blank is None):
        raise click.UsageError("give either --receipt to plan again, or --blank to write a receipt")
    if blank is not None:
        _write_blank(scenario, blank, asked, overwrite=where.overwrite)
        return
    about = find_plan(read(scenario), asked, time_limit)
    documents, code = _after_shopping(about, time_limit)
    hand_out(about, documents, code, where, partial(_page, about, documents))


def _weigh_on(scenario: "Scenario", weighing: "Weighing", record: "WeighingRecord") -> None:
    """Ask for one weighing after the other until all is weighed or the person stops."""
    from raworder.portioning.weighing import Weighed, next_target
    from raworder.reporting.weighing_words import HOW, asked, done_so_far, station_head

    console.say(HOW)
    station = -1
    while (due := next_target(weighing, [Weighed(*one) for one in record.entries])) is not None:
        if due.station != station:
            station = due.station
            console.say_words(station_head(scenario, weighing.plan, station))
        grams = _typed(asked(weighing.plan, due), due)
        if grams is None:
            break
        if grams == BACK:
            record.take_back()
        else:
            record.add((due.bag, due.cut, grams))
    console.say(done_so_far(len({(bag, cut) for bag, cut, _ in record.entries}), len(weighing.sequence)))


BACK = -1
"""What stands for taking the last entry back."""


def _typed(question: str, due: "Next") -> int | None:
    """The grams that a person types; None when it stops."""
    while True:
        console.say_words(question)
        line = console.read_line()
        if not console.is_asked():
            console.say("\n")  # nobody typed the end of the line
        words = line.strip().casefold().removesuffix("g").strip()
        if not line or words == "stop":
            return None
        if words == "back":
            return BACK
        if not words:
            return due.target_g
        if words.isascii() and words.isdigit() and len(words) <= 6:
            return int(words)
        console.tell(f"`{line.strip()}` is no weight: type whole grams, such as `{due.target_g}`, `back` or `stop`\n")


def _write_blank(scenario: Path, blank: Path, which: Which, *, overwrite: bool) -> None:
    """Write a receipt as planned, in the form that its name says."""
    from raworder.purchase import all_bought
    from raworder.rendering.receipt_files import WRITERS

    write = WRITERS.get(blank.suffix.lower())
    if write is None:
        raise click.UsageError(f"a receipt is a CSV or a YAML file; name `{blank}` so, such as `receipt.csv`")
    checked = read(scenario)
    about, plan = planned(checked, which)
    receipt = all_bought(checked, plan, about.purchase)
    if receipt.delivery and blank.suffix.lower() == ".csv":
        raise click.UsageError(
            f"delivery was not charged as on the list, and a CSV file has no place for it: name `{blank}` so that it "
            "ends in .yaml"
        )
    from raworder.whole_files import save

    save([(blank, write(checked, receipt))], overwrite=overwrite)
    held = "what was bought and what is still to fetch" if about.purchase else "the order as planned"
    console.say_words(f"{blank} holds {held}: alter what was different in the shop\n")


def _after_shopping(about: AtHand, time_limit_s: float | None) -> tuple[Sequence["Document"], Exit]:
    """The papers after the shop and the exit code; the plan that was, where all was bought as planned."""
    from raworder.plan import Plan
    from raworder.reporting.after_the_shop import after_the_shop
    from raworder.reporting.papers import bag_papers, papers

    if about.after is None:
        return documents_of(about.scenario, about.answer, papers, time_limit_s)
    told, code = documents_of(
        about.scenario, about.answer, lambda one, plan: (*papers(one, plan), *bag_papers(one, plan)), time_limit_s
    )
    is_enough = about.after.enough or code != Exit.PLAN
    plan = about.answer if isinstance(about.answer, Plan) else None
    return [after_the_shop(about.scenario, about.after, plan), *told], code if is_enough else Exit.NO_PLAN


def _page(about: AtHand, documents: "Sequence[Document]") -> "Sequence[Document]":
    """The page that people hold, after what came of the shop."""
    first = documents[:1] if about.after is not None else ()
    return (*first, *page_of(about, {}))
