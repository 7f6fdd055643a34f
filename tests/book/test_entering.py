"""Entries: what each note adds, and what is refused without a trace. Amounts are invented, sums beside them."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.book.entering import (
    Note,
    bags_became,
    drawn,
    everything_thrown,
    filled,
    found,
    marked,
    ordered,
    taken_back,
    weighed,
)
from raworder.book.kitchen_book import open_book
from raworder.trade.kept import EntryKind, FirstDays, KeptBag
from tests.book.entered import (
    a_batch,
    a_day,
    a_found_lot,
    a_lot,
    a_new_bag,
    a_used_lot,
    a_whole_batch,
    bags_of,
    enter,
    left_g,
    lots_of,
    refusal,
    stock_of,
)

FED, THROWN, KEPT, COUNTED = EntryKind.FED, EntryKind.THROWN, EntryKind.KEPT, EntryKind.COUNTED
JANUARY, DECEMBER = date(2027, 1, 20), date(2026, 12, 1)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A book with a batch of three bags: of 2 kg of trim at 12.40 500 g are left, of 250 g of liver nothing."""
    book = tmp_path / "book.sqlite"
    lots = [a_lot(grams=2_000, used_g=1_500, goods="12.40"), a_lot("lamb liver", 250, 250, goods="1.90")]
    bags = [
        a_new_bag(1, (("beef trim", 500), ("lamb liver", 250)), day=0),
        a_new_bag(2, day=1),
        a_new_bag(3, dog="Juniper", day=1),
    ]
    enter(book, filled(a_batch(lots, bags), "a batch"))
    return book


def bags_there(path: Path, day: int) -> list[int]:
    return [bag.label for bag in stock_of(path, day).bags]


def says(path: Path) -> list[str]:
    with open_book(path) as book:
        return [entry.says for entry in book.entries()]


def test_a_batch_comes_back_as_it_was_entered(tmp_path: Path) -> None:
    batch = a_whole_batch()
    enter(tmp_path / "book.sqlite", filled(batch, "a batch"))
    with open_book(tmp_path / "book.sqlite") as book:
        (kept,) = book.batches()
        assert book.order_of(batch.title, batch.starts) is None
    assert (kept.dogs, kept.ordered, kept.planned, kept.bills) == (
        batch.dogs,
        batch.ordered,
        batch.planned,
        batch.bills,
    )
    assert (kept.lots, kept.prices, kept.shares) == (batch.lots, batch.prices, batch.shares)
    assert (kept.filled_on, kept.ends, kept.paid) == (a_day(-1), a_day(6), batch.bills[0].total)


def test_a_batch_fills_bags_and_leaves_the_rest_in_its_lots(path: Path) -> None:
    assert left_g(path, -1) == {1: 500}
    assert left_g(path, -2) == {}
    assert [(bag.label, bag.grams, bag.feed_on) for bag in bags_of(path)] == [
        (1, 750, a_day(0)),
        (2, 500, a_day(1)),
        (3, 500, a_day(1)),
    ]
    assert bags_of(path)[0].worth == Fraction("6.20") * Fraction(500, 1_000) + Fraction("1.90")


def test_a_bag_without_an_entry_is_there_until_its_day_is_over(path: Path) -> None:
    assert [bags_there(path, day) for day in (-2, -1, 0, 1, 2)] == [[], [1, 2, 3], [1, 2, 3], [2, 3], []]


def test_an_order_counts_as_no_food_and_may_be_planned_anew(path: Path) -> None:
    first, second = a_batch(title="next"), a_batch([a_lot()], title="next", number="B-again")
    enter(path, ordered(first, "an order"), ordered(second, "an order again"))
    with open_book(path) as book:
        found = book.order_of("next", a_day(0))
        assert len(book.batches()) == 1
    assert found is not None
    assert (found.number, found.lots) == ("B-again", ())
    assert left_g(path) == {1: 500}


