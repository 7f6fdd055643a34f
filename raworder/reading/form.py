"""The form of a scenario file: which fields there are, how each is read, and the JSON Schema for editors."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, get_args

from pydantic import Field
from pydantic.fields import FieldInfo
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from raworder.reading.fields import (
    SHARE_RANGE_SHAPE,
    SPECIES_SHORT,
    WEIGHT_SHAPE,
    AmountText,
    Cap,
    CurrencyCode,
    Day,
    Days,
    DogWeight,
    FrozenText,
    GramOrMore,
    Grams,
    HoldText,
    Limit,
    Money,
    Name,
    NutrientText,
    OtherEnergyText,
    PackText,
    PartName,
    PriceText,
    RationText,
    Share,
    ShareRange,
    SomeShare,
    SpeciesWeight,
    TreatsText,
    YesNo,
)
from raworder.reading.form_fields import Form, count_from, one_of, or_word, short_for, string
from raworder.reading.located import Text
from raworder.reading.settings_form import FreezerForm, Labels, OwnerForm, PortioningForm, ProfileForm, SupplementForm
from raworder.trade.cuts import RICH_FAT, Part
from raworder.trade.dogs import Care
from raworder.trade.scenario import ORDER_AHEAD_DAYS
from raworder.trade.units import share_text


class EditorSchema(GenerateJsonSchema):
    """The JSON Schema of what may be written, without what only the program knows."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        """An optional field's own schema: leaving a field out is not writing `null`."""
        return self.generate_inner(schema["schema"])

    def dict_schema(self, schema: core_schema.DictSchema) -> JsonSchemaValue:
        """A mapping whose keys are of a few words says which."""
        keys = self.generate_inner(schema["keys_schema"]) if "keys_schema" in schema else {}
        values = self.generate_inner(schema["values_schema"]) if "values_schema" in schema else {}
        names = {"enum": keys["enum"]} if "enum" in keys else {}
        return {"type": "object", "propertyNames": names, "additionalProperties": values}

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        """The field's schema, with the default only where it is a plain value."""
        default: Any = schema.get("default")
        inner = self.generate_inner(schema["schema"])
        return {**inner, "default": default} if isinstance(default, str | int) else inner


ACTIVITIES = ("low", "moderate", "active", "working")
"""The words of the table of energy needs by which an activity is asked for."""

LONGEST_BATCH_DAYS = 60
"""The longest batch, in days."""

MOST_ORDER_AHEAD_DAYS = 30
"""The longest time from an order to its bags, in days."""

MOST_MEALS = 4
"""The most meals a day."""


class BatchForm(Form):
    """The days fed from one order."""

    noun: ClassVar[str] = "`batch`"
    main: ClassVar[str] = "starts"
    starts: Day = Field(description="First day fed, such as 2027-02-06.")
    days: Annotated[int, count_from(1, LONGEST_BATCH_DAYS)] = Field(14, description="How many days; 14 if not said.")
    order_ahead: Annotated[int, count_from(0, MOST_ORDER_AHEAD_DAYS)] = Field(
        ORDER_AHEAD_DAYS,
        description="How many days before its bags are filled the next batch is ordered, 0 to 30; 3 if not said "
        "(common practice, no source).",
    )


class TargetsForm(Form):
    """Ranges of parts, as shares of what is eaten."""

    noun: ClassVar[str] = "`targets`"
    pattern: Annotated[str, one_of("prey model", "BARF")] | None = Field(
        None, description="The pattern to start from: `prey model` or `BARF`."
    )
    muscle: ShareRange | None = Field(
        None,
        description="Muscle meat, with heart, tongue, gizzard and tripe: a range such as `76 % to 84 %`, or one share.",
    )
    bone: ShareRange | None = Field(None, description="Edible bone, without the meat on it.")
    liver: ShareRange | None = Field(None, description="Liver.")
    other_organ: ShareRange | None = Field(None, alias="other organ", description="Secreting organs other than liver.")
    vegetables: ShareRange | None = Field(None, description="Vegetables.")
    berries: ShareRange | None = Field(None, description="Berries.")

    def ranges(self) -> dict[Part, ShareRange]:
        """The ranges that are written, by part."""
        written = {part: getattr(self, part.name.lower()) for part in Part}
        return {part: range_ for part, range_ in written.items() if range_ is not None}


