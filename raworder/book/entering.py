"""Entries: what is added to the book, whole or not at all, and never so that a lot holds less than nothing."""

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

from raworder.book.ledger import BookError, writing
from raworder.trade.kept import BatchAccount, EntryKind, FirstDays, NewLot, UsedLot
from raworder.trade.units import day_text, grams_text

Tables = sqlite3.Connection
Note = Callable[[Tables, date], int]
"""What adds an entry made on a day to the tables, and gives its number."""


def make_entries(path: Path, day: date, notes: Sequence[Note]) -> tuple[int, ...]:
    """The numbers of the entries that these notes add to the book, all together; BookError where one cannot be."""
    with writing(path) as tables:
        numbers = tuple(note(tables, day) for note in notes)
        _refuse_less_than_nothing(tables)
    return numbers


def ordered(account: BatchAccount, says: str) -> Note:
    """An order as it is planned, which may be planned anew until the batch is entered."""

    def note(tables: Tables, day: date) -> int:
        """Add the order with its lists."""
        entry = _add_entry(tables, EntryKind.ORDER, day, says)
        _add_account(tables, entry, account)
        return entry

    return note


def filled(account: BatchAccount, says: str) -> Note:
    """A batch: what was bought and paid, the bags that were filled, and what was taken from the freezer for them."""

    def note(tables: Tables, day: date) -> int:
        """Add the batch with its lots, draws and bags."""
        _refuse_twice(tables, account)
        entry = _add_entry(tables, EntryKind.BATCH, day, says)
        _add_account(tables, entry, account)
        for cut, owner in dict.fromkeys((lot.cut, lot.owner) for lot in account.used):
            _take_from_freezer(
                tables, entry, account, [lot for lot in account.used if (lot.cut, lot.owner) == (cut, owner)]
            )
        for lot in account.lots:
            number = _add_lot(tables, entry, account.filled_on, account.currency, lot)
            _draw(tables, entry, number, "counted", min(lot.grams - lot.used_g, 0))
            _draw(tables, entry, number, "bags", lot.used_g)
            _draw(tables, entry, number, "rest", lot.rest_g)
        for first in account.first_days:
            _feed_kept_bags(tables, entry, account, first)
        for bag in account.bags:
            values = (entry, bag.label, bag.dog, bag.owner, bag.feed_on.isoformat(), bag.meal)
            row = tables.execute("INSERT INTO bag VALUES (NULL, ?, ?, ?, ?, ?, ?)", values)
            tables.executemany(
                "INSERT INTO content VALUES (?, ?, ?)", [(row.lastrowid, cut, grams) for cut, grams in bag.contents]
            )
        return entry

    return note


def found(lot: NewLot, owner: str, currency: str, weight_unit: str = "kg") -> Note:
    """A lot that was found in the freezer, or is there when the book begins; `weight_unit` is for its words."""

    def note(tables: Tables, day: date) -> int:
        """Add the lot that was found."""
        entry = _add_entry(tables, EntryKind.FOUND, day, f"{lot.cut}: {grams_text(lot.grams, weight_unit)} found")
        _add_lot(tables, entry, day, currency, lot, owner)
        return entry

    return note


def drawn(lot: int, kind: EntryKind, grams: int | None = None, weight_unit: str = "kg") -> Note:
    """So much of a lot fed or thrown away, all of it where no weight is said; or counted: so much is left."""

    def note(tables: Tables, day: date) -> int:
        """Add what was taken out of the lot, or what is left in it."""
        left_g, cut = _lot_left(tables, lot, day)
        if kind is EntryKind.COUNTED:
            taken_g = _held_g(tables, lot, day) - (grams or 0)
        else:
            taken_g = left_g if grams is None else grams
        if taken_g > left_g:
            raise BookError(f"lot {lot} holds {grams_text(left_g, weight_unit)} of {cut}", "enter no more than that")
        told_g, became = (grams or 0, "left") if kind is EntryKind.COUNTED else (taken_g, _fate_text(kind))
        entry = _add_entry(tables, kind, day, f"lot {lot}, {cut}: {grams_text(told_g, weight_unit)} {became}")
        _draw(tables, entry, lot, kind.value, taken_g)
        return entry

    return note


