"""The freezing sheet: how full the freezer is every evening, and what is frozen on which day."""

from collections.abc import Iterator, Sequence

from raworder.reporting.bag_book import MOST_BAGS_LISTED, BagBook, bags_text, numbers_text
from raworder.reporting.charts import freezer_chart
from raworder.reporting.thaw_plan import bags_to_keep_back
from raworder.reporting.words import count_text, join_names, paper
from raworder.trade.batch_facts import BagWay, Evening, Lot
from raworder.trade.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Points, Table
from raworder.trade.units import day_text

FULLEST = "fullest"
HOW = (
    "Freeze bags thin and flat, with air around them; stack them when they are hard.",
    "Put in first, and lowest, what is fed last; what is fed first lies on top.",
    "Keep what is still to be frozen in the refrigerator.",
)
HOW_SOURCE = "common practice, no source"


def freezing(book: BagBook) -> Document:
    """How full the freezer is every evening, and the lots to freeze where it cannot freeze all at once."""
    return paper(book.scenario, "freezing", "Freezing", _blocks(book))


def freezer_overflow(book: BagBook) -> str:
    """By how much the freezer is too small on the fullest evening, in a sentence; empty if all fits."""
    room_g, evening = _room_g(book), fullest_evening(book.facts.cold.evenings)
    if room_g is None or evening.freezer_g <= room_g:
        return ""
    over = book.about_grams(evening.freezer_g - room_g)
    return f"The freezer is too small by {over} on {day_text(evening.day)}. Find room before you begin."


def _room_g(book: BagBook) -> int | None:
    """The freezer room that the scenario states, even if what was bought no longer fits into it."""
    return book.scenario.as_asked.room_g


def _blocks(book: BagBook) -> Iterator[Block]:
    """What to do on filling day, then the evenings."""
    lots, evenings = book.facts.cold.lots, book.facts.cold.evenings
    yield _fullest_facts(book, evenings)
    warnings = tuple(_warnings(book))
    if warnings:
        yield Points("mind", "Before you begin", warnings)
    yield Points("how", "How to freeze", HOW, (HOW_SOURCE,))
    if lots:
        yield _lot_table(book, lots)
    yield freezer_chart(book.scenario, [(evening.day, evening.freezer_g) for evening in evenings])
    yield _evening_table(book, evenings)
    yield Paragraph("Each evening shows what is left after that day's feeding and thawing. Boxes weigh extra.")


def fullest_evening(evenings: Sequence[Evening]) -> Evening:
    """The evening with most in the freezer; of several, the first."""
    return max(evenings, key=lambda evening: evening.freezer_g)


def _fullest_facts(book: BagBook, evenings: Sequence[Evening]) -> Facts:
    """The fullest evening and the room that it leaves."""
    evening, room_g = fullest_evening(evenings), _room_g(book)
    facts = [
        Fact("fullest_on", "Fullest evening", evening.day, Holds.DAY),
        Fact("freezer_g", "In the freezer then", evening.freezer_g, Holds.ABOUT_GRAMS),
    ]
    if room_g is not None:
        facts.append(Fact("room_g", "Freezer room", room_g, Holds.GRAMS))
        facts.append(Fact("free_g", "Free then", max(room_g - evening.freezer_g, 0), Holds.ABOUT_GRAMS))
    return Facts("fullest", tuple(facts))


def _warnings(book: BagBook) -> Iterator[str]:
    """What does not fit, what cannot be frozen in a day, and what waits for too long."""
    overflow, most_g, journeys = freezer_overflow(book), book.scenario.portioning.freezes_g, book.facts.cold.journeys
    if overflow:
        yield overflow
    too_heavy = [
        journey.number
        for journey in journeys
        if most_g and journey.way is BagWay.FREEZER and journey.bag.grams > most_g
    ]
    if too_heavy:
        yield f"The freezer does not freeze {bags_text(too_heavy)} in one day. Make smaller bags."
    yield from slow_freezing_warnings(book.facts.cold.lots)


def before_filling(book: BagBook) -> Iterator[Points]:
    """What to know before the bags are filled: what freezes too slowly, and which bags to keep back."""
    warnings = tuple(slow_freezing_warnings(book.facts.cold.lots))
    if warnings:
        yield Points("too_slow", "Before you begin", warnings)
    yield from bags_to_keep_back(book, book.journeys)


def slow_freezing_warnings(lots: Sequence[Lot]) -> Iterator[str]:
    """A warning if the freezer is too slow for all bags at once, with the number of sessions to fill them in."""
    late = [load for lot in lots for load in lot.late]
    if late:
        numbers = [load.number for load in late if load.number]
        bags = bags_text(numbers) if len(numbers) <= MOST_BAGS_LISTED else count_text(len(numbers), "bag")
        names = [
            *([bags] if numbers else []),
            *dict.fromkeys(f"the {load.left} left over" for load in late if load.left),
        ]
        yield (
            f"The freezer is too slow: {join_names(names)} would wait too long to be frozen. "
            f"Fill the bags in at least {count_text(sessions_needed(lots), 'session')} on different days, "
            "and keep the rest of the meat frozen until then."
        )


def sessions_needed(lots: Sequence[Lot]) -> int:
    """The fewest sessions in which to fill the bags, so that no lot waits longer than its food keeps."""
    keeps_days = min((load.keeps_days for lot in lots for load in lot.loads), default=0)
    # One lot freezes on the day of a session, and one more on each day that the food keeps; -(-a // b) rounds up.
    return max(2, -(-len(lots) // (1 + keeps_days)))


def _lot_table(book: BagBook, lots: Sequence[Lot]) -> Table:
    """What is frozen on which day."""
    most_g = book.scenario.portioning.freezes_g or 0
    columns = (
        Column("day", "Freeze on", Holds.DAY),
        Column("bags", "Bags"),
        Column("left_over", "Left over"),
        Column("weight_g", "Weight", Holds.ABOUT_GRAMS),
    )
    title = f"Freeze in lots of at most {book.about_grams(most_g)} a day"
    return Table("lots", title, columns, tuple(_lot_row(book, lot) for lot in lots), tick=True)


def _lot_row(book: BagBook, lot: Lot) -> tuple[Cell, ...]:
    """The row of one day's lot."""
    left_over = ", ".join(f"{book.about_grams(load.grams)} {load.left}" for load in lot.loads if load.left)
    return (lot.day, numbers_text(load.number for load in lot.loads if load.number), left_over, lot.grams)


def _evening_table(book: BagBook, evenings: Sequence[Evening]) -> Table:
    """The evenings, with the fullest marked."""
    room_g, fullest = _room_g(book), fullest_evening(evenings)
    columns = (
        Column("evening", "Evening", Holds.DAY),
        Column("bags_g", "Bags", Holds.ABOUT_GRAMS),
        Column("left_g", "Left over", Holds.ABOUT_GRAMS),
        Column("freezer_g", "In the freezer", Holds.ABOUT_GRAMS),
        Column("free_g", "Free", Holds.ABOUT_GRAMS, shown=room_g is not None),
        Column("refrigerator_g", "In the refrigerator", Holds.ABOUT_GRAMS),
        Column("mark", ""),
    )
    rows = tuple(
        (
            evening.day,
            evening.bags_g,
            evening.left_g,
            evening.freezer_g,
            None if room_g is None else max(room_g - evening.freezer_g, 0),
            evening.refrigerator_g,
            FULLEST if evening is fullest else "",
        )
        for evening in evenings
    )
    return Table("evenings", "The freezer, evening by evening", columns, rows)
