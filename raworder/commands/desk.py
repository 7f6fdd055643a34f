"""What all commands share: options, reading a scenario, showing findings and refusals, exit codes."""

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from enum import IntEnum
from functools import wraps
from math import isfinite
from pathlib import Path
from time import monotonic
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from raworder.commands import console
from raworder.commands.console import Outputs
from raworder.trade.outputs import FORMATS, Content

if TYPE_CHECKING:
    from raworder.rendering.as_json import Json
    from raworder.studies.asking import Ask
    from raworder.trade.document import Document
    from raworder.trade.findings import Finding
    from raworder.trade.plan import Plan
    from raworder.trade.purchase import AfterTheShop, Purchase
    from raworder.trade.scenario import Scenario
    from raworder.workflow import Answer


Read = TypeVar("Read")

Option = Callable[[Callable[..., None]], Callable[..., None]]
"""What gives a command an option."""

MakePapers = Callable[["Plan"], Sequence["Document"]]
"""The papers that a command prints of a plan."""


class _FileName(click.Path):
    """A path that a system can be asked about."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The path; a usage error for what is none, as in what another program put together."""
        if "\0" in str(value):
            self.fail(f"`{value}` is no name for a file", param, ctx)
        return super().convert(value, param, ctx)


FILE = _FileName(path_type=Path)
"""A file or folder that a person names."""


replaces_files: Option = click.option("--overwrite", is_flag=True, help="Replace files that are there already.")
"""The option that lets files be replaced."""


def prints_papers(command: Callable[..., None]) -> Callable[..., None]:
    """The options of every command that prints papers; it is told in `where` where they go and in which form."""

    @wraps(command)
    def printing(*arguments: Any, **others: Any) -> None:
        """The command, run with where its papers go."""
        files = {key: path for key in FILES if (path := others.pop(key))}
        where = Outputs(others.pop("as_json"), MappingProxyType(files), others.pop("overwrite"))
        _keep_what_is_read(where, others)
        command(*arguments, where=where, **others)

    with_options: Callable[..., None] = printing
    for option in (replaces_files, *map(in_format, reversed((JSON, *FILES)))):
        with_options = option(with_options)
    return with_options


JSON, FILES = (
    "json",
    tuple(key for key, each in FORMATS.items() if each.content is not Content.PRINTED and not each.command),
)
"""The formats that every command has which prints papers: one is printed, the others are written to files."""


def in_format(key: str) -> Option:
    """The option of a format: a flag for what is printed, else the file or folder that is written."""
    kind = FORMATS[key]
    if kind.content is Content.PRINTED:
        return click.option(kind.option, f"as_{key}", is_flag=True, help=kind.help)
    return click.option(kind.option, type=FILE, metavar=kind.metavar, help=kind.help)


MOST_FINDINGS = 50
"""So many findings are shown in full."""

ALL_FINDINGS, BEGAN = "raworder.all_findings", "raworder.began"
"""What a command keeps in click's context: whether all findings are shown, and when it began."""


def reads_scenario(command: Callable[..., None]) -> Callable[..., None]:
    """The scenario that a command reads, as its first argument, and what every command that reads has."""
    return click.argument("scenario", type=FILE)(shows_findings(command))


def shows_findings(command: Callable[..., None]) -> Callable[..., None]:
    """The option to see all that is wrong with what is read, however much that is."""
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


READ = ("scenario", "scenarios", "saved", "receipt")
"""The parameters of commands that name files that are read."""


def _keep_what_is_read(where: Outputs, others: Mapping[str, Any]) -> None:
    """Refuse to write over a file that the same command reads."""
    from raworder.commands.saving import target_of

    named = [others[name] for name in READ if others.get(name)]
    read_from = {_read_from(path) for value in named for path in ((value,) if isinstance(value, Path) else value)}
    for path in (*where.files.values(), *(others.get(key) for key in FORMATS)):
        if path and target_of(path) in read_from:
            raise click.UsageError(f"`{path}` is read by this command; choose another name for what is written")


def _read_from(path: Path) -> Path:
    """Where a path leads to; whoever reads it says what is wrong with it."""
    from raworder.commands.saving import target_of

    try:
        return target_of(path)
    except OSError:
        return path


class Exit(IntEnum):
    """How the command ended, for scripts."""

    PLAN = 0
    NO_PLAN = 1
    REFUSED = 2
    OUR_MISTAKE = 3
    NOT_PROVED = 4
    INTERRUPTED = 130


