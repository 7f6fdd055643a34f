"""The commands of handing out: labels for the bags."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from raworder import console
from raworder.console import Where
from raworder.desk import FILE, SECONDS, Exit, documents_of, hand_out, know_dogs, prints_papers, read, seconds, solve

if TYPE_CHECKING:
    from raworder.document import Document, Labels
    from raworder.labels import LabelSheet
    from raworder.trade import Scenario


@click.command()
@click.argument("scenario", type=FILE)
@click.option("--plan", "saved", type=FILE, metavar="FILE", help="Take this plan, printed by `plan --json`.")
@click.option("--time-limit", type=SECONDS, callback=seconds, metavar="SECONDS", help="Stop then with the best found.")
@click.option("--sheet", "key", metavar="KEY", help="Print on this sheet, such as `a4-3x8-70x37`.")
@click.option(
    "--first", type=click.IntRange(min=1), default=1, metavar="N", help="Begin at this place of a used sheet."
)
@click.option("--frame", is_flag=True, help="Print outlines alone, to hold against a sheet.")
@click.option("--dog", "dogs", multiple=True, metavar="NAME", help="Only this dog's labels; may be repeated.")
@prints_papers
def labels(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path,
    saved: Path | None,
    time_limit: float | None,
    key: str | None,
    first: int,
    frame: bool,
    dogs: Sequence[str],
    where: Where,
) -> None:
    """Print labels for the bags.

    `--html` writes the sheets, to be printed at 100 %, without fit to page; the terminal shows what is on them.
    """
    from raworder.counter import saved_plan
    from raworder.plan import Plan
    from raworder.reporting.bag_labels import bag_labels, frame_page

    checked = read(scenario)
    sheet = _sheet(checked, key, first)
    know_dogs(checked, dogs)
    if frame:
        _print_frame(frame_page(checked, sheet, first), where)
        return
    answer = saved_plan(checked, saved) if saved else solve(checked, time_limit_s=time_limit)
    documents, code = documents_of(
        checked, answer, lambda one, plan: [bag_labels(one, plan, sheet, first, dogs)], time_limit
    )
    if isinstance(answer, Plan):
        _save_page(documents[0], where)
        _tell_what_is_cut(documents[0])
    hand_out(checked, answer, documents, code, replace(where, html=None))


def _sheet(scenario: "Scenario", key: str | None, first: int) -> "LabelSheet":
    """The sheet of that key, or the scenario's; it must have the place to begin at."""
    from raworder.labels import SHEETS
    from raworder.reading.names import did_you_mean

    if key is not None and key not in SHEETS:
        known = did_you_mean(key, SHEETS, f"they are {', '.join(SHEETS)}")
        raise click.UsageError(f"no sheet of labels is called `{key}`: {known}")
    sheet = SHEETS[key] if key else scenario.labels
    if first > sheet.places:
        raise click.UsageError(f"a sheet of {sheet.name} has {sheet.places} places, so none is number {first}")
    return sheet


def _print_frame(document: "Document", where: Where) -> None:
    """The page of outlines, for which no plan is needed."""
    _save_page(document, where)
    console.save_papers([document], replace(where, html=None))
    console.print_documents([document], Exit.PLAN.name.lower(), as_json=where.as_json)


def _save_page(document: "Document", where: Where) -> None:
    """The sheets by themselves, if they are asked for: a page to print on labels holds nothing else."""
    from raworder.rendering.label_sheets import label_page

    if where.html:
        console.save({where.html: label_page(_labels(document)).encode()}, overwrite=where.overwrite)


def _tell_what_is_cut(document: "Document") -> None:
    """Which labels do not hold all of their text."""
    from raworder.rendering.label_sheets import cut_off

    if cut := cut_off(_labels(document)):
        words = "labels are" if len(cut) > 1 else "label is"
        which = f"the first for {cut[0]}" if len(cut) > 1 else cut[0]
        console.tell(f"{len(cut)} {words} too small for the text, {which}: take a sheet with larger ones\n")


def _labels(document: "Document") -> "Labels":
    """The labels of a document that has some."""
    from raworder.document import Labels

    return next(block for block in document.blocks if isinstance(block, Labels))