def test_part_of_a_lot_and_all_of_it_are_taken(path: Path) -> None:
    enter(path, drawn(1, FED, 120), day=0)
    enter(path, drawn(1, THROWN), day=2)
    assert [left_g(path, day) for day in (-1, 0, 1, 2)] == [{1: 500}, {1: 380}, {1: 380}, {}]
    assert says(path)[-2:] == ["lot 1, beef trim: 120 g fed", "lot 1, beef trim: 380 g thrown away"]


@pytest.mark.parametrize("counted_g", [450, 500, 620])
def test_a_count_is_what_is_left_and_its_worth_is_spread_over_what_was_there(path: Path, counted_g: int) -> None:
    enter(path, drawn(1, COUNTED, counted_g))
    lot = next(lot for lot in lots_of(path) if lot.number == 1)
    real_g = 2_000 + max(counted_g - 500, 0)
    assert (lot.grams, lot.left_g) == (real_g, counted_g)
    assert lot.left_worth == Fraction("12.40") * counted_g / real_g


def test_a_count_of_an_earlier_day_knows_nothing_of_later_days(path: Path) -> None:
    enter(path, drawn(1, FED, 200), day=3)
    enter(path, drawn(1, COUNTED, 450), day=0)
    assert [left_g(path, day) for day in (0, 3)] == [{1: 450}, {1: 250}]


def test_a_mark_stands_on_its_lot_beside_what_was_there(path: Path) -> None:
    enter(path, marked(1, "L2217"), marked(1, "EU 7"))
    assert [lot.mark for lot in lots_of(path)] == ["L2217, EU 7", ""]


def test_what_was_found_is_a_lot_that_nobody_paid(path: Path) -> None:
    enter(path, found(a_found_lot("beef heart", 350, JANUARY), "Ada", "EUR"), day=2)
    lot = lots_of(path)[-1]
    assert (lot.cut, lot.left_g, lot.owner, lot.frozen_on, lot.worth) == ("beef heart", 350, "Ada", JANUARY, 0)
    assert left_g(path, 1) == {1: 500}


def test_a_weighing_is_of_its_day(path: Path) -> None:
    enter(path, weighed("Maple", 20_300), day=5)
    enter(path, weighed("Maple", 20_000), weighed("Juniper", 9_000), day=1)
    with open_book(path) as book:
        assert [(one.day, one.grams) for one in book.weighings("Maple")] == [(a_day(1), 20_000), (a_day(5), 20_300)]
        assert len(book.weighings()) == 3


def test_bags_are_gone_from_the_day_on_which_they_went(path: Path) -> None:
    enter(path, bags_became([2, 3, 3], "", THROWN), day=0)
    assert [bags_there(path, day) for day in (-1, 0)] == [[1, 2, 3], [1]]
    assert says(path)[-1] == "batch B0, bags 2-3: thrown away"


def test_a_bag_that_was_kept_is_there_until_it_is_fed(path: Path) -> None:
    enter(path, bags_became([1], "b0", KEPT), day=0)
    assert bags_there(path, 4) == [1]
    enter(path, bags_became([1], "B0", FED), day=5)
    assert [bags_there(path, day) for day in (4, 5)] == [[1], []]


def test_a_kept_bag_is_fed_on_a_first_day_that_the_next_batch_leaves_out_and_only_once(path: Path) -> None:
    enter(path, bags_became([1, 2], "B0", KEPT), day=2)
    later = replace(
        a_batch([a_lot(used_g=500)], [a_new_bag(day=9)], starts=7),
        first_days=(FirstDays("Maple", 2, 1, frozenset({"duck"})),),
    )
    (number,) = enter(path, filled(later, "the next"), day=6)
    kept = [(bag.feed_on, bag.fate) for bag in bags_of(path) if bag.batch == "B0" and bag.label in {1, 2}]
    assert kept == [(a_day(7), None), (a_day(8), None)]
    assert [bags_there(path, day)[:2] for day in (7, 8, 9)] == [[1, 2], [2, 1], [1]]
    enter(path, taken_back(number), day=6)
    assert bags_there(path, 20) == [1, 2]


