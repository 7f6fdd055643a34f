"""The portioning list: grams of every cut for every dog, and the sums that show that it adds up."""

from collections.abc import Iterator
from fractions import Fraction

from raworder.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.plan import Plan
from raworder.reporting.books import Meal, bought_g, fed_g, meals, on_hand_g
from raworder.reporting.splitting import split
from raworder.reporting.words import batch_text, counted, paper
from raworder.trade import Dog, Scenario
from raworder.units import half_up

AVERAGES = (
    "Whole batch is what you weigh out: whole grams that add up to what there is. "
    "A day is the average of it, rounded so that the column adds up."
)
PORTION_COLUMNS = (
    Column("cut", "Cut"),
    Column("day_g", "A day", Holds.GRAMS),
    Column("batch_g", "Whole batch", Holds.GRAMS),
    Column("dog", "Dog", shown=False),
    Column("owner", "Owner", shown=False),
)


def portioning_list(scenario: Scenario, plan: Plan) -> Document:
    """Who gets how much of which cut, then per cut: on hand and bought, fed and left over."""
    return paper(scenario, "portioning_list", "Portioning list", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """A table per dog, then the sums."""
    yield Paragraph(f"{batch_text(scenario.batch)}. {AVERAGES}")
    yield from (_portions(meal) for meal in meals(scenario, plan))
    yield balance(scenario, plan)


def _portions(meal: Meal) -> Table:
    """What one dog eats."""
    dog = meal.dog
    day_g = half_up(Fraction(meal.total_g, dog.days)) if dog.days else 0
    days = split(day_g, [Fraction(grams) for _, grams in meal.cuts])
    rows = tuple(
        (cut.name, a_day, grams, dog.name, dog.owner) for (cut, grams), a_day in zip(meal.cuts, days, strict=True)
    )
    total: tuple[Cell, ...] = ("together", day_g, meal.total_g, None, None)
    return Table("portions", _title(dog), PORTION_COLUMNS, rows, (total,), note=_note(dog))


def _title(dog: Dog) -> str:
    """Whose portions: the dog, its owner if named, and its days."""
    owner = f" ({dog.owner})" if dog.owner else ""
    return f"{dog.name}{owner}, {counted(dog.days, 'day')}"


def _note(dog: Dog) -> str:
    """How the ration came about, and who answers for it."""
    if dog.care is not None:
        return f"Amounts as the veterinarian gave them ({dog.care.value}). Ask the veterinarian before any change."
    return f"Ration: {dog.ration_says}." if dog.ration_says else ""


def balance(scenario: Scenario, plan: Plan) -> Table:
    """Per cut: on hand + bought = fed + left over."""
    held, bought, fed = on_hand_g(scenario), bought_g(scenario, plan), fed_g(scenario, plan)
    rests = {one.cut: one.total_g for one in plan.leftovers}
    numbers = {
        cut.name: (held[cut.name], bought[cut.name], fed[cut.name], rests.get(cut.name, 0)) for cut in scenario.cuts
    }
    rows = tuple((cut, *grams) for cut, grams in numbers.items() if any(grams))
    sums = tuple(sum(column) for column in zip(*numbers.values(), strict=True)) or (0,) * 4
    return Table(
        "balance",
        "It adds up: on hand + bought = fed + left over",
        (
            Column("cut", "Cut"),
            Column("on_hand_g", "On hand", Holds.GRAMS),
            Column("bought_g", "+ bought", Holds.GRAMS),
            Column("fed_g", "= fed", Holds.GRAMS),
            Column("left_g", "+ left over", Holds.GRAMS),
        ),
        rows,
        (("together", *sums),),
    )
