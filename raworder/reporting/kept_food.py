"""What is in the freezer by the book: for how long it feeds each dog, the lots that are loose, and the bags."""

from calendar import monthrange
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from raworder.reporting.bag_book import bags_text, numbers_text
from raworder.reporting.words import capitalised, count_text, days_text, dogs_text, join_names, paper
from raworder.trade.cover import Cover
from raworder.trade.cuts import Cut
from raworder.trade.document import Block, Cell, Column, Document, Holds, Paragraph, Points, Table
from raworder.trade.kept import KeptBag, Lot, Stock
from raworder.trade.rounding import half_up, round_to_sum
from raworder.trade.scenario import Keeping, Scenario
from raworder.trade.units import about_grams_text, day_text

BEST_FIRST = "best fed first"
QUALITY = (
    "The months are about quality, not safety: food that stays frozen at -18 C (0 F) or colder stays safe. What is "
    "past them is best fed first. The lower published number counts."
)
QUALITY_SOURCE = "foodsafety.gov, Cold Food Storage Chart (read in second-hand copies)"
ROUGH = (
    "Loose food is counted by weight alone, so its days are a rough number: only a plan says whether it makes balanced "
    "bags."
)


def stock_paper(
    scenario: Scenario, stock: Stock, covers: Sequence[Cover], cuts: Mapping[str, Cut], owner: str = ""
) -> Document:
    """What is in the freezer in the morning of a day, for all or for one owner; `cuts` by name tell how food keeps."""
    shown = of_owner(stock, owner) if owner else stock
    mine = tuple(cover for cover in covers if not owner or cover.owner == owner)
    return paper(scenario, "stock", "In the freezer", _blocks(scenario, shown, mine, cuts, owner))


def of_owner(stock: Stock, owner: str) -> Stock:
    """The bags and the loose food of one owner alone."""
    lots = tuple(lot for lot in stock.lots if lot.owner == owner)
    return Stock(stock.day, lots, tuple(bag for bag in stock.bags if bag.owner == owner), stock.currency)


def _blocks(
    scenario: Scenario, stock: Stock, covers: Sequence[Cover], cuts: Mapping[str, Cut], owner: str
) -> Iterator[Block]:
    """The sum of it, for how long it is enough, then the food itself."""
    whose = f"{owner}'s food. " if owner else ""
    yield Paragraph(f"{whose}{_sum_text(scenario, stock)}")
    yield from _cover_blocks(scenario, covers)
    keeping = {lot.cut: scenario.keeping_of(cuts[lot.cut]) for lot in stock.lots if lot.cut in cuts}
    if stock.lots:
        yield _lot_table(scenario, stock, keeping)
    if stock.bags:
        yield bag_table(scenario, stock.day, stock.bags)
    published = [row for row in keeping.values() if row and row.freezer_months]
    if published:
        sources = dict.fromkeys((*(row.source for row in published), QUALITY_SOURCE))
        yield Points("freezer_months", "How long frozen food stays good", (QUALITY,), tuple(sources))


def _sum_text(scenario: Scenario, stock: Stock) -> str:
    """How much there is and what it cost, in a sentence or two."""
    day = day_text(stock.day)
    if not stock.grams:
        return f"The book has nothing in the freezer on {day}."
    loose_g = sum(lot.left_g for lot in stock.lots)
    bags = f"{_about(scenario, stock.grams - loose_g)} of food in {count_text(len(stock.bags), 'bag')}"
    loose = f"{_about(scenario, loose_g)} loose"
    there = join_names([*([bags] if stock.bags else []), *([loose] if loose_g else [])])
    cost = scenario.currency.text(scenario.currency.rounded(stock.worth))
    return f"In the morning of {day}: {there}. It cost {cost}.{_thawed_text(stock)}"


def _thawed_text(stock: Stock) -> str:
    """The bags that are no longer frozen, after a space: those of the day, which thawed since the morning before."""
    thawed = [bag for bag in stock.bags if bag.feed_on == stock.day and bag.fate is None]
    if not thawed:
        return ""
    are_few = len(thawed) <= MOST_NAMED and len({bag.batch for bag in thawed}) == 1
    numbers = f" ({numbers_text(bag.label for bag in thawed)})" if are_few else ""
    return f" The {count_text(len(thawed), 'bag')} for this day{numbers} should lie thawed in the refrigerator."


MOST_NAMED = 6
"""So many bags are named by number at most."""


def _about(scenario: Scenario, grams: int) -> str:
    """A weight that nobody weighs again."""
    return about_grams_text(grams, scenario.weight_unit)


COVER_COLUMNS = (
    Column("dog", "Dog"),
    Column("enough_until", "Enough until", Holds.DAY),
    Column("order_by", "Order by", Holds.DAY),
    Column("bag_count", "Bags", Holds.COUNT),
    Column("rough_days", "Loose food: about", shown=False),
    Column("beside", "Beside these"),
)


