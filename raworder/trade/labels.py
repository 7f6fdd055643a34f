"""Sheets of labels: where each label is on the paper. All lengths are exact millimetres."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType

from raworder.trade.rounding import half_up

MM_PER_INCH = Fraction(254, 10)
"""Millimetres in an inch, by definition. **Source:** `units.csv` of the reference figures; the international inch."""

A4_MM = (Fraction(210), Fraction(297))
"""Width and height of A4. **Source:** ISO 216, from memory, not looked up."""

LETTER_MM = (Fraction(17, 2) * MM_PER_INCH, 11 * MM_PER_INCH)
"""Width and height of US Letter, 8.5 by 11 inches. **Source:** ANSI/ASME Y14.1 size A, from memory, not looked up."""

PAPERS_MM: Mapping[str, tuple[Fraction, Fraction]] = MappingProxyType({"A4": A4_MM, "Letter": LETTER_MM})
"""The papers that labels come on, by name."""

SMALLEST_MM = (Fraction(60), Fraction(25))
"""The least width and height of a label, with room for what a bag must say. **Source:** our own choice."""

SizeMm = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet of labels of one size, in `columns` by `rows`.

    `left_mm` and `top_mm` are the margins before the first label. `across_mm` and `down_mm` are the pitch: from one
    edge of a label to the same edge of the next. A label is never wider or higher than its pitch.
    """

    name: str
    paper_mm: tuple[Fraction, Fraction]
    label_mm: tuple[Fraction, Fraction]
    columns: int
    rows: int
    left_mm: Fraction
    top_mm: Fraction
    across_mm: Fraction
    down_mm: Fraction

    @property
    def paper(self) -> str:
        """The name of the paper."""
        return next(name for name, paper_mm in PAPERS_MM.items() if paper_mm == self.paper_mm)

    @property
    def places(self) -> int:
        """How many labels are on a sheet."""
        return self.columns * self.rows

    def corner_mm(self, place: int) -> tuple[Fraction, Fraction]:
        """The upper left corner of the label at a place (from 0, along the rows), measured from the paper's corner."""
        row, column = divmod(place, self.columns)
        return self.left_mm + column * self.across_mm, self.top_mm + row * self.down_mm

    @property
    def end_mm(self) -> tuple[Fraction, Fraction]:
        """The lower right corner of the last label, measured from the paper's upper left corner."""
        left_mm, top_mm = self.corner_mm(self.places - 1)
        return left_mm + self.label_mm[0], top_mm + self.label_mm[1]


def label_sheet(paper: str, label_mm: SizeMm, columns: int, rows: int, pitch_mm: SizeMm | None = None) -> LabelSheet:
    """A sheet made from its dimensions: centred on the paper, the labels touching where no pitch is given.

    >>> label_sheet("A4", (Fraction(70), Fraction(37)), 3, 8).name
    '70 x 37 mm, 3 x 8, A4'
    """
    across_mm, down_mm = pitch_mm or label_mm
    paper_mm = PAPERS_MM[paper]
    left_mm = (paper_mm[0] - (columns - 1) * across_mm - label_mm[0]) / 2
    top_mm = (paper_mm[1] - (rows - 1) * down_mm - label_mm[1]) / 2
    name = f"{dimensions_text(paper, label_mm)}, {columns} x {rows}, {paper}"
    return LabelSheet(name, paper_mm, label_mm, columns, rows, left_mm, top_mm, across_mm, down_mm)


def dimensions_text(paper: str, both_mm: SizeMm) -> str:
    """Width and height in the unit that goes with the paper: `63.5 x 38.1 mm`, `2.625 x 1 in`."""
    return f"{_length_number(paper, both_mm[0])} x {_length_number(paper, both_mm[1])} {_length_unit(paper)}"


def length_text(paper: str, length_mm: Fraction) -> str:
    """A length in the unit that goes with the paper, to three decimals at most: `7.25 mm`, `0.188 in`."""
    return f"{_length_number(paper, length_mm)} {_length_unit(paper)}"


def _length_unit(paper: str) -> str:
    return "in" if paper == "Letter" else "mm"


def _length_number(paper: str, length_mm: Fraction) -> str:
    exact = length_mm / MM_PER_INCH if _length_unit(paper) == "in" else length_mm
    text = f"{Decimal(half_up(exact * 1000)).scaleb(-3):f}"
    return text.rstrip("0").rstrip(".")


def _sheets_by_key() -> dict[str, LabelSheet]:
    """The common sheets by a key that a person can type: paper, columns x rows, width x height."""
    sheets = {}
    for paper, width, height, columns, rows, across in GRIDS:
        unit_mm = MM_PER_INCH if _length_unit(paper) == "in" else Fraction(1)
        label_mm = (Fraction(width) * unit_mm, Fraction(height) * unit_mm)
        sheet = label_sheet(paper, label_mm, columns, rows, (Fraction(across) * unit_mm, label_mm[1]))
        width_text, height_text = (_length_number(paper, length) for length in label_mm)
        sheets[f"{paper.casefold()}-{columns}x{rows}-{width_text}x{height_text}"] = sheet
    return sheets


GRIDS = (
    ("A4", "70", "37", 3, 8, "70"),
    ("A4", "70", "36", 3, 8, "70"),
    ("A4", "70", "42.3", 3, 7, "70"),
    ("A4", "63.5", "38.1", 3, 7, "66"),
    ("A4", "63.5", "33.9", 3, 8, "66"),
    ("A4", "99.1", "67.7", 2, 4, "101.6"),
    ("A4", "99.1", "38.1", 2, 7, "101.6"),
    ("A4", "105", "74", 2, 4, "105"),
    ("A4", "105", "48", 2, 6, "105"),
    ("Letter", "2.625", "1", 3, 10, "2.75"),
    ("Letter", "4", "1", 2, 10, "4.1875"),
    ("Letter", "4", "4/3", 2, 7, "4.1875"),
    ("Letter", "4", "2", 2, 5, "4.1875"),
    ("Letter", "4", "10/3", 2, 3, "4.1875"),
)
"""The common grids: paper, width and height of a label, columns, rows, and the pitch across; in mm on A4, in inches on
Letter. Down the sheet the labels touch, and what is left of the paper is halved between the margins. **Source:** sizes
and pitches from memory, not looked up; hold a page of frames against a sheet before printing on it."""

SHEETS: Mapping[str, LabelSheet] = MappingProxyType(_sheets_by_key())
"""The common sheets, by key."""

USUAL_SHEETS: Mapping[str, str] = MappingProxyType({"kg": "a4-3x7-63.5x38.1", "lb": "letter-2x5-4x2"})
"""The key of the sheet used where none is named, by the unit in which people read weights. Every label of the example
scenarios fits on them with dog and day in letters of 11 points or more, and nothing below 7."""


def usual_sheet(weight_unit: str) -> LabelSheet:
    """The sheet used where none is named."""
    return SHEETS[USUAL_SHEETS[weight_unit]]
