"""Cells of a workbook: plain numbers with the formats that they are shown in, and headings that tell their unit."""

import re
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.document import Cell, Column, Document, Holds
from raworder.rendering.clean import one_line
from raworder.rendering.tables import Gathered
from raworder.rendering.values import for_people, for_programs
from raworder.units import amount_text

Value = int | Decimal | date | str
"""What a cell of a workbook holds; an empty text is an empty cell."""

LONGEST_TEXT = 32_767
"""Characters that a cell may have. Source: Excel's specifications, from memory, not looked up."""

CUT = "..."
DAY_FORMAT = "yyyy-mm-dd"


def value_of(document: Document, holds: Holds, cell: Cell) -> Value:
    """What a CSV file holds there, as a number or day where it is one; text as it is, as no cell of text is run."""
    match holds, cell:
        case Holds.COUNT | Holds.GRAMS, int():
            return cell
        case Holds.DAY, date():
            return cell
        case (Holds.MONEY, int() | Decimal()) | (Holds.SHARE | Holds.AMOUNT, int() | Fraction()):
            return Decimal(for_programs(document, holds, cell))
        case _:
            text = one_line(for_programs(document, holds, cell))
            return text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - len(CUT)] + CUT


def number_format(document: Document, holds: Holds, value: Value) -> str:
    """How a spreadsheet shows the value; text has no format of its own."""
    if isinstance(value, str):
        return ""
    match holds:
        case Holds.MONEY:
            return _decimals(document.money_digits)
        case Holds.SHARE:
            return "0.00%"
        case Holds.AMOUNT if isinstance(value, Decimal):
            return _decimals(len(amount_text(Fraction(value)).partition(".")[2]))
        case Holds.DAY:
            return DAY_FORMAT
        case _:
            return _decimals(0)


def shown_text(document: Document, holds: Holds, value: Value) -> str:
    """About what a spreadsheet shows of the value, to find how wide it is."""
    if holds in {Holds.SHARE, Holds.AMOUNT} and isinstance(value, Decimal):
        return for_people(document, holds, Fraction(value))
    return str(value)


def headings(one: Gathered) -> tuple[str, ...]:
    """What stands above each column: unlike all before it, with the unit of what is below it."""
    said: list[str] = []
    for column in one.columns:
        heading = _with_unit(_bare(column, one.document), column, one.document)
        said.append(_with_unit(_key_in_words(column), column, one.document) if heading in said else heading)
    return tuple(said)


def _decimals(digits: int) -> str:
    """The format of a number with so many decimals."""
    return f"0.{'0' * digits}" if digits else "0"


def _bare(column: Column, document: Document) -> str:
    """The heading without the currency that papers write into it; the key in words where nothing else is left."""
    bare = one_line(column.heading)
    if column.holds is Holds.MONEY:
        bare = " ".join(re.sub(rf"\(?\b{re.escape(document.currency)}\b\)?", " ", bare).split())
    return f"{bare[:1].upper()}{bare[1:]}" or _key_in_words(column)


def _key_in_words(column: Column) -> str:
    """The key of a column as words: `bag_count` is `Bag count`."""
    return column.key.removesuffix("_g").removesuffix("_share").replace("_", " ").capitalize()


def _with_unit(heading: str, column: Column, document: Document) -> str:
    """The heading with the unit of its numbers behind a comma."""
    units = {Holds.GRAMS: "g", Holds.MONEY: document.currency, Holds.SHARE: "%"}
    return f"{heading}, {units[column.holds]}" if column.holds in units else heading


def width(heading: str, shown: Sequence[str], least: int, by_heading: int, most: int) -> int:
    """How many characters a column is wide: as its widest cell, within bounds; no word of its heading is broken."""
    from rich.cells import cell_len

    words = max((cell_len(word) for word in heading.split()), default=0)
    for_heading = max(words, min(cell_len(heading), by_heading))
    return min(max(least, for_heading, *map(cell_len, shown)), most)


def line_count(text: str, wide: int) -> int:
    """In how many lines a text stands that is broken between words, or within a word that is wider than its column."""
    from rich.cells import cell_len

    lines, used = 1, 0
    for word in map(cell_len, text.split()):
        if used and used + 1 + word > wide:
            lines, used = lines + 1, 0
        used += word + (1 if used else 0)
        lines, used = lines + (used - 1) // wide, (used - 1) % wide + 1
    return lines
