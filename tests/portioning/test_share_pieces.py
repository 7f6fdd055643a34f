"""Sharing out: nothing is lost, nobody is a whole piece off, and bone goes where it is shortest.

**Source:** arithmetic; sums stand beside the numbers, and what is to be least is looked for among all ways to share.
All amounts are invented.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import ceil, floor
from random import Random

import pytest

from raworder.portioning.finishing import share_pieces


@dataclass(frozen=True)
class Group:
    """Dogs fed alike and the pieces counted for them; the arguments of `share_pieces`."""

    pieces: Mapping[str, int]
    piece_g: Mapping[str, int]
    bone_share: Mapping[str, Fraction]
    rations_g: Mapping[str, int]

    def shared(self) -> dict[tuple[str, str], int]:
        return share_pieces(self.pieces, self.piece_g, self.bone_share, self.rations_g)

    def exact(self, dog: str, cut: str) -> Fraction:
        return Fraction(self.pieces[cut] * self.rations_g[dog], sum(self.rations_g.values()))

    def bone_g(self, cut: str) -> Fraction:
        return self.piece_g[cut] * self.bone_share[cut]

    def by_bone(self) -> list[str]:
        return sorted(self.pieces, key=lambda cut: (-self.bone_g(cut), cut))


TWO_ALIKE = Group(
    {"chicken neck": 5, "chicken wing": 3},
    {"chicken neck": 60, "chicken wing": 100},
    {"chicken neck": Fraction(2, 5), "chicken wing": Fraction(9, 20)},
    {"Maple": 1_000, "Juniper": 1_000},
)
"""Each is due 1.5 wings of 45 g bone and 2.5 necks of 24 g."""


def test_who_got_less_bone_of_one_cut_gets_more_of_the_next() -> None:
    """Wings: Juniper, first by name, gets 2 and is 22.5 g over; so Maple, 22.5 g short, gets the odd neck: 10.5 g."""
    assert TWO_ALIKE.shared() == {
        ("Maple", "chicken neck"): 3,
        ("Maple", "chicken wing"): 1,
        ("Juniper", "chicken neck"): 2,
        ("Juniper", "chicken wing"): 2,
    }


def test_a_piece_that_would_outweigh_a_ration_goes_to_another_dog() -> None:
    """Maple is due 0.54 of 6 pieces and Juniper 5.46, but 100 g are more than all that Maple eats."""
    group = Group({"wing": 6}, {"wing": 100}, {"wing": Fraction(9, 20)}, {"Maple": 90, "Juniper": 910})
    assert group.shared() == {("Maple", "wing"): 0, ("Juniper", "wing"): 6}


def test_what_a_dog_has_already_takes_from_its_room() -> None:
    """Maple is due 1.52 of 8 pieces and Juniper 6.48; after one piece Maple has room for 90 g."""
    group = Group({"wing": 8}, {"wing": 100}, {"wing": Fraction(9, 20)}, {"Maple": 190, "Juniper": 810})
    assert group.shared() == {("Maple", "wing"): 1, ("Juniper", "wing"): 7}


@pytest.mark.slow
def test_no_dog_gets_more_than_it_eats_even_where_pieces_are_nearly_all_there_is() -> None:
    held = 0
    for seed in range(1_000):
        group = a_random_group(Random(seed), most_eaten=Fraction(9, 10), rations=(200, 300, 500))
        try:
            shared = group.shared()
        except ValueError:
            continue
        assert all(eaten_g(group, shared, dog) <= ration_g for dog, ration_g in group.rations_g.items()), seed
        held += 1
    assert held > 700


def eaten_g(group: Group, shared: Mapping[tuple[str, str], int], dog: str) -> int:
    return sum(shared[dog, cut] * each_g for cut, each_g in group.piece_g.items())


def test_among_dogs_equally_short_of_bone_the_larger_remainder_goes_first() -> None:
    """Half a piece each but for 1/30; no piece has any bone."""
    group = Group({"strip": 1}, {"strip": 100}, {"strip": Fraction(0)}, {"Bramble": 700, "Maple": 800})
    assert group.shared() == {("Bramble", "strip"): 0, ("Maple", "strip"): 1}


def test_a_dog_that_eats_nothing_gets_no_piece() -> None:
    group = Group({"wing": 3}, {"wing": 100}, {"wing": Fraction(9, 20)}, {"Maple": 0, "Juniper": 900, "Sorrel": 900})
    assert group.shared()["Maple", "wing"] == 0


def test_pieces_that_fit_no_ration_are_refused() -> None:
    with pytest.raises(ValueError, match="pieces of `wing` are left"):
        Group({"wing": 1}, {"wing": 60}, {"wing": Fraction(2, 5)}, {"Maple": 50, "Juniper": 50}).shared()


def test_no_pieces_are_soon_shared() -> None:
    assert share_pieces({}, {}, {}, {"Maple": 500}) == {}


def a_random_group(
    random: Random, most_eaten: Fraction = Fraction(2, 5), rations: Sequence[int] = (700, 2_800, 3_500, 7_000, 11_213)
) -> Group:
    """Up to six dogs whose pieces weigh at most so much of what they eat."""
    rations_g = {f"dog {number}": random.choice(rations) for number in range(6)}
    rations_g = dict(list(rations_g.items())[: random.randint(1, 6)])
    cuts = [f"cut {number}" for number in range(random.randint(1, 4))]
    piece_g = {cut: random.choice((45, 60, 100, 120)) for cut in cuts}
    most_g = floor(sum(rations_g.values()) * most_eaten / len(cuts))
    pieces = {cut: random.randint(0, most_g // piece_g[cut]) for cut in cuts}
    return Group(pieces, piece_g, {cut: Fraction(random.randint(20, 60), 100) for cut in cuts}, rations_g)


@pytest.mark.parametrize("block", range(4))
def test_a_thousand_random_groups_keep_every_sum_and_nobody_is_a_piece_off(block: int) -> None:
    for seed in range(block * 250, (block + 1) * 250):
        group = a_random_group(Random(seed))
        shared = group.shared()
        assert shared.keys() == {(dog, cut) for dog in group.rations_g for cut in group.pieces}
        for cut, count in group.pieces.items():
            assert sum(shared[dog, cut] for dog in group.rations_g) == count, seed
        for dog, ration_g in group.rations_g.items():
            assert eaten_g(group, shared, dog) <= ration_g, seed
            for cut in group.pieces:
                exact = group.exact(dog, cut)
                assert floor(exact) <= shared[dog, cut] <= ceil(exact), seed


@pytest.mark.slow
def test_no_other_rounding_up_of_a_cut_leaves_a_dog_further_off_its_bone() -> None:
    """Counted out: the worst dog, and the squares added up, are as small as any choice of dogs could make them."""
    chosen = 0
    for seed in range(300):
        group = a_random_group(Random(seed))
        shared, off = group.shared(), dict.fromkeys(group.rations_g, Fraction(0))
        for cut in group.by_bone():
            open_dogs = [dog for dog in off if group.exact(dog, cut) % 1]
            low = {dog: off[dog] - group.bone_g(cut) * (group.exact(dog, cut) % 1) for dog in off}
            more = [dog for dog in off if shared[dog, cut] > floor(group.exact(dog, cut))]
            ways = [rounded_up(low, way, group.bone_g(cut)) for way in combinations(open_dogs, len(more))]
            off = rounded_up(low, more, group.bone_g(cut))
            assert worst(off) == min(map(worst, ways)), seed
            assert squares(off) == min(map(squares, ways)), seed
            chosen += len(ways) > 1
    assert chosen > 300


def rounded_up(low: Mapping[str, Fraction], dogs: tuple[str, ...] | list[str], bone_g: Fraction) -> dict[str, Fraction]:
    return {dog: off + bone_g if dog in dogs else off for dog, off in low.items()}


def worst(off: Mapping[str, Fraction]) -> Fraction:
    return max(map(abs, off.values()))


def squares(off: Mapping[str, Fraction]) -> Fraction:
    return sum((each * each for each in off.values()), Fraction(0))


def test_the_order_in_which_dogs_and_cuts_are_named_does_not_matter() -> None:
    for seed in range(200):
        group = a_random_group(Random(seed))
        turned = Group(
            dict(reversed([*group.pieces.items()])),
            dict(reversed([*group.piece_g.items()])),
            group.bone_share,
            dict(reversed([*group.rations_g.items()])),
        )
        assert turned.shared() == group.shared(), seed
