"""The form of `labels`: a known sheet of labels, or one of the user's own."""

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Annotated, ClassVar

from pydantic import Field

from raworder.labels import MM_PER_INCH, PAPERS_MM, SHEETS
from raworder.reading.field_kinds import Written, count_from, one_of, short_for, string
from raworder.reading.form_base import Form
from raworder.units import UnitError, read_number

MM_PER: Mapping[str, Fraction] = MappingProxyType({"mm": Fraction(1), "cm": Fraction(10), "in": MM_PER_INCH})
"""Millimetres in one unit of length."""

MEANT: Mapping[str, str] = MappingProxyType(
    dict.fromkeys(["millimetre", "millimetres", "millimeter", "millimeters", "mm"], "mm")
    | dict.fromkeys(["centimetre", "centimetres", "centimeter", "centimeters", "cm"], "cm")
    | dict.fromkeys(["inch", "inches", "ins", "in", '"', "''"], "in")
)
"""The unit that other spellings stand for; they are suggested, never taken."""

_LENGTH = re.compile(r"(?P<number>[^\sA-Za-z'\"]+)\s*(?P<unit>[A-Za-z]+|\"|'')?")

MOST_COLUMNS, MOST_ROWS = 20, 50
"""No sheet has more labels across or down."""


def read_length(text: str) -> Fraction:
    """Read a length with its unit, exactly, in millimetres.

    >>> read_length("63.5 mm"), read_length("2.5 in")
    (Fraction(127, 2), Fraction(127, 2))
    """
    match = _LENGTH.fullmatch(text)
    if match is None:
        raise UnitError(f"`{text}` is not a length", "write a number and its unit, such as `70 mm` or `2.625 in`")
    number, unit = match["number"], match["unit"]
    if unit is None:
        raise UnitError(f"`{text}` has no unit", f"say which: `{text} mm`, `{text} cm` or `{text} in`", "no-unit")
    if unit not in MM_PER:
        meant = MEANT.get(unit.lower())
        remedy = f"write `{number} {meant}`" if meant else "use mm, cm or in"
        raise UnitError(f"`{unit}` is not a unit of length", remedy, "unknown-unit")
    return read_number(number) * MM_PER[unit]


Length = Annotated[Fraction, Written(read_length, string(r"[0-9]{1,9}(\.[0-9]{1,9})?\s*(mm|cm|in)"))]


class LabelsForm(Form):
    """The sheet of labels that bags are labelled from."""

    noun: ClassVar[str] = "`labels`"
    main: ClassVar[str] = "sheet"
    sheet: Annotated[str, one_of(*SHEETS)] | None = Field(
        None, description="A known sheet by its key; beside it only `left` and `top` may be said."
    )
    paper: Annotated[str, one_of(*PAPERS_MM)] | None = Field(None, description="The paper that the labels are on.")
    width: Length | None = Field(None, description="How wide a label is, such as `70 mm` or `2.625 in`.")
    height: Length | None = Field(None, description="How high a label is.")
    columns: Annotated[int, count_from(1, MOST_COLUMNS)] | None = Field(None, description="Labels side by side.")
    rows: Annotated[int, count_from(1, MOST_ROWS)] | None = Field(None, description="Labels one under the other.")
    left: Length | None = Field(
        None, description="From the left edge of the paper to the first label; as on the right if not said."
    )
    top: Length | None = Field(
        None, description="From the upper edge of the paper to the first label; as below if not said."
    )
    across: Length | None = Field(
        None, description="From the left edge of a label to that of the next; the width if not said."
    )
    down: Length | None = Field(
        None, description="From the upper edge of a label to that of the next; the height if not said."
    )


Labels = Annotated[LabelsForm, short_for("sheet", {"enum": list(SHEETS)})]
