"""Energy at rest, energy while losing weight, and freezing before feeding, as they are published.

**Source:** *Small Animal Clinical Nutrition* 5th ed. (2010) Table 5-2 p. 61 (read in a second-hand copy): 70 kcal and
293 kJ for each kg^0.75, and 30 x kg + 70 from 2 to 45 kg. AAHA 2021 *Nutrition and Weight Management Guidelines*,
weight reduction in the obese pet: 63 +- 10 kcal for each kg^0.75 of the ideal weight. Freezing: beside `PUBLISHED`.
"""

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import pytest

from raworder.reading.reference import read_needs
from raworder.trade.cuts import FREEZE_FIRST, Cut
from raworder.trade.dogs import Goal, least_resting_kcal
from tests.reading.written import a_text, cut_of, dog_of, scenario_of

NEEDS = {row.key: row for row in read_needs()}
KCAL_AS_KJ = Fraction("4.184")


def at_rest(grams: int, goal: Goal = Goal.KEEP, ideal_g: int | None = None) -> Fraction:
    """What a dog of that weight gets at least."""
    found = least_resting_kcal(NEEDS, goal, Fraction(grams), None if ideal_g is None else Fraction(ideal_g))
    assert found is not None
    return found


@pytest.mark.parametrize("kg", [1, 3, 5, 10, 20, 30, 45, 60, 90])
def test_a_dog_at_rest_needs_70_kcal_or_293_kj_for_each_kilogram_to_the_power(kg: int) -> None:
    assert float(at_rest(kg * 1000)) == pytest.approx(70 * kg**0.75, rel=1e-6)
    assert float(at_rest(kg * 1000) * KCAL_AS_KJ) == pytest.approx(293 * kg**0.75, rel=1e-3)


@pytest.mark.parametrize("kg", range(2, 46))
def test_that_is_near_the_straight_line_of_the_same_table_from_2_to_45_kg(kg: int) -> None:
    """The line is a rule of thumb: the power is within 15 % of it, and furthest off at both its ends."""
    assert float(at_rest(kg * 1000)) == pytest.approx(30 * kg + 70, rel=0.15)


@pytest.mark.parametrize("kg", [4, 16, 25])
def test_a_dog_that_is_to_lose_gets_no_less_than_the_low_end_for_its_ideal_weight(kg: int) -> None:
    losing = at_rest(kg * 1300, Goal.LOSE, kg * 1000)
    assert float(losing) == pytest.approx((63 - 10) * kg**0.75, rel=1e-6)
    assert losing < at_rest(kg * 1000) < at_rest(kg * 1300)
    assert at_rest(kg * 900, Goal.GAIN, kg * 1000) == at_rest(kg * 900)


def test_nothing_is_known_of_a_dog_without_the_weight_that_it_hangs_on() -> None:
    assert least_resting_kcal(NEEDS, Goal.KEEP, None, None) is None
    assert least_resting_kcal(NEEDS, Goal.LOSE, Fraction(20_000), None) is None


@dataclass(frozen=True)
class Freezing:
    """A published rule: how many days at how many degrees Celsius, for which food, and who says so."""

    caution: str
    celsius: Fraction
    days: Fraction
    source: str


CFR = "9 CFR 318.10(c)(2) Table 1, pieces up to 6 in (until July 2018; read in a second-hand copy)"
PUBLISHED = (
    Freezing("raw-fish-parasites", Fraction(-20), Fraction(168, 24), "FDA Food Code 3-402.11(A)(1), WAC 246-215-03425"),
    Freezing("raw-pork", Fraction(-15), Fraction(20), "CDC, trichinellosis prevention, last reviewed 15 Nov 2019"),
    # 5, -10 and -20 degrees Fahrenheit
    Freezing("raw-pork", Fraction(-15), Fraction(20), CFR),
    Freezing("raw-pork", Fraction(-23), Fraction(10), CFR),
    Freezing("raw-pork", Fraction(-29), Fraction(6), CFR),
    Freezing(
        "raw-pork", Fraction("-17.8"), Fraction(106, 24), "9 CFR 318.10 Table 2, at the centre (second-hand copy)"
    ),
    Freezing("raw-pork", Fraction(-15), Fraction(3), "Sotelo 1986 JAMA 256:893-4 abstract: cysts of Taenia solium"),
    Freezing("sheep-meat-tapeworm", Fraction(-10), Fraction(10), "Project Ovis (New Zealand), safe feeding of meat"),
    Freezing("sheep-meat-tapeworm", Fraction(-20), Fraction(2), "Meat & Livestock Australia, sheep measles"),
)
"""**Source:** beside each."""

