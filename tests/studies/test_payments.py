"""The fewest payments settle everything, and there are no fewer.

Source: every way to pay looked at; what else is claimed is worked by hand.
"""

import random
from itertools import permutations

import pytest

from raworder.studies.settling import MOST_EXACT, Payment, fewest_payments


def after(owed: list[int], payments: tuple[Payment, ...]) -> list[int]:
    """What is owed once all is paid."""
    left = list(owed)
    for one in payments:
        left[one.payer] -= one.amount
        left[one.payee] += one.amount
    return left


def fewest_by_trying(owed: list[int]) -> int:
    """The fewest payments by trying: the first with something open settles all of it with each other one in turn."""
    left = [amount for amount in owed if amount]
    if not left:
        return 0
    first, *others = left
    return 1 + min(
        fewest_by_trying([*others[:place], other + first, *others[place + 1 :]])
        for place, other in enumerate(others)
        if other * first < 0
    )


def can_be_done_in(owed: tuple[int, ...], payments: int) -> bool:
    """Whether so many payments, of whatever amount by anybody to anybody, settle it."""
    if not any(owed):
        return True
    most = max(map(abs, owed)) if payments else 0
    return any(
        can_be_done_in(_paid(owed, payer, payee, amount), payments - 1)
        for payer, payee in permutations(range(len(owed)), 2)
        for amount in range(1, most + 1)
    )


def _paid(owed: tuple[int, ...], payer: int, payee: int, amount: int) -> tuple[int, ...]:
    return tuple(after(list(owed), (Payment(payer, payee, amount),)))


def at_random(chance: random.Random, parties: int, most: int) -> list[int]:
    """What is owed by so many parties, together nothing."""
    owed = [chance.randint(-most, most) for _ in range(parties - 1)]
    return [*owed, -sum(owed)]


@pytest.mark.parametrize("seed", range(150))
def test_no_fewer_payments_settle_what_six_owners_and_the_suppliers_owe(seed: int) -> None:
    chance = random.Random(seed)
    owed = at_random(chance, chance.randint(2, 7), chance.choice((3, 9, 5_000)))
    settled = fewest_payments(owed)
    assert settled.fewest
    assert not any(after(owed, settled.payments))
    assert len(settled.payments) == fewest_by_trying(owed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(25))
def test_not_even_payments_back_and_forth_do_with_one_less(seed: int) -> None:
    owed = at_random(random.Random(seed), 4, 3)
    count = len(fewest_payments(owed).payments)
    assert can_be_done_in(tuple(owed), min(count, 2)) == (count <= 2)
    assert count == 0 or not can_be_done_in(tuple(owed), count - 1)


@pytest.mark.slow
@pytest.mark.parametrize("parties", [12, MOST_EXACT, MOST_EXACT + 1, 40])
@pytest.mark.parametrize("seed", range(3))
def test_everybody_is_settled_by_less_payments_than_parties(parties: int, seed: int) -> None:
    owed = at_random(random.Random(seed), parties, 10_000)
    payments = fewest_payments(owed).payments
    assert not any(after(owed, payments))
    assert len(payments) <= parties - 1
    assert all(one.amount > 0 and owed[one.payer] > 0 > owed[one.payee] for one in payments)


def test_groups_that_hide_in_twelve_owners_are_found() -> None:
    """Six pairs whose amounts nobody else has: 6 payments; from most to most would take more."""
    owed = [101, 202, 404, 808, 1616, 3232, -3232, -1616, -808, -404, -202, -101]
    assert len(fewest_payments(owed).payments) == 6
    # three groups of four: 4 x 3 = 12 parties, 12 - 3 payments; 1 + 6 + 20 = 27 and so on, worked by hand
    owed = [1, 6, 20, -27, 100, 300, 1000, -1400, 5000, 20000, 70000, -95000]
    assert len(fewest_payments(owed).payments) == 9


def test_beyond_what_is_looked_at_fewest_is_told_only_where_it_is_sure() -> None:
    """Twenty who owe one payer must pay once each; twenty that cross need not be so."""
    everybody_owes_one = [*range(1, 21), -sum(range(1, 21))]
    assert fewest_payments(everybody_owes_one).fewest
    assert len(fewest_payments(everybody_owes_one).payments) == 20
    crossing = [7, 11, 13, 17, 19, 23, 29, 31, -8, -10, -14, -16, -20, -22, -30, -30]
    assert sum(crossing) == 0
    assert not fewest_payments(crossing).fewest


def test_equal_amounts_are_paired_among_many() -> None:
    owed = [one for amount in range(1, 11) for one in (amount, -amount)]
    assert len(fewest_payments(owed).payments) == 10


def test_pairs_that_largest_to_largest_would_miss_are_found_among_many() -> None:
    """Three pairs of 22, 34 and 37 take 3 payments and the nine others at most 8."""
    owed = [-48, 37, -2, -35, 13, 11, 21, -37, 22, 34, 22, -7, -22, 25, -34]
    settled = fewest_payments(owed)
    assert not any(after(owed, settled.payments))
    assert len(settled.payments) <= 11


def test_nothing_owed_is_nothing_to_pay() -> None:
    assert fewest_payments([0, 0]).payments == ()
    assert fewest_payments([]).fewest


def test_what_does_not_balance_is_refused() -> None:
    with pytest.raises(ValueError, match="differ by 3"):
        fewest_payments([5, -2])


def test_the_same_question_has_the_same_answer() -> None:
    """Equal ones pay in their order: two who owe 5 to two who get 5."""
    assert fewest_payments([5, 5, -5, -5]).payments == (Payment(0, 2, 5), Payment(1, 3, 5))
