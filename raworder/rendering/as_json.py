"""Documents and plans as JSON for programs: the same facts, with plain numbers under stable keys."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.rendering.values import GRAMS, blocks_for_programs, for_programs
from raworder.trade.document import Cell, Column, Document, Facts, Holds, Paragraph, Points, Table, TextBlock, Verbatim
from raworder.trade.plan import Plan
from raworder.trade.purchase import Purchase

SCHEMA_VERSION = 1
"""Rises when a key goes or changes its meaning; new keys alone do not raise it."""

Json = str | int | bool | None | Sequence["Json"] | dict[str, "Json"]


def as_json(documents: Sequence[Document], **head: Json) -> str:
    """One JSON object: `schema_version`, then `head`, then the papers.

    Grams and counts are whole numbers. Money and shares are texts, so that no program makes binary fractions of them;
    shares are decimal fractions to six places. The text is ASCII.
    """
    told: dict[str, Json] = {
        "schema_version": SCHEMA_VERSION,
        **head,
        "papers": [_document(document) for document in documents],
    }
    return json.dumps(told, allow_nan=False, ensure_ascii=True, indent=2) + "\n"


def _document(document: Document) -> dict[str, Json]:
    """One paper."""
    return {
        "key": document.key,
        "title": document.title,
        "currency": document.currency,
        "weight_unit": document.weight_unit,
        "blocks": [_block(document, block) for block in blocks_for_programs(document)],
    }


def _block(document: Document, block: TextBlock) -> dict[str, Json]:
    """One block under its kind."""
    match block:
        case Table():
            return {"kind": "table", **_table(document, block)}
        case Facts():
            values: dict[str, Json] = {fact.key: plain(document, fact.holds, fact.value) for fact in block.items}
            return {"kind": "facts", "key": block.key, "values": values}
        case Points():
            items = {"items": list(block.items), "sources": list(block.sources)}
            return {"kind": "points", "key": block.key, "title": block.title, **items}
        case Verbatim():
            return {"kind": "verbatim", "title": block.title, "text": block.text}
        case Paragraph():
            title: dict[str, Json] = {"title": block.title} if block.title else {}
            return {"kind": "paragraph", **title, "text": block.text}


def _table(document: Document, table: Table) -> dict[str, Json]:
    """Columns, rows and sums, each row by the keys of its columns."""
    return {
        "key": table.key,
        "title": table.title,
        "columns": [{"key": column.key, "heading": column.heading, "holds": column.holds} for column in table.columns],
        "rows": [_row(document, table.columns, row) for row in table.rows],
        "totals": [_row(document, table.columns, row) for row in table.totals],
        "note": table.note,
    }


def _row(document: Document, columns: Sequence[Column], row: tuple[Cell, ...]) -> dict[str, Json]:
    """One row by the keys of its columns."""
    return {column.key: plain(document, column.holds, value) for column, value in zip(columns, row, strict=True)}


def plain(document: Document, holds: Holds, value: Cell) -> str | int | None:
    """A value as JSON: whole numbers for grams and counts, text for all else."""
    if value is None or (isinstance(value, int) and holds in GRAMS | {Holds.COUNT}):
        return value
    return for_programs(document, holds, value)


def plan_as_json(plan: Plan) -> dict[str, Json]:
    """The plan's fields by name: grams and counts are whole numbers, money and shares texts, days year-month-day.

    What follows from all else is left out.
    """
    return _fields(plan)


def purchase_as_json(purchase: Purchase) -> dict[str, Json]:
    """The purchase's fields by name, with which a plan after the shop can be held against its scenario again."""
    return _fields(purchase)


def _fields(noun: object) -> dict[str, Json]:
    """The fields of a noun by name, but for what follows from others and for places in files."""
    assert is_dataclass(noun)
    return {field.name: _value(getattr(noun, field.name)) for field in fields(noun) if field.compare}


def _value(value: object) -> Json:
    """What a field holds: a noun as an object, several as a list."""
    if isinstance(value, tuple):
        return [_value(value) for value in value]
    if isinstance(value, Mapping):
        return {str(key): _value(value) for key, value in value.items()}
    if is_dataclass(value):
        return _fields(value)
    return _plain(value)


def _plain(value: object) -> Json:
    """A single value for JSON; TypeError where JSON could not hold it exactly."""
    match value:
        case None | int() | str():
            return value
        case Decimal() if value.is_finite():
            return f"{value:f}"
        case Fraction():
            return str(value)
        case date():
            return value.isoformat()
        case _:
            raise TypeError(f"JSON cannot tell {value!r} exactly")
