"""Typical food, and what a need is said to be from.

**Source:** the shipped tables of cuts and foods (USDA SR28 and what they name themselves); the mixtures are our own
choice.
"""

from fractions import Fraction
from pathlib import Path

import pytest

from raworder.nourishing.needs import MOST_KCAL_PER_G, PUBLISHERS, TYPICAL_KCAL_PER_G, Body, published_need
from raworder.reading.patterns import PATTERNS
from raworder.reading.reference import read_needs
from raworder.reading.scenario_file import read_scenario_text
from raworder.trade.cuts import Cut
from raworder.trade.dogs import Goal
from raworder.trade.rounding import half_up

NEEDS = {row.key: row for row in read_needs()}
ORGANS = {"chicken neck": 28, "beef heart": 10, "beef liver": 5, "beef kidney": 5}
PLANTS = {"carrot": 7, "blueberry": 3}
LEAN, FAT = "beef stewing cubes", "beef trim"


def cuts(pattern: str) -> dict[str, Cut]:
    """The cuts of the mixtures, with their energy as every plan counts it."""
    names = [*ORGANS, *PLANTS, LEAN, FAT]
    offers = "\n".join(f"  - {{cut: {name}, price: 5 per kg}}" for name in names)
    dog = f"  - {{name: Maple, weight: 22 kg, ration: 2.5 %, targets: {pattern}}}"
    text = f"currency: EUR\nbatch: {{starts: 2027-02-06, days: 14}}\ndogs:\n{dog}\ncuts:\n{offers}\n"
    scenario = read_scenario_text(text, Path("mine.yaml")).scenario
    assert scenario is not None
    return {cut.name: cut for cut in scenario.cuts}


@pytest.mark.parametrize("pattern", PATTERNS)
def test_typical_food_has_the_energy_of_two_mixtures_of_its_pattern(pattern: str) -> None:
    """Both keep to the pattern; only the muscle meat differs."""
    known, tenths = cuts(pattern), []
    for muscle in (LEAN, FAT):
        percents = ORGANS | (PLANTS if pattern == "BARF" else {})
        percents[muscle] = 100 - sum(percents.values())
        for part, (low, high) in PATTERNS[pattern].items():
            assert low * 100 <= sum(percents[name] * known[name].part_share(part) for name in percents) <= high * 100
        energies = {name: known[name].kcal_per_g or Fraction(0) for name in percents}
        assert all(energies.values())
        density = sum((percents[name] * energies[name] for name in percents), Fraction(0)) / 100
        tenths.append(Fraction(half_up(density * 10), 10))
        assert density < MOST_KCAL_PER_G
    assert tuple(tenths) == TYPICAL_KCAL_PER_G[pattern]


@pytest.mark.parametrize("activity", ["", "low", "moderate", "active", "working"])
@pytest.mark.parametrize("goal", Goal)
def test_every_need_says_which_figure_its_least_is(activity: str, goal: Goal) -> None:
    need = published_need(Body(16_000, goal, None if goal is Goal.KEEP else 16_000, activity=activity), NEEDS)
    assert need is not None
    assert need.least_from.startswith(f"{half_up(need.low / 8)} kcal x kg^0.75, {need.rows[0].applies}, ")
    assert need.least_from.endswith(tuple(PUBLISHERS.values()))
    assert need.low < need.high


def test_a_puppy_of_unknown_adult_weight_has_the_whole_range_of_growth() -> None:
    need = published_need(Body(16_000, puppy=True), NEEDS)
    assert need is not None
    assert (need.low, need.high, need.formula_source) == (1120, 1680, "")
    assert need.least_from == "140 kcal x kg^0.75, 80-100 % of adult weight, FEDIAF"
