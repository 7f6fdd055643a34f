"""The shares: what was asked for and what is given of parts, capped things and species, and the room left."""

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from raworder.reporting.charts import shares_chart
from raworder.reporting.words import (
    Meal,
    group_alike,
    is_above,
    join_names,
    meals,
    paper,
    percentage_points,
    range_text,
    reaches_limit,
    room_text,
    short_share,
    subject_text,
    too_much_text,
)
from raworder.trade.cuts import PLANT, Cut, Measure, Part, Subject
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.trade.dogs import Cap, Dog, Target
from raworder.trade.plan import Plan
from raworder.trade.scenario import FedScenario, Scenario, Variety
from raworder.trade.units import share_text


def species_table(meal: Meal, variety: Variety) -> Table:
    """The share of each animal species in one dog's food, and what was asked of them."""
    names = dict.fromkeys(name for cut, _ in meal.cuts for name in cut.species_names if name != PLANT)
    rows = tuple((name, _sure_share(meal, name), _possible_share(meal, name), meal.dog.name) for name in names)
    asked = species_demands(variety)
    note = f"Asked: {asked}." if asked else ""
    doubtful = any(row[1] != row[2] for row in rows)
    return Table("species", "species", _species_columns(doubtful=doubtful), rows, note=note)


def _species_columns(*, doubtful: bool) -> tuple[Column, ...]:
    """One share for people, or two where a mixed product does not say how much of a species is in it."""
    return (
        Column("species", "Species"),
        Column("surely_share", "Surely" if doubtful else "Given", Holds.SHARE),
        Column("possibly_share", "Possibly", Holds.SHARE, shown=doubtful),
        Column("dog", "Dog", shown=False),
    )


def _sure_share(meal: Meal, name: str) -> Fraction:
    """The share of a species, counting nothing of a mixed product whose shares are unknown."""
    return meal.share(tuple(sum(_known_shares(cut, name), Fraction(0)) for cut, _ in meal.cuts))


def _known_shares(cut: Cut, name: str) -> Iterator[Fraction]:
    """The known shares of a species in a cut."""
    return (
        species_share.share
        for species_share in cut.species
        if species_share.species == name and species_share.share is not None
    )


def _possible_share(meal: Meal, name: str) -> Fraction:
    """The share of a species, counting all of a mixed product whose shares are unknown."""
    return meal.share_of(Subject(Measure.SPECIES, name))


def species_demands(variety: Variety) -> str:
    """What is asked of the species, in words; empty where nothing is."""
    demands = []
    if variety.least_species:
        least = f" of at least {short_share(variety.least_share)} each" if variety.least_share else ""
        demands.append(f"at least {variety.least_species} species{least}")
    if variety.most_share < 1:
        demands.append(f"none above {short_share(variety.most_share)}")
    return join_names(demands)


INTRODUCTION = (
    "Shares of what each dog eats over the whole batch. `Room` is by how many percentage points a share could still "
    "move."
)

HOW_TO_CAP = "To set one, write for example `caps: {lung: 20 %}`; `none` lifts it."

BY_PIECES = "Where dogs share whole pieces, a share may miss its range by a little, as shown."
"""What is said where pieces are shared out."""

OWN = "own"
"""The name of targets that follow no pattern."""

SHARE_COLUMNS = (
    Column("part", "Part"),
    Column("asked", "Asked"),
    Column("given_share", "Given", Holds.SHARE),
    Column("room", "Room, points"),
    Column("low_share", "At least", Holds.SHARE, shown=False),
    Column("high_share", "At most", Holds.SHARE, shown=False),
    Column("dog", "Dog", shown=False),
)
CAP_COLUMNS = (
    Column("capped", "Capped"),
    Column("most_share", "At most", Holds.SHARE),
    Column("given_share", "Given", Holds.SHARE),
    Column("room", "Room, points"),
    Column("dog", "Dog", shown=False),
    Column("source", "Source", shown=False),
)


