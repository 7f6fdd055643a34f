"""The freezing sheet: how full the freezer is every evening, and what is frozen on which day."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from raworder.reporting.bag_book import MOST_BAGS_LISTED, BagBook, bag_book, bags_text, numbers_text
from raworder.reporting.charts import freezer_chart
from raworder.reporting.freezing_lots import Lot, lots_of, sessions
from raworder.reporting.thawing import Journey, Way, journeys
from raworder.reporting.words import counted, listed, paper
from raworder.trade.document import Block, Cell, Column, Document, Fact, Facts, Holds, Paragraph, Points, Table
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario

FULLEST = "fullest"
HOW = (
    "Freeze bags thin and flat, with air around them; stack them when they are hard.",
    "Put in first, and lowest, what is fed last; what is fed first lies on top.",
    "What waits to be frozen waits in the refrigerator.",
)
HOW_SOURCE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Evening:
    """What is cold on one evening, in grams: bags and left over in the freezer, bags in the refrigerator."""

    day: date
    bags_g: int
    left_g: int
    refrigerator_g: int

    @property
    def freezer_g(self) -> int:
        """All in the freezer."""
        return self.bags_g + self.left_g


def freezing(scenario: Scenario, plan: Plan) -> Document:
    """Every evening from filling to the last day, the fullest of them, and the lots where the freezer takes few."""
    return paper(scenario, "freezing", "Freezing", _blocks(_book(scenario, plan)))


def over_room(scenario: Scenario, plan: Plan) -> str:
    """How much more there is than the freezer holds on the fullest evening, in a sentence; empty if all fits."""
    book = _book(scenario, plan)
    every = journeys(book)
    return _over_room(book, evenings(book, every, lots_of(book, every)))


def _book(scenario: Scenario, plan: Plan) -> BagBook:
    """The bags with the room that was asked for, also where what was bought after all may not fit into it."""
    return bag_book(replace(scenario, room_g=scenario.as_asked.room_g), plan)


def _blocks(book: BagBook) -> Iterator[Block]:
    """What to do on filling day, then the evenings."""
    every = journeys(book)
    made = lots_of(book, every)
    known = evenings(book, every, made)
    yield _fullest(book, known)
    warnings = tuple(_warnings(book, every, made, known))
    if warnings:
        yield Points("mind", "Mind", warnings)
    yield Points("how", "How to freeze", HOW, (HOW_SOURCE,))
    if made:
        yield _lots(book, made)
    yield freezer_chart(book.scenario, [(evening.day, evening.freezer_g) for evening in known])
    yield _evenings(book, known)
    yield Paragraph("Each evening holds what is there after that day's food has been fed and moved. Boxes weigh extra.")


def evenings(book: BagBook, every: Sequence[Journey], made: Sequence[Lot]) -> tuple[Evening, ...]:
    """The evenings from the day of filling to the last day fed.

    All that is left over counts from the first, also where it is frozen a day or two later.
    """
    left_g = sum(leftover.total_g for leftover in book.plan.leftovers)
    frozen = _changes(every, {load.number: lot.day for lot in made for load in lot.loads if load.number})
    fed: dict[date, int] = {}
    for bag in book.plan.bags:
        fed[bag.day] = fed.get(bag.day, 0) + bag.grams
    bags_g, unfed_g, known = 0, sum(fed.values()), []
    for day in _days(book.scenario.portioned_on, book.scenario.batch.ends):
        bags_g += frozen.get(day, 0)
        unfed_g -= fed.get(day, 0)
        known.append(Evening(day, bags_g, left_g, unfed_g - bags_g))
    return tuple(known)


def fullest(known: Sequence[Evening]) -> Evening:
    """The evening with most in the freezer, the first of several."""
    return max(known, key=lambda evening: evening.freezer_g)


def _changes(every: Sequence[Journey], frozen_on: Mapping[int, date]) -> dict[date, int]:
    """Grams of bags that go into the freezer on a day, less those that leave it that morning."""
    found: dict[date, int] = {}
    for journey in every:
        goes_in, leaves = frozen_on.get(journey.number, journey.filled_on), journey.moves_on
        if leaves and goes_in < leaves:
            found[goes_in] = found.get(goes_in, 0) + journey.bag.grams
            found[leaves] = found.get(leaves, 0) - journey.bag.grams
    return found


def _days(first: date, last: date) -> Iterator[date]:
    """The days from one to another, both included."""
    return (first + timedelta(days) for days in range((last - first).days + 1))


def _fullest(book: BagBook, known: Sequence[Evening]) -> Facts:
    """The fullest evening and the room that it leaves."""
    most, room_g = fullest(known), book.scenario.room_g
    facts = [
        Fact("fullest_on", "Fullest evening", most.day, Holds.DAY),
        Fact("freezer_g", "In the freezer then", most.freezer_g, Holds.GRAMS),
    ]
    if room_g is not None:
        facts.append(Fact("room_g", "Freezer room", room_g, Holds.GRAMS))
        facts.append(Fact("free_g", "Free then", max(room_g - most.freezer_g, 0), Holds.GRAMS))
    return Facts("fullest", tuple(facts))


def _warnings(book: BagBook, every: Sequence[Journey], made: Sequence[Lot], known: Sequence[Evening]) -> Iterator[str]:
    """What does not fit, what cannot be frozen in a day, and what waits for too long."""
    over, most_g = _over_room(book, known), book.scenario.portioning.freezes_g
    if over:
        yield over
    heavy = [
        journey.number for journey in every if most_g and journey.way is Way.FREEZER and journey.bag.grams > most_g
    ]
    if heavy:
        yield f"The freezer does not freeze {bags_text(heavy)} in one day. Make smaller bags."
    yield from too_slow(made)


def _over_room(book: BagBook, known: Sequence[Evening]) -> str:
    """By how much the freezer is too small, in a sentence."""
    room_g, most = book.scenario.room_g, fullest(known)
    if room_g is None or most.freezer_g <= room_g:
        return ""
    over = book.grams(most.freezer_g - room_g)
    return f"The freezer is too small by {over} on {most.day}. Find room before you begin."


def too_slow(made: Sequence[Lot]) -> Iterator[str]:
    """That the freezer is too slow for all that is filled in one session, and in how many to fill then."""
    late = [load for lot in made for load in lot.late]
    if late:
        numbers = [load.number for load in late if load.number]
        bags = bags_text(numbers) if len(numbers) <= MOST_BAGS_LISTED else counted(len(numbers), "bag")
        names = [
            *([bags] if numbers else []),
            *dict.fromkeys(f"the {load.left} left over" for load in late if load.left),
        ]
        yield (
            f"The freezer is too slow: {listed(names)} would wait too long to be frozen. "
            f"Fill the bags in at least {counted(sessions(made), 'session')} on different days, "
            "and keep the rest of the meat frozen until then."
        )


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
    room_g, most = book.scenario.room_g, fullest(known)
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
