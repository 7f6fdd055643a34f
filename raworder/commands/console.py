"""Where output goes, and input comes from: the terminal, a pipe, or files."""

import os
import shutil
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, TextIO

from raworder.trade.outputs import FORMATS, Content

if TYPE_CHECKING:
    from raworder.commands.saving import Tables
    from raworder.rendering.as_json import Json
    from raworder.trade.document import Document


PIPE_WIDTH = 100
"""Columns of text that goes to a pipe or a file, where no terminal says how wide it is."""

LONGEST_LINE = 10_000
"""So many characters of a line of standard input are read; nobody types as many."""

NO_TEXT = "\ufffe"
"""What stands for a line that is no text."""

WIDEST = 120
"""Columns beyond which a line is hard to read."""


@dataclass(frozen=True, slots=True)
class Outputs:
    """Where papers go beside the terminal, and which of them are printed there: all if none is named.

    `files` are what is written, by the key of its format.
    """

    as_json: bool = False
    files: Mapping[str, Path] = field(default_factory=dict)
    overwrite: bool = False
    keys: Sequence[str] = ()


def open_streams() -> None:
    """Give standard streams that were closed before we began a place to write to, so that no file takes their number.

    OSError when standard output is among them: there would be nobody to read the result. Standard input stays closed
    for whoever asks.
    """
    if sys.stdin is None:
        os.open(os.devnull, os.O_RDONLY)  # the lowest number is free, and it is that of standard input
    closed = [name for name in ("stdout", "stderr") if getattr(sys, name) is None]
    for name in closed:
        setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115 - open until the end
    if "stdout" in closed:
        raise OSError("standard output is closed")


def width() -> int:
    """The columns to fill: the terminal's, within reason."""
    if not sys.stdout.isatty():
        return PIPE_WIDTH
    return max(40, min(shutil.get_terminal_size((PIPE_WIDTH, 24)).columns, WIDEST))


def color(stream: TextIO) -> bool:
    """Whether colour may help there: on a terminal that can, where NO_COLOR does not forbid it."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def ascii_only() -> bool:
    """Whether standard output cannot take the lines that tables are drawn with."""
    try:
        "─┼·".encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return True
    return False


def is_asked() -> bool:
    """Whether standard input is a person in a terminal."""
    return sys.stdin is not None and sys.stdin.isatty()


def must_be_open() -> None:
    """OSError where standard input is closed, for a command that only asks."""
    if sys.stdin is None:
        raise OSError("standard input is closed, so nobody can be asked; run the command in a terminal")


def read_line() -> str:
    """The next line of standard input with its end, nothing where there is no more; OSError where it is no text.

    A person in a terminal can type another line: from there what is no text is a character that nothing may hold.
    """
    must_be_open()
    try:
        line = sys.stdin.readline(LONGEST_LINE)
    except UnicodeDecodeError:
        line = NO_TEXT
    is_text = (
        not any("\ud800" <= letter <= "\udfff" for letter in line) and len(line) < LONGEST_LINE and line != NO_TEXT
    )
    if not is_text and not is_asked():
        raise OSError(f"what came on standard input is no line of text in {sys.stdin.encoding}; type the answers")
    return line if is_text else NO_TEXT


def say_words(text: str) -> None:
    """Write words to standard output in which names and what was typed cannot move the cursor."""
    from raworder.rendering.clean import escaped_lines

    say(escaped_lines(text))


def say(text: str) -> None:
    """Write a result to standard output, characters that it cannot take as question marks; a reader may leave early."""
    try:
        _write(sys.stdout, text)
    except BrokenPipeError:
        drop(sys.stdout)


def tell(text: str, *, styled: bool = False) -> None:
    """Write a finding or a remark to standard error; where that is closed or full, the exit code must do.

    What moves the cursor is shown as what it is, unless the text is `styled`: then our own codes for colour are in it.
    """
    from raworder.rendering.clean import escaped_lines

    try:
        _write(sys.stderr, text if styled else escaped_lines(text))
    except OSError:
        drop(sys.stderr)


def drop(stream: TextIO) -> None:
    """Send what the stream still holds, and all that follows, nowhere: its reader is gone or its disk is full."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def print_papers(documents: Sequence["Document"]) -> None:
    """The documents on standard output, for people."""
    from raworder.rendering.terminal import terminal

    say(terminal(documents, width=width(), color=color(sys.stdout), ascii_only=ascii_only()))


def print_json(documents: Sequence["Document"], ended: str, **head: "Json") -> None:
    """The same facts on standard output, for programs, with how it ended and what else stands before them."""
    from raworder.rendering.as_json import as_json

    say(as_json(documents, ended=ended, **head))


def print_documents(documents: Sequence["Document"], ended: str, *, as_json: bool) -> None:
    """The documents for people or, where that is asked for, for programs."""
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
    """Write the files that were asked for; none when one of them is there already and may not be replaced.

    On the printed page only those papers stand that are named; `page` makes what stands on it, `tables` what CSV files
    and workbooks hold, where these are more than the documents; `more` are other files.
    """
    from raworder.commands.saving import save

    makers = ((Content.PAPERS, lambda: documents), (Content.TABLES, tables), (Content.PAGE, page))
    contents: list[tuple[Path, bytes | Tables]] = list((more or {}).items())
    for content, make in makers:
        files = [(key, path) for key, path in where.files.items() if FORMATS[key].content is content]
        held = (make() if make else documents) if files else ()
        if content is Content.PAGE:
            held = [document for document in held if not where.keys or document.key in where.keys]
        contents += [(path, WRITERS[key](held)) for key, path in files]
    save(contents, overwrite=where.overwrite)


def _markdown(documents: Sequence["Document"]) -> bytes:
    """The papers as Markdown."""
    from raworder.rendering.markdown import markdown

    return markdown(documents).encode()


def _html(documents: Sequence["Document"]) -> bytes:
    """The papers as a page."""
    from raworder.rendering.html import html

    return html(documents).encode()


def _csv(documents: Sequence["Document"]) -> "Tables":
    """Every table as a CSV file in one folder."""
    from raworder.rendering.spreadsheets import csv_files

    return csv_files(documents)


def _xlsx(documents: Sequence["Document"]) -> bytes:
    """Every table as a sheet of a workbook."""
    from raworder.rendering.spreadsheets import workbook

    return workbook(documents)


WRITERS: Mapping[str, Callable[[Sequence["Document"]], "bytes | Tables"]] = MappingProxyType(
    {"markdown": _markdown, "html": _html, "csv": _csv, "xlsx": _xlsx}
)
"""What writes each format of files that every command has, by its key in `outputs.FORMATS`."""


def _write(stream: TextIO, text: str) -> None:
    encoding = stream.encoding or "utf-8"
    stream.write(text.encode(encoding, "replace").decode(encoding))
    stream.flush()
