"""Labels for the bags: which bag for which dog on which day, and what only this bag asks for."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from raworder.reporting.bag_book import BagBook, pieces_text
from raworder.reporting.balanced_weeks import bags_too_full
from raworder.reporting.words import join_names, paper, subject_text
from raworder.trade.bags import Bag, Filling
from raworder.trade.batch_facts import BagWay, Journey
from raworder.trade.document import Cell, Column, Document, Fact, Facts, Holds, Label, Labels, Paragraph, Table
from raworder.trade.dogs import Dog
from raworder.trade.fingerprint import batch_number
from raworder.trade.labels import LabelSheet, dimensions_text, length_text, usual_sheet
from raworder.trade.scenario import Scenario
from raworder.trade.units import day_text

COLUMNS = (
    Column("bag", "Bag", Holds.COUNT),
    Column("dog", "Dog"),
    Column("owner", "Owner"),
    Column("kennel", "Kennel"),
    Column("feed_on", "Fed on", Holds.DAY),
    Column("meal", "Meal", Holds.COUNT),
    Column("kind", "Kind"),
    Column("weight_g", "Weight", Holds.GRAMS),
    Column("mind", "Note"),
    Column("frozen_on", "Frozen on", Holds.DAY, shown=False),
    Column("moves_on", "To the refrigerator on", Holds.DAY),
    Column("feed_by", "Feed by", Holds.DAY),
    Column("contents", "Contents"),
    Column("batch", "Batch", shown=False),
)
IN_CARE = "as the veterinarian gave it"
NO_TIME = "no time to thaw: fill it the day before"
NOT_FROZEN = "freezer too slow: fill it later"
NOT_LONG_FROZEN = "not frozen long enough: keep it back"
HOW = (
    "Print at 100 %, without fit to page; hold one page against a sheet of labels first. "
    "The letter in the frame is the kind of bag: the kitchen page says what goes into it."
)


@dataclass(frozen=True, slots=True)
class LabelFacts:
    """Everything a label says about one bag; `contents` from full to short."""

    number: int
    bag: Bag
    dog: Dog
    weight_g: int
    contents: tuple[str, ...]
    apart: str
    note: str
    filled_on: date
    frozen_on: date | None
    moves_on: date | None
    feed_by: date | None

    @property
    def mind(self) -> str:
        """All that only this bag asks for."""
        return "; ".join(filter(None, (self.apart, self.note)))


def bag_labels(book: BagBook, sheet: LabelSheet | None = None, first: int = 1) -> Document:
    """A label for every bag of the book, by number, and tables of the same for the terminal and for programs.

    The sheet is the scenario's where none is given; the first label goes to place `first` of it, from 1.
    """
    bags, batch = tuple(_collect_facts(book)), batch_number(book.scenario)
    labels = Labels(sheet or _sheet_of(book.scenario), tuple(_label(book, facts, batch) for facts in bags), first)
    tables = (_preview_table(bags), _program_table(bags, batch))
    return paper(book.scenario, "labels", f"Labels, batch {batch}", (Paragraph(HOW), *tables, labels))


def labels_of_page(book: BagBook) -> Document:
    """The labels for the page of a batch, without the table; to cut out where no sheet of labels is named."""
    document = bag_labels(book)
    blocks = (
        replace(block, frames=not book.scenario.labels) if isinstance(block, Labels) else block
        for block in document.blocks
        if not (isinstance(block, Table) and block.shown)
    )
    return replace(document, blocks=tuple(blocks))


def frame_page(scenario: Scenario, sheet: LabelSheet | None = None, first: int = 1) -> Document:
    """A page of outlines, to hold against a sheet of labels before printing on it."""
    used = sheet or _sheet_of(scenario)
    label = Label("Hold this against a sheet of labels", lines=(used.name, "print at 100 %, without fit to page"))
    return paper(scenario, "frame", "Frame", (_sheet_facts(used), Labels(used, (label,), first, frames=True)))


def _sheet_of(scenario: Scenario) -> LabelSheet:
    """The sheet of labels that the scenario names, or the usual one where it names none."""
    return scenario.labels or usual_sheet(scenario.weight_unit)


def _collect_facts(book: BagBook) -> Iterator[LabelFacts]:
    """The facts for the label of every bag, in order of the numbers."""
    too_full, frozen_on, names = bags_too_full(book), book.facts.cold.frozen_on(), _short_names(book)
    for journey in book.journeys:
        bag, dog = journey.bag, book.dogs[journey.bag.dog]
        freezes, stays = journey.way is BagWay.FREEZER, journey.way is BagWay.REFRIGERATOR
        frozen_day = frozen_on.get(journey.number, journey.filled_on) if freezes else None
        yield LabelFacts(
            number=journey.number,
            bag=bag,
            dog=dog,
            weight_g=book.weight_g(bag),
            contents=tuple(dict.fromkeys(_contents(book, bag, names))),
            apart=_apart_text(book, dog),
            note="; ".join(filter(None, (too_full.get(journey.number), *_notes(book, journey, frozen_day)))),
            filled_on=journey.filled_on,
            frozen_on=frozen_day,
            # a bag that stays fresh moves to the refrigerator when it is filled
            moves_on=journey.moves_on if freezes else journey.filled_on if stays else None,
            feed_by=journey.feed_by if freezes or stays else None,
        )


def _short_names(book: BagBook) -> Mapping[str, str]:
    """The names of cuts without what was stated of them in brackets, unless two of them would then be called alike."""
    bare = {name: name.partition(" (")[0] for name in book.cuts}
    shared = {short for short in bare.values() if list(bare.values()).count(short) > 1}
    return {name: name if short in shared else short for name, short in bare.items()}


def _contents(book: BagBook, bag: Bag, names: Mapping[str, str]) -> Iterator[str]:
    """What is in a bag: with every weight, with names alone, without what is in a mix, and not at all.

    Pieces come first, then what there is most of, and last what the bag is filled up with. Names go last, as they say
    what is eaten; all of it stands on the kitchen page, under the letter of the kind.
    """
    weighed = [filling for filling in bag.fillings if filling.cut != bag.topped_up]
    ordered = sorted(weighed, key=lambda filling: (not filling.pieces, -filling.grams))
    for with_weights, with_mixes in ((True, True), (False, True), (False, False)):
        parts = [_part_text(book, filling, names, with_weights, with_mixes) for filling in ordered]
        if bag.topped_up:
            rest = _name_text(book, bag.topped_up, names, with_mixes)
            parts.append(f"rest {rest}" if parts and with_weights else rest)
        yield ", ".join(parts)
    yield ""


def _part_text(book: BagBook, filling: Filling, names: Mapping[str, str], with_weights: bool, with_mixes: bool) -> str:
    """One thing in a bag: `2 chicken necks`, `40 g lamb liver`."""
    if filling.pieces:
        return pieces_text(filling.pieces, book.cuts[filling.cut])
    name = _name_text(book, filling.cut, names, with_mixes)
    return f"{book.grams(filling.grams)} {name}" if with_weights else name


def _name_text(book: BagBook, name: str, names: Mapping[str, str], with_mixes: bool) -> str:
    """The name of a cut, or of a mix and the cuts in it."""
    if name not in book.mixes:
        return names[name]
    return f"{name} ({join_names([names[cut.name] for cut in book.cuts_in(name)])})" if with_mixes else name


def _apart_text(book: BagBook, dog: Dog) -> str:
    """What a dog's bags must not touch; what all dogs avoid is said once, on other pages."""
    apart = [subject for subject in dog.avoid if not all(subject in other.avoid for other in book.scenario.dogs)]
    return f"no {' or '.join(map(subject_text, apart))}: keep apart" if apart else ""