def shares(scenario: FedScenario, plan: Plan) -> Document:
    """For every dog its parts, caps and species, asked and given, over the batch."""
    return paper(scenario, "shares", "Shares, asked and given", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """For programs one table of each kind, for people one for each dog or each group of dogs that look alike."""
    yield Paragraph(f"{INTRODUCTION} {BY_PIECES}" if scenario.shares_pieces else INTRODUCTION)
    asked = scenario.as_asked
    dogs = tuple((meal, tuple(_dog_tables(asked, meal))) for meal in meals(asked, plan))
    yield from _program_tables([table for _, tables in dogs for table in tables])
    for group in group_alike(dogs, lambda dog: tuple(_printed_look(table) for table in dog[1])):
        names = [meal.dog.name for meal, _ in group]
        meal, tables = group[0]
        if meal.dog.care is None:
            yield shares_chart(names, meal)
        yield from (replace(table, key="", title=f"{join_names(names)}, {table.title}") for table in tables)
    yield from _usual_caps([meal.dog for meal, _ in dogs])


def _usual_caps(dogs: Sequence[Dog]) -> Iterator[Paragraph]:
    """The caps that hold because the scenario does not say otherwise, by where they come from, and how to set them."""
    named: dict[str, dict[str, None]] = {}
    for cap in (cap for dog in dogs for cap in dog.caps if cap.source):
        named.setdefault(cap.source, {})[f"{subject_text(cap.subject)} {short_share(cap.most)}"] = None
    if named:
        caps = "; ".join(f"{join_names(list(words))} ({source})" for source, words in named.items())
        yield Paragraph(f"Caps that hold because your file sets none: {caps}. {HOW_TO_CAP}")


def _dog_tables(scenario: Scenario, meal: Meal) -> Iterator[Table]:
    """The tables of one dog."""
    if meal.dog.care is not None:
        yield _care_table(meal)
        return
    yield _part_table(meal)
    if meal.dog.caps:
        yield _cap_table(meal)
    if scenario.variety != Variety():
        yield species_table(meal, scenario.variety)


def _program_tables(tables: list[Table]) -> Iterator[Table]:
    """All rows of each kind in one table."""
    kinds: dict[str, list[Table]] = {}
    for table in tables:
        kinds.setdefault(table.key, []).append(table)
    for key, alike in kinds.items():
        yield Table(key, key, alike[0].columns, tuple(row for table in alike for row in table.rows), shown=False)


def _printed_look(table: Table) -> Hashable:
    """What people see of a table besides the dog's name, with shares as they are printed."""
    shown = [place for place, column in enumerate(table.columns) if column.shown]
    rows = tuple(tuple(_printed(row[place]) for place in shown) for row in table.rows)
    return (table.title, table.note, tuple(table.columns), rows)


def _printed(cell: Cell) -> Cell:
    """A cell as it is printed: shares to a tenth of a percent."""
    return share_text(cell) if isinstance(cell, Fraction) else cell


def _care_table(meal: Meal) -> Table:
    """The parts of what the veterinarian gave, without any range."""
    given = tuple((part.value, meal.share_of(Subject(Measure.PART, part.value))) for part in Part)
    rows = tuple((part, "no range", share, None, None, None, meal.dog.name) for part, share in given if share)
    return Table("parts", "as the veterinarian gave it", SHARE_COLUMNS, rows)


def _part_table(meal: Meal) -> Table:
    """The parts of one dog, asked and given; parts neither asked nor given are left out."""
    rows = tuple(_part_row(meal, target) for target in meal.dog.targets)
    title = "own targets" if meal.dog.targets_named in {"", OWN} else meal.dog.targets_named
    given_or_asked = tuple(row for row in rows if row[2] or row[5])
    return Table("parts", title, SHARE_COLUMNS, given_or_asked)


def _part_row(meal: Meal, target: Target) -> tuple[Cell, ...]:
    """The row of one part: its range, the share given, and the room left."""
    subject = Subject(Measure.PART, target.part.value)
    given = meal.share_of(subject)
    room = room_text(target, given)
    return (target.part.value, range_text(target.low, target.high), given, room, target.low, target.high, meal.dog.name)


def _cap_table(meal: Meal) -> Table:
    """The caps of one dog, with what is given."""
    rows = tuple(_cap_row(meal, cap) for cap in meal.dog.caps)
    return Table("caps", "caps", CAP_COLUMNS, rows)


def _cap_row(meal: Meal, cap: Cap) -> tuple[Cell, ...]:
    """The row of one cap: the most, the share given, and the room left."""
    given = meal.share_of(cap.subject)
    return (
        subject_text(cap.subject),
        cap.most,
        given,
        _room_below(cap.most, given),
        meal.dog.name,
        cap.source or "the scenario",
    )


def _room_below(most: Fraction, given: Fraction) -> str:
    """The room below a cap in percentage points, or by how much it is exceeded."""
    if is_above(given, most):
        return too_much_text(given - most)
    return "at its limit" if given > 0 and reaches_limit(given, most) else percentage_points(most - given)
