"""The commands of the counter: papers for filling bags, weighing as one goes, and planning again after the shop."""

import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from raworder import console
from raworder.console import Where
from raworder.desk import (
    FILE,
    SECONDS,
    Exit,
    documents_of,
    hand_out,
    prints_papers,
    read,
    seconds,
    solve,
    takes_plan,
    tell,
)

if TYPE_CHECKING:
    from raworder.bags import Next
    from raworder.document import Document
    from raworder.plan import Plan
    from raworder.portioning.weighing import Weighed, Weighing
    from raworder.trade import Scenario
    from raworder.workflow import Answer

BAG_PAPERS = ("counter_sheet", "bag_list", "batch_cards", "feeding_sheet", "weeks", "thaw_plan", "freezing")
"""The papers of bags by key, in the order in which they are printed."""


@click.command()
@click.argument("scenario", type=FILE)
@takes_plan
@click.option("--time-limit", type=SECONDS, callback=seconds, metavar="SECONDS", help="Stop then with the best found.")
@click.option("--paper", "wanted", type=click.Choice(BAG_PAPERS), multiple=True, help="Only this paper; repeatable.")
@prints_papers
def portion(
    scenario: Path,
    saved: Path | None,
    time_limit: float | None,
    wanted: Sequence[str],
    where: Where,
) -> None:
    """Print the papers for filling the bags.

    What goes into which bag, in working order; what is in every bag; what to feed, thaw and freeze when.
    """
    from raworder.reporting.papers import bag_papers

    checked = read(scenario)
    answer = saved_plan(checked, saved) if saved else solve(checked, time_limit_s=time_limit)
    documents, code = documents_of(checked, answer, bag_papers, time_limit)
    hand_out(checked, answer, documents, code, replace(where, keys=wanted))


@click.command()
@click.argument("scenario", type=FILE)
@click.option("--record", type=FILE, required=True, metavar="FILE", help="Where what was weighed is kept.")
@takes_plan
def weigh(scenario: Path, record: Path, saved: Path | None) -> None:
    """Weigh bag after bag with targets that even out errors.

    Type what the scale says, in grams, or nothing where it says just the target. `back` takes the last entry back,
    `stop` ends for now: the same command goes on where it ended.
    """
    from raworder.portioning.weighing import Weighed, Weighing

    checked = read(scenario)
    plan = planned(checked, saved)
    entries = [Weighed(*entry) for entry in _recorded(checked, plan, record)]
    _weigh_on(checked, Weighing(plan, checked.portioning), entries, record)


@click.command()
@click.argument("scenario", type=FILE)
@click.option("--receipt", type=FILE, metavar="FILE", help="What was really bought: YAML or CSV.")
@click.option("--blank", type=FILE, metavar="FILE", help="Write a receipt with all as planned, to be altered.")
@click.option("--time-limit", type=SECONDS, callback=seconds, metavar="SECONDS", help="The most that a solve takes.")
@click.option("--as-it-is", is_flag=True, help="Fill the bags with what there is, whatever targets are missed.")
@prints_papers
def replan(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path,
    receipt: Path | None,
    blank: Path | None,
    time_limit: float | None,
    as_it_is: bool,
    where: Where,
) -> None:
    """Plan again with what was really bought.

    Other weights, other prices, something missing, something else instead: what was bought is fixed and all the rest is
    solved again. Where it does not do, what is missed is told, and the cheapest that must still be fetched.
    """
    if (receipt is None) == (blank is None):
        raise click.UsageError("give either --receipt to plan again, or --blank to write a receipt")
    checked = read(scenario)
    if blank is not None:
        _write_blank(checked, blank, overwrite=where.overwrite)
        return
    documents, code, planned_for, answer = _replanned(checked, receipt or Path(), time_limit, as_it_is=as_it_is)
    hand_out(planned_for, answer, documents, code, where)


def saved_plan(scenario: "Scenario", path: Path) -> "Plan":
    """A plan from a file, audited again; findings end the command."""
    from raworder.as_fed import as_fed
    from raworder.auditing.checks import audit
    from raworder.reading.saved_plan import read_plan
    from raworder.workflow import with_nourishment

    found = read_plan(path, scenario)
    tell(found.findings)
    if found.plan is None:
        sys.exit(Exit.REFUSED)
    breaches = audit(as_fed(scenario, found.plan), found.plan)
    if breaches:
        first = breaches[0]
        raise click.UsageError(
            f"`{path}` was altered: its plan breaks {first.rule} ({first.subject}: {first.says}); plan again"
        )
    return with_nourishment(scenario, found.plan)


