"""What all commands share: options, reading a scenario, showing findings and refusals, exit codes."""

import signal
import sys
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import wraps
from math import isfinite
from pathlib import Path
from time import monotonic
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from raworder.commands import console
from raworder.commands.console import Exit, Outputs
from raworder.trade.outputs import FORMATS, Content

if TYPE_CHECKING:
    from raworder.rendering.as_json import Json
    from raworder.solving.solver import Progress, Stop
    from raworder.studies.asking import Ask
    from raworder.trade.document import Document
    from raworder.trade.findings import Finding
    from raworder.trade.plan import Plan
    from raworder.trade.purchase import AfterTheShop, Purchase
    from raworder.trade.scenario import Scenario
    from raworder.workflow import Answer


Parsed = TypeVar("Parsed")

Option = Callable[[Callable[..., None]], Callable[..., None]]
"""What gives a command an option."""

MakePapers = Callable[["Plan"], Sequence["Document"]]
"""The papers that a command prints of a plan."""


class _FileName(click.Path):
    """A parameter that takes a path which the system can look up."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The path; a usage error where it holds a null byte, which no system takes in a name."""
        if "\0" in str(value):
            self.fail(f"`{value}` is no name for a file", param, ctx)
        return super().convert(value, param, ctx)


FILE = _FileName(path_type=Path)
"""A file or folder that a person names."""


replaces_files: Option = click.option("--overwrite", is_flag=True, help="Replace files that are there already.")
"""The option that lets files be replaced."""


