"""What bags hold at most, against everything that they can hold, counted out.

**Source:** enumeration. All names and weights are invented.
"""

from collections import Counter
from fractions import Fraction
from itertools import product
from random import Random

import pytest

from raworder.solving.bag_room import Rooms, _limit_on_size, cuts_that_fit_no_bag, limits_of_all, limits_on_pieces
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Part
from tests import builders as b

HERRING = b.a_cut(
    "herring whole", species="herring", kind="whole fish", parts={Part.MUSCLE: "9/10", Part.BONE: "1/10"}, piece_g=150
)
"""A piece of which a bag of 225 g takes one."""


def fillings(room: int, sizes: list[int]) -> list[tuple[int, ...]]:
    """Every number of pieces of each size that fits a room."""
    counts = product(*(range(room // size + 1) for size in sizes))
    return [one for one in counts if sum(n * size for n, size in zip(one, sizes, strict=True)) <= room]


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(40))
def test_no_way_to_fill_rooms_is_lost(seed: int) -> None:
    """Up to three rooms and three sizes of piece, a hundred times a seed: whatever fits keeps to every limit."""
    random = Random(seed)
    for _ in range(25):
        rooms = [random.randint(5, 30) for _ in range(random.randint(1, 3))]
        sizes = [random.randint(3, 20) for _ in range(random.randint(1, 3))]
        names = [f"size {number}" for number in range(len(sizes))]
        held = Rooms("bag", Counter(map(Fraction, rooms)), dict(zip(names, map(Fraction, sizes), strict=True)))
        limits = [_limit_on_size(held, Fraction(size)) for size in sizes]
        for filled in product(*(fillings(room, sizes) for room in rooms)):
            pieces = dict(zip(names, map(sum, zip(*filled, strict=True)), strict=True))
            for limit in limits:
                assert sum(times * pieces[name] for name, times in limit.times.items()) <= limit.most


def test_of_one_size_the_limit_is_what_fits() -> None:
    rooms = Rooms("bag", {Fraction(215): 10, Fraction(140): 4}, {"herring": Fraction(150)})
    assert _limit_on_size(rooms, Fraction(150)).most == 10


def test_a_piece_that_takes_the_room_of_two_counts_as_two() -> None:
    """A room of 215 g takes two necks of 78 g or a herring of 150 g, and never both."""
    rooms = Rooms("bag", {Fraction(215): 14}, {"herring": Fraction(150), "neck": Fraction(78)})
    limit = _limit_on_size(rooms, Fraction(78))
    assert (limit.times, limit.most) == ({"herring": 2, "neck": 1}, 28)


def test_a_dog_of_225_g_a_day_gets_a_herring_of_150_g_a_day_at_most() -> None:
    dog = b.a_dog(daily_g=225, targets=[b.a_target()])
    scenario = b.a_scenario(dogs=[dog], cuts=(HERRING, b.TRIM))
    assert [limit.most for limit in limits_on_pieces(dog, scenario) if limit.name == "bag 150"] == [14]
    assert [limit.most for limit in limits_of_all([dog, dog], scenario) if limit.name == "bag 150"] == [28]


def test_a_larger_bag_takes_what_the_smaller_ones_do_not() -> None:
    """Six days of 150 g hold no herring of 150 g and a least portion, the seventh of 160 g does."""
    for last_g, unfit in ((160, frozenset[str]()), (155, frozenset({"herring whole"}))):
        dog = b.a_dog(days=7, day_g=(150,) * 6 + (last_g,), batch_g=900 + last_g, targets=[b.a_target()])
        scenario = b.a_scenario(days=7, dogs=[dog], cuts=(HERRING, b.TRIM), portioning=Portioning())
        assert cuts_that_fit_no_bag(dog, scenario) == unfit
