"""The command line: all commands by stage of the job, and one line with an exit code when something goes wrong."""

import os
import sys
import threading
from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import replace
from functools import partial
from io import StringIO
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, NoReturn

import click

from raworder import __version__
from raworder.commands import console
from raworder.commands.console import Outputs
from raworder.commands.counter import portion, replan, settle, weigh
from raworder.commands.desk import (
    JSON,
    BatchAnswer,
    Exit,
    answer_documents,
    ask_for_cures,
    hand_out,
    load_scenario,
    print_findings,
    prints_papers,
    reads_scenario,
    solve,
    takes_format,
    takes_time_limit,
)
from raworder.commands.lookup import show_help
from raworder.commands.papers import calendar, labels, message, nourish, printed_page
from raworder.commands.questions import (
    CARD,
    PRICES,
    add_papers,
    compare,
    further_papers,
    gaps,
    instead,
    nicer,
    prices,
    reasons,
    whatif,
    worth,
)
from raworder.commands.start import start
from raworder.trade.outputs import printed_by

if TYPE_CHECKING:
    from raworder.trade.document import Document
    from raworder.trade.scenario import Scenario
    from raworder.workflow import Answer

AT_FAULT = "our audit found the plan at fault, so it is not shown; please report this"
NO_MEMORY = "there is not enough memory for this; close other programs, or raise the limit that is set"

NO_ROOM_FOR_LIBRARY = ("cannot allocate memory", "failed to map segment")
"""What the system's loader says where a library does not fit into memory."""


STAGES: Mapping[str, Sequence[str]] = MappingProxyType(
    {
        "Begin": ("start", "check", "scenarios"),
        "Plan": ("plan", "compare", "reasons"),
        "Shop": ("message", "instead", "prices", "replan", "settle"),
        "At the counter": ("portion", "weigh", "labels", "calendar"),
        "Questions": ("whatif", "nicer", "worth"),
        "Nutrients": ("nourish", "gaps"),
        "Look up": ("help", "cuts", "schema"),
    }
)
"""The commands by stage of the job, in the order in which they are used."""


class Program(click.Group):
    """The commands, listed by stage of the job and not by alphabet."""

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - click's own
        """Write a section for every stage, with the commands under one another in all of them."""
        widest = max(map(len, self.commands))
        limit = formatter.width - widest - 6
        for stage, names in STAGES.items():
            with formatter.section(stage):
                rows = [(name.ljust(widest), self.commands[name].get_short_help_str(limit)) for name in names]
                formatter.write_dl(rows)


@click.group(cls=Program, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="%(prog)s %(version)s")
def cli() -> None:
    """The cheapest proved order for a home-made raw ration for dogs, and the papers that go with it.

    New here? `raworder help begin`. Raw meat can hurt dogs and people: `raworder help cautions`.

    Exit codes: 0 plan, 1 no plan within the rules (after the shop: something is missing), 2 input refused, 3 our own
    mistake (no plan is shown), 4 not proved, as at the time limit (the best plan is shown if there is one), 130
    interrupted.
    """


@cli.command()
@reads_scenario
@click.option("--solver", type=click.Choice(["highs", "cbc"]), default="highs", show_default=True, help="Who solves.")
@takes_time_limit()
@click.option("--prove", is_flag=True, help="Prove it to the cent, however many dogs; may take hours.")
@click.option(
    "--paper", "wanted", type=click.Choice(printed_by("plan")), multiple=True, help="Only this paper; may be repeated."
)
@click.option("--all", "everything", is_flag=True, help="Print every paper, with every figure.")
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
    card: bool,
    ask_for: bool,
    where: Outputs,
) -> None:
    """Find the cheapest order, and what to look at first.

    With more than twelve dogs, an order at most 0.2 % above the cheapest.

    What it costs and where, what is wrong or doubtful about it, what to buy, and what each dog gets.

    The order is proved by the solver and checked by an audit of its own before anything is printed.
    """
    from raworder.commands.papers import spreadsheet_papers
    from raworder.reporting.all_papers import papers
    from raworder.trade.plan import Plan

    if everything and wanted:
        raise click.UsageError("--all prints every paper, and --paper only those that it names; take one of them")
    checked = load_scenario(scenario)
    answer = solve(checked, solver, time_limit, prove=prove)
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
    screen = None if everything or wanted else partial(_first_screen, answer, extra_papers)
    hand_out(batch, documents, code, where, page, tables, screen)


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


def _first_screen(answer: "Answer", extra_papers: "Mapping[str, Document]") -> "Sequence[Document]":
    """What a person sees first of a plan, and the extra papers that were asked for."""
    from raworder.reporting.first_look import first_screen
    from raworder.trade.plan import Plan

    assert isinstance(answer, Plan)
    return [first_screen(answer.facts.scenario, answer), *extra_papers.values()]


@cli.command()
@reads_scenario
def check(scenario: Path) -> None:
    """Check a scenario for mistakes, without planning.

    All that is wrong or doubtful is shown in one run, each with its place and one remedy.
    """
    from raworder.reporting.looked_up import check_summary

    console.print_papers([check_summary(load_scenario(scenario))])


