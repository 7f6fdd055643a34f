"""From a lot to its bags and back, against all pairs of lots and bags; and prices against numbers worked by hand.

**Source:** own reckoning, beside the numbers; amounts are invented.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.book.entering import drawn, filled, found, ordered, taken_back
from raworder.book.kitchen_book import open_book
from raworder.trade.kept import EntryKind, KeptBag, ListedPrice, Loss, Trace
from tests.book.entered import a_batch, a_day, a_found_lot, a_lot, a_new_bag, a_used_lot, bags_of, enter, rows_of
from tests.builders import FENWICK, HOLLOW_LANE

MIXED = (("beef heart", 100), ("beef trim", 300))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Two batches: trim from two shops and what the first left over; hearts for all and Ada's own."""
    book = tmp_path / "book.sqlite"
    enter(book, found(a_found_lot("beef heart", 200), "Ada", "EUR"), day=-3)  # lot 1
    first = a_batch(
        [
            a_lot(grams=500, used_g=500),  # lot 2
            a_lot(grams=1_000, used_g=400, supplier=FENWICK),  # lot 3
            a_lot("beef heart", 300, 100),  # lot 4
        ],
        [
            a_new_bag(1, MIXED, dog="Maple", owner="Ada"),
            a_new_bag(2, MIXED, dog="Fern", owner="Bo", day=1),
            a_new_bag(3, (("beef trim", 300),), dog="Maple", owner="Ada", day=2),
        ],
        [a_used_lot("beef heart", 200, 100, owner="Ada")],
    )
    second = a_batch(
        [a_lot("lamb liver", 200, 200)],  # lot 5
        [a_new_bag(1, (("beef trim", 600), ("lamb liver", 200)), owner="Ada", day=7)],
        [a_used_lot("beef trim", 600, 600)],
        starts=7,
    )
    enter(book, filled(first, "the first"))
    enter(book, filled(second, "the second"), day=6)
    return book


def trace(path: Path, *numbers: int) -> Trace:
    with open_book(path) as book:
        return book.trace_lots(numbers)


def labels(found: Trace) -> dict[tuple[str, int], bool]:
    """Whether it is certain, by batch and label of each bag that was found."""
    return {(bag.batch, bag.label): found.certain[bag.number] for bag in found.bags}


def test_a_lot_is_traced_to_its_bags_and_those_that_may_hold_of_it(path: Path) -> None:
    every_first = dict.fromkeys([("B0", 1), ("B0", 2), ("B0", 3)], False)
    assert labels(trace(path, 2)) == every_first
    assert labels(trace(path, 3)) == {**every_first, ("B7", 1): True}
    assert labels(trace(path, 2, 3)) == {**dict.fromkeys(every_first, True), ("B7", 1): True}
    assert labels(trace(path, 5)) == {("B7", 1): True}


def test_an_own_lot_is_in_bags_of_that_owner_alone(path: Path) -> None:
    assert labels(trace(path, 1)) == {("B0", 1): False}
    assert labels(trace(path, 4)) == {("B0", 1): False, ("B0", 2): True}


def test_a_lot_that_went_nowhere_is_in_no_bag(path: Path) -> None:
    enter(path, found(a_found_lot(), "", "EUR"), day=9)
    assert (trace(path, 6).bags, [lot.number for lot in trace(path, 6).lots]) == ((), [6])


