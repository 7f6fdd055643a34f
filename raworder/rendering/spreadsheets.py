"""Tables for programs, and as CSV files: plain numbers, and no text that a spreadsheet would run."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from raworder.rendering.clean import one_line
from raworder.rendering.values import blocks_for_programs, for_programs
from raworder.trade.document import Cell, Column, Document, Holds, Table

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")  # noqa: RUF001 - the wide forms are meant
"""Text that begins like this may be run as a formula. Source: OWASP, CSV injection, from memory, not looked up."""

GUARD = "'"
"""Put before such text, so that a spreadsheet does not run it."""


def csv_files(documents: Sequence[Document]) -> tuple[tuple[str, bytes], ...]:
    """Name and content of a CSV file for every table: RFC 4180 in UTF-8 with a byte order mark.

    Tables of one document with the same key share a file. Totals are left out, as a program can add up the rows. Grams
    are whole numbers, money has the currency's decimals, shares are decimal fractions, days are year-month-day.
    """
    return tuple(
        (f"{group.document.key}-{group.key}.csv".replace("_", "-"), _csv_content(group))
        for group in group_tables(documents)
    )


@dataclass(frozen=True, slots=True)
class TableGroup:
    """The tables of one document with the same key, which make one file or sheet."""

    document: Document
    key: str
    tables: tuple[Table, ...]

    @property
    def columns(self) -> tuple[Column, ...]:
        """The columns that all of them have."""
        return self.tables[0].columns

    @property
    def rows(self) -> tuple[tuple[Cell, ...], ...]:
        """The rows of all of them."""
        return tuple(row for table in self.tables for row in table.rows)


def group_tables(documents: Sequence[Document]) -> tuple[TableGroup, ...]:
    """The tables that programs and spreadsheets read, in order."""
    return tuple(
        TableGroup(document, key, tuple(tables)) for document in documents for key, tables in _by_key(document).items()
    )


def guard_formula(text: str) -> str:
    """The text on one line, with a quote before it where a spreadsheet would run it."""
    clean = one_line(text)
    return GUARD + clean if clean.startswith(FORMULA_STARTS) else clean


def _by_key(document: Document) -> dict[str, list[Table]]:
    """The tables of a document by their key, in order."""
    tables: dict[str, list[Table]] = {}
    for block in blocks_for_programs(document):
        if isinstance(block, Table):
            tables.setdefault(block.key, []).append(block)
    return tables


def _csv_content(group: TableGroup) -> bytes:
    """The CSV file: the rows of all its tables under one line of keys."""
    import pandas as pd

    rows = [tuple(_cells(group.document, group.columns, row)) for row in group.rows]
    table = pd.DataFrame(rows, columns=[column.key for column in group.columns], dtype=object)
    return table.to_csv(index=False, lineterminator="\r\n").encode("utf-8-sig")


def _cells(document: Document, columns: Sequence[Column], row: tuple[Cell, ...]) -> Iterator[str]:
    """One row; only text is guarded, as numbers are written by us."""
    for column, value in zip(columns, row, strict=True):
        text = for_programs(document, column.holds, value)
        # CSV has no text cells, so only a quote keeps a spreadsheet from running text as a formula.
        yield guard_formula(text) if column.holds is Holds.TEXT else text
