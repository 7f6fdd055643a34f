"""The command of nourishment: what each dog's food holds, for its veterinarian."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from raworder.console import Where
from raworder.desk import SECONDS, AtHand, beside, hand_out, know_dogs, prints_papers, read, reads_scenario, seconds
from raworder.plan_at_hand import Which, documents_about, find_plan_to_use, takes_plan

if TYPE_CHECKING:
    from raworder.document import Document
    from raworder.plan import Plan
    from raworder.trade import Scenario


@click.command()
@reads_scenario
@click.option("--dog", "dogs", multiple=True, metavar="NAME", help="Only this dog's sheet; may be repeated.")
@click.option("--profile", metavar="NAME", help="Show the food of all dogs beside this profile.")
@takes_plan
@click.option("--time-limit", type=SECONDS, callback=seconds, metavar="SECONDS", help="Stop then with the best found.")
@prints_papers
def nourish(
    scenario: Path,
    dogs: Sequence[str],
    profile: str | None,
    time_limit: float | None,
    where: Where,
    **which: Any,
) -> None:
    """Print a ration sheet for each dog's veterinarian.

    What is fed, what that holds as far as it is known, and published bounds beside it. Nothing of it is a diagnosis.
    """
    checked = read(scenario)
    know_dogs(checked, dogs)
    if profile:
        beside(checked, profile)  # a name that no profile has is refused before anything is solved
    about = find_plan_to_use(checked, Which(**which), time_limit)
    shown = _beside(about, profile) if profile else about
    documents, code = documents_about(shown, lambda one, plan: _sheets(one, plan, dogs), time_limit)
    hand_out(about, documents, code, where)


def _beside(about: AtHand, profile: str) -> AtHand:
    """The same plan, its food shown beside a profile for every dog that is in nobody's care."""
    from raworder.plan import Plan
    from raworder.workflow import with_nourishment

    shown, answer = beside(about.scenario, profile), about.answer
    return replace(
        about, scenario=shown, answer=with_nourishment(shown, answer) if isinstance(answer, Plan) else answer
    )


def _sheets(scenario: "Scenario", plan: "Plan", dogs: Sequence[str]) -> "Sequence[Document]":
    """The sheets of the dogs that are asked for, all where none is."""
    from raworder.reporting.ration_sheet import ration_sheet

    wanted = tuple(one for one in plan.nourished if not dogs or one.dog in dogs)
    return [ration_sheet(scenario, replace(plan, nourished=wanted))]
