"""The picture of every rule of bags: the algebra that its builder writes for one dog's bags of two kinds.

The dog eats 500 g a day for a fortnight: 28 necks of 60 g, 700 g of heart, 330 g of liver, and trim that tops up.
Every third bag is of the second kind. `count_KIND_CUT` are pieces or steps of 5 g, with the cuts numbered from 0:
heart, neck, liver; `rest` is what the last bag of a kind holds more.

**Source:** the golden files were read line by line beside the rulebook's maths when they were written; some lines are
worked out by hand below. Rewritten only by `--write-golden`.
"""

from collections.abc import Callable
from pathlib import Path

import pytest

from raworder.portioning.bag_needs import Need, ingredient
from raworder.portioning.bag_problem import BAG_BUILDERS, pose_bags
from raworder.solving.constraints import BUILDERS
from raworder.trade.bags import Portioning
from raworder.trade.rulebook import RULES
from raworder.trade.scenario import slots_of
from tests import builders as b
from tests.solving.algebra import line

PICTURES = Path(__file__).resolve().parents[1] / "golden" / "constraints"
PATTERN = (0, 0, 1) * 4 + (0, 0)
MAPLE = b.a_dog(targets=[b.a_target(), b.a_target(b.Part.LIVER, "4/100", "6/100")], caps=[b.a_cap()])


def the_need(*, shared_pieces: bool = False) -> Need:
    """Maple's portions and bags."""
    portioning, portions_g = Portioning(), {b.HEART: 700, b.NECK: 1_680, b.LIVER: 330}
    others = tuple(ingredient(cut, grams, MAPLE, portioning) for cut, grams in portions_g.items())
    top_up = ingredient(b.TRIM, 4_290, MAPLE, portioning)
    slots = slots_of(MAPLE, b.a_scenario(dogs=[MAPLE]))
    return Need(MAPLE, portioning, slots, others, top_up, shared_pieces)


def algebra(key: str, *, shared_pieces: bool = False) -> list[str]:
    """What a builder writes for Maple's bags."""
    problem = pose_bags(the_need(shared_pieces=shared_pieces), PATTERN)
    return [line(name, rule) for name, rule in BAG_BUILDERS[key](problem)]


def picture_of(key: str) -> Path:
    """Where the picture of a rule is; a rule about orders as well has one for bags beside."""
    return PICTURES / (f"{key}_of_bags.txt" if key in BUILDERS else f"{key}.txt")


@pytest.mark.parametrize("key", BAG_BUILDERS)
def test_a_builder_of_bags_writes_the_algebra_of_its_picture(key: str, golden: Callable[[Path, str], None]) -> None:
    golden(picture_of(key), "".join(f"{said}\n" for said in algebra(key)))


@pytest.mark.parametrize("key", BAG_BUILDERS)
def test_every_rule_of_bags_has_something_to_say_about_maples(key: str) -> None:
    assert algebra(key)