Targets = Annotated[TargetsForm, short_for("pattern", {"enum": ["prey model", "BARF"]})]


class AllDogsForm(Form):
    """What holds for every dog that does not say otherwise; for a dog in care only `avoid` and `meals` do."""

    noun: ClassVar[str] = "`all_dogs`"
    ration: RationText | None = Field(
        None, description="Food a day: `2.5 %` of the weight that counts, `520 g`, `900 kcal` or `110 kcal/kg^0.75`."
    )
    targets: Targets | None = Field(
        None,
        description="`prey model`, `BARF`, own ranges, or a pattern altered: `{pattern: BARF, bone: 10 % to 14 %}`.",
    )
    caps: dict[Name, Cap] = Field(
        {},
        description="The most of fat, of what is rich, of a part, species, kind or cut: `heart: 10 %`; or `none`.",
    )
    avoid: tuple[Name, ...] = Field(
        (),
        description="What it must not eat: species, `poultry`, `fish`, kinds, parts, cuts or `whole bone`; veal is "
        "beef, mutton is lamb, deer is venison.",
    )
    activity: Annotated[str, one_of(*ACTIVITIES)] | None = Field(
        None, description="`low`, `moderate`, `active` or `working`: the energy need published for it."
    )
    profile: Name | None = Field(
        None,
        description="The profile its food is shown beside; if not said AAFCO adult maintenance, or growth.",
    )
    nutrients: dict[Name, Limit] = Field(
        {},
        description="Rules such as `zinc: at least 15 mg per 1000 kcal`, `EPA and DHA: 0.1 g to 2 g a day` or "
        "`calcium to phosphorus: 1 to 2`; `none` switches one off.",
    )
    meals: Annotated[int, count_from(1, MOST_MEALS)] | None = Field(
        None, description="How many bags a day's food comes in; 1 if not said."
    )


class OtherFoodForm(Form):
    """What a dog eats beside this plan, not taken off its ration."""

    noun: ClassVar[str] = "`other_food`"
    energy: OtherEnergyText | None = Field(
        None, description="`350 kcal` a day; or `half`: as much energy again as this plan gives."
    )
    weight: Grams | None = Field(None, description="How much a day of a food of which `analysis` says what it holds.")
    analysis: dict[Name, NutrientText] = Field(
        {}, description="What 100 g of that food hold, its energy among it: `{energy: 380 kcal, calcium: 1.1 g}`."
    )


OtherFood = Annotated[OtherFoodForm, short_for("energy", string(r"(half|[0-9.]+\s*kcal)"))]


class DogForm(AllDogsForm):
    """Who is fed."""

    noun: ClassVar[str] = "a dog"
    name: Name = Field(description="The dog's name, unlike any other in the file.")
    owner: Name | None = Field(None, description="Who pays for the dog.")
    kennel: Name | None = Field(None, description="Where the dog is kept, such as a row of kennels.")
    weight: DogWeight | None = Field(None, description="What it weighs, such as `22 kg` or `48 lb`.")
    weight_by_end: DogWeight | None = Field(
        None, description="What it will weigh on the last day of the batch, where the ration is a share of that."
    )
    ration_by_end: RationText | None = Field(
        None, description="Food on the last day of the batch; it goes there from the ration in equal steps."
    )
    goal: Annotated[str, one_of("keep", "lose", "gain")] = Field(
        "keep", description="`keep`, `lose` or `gain` weight; `keep` if not said."
    )
    ideal_weight: DogWeight | None = Field(
        None, description="The weight the ration is taken of when the goal is `lose` or `gain`."
    )
    puppy: YesNo = Field(default=False, description="`yes` for a dog that still grows.")
    adult_weight: DogWeight | None = Field(None, description="A puppy's expected adult weight.")
    treats: TreatsText | None = Field(None, description="Treats a day, taken off the ration: `30 g` or `60 kcal`.")
    other_food: OtherFood | None = Field(
        None,
        description="What it eats beside this plan a day: `350 kcal`, `half` of all it eats, or a weight and an "
        "analysis.",
    )
    vet_asked_for_less: YesNo = Field(
        default=False,
        description="`yes` where a veterinarian asked for less energy than it needs at rest; that rule is then off.",
    )
    vet_asked_for_no_bone: YesNo = Field(
        default=False,
        description="`yes` where a veterinarian sees to the calcium of a growing dog that gets no bone here.",
    )
    used_to_fat: Share | None = Field(
        None, description="The share of fat in what it has been eating: a jump is warned of."
    )
    away: tuple[Days, ...] = Field((), description="Days not fed: `2027-02-10` or `2027-02-14 to 2027-02-15`.")
    care: Annotated[str, one_of(*Care)] | None = Field(
        None, description="`ill`, `pregnant`, `nursing` or `prescription diet`: a veterinarian gives the amounts."
    )
    vet_amounts: dict[Name, Grams] = Field({}, description="Grams a day of each cut, as the veterinarian gave them.")


