"""Random months of a kitchen: batches, notes and mistakes entered in a book, and the same in plain lists beside it.

The lists know nothing of the book but which lots a batch drew on. All amounts are invented by the seed.
"""

from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from random import Random

from raworder.book.entering import Note, bags_became, drawn, everything_thrown, filled, found, taken_back
from raworder.book.ledger import BookError
from raworder.trade.kept import BatchAccount, EntryKind, NewLot, Stock
from tests.book.entered import (
    a_batch,
    a_day,
    a_found_lot,
    a_lot,
    a_new_bag,
    a_used_lot,
    enter,
    lots_of,
    rows_of,
    stock_of,
)

CUTS = ("beef trim", "beef heart", "lamb liver")
FATES = (EntryKind.FED, EntryKind.THROWN, EntryKind.KEPT)


@dataclass(frozen=True)
class Draw:
    """So many grams taken out of a lot by an entry; below zero they were put back."""

    entry: int
    day: date
    lot: int
    why: str
    grams: int


@dataclass
class Walk:
    """A book and what was entered in it; what was taken back is in the lists no more."""

    path: Path
    random: Random
    day: int = 0
    bought_g: dict[int, int] = field(default_factory=dict)
    draws: list[Draw] = field(default_factory=list)
    bags_g: dict[int, int] = field(default_factory=dict)
    stocks_before: dict[int, tuple[str, date, Stock]] = field(default_factory=dict)
    refused: int = 0

    def steps(self, count: int) -> None:
        """So many entries, each of which may be refused."""
        for _ in range(count):
            self.day += self.random.choice((0, 0, 1, 2))
            step = self.random.choices(
                (self._batch, self._found, self._drawn, self._counted, self._bags, self._everything, self._mistake),
                (4, 2, 5, 3, 4, 1, 3),
            )[0]
            try:
                step()
            except BookError:
                self.refused += 1

    def left_g(self, lot: int, day: date) -> int:
        """What is left of a lot on a day."""
        return self.bought_g[lot] - sum(one.grams for one in self.draws if one.lot == lot and one.day <= day)

    def _some_day(self) -> int:
        """Mostly today; now and then a day before."""
        return self.day - self.random.choice((0, 0, 0, 0, 1, 3, 9))

    def _enter(self, note: Note, day: int) -> int:
        """Enter the note, and take over the lots and draws that it made."""
        (entry,) = enter(self.path, note, day=day)
        self.bought_g |= {row[0]: row[3] for row in rows_of(self.path)["lot"] if row[1] == entry}
        for number, lot, why, grams in rows_of(self.path)["draw"]:
            if number == entry:
                self.draws.append(Draw(entry, a_day(day), lot, why, grams))
        return entry

    def _batch(self) -> None:
        starts = self._some_day() + 1
        batch = self._account(starts)
        before = stock_of(self.path, 10**4) if self.bought_g else None
        drawn_before = len(self.draws)
        entry = self._enter(filled(batch, batch.title), starts - 1)
        self.bags_g[entry] = sum(grams for bag in batch.bags for _, grams in bag.contents)
        assert self.bags_g[entry] == sum(one.grams for one in self.draws[drawn_before:] if one.why == "bags")
        if before:
            self.stocks_before[entry] = batch.title, batch.starts, before

    def _account(self, starts: int) -> BatchAccount:
        """A batch that takes of one lot bought, or none, and of what the freezer holds on its day, of every cut."""
        lots, used, bags = [], [], []
        there = stock_of(self.path, starts - 1).lots if self.bought_g else ()
        for cut in CUTS:
            held = [
                a_used_lot(cut, lot.left_g, self.random.randint(0, lot.left_g), frozen_on=lot.frozen_on)
                for lot in there
                if lot.cut == cut
            ]
            bought = [self._lot(cut)] if self.random.random() < 0.7 else []
            inside_g = sum(lot.used_g for lot in (*held, *bought))
            parts = sorted(self.random.randint(0, inside_g) for _ in range(2))
            sizes = (parts[0], parts[1] - parts[0], inside_g - parts[1])
            bags += [(cut, grams) for grams in sizes if grams]
            lots, used = [*lots, *bought], [*used, *held]
        numbered = [a_new_bag(label, (part,), day=starts + label) for label, part in enumerate(bags, start=1)]
        title = f"batch of day {starts}" if self.random.random() < 0.2 else f"batch {self.random.random()}"
        return a_batch(lots, numbered, used, title=title, starts=starts)

    def _lot(self, cut: str) -> NewLot:
        """A lot bought of which some went into bags, now and then a little more than was on the receipt."""
        grams = self.random.randint(100, 3_000)
        used_g = min(self.random.randint(0, grams + 300), grams + 40)
        goods = self.random.randint(0, 2_000)
        return a_lot(cut, grams, used_g, goods=f"{goods // 100}.{goods % 100:02}", frozen_on=a_day(self.day))

    def _found(self) -> None:
        self._enter(found(a_found_lot(self.random.choice(CUTS), self.random.randint(1, 900)), "", "EUR"), self.day)

    def _a_lot(self) -> int:
        return self.random.choice([*self.bought_g, 1])

    def _drawn(self) -> None:
        grams = self.random.choice((None, self.random.randint(1, 800)))
        self._enter(drawn(self._a_lot(), self.random.choice(FATES[:2]), grams), self._some_day())

    def _counted(self) -> None:
        lot, day = self._a_lot(), self._some_day()
        left_g = self.left_g(lot, a_day(day)) if lot in self.bought_g else 0
        counted_g = max(left_g + self.random.randint(-300, 200), 0)
        self._enter(drawn(lot, EntryKind.COUNTED, counted_g), day)
        assert self.left_g(lot, a_day(day)) == counted_g

    def _bags(self) -> None:
        labels = [self.random.randint(1, 6) for _ in range(2)]
        self._enter(bags_became(labels, "", self.random.choice(FATES)), self._some_day())

    def _everything(self) -> None:
        self._enter(everything_thrown, self.day)
        assert all(self.left_g(lot, a_day(self.day)) == 0 for lot in self._lots_by(self.day))

    def _lots_by(self, day: int) -> list[int]:
        return [lot.number for lot in lots_of(self.path) if lot.bought_on <= a_day(day)]

    def _mistake(self) -> None:
        entry = self.random.randint(1, len(rows_of(self.path)["entry"])) if self.bought_g else 1
        self._enter(taken_back(entry), self.day)
        gone = {row[0] for row in rows_of(self.path)["lot"] if row[1] == entry}
        self.bought_g = {lot: grams for lot, grams in self.bought_g.items() if lot not in gone}
        self.draws = [one for one in self.draws if one.entry != entry]
        self.bags_g.pop(entry, None)
        self.stocks_before.pop(entry, None)
