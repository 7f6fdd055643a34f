"""One dog's bags: every rule of the law of bags, checked by loops written apart, on random dogs and on sums by hand.

**Source:** the rulebook's sentences about bags as told by `law_of_bags.py`; arithmetic, the sums stand beside.
"""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from random import Random

import pytest

from raworder.portioning.bag_filling import bags_in_care
from raworder.portioning.fewest_kinds import FilledBags, fill_bags, kind_name
from raworder.solving.solver import BagSolver, Settings, TimeIsUpError
from raworder.trade.bags import Filling, Portioning
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Dog
from raworder.trade.rounding import split_evenly
from raworder.trade.scenario import slots_of
from tests import builders as b
from tests.drawn import drawn, few, seeds
from tests.portioning.law_of_bags import Fed, broken
from tests.portioning.needing import RIB, Counting, a_need, random_dog

SOLVE = BagSolver(Settings(), 0.0)
"""What solves for bags, without a time limit."""

EACH, SEEN = 20, 240


def bags_of(dog: Dog, portions_g: dict[Cut, int], portioning: Portioning | None = None) -> FilledBags:
    """The dog's bags, which break no rule."""
    found = fill_bags(a_need(dog, portions_g, portioning), SOLVE)
    assert found is not None
    assert broken(Fed(dog, portions_g, portioning or Portioning(), found.bags)) == []
    return found


def contents(found: FilledBags, place: int) -> dict[str, int]:
    return {one.cut: one.grams for one in found.bags[place].fillings}


@drawn()
def test_bags_of_random_dogs_break_no_rule(block: int) -> None:
    without = 0
    for seed in seeds(block, EACH):
        dog, portions_g, portioning = random_dog(Random(seed))
        found = fill_bags(a_need(dog, portions_g, portioning), SOLVE)
        without += found is None
        if found is not None:
            assert broken(Fed(dog, portions_g, portioning, found.bags)) == [], seed
            assert 1 <= found.least_kinds <= len(found.bags), seed
            assert 1 <= found.kinds <= len(found.bags), seed
    assert without <= EACH // 5


def test_the_random_dogs_hold_everything_the_rules_are_about() -> None:
    many = [random_dog(Random(seed)) for seed in range(SEEN)]
    dogs = [dog for dog, _, _ in many]
    assert {dog.meals for dog in dogs} == {1, 2, 3}
    assert sum(len(set(dog.day_g) - {0}) > 2 for dog in dogs) > 30
    assert sum(0 in dog.day_g for dog in dogs) > 30
    assert sum(0 < sum(grams > 0 for grams in dog.day_g) < 7 for dog in dogs) > 30
    assert sum(sum(grams > 0 for grams in dog.day_g) > 7 for dog in dogs) > 100
    assert sum(any(map(portioning.whole_piece_g, portions_g)) for _, portions_g, portioning in many) > 100
    assert sum(bool(dog.caps) for dog in dogs) > 50
    assert sum(bool(dog.targets) for dog in dogs) > 100


@pytest.mark.slow
@few("days", [2, 3, 7, 14], 2)
@pytest.mark.parametrize("meals", [1, 2])
def test_whatever_is_left_of_a_cut_goes_into_the_last_bag_of_a_kind(days: int, meals: int) -> None:
    """Liver that divides by no number of bags and no scale step."""
    dog = b.a_dog(days=days, daily_g=400, meals=meals)
    for liver_g in range(11, days * 24, 7):
        bags_of(dog, {b.LIVER: liver_g, b.TRIM: dog.batch_g - liver_g})


def test_a_kind_that_is_filled_like_another_but_ends_with_a_rest_is_a_kind_of_its_own() -> None:
    """292 g of liver over 28 bags: 10 g in each are 280 g, and 12 g over are more than the last of one kind takes."""
    dog = b.a_dog(days=14, daily_g=400, meals=2)
    bags_of(dog, {b.LIVER: 292, b.TRIM: 5_600 - 292})


