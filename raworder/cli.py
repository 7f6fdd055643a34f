"""The command line: arguments, exit codes, and which of the floors below is asked."""

import os
import sys
from collections.abc import Sequence
from enum import IntEnum
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from raworder import __version__, console

if TYPE_CHECKING:
    from raworder.document import Document
    from raworder.findings import Finding
    from raworder.trade import Scenario
    from raworder.workflow import Answer

PAPERS = ("summary", "shopping_list", "portioning_list", "shares", "costs", "cautions")
"""The papers of a plan by key, in the order in which they are printed."""


SECONDS = click.FloatRange(min=0.01)
"""How long a solve may take."""


class Exit(IntEnum):
    """How the command ended, for scripts."""

    PLAN = 0
    NO_PLAN = 1
    REFUSED = 2
    OUR_MISTAKE = 3
    NOT_PROVED = 4
    INTERRUPTED = 130


class PlanWithheldError(Exception):
    """Our own audit found a breach in the plan; it must not be shown."""


def _seconds(_context: click.Context, _option: click.Parameter, seconds: float | None) -> float | None:
    """A time limit that is a number."""
    if seconds is not None and not isfinite(seconds):
        raise click.BadParameter("a time limit is a number of seconds")
    return seconds


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="%(prog)s %(version)s")
def cli() -> None:
    """The cheapest proved order for a home-made raw ration for dogs, and the papers that go with it.

    Exit codes: 0 plan, 1 no plan within the rules, 2 input refused, 3 our own mistake (no plan is shown), 4 stopped at
    the time limit, not proved (the best plan is shown if there is one), 130 interrupted.
    """


@cli.command()
@click.argument("scenario", type=click.Path(path_type=Path))
@click.option("--solver", type=click.Choice(["highs", "cbc"]), default="highs", show_default=True, help="Who solves.")
@click.option("--time-limit", type=SECONDS, callback=_seconds, metavar="SECONDS", help="Stop then with the best found.")
@click.option("--paper", "wanted", type=click.Choice(PAPERS), multiple=True, help="Only this paper; may be repeated.")
@click.option("--json", "as_json", is_flag=True, help="Print the same facts for programs.")
@click.option("--markdown", type=click.Path(path_type=Path), metavar="FILE", help="Write the papers as Markdown too.")
@click.option("--csv", type=click.Path(path_type=Path), metavar="FOLDER", help="Write every table as a CSV file too.")
@click.option("--overwrite", is_flag=True, help="Replace files that are there already.")
def plan(  # noqa: PLR0913, PLR0917 - one parameter for each option
    scenario: Path,
    solver: str,
    time_limit: float | None,
    wanted: Sequence[str],
    as_json: bool,
    markdown: Path | None,
    csv: Path | None,
    overwrite: bool,
) -> None:
    """Find the cheapest order and print the papers.

    The order is proved by the solver and checked by an audit of its own before anything is printed.
    """
    checked = _read(scenario)
    answer = _solve(checked, solver, time_limit)
    documents, code = _documents(checked, answer)
    if code in {Exit.PLAN, Exit.NOT_PROVED}:
        console.save_papers(documents, markdown, csv, overwrite=overwrite)
    chosen = [one for one in documents if one.key in wanted] if wanted and code != Exit.NO_PLAN else documents
    if as_json:
        console.print_json(chosen, code.name.lower(), getattr(answer, "proof", None))
    else:
        console.print_papers(chosen)
    sys.exit(code)


@cli.command()
@click.argument("scenario", type=click.Path(path_type=Path))
def check(scenario: Path) -> None:
    """Read a scenario without solving it.

    All that is wrong or doubtful is told in one run, each with its place and one remedy.
    """
    from raworder.reporting.looked_up import check_summary

    console.print_papers([check_summary(_read(scenario))])


@cli.command()
@click.argument("word", default="")
@click.option("--json", "as_json", is_flag=True, help="Print the same facts for programs.")
def cuts(word: str, as_json: bool) -> None:
    """Look up cuts by a word.

    WORD is looked for in names, species and kinds; few cuts are told with the source of each figure.
    """
    from raworder.reading.reference import cuts_with
    from raworder.reporting.looked_up import known_cuts

    found = cuts_with(word)
    code = Exit.PLAN if found else Exit.NO_PLAN
    if as_json:
        console.print_json([known_cuts(found, word)], code.name.lower())
    else:
        console.print_papers([known_cuts(found, word)])
    sys.exit(code)


@cli.command()
def schema() -> None:
    """Print the JSON Schema for editors."""
    import json

    from raworder.reading.form import scenario_schema

    console.say(json.dumps(scenario_schema(), indent=2, ensure_ascii=False) + "\n")


