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
    """All that a label tells of one bag."""

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
    """A label for every bag, or for those of some dogs, in the order of their numbers; and a table of the same.

    The sheet is the scenario's where none is given; the first label goes to place `first` of it, from 1.
    """
    told = tuple(one for one in _told(book) if not dogs or one.dog.name in dogs)
    scenario, batch = book.scenario, batch_number(book.scenario)
    labels = Labels(sheet or _usual(scenario), tuple(_label(book, one, batch) for one in told), first)
    return paper(
        scenario, "labels", f"Labels, batch {batch}", (Paragraph(HOW), _table(told), _for_programs(told, batch), labels)
    )


def frame_page(scenario: Scenario, sheet: LabelSheet | None = None, first: int = 1) -> Document:
    """A page of outlines, to hold against a sheet of labels before printing on it."""
    held = sheet or _usual(scenario)
    words = Label("Hold this against a sheet of labels", (held.name, "print at 100 %, without fit to page"))
    return paper(scenario, "frame", "Frame", (_sheet_facts(held), Labels(held, (words,), first, frames=True)))


def _usual(scenario: Scenario) -> LabelSheet:
    """The scenario's sheet, or the one that is taken where it names none."""
    return scenario.labels or usual_sheet(scenario.weight_unit)


def _told(book: BagBook) -> Iterator[LabelFacts]:
    """What there is to tell of every bag, in order."""
    every, full = book.facts.cold.journeys, bags_too_full(book)
    frozen_on = book.facts.cold.frozen_on()
    for way in every:
        told = _told_of(book, way, frozen_on)
        yield replace(told, mind=(full[way.number], *told.mind)) if way.number in full else told


def _told_of(book: BagBook, way: Journey, frozen_on: Mapping[int, date]) -> LabelFacts:
    bag, dog = way.bag, book.dogs[way.bag.dog]
    freezes, stays = way.way is BagWay.FREEZER, way.way is BagWay.REFRIGERATOR
    on = frozen_on.get(way.number, way.filled_on) if freezes else None
    return LabelFacts(
        number=way.number,
        bag=bag,
        dog=dog,
        contents=", ".join(_amount(book, filling) for filling in bag.fillings),
        mind=tuple(_mind(book, way, on)),
        way=way.way,
        frozen_on=on,
        moves_on=way.moves_on if freezes else way.filled_on if stays else None,
        feed_by=way.feed_by if freezes or stays else None,
    )


def _amount(book: BagBook, filling: Filling) -> str:
    """What is in it by weight, pieces counted, a mix with its cuts: `2 chicken necks (156 g)`, `40 g lamb liver`."""
    grams = book.grams(filling.grams)
    if filling.pieces:
        return f"{pieces_text(filling.pieces, book.cuts[filling.cut])} ({grams})"
    inside = f" ({join_names([cut.name for cut in book.cuts_in(filling.cut)])})" if filling.cut in book.mixes else ""
    return f"{grams} {filling.cut}{inside}"


def _mind(book: BagBook, way: Journey, frozen_on: date | None) -> Iterator[str]:
    """What the bag must not touch, and when to be careful."""
    dog = book.dogs[way.bag.dog]
    if dog.avoid:
        yield f"{avoided_text(dog)}: keep apart"
    if way.frozen_days < way.freeze_days:
        yield NOT_LONG_FROZEN
    elif way.way is BagWay.NO_TIME:
        yield NO_TIME
    elif frozen_on and way.moves_on and frozen_on >= way.moves_on:
        yield NOT_FROZEN
    if any(_has_bones(book, filling.cut) for filling in way.bag.fillings):
        yield BONES
    if dog.care:
        yield IN_CARE


def _has_bones(book: BagBook, name: str) -> bool:
    """Whether a cut or mix has bone in it that is not ground, in whole pieces or divided."""
    return any(cut.part_share(Part.BONE) > 0 and cut.kind != GROUND for cut in book.cuts_in(name))


def _label(book: BagBook, told: LabelFacts, batch: str) -> Label:
    """The same as in the table, in short lines; what is in the bag comes last."""
    bag, dog = told.bag, told.dog
    meal = f", meal {bag.meal}" if dog.meals > 1 else ""
    kennel = f"kennel {dog.kennel}, " if dog.kennel else ""
    first = f"{day_text(bag.day)}{meal}, {book.grams(bag.grams)}"
    lines = (first, *_days(told), f"{kennel}batch {batch}", told.contents)
    return Label(dog.name, lines, f"bag {told.number}", told.mind)


def _days(told: LabelFacts) -> Iterator[str]:
    """The days of a bag on its way, if it can be in time."""
    if told.moves_on and told.feed_by:
        frozen = f"frozen {day_text(told.frozen_on)}, to" if told.frozen_on else "straight to"
        yield f"{frozen} the refrigerator {day_text(told.moves_on)}, feed by {day_text(told.feed_by)}"


def _table(told: tuple[LabelFacts, ...]) -> Table:
    """A row for each label, as people look it over before printing."""
    columns = (
        Column("bag", "Bag", Holds.COUNT),
        Column("dog", "Dog"),
        Column("feed_on", "Fed on", Holds.DAY),
        Column("meal", "Meal", Holds.COUNT, shown=any(one.dog.meals > 1 for one in told)),
        Column("weight_g", "Weight", Holds.GRAMS),
        Column("feed_by", "Feed by", Holds.DAY),
        Column("says", "Says"),
    )
    rows = (
        (one.number, one.bag.dog, one.bag.day, one.bag.meal, one.bag.grams, one.feed_by, _says(one)) for one in told
    )
    return Table("", "", columns, tuple(rows))


def _says(told: LabelFacts) -> str:
    """What to mind and what is in the bag."""
    return "; ".join((*told.mind, told.contents))


def _for_programs(told: tuple[LabelFacts, ...], batch: str) -> Table:
    """All that the labels tell, each part by itself."""
    return Table("labels", "Labels", COLUMNS, tuple(_row(one, batch) for one in told), shown=False)


def _row(told: LabelFacts, batch: str) -> tuple[Cell, ...]:
    bag = told.bag
    return (
        told.number,
        bag.dog,
        told.dog.kennel,
        bag.day,
        bag.meal,
        bag.grams,
        "; ".join(told.mind),
        told.frozen_on,
        told.moves_on,
        told.feed_by,
        told.contents,
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
