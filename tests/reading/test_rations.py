"""Daily rations."""

from fractions import Fraction
from pathlib import Path

import pytest

from raworder.trade.units import GRAMS_PER
from tests.reading.written import a_text, dog_of, reading_of, slugs

PREY = "targets: prey model"


def test_a_dog_of_forty_pounds_at_three_percent_eats_a_pound_and_a_fifth(tmp_path: Path) -> None:
    # Common practice, no source: 40 lb at 3 % is 1.2 lb = 19.2 oz a day, of which 80 % muscle is 15.36 oz, 10 % bone
    # 1.92 oz, 5 % liver and 5 % other organ 0.96 oz each.
    dog = dog_of(tmp_path, f"weight: 40 lb, ration: 3 %, {PREY}", more="units: lb")
    assert dog.daily_g == Fraction(12, 10) * GRAMS_PER["lb"]
    assert dog.daily_g == Fraction("19.2") * GRAMS_PER["oz"]
    shares = {Fraction(80, 100): "15.36", Fraction(10, 100): "1.92", Fraction(5, 100): "0.96"}
    assert all(dog.daily_g * share == Fraction(ounces) * GRAMS_PER["oz"] for share, ounces in shares.items())
    assert dog.ration_says == "3 % of 40 lb"


@pytest.mark.parametrize("written", ["520 g", "0.52 kg", "520 g a day"])
def test_grams_a_day_need_no_weight(tmp_path: Path, written: str) -> None:
    dog = dog_of(tmp_path, f"ration: {written}, {PREY}")
    assert (dog.daily_g, dog.batch_g, dog.weight_g) == (520, 7280, 0)
    assert dog.ration_says == "520 g as given"


@pytest.mark.parametrize(("goal", "ideal"), [("lose", "20 kg"), ("gain", "25 kg")])
def test_the_ideal_weight_counts_when_losing_or_gaining(tmp_path: Path, goal: str, ideal: str) -> None:
    dog = dog_of(tmp_path, f"weight: 22 kg, goal: {goal}, ideal_weight: {ideal}, ration: 2.5 %, {PREY}")
    assert dog.daily_g == Fraction(ideal.split(maxsplit=1)[0]) * 25
    assert dog.ration_says == f"2.5 % of ideal weight {ideal}"
    assert dog.weight_g == 22_000


def test_a_puppy_may_eat_by_its_adult_weight(tmp_path: Path) -> None:
    dog = dog_of(tmp_path, f"weight: 5 kg, puppy: yes, adult_weight: 30 kg, ration: 2 % of adult weight, {PREY}")
    assert dog.daily_g == 600
    assert dog.puppy


def test_a_puppy_may_eat_by_its_own_weight(tmp_path: Path) -> None:
    assert dog_of(tmp_path, f"weight: 5 kg, puppy: yes, ration: 8 %, {PREY}").daily_g == 400


def test_treats_are_taken_off(tmp_path: Path) -> None:
    dog = dog_of(tmp_path, f"weight: 20 kg, ration: 2.5 %, treats: 20 g, {PREY}")
    assert dog.daily_g == 480
    assert (dog.ration_says, dog.treats_g) == ("2.5 % of 20 kg, less 20 g of treats", 20)


def test_days_away_are_not_fed(tmp_path: Path) -> None:
    away = "[2027-02-10, 2027-02-14 to 2027-02-15, 2027-02-15]"
    dog = dog_of(tmp_path, f"weight: 20 kg, ration: 2.5 %, away: {away}, {PREY}")
    assert (dog.days, dog.batch_g) == (11, 5500)


def test_the_batch_is_rounded_once_and_not_day_by_day(tmp_path: Path) -> None:
    dog = dog_of(tmp_path, f"weight: 0.7 kg, ration: 3.07 %, {PREY}")
    assert dog.daily_g == Fraction("21.49")
    assert dog.batch_g == 300  # 300.86, rounded down


@pytest.mark.parametrize(
    ("ration", "doubted"),
    [("1 %", False), ("0.9 %", True), ("10 %", False), ("10.1 %", True), ("150 g", True), ("500 g", False)],
)
def test_a_ration_outside_one_to_ten_percent_is_doubted(tmp_path: Path, ration: str, doubted: bool) -> None:
    reading = reading_of(tmp_path, a_text(dogs=f"  - {{name: Maple, weight: 20 kg, ration: {ration}, {PREY}}}"))
    assert slugs(reading) == ["unusual-ration"] * doubted
    assert reading.scenario is not None


