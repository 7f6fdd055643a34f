"""The two lines of the summary about nourishment.

**Source:** worked out by hand beside the numbers; all foods and bounds are invented. The published needs are those of
the table of needs, FEDIAF 2018 for the range.
"""

from dataclasses import replace
from fractions import Fraction

from raworder.nourishing.nourishment import assess_nutrition
from raworder.reporting.nutrition_words import nourishment_lines
from raworder.reporting.words import MOST_NAMED
from raworder.trade.dogs import EnergyRation, OtherFood
from raworder.trade.plan import Plan
from raworder.trade.scenario import Scenario
from tests.builders import a_dog, a_dog_in_care, a_plan, a_portion, prey_model
from tests.nourishing.fed import eats, fed_with, least, most, ratio

BOUNDS = (least("zinc", 25), most("phosphorus", 1000), least("iodine", 100), least("calcium", 1))
PLAN = eats(neck=2_100, trim=4_900)


def lines(scenario: Scenario, plan: Plan = PLAN) -> dict[str, object]:
    """The lines by their keys."""
    found = nourishment_lines(replace(plan, nourished=assess_nutrition(scenario, plan)))
    return {one.key: one.value for one in found}


def test_energy_and_bounds_are_told_dog_by_dog() -> None:
    # 1000 kcal a day, see the ration sheet; 95 to 125 kcal for each of 9.4574 kg^0.75, 20 kg, are 898.5 to 1182.2
    assert lines(fed_with(*BOUNDS)) == {
        "energy": "Maple 1000 kcal a day (published 898 to 1182)",
        "nutrients": "Maple: 1 too low, 1 too high, 1 can't be judged (invented adult); "
        "`raworder nourish FILE` says which",
    }


def test_a_profile_of_which_nothing_is_off_says_so() -> None:
    assert "Maple: none too low or too high (invented adult)" in str(lines(fed_with(least("zinc", 20)))["nutrients"])


def test_treats_count_as_energy() -> None:
    # 7000 g of 200 kcal are 1000 kcal a day, and 40 kcal of treats
    energy = EnergyRation((Fraction(1_000),) * 14, True)
    dog = replace(a_dog(targets=prey_model()), energy=energy, treats_kcal=Fraction(40))
    assert str(lines(fed_with(*BOUNDS, dog=dog))["energy"]).startswith("Maple 1040 kcal a day")


def test_a_profile_of_ratios_alone_is_told() -> None:
    # calcium 23 590 mg beside phosphorus 26 600 mg, and some more or less of both in bone
    assert "Maple: 1 too low (invented adult)" in str(lines(fed_with(ratio(low=2)))["nutrients"])
    assert "Maple: none too low or too high (invented adult)" in str(lines(fed_with(ratio(low="1/2")))["nutrients"])


def test_a_dog_of_partly_unknown_food_keeps_its_place_on_the_line_on_energy() -> None:
    # 162.8 g of trim a day are 326 kcal; 37 % of the food
    part = lines(fed_with(*BOUNDS), eats(trim=2_279, mystery_mince=3_881))["energy"]
    assert part == "Maple energy known of 37 % of its food: at least 326 kcal a day (published 898 to 1182)"
    assert str(lines(fed_with(*BOUNDS), eats(trim=6_300, mystery_mince=700))["energy"]).startswith("Maple 900 kcal")
    none = lines(fed_with(*BOUNDS), eats(mystery_mince=7_000))["energy"]
    assert none == "Maple energy known of none of its food (published 898 to 1182)"


def test_a_dog_of_unknown_weight_keeps_its_place_too() -> None:
    told = str(lines(fed_with(*BOUNDS, dog=a_dog(weight_g=0)))["energy"])
    assert told == "Maple 1000 kcal a day (what it needs is not known without its weight)"


def test_a_dog_in_care_has_no_line() -> None:
    scenario = replace(fed_with(*BOUNDS), dogs=(a_dog_in_care("Sorrel", {"trim": 1_400}),))
    assert lines(scenario, a_plan(portions=(a_portion("Sorrel", "trim", 1_400),))) == {}


def test_many_dogs_are_counted_together() -> None:
    scenario = fed_with(*BOUNDS)
    count = MOST_NAMED + 1
    dogs = [replace(scenario.dogs[0], name=f"dog {number}") for number in range(count)]
    # the first gets half of it, 500 kcal a day, and the last twice as much
    parts = [Fraction(1, 2), *[Fraction(1)] * (count - 2), Fraction(2)]
    portions = [
        a_portion(dog.name, cut, int(grams * part))
        for dog, part in zip(dogs, parts, strict=True)
        for cut, grams in (("neck", 2_100), ("trim", 4_900))
    ]
    told = lines(replace(scenario, dogs=tuple(dogs)), a_plan(portions=portions))
    assert told["energy"] == f"{count} dogs: 1 below and 1 above the range published for them"
    # of a tenth dog whose food nobody knows
    unknown = replace(dogs[0], name="dog x")
    more = a_plan(portions=[*portions, a_portion("dog x", "mystery mince", 1_400)])
    found = lines(replace(scenario, dogs=(*dogs, unknown)), more)["energy"]
    assert found == f"{count + 1} dogs: 1 below and 1 above the range published for them, 1 not known"
    each = f"{count} too low, {count} too high, {count} can't be judged"
    assert told["nutrients"] == f"{count} dogs: {each}; `raworder nourish FILE` says which"


def test_a_day_that_holds_too_little_counts_as_too_low() -> None:
    # 800 kcal a day with 20 mg of zinc: 25 for 1000 kcal, but 24 for 898 kcal are 21.6
    told = lines(fed_with(least("zinc", 24)), eats(trim=5_600))
    assert str(told["nutrients"]).startswith("Maple: 1 too low (invented adult)")


def test_energy_of_other_food_is_told_as_part_of_it() -> None:
    def told(other: OtherFood, **grams: int) -> str:
        return str(lines(fed_with(*BOUNDS, dog=replace(a_dog(), other_food=other)), eats(**grams))["energy"])

    some = OtherFood(Fraction(350))
    assert told(some, trim=5_600) == "Maple 1150 kcal a day, 350 of it other food (published 898 to 1182)"
    assert told(OtherFood(as_much=True), trim=2_800) == (
        "Maple 800 kcal a day, 400 of it other food (published 898 to 1182)"
    )
    assert told(some, trim=2_279, mystery_mince=3_881) == (
        "Maple energy known of 37 % of this plan's food: at least 676 kcal a day, 350 of it other food "
        "(published 898 to 1182)"
    )
    assert told(some, mystery_mince=7_000) == (
        "Maple energy known of none of this plan's food, and 350 kcal a day of other food (published 898 to 1182)"
    )
