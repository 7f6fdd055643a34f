"""Weighing: errors are evened out, and nothing is lost or made up."""

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import accumulate
from random import Random

import pytest

from raworder.portioning.weighing import WeighedEntry, Weighing, next_target
from raworder.trade.bags import Bag, NextWeighing, Portioning, Station
from raworder.trade.plan import Plan
from tests.builders import a_bag, a_filling, a_plan

LIVER, NECK, TRIM = "lamb liver", "chicken neck", "beef trim"

Hand = Callable[[NextWeighing], int]
"""How a target is met: the grams that are really put in."""


def exactly(target: NextWeighing) -> int:
    return target.target_g


def a_weighing(bags: Sequence[Bag], *stations: tuple[str, tuple[int, ...]], **portioning: int | Fraction) -> Weighing:
    """The bags filled in the order of the stations."""
    told = tuple(Station(1, cut, places) for cut, places in stations)
    return Weighing(a_plan(bags=bags, stations=told), Portioning(**portioning))  # type: ignore[arg-type]  # by name


def weighed_out(weighing: Weighing, hand: Hand) -> tuple[list[NextWeighing], list[WeighedEntry]]:
    """Every target in order, and what was put in."""
    targets: list[NextWeighing] = []
    entries: list[WeighedEntry] = []
    while (target := next_target(weighing, entries)) is not None:
        targets.append(target)
        entries.append(WeighedEntry(target.bag, target.cut, hand(target)))
    return targets, entries


def livers(*grams: int) -> list[Bag]:
    """Bags of 500 g with so much liver, topped up with trim."""
    return [a_bag((a_filling(LIVER, much), a_filling(TRIM, 500 - much)), day=day) for day, much in enumerate(grams)]


FOUR = a_weighing(livers(40, 40, 40, 40), (LIVER, (0, 1, 2, 3)), (TRIM, (0, 1, 2, 3)))


def test_weighings_come_station_by_station_and_bag_by_bag() -> None:
    targets, _ = weighed_out(FOUR, exactly)
    assert [(one.station, one.cut, one.bag) for one in targets] == [
        *((0, LIVER, bag) for bag in range(4)),
        *((1, TRIM, bag) for bag in range(4)),
    ]
    assert [one.is_last for one in targets] == [False, False, False, True] * 2


def test_who_hits_every_target_is_told_what_was_planned() -> None:
    weighing = a_weighing(livers(40, 40, 83, 17), (LIVER, (0, 1, 2, 3)), (TRIM, (0, 1, 2, 3)))
    targets, _ = weighed_out(weighing, exactly)
    assert [one.target_g for one in targets] == [40, 40, 83, 17, 460, 460, 417, 483]
    assert all(one.target_g == one.planned_g for one in targets)
    assert [one.bag_to_g for one in targets] == [None] * 4 + [500] * 4


def test_what_is_missing_is_spread_over_the_bags_to_come_in_scale_steps() -> None:
    # 40 planned in each of four bags; 25 given, so 135 are left for three: 45 each
    assert next_target(FOUR, [WeighedEntry(0, LIVER, 25)]).target_g == 45  # type: ignore[union-attr]  # there is one
    # 48 given, so 112 are left: 37.33 each, next to 35
    assert next_target(FOUR, [WeighedEntry(0, LIVER, 48)]).target_g == 35  # type: ignore[union-attr]  # there is one
    # 43 given, so 117 are left: 39 each, next to 40
    assert next_target(FOUR, [WeighedEntry(0, LIVER, 43)]).target_g == 40  # type: ignore[union-attr]  # there is one


def test_the_part_of_what_is_missing_is_in_proportion_to_what_is_planned() -> None:
    weighing = a_weighing(livers(40, 60, 20, 20), (LIVER, (0, 1, 2, 3)))
    # 20 too little, 100 planned in the bags to come: 60 x 120 / 100 = 72, next to 70
    assert next_target(weighing, [WeighedEntry(0, LIVER, 20)]).target_g == 70  # type: ignore[union-attr]  # there is one


def test_the_last_takes_just_what_is_left_to_the_gram() -> None:
    entries = [WeighedEntry(0, LIVER, 43), WeighedEntry(1, LIVER, 38), WeighedEntry(2, LIVER, 41)]
    assert next_target(FOUR, entries).target_g == 160 - 43 - 38 - 41  # type: ignore[union-attr]  # there is one