def test_a_lot_that_cannot_be_told_from_the_one_that_was_used_may_be_in_the_bags(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    bought = [a_lot(grams=500, used_g=500, frozen_on=a_day(-1)), a_lot(supplier=FENWICK, frozen_on=a_day(-9))]
    old = found(a_found_lot(frozen_on=a_day(-20)), "", "EUR")
    enter(book, old, filled(a_batch(bought, [a_new_bag()]), "both were bought for it"))  # lots 1 and 2, 3
    alike = [a_found_lot("beef heart", 300, a_day(-4)), a_found_lot("beef heart", 400, a_day(-4))]  # lots 4 and 5
    other = a_found_lot("beef heart", 400, a_day(-5))  # lot 6
    enter(book, *(found(lot, "", "EUR") for lot in (*alike, other)), day=2)
    used = [a_used_lot("beef heart", 700, 300, frozen_on=a_day(-4))]
    enter(book, filled(a_batch([], [a_new_bag(1, (("beef heart", 300),))], used, starts=7), "one of both"), day=6)
    assert labels(trace(book, 3)) == labels(trace(book, 2)) == {("B0", 1): False}
    assert labels(trace(book, 5)) == labels(trace(book, 4)) == {("B7", 1): False}
    assert labels(trace(book, 4, 5)) == {("B7", 1): True}
    assert labels(trace(book, 1)) == labels(trace(book, 6)) == {}


def test_a_bag_is_traced_to_its_lots(path: Path) -> None:
    with open_book(path) as book:
        found = {(bag.batch, bag.label): book.trace_bag(bag) for bag in book.bags()}
    assert {key: [lot.number for lot in one.lots] for key, one in found.items()} == {
        ("B0", 1): [1, 2, 3, 4],
        ("B0", 2): [2, 3, 4],
        ("B0", 3): [2, 3],
        ("B7", 1): [3, 5],
    }
    assert labels(found["B0", 2]) == {("B0", 2): False}
    assert labels(found["B7", 1]) == {("B7", 1): True}


def test_a_batch_that_was_wrong_is_traced_no_more(path: Path) -> None:
    enter(path, taken_back(3), day=9)
    assert ("B7", 1) not in labels(trace(path, 3))


def may_hold(path: Path, lot: int, bag: KeptBag) -> bool:
    """Whether a bag may hold of a lot, found by looking at every row: its batch drew on it, for a cut in it."""
    rows = rows_of(path)
    (cut, owner), *_ = [(row[2], row[13]) for row in rows["lot"] if row[0] == lot]
    drew = any(row[:3] == (bag.entry, lot, "bags") for row in rows["draw"])
    return drew and owner in {"", bag.owner} and any(row[:2] == (bag.number, cut) for row in rows["content"])


def test_both_ways_agree_with_looking_at_every_row(path: Path) -> None:
    bags = bags_of(path)
    with open_book(path) as book:
        for lot in book.lots():
            expected = [bag.number for bag in bags if may_hold(path, lot.number, bag)]
            assert [bag.number for bag in book.trace_lots([lot.number]).bags] == expected
        for bag in bags:
            expected = [lot.number for lot in book.lots() if may_hold(path, lot.number, bag)]
            assert [lot.number for lot in book.trace_bag(bag).lots] == expected


def test_prices_are_what_was_paid_and_asked_for_an_edible_kilogram(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    asked = ListedPrice(
        HOLLOW_LANE, a_day(-9), "beef trim", "trim", "H7", 2_500, Decimal("14.75"), "pack", Fraction("5.90")
    )
    dearer = replace(asked, day=a_day(5), edible_kg=Fraction("6.50"))
    paid = a_lot(grams=750, goods="4.95", worth="7.95")  # 4.95 for 750 g is 6.60 a kilogram, without delivery
    batch = replace(a_batch([paid, a_lot("beef heart", 500, goods="3.10")]), prices=(asked,))
    later = replace(a_batch([a_lot("beef heart", 0, goods="0.00")], starts=7), prices=(asked, dearer))
    enter(book, ordered(batch, "an order"), filled(batch, "a batch"), found(a_found_lot(), "", "EUR"))
    enter(book, filled(later, "the next"), day=6)
    with open_book(book) as kept:
        assert [(point.day, point.edible_kg, point.paid) for point in kept.prices("beef trim")] == [
            (a_day(-9), Fraction("5.90"), False),  # seen three times
            (a_day(-1), Fraction("6.60"), True),
            (a_day(5), Fraction("6.50"), False),
        ]
        assert [(point.cut, point.edible_kg) for point in kept.prices()][:1] == [("beef heart", Fraction("6.20"))]
        assert len(kept.prices()) == 4


def test_losses_are_what_was_not_there_when_it_was_counted(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    for week in range(4):
        lots = [a_lot(grams=1_000), a_lot("beef heart", 500, 520)]  # hearts were 20 g heavier than bought
        enter(book, filled(a_batch(lots, starts=7 * week), "a batch"), day=7 * week - 1)
    notes = [drawn(lot, EntryKind.COUNTED, 940) for lot in (1, 3, 5)]
    wrong = enter(book, *notes, drawn(7, EntryKind.COUNTED, 100), drawn(3, EntryKind.THROWN, 200), day=40)[-2]
    enter(book, taken_back(wrong), day=41)
    with open_book(book) as kept:
        assert kept.losses(3) == (Loss("beef trim", 3_000, 120),)  # lots 3 and 5; lot 1 is of the batch before those
        assert kept.losses(4) == (Loss("beef trim", 4_000, 180),)
        assert kept.losses(1) == ()
