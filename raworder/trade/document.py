"""Documents: what is said, as plain numbers in columns that know what they hold. Nothing here knows how it looks."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from raworder.trade.labels import LabelSheet

Cell = str | int | Decimal | Fraction | date | None
"""A value of a table: text, a count or grams, money, a share, a day, or nothing."""


class Holds(StrEnum):
    """What a column holds; renderers choose format and alignment by it. An amount is any number, read in few digits.

    A blank is room to write by hand, and its cells hold nothing.
    """

    TEXT = "text"
    COUNT = "count"
    GRAMS = "grams"
    MONEY = "money"
    SHARE = "share"
    DAY = "day"
    AMOUNT = "amount"
    BLANK = "blank"


@dataclass(frozen=True, slots=True)
class Column:
    """A column: `key` for programs, in snake_case with its unit (`weight_g`), `heading` for people.

    `shown` is false for what only programs need, because people read it in a heading or in words beside it.
    """

    key: str
    heading: str
    holds: Holds = Holds.TEXT
    shown: bool = True


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under columns; `totals` are last rows that sum up. `key` names it for programs and files.

    Tables of one document that share a key share their columns too and make one file. A table without a key is for
    people alone, one that is not `shown` for programs alone. `tick` asks for a box to tick off by hand at each row.
    """

    key: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    totals: tuple[tuple[Cell, ...], ...] = ()
    note: str = ""
    tick: bool = False
    shown: bool = True


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One or more sentences."""

    text: str


@dataclass(frozen=True, slots=True)
class Points:
    """Statements under a title; `sources` are told after them."""

    key: str
    title: str
    items: tuple[str, ...]
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Fact:
    """One value with its label: `key` for programs, `label` for people."""

    key: str
    label: str
    value: Cell
    holds: Holds = Holds.TEXT


@dataclass(frozen=True, slots=True)
class Facts:
    """Values with labels, one under the other."""

    key: str
    items: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Verbatim:
    """Lines of a file, to be read and copied as they stand."""

    title: str
    text: str


Number = int | Decimal | Fraction
"""What can be drawn."""


class Drawn(StrEnum):
    """How a chart is drawn: values in ranges, bars from nothing, columns by day, moves from one value to another."""

    RANGES = "ranges"
    BARS = "bars"
    DAYS = "days"
    MOVES = "moves"


@dataclass(frozen=True, slots=True)
class Mark:
    """One value of a chart with its label; `low` and `high` are the range it is held against, `high` where it goes."""

    label: str
    value: Number
    low: Number | None = None
    high: Number | None = None


@dataclass(frozen=True, slots=True)
class Chart:
    """What people would rather look at than read. The same numbers stand in a table of the document.

    `says` tells in words what is to be seen; `limit` is a line that all values are held against, `limit_says` its name.
    Only renderings that can draw show it.
    """

    title: str
    drawn: Drawn
    holds: Holds
    marks: tuple[Mark, ...]
    says: str
    limit: Number | None = None
    limit_says: str = ""


@dataclass(frozen=True, slots=True)
class Event:
    """Something to do on a day, for calendars; `details` and `cautions` are sentences, each on a line of its own.

    `uid` is the same for the same thing to do. `filled_on` is the day on which the bags are filled.
    """

    day: date
    to_do: str
    details: str
    cautions: str
    kind: str
    uid: str
    filled_on: date


@dataclass(frozen=True, slots=True)
class Agenda(Table):
    """A table of what to do on which day, with the same as events for a calendar."""

    events: tuple[Event, ...] = ()


@dataclass(frozen=True, slots=True)
class Label:
    """What stands on one label: a heading with something in the corner beside it, what to mind, and lines.

    The first line is read first, before what to mind. Where a label is too small, the last loses its end.
    """

    heading: str
    lines: tuple[str, ...]
    corner: str = ""
    mind: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Labels:
    """Labels in the order in which they are printed on sheets; a table of the document says the same.

    The first is printed at the place `first` of the first sheet, counted from 1 along the rows. `frames` asks for the
    outline of every place, to hold against a sheet of labels before printing on it.
    """

    sheet: LabelSheet
    labels: tuple[Label, ...]
    first: int = 1
    frames: bool = False


Written = Table | Paragraph | Points | Facts | Verbatim
"""What can be written anywhere."""

Block = Written | Chart | Labels


@dataclass(frozen=True, slots=True)
class Document:
    """One paper: its title and blocks, with the units people read. `key` names it for programs and files.

    `at_arms_length` asks for large type: it is read while hands are full.
    """

    key: str
    title: str
    currency: str
    money_digits: int
    weight_unit: str
    blocks: tuple[Block, ...]
    at_arms_length: bool = False