@pytest.mark.parametrize("key", BAG_BUILDERS)
def test_names_of_constraints_begin_with_the_key_of_their_rule_and_are_safe(key: str) -> None:
    names = [said.partition(":")[0] for said in algebra(key)]
    assert all(name.startswith(f"{key}_") for name in names)
    assert all(set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789_") for name in names)
    assert len(set(names)) == len(names)


def test_builders_of_bags_stand_in_the_order_of_the_rulebook() -> None:
    assert list(BAG_BUILDERS) == [rule.key for rule in RULES if rule.key in BAG_BUILDERS]


@pytest.mark.parametrize(
    ("key", "said"),
    [
        # ten bags of the first kind and four of the second hold 700 g of heart in steps of 5 g, rests included
        ("bag_sum", "bag_sum_0: 50 count_0_0 + rest_0_0 + 20 count_1_0 + rest_1_0 = 700"),
        # and 28 necks of 60 g, of which there is no rest
        ("bag_sum", "bag_sum_1: 600 count_0_1 + 240 count_1_1 = 1680"),
        # two steps of 5 g more or less in the last bag of a kind that has any
        ("scale_step", "scale_step_2_1_high: rest_1_2 - 10 taken_1_2 <= 0"),
        ("scale_step", "scale_step_2_1_low: rest_1_2 + 10 taken_1_2 >= 0"),
        # 10 g at least, in the last bag too; at most all of it, 330 g in 66 steps
        ("least_portion", "least_portion_2_0_last: 5 count_0_2 + rest_0_2 - 10 taken_0_2 >= 0"),
        ("least_portion", "least_portion_2_0_high: count_0_2 - 66 taken_0_2 <= 0"),
        # 500 g, 10 g of trim at least
        ("bag_weight", "bag_weight_0_0: 5 count_0_0 + 60 count_0_1 + 5 count_0_2 <= 490"),
        # the last bag of the first kind is the 14th
        ("bag_weight", "bag_weight_0_13: 5 count_0_0 + rest_0_0 + 60 count_0_1 + 5 count_0_2 + rest_0_2 <= 490"),
        # the first week is 0010010: five bags of the first kind, two of the second. Bone, 0.4 of a neck of 60 g: 8 % of
        # 3500 g is 280; allowed are 3500 / 200 = 17.5 g and what one neck more or less changes, 24 g
        ("week_share", "week_share_0_0_low: 120 count_0_1 + 48 count_1_1 >= 238.5"),
        ("week_share", "week_share_0_0_high: 120 count_0_1 + 48 count_1_1 <= 461.5"),
        # liver: 4 and 6 % are 140 and 210 g; allowed 17.5 g and a least portion of 10 g
        ("week_share", "week_share_0_1_low: 25 count_0_2 + 10 count_1_2 >= 112.5"),
        ("week_share", "week_share_0_1_high: 25 count_0_2 + 10 count_1_2 <= 237.5"),
        # heart: 10 % of 3500 g, 17.5 g and a least portion of 10 g
        ("week_cap", "week_cap_0_2_high: 25 count_0_0 + 10 count_1_0 <= 377.5"),
        # a day of the first kind: 30 % of bone are 150 g; liver 20 %, 100 g; heart 30 %, 150 g
        ("day_most", "day_most_0_0: 24 count_0_1 <= 150"),
        ("day_most", "day_most_0_1: 5 count_0_2 <= 100"),
        ("day_most", "day_most_0_5: 5 count_0_0 <= 150"),
        # fat 25 %, 125 g, of which trim alone, 3/20 fat, would be 75; heart 1/25, neck 1/10, liver 1/20
        ("day_most", "day_most_0_6: - 0.55 count_0_0 - 3 count_0_1 - 0.5 count_0_2 <= 50"),
    ],
)
def test_the_algebra_of_bags_holds_what_was_worked_out_by_hand(key: str, said: str) -> None:
    assert said in algebra(key)


def test_pieces_that_are_shared_out_among_dogs_may_be_off_by_one_more() -> None:
    """Bone: 238.5 less 24 g; liver, which is weighed, as before."""
    lows = [said for said in algebra("week_share", shared_pieces=True) if "_low:" in said]
    assert "week_share_0_0_low: 120 count_0_1 + 48 count_1_1 >= 214.5" in lows
    assert "week_share_0_1_low: 25 count_0_2 + 10 count_1_2 >= 112.5" in lows


def test_weeks_and_days_that_are_filled_alike_are_asked_about_once() -> None:
    """Of eight weeks, 0010010 and 0100100 have two of the second kind, 1001001 three; with a last bag they differ."""
    weeks = {said.split("_")[2] for said in algebra("week_share")}
    days = {said.split("_")[2] for said in algebra("day_most")}
    # the weeks with neither last bag: two kinds of them; ending on the 12th, 13th and 14th bag: three more
    assert len(weeks) == 5
    # a day of each kind, and the last of each
    assert len(days) == 4


def test_every_bag_before_the_last_of_a_kind_has_room_for_the_top_up_though_the_last_is_lighter() -> None:
    """300 g and a last day of 295 g: a rest of less in the last bag must not let the others overflow."""
    dog = b.a_dog(day_g=[300] * 13 + [295], batch_g=4_195)
    slots = slots_of(dog, b.a_scenario(dogs=[dog]))
    others = (ingredient(b.LIVER, 280, dog, Portioning()),)
    need = Need(dog, Portioning(), slots, others, ingredient(b.TRIM, 3_915, dog, Portioning()), shared_pieces=False)
    rules = [line(name, rule) for name, rule in BAG_BUILDERS["bag_weight"](pose_bags(need, (0,) * 14))]
    assert rules == [
        "bag_weight_0_0: 5 count_0_0 <= 290",
        "bag_weight_0_13: 5 count_0_0 + rest_0_0 <= 285",
    ]
