"""Sums of nutrients equal plain sums, whatever is known, and count what is not known nowhere.

**Source:** plain sums of fractions, worked out in the test by two loops; no outside source.
"""

import random
from dataclasses import replace
from fractions import Fraction

import pytest

from raworder.nourishing.sums import food_sums_by_dog
from raworder.trade.nutrients import NUTRIENTS, Analysis, BoneCalcium, BoneEstimate
from raworder.trade.plan import Dose, Plan
from raworder.trade.scenario import Scenario
from tests.builders import a_cut, a_dog, a_plan, a_portion, a_scenario
from tests.nourishing.fed import NECK, TRIM, UNKNOWN, a_food, eats, fed_with
from tests.supplemented import SUPPLEMENTED, SUPPLEMENTED_PLAN

KEYS = [one.key for one in NUTRIENTS]


def a_chance_scenario(chance: random.Random) -> tuple[Scenario, Plan]:
    """Some dogs, some cuts of which some nutrients are known, and who eats what."""
    cuts = []
    for number in range(chance.randint(1, 6)):
        known = chance.sample(KEYS, chance.randint(0, len(KEYS)))
        values = tuple((key, Fraction(chance.randint(0, 10**6), 10**3)) for key in KEYS if key in known)
        cuts.append(replace(a_cut(f"cut {number}"), analysis=Analysis(values)))
    dogs = [a_dog(f"dog {number}") for number in range(chance.randint(1, 4))]
    portions = [
        a_portion(dog.name, cut.name, chance.randint(1, 9_000)) for dog in dogs for cut in cuts if chance.random() < 0.7
    ]
    return a_scenario(dogs=dogs, cuts=cuts), a_plan(portions=portions)


@pytest.mark.parametrize("seed", range(60))
def test_the_sums_are_those_of_two_plain_loops(seed: int) -> None:
    scenario, plan = a_chance_scenario(random.Random(seed))
    found = food_sums_by_dog(scenario, plan)
    assert set(found) == {portion.dog for portion in plan.portions}
    for dog, eaten in found.items():
        mine = [(scenario.cut(one.cut).analysis, one.batch_g) for one in plan.portions if one.dog == dog]
        assert eaten.grams == sum(grams for _, grams in mine)
        for key in KEYS:
            amounts = [(amount, grams) for analysis, grams in mine if (amount := analysis.of(key)) is not None]
            assert eaten.amounts[key] == sum((amount * grams / 100 for amount, grams in amounts), Fraction(0))
            assert eaten.known_g[key] == sum(grams for _, grams in amounts)


def test_what_is_not_known_lowers_coverage_and_changes_no_amount() -> None:
    known = food_sums_by_dog(fed_with(), eats(trim=3_000))["Maple"]
    with_unknown = food_sums_by_dog(fed_with(), eats(trim=3_000, mystery_mince=1_000))["Maple"]
    assert with_unknown.amounts == known.amounts
    assert (known.coverage("zinc"), with_unknown.coverage("zinc")) == (1, Fraction(3, 4))
    assert known.coverage("iodine") == 0


def test_nought_is_known_and_is_not_the_same_as_not_known() -> None:
    eaten = food_sums_by_dog(fed_with(), eats(trim=3_000))["Maple"]
    assert (eaten.amounts["vitamin_a"], eaten.coverage("vitamin_a")) == (0, 1)
    assert (eaten.amounts["vitamin_d"], eaten.coverage("vitamin_d")) == (0, 0)


def test_what_is_estimated_for_bone_is_told_apart() -> None:
    eaten = food_sums_by_dog(fed_with(), eats(neck=1_400))["Maple"]
    assert eaten.amounts["calcium"] == 15_400
    assert eaten.bone["calcium"] == BoneEstimate("calcium", Fraction(14_000), Fraction(9_100), Fraction(18_900))
    phosphorus = eaten.bone["phosphorus"]
    assert [round(mg, 3) for mg in (phosphorus.amount, phosphorus.least, phosphorus.most)] == [
        round(Fraction(mg * 10, 22), 3) for mg in (14_000, 9_100, 18_900)
    ]


def test_the_ends_of_the_estimate_go_by_each_cut() -> None:
    mammal = BoneCalcium("mammal", Fraction(10, 100), Fraction(5, 100), Fraction(15, 100), Fraction(2))
    rib = a_food("rib", {"energy": 200, "calcium": 3_010, "phosphorus": 1_700}, bone_calcium_mg=3_000, bone=mammal)
    eaten = food_sums_by_dog(fed_with(cuts=(NECK, rib)), eats(neck=1_000, rib=500))["Maple"]
    # of neck 10000 mg at 2 % (1.3 to 2.7), of rib 15000 at 10 % (5 to 15)
    assert eaten.bone["calcium"] == BoneEstimate(
        "calcium", Fraction(25_000), Fraction(6_500 + 7_500), Fraction(13_500 + 22_500)
    )
    assert round(eaten.bone["phosphorus"].most, 3) == round(Fraction(135_000, 22) + Fraction(22_500, 2), 3)


def test_estimates_too_large_to_be_counted_are_no_wrong_sums() -> None:
    chalk = BoneCalcium("mammal", Fraction(1), Fraction(1), Fraction(10**10), Fraction(2))
    rib = a_food("rib", {"energy": 200, "calcium": 3_010}, bone_calcium_mg=3_000, bone=chalk)
    with pytest.raises(OverflowError):
        food_sums_by_dog(fed_with(cuts=(rib,)), eats(rib=500))


def test_supplements_are_added_and_are_no_part_of_the_coverage() -> None:
    with_oil = food_sums_by_dog(SUPPLEMENTED, SUPPLEMENTED_PLAN)["Bramble"]
    without = food_sums_by_dog(SUPPLEMENTED, replace(SUPPLEMENTED_PLAN, doses=()))["Bramble"]
    # two capsules a day for 14 days, each of 0.3 g; trim tells of no EPA and DHA
    assert with_oil.amounts["epa_dha"] == Fraction(84, 10)
    assert with_oil.coverage("epa_dha") == 0
    assert with_oil.amounts["zinc"] == without.amounts["zinc"] == 140
    assert with_oil.known_g == without.known_g


def test_sums_that_could_not_be_counted_are_refused() -> None:
    giant = replace(TRIM, analysis=Analysis((("zinc", Fraction(10**12)),)))
    with pytest.raises(OverflowError):
        food_sums_by_dog(fed_with(cuts=(giant,)), a_plan(portions=[a_portion("Maple", "trim", 10**8)]))


def test_a_dog_without_food_is_not_told() -> None:
    assert food_sums_by_dog(fed_with(), a_plan(portions=())) == {}


def test_doses_of_two_supplements_add_up() -> None:
    doses = (Dose("Bramble", "salmon oil", 1), Dose("Bramble", "egg shell powder", 3))
    eaten = food_sums_by_dog(SUPPLEMENTED, replace(SUPPLEMENTED_PLAN, doses=doses))["Bramble"]
    # 3500 g of trim hold 350 mg of calcium; 3 g of shell a day 380 mg each
    assert eaten.amounts["calcium"] == 350 + 14 * 3 * 380
    assert NECK.name != UNKNOWN.name