class KnownCutForm(Form):
    """What a scenario may add to a cut of the reference table."""

    bone: Share | None = Field(None, description="Share of bone in the weight as bought.")
    fat: Share | None = Field(None, description="Share of fat in the weight as bought.")
    piece: Grams | None = Field(None, description="Usual weight of one piece.")
    rich: YesNo | None = Field(
        None,
        description="Whether it upsets a stomach in quantity; if not said, hearts do, and what holds "
        f"{share_text(RICH_FAT, 0)} fat or more.",
    )
    analysis: dict[Name, NutrientText] = Field(
        {}, description="What 100 g of it as bought hold, bone in it, such as `zinc: 4.1 mg`."
    )


class OwnCutForm(KnownCutForm):
    """What the reference table does not know, ready-made mixes among them."""

    noun: ClassVar[str] = "an own cut"
    cut: Name = Field(description="Its name, unlike any in the reference table; cautions are found by its words too.")
    species: Annotated[dict[Name, SpeciesWeight], SPECIES_SHORT] = Field(
        {}, description="Its species: one, a list, or shares such as `{beef: 70 %, lamb: 30 %}`."
    )
    kind: Name | None = Field(None, description="What it is on the animal, or `mince`; cautions are found by it.")
    parts: dict[PartName, Share] = Field({}, description="Parts as shares of the weight as bought, together 100 %.")
    made_of: tuple[Name, ...] = Field((), description="Cuts in a mix; what a dog must not eat is looked for in them.")


class PriceBreakForm(Form):
    """A price from an amount on."""

    noun: ClassVar[str] = "a price break"
    from_: AmountText = Field(alias="from", description="From so many packs, or from such a weight.")
    price: PriceText = Field(description="The price from there on, for all that is bought.")


class OfferForm(KnownCutForm):
    """One line of a price list."""

    noun: ClassVar[str] = "an offer"
    cut: Name = Field(description="The cut, by its name in the reference table or among the own cuts.")
    item: Name | None = Field(None, description="What the supplier calls it.")
    code: Name | None = Field(None, description="The supplier's code for it.")
    pack: PackText | None = Field(
        None,
        description="Weight of a pack; `about 2.3 kg` for packs charged by what each weighs; none: by weight.",
    )
    up_to: Grams | None = Field(
        None,
        description="The most that such a pack weighs; 10 % more if not said (common practice, no source).",
    )
    price: PriceText = Field(description="`2.40` a pack, or `6.20 per kg`.")
    step: Grams | None = Field(
        None,
        description="Sold by weight in steps of so much, `1 g` for to the gram; 50 g or 1 oz if nothing is said (own "
        "choice).",
    )
    least: GramOrMore | None = Field(
        None,
        description="The least sold by weight, in whole steps; 100 g or 1/4 lb if nothing is said (own choice).",
    )
    price_breaks: tuple[PriceBreakForm, ...] = Field(
        (), description="Lower prices from an amount on: `[{from: 4, price: 4.90}]`."
    )
    available: AmountText | None = Field(None, description="How much there is: packs, or a weight.")
    most_per_order: AmountText | None = Field(None, description="The most sold to one customer: packs, or a weight.")
    comes_frozen: FrozenText | None = Field(
        None, description="How long it has been frozen when it is sold: `20 days`, or `since 2027-01-10`."
    )


Separator = Annotated[str, one_of(",", ";", "tab")]
DecimalMark = Annotated[str, one_of(".", ",")]
Encoding = Annotated[str, one_of("utf-8", "cp1252", "latin-1")]


