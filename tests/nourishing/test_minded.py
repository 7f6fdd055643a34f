"""What is minded: each caution with its number, its limit and its source, and only where it is due.

**Source:** limits are those of the shipped profiles, whose own sources are checked elsewhere; sums by hand beside the
numbers.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from raworder.nourishing.nourishment import assess_nutrition
from raworder.trade.cuts import Cut, Part
from raworder.trade.dogs import Dog, EnergyRation, Goal, OtherFood
from raworder.trade.nutrients import Analysis, Supplement, Trust, VetConcern
from raworder.trade.plan import Dose
from raworder.trade.scenario import Scenario
from tests.builders import a_cut, a_dog, prey_model
from tests.nourishing.fed import NECK, TRIM, UNKNOWN, a_food, eats, fed_with, published
from tests.supplemented import an_analysis

LIVER = a_food("liver", {"energy": 100, "vitamin_a": 15_000, "copper": 10, "vitamin_d": 1}, parts={Part.LIVER: 1})


def scenario_of(*cuts: Cut, dog: Dog | None = None) -> Scenario:
    """Such cuts for a dog beside a shipped profile."""
    scenario = fed_with(cuts=cuts, dog=dog)
    named = tuple(replace(one, profile="AAFCO adult maintenance") for one in scenario.dogs)
    return replace(scenario, dogs=named, profiles=published())


def minded(scenario: Scenario, **grams: int) -> dict[str, VetConcern]:
    """What is minded by key."""
    (one,) = assess_nutrition(scenario, eats(**grams))
    return {found.key: found for found in one.minded}


def test_vitamin_a_above_a_limit_tells_its_number_the_limits_and_the_cut() -> None:
    # 100 g of liver a day hold 15000 ug, 400 g of trim none: 900 kcal, so 16667 ug in 1000 kcal
    found = minded(scenario_of(LIVER, TRIM), liver=1_400, trim=5_600)["vitamin_a"]
    assert "16667 ug of vitamin A per 1000 kcal, mostly from liver" in found.says
    assert "NRC adult maintenance 16000 ug RE (recalled, not checked against the original)" in found.says
    assert "AAFCO" not in found.says
    assert found.advice.endswith("Ask a veterinarian.")
    assert found.trust is Trust.MEMORY


def test_a_supplement_that_brings_most_of_it_is_named() -> None:
    # a spoon of oil a day brings 20000 ug, 100 g of liver 15000
    oil = Supplement("liver oil", "spoon", Fraction(1), an_analysis({"vitamin_a": 20_000}), 1)
    scenario = replace(scenario_of(LIVER, TRIM), supplements=(oil,))
    plan = replace(eats(liver=1_400, trim=5_600), doses=(Dose("Maple", "liver oil", 1),))
    (one,) = assess_nutrition(scenario, plan)
    (found,) = (each for each in one.minded if each.key == "vitamin_a")
    assert "38889 ug of vitamin A per 1000 kcal, mostly from liver oil" in found.says


@pytest.mark.parametrize(
    ("activity", "published"),
    [
        ("low", "898 to 1040 kcal published for low activity < 1 h/day (walking on lead) to 1-3 h/day low impact"),
        ("working", "1419 to 1655 kcal published for 3-6 h/day working dogs"),
    ],
)
def test_the_range_of_an_activity_names_the_rows_that_it_is_from(activity: str, published: str) -> None:
    # 20^0.75 is 9.4574: 95, 110, 150 and 175 times that
    dog = replace(a_dog(), activity=activity)
    assert published in minded(scenario_of(TRIM, dog=dog), trim=5_000)["energy"].says


def test_the_formula_for_puppies_is_told_with_its_source() -> None:
    puppy = replace(a_dog(puppy=True), adult_weight_g=30_000)
    found = minded(scenario_of(TRIM, dog=puppy), trim=5_000)["energy"]
    assert "and a formula" in found.says
    assert any("WikiVet" in source for source in found.sources)


def test_vitamin_a_below_all_limits_is_not_minded() -> None:
    assert "vitamin_a" not in minded(scenario_of(LIVER, TRIM), liver=1_300, trim=5_700)


def test_a_puppy_is_held_against_the_limits_of_growth() -> None:
    puppy = a_dog(puppy=True, targets=prey_model())
    # 25 g of liver a day hold 3750 ug in 975 kcal
    found = minded(scenario_of(LIVER, TRIM, dog=puppy), liver=350, trim=6_650)["vitamin_a"]
    assert "NRC growth 3750 ug RE" in found.says
    assert "vitamin_a" not in minded(scenario_of(LIVER, TRIM), liver=350, trim=6_650)


def test_copper_is_told_beside_the_least_as_no_profile_has_a_most() -> None:
    # 100 g of liver a day: 10 mg in 900 kcal; three times the least of 1.825 are 5.475
    found = minded(
        scenario_of(LIVER, replace(TRIM, analysis=an_analysis({"energy": 200, "copper": 0}))), liver=1_400, trim=5_600
    )
    assert "11.1 mg of copper per 1000 kcal, 6.1 times the recommended minimum" in found["copper"].says
    assert "No profile here has a maximum" in found["copper"].advice


@pytest.mark.parametrize(
    ("bone", "is_minded"), [("149/1000", False), ("152/1000", True), ("51/1000", False), ("48/1000", True)]
)
def test_bone_is_minded_three_points_outside_its_range(bone: str, is_minded: bool) -> None:
    cut = a_food("neck", {"energy": 200}, parts={Part.BONE: bone, Part.MUSCLE: 1 - Fraction(bone)})
    assert ("bone" in minded(scenario_of(cut), neck=7_000)) is is_minded


def test_a_jump_in_fat_is_minded_for_a_dog_that_is_not_used_to_it() -> None:
    used = replace(a_dog(), used_to_fat=Fraction(8, 100))
    fat = a_food("trim", {"energy": 200}, fat="13/100")
    assert (
        "13.0 % of what Maple eats is fat, and it is used to 8.0 %"
        in minded(scenario_of(fat, dog=used), trim=7_000)["fat-jump"].says
    )
    lean = a_food("trim", {"energy": 200}, fat="12/100")
    assert "fat-jump" not in minded(scenario_of(lean, dog=used), trim=7_000)
    assert "fat-jump" not in minded(scenario_of(fat, dog=a_dog()), trim=7_000)


@pytest.mark.parametrize(
    ("weight_g", "grams", "way"),
    # 75 g for 3 kg are 150 kcal, and 95 x 3^0.75 are 217; 1750 g for 70 kg are 3500 kcal, and 125 x 24.2 are 3025
    [(3_000, 1_050, "below the 217 to 285"), (70_000, 24_500, "above the 2299 to 3025"), (20_000, 7_000, "")],
)
def test_a_flat_share_of_weight_is_minded_where_it_leaves_the_range(weight_g: int, grams: int, way: str) -> None:
    dog = a_dog(weight_g=weight_g, daily_g=Fraction(grams, 14))
    found = minded(scenario_of(TRIM, dog=dog), trim=grams)
    assert ("energy" in found) is bool(way)
    if way:
        assert f"{way} kcal" in found["energy"].says
        assert "2.5 % of its weight" in found["energy"].says
        assert "A flat share of body weight leaves small dogs short and giants over" in found["energy"].advice


def test_a_share_of_weight_is_of_the_weight_that_the_need_is_reckoned_by() -> None:
    """A dog of 5 kg that is to weigh 3 kg: 75 g are 2.5 % of that, and 95 x 3^0.75 are 217 kcal."""
    dog = replace(a_dog(weight_g=5_000, daily_g=Fraction(75)), ideal_weight_g=3_000)
    found = minded(scenario_of(TRIM, dog=dog), trim=1_050)
    assert "gets 150 kcal a day, 2.5 % of its ideal weight, below the 217 to 285 kcal" in found["energy"].says


def test_where_energy_was_given_nothing_is_said_of_a_share_of_body_weight() -> None:
    # 1050 g are 150 kcal a day; 95 x 3^0.75 are 217
    dog = replace(a_dog(weight_g=3_000), energy=EnergyRation((Fraction(150),) * 14, settled=True))
    found = minded(scenario_of(TRIM, dog=dog), trim=1_050)
    assert "energy" not in found
    assert "gets 150 kcal a day, below the 217 to 285 kcal" in found["energy-given"].says
    assert "body weight" not in found["energy-given"].advice
    assert found["energy-given"].advice.endswith("Weigh the dog every week. Ask a veterinarian.")


@pytest.mark.parametrize(
    ("caution", "key", "least"),
    [("thiaminase-fish", "thiaminase-fish", 1), ("raw-egg", "raw-egg", 1), ("brassica", "brassica", 351)],
)
def test_cuts_with_a_caution_are_told_with_their_share(caution: str, key: str, least: int) -> None:
    cut = replace(a_cut("smelt", cautions=[caution]), analysis=an_analysis({"energy": 200}))
    found = minded(scenario_of(cut, TRIM), smelt=least, trim=7_000 - least)
    assert found[key].sources
    assert "of what Maple eats is smelt" in found[key].says
    assert key not in minded(scenario_of(cut, TRIM), trim=7_000)
    if least > 1:
        assert key not in minded(scenario_of(cut, TRIM), smelt=350, trim=6_650)


def test_nothing_is_called_complete_balanced_or_deficient() -> None:
    scenario = scenario_of(LIVER, NECK, dog=replace(a_dog(weight_g=3_000), used_to_fat=Fraction(1, 100)))
    every = minded(scenario, liver=3_500, neck=3_500).values()
    words = " ".join(f"{one.heading} {one.says} {one.advice}".casefold() for one in every)
    assert len(every) > 3
    assert not any(word in words for word in ("complete", "balanced", "deficien", "adequate", "safe", "toxic dose"))
    assert all(one.advice.endswith("Ask a veterinarian.") and one.sources for one in every)


def test_nothing_for_1000_kcal_is_minded_where_energy_is_not_known_enough() -> None:
    mystery = a_cut("mystery mince", kind="mince")
    plan = {"liver": 1_400, "mystery_mince": 5_600}
    assert set(minded(scenario_of(LIVER, mystery), **plan)) <= {"bone", "energy-unknown"}


def test_a_dog_of_partly_unknown_energy_is_told_with_what_is_known_and_of_what_it_is_not() -> None:
    # 400 g of trim a day are 800 kcal, and 100 g of nobody knows what up to 900 more: 898 to 1182 are published
    found = minded(scenario_of(TRIM, UNKNOWN), trim=5_600, mystery_mince=1_400)
    assert "energy" not in found
    says = found["energy-unknown"].says
    assert says.startswith("Maple's energy is known of 80 % of its food, not of mystery mince: at least 800 kcal a day")
    assert "898 to 1182 kcal published" in says


@pytest.mark.parametrize(
    ("trim", "mystery", "says"),
    [
        # 100 g and 20 g a day: 200 kcal and at most 180 more
        (1_400, 280, "gets at most 380 kcal a day"),
        # 600 g and 150 g a day: 1200 kcal at least
        (8_400, 2_100, "gets at least 1200 kcal a day"),
    ],
)
def test_what_is_outside_the_range_whatever_is_not_known_is_told_so(trim: int, mystery: int, says: str) -> None:
    found = minded(scenario_of(TRIM, UNKNOWN), trim=trim, mystery_mince=mystery)
    assert says in found["energy"].says
    assert "energy-unknown" not in found


def test_a_veterinarian_is_not_asked_twice_in_one_breath() -> None:
    herring = a_food("herring", {"energy": 200}, cautions=("thiaminase-fish",))
    advice = minded(scenario_of(herring), herring=7_000)["thiaminase-fish"].advice
    assert advice.casefold().count("ask a veterinarian") == 1


def test_a_dog_whose_weight_is_to_change_is_held_against_its_ideal_weight() -> None:
    dog = replace(a_dog(weight_g=20_000), ideal_weight_g=16_000)
    # 1000 kcal a day; 95 to 125 times 20^0.75 are 898 to 1182, times 16^0.75 760 to 1000
    assert "energy" not in minded(scenario_of(TRIM, dog=dog), trim=7_000)
    assert "above the 760 to 1000" in minded(scenario_of(TRIM, dog=dog), trim=7_010)["energy"].says


LOSES_NOTHING = (
    "gets 800 kcal a day, 2.0 % of its ideal weight, above the 504 to 584 kcal published for weight loss, of the ideal "
    "weight: on that it is not likely to lose weight"
)


@pytest.mark.parametrize(
    ("goal", "grams", "says"),
    [
        # of 16 kg, to the power 0.75 eight: 63 less and 73 at most, 504 to 584 kcal to lose; 95 to 125, 760 to 1000
        (Goal.LOSE, 5_600, LOSES_NOTHING),
        (Goal.LOSE, 2_800, "of the ideal weight: it may lose weight too fast"),
        (Goal.GAIN, 4_200, "of the ideal weight: on that it is not likely to gain weight"),
        (Goal.GAIN, 8_400, "high-impact activity, of the ideal weight"),
    ],
)  # fmt: skip
def test_energy_outside_the_range_says_what_becomes_of_the_goal(goal: Goal, grams: int, says: str) -> None:
    dog = replace(a_dog(weight_g=20_000, daily_g=320), goal=goal, ideal_weight_g=16_000)
    found = minded(scenario_of(TRIM, dog=dog), trim=grams)["energy"]
    assert says in found.says
    if (goal, grams) == (Goal.GAIN, 8_400):
        assert found.says.endswith("of the ideal weight")


def test_a_dog_that_keeps_its_weight_is_told_no_goal() -> None:
    assert found_says(a_dog(weight_g=20_000), 2_800).endswith("moderate high-impact activity")


def found_says(dog: Dog, grams: int) -> str:
    """What is said of the energy of a dog that eats so much trim."""
    return minded(scenario_of(TRIM, dog=dog), trim=grams)["energy"].says


def test_energy_of_other_food_is_told_and_no_share_of_weight_as_that_is_of_the_plan_alone() -> None:
    # 300 and 350 kcal a day, 898 are published
    dog = replace(a_dog(), other_food=OtherFood(Fraction(350)))
    found = minded(scenario_of(TRIM, dog=dog), trim=2_100)["energy-given"]
    assert "Maple gets 650 kcal a day with 350 kcal of other food, below the 898 to 1182 kcal" in found.says
    assert "% of" not in found.says
    assert "A flat share" not in found.advice


def test_shares_are_of_the_plans_food_where_there_is_other_food() -> None:
    dog = replace(a_dog(), other_food=OtherFood(as_much=True), used_to_fat=Fraction(1, 100))
    herring = replace(a_food("herring", {"energy": 200}, fat="13/100"), cautions=("thiaminase-fish",))
    found = minded(scenario_of(herring, dog=dog), herring=7_000)
    assert found["thiaminase-fish"].says == "100.0 % of what Maple eats from this plan is herring"
    assert "of what Maple eats from this plan is fat" in found["fat-jump"].says
    assert "of what Maple eats from this plan is bone" in found["bone"].says


def test_other_food_that_brings_most_of_a_nutrient_is_named() -> None:
    rich = Analysis((("energy", Fraction(200)), ("vitamin_a", Fraction(30_000))))
    dog = replace(a_dog(), other_food=OtherFood(Fraction(200), daily_g=Fraction(100), analysis=rich))
    # 100 g of liver a day bring 15000 ug, 100 g of the other food 30000
    found = minded(scenario_of(LIVER, TRIM, dog=dog), liver=1_400, trim=5_600)["vitamin_a"]
    assert "mostly from other food" in found.says


def test_energy_not_known_is_told_of_the_plans_food_where_there_is_other_food() -> None:
    dog = replace(a_dog(), other_food=OtherFood(Fraction(150)))
    says = minded(scenario_of(TRIM, UNKNOWN, dog=dog), trim=5_600, mystery_mince=1_400)["energy-unknown"].says
    assert "is known of 80 % of this plan's food, not of mystery mince: at least 950 kcal a day" in says
