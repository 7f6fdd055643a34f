"""Sums of the trade and exact factors of measures, through the whole way of a scenario where they meet one."""

from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.scenario_file import read_scenario
from raworder.solving.solver import Settings
from raworder.trade.cuts import Part
from raworder.trade.plan import Plan
from raworder.trade.rounding import half_up
from raworder.trade.scenario import Scenario
from raworder.trade.units import GRAMS_PER, read_grams
from raworder.workflow import plan_batch

OUNCE = GRAMS_PER["oz"]

FORTY_POUNDS = """
currency: USD
units: lb
batch: {starts: 2027-02-06, days: 1}
dogs:
  - name: Biscuit
    weight: 40 lb
    ration: 3 %
    targets: {muscle: 80 %, bone: 10 %, liver: 5 %, other organ: 5 %}
own_cuts:
  - {cut: ground bone, species: beef, parts: {bone: 100 %}, fat: 0 %}
cuts:
  - {cut: beef round, price: 5.00 per lb}
  - {cut: ground bone, price: 1.00 per lb}
  - {cut: beef liver, price: 2.00 per lb}
  - {cut: beef kidney, price: 2.00 per lb}
"""

TWO_CUTS = """
currency: EUR
batch: {starts: 2027-02-06, days: 10}
dogs:
  - {name: Maple, weight: 40 kg, ration: 1000 g, targets: {bone: 10 %}, caps: {fat: none}}
own_cuts:
  - {cut: bony piece, species: rabbit, bone: 40 %, fat: 5 %}
cuts:
  - {cut: beef round, price: 5.00 per kg}
  - {cut: bony piece, price: 4.00 per kg}
"""


def planned(tmp_path: Path, text: str) -> tuple[Scenario, Plan]:
    path = tmp_path / "scenario.yaml"
    path.write_text(text, encoding="utf-8")
    scenario = read_scenario(path).scenario
    assert scenario is not None
    plan = plan_batch(scenario, Settings())
    assert isinstance(plan, Plan)
    return scenario, plan


def test_a_dog_of_40_lb_at_3_percent_eats_one_and_a_fifth_pounds(tmp_path: Path) -> None:
    """**Source:** common practice, no source: 1.2 lb, which are 19.2 oz."""
    scenario, _ = planned(tmp_path, FORTY_POUNDS)
    assert scenario.dogs[0].daily_g == GRAMS_PER["lb"] * Fraction(12, 10) == OUNCE * Fraction(192, 10)


@pytest.mark.parametrize(
    ("cut", "ounces"),
    [("beef round", "15.36"), ("ground bone", "1.92"), ("beef liver", "0.96"), ("beef kidney", "0.96")],
)
def test_its_19_ounces_divide_at_80_10_5_5(tmp_path: Path, cut: str, ounces: str) -> None:
    """**Source:** common practice, no source: 15.36 oz muscle, 1.92 bone, 0.96 liver, 0.96 other organ."""
    _, plan = planned(tmp_path, FORTY_POUNDS)
    assert abs(plan.eaten_g("Biscuit", cut) - OUNCE * Fraction(ounces)) < 1


def test_a_tenth_of_bone_takes_a_quarter_of_a_cut_with_40_percent(tmp_path: Path) -> None:
    """**Source:** Pearson's square, own arithmetic: (10 - 0) parts of 40 % and (40 - 10) of 0 % are 25 and 75 %."""
    scenario, plan = planned(tmp_path, TWO_CUTS)
    assert (plan.eaten_g("Maple", "bony piece"), plan.eaten_g("Maple", "beef round")) == (2500, 7500)
    given = sum(plan.eaten_g("Maple", cut.name) * cut.part_share(Part.BONE) for cut in scenario.cuts)
    assert given == 1000


def test_exact_factors_of_weight() -> None:
    """**Source:** the international pound, 0.45359237 kg by agreement of 1959; an ounce is a sixteenth of it."""
    assert read_grams("1 lb") == Fraction("453.59237")
    assert read_grams("1 oz") == Fraction("28.349523125")
    assert read_grams("16 oz") == read_grams("1 lb")
    assert read_grams("40 lb") == Fraction("18143.6948")
    assert read_grams("1 kg") / read_grams("1 lb") == 1 / Fraction("0.45359237")


def test_bags_rounded_one_by_one_do_not_add_up_and_the_batch_does() -> None:
    """**Source:** own arithmetic: fourteen times 5000 / 14, each rounded, are 4998."""
    assert 14 * half_up(Fraction(5000, 14)) == 4998