def _cover_blocks(scenario: Scenario, covers: Sequence[Cover]) -> Iterator[Block]:
    """By when to order, in a sentence, and the cover of each dog."""
    if not covers:
        return
    yield Paragraph(_order_text(scenario, covers), "Enough for how long")
    rows = tuple(
        (cover.dog, cover.until, cover.order_by, len(cover.bags), cover.rough_days, _beside_text(cover))
        for cover in covers
    )
    note = ROUGH if any(cover.rough_days for cover in covers) else ""
    yield Table("cover", "", COVER_COLUMNS, rows, note=note)


NEXT_ORDER = "`raworder next SCENARIO` writes the next scenario."


def _order_text(scenario: Scenario, covers: Sequence[Cover]) -> str:
    """Who has no bag for today; else by when to order for whom, and how that day is found."""
    names = [cover.dog for cover in covers]
    without = [cover.dog for cover in covers if cover.until is None]
    first = min(cover.first for cover in covers)
    if without:
        return f"No bag for {day_text(first)}: {dogs_text(without, names)}. Order now. {NEXT_ORDER}"
    soonest = min(cover.until for cover in covers if cover.until)
    whom = dogs_text([cover.dog for cover in covers if cover.until == soonest], names)
    ahead = count_text(scenario.batch.order_ahead_days, "day")
    order_by = soonest - timedelta(days=scenario.batch.order_ahead_days)
    enough = f"There is enough for {whom} until {day_text(soonest)}; ordering takes {ahead}."
    if order_by < first:
        return f"Order now: that was due {day_text(order_by)}. {enough} {NEXT_ORDER}"
    return f"Order by {day_text(order_by)}. {enough}"


def _beside_text(cover: Cover) -> str:
    """Bags that are there and count for no day, and for how long loose food may be enough."""
    texts = []
    if cover.later:
        since = day_text(min(bag.feed_on for bag in cover.later))
        texts.append(f"{count_text(len(cover.later), 'bag')} after a gap, from {since}")
    if cover.kept:
        texts.append(f"{count_text(len(cover.kept), 'bag')} kept over")
    if cover.rough_days:
        texts.append(f"about {count_text(cover.rough_days, 'day')} of loose food")
    return ", ".join(texts)


def lot_source(lot: Lot) -> str:
    """From whom a lot is; where it was found, that."""
    return lot.supplier or "found in the freezer"


def best_by(lot: Lot, keeping: Keeping | None) -> date | None:
    """Until when a lot stays good by the lower published number; None where that, or the day of freezing, is unknown.

    >>> best_by(Lot(1, 1, "hen", 9, 9, Decimal(0), Decimal(0), "EUR", date(2026, 9, 1), date(2026, 11, 30)),
    ...     Keeping("hens", frozenset(), frozenset(), 1, 2, "", (3, 4)))
    datetime.date(2027, 2, 28)
    """
    if lot.frozen_on is None or keeping is None or keeping.freezer_months is None:
        return None
    years, month = divmod(lot.frozen_on.month - 1 + keeping.freezer_months[0], 12)
    year = lot.frozen_on.year + years
    return date(year, month + 1, min(lot.frozen_on.day, monthrange(year, month + 1)[1]))


def _lot_table(scenario: Scenario, stock: Stock, keeping: Mapping[str, Keeping | None]) -> Table:
    """The lots by cut, the oldest first, with the sum."""
    lots = sorted(stock.lots, key=lambda lot: (lot.cut, lot.frozen_on or lot.bought_on, lot.number))
    worths = money_parts(scenario, [lot.left_worth for lot in lots])
    columns = (
        Column("cut", "Cut"),
        Column("left_g", "Left", Holds.GRAMS),
        Column("cost", "Cost", Holds.MONEY, shown=False),
        Column("lot", "Lot", Holds.COUNT),
        Column("owner", "Owner", shown=any(lot.owner for lot in lots)),
        Column("supplier", "From"),
        Column("mark", "Marked", shown=any(lot.mark for lot in lots)),
        Column("bought_on", "Bought", Holds.DATE, shown=False),
        Column("frozen_on", "Frozen since", Holds.DATE),
        Column("best_by", "Good until", Holds.DATE),
        Column("remark", "", shown=False),
    )
    good_until = [best_by(lot, keeping.get(lot.cut)) for lot in lots]
    rows = tuple(_lot_row(*told, stock.day) for told in zip(lots, worths, good_until, strict=True))
    blank: tuple[Cell, ...] = (None,) * 8
    totals = ("All loose food", sum(lot.left_g for lot in lots), sum(worths, Decimal(0)), *blank)
    past = [
        f"lot {lot.number}, {lot.cut}" for lot, day in zip(lots, good_until, strict=True) if day and day < stock.day
    ]
    note = f"{capitalised(BEST_FIRST)}: {join_names(past)}." if past else ""
    return Table("loose_lots", "Loose, by cut", columns, rows, totals=(totals,), note=note)


