"""What a dog eats is held against its bags inside the order: what can be spread over bags, days and weeks.

**Source:** arithmetic; sums stand beside the numbers. All dogs, cuts and amounts are invented.
"""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

import pytest

from raworder.bags import Portioning
from raworder.cuts import Cut, Part
from raworder.dogs import Dog, Target
from raworder.solving.bags_in_order import BagsInOrder
from raworder.solving.problem import GRAMS_PER_KG
from raworder.solving.search import add, build
from raworder.solving.solver import Settings, minimise
from raworder.solving.unknowns import total
from tests import builders as b

KNUCKLE = b.a_cut("knuckle", kind="bone", parts={Part.BONE: 1}, piece_g=450)
"""A piece that fills nine tenths of a bag of 500 g."""

STRICT = Portioning(week_allowance=Fraction(0))


def fits(
    dog: Dog,
    eaten_g: Mapping[Cut, int],
    *,
    portioning: Portioning = STRICT,
    in_bags: Mapping[int, int] | None = None,
) -> bool:
    """Whether the dog's bags can hold just so much, of the first cut so many pieces in the bags of these places."""
    days = len(dog.day_g)
    offers = [b.an_offer_by_weight(cut.name) for cut in eaten_g]
    problem = build(b.a_scenario(days=days, dogs=[dog], cuts=[*eaten_g], offers=offers, portioning=portioning))
    for name, row in BagsInOrder(frozenset({dog.name}))(problem):
        add(problem.lp, name, row)
    fixed = {problem.eat_kg[dog.name, cut.name]: grams / GRAMS_PER_KG for cut, grams in eaten_g.items()}
    unknowns = {one.name: one for one in problem.lp.variables()}
    at = [*problem.cuts].index(next(iter(eaten_g)).name)
    fixed |= {unknowns[f"bags_0_pieces_{place}_{at}"]: pieces for place, pieces in (in_bags or {}).items()}
    for unknown, value in fixed.items():
        unknown.lowBound = unknown.upBound = value
    return minimise(problem.lp, total([]), Settings(time_limit_s=30)).solved


def a_week(*targets: Target) -> Dog:
    """500 g a day for a week."""
    return b.a_dog(days=7, targets=targets)


def of(part: Part, low: str, high: str) -> Target:
    return b.a_target(part, low, high)


@pytest.mark.parametrize(("necks", "is_spread"), [(29, True), (28, False)])
def test_a_week_may_be_a_piece_off_and_no_more(necks: int, is_spread: bool) -> None:
    """29 necks of 24 g of bone are 696 of 7000 g; a week of 14 of them is 12 g short of its half, less than a neck.

    What is asked of the batch is asked of the order by other rows, and 28 necks are less.
    """
    dog = b.a_dog(targets=[of(Part.BONE, "696/7000", "1")])
    assert fits(dog, {b.NECK: 60 * necks, b.TRIM: 7_000 - 60 * necks}) is is_spread


@pytest.mark.parametrize(("off_g", "is_spread"), [("24.5", True), ("28.5", True), ("29.5", False)])
def test_a_week_may_be_off_by_a_scale_step_of_what_tops_up_beside_the_piece(off_g: str, is_spread: bool) -> None:
    """Seven days of 60 g take no neck, so they are all muscle: above its most by `off_g` of 420 g.

    A neck may make 24 g uneven, and a step of trim 5 g more.
    """
    most = 1 - Fraction(off_g) / 420
    dog = b.a_dog(targets=[Target(Part.MUSCLE, Fraction(0), most)], batch_g=7_420, day_g=[60] * 7 + [1_000] * 7)
    assert fits(dog, {b.NECK: 60 * 26, b.TRIM: 7_420 - 60 * 26}) is is_spread


@pytest.mark.parametrize(("pieces", "is_spread"), [({0: 1, 1: 1}, True), ({0: 2}, False)])
def test_what_a_day_may_hold_is_asked_of_every_day_by_itself(pieces: dict[int, int], is_spread: bool) -> None:
    """Bone at most 15 % of all, so 25 % of a day, 125 g: a rib of 100 g, and not two in one day."""
    rib = b.a_cut("rib", kind="bone", parts={Part.BONE: 1}, piece_g=100)
    dog = a_week(of(Part.BONE, "2/100", "15/100"))
    assert fits(dog, {rib: 200, b.TRIM: 3_300}, in_bags=pieces) is is_spread


def test_a_day_may_hold_anything_of_what_a_rule_allows_to_be_most_of_all() -> None:
    """Bone at most 70 % of all: five thirds of that are more than all; one knuckle is nine tenths of its day."""
    dog = a_week(of(Part.BONE, "10/100", "70/100"), of(Part.MUSCLE, "0", "1"))
    assert fits(dog, {KNUCKLE: 450, b.TRIM: 3_050})


@pytest.mark.parametrize(("knuckles", "is_spread"), [(1, False), (4, False), (5, True), (6, True)])
def test_without_a_rule_a_day_may_hold_five_thirds_of_what_all_food_does(knuckles: int, is_spread: bool) -> None:
    """A knuckle is 90 % of its day. Four are 51 % of 3500 g, five thirds of which are 86 %; five are 64 and 107 %."""
    assert fits(a_week(), {KNUCKLE: 450 * knuckles, b.TRIM: 3_500 - 450 * knuckles}) is is_spread


@pytest.mark.parametrize(("piece_g", "is_spread"), [(490, True), (491, False)])
def test_a_bag_holds_a_piece_and_the_least_portion_of_what_tops_it_up(piece_g: int, is_spread: bool) -> None:
    bone = replace(KNUCKLE, piece_g=piece_g)
    assert fits(a_week(of(Part.BONE, "0", "1")), {bone: 6 * piece_g, b.TRIM: 3_500 - 6 * piece_g}) is is_spread
