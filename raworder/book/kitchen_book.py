"""What the book answers: entries, batches, stock on a day, prices, weighings, and where food came from and went."""

import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any

from raworder.book.ledger import KEPT, looking_into
from raworder.trade.kept import (
    BatchAccount,
    Entry,
    EntryKind,
    Fed,
    KeptBag,
    ListedPrice,
    Loss,
    Lot,
    NewLot,
    OrderedLine,
    PaidBill,
    PartGot,
    PricePoint,
    Stock,
    Trace,
    Weighing,
)

EVER = 2**63 - 1
"""The last entry that there can be."""

Row = Any
"""A row of a table: a tuple of what SQLite holds, text and whole numbers."""


@contextmanager
def open_book(path: Path) -> Iterator["KitchenBook"]:
    """The book to read, as it is now, whoever writes meanwhile; BookError where there is none."""
    with looking_into(path) as tables:
        yield KitchenBook(tables)


class KitchenBook:
    """The book as it was at one moment; entries that were taken back count nowhere but in `entries`."""

    def __init__(self, tables: sqlite3.Connection) -> None:
        self._tables = tables

    def entries(self) -> tuple[Entry, ...]:
        """Every entry in order."""
        rows = self._rows(
            "SELECT made.entry, made.kind, made.day, made.says, back.entry FROM entry AS made "
            "LEFT JOIN entry AS back ON back.voids = made.entry ORDER BY made.entry"
        )
        return tuple(Entry(number, EntryKind(kind), _day(day), says, void) for number, kind, day, says, void in rows)

    def tables(self) -> Iterator[tuple[str, tuple[str, ...], tuple[Row, ...]]]:
        """Every table as it is kept: its name, columns and rows, for other programs."""
        for name in KEPT:
            found = self._tables.execute(f"SELECT * FROM {name} ORDER BY 1, 2")  # noqa: S608 - a table of ours
            yield name, tuple(column[0] for column in found.description), tuple(found.fetchall())

    def batches(self) -> tuple[BatchAccount, ...]:
        """Every batch that was filled, by its first day."""
        rows = self._rows(f"{BATCHES} WHERE kind = 'batch' ORDER BY starts, entry")
        return tuple(self._batch(row) for row in rows)

    def order_of(self, title: str, starts: date) -> BatchAccount | None:
        """The last order that was planned for a batch and entered before the shop."""
        rows = self._rows(
            f"{BATCHES} WHERE kind = 'order' AND title = ? AND starts = ? ORDER BY entry DESC", title, _text(starts)
        )
        return self._batch(rows[0]) if rows else None

    def stock(self, day: date, before: tuple[str, date] | None = None) -> Stock:
        """What is there on a day, with all that was entered of it by then.

        `before` leaves out all that was entered since the batch of that title and first day, as if it were to come.
        """
        last = self._last_entry_before(*before) if before else EVER
        lots = tuple(lot for lot in self._lots(day, last) if lot.left_g)
        bags = tuple(bag for bag in self._bags(day, last) if not bag.is_gone(day))
        currency = self._rows("SELECT currency FROM batch ORDER BY entry DESC")
        return Stock(day, lots, bags, currency[0][0] if currency else "")

    def lots(self) -> tuple[Lot, ...]:
        """Every lot that ever was, by number, with what is left of it now."""
        return self._every_lot

    def bags(self) -> tuple[KeptBag, ...]:
        """Every bag that was ever filled, by number."""
        return self._every_bag

    def labels_gone(self, title: str, starts: date) -> frozenset[int]:
        """The labels of bags of a batch of which somebody entered that they are fed or thrown away."""
        numbers = {batch.number for batch in self.batches() if (batch.title, batch.starts) == (title, starts)}
        gone = (bag for bag in self.bags() if bag.batch in numbers and bag.fate not in {None, EntryKind.KEPT})
        return frozenset(bag.label for bag in gone)

    @cached_property
    def _every_lot(self) -> tuple[Lot, ...]:
        return tuple(sorted(self._lots(date.max), key=lambda lot: lot.number))

    @cached_property
    def _every_bag(self) -> tuple[KeptBag, ...]:
        return tuple(sorted(self._bags(date.max), key=lambda bag: bag.number))

    def weighings(self, dog: str = "") -> tuple[Weighing, ...]:
        """What dogs weighed, by day; of one dog where it is named."""
        rows = self._rows(
            "SELECT dog, day, grams FROM weighing JOIN live USING (entry) WHERE ? IN ('', dog) ORDER BY day, entry", dog
        )
        return tuple(Weighing(name, _day(day), grams) for name, day, grams in rows)

    def prices(self, cut: str = "") -> tuple[PricePoint, ...]:
        """What an edible kilogram of each cut was paid and listed for, by day; a list that was seen twice counts once.

        All that is fed of a cut is edible, bone too, so it is the price of a kilogram as bought.
        """
        paid = self._rows(
            "SELECT cut, bought_on, supplier, item, goods, grams FROM lot JOIN live USING (entry) "
            "WHERE supplier <> '' AND grams > 0 AND ? IN ('', cut) ORDER BY bought_on, lot",
            cut,
        )
        listed = self._rows(
            "SELECT DISTINCT cut, listed.day, supplier, item, edible_kg FROM listed JOIN live USING (entry) "
            "WHERE ? IN ('', cut) ORDER BY listed.day, supplier, item",
            cut,
        )
        points = [
            *(PricePoint(c, _day(d), s, i, Fraction(edible_kg), paid=False) for c, d, s, i, edible_kg in listed),
            *(PricePoint(c, _day(d), s, i, Fraction(goods) * 1000 / g, paid=True) for c, d, s, i, goods, g in paid),
        ]
        return tuple(sorted(points, key=lambda point: (point.cut, point.day, point.paid, point.supplier, point.item)))

    def losses(self, batches: int) -> tuple[Loss, ...]:
        """What was bought in the last few batches and was not there when it was counted, by cut."""
        return tuple(Loss(cut, bought_g, lost_g) for cut, bought_g, lost_g in self._rows(LOST, batches))

    def trace_lots(self, numbers: Sequence[int]) -> Trace:
        """Lots, and every bag that holds of them, or may where its batch took the cut from other lots too."""
        wanted = set(numbers)
        lots = tuple(lot for lot in self.lots() if lot.number in wanted)
        sources = self._sources()
        certain: dict[int, bool] = {}
        found: list[KeptBag] = []
        for bag in self.bags():
            for cut, _ in bag.contents:
                of_cut = self._fed_to(sources.get((bag.entry, cut), ()), bag)
                if hit := [number for number, _ in of_cut if number in wanted]:
                    all_of_it = len(hit) == len(of_cut)
                    certain[bag.number] = certain.get(bag.number, False) or all_of_it
                    found += [] if found and found[-1] is bag else [bag]
        return Trace(lots, tuple(found), certain)

    def trace_bag(self, bag: KeptBag) -> Trace:
        """The lots that what is in a bag came from, or may have come from."""
        sources = self._sources()
        numbers = {
            number for cut, _ in bag.contents for number, _ in self._fed_to(sources.get((bag.entry, cut), ()), bag)
        }
        whole = all(len(self._fed_to(sources.get((bag.entry, cut), ()), bag)) == 1 for cut, _ in bag.contents)
        return Trace(tuple(lot for lot in self.lots() if lot.number in numbers), (bag,), {bag.number: whole})

    def _rows(self, query: str, *values: object) -> list[Row]:
        return self._tables.execute(query, values).fetchall()

    def _last_entry_before(self, title: str, starts: date) -> int:
        """The last entry before that batch was entered; the last that can be where it never was."""
        found = self._rows(
            "SELECT min(entry) FROM batch JOIN live USING (entry) WHERE kind = 'batch' AND title = ? AND starts = ?",
            title,
            _text(starts),
        )
        return EVER if found[0][0] is None else int(found[0][0]) - 1

    def _batch(self, row: Row) -> BatchAccount:
        """The account of the batch in a row, with all that goes with it."""
        entry, number, title, currency, starts, days, ahead, filled_on, planned = row
        used_g: dict[int, int] = dict(self._rows("SELECT lot, grams FROM draw WHERE entry = ? AND why = 'bags'", entry))
        return BatchAccount(
            number=number,
            title=title,
            currency=currency,
            starts=_day(starts),
            days=days,
            order_ahead_days=ahead,
            filled_on=_day(filled_on),
            dogs=tuple(Fed(*dog) for dog in self._of(entry, "dog", "dog, owner, day_g")),
            ordered=tuple(map(_ordered_line, self._of(entry, "ordered", "supplier, cut, item, units, grams, goods"))),
            planned=None if planned is None else Decimal(planned),
            bills=tuple(map(_paid_bill, self._of(entry, "bill", "supplier, goods, delivery, tax, other"))),
            lots=tuple(_new_lot(lot, used_g) for lot in self._of(entry, "lot", LOT_COLUMNS)),
            prices=tuple(map(_listed_price, self._of(entry, "listed", LISTED_COLUMNS))),
            shares=tuple(map(_part_got, self._of(entry, "share", "dog, part, share, low, high"))),
        )

    def _of(self, entry: int, table: str, columns: str) -> list[Row]:
        """The rows of a table that are of an entry, in the order in which they were added."""
        query = f"SELECT {columns} FROM {table} WHERE entry = ? ORDER BY rowid"  # noqa: S608 - all of it is ours
        return self._rows(query, entry)

    def _lots(self, day: date, last: int = EVER) -> Iterator[Lot]:
        """The lots of a day, the oldest first, with what is left of each; only of entries up to the last."""
        marks: dict[int, str] = {}
        for lot, mark in self._rows(MARKS, last):
            marks[lot] = f"{marks[lot]}, {mark}" if lot in marks else mark
        rows = self._rows(LOTS, last, _text(day))
        for number, entry, cut, grams, left_g, goods, worth, currency, bought_on, frozen_on, *rest in rows:
            supplier, item, code, owner = rest
            yield Lot(
                number, entry, cut, grams, left_g, Decimal(goods), Decimal(worth), currency,
                _day(bought_on), _day_if_any(frozen_on), supplier, item, code, marks.get(number, ""), owner,
            )  # fmt: skip

    def _bags(self, day: date, last: int = EVER) -> Iterator[KeptBag]:
        """The bags of a day by the day they are for, whatever became of them; only of entries up to the last."""
        contents: dict[int, list[tuple[str, int]]] = {}
        for bag, cut, grams in self._rows("SELECT bag, cut, grams FROM content ORDER BY bag, cut"):
            contents.setdefault(bag, []).append((cut, grams))
        fates = self._fates(day, last)
        worth_of_g = self._worth_of_g(last)
        for row in self._rows(BAGS, last, _text(day)):
            number, entry, batch, label, dog, owner, feed_on, meal, filled_on = row
            inside = tuple(contents.get(number, ()))
            worth = sum((grams * worth_of_g.get((entry, cut), Fraction(0)) for cut, grams in inside), Fraction(0))
            fate, fate_on, for_day = fates.get(number, (None, None, None))
            days = for_day or _day(feed_on), meal, _day(filled_on)
            yield KeptBag(number, entry, batch, label, dog, owner, *days, inside, worth, fate, fate_on)

    def _fates(self, day: date, last: int) -> dict[int, tuple[EntryKind | None, date | None, date | None]]:
        """What had become of bags by a day, and when, as far as that was entered; what was entered last counts.

        A bag that was kept for another day has that day, and no fate any more.
        """
        rows = self._rows(FATES, last, _text(day))
        return {
            bag: (None, None, _day(for_day)) if for_day else (EntryKind(fate), _day(on), None)
            for bag, fate, on, for_day in rows
        }

    def _sources(self) -> dict[tuple[int, str], tuple[tuple[int, str], ...]]:
        """The lots of which the bags of each batch hold or may hold, with their owners, by entry and cut."""
        sources: dict[tuple[int, str], tuple[tuple[int, str], ...]] = {}
        for entry, cut, lot, owner in self._rows(SOURCES):
            sources[entry, cut] = (*sources.get((entry, cut), ()), (lot, owner))
        return sources

    def _fed_to(self, lots: Sequence[tuple[int, str]], bag: KeptBag) -> tuple[tuple[int, str], ...]:
        """Of these lots those that the dog of a bag can have got: an owner's own lot is for that owner's dogs alone."""
        return tuple((number, owner) for number, owner in lots if owner in {"", bag.owner})

    def _worth_of_g(self, last: int) -> dict[tuple[int, str], Fraction]:
        """What a gram of a cut in the bags of a batch cost, on average, by entry and cut."""
        worth: dict[tuple[int, str], Fraction] = {}
        grams: dict[tuple[int, str], int] = {}
        for entry, cut, taken_g, lot_worth, lot_g in self._rows(INTO_BAGS, last):
            key = (entry, cut)
            worth[key] = worth.get(key, Fraction(0)) + Fraction(lot_worth) * taken_g / lot_g
            grams[key] = grams.get(key, 0) + taken_g
        return {key: whole / grams[key] for key, whole in worth.items()}


