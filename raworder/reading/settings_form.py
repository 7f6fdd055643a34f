"""The forms of further settings in a scenario: freezers, owners, labels, profiles, supplements, and bags."""

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Annotated, ClassVar

from pydantic import Field

from raworder.reading.fields import (
    ROOM_SHAPE,
    SPECIES_SHORT,
    Cap,
    Day,
    Density,
    Limit,
    Money,
    Name,
    NutrientText,
    RoomText,
    Share,
    SpeciesWeight,
    UnitsText,
    WholeGrams,
)
from raworder.reading.form_fields import Form, TextField, count_from, one_of, short_for, string
from raworder.trade.bags import Working
from raworder.trade.labels import MM_PER_INCH, PAPERS_MM, SHEETS
from raworder.trade.units import UnitError, read_number

MM_PER: Mapping[str, Fraction] = MappingProxyType({"mm": Fraction(1), "cm": Fraction(10), "in": MM_PER_INCH})
"""Millimetres in one unit of length."""

SPELLINGS: Mapping[str, str] = MappingProxyType(
    dict.fromkeys(["millimetre", "millimetres", "millimeter", "millimeters", "mm"], "mm")
    | dict.fromkeys(["centimetre", "centimetres", "centimeter", "centimeters", "cm"], "cm")
    | dict.fromkeys(["inch", "inches", "ins", "in", '"', "''"], "in")
)
"""The unit for other spellings, which are suggested and never accepted."""

_LENGTH = re.compile(r"(?P<number>[^\sA-Za-z'\"]+)\s*(?P<unit>[A-Za-z]+|\"|'')?")

MOST_COLUMNS, MOST_ROWS = 20, 50
"""The most labels of a sheet across and down."""


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
        suggested = SPELLINGS.get(unit.lower())
        remedy = f"write `{number} {suggested}`" if suggested else "use mm, cm or in"
        raise UnitError(f"`{unit}` is not a unit of length", remedy, "unknown-unit")
    return read_number(number) * MM_PER[unit]


Length = Annotated[Fraction, TextField(read_length, string(r"[0-9]{1,9}(\.[0-9]{1,9})?\s*(mm|cm|in)"))]


class LabelsForm(Form):
    """The sheet of labels that bags are labelled from."""

    noun: ClassVar[str] = "`labels`"
    main: ClassVar[str] = "sheet"
    sheet: Annotated[str, one_of(*SHEETS)] | None = Field(
        None, description="A known sheet by its key; beside it only `left` and `top` may be said."
    )
    paper: Annotated[str, one_of(*PAPERS_MM)] | None = Field(None, description="`A4` or `Letter`.")
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


class ProfileForm(Form):
    """A profile of the user's own."""

    noun: ClassVar[str] = "a profile"
    name: Name = Field(description="Its name, unlike that of any other profile.")
    bounds: dict[Name, Limit] = Field(
        description="Limits per 1000 kcal, or ratios, such as `zinc: at least 18 mg per 1000 kcal`."
    )


class SupplementForm(Form):
    """Something given beside the ration, and one offer of it."""

    noun: ClassVar[str] = "a supplement"
    supplement: Name = Field(description="Its name.")
    supplier: Name | None = Field(None, description="Who sells it; the nameless list if not said.")
    item: Name | None = Field(None, description="What the supplier calls it.")
    species: Annotated[dict[Name, SpeciesWeight], SPECIES_SHORT] = Field(
        {}, description="What it is made of, for what a dog must not eat."
    )
    pack: UnitsText = Field(description="What a pack holds, such as `120 capsules` or `250 g`.")
    price: Money = Field(description="The price of a pack.")
    per: UnitsText | None = Field(None, description="What the analysis is of, such as `100 g`; one unit if not said.")
    analysis: dict[Name, NutrientText] = Field(description="What is in it, such as `EPA: 180 mg`.")
    step: UnitsText | None = Field(None, description="The least that is given at a time; one unit if not said.")
    most_a_day: UnitsText = Field(description="The most a dog is given a day, such as `6 capsules`.")
    on_hand: UnitsText | None = Field(None, description="How much of it is at home.")
    available: Annotated[int, count_from(0, 9999)] | None = Field(None, description="How many packs there are.")


class PortioningForm(Form):
    """How bags are made."""

    noun: ClassVar[str] = "`portioning`"
    main: ClassVar[str] = "working"
    working: Annotated[str, one_of(*Working)] = Field(
        str(Working.EACH_CUT),
        description="`each cut` into each bag; or `tub`: what is not whole pieces is mixed first for dogs fed alike.",
    )
    scale_step: WholeGrams | None = Field(None, description="The steps in which the scale shows; 5 g if not said.")
    least_portion: WholeGrams | None = Field(
        None, description="The least that is weighed of a cut; two steps of the scale if not said."
    )
    bag_tolerance: Share | None = Field(
        None, description="How far a bag may be off its ration when it is filled by hand; 5 % if not said."
    )
    week_allowance: Share | None = Field(
        None, description="How far a week may leave a range beyond what pieces make uneven; 0.5 % if not said."
    )
    most_a_day: dict[Name, Cap] = Field(
        {},
        description="The most of something in a day's food; if not said bone 30 %, liver, other organ and vegetables "
        "20 % each, berries 10 %, heart 30 %, fat 25 % (common practice, no source); `none` for no limit.",
    )
    divided: tuple[Name, ...] = Field((), description="Cuts with bone that need not stay whole.")
    tub: WholeGrams | None = Field(None, description="What a tub holds; 5 kg if not said.")
    scale: WholeGrams | None = Field(None, description="The most the scale takes; 5 kg if not said.")
    freezes: WholeGrams | None = Field(None, description="What the freezer freezes in a day.")
    day: Day | None = Field(None, description="When bags are filled; the day before the batch if not said.")


class FreezerForm(Form):
    """The room there is on the fullest evening, when the order has come."""

    noun: ClassVar[str] = "`freezer`"
    main: ClassVar[str] = "room"
    room: RoomText = Field(description="`60 kg` or `120 l`.")
    kg_per_litre: Density | None = Field(
        None, description="Kilograms of food that a litre holds, 0.1 to 1.1; 0.56 if not said."
    )


class OwnerForm(Form):
    """Where an owner keeps the bags of their dogs, and when they are fetched."""

    noun: ClassVar[str] = "an owner"
    name: Name = Field(description="The owner, as the dogs name them.")
    freezer: Annotated[FreezerForm, short_for("room", ROOM_SHAPE)] | None = Field(
        None, description="The owner's own freezer: `20 kg`, `40 l` or `{room: 40 l, kg_per_litre: 0.5}`."
    )
    collects: Day | None = Field(
        None, description="The day on which the owner fetches the bags; the day they are filled if not said."
    )
