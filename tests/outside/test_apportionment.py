"""Largest remainders as published: the House of Representatives of 1792, a vote, a paradox; and a second truth.

**Source:** Balinski and Young, *Fair Representation* (1982), for the census of 1790 and the bill that Hamilton's method
stands behind; Washington's veto message of 5 April 1792; the worked examples of the encyclopaedia articles named below.
All figures are from memory, not looked up; that the populations add up to the published total vouches for them.
"""

from collections.abc import Mapping
from fractions import Fraction
from math import ceil, floor, lcm
from random import Random
from types import MappingProxyType

import pytest

from raworder.reporting.portions import portioning_list
from raworder.studies.settling import SettlingRules
from raworder.trade.as_fed import as_fed
from raworder.trade.document import Table
from raworder.trade.plan import Plan
from raworder.trade.rounding import apportion
from raworder.trade.scenario import Scenario
from tests import builders as b
from tests.worked_out import all_in, owner_shares, shares_of_bill

STATES_1790: Mapping[str, tuple[int, int]] = MappingProxyType(
    {
        "Connecticut": (236_841, 8),
        "Delaware": (55_540, 2),
        "Georgia": (70_835, 2),
        "Kentucky": (68_705, 2),
        "Maryland": (278_514, 9),
        "Massachusetts": (475_327, 16),
        "New Hampshire": (141_822, 5),
        "New Jersey": (179_570, 6),
        "New York": (331_589, 11),
        "North Carolina": (353_523, 12),
        "Pennsylvania": (432_879, 14),
        "Rhode Island": (68_446, 2),
        "South Carolina": (206_236, 7),
        "Vermont": (85_533, 3),
        "Virginia": (630_560, 21),
    }
)
"""Representative population and seats of 120 under the vetoed bill. From memory, not looked up."""

POPULATION_1790 = 3_615_920


def test_the_house_of_1792_is_that_of_the_vetoed_bill() -> None:
    populations = [population for population, _ in STATES_1790.values()]
    assert sum(populations) == POPULATION_1790
    assert apportion(120, populations) == tuple(seats for _, seats in STATES_1790.values())


def test_eight_states_have_more_than_one_for_thirty_thousand_as_the_veto_says() -> None:
    """Washington: the bill allotted to eight of the states more than one for every thirty thousand."""
    populations = [population for population, _ in STATES_1790.values()]
    seats = apportion(120, populations)
    above = [
        state for state, given, people in zip(STATES_1790, seats, populations, strict=True) if given * 30_000 > people
    ]
    assert len(above) == 8


def test_a_vote_for_ten_seats_comes_out_as_the_encyclopaedia_has_it() -> None:
    """Wikipedia, "Largest remainders method": six parties, 100,000 votes, Hare quota 10,000."""
    assert apportion(10, (47_000, 16_000, 15_900, 12_000, 6_000, 3_100)) == (5, 2, 1, 1, 1, 0)


def test_a_seat_more_can_cost_the_smallest_state_a_seat() -> None:
    """Wikipedia, "Apportionment paradox", the Alabama paradox: populations 6, 6 and 2, ten seats and eleven."""
    assert apportion(10, (6, 6, 2)) == (4, 4, 2)
    assert apportion(11, (6, 6, 2)) == (5, 5, 1)


VOTES = (47_000, 16_000, 15_900, 12_000, 6_000, 3_100)
"""Wikipedia, "Largest remainders method", as above: for ten seats 5, 2, 1, 1, 1 and 0."""


def a_bill_shared_by_votes() -> tuple[Scenario, Plan]:
    """Six owners whose dogs eat as many grams as the parties have votes, of a delivery that costs ten cents in all."""
    dogs = [b.a_dog(f"dog {place}", batch_g=grams, owner=f"owner {place}") for place, grams in enumerate(VOTES)]
    offer = b.an_offer(pack_g=sum(VOTES), price="0.10")
    plan = b.a_plan(
        lines=(b.a_line(offer.key, 1, "0.10"),),
        bills=(b.a_bill(goods="0.10"),),
        portions=tuple(b.a_portion(dog.name, batch_g=dog.batch_g) for dog in dogs),
    )
    return b.a_scenario(dogs=dogs, offers=(offer,)), plan


