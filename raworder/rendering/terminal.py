"""Documents for a terminal: calm tables of a fixed width, numbers to the right, no meaning by colour alone."""

from collections.abc import Iterator, Sequence
from io import StringIO
from typing import TYPE_CHECKING

from raworder.rendering.clean import ascii_text, lines, one_line
from raworder.rendering.values import NUMBER_AND_UNIT, NUMBERS, blocks_in_words, for_people
from raworder.trade.document import Cell, Column, Document, Facts, Holds, Paragraph, Points, Table, TextBlock, Verbatim

if TYPE_CHECKING:
    from rich.box import Box
    from rich.console import Console, RenderableType
    from rich.table import Table as Grid
    from rich.text import Text

GLUE = "\ue000"
"""A private character that holds a number and its unit on one line until the text is laid out."""

GAP = 2
"""Blank characters after a column, before the one that separates it from the next."""

KEPT_WHOLE_CELLS = 24
"""Up to this width the first column, which names what a row is about, is not broken over lines."""


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
                yield self._facts(block)
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
        rows = [self._cells(table, row, nothing="-") for row in table.rows]
        sums = [self._cells(table, row, nothing="") for row in table.totals]
        yield self._grid(table, rows, sums)
        if table.note:
            yield self._text(table.note, "dim")

    def _grid(self, table: Table, rows: Sequence[list["Text"]], sums: Sequence[list["Text"]]) -> "Grid":
        """The rows under their headings, and the totals under a rule."""
        from rich.table import Table as Grid

        grid = Grid(box=self._box(), show_edge=False, pad_edge=False, padding=(0, GAP, 0, 0), collapse_padding=True)
        if table.tick:
            grid.add_column("", width=3, no_wrap=True)
        columns = shown_columns(table)
        longest = [max((row[place].cell_len for row in [*rows, *sums]), default=0) for place in range(len(columns))]
        # Too narrow for all headings in one line: then headings break between words, so that cells need not.
        natural = sum(max(cell, len(column.heading)) + GAP + 1 for cell, column in zip(longest, columns, strict=True))
        tight = self._width < natural + (3 + GAP + 1 if table.tick else 0)
        for place, (column, cell) in enumerate(zip(columns, longest, strict=True)):
            whole = column.holds not in {Holds.TEXT, Holds.BLANK} or (not place and cell <= KEPT_WHOLE_CELLS)
            self._add_column(grid, column, cell, whole=whole, tight=tight)
        for row in rows:
            grid.add_row(*([self._text("[ ]")] if table.tick else []), *row)
        if rows and sums:
            grid.add_section()
        for row in sums:
            grid.add_row(*([""] if table.tick else []), *row, style="bold")
        return grid

    def _add_column(self, grid: "Grid", column: Column, longest: int, *, whole: bool, tight: bool) -> None:
        """Add a column; cells of a `whole` one are never broken; if room is `tight` its heading is, between words."""
        words = max(map(len, column.heading.split()), default=0)
        grid.add_column(
            self._text(column.heading, "bold"),
            justify="right" if column.holds in NUMBERS else "left",
            no_wrap=whole and not tight,
            width=max(longest, words) if whole and tight else None,
            header_style="none",
        )

    def _box(self) -> "Box":
        """The rules of a table: under its headings and above its totals, nowhere else."""
        from rich.box import Box

        line = "--" if self._ascii_only else "──"
        no_line, rule = "    \n", f" {line} \n"
        return Box(no_line * 2 + rule + no_line + rule * 2 + no_line * 2)

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

    def _facts(self, facts: Facts) -> "Grid":
        """Labels to the left, values beside them."""
        from rich.table import Table as Grid

        grid = Grid.grid(padding=(0, 2, 0, 0))
        grid.add_column()
        grid.add_column()
        for fact in facts.items:
            value = for_people(self._document, fact.holds, fact.value)
            code = f" {self._document.currency}" if fact.holds is Holds.MONEY else ""
            grid.add_row(self._text(fact.label), self._text(value + code, "bold"))
        return grid

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