WARMEST = {"raw-fish-parasites": Fraction(-20), "raw-pork": Fraction(-15), "sheep-meat-tapeworm": Fraction(-10)}
"""The warmest freezer that our rule takes, in degrees Celsius."""


@pytest.mark.parametrize("published", PUBLISHED, ids=lambda one: f"{one.caution} {one.source}")
def test_food_is_frozen_for_no_less_than_any_publication_asks_that_takes_as_warm_a_freezer(published: Freezing) -> None:
    ours = FREEZE_FIRST[published.caution]
    assert f"{float(WARMEST[published.caution]):.0f} C" in ours.how_cold
    assert ours.days >= published.days
    if published.celsius == WARMEST[published.caution]:
        asked = [one.days for one in PUBLISHED if (one.caution, one.celsius) == (published.caution, published.celsius)]
        assert ours.days == max(asked)


def test_every_food_that_is_frozen_first_has_a_published_rule() -> None:
    assert {published.caution for published in PUBLISHED} == set(FREEZE_FIRST) == set(WARMEST)


@pytest.mark.parametrize(
    ("offer", "own", "days"),
    [
        ("cut: pork heart, pack: 1 kg, price: 2", "", 20),
        ("cut: pork heart, pack: 1 kg, price: 2, fat: 5 %", "", 20),
        ("cut: lamb breast, pack: 1 kg, price: 2", "", 10),
        ("cut: goat trim, pack: 1 kg, price: 2", "", 10),
        ("cut: cod fillet, pack: 1 kg, price: 2", "", 7),
        ("cut: beef heart, pack: 1 kg, price: 2", "", 0),
        # no freezing rule was found against hydatid cysts, so none is told for liver
        ("cut: lamb liver, pack: 1 kg, price: 2", "", 0),
        ("cut: hog mince, pack: 1 kg, price: 2", "{cut: hog mince, species: pork, bone: 0 %, fat: 9 %}", 20),
        (
            "cut: mix, pack: 1 kg, price: 2",
            "{cut: mix, species: [beef, pork], bone: 0 %, fat: 9 %, made_of: [beef trim, pork mince]}",
            20,
        ),
        (
            "cut: mix, pack: 1 kg, price: 2",
            "{cut: mix, species: [lamb, cod], bone: 0 %, fat: 9 %, made_of: [lamb mince, cod fillet]}",
            10,
        ),
    ],
)
def test_a_cut_is_frozen_for_the_longest_that_anything_in_it_asks(
    offer: str, own: str, days: int, tmp_path: Path
) -> None:
    cut: Cut = cut_of(tmp_path, offer, f"own_cuts: [{own}]" if own else "")
    assert scenario_of(tmp_path, a_text()).held_days(cut) == days


@pytest.mark.parametrize(
    ("fields", "kcal"),
    [
        ("weight: 20 kg, ration: 2.5 %", 70 * 20**0.75),
        ("weight: 44.0925 lb, ration: 2.5 %", 70 * 20**0.75),
        ("weight: 24 kg, goal: lose, ideal_weight: 20 kg, ration: 2.5 %", 53 * 20**0.75),
        ("weight: 18 kg, goal: gain, ideal_weight: 20 kg, ration: 2.5 %", 70 * 18**0.75),
        ("weight: 8 kg, puppy: yes, adult_weight: 20 kg, ration: 5 %", 70 * 8**0.75),
        ("weight: 20 kg, ration: 500 g", 70 * 20**0.75),
        ("ration: 500 g", None),
    ],
)
def test_a_dog_in_a_file_is_asked_for_its_energy_at_rest(fields: str, kcal: float | None, tmp_path: Path) -> None:
    found = dog_of(tmp_path, f"{fields}, targets: prey model").resting_kcal
    assert found == kcal if kcal is None else float(found or 0) == pytest.approx(kcal, rel=1e-5)


@pytest.mark.parametrize(
    ("fields", "of_plan"),
    [
        ("other_food: 200 kcal", 560 - 200),
        ("other_food: half", 280),
        # 380 kcal in 100 g
        ("other_food: {weight: 50 g, analysis: {energy: 380 kcal}}", 560 - 190),
        ("vet_asked_for_less: yes", 0),
        ("vet_asked_for_less: no", 560),
        ("other_food: 600 kcal", 0),
    ],
)
def test_what_else_it_eats_is_taken_off(fields: str, of_plan: int, tmp_path: Path) -> None:
    """16 kg to the power 0.75 is 8, and 8 x 70 kcal are 560."""
    dog = dog_of(tmp_path, f"weight: 16 kg, ration: 400 g, targets: prey model, {fields}")
    assert dog.resting_due_kcal == of_plan * 14
