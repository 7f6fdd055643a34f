"""Documents for a terminal: calm tables of a fixed width, numbers to the right, no meaning by colour alone."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from io import StringIO
from itertools import pairwise
from math import ceil
from typing import TYPE_CHECKING

from raworder.rendering.clean import ascii_text, lines, one_line
from raworder.rendering.values import GRIDS, NUMBER_AND_UNIT, NUMBERS, blocks_in_words, for_people
from raworder.trade.document import (
    Cell,
    Column,
    Document,
    Fact,
    Facts,
    Holds,
    Paragraph,
    Points,
    Table,
    TextBlock,
    Verbatim,
)

if TYPE_CHECKING:
    from rich.console import Console, RenderableType
    from rich.table import Table as Grid
    from rich.text import Text

GLUE = "\ue000"
"""A private character that holds a number and its unit on one line until the text is laid out."""

GAP = 3
"""Blank characters between two columns."""

BOX = 3
"""Characters of the box at a row, to tick by hand."""

UNDER = 4
"""By how much is set in what stands under its row."""

KEPT_WHOLE_CELLS = 24
"""Up to this width the first column, which names what a row is about, is not broken over lines."""

LEAST_FOLDED = 3
"""So many columns of a grid are folded into several tables if there is no room for them."""

LEAST_TEXT_CELLS = 12
"""No column of words is narrower than this where it holds more."""

LEAST_FACT_CELLS = 24
"""No value beside its label has less room where it holds more."""

MOST_LINES = 5
"""About as many lines as a cell may have; what needs more goes under its row."""


def terminal(documents: Sequence[Document], *, width: int, color: bool, ascii_only: bool = False) -> str:
    """The documents as text no wider than `width`; with escape codes if `color`, in ASCII alone if `ascii_only`."""
    out = StringIO()
    console = _console(out, width, color=color)
    for place, document in enumerate(documents):
        if place:
            console.print("\n")
        for piece in TerminalLayout(document, width=width, ascii_only=ascii_only).pieces():
            console.print(piece, overflow="fold")
    return "\n".join(line.rstrip() for line in out.getvalue().replace(GLUE, " ").split("\n"))


def _console(out: StringIO, width: int, *, color: bool) -> "Console":
    """A console that takes nothing from the machine it runs on, so that the same input gives the same text."""
    from rich.console import Console

    return Console(
        file=out,
        width=width,
        force_terminal=color,
        color_system="standard" if color else None,
        no_color=not color,
        highlight=False,
        markup=False,
        emoji=False,
        legacy_windows=False,
        safe_box=False,
        _environ={},
    )


def shown_columns(table: Table) -> tuple[Column, ...]:
    """The columns that people see."""
    return tuple(column for column in table.columns if column.shown)


Row = Sequence["Text"]
"""The cells of a row that people see."""


@dataclass(frozen=True, slots=True)
class Layout:
    """Where the columns of a table stand: the widths of those beside one another, and those under their row.

    Without any beside one another each row is a small block.
    """

    widths: Mapping[int, int]
    under: tuple[int, ...]
    gap: int

    def table_width(self, *, with_box: bool) -> int:
        """Characters from the first column's beginning to the last one's end; a short rule where none are beside."""
        widths = [*([BOX] if with_box else []), *self.widths.values()]
        return sum(widths) + self.gap * (len(widths) - 1) if self.widths else LEAST_TEXT_CELLS

    def beside(self, row: Row) -> Row:
        """The cells of a row that stand beside one another."""
        return [row[place] for place in self.widths]


@dataclass(frozen=True, slots=True)
class Needs:
    """How wide a column is at least, with headings in one line, and with all in one line."""

    least: int
    cells: int
    most: int


def layout_of(columns: Sequence[Column], rows: Sequence[Row], width: int) -> Layout:
    """Where the columns stand so that no word is broken.

    For want of room the last columns of words go under their row; where none is left the first one's cells are broken
    over lines, and columns stand closer.
    """
    cells = [[row[place] for row in rows] for place in range(len(columns))]
    beside, under = list(range(len(columns))), list[int]()
    while True:
        words = [place for place in beside[1:] if columns[place].holds is Holds.TEXT]
        for gap, kept in ((GAP, KEPT_WHOLE_CELLS), *(() if words else ((GAP - 1, 0),))):
            needs = {place: column_needs(columns[place], cells[place], 0 if place else kept) for place in beside}
            room = width - gap * (len(beside) - 1)
            if sum(need.least for need in needs.values()) <= room:
                return Layout(_widths(needs, room), tuple(sorted(under)), gap)
        if not words:
            return Layout({}, tuple(range(len(columns))), GAP)
        long = [place for place in words if max(map(cell_width, map(str, cells[place])), default=0) > LEAST_TEXT_CELLS]
        under.append((long or words)[-1])
        beside.remove(under[-1])


def column_needs(column: Column, cells: Row, kept_whole: int) -> Needs:
    """How wide a column must and may be; numbers, days and words up to `kept_whole` characters are never broken."""
    longest = max((cell.cell_len for cell in cells), default=0)
    words = NUMBER_AND_UNIT.sub(GLUE, f"{column.heading} {column.under}").split()
    heading = max(map(cell_width, words), default=0)
    whole = column.holds is not Holds.TEXT or longest <= kept_whole
    least = longest if whole else max(map(least_width, cells), default=0)
    in_one_line = max(map(cell_width, (column.heading, column.under)))
    return Needs(max(least, heading), max(longest, heading), max(longest, in_one_line))


def least_width(cell: "Text") -> int:
    """The least width for words: that of the longest, and wide enough for few lines."""
    return max(longest_word(cell), min(cell.cell_len, LEAST_TEXT_CELLS), ceil(Fraction(cell.cell_len, MOST_LINES)))


def longest_word(cell: "Text") -> int:
    """Characters of the longest word."""
    return max(map(cell_width, cell.plain.split()), default=0)


def cell_width(text: str) -> int:
    """Characters that a text takes on a line."""
    from rich.cells import cell_len

    return cell_len(text)


def _widths(needs: Mapping[int, Needs], room: int) -> dict[int, int]:
    """The widths of columns: all in one line if there is room, else headings break first, then the widest cells."""
    widths = {place: need.most for place, need in needs.items()}
    if sum(widths.values()) > room:
        widths = {place: need.cells for place, need in needs.items()}
    while (excess := sum(widths.values()) - room) > 0:
        *_, next_widest, widest = sorted({0, *(width for place, width in widths.items() if width > needs[place].least)})
        for place in [place for place, width in widths.items() if width == widest]:
            widths[place] = max(needs[place].least, next_widest, widest - excess)
            excess = sum(widths.values()) - room
    return widths


def only_columns(table: Table, places: Sequence[int]) -> Table:
    """The table with some of its columns alone, by their places."""

    def kept(row: tuple[Cell, ...]) -> tuple[Cell, ...]:
        """The cells of these columns."""
        return tuple(row[place] for place in places)

    columns = tuple(table.columns[place] for place in places)
    return replace(table, columns=columns, rows=tuple(map(kept, table.rows)), totals=tuple(map(kept, table.totals)))


def row_bands(
    rows: Sequence[Row], between: Mapping[int, str], *, one_by_one: bool
) -> Iterator[tuple[int, Sequence[Row]]]:
    """Rows that stand together, each band with the place of its first; one begins where a rule stands before it."""
    starts = sorted({0, *(range(len(rows)) if one_by_one else between)}) if rows else []
    for start, end in pairwise((*starts, len(rows))):
        yield start, rows[start:end]


class TerminalLayout:
    """Lays out the blocks of one document for a terminal."""

    def __init__(self, document: Document, *, width: int, ascii_only: bool) -> None:
        self._document = document
        self._width = width
        self._ascii_only = ascii_only

    def pieces(self) -> Iterator["RenderableType"]:
        """The title with a rule under it, then every block after a blank line."""
        from rich.rule import Rule

        yield self._text(self._document.title, "bold")
        yield Rule(characters="=" if self._ascii_only else "═", style="none")
        for block in blocks_in_words(self._document):
            yield ""
            yield from self._block(block)

    def _block(self, block: TextBlock) -> Iterator["RenderableType"]:
        """One block, by its kind."""
        match block:
            case Table():
                yield from self._table(block)
            case Facts():
                yield from self._facts(block)
            case Points():
                yield from self._points(block)
            case Verbatim():
                yield from self._verbatim(block)
            case Paragraph():
                if block.title:
                    yield self._text(block.title, "bold")
                yield self._text(block.text)

    def _table(self, table: Table) -> Iterator["RenderableType"]:
        """Title, rows, totals and note."""
        if table.title:
            yield self._text(table.title, "bold")
        for place, part in enumerate(self._folded(table)):
            if place:
                yield ""
            rows, sums, layout = self._laid_out(part)
            yield from self._rows(part, layout, rows, sums)
        if table.note:
            yield self._text(table.note, "dim")

    def _laid_out(self, table: Table) -> tuple[list[Row], list[Row], Layout]:
        """The rows and sums of a table, and where its columns stand."""
        rows: list[Row] = [self._cells(table, row, nothing="-") for row in table.rows]
        sums: list[Row] = [self._cells(table, row, nothing="") for row in table.totals]
        room = self._width - (BOX + GAP) * table.tick
        return rows, sums, layout_of(shown_columns(table), [*rows, *sums], room)

    def _folded(self, table: Table) -> Iterator[Table]:
        """A table with too many columns alike as several, each with the first column and as many as have room."""
        first, *others = range(len(table.columns))
        if sum(column.holds in GRIDS for column in table.columns) < LEAST_FOLDED or self._fits(table):
            yield table
            return
        while others:
            count = next(
                (
                    count
                    for count in range(len(others), 1, -1)
                    if self._fits(only_columns(table, (first, *others[:count])))
                ),
                1,
            )
            yield only_columns(table, (first, *others[:count]))
            others = others[count:]

    def _fits(self, table: Table) -> bool:
        """Whether all columns of a table stand beside one another."""
        layout = self._laid_out(table)[2]
        return bool(layout.widths) and not layout.under

    def _rows(
        self, table: Table, layout: Layout, rows: Sequence[Row], sums: Sequence[Row]
    ) -> Iterator["RenderableType"]:
        """The rows under their headings, and the totals under a rule."""
        columns = shown_columns(table)
        box, no_box = ("[ ]", "") if table.tick else (None, None)
        rule = self._text(("-" if self._ascii_only else "─") * layout.table_width(with_box=table.tick))
        if layout.widths:
            head = [self._heading(column) for column in columns]
            yield self._grid(columns, layout, [head], no_box)
            yield rule
        between = dict(table.between)
        for first, band in row_bands(rows, between, one_by_one=bool(layout.under)):
            if first in between:
                yield self._text(between[first], "dim")
            yield from self._band(columns, layout, band, box)
        if rows and sums:
            yield rule
        for row in sums:
            for cell in row:
                cell.stylize("bold")
            yield from self._band(columns, layout, [row], no_box)

    def _heading(self, column: Column) -> "Text":
        """The heading of a column, and what stands in small print under it."""
        heading = self._text(column.heading, "bold")
        return heading.append("\n").append_text(self._text(column.under)) if column.under else heading

    def _band(
        self, columns: Sequence[Column], layout: Layout, rows: Sequence[Row], box: str | None
    ) -> Iterator["RenderableType"]:
        """Rows that stand together, with what has no room beside them below, each after its heading."""
        from rich.padding import Padding

        if layout.widths:
            yield self._grid(columns, layout, rows, box)
        for place in layout.under:
            before = columns[place].heading and f"{columns[place].heading}:" if place else box
            line = self._text(before or "").append(" " if before else "")
            if rows[0][place].plain not in {"", "-"} or not place:
                yield Padding(line.append_text(rows[0][place]), (0, 0, 0, UNDER if place else 0))

    def _grid(self, columns: Sequence[Column], layout: Layout, rows: Sequence[Row], box: str | None) -> "Grid":
        """Rows in columns of the widths that were chosen, each after its box if there is one."""
        from rich.table import Table as Grid

        grid = Grid.grid(padding=(0, layout.gap, 0, 0), collapse_padding=True, pad_edge=False)
        if box is not None:
            grid.add_column(width=BOX)
        for place, width in layout.widths.items():
            grid.add_column(width=width, justify="right" if columns[place].holds in NUMBERS else "left")
        for row in rows:
            grid.add_row(*([] if box is None else [self._text(box)]), *layout.beside(row))
        return grid

    def _cells(self, table: Table, row: tuple[Cell, ...], *, nothing: str) -> list["Text"]:
        """The cells of a row that people see; `nothing` stands for None, except where a person is to write."""
        pairs = [(column, value) for column, value in zip(table.columns, row, strict=True) if column.shown]
        return [
            self._text(
                nothing
                if value is None and column.holds is not Holds.BLANK
                else for_people(self._document, column.holds, value)
            )
            for column, value in pairs
        ]

    def _facts(self, facts: Facts) -> Iterator["RenderableType"]:
        """Labels to the left, values beside them, or after them where both have too little room."""
        from rich.table import Table as Grid

        rows = [(self._text(fact.label), self._text(self._fact(fact), "bold")) for fact in facts.items]
        label_width = max((label.cell_len for label, _ in rows), default=0)
        room = self._width - label_width - 2
        if any(longest_word(value) > room or room < min(value.cell_len, LEAST_FACT_CELLS) for _, value in rows):
            for label, value in rows:
                yield label.append(": ").append_text(value)
            return
        grid = Grid.grid(padding=(0, 2, 0, 0))
        grid.add_column(width=label_width)
        grid.add_column()
        for row in rows:
            grid.add_row(*row)
        yield grid

    def _fact(self, fact: Fact) -> str:
        """The value of a fact, money with its code."""
        code = f" {self._document.currency}" if fact.holds is Holds.MONEY else ""
        return for_people(self._document, fact.holds, fact.value) + code

    def _points(self, points: Points) -> Iterator["RenderableType"]:
        """Each statement after a dash, its further lines set in."""
        from rich.padding import Padding
        from rich.table import Table as Grid

        if points.title:
            yield self._text(points.title, "bold")
        grid = Grid.grid(padding=(0, 1, 0, 0))
        grid.add_column(width=1)
        grid.add_column()
        for item in points.items:
            grid.add_row("-", self._text(item))
        yield grid
        if points.sources:
            yield Padding(self._text(f"Sources: {'; '.join(points.sources)}.", "dim"), (0, 0, 0, 2))

    def _verbatim(self, verbatim: Verbatim) -> Iterator["RenderableType"]:
        """The lines unchanged, set in by four characters."""
        from rich.padding import Padding
        from rich.text import Text

        if verbatim.title:
            yield self._text(verbatim.title, "bold")
        for line in lines(verbatim.text):
            yield Padding(Text(ascii_text(line) if self._ascii_only else line), (0, 0, 0, 4))

    def _text(self, text: str, style: str = "") -> "Text":
        """Cleaned text without markup; a number and its unit stay on one line."""
        from rich.text import Text

        clean = ascii_text(one_line(text)) if self._ascii_only else one_line(text)
        return Text(NUMBER_AND_UNIT.sub(GLUE, clean), style=style, overflow="fold")
