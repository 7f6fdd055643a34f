"""For how long bags are enough: a day without all its bags ends it, a day away does not, and loose food is a guess.

All dogs and weights are invented. **Source:** counting by hand.
"""

from dataclasses import replace
from datetime import date, timedelta

from raworder.trade.cover import Cover, covers
from raworder.trade.kept import KeptBag, Stock
from tests.reporting.samples_of_book import ACCOUNT, BAGS, MAPLE, SCENARIO, STARTS, STOCK, TODAY, a_bag


def cover_of(dog: str, bags: tuple[KeptBag, ...], day: date = TODAY, **scenario: object) -> Cover:
    """The cover of a dog with these bags and nothing loose."""
    changed = replace(SCENARIO, **scenario)  # type: ignore[arg-type]  # fields by name
    found = covers(changed, Stock(day, (), bags, "EUR"), (ACCOUNT,))
    return next(cover for cover in found if cover.dog == dog)


def maple(*gone: int, since: int = 7) -> tuple[KeptBag, ...]:
    """Maple's bags of the days from one on, without some."""
    return tuple(bag for bag in BAGS[since:14] if bag.label not in gone)


def test_bags_are_enough_until_the_last_of_them_and_the_order_is_due_days_before() -> None:
    cover = cover_of("Maple", maple())
    assert (cover.first, cover.until) == (TODAY, date(2027, 2, 19))
    assert cover.order_by == date(2027, 2, 16) == SCENARIO.batch.order_by
    assert [bag.label for bag in cover.bags] == list(range(8, 15))
    assert (cover.later, cover.kept) == ((), ())


def test_a_bag_that_is_gone_ends_it_and_those_after_it_are_told() -> None:
    cover = cover_of("Maple", maple(11))
    assert cover.until == date(2027, 2, 15)
    assert [bag.label for bag in cover.later] == [12, 13, 14]


def test_of_two_meals_one_that_is_gone_ends_it() -> None:
    meals = tuple(a_bag(40 + 2 * day + meal, "Maple", 7 + day, meal=meal) for day in range(3) for meal in (1, 2))
    assert cover_of("Maple", meals).until == TODAY + timedelta(2)
    assert cover_of("Maple", meals[:-1]).until == TODAY + timedelta(1)


def test_days_on_which_the_dog_is_away_are_no_gap_and_add_none_at_the_end() -> None:
    away = (9, 10, 13)  # days of the batch from 0: Mon 15, Tue 16 and Fri 19 Feb
    dog = replace(MAPLE, day_g=tuple(0 if day in away else 300 for day in range(14)))
    bags = maple(*(day + 1 for day in away))
    assert cover_of("Maple", bags).until == date(2027, 2, 14)
    assert cover_of("Maple", bags, dogs=(dog,)).until == date(2027, 2, 18)


def test_without_a_bag_for_today_there_is_no_cover() -> None:
    cover = cover_of("Maple", maple(8))
    assert (cover.first, cover.until, cover.order_by) == (TODAY, None, None)
    assert len(cover.later) == 6


def test_the_first_day_that_there_can_be_is_a_day_like_others() -> None:
    assert cover_of("Maple", (), day=date.min).until is None


def test_bags_filled_ahead_of_the_batch_count_from_its_first_day() -> None:
    cover = cover_of("Maple", maple(since=0), day=STARTS - timedelta(1))
    assert (cover.first, cover.until) == (STARTS, date(2027, 2, 19))


def test_a_bag_kept_over_counts_for_no_day() -> None:
    cover = cover_of("Maple", (BAGS[2], *maple()))
    assert [bag.label for bag in cover.kept] == [3]
    assert cover.until == date(2027, 2, 19)


def test_loose_food_feeds_all_and_an_owner_s_own_that_owner_s_dogs() -> None:
    # 1000 g for both is two days at 500 g; Ines's 300 g is one day more for Maple's 300 g
    assert [(cover.dog, cover.rough_days) for cover in covers(SCENARIO, STOCK, (ACCOUNT,))] == [
        ("Maple", 3),
        ("Juniper", 2),
    ]


def test_a_dog_that_was_fed_in_an_earlier_batch_alone_is_told_while_it_has_bags() -> None:
    before = replace(ACCOUNT, dogs=ACCOUNT.dogs)
    last = replace(ACCOUNT, dogs=ACCOUNT.dogs[:1])
    with_bags = covers(SCENARIO, STOCK, (before, last))
    without = covers(SCENARIO, replace(STOCK, bags=maple()), (before, last))
    assert [cover.dog for cover in with_bags] == ["Maple", "Juniper"]
    assert [cover.dog for cover in without] == ["Maple"]


def test_a_book_without_batches_covers_nobody() -> None:
    assert covers(SCENARIO, Stock(TODAY, (), ()), ()) == ()