class PriceListForm(Form):
    """A file beside the scenario."""

    noun: ClassVar[str] = "a price list"
    file: Name = Field(description="The CSV or XLSX file, from the scenario's folder.")
    names: Name | None = Field(
        None, description="A supplier's own list: its names file, which says what its columns and items are."
    )
    sheet: Name | None = Field(None, description="The sheet of a workbook in which more than one can be seen.")
    separator: Separator | None = Field(None, description="CSV: `,`, `;` or `tab`, if it is in doubt.")
    decimal: DecimalMark | None = Field(None, description="CSV: the decimal mark, `.` or `,`, if it is in doubt.")
    encoding: Encoding | None = Field(None, description="CSV: `utf-8`, `cp1252` or `latin-1`; UTF-8 if not said.")


class LeastPurchaseForm(Form):
    """What a shop sells by weight at the least, where an offer does not say it."""

    noun: ClassVar[str] = "`least_purchase`"
    main: ClassVar[str] = "least"
    least: GramOrMore | None = Field(None, description="The least line by weight, such as `100 g`.")
    step: GramOrMore | None = Field(None, description="The step that it is sold in, such as `50 g`.")


LeastPurchase = Annotated[LeastPurchaseForm, short_for("least", WEIGHT_SHAPE)]


class SupplierForm(Form):
    """Who sells, and on what terms."""

    noun: ClassVar[str] = "a supplier"
    name: Name = Field(description="The supplier's name, unlike any other in the file.")
    delivery: Money | None = Field(None, description="What a delivery costs, tax included.")
    minimum_order: Money | None = Field(None, description="The least value of goods, before tax.")
    free_delivery_from: Money | None = Field(
        None, description="The value of goods, before tax, from which delivery is free."
    )
    sales_tax: Share | None = Field(None, description="Tax added to the prices of its list.")
    trip: Money | None = Field(
        None,
        description="What the way there costs you in time and fuel: it counts in what is cheapest, and is not paid.",
    )
    least_purchase: LeastPurchase | None = Field(
        None, description="The least it sells by weight: `100 g`, or `{least: 100 g, step: 50 g}`."
    )
    list_date: Day | None = Field(None, description="The day of the list; a list older than 60 days is warned of.")
    price_list: Annotated[PriceListForm, short_for("file", {"type": "string", "pattern": r"\S"})] | None = Field(
        None, description="A CSV or XLSX file beside the scenario."
    )
    cuts: tuple[OfferForm, ...] = Field((), description="What the supplier offers.")


class OnHandForm(KnownCutForm):
    """What the freezer already holds."""

    noun: ClassVar[str] = "a lot on hand"
    cut: Name = Field(description="The cut.")
    weight: Grams = Field(description="How much there is.")
    frozen: Day | None = Field(None, description="The day it was frozen.")
    owner: Name | None = Field(None, description="Whose it is, where only this owner's dogs are to eat it.")


class VarietyForm(Form):
    """How much variety each dog's food needs."""

    noun: ClassVar[str] = "`variety`"
    main: ClassVar[str] = "species"
    species: Annotated[int, count_from(1, 20)] | None = Field(
        None, description="At least so many animal species for each dog."
    )
    each_at_least: SomeShare | None = Field(
        None, description="The share from which a species counts; 5 % if not said (common practice, no source)."
    )
    most_of_one: Share | None = Field(None, description="The most of any one species.")


