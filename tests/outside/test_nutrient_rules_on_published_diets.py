"""The least-cost diet of 1939, solved through the rules on energy and nutrients, with amounts free.

**Source:** Stigler, The Cost of Subsistence, 1945; data and optimum as in the sample `stigler_diet.py` of OR-Tools
(Apache-2.0), `stigler_foods.csv` and `stigler_minimums.csv` beside this test: 0.108662278 dollars a day, and the foods
of that answer. People, not dogs, are fed here: only the arithmetic of the rules is tried.
"""

import csv
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.solving.cheapest import cheapest
from raworder.solving.search import ANY_CHEAPEST, COST, SearchGoal
from raworder.solving.solver import Settings, SolverName
from raworder.trade.dogs import EnergyRation
from raworder.trade.nutrients import NutrientLimit, Per
from raworder.trade.plan import Allocation, Plan
from raworder.trade.scenario import Scenario
from raworder.workflow import order_batch
from tests.builders import a_cut, a_dog, a_scenario, an_offer_by_weight
from tests.supplemented import an_analysis

HERE = Path(__file__).resolve().parent

KG_PER_DOLLAR = 100
"""Foods are known by what a dollar buys; a dollar's worth of each is taken to weigh so much, and to cost 10,000."""

PRICE_PER_KG = 100

OURS = {
    "calories_kcal1000": ("energy", 1000),
    "protein_g": ("protein", 1),
    "calcium_g": ("calcium", 1000),
    "iron_mg": ("iron", 1),
    "vitA_kIU": ("vitamin_a", 300),
    "thiamin_mg": ("thiamin", 1),
    "riboflavin_mg": ("riboflavin", 1),
    "niacin_mg": ("niacin", 1),
    "vitC_mg": ("vitamin_c", 1),
}
"""Our keys, and how much of our unit is in one of the table's; vitamin A at 0.3 ug an IU on both sides."""

DOLLARS_A_YEAR = {
    "Wheat Flour (Enriched)": "10.774",
    "Liver (Beef)": "0.691",
    "Cabbage": "4.093",
    "Spinach": "1.828",
    "Navy Beans, Dried": "22.276",
}
"""What the published answer buys, in dollars a year of 365 days."""


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table beside this test."""
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def diet() -> Scenario:
    """One eater for one day, every food of 1939, and the minimums as rules on nutrients; energy as its ration."""
    foods = rows("stigler_foods.csv")
    cuts = []
    for food in foods:
        per_dollar = {ours: Fraction(food[f"{theirs}_per_dollar"]) * times for theirs, (ours, times) in OURS.items()}
        per_100_g = {key: amount / KG_PER_DOLLAR / 10 for key, amount in per_dollar.items()}
        cuts.append(replace(a_cut(food["food"]), analysis=an_analysis(per_100_g)))
    least = {row["nutrient"]: Fraction(row["daily_minimum"]) for row in rows("stigler_minimums.csv")}
    limits = tuple(
        NutrientLimit(ours, Per.DAY, least[theirs] * times)
        for theirs, (ours, times) in OURS.items()
        if ours != "energy"
    )
    eater = replace(
        a_dog("eater", days=1, daily_g=5_000),
        energy=EnergyRation((least["calories_kcal1000"] * 1000,)),
        nutrient_limits=limits,
    )
    offers = [an_offer_by_weight(cut.name, price_per_kg=PRICE_PER_KG) for cut in cuts]
    return a_scenario(days=1, dogs=(eater,), cuts=cuts, offers=offers)


@pytest.mark.slow
@pytest.mark.parametrize("solver", SolverName)
def test_the_published_least_cost_is_found_by_the_rules_on_nutrients(solver: SolverName) -> None:
    found = cheapest(diet(), Settings(solver), ANY_CHEAPEST)
    assert isinstance(found, Allocation)
    assert found.proof.proved
    dollars_a_day = found.proof.bound / (KG_PER_DOLLAR * PRICE_PER_KG)
    assert abs(dollars_a_day - Decimal("0.108662278")) < Decimal("0.00000001")


@pytest.mark.slow
def test_the_foods_of_the_published_answer_are_bought() -> None:
    found = cheapest(diet(), Settings(), SearchGoal((COST,)))  # in exact money: whole grams may save a part of a cent
    assert isinstance(found, Allocation)
    bought = {food: Decimal(ug) / 10**9 / KG_PER_DOLLAR * 365 for (_, food), ug in found.eaten_ug.items() if ug}
    assert bought.keys() == DOLLARS_A_YEAR.keys()
    for food, dollars in DOLLARS_A_YEAR.items():  # what is eaten adds up to whole grams, 0.004 dollars a year each
        assert abs(bought[food] - Decimal(dollars)) < Decimal("0.004")


@pytest.mark.slow
def test_the_whole_way_of_the_diet_passes_the_audit() -> None:
    assert isinstance(order_batch(diet(), Settings()), Plan)
