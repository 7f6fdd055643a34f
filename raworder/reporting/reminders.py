"""Reminders: what to do on which day of a batch, for a calendar; one a day, as a person looks at it in the morning."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from raworder.document import Block, Cell, Column, Document, Holds, Paragraph, Table
from raworder.fingerprint import batch_named, batch_number
from raworder.plan import Plan
from raworder.reporting.bag_book import BagBook, bag_book
from raworder.reporting.books import left
from raworder.reporting.day_reminders import Kind, Reminder, days_of, freezing_text, moving_text
from raworder.reporting.freezing import too_slow
from raworder.reporting.freezing_lots import Lot, lots_of
from raworder.reporting.mise_en_place import half_thaw_on, taken_out
from raworder.reporting.thaw_plan import HOW, moves, to_mind
from raworder.reporting.thawing import Journey, Way, journeys
from raworder.reporting.words import counted, dogs_text, listed, paper
from raworder.trade import Scenario
from raworder.units import day_text

COLUMNS = (
    Column("day", "On", Holds.DAY),
    Column("to_do", "To do"),
    Column("details", "How"),
    Column("cautions", "Mind", shown=False),
    Column("kind", "Kind", shown=False),
    Column("uid", "UID", shown=False),
    Column("filled_on", "Bags filled on", Holds.DAY, shown=False),
)
"""Details and cautions are sentences, each on a line of its own where there are lines.

The cautions stand above the table for who reads the paper; a calendar shows one day without the paper.
"""


def reminders(scenario: Scenario, plan: Plan) -> Document:
    """What to do on every day from the one before the bags are filled to the last one fed, and when to order again."""
    return paper(scenario, "reminders", f"Calendar: {scenario.title}", _blocks(bag_book(scenario, plan)))


def _blocks(book: BagBook) -> Iterator[Block]:
    """What holds for all days, then the days."""
    every = journeys(book)
    yield Paragraph(HOW)
    yield from to_mind(book, every)
    batch = batch_named(book.scenario)  # also after the shop, so that a calendar puts these in place of those before
    rows = tuple(_row(book, one, batch) for one in _all(book, every))
    title = f"Batch {batch_number(book.scenario)}, day by day"
    yield Table("reminders", title, COLUMNS, rows, tick=True)


def _row(book: BagBook, one: Reminder, batch: str) -> tuple[Cell, ...]:
    """A reminder as a row."""
    filled_on = book.scenario.portioned_on
    details, cautions = "\n".join(one.details), "\n".join(one.cautions)
    return (one.day, one.to_do, details, cautions, one.kind.value, one.uid(batch), filled_on)


def _all(book: BagBook, every: Sequence[Journey]) -> list[Reminder]:
    """Every reminder in order of days; on one day bags are filled before they are fed."""
    lots = {lot.day: lot for lot in lots_of(book, every)}
    made = [_preparing(book), _filling(book, every, lots), *days_of(book, every, lots), _ordering(book)]
    return sorted(made, key=lambda one: one.day)


def _preparing(book: BagBook) -> Reminder:
    """The day before the bags are filled: all is at home by then, and what is frozen is half-thawed overnight."""
    lots = [f"{book.grams(use.used_g)} {lot.cut}" for lot, use in taken_out(book)]
    bought = bool(book.plan.lines)
    details = (
        "The bags are filled tomorrow.",
        *(("All that was ordered is at home by now.",) if bought else ()),
        *((f"Move from the freezer to the refrigerator this evening, to half-thaw: {listed(lots)}.",) if lots else ()),
        *(
            ("What was bought frozen goes to the refrigerator this evening, large blocks a day earlier.",)
            if bought
            else ()
        ),
    )
    to_do = "Have all at home; half-thaw tonight" if bought else "Half-thaw tonight"
    return Reminder(half_thaw_on(book), Kind.PREPARING, to_do, details)


def _filling(book: BagBook, every: Sequence[Journey], lots: Mapping[date, Lot]) -> Reminder:
    """The day on which the bags are filled."""
    day, count = book.scenario.portioned_on, len(book.plan.bags)
    weight = book.grams(sum(bag.grams for bag in book.plan.bags))
    details = (
        f"{counted(count, 'bag')}, {weight}. The counter sheet tells what goes into which.",
        *_after_filling(book, every, lots.get(day)),
    )
    minded = (item for points in to_mind(book, every) for item in points.items)
    cautions = (*too_slow(tuple(lots.values())), *minded)
    return Reminder(day, Kind.FILLING, f"Fill {counted(count, 'bag')}", details, cautions)


def _after_filling(book: BagBook, every: Sequence[Journey], lot: Lot | None) -> Iterator[str]:
    """Where the bags go when they are filled."""
    for row in moves(book, [one for one in every if one.way is Way.REFRIGERATOR]):
        yield moving_text(row, day_of_filling=True)
    if lot:
        yield freezing_text(book, lot)
    elif any(one.way is Way.FREEZER for one in every):
        yield "Put the bags that are thawed on a later day into the freezer, what is fed last first."
    rests = _rests(book)
    if rests and not lot:
        yield f"Freeze what is left over: {rests}."


def _ordering(book: BagBook) -> Reminder:
    """The day on which the next batch is ordered at the latest."""
    batch, last, rests = book.scenario.batch, _last_fed(book), _rests(book)
    details = (
        *(
            f"Enough until {day_text(day)} for {dogs_text([dog for dog in last if last[dog] == day], last)}."
            for day in sorted(set(last.values()))
        ),
        f"The bags of the next batch are filled on {day_text(batch.ends)} at the latest.",
        f"Left over then, to be used next: {rests}. Write it under `on_hand`."
        if rests
        else "Nothing that could be fed is left over then.",
    )
    return Reminder(batch.order_by, Kind.ORDERING, "Order for the next batch", details)


def _last_fed(book: BagBook) -> dict[str, date]:
    """The last day for which each dog has a bag."""
    last: dict[str, date] = {}
    for bag in book.plan.bags:
        last[bag.dog] = max(bag.day, last.get(bag.dog, bag.day))
    return last


def _rests(book: BagBook) -> str:
    """What is left over, cut by cut, without scraps that no bag could hold."""
    least_g = book.scenario.portioning.least_portion_g
    return listed([f"{book.grams(one.total_g)} {one.cut}" for one in left(book.plan) if one.total_g >= least_g])
