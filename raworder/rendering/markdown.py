"""Documents as Markdown with tables; names are escaped, so that none of them is read as markup."""

import re
from collections.abc import Iterator, Sequence

from raworder.rendering.clean import lines, one_line
from raworder.rendering.values import NUMBERS, blocks_in_words, for_people
from raworder.trade.document import Cell, Column, Document, Facts, Holds, Paragraph, Points, Table, TextBlock, Verbatim

MARKUP = re.compile(r"[\\`*_\[\]<>|~&#!]")
"""Characters that Markdown may read as markup anywhere in a line. Source: CommonMark and its table extension."""

LIST_START = re.compile(r"^(\d{1,9})([.)])(?=\s|$)|^([-+=])")
"""What Markdown reads as a list or a heading at the start of a line."""


def markdown(documents: Sequence[Document]) -> str:
    """All documents as one Markdown text."""
    chunks = (chunk for document in documents for chunk in _document(document))
    return "\n\n".join(chunks) + "\n"


def literal(text: str) -> str:
    """The text on one line, such that Markdown shows it as it stands."""
    marked = MARKUP.sub(lambda found: f"\\{found[0]}", one_line(text))
    return LIST_START.sub(_harmless_start, marked)


def _harmless_start(found: re.Match[str]) -> str:
    """The start of a line with a backslash before its sign."""
    return f"{found[1]}\\{found[2]}" if found[1] else f"\\{found[3]}"


def _document(document: Document) -> Iterator[str]:
    """Title and blocks."""
    yield f"# {literal(document.title)}"
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
                yield f"## {literal(block.title)}"
            yield literal(block.text)


def _table(document: Document, table: Table) -> Iterator[str]:
    """Title, rows, sums in bold, and note."""
    if table.title:
        yield f"## {literal(table.title)}"
    shown = [column for column in table.columns if column.shown]
    tick = ["☐"] if table.tick else []
    heads = [*[""] * len(tick), *(literal(column.heading) for column in shown)]
    marks = [*["---"] * len(tick), *("--:" if column.holds in NUMBERS else "---" for column in shown)]
    rows = [[*tick, *_cells(document, table.columns, row)] for row in table.rows]
    sums = [[*[""] * len(tick), *map(_bold, _cells(document, table.columns, row))] for row in table.totals]
    yield "\n".join(f"| {' | '.join(cells)} |" for cells in [heads, marks, *rows, *sums])
    if table.note:
        yield literal(table.note)


def _cells(document: Document, columns: Sequence[Column], row: tuple[Cell, ...]) -> list[str]:
    """What people see of a row."""
    pairs = zip(columns, row, strict=True)
    return [literal(for_people(document, column.holds, value)) for column, value in pairs if column.shown]


def _bold(text: str) -> str:
    """The text in bold, nothing for nothing."""
    return f"**{text}**" if text else ""


def _facts(document: Document, facts: Facts) -> str:
    """A list of labels and values."""
    return "\n".join(
        f"- {literal(fact.label)}: {_bold(literal(for_people(document, fact.holds, fact.value)))}"
        f"{f' {literal(document.currency)}' if fact.holds is Holds.MONEY else ''}"
        for fact in facts.items
    )


def _points(points: Points) -> Iterator[str]:
    """A list, and its sources."""
    if points.title:
        yield f"## {literal(points.title)}"
    yield "\n".join(f"- {literal(item)}" for item in points.items)
    if points.sources:
        yield literal(f"Sources: {'; '.join(points.sources)}.")


def _verbatim(verbatim: Verbatim) -> Iterator[str]:
    """The lines as they stand, set in by four spaces."""
    if verbatim.title:
        yield literal(verbatim.title)
    yield "\n".join(f"    {line}".rstrip() for line in lines(verbatim.text))
