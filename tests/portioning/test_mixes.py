"""Tubs: they add up to the mix, each is like the others, and there are no more than are needed.

**Source:** the demand is arithmetic: tubs add up to the mix, to the gram. All amounts are invented.
"""

from collections.abc import Sequence
from math import ceil
from random import Random

import pytest

from raworder.portioning.bag_filling import make_mix, tubs_of
from raworder.trade.bags import Filling, Mix, Portioning, Tub
from tests import builders as b

TRIM_AND_LIVER = (b.a_filling("beef trim", 9_001), b.a_filling("lamb liver", 500), b.a_filling("kale", 1))


def test_a_mix_is_made_in_the_fewest_equal_tubs() -> None:
    """9502 g in tubs of 5000 g: two. Odd grams go on where they ended: of trim to the first, of kale to the second."""
    assert tubs_of(TRIM_AND_LIVER, 5_000, 5_000) == (
        Tub(1, (b.a_filling("beef trim", 4_501), b.a_filling("lamb liver", 250))),
        Tub(2, (b.a_filling("beef trim", 4_500), b.a_filling("lamb liver", 250), b.a_filling("kale", 1))),
    )


@pytest.mark.parametrize(("tub_g", "scale_g"), [(5_000, 3_200), (3_200, 5_000)])
def test_neither_the_tub_nor_the_scale_is_overloaded(tub_g: int, scale_g: int) -> None:
    """9502 g in threes of 3167.3 g."""
    assert [tub.grams for tub in tubs_of(TRIM_AND_LIVER, tub_g, scale_g)] == [3_168, 3_167, 3_167]


def test_odd_grams_of_many_cuts_need_no_tub_more() -> None:
    """Three times 3333 g are just two tubs' 5000 g but for a gram; three odd grams in one tub would not fit."""
    contents = [b.a_filling(name, 3_333) for name in ("beef trim", "beef heart", "lamb breast")]
    assert [tub.grams for tub in tubs_of(contents, 5_000, 5_000)] == [5_000, 4_999]


def test_no_mix_needs_no_tub() -> None:
    assert tubs_of((), 5_000, 5_000) == ()


def test_a_mix_that_just_fills_a_tub_needs_no_second() -> None:
    assert tubs_of([b.a_filling(grams=5_000)], 5_000, 5_000) == (Tub(1, (b.a_filling(grams=5_000),)),)


def test_a_mix_knows_its_dogs_its_contents_and_its_tubs() -> None:
    mix = make_mix("mix 1", ["Maple", "Juniper"], TRIM_AND_LIVER, Portioning(tub_g=10_000, scale_g=6_000))
    assert mix == Mix("mix 1", ("Maple", "Juniper"), TRIM_AND_LIVER, tubs_of(TRIM_AND_LIVER, 10_000, 6_000, 5))
    assert [tub.grams for tub in mix.tubs] == [4_752, 4_750]


def test_tubs_hold_what_the_scale_can_show_and_a_rest_goes_to_the_tub_whose_turn_is_next() -> None:
    """9001 g of trim are 900 steps of 10 g and a gram; 500 g of liver are 50 steps; kale is less than a step."""
    assert tubs_of(TRIM_AND_LIVER, 4_000, 4_000, 10) == (
        Tub(1, (b.a_filling("beef trim", 3_001), b.a_filling("lamb liver", 170))),
        Tub(2, (b.a_filling("beef trim", 3_000), b.a_filling("lamb liver", 170))),
        Tub(3, (b.a_filling("beef trim", 3_000), b.a_filling("lamb liver", 160), b.a_filling("kale", 1))),
    )


def test_a_tub_more_is_made_where_steps_and_rests_would_overload_one() -> None:
    """Twice 2509 g are two tubs of 2509 g; in steps of 10 g one would hold 2519 g."""
    contents = [b.a_filling(name, 2_509) for name in ("beef trim", "beef heart")]
    assert [tub.grams for tub in tubs_of(contents, 2_509, 2_509, 10)] == [1_670, 1_679, 1_669]


@pytest.mark.parametrize("block", range(4))
def test_the_tubs_of_a_thousand_random_mixes_add_up(block: int) -> None:
    many = 0
    for seed in range(block * 250, (block + 1) * 250):
        random = Random(seed)
        names = random.sample([f"cut {number}" for number in range(9)], random.randint(1, 9))
        contents = [b.a_filling(name, random.choice((1, 7, 250, random.randint(1, 20_000)))) for name in names]
        tub_g, scale_g = random.choice((700, 2_000, 5_000, 12_345)), random.choice((999, 3_000, 5_000))
        holds_as_it_should(contents, min(tub_g, scale_g), tubs_of(contents, tub_g, scale_g))
        many += len(tubs_of(contents, tub_g, scale_g)) > 2
    assert many > 100


def holds_as_it_should(contents: Sequence[Filling], most_g: int, tubs: Sequence[Tub]) -> None:
    """All demands on tubs at once."""
    names = [one.cut for one in contents]
    held_g = {name: [grams_of(tub, name) for tub in tubs] for name in names}
    assert {name: sum(each) for name, each in held_g.items()} == {one.cut: one.grams for one in contents}
    assert all(max(each) - min(each) <= 1 for each in held_g.values())
    assert max(tub.grams for tub in tubs) - min(tub.grams for tub in tubs) <= 1
    assert max(tub.grams for tub in tubs) <= most_g
    assert len(tubs) == ceil(sum(one.grams for one in contents) / most_g)
    assert [tub.number for tub in tubs] == list(range(1, len(tubs) + 1))
    for tub in tubs:
        assert [one.cut for one in tub.contents] == [name for name in names if grams_of(tub, name)]
        assert all(one.grams > 0 and one.pieces == 0 for one in tub.contents)


def grams_of(tub: Tub, cut: str) -> int:
    return sum(one.grams for one in tub.contents if one.cut == cut)
