"""Documents as Markdown with tables; names are escaped, so that none of them is read as markup."""

import re
from collections.abc import Iterator, Sequence

from raworder.rendering.clean import lines, one_line
from raworder.rendering.values import NUMBERS, blocks_in_words, for_people
from raworder.trade.document import Cell, Column, Document, Facts, Holds, Paragraph, Points, Table, TextBlock, Verbatim

MARKUP = re.compile(r"[\\`*_\[\]<>|~&#!]")
"""Characters that Markdown may read as markup anywhere in a line. Source: CommonMark and its table extension."""

LIST_START = re.compile(r"^(\d{1,9})([.)])(?=\s|$)|^([-+=])")
"""What Markdown takes for a list or a heading at the start of a line."""


def markdown(documents: Sequence[Document]) -> str:
    """All documents as one Markdown text."""
    chunks = (chunk for document in documents for chunk in _document(document))
    return "\n\n".join(chunks) + "\n"


def escape_markdown(text: str) -> str:
    """The text on one line, escaped so that Markdown shows it unchanged."""
    escaped = MARKUP.sub(lambda match: f"\\{match[0]}", one_line(text))
    return LIST_START.sub(_escape_start, escaped)


def _escape_start(match: re.Match[str]) -> str:
    """The start of a line with a backslash before the character that makes it a list."""
    return f"{match[1]}\\{match[2]}" if match[1] else f"\\{match[3]}"


def _document(document: Document) -> Iterator[str]:
    """Title and blocks."""
    yield f"# {escape_markdown(document.title)}"
    for block in blocks_in_words(document):
        yield from _block(document, block)


def _block(document: Document, block: TextBlock) -> Iterator[str]:
    """One block, by its kind."""
    match block:
        case Table():
            yield from _table(document, block)
        case Facts():
            yield _facts(document, block)
        case Points():
            yield from _points(block)
        case Verbatim():
            yield from _verbatim(block)
        case Paragraph():
            if block.title:
                yield f"## {escape_markdown(block.title)}"
            yield escape_markdown(block.text)


def _table(document: Document, table: Table) -> Iterator[str]:
    """Title, rows, totals in bold, and note."""
    if table.title:
        yield f"## {escape_markdown(table.title)}"
    columns = [column for column in table.columns if column.shown]
    tick = ["☐"] if table.tick else []
    headings = [*[""] * len(tick), *(escape_markdown(column.heading) for column in columns)]
    alignment = [*["---"] * len(tick), *("--:" if column.holds in NUMBERS else "---" for column in columns)]
    rows = [[*tick, *_cells(document, table.columns, row)] for row in table.rows]
    sums = [[*[""] * len(tick), *map(_bold, _cells(document, table.columns, row))] for row in table.totals]
    yield "\n".join(f"| {' | '.join(cells)} |" for cells in [headings, alignment, *rows, *sums])
    if table.note:
        yield escape_markdown(table.note)


def _cells(document: Document, columns: Sequence[Column], row: tuple[Cell, ...]) -> list[str]:
    """The cells of a row that people see."""
    pairs = zip(columns, row, strict=True)
    return [escape_markdown(for_people(document, column.holds, value)) for column, value in pairs if column.shown]


def _bold(text: str) -> str:
    """The text in bold; empty text stays empty."""
    return f"**{text}**" if text else ""


def _facts(document: Document, facts: Facts) -> str:
    """A list of labels and values."""
    return "\n".join(
        f"- {escape_markdown(fact.label)}: {_bold(escape_markdown(for_people(document, fact.holds, fact.value)))}"
        f"{f' {escape_markdown(document.currency)}' if fact.holds is Holds.MONEY else ''}"
        for fact in facts.items
    )


def _points(points: Points) -> Iterator[str]:
    """A list, then its sources."""
    if points.title:
        yield f"## {escape_markdown(points.title)}"
    yield "\n".join(f"- {escape_markdown(item)}" for item in points.items)
    if points.sources:
        yield escape_markdown(f"Sources: {'; '.join(points.sources)}.")


def _verbatim(verbatim: Verbatim) -> Iterator[str]:
    """The lines unchanged, set in by four spaces, which Markdown shows as they are."""
    if verbatim.title:
        yield escape_markdown(verbatim.title)
    yield "\n".join(f"    {line}".rstrip() for line in lines(verbatim.text))
