"""The portioning list: grams of every cut for every dog, and the sums that show that it adds up."""

from collections.abc import Hashable, Iterator
from fractions import Fraction

from raworder.reporting.nutrition_words import supplement_blocks
from raworder.reporting.words import Meal, batch_text, count_text, group_alike, join_names, meals, paper
from raworder.trade.as_fed import bought_g, fed_g, on_hand_g
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.trade.dogs import Dog
from raworder.trade.plan import Plan
from raworder.trade.rounding import apportion, half_up
from raworder.trade.scenario import FedScenario, Scenario

AVERAGES = (
    "Whole batch is what a dog gets in all its bags: whole grams that add up to what there is. A day is only the "
    "average of it, rounded so that the column adds up; `raworder portion` tells what goes into which bag."
)
OUNCES = (
    " Weights here are rounded to a tenth of an ounce, so a column may miss its sum by as much; the grams behind them, "
    "as in the CSV files, add up."
)
CUT, A_DAY, WHOLE_BATCH = (
    Column("cut", "Cut"),
    Column("day_g", "A day", Holds.GRAMS),
    Column("batch_g", "Whole batch", Holds.GRAMS),
)


def portioning_list(scenario: FedScenario, plan: Plan) -> Document:
    """How much of which cut each dog gets, then per cut: on hand and bought, fed and left over."""
    return paper(scenario, "portioning_list", "Portioning list", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """A table per dog or per dogs fed alike, then the sums."""
    yield Paragraph(f"{batch_text(scenario.batch)}. {AVERAGES}{OUNCES if scenario.weight_unit == 'lb' else ''}")
    all_meals = meals(scenario, plan)
    yield _program_table(all_meals)
    yield from (_weighing_table(group) for group in group_alike(all_meals, _printed_look))
    yield balance(scenario, plan)
    yield from supplement_blocks(scenario, plan)


def _program_table(all_meals: tuple[Meal, ...]) -> Table:
    """What every dog eats, dog by dog, for programs."""
    rows = tuple((meal.dog.name, meal.dog.owner, *row) for meal in all_meals for row in _portion_rows(meal))
    columns = (Column("dog", "Dog"), Column("owner", "Owner"), CUT, A_DAY, WHOLE_BATCH)
    return Table("portions", "Portions", columns, rows, shown=False)


def _portion_rows(meal: Meal) -> tuple[tuple[str, int, int], ...]:
    """Cut, grams a day and grams over the batch; the grams a day add up to the rounded ration of a day."""
    # Each cut rounded by itself would not add up to the day.
    days = apportion(_day_g(meal), [grams for _, grams in meal.cuts])
    return tuple((cut.name, a_day, grams) for (cut, grams), a_day in zip(meal.cuts, days, strict=True))


def _day_g(meal: Meal) -> int:
    """The grams of an average day's whole ration."""
    return half_up(Fraction(meal.total_g, meal.dog.days)) if meal.dog.days else 0


def _printed_look(meal: Meal) -> Hashable:
    """What is printed for a dog besides its name; dogs that agree in it share a table."""
    return (meal.dog.days, _ration_note(meal.dog), _portion_rows(meal))


def _weighing_table(group: tuple[Meal, ...]) -> Table:
    """What to weigh out for a dog, or for each of the dogs fed alike and for them together."""
    first, many = group[0], len(group)
    rows = (*_portion_rows(first), ("together", _day_g(first), first.total_g))
    cells: list[tuple[Cell, ...]] = [(*row, row[2] * many) if many > 1 else row for row in rows]
    columns = (CUT, A_DAY, WHOLE_BATCH, Column("all_g", f"All {many} dogs", Holds.GRAMS))
    return Table(
        "", _title(group), columns[: len(cells[0])], tuple(cells[:-1]), (cells[-1],), note=_ration_note(first.dog)
    )


def _title(group: tuple[Meal, ...]) -> str:
    """Whose portions: the dogs, their owners if named, and the days."""
    names = [f"{meal.dog.name} ({meal.dog.owner})" if meal.dog.owner else meal.dog.name for meal in group]
    each_text = "each " if len(group) > 1 else ""
    return f"{join_names(names)}, {each_text}{count_text(group[0].dog.days, 'day')}"


def _ration_note(dog: Dog) -> str:
    """How the ration came about; for a dog in care, that a veterinarian gave it."""
    if dog.care is not None:
        return f"Amounts as the veterinarian gave them ({dog.care.value}). Ask the veterinarian before any change."
    return f"Ration: {dog.ration_text}." if dog.ration_text else ""


def balance(scenario: Scenario, plan: Plan) -> Table:
    """Per cut: on hand + bought = fed + left over."""
    on_hand, bought, fed = on_hand_g(scenario), bought_g(scenario, plan), fed_g(scenario, plan)
    left_g = {leftover.cut: leftover.total_g for leftover in plan.leftovers}
    amounts_g = {
        cut.name: (on_hand[cut.name], bought[cut.name], fed[cut.name], left_g.get(cut.name, 0)) for cut in scenario.cuts
    }
    rows = tuple((cut, *grams) for cut, grams in amounts_g.items() if any(grams))
    sums = tuple(sum(column) for column in zip(*amounts_g.values(), strict=True)) or (0,) * 4
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