def marked(lot: int, mark: str) -> Note:
    """What the supplier printed on a lot."""

    def note(tables: Tables, day: date) -> int:
        """Add the mark of the lot."""
        _, cut = _lot_left(tables, lot, day)
        entry = _add_entry(tables, EntryKind.MARKED, day, f"lot {lot}, {cut}: marked {mark}")
        tables.execute("INSERT INTO mark VALUES (?, ?, ?)", (entry, lot, mark))
        return entry

    return note


def bags_became(labels: Sequence[int], batch: str, kind: EntryKind) -> Note:
    """What became of bags, by the numbers on their labels; of the batch that was filled last, where none is named."""

    def note(tables: Tables, day: date) -> int:
        """Add what became of each bag."""
        filled_by, number = _batch_of_labels(tables, batch, day)
        known = {
            label: bag for bag, label in tables.execute("SELECT bag, label FROM bag WHERE entry = ?", (filled_by,))
        }
        missing = [label for label in labels if label not in known]
        if missing:
            raise BookError(f"batch {number} has no bag {missing[0]}", f"its bags are 1 to {max(known, default=0)}")
        entry = _add_entry(tables, kind, day, f"batch {number}, {_bags_text(labels)}: {_fate_text(kind)}")
        rows = [(entry, known[label], kind.value) for label in dict.fromkeys(labels)]
        tables.executemany("INSERT INTO fate VALUES (?, ?, ?, NULL)", rows)
        return entry

    return note


def everything_thrown(tables: Tables, day: date) -> int:
    """Throw away what is in the freezer on a day: what is left of every lot, and every bag for that day or later."""
    entry = _add_entry(tables, EntryKind.THROWN, day, "everything in the freezer thrown away")
    for lot, left_g in tables.execute(f"SELECT lot, left_g FROM ({LEFT}) WHERE left_g > 0", (_text(day),)).fetchall():  # noqa: S608 - ours
        _draw(tables, entry, lot, EntryKind.THROWN.value, left_g)
    tables.execute(BAGS_THROWN, (_text(day), entry))
    return entry


LEFT = """
SELECT lot, cut, owner, frozen_on, grams - (
    SELECT max(taken_g) FROM (
        SELECT sum(sum(taken.grams)) OVER (ORDER BY on_day) AS taken_g FROM (
            SELECT max(day, ?1) AS on_day, draw.grams FROM draw JOIN live USING (entry) WHERE draw.lot = lot.lot
            UNION ALL SELECT ?1, 0
        ) AS taken GROUP BY on_day)) AS left_g
FROM lot JOIN live USING (entry) WHERE bought_on <= ?1
"""
"""The lots that are there on a day, with what can be taken from them: what is in them then, and on every later day."""

TOLD = """
WITH told AS (
    SELECT bag, fate, for_day, row_number() OVER (PARTITION BY bag ORDER BY entry DESC) AS last
    FROM fate JOIN live USING (entry) WHERE day <= ?1
)
"""
"""What was told of each bag by a day; the last counts, which has 1 for `last`."""

BAGS_THROWN = f"""
{TOLD} INSERT INTO fate SELECT ?2, bag.bag, 'thrown', NULL FROM bag JOIN batch USING (entry) JOIN live USING (entry)
    LEFT JOIN told ON told.bag = bag.bag AND last = 1
WHERE filled_on <= ?1 AND coalesce(told.fate = 'kept' AND coalesce(for_day, ?1) >= ?1, feed_on >= ?1)
"""  # noqa: S608 - nothing in it comes from outside
"""Bags that are still there: kept, or for a day to come and neither fed nor thrown away."""

BAGS_KEPT = f"""
{TOLD} SELECT bag.bag FROM bag JOIN live USING (entry) JOIN told ON told.bag = bag.bag AND last = 1
WHERE dog = ?2 AND told.fate = 'kept' AND for_day IS NULL ORDER BY feed_on, meal
"""  # noqa: S608 - as above
"""The bags of a dog that were kept, for no day in particular."""


