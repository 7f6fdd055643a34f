"""The shares: what was asked for beside what is given, and where there is room left."""

from collections.abc import Iterator
from fractions import Fraction

from raworder.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.plan import Plan
from raworder.reporting.books import Meal, meals
from raworder.reporting.words import listed, paper, subject_text
from raworder.trade import Cap, Cut, Measure, Part, Scenario, Subject, Target, Variety
from raworder.units import share_text

WHOLE_GRAMS_G = 1
"""Portions are whole grams, so a share counts as at its limit within so many grams of each cut that counts."""

INTRODUCTION = (
    "Shares of what each dog eats over the whole batch. Room says by how many percentage points a share could still "
    "move; at its limit there is none."
)

PLANT = "plant"
"""The species of plants, which no rule of variety counts."""

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
)


def shares(scenario: Scenario, plan: Plan) -> Document:
    """For every dog its parts, caps and species, asked and given, over the batch."""
    return paper(scenario, "shares", "Shares, asked and given", _blocks(scenario, plan))


def _blocks(scenario: Scenario, plan: Plan) -> Iterator[Block]:
    """The tables dog by dog."""
    yield Paragraph(INTRODUCTION)
    for meal in meals(scenario, plan):
        if meal.dog.care is not None:
            yield _in_care(meal)
            continue
        yield _parts(meal)
        if meal.dog.caps:
            yield _caps(meal)
        if scenario.variety != Variety():
            yield _species(meal, scenario.variety)


def _in_care(meal: Meal) -> Table:
    """The parts of what the veterinarian gave, without any range."""
    given = tuple((part.value, meal.share_of(Subject(Measure.PART, part.value))) for part in Part)
    rows = tuple((part, "no range", share, None, None, None, meal.dog.name) for part, share in given if share)
    return Table("parts", f"{meal.dog.name}: as the veterinarian gave it", SHARE_COLUMNS, rows)


def _parts(meal: Meal) -> Table:
    """The parts of one dog, asked and given; parts neither asked nor given are left out."""
    named = f", {meal.dog.targets_named}" if meal.dog.targets_named else ""
    rows = tuple(_part(meal, target) for target in meal.dog.targets)
    return Table("parts", f"{meal.dog.name}{named}", SHARE_COLUMNS, tuple(row for row in rows if row[2] or row[5]))


def _part(meal: Meal, target: Target) -> tuple[Cell, ...]:
    """One part: range, share given, and where it stands in the range."""
    subject = Subject(Measure.PART, target.part.value)
    given = meal.share_of(subject)
    room = _room(target, given, blur(meal, subject))
    return (target.part.value, _range(target), given, room, target.low, target.high, meal.dog.name)


def _range(target: Target) -> str:
    """The range as people write it: `8 to 12 %`, `exactly 5 %`."""
    low, high = short_share(target.low), short_share(target.high)
    return f"exactly {high}" if low == high else f"{low.removesuffix(' %')} to {high}"


def short_share(share: Fraction) -> str:
    """A share without an idle decimal: `8 %`, `7.5 %`."""
    return share_text(share).replace(".0 %", " %")


def blur(meal: Meal, subject: Subject) -> Fraction:
    """How far whole grams can move the share of a subject."""
    counted_g = sum((subject.share_in(cut) for cut, _ in meal.cuts), Fraction(0)) * WHOLE_GRAMS_G
    return counted_g / meal.total_g if meal.total_g else Fraction(0)


def _room(target: Target, given: Fraction, blurred: Fraction) -> str:
    """Whether a share is at an end of its range, or how many points of room are left."""
    if target.low == target.high:
        return "as asked"
    if given >= target.high - blurred:
        return "at its limit, the most"
    if given <= target.low + blurred and target.low > 0:
        return "at its limit, the least"
    down = f"{points(given - target.low)} down, " if target.low > 0 else ""
    return f"{down}{points(target.high - given)} up"


def points(share: Fraction) -> str:
    """A difference of shares in percentage points, as a number: `2`, `0.5`."""
    return short_share(share).removesuffix(" %")


def _caps(meal: Meal) -> Table:
    """The caps of one dog, with what is given."""
    rows = tuple(_cap(meal, cap) for cap in meal.dog.caps)
    return Table("caps", f"{meal.dog.name}, caps", CAP_COLUMNS, rows)


def _cap(meal: Meal, cap: Cap) -> tuple[Cell, ...]:
    """One cap: the most, the share given, and the room left."""
    given = meal.share_of(cap.subject)
    at_limit = 0 < given >= cap.most - blur(meal, cap.subject)
    room = "at its limit" if at_limit else points(cap.most - given)
    return (subject_text(cap.subject), cap.most, given, room, meal.dog.name)


def _species(meal: Meal, variety: Variety) -> Table:
    """The animal species of one dog, and what was asked of them."""
    names = dict.fromkeys(name for cut, _ in meal.cuts for name in cut.species_names if name != PLANT)
    rows = tuple((name, _surely(meal, name), _at_most(meal, name), meal.dog.name) for name in names)
    doubtful = any(row[1] != row[2] for row in rows)
    return Table(
        "species", f"{meal.dog.name}, species", _species_columns(doubtful=doubtful), rows, note=_asked(variety)
    )


def _species_columns(*, doubtful: bool) -> tuple[Column, ...]:
    """One share for people, or two where a mixed product does not say how much of a species is in it."""
    return (
        Column("species", "Species"),
        Column("surely_share", "Surely" if doubtful else "Given", Holds.SHARE),
        Column("possibly_share", "Possibly", Holds.SHARE, shown=doubtful),
        Column("dog", "Dog", shown=False),
    )


def _surely(meal: Meal, name: str) -> Fraction:
    """The share of a species where a mixed product of unknown shares counts nothing."""
    return meal.share(tuple(sum(_known_shares(cut, name), Fraction(0)) for cut, _ in meal.cuts))


def _known_shares(cut: Cut, name: str) -> Iterator[Fraction]:
    """What is known to be of a species in a cut."""
    return (one.share for one in cut.species if one.species == name and one.share is not None)


def _at_most(meal: Meal, name: str) -> Fraction:
    """The share of a species where a mixed product of unknown shares counts whole."""
    return meal.share_of(Subject(Measure.SPECIES, name))


def _asked(variety: Variety) -> str:
    """What was asked of the species, in a sentence."""
    asks = []
    if variety.least_species:
        least = f" of at least {short_share(variety.least_share)} each" if variety.least_share else ""
        asks.append(f"at least {variety.least_species} species{least}")
    if variety.most_share < 1:
        asks.append(f"none above {short_share(variety.most_share)}")
    return f"Asked: {listed(asks)}." if asks else ""
