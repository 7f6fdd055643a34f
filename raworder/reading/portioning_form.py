"""The form of `portioning`: how bags are made."""

from typing import Annotated, ClassVar

from pydantic import Field

from raworder.bags import Working
from raworder.reading.field_kinds import one_of
from raworder.reading.fields import Cap, Day, Name, Share, WholeGrams
from raworder.reading.form_base import Form


class PortioningForm(Form):
    """How bags are made."""

    noun: ClassVar[str] = "`portioning`"
    main: ClassVar[str] = "working"
    working: Annotated[str, one_of(*Working)] = Field(
        str(Working.EACH_CUT), description="Whether each cut is weighed into each bag, or mixed in a tub first."
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
        {}, description="The most of something in a day's food, such as `bone: 30 %`; `none` switches one off."
    )
    divided: tuple[Name, ...] = Field((), description="Cuts with bone that need not stay whole.")
    tub: WholeGrams | None = Field(None, description="What a tub holds; 5 kg if not said.")
    scale: WholeGrams | None = Field(None, description="The most the scale takes; 5 kg if not said.")
    freezes: WholeGrams | None = Field(None, description="What the freezer freezes in a day.")
    day: Day | None = Field(None, description="When bags are filled; the day before the batch if not said.")