def _lot_row(lot: Lot, cost: Decimal, good_until: date | None, day: date) -> tuple[Cell, ...]:
    """A lot as a row; one that is past its months is marked."""
    remark = BEST_FIRST if good_until and good_until < day else ""
    about = (lot.cut, lot.left_g, cost, lot.number, lot.owner, lot_source(lot), lot.mark)
    return (*about, lot.bought_on, lot.frozen_on, good_until, remark)


def money_parts(scenario: Scenario, amounts: Sequence[Fraction]) -> tuple[Decimal, ...]:
    """Exact amounts in whole minor units that add up to their rounded sum."""
    minor = scenario.currency.minor
    parts = [amount / Fraction(minor) for amount in amounts]
    return tuple(part * minor for part in round_to_sum(parts, half_up(sum(parts, Fraction(0)))))


@dataclass(frozen=True, slots=True)
class Run:
    """Bags of one dog and batch for days that follow each other."""

    dog: str
    batch: str
    bags: tuple[KeptBag, ...]

    @property
    def labels(self) -> str:
        """The numbers on their labels: `15-28`."""
        return numbers_text(bag.label for bag in self.bags)

    @property
    def bags_text(self) -> str:
        """The bags by the numbers on their labels: `bags 15-28`."""
        return bags_text(bag.label for bag in self.bags)

    @property
    def days_text(self) -> str:
        """The days for which they are: `Sat 13 to Fri 19 Feb`."""
        return days_text(self.bags[0].feed_on, self.bags[-1].feed_on)


def runs_of(bags: Iterable[KeptBag]) -> tuple[Run, ...]:
    """The bags dog by dog, then batch by batch, in runs of days that follow each other."""
    runs: list[Run] = []
    for bag in sorted(bags, key=lambda bag: (bag.dog, bag.batch, bag.feed_on, bag.meal, bag.number)):
        last = runs[-1] if runs else None
        goes_on = last and (last.dog, last.batch) == (bag.dog, bag.batch)
        if last and goes_on and bag.feed_on - last.bags[-1].feed_on <= timedelta(days=1):
            runs[-1] = Run(bag.dog, bag.batch, (*last.bags, bag))
        else:
            runs.append(Run(bag.dog, bag.batch, (bag,)))
    return tuple(runs)


def bag_notes(bags: Sequence[KeptBag], fate: str) -> Iterator[str]:
    """What to tell the book of bags, batch by batch: `bags 12-13 of batch 270206-1A2B fed`."""
    for batch in dict.fromkeys(bag.batch for bag in bags):
        yield f"{bags_text(bag.label for bag in bags if bag.batch == batch)} of batch {batch} {fate}"


def bag_table(scenario: Scenario, day: date, bags: Sequence[KeptBag]) -> Table:
    """The bags by dog as runs of days, with what they weigh and cost, and the sum; those past their day are marked."""
    past = runs_of(bag for bag in bags if bag.feed_on < day)
    runs = sorted((*past, *runs_of(bag for bag in bags if bag.feed_on >= day)), key=lambda run: run.dog)
    worths = money_parts(scenario, [sum((bag.worth for bag in run.bags), Fraction(0)) for run in runs])
    columns = (
        Column("dog", "Dog"),
        Column("labels", "Bags"),
        Column("days", "For"),
        Column("bag_count", "Count", Holds.COUNT),
        Column("weight_g", "Weight", Holds.ABOUT_GRAMS),
        Column("cost", "Cost", Holds.MONEY),
        Column("batch", "Batch", shown=len({run.batch for run in runs}) > 1),
        Column("remark", "", shown=bool(past)),
        Column("numbers", "Numbers in the book", shown=False),
    )
    rows = tuple(
        _run_row(run, cost, "kept over" if run in past else "") for run, cost in zip(runs, worths, strict=True)
    )
    sums = (len(bags), sum(bag.grams for bag in bags), sum(worths, Decimal(0)))
    return Table("kept_bags", "Bags", columns, rows, totals=(("All bags", None, None, *sums, None, None, None),))


def _run_row(run: Run, cost: Decimal, remark: str) -> tuple[Cell, ...]:
    """A run of bags as a row."""
    weight_g = sum(bag.grams for bag in run.bags)
    numbers = numbers_text(bag.number for bag in run.bags)
    return (run.dog, run.labels, run.days_text, len(run.bags), weight_g, cost, run.batch, remark, numbers)
