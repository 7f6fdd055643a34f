"""Mise en place: bags by size, labels, tubs, and what to half-thaw, before anything is filled."""

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction

from raworder.reporting.bag_book import BagBook, bags_by_dog
from raworder.reporting.words import count_text, join_names
from raworder.trade.as_fed import left
from raworder.trade.batch_facts import THAWS_A_DAY_G
from raworder.trade.document import Block, Column, Fact, Facts, Holds, Paragraph, Table
from raworder.trade.plan import LotUse
from raworder.trade.rounding import half_up
from raworder.trade.scenario import OnHand
from raworder.trade.units import GRAMS_PER, day_text

MOST_LEFTOVERS = 6
"""More cuts left over than this are counted, not listed."""

SIZE_G = Fraction(250)
SIZE_LB_G = GRAMS_PER["lb"] / 2
"""Bags are counted by size in steps of 250 g, or of half a pound. Source: common practice, no source."""


def mise_en_place(book: BagBook) -> Iterator[Block]:
    """What to lay out, and what to take from the freezer the evening before."""
    bags, tubs = len(book.plan.bags), sum(len(mix.tubs) for mix in book.plan.mixes)
    facts = [
        Fact("filled_on", "Fill the bags on", book.scenario.portioned_on, Holds.DAY),
        Fact("bags", "Bags", bags, Holds.COUNT),
        Fact("labels", "Labels: number, dog, day", bags, Holds.COUNT),
    ]
    yield Facts("mise_en_place", (*facts, Fact("tubs", "Tubs", tubs, Holds.COUNT)) if tubs else tuple(facts))
    yield _size_table(book)
    yield _dog_table(book)
    yield from _half_thaw_blocks(book)


def bag_size_g(grams: int, weight_unit: str) -> int:
    """The size of bag for a weight in grams: the next step up.

    >>> bag_size_g(550, "kg"), bag_size_g(750, "kg"), bag_size_g(300, "lb")
    (750, 750, 454)
    """
    step_g = SIZE_LB_G if weight_unit == "lb" else SIZE_G
    return half_up((grams / step_g).__ceil__() * step_g)


def _size_table(book: BagBook) -> Table:
    """How many bags of each size."""
    counts = Counter(bag_size_g(bag.grams, book.scenario.weight_unit) for bag in book.plan.bags)
    columns = (Column("up_to_g", "For up to", Holds.GRAMS), Column("bag_count", "Bags", Holds.COUNT))
    rows = tuple(sorted(counts.items()))
    return Table("sizes", "Bags by size", columns, rows, (("together", sum(counts.values())),), tick=True)


def _dog_table(book: BagBook) -> Table:
    """How many bags and kinds of bag each dog gets."""
    columns = (
        Column("dog", "Dog"),
        Column("bag_count", "Bags", Holds.COUNT),
        Column("kind_count", "Kinds of bag", Holds.COUNT),
    )
    rows = tuple((dog.name, len(bags), len({bag.bag.kind for bag in bags})) for dog, bags in bags_by_dog(book))
    return Table("dogs", "Bags of each dog", columns, rows)


def half_thaw_evening(book: BagBook) -> date:
    """The day on whose evening frozen meat goes into the refrigerator, so that it can be cut and shared."""
    return book.scenario.portioned_on - timedelta(1)


def lots_to_thaw(book: BagBook) -> list[tuple[OnHand, LotUse]]:
    """The lots on hand that this batch takes something of."""
    return [(book.scenario.on_hand[use.lot], use) for use in book.plan.lots_used if use.used_g]


def _half_thaw_blocks(book: BagBook) -> Iterator[Block]:
    """What to take from the freezer the evening before, so that it can be cut and shared."""
    evening, lots = half_thaw_evening(book), lots_to_thaw(book)
    if lots:
        columns = (
            Column("cut", "Cut"),
            Column("used_g", "Take", Holds.GRAMS),
            Column("lot_g", "Of", Holds.GRAMS),
            Column("frozen_on", "Frozen on", Holds.DATE),
            Column("take_out_on", "Evening of", Holds.DAY),
        )
        rows = tuple((lot.cut, use.used_g, lot.grams, lot.frozen_on, evening) for lot, use in lots)
        yield Table("half_thaw", "Half-thaw in the refrigerator", columns, rows, tick=True)
    also = "also " if lots else ""
    yield Paragraph(
        f"On the evening of {day_text(evening)} {also}move what was bought frozen into the refrigerator, to half-thaw. "
        f"A block of more than {book.about_grams(THAWS_A_DAY_G)} goes in a day earlier for each further "
        f"{book.about_grams(THAWS_A_DAY_G)}. Meat that is still half hard is the easiest to cut."
    )


def bought_leftovers_text(book: BagBook) -> str:
    """What is left over of what was bought, without scraps that no bag could hold."""
    least_g = book.scenario.portioning.least_portion_g
    kept = [leftover for leftover in left(book.plan) if leftover.bought_g >= least_g]
    if len(kept) > MOST_LEFTOVERS:
        return f"{book.grams(sum(leftover.bought_g for leftover in kept))} of {count_text(len(kept), 'cut')}"
    return join_names([f"{book.grams(leftover.bought_g)} of {leftover.cut}" for leftover in kept])