BATCHES = (
    "SELECT entry, number, title, currency, starts, days, order_ahead_days, filled_on, planned "
    "FROM batch JOIN live USING (entry)"
)

AS_OF = """
WITH live AS (SELECT * FROM entry WHERE kind <> 'void' AND entry <= ?1 AND entry NOT IN (
    SELECT voids FROM entry WHERE voids IS NOT NULL AND entry <= ?1))
"""
"""Stands before a query that is to know of no entry after ?1, not even of one that takes another back."""

REAL_G = """(lot.grams - coalesce((
    SELECT sum(more.grams) FROM draw AS more JOIN live USING (entry)
    WHERE more.lot = lot.lot AND more.grams < 0), 0))"""
"""What a lot really held: what was bought, and what it was heavier by."""

LOTS = f"""
{AS_OF} SELECT lot.lot, lot.entry, cut, {REAL_G}, grams - coalesce((
        SELECT sum(draw.grams) FROM draw JOIN live USING (entry)
        WHERE draw.lot = lot.lot AND live.day <= ?2), 0),
    goods, worth, currency, bought_on, frozen_on, supplier, item, code, owner
FROM lot JOIN live USING (entry) WHERE bought_on <= ?2
ORDER BY frozen_on, lot.lot
"""  # noqa: S608 - nothing in it comes from outside