@dataclass(frozen=True, slots=True)
class AtHand:
    """The answer that a command is about, and its scenario; after the shop, what made that and what came of it."""

    scenario: "Scenario"
    answer: "Answer"
    purchase: "Purchase | None" = None
    after: "AfterTheShop | None" = None

    @property
    def plan(self) -> "Plan | None":
        """The plan, if that is the answer."""
        from raworder.trade.plan import Plan

        return self.answer if isinstance(self.answer, Plan) else None


def takes_time_limit(says: str = "Stop then with the best found.") -> Option:
    """The option that says how long a solve may take."""
    return click.option(
        "--time-limit", type=click.FloatRange(min=0.01), callback=_seconds, metavar="SECONDS", help=says
    )


def _seconds(_context: click.Context, _option: click.Parameter, limit_s: float | None) -> float | None:
    """A time limit that is a number."""
    if limit_s is not None and not isfinite(limit_s):
        raise click.BadParameter("a time limit is a number of seconds")
    return limit_s


def read(path: Path) -> "Scenario":
    """The checked scenario; findings are told, and an error among them ends the command."""
    from raworder.reading.scenario_file import read_scenario

    reading = read_scenario(path)
    return accept(reading.scenario, reading.findings)


def accept(found: Read | None, findings: Sequence["Finding"]) -> Read:
    """What was found in a file; findings are told, and where nothing was found they end the command."""
    tell(findings)
    if found is None:
        sys.exit(Exit.REFUSED)
    return found


def assume_profile(scenario: "Scenario", profile: str) -> "Scenario":
    """The scenario in which every dog that is in nobody's care has this profile."""
    name = known_name("profile", profile, [profile.name for profile in scenario.profiles])
    dogs = (dog if dog.care else replace(dog, profile=name) for dog in scenario.dogs)
    return replace(scenario, dogs=tuple(dogs))


def known_name(noun: str, name: str, names: Sequence[str]) -> str:
    """The one of the names that a person has typed in some way; a usage error with the nearest where it is none."""
    from raworder.reading.names import fold_name, nearest

    known = {fold_name(name): name for name in names}
    if fold_name(name) not in known:
        close = nearest(name, known)
        every = ", ".join(f"`{name}`" for name in known.values())
        remedy = f"did you mean `{known[close]}`?" if close else f"they are {every}"
        raise click.UsageError(f"no {noun} is called `{name}`: {remedy}")
    return known[fold_name(name)]


def know_dogs(scenario: "Scenario", dogs: Sequence[str]) -> None:
    """Refuse the names of dogs that are none, with the one that was probably meant."""
    from raworder.reading.names import fold_name, join_in_backticks, nearest

    known = {fold_name(dog.name): dog.name for dog in scenario.dogs}
    for name in dogs:
        if name not in known.values():
            close = nearest(name, known)
            remedy = (
                f"did you mean `{known[close]}`?" if close else f"they are {join_in_backticks(known.values(), 'and')}"
            )
            raise click.UsageError(f"no dog is called `{name}`; {remedy}")


def tell(findings: Sequence["Finding"]) -> None:
    """The findings on standard error: the first in full and the rest counted, or all where that is asked for."""
    if findings:
        from raworder.rendering.findings_text import findings_text

        most = None if click.get_current_context().meta.get(ALL_FINDINGS) else MOST_FINDINGS
        console.tell(findings_text(findings, color=console.color(sys.stderr), most=most), styled=True)


def solve(scenario: "Scenario", solver: str = "highs", time_limit_s: float | None = None) -> "Answer":
    """The answer of the workflow, told how it goes where somebody is watching."""
    from raworder.solving.solver import Settings, SolverName
    from raworder.trade.plan import Unsolved
    from raworder.workflow import plan_batch

    progress = _progress if sys.stderr.isatty() else None
    limit_s = seconds_left(time_limit_s)
    if limit_s == 0:
        return Unsolved("reading what was named took all of the time limit, so no order was searched for")
    return plan_batch(scenario, Settings(SolverName(solver), limit_s, progress))


def seconds_left(time_limit_s: float | None) -> float | None:
    """The seconds that are left of a time limit since the command began; none of them, 0; None without a limit."""
    if time_limit_s is None:
        return None
    now = monotonic()
    began: float = click.get_current_context().meta.get(BEGAN, now)
    return max(time_limit_s - (now - began), 0)


