"""Commands that hand out papers: `labels`, `calendar`, `message` and `nourish`; the page and all tables of a batch."""

import re
import sys
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from raworder.commands import console
from raworder.commands.console import Exit, Outputs
from raworder.commands.desk import (
    BatchAnswer,
    answer_documents,
    assume_profile,
    check_dog_names,
    dogs_of_owner,
    exit_code,
    find_owner,
    hand_out,
    known_name,
    load_scenario,
    open_ask,
    prints_papers,
    reads_scenario,
    seconds_left,
    takes_format,
    takes_owner,
    takes_time_limit,
)
from raworder.commands.plan_at_hand import PlanChoice, batch_documents, find_plan_to_use, take_plan, takes_plan
from raworder.trade.outputs import IN_SPREADSHEETS

if TYPE_CHECKING:
    from raworder.reporting.bag_book import BagBook
    from raworder.trade.document import Document, Labels
    from raworder.trade.labels import LabelSheet
    from raworder.trade.plan import Plan
    from raworder.trade.scenario import Scenario


def spreadsheet_papers(plan: "Plan", documents: "Sequence[Document]") -> "tuple[Document, ...]":
    """All papers of a plan for spreadsheets: with payments and bags, in the order of `IN_SPREADSHEETS`."""
    from raworder.reporting.all_papers import bag_papers
    from raworder.studies.settling import settle_bills

    by_key = {document.key: document for document in (*documents, settle_bills(plan), *bag_papers(plan))}
    return tuple(by_key[key] for key in IN_SPREADSHEETS if key in by_key)


@click.command()
@reads_scenario
@click.option("--dog", "dogs", multiple=True, metavar="NAME", help="Only this dog's sheet; may be repeated.")
@click.option("--profile", metavar="NAME", help="Show the food of all dogs beside this profile.")
@click.option("--all", "everything", is_flag=True, help="Print the full sheets, with every figure.")
@takes_plan
@takes_time_limit()
@prints_papers
def nourish(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path,
    dogs: Sequence[str],
    profile: str | None,
    everything: bool,
    time_limit: float | None,
    where: Outputs,
    **which: Any,
) -> None:
    """Find out what each dog's food lacks.

    What is short or wrong, and what helps. The full sheets for a veterinarian (--all, and every file) hold what is fed,
    what that holds as far as it is known, and published bounds beside it. Nothing of it is a diagnosis.
    """
    checked = load_scenario(scenario)
    check_dog_names(checked, dogs)
    if profile:
        assume_profile(checked, profile)  # a name that no profile has is refused before anything is solved
    batch = find_plan_to_use(checked, PlanChoice(**which), time_limit)
    compared = _compare_with(batch, profile) if profile else batch
    documents, code = batch_documents(compared, lambda plan: _ration_sheets(plan, dogs), time_limit)
    screen = None if everything else partial(_ration_screen, compared, dogs)
    hand_out(batch, documents, code, where, screen=screen)


def _compare_with(batch: BatchAnswer, profile: str) -> BatchAnswer:
    """The same plan with the food of every healthy dog compared with this profile."""
    from raworder.workflow import with_facts

    scenario = assume_profile(batch.scenario, profile)
    return replace(batch, scenario=scenario, answer=with_facts(scenario, batch.plan) if batch.plan else batch.answer)


def _ration_sheets(plan: "Plan", dogs: Sequence[str]) -> "Sequence[Document]":
    """The ration sheets of the dogs asked for; of all dogs where none is named."""
    from raworder.reporting.ration_sheet import ration_sheet

    return [ration_sheet(plan.facts.scenario, _about_dogs(plan, dogs))]


def _ration_screen(batch: BatchAnswer, dogs: Sequence[str]) -> "Sequence[Document]":
    """What a person sees first of what the food of these dogs holds."""
    from raworder.reporting.ration_sheet import ration_screen

    assert batch.plan is not None
    return [ration_screen(batch.plan.facts.scenario, _about_dogs(batch.plan, dogs))]


def _about_dogs(plan: "Plan", dogs: Sequence[str]) -> "Plan":
    """The plan with what the food of these dogs holds; of all dogs where none is named."""
    return replace(plan, nourished=tuple(food for food in plan.nourished if not dogs or food.dog in dogs))


CLOCK = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])")


def read_clock(_context: click.Context, _option: click.Parameter, clock: str | None) -> int | None:
    """Minutes after midnight of a time of day such as `07:00`."""
    if clock is None:
        return None
    match = CLOCK.fullmatch(clock)
    if match is None:
        raise click.BadParameter(f"`{clock}` is no time of day; write it as `07:00`")
    return int(match[1]) * 60 + int(match[2])