BAGS = f"""
{AS_OF} SELECT bag, bag.entry, number, label, dog, owner, feed_on, meal, filled_on
FROM bag JOIN live USING (entry) JOIN batch USING (entry)
WHERE filled_on <= ?2 ORDER BY feed_on, meal, bag
"""  # noqa: S608 - as above
MARKS = f"{AS_OF} SELECT lot, mark FROM mark JOIN live USING (entry) ORDER BY entry"  # noqa: S608 - as above

FATES = f"""
{AS_OF} SELECT bag, fate, day, for_day FROM fate JOIN live USING (entry) WHERE day <= ?2 ORDER BY entry
"""  # noqa: S608 - as above

INTO_BAGS = f"""
{AS_OF} SELECT draw.entry, cut, draw.grams, worth, max({REAL_G}, 1) FROM draw JOIN lot USING (lot) WHERE why = 'bags'
"""  # noqa: S608 - as above

SOURCES = """
SELECT draw.entry, cut, lot, owner FROM draw JOIN lot USING (lot) WHERE why = 'bags'
UNION SELECT took.entry, other.cut, other.lot, other.owner
FROM draw AS took JOIN live AS batch USING (entry) JOIN lot AS known USING (lot) JOIN lot AS other ON (
    other.cut = known.cut AND other.owner = known.owner AND other.bought_on <= batch.day
    AND (other.frozen_on IS known.frozen_on OR (other.entry = batch.entry AND known.entry = batch.entry)))
WHERE why = 'bags' AND other.entry IN (SELECT entry FROM live) AND other.grams > coalesce((
    SELECT sum(before.grams) FROM draw AS before JOIN live USING (entry)
    WHERE before.lot = other.lot AND live.day < batch.day), 0)
ORDER BY 3
"""
"""The lots that went into bags, and those that nobody can tell from them: of the same cut, there on that day, and
frozen since the same day or bought for the same batch."""