def _notes(book: BagBook, journey: Journey, frozen_on: date | None) -> Iterator[str]:
    """What else this bag asks for and others do not."""
    if journey.frozen_days < journey.freeze_days:
        yield NOT_LONG_FROZEN
    elif journey.way is BagWay.NO_TIME:
        yield NO_TIME
    elif frozen_on and journey.moves_on and frozen_on >= journey.moves_on:
        yield NOT_FROZEN
    elif journey.freeze_days and journey.moves_on:
        yield f"keep frozen until {day_text(journey.moves_on)}"
    if book.dogs[journey.bag.dog].care and not all(dog.care for dog in book.scenario.dogs):
        yield IN_CARE


def _label(book: BagBook, facts: LabelFacts, batch: str) -> Label:
    """The label of one bag."""
    bag, dog = facts.bag, facts.dog
    meal = f", meal {bag.meal}" if dog.meals > 1 else ""
    kennel = f"kennel {dog.kennel}" if dog.kennel else ""
    about = ", ".join(filter(None, (book.grams(facts.weight_g), dog.owner, kennel, f"batch {batch}")))
    return Label(
        dog=dog.name,
        day=f"{day_text(bag.day)}{meal}",
        number=str(facts.number),
        kind=bag.kind,
        apart=facts.apart,
        note=facts.note,
        lines=(*_cold_line(facts), about),
        contents=facts.contents,
    )


