"""The command line: all commands by stage of the job, and one line with an exit code when something goes wrong."""

import os
import sys
import threading
from collections.abc import Iterator, Mapping
from copy import copy
from importlib import import_module
from io import StringIO
from types import MappingProxyType
from typing import NoReturn

import click

from raworder import __version__
from raworder.commands import console
from raworder.commands.console import Exit

AT_FAULT = "our audit found the plan at fault, so it is not shown; please report this"
NO_MEMORY = "there is not enough memory for this; close other programs, or raise the limit that is set"

NO_ROOM_FOR_LIBRARY = ("cannot allocate memory", "failed to map segment")
"""What the system's loader says where a library does not fit into memory."""


STAGES: Mapping[str, Mapping[str, tuple[str, str]]] = MappingProxyType(
    {
        "Begin": {
            "start": ("start.start", "Begin a scenario by answering a few questions."),
            "check": ("planning.check", "Check a scenario for mistakes, without planning."),
            "scenarios": ("lookup.scenarios", "List the example scenarios."),
        },
        "Plan": {
            "plan": ("planning.plan", "Find the cheapest order, and what to look at first."),
            "compare": ("questions.compare", "Compare suppliers, or several scenarios."),
            "changes": ("questions.changes", "Find out what changed on a supplier's list, and its cost."),
            "reasons": ("questions.reasons", "Find out why there is no plan, and what would help."),
        },
        "Shop": {
            "message": ("papers.message", "Print the order as a message to each supplier."),
            "instead": ("questions.instead", "Print a card: what to buy if a line is sold out."),
            "prices": ("questions.prices", "Find the prices to ask for."),
            "replan": ("counter.replan", "Plan again with what was really bought."),
            "settle": ("counter.settle", "Work out who pays whom, to the cent."),
        },
        "At the counter": {
            "portion": ("counter.portion", "Print what goes into which bag, and which bag is fed when."),
            "weigh": ("counter.weigh", "Weigh bag after bag with targets that even out errors."),
            "labels": ("papers.labels", "Print labels for the bags."),
            "calendar": ("papers.calendar", "Print what to do on which day, or write it as a calendar."),
        },
        "Questions": {
            "whatif": ("questions.whatif", "Find out what a change would cost."),
            "nicer": ("questions.nicer", "Find nicer orders for nearly the same money."),
            "worth": ("questions.worth", "Find out what easing each rule a little would save."),
        },
        "Nutrients": {
            "nourish": (
                "papers.nourish",
                "Find out what each dog's food lacks.",
            ),
            "gaps": ("questions.gaps", "Find out what filling each nutrient gap costs."),
        },
        "Month after month": {
            "enter": ("book_entries.enter", "Enter a batch in the book: bought, paid and filled into bags."),
            "note": ("book_entries.note", "Tell the book what happened: weighings, bags, lots, mistakes."),
            "stock": ("month.stock", "Find out what is in the freezer, and for how long it is enough."),
            "next": ("following.following", "Write the next scenario, with everything rolled on."),
            "history": ("month.history", "Find out what a cut has cost, and whether it is dear now."),
            "weights": ("month.weights", "Find out how dogs' weights change, and what to feed next."),
            "trace": ("month.trace", "Find out which bags hold what is recalled, and who ate of it."),
            "powercut": ("month.powercut", "Find out what to do in a power cut, and what the freezer holds."),
            "book": ("book_entries.book", "List all that was entered in the book."),
        },
        "Look up": {
            "help": ("lookup.show_help", "Read about a topic, command, rule or finding."),
            "cuts": ("lookup.cuts", "Look up a cut and the sources of its figures."),
            "schema": ("lookup.schema", "Print the JSON Schema of a scenario, for editors."),
        },
    }
)
"""The commands by stage of the job, in the order in which they are used: each with its function below `commands`, and
the first sentence of its help."""

HIDDEN: Mapping[str, str] = MappingProxyType({"explain": "lookup.show_help"})
"""Names that commands had before and scripts may hold, with their functions."""


class Commands(Mapping[str, click.Command]):
    """All commands by name. Only those that are looked up are imported, so that the first word comes at once."""

    def __init__(self) -> None:
        listed = ((name, home) for commands in STAGES.values() for name, (home, _) in commands.items())
        self._homes = {**dict(listed), **HIDDEN}

    def __getitem__(self, name: str) -> click.Command:
        """The command; KeyError where none has that name."""
        module, _, function = self._homes[name].partition(".")
        command: click.Command = getattr(import_module(f"raworder.commands.{module}"), function)
        if name in HIDDEN:
            command = copy(command)
            command.hidden = True
        return command

    def __iter__(self) -> Iterator[str]:
        """The names."""
        return iter(self._homes)

    def __len__(self) -> int:
        """How many there are."""
        return len(self._homes)


class Program(click.Group):
    """The commands, listed by stage of the job and not by alphabet."""

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - click's own
        """Write a section for every stage, with the commands under one another in all of them."""
        widest = max(map(len, self.commands))
        limit = formatter.width - widest - 6
        for stage, commands in STAGES.items():
            with formatter.section(stage):
                rows = [
                    (name.ljust(widest), click.Command(name, help=says).get_short_help_str(limit))
                    for name, (_, says) in commands.items()
                ]
                formatter.write_dl(rows)


@click.group(
    cls=Program,
    commands=Commands(),
    context_settings={"help_option_names": ["-h", "--help"]},
)
@click.version_option(__version__, message="%(prog)s %(version)s")
def cli() -> None:
    """The cheapest proved order for a home-made raw ration for dogs, and the papers that go with it.

    New here? `raworder help begin`. Raw meat can hurt dogs and people: `raworder help cautions`.

    Exit codes: 0 plan, 1 no plan within the rules (after the shop: something is missing), 2 input refused, 3 our own
    mistake (no plan is shown), 4 not proved, as at the time limit (the best plan is shown if there is one), 130
    interrupted.
    """


def main() -> None:
    """Run the command line; an error of any kind ends in one line and a fitting exit code."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # numpy would set memory aside for each core
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # it would look through all that is installed for some
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


if __name__ == "__main__":
    main()
