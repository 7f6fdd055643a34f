"""Where output goes, and input comes from: the terminal, a pipe, or files; and how a command ends."""

import os
import shutil
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import IntEnum
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from raworder.commands.saving import Tables
    from raworder.rendering.as_json import Json
    from raworder.trade.document import Document


PIPE_WIDTH = 100
"""Columns of text that goes to a pipe or a file, where no terminal says how wide it is."""

LONGEST_LINE = 10_000
"""Characters of one line of standard input that are read; nobody types as many."""

NO_TEXT = "\ufffe"
"""What `read_line` returns for bytes that are no text: a character that no name or number may hold."""

WIDEST = 120
"""Columns beyond which a line is hard to read."""


class Exit(IntEnum):
    """How the command ended, for scripts."""

    PLAN = 0
    NO_PLAN = 1
    REFUSED = 2
    OUR_MISTAKE = 3
    NOT_PROVED = 4
    INTERRUPTED = 130


@dataclass(frozen=True, slots=True)
class Outputs:
    """Where papers go besides the terminal, and the keys of those to print; without keys all are printed.

    `files` are the paths to write, by the key of the format.
    """

    as_json: bool = False
    files: Mapping[str, Path] = field(default_factory=dict)
    overwrite: bool = False
    keys: Sequence[str] = ()


def open_streams() -> None:
    """Reopen standard streams that were closed before we began, so that no file that we open takes their number.

    OSError where standard output is among them, as nobody could read the result. `sys.stdin` stays None, so that a
    command that asks questions can say so.
    """
    if sys.stdin is None:
        os.open(os.devnull, os.O_RDONLY)  # the lowest number is free, and it is that of standard input
    closed = [name for name in ("stdout", "stderr") if getattr(sys, name) is None]
    for name in closed:
        setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115 - open until the end
    if "stdout" in closed:
        raise OSError("standard output is closed")


def width() -> int:
    """Columns of text to fill: as wide as the terminal, but 40 at least and 120 at most."""
    if not sys.stdout.isatty():
        return PIPE_WIDTH
    return max(40, min(shutil.get_terminal_size((PIPE_WIDTH, 24)).columns, WIDEST))


def color(stream: TextIO) -> bool:
    """Whether to print colours: on a terminal that can show them, unless NO_COLOR is set."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def ascii_only() -> bool:
    """Whether the encoding of standard output lacks the characters that tables are drawn with."""
    try:
        "─┼·".encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return True
    return False


def is_interactive() -> bool:
    """Whether standard input is a person in a terminal."""
    return sys.stdin is not None and sys.stdin.isatty()


def require_input() -> None:
    """Raise OSError where standard input is closed, for a command that cannot do without answers."""
    if sys.stdin is None:
        raise OSError("standard input is closed, so nobody can be asked; run the command in a terminal")


def read_line() -> str:
    """The next line of standard input with its line end; empty at the end of input; OSError where it is no text.

    A person in a terminal can simply type again: there `NO_TEXT` stands for a line that is no text.
    """
    require_input()
    try:
        line = sys.stdin.readline(LONGEST_LINE)
    except UnicodeDecodeError:
        line = NO_TEXT
    is_text = (
        not any("\ud800" <= letter <= "\udfff" for letter in line) and len(line) < LONGEST_LINE and line != NO_TEXT
    )
    if not is_text and not is_interactive():
        raise OSError(f"what came on standard input is no line of text in {sys.stdin.encoding}; type the answers")
    return line if is_text else NO_TEXT


def say_words(text: str) -> None:
    """Write to standard output, with control characters in names or typed text made visible and harmless."""
    from raworder.rendering.clean import escaped_lines

    say(escaped_lines(text))


def say(text: str) -> None:
    """Write a result to standard output; characters that it cannot show become question marks.

    It is no error if the reader leaves early, as `head` does.
    """
    try:
        _write(sys.stdout, text)
    except BrokenPipeError:
        drop(sys.stdout)


def tell(text: str, *, styled: bool = False) -> None:
    """Write a finding or a remark to standard error; where that fails, only the exit code is left to tell.

    Control characters are made visible, unless the text is `styled`: then they are our own codes for colour.
    """
    from raworder.rendering.clean import escaped_lines

    try:
        _write(sys.stderr, text if styled else escaped_lines(text))
    except OSError:
        drop(sys.stderr)


def tell_at_end(text: str) -> None:
    """Write a remark to standard error once the command has printed all else, so that it does not scroll away."""
    import click

    command = click.get_current_context(silent=True)
    if command is None:
        tell(text)
    else:
        command.call_on_close(partial(tell, text))


def drop_unwritten() -> None:
    """Discard what standard output could not take: Python would try again as it ends, and end with 120."""
    try:
        sys.stdout.flush()
    except OSError:
        drop(sys.stdout)


def drop(stream: TextIO) -> None:
    """Discard all output to the stream from now on: its reader is gone or its disk is full."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def print_papers(documents: Sequence["Document"]) -> None:
    """Print the documents for people."""
    from raworder.rendering.terminal import terminal

    say(terminal(documents, width=width(), color=color(sys.stdout), ascii_only=ascii_only()))