def weighed(dog: str, grams: int, weight_unit: str = "kg") -> Note:
    """What a dog weighed."""

    def note(tables: Tables, day: date) -> int:
        """Add the weight."""
        entry = _add_entry(tables, EntryKind.WEIGHED, day, f"{dog} weighs {grams_text(grams, weight_unit)}")
        tables.execute("INSERT INTO weighing VALUES (?, ?, ?)", (entry, dog, grams))
        return entry

    return note


def taken_back(number: int) -> Note:
    """Take back an entry that was wrong; refused while later entries rest on it."""

    def note(tables: Tables, day: date) -> int:
        """Add the entry that takes the other one back."""
        row = tables.execute("SELECT says FROM live WHERE entry = ?", (number,)).fetchone()
        if row is None:
            raise BookError(f"there is no entry {number} to take back", "`raworder book SCENARIO` lists them")
        if resting := [str(later) for (later,) in tables.execute(RESTING_ON, (number,))]:
            which = f"entry {resting[0]} rests" if len(resting) == 1 else f"entries {', '.join(resting)} rest"
            raise BookError(f"{which} on entry {number}", "take that back first, the last one before the others")
        return _add_entry(tables, EntryKind.VOID, day, f"entry {number} was wrong: {row[0]}", number)

    return note


RESTING_ON = """
SELECT DISTINCT entry FROM (
    SELECT draw.entry FROM draw JOIN lot USING (lot) WHERE lot.entry = ?1 AND draw.entry <> ?1
    UNION SELECT mark.entry FROM mark JOIN lot USING (lot) WHERE lot.entry = ?1
    UNION SELECT fate.entry FROM fate JOIN bag USING (bag) WHERE bag.entry = ?1
) JOIN live USING (entry) ORDER BY entry
"""
"""The entries that take from a lot of an entry, mark it, or tell of its bags."""


def _add_entry(tables: Tables, kind: EntryKind, day: date, says: str, voids: int | None = None) -> int:
    values = (kind.value, day.isoformat(), says, voids)
    number = tables.execute("INSERT INTO entry VALUES (NULL, ?, ?, ?, ?)", values).lastrowid
    assert number is not None
    return number


def _refuse_other_money(tables: Tables, account: BatchAccount) -> None:
    """Refuse a batch in another currency, as what is paid could not be added up."""
    other = tables.execute(
        "SELECT currency FROM batch JOIN live USING (entry) WHERE currency <> ?", (account.currency,)
    ).fetchone()
    if other:
        raise BookError(f"this book is in {other[0]}, and the batch in {account.currency}", "name another with --book")


def _add_account(tables: Tables, entry: int, account: BatchAccount) -> None:
    """The rows of a batch but for its food: which it is, its dogs, order, bills and lists."""
    _refuse_other_money(tables, account)
    tables.execute("INSERT INTO batch VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", (
        entry, account.number, account.title, account.currency, _text(account.starts), account.days,
        account.order_ahead_days, _text(account.filled_on),
        None if account.planned is None else str(account.planned),
    ))  # fmt: skip
    for table, row in _rows_of(account):
        cells = [
            _text(cell) if isinstance(cell, date) else cell if isinstance(cell, int) else str(cell) for cell in row
        ]
        places = ", ".join("?" * (len(row) + 1))
        tables.execute(f"INSERT INTO {table} VALUES ({places})", (entry, *cells))  # noqa: S608 - tables of ours


def _rows_of(account: BatchAccount) -> Iterator[tuple[str, Sequence[object]]]:
    """The tables and rows of all that a batch has several of, their cells in the order of the columns."""
    for dog in account.dogs:
        yield "dog", (dog.dog, dog.owner, dog.day_g)
    for got in account.shares:
        yield "share", (got.dog, got.part, got.share, got.low, got.high)
    for line in account.ordered:
        yield "ordered", (line.supplier, line.cut, line.item, line.units, line.grams, line.goods)
    for bill in account.bills:
        yield "bill", (bill.supplier, bill.goods, bill.delivery, bill.tax, bill.other)
    for price in account.prices:
        named = (price.supplier, price.day, price.cut, price.item, price.code)
        yield "listed", (*named, price.unit_g, price.price, price.per, price.edible_kg)


