"""The command of nourishment: what each dog's food holds, for its veterinarian."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from raworder.console import Where
from raworder.desk import (
    FILE,
    SECONDS,
    beside,
    documents_of,
    hand_out,
    know_dogs,
    prints_papers,
    read,
    seconds,
    solve,
    takes_plan,
)

if TYPE_CHECKING:
    from raworder.document import Document
    from raworder.plan import Plan
    from raworder.trade import Scenario


@click.command()
@click.argument("scenario", type=FILE)
@click.option("--dog", "dogs", multiple=True, metavar="NAME", help="Only this dog's sheet; may be repeated.")
@click.option("--profile", metavar="NAME", help="Show the food of all dogs beside this profile.")
@takes_plan
@click.option("--time-limit", type=SECONDS, callback=seconds, metavar="SECONDS", help="Stop then with the best found.")
@prints_papers
def nourish(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path,
    dogs: Sequence[str],
    profile: str | None,
    saved: Path | None,
    time_limit: float | None,
    where: Where,
) -> None:
    """Print a ration sheet for each dog's veterinarian.

    What is fed, what that holds as far as it is known, and published bounds beside it. Nothing of it is a diagnosis.
    """
    from raworder.counter import saved_plan
    from raworder.workflow import with_nourishment

    checked = read(scenario)
    shown = beside(checked, profile) if profile else checked
    know_dogs(checked, dogs)
    answer = with_nourishment(shown, saved_plan(checked, saved)) if saved else solve(shown, time_limit_s=time_limit)
    documents, code = documents_of(shown, answer, lambda one, plan: _sheets(one, plan, dogs), time_limit)
    hand_out(checked, answer, documents, code, where)


def _sheets(scenario: "Scenario", plan: "Plan", dogs: Sequence[str]) -> "Sequence[Document]":
    """The sheets of the dogs that are asked for, all where none is."""
    from raworder.reporting.ration_sheet import ration_sheet

    wanted = tuple(one for one in plan.nourished if not dogs or one.dog in dogs)
    return [ration_sheet(scenario, replace(plan, nourished=wanted))]