class ScenarioForm(Form):
    """The dogs, what can be bought, and the rules."""

    noun: ClassVar[str] = "a scenario"
    title: Name | None = Field(None, description="What the scenario is called; the file's name if not said.")
    currency: CurrencyCode = Field(
        description="The ISO 4217 code of the currency of all money in the file, such as `EUR`."
    )
    units: Annotated[str, one_of("kg", "lb")] = Field(
        "kg", description="`kg` or `lb`: the unit in which weights are printed; `kg` if not said."
    )
    batch: BatchForm
    all_dogs: AllDogsForm | None = None
    dogs: tuple[DogForm, ...] = Field(json_schema_extra={"minItems": 1}, description="The dogs to feed.")
    own_cuts: tuple[OwnCutForm, ...] = Field(
        (), description="Cuts that the reference table does not know, ready-made mixes among them."
    )
    cuts: tuple[OfferForm, ...] = Field((), description="One nameless price list.")
    suppliers: tuple[SupplierForm, ...] = Field((), description="Who sells.")
    on_hand: Annotated[tuple[OnHandForm, ...], or_word("book")] = Field(
        (),
        description="What the freezer already holds; the oldest is used first. `book`: what the book beside this file "
        "says is left on the day of filling.",
    )
    freezer: FreezerForm | None = None
    owners: tuple[OwnerForm, ...] = Field((), description="Owners with a freezer or a day for fetching of their own.")
    budget: Money | None = Field(None, description="The most the order may cost.")
    most_suppliers: Annotated[int, count_from(1, 99)] | None = Field(None, description="The most suppliers to visit.")
    most_cuts: Annotated[int, count_from(1, 999)] | None = Field(None, description="The most different cuts to buy.")
    least_purchase: LeastPurchase | None = Field(
        None, description="The least sold by weight where neither offer nor supplier says it: `100 g`."
    )
    variety: VarietyForm | None = None
    hold: HoldText = Field(
        0,
        description="How long what is bought is kept frozen before its bags are filled, such as `20 days`; `off` feeds "
        "also what has not been frozen for as long as the cautions ask.",
    )
    portioning: PortioningForm | None = None
    labels: Labels | None = Field(None, description="The sheet of labels for the bags, by its key or its dimensions.")
    supplements: tuple[SupplementForm, ...] = Field(
        (), description="What may be given beside the ration, where a rule on nutrients asks for it."
    )
    profiles: tuple[ProfileForm, ...] = Field((), description="Profiles of your own.")
    bone_calcium: Annotated[dict[Name, ShareRange], short_for("all bone", SHARE_RANGE_SHAPE)] = Field(
        {},
        description="Calcium in what is weighed as bone, `8 %` or `6 % to 10 %`, or by group and cut: `{poultry: 2 %, "
        "mammal: 8 % to 12 %, fish: 5 %, lamb rib: 7 %}`; if not said, an estimate by group.",
    )

    @property
    def stock_is_in_book(self) -> bool:
        """Whether the book says what is on hand."""
        return isinstance(self._node.get("on_hand"), Text)


@dataclass(frozen=True, slots=True)
class FormFields:
    """The fields of one form, each with what it says, and those it shares; `noun` is what messages call the form."""

    noun: str
    says: str
    fields: tuple[tuple[str, str], ...]
    too: str = ""


def form_fields() -> tuple[FormFields, ...]:
    """Every form of a scenario file for people; a field that is the same in an earlier form is only named again."""
    found = []
    told: dict[tuple[str, str | None], str] = {}
    for form in dict.fromkeys(_forms_in(ScenarioForm)):
        fields: list[tuple[str, str]] = []
        again: dict[str, list[str]] = {}
        for key, field in form.model_fields.items():
            name, noun = f"`{field.alias or key}`", told.setdefault((key, field.description), form.noun)
            if noun == form.noun:
                fields.append((name, _says(field)))
            else:
                again.setdefault(noun, []).append(name)
        too = " ".join(f"Also {', '.join(names)}, as for {noun}." for noun, names in again.items())
        found.append(FormFields(form.noun, _first_line(form), tuple(fields), too))
    return tuple(found)


def _forms_in(kind: Any) -> Iterator[type[Form]]:
    """The form that a type is, and those that stand in its fields."""
    if isinstance(kind, type) and issubclass(kind, Form):
        yield kind
        for field in kind.model_fields.values():
            yield from _forms_in(field.annotation)
    else:
        for inner in get_args(kind):
            yield from _forms_in(inner)


def _says(field: FieldInfo) -> str:
    """What a field says, or what the form in it is about; and whether it may be left out."""
    inner = next(_forms_in(field.annotation), None)
    says = field.description or (_first_line(inner) if inner else "")
    return f"{says} Must be given." if field.is_required() else says


def _first_line(form: type[Form]) -> str:
    """The first line of a form's docstring."""
    return (form.__doc__ or "").split("\n")[0]


def scenario_schema() -> dict[str, Any]:
    """The JSON Schema 2020-12 of a scenario, for editors."""
    schema = ScenarioForm.model_json_schema(by_alias=True, schema_generator=EditorSchema)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "A raworder scenario"}


def scenario_schema_text() -> str:
    """The JSON Schema as it is printed, and written beside a scenario."""
    import json

    return json.dumps(scenario_schema(), indent=2, ensure_ascii=False) + "\n"
