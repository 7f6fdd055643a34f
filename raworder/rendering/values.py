"""Values of a document as people read them and as programs do, and texts to be copied, bare."""

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction

from raworder.rendering.clean import lines, one_line
from raworder.trade.document import Block, Cell, Chart, Document, Holds, Labels, Paragraph, Table, TextBlock, Verbatim
from raworder.trade.rounding import half_up
from raworder.trade.units import (
    MONTHS,
    WEEKDAYS,
    about_grams_text,
    amount_text,
    day_text,
    day_with_year,
    grams_text,
    share_text,
)

NUMBER_AND_UNIT = re.compile(
    rf"(?<=\d) (?=(?:%|kg|g|lb|oz|packs?|[A-Z]{{3}}|[CF]|{'|'.join(MONTHS)})(?!\w))"
    rf"|(?<=\b(?:{'|'.join(WEEKDAYS)})) (?=\d)"
)
"""The spaces between a number and its unit and in a day such as `Sat 6 Feb`, at which no line is broken."""

GRAMS = frozenset({Holds.GRAMS, Holds.ABOUT_GRAMS})
"""What is a whole number of grams."""

NUMBERS = GRAMS | {Holds.COUNT, Holds.MONEY, Holds.SHARE, Holds.AMOUNT}
"""What is read as a number, and set to the right."""

GRIDS = frozenset({Holds.GRID, Holds.TICKS})
"""What stands in narrow columns of which there are many alike."""

SHARE_DECIMALS = 6
"""Decimals of a share for programs: a hundredth of a gram in ten kilograms."""


def blocks_for_people(document: Document) -> tuple[Block, ...]:
    """The blocks without the tables that only programs need."""
    return tuple(block for block in document.blocks if not isinstance(block, Table) or block.shown)


def blocks_in_words(document: Document) -> tuple[TextBlock, ...]:
    """The blocks for people where nothing can be drawn."""
    return tuple(block for block in blocks_for_people(document) if not isinstance(block, Chart | Labels))


def blocks_for_programs(document: Document) -> tuple[TextBlock, ...]:
    """The blocks without what repeats for people what others hold: what is drawn, and tables without a key."""
    written = (block for block in document.blocks if not isinstance(block, Chart | Labels))
    return tuple(block for block in written if not isinstance(block, Table) or block.key)


def for_people(document: Document, holds: Holds, value: Cell) -> str:
    """The value with its unit, or the bare amount for money; nothing for None."""
    match holds, value:
        case _, None:
            return ""
        case Holds.GRAMS | Holds.ABOUT_GRAMS, int():
            return (grams_text if holds is Holds.GRAMS else about_grams_text)(value, document.weight_unit)
        case Holds.MONEY, int() | Decimal():
            return money_text(document, value)
        case Holds.SHARE | Holds.AMOUNT, int() | Fraction():
            return (share_text if holds is Holds.SHARE else amount_text)(Fraction(value))
        case Holds.DAY | Holds.DATE, date():
            return (day_text if holds is Holds.DAY else day_with_year)(value)
        case _:
            return str(value)


def for_programs(document: Document, holds: Holds, value: Cell) -> str:
    """The plain number: whole grams, money and shares as decimals, days as year-month-day; nothing for None."""
    match holds, value:
        case _, None:
            return ""
        case Holds.MONEY, int() | Decimal():
            return money_text(document, value)
        case Holds.SHARE | Holds.AMOUNT, int() | Fraction():
            return f"{Decimal(half_up(Fraction(value) * 10**SHARE_DECIMALS)).scaleb(-SHARE_DECIMALS):f}"
        case Holds.DAY | Holds.DATE, date():
            return value.isoformat()
        case _:
            return str(value)


def money_text(document: Document, value: int | Decimal) -> str:
    """Money with the decimals of its currency, without its code."""
    return f"{Decimal(value):.{document.money_digits}f}"


def plain(document: Document) -> str:
    """The verbatim texts, each under its title where there are several, then what else is said in paragraphs."""
    blocks = blocks_for_people(document)
    texts = [(one_line(block.title), "\n".join(lines(block.text))) for block in blocks if isinstance(block, Verbatim)]
    titled = [f"== {title} ==\n{text}" if len(texts) > 1 else text for title, text in texts]
    paragraphs = [block for block in blocks if isinstance(block, Paragraph)]
    told = [one_line(words) for paragraph in paragraphs for words in (paragraph.title, paragraph.text) if words]
    return "".join(f"{name}\n" for name in ("\n\n".join([*titled, *told]),) if name)
