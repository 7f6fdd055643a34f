"""Nutrition in words: supplements, and energy and nutrients against published bounds."""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from raworder.reporting.words import MOST_NAMED, count_text
from raworder.trade.as_fed import bought_steps, given_steps
from raworder.trade.document import Block, Column, Fact, Table
from raworder.trade.dogs import Dog
from raworder.trade.nutrients import (
    Bound,
    ComparedBound,
    DogNutrition,
    EnergyLine,
    NutrientLimit,
    Standing,
    Supplement,
    nutrient_of,
)
from raworder.trade.plan import OrderLine, Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario, SupplementOffer
from raworder.trade.units import amount_text, share_text

UNCOUNTED = frozenset({"g", "mg", "ml", "oz"})
"""Units that have no plural."""


def supplement_units_text(supplement: Supplement, steps: int) -> str:
    """An amount of a supplement, counted in its steps, in its own unit: `2 capsules`, `1.5 g`."""
    number = supplement.step * steps
    plural = "" if number == 1 or supplement.unit in UNCOUNTED else "s"
    return f"{amount_text(number, 6)} {supplement.unit}{plural}"


def doses_text(scenario: Scenario, plan: Plan, dog: str) -> list[str]:
    """What a dog is given on each day: `2 capsules of salmon oil a day`."""
    return [
        f"{supplement_units_text(scenario.supplement(dose.supplement), dose.steps_a_day)} of {dose.supplement} a day"
        for dose in plan.doses
        if dose.dog == dog
    ]


def packs_text(scenario: Scenario, offer: SupplementOffer, packs: int) -> str:
    """Packs as one asks for them: `1 pack of 120 capsules`."""
    noun = "pack" if packs == 1 else "packs"
    return f"{packs} {noun} of {supplement_units_text(scenario.supplement(offer.supplement), offer.steps)}"


def supplement_blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """The supplements that each dog is given, and what remains of each; nothing where there are none."""
    if not plan.doses and not plan.supplement_lines:
        return
    yield _doses_table(scenario, plan)
    yield _supplement_stock(scenario, plan)


def _doses_table(scenario: Scenario, plan: Plan) -> Table:
    """How much of which supplement each dog is given, a day and over the batch."""
    given = given_steps(scenario, plan)
    rows = tuple(
        (
            dose.dog,
            dose.supplement,
            supplement_units_text(scenario.supplement(dose.supplement), dose.steps_a_day),
            supplement_units_text(scenario.supplement(dose.supplement), given[dose.supplement][dose.dog]),
        )
        for dose in plan.doses
    )
    columns = (Column("dog", "Dog"), Column("supplement", "Supplement"), Column("a_day", "A day"))
    return Table("given_beside", "Given beside the bags", (*columns, Column("batch", "Whole batch")), rows)


def _supplement_stock(scenario: Scenario, plan: Plan) -> Table:
    """For each supplement that is bought or given: at home, bought, given and left over."""
    given, bought = given_steps(scenario, plan), bought_steps(scenario, plan)
    stock = tuple(
        (
            supplement.name,
            *(
                supplement_units_text(supplement, steps) if steps else None
                for steps in (supplement.on_hand_steps, more, fed, left)
            ),
        )
        for supplement in scenario.supplements
        if (more := bought.get(supplement.name, 0)) + (fed := sum(given.get(supplement.name, {}).values()))
        for left in (supplement.on_hand_steps + more - fed,)  # of one value, to give it a name
    )
    heads = ("Supplement", "At home", "+ bought", "= given", "+ left over")
    keys = ("supplement", "on_hand", "bought", "given", "left")
    return Table("supplements", "Supplements add up", tuple(map(Column, keys, heads)), stock)


def supplement_order_row(
    scenario: Scenario, line: OrderLine, offer: SupplementOffer
) -> tuple[str | int | Decimal | None, ...]:
    """The cells of the shopping list for one line of supplements, as for food."""
    name = offer.supplement
    item = name if offer.item.casefold() == name.casefold() else f"{offer.item} ({name})"
    price = f"{offer.price:f} per pack"
    packs = packs_text(scenario, offer, line.units)
    return (
        packs, item, price, line.goods, offer.supplier, name, offer.item, "",
        line.units, None, None, offer.price, "pack", 1,
    )  # fmt: skip


def energy_text(line: EnergyLine, dog: Dog) -> str:
    """For a veterinarian: energy fed, the published range, resting energy, and what was measured in dogs."""
    recalled = f" ({line.trust.says})" if line.trust.says else ""
    weight = "its ideal weight" if dog.ideal_weight_g else "this weight"
    return (
        f"{_energy_fed_text(line, dog)}. Published for {line.applies}: "
        f"{range_text(line)} kcal{recalled}. At rest a dog of {weight} needs {half_up(line.resting)} kcal. Needs "
        f"measured in dogs of all kinds were {half_up(line.measured)} kcal on average, with a standard deviation of "
        f"{half_up(line.spread)}."
    )


def _energy_fed_text(line: EnergyLine, dog: Dog) -> str:
    """Energy fed a day and what it comes from, the share of food it is known of, and the ration by weight."""
    if not line.coverage:
        return _unknown_text(line)
    known = "" if line.is_known else f", known of {share_text(line.coverage, 0)} of {_whose_food(line)}"
    fed = f"{'' if line.is_known else 'at least '}{half_up(line.day)} kcal a day are fed{known}"
    if not line.treats and not line.other:
        return f"{fed}, {dog.share_of_weight}" if dog.share_of_weight else fed
    beside = ((half_up(line.other), "of other food"), (half_up(line.treats), "in treats"))
    plan_kcal = half_up(line.day) - sum(kcal for kcal, _ in beside)  # so that they add up as printed
    of_weight = f" ({dog.share_of_weight})" if dog.share_of_weight else ""
    parts = (f"{plan_kcal} from this plan{of_weight}", *(f"{kcal} {what}" for kcal, what in beside if kcal))
    return f"{fed}: {', '.join(parts)}"