def prints_papers(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options of all that print papers; it gets where they go, and in which format, as `where`."""

    @wraps(command)
    def run(*arguments: Any, **others: Any) -> None:
        """Run the command with the options for papers put together in `where`."""
        files = {key: path for key in FILES if (path := others.pop(key))}
        where = Outputs(others.pop("as_json"), MappingProxyType(files), others.pop("overwrite"))
        _refuse_to_overwrite_input(where, others)
        command(*arguments, where=where, **others)

    optioned: Callable[..., None] = run
    for option in (replaces_files, *map(takes_format, reversed((JSON, *FILES)))):
        optioned = option(optioned)
    return optioned


JSON, FILES = (
    "json",
    tuple(key for key, details in FORMATS.items() if details.content is not Content.PRINTED and not details.command),
)
"""The formats of every command that prints papers: JSON is printed, the others are written to files."""


def takes_format(key: str) -> Option:
    """The option for a format: a flag where it is printed, else the file or folder to write."""
    file_format = FORMATS[key]
    if file_format.content is Content.PRINTED:
        return click.option(file_format.option, f"as_{key}", is_flag=True, help=file_format.help)
    return click.option(file_format.option, type=FILE, metavar=file_format.metavar, help=file_format.help)


MOST_FINDINGS = 50
"""Findings that are shown in full; the rest are counted."""

ALL_FINDINGS, BEGAN = "raworder.all_findings", "raworder.began"
"""What a command keeps in click's context: whether all findings are shown, and when it began."""


def reads_scenario(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the scenario file as its first argument, and the options of every command that reads one."""
    return click.argument("scenario", type=FILE)(shows_findings(command))


def shows_findings(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the option to show all findings, however many."""
    return click.option(
        "--all-findings",
        is_flag=True,
        expose_value=False,
        is_eager=True,
        callback=_begin,
        help=f"Show all findings, not only the first {MOST_FINDINGS}.",
    )(command)


def _begin(context: click.Context, _option: click.Parameter, all_findings: bool) -> None:
    """Keep when the command began, and whether all findings are shown."""
    context.meta.setdefault(BEGAN, monotonic())
    context.meta[ALL_FINDINGS] = all_findings


INPUT_PARAMETERS = ("scenario", "scenarios", "saved", "receipt", "lists", "earlier", "names")
"""The parameters that name files to read."""


def _refuse_to_overwrite_input(where: Outputs, others: Mapping[str, Any]) -> None:
    """Raise a usage error where a file to write is also one that the command reads."""
    from raworder.commands.saving import resolve_target

    given = [others[name] for name in INPUT_PARAMETERS if others.get(name)]
    inputs = {_input_target(path) for value in given for path in ((value,) if isinstance(value, Path) else value)}
    for path in (*where.files.values(), *(others.get(key) for key in FORMATS)):
        if path and resolve_target(path) in inputs:
            raise click.UsageError(f"`{path}` is read by this command; choose another name for what is written")


def _input_target(path: Path) -> Path:
    """The file that a path leads to; the path itself where it cannot be followed, as reading it will say why."""
    from raworder.commands.saving import resolve_target

    try:
        return resolve_target(path)
    except OSError:
        return path


@dataclass(frozen=True, slots=True)
class BatchAnswer:
    """The batch that a command is about: scenario, answer, and after the shop what was bought and what came of it.

    `before` is the order as it was planned before the shop, where that is known.
    """

    scenario: "Scenario"
    answer: "Answer"
    purchase: "Purchase | None" = None
    after: "AfterTheShop | None" = None
    before: "Plan | None" = None

    @property
    def plan(self) -> "Plan | None":
        """The plan, if that is the answer."""
        from raworder.trade.plan import Plan

        return self.answer if isinstance(self.answer, Plan) else None


def takes_time_limit(says: str = "Stop then with the best found.") -> Option:
    """The option for how long a solve may take."""
    return click.option(
        "--time-limit", type=click.FloatRange(min=0.01), callback=_seconds, metavar="SECONDS", help=says
    )


def _seconds(_context: click.Context, _option: click.Parameter, limit_s: float | None) -> float | None:
    """The time limit in seconds; a usage error for `nan` and `inf`, which click takes for numbers."""
    if limit_s is not None and not isfinite(limit_s):
        raise click.BadParameter("a time limit is a number of seconds")
    return limit_s


def load_scenario(path: Path) -> "Scenario":
    """The checked scenario of a file; its findings are shown, and an error among them ends the command."""
    from raworder.reading.scenario_file import read_scenario

    reading = read_scenario(path)
    return accept_content(reading.scenario, reading.findings)


def load_scenario_quietly(path: Path) -> "Scenario":
    """The same without warnings, for what asks the book: they are about the next order; `--all-findings` shows them."""
    from raworder.reading.scenario_file import read_scenario

    reading = read_scenario(path)
    shows_all = click.get_current_context().meta.get(ALL_FINDINGS)
    is_shown = shows_all or reading.scenario is None
    return accept_content(reading.scenario, reading.findings if is_shown else ())


def accept_content(content: Parsed | None, findings: Sequence["Finding"]) -> Parsed:
    """The content of a file after its findings are shown; without content the command ends."""
    print_findings(findings)
    if content is None:
        sys.exit(Exit.REFUSED)
    return content


def assume_profile(scenario: "Scenario", profile: str) -> "Scenario":
    """The scenario with this profile for every healthy dog; growing dogs keep theirs where it is for grown ones."""
    from raworder.trade.nutrients import GROWN_PROFILES

    name = known_name("profile", profile, [profile.name for profile in scenario.profiles])
    kept = (dog.care is not None or (dog.puppy and name in GROWN_PROFILES) for dog in scenario.dogs)
    dogs = (dog if keeps else replace(dog, profile=name) for dog, keeps in zip(scenario.dogs, kept, strict=True))
    return replace(scenario, dogs=tuple(dogs))


def known_name(noun: str, name: str, names: Sequence[str]) -> str:
    """The name that a person meant, whatever its spelling; a usage error with the nearest name where there is none."""
    from raworder.reading.names import fold_name, nearest

    known = {fold_name(name): name for name in names}
    if fold_name(name) not in known:
        close = nearest(name, known)
        every = ", ".join(f"`{name}`" for name in known.values())
        remedy = f"did you mean `{known[close]}`?" if close else f"they are {every}"
        raise click.UsageError(f"no {noun} is called `{name}`: {remedy}")
    return known[fold_name(name)]


def check_papers(wanted: Sequence[str], *, everything: bool) -> None:
    """Raise a usage error where every paper is asked for, and only some of them."""
    if everything and wanted:
        raise click.UsageError("--all prints every paper, and --paper only those that it names; take one of them")


def check_dog_names(scenario: "Scenario", dogs: Sequence[str]) -> None:
    """Raise a usage error for a name that no dog has, with the name that was probably meant."""
    from raworder.reading.names import fold_name, join_in_backticks, nearest

    known = {fold_name(dog.name): dog.name for dog in scenario.dogs}
    for name in dogs:
        if name not in known.values():
            close = nearest(name, known)
            remedy = (
                f"did you mean `{known[close]}`?" if close else f"they are {join_in_backticks(known.values(), 'and')}"
            )
            raise click.UsageError(f"no dog is called `{name}`; {remedy}")


takes_owner: Option = click.option("--owner", metavar="NAME", help="Only for this owner's dogs.")
"""The option that asks for what one owner needs."""


def find_owner(scenario: "Scenario", owner: str | None) -> str | None:
    """The owner as the dogs name them; a usage error for a name that no dog has, None where none was asked for."""
    if owner is None:
        return None
    owners = tuple(dict.fromkeys(dog.owner for dog in scenario.dogs if dog.owner))
    if not owners:
        raise click.UsageError("no dog has an owner: write `owner: NAME` under each dog of the scenario")
    return known_name("owner", owner, owners)


def dogs_of_owner(scenario: "Scenario", owner: str | None) -> tuple[str, ...]:
    """The dogs of an owner by name; none where no owner was asked for."""
    return tuple(dog.name for dog in scenario.dogs if owner is not None and dog.owner == owner)


def print_findings(findings: Sequence["Finding"]) -> None:
    """Print findings on standard error: the first in full and the rest counted, or all with `--all-findings`."""
    if findings:
        from raworder.rendering.findings_text import findings_text

        most = None if click.get_current_context().meta.get(ALL_FINDINGS) else MOST_FINDINGS
        console.tell(findings_text(findings, color=console.color(sys.stderr), most=most), styled=True)


def solve(
    scenario: "Scenario", solver: str = "highs", time_limit_s: float | None = None, *, prove: bool = False
) -> "Answer":
    """Plan the batch and return the answer; on a terminal, progress is shown meanwhile."""
    from raworder.solving.solver import Settings, SolverName
    from raworder.studies.plain_facts import no_plan_at_once
    from raworder.trade.plan import Unsolved
    from raworder.workflow import plan_batch

    if no_plan := no_plan_at_once(scenario):
        return no_plan
    progress = solve_progress()
    limit_s = seconds_left(time_limit_s)
    if limit_s == 0:
        return Unsolved("reading what was named took all of the time limit, so no order was searched for")
    with _stop_with_best() as stop:
        answer = plan_batch(scenario, Settings(SolverName(solver), limit_s, progress, prove=prove, stop=stop))
    return _say_it_was_stopped(answer) if stop.asked else answer


ENDING = "Ending with the best order found so far. Ctrl-C again ends at once, without one.\n"
"""Told when Ctrl-C is pressed for the first time."""


@contextmanager
def _stop_with_best() -> "Iterator[Stop]":
    """Whether Ctrl-C was pressed: the first time ends the search with the best found, the second ends the command."""
    from raworder.solving.solver import Stop

    stop = Stop()

    def ask(_signal: int, _frame: object) -> None:
        """Ask to stop; KeyboardInterrupt the second time."""
        if stop.asked:
            raise KeyboardInterrupt
        stop.asked = True
        # in a thread of its own: the one that is interrupted may be writing a line itself, and cannot begin another
        threading.Thread(target=console.tell, args=(ENDING,)).start()

    before = signal.signal(signal.SIGINT, ask)
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, before)


def _say_it_was_stopped(answer: "Answer") -> "Answer":
    """The answer of a search that was stopped; KeyboardInterrupt where none was found."""
    from raworder.trade.plan import Plan, Unsolved

    if isinstance(answer, Unsolved):
        raise KeyboardInterrupt
    if isinstance(answer, Plan) and not answer.proof.proved and not answer.proof.near_is_enough:
        return replace(answer, proof=replace(answer.proof, why=answer.proof.why or "the search was stopped"))
    return answer


def ask_for_cures(scenario: "Scenario", answer: "Answer", time_limit_s: float | None = None) -> "Answer":
    """The answer; a plan with what it costs to do better, as far as that is quick and there is time left."""
    from raworder.solving.solver import Settings
    from raworder.studies.cures import find_cures
    from raworder.trade.plan import Plan

    if not isinstance(answer, Plan):
        return answer
    limit_s = seconds_left(time_limit_s)
    if limit_s == 0:
        return answer
    return replace(answer, cures=find_cures(scenario, answer, Settings(time_limit_s=limit_s)))


def seconds_left(time_limit_s: float | None) -> float | None:
    """Seconds left of a time limit that counts from the start of the command, never below 0; None without a limit."""
    if time_limit_s is None:
        return None
    now = monotonic()
    began: float = click.get_current_context().meta.get(BEGAN, now)
    return max(time_limit_s - (now - began), 0)


def answer_documents(
    scenario: "Scenario", answer: "Answer", make_papers: MakePapers, time_limit_s: float | None = None
) -> tuple[Sequence["Document"], Exit]:
    """The papers of the answer and the exit code.

    Where there is no plan the paper says why; the search for reasons has the whole time limit once more, and after an
    interrupt the paper has what was found.
    """
    from raworder.reporting.summary import unsolved_paper
    from raworder.trade.plan import NoPlan, Unsolved

    if isinstance(answer, NoPlan):
        from raworder.studies.reasons import reasons

        with open_ask(time_limit_s=time_limit_s) as ask:
            why = reasons(scenario, ask, answer)
        return [why], Exit.INTERRUPTED if ask.interrupted else Exit.NO_PLAN
    if isinstance(answer, Unsolved):
        return [unsolved_paper(scenario, answer)], Exit.NOT_PROVED
    return make_papers(answer), exit_code(answer)


def exit_code(answer: "Answer") -> Exit:
    """The exit code for an answer."""
    from raworder.trade.plan import NoPlan, Plan

    if isinstance(answer, NoPlan):
        return Exit.NO_PLAN
    return Exit.PLAN if isinstance(answer, Plan) and answer.proof.is_enough(answer.counted) else Exit.NOT_PROVED


@contextmanager
def open_ask(
    workers: int | None = None, cluster: str | None = None, time_limit_s: float | None = None
) -> "Iterator[Ask]":
    """An `Ask` that answers many questions with these workers or this cluster, closed at the end."""
    from raworder.solving.solver import Settings
    from raworder.studies.asking import Ask, Cluster, NoClusterError, count_cores

    try:
        engine = Cluster(cluster) if cluster else None
    except NoClusterError as error:
        raise click.UsageError(str(error)) from None
    show_progress = _show_answered if sys.stderr.isatty() else None
    ask = Ask(Settings(time_limit_s=time_limit_s), engine, workers or count_cores(), show_progress, console.tell)
    try:
        yield ask
    finally:
        ask.close()


def saved_plan_fields(batch: BatchAnswer) -> dict[str, "Json"]:
    """What JSON holds besides the papers, to be read back: plan, proof, purchase and the scenario's fingerprint."""
    from raworder.rendering.as_json import plan_as_json, purchase_as_json
    from raworder.trade.fingerprint import fingerprint

    plan = batch.plan
    if plan is None:
        return {}
    proof = plan.proof
    return {
        "proof": {
            "proved": proof.proved,
            "bound": str(proof.bound),
            "least_bill": None if proof.least_bill is None else str(proof.least_bill),
            "solver": proof.solver,
        },
        "scenario": fingerprint(batch.scenario),
        "plan_fingerprint": fingerprint((plan, batch.purchase)),
        **({"purchase": purchase_as_json(batch.purchase)} if batch.purchase else {}),
        "plan": plan_as_json(plan),
    }


def hand_out(  # noqa: PLR0913, PLR0917 - what is printed, how it ended, and where it goes
    batch: BatchAnswer,
    documents: Sequence["Document"],
    code: Exit,
    where: Outputs,
    page: "Callable[[], Sequence[Document]] | None" = None,
    tables: "Callable[[], Sequence[Document]] | None" = None,
    screen: "Callable[[], Sequence[Document]] | None" = None,
) -> NoReturn:
    """Write and print the documents, and end; without a plan no file is written and all documents are printed.

    `page` and `tables` are as in `save_papers`; `screen` makes what people read in place of the documents.
    """
    if batch.plan is None:
        _say_nothing_is_written(where)
    else:
        console.save_papers(documents, where, page, tables)
        documents = [document for document in documents if not where.keys or document.key in where.keys]
        if where.keys and not documents:
            console.tell(f"nothing to say here: {', '.join(where.keys)}\n")
    if where.as_json:
        console.print_json(documents, code.name.lower(), **saved_plan_fields(batch))
    else:
        console.print_papers(screen() if screen and batch.plan else documents)
    sys.exit(code)


def hand_out_paper(document: "Document", where: Outputs, code: Exit = Exit.PLAN) -> NoReturn:
    """Write and print one paper that carries no plan, and end."""
    console.save_papers([document], where)
    console.print_documents([document], code.name.lower(), as_json=where.as_json)
    sys.exit(code)


def _say_nothing_is_written(where: Outputs) -> None:
    """Say that no file is written without a plan, and which existing files belong to an earlier plan."""
    if where.files:
        there = "".join(f"; `{path}` is of an earlier plan" for path in where.files.values() if path.exists())
        console.tell(f"no file is written, as there is no plan{there}\n")


def solve_progress() -> "Progress | None":
    """What shows the progress of a long solve: on a terminal only."""
    return _show_progress if sys.stderr.isatty() else None


def _show_progress(so_far_s: float, best: float | None, bound: float | None) -> None:
    """Print one line about a long solve."""
    so_far = "no plan yet" if best is None else f"best so far {best:.2f}"
    at_least = "" if bound is None else f", nothing below {bound:.2f}"
    console.tell(f"solving for {so_far_s:.0f} s: {so_far}{at_least}\n")


def _show_answered(done: int, of: int, left_s: float | None) -> None:
    """Print one line about how many questions are answered."""
    left = "" if left_s is None else f", about {left_s:.0f} s left"
    console.tell(f"{done} of {of} questions answered{left}\n")