def test_a_bill_is_shared_as_the_seats_of_the_encyclopaedia_are() -> None:
    """The money goes through the function that is proved above: the costs by dog and by owner, and who pays what."""
    scenario, plan = a_bill_shared_by_votes()
    seats = (5, 2, 1, 1, 1, 0)
    assert [100 * cost for cost in shares_of_bill(scenario, plan)[0]] == [*seats]
    assert [100 * cost for cost in all_in(scenario, plan).values()] == [*seats]
    assert [100 * one.total for one in owner_shares(scenario, plan, SettlingRules())] == [*seats]


def test_the_grams_of_a_day_are_shared_as_the_seats_of_the_encyclopaedia_are() -> None:
    """A dog eats ten grams a day of six cuts, over ten thousand days in the proportions of the votes."""
    cuts = [b.a_cut(f"cut {place}") for place in range(len(VOTES))]
    dog = b.a_dog(daily_g=10, days=10_000)
    portions = tuple(b.a_portion(cut=cut.name, batch_g=grams) for cut, grams in zip(cuts, VOTES, strict=True))
    scenario = b.a_scenario(days=10_000, dogs=(dog,), cuts=cuts)
    plan = b.a_plan(lines=(), bills=(), portions=portions)
    page = portioning_list(as_fed(scenario, plan), plan)
    table = next(block for block in page.blocks if isinstance(block, Table) and block.key == "portions")
    assert [row[3] for row in table.rows] == [5, 2, 1, 1, 1, 0]


@pytest.mark.parametrize("block", range(4))
def test_two_thousand_random_wholes_come_out_as_counted_otherwise(block: int) -> None:
    odd = 0
    for seed in range(block * 500, (block + 1) * 500):
        whole, weights = a_random_whole(Random(seed))
        given = apportion(whole, weights)
        assert given == handed_out_one_by_one(whole, weights), seed
        total = sum(weights)
        for got, weight in zip(given, weights, strict=True):
            assert floor(Fraction(whole * weight) / total) <= got <= ceil(Fraction(whole * weight) / total), seed
        odd += any(whole * weight % total for weight in weights)
    assert odd > 300


@pytest.mark.slow
def test_the_order_of_the_weights_does_not_matter_where_none_tie() -> None:
    compared = 0
    for seed in range(2_000):
        random = Random(seed)
        whole, weights = a_random_whole(random)
        remainders = [whole * weight % sum(weights) for weight in weights]
        if len(set(remainders)) == len(remainders):
            order = random.sample(range(len(weights)), len(weights))
            given = apportion(whole, weights)
            moved = apportion(whole, [weights[place] for place in order])
            assert moved == tuple(given[place] for place in order), seed
            compared += 1
    assert compared > 500


def a_random_whole(random: Random) -> tuple[int, list[int | Fraction]]:
    """Something to share and up to twelve weights: whole or broken, some of them nothing, many alike."""
    whole = random.choice((0, 1, random.randint(2, 30), random.randint(31, 20_000)))
    alike = random.randint(1, 9)
    weights = [
        random.choice((0, alike, random.randint(1, 10_000), Fraction(random.randint(1, 500), random.randint(1, 12))))
        for _ in range(random.randint(0, 11))
    ]
    return whole, [*weights, random.randint(1, 5_000)]


def handed_out_one_by_one(whole: int, weights: list[int | Fraction]) -> tuple[int, ...]:
    """Hamilton's method in whole numbers alone: after the quotas, each next one to whoever has most left over."""
    common = lcm(*(Fraction(weight).denominator for weight in weights))
    counts = [int(weight * common) for weight in weights]
    given = [whole * count // sum(counts) for count in counts]
    left_over = [whole * count - got * sum(counts) for count, got in zip(counts, given, strict=True)]
    while sum(given) < whole:
        first = left_over.index(max(left_over))
        given[first] += 1
        left_over[first] = -1
    return tuple(given)