def _unknown_text(line: EnergyLine) -> str:
    """That the energy of none of the plan's food is known, and that of other food where there is some."""
    other = f", and {half_up(line.other)} kcal a day of other food" if line.other else ""
    return f"known of none of {_whose_food(line)}{other}"


def _whose_food(line: EnergyLine) -> str:
    """Whose food a share is of: a dog that eats other food too has more than the plan's."""
    return "this plan's food" if line.other else "its food"


def fed_text(line: EnergyLine) -> str:
    """Energy fed a day, as far as it is known: `energy known of 37 % of its food: at least 154 kcal a day`."""
    if not line.coverage:
        return f"energy {_unknown_text(line)}"
    other = f", {half_up(line.other)} of it other food" if line.other else ""
    kcal = f"{half_up(line.day)} kcal a day{other}"
    known = f"energy known of {share_text(line.coverage, 0)} of {_whose_food(line)}: at least "
    return kcal if line.is_known else f"{known}{kcal}"


def range_text(line: EnergyLine) -> str:
    """The published range: `965 to 1117`."""
    low, high = half_up(line.low), half_up(line.high)
    return f"{low} to {high}" if low != high else str(low)


SPANS = "above or below"
"""What stands where the estimate for bone has a bound within its range, so that it may be met or missed."""

DESTROYED = "not known: destroyed"
"""What stands where an enzyme in the food destroys the nutrient."""


def stands_text(beside: Iterable[ComparedBound], *, spans: bool, destroyed: bool) -> str:
    """Where an amount stands against its bounds, in a word; a bound missed comes before one that is unknown."""
    standings = {compared.standing for compared in beside}
    for standing in (Standing.BELOW, Standing.ABOVE, Standing.LITTLE_A_DAY, Standing.UNKNOWN, Standing.MEETS):
        if standing in standings:
            why_unknown = DESTROYED if destroyed else SPANS if spans else standing.value
            return why_unknown if standing is Standing.UNKNOWN else standing.value
    return ""


def bound_text(bound: Bound) -> str:
    """A bound in words: `zinc at least 20 mg per 1000 kcal`, `calcium to phosphorus at most 2`."""
    word, limit = ("at most" if bound.is_upper else "at least"), bound.limit
    unit = f" {nutrient_of(limit.nutrient).unit} {limit.per}" if isinstance(limit, NutrientLimit) else ""
    return f"{about_text(bound)} {word} {amount_text(bound.amount)}{unit}"


def about_text(bound: Bound) -> str:
    """What a bound is about: `zinc`, `calcium to phosphorus`."""
    limit = bound.limit
    if isinstance(limit, NutrientLimit):
        return nutrient_of(limit.nutrient).name
    return f"{nutrient_of(limit.over).name} to {nutrient_of(limit.under).name}"


def nourishment_lines(plan: Plan) -> Iterator[Fact]:
    """The summary's lines on energy and nutrients; dogs in care have no profile and no line."""
    with_profile = [food for food in plan.nourished if food.profile]
    if with_profile:
        yield Fact("energy", "Energy", _energy_of_dogs(with_profile))
    with_bounds = [food for food in plan.nourished if food.profile and food.beside]
    if with_bounds:
        yield Fact("nutrients", "Nutrients", f"{_bounds_of_dogs(with_bounds)}; `raworder nourish FILE` says which")


def _energy_of_dogs(foods: list[DogNutrition]) -> str:
    """Energy fed a day and the published range, dog by dog; many dogs are counted."""
    if len(foods) <= MOST_NAMED:
        return ", ".join(f"{food.dog} {_energy_of_dog(food)}" for food in foods)
    standings = [food.energy.standing if food.energy else Standing.UNKNOWN for food in foods]
    below, above, unknown = map(standings.count, (Standing.BELOW, Standing.ABOVE, Standing.UNKNOWN))
    more = f", {unknown} not known" if unknown else ""
    return f"{count_text(len(foods), 'dog')}: {below} below and {above} above the range published for them{more}"


def _energy_of_dog(food: DogNutrition) -> str:
    """One dog's energy and its range, or that no range is known without its weight."""
    if food.energy is not None:
        return f"{fed_text(food.energy)} (published {range_text(food.energy)})"
    line = food.line("energy")
    known = "" if line.coverage == 1 else f"known of {share_text(line.coverage, 0)} of its food: at least "
    return f"{known}{half_up(line.day)} kcal a day (what it needs is not known without its weight)"


def _bounds_of_dogs(foods: list[DogNutrition]) -> str:
    """How many bounds are missed or can't be judged, dog by dog; many dogs are put together."""
    if len(foods) > MOST_NAMED:
        return f"{count_text(len(foods), 'dog')}: {_standing_counts(foods)}"
    return "; ".join(f"{food.dog}: {_standing_counts([food])} ({food.profile})" for food in foods)


def _standing_counts(foods: list[DogNutrition]) -> str:
    """How many bounds are too low, too high, or can't be judged, over some dogs."""
    standings = [compared.standing for food in foods for compared in food.beside]
    words = (
        ({Standing.BELOW, Standing.LITTLE_A_DAY}, "too low"),
        ({Standing.ABOVE}, "too high"),
        ({Standing.UNKNOWN}, "can't be judged"),
    )
    counts = (f"{many} {word}" for alike, word in words if (many := sum(standing in alike for standing in standings)))
    return ", ".join(counts) or "none too low or too high"
