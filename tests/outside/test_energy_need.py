"""Energy needs as handbooks and guidelines work them out.

**Source:** FEDIAF Nutritional Guidelines 2018, Table VII-12, read in a second-hand copy; NRC 1985, *Nutrient
Requirements of Dogs*, p. 44 footnote c; *Small Animal Clinical Nutrition* 5th ed. (2010) Table 5-2; the puppy equation
of NRC 2006 as told by WikiVet, *Calculated Energy Requirements*; Bermingham 2014, PLoS ONE 9:e109681, abstract.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from raworder.nourishing.energy import energy_line, linear_resting_kcal, puppy_kcal, resting_kcal
from raworder.nourishing.sums import Eaten
from raworder.reading.nutrient_tables import read_needs
from raworder.units import half_up, metabolic_kg
from tests.builders import a_dog

KCAL_PER_100_G_DRY = 400
NEEDS = {one.key: one for one in read_needs()}


@pytest.mark.parametrize(("key", "kcal", "dry_g"), [("fediaf_moderate_low_impact", 838, 210), ("fediaf_low", 724, 181)])
def test_a_dog_of_15_kg_needs_so_much_energy_and_dry_matter(key: str, kcal: int, dry_g: int) -> None:
    need = NEEDS[key].low * metabolic_kg(Fraction(15_000))
    assert abs(need - kcal) <= Fraction(1, 2)
    assert abs(need / KCAL_PER_100_G_DRY * 100 - dry_g) <= Fraction(1, 2)


def test_zinc_of_that_dog_in_dry_matter() -> None:
    # 15 mg a day in 210 g of dry matter, printed as 7.2 mg in 100 g; scaled to 95 kcal/kg^0.75 printed as 8.34
    assert abs(Fraction(15) / 210 * 100 - Fraction("7.2")) <= Fraction(1, 10)
    assert abs(Fraction("7.2") * 110 / 95 - Fraction("8.34")) <= Fraction(1, 100)


def test_an_adult_of_10_kg_needs_742_kcal() -> None:
    assert half_up(132 * metabolic_kg(Fraction(10_000))) == 742


@pytest.mark.parametrize(("kg", "kcal"), [(2, "117.7"), (5, "234.1"), (10, "393.6"), (20, "662.0"), (30, "897.3")])
def test_resting_energy_is_70_kcal_for_each_kilogram_to_the_power(kg: int, kcal: str) -> None:
    assert abs(resting_kcal(kg * 1000) - Fraction(kcal)) <= Fraction(1, 20)


def test_resting_energy_by_the_straight_line() -> None:
    assert linear_resting_kcal(20_000) == 670
    assert linear_resting_kcal(10_000) == 370
    assert linear_resting_kcal(1_000) is None
    assert linear_resting_kcal(50_000) is None


@pytest.mark.parametrize(("kg", "adult_kg", "kcal"), [(10, 25, "1417.9"), (17, 35, "1934.2"), (25, 25, "1483.5")])
def test_a_puppy_needs_what_the_equation_says(kg: int, adult_kg: int, kcal: str) -> None:
    assert abs(puppy_kcal(kg * 1000, adult_kg * 1000) - Fraction(kcal)) <= Fraction(1, 10)


def test_measured_needs_are_told_with_their_spread() -> None:
    dog, eaten = a_dog(weight_g=16_000), Eaten(1_000, {"energy": Fraction(14_000)}, {"energy": 1_000}, {}, frozenset())
    line = energy_line(dog, eaten, NEEDS)
    assert line is not None
    # 16 kg to the power 0.75 is 8
    assert (line.measured, line.spread) == (8 * Fraction("142.8"), 8 * Fraction("55.3"))
    assert (line.day, line.resting) == (1_000, 560)


@pytest.mark.parametrize(
    ("activity", "low", "high"),
    [("", 95, 125), ("low", 95, 110), ("moderate", 110, 125), ("active", 125, 150), ("working", 150, 175)],
)
def test_the_range_goes_with_activity(activity: str, low: int, high: int) -> None:
    dog, eaten = a_dog(weight_g=16_000), Eaten(1_000, {"energy": Fraction(14_000)}, {"energy": 1_000}, {}, frozenset())
    line = energy_line(replace(dog, activity=activity), eaten, NEEDS)
    assert line is not None
    assert (line.low, line.high) == (8 * low, 8 * high)
