"""Sheets of a workbook: cells as the workbook has them, and what each says as text."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time, timedelta
from decimal import Decimal

from raworder.findings import Place
from raworder.reading.characters import strange_in
from raworder.reading.notes import Notes

DIGITS, DECIMALS = 15, 9
"""Significant digits that a spreadsheet keeps of a number (source: Excel's specifications, from memory, not looked up),
and the decimals that raworder reads of one."""

PER_CENT = Decimal(100)

_MONEY = re.compile(r"\[\$([^\]-]*)(?:-[^\]]*)?\]")
"""A currency in a number's format: its sign or code, and a language. Source: ECMA-376, part 1, 18.8.31, from memory,
not looked up."""

_AS_TEXT = re.compile(r'"([^"]*)"|\\(.)|\[[^\]]*\]|_.|\*.')
"""What in a number's format is text to be shown as it is, in the first two groups, and what is not shown at all."""

_NOT_SHOWN = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]|_.|\*.')
"""What in a number's format is text, colour, room or filling, and so no sign of its own."""


@dataclass(frozen=True, slots=True)
class Found:
    """What a cell holds: its value, the letter of its kind, how a number is shown, whether its formula has no value."""

    value: object
    kind: str = "n"
    shown_as: str = ""
    lost_formula: bool = False


@dataclass(frozen=True, slots=True, order=True)
class Merged:
    """A range of cells that were made one: its corners by row and column."""

    row: int
    column: int
    last_row: int
    last_column: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: cells that say something by row and column from 1; `named` is its name where there are several."""

    file: str
    named: str
    rows: Mapping[int, Mapping[int, Found]]
    merged: tuple[Merged, ...]

    def place(self, row: int, column: int) -> Place:
        """Where a cell is."""
        cell = f"{letters(column)}{row}"
        return Place(self.file, row, column, cell=f"{cell} of sheet `{self.named}`" if self.named else cell)


def letters(column: int) -> str:
    """What a spreadsheet calls a column.

    >>> letters(1), letters(26), letters(27), letters(702), letters(703)
    ('A', 'Z', 'AA', 'ZZ', 'AAA')
    """
    name = ""
    while column:
        column, letter = divmod(column - 1, 26)
        name = chr(ord("A") + letter) + name
    return name


def text_of(found: Found, place: Place, notes: Notes) -> str | None:
    """What a cell says, as if it stood in a CSV file with points for decimal marks; None, and noted, where it cannot.

    A number loses what arithmetic in binary has left behind its fifteenth digit; 0.28 shown as a percentage is `28 %`.
    """
    value = found.value
    if refusal := _refusal(found):
        notes.add(refusal[0], refusal[1], place, refusal[2])
        return None
    if not isinstance(value, str):
        return _number(value, found.shown_as)
    if strange := strange_in(value):
        notes.add("control-character", strange, place, "take it out")
        return None
    return value


def shown_beside(number_format: str) -> str:
    r"""What a number's format shows beside the digits, and the signs of its digits among it.

    >>> shown_beside(r"#,##0.00\ [$USD]"), shown_beside('[$€-407]0;[Red]"- "0')
    ('#,##0.00  USD ', ' € 0;- 0')
    """
    plain = _MONEY.sub(lambda one: f'" {one[1]} "', number_format)
    return _AS_TEXT.sub(lambda one: one[1] or one[2] or "", plain)


def _refusal(found: Found) -> tuple[str, str, str] | None:
    """Slug, message and remedy for a cell that says nothing a price list could hold."""
    if found.lost_formula:
        help_ = "open the workbook in a spreadsheet program and save it, or write the value itself"
        return "formula-without-value", "this formula has no value that was saved with it", help_
    if found.kind == "e":
        return (
            "error-in-cell",
            f"`{found.value}` is an error and no value",
            "mend the formula, or write the value itself",
        )
    match found.value:
        case bool():
            said = str(found.value).upper()
            return (
                "strange-cell",
                f"`{said}` is a truth value",
                "write `yes` or `no` as text, or the number that is meant",
            )
        case date() | time() | timedelta():
            return "strange-cell", f"`{found.value}` is a day or a time", "write it as text or as a number"
    return None


def _number(value: object, shown_as: str) -> str:
    """A number in digits, as exactly as it was meant."""
    exact = Decimal(str(value)) if isinstance(value, int) else Decimal(format(value, f".{DIGITS}g"))
    percent = "%" in _NOT_SHOWN.sub("", shown_as)
    return f"{_digits(exact * PER_CENT)} %" if percent else _digits(exact)


def _digits(number: Decimal) -> str:
    """The number without an exponent, and without zeros at its end."""
    text = f"{number:f}"
    if len(text.partition(".")[2]) > DECIMALS:
        text = f"{number:.{DECIMALS}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
