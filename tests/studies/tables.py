"""Tables of a paper, as a test reads them."""

from raworder.trade.document import Cell, Document, Table


def rows_of(paper: Document, key: str) -> list[dict[str, Cell]]:
    """The rows of all tables of that key, each by its columns' keys."""
    tables = [block for block in paper.blocks if isinstance(block, Table) and block.key == key]
    assert tables, f"no table {key}"
    return [
        dict(zip((column.key for column in table.columns), row, strict=True)) for table in tables for row in table.rows
    ]


def row_of(paper: Document, key: str, first: Cell) -> dict[str, Cell]:
    """The one row that begins so."""
    (row,) = [row for row in rows_of(paper, key) if next(iter(row.values())) == first]
    return row
