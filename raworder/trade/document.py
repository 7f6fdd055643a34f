"""Documents: tables, facts and paragraphs as plain values with their units. Nothing here knows how they look."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from raworder.trade.labels import LabelSheet

Cell = str | int | Decimal | Fraction | date | None
"""A value of a table: text, a count or grams, money, a share, a day, or nothing."""


class Holds(StrEnum):
    """What a column holds: renderers choose format and alignment by it.

    `ABOUT_GRAMS` are grams that nobody weighs, so people read three figures. An amount is any number, shown in a few
    digits. A day is of the batch; a date may be long past, so people read its year. A blank is room to write by hand,
    and its cells are empty. A grid holds short texts that begin with a number, in one of many columns alike; ticks are
    such texts, separated by semicolons, each to be ticked by hand unless it is in brackets.
    """

    TEXT = "text"
    COUNT = "count"
    GRAMS = "grams"
    ABOUT_GRAMS = "about grams"
    MONEY = "money"
    SHARE = "share"
    DAY = "day"
    DATE = "date"
    AMOUNT = "amount"
    BLANK = "blank"
    GRID = "grid"
    TICKS = "ticks"


@dataclass(frozen=True, slots=True)
class Column:
    """A column: `key` for programs, in snake_case with its unit (`weight_g`), `heading` for people.

    `shown` is false for what only programs need: people read it in a heading or in the text beside it. `under` stands
    in small print under the heading.
    """

    key: str
    heading: str
    holds: Holds = Holds.TEXT
    shown: bool = True
    under: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under columns; `totals` are the rows of sums at the end. `key` names the table for programs and files.

    Tables of one document that share a key share their columns too and make one file. A table without a key is for
    people only, and one that is not `shown` for programs only. `tick` asks for a box at each row, to tick by hand.
    `between` are sentences that stand as a rule before a row, by the place of that row.
    """

    key: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    totals: tuple[tuple[Cell, ...], ...] = ()
    note: str = ""
    tick: bool = False
    shown: bool = True
    between: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One or more sentences, under a title where there is one."""

    text: str
    title: str = ""


@dataclass(frozen=True, slots=True)
class Points:
    """Statements under a title, followed by their `sources`."""

    key: str
    title: str
    items: tuple[str, ...]
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Fact:
    """One value, with its `key` for programs and its `label` for people."""

    key: str
    label: str
    value: Cell
    holds: Holds = Holds.TEXT


@dataclass(frozen=True, slots=True)
class Facts:
    """Values with their labels, one under the other."""

    key: str
    items: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Verbatim:
    """Lines of a file, shown as they are, so that they can be copied."""

    title: str
    text: str


Number = int | Decimal | Fraction
"""A value that a chart can draw."""


class ChartKind(StrEnum):
    """How a chart is drawn: values in their ranges, or columns by day."""

    RANGES = "ranges"
    DAYS = "days"


@dataclass(frozen=True, slots=True)
class Mark:
    """One value of a chart, with its label; `low` and `high` are its range."""

    label: str
    value: Number
    low: Number | None = None
    high: Number | None = None


@dataclass(frozen=True, slots=True)
class Chart:
    """A drawing of numbers that also stand in a table of the document; left out by renderers that cannot draw.

    `says` is what the chart shows, in words; `limit` is a line to compare all values with, and `limit_says` its name.
    """

    title: str
    drawn: ChartKind
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
    """The text of one label, what must be seen first in large letters.

    `apart` is what the bag must not touch, `note` what else only this bag asks for; both stand in a frame. `lines` are
    in small print; after them comes the first of `contents` that fits, the fullest first.
    """

    dog: str
    day: str = ""
    number: str = ""
    kind: str = ""
    apart: str = ""
    note: str = ""
    lines: tuple[str, ...] = ()
    contents: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Labels:
    """Labels in the order in which they are printed on sheets; a table of the document says the same.

    The first label is printed at place `first` of the first sheet, counted from 1 along the rows. `frames` prints the
    outline of every place, so that a test print can be held against a sheet of labels.
    """

    sheet: LabelSheet
    labels: tuple[Label, ...]
    first: int = 1
    frames: bool = False


TextBlock = Table | Paragraph | Points | Facts | Verbatim
"""A block that every renderer can show."""

Block = TextBlock | Chart | Labels


@dataclass(frozen=True, slots=True)
class Document:
    """One paper: its title and blocks, and the units that people read. `key` names it for programs and files.

    `at_arms_length` asks for large type, for papers that are read while both hands are busy.
    """

    key: str
    title: str
    currency: str
    money_digits: int
    weight_unit: str
    blocks: tuple[Block, ...]
    at_arms_length: bool = False