def test_a_kept_bag_that_holds_what_its_dog_must_not_eat_by_now_stays_kept(path: Path) -> None:
    enter(path, bags_became([1, 2], "B0", KEPT), day=2)  # bag 1 holds lamb liver
    first = FirstDays("Maple", 2, 1, frozenset({"lamb liver"}))
    enter(path, filled(replace(a_batch([], [a_new_bag(day=9)], starts=7), first_days=(first,)), "the next"), day=6)
    kept = {bag.label: (bag.feed_on, bag.fate) for bag in bags_of(path) if bag.batch == "B0" and bag.label != 3}
    assert kept == {1: (a_day(0), KEPT), 2: (a_day(7), None)}


def test_what_is_left_beside_whole_pieces_is_nobodys(path: Path) -> None:
    necks = replace(a_lot("chicken neck", 1_000, 600), rest_g=40)
    old = replace(a_used_lot("turkey neck", 500, 300), rest_g=20)
    bag = a_new_bag(contents=(("chicken neck", 600),))
    enter(path, filled(a_batch([necks], [bag], [old], starts=7), "necks"), day=6)
    assert {lot.cut: lot.left_g for lot in stock_of(path, 7).lots if "neck" in lot.cut} == {
        "chicken neck": 360,
        "turkey neck": 180,
    }


def test_labels_are_those_of_the_batch_that_was_filled_last(path: Path) -> None:
    enter(path, filled(a_batch([a_lot(used_g=500)], [a_new_bag(day=7)], starts=7), "the next"))
    enter(path, bags_became([1], "", FED), day=3)
    enter(path, bags_became([1], "", THROWN), day=8)
    assert [(bag.batch, bag.fate) for bag in bags_of(path) if bag.label == 1] == [("B0", FED), ("B7", THROWN)]


def test_everything_is_thrown_away_and_is_there_again_when_that_was_wrong(path: Path) -> None:
    enter(path, bags_became([1], "", KEPT), bags_became([2], "", FED), day=0)
    before = stock_of(path, 1)
    (number,) = enter(path, everything_thrown, day=1)
    assert (stock_of(path, 1).lots, stock_of(path, 1).bags) == ((), ())
    assert left_g(path, 0) == {1: 500}
    assert [bag.fate for bag in bags_of(path)] == [THROWN, FED, THROWN]
    enter(path, taken_back(number), day=1)
    assert stock_of(path, 1) == before


def test_a_bag_that_was_fed_is_not_thrown_away_with_everything(path: Path) -> None:
    enter(path, everything_thrown, day=1)
    assert [bag.fate for bag in bags_of(path)] == [None, THROWN, THROWN]


def test_what_was_taken_back_counts_nowhere_and_stays_readable(path: Path) -> None:
    before = stock_of(path)
    (number,) = enter(path, drawn(1, FED, 120))
    (void,) = enter(path, taken_back(number))
    assert stock_of(path) == before
    with open_book(path) as book:
        assert [(entry.number, entry.void) for entry in book.entries()] == [(1, None), (number, void), (void, None)]
    assert says(path)[-1] == "entry 2 was wrong: lot 1, beef trim: 120 g fed"


def test_a_batch_that_was_wrong_is_entered_anew(path: Path) -> None:
    enter(path, taken_back(1))
    assert (lots_of(path), bags_of(path), left_g(path)) == ((), (), {})
    enter(path, filled(a_batch([a_lot()]), "again"))
    assert left_g(path) == {3: 1_000}


TWICE = (
    "batch B0 is in the book already, as entry 1; if it was wrong, take it back first: "
    '`raworder note SCENARIO "entry 1 is wrong"`; if this is another batch, give its scenario a title of its own'
)
REFUSED = (
    (drawn(1, FED, 501), -1, "lot 1 holds 500 g of beef trim; enter no more than that"),
    (drawn(2, FED, 1), -1, "lot 2 holds 0 g of lamb liver; enter no more than that"),
    (drawn(9, FED), -1, "the book has no lot 9; `raworder stock SCENARIO` lists them"),
    (marked(9, "L1"), -1, "the book has no lot 9; `raworder stock SCENARIO` lists them"),
    (drawn(1, FED, 10), -2, "lot 1 is there since Fri 5 Feb only; say another day with --on"),
    (drawn(1, COUNTED, 10), -2, "lot 1 is there since Fri 5 Feb only; say another day with --on"),
    (bags_became([2, 4], "", FED), 0, "batch B0 has no bag 4; its bags are 1 to 3"),
    (bags_became([1], "B7", FED), 0, "the book has no batch B7; `raworder book SCENARIO` lists the batches"),
    (
        bags_became([1], "", FED),
        -2,
        "the book has no batch that was filled by then; `raworder book SCENARIO` lists the batches",
    ),
    (filled(a_batch(), "again"), -1, TWICE),
    (taken_back(9), -1, "there is no entry 9 to take back; `raworder book SCENARIO` lists them"),
)