def test_equal_portions_of_equal_days_are_one_kind() -> None:
    """7000 g in 14 days: 28 necks, two a day; 420 g of liver, 30 a day; 350 g left are trim: 500 - 120 - 30."""
    found = bags_of(b.a_dog(), {b.NECK: 28 * 60, b.LIVER: 420, b.TRIM: 7_000 - 1_680 - 420})
    assert (found.kinds, found.least_kinds) == (1, 1)
    assert [contents(found, place) for place in range(14)] == [
        {"chicken neck": 120, "lamb liver": 30, "beef trim": 350}
    ] * 14
    assert {one.pieces for bag in found.bags for one in bag.fillings if one.cut == "chicken neck"} == {2}
    assert {bag.topped_up for bag in found.bags} == {"beef trim"}


def test_a_rest_that_no_scale_step_shows_is_in_the_last_bag() -> None:
    """424 g of liver: thirteen times 30 g, and 34 g."""
    found = bags_of(b.a_dog(), {b.LIVER: 424, b.TRIM: 7_000 - 424})
    assert [bag.grams_of("lamb liver") for bag in found.bags] == [30] * 13 + [34]
    assert [bag.grams for bag in found.bags] == [500] * 14


def test_pieces_that_no_day_gets_alike_make_two_kinds() -> None:
    """Seven necks in 14 days: every second bag."""
    found = bags_of(b.a_dog(), {b.NECK: 420, b.TRIM: 6_580})
    assert (found.kinds, found.least_kinds) == (2, 2)
    assert Counter(bag.grams_of("chicken neck") for bag in found.bags) == {0: 7, 60: 7}
    necks = [bag.grams_of("chicken neck") // 60 for bag in found.bags]
    assert all(sum(necks[first : first + 7]) in {3, 4} for first in range(8))


def test_what_is_too_little_for_every_bag_is_in_some() -> None:
    """60 g of liver in 14 bags of which none holds less than 10 g: six bags at most."""
    found = bags_of(b.a_dog(), {b.LIVER: 60, b.TRIM: 6_940})
    assert 1 <= sum(bag.grams_of("lamb liver") > 0 for bag in found.bags) <= 6
    assert found.kinds == 2


def test_fewer_kinds_go_before_fewer_weighings() -> None:
    """Six days of at most 100 g, the most of 500 g, could hold 560 g of liver; fourteen of 40 g are one kind."""
    found = bags_of(b.a_dog(), {b.LIVER: 560, b.TRIM: 6_440})
    assert [bag.grams_of("lamb liver") for bag in found.bags] == [40] * 14
    assert found.kinds == 1


@pytest.mark.slow
def test_two_meals_a_day_share_the_most_of_a_day() -> None:
    """30 % of bone in 500 g are 150 g, six necks of 24 g of bone each; in six days there is room for 36, not for 37."""
    dog = b.a_dog(days=6, meals=2, targets=[b.a_target(low=0, high="18/100")])
    found = bags_of(dog, {b.NECK: 36 * 60, b.TRIM: 3_000 - 36 * 60})
    necks = [bag.grams_of("chicken neck") // 60 for bag in found.bags]
    assert [one + other for one, other in zip(necks[::2], necks[1::2], strict=True)] == [6] * 6
    assert fill_bags(a_need(dog, {b.NECK: 37 * 60, b.TRIM: 3_000 - 37 * 60}), SOLVE) is None


def test_a_day_may_hold_five_thirds_of_what_the_dogs_own_range_allows() -> None:
    """150 g of liver a day are 30 % of 500 g, five thirds of 18 %; with 17 % it is more than any day may hold."""
    portions_g = {b.LIVER: 900, b.TRIM: 2_100}
    for high, kinds in (("18/100", 1), ("17/100", None)):
        dog = b.a_dog(days=6, targets=[b.a_target(b.Part.LIVER, 0, high)])
        found = fill_bags(a_need(dog, portions_g), SOLVE)
        assert (found and found.kinds) == kinds


def test_what_a_dog_has_no_rule_on_may_be_as_much_of_a_day_as_of_all_it_eats() -> None:
    """Nothing but breast with 40 % fat, where 25 % is the usual most of a day."""
    breast = b.a_cut("lamb breast", species="lamb", kind="breast", fat="40/100")
    assert bags_of(b.a_dog(), {breast: 7_000}).kinds == 1


def test_pieces_that_leave_no_room_for_a_least_portion_are_not_put_in() -> None:
    """A bag of 100 g holds a rib of 85 g and 15 g of trim, one of 90 g does not hold one and 10 g."""
    portioning = Portioning(most_a_day=())
    assert bags_of(b.a_dog(days=4, daily_g=100), {RIB: 340, b.TRIM: 60}, portioning).kinds == 1
    tight = a_need(b.a_dog(days=4, daily_g=90), {RIB: 340, b.TRIM: 20}, portioning)
    assert fill_bags(tight, SOLVE) is None


def test_rising_rations_are_topped_up_to_their_own_weight() -> None:
    """A puppy of 200 g that gets 5 g more every day; the liver is the same in all bags but the last."""
    day_g = [200 + 5 * day for day in range(14)]
    dog = b.a_dog(day_g=day_g, batch_g=sum(day_g))
    found = bags_of(dog, {b.NECK: 14 * 60, b.LIVER: 141, b.TRIM: sum(day_g) - 14 * 60 - 141})
    assert [bag.grams for bag in found.bags] == day_g
    assert found.kinds == 1
    assert [bag.grams_of("lamb liver") for bag in found.bags] == [10] * 13 + [11]


def test_days_away_have_no_bags_and_are_no_part_of_a_week() -> None:
    """Fed on ten of fourteen days; a week is any seven of the ten."""
    day_g = [500, 500, 0, 0, 500, 500, 500, 500, 0, 500, 500, 500, 0, 500]
    dog = b.a_dog(day_g=day_g, batch_g=5_000, targets=[b.a_target()])
    found = bags_of(dog, {b.NECK: 20 * 60, b.TRIM: 3_800})
    assert [(bag.day - b.STARTS).days for bag in found.bags] == [day for day, grams in enumerate(day_g) if grams]


def test_fewer_than_seven_days_have_no_week_to_keep_to() -> None:
    """Six days of which one holds all the liver, 20 % of its day, where a week would want 4 to 6 % of it."""
    dog = b.a_dog(days=6, targets=[b.a_target(b.Part.LIVER, "4/100", "6/100")])
    assert a_need(dog, {b.LIVER: 120, b.TRIM: 2_880}).weeks == ()
    bags_of(dog, {b.LIVER: 120, b.TRIM: 2_880})


def test_there_are_no_more_kinds_than_bags_and_one_bag_is_one_kind() -> None:
    found = bags_of(b.a_dog(days=1), {b.NECK: 120, b.LIVER: 37, b.TRIM: 343})
    assert (len(found.bags), found.kinds, found.least_kinds) == (1, 1, 1)
    assert contents(found, 0) == {"chicken neck": 120, "lamb liver": 37, "beef trim": 343}


@pytest.mark.slow
def test_kinds_are_named_in_the_order_in_which_they_are_first_fed() -> None:
    for seed in range(20):
        dog, portions_g, portioning = random_dog(Random(seed))
        found = fill_bags(a_need(dog, portions_g, portioning), SOLVE)
        if found is not None:
            names = list(dict.fromkeys(bag.kind for bag in found.bags))
            assert names == [kind_name(number) for number in range(len(names))]


@drawn()
def test_the_order_in_which_cuts_are_listed_decides_nothing_and_every_run_is_alike(block: int) -> None:
    for seed in seeds(block, 6):
        dog, portions_g, portioning = random_dog(Random(seed))
        backwards = dict(reversed(portions_g.items()))
        once, again, other = (
            fill_bags(a_need(dog, portions, portioning), SOLVE) for portions in (portions_g, portions_g, backwards)
        )
        assert once == again == other, seed


@pytest.mark.parametrize("step_g", [1, 2, 5, 10])
@pytest.mark.parametrize("meals", [1, 2, 3])
def test_no_run_of_bags_is_a_scale_step_off_its_ration(step_g: int, meals: int) -> None:
    random = Random(step_g * 10 + meals)
    for _ in range(30):
        day_g = [random.choice((0, random.randint(100, 700))) for _ in range(13)] + [random.randint(100, 700)]
        dog = b.a_dog(day_g=day_g, batch_g=sum(day_g), meals=meals)
        slots = slots_of(dog, b.a_scenario(dogs=[dog], portioning=Portioning(scale_step_g=step_g)))
        off = [Fraction(0)]
        for slot in slots:
            off.append(off[-1] + slot.grams - Fraction(day_g[(slot.day - b.STARTS).days], meals))
        assert max(off) - min(off) <= step_g
        assert off[-1] == 0
        assert all(slot.grams % step_g == 0 for slot in slots[:-1])
        assert all(one.day < other.day or one.meal < other.meal for one, other in pairwise(slots))


def test_a_dog_in_care_gets_its_amounts_evenly_and_in_no_scale_steps() -> None:
    """1001 g of trim and 50 g of liver over 14 days: 71.5 and 3.57 g a day."""
    dog = b.a_dog_in_care(amounts_g={"beef trim": 1_001, "lamb liver": 50})
    bags = bags_in_care(dog, slots_of(dog, b.a_scenario(dogs=[dog])))
    assert [bag.grams_of("beef trim") for bag in bags] == list(split_evenly(1_001, 14))
    assert [bag.grams_of("lamb liver") for bag in bags] == list(split_evenly(50, 14))
    assert {(bag.kind, bag.topped_up) for bag in bags} == {("A", "")}


def test_a_dog_in_care_gets_no_empty_filling_where_there_is_less_than_a_gram_a_day() -> None:
    dog = b.a_dog_in_care(amounts_g={"beef trim": 1_400, "lamb liver": 5})
    bags = bags_in_care(dog, slots_of(dog, b.a_scenario(dogs=[dog])))
    assert sum(bag.grams_of("lamb liver") for bag in bags) == 5
    assert Filling("lamb liver", 0) not in [one for bag in bags for one in bag.fillings]


def test_pieces_that_were_shared_out_may_be_off_by_one_more() -> None:
    """Bone from 9.6 to 9.7 %: 14 days of 500 g with 27 necks, 9.26 %, miss it by 24 g a fortnight, 12 g a week.

    Without a week's allowance a week may miss it by a neck, 24 g of bone, or by two; half the weeks have 13 necks.
    """
    dog = b.a_dog(targets=[b.a_target(low="96/1000", high="97/1000")])
    portions_g = {b.NECK: 27 * 60, b.TRIM: 7_000 - 27 * 60}
    strict = replace(a_need(dog, portions_g, Portioning(week_allowance=Fraction(0))), shared_pieces=False)
    loose = replace(strict, shared_pieces=True)
    subject = b.a_subject(b.Measure.PART, b.Part.BONE)
    assert strict.allowance_g(subject, 3_500) == 24
    assert loose.allowance_g(subject, 3_500) == 48
    found = fill_bags(loose, SOLVE)
    assert found is not None
    assert broken(Fed(dog, portions_g, loose.portioning, found.bags, shared_pieces=True)) == []


class AtSecond:
    """A clock that stands still at a second until it is set to another."""

    def __init__(self, now: float) -> None:
        self.now = now

    def __call__(self) -> float:
        """The second."""
        return self.now


PORTIONS_G = {b.NECK: 28 * 60, b.LIVER: 353, b.KIDNEY: 291, b.TRIM: 7_000 - 1_680 - 644}
"""Bags of these take several kinds, and for some numbers of kinds there are several patterns."""


def test_once_it_is_late_bags_are_still_filled_and_few_ways_are_tried() -> None:
    """Of ten seconds for bags, six are for good ones."""
    dog, asked = b.a_dog(), []
    for second in (5.0, 7.0):
        clock = AtSecond(0.0)
        solve = Counting(BagSolver(Settings(time_limit_s=10), 0.0, clock))
        clock.now = second
        found = fill_bags(a_need(dog, PORTIONS_G), solve)
        assert found is not None
        assert broken(Fed(dog, PORTIONS_G, Portioning(), found.bags)) == []
        asked.append(solve.asked)
    in_time, late = asked
    assert late < in_time


def test_what_is_not_found_as_time_is_over_is_not_said_to_be_impossible() -> None:
    clock = AtSecond(0.0)
    solve = BagSolver(Settings(time_limit_s=10), 0.0, clock)
    clock.now = 11.0
    with pytest.raises(TimeIsUpError):
        fill_bags(a_need(b.a_dog(), PORTIONS_G), solve)
