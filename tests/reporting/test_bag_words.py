"""Bags are told by number and by what is in them, in words that are counted at the counter."""

import random
from dataclasses import replace

import pytest

from raworder.reporting.bag_book import bags_text, dogs_or_count, numbers_text, pieces_text
from raworder.trade.bags import Filling
from tests import builders as b
from tests.reporting.samples_of_bags import HOUSE, HOUSE_PLAN, TUBS, TUBS_PLAN
from tests.worked_out import bag_book

BOOK = bag_book(HOUSE, HOUSE_PLAN)


@pytest.mark.parametrize(
    ("numbers", "said"),
    [([], ""), ([7], "7"), ([18, 3, 17], "3, 17-18"), ([1, 2, 3, 5, 7, 8], "1-3, 5, 7-8")],
)
def test_numbers_that_follow_one_another_become_a_run(numbers: list[int], said: str) -> None:
    assert numbers_text(numbers) == said


@pytest.mark.parametrize("seed", range(20))
def test_runs_hold_every_number_once(seed: int) -> None:
    chance = random.Random(seed)
    numbers = sorted(chance.sample(range(1, 200), chance.randint(1, 150)))
    found: list[int] = []
    for run in numbers_text(numbers).split(", "):
        first, _, last = run.partition("-")
        found += range(int(first), int(last or first) + 1)
    assert found == numbers


def test_one_bag_is_a_bag_and_several_are_bags() -> None:
    assert (bags_text([12]), bags_text([12, 13])) == ("bag 12", "bags 12-13")


@pytest.mark.parametrize(
    ("pieces", "name", "kind", "said"),
    [
        (1, "chicken neck", "neck", "1 chicken neck"),
        (2, "chicken neck", "neck", "2 chicken necks"),
        (2, "chicken foot", "foot", "2 pieces of chicken foot"),
        (1, "sardine whole", "whole fish", "1 piece of sardine whole"),
        (3, "chicken neck (bone 28 %)", "neck", "3 pieces of chicken neck (bone 28 %)"),
    ],
)
def test_pieces_are_counted_in_words(pieces: int, name: str, kind: str, said: str) -> None:
    assert pieces_text(pieces, b.a_cut(name, kind=kind)) == said


def test_a_filling_is_told_in_the_order_of_the_hand_with_the_top_up_last() -> None:
    first, third, morning = HOUSE_PLAN.bags[0], HOUSE_PLAN.bags[2], HOUSE_PLAN.bags[7]
    assert BOOK.filling(first) == "2 chicken necks, 40 g lamb liver, top up with beef trim to 500 g"
    assert BOOK.filling(third) == "1 chicken neck, 90 g beef kidney, top up with beef trim to 500 g"
    assert BOOK.filling(morning) == "fill with beef trim to 125 g"


def test_a_top_up_that_stands_first_among_the_fillings_is_told_last() -> None:
    bag = b.a_bag((Filling("beef trim", 400), Filling("lamb liver", 100)))
    assert BOOK.filling(bag) == "100 g lamb liver, top up with beef trim to 500 g"


def test_what_a_veterinarian_gave_is_told_to_the_gram() -> None:
    assert BOOK.filling(HOUSE_PLAN.bags[25]) == "101 g beef trim, 5 g lamb liver"


def test_pounds_are_told_where_people_read_pounds() -> None:
    pounds = bag_book(replace(HOUSE, weight_unit="lb"), HOUSE_PLAN)
    # 40 / 28.3495 = 1.41 oz; 500 / 28.3495 = 17.64 oz
    said = "2 chicken necks, 1.4 oz lamb liver, top up with beef trim to 1 lb 1.6 oz"
    assert pounds.filling(HOUSE_PLAN.bags[0]) == said


def test_a_bag_is_told_by_what_it_holds_otherwise_than_another() -> None:
    first, third, last = HOUSE_PLAN.bags[0], HOUSE_PLAN.bags[2], HOUSE_PLAN.bags[6]
    assert BOOK.changes_text(first, first) == ""
    assert BOOK.changes_text(last, first) == "33 g lamb liver"
    assert BOOK.changes_text(third, first) == "1 chicken neck and 90 g beef kidney"


def test_a_mix_holds_its_cuts() -> None:
    assert [cut.name for cut in bag_book(TUBS, TUBS_PLAN).cuts_in("mix 1")] == ["beef trim", "lamb liver"]


def test_a_bag_may_be_off_by_the_tolerance_or_a_scale_step() -> None:
    # 5 % of 500 g is 25 g; of 125 g 6.25 g; of 60 g 3 g, less than a step of 5 g
    small = b.a_bag((Filling("beef trim", 60),))
    bags = (HOUSE_PLAN.bags[0], HOUSE_PLAN.bags[7], small, HOUSE_PLAN.bags[19])
    assert [BOOK.tolerance_g(bag) for bag in bags] == [25, 6, 5, None]


def test_many_dogs_are_counted() -> None:
    assert dogs_or_count(["Maple", "Fern"]) == "Maple and Fern"
    assert dogs_or_count([f"dog {number}" for number in range(9)]) == "9 dogs"