@pytest.mark.parametrize(("note", "day", "said"), REFUSED)
def test_what_cannot_be_is_refused(note: Note, day: int, said: str, path: Path) -> None:
    assert refusal(path, note, day=day) == said


def test_of_several_notes_all_are_entered_or_none(path: Path) -> None:
    assert "no lot 9" in refusal(path, weighed("Maple", 20_000), drawn(1, FED, 100), drawn(9, FED))
    assert enter(path, weighed("Maple", 20_000), drawn(1, FED, 100), drawn(1, FED, 400)) == (2, 3, 4)
    assert left_g(path) == {}


def test_two_notes_take_no_more_than_there_is_together(path: Path) -> None:
    assert refusal(path, drawn(1, FED, 300), drawn(1, THROWN, 201)) == (
        "lot 1 holds 200 g of beef trim; enter no more than that"
    )


def test_an_entry_is_not_taken_back_while_others_rest_on_it(path: Path) -> None:
    enter(path, drawn(1, FED, 100), marked(1, "L1"), bags_became([1], "", FED), day=0)
    said = "entries 2, 3, 4 rest on entry 1; take that back first, the last one before the others"
    assert refusal(path, taken_back(1)) == said
    enter(path, taken_back(4), taken_back(3), taken_back(2), taken_back(1), day=0)
    assert lots_of(path) == ()


def test_a_mistake_is_taken_back_once(path: Path) -> None:
    (number,) = enter(path, drawn(1, FED, 100))
    (void,) = enter(path, taken_back(number))
    assert "there is no entry 2 to take back" in refusal(path, taken_back(number))
    assert "there is no entry 3 to take back" in refusal(path, taken_back(void))


def test_a_count_is_not_taken_back_once_more_was_eaten_than_there_was_without_it(path: Path) -> None:
    (count,) = enter(path, drawn(1, COUNTED, 800), day=0)
    enter(path, drawn(1, FED, 700), day=1)
    assert refusal(path, taken_back(count), day=2) == (
        "this would take more out of lot 1, beef trim, than is in it on Sun 7 Feb; check the amounts"
    )


def test_no_lot_holds_less_than_nothing_on_a_day_in_between(path: Path) -> None:
    enter(path, drawn(1, COUNTED, 800), day=5)
    assert refusal(path, drawn(1, FED, 600), day=0) == "lot 1 holds 500 g of beef trim; enter no more than that"


# what a batch takes from the freezer


def with_freezer(path: Path, *held: tuple[int, date | None, str]) -> None:
    """A second book's worth of hearts: grams, day and owner of each lot."""
    enter(path, *(found(a_found_lot("beef heart", grams, day), owner, "EUR") for grams, day, owner in held))


def hearts_after(path: Path, *used: tuple[int, int, date | None, str]) -> list[tuple[int, int, date | None, str]]:
    """Grams, left, day and owner of each lot of hearts after a batch; of each it says what was there and taken."""
    bag_g = sum(used_g for _, used_g, _, _ in used)
    lots = [a_used_lot("beef heart", there, used_g, frozen_on=day, owner=owner) for there, used_g, day, owner in used]
    enter(
        path, filled(a_batch((), [a_new_bag(1, (("beef heart", bag_g),), owner="Ada", day=7)], lots, starts=7), "next")
    )
    return [(lot.grams, lot.left_g, lot.frozen_on, lot.owner) for lot in lots_of(path) if lot.cut == "beef heart"]