LOST = """
SELECT cut, sum(grams), sum(lost_g) FROM (
    SELECT cut, grams, coalesce((SELECT sum(draw.grams) FROM draw JOIN live USING (entry)
        WHERE draw.lot = lot.lot AND why = 'counted'), 0) AS lost_g
    FROM lot WHERE supplier <> '' AND entry IN (
        SELECT entry FROM batch JOIN live USING (entry) WHERE kind = 'batch' ORDER BY starts DESC, entry DESC LIMIT ?)
) GROUP BY cut HAVING sum(lost_g) > 0 ORDER BY cut
"""

LOT_COLUMNS = "lot, cut, grams, units, goods, worth, supplier, item, code, frozen_on"
LISTED_COLUMNS = "supplier, day, cut, item, code, unit_g, price, per, edible_kg"


def _ordered_line(row: Row) -> OrderedLine:
    """The line of an order in a row."""
    supplier, cut, item, units, grams, goods = row
    return OrderedLine(supplier, cut, item, units, grams, Decimal(goods))


def _paid_bill(row: Row) -> PaidBill:
    """The bill in a row."""
    supplier, *money = row
    return PaidBill(supplier, *map(Decimal, money))


def _part_got(row: Row) -> PartGot:
    """What a dog got of a part, from a row."""
    dog, part, *numbers = row
    return PartGot(dog, part, *map(Fraction, numbers))


def _new_lot(row: Row, used_g: Mapping[int, int]) -> NewLot:
    """The lot in a row of a batch, with what went into bags at once."""
    lot, cut, grams, units, goods, worth, supplier, item, code, frozen_on = row
    money = Decimal(goods), Decimal(worth)
    return NewLot(cut, grams, used_g.get(lot, 0), units, *money, supplier, item, code, _day_if_any(frozen_on))


def _listed_price(row: Row) -> ListedPrice:
    """The line of a list in a row."""
    supplier, day, cut, item, code, unit_g, price, per, edible_kg = row
    return ListedPrice(supplier, _day(day), cut, item, code, unit_g, Decimal(price), per, Fraction(edible_kg))


def _day(text: str) -> date:
    return date.fromisoformat(text)


def _day_if_any(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def _text(day: date) -> str:
    return day.isoformat()
