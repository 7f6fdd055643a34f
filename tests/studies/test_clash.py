"""The rules that clash, against all subsets of demands, where it is invented which of them cannot be met together.

**Source:** brute force over every subset.
"""

from collections.abc import Collection, Sequence
from decimal import Decimal
from itertools import combinations
from random import Random

import pytest

from raworder.giving_way.demand import Demand
from raworder.giving_way.money_and_stock import Budget
from raworder.studies.reasons import find_clash
from tests.drawn import few

DEMANDS = tuple(Budget(Decimal(number)) for number in range(8))


def invented(random: Random) -> list[frozenset[Demand]]:
    """Some sets of demands that cannot be met together."""
    return [frozenset(random.sample(DEMANDS, random.randint(1, 4))) for _ in range(random.randint(1, 3))]


def is_impossible(kept: Collection[Demand], conflicts: Sequence[frozenset[Demand]]) -> bool:
    return any(conflict <= set(kept) for conflict in conflicts)


@pytest.mark.slow
@few("seed", range(200), 40)
def test_what_clashes_is_a_conflict_of_which_nothing_can_be_left_out(seed: int) -> None:
    conflicts = invented(Random(seed))
    helping = [one for one in DEMANDS if not is_impossible([other for other in DEMANDS if other is not one], conflicts)]
    found = find_clash(DEMANDS, helping, lambda kept: is_impossible(kept, conflicts))
    assert is_impossible(found, conflicts)
    assert not any(is_impossible(fewer, conflicts) for fewer in combinations(found, len(found) - 1))


def test_demands_that_can_all_be_met_do_not_clash() -> None:
    assert find_clash(DEMANDS, (), lambda _: False) == ()


def test_where_one_alone_stands_in_the_way_little_is_asked() -> None:
    asked: list[Sequence[Demand]] = []

    def is_there(kept: Sequence[Demand]) -> bool:
        asked.append(kept)
        return DEMANDS[3] in kept

    assert find_clash(DEMANDS, DEMANDS[3:4], is_there) == DEMANDS[3:4]
    assert len(asked) == 1