def test_a_lot_that_the_book_knows_is_used(path: Path) -> None:
    with_freezer(path, (350, DECEMBER, ""), (500, JANUARY, ""))
    assert hearts_after(path, (500, 400, JANUARY, "")) == [(350, 350, DECEMBER, ""), (500, 100, JANUARY, "")]


def test_a_lot_that_the_book_does_not_know_is_entered_as_found(path: Path) -> None:
    assert hearts_after(path, (350, 300, JANUARY, "")) == [(350, 50, JANUARY, "")]
    assert [lot.entry for lot in lots_of(path)] == [1, 1, 2]


def test_of_a_lot_that_the_book_knows_in_part_the_rest_is_found(path: Path) -> None:
    with_freezer(path, (300, JANUARY, ""))
    assert hearts_after(path, (500, 450, JANUARY, "")) == [(300, 0, JANUARY, ""), (200, 50, JANUARY, "")]


def test_what_is_missing_is_found_of_the_day_that_the_book_does_not_know(path: Path) -> None:
    with_freezer(path, (300, JANUARY, ""))
    assert hearts_after(path, (300, 300, JANUARY, ""), (200, 150, DECEMBER, "")) == [
        (300, 0, JANUARY, ""),
        (200, 50, DECEMBER, ""),
    ]


def test_a_lot_that_the_book_knows_under_another_day_is_the_same(path: Path) -> None:
    with_freezer(path, (300, JANUARY, ""))
    assert hearts_after(path, (300, 250, DECEMBER, "")) == [(300, 50, JANUARY, "")]


def test_an_owner_takes_nothing_of_what_is_for_all(path: Path) -> None:
    with_freezer(path, (300, JANUARY, ""), (300, JANUARY, "Ada"))
    assert hearts_after(path, (300, 100, JANUARY, "Ada"), (300, 20, JANUARY, "")) == [
        (300, 280, JANUARY, ""),
        (300, 200, JANUARY, "Ada"),
    ]


def test_what_was_bought_later_was_not_there_then(path: Path) -> None:
    enter(path, found(a_found_lot("beef heart", 500, JANUARY), "", "EUR"), day=20)
    assert hearts_after(path, (300, 300, JANUARY, "")) == [(500, 500, JANUARY, ""), (300, 0, JANUARY, "")]


def test_a_batch_that_is_entered_late_finds_what_later_ones_took_since(path: Path) -> None:
    with_freezer(path, (1_000, JANUARY, ""))
    later = [a_used_lot("beef heart", 700, 600, frozen_on=JANUARY)]
    enter(path, filled(a_batch((), [a_new_bag(1, (("beef heart", 600),))], later, starts=14), "later"), day=13)
    assert hearts_after(path, (1_000, 300, JANUARY, "")) == [(1_000, 100, JANUARY, "")]


def test_a_batch_that_is_entered_late_takes_of_a_lot_that_is_used_up_since(path: Path) -> None:
    with_freezer(path, (500, JANUARY, ""))
    enter(path, drawn(len(lots_of(path)), FED), day=13)
    assert hearts_after(path, (500, 20, JANUARY, "")) == [(520, 0, JANUARY, "")]


def test_a_lot_of_the_freezer_may_be_heavier_than_was_said(path: Path) -> None:
    with_freezer(path, (300, JANUARY, ""))
    assert hearts_after(path, (300, 320, JANUARY, "")) == [(320, 0, JANUARY, "")]


def test_a_lot_that_weighs_more_than_its_receipt_costs_what_was_paid(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    batch = a_batch([a_lot(grams=1_000, used_g=1_050)], [a_new_bag(1, (("beef trim", 1_050),))])
    enter(book, filled(batch, "a batch"))
    (lot,), (bag,) = lots_of(book), bags_of(book)
    assert (lot.grams, lot.left_g) == (1_050, 0)
    assert bag.worth == Fraction("6.20")


def test_kept_bags_know_their_food(path: Path) -> None:
    bag: KeptBag = bags_of(path)[0]
    assert (bag.contents, bag.dog, bag.batch) == ((("beef trim", 500), ("lamb liver", 250)), "Maple", "B0")
