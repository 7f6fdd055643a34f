"""The plan that a command is about: a new one, one from a file, or one made from the receipt of what was bought."""

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from raworder.commands import console
from raworder.commands.desk import FILE, AtHand, Exit, MakePapers, accept, documents_of, seconds_left, solve

if TYPE_CHECKING:
    from raworder.trade.document import Document
    from raworder.trade.plan import Plan
    from raworder.trade.purchase import Receipt
    from raworder.trade.scenario import Scenario


OPTIONS = (
    click.option(
        "--plan", "saved", type=FILE, metavar="FILE", help="Take this plan, printed by `plan` or `replan` with --json."
    ),
    click.option(
        "--receipt", type=FILE, metavar="FILE", help="Plan again with what was really bought: a YAML or CSV file."
    ),
    click.option("--as-it-is", is_flag=True, help="With a receipt: fetch nothing more, whatever targets are missed."),
)
"""The options that say which plan a command is about; what they are called in `Which`."""


@dataclass(frozen=True, slots=True)
class PlanChoice:
    """Which plan a command is about, as a person named it: a saved one, and the receipt of what was bought by it."""

    saved: Path | None = None
    receipt: Path | None = None
    as_it_is: bool = False

    @property
    def is_named(self) -> bool:
        """Whether anything was named, so that the plan is not simply the cheapest."""
        return bool(self.saved or self.receipt or self.as_it_is)


def takes_plan(command: Callable[..., None]) -> Callable[..., None]:
    """The options of every command that can take a plan that was made before, or what was bought by it."""
    for option in reversed(OPTIONS):
        command = option(command)
    return command


def find_plan(scenario: "Scenario", which: PlanChoice, time_limit_s: float | None = None) -> AtHand:
    """The answer that a command is about; findings in the files that were named end the command."""
    if which.as_it_is and not which.receipt:
        raise click.UsageError("--as-it-is is about what was bought; name the receipt with --receipt")
    saved = _saved_plan(scenario, which.saved) if which.saved else None
    if which.receipt is None:
        return saved or AtHand(scenario, solve(scenario, time_limit_s=time_limit_s))
    return _replanned(scenario, which, saved, time_limit_s)


def find_plan_to_use(scenario: "Scenario", which: PlanChoice, time_limit_s: float | None = None) -> AtHand:
    """The same for papers that are used without the one after the shop: what must still be fetched is told beside."""
    from raworder.trade.purchase import list_to_fetch

    about = find_plan(scenario, which, time_limit_s)
    missing = list_to_fetch(about.scenario, about.plan) if about.plan else ()
    if missing:
        console.tell(f"this plan counts on what must still be fetched: {'; '.join(missing)}\n")
    return about


def take_plan(scenario: "Scenario", which: PlanChoice) -> tuple[AtHand, "Plan"]:
    """The plan; where there is none the command ends with the reasons."""
    about = find_plan_to_use(scenario, which)
    if about.plan:
        return about, about.plan
    documents, code = documents_about(about, lambda *_: ())
    console.print_papers(documents)
    sys.exit(code)


def documents_about(
    about: AtHand, make_papers: MakePapers, time_limit_s: float | None = None
) -> tuple[Sequence["Document"], Exit]:
    """The papers of the answer and the exit code; where there is no plan after the shop, what came of that first."""
    from raworder.reporting.after_the_shop import after_the_shop

    documents, code = documents_of(about.scenario, about.answer, make_papers, time_limit_s)
    if about.after is None or about.plan:
        return documents, code
    return [after_the_shop(about.scenario, about.after), *documents], code


def _replanned(scenario: "Scenario", which: PlanChoice, saved: AtHand | None, time_limit_s: float | None) -> AtHand:
    """The batch planned again with what is on the receipt."""
    from raworder.replanning import replan_batch
    from raworder.solving.solver import LEAST_S, Settings

    receipt = _receipt(which.receipt or Path(), scenario)
    before = saved.plan if saved else None
    earlier = saved.purchase if saved else None
    if earlier:
        _tell_what_is_not_on_it(which, scenario, earlier.receipt, receipt)
    left_s = seconds_left(time_limit_s)
    settings = Settings(time_limit_s=None if left_s is None else max(left_s, LEAST_S))
    found = replan_batch(scenario, receipt, settings, before, earlier, as_it_is=which.as_it_is)
    return AtHand(found.scenario, found.answer, found.purchase, found.after)


def _tell_what_is_not_on_it(which: PlanChoice, scenario: "Scenario", earlier: "Receipt", receipt: "Receipt") -> None:
    """What was on the earlier receipt and is not on this one, which tells of everything, or was not bought at all."""
    from raworder.trade.units import grams_text

    there = {(line.supplier, line.cut, line.offer) for line in receipt.lines}
    gone = [line for line in earlier.lines if (line.supplier, line.cut, line.offer) not in there]
    if gone:
        named = "; ".join(
            f"{grams_text(line.grams, scenario.weight_unit)} of {line.cut}, {line.supplier}" for line in gone
        )
        console.tell(
            f"`{which.saved}` was planned with what is not on `{which.receipt}`: {named}. A receipt tells of all that "
            "was bought for the batch; with --blank and that plan one is written that does\n"
        )


def _receipt(path: Path, scenario: "Scenario") -> "Receipt":
    """The receipt; findings end the command."""
    from raworder.reading.receipts import read_receipt

    found = read_receipt(path, scenario)
    return accept(found.receipt, found.findings)


def _saved_plan(scenario: "Scenario", path: Path) -> AtHand:
    """A plan from a file, audited again; findings end the command."""
    from raworder.reading.saved_plan import read_plan
    from raworder.trade.plan import PlanWithheldError
    from raworder.trade.purchase import scenario_after_shop
    from raworder.workflow import complete

    found = read_plan(path, scenario)
    plan = accept(found.plan, found.findings)
    about = scenario_after_shop(scenario, found.purchase) if found.purchase else scenario
    try:
        return AtHand(about, complete(about, plan), found.purchase)
    except PlanWithheldError as error:
        first = error.breaches[0]
        raise click.UsageError(
            f"`{path}` was altered: its plan breaks {first.rule} ({first.subject}: {first.says}); plan again"
        ) from None