@cli.command()
@click.argument("word", default="")
@takes_format(JSON)
def cuts(word: str, as_json: bool) -> None:
    """Look up a cut and the sources of its figures.

    WORD is looked for in names, species and kinds; few cuts are shown with the source of each figure.
    """
    from raworder.reading.reference import look_up_cuts
    from raworder.reporting.looked_up import list_cuts

    matches = look_up_cuts(word)
    code = Exit.PLAN if matches else Exit.NO_PLAN
    if as_json:
        console.print_json([list_cuts(matches, word)], code.name.lower())
    else:
        console.print_papers([list_cuts(matches, word)])
    sys.exit(code)


@cli.command()
def schema() -> None:
    """Print the JSON Schema of a scenario, for editors."""
    from raworder.reading.form import scenario_schema_text

    console.say(scenario_schema_text())


@cli.command()
def scenarios() -> None:
    """List the example scenarios.

    They come with raworder, to try or to copy; all their data is invented.
    """
    from raworder.reading.reference import scenario_paths

    for path in scenario_paths():
        console.say_words(f"{_shortest_path(path)}\n")


for command in (
    *(portion, weigh, replan, reasons, compare, prices, instead, worth, nicer, whatif, settle, nourish, gaps),
    *(start, labels, calendar, message, show_help),
):
    cli.add_command(command)

explain = copy(show_help)
explain.hidden = True  # the name that it had before; scripts may hold it
cli.add_command(explain, "explain")


def main() -> None:
    """Run the command line; an error of any kind ends in one line and a fitting exit code."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # numpy would set memory aside for each core
    import raworder.rendering.clean  # noqa: F401 - must be loaded before memory runs out: it writes the message

    try:
        console.open_streams()
        cli(standalone_mode=False)
    except click.ClickException as error:
        _refuse(error)
    except (KeyboardInterrupt, click.Abort):
        _stop("interrupted", Exit.INTERRUPTED)
    except OSError as error:
        _stop(_system_message(error), Exit.REFUSED)
    except Exception as error:
        _stop_for_error(error)


def _stop_for_error(error: Exception) -> NoReturn:
    """End for an error that is no user's: no memory, a plan that our audit withholds, or a mistake in the program."""
    if _is_out_of_memory(error):
        _stop(NO_MEMORY, Exit.REFUSED)
    if _is_withheld(error):
        _stop(f"{AT_FAULT}:{error}", Exit.OUR_MISTAKE)
    if os.environ.get("RAWORDER_TRACEBACK"):
        raise error
    _stop(
        f"this is a mistake of raworder's own ({type(error).__name__}: {error}); no plan is shown. "
        "Set RAWORDER_TRACEBACK=1 and run again to see where",
        Exit.OUR_MISTAKE,
    )


def _stop(words: str, code: Exit) -> NoReturn:
    """Say why in one line and end at once.

    The solver runs in a thread of its own, which no exception reaches: only `os._exit` ends it before it is done.
    """
    console.tell(f"raworder: {words}\n")
    console.drop_unwritten()
    if any(thread.daemon for thread in threading.enumerate()):
        os._exit(code)
    sys.exit(code)  # a pool of processes must be shut down in order


def _is_withheld(error: Exception) -> bool:
    """Whether our own audit has refused a plan."""
    from raworder.trade.plan import PlanWithheldError

    return isinstance(error, PlanWithheldError)


def _is_out_of_memory(error: Exception) -> bool:
    """Whether memory ran out, in the program or while a library was loaded."""
    return isinstance(error, MemoryError) or (
        isinstance(error, ImportError) and any(words in str(error) for words in NO_ROOM_FOR_LIBRARY)
    )


def _refuse(error: click.ClickException) -> NoReturn:
    """Print click's message about a command that was typed wrong, and end."""
    words = StringIO()
    error.show(words)
    console.tell(words.getvalue())
    sys.exit(error.exit_code)


def _system_message(error: OSError) -> str:
    """The system's message as we write it: the file, then the reason in lower case; our own messages as they are."""
    if error.strerror is None:
        return str(error)
    file = f"`{error.filename}`: " if error.filename else ""
    return f"{file}{error.strerror.lower()}"


def _extra_papers(scenario: "Scenario", answer: "Answer", keys: Sequence[str], where: Outputs) -> "dict[str, Document]":
    """The extra papers by key: those asked for, and on a printed page the card too.

    Where dogs are solved in groups the card is left out, as it takes minutes (two with 40 dogs).
    """
    from raworder.trade.plan import Plan

    if not isinstance(answer, Plan):
        return {}
    on_page = {CARD} if "html" in where.files and not scenario.solved_by_groups else set()
    return further_papers(scenario, answer, {*keys, *on_page})


def _shortest_path(path: Path) -> Path:
    """The path relative to the current folder, if it lies in it."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path


if __name__ == "__main__":
    main()