def documents_of(
    scenario: "Scenario", answer: "Answer", make_papers: MakePapers, time_limit_s: float | None = None
) -> tuple[Sequence["Document"], Exit]:
    """The papers of the answer and the exit code.

    Where there is no plan it is asked why, within the time limit once more.
    """
    from raworder.reporting.summary import unsolved_paper
    from raworder.trade.plan import NoPlan, Unsolved

    if isinstance(answer, NoPlan):
        from raworder.studies.reasons import reasons

        with asking(time_limit_s=time_limit_s) as ask:
            told = reasons(scenario, ask, answer)
        if ask.interrupted:
            raise KeyboardInterrupt
        return [told], Exit.NO_PLAN
    if isinstance(answer, Unsolved):
        return [unsolved_paper(scenario, answer)], Exit.NOT_PROVED
    return make_papers(answer), exit_of(answer)


def exit_of(answer: "Answer") -> Exit:
    """The exit code that tells of an answer."""
    from raworder.trade.plan import NoPlan, Plan

    if isinstance(answer, NoPlan):
        return Exit.NO_PLAN
    return Exit.PLAN if isinstance(answer, Plan) and answer.proof.proved else Exit.NOT_PROVED


@contextmanager
def asking(
    workers: int | None = None, cluster: str | None = None, time_limit_s: float | None = None
) -> "Iterator[Ask]":
    """Who is asked, as long as it is."""
    from raworder.solving.solver import Settings
    from raworder.studies.asking import Ask, Cluster, NoClusterError, count_cores

    try:
        engine = Cluster(cluster) if cluster else None
    except NoClusterError as error:
        raise click.UsageError(str(error)) from None
    told = _answered if sys.stderr.isatty() else None
    ask = Ask(Settings(time_limit_s=time_limit_s), engine, workers or count_cores(), told, console.tell)
    try:
        yield ask
    finally:
        ask.close()


def saved_head(about: AtHand) -> dict[str, "Json"]:
    """What a saved plan has beside its papers: the whole plan, its proof, which scenario and purchase it belongs to."""
    from raworder.rendering.as_json import plan_as_json, purchase_as_json
    from raworder.trade.fingerprint import fingerprint

    plan = about.plan
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
        "scenario": fingerprint(about.scenario),
        "plan_fingerprint": fingerprint((plan, about.purchase)),
        **({"purchase": purchase_as_json(about.purchase)} if about.purchase else {}),
        "plan": plan_as_json(plan),
    }


def hand_out(  # noqa: PLR0913, PLR0917 - what is printed, how it ended, and where it goes
    about: AtHand,
    documents: Sequence["Document"],
    code: Exit,
    where: Outputs,
    page: "Callable[[], Sequence[Document]] | None" = None,
    tables: "Callable[[], Sequence[Document]] | None" = None,
) -> NoReturn:
    """Write and print the documents, and end; where there is no plan nothing is written and all is printed."""
    if about.plan is None:
        _tell_nothing_is_written(where)
    else:
        console.save_papers(documents, where, page, tables)
        documents = [document for document in documents if not where.keys or document.key in where.keys]
    if where.as_json:
        console.print_json(documents, code.name.lower(), **saved_head(about))
    else:
        console.print_papers(documents)
    sys.exit(code)


def hand_out_alone(document: "Document", where: Outputs, code: Exit = Exit.PLAN) -> NoReturn:
    """Write and print a paper without the plan that it is about, and end."""
    console.save_papers([document], where)
    console.print_documents([document], code.name.lower(), as_json=where.as_json)
    sys.exit(code)


def _tell_nothing_is_written(where: Outputs) -> None:
    """That no file is written where there is no plan, and that one which is there already is of another plan."""
    if where.files:
        there = "".join(f"; `{path}` is of an earlier plan" for path in where.files.values() if path.exists())
        console.tell(f"no file is written, as there is no plan{there}\n")


def _progress(so_far_s: float, best: float | None, bound: float | None) -> None:
    """One line about a long solve."""
    so_far = "no plan yet" if best is None else f"best so far {best:.2f}"
    at_least = "" if bound is None else f", nothing below {bound:.2f}"
    console.tell(f"solving for {so_far_s:.0f} s: {so_far}{at_least}\n")


def _answered(done: int, of: int, left_s: float) -> None:
    """One line about many questions."""
    console.tell(f"{done} of {of} questions answered, about {left_s:.0f} s left\n")