def _add_lot(tables: Tables, entry: int, day: date, currency: str, lot: NewLot, owner: str = "") -> int:  # noqa: PLR0913, PLR0917 - a row of the table
    frozen_on = lot.frozen_on.isoformat() if lot.frozen_on else None
    number = tables.execute("INSERT INTO lot VALUES (NULL, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", (
        entry, lot.cut, lot.grams, lot.units, str(lot.goods), str(lot.worth), currency, day.isoformat(), frozen_on,
        lot.supplier, lot.item, lot.code, owner,
    )).lastrowid  # fmt: skip
    assert number is not None
    return number


def _draw(tables: Tables, entry: int, lot: int, why: str, grams: int) -> None:
    if grams:
        tables.execute("INSERT INTO draw VALUES (?, ?, ?, ?)", (entry, lot, why, grams))


def _feed_kept_bags(tables: Tables, entry: int, account: BatchAccount, first: FirstDays) -> None:
    """Give a dog its kept bags, the oldest first, on the first days of a batch, on which it has no others."""
    kept = [bag for (bag,) in tables.execute(BAGS_KEPT, (_text(account.filled_on), first.dog))]
    eaten = [bag for bag in kept if not _cuts_in(tables, bag) & first.avoided]
    for place, bag in enumerate(eaten[: first.days * first.meals]):
        day = account.starts + timedelta(days=place // first.meals)
        tables.execute("INSERT INTO fate VALUES (?, ?, 'kept', ?)", (entry, bag, _text(day)))


def _cuts_in(tables: Tables, bag: int) -> set[str]:
    return {cut for (cut,) in tables.execute("SELECT cut FROM content WHERE bag = ?", (bag,))}


def _find_what_is_missing(tables: Tables, entry: int, account: BatchAccount, said: Sequence[UsedLot]) -> None:
    """Enter as found what the scenario had on hand of a cut of one owner, as far as the book does not know of it."""
    cut, owner = said[0].cut, said[0].owner
    held = _lots_there(tables, account, cut, owner)
    missing_g = sum(lot.there_g for lot in said) - sum(_held_g(tables, lot, account.filled_on) for lot, _, _ in held)
    known_days = {frozen_on for _, frozen_on, _ in held}
    for lot in sorted(said, key=lambda lot: _day_or_none(lot.frozen_on) in known_days):
        if (extra_g := min(lot.there_g, missing_g)) > 0:
            new = NewLot(cut, extra_g, 0, 0, Decimal(0), Decimal(0), "", cut, frozen_on=lot.frozen_on)
            _add_lot(tables, entry, account.filled_on, account.currency, new, owner)
            missing_g -= extra_g


def _take_from_freezer(tables: Tables, entry: int, account: BatchAccount, said: Sequence[UsedLot]) -> None:
    """Take what a batch used of a cut of one owner out of the book's lots, first out of those of the same day."""
    _find_what_is_missing(tables, entry, account, said)
    lots = _lots_there(tables, account, said[0].cut, said[0].owner)
    left_g = {number: some_g for number, _, some_g in lots}
    taken_g = dict.fromkeys(left_g, 0)
    for lot in said:
        due_g = lot.used_g
        same_day_first = sorted(lots, key=lambda held: held[1] != _day_or_none(lot.frozen_on))
        for number, _, _ in same_day_first:
            some_g = min(due_g, left_g[number] - taken_g[number])
            taken_g[number] += some_g
            due_g -= some_g
        taken_g[same_day_first[0][0]] += due_g  # it was heavier than anybody said
    rest_g = sum(lot.rest_g for lot in said)
    for number, some_g in taken_g.items():
        _draw(tables, entry, number, "counted", min(left_g[number] - some_g, 0))
        _draw(tables, entry, number, "bags", some_g)
        rest_of_it_g = min(rest_g, max(left_g[number] - some_g, 0))
        _draw(tables, entry, number, "rest", rest_of_it_g)
        rest_g -= rest_of_it_g


def _text(day: date) -> str:
    return day.isoformat()


def _day_or_none(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _lots_there(tables: Tables, account: BatchAccount, cut: str, owner: str) -> list[tuple[int, str | None, int]]:
    """Lots of a cut that are there when a batch is filled, with their day and what can be taken; the oldest first."""
    lots = tables.execute(
        f"SELECT lot, frozen_on, left_g FROM ({LEFT}) WHERE cut = ?2 AND owner = ?3 ORDER BY frozen_on, lot",  # noqa: S608 - ours
        (_text(account.filled_on), cut, owner),
    ).fetchall()
    return [lot for lot in lots if _held_g(tables, lot[0], account.filled_on) > 0]


def _lot_left(tables: Tables, lot: int, day: date) -> tuple[int, str]:
    """What can be taken of a lot, and its cut; BookError where there is no such lot on that day."""
    row = tables.execute(f"SELECT left_g, cut FROM ({LEFT}) WHERE lot = ?2", (_text(day), lot)).fetchone()  # noqa: S608 - ours
    if row is not None:
        left_g, cut = row
        return left_g, cut
    begun = tables.execute("SELECT bought_on FROM lot JOIN live USING (entry) WHERE lot = ?", (lot,)).fetchone()
    if begun is None:
        raise BookError(f"the book has no lot {lot}", "`raworder stock SCENARIO` lists them")
    first = day_text(date.fromisoformat(begun[0]))
    raise BookError(f"lot {lot} is there since {first} only", "say another day with --on")


def _held_g(tables: Tables, lot: int, day: date) -> int:
    """What a lot holds on a day, by all that was entered of it by then."""
    (held_g,) = tables.execute(
        "SELECT grams - coalesce((SELECT sum(draw.grams) FROM draw JOIN live USING (entry) "
        "WHERE draw.lot = ?1 AND day <= ?2), 0) FROM lot WHERE lot = ?1",
        (lot, _text(day)),
    ).fetchone()
    return int(held_g)


def _batch_of_labels(tables: Tables, batch: str, day: date) -> tuple[int, str]:
    """The entry and the number of the batch that is named, or else of the last one filled by that day."""
    found = tables.execute(
        "SELECT entry, number FROM batch JOIN live USING (entry) WHERE kind = 'batch' AND filled_on <= ? "
        "AND (? = '' OR upper(number) = upper(?)) ORDER BY filled_on DESC, entry DESC",
        (day.isoformat(), batch, batch),
    ).fetchone()
    if found is None:
        which = f"no batch {batch}" if batch else "no batch that was filled by then"
        raise BookError(f"the book has {which}", "`raworder book SCENARIO` lists the batches")
    entry, number = found
    return entry, number


def _refuse_twice(tables: Tables, account: BatchAccount) -> None:
    """Refuse a batch that is in the book already."""
    found = tables.execute(
        "SELECT entry, number FROM batch JOIN live USING (entry) WHERE kind = 'batch' AND title = ? AND starts = ?",
        (account.title, account.starts.isoformat()),
    ).fetchone()
    if found:
        entry, number = found
        wrong = f'if it was wrong, take it back first: `raworder note SCENARIO "entry {entry} is wrong"`'
        remedy = f"{wrong}; if this is another batch, give its scenario a title of its own"
        raise BookError(f"batch {number} is in the book already, as entry {entry}", remedy)


def _refuse_less_than_nothing(tables: Tables) -> None:
    """Refuse all that would leave less than nothing of a lot on any day."""
    if row := tables.execute(OVERDRAWN).fetchone():
        lot, cut, day = row
        when = day_text(date.fromisoformat(day))
        raise BookError(f"this would take more out of lot {lot}, {cut}, than is in it on {when}", "check the amounts")


OVERDRAWN = """
SELECT lot, cut, taken.day FROM (
    SELECT lot, day, sum(draw.grams) OVER (PARTITION BY lot ORDER BY day) AS taken_g FROM draw JOIN live USING (entry)
) AS taken JOIN lot USING (lot) WHERE taken_g > grams ORDER BY lot, taken.day
"""
"""The lots that would hold less than nothing, with the days."""


def _fate_text(kind: EntryKind) -> str:
    return {EntryKind.FED: "fed", EntryKind.THROWN: "thrown away", EntryKind.KEPT: "not fed, kept"}[kind]


def _bags_text(numbers: Sequence[int]) -> str:
    """Numbers in ascending order, neighbours as a run: `bag 3`, `bags 3, 17-18`."""
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and runs[-1][1] == number - 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    texts = ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in runs)
    return f"{'bag' if len(set(numbers)) == 1 else 'bags'} {texts}"
