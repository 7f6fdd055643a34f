"""The portioning list: grams of every cut for every dog, and the sums that show that it adds up."""

from collections import Counter
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from raworder.reporting.nutrition_words import supplement_blocks
from raworder.reporting.words import Meal, batch_text, count_text, group_alike, join_names, meals, paper
from raworder.trade.as_fed import bought_g, fed_g, on_hand_g
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.trade.dogs import Dog
from raworder.trade.plan import Plan
from raworder.trade.rounding import apportion, half_up
from raworder.trade.scenario import FedScenario, Scenario
from raworder.trade.units import grams_text

AVERAGES = (
    "`Whole batch` is what a dog gets in all its bags, to the gram. `A day` is the average of it; `raworder portion "
    "FILE` says what goes into which bag."
)
OUNCES = (
    " Weights are rounded to a tenth of an ounce, so a column may miss its sum by a little; the grams in the CSV files "
    "add up."
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


MOST_ACROSS = 8
"""More dogs than this stand in kinds, kennels or all together over one table of portions."""

SCREEN, BETWEEN, LONGEST_NAME = 80, 3, 24
"""Columns of text that the table fits into, those between two of its columns, and the most for the name of a cut."""


@dataclass(frozen=True, slots=True)
class _Eaters:
    """One or more dogs in a column, with what they eat together: each cut a day, and all of it over the batch."""

    name: str
    day_g: Mapping[str, int]
    batch_g: int


def portions_at_a_glance(scenario: FedScenario, plan: Plan) -> tuple[Table, ...]:
    """Cuts down and dogs across, grams a day, with sums over the batch; several tables where dogs do not fit in one.

    The tables have no key: programs read the table of portions.
    """
    fed = tuple(meal for meal in meals(scenario, plan) if meal.total_g)
    if not fed:
        return ()
    across = _across(fed)
    cuts = [(cut.name, grams) for cut in scenario.cuts if (grams := fed_g(scenario, plan)[cut.name])]
    columns = [_column(eaters, [name for name, _ in cuts]) for eaters in across]
    together = sum(grams for _, grams in cuts)
    columns.append(("Whole batch", (*(grams for _, grams in cuts), None, together)))
    title = "Portions a day, all dogs of a column together" if len(fed) > MOST_ACROSS else "Portions a day"
    names = [name for name, _ in cuts]
    return tuple(
        _glance(title if not place else "", names, folded)
        for place, folded in enumerate(_fold(scenario, names, columns))
    )


GlanceColumn = tuple[str, tuple[int | None, ...]]
"""The heading of a column, and its grams: cut by cut, then together a day and over the batch."""


def _across(fed: Sequence[Meal]) -> tuple[_Eaters, ...]:
    """Who stands across: every dog; or kennels, or dogs of the same rules; or all of them together."""
    if len(fed) <= MOST_ACROSS:
        return tuple(_eaters(meal.dog.name, (meal,)) for meal in fed)
    if all(meal.dog.kennel for meal in fed):
        groups = group_alike(fed, lambda meal: meal.dog.kennel)
        named = [(f"{group[0].dog.kennel}, {count_text(len(group), 'dog')}", group) for group in groups]
    else:
        groups = group_alike(fed, _rules)
        named = [(_and_others(group), group) for group in groups]
    if len(named) > MOST_ACROSS:
        named = [(f"All {len(fed)} dogs", tuple(fed))]
    return tuple(_eaters(name, group) for name, group in named)


def _rules(meal: Meal) -> Hashable:
    """What decides what a dog may eat, but for how much; a dog in care stands alone."""
    dog = meal.dog
    limits = (dog.targets, dog.caps, dog.avoid, dog.nutrient_limits, dog.ratio_limits)
    return (*limits, dog.name if dog.care else "")


def _and_others(group: Sequence[Meal]) -> str:
    """The first dog of a group, and how many others are of its kind: `Acorn and 28 others`."""
    others = len(group) - 1
    return f"{group[0].dog.name} and {count_text(others, 'other')}" if others else group[0].dog.name


def _eaters(name: str, group: Sequence[Meal]) -> _Eaters:
    """Some dogs together."""
    day_g: Counter[str] = Counter()
    for meal in group:
        day_g.update({cut: a_day for cut, a_day, _ in _portion_rows(meal)})
    return _Eaters(name, day_g, sum(meal.total_g for meal in group))


def _column(eaters: _Eaters, cuts: Sequence[str]) -> GlanceColumn:
    """One column of the table."""
    grams = tuple(eaters.day_g.get(cut) or None for cut in cuts)
    return eaters.name, (*grams, sum(eaters.day_g.values()), eaters.batch_g)


def _fold(scenario: Scenario, cuts: Sequence[str], columns: Sequence[GlanceColumn]) -> list[list[GlanceColumn]]:
    """The columns in runs that fit beside the names of the cuts on a screen; the last is left out if it stood alone."""
    names = min(max(map(len, (*cuts, "over the batch"))), LONGEST_NAME)
    tables: list[list[GlanceColumn]] = [[]]
    room = SCREEN - names
    for column in columns:
        heading, grams = column
        cells = [grams_text(amount, scenario.weight_unit) for amount in grams if amount is not None]
        width = BETWEEN + max(map(len, (*heading.split(), *cells)))
        if width > room and tables[-1]:
            if column is columns[-1]:
                break
            tables.append([])
            room = SCREEN - names
        tables[-1].append(column)
        room -= width
    return tables


def _glance(title: str, cuts: Sequence[str], columns: Sequence[GlanceColumn]) -> Table:
    """One table of portions, with a row of sums for a day and one for the batch."""
    rows = tuple(zip((*cuts, "a day", "over the batch"), *(grams for _, grams in columns), strict=True))
    heads = (
        Column("cut", "Cut"),
        *(Column(f"grams_{place}", name, Holds.GRAMS) for place, (name, _) in enumerate(columns)),
    )
    return Table("", title, heads, rows[:-2], rows[-2:])