@click.command()
@reads_scenario
@takes_plan
@takes_format("ics")
@takes_owner
@click.option("--alarm", callback=read_clock, metavar="HH:MM", help="Let the calendar ring at this time of each day.")
@prints_papers
def calendar(
    scenario: Path, owner: str | None, ics: Path | None, alarm: int | None, where: Outputs, **which: Any
) -> None:
    """Print what to do on which day, or write it as a calendar.

    When to fill, feed, thaw and freeze, and when to order the next batch. Import the calendar again after planning
    again: with --overwrite on the same file, what has changed replaces what was.
    """
    if alarm is not None and ics is None:
        raise click.UsageError("--alarm is for a calendar file; name it with --ics")
    checked = load_scenario(scenario)
    whose = find_owner(checked, owner)
    batch, plan = take_plan(checked, PlanChoice(**which))
    documents, code = answer_documents(batch.scenario, plan, lambda found: [_calendar(found, whose)])
    console.save_papers(documents, where, more=_calendar_file(documents[0], ics, alarm, where))
    hand_out(batch, documents, code, Outputs(as_json=where.as_json))


@click.command()
@reads_scenario
@click.option(
    "--supplier", "suppliers", multiple=True, metavar="NAME", help="Only the message to this one; repeatable."
)
@takes_plan
def message(scenario: Path, suppliers: Sequence[str], **which: Any) -> None:
    """Print the order as a message to each supplier.

    Plain text in the supplier's own names and units, to be pasted into a chat or a mail. After the shop only what must
    still be fetched is ordered.
    """
    from raworder.rendering.values import plain

    checked = load_scenario(scenario)
    sellers = [supplier.name for supplier in checked.suppliers]
    wanted = [known_name("supplier", name, sellers) for name in suppliers]
    batch, plan = take_plan(checked, PlanChoice(**which))
    console.say(plain(_order_messages(batch.scenario, plan, wanted)))
    sys.exit(exit_code(plan))


def _calendar(plan: "Plan", owner: str | None) -> "Document":
    """What to do on which day: for all, or for one owner's dogs alone."""
    from raworder.reporting.bag_book import bag_book
    from raworder.reporting.own_freezer import at_home
    from raworder.reporting.reminders import reminders

    book, scenario = bag_book(plan), plan.facts.scenario
    if owner is None:
        return reminders(book)
    return reminders(book.of_dogs(dogs_of_owner(scenario, owner)), at_home(scenario, plan, owner))


def _calendar_file(
    document: "Document", ics: Path | None, alarm_minutes: int | None, where: Outputs
) -> dict[Path, bytes]:
    """The calendar file, if one is asked for, with changes counted on from the file that it replaces."""
    from raworder.rendering.calendar import calendar as as_calendar

    if ics is None:
        return {}
    before = ics.read_bytes() if where.overwrite and ics.is_file() else b""
    return {ics: as_calendar(document, alarm_minutes, before)}


def _order_messages(scenario: "Scenario", plan: "Plan", wanted: Sequence[str]) -> "Document":
    """The messages to these suppliers, or to all; a usage error where nothing is ordered from one."""
    from raworder.reporting.order import order_message
    from raworder.trade.document import Verbatim

    document = order_message(scenario, plan)
    ordered = [block.title for block in document.blocks if isinstance(block, Verbatim)]
    for name in wanted:
        if name not in ordered:
            others = f"it is from {', '.join(f'`{name}`' for name in ordered)}" if ordered else "nothing is to buy"
            raise click.UsageError(f"nothing is ordered from `{name}`: {others}")
    blocks = (
        block for block in document.blocks if not wanted or (isinstance(block, Verbatim) and block.title in wanted)
    )
    return replace(document, blocks=tuple(blocks))


@click.command()
@reads_scenario
@takes_plan
@takes_time_limit()
@click.option("--sheet", "key", metavar="KEY", help="Print on this sheet, such as `a4-3x8-70x37`.")
@click.option(
    "--first", type=click.IntRange(min=1), default=1, metavar="N", help="Begin at this place of a used sheet."
)
@click.option("--frame", is_flag=True, help="Print outlines alone, to hold against a sheet.")
@click.option("--dog", "dogs", multiple=True, metavar="NAME", help="Only this dog's labels; may be repeated.")
@takes_owner
@prints_papers
def labels(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path,
    time_limit: float | None,
    key: str | None,
    first: int,
    frame: bool,
    dogs: Sequence[str],
    owner: str | None,
    where: Outputs,
    **which: Any,
) -> None:
    """Print labels for the bags.

    `--html` writes the sheets, to be printed at 100 %, without fit to page; the terminal shows what is on them.
    """
    from raworder.reporting.bag_labels import bag_labels, frame_page

    checked, choice = load_scenario(scenario), PlanChoice(**which)
    sheet = _label_sheet(checked, key, first)
    check_dog_names(checked, dogs)
    if owner and dogs:
        raise click.UsageError("--owner and --dog both choose labels; take one of them")
    dogs = dogs or dogs_of_owner(checked, find_owner(checked, owner))
    if frame:
        if choice.is_named or dogs:
            raise click.UsageError("--frame prints outlines alone, of no plan and no dog")
        _print_frame(frame_page(checked, sheet, first), where)
        return
    batch = find_plan_to_use(checked, choice, time_limit)
    documents, code = batch_documents(batch, lambda plan: [bag_labels(_book_of(plan, dogs), sheet, first)], time_limit)
    if batch.plan:
        _save_sheets(documents[0], where)
        warn_of_small_labels(documents)
    hand_out(batch, documents, code, Outputs(as_json=where.as_json))