def planned(scenario: "Scenario", saved: Path | None) -> "Plan":
    """The saved plan, or a new one; where there is none the command ends with the reasons."""
    from raworder.plan import Plan

    answer = saved_plan(scenario, saved) if saved else solve(scenario)
    if not isinstance(answer, Plan):
        documents, code = documents_of(scenario, answer, lambda *_: ())
        console.print_papers(documents)
        sys.exit(code)
    return answer


def _recorded(scenario: "Scenario", plan: "Plan", record: Path) -> Sequence[tuple[int, str, int]]:
    """What the record holds already; a torn last line is cut off, and a new record begins with its head."""
    from raworder.reading.weighed import read_record, record_head

    if not record.exists():
        console.append(record, record_head(scenario, plan))
        return ()
    found = read_record(record, scenario, plan)
    tell(found.findings)
    if found.findings:
        sys.exit(Exit.REFUSED)
    if not found.sound_bytes:
        _begin_again(record, record_head(scenario, plan))
    else:
        console.cut_off(record, found.sound_bytes)
    return found.entries


def _begin_again(record: Path, head: str) -> None:
    """Write the head of a record of which only a part of it, or nothing, was written; any other file stays as it is."""
    if not head.encode().startswith(record.read_bytes()):
        raise click.UsageError(f"`{record}` is no record of weighing; name a file that is not there yet")
    console.cut_off(record, 0)
    console.append(record, head)


def _weigh_on(scenario: "Scenario", weighing: "Weighing", entries: list["Weighed"], record: Path) -> None:
    """Ask for one weighing after the other until all is weighed or the person stops."""
    from raworder.portioning.weighing import Weighed, next_target
    from raworder.reading.weighed import record_line
    from raworder.reporting.weighing_words import HOW, asked, done_so_far, station_head

    console.say(HOW)
    station = -1
    while (due := next_target(weighing, entries)) is not None:
        if due.station != station:
            station = due.station
            console.say(station_head(scenario, weighing.plan, station))
        grams = _typed(asked(weighing.plan, due), due)
        if grams is None:
            break
        if grams == BACK:
            entries = entries[:-1]
            _take_back(record)
            continue
        entries = [*entries, Weighed(due.bag, due.cut, grams)]
        console.append(record, record_line((due.bag, due.cut, grams)))
    console.say(done_so_far(len({(one.bag, one.cut) for one in entries}), len(weighing.sequence)))


BACK = -1
"""What stands for taking the last entry back."""


def _take_back(record: Path) -> None:
    """Take the last entry out of the record; its head stays."""
    lines = record.read_bytes().splitlines(keepends=True)
    if len(lines) > 1:
        console.cut_off(record, sum(map(len, lines[:-1])))


def _typed(question: str, due: "Next") -> int | None:
    """The grams that a person types; None when it stops."""
    while True:
        console.say(question)
        line = sys.stdin.readline()
        if not sys.stdin.isatty():
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


def _write_blank(scenario: "Scenario", blank: Path, *, overwrite: bool) -> None:
    """Write a receipt as planned."""
    from raworder.rendering.receipt_csv import receipt_csv

    console.save([(blank, receipt_csv(scenario, planned(scenario, None)))], overwrite=overwrite)
    console.say(f"{blank} holds the order as planned: alter what was different in the shop\n")


def _replanned(
    scenario: "Scenario", receipt: Path, time_limit_s: float | None, *, as_it_is: bool
) -> tuple[Sequence["Document"], Exit, "Scenario", "Answer"]:
    """The papers after the shop, the exit code, and what they are about."""
    from raworder.reading.receipts import read_receipt
    from raworder.replanning import replan_batch
    from raworder.reporting.after_the_shop import after_the_shop
    from raworder.reporting.papers import bag_papers, papers
    from raworder.solving.solver import Settings

    found = read_receipt(receipt, scenario)
    tell(found.findings)
    if found.receipt is None:
        sys.exit(Exit.REFUSED)
    outcome = replan_batch(scenario, found.receipt, Settings(time_limit_s=time_limit_s), as_it_is=as_it_is)
    if outcome.after is None:
        documents, code = documents_of(scenario, outcome.answer, papers, time_limit_s)
        return documents, code, scenario, outcome.answer
    told, code = documents_of(
        outcome.scenario, outcome.answer, lambda one, plan: (*papers(one, plan), *bag_papers(one, plan)), time_limit_s
    )
    documents = [after_the_shop(outcome.scenario, outcome.after), *told]
    return (
        documents,
        code if outcome.after.enough or code != Exit.PLAN else Exit.NO_PLAN,
        outcome.scenario,
        outcome.answer,
    )
