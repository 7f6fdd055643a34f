"""Whether a dog's weights and its goal fit each other."""

from pathlib import Path

import pytest

from tests.reading.written import a_text, reading_of, slugs


def told(folder: Path, fields: str, more: str = "") -> list[str]:
    return slugs(reading_of(folder, a_text(dogs=f"  - {{name: Maple, targets: prey model, {fields}}}", more=more)))


@pytest.mark.parametrize(
    ("goal", "ideal", "doubted"),
    [("lose", "10 kg", 0), ("lose", "9.9 kg", 1), ("gain", "40 kg", 0), ("gain", "40.1 kg", 1)],
)
def test_an_ideal_weight_beyond_half_and_twice_is_doubted(tmp_path: Path, goal: str, ideal: str, doubted: int) -> None:
    # Common practice, no source.
    fields = f"weight: 20 kg, goal: {goal}, ideal_weight: {ideal}, ration: 3 %"
    assert told(tmp_path, fields) == ["weights-far-apart"] * doubted


def test_an_unlikely_weight_is_not_called_far_from_the_ideal_one_as_well(tmp_path: Path) -> None:
    assert told(tmp_path, "weight: 220 kg, goal: lose, ideal_weight: 20 kg, ration: 2.5 %") == ["unlikely-weight"]


@pytest.mark.parametrize(("adult", "doubted"), [("14 kg", 0), ("13.9 kg", 1)])
def test_an_adult_weight_below_that_of_the_puppy_is_doubted(tmp_path: Path, adult: str, doubted: int) -> None:
    fields = f"weight: 14 kg, puppy: yes, adult_weight: {adult}, ration: 2.5 % of adult weight"
    assert told(tmp_path, fields) == ["weights-far-apart"] * doubted


def test_an_adult_weight_of_a_grown_dog_is_doubted_once(tmp_path: Path) -> None:
    assert told(tmp_path, "weight: 14 kg, adult_weight: 30 kg, ration: 2.5 %") == ["unused-value"]
    assert told(tmp_path, "weight: 14 kg, adult_weight: 30 kg, ration: 2.5 % of adult weight") == ["not-a-puppy"]


@pytest.mark.parametrize("more", ["", "all_dogs: {ration: 750 g}"])
def test_a_goal_with_grams_is_doubted(tmp_path: Path, more: str) -> None:
    ration = "" if more else ", ration: 750 g"
    assert told(tmp_path, f"weight: 30 kg, goal: lose{ration}", more) == ["unused-value"]
    assert told(tmp_path, f"weight: 30 kg, goal: lose, ideal_weight: 28 kg{ration}", more) == ["unused-value"]


def test_a_puppy_is_not_made_to_lose_weight(tmp_path: Path) -> None:
    fields = "weight: 14 kg, puppy: yes, ideal_weight: {}, ration: 4 %"
    assert told(tmp_path, f"goal: lose, {fields.format('12 kg')}") == ["puppy-to-lose"]
    assert told(tmp_path, f"goal: gain, {fields.format('15 kg')}") == []