def _book_of(plan: "Plan", dogs: Sequence[str]) -> "BagBook":
    """The book of bags of these dogs, or of all where none is named."""
    from raworder.reporting.bag_book import bag_book

    book = bag_book(plan)
    return book.of_dogs(dogs) if dogs else book


def _label_sheet(scenario: "Scenario", key: str | None, first: int) -> "LabelSheet":
    """The sheet of that key, else the scenario's; a usage error where it has no place to begin at."""
    from raworder.reading.names import did_you_mean
    from raworder.trade.labels import SHEETS, usual_sheet

    if key is not None and key not in SHEETS:
        known = did_you_mean(key, SHEETS, f"they are {', '.join(SHEETS)}")
        raise click.UsageError(f"no sheet of labels is called `{key}`: {known}")
    sheet = SHEETS[key] if key else scenario.labels or usual_sheet(scenario.weight_unit)
    if first > sheet.places:
        raise click.UsageError(f"a sheet of {sheet.name} has {sheet.places} places, so none is number {first}")
    return sheet


def _print_frame(document: "Document", where: Outputs) -> None:
    """Save and print the page of outlines, which needs no plan."""
    _save_sheets(document, where)
    console.print_documents([document], Exit.PLAN.name.lower(), as_json=where.as_json)


def _save_sheets(document: "Document", where: Outputs) -> None:
    """Save the files asked for; the HTML page holds nothing but the labels, as it is printed on label sheets."""
    from raworder.rendering.label_sheets import label_page

    sheets = {
        path: label_page(find_labels([document])[0]).encode() for key, path in where.files.items() if key == "html"
    }
    others = {key: path for key, path in where.files.items() if key != "html"}
    console.save_papers([document], replace(where, files=others), more=sheets)


def warn_of_small_labels(documents: "Sequence[Document]") -> None:
    """Warn about labels that are too small for their text."""
    from raworder.rendering.label_sheets import cut_labels

    cut = [name for block in find_labels(documents) for name in cut_labels(block)]
    if cut:
        words = "labels are" if len(cut) > 1 else "label is"
        which = f"the first for {cut[0]}" if len(cut) > 1 else cut[0]
        console.tell(f"{len(cut)} {words} too small for the text, {which}: take a sheet with larger ones\n")


def find_labels(documents: "Sequence[Document]") -> "list[Labels]":
    """All blocks of labels in the documents."""
    from raworder.trade.document import Labels

    return [block for document in documents for block in document.blocks if isinstance(block, Labels)]


def printed_page(batch: BatchAnswer, extra_papers: "Mapping[str, Document]") -> "Sequence[Document]":
    """The papers of the printed page: those of the plan, the extra papers, and who pays what; none without a plan."""
    from raworder.reporting.all_papers import page_papers
    from raworder.studies.households import household_pages
    from raworder.studies.settling import settle_bills

    plan = batch.plan
    if plan is None:
        return ()
    settlement = {"settle": settle_bills(plan)} if any(dog.owner for dog in batch.scenario.dogs) else {}
    studies: dict[str, Sequence[Document]] = {key: (made,) for key, made in {**extra_papers, **settlement}.items()}
    with open_ask() as ask:
        studies["household"] = household_pages(batch.scenario, plan, ask)
    papers = page_papers(plan, studies)
    warn_of_small_labels(papers)
    return papers


def hand_out_household(batch: BatchAnswer, owner: str, where: Outputs, time_limit_s: float | None) -> NoReturn:
    """Write and print the page of one owner, and end; where there is no plan, why."""
    from raworder.studies.households import pages_of

    def page(plan: "Plan") -> "Sequence[Document]":
        """The page, with what going alone would cost."""
        with open_ask(time_limit_s=seconds_left(time_limit_s)) as ask:
            return pages_of(batch.scenario, plan, (owner,), ask)

    documents, code = batch_documents(batch, page, time_limit_s)
    hand_out(batch, documents, code, replace(where, keys=()))
