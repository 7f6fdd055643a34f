"""The forms of what is about nutrients: supplements, and profiles of the user's own."""

from typing import Annotated, ClassVar

from pydantic import Field

from raworder.reading.field_kinds import count_from
from raworder.reading.fields import SPECIES_SHORT, Limit, Money, Name, NutrientText, SpeciesWeight, UnitsText
from raworder.reading.form_base import Form


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