def test_a_gross_error_is_not_made_up_in_one_bag() -> None:
    # nothing given, so 160 would be due in three bags, 53 each; 5 % of 500 g is 25, so all of it is allowed
    assert next_target(FOUR, [WeighedEntry(0, LIVER, 0)]).target_g == 55  # type: ignore[union-attr]  # there is one
    # 1 % of 500 g is 5
    strict = a_weighing(livers(40, 40, 40, 40), (LIVER, (0, 1, 2, 3)), bag_tolerance=Fraction(1, 100))
    targets, _ = weighed_out(strict, lambda one: 0 if one.bag == 0 else one.target_g)
    assert [one.target_g for one in targets] == [40, 45, 45, 70]


def test_where_a_scale_step_is_more_than_the_tolerance_all_is_left_to_the_last() -> None:
    coarse = a_weighing(livers(40, 40, 40), (LIVER, (0, 1, 2)), bag_tolerance=Fraction(1, 200))
    targets, _ = weighed_out(coarse, lambda one: 30 if one.bag == 0 else one.target_g)
    assert [one.target_g for one in targets] == [40, 40, 50]


def test_what_was_given_away_cannot_be_taken_back() -> None:
    assert next_target(FOUR, [WeighedEntry(bag, LIVER, 60) for bag in range(3)]).target_g == 0  # type: ignore[union-attr]  # there is one


def test_dogs_are_evened_out_by_themselves() -> None:
    bags = [*livers(40, 40), *(a_bag((a_filling(LIVER, 40),), dog="Juniper", day=day) for day in range(2))]
    weighing = a_weighing(bags, (LIVER, (0, 2, 1, 3)))
    targets, _ = weighed_out(weighing, lambda one: one.target_g - 20 if one.bag == 0 else one.target_g)
    assert [(one.dog, one.target_g) for one in targets] == [
        ("Maple", 40),
        ("Juniper", 40),
        ("Maple", 60),
        ("Juniper", 40),
    ]


def necks(*pieces: int) -> list[Bag]:
    """Bags of 500 g with so many necks of 60 g, topped up with trim."""
    return [
        a_bag((a_filling(NECK, 60 * count, count), a_filling(TRIM, 500 - 60 * count)), day=day)
        for day, count in enumerate(pieces)
    ]


def test_whole_pieces_are_counted_and_their_real_weight_moves_the_top_up() -> None:
    weighing = a_weighing(necks(2, 3), (NECK, (0, 1)), (TRIM, (0, 1)))
    first = next_target(weighing, [])
    assert first == NextWeighing(0, 0, "Maple", NECK, 120, 120, pieces=2)
    heavier = [WeighedEntry(0, NECK, 134), WeighedEntry(1, NECK, 171)]
    assert next_target(weighing, heavier[:1]).target_g == 180  # type: ignore[union-attr]  # pieces are not corrected
    assert next_target(weighing, heavier) == NextWeighing(1, 0, "Maple", TRIM, 380, 366, bag_to_g=500)
    done = [*heavier, WeighedEntry(0, TRIM, 366)]
    assert next_target(weighing, done) == NextWeighing(1, 1, "Maple", TRIM, 320, 329, bag_to_g=500, is_last=True)


def test_a_bag_that_got_too_heavy_is_made_up_by_the_dogs_next_ones() -> None:
    weighing = a_weighing(livers(40, 40, 40), (LIVER, (0, 1, 2)), (TRIM, (0, 1, 2)))
    targets, entries = weighed_out(
        weighing, lambda one: one.target_g + 12 if one.station and not one.bag else one.target_g
    )
    # 12 g too much, 6 for each of two bags, next to 5; the last takes the rest, 7
    assert [one.bag_to_g for one in targets[3:]] == [500, 495, 493]
    assert sum(one.grams for one in entries) == 1500


def test_a_bag_that_is_full_already_gets_no_top_up() -> None:
    weighing = a_weighing(necks(2, 2), (NECK, (0, 1)), (TRIM, (0, 1)))
    target = next_target(weighing, [WeighedEntry(0, NECK, 520), WeighedEntry(1, NECK, 120)])
    assert target == NextWeighing(1, 0, "Maple", TRIM, 380, 0, bag_to_g=520)


def test_a_later_entry_corrects_an_earlier_one() -> None:
    entries = [WeighedEntry(0, LIVER, 400), WeighedEntry(1, LIVER, 40), WeighedEntry(0, LIVER, 40)]
    assert next_target(FOUR, entries) == NextWeighing(0, 2, "Maple", LIVER, 40, 40)