@pytest.mark.parametrize(
    ("ideal", "ration", "doubted"), [("10 kg", "2 %", False), ("10 kg", "1.9 %", True), ("12 kg", "1.9 %", False)]
)
def test_a_ration_by_the_ideal_weight_is_judged_by_the_own_one(
    tmp_path: Path, ideal: str, ration: str, doubted: bool
) -> None:
    fields = f"weight: 20 kg, goal: lose, ideal_weight: {ideal}, ration: {ration}, {PREY}"
    reading = reading_of(tmp_path, a_text(dogs=f"  - {{name: Maple, {fields}}}"))
    assert slugs(reading) == ["unusual-ration"] * doubted


def test_a_ration_by_the_adult_weight_is_judged_by_that(tmp_path: Path) -> None:
    fields = "weight: 2 kg, puppy: yes, adult_weight: 40 kg, ration: 2.5 % of adult weight"
    reading = reading_of(tmp_path, a_text(dogs=f"  - {{name: Maple, {fields}, {PREY}}}"))
    assert slugs(reading) == []


@pytest.mark.parametrize(("ration", "refused"), [("15 kg", 0), ("15.001 kg", 1), ("30 kg", 1)])
def test_more_than_fifteen_kilograms_a_day_are_refused(tmp_path: Path, ration: str, refused: int) -> None:
    dogs = f"  - {{name: Maple, ration: {ration}, {PREY}}}"
    assert slugs(reading_of(tmp_path, a_text(dogs=dogs))) == ["absurd-amount"] * refused


@pytest.mark.parametrize(
    ("ration", "found"),
    [
        ("50 %", ["unusual-ration"]),
        ("50.1 %", ["absurd-amount"]),
        ("150 %", ["absurd-amount"]),
        ("5.1 kg", ["absurd-amount"]),
    ],
)
def test_more_than_half_the_weight_a_day_is_refused_and_not_only_doubted(
    tmp_path: Path, ration: str, found: list[str]
) -> None:
    # Common practice, no source: half its weight.
    dogs = f"  - {{name: Maple, weight: 10 kg, ration: {ration}, {PREY}}}"
    assert slugs(reading_of(tmp_path, a_text(dogs=dogs))) == found


def test_a_veterinarians_amount_of_more_than_half_the_weight_is_refused(tmp_path: Path) -> None:
    for grams, found in (("5 kg", []), ("5.1 kg", ["absurd-amount"])):
        dogs = f"  - {{name: Vera, weight: 10 kg, care: ill, vet_amounts: {{kale: {grams}}}}}"
        assert slugs(reading_of(tmp_path, a_text(dogs=dogs))) == found


@pytest.mark.parametrize(("kcal", "refused"), [("20000", 0), ("20001", 1)])
def test_more_than_twenty_thousand_kilocalories_a_day_are_refused(tmp_path: Path, kcal: str, refused: int) -> None:
    # Common practice, no source: about what 15 kg of lean meat give.
    dogs = f"  - {{name: Maple, ration: {kcal} kcal, {PREY}}}"
    assert slugs(reading_of(tmp_path, a_text(dogs=dogs))) == ["absurd-amount"] * refused


def test_more_than_fifteen_kilograms_a_day_are_refused_however_they_come_about(tmp_path: Path) -> None:
    dogs = f"  - {{name: Maple, weight: 1000 kg, ration: 6 %, {PREY}}}"
    assert slugs(reading_of(tmp_path, a_text(dogs=dogs))) == ["unlikely-weight", "absurd-amount"]
    cared = "  - {name: Vera, care: ill, vet_amounts: {kale: 10 kg, chard: 10 kg}}"
    cuts = "  - {cut: kale, price: 3.00 per kg}\n  - {cut: chard, price: 3.00 per kg}"
    assert slugs(reading_of(tmp_path, a_text(dogs=cared, cuts=cuts))) == ["absurd-amount"]


@pytest.mark.parametrize(
    ("weight", "doubted"), [("0.5 kg", False), ("499 g", True), ("120 kg", False), ("265 lb", True)]
)
def test_a_weight_no_dog_has_is_doubted(tmp_path: Path, weight: str, doubted: bool) -> None:
    reading = reading_of(tmp_path, a_text(dogs=f"  - {{name: Maple, weight: {weight}, ration: 2.5 %, {PREY}}}"))
    assert slugs(reading) == ["unlikely-weight"] * doubted


def test_the_daily_grams_of_a_ration_in_energy_are_of_the_days_that_the_dog_is_fed(tmp_path: Path) -> None:
    dog = dog_of(tmp_path, f"ration: 600 kcal, away: [2027-02-07, 2027-02-08], {PREY}")
    assert len([grams for grams in dog.day_g if grams]) == 12
    assert dog.daily_g * 12 == dog.batch_g == sum(dog.day_g) > 0
