"""What a dog eats is held against its bags inside the order: what can be spread over bags, days and weeks.

**Source:** arithmetic; sums stand beside the numbers. All dogs, cuts and amounts are invented.
"""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from raworder.solving.bags_in_order import BagsInOrder
from raworder.solving.problem import GRAMS_PER_KG, total
from raworder.solving.search import add_named_row, build
from raworder.solving.solver import Settings, minimise
from raworder.trade.bags import Portioning
from raworder.trade.cuts import Cut, Measure, Part
from raworder.trade.dogs import Dog, Target
from tests import builders as b

KNUCKLE = b.a_cut("knuckle", kind="bone", parts={Part.BONE: 1}, piece_g=450)
"""A piece that fills nine tenths of a bag of 500 g."""

RIB = b.a_cut("rib", kind="bone", parts={Part.BONE: 1}, piece_g=100)

SMALL_DAYS: dict[str, Any] = {"batch_g": 7_420, "day_g": [60] * 7 + [1_000] * 7}
NECKS_LATER = {b.NECK: 60 * 26, b.TRIM: 7_420 - 60 * 26}
"""A week of bags that take no neck, and a week of bags that take many."""

STRICT = Portioning(week_allowance=Fraction(0))


def fits(
    dog: Dog,
    eaten_g: Mapping[Cut, int],
    *,
    portioning: Portioning = STRICT,
    in_bags: Mapping[int, float] | None = None,
    to_the_portion: bool = False,
) -> bool:
    """Whether the dog's bags can hold just so much, of the first cut so many pieces, or kg, in some bags."""
    days = len(dog.day_g)
    offers = [b.an_offer_by_weight(cut.name) for cut in eaten_g]
    problem = build(b.a_scenario(days=days, dogs=[dog], cuts=[*eaten_g], offers=offers, portioning=portioning))
    named = frozenset({dog.name})
    for name, row in BagsInOrder(named, named if to_the_portion else frozenset())(problem):
        add_named_row(problem.lp, name, row)
    fixed = {problem.eat_kg[dog.name, cut.name]: grams / GRAMS_PER_KG for cut, grams in eaten_g.items()}
    unknowns = {one.name: one for one in problem.lp.variables()}
    first = next(iter(eaten_g))
    counted = f"bags_0_{'pieces' if problem.scenario.portioning.whole_piece_g(first) else 'kg'}"
    at = [*problem.cuts].index(first.name)
    fixed |= {unknowns[f"{counted}_{place}_{at}"]: held for place, held in (in_bags or {}).items()}
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

    A neck may make 24 g uneven, and a step of trim 5 g more; a rib, of which it gets none, nothing.
    """
    targets = [Target(Part.MUSCLE, Fraction(0), 1 - Fraction(off_g) / 420)]
    assert fits(b.a_dog(targets=targets, **SMALL_DAYS), {**NECKS_LATER, RIB: 0}) is is_spread


@pytest.mark.parametrize(("due_g", "is_spread"), [("23.5", True), ("24.5", False)])
def test_a_week_may_lack_the_bone_of_one_piece(due_g: str, is_spread: bool) -> None:
    """Bone at least `due_g` of 420 g, and seven days without any; a step of trim has none."""
    dog = b.a_dog(targets=[Target(Part.BONE, Fraction(due_g) / 420, Fraction(1))], **SMALL_DAYS)
    assert fits(dog, NECKS_LATER) is is_spread


@pytest.mark.parametrize(("trim_g", "is_spread"), [(70, True), (69, False)])
def test_one_weighed_cut_is_enough_for_a_least_portion_in_every_bag(trim_g: int, is_spread: bool) -> None:
    """Beside a piece of 481 g a bag takes 19 g: 133 g in seven bags, 10 g of one and the same cut in each."""
    bone = replace(KNUCKLE, piece_g=481)
    eaten_g = {bone: 7 * 481, b.TRIM: trim_g, b.LIVER: 133 - trim_g}
    assert fits(a_week(of(Part.BONE, "0", "1")), eaten_g, portioning=replace(STRICT, most_a_day=())) is is_spread


@pytest.mark.parametrize(("off_g", "is_spread"), [("31.0", True), ("31.2", False)])
def test_a_week_may_be_off_by_the_week_allowance_beside(off_g: str, is_spread: bool) -> None:
    """Half a hundredth of 420 g are 2.1 g more than 29."""
    dog = b.a_dog(targets=[Target(Part.MUSCLE, Fraction(0), 1 - Fraction(off_g) / 420)], **SMALL_DAYS)
    assert fits(dog, NECKS_LATER, portioning=Portioning(week_allowance=Fraction(1, 200))) is is_spread


@pytest.mark.parametrize(("off_g", "is_spread"), [("64.5", True), ("65.5", False)])
def test_what_is_capped_is_so_in_every_week(off_g: str, is_spread: bool) -> None:
    """Seven days are all beef: a neck may make 60 g uneven, and a step of trim 5 g more."""
    dog = b.a_dog(caps=[b.a_cap(Measure.SPECIES, "beef", 1 - Fraction(off_g) / 420)], **SMALL_DAYS)
    assert fits(dog, NECKS_LATER) is is_spread


@pytest.mark.parametrize(("pieces", "is_spread"), [({0: 1, 1: 1}, True), ({0: 2}, False)])
def test_what_a_day_may_hold_is_asked_of_every_day_by_itself(pieces: dict[int, int], is_spread: bool) -> None:
    """Bone at most 15 % of all, so 25 % of a day, 125 g: a rib of 100 g, and not two in one day."""
    dog = a_week(of(Part.BONE, "2/100", "15/100"))
    assert fits(dog, {RIB: 200, b.TRIM: 3_300}, in_bags=pieces) is is_spread


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


@pytest.mark.parametrize(("bag_g", "is_spread"), [(9, False), (10, True), (0, True)])
def test_what_is_weighed_comes_in_least_portions_for_those_of_whom_that_is_asked(bag_g: int, is_spread: bool) -> None:
    eaten_g, in_bags = {b.LIVER: 100, b.TRIM: 3_400}, {0: bag_g / GRAMS_PER_KG}
    assert fits(a_week(), eaten_g, in_bags=in_bags)
    assert fits(a_week(), eaten_g, in_bags=in_bags, to_the_portion=True) is is_spread


def test_a_dog_named_again_is_bagged_to_the_portion() -> None:
    one, two = frozenset({"Maple"}), frozenset({"Maple", "Fern"})
    assert BagsInOrder().with_bags_of(one) == BagsInOrder(one)
    assert BagsInOrder(one).with_bags_of(two) == BagsInOrder(two, one)
    assert BagsInOrder(two, one).with_bags_of(two - one) == BagsInOrder(two, two)


def test_a_bag_bounds_what_it_holds_of_each_cut_and_only_dogs_that_are_named_have_bags() -> None:
    """A bag of 500 g holds 500 g of trim, or four ribs of 100 g and ten that top it up."""
    problem = build(b.a_scenario(days=7, dogs=[a_week(), b.a_dog("Rowan", days=7)], cuts=[RIB, b.TRIM], offers=()))
    for name, row in BagsInOrder(frozenset({"Maple"}))(problem):
        add_named_row(problem.lp, name, row)
    most = {one.name: one.upBound for one in problem.lp.variables() if one.name.startswith("bags_")}
    assert {name.split("_")[1] for name in most} == {"0"}
    assert {most[name] for name in most if "_kg_" in name} == {0.5}
    assert {most[name] for name in most if "_pieces_" in name} == {4}
