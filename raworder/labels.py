"""Sheets of labels: where on a sheet of paper its labels are. All lengths are exact millimetres."""

from dataclasses import dataclass
from fractions import Fraction

MM_PER_INCH = Fraction(254, 10)
"""Millimetres in an inch, by definition. **Source:** `units.csv` of the reference figures; the international inch."""

A4_MM = (Fraction(210), Fraction(297))
"""Width and height of A4. **Source:** ISO 216, from memory, not looked up."""

LETTER_MM = (Fraction(17, 2) * MM_PER_INCH, 11 * MM_PER_INCH)
"""Width and height of US Letter, 8.5 by 11 inches. **Source:** ANSI/ASME Y14.1 size A, from memory, not looked up."""


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet of labels, `columns` by `rows` of them, all alike.

    `left_mm` and `top_mm` are the margins before the first label; from the edge of a label to the same edge of the next
    it is `across_mm` and `down_mm`, its pitch. A label is never wider or higher than that.
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
    def places(self) -> int:
        """How many labels are on a sheet."""
        return self.columns * self.rows

    def corner_mm(self, place: int) -> tuple[Fraction, Fraction]:
        """The upper left corner of the label at a place, counted from 0 along the rows, from that of the paper."""
        row, column = divmod(place, self.columns)
        return self.left_mm + column * self.across_mm, self.top_mm + row * self.down_mm