@cli.command()
@click.argument("key", default="")
def explain(key: str) -> None:
    """Explain a rule or a finding.

    Without a KEY, all of them are listed.
    """
    from raworder.reading.slugs import SLUGS
    from raworder.reporting.looked_up import all_keys, rule_explained, slug_explained
    from raworder.rulebook import RULES

    rules = {rule.key: rule for rule in RULES}
    if not key:
        console.print_papers([all_keys(RULES, sorted(SLUGS))])
    elif key in rules:
        console.print_papers([rule_explained(rules[key])])
    elif key in SLUGS:
        slug = SLUGS[key]
        console.print_papers([slug_explained(key, slug.says, slug.wrong, slug.right)])
    else:
        raise click.UsageError(f"no rule and no finding is called `{key}`; `raworder explain` lists them")


@cli.command()
def scenarios() -> None:
    """List the example scenarios.

    They come with raworder, to try or to copy; all their data is invented.
    """
    from raworder.reading.shipped import scenario_paths

    for path in scenario_paths():
        console.say(f"{_short(path)}\n")


def main() -> None:
    """Run the command line; whatever happens, one line says so and the exit code fits."""
    try:
        console.open_streams()
        cli(standalone_mode=False)
    except click.ClickException as error:
        _refuse(error)
    except (KeyboardInterrupt, click.Abort):
        _stop("interrupted", Exit.INTERRUPTED)
    except PlanWithheldError as error:
        _stop(f"our audit found the plan at fault, so it is not shown; please report this:{error}", Exit.OUR_MISTAKE)
    except OSError as error:
        _stop(_said_by(error), Exit.REFUSED)
    except Exception as error:
        if os.environ.get("RAWORDER_TRACEBACK"):
            raise
        _stop(
            f"this is a mistake of raworder's own ({type(error).__name__}: {error}); no plan is shown. "
            "Set RAWORDER_TRACEBACK=1 and run again to see where",
            Exit.OUR_MISTAKE,
        )


def _stop(words: str, code: Exit) -> NoReturn:
    """Say why in one line and end at once, whatever the solver's thread still does."""
    console.tell(f"raworder: {words}\n")
    os._exit(code)


def _refuse(error: click.ClickException) -> NoReturn:
    """Tell what was wrong with the command itself."""
    try:
        error.show()
    except OSError:
        console.drop(sys.stderr)
    sys.exit(error.exit_code)


def _said_by(error: OSError) -> str:
    """What the system says, in our way of writing it; our own words as they are."""
    if error.strerror is None:
        return str(error)
    file = f"`{error.filename}`: " if error.filename else ""
    return f"{file}{error.strerror.lower()}"


def _read(path: Path) -> "Scenario":
    """The checked scenario; findings are told, and an error among them ends the command."""
    from raworder.reading.scenario import read_scenario

    reading = read_scenario(path)
    _tell(reading.findings)
    if reading.scenario is None:
        sys.exit(Exit.REFUSED)
    return reading.scenario


def _tell(findings: Sequence["Finding"]) -> None:
    """The findings, on standard error."""
    if findings:
        from raworder.rendering.findings_text import findings_text

        console.tell(findings_text(findings, color=console.color(sys.stderr)))


def _solve(scenario: "Scenario", solver: str, time_limit_s: float | None) -> "Answer":
    """The answer of the workflow, told how it goes where somebody is watching."""
    from raworder.solving.solver import Settings, SolverName
    from raworder.workflow import plan_batch

    progress = _progress if sys.stderr.isatty() else None
    return plan_batch(scenario, Settings(SolverName(solver), time_limit_s, progress))


def _progress(seconds: float, best: float | None, bound: float | None) -> None:
    """One line about a long solve."""
    so_far = "no plan yet" if best is None else f"best so far {best:.2f}"
    at_least = "" if bound is None else f", nothing below {bound:.2f}"
    console.tell(f"solving for {seconds:.0f} s: {so_far}{at_least}\n")


def _documents(scenario: "Scenario", answer: "Answer") -> tuple[Sequence["Document"], Exit]:
    """The papers of the answer and the exit code; a plan at fault has none."""
    from raworder.plan import NoPlan, Unsolved
    from raworder.reporting.no_plan import no_plan, unsolved
    from raworder.reporting.papers import papers
    from raworder.workflow import Withheld

    if isinstance(answer, Withheld):
        raise PlanWithheldError("".join(f"\n  {one.rule}: {one.subject}: {one.says}" for one in answer.breaches))
    if isinstance(answer, NoPlan):
        return [no_plan(scenario, answer)], Exit.NO_PLAN
    if isinstance(answer, Unsolved):
        return [unsolved(scenario, answer)], Exit.NOT_PROVED
    return papers(scenario, answer), Exit.PLAN if answer.proof.proved else Exit.NOT_PROVED


def _short(path: Path) -> Path:
    """The path from where the person stands, where that is shorter."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path


if __name__ == "__main__":
    main()
