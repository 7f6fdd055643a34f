"""Labels for the bags: whose each is, for which day, what is in it, and what it must not touch."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from raworder.reporting.bag_book import BagBook, avoided_text, pieces_text
from raworder.reporting.balanced_weeks import bags_too_full
from raworder.reporting.words import join_names, paper
from raworder.trade.bags import Bag, Filling
from raworder.trade.batch_facts import BagWay, Journey
from raworder.trade.cuts import GROUND, Part
from raworder.trade.document import Cell, Column, Document, Fact, Facts, Holds, Label, Labels, Paragraph, Table
from raworder.trade.dogs import Dog
from raworder.trade.fingerprint import batch_number
from raworder.trade.labels import LabelSheet, dimensions_text, length_text, usual_sheet
from raworder.trade.scenario import Scenario
from raworder.trade.units import day_text

COLUMNS = (
    Column("bag", "Bag", Holds.COUNT),
    Column("dog", "Dog"),
    Column("kennel", "Kennel"),
    Column("feed_on", "Fed on", Holds.DAY),
    Column("meal", "Meal", Holds.COUNT),
    Column("weight_g", "Weight", Holds.GRAMS),
    Column("mind", "Mind"),
    Column("frozen_on", "Frozen on", Holds.DAY),
    Column("moves_on", "To the refrigerator on", Holds.DAY),
    Column("feed_by", "Feed by", Holds.DAY),
    Column("contents", "Contents"),
    Column("batch", "Batch"),
)
BONES = "bones inside: stay with the dog"
IN_CARE = "as the veterinarian gave it"
NO_TIME = "no time to freeze and thaw it: see the thaw plan"
NOT_FROZEN = "not frozen by its morning to thaw: see the freezing sheet"
NOT_LONG_FROZEN = "not frozen long enough: see the thaw plan"
HOW = "Print at 100 %, without fit to page, and hold a page of frames against a sheet of labels before."


@dataclass(frozen=True, slots=True)
class LabelFacts:
    """Everything a label says about one bag."""

    number: int
    bag: Bag
    dog: Dog
    contents: str
    mind: tuple[str, ...]
    way: BagWay
    frozen_on: date | None
    moves_on: date | None
    feed_by: date | None


def bag_labels(
    book: BagBook,
    sheet: LabelSheet | None = None,
    first: int = 1,
    dogs: Collection[str] = (),
) -> Document:
    """A label for every bag, or every bag of some dogs, by number, and a table of the same.

    The sheet is the scenario's where none is given; the first label goes to place `first` of it, from 1.
    """
    bags = tuple(facts for facts in _collect_facts(book) if not dogs or facts.dog.name in dogs)
    scenario, batch = book.scenario, batch_number(book.scenario)
    labels = Labels(sheet or _sheet_of(scenario), tuple(_label(book, facts, batch) for facts in bags), first)
    return paper(
        scenario,
        "labels",
        f"Labels, batch {batch}",
        (Paragraph(HOW), _preview_table(bags), _program_table(bags, batch), labels),
    )


def frame_page(scenario: Scenario, sheet: LabelSheet | None = None, first: int = 1) -> Document:
    """A page of outlines, to hold against a sheet of labels before printing on it."""
    used = sheet or _sheet_of(scenario)
    label = Label("Hold this against a sheet of labels", (used.name, "print at 100 %, without fit to page"))
    return paper(scenario, "frame", "Frame", (_sheet_facts(used), Labels(used, (label,), first, frames=True)))


def _sheet_of(scenario: Scenario) -> LabelSheet:
    """The sheet of labels that the scenario names, or the usual one where it names none."""
    return scenario.labels or usual_sheet(scenario.weight_unit)


def _collect_facts(book: BagBook) -> Iterator[LabelFacts]:
    """The facts for the label of every bag, in order of the numbers."""
    too_full = bags_too_full(book)
    frozen_on = book.facts.cold.frozen_on()
    for journey in book.facts.cold.journeys:
        facts, warning = _label_facts(book, journey, frozen_on), too_full.get(journey.number)
        yield replace(facts, mind=(warning, *facts.mind)) if warning else facts


def _label_facts(book: BagBook, journey: Journey, frozen_on: Mapping[int, date]) -> LabelFacts:
    """The facts for one label; a bag that stays fresh moves to the refrigerator when it is filled."""
    bag, dog = journey.bag, book.dogs[journey.bag.dog]
    freezes, stays = journey.way is BagWay.FREEZER, journey.way is BagWay.REFRIGERATOR
    frozen_day = frozen_on.get(journey.number, journey.filled_on) if freezes else None
    return LabelFacts(
        number=journey.number,
        bag=bag,
        dog=dog,
        contents=", ".join(_amount_text(book, filling) for filling in bag.fillings),
        mind=tuple(_warnings(book, journey, frozen_day)),
        way=journey.way,
        frozen_on=frozen_day,
        moves_on=journey.moves_on if freezes else journey.filled_on if stays else None,
        feed_by=journey.feed_by if freezes or stays else None,
    )


def _amount_text(book: BagBook, filling: Filling) -> str:
    """An amount by weight, pieces counted, a mix with its cuts: `2 chicken necks (156 g)`, `40 g lamb liver`."""
    grams = book.grams(filling.grams)
    if filling.pieces:
        return f"{pieces_text(filling.pieces, book.cuts[filling.cut])} ({grams})"
    inside = f" ({join_names([cut.name for cut in book.cuts_in(filling.cut)])})" if filling.cut in book.mixes else ""
    return f"{grams} {filling.cut}{inside}"


def _warnings(book: BagBook, journey: Journey, frozen_on: date | None) -> Iterator[str]:
    """The warnings on the label: what the bag must not touch, and where to take care."""
    dog = book.dogs[journey.bag.dog]
    if dog.avoid:
        yield f"{avoided_text(dog)}: keep apart"
    if journey.frozen_days < journey.freeze_days:
        yield NOT_LONG_FROZEN
    elif journey.way is BagWay.NO_TIME:
        yield NO_TIME
    elif frozen_on and journey.moves_on and frozen_on >= journey.moves_on:
        yield NOT_FROZEN
    if any(_has_bones(book, filling.cut) for filling in journey.bag.fillings):
        yield BONES
    if dog.care:
        yield IN_CARE


def _has_bones(book: BagBook, name: str) -> bool:
    """Whether a cut or mix has bone in it that is not ground, in whole pieces or divided."""
    return any(cut.part_share(Part.BONE) > 0 and cut.kind != GROUND for cut in book.cuts_in(name))


def _label(book: BagBook, facts: LabelFacts, batch: str) -> Label:
    """The label of one bag, in short lines."""
    bag, dog = facts.bag, facts.dog
    meal = f", meal {bag.meal}" if dog.meals > 1 else ""
    kennel = f"kennel {dog.kennel}, " if dog.kennel else ""
    fed = f"{day_text(bag.day)}{meal}, {book.grams(bag.grams)}"
    # The contents come last, as the last line loses its end where there is no room on the label.
    lines = (fed, *_day_line(facts), f"{kennel}batch {batch}", facts.contents)
    return Label(dog.name, lines, f"bag {facts.number}", facts.mind)


def _day_line(facts: LabelFacts) -> Iterator[str]:
    """When a bag is frozen, moved and fed at the latest; nothing if it cannot be thawed in time."""
    if facts.moves_on and facts.feed_by:
        frozen = f"frozen {day_text(facts.frozen_on)}, to" if facts.frozen_on else "straight to"
        yield f"{frozen} the refrigerator {day_text(facts.moves_on)}, feed by {day_text(facts.feed_by)}"


def _preview_table(bags: tuple[LabelFacts, ...]) -> Table:
    """A row for each label, for people to check before printing."""
    columns = (
        Column("bag", "Bag", Holds.COUNT),
        Column("dog", "Dog"),
        Column("feed_on", "Fed on", Holds.DAY),
        Column("meal", "Meal", Holds.COUNT, shown=any(facts.dog.meals > 1 for facts in bags)),
        Column("weight_g", "Weight", Holds.GRAMS),
        Column("feed_by", "Feed by", Holds.DAY),
        Column("says", "Says"),
    )
    rows = (
        (facts.number, facts.bag.dog, facts.bag.day, facts.bag.meal, facts.bag.grams, facts.feed_by, _says_text(facts))
        for facts in bags
    )
    return Table("", "", columns, tuple(rows))


def _says_text(facts: LabelFacts) -> str:
    """The warnings on a label, then what is in the bag."""
    return "; ".join((*facts.mind, facts.contents))


def _program_table(bags: tuple[LabelFacts, ...], batch: str) -> Table:
    """Everything the labels say, each part in a column of its own."""
    return Table("labels", "Labels", COLUMNS, tuple(_program_row(facts, batch) for facts in bags), shown=False)


def _program_row(facts: LabelFacts, batch: str) -> tuple[Cell, ...]:
    """The row of one label for programs."""
    bag = facts.bag
    return (
        facts.number,
        bag.dog,
        facts.dog.kennel,
        bag.day,
        bag.meal,
        bag.grams,
        "; ".join(facts.mind),
        facts.frozen_on,
        facts.moves_on,
        facts.feed_by,
        facts.contents,
        batch,
    )


def _sheet_facts(sheet: LabelSheet) -> Facts:
    """The sheet by its dimensions, to check with a ruler."""
    return Facts(
        "sheet",
        (
            Fact("sheet", "Sheet", sheet.name),
            Fact("places", "Labels on a sheet", sheet.places, Holds.COUNT),
            Fact("label", "A label", dimensions_text(sheet.paper, sheet.label_mm)),
            Fact("left", "From the left edge to the first", length_text(sheet.paper, sheet.left_mm)),
            Fact("top", "From the upper edge to the first", length_text(sheet.paper, sheet.top_mm)),
            Fact("across", "From a label to the one beside it", length_text(sheet.paper, sheet.across_mm)),
            Fact("down", "From a label to the one below", length_text(sheet.paper, sheet.down_mm)),
        ),
    )