def _cold_line(facts: LabelFacts) -> Iterator[str]:
    """When the bag goes to the refrigerator; nothing if it cannot be thawed in time."""
    if facts.moves_on:
        moves = f"to the refrigerator {day_text(facts.moves_on)}" if facts.frozen_on else "straight to the refrigerator"
        if facts.frozen_on and facts.filled_on < facts.frozen_on < facts.moves_on:
            moves = f"freeze {day_text(facts.frozen_on)}, {moves}"
        yield moves


def _preview_table(bags: tuple[LabelFacts, ...]) -> Table:
    """A row for each label, for people to check before printing."""
    columns = (
        Column("bag", "Bag", Holds.COUNT),
        Column("dog", "Dog"),
        Column("feed_on", "Fed on", Holds.DAY),
        Column("meal", "Meal", Holds.COUNT, shown=any(facts.dog.meals > 1 for facts in bags)),
        Column("kind", "Kind"),
        Column("weight_g", "Weight", Holds.GRAMS),
        Column("note", "Note", shown=any(facts.mind for facts in bags)),
    )
    return Table("", "", columns, tuple(_preview_row(facts) for facts in bags))


def _preview_row(facts: LabelFacts) -> tuple[Cell, ...]:
    """The row of one label for people."""
    bag = facts.bag
    return (facts.number, bag.dog, bag.day, bag.meal, bag.kind, facts.weight_g, facts.mind)


def _program_table(bags: tuple[LabelFacts, ...], batch: str) -> Table:
    """Everything the labels say, each part in a column of its own; no column that is empty is shown in a workbook."""
    dogs = [facts.dog for facts in bags]
    shown = {
        "owner": any(dog.owner for dog in dogs),
        "kennel": any(dog.kennel for dog in dogs),
        "meal": any(dog.meals > 1 for dog in dogs),
    }
    columns = tuple(replace(column, shown=shown.get(column.key, column.shown)) for column in COLUMNS)
    return Table("labels", "", columns, tuple(_program_row(facts, batch) for facts in bags), shown=False)


def _program_row(facts: LabelFacts, batch: str) -> tuple[Cell, ...]:
    """The row of one label for programs."""
    bag, dog = facts.bag, facts.dog
    return (
        *(facts.number, bag.dog, dog.owner, dog.kennel, bag.day, bag.meal, bag.kind, facts.weight_g),
        *(facts.mind, facts.frozen_on, facts.moves_on, facts.feed_by, facts.contents[0], batch),
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