def test_what_was_weighed_out_of_turn_is_not_asked_for_again() -> None:
    target = next_target(FOUR, [WeighedEntry(1, LIVER, 50)])
    assert target == NextWeighing(0, 0, "Maple", LIVER, 40, 35)


def test_what_the_plan_does_not_weigh_is_our_own_mistake() -> None:
    for stranger in (WeighedEntry(4, LIVER, 1), WeighedEntry(0, NECK, 1)):
        with pytest.raises(ValueError, match="does not weigh"):
            next_target(FOUR, [stranger])


def test_when_all_is_weighed_there_is_no_next() -> None:
    _, entries = weighed_out(FOUR, exactly)
    assert next_target(FOUR, entries) is None
    assert next_target(a_weighing([]), []) is None


def invented_plan(chance: Random) -> Plan:
    """A few bags of one or two dogs: whole pieces in some, one or two weighed cuts, and a top-up."""
    bags: list[Bag] = []
    for dog in ("Maple", "Juniper")[: chance.randint(1, 2)]:
        pieces, liver, heart = (chance.choice([0, 1]), chance.choice([10, 25, 40]), chance.choice([0, 15, 60]))
        for day in range(chance.randint(2, 6)):
            count = pieces * chance.randint(0, 2)
            parts = [
                a_filling(NECK, 60 * count, count),
                a_filling(LIVER, liver + 5 * chance.randint(0, 2)),
                a_filling("beef heart", heart),
            ]
            held = [one for one in parts if one.grams]
            topped = a_filling(TRIM, 5 * chance.randint(30, 80))
            bags.append(a_bag((*held, topped), dog=dog, day=day))
    cuts = (NECK, LIVER, "beef heart", TRIM)
    places = {cut: tuple(place for place, bag in enumerate(bags) if bag.grams_of(cut)) for cut in cuts}
    return a_plan(bags=bags, stations=tuple(Station(1, cut, where) for cut, where in places.items() if where))


def assert_evened_out(plan: Plan, targets: Sequence[NextWeighing], entries: Sequence[WeighedEntry]) -> None:
    """What must hold however badly was weighed, if only each last target was met."""
    assert all(target.target_g >= 0 for target in targets)
    for dog in {bag.dog for bag in plan.bags}:
        mine = [place for place, bag in enumerate(plan.bags) if bag.dog == dog]
        for cut in (LIVER, "beef heart"):
            given = sum(one.grams for one in entries if one.bag in mine and one.cut == cut)
            assert given == sum(plan.bags[place].grams_of(cut) for place in mine)
        assert sum(one.grams for one in entries if one.bag in mine) == sum(plan.bags[place].grams for place in mine)


@pytest.mark.slow
def test_in_2000_random_runs_every_sum_is_met_to_the_gram() -> None:
    chance = Random(1)

    def clumsy(target: NextWeighing) -> int:
        if target.is_last and not target.pieces:
            return target.target_g
        return max(target.target_g + chance.randint(-3, 3), 0)

    off = 0
    for _ in range(2_000):
        plan = invented_plan(chance)
        targets, entries = weighed_out(Weighing(plan, Portioning()), clumsy)
        assert_evened_out(plan, targets, entries)
        off += sum(target.target_g != target.planned_g for target in targets)
    assert off > 10_000


@pytest.mark.slow
def test_in_random_runs_no_target_but_the_last_leaves_the_tolerance() -> None:
    chance = Random(2)
    for _ in range(200):
        plan = invented_plan(chance)
        targets, _ = weighed_out(
            Weighing(plan, Portioning()), lambda one: max(one.target_g + chance.randint(-30, 30), 0)
        )
        for target in targets:
            weight_g = plan.bags[target.bag].grams
            off_g = target.target_g - target.planned_g if target.bag_to_g is None else target.bag_to_g - weight_g
            assert target.is_last or target.target_g == 0 or abs(off_g) <= weight_g * Fraction(5, 100)


def test_errors_do_not_add_up_as_they_do_uncorrected() -> None:
    weighing = a_weighing(livers(*[40] * 14), (LIVER, tuple(range(14))))
    _, entries = weighed_out(weighing, lambda one: one.target_g + (0 if one.is_last else 3))
    so_far = list(accumulate(one.grams for one in entries))
    assert max(abs(given - 40 * count) for count, given in enumerate(so_far, start=1)) < 3 * 13
    assert so_far[-1] == 40 * 14