def print_json(documents: Sequence["Document"], ended: str, **head: "Json") -> None:
    """Print the documents as JSON for programs, with how the command ended and further fields before them."""
    from raworder.rendering.as_json import as_json

    say(as_json(documents, ended=ended, **head))


def print_documents(documents: Sequence["Document"], ended: str, *, as_json: bool) -> None:
    """Print the documents for people, or as JSON for programs."""
    if as_json:
        print_json(documents, ended)
    else:
        print_papers(documents)


def save_papers(
    documents: Sequence["Document"],
    where: Outputs,
    page: Callable[[], Sequence["Document"]] | None = None,
    tables: Callable[[], Sequence["Document"]] | None = None,
    more: Mapping[Path, bytes] | None = None,
) -> None:
    """Write the files that were asked for, or none where one of them exists and may not be replaced.

    `page` and `tables` make the documents for the printed page and for spreadsheets, where these hold more than
    `documents`; the page keeps only the papers named in `where`. `more` are further files with their content.
    """
    from raworder.trade.outputs import FORMATS, Content

    makers = ((Content.PAPERS, lambda: documents), (Content.TABLES, tables), (Content.PAGE, page))
    contents: list[tuple[Path, bytes | Tables]] = list((more or {}).items())
    for content, make in makers:
        files = [(key, path) for key, path in where.files.items() if FORMATS[key].content is content]
        papers = (make() if make else documents) if files else ()
        if content is Content.PAGE:
            papers = [document for document in papers if not where.keys or document.key in where.keys]
        contents += [(path, WRITERS[key](papers)) for key, path in files]
    save_files(contents, overwrite=where.overwrite)


def save_files(
    contents: "Sequence[tuple[Path, bytes | Tables]]", *, overwrite: bool, updated: "Sequence[Path]" = ()
) -> None:
    """Write the files and folders, all or none, and say at the end of the command where they are.

    What is `updated` was read by this very command, and may be replaced in any case.
    """
    from raworder.commands.saving import save

    save(contents, overwrite=overwrite, updated=updated)
    if contents:
        tell_at_end(f"written: {', '.join(str(path) for path, _ in contents)}\n")


def _markdown(documents: Sequence["Document"]) -> bytes:
    """The papers as Markdown."""
    from raworder.rendering.markdown import markdown

    return markdown(documents).encode()


def _html(documents: Sequence["Document"]) -> bytes:
    """The papers as one page of HTML."""
    from raworder.rendering.html import html

    return html(documents).encode()


def _csv(documents: Sequence["Document"]) -> "Tables":
    """Every table as a CSV file in one folder."""
    from raworder.rendering.spreadsheets import csv_files

    return csv_files(documents)


def _xlsx(documents: Sequence["Document"]) -> bytes:
    """Every table as a sheet of a workbook."""
    from raworder.rendering.workbook import workbook

    return workbook(documents)


WRITERS: Mapping[str, Callable[[Sequence["Document"]], "bytes | Tables"]] = MappingProxyType(
    {"markdown": _markdown, "html": _html, "csv": _csv, "xlsx": _xlsx}
)
"""What writes each format of files that every command has, by its key in `outputs.FORMATS`."""


def _write(stream: TextIO, text: str) -> None:
    encoding = stream.encoding or "utf-8"
    stream.write(text.encode(encoding, "replace").decode(encoding))
    stream.flush()
