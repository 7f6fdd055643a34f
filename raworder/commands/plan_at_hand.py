"""The plan that a command is about: a new one, one from a file, or one made from the receipt of what was bought."""

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

import click

from raworder.commands import console
from raworder.commands.console import Exit
from raworder.commands.desk import (
    FILE,
    BatchAnswer,
    MakePapers,
    accept_content,
    answer_documents,
    seconds_left,
    solve,
)

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
"""The options that say which plan a command is about; each is a field of `PlanChoice`."""


@dataclass(frozen=True, slots=True)
class PlanChoice:
    """Which plan a person asked for: a saved one, and the receipt of what was bought with it."""

    saved: Path | None = None
    receipt: Path | None = None
    as_it_is: bool = False

    @property
    def is_named(self) -> bool:
        """Whether any of it was given; if not, the plan is the cheapest order."""
        return bool(self.saved or self.receipt or self.as_it_is)

    @property
    def options(self) -> str:
        """What was given, as another command takes it, with a space before it."""
        files = {"--plan": self.saved, "--receipt": self.receipt}
        given = [f" {option} {quote(str(path))}" for option, path in files.items() if path]
        return "".join((*given, " --as-it-is" if self.as_it_is else ""))


def takes_plan(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options to use a saved plan, or the receipt of what was bought."""
    for option in reversed(OPTIONS):
        command = option(command)
    return command


def find_plan(scenario: "Scenario", which: PlanChoice, time_limit_s: float | None = None) -> BatchAnswer:
    """The batch that a command is about: saved, replanned or solved now; findings in its files end the command."""
    if which.as_it_is and not which.receipt:
        raise click.UsageError("--as-it-is is about what was bought; name the receipt with --receipt")
    saved = _load_plan(scenario, which.saved) if which.saved else None
    if which.receipt is None:
        return saved or BatchAnswer(scenario, solve(scenario, time_limit_s=time_limit_s))
    return _replan(scenario, which, saved, time_limit_s)


def find_plan_to_use(scenario: "Scenario", which: PlanChoice, time_limit_s: float | None = None) -> BatchAnswer:
    """`find_plan` for commands that do not print the paper after the shop: they warn of what must still be fetched."""
    from raworder.trade.purchase import list_to_fetch

    batch = find_plan(scenario, which, time_limit_s)
    missing = list_to_fetch(batch.scenario, batch.plan) if batch.plan else ()
    if missing:
        console.tell(f"this plan counts on what must still be fetched: {'; '.join(missing)}\n")
    return batch


def take_plan(scenario: "Scenario", which: PlanChoice) -> tuple[BatchAnswer, "Plan"]:
    """The batch with its plan; where there is none, the reasons are printed and the command ends."""
    batch = find_plan_to_use(scenario, which)
    if batch.plan:
        return batch, batch.plan
    documents, code = batch_documents(batch, lambda *_: ())
    console.print_papers(documents)
    sys.exit(code)


def batch_documents(
    batch: BatchAnswer, make_papers: MakePapers, time_limit_s: float | None = None
) -> tuple[Sequence["Document"], Exit]:
    """The papers of the answer and the exit code; without a plan after the shop, what came of that goes first."""
    from raworder.reporting.after_the_shop import after_the_shop

    documents, code = answer_documents(batch.scenario, batch.answer, make_papers, time_limit_s)
    if batch.after is None or batch.plan:
        return documents, code
    return [after_the_shop(batch.scenario, batch.after), *documents], code


def _replan(
    scenario: "Scenario", which: PlanChoice, saved: BatchAnswer | None, time_limit_s: float | None
) -> BatchAnswer:
    """The batch planned again with what was bought."""
    from raworder.replanning import replan_batch
    from raworder.solving.solver import LEAST_S, Settings

    receipt = _load_receipt(which.receipt or Path(), scenario)
    before = saved.plan if saved else None
    earlier = saved.purchase if saved else None
    if earlier:
        _warn_of_missing_lines(which, scenario, earlier.receipt, receipt)
    left_s = seconds_left(time_limit_s)
    settings = Settings(time_limit_s=None if left_s is None else max(left_s, LEAST_S))
    replanned = replan_batch(scenario, receipt, settings, before, earlier, as_it_is=which.as_it_is)
    return BatchAnswer(replanned.scenario, replanned.answer, replanned.purchase, replanned.after, replanned.before)


def _warn_of_missing_lines(which: PlanChoice, scenario: "Scenario", earlier: "Receipt", receipt: "Receipt") -> None:
    """Warn of what the earlier receipt had and this one lacks, as a receipt must list all that was bought."""
    from raworder.trade.units import grams_text

    on_receipt = {(line.supplier, line.cut, line.offer) for line in receipt.lines}
    missing = [line for line in earlier.lines if (line.supplier, line.cut, line.offer) not in on_receipt]
    if missing:
        listed = "; ".join(
            f"{grams_text(line.grams, scenario.weight_unit)} of {line.cut}, {line.supplier}" for line in missing
        )
        console.tell(
            f"`{which.saved}` was planned with what is not on `{which.receipt}`: {listed}. A receipt tells of all that "
            "was bought for the batch; with --blank and that plan one is written that does\n"
        )


def _load_receipt(path: Path, scenario: "Scenario") -> "Receipt":
    """The receipt in a file; findings end the command."""
    from raworder.reading.receipts import read_receipt

    content = read_receipt(path, scenario)
    return accept_content(content.receipt, content.findings)


def _load_plan(scenario: "Scenario", path: Path) -> BatchAnswer:
    """A plan from a file, audited again so that an altered one is refused; findings end the command."""
    from raworder.reading.saved_plan import read_plan
    from raworder.trade.plan import PlanWithheldError
    from raworder.trade.purchase import scenario_after_shop
    from raworder.workflow import complete

    content = read_plan(path, scenario)
    plan = accept_content(content.plan, content.findings)
    planned_for = scenario_after_shop(scenario, content.purchase) if content.purchase else scenario
    try:
        return BatchAnswer(planned_for, complete(planned_for, plan), content.purchase)
    except PlanWithheldError as error:
        first = error.breaches[0]
        raise click.UsageError(
            f"`{path}` was altered: its plan breaks {first.rule} ({first.subject}: {first.says}); plan again"
        ) from None
