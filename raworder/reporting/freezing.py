"""The freezing sheet: how full the freezer is every evening, and what is frozen on which day."""

from collections.abc import Iterator, Sequence

from raworder.reporting.bag_book import MOST_BAGS_LISTED, BagBook, bags_text, numbers_text
from raworder.reporting.charts import freezer_chart
from raworder.reporting.words import count_text, join_names, paper
from raworder.trade.batch_facts import BagWay, Evening, Lot
from raworder.trade.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Points, Table

FULLEST = "fullest"
HOW = (
    "Freeze bags thin and flat, with air around them; stack them when they are hard.",
    "Put in first, and lowest, what is fed last; what is fed first lies on top.",
    "What waits to be frozen waits in the refrigerator.",
)
HOW_SOURCE = "common practice, no source"


def freezing(book: BagBook) -> Document:
    """Every evening from filling to the last day, the fullest of them, and the lots where the freezer takes few."""
    return paper(book.scenario, "freezing", "Freezing", _blocks(book))


def freezer_overflow(book: BagBook) -> str:
    """By how much the freezer is too small on the fullest evening, in a sentence; empty if all fits."""
    room_g, most = _room_g(book), fullest_evening(book.facts.cold.evenings)
    if room_g is None or most.freezer_g <= room_g:
        return ""
    over = book.grams(most.freezer_g - room_g)
    return f"The freezer is too small by {over} on {most.day}. Find room before you begin."


def _room_g(book: BagBook) -> int | None:
    """The room that was asked for, also where what was bought after all may not fit into it."""
    return book.scenario.as_asked.room_g


def _blocks(book: BagBook) -> Iterator[Block]:
    """What to do on filling day, then the evenings."""
    made, known = book.facts.cold.lots, book.facts.cold.evenings
    yield _fullest(book, known)
    warnings = tuple(_warnings(book))
    if warnings:
        yield Points("mind", "Mind", warnings)
    yield Points("how", "How to freeze", HOW, (HOW_SOURCE,))
    if made:
        yield _lots(book, made)
    yield freezer_chart(book.scenario, [(evening.day, evening.freezer_g) for evening in known])
    yield _evenings(book, known)
    yield Paragraph("Each evening holds what is there after that day's food has been fed and moved. Boxes weigh extra.")


def fullest_evening(known: Sequence[Evening]) -> Evening:
    """The evening with most in the freezer, the first of several."""
    return max(known, key=lambda evening: evening.freezer_g)


def _fullest(book: BagBook, known: Sequence[Evening]) -> Facts:
    """The fullest evening and the room that it leaves."""
    most, room_g = fullest_evening(known), _room_g(book)
    facts = [
        Fact("fullest_on", "Fullest evening", most.day, Holds.DAY),
        Fact("freezer_g", "In the freezer then", most.freezer_g, Holds.GRAMS),
    ]
    if room_g is not None:
        facts.append(Fact("room_g", "Freezer room", room_g, Holds.GRAMS))
        facts.append(Fact("free_g", "Free then", max(room_g - most.freezer_g, 0), Holds.GRAMS))
    return Facts("fullest", tuple(facts))


def _warnings(book: BagBook) -> Iterator[str]:
    """What does not fit, what cannot be frozen in a day, and what waits for too long."""
    over, most_g, every = freezer_overflow(book), book.scenario.portioning.freezes_g, book.facts.cold.journeys
    if over:
        yield over
    heavy = [
        journey.number for journey in every if most_g and journey.way is BagWay.FREEZER and journey.bag.grams > most_g
    ]
    if heavy:
        yield f"The freezer does not freeze {bags_text(heavy)} in one day. Make smaller bags."
    yield from slow_freezing_warnings(book.facts.cold.lots)


def slow_freezing_warnings(made: Sequence[Lot]) -> Iterator[str]:
    """That the freezer is too slow for all that is filled in one session, and in how many to fill then."""
    late = [load for lot in made for load in lot.late]
    if late:
        numbers = [load.number for load in late if load.number]
        bags = bags_text(numbers) if len(numbers) <= MOST_BAGS_LISTED else count_text(len(numbers), "bag")
        names = [
            *([bags] if numbers else []),
            *dict.fromkeys(f"the {load.left} left over" for load in late if load.left),
        ]
        yield (
            f"The freezer is too slow: {join_names(names)} would wait too long to be frozen. "
            f"Fill the bags in at least {count_text(sessions_needed(made), 'session')} on different days, "
            "and keep the rest of the meat frozen until then."
        )


def sessions_needed(made: Sequence[Lot]) -> int:
    """In how many sessions at least to fill the bags so that none makes more lots than its food keeps for."""
    keeps_days = min((load.keeps_days for lot in made for load in lot.loads), default=0)
    return max(2, -(-len(made) // (1 + keeps_days)))


def _lots(book: BagBook, made: Sequence[Lot]) -> Table:
    """What is frozen on which day."""
    most_g = book.scenario.portioning.freezes_g or 0
    columns = (
        Column("day", "Freeze on", Holds.DAY),
        Column("bags", "Bags"),
        Column("left_over", "Left over"),
        Column("weight_g", "Weight", Holds.GRAMS),
    )
    title = f"Freeze in lots of at most {book.grams(most_g)} a day"
    return Table("lots", title, columns, tuple(_lot(book, lot) for lot in made), tick=True)


def _lot(book: BagBook, lot: Lot) -> tuple[Cell, ...]:
    """One day's lot."""
    rests = ", ".join(f"{book.grams(load.grams)} {load.left}" for load in lot.loads if load.left)
    return (lot.day, numbers_text(load.number for load in lot.loads if load.number), rests, lot.grams)


def _evenings(book: BagBook, known: Sequence[Evening]) -> Table:
    """The evenings, with the fullest marked."""
    room_g, most = _room_g(book), fullest_evening(known)
    columns = (
        Column("evening", "Evening", Holds.DAY),
        Column("bags_g", "Bags", Holds.GRAMS),
        Column("left_g", "Left over", Holds.GRAMS),
        Column("freezer_g", "In the freezer", Holds.GRAMS),
        Column("free_g", "Free", Holds.GRAMS, shown=room_g is not None),
        Column("refrigerator_g", "In the refrigerator", Holds.GRAMS),
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
            FULLEST if evening is most else "",
        )
        for evening in known
    )
    return Table("evenings", "The freezer, evening by evening", columns, rows)
