"""`plan` and `check`: a scenario in, its cheapest order or its mistakes out."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from raworder.commands import console
from raworder.commands.console import Outputs
from raworder.commands.desk import (
    BatchAnswer,
    answer_documents,
    ask_for_cures,
    check_papers,
    find_owner,
    hand_out,
    load_scenario,
    print_findings,
    prints_papers,
    reads_scenario,
    solve,
    takes_owner,
    takes_time_limit,
)
from raworder.commands.papers import hand_out_household, printed_page, spreadsheet_papers
from raworder.commands.questions import CARD, PRICES, add_papers, further_papers
from raworder.trade.outputs import printed_by

if TYPE_CHECKING:
    from raworder.trade.document import Document
    from raworder.trade.scenario import Scenario
    from raworder.workflow import Answer


@click.command()
@reads_scenario
@click.option("--solver", type=click.Choice(["highs", "cbc"]), default="highs", show_default=True, help="Who solves.")
@takes_time_limit()
@click.option("--prove", is_flag=True, help="Prove it to the cent, however many dogs; may take hours.")
@click.option(
    "--paper", "wanted", type=click.Choice(printed_by("plan")), multiple=True, help="Only this paper; may be repeated."
)
@click.option("--all", "everything", is_flag=True, help="Print every paper, with every figure.")
@takes_owner
@click.option("--card", is_flag=True, help="Print what to buy instead too.")
@click.option("--prices", "ask_for", is_flag=True, help="Print the prices to ask for too; takes a while.")
@prints_papers
def plan(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path,
    solver: str,
    time_limit: float | None,
    prove: bool,
    wanted: Sequence[str],
    everything: bool,
    owner: str | None,
    card: bool,
    ask_for: bool,
    where: Outputs,
) -> None:
    """Find the cheapest order, and what to look at first.

    With more than twelve dogs, an order at most 0.2 % above the cheapest.

    What it costs and where, what is wrong or doubtful about it, what to buy, and what each dog gets.

    The order is proved by the solver and checked by an audit of its own before anything is printed.
    """
    from raworder.reporting.all_papers import papers
    from raworder.trade.plan import Plan

    _refuse_two_choices(wanted, owner, everything=everything)
    checked = load_scenario(scenario)
    whose = find_owner(checked, owner)
    answer = solve(checked, solver, time_limit, prove=prove)
    if whose:
        hand_out_household(BatchAnswer(checked, answer), whose, where, time_limit)
    if not wanted or "first_look" in wanted or where.files:
        answer = ask_for_cures(checked, answer, time_limit)
    _warn_of_growth(answer)
    documents, code = answer_documents(checked, answer, papers, time_limit)
    extra_keys = [key for key, is_asked_for in ((CARD, card), (PRICES, ask_for)) if is_asked_for]
    extra_papers = _extra_papers(checked, answer, extra_keys, where)
    if extra_papers:
        documents = add_papers(documents, [extra_papers[key] for key in extra_keys])
    where = replace(where, keys=(*wanted, *extra_keys) if wanted else ())
    batch = BatchAnswer(checked, answer)
    page = partial(printed_page, batch, extra_papers)
    tables = partial(spreadsheet_papers, answer, documents) if isinstance(answer, Plan) else None
    asked_for = {key: extra_papers[key] for key in extra_keys if key in extra_papers}
    screen = None if everything or wanted else partial(_first_screen, answer, asked_for)
    hand_out(batch, documents, code, where, page, tables, screen)


def _refuse_two_choices(wanted: Sequence[str], owner: str | None, *, everything: bool) -> None:
    """Raise a usage error where two options each say what alone is printed."""
    check_papers(wanted, everything=everything)
    if owner and (everything or wanted):
        raise click.UsageError("--owner prints one owner's page alone: leave --all and --paper out")


def _warn_of_growth(answer: "Answer") -> None:
    """Warn of growing dogs that a plan feeds far too little, each with its line of the file."""
    from linecache import getline

    from raworder.reporting.doubts import growth_warnings
    from raworder.trade.plan import Plan

    if isinstance(answer, Plan):
        found = growth_warnings(answer.facts.scenario, answer)
        print_findings(
            [replace(finding, source_line=getline(finding.place.file, finding.place.line)) for finding in found]
        )


def _first_screen(answer: "Answer", extra_papers: Mapping[str, "Document"]) -> "Sequence[Document]":
    """What a person sees first of a plan, and the extra papers that were asked for."""
    from raworder.reporting.first_look import first_screen
    from raworder.trade.plan import Plan

    assert isinstance(answer, Plan)
    return [first_screen(answer.facts.scenario, answer), *extra_papers.values()]


@click.command()
@reads_scenario
def check(scenario: Path) -> None:
    """Check a scenario for mistakes, without planning.

    All that is wrong or doubtful is shown in one run, each with its place and one remedy.
    """
    from raworder.reporting.looked_up import check_summary

    console.print_papers([check_summary(load_scenario(scenario))])


def _extra_papers(scenario: "Scenario", answer: "Answer", keys: Sequence[str], where: Outputs) -> "dict[str, Document]":
    """The extra papers by key: those asked for, and on a printed page the card too.

    Where dogs are solved in groups the card is left out, as it takes minutes (two with 40 dogs).
    """
    from raworder.trade.plan import Plan

    if not isinstance(answer, Plan):
        return {}
    on_page = {CARD} if "html" in where.files and not scenario.solved_by_groups else set()
    return further_papers(scenario, answer, {*keys, *on_page})
