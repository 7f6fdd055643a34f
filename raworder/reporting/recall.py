"""Where food went and where it came from: what not to feed, who has eaten of it, and what is in a bag."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from raworder.reporting.bag_book import bags_text, numbers_text
from raworder.reporting.kept_food import Run, bag_notes, lot_source, runs_of
from raworder.reporting.words import capitalised, count_text, days_text, join_names, paper
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.kept import EntryKind, KeptBag, Lot, Trace
from raworder.trade.scenario import Scenario
from raworder.trade.units import day_text, day_with_year, grams_text

NOT_FED, EATEN, THROWN = "not fed yet", "eaten", "thrown away"
"""What became of a bag, as papers say it."""

CERTAIN, PERHAPS = "certainly", "perhaps"

WHAT_TO_DO = (
    "Keep it closed and apart until you know. The notice of your food authority or of the seller comes first.",
    "Throw it away in two closed bags, where no animal gets at it, or take it back. Keep packs, receipt and a photo.",
    "Wash your hands, the bowls, the boards and the shelf that it touched.",
    "Call a veterinarian if a dog that ate of it is unwell, and a doctor if a person is. Say what the recall is about.",
)
WHAT_TO_DO_SOURCE = "common practice, no source"


def recall(scenario: Scenario, trace: Trace, words: str, day: date, unmarked: Sequence[Lot] = ()) -> Document:
    """What not to feed of some lots, who has eaten of them, and the lots; `words` are what was asked for.

    `unmarked` are lots that may be of the same, as nobody entered what stands on them.
    """
    return paper(scenario, "trace", f"Trace: {words}", _blocks(scenario, trace, words, day, unmarked))


def _blocks(scenario: Scenario, trace: Trace, words: str, day: date, unmarked: Sequence[Lot]) -> Iterator[Block]:
    """First what is still there, then what is eaten, then what was bought."""
    if not trace.lots:
        yield Paragraph(
            f"The book has nothing of `{words}`. Try the supplier, the item, the cut, the mark on the pack, or the day."
        )
        return
    there, eaten, thrown = (
        [bag for bag in trace.bags if fate_of(bag, day) == fate] for fate in (NOT_FED, EATEN, THROWN)
    )
    yield _keep_back(scenario, trace, there)
    if unmarked:
        lots = f"lot{'' if len(unmarked) == 1 else 's'} {numbers_text(lot.number for lot in unmarked)}"
        yield Paragraph(f"What stands on {lots}, of the same cut and supplier, is not in the book: look at the packs.")
    yield Points("recall", "What to do with it", (*WHAT_TO_DO, *_tell_the_book(trace, there)), (WHAT_TO_DO_SOURCE,))
    if eaten:
        yield Points("eaten_by", "Eaten already", tuple(_eaten(trace, eaten, day)))
    else:
        yield Paragraph("By the book, no dog has eaten of it.", "Eaten already")
    if thrown:
        texts = [f"{run.bags_text} of {run.dog}, {_days_text(run, day)}" for run in runs_of(thrown)]
        yield Paragraph(f"{capitalised('; '.join(texts))}.", "Thrown away already")
    yield _lot_table(trace.lots)
    if trace.bags:
        yield _bag_table(trace, day)


def fate_of(bag: KeptBag, day: date) -> str:
    """What became of a bag until the morning of a day."""
    if not bag.is_gone(day):
        return NOT_FED
    return THROWN if bag.fate is EntryKind.THROWN else EATEN


def _keep_back(scenario: Scenario, trace: Trace, there: Sequence[KeptBag]) -> Block:
    """The bags and the loose food not to feed."""
    items = [
        f"{_bags_of_dog(bags)}{perhaps}"
        for certain, perhaps in ((True, ""), (False, ": they may hold it"))
        for bags in _by_dog(bag for bag in there if trace.certain[bag.number] is certain)
    ]
    loose = [lot for lot in trace.lots if lot.left_g]
    items += [
        f"{grams_text(lot.left_g, scenario.weight_unit)} of {lot.cut}, loose, lot {lot.number}{_marked(lot)}"
        for lot in loose
    ]
    if not items:
        return Paragraph("By the book nothing of it is left. Look into the freezer and the refrigerator all the same.")
    return Points("keep_back", "Do not feed these", tuple(f"{capitalised(item)}." for item in items))


def _by_dog(bags: Iterable[KeptBag]) -> Iterator[list[KeptBag]]:
    """The bags dog by dog and batch by batch, in the order of their days."""
    runs = runs_of(bags)
    for dog, batch in dict.fromkeys((run.dog, run.batch) for run in runs):
        yield [bag for run in runs if (run.dog, run.batch) == (dog, batch) for bag in run.bags]


def _bags_of_dog(bags: Sequence[KeptBag]) -> str:
    """Bags of one dog and batch by number, with the days from the first to the last."""
    days = days_text(bags[0].feed_on, bags[-1].feed_on)
    return f"{bags_text(bag.label for bag in bags)} of {bags[0].dog}, {days}, batch {bags[0].batch}"


def _tell_the_book(trace: Trace, there: Sequence[KeptBag]) -> Iterator[str]:
    """How to enter that it is thrown away, as the next plan feeds what the book has; nothing where nothing is left."""
    notes = [f"lot {lot.number} thrown away" for lot in trace.lots if lot.left_g]
    notes += bag_notes(there, "thrown away")
    if notes:
        words = " ".join(f'"{note}"' for note in notes)
        yield f"Then tell the book, or the next plan feeds it: `raworder note SCENARIO {words}`."


def _marked(lot: Lot) -> str:
    """The mark of a lot, after a comma."""
    return f", marked {lot.mark}" if lot.mark else ""


def _days_text(run: Run, day: date) -> str:
    """The days of a run, with the year where it is not the one of that day."""
    first, last = run.bags[0].feed_on, run.bags[-1].feed_on
    return run.days_text if first.year != last.year or last.year == day.year else f"{run.days_text} {last.year}"


def _eaten(trace: Trace, eaten: Iterable[KeptBag], day: date) -> Iterator[str]:
    """Dog by dog the days on which it ate of it, certainly or perhaps."""
    runs = runs_of(eaten)
    for dog in dict.fromkeys(run.dog for run in runs):
        bags = [bag for run in runs if run.dog == dog for bag in run.bags]
        for word in (CERTAIN, PERHAPS):
            chosen = runs_of(bag for bag in bags if trace.certain[bag.number] is (word == CERTAIN))
            if chosen:
                days = join_names([_days_text(run, day) for run in chosen])
                yield f"{dog}, {word}: {days} ({count_text(sum(len(run.bags) for run in chosen), 'bag')})."


LOT_COLUMNS = (
    Column("cut", "Cut"),
    Column("lot", "Lot", Holds.COUNT),
    Column("supplier", "From"),
    Column("item", "Item"),
    Column("code", "Code", shown=False),
    Column("mark", "Marked"),
    Column("bought_on", "Bought", Holds.DATE),
    Column("bought_g", "Bought", Holds.GRAMS, shown=False),
    Column("left_g", "Left", Holds.GRAMS),
)


def _lot_table(lots: Iterable[Lot], *, shown: bool = True) -> Table:
    """The lots: what was bought of which item, from whom, on which day."""
    rows = tuple(
        (lot.cut, lot.number, lot_source(lot), lot.item, lot.code, lot.mark, lot.bought_on, lot.grams, lot.left_g)
        for lot in lots
    )
    return Table("traced_lots", "The lots", LOT_COLUMNS, rows, shown=shown)


BAG_COLUMNS = (
    Column("dog", "Dog"),
    Column("label", "Bag", Holds.COUNT),
    Column("feed_on", "For", Holds.DAY),
    Column("is_now", "Is now"),
    Column("holds_it", "Holds it"),
    Column("batch", "Batch"),
    Column("number", "Number in the book", Holds.COUNT, shown=False),
    Column("owner", "Owner", shown=False),
)


def _bag_table(trace: Trace, day: date) -> Table:
    """Every bag that holds or may hold of it, with what became of it."""
    rows = tuple(_bag_row(trace, bag, day) for bag in trace.bags)
    return Table("traced_bags", "Every bag", BAG_COLUMNS, rows, shown=False)


def _bag_row(trace: Trace, bag: KeptBag, day: date) -> tuple[Cell, ...]:
    """A bag as a row."""
    holds = CERTAIN if trace.certain[bag.number] else PERHAPS
    return (bag.dog, bag.label, bag.feed_on, fate_of(bag, day), holds, bag.batch, bag.number, bag.owner)


CONTENT_COLUMNS = (
    Column("cut", "Cut"),
    Column("weight_g", "Weight", Holds.GRAMS),
    Column("lots", "From"),
)


def bag_origin(scenario: Scenario, trace: Trace, day: date) -> Document:
    """What went into the bag of a trace, and of which lots that is; of several lots of a cut, any may be in it."""
    return paper(scenario, "bag_origin", "In this bag", _origin(trace, day))


def _origin(trace: Trace, day: date) -> Iterator[Block]:
    """Whose bag it is, what is in it, and the lots."""
    if not trace.bags:
        yield Paragraph("The book has no such bag.")
        return
    [bag] = trace.bags
    yield Paragraph(
        f"Bag {bag.label} of {bag.dog}, batch {bag.batch}, for {day_text(bag.feed_on)} {bag.feed_on.year}, filled on "
        f"{day_text(bag.filled_on)}. It is {fate_of(bag, day)}."
    )
    rows = tuple((cut, grams, _lots_text(cut, trace.lots)) for cut, grams in bag.contents)
    yield Table("contents", "What went in", CONTENT_COLUMNS, rows, totals=(("All", bag.grams, None),))
    if trace.lots:
        yield _lot_table(trace.lots, shown=False)


def _lots_text(cut: str, lots: Iterable[Lot]) -> str:
    """The lots that a cut in a bag is of, or may be of."""
    texts = [
        f"lot {lot.number}, {lot_source(lot)}, {day_with_year(lot.bought_on)}{_marked(lot)}"
        for lot in lots
        if lot.cut == cut
    ]
    return " or ".join(texts) or "nobody knows"
